package tool

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

func TestAslantByThreeClicks(t *testing.T) {
	d := newDesk(t)
	a := New("Aslant", d)
	click(a, 0, 0)
	click(a, 4, 3)
	if d.preview != nil {
		t.Error("a side alone is shown as a shape")
	}
	move(a, 1, 2, Ctrl)
	if w := a.Sketch().Words; !strings.Contains(w, "5.00 m × 1.00 m") {
		t.Errorf("words %q", w)
	}
	click(a, 1, 2, Ctrl) // 1 m to the left of the side: (1,2)·(-3,4)/5
	ring(t, d.find("Bed 1"), orb.Point{0, 0}, orb.Point{4, 3}, orb.Point{3.4, 3.8}, orb.Point{-0.6, 0.8})

	// Typed: 13 m along (5, 12), 2 m to the right; the corners by hand.
	click(a, 0, 0)
	move(a, 5, 12)
	typing(a, "13")
	a.Key(Enter, 0)
	move(a, 8, 0)
	typing(a, "2 m")
	a.Key(Enter, 0)
	f := d.find("Bed 2")
	want := orb.Polygon{{{0, 0}, {5, 12}, {5 + 24.0/13, 12 - 10.0/13}, {24.0 / 13, -10.0 / 13}, {0, 0}}}
	if x, err := geometry.Intersection(f.Geometry, want); err != nil || math.Abs(geometry.Area(x)-26) > 0.02 {
		t.Errorf("%v, %v", f.Geometry, err)
	}
	if got := geometry.Area(f.Geometry); math.Abs(got-26) > 0.02 {
		t.Errorf("area %v, want 26", got)
	}
	click(a, 0, 0)
	click(a, 5, 0)
	a.Key(Backspace, 0)
	a.Key(Escape, 0)
	if a.Busy() || len(d.names) != 2 || d.preview != nil {
		t.Error("given up, something is left")
	}
}

func TestFreehandIsTidied(t *testing.T) {
	d := newDesk(t)
	f := New("Freehand", d)
	// Round a circle of 10 m radius, a little unsteady, with the end running on past the beginning and across it.
	at := func(i int) orb.Point {
		a := 2 * math.Pi * float64(i) / 400
		r := 10 + 0.02*math.Sin(float64(i)*1.7)
		if i > 400 {
			r -= float64(i-410) * 0.05
		}
		return orb.Point{20 + r*math.Cos(a), 20 + r*math.Sin(a)}
	}
	f.Press(Event{At: at(0)})
	for i := 1; i <= 420; i++ {
		f.Drag(Event{At: at(i)})
	}
	if !f.Busy() || f.Sketch().Words == "" {
		t.Error("the way of the hand is not shown")
	}
	f.Release(Event{At: at(420)})
	p := d.find("Bed 1").Geometry.(orb.Polygon)
	if n := len(p[0]); n > 60 || n < 8 {
		t.Errorf("%d points after tidying", n)
	}
	if a := geometry.Area(p); math.Abs(a-100*math.Pi) > 0.03*100*math.Pi { // a circle's area, πr²
		t.Errorf("area %v, want about %v", a, 100*math.Pi)
	}
	before := len(d.names)
	drag(f, 0, 0, 5, 0)
	if len(d.names) != before || d.said == "" || f.Busy() {
		t.Error("a straight stroke made something, or nothing was said")
	}
	f.Press(Event{At: orb.Point{0, 0}})
	f.Drag(Event{At: orb.Point{3, 0}})
	f.Key(Escape, 0)
	f.Release(Event{At: orb.Point{3, 3}})
	if len(d.names) != before {
		t.Error("given up, it was drawn")
	}
}

func TestMarksByOneClick(t *testing.T) {
	d := newDesk(t)
	m := New("Mark", d)
	click(m, 1.1, 0.9)
	d.set.Kind = plan.Trap
	click(m, 3, 3)
	if s := d.find("Stake 1"); s.Kind != plan.Stake || s.Geometry != (orb.Point{1, 1}) {
		t.Errorf("stake %v", s.Geometry)
	}
	if s := d.find("Trap 1"); s.Kind != plan.Trap || s.Geometry != (orb.Point{3, 3}) {
		t.Errorf("trap %v", s.Geometry)
	}
}
