package geometry

import (
	"context"
	"fmt"
	"math"
	"math/rand"
	"testing"

	"github.com/paulmach/orb"
)

// benchSite is a generated site: beds of 6 to 20 m by 0.75 to 1.2 m in every direction, and habitats of all kinds: hedges
// with bends, strips, trees, irregular margins, ponds ringed with planting. It grows with the number of beds, 125 m² to a
// bed.
func benchSite(beds, habitats int) (b, h []orb.Geometry) {
	rng := rand.New(rand.NewSource(1))
	side := math.Sqrt(125 * float64(beds))
	place := func() orb.Point { return orb.Point{rng.Float64() * side, rng.Float64() * side} }
	between := func(low, high float64) float64 { return low + (high-low)*rng.Float64() }
	block := func(w, h float64) orb.Polygon {
		at := place()
		r := orb.Polygon{{at, {at[0] + w, at[1]}, {at[0] + w, at[1] + h}, {at[0], at[1] + h}, at}}
		return Rotate(r, at, between(0, 180)).(orb.Polygon)
	}
	star := func(at orb.Point, low, high float64, n int) orb.Ring {
		var ring orb.Ring
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			d := between(low, high)
			ring = append(ring, orb.Point{at[0] + d*cos, at[1] + d*sin})
		}
		return append(ring, ring[0])
	}
	for range beds {
		b = append(b, block(between(6, 20), between(0.75, 1.2)))
	}
	for len(h) < habitats {
		switch len(h) % 5 {
		case 0:
			at, heading := place(), between(0, 2*math.Pi)
			line := orb.LineString{at}
			for range 2 + rng.Intn(3) {
				sin, cos := math.Sincos(heading)
				d := between(8, 25)
				at = orb.Point{at[0] + d*cos, at[1] + d*sin}
				line = append(line, at)
				heading += between(-0.9, 0.9)
			}
			hedge, err := Strip(line, between(1, 3))
			if err != nil {
				continue
			}
			h = append(h, hedge)
		case 1:
			h = append(h, block(between(8, 40), between(1, 4)))
		case 2:
			h = append(h, Disc(place(), between(1, 4)))
		case 3:
			h = append(h, orb.Polygon{star(place(), 3, 9, 8+rng.Intn(8))})
		case 4:
			at := place()
			h = append(h, orb.Polygon{star(at, 6, 9, 12), star(at, 2, 4, 9)})
		}
	}
	return b, h
}

func perBed(b *testing.B, beds []orb.Geometry, measure func(bed orb.Geometry)) {
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		measure(beds[i%len(beds)])
		i++
	}
}

func BenchmarkNearest(b *testing.B) {
	beds, habitats := benchSite(2000, 600)
	s := NewSites(habitats)
	perBed(b, beds, func(bed orb.Geometry) { s.Nearest(bed) })
}

func BenchmarkFarthest(b *testing.B) {
	beds, habitats := benchSite(2000, 600)
	s := NewSites(habitats)
	perBed(b, beds, func(bed orb.Geometry) { s.Farthest(bed) })
}

func BenchmarkAreaWithin(b *testing.B) {
	beds, habitats := benchSite(2000, 600)
	s := NewSites(habitats)
	for _, r := range []float64{3, 10, 30} {
		b.Run(fmt.Sprintf("%.0fm", r), func(b *testing.B) {
			perBed(b, beds, func(bed orb.Geometry) { s.AreaWithin(bed, r) })
		})
	}
}

func BenchmarkMeanDistance(b *testing.B) {
	beds, habitats := benchSite(2000, 600)
	s := NewSites(habitats)
	perBed(b, beds, func(bed orb.Geometry) { s.MeanDistance(bed) })
}

// Everything about every bed, for sites of 1 000 to 8 000 beds with 3 habitats to 10 beds: the time for a bed should
// hardly grow.
func BenchmarkSite(b *testing.B) {
	for _, n := range []int{1000, 2000, 4000, 8000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			beds, habitats := benchSite(n, n*3/10)
			b.ReportAllocs()
			for b.Loop() {
				s := NewSites(habitats)
				for _, bed := range beds {
					s.Nearest(bed)
					s.Farthest(bed)
					for _, r := range []float64{3, 10, 30} {
						s.AreaWithin(bed, r)
					}
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(n), "µs/bed")
		})
	}
}

func BenchmarkNewSites(b *testing.B) {
	_, habitats := benchSite(2000, 600)
	b.ReportAllocs()
	for b.Loop() {
		NewSites(habitats)
	}
}

// One habitat dragged: what a frame pays before it measures.
func BenchmarkWith(b *testing.B) {
	_, habitats := benchSite(2000, 600)
	s := NewSites(habitats)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		s.With(i%600, habitats[i%600])
		i++
	}
}

func BenchmarkField(b *testing.B) {
	_, habitats := benchSite(2000, 600)
	s := NewSites(habitats)
	out := make([]float32, 1000*1000)
	box := orb.Bound{Max: orb.Point{500, 500}}
	b.ReportAllocs()
	for b.Loop() {
		if err := s.Field(context.Background(), box, 1000, 1000, out); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOffset(b *testing.B) {
	_, habitats := benchSite(2000, 600)
	s := NewSites(habitats)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Offset(15, 0); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkValidate(b *testing.B) {
	for _, n := range []int{32, 1000, 1_000_000} {
		ring := make(orb.Ring, 0, n+1)
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			d := 1000 + float64(i%2)
			ring = append(ring, orb.Point{d * cos, d * sin})
		}
		ring = append(ring, ring[0])
		b.Run(fmt.Sprintf("%d corners", n), func(b *testing.B) {
			for b.Loop() {
				if err := Validate(orb.Polygon{ring}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
