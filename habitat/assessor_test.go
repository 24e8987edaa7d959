package habitat

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"hedgereach/data/season"
	"hedgereach/geometry"
	_ "hedgereach/geometry/repeatable"
	"hedgereach/habitat/plan"
)

// drawFeature draws a shape of any kind: a turned rectangle, a disc, a polygon with a hole, sometimes a bow tie.
func drawFeature(t *rapid.T) *plan.Feature {
	k := rapid.SampledFrom([]plan.Kind{plan.Bed, plan.Bed, plan.Bed, plan.Hedgerow, plan.PerennialStrip, plan.FlowerStrip,
		plan.BeetleBank,
		plan.Tree, plan.Pond, plan.Building, plan.Path, plan.Stake, plan.Boundary}).Draw(t, "kind")
	f := plan.NewFeature(k, "", drawShape(t, k))
	if f.Kind.Habitat() {
		drawPlants(t, f)
	}
	if rapid.IntRange(0, 9).Draw(t, "says") == 0 {
		says := rapid.Bool().Draw(t, "refuge")
		f.Refuge = &says
	}
	return f
}

func drawShape(t *rapid.T, k plan.Kind) orb.Geometry {
	at := orb.Point{rapid.Float64Range(0, 150).Draw(t, "x"), rapid.Float64Range(0, 150).Draw(t, "y")}
	w, h := rapid.Float64Range(0.5, 40).Draw(t, "w"), rapid.Float64Range(0.5, 12).Draw(t, "h")
	if k == plan.Boundary {
		at, w, h = orb.Point{at[0] / 3, at[1] / 3}, 80+w, 80+h
	}
	if k == plan.Stake {
		return at
	}
	turn := rapid.SampledFrom([]float64{0, 0, 0.3, 1.1}).Draw(t, "turn")
	sin, cos := math.Sincos(turn)
	place := func(x, y float64) orb.Point { return orb.Point{at[0] + cos*x - sin*y, at[1] + sin*x + cos*y} }
	switch rapid.IntRange(0, 11).Draw(t, "shape") {
	case 0:
		return geometry.Disc(at, h/2)
	case 1:
		return orb.Polygon{{place(0, 0), place(w, 0), place(w, h), place(0, h), place(0, 0)},
			{place(w/4, h/4), place(w/4, h/2), place(w/2, h/2), place(w/2, h/4), place(w/4, h/4)}}
	case 2:
		return orb.Polygon{{place(0, 0), place(w, h), place(w, 0), place(0, h), place(0, 0)}} // a bow tie, for a moment of a drag
	case 3:
		return orb.MultiPolygon{{{place(0, 0), place(w/3, 0), place(w/3, h), place(0, 0)}},
			{{place(w/2, 0), place(w, 0), place(w, h), place(w/2, 0)}}}
	}
	return orb.Polygon{{place(0, 0), place(w, 0), place(w, h), place(0, h), place(0, 0)}}
}

func drawPlants(t *rapid.T, f *plan.Feature) {
	f.Plants = nil
	for range rapid.IntRange(0, 3).Draw(t, "plants") {
		from := season.Day(rapid.IntRange(60, 300).Draw(t, "from"))
		g := plan.Growing{Plant: rapid.SampledFrom([]string{"yarrow", "buckwheat", "sweet-alyssum", "golden-alexanders",
			"nobody-knows"}).Draw(t, "plant"),
			Share: rapid.Float64Range(0, 1).Draw(t, "share")}
		if rapid.Bool().Draw(t, "own dates") {
			g.Bloom = season.Window{From: from, To: from.Add(rapid.IntRange(5, 60).Draw(t, "days"))}
		}
		f.Plants = append(f.Plants, g)
	}
}

// edit makes a new plan by one step of the kind that growers make.
func edit(t *rapid.T, p *plan.Plan) *plan.Plan {
	c := p.Clone()
	if len(c.Features) == 0 {
		c.Features = append(c.Features, drawFeature(t))
		return c
	}
	i := rapid.IntRange(0, len(c.Features)-1).Draw(t, "which")
	f := c.Features[i].Clone()
	switch rapid.IntRange(0, 9).Draw(t, "edit") {
	case 0, 1:
		c.Features = append(c.Features, drawFeature(t))
	case 2:
		c.Features = append(c.Features[:i], c.Features[i+1:]...)
	case 3, 4: // a step of a drag
		dx, dy := rapid.Float64Range(-5, 5).Draw(t, "dx"), rapid.Float64Range(-5, 5).Draw(t, "dy")
		f.Geometry = move(f.Geometry, dx, dy)
		c.Features[i] = f
	case 5:
		f.Geometry = drawShape(t, f.Kind)
		c.Features[i] = f
	case 6:
		f.Name = "renamed"
		c.Features[i] = f
	case 7:
		drawPlants(t, f)
		c.Features[i] = f
	case 8:
		c.Place = &plan.Place{Latitude: rapid.Float64Range(30, 50).Draw(t, "latitude"), Longitude: -80, LastFrost: 120,
			FirstFrost: 280}
	case 9:
		j := rapid.IntRange(0, len(c.Features)-1).Draw(t, "other")
		c.Features[i], c.Features[j] = c.Features[j], c.Features[i]
	}
	return c
}

func move(g orb.Geometry, dx, dy float64) orb.Geometry {
	switch g := orb.Clone(g).(type) {
	case orb.Point:
		return orb.Point{g[0] + dx, g[1] + dy}
	case orb.Polygon:
		for _, r := range g {
			for i := range r {
				r[i][0] += dx
				r[i][1] += dy
			}
		}
		return g
	case orb.MultiPolygon:
		for i := range g {
			g[i] = move(g[i], dx, dy).(orb.Polygon)
		}
		return g
	}
	return g
}

// After any sequence of edits, undone ones among them, and of changed questions, the Assessor's answer is Assess's.
func TestTheAssessorEqualsAssess(t *testing.T) {
	c := catalogue(t)
	rapid.Check(t, func(t *rapid.T) {
		p := plan.New("")
		for range rapid.IntRange(0, 12).Draw(t, "features") {
			p.Features = append(p.Features, drawFeature(t))
		}
		o := Options{RangesM: []float64{20}}
		a := NewAssessor(c, o)
		history := []*plan.Plan{p}
		for range rapid.IntRange(1, 8).Draw(t, "edits") {
			switch rapid.IntRange(0, 9).Draw(t, "step") {
			case 0:
				p = rapid.SampledFrom(history).Draw(t, "undo")
			case 1:
				o = Options{RangesM: []float64{rapid.SampledFrom([]float64{5, 20, 60}).Draw(t, "range")},
					CoverRadiusM: rapid.SampledFrom([]float64{0, 10}).Draw(t, "radius")}
				if h := season.HalfMonth(rapid.IntRange(-1, 23).Draw(t, "on")); h >= 0 {
					o.On = &h
				}
				a.SetOptions(o)
			default:
				p = edit(t, p)
				history = append(history, p)
			}
			same(t, a.Assess(p), Assess(p, c, o))
			if t.Failed() {
				return
			}
		}
	})
}
