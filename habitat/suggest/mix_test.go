package suggest

import (
	"context"
	"fmt"
	"maps"
	"math"
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
	list := pricesByName(c)
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
		{bare, MixAsk{Habitats: []string{strip.ID}, Guilds: []string{"hoverflies"}, LeastCost: true, MostPrice: 4, Prices: list}},
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
				price, known := k.Prices[pl.ID]
				if k.Prices != nil && !known {
					t.Errorf("%s has no price", pl.Name)
				}
				cost += price
				if k.HeightCM > 0 && pl.HeightMaxCM > k.HeightCM || k.SpacingCM > 0 && pl.SpacingCM > k.SpacingCM ||
					k.Harmless && (len(pl.Dangers) > 0 || len(c.CautionFor(pl.ID, at)) > 0) || !pl.Hardy(at.Zone) ||
					k.MostPrice > 0 && price > k.MostPrice {
					t.Errorf("%s is out of bounds", pl.Name)
				}
			}
			if math.Abs(cost-q.Cost) > 1e-9 || q.Priced != (k.Prices != nil) {
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
				if b.Unfed < len(q.Unfed) && strings.HasPrefix(b.Words, "feeding") {
					t.Errorf("without %q %d guilds are unfed, with it %d", b.Words, b.Unfed, len(q.Unfed))
				}
				if short := slices.DeleteFunc(slices.Clone(q.InFlower), func(h InFlower) bool { return !h.Short }); b.Short > len(short) {
					t.Errorf("without %q more half-months are short", b.Words)
				}
			}
		})
	}
}

// pricesByName are made-up prices of all plants but every fifth, the same on every run: from 1.05 to 8.
func pricesByName(c *data.Catalogue) map[string]float64 {
	list := map[string]float64{}
	for i, p := range c.Plants {
		if i%5 != 0 {
			list[p.ID] = hundredth(1 + float64((i*37)%141)/20)
		}
	}
	return list
}

// TestFeedingCosts: what a guild costs is what a mix without it saves, and it is named.
func TestFeedingCosts(t *testing.T) {
	p, c := sample(t)
	ask := MixAsk{Species: 1, Guilds: []string{"predatory-wasps", "predatory-mites"}}
	bare := p.Clone()
	for i, f := range bare.Features {
		if len(f.Plants) > 0 {
			f = f.Clone()
			f.Plants = nil
			bare.Features[i] = f
		}
	}
	q, err := Plant(context.Background(), bare, c, ask)
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, b := range q.WithoutEach {
		left := ask
		switch b.Words {
		case "feeding predatory wasps":
			left.Guilds = []string{"predatory-mites"}
		case "feeding predatory mites":
			left.Guilds = []string{"predatory-wasps"}
		default:
			continue
		}
		seen++
		one, err := Plant(context.Background(), bare, c, left)
		if err != nil {
			t.Fatal(err)
		}
		if len(one.Plants) != b.Species || one.Shorts() != b.Short || b.Unfed > 1+len(one.Unfed) || b.Unfed < len(one.Unfed) {
			t.Errorf("%+v, asked so: %s, %d unfed", b, one.Effect, len(one.Unfed))
		}
	}
	if seen != 2 {
		t.Errorf("bounds: %+v", q.WithoutEach)
	}
}

// TestLeastCost holds the cheapest mix against the cheapest by another way of reckoning, and against the fewest
// species, which must not be cheaper.
func TestLeastCost(t *testing.T) {
	p, c := sample(t)
	ask := MixAsk{Species: 1, Guilds: []string{"hoverflies"}, Prices: pricesByName(c), MostPrice: 6}
	bare := p.Clone()
	for i, f := range bare.Features {
		if f.Kind == plan.PerennialStrip {
			f = f.Clone()
			f.Plants = nil
			bare.Features[i] = f
			ask.Habitats = []string{f.ID}
		}
	}
	few, err := Plant(context.Background(), bare, c, ask)
	if err != nil {
		t.Fatal(err)
	}
	ask.LeastCost = true
	q, err := Plant(context.Background(), bare, c, ask)
	if err != nil {
		t.Fatal(err)
	}
	if q.Title != "Least cost" || !q.Proven || q.Cost >= few.Cost || len(q.Plants) < len(few.Plants) {
		t.Errorf("%s: %v for %d plants, where the fewest are %d for %v", q.Title, q.Cost, len(q.Plants), len(few.Plants), few.Cost)
	}
	if want := ", for " + FormatPrice(q.Cost); !strings.HasSuffix(q.Effect, want) {
		t.Errorf("no %q in %q", want, q.Effect)
	}
	// The cheapest by dynamic programming over sets of half-months and the guild, each a bit.
	m := &mixer{ctx: context.Background(), ask: ask, plan: bare, c: c, before: habitat.Assess(bare, c, habitat.Options{}), already: map[string]bool{}}
	if err := m.settle(); err != nil {
		t.Fatal(err)
	}
	least := map[int]float64{0: 0}
	all := 0
	for _, pl := range c.Plants {
		if !m.may(pl, ask) {
			continue
		}
		bits := 0
		for i, h := range m.season {
			if m.flowers(pl, h) {
				bits |= 1 << i
			}
		}
		if bits != 0 && slices.Contains(pl.Guilds, "hoverflies") {
			bits |= 1 << len(m.season)
		}
		all |= bits
		for set, cost := range maps.Clone(least) {
			if was, ok := least[set|bits]; !ok || cost+ask.Prices[pl.ID] < was {
				least[set|bits] = cost + ask.Prices[pl.ID]
			}
		}
	}
	if best := least[all]; math.Abs(best-q.Cost) > 1e-6 {
		t.Errorf("costs %v, where %v is possible", q.Cost, best)
	}
	var words []string
	for _, b := range q.WithoutEach {
		words = append(words, b.Words)
	}
	if !slices.Contains(words, "no dearer than 6") || !slices.Contains(words, "with a price") {
		t.Errorf("bounds: %q", words)
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
		"no prices":    {p, MixAsk{LeastCost: true}},
		"a limit only": {p, MixAsk{MostPrice: 3}},
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
