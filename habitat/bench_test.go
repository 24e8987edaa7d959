package habitat

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/data/season"
	"hedgereach/geometry"
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
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(n), "µs/bed")
		})
	}
	// With 200 buildings and ponds that walkers go round.
	p := behindWalls(10_000, 3000)
	b.Run("10000_beds_behind_walls", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			Assess(p, c, Options{RangesM: []float64{10, 30, 60}})
		}
	})
}

// behindWalls is the market garden with a building or a pond to every fifty beds, between the rows.
func behindWalls(beds, habitats int) *plan.Plan {
	p := market(beds, habitats)
	for i := 20; i < beds; i += 50 {
		r := p.Features[1+i].Geometry.(orb.Polygon)[0]
		at := orb.Point{r[3][0] + 3*(r[3][0]-r[0][0])/4, r[3][1] + 3*(r[3][1]-r[0][1])/4} // beyond the bed's far side
		f := plan.NewFeature(plan.Building, "Shed", geometry.Rotate(box(at[0], at[1], at[0]+6, at[1]+3), at, 11))
		if i%100 == 20 {
			f = plan.NewFeature(plan.Pond, "Pond", geometry.Disc(orb.Point{at[0] + 3, at[1] + 3}, 2.5))
		}
		p.Features = append(p.Features, f)
	}
	return p
}

// BenchmarkDrag is the engine's work in one step of a drag: a thing is a little farther on. The plans of the steps are made
// beforehand. Bytes are what a step leaves behind, the new Assessment among it.
func BenchmarkDrag(b *testing.B) {
	c := catalogue(b)
	open := market(700, 300)
	open.Features = open.Features[1:] // without a boundary the ground is the hull of all features
	outermost, north := 0, math.Inf(-1)
	for i, f := range open.Features {
		if y := f.Geometry.Bound().Max[1]; y > north {
			outermost, north = i, y
		}
	}
	walled := behindWalls(700, 300)
	for _, d := range []struct {
		name string
		plan *plan.Plan
		i    int
	}{
		{"bed_of_301", market(210, 90), 105}, {"habitat_of_301", market(210, 90), 211 + 42},
		{"bed_of_1001", market(700, 300), 350}, {"habitat_of_1001", market(700, 300), 701 + 140},
		{"no_boundary/bed_of_1000", open, 349}, {"no_boundary/habitat_of_1000", open, 700 + 140}, {"no_boundary/outermost_of_1000", open, outermost},
		{"walls/bed_of_1015", walled, 350}, {"walls/habitat_of_1015", walled, 701 + 140}, {"walls/building_of_1015", walled, 1001 + 3},
	} {
		b.Run(d.name, func(b *testing.B) {
			var steps [40]*plan.Plan
			for k := range steps {
				q := d.plan.Clone()
				f := q.Features[d.i].Clone()
				f.Geometry = move(f.Geometry, 0.1*float64(k), 0.05*float64(k))
				q.Features[d.i] = f
				steps[k] = q
			}
			a := NewAssessor(c, Options{RangesM: []float64{50}})
			a.Assess(d.plan)
			step := 0
			b.ReportAllocs()
			for b.Loop() {
				// A feature met before is known: a drag always brings new ones.
				clear(a.facts)
				a.Assess(steps[step%len(steps)])
				step++
			}
		})
	}
}

// year500 is 400 beds with three plantings each among 100 habitats, with covers, trap crops and other years here and there, and a
// year of weather.
func year500(t testing.TB) *plan.Plan {
	p := market(400, 100)
	p.Year = 2026
	p.Weather = WeatherOf("Mild", mildYear())
	n := 0
	for _, f := range p.Features {
		if f.Kind != plan.Bed {
			continue
		}
		crops := []string{"cabbage", "carrot", "leek", "tomato-staked", "squash-summer", "lettuce-leaf"}
		for k, w := range []season.Window{{From: 100, To: 170}, {From: 171, To: 220}, {From: 221, To: 300}} {
			f.Crops = append(f.Crops, plan.Planting{Crop: crops[(n+k)%len(crops)], Dates: w, Share: 1})
		}
		if n%5 == 0 {
			f.Cover = &plan.Cover{Dates: season.Window{From: 100, To: 140}, Edges: plan.EdgesSealed}
		}
		if n%4 == 0 {
			f.OtherYears = []plan.CropYear{{Year: 2025, Crops: []plan.Planting{{Crop: crops[n%len(crops)], Share: 1}}}}
		}
		if n%20 == 0 {
			f.Treatments = []plan.Treatment{{Material: "spinosad", On: []season.Day{150}, Pest: "diamondback-moth"}}
		}
		n++
	}
	return p
}

// A year's assessment of 500 features with three plantings a bed, after the assessment of the ground: the aim is 60 ms.
func BenchmarkSeason(b *testing.B) {
	p, c := year500(b), catalogue(b)
	a := Assess(p, c, Options{})
	b.ReportAllocs()
	for b.Loop() {
		SeasonOf(a)
	}
}

// A step along the season strip, prepared: a look-up.
func BenchmarkSeasonStep(b *testing.B) {
	s := SeasonOf(Assess(year500(b), catalogue(b), Options{}))
	s.Prepare(nil)
	b.ReportAllocs()
	h := season.HalfMonth(0)
	for b.Loop() {
		s.At(h)
		h = (h + 1) % season.HalfMonths
	}
}
