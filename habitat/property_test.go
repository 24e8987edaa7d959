package habitat

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

func drawPlan(t *rapid.T) *plan.Plan {
	p := plan.New("")
	for range rapid.IntRange(1, 12).Draw(t, "features") {
		p.Features = append(p.Features, drawGround(t))
	}
	return p
}

// drawGround draws a feature that is no mere point: the disc that stands for one has its corners where the axes say.
func drawGround(t *rapid.T) *plan.Feature {
	f := drawFeature(t)
	if at, isMark := f.Geometry.(orb.Point); isMark {
		f.Geometry = geometry.Disc(at, 1)
	}
	return f
}

// moved is the plan with every point moved.
func moved(p *plan.Plan, to func(orb.Point) orb.Point) *plan.Plan {
	q := p.Clone()
	for i, f := range p.Features {
		g := f.Clone()
		g.Geometry, g.Line, g.Centre = geometry.Map(f.Geometry, to), nil, nil
		q.Features[i] = g
	}
	return q
}

// How much longer a distance, and how much smaller a fraction, may turn out for rounding alone. Fractions are asked for to a
// thousandth, ways on foot are measured to 9 mm, and a way that is no more than a millimetre longer counts as straight.
const (
	straightM, straightPart = 5e-6, 1e-4
	onFootM, onFootPart     = 0.02, 2e-3
)

// Turned, moved or seen in a mirror, a plan has the same measures.
func TestMeasuresDoNotDependOnTheAxes(t *testing.T) {
	c := catalogue(t)
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		sin, cos := math.Sincos(rapid.Float64Range(0, 7).Draw(t, "angle"))
		dx, dy := rapid.Float64Range(-2e4, 2e4).Draw(t, "east"), rapid.Float64Range(-2e4, 2e4).Draw(t, "north")
		mirror := rapid.SampledFrom([]float64{1, -1}).Draw(t, "mirror")
		q := moved(p, func(v orb.Point) orb.Point {
			x, y := mirror*v[0], v[1]
			return orb.Point{dx + cos*x - sin*y, dy + sin*x + cos*y}
		})
		o := Options{RangesM: []float64{20}, CoverRadiusM: 30}
		a, b := Assess(p, c, o), Assess(q, c, o)
		near := func(what string, x, y, within float64) {
			t.Helper()
			if x != y && !(math.Abs(x-y) <= within) {
				t.Errorf("%s: %v, turned %v", what, x, y)
			}
		}
		cover := func(what string, x, y *[season.HalfMonths]Cover) {
			t.Helper()
			for h := range x {
				near(what, x[h].AreaM2, y[h].AreaM2, 1e-3)
			}
		}
		near("site", a.Site.AreaM2, b.Site.AreaM2, 1e-4)
		near("habitat", a.Site.HabitatM2, b.Site.HabitatM2, 1e-3)
		cover("cover", &a.Site.Cover, &b.Site.Cover)
		if len(a.Beds) != len(b.Beds) {
			t.Fatalf("%d beds, turned %d", len(a.Beds), len(b.Beds))
		}
		link := func(what string, x, y *Link, within float64) {
			t.Helper()
			if x == nil || y == nil {
				if x != y {
					t.Errorf("%s: %+v, turned %+v", what, x, y)
				}
				return
			}
			near(what+" nearest", x.NearestM, y.NearestM, within)
			near(what+" farthest", x.FarthestM, y.FarthestM, within)
			near(what+" mean", x.MeanM(), y.MeanM(), within+1e-2*x.MeanM()+2e-4)
		}
		for i, x := range a.Beds {
			y := b.Beds[i]
			near("bed", x.AreaM2, y.AreaM2, 1e-6)
			cover("cover about a bed", &x.Cover, &y.Cover)
			link("refuge", x.Refuge, y.Refuge, straightM)
			near("reach", x.Reach[0].WithinFraction, y.Reach[0].WithinFraction, straightPart)
			for j := range x.Guilds {
				g, h := &x.Guilds[j], &y.Guilds[j]
				metres, part := straightM, straightPart
				if g.Guild.Travel == data.Walks {
					metres, part = onFootM, onFootPart
				}
				link(g.Guild.ID, g.Link, h.Link, metres)
				near(g.Guild.ID+" within", g.WithinFraction, h.WithinFraction, part)
				near(g.Guild.ID+" within the low end", g.WithinAtLow, h.WithinAtLow, part)
				near(g.Guild.ID+" within the outer end", g.WithinAtOuter, h.WithinAtOuter, part)
			}
		}
	})
}

// One refuge more makes no way longer and no fraction smaller.
func TestAnotherRefugeLengthensNothing(t *testing.T) {
	c := catalogue(t)
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		q := p.Clone()
		more := drawGround(t)
		more.Kind, more.Refuge = rapid.SampledFrom([]plan.Kind{plan.Hedgerow, plan.BeetleBank, plan.Tree}).Draw(t, "refuge"), nil
		q.Features = append(q.Features, more)
		o := Options{RangesM: []float64{5, 20}}
		a, b := Assess(p, c, o), Assess(q, c, o)
		link := func(what string, before, after *Link, within float64) {
			t.Helper()
			if before == nil {
				return
			}
			if after == nil {
				t.Errorf("%s: none serves any more", what)
				return
			}
			if after.NearestM > before.NearestM+within || after.FarthestM > before.FarthestM+within ||
				after.MeanM() > before.MeanM()*(1+1e-2)+within+2e-4 {
				t.Errorf("%s: %v to %v m, mean %v; with one more %v to %v m, mean %v", what, before.NearestM, before.FarthestM,
					before.MeanM(), after.NearestM, after.FarthestM, after.MeanM())
			}
		}
		for i, x := range a.Beds {
			y := b.Beds[i]
			link("refuge", x.Refuge, y.Refuge, straightM)
			for k := range x.Reach {
				if y.Reach[k].WithinFraction < x.Reach[k].WithinFraction-straightPart {
					t.Errorf("reach shrinks from %+v to %+v", x.Reach[k], y.Reach[k])
				}
			}
			for j := range x.Guilds {
				g, h := &x.Guilds[j], &y.Guilds[j]
				metres, part := straightM, straightPart
				if g.Guild.Travel == data.Walks {
					metres, part = onFootM, onFootPart
				}
				link(g.Guild.ID, g.Link, h.Link, metres)
				if h.WithinFraction < g.WithinFraction-part || h.WithinAtLow < g.WithinAtLow-part || h.WithinAtOuter < g.WithinAtOuter-part {
					t.Errorf("%s: reach shrinks from %+v to %+v", g.Guild.ID, g, h)
				}
			}
		}
	})
}

// Fractions grow with the range, and say the same as the standing.
func TestFractionsGrowWithTheRange(t *testing.T) {
	c := catalogue(t)
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		a := Assess(p, c, Options{RangesM: []float64{0, 1, 5, 20, 60, 200}})
		stands := func(what string, part float64, s Status) {
			t.Helper()
			if !(part >= 0 && part <= 1) || s == Within && part != 1 || (s == Beyond || s == Unknown) && part != 0 {
				t.Errorf("%s: %v, and %v of it within", what, s, part)
			}
		}
		for _, b := range a.Beds {
			for k, r := range b.Reach {
				stands("refuge", r.WithinFraction, b.Refuge.At(r.RangeM))
				if k > 0 && r.WithinFraction < b.Reach[k-1].WithinFraction-straightPart {
					t.Errorf("%+v, but %+v", b.Reach[k-1], r)
				}
			}
			for j := range b.Guilds {
				g := &b.Guilds[j]
				stands(g.Guild.ID, g.WithinFraction, g.Status)
				stands(g.Guild.ID+", low end", g.WithinAtLow, g.AtLow)
				stands(g.Guild.ID+", outer end", g.WithinAtOuter, g.AtOuter)
				if g.AtLow != Unknown && g.WithinAtLow > g.WithinFraction+onFootPart ||
					g.AtOuter != Unknown && g.WithinFraction > g.WithinAtOuter+onFootPart {
					t.Errorf("%s: %v, %v, %v of it within the low end, the typical range, the outer end", g.Guild.ID, g.WithinAtLow,
						g.WithinFraction, g.WithinAtOuter)
				}
				if l := g.Link; l != nil && !(l.NearestM <= l.MeanM()+1e-3 && l.MeanM() <= l.FarthestM+1e-3) {
					t.Errorf("%s: nearest %v, mean %v, farthest %v", g.Guild.ID, l.NearestM, l.MeanM(), l.FarthestM)
				}
			}
		}
	})
}
