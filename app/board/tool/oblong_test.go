package tool

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"hedgereach/app/arrange"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

func TestARectangleStaysOne(t *testing.T) {
	d := site(t)
	p := New("Pick", d)
	click(p, 5, 0.5)
	p.Press(Event{At: orb.Point{10, 1}})
	p.Drag(Event{At: orb.Point{12.1, 2.1}})
	if w := p.Sketch().Words; !strings.Contains(w, "12.00 m × 2.00 m") {
		t.Errorf("words %q", w)
	}
	p.Release(Event{At: orb.Point{12.1, 2.1}})
	ring(t, d.find("Bed 1"), orb.Point{0, 0}, orb.Point{12, 0}, orb.Point{12, 2}, orb.Point{0, 2})
	drag(p, 12, 1, 8.1, 7) // the right side: only across counts
	ring(t, d.find("Bed 1"), orb.Point{0, 0}, orb.Point{8, 0}, orb.Point{8, 2}, orb.Point{0, 2})
	drag(p, 4, 0, 4, -1.1) // the lower side
	ring(t, d.find("Bed 1"), orb.Point{0, -1}, orb.Point{8, -1}, orb.Point{8, 2}, orb.Point{0, 2})
	n := len(d.history)
	drag(p, 8, 2, 0, -1) // to nothing
	if len(d.history) != n {
		t.Error("a rectangle of no size was made")
	}
	drag(p, 8, 0.5, 9.1, 0.6, Shift) // the middle of a side becomes a corner
	ring(t, d.find("Bed 1"), orb.Point{0, -1}, orb.Point{8, -1}, orb.Point{9, 0.5}, orb.Point{8, 2}, orb.Point{0, 2})
}

// However it lies and whatever is dragged: it stays a rectangle, what lies across stays, and its sides come to whole steps.
func TestAnyRectangleStaysOne(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		turn := rapid.Float64Range(-180, 180).Draw(rt, "turn")
		long, wide := rapid.Float64Range(2, 20).Draw(rt, "long"), rapid.Float64Range(0.8, 6).Draw(rt, "wide")
		f := box(plan.Bed, "Bed 1", 3, 4, 3+long, 4+wide)
		f.Geometry = arrange.Tidy(geometry.Rotate(f.Geometry, orb.Point{}, turn))
		r, ok := oblong(f)
		if !ok {
			rt.Fatalf("%v is no rectangle", f.Geometry)
		}
		g := grip{i: rapid.IntRange(0, 3).Draw(rt, "corner")}
		if rapid.Bool().Draw(rt, "side") {
			g.Sort = Middle
		}
		to := orb.Point{rapid.Float64Range(-30, 30).Draw(rt, "x"), rapid.Float64Range(-30, 30).Draw(rt, "y")}
		const step = 0.25
		c := stretched(f, g, to, step)
		if c == nil {
			return // to nothing
		}
		s, ok := oblong(c)
		if !ok || geometry.Validate(c.Geometry) != nil {
			rt.Fatalf("%v became %v", r, c.Geometry)
		}
		if s[(g.i+2)%4] != r[(g.i+2)%4] || g.Sort == Middle && s[(g.i+3)%4] != r[(g.i+3)%4] {
			rt.Errorf("what lies across moved: %v became %v", r, s)
		}
		whole := func(m float64) bool { return math.Abs(m-math.Round(m/step)*step) < 0.002 }
		across := dist(s[(g.i+1)%4], s[(g.i+2)%4])
		if !whole(across) || g.Sort == Corner && !whole(dist(s[(g.i+2)%4], s[(g.i+3)%4])) {
			rt.Errorf("sides of %v and %v", across, dist(s[(g.i+2)%4], s[(g.i+3)%4]))
		}
	})
}
