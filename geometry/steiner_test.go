package geometry

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

func TestAreaAround(t *testing.T) {
	// Steiner's formula by hand: 10 × 4 m, 28 m round, and a disc of 3 m.
	if got, ok := NewSites([]orb.Geometry{box(5e5, 5e6, 5e5+10, 5e6+4)}).AreaAround(3); !ok || math.Abs(got-(40+28*3+9*math.Pi)) > 1e-9 {
		t.Errorf("got %v, %v", got, ok)
	}
	pentagram := orb.Ring{} // turns one way only, but twice round
	for i := range 5 {
		sin, cos := math.Sincos(float64(2*i) * 2 * math.Pi / 5)
		pentagram = append(pentagram, orb.Point{cos, sin})
	}
	for name, shapes := range map[string][]orb.Geometry{
		"hole":      {orb.Polygon{box(0, 0, 10, 10)[0], box(2, 2, 3, 3)[0]}},
		"L":         {orb.Polygon{{{0, 0}, {10, 0}, {10, 2}, {2, 2}, {2, 10}, {0, 10}, {0, 0}}}},
		"two":       {box(0, 0, 1, 1), box(2, 0, 3, 1)},
		"line":      {orb.Polygon{{{0, 0}, {10, 0}, {5, 0}, {0, 0}}}},
		"point":     {orb.Point{1, 2}},
		"pentagram": {orb.Polygon{append(pentagram, pentagram[0])}},
		"nothing":   nil,
	} {
		if got, ok := NewSites(shapes).AreaAround(3); ok {
			t.Errorf("%s: %v", name, got)
		}
	}
	if got, ok := NewSites([]orb.Geometry{box(0, 0, 1, 1)}).With(0, box(0, 0, 2, 2)).AreaAround(3); ok {
		t.Errorf("replaced: %v", got)
	}
	// Against the area within, which knows no formula for it.
	rapid.Check(t, func(t *rapid.T) {
		g, r := drawShape(t, "shape"), rapid.Float64Range(0.1, 20).Draw(t, "r")
		s := NewSites([]orb.Geometry{g})
		want := s.AreaWithin(g.Bound().Pad(r+1).ToPolygon(), r)
		if got, ok := s.AreaAround(r); ok && math.Abs(got-want) > 1e-8*want+1e-8 { // which widens ranges by a hair
			t.Fatalf("%v m² within %v m of %v, want %v", got, r, g, want)
		}
	})
}
