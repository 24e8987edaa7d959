package suggest

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"hedgereach/data"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// TestMix asks for mixes in many ways and holds each against an assessment of the plan with it, the bounds, and a search through
// all smaller choices.
func TestMix(t *testing.T) {
	p, c := sample(t)
	var strip, hedge *plan.Feature
	for _, f := range p.Features {
		switch f.Kind {
		case plan.PerennialStrip:
			strip = f
		case plan.Hedgerow:
			hedge = f
		}
	}
	empty := strip.Clone()
	empty.Plants = nil
	bare := p.Clone()
	bare.Features[slices.Index(p.Features, strip)] = empty
	// Two new strips, as a search for places would leave them: what grows elsewhere does not count for them.
	fresh := p.Clone()
	var two []string
	for range 2 {
		f := plan.NewFeature(plan.PerennialStrip, "New", strip.Geometry)
		fresh.Features = append(fresh.Features, f)
		two = append(two, f.ID)
	}
	for n, ask := range []struct {
		p *plan.Plan
		k MixAsk
	}{
		{p, MixAsk{}},
		{fresh, MixAsk{Habitats: two}},
		{p, MixAsk{Habitats: []string{strip.ID}}},
		{p, MixAsk{Habitats: []string{hedge.ID}, Species: 1}},
		{bare, MixAsk{Habitats: []string{strip.ID}, HeightCM: 100, NativeOnly: true}},
		{bare, MixAsk{Habitats: []string{strip.ID}, Harmless: true, SpacingCM: 45, Species: 2}},
		{bare, MixAsk{Habitats: []string{strip.ID}, Guilds: []string{"hoverflies"}, LeastCost: true, MostPrice: 4,
			Prices: map[string]float64{"wild-strawberry": 3, "golden-alexanders": 2.5, "new-england-aster": 5}}},
	} {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			q, err := Plant(context.Background(), ask.p, c, ask.k)
			if err != nil {
				t.Fatal(err)
			}
			if !q.Proven || len(q.Plants) == 0 {
				t.Errorf("%s %s", q.Effect, q.How)
			}
			k, cost := ask.k, 0.0
			at := habitat.RegionOf(ask.p.Place)
			for _, pl := range q.Plants {
				price := 1.0
				if v, ok := k.Prices[pl.ID]; ok {
					price = v
				}
				cost += price
				if k.HeightCM > 0 && pl.HeightMaxCM > k.HeightCM || k.SpacingCM > 0 && pl.SpacingCM > k.SpacingCM ||
					k.Harmless && (len(pl.Dangers) > 0 || len(c.CautionFor(pl.ID, at)) > 0) || !pl.Hardy(at.Zone) ||
					k.MostPrice > 0 && price > k.MostPrice {
					t.Errorf("%s is out of bounds", pl.Name)
				}
			}
			if cost != q.Cost {
				t.Errorf("cost %v, said %v", cost, q.Cost)
			}
			next, err := q.Apply(ask.p)
			if err != nil || next.Check() != nil {
				t.Fatal(err, next.Check())
			}
			after := habitat.Assess(next, c, habitat.Options{})
			want := max(k.Species, 0)
			if want == 0 {
				want = UsualSpecies
			}
			for _, h := range q.InFlower {
				is := after.Site.Cover[h.HalfMonth].Species
				if len(k.Habitats) > 0 {
					seen := map[string]bool{}
					for _, id := range k.Habitats {
						f, _ := next.Find(id)
						for _, g := range f.Plants {
							if after.InFlower(g, h.HalfMonth) {
								seen[g.Plant] = true
							}
						}
					}
					is = len(seen)
				}
				if is != h.After || h.After < want && !h.Short {
					t.Errorf("%v: %d in flower, said %+v", h.HalfMonth, is, h)
				}
			}
			for _, f := range next.Features {
				sum := 0.0
				for _, g := range f.Plants {
					sum += g.Share
				}
				if sum > 1+1e-9 {
					t.Errorf("%s: shares add up to %v", f.Title(), sum)
				}
			}
			// Asked again, there is no more to be had; and that is not called enough where it is not.
			switch _, err := Plant(context.Background(), next, c, k); {
			case err == nil:
				t.Error("more plants are proposed when asked again")
			case (q.Shorts() == 0 && len(q.Unfed) == 0) != strings.HasPrefix(err.Error(), "enough"):
				t.Errorf("%d half-months short, %d guilds unfed: %v", q.Shorts(), len(q.Unfed), err)
			}
			for _, b := range q.WithoutEach {
				if short := slices.DeleteFunc(slices.Clone(q.InFlower), func(h InFlower) bool { return !h.Short }); b.Short > len(short) {
					t.Errorf("without %q more half-months are short", b.Words)
				}
			}
		})
	}
}

// TestMixErrors says what cannot be asked.
func TestMixErrors(t *testing.T) {
	p, c := sample(t)
	nowhere := p.Clone()
	nowhere.Place = nil
	for name, ask := range map[string]struct {
		p *plan.Plan
		k MixAsk
	}{
		"no season":    {nowhere, MixAsk{}},
		"no habitat":   {p, MixAsk{Habitats: []string{"x"}}},
		"a bed":        {p, MixAsk{Habitats: []string{p.Features[25].ID}}},
		"guild":        {p, MixAsk{Guilds: []string{"dragons"}}},
		"not fed":      {p, MixAsk{Guilds: []string{"ground-beetles"}}},
		"species":      {p, MixAsk{Species: -1}},
		"enough there": {p, MixAsk{Species: 1, Guilds: []string{"hoverflies"}}},
		"price":        {p, MixAsk{LeastCost: true, Prices: map[string]float64{"tidy-tips": -1}}},
	} {
		if q, err := Plant(context.Background(), ask.p, c, ask.k); err == nil {
			t.Errorf("%s: %+v", name, q)
		}
	}
}

// BenchmarkMix chooses from 120 plants, none of them there yet, within a second.
func BenchmarkMix(b *testing.B) {
	p, c := sample(b)
	bare := p.Clone()
	r := rand.New(rand.NewPCG(1, 1))
	for i, f := range bare.Features {
		if len(f.Plants) > 0 {
			f = f.Clone()
			f.Plants = nil
			bare.Features[i] = f
		}
	}
	// A hundred and twenty perennials of this place, with windows of three to eight weeks.
	more := *c
	more.Plants = nil
	base := c.Plant("golden-alexanders")
	for i := range 120 {
		pl := *base
		pl.ID = fmt.Sprintf("made-up-%d", i)
		pl.Bloom.From = base.Bloom.From.Add(r.IntN(140) - 20)
		pl.Bloom.To = pl.Bloom.From.Add(20 + r.IntN(40))
		pl.Guilds = nil
		for _, g := range c.Guilds {
			if r.IntN(4) == 0 {
				pl.Guilds = append(pl.Guilds, g.ID)
			}
		}
		more.Plants = append(more.Plants, &pl)
	}
	m := &mixer{ctx: context.Background(), plan: bare, c: &more, already: map[string]bool{}}
	m.before = habitat.Assess(bare, &more, habitat.Options{})
	m.targets = []*plan.Feature{plan.NewFeature(plan.PerennialStrip, "", oblong(0, 0, 10, 2))}
	m.season = m.before.Site.Season
	m.ask.Species = 3
	for _, g := range c.Guilds {
		if g.FedByFlowers && !g.Pollinator {
			m.guilds = append(m.guilds, g)
		}
	}
	var chosen []*data.Plant
	for b.Loop() {
		var err error
		got, sol, _, _, err := m.solve(m.ask)
		if err != nil || !sol.Proven || len(got) < 5 {
			b.Fatal(err, sol, len(got))
		}
		chosen = got
	}
	b.ReportMetric(float64(len(chosen)), "species")
}
