package habitat

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// market lays out a market garden: beds in rows, three habitats to every ten beds, turned a little so that nothing lies along
// the axes, a boundary round it. The same numbers give the same garden.
func market(beds, habitats int) *plan.Plan {
	r := rand.New(rand.NewPCG(1, uint64(beds)))
	p := plan.New(fmt.Sprintf("%d beds", beds))
	p.Place = &plan.Place{Latitude: 42.7, Longitude: -84.5, ElevationM: 260, LastFrost: 125, FirstFrost: 280}
	side := 14 * math.Sqrt(float64(beds))
	sin, cos := math.Sincos(0.2)
	place := func(x, y, w, h float64) orb.Polygon {
		ring := orb.Ring{}
		for _, c := range [][2]float64{{0, 0}, {w, 0}, {w, h}, {0, h}, {0, 0}} {
			ring = append(ring, orb.Point{cos*(x+c[0]) - sin*(y+c[1]), sin*(x+c[0]) + cos*(y+c[1])})
		}
		return orb.Polygon{ring}
	}
	p.Features = append(p.Features, plan.NewFeature(plan.Boundary, "", place(-5, -5, side+10, side+10)))
	rows := int(math.Sqrt(float64(beds)))
	for i := range beds {
		x, y := float64(i/rows)*14, float64(i%rows)*14
		f := plan.NewFeature(plan.Bed, fmt.Sprintf("Bed %d", i+1), place(x, y, 8+4*r.Float64(), 1+5*r.Float64()))
		f.Crops = []plan.Planting{{Crop: "kale", Share: 1}}
		p.Features = append(p.Features, f)
	}
	kinds := []plan.Kind{plan.Hedgerow, plan.PerennialStrip, plan.FlowerStrip, plan.BeetleBank, plan.Tree}
	for i := range habitats {
		f := plan.NewFeature(kinds[i%len(kinds)], fmt.Sprintf("Habitat %d", i+1),
			place(side*r.Float64(), side*r.Float64(), 3+15*r.Float64(), 1+2*r.Float64()))
		if i%3 > 0 {
			from := season.Day(120 + r.IntN(120))
			f.Plants = []plan.Growing{{Plant: "buckwheat", Share: 0.6, Bloom: season.Window{From: from, To: from + 40}},
				{Plant: "yarrow", Share: 0.3}, {Plant: "golden-alexanders", Share: 0.2}}
		}
		p.Features = append(p.Features, f)
	}
	return p
}

func BenchmarkAssess(b *testing.B) {
	c := catalogue(b)
	for _, n := range []int{1000, 2000, 4000, 8000, 10_000} {
		p := market(n, n*3/10)
		b.Run(fmt.Sprintf("%d_beds", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Assess(p, c, Options{RangesM: []float64{10, 30, 60}})
			}
		})
	}
}

// BenchmarkDrag is the engine's work in one step of a drag: a hedge or a bed is a little farther on.
func BenchmarkDrag(b *testing.B) {
	c := catalogue(b)
	for _, n := range []int{210, 700} {
		p := market(n, n*3/7)
		for _, what := range []struct {
			name string
			i    int
		}{{"bed", n / 2}, {"habitat", n + 1 + n/5}} {
			b.Run(fmt.Sprintf("%s_of_%d", what.name, len(p.Features)), func(b *testing.B) {
				a := NewAssessor(c, Options{RangesM: []float64{50}})
				a.Assess(p)
				step := 0
				b.ReportAllocs()
				for b.Loop() {
					step++
					q := p.Clone()
					f := q.Features[what.i].Clone()
					f.Geometry = move(f.Geometry, 0.1*float64(step%40), 0.05*float64(step%40))
					q.Features[what.i] = f
					a.Assess(q)
				}
			})
		}
	}
}
