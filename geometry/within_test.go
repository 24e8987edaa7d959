package geometry

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
)

// A far site reaches the bed by an arc that all but touches its side. The bed is a square of 1 m with a hole, turned; reached are
// its last 31.25 mm, less what lies beyond the arc of 100 m about the site's corner.
func TestAreaWithinByATouchingArc(t *testing.T) {
	bed := orb.Polygon{{{48.96875, 0.5}, {50.03125, 0.5}, {50.03125, 1.5}, {48.96875, 1.5}, {48.96875, 0.5}},
		{{49.234375, 0.75}, {49.234375, 1}, {49.5, 1}, {49.5, 0.75}, {49.234375, 0.75}}}
	site := orb.Polygon{{{150, 1}, {150.5, 1}, {150.5, 2}, {150, 2}, {150, 1}}}
	// Of the circle about (150, 1), between it and x = 50, for y from ½ to 1: 100·½ − (½·√(100² − ½²) + 100²·asin(½/100)) / 2.
	beyond := 50 - (0.5*math.Sqrt(100*100-0.25)+1e4*math.Asin(0.005))/2
	want := 0.03125 - beyond
	before := overlays.Load()
	for _, turn := range []float64{0, 28.6479, 90, 151.2} {
		turned := func(g orb.Geometry) orb.Geometry { return Translate(Rotate(g, orb.Point{}, turn), 1023, -1.5) }
		got := NewSites([]orb.Geometry{turned(site)}).AreaWithin(turned(bed), 100)
		if math.Abs(got-want) > 1e-6 {
			t.Errorf("turned by %v°: %v m², want %v", turn, got, want)
		}
	}
	if n := overlays.Load() - before; n > 0 {
		t.Errorf("%d overlays", n)
	}
}
