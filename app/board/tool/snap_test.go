package tool

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// A 3-4-5 bed: its long side goes from 20, 20 along (4, 3)/5 for 10 m.
func slant() *plan.Feature {
	return plan.NewFeature(plan.Bed, "Slant", orb.Polygon{{{20, 20}, {28, 26}, {26.8, 27.6}, {18.8, 21.6}, {20, 20}}})
}

func TestSnapNamesWhatItIsDrawnTo(t *testing.T) {
	d := newDesk(t, box(plan.Bed, "Bed 1", 0, 0, 10, 4), slant())
	d.set.StepM = 0.5
	for _, c := range []struct {
		name string
		at   orb.Point
		from []orb.Point
		want orb.Point
		word string
	}{
		{"a corner", orb.Point{9.8, 4.1}, nil, orb.Point{10, 4}, "corner"},
		{"the middle of a side", orb.Point{5.1, 4.1}, nil, orb.Point{5, 4}, "midpoint"},
		{"a side, by whole steps from its beginning", orb.Point{3.1, 4.1}, nil, orb.Point{3, 4}, "edge"},
		// 3 m along (4, 3)/5 from 20, 20.
		{"a slanting side", orb.Point{22.4, 21.85}, nil, orb.Point{22.4, 21.8}, "edge"},
		{"a side run on", orb.Point{13.1, 4.1}, nil, orb.Point{13, 4}, "extension"},
		// 12 m along (4, 3)/5 from 20, 20, two beyond the end.
		{"a slanting side run on", orb.Point{29.6, 27.25}, nil, orb.Point{29.6, 27.2}, "extension"},
		{"free ground", orb.Point{15.1, 9.9}, nil, orb.Point{15, 10}, "grid"},
		// From 22, 16.5 along (4, 3)/5 for 5 m.
		{"parallel with the slanting bed", orb.Point{26.05, 19.45}, []orb.Point{{22, 16.5}}, orb.Point{26, 19.5}, "parallel"},
		// Square to an edge from 12, 10 to 16, 13: along (-3, 4)/5 for 5 m.
		{"square to the edge before", orb.Point{13.0, 17.05}, []orb.Point{{12, 10}, {16, 13}}, orb.Point{13, 17}, "right angle"},
		{"straight on", orb.Point{20.05, 15.95}, []orb.Point{{12, 10}, {16, 13}}, orb.Point{20, 16}, "straight on"},
		// Square to the bed's upper side from 6.3, 4, which lies on it: straight up by 3 m.
		{"square to a side from a point on it", orb.Point{6.4, 7.1}, []orb.Point{{6.3, 4}}, orb.Point{6.3, 7}, "right angle"},
		{"level from a point off the grid", orb.Point{17.1, 12.4}, []orb.Point{{12.13, 12.27}}, orb.Point{17.13, 12.27}, "level"},
		{"upright from a point off the grid", orb.Point{12.2, 17.1}, []orb.Point{{12.13, 12.27}}, orb.Point{12.13, 17.27}, "upright"},
		// Down from 3.3, 9 to the bed's upper side at y = 4.
		{"square onto a side", orb.Point{3.35, 4.2}, []orb.Point{{3.3, 9}}, orb.Point{3.3, 4}, "upright, edge"},
	} {
		got := snap(d, Event{At: c.at}, nil, c.from...)
		if math.Hypot(got.at[0]-c.want[0], got.at[1]-c.want[1]) > 0.0015 || got.word != c.word {
			t.Errorf("%s: %v to %v %q, want %v %q", c.name, c.at, got.at, got.word, c.want, c.word)
		}
		if free := snap(d, Event{At: c.at, Mods: Ctrl}, nil, c.from...); free.at != roundPoint(c.at) || free.word != "" {
			t.Errorf("%s: with Ctrl it goes to %v %q", c.name, free.at, free.word)
		}
		d.set.GridOnly = true
		if plain := snap(d, Event{At: c.at}, nil, c.from...); plain.at != onGrid(c.at, d.set) || plain.word != "grid" {
			t.Errorf("%s: with the grid only it goes to %v %q", c.name, plain.at, plain.word)
		}
		d.set.GridOnly = false
	}
}

// A length that is typed holds exactly along the direction that the pointer was drawn to, however near the pointer was.
func TestTypedLengthsAlongADirection(t *testing.T) {
	d := newDesk(t)
	d.set.StepM = 0
	o := New("Outline", d)
	click(o, 0, 0)
	click(o, 4.003, 2.998, Ctrl)
	move(o, 4.003-0.6*1.2, 2.998+0.8*1.19) // nearly square, a good metre off
	typing(o, "30")
	o.Key(Enter, 0)
	o.Key(Enter, 0)
	r := d.find("Bed 1").Geometry.(orb.Polygon)[0]
	l := math.Hypot(4.003, 2.998)
	want := orb.Point{4.003 - 30*2.998/l, 2.998 + 30*4.003/l}
	if math.Hypot(r[2][0]-want[0], r[2][1]-want[1]) > 0.001 {
		t.Errorf("the third corner is at %v, want %v", r[2], want)
	}
}

func TestMovesKeepEqualGapsAndLines(t *testing.T) {
	beds := []*plan.Feature{box(plan.Bed, "A", 0, 0, 10, 1.2), box(plan.Bed, "B", 0, 1.83, 10, 3.03), box(plan.Bed, "C", 2.37, 12, 12.37, 13.2)}
	for _, c := range []struct {
		name   string
		dx, dy float64 // of C
		want   orb.Point
		word   string
	}{
		// The gap between A and B is 0.63; C goes on with it, and its end comes into line with theirs.
		{"going on with the gap", -2.3, -8.2, orb.Point{0, 3.66}, "equal spacing"},
		{"in line alone", -2.3, 5.1, orb.Point{0, 17}, "in line"},
		{"before the first", -2.3, -13.9, orb.Point{0, -1.83}, "equal spacing"},
		{"free", 15, 4, orb.Point{17.5, 16}, "grid"},
	} {
		d := newDesk(t, beds...)
		p := New("Pick", d)
		click(p, 7, 12.5)
		p.Press(Event{At: orb.Point{7, 12.5}})
		p.Drag(Event{At: orb.Point{7 + c.dx/2, 12.5 + c.dy/2}})
		p.Drag(Event{At: orb.Point{7 + c.dx, 12.5 + c.dy}})
		k := p.Sketch()
		p.Release(Event{At: orb.Point{7 + c.dx, 12.5 + c.dy}})
		if got := d.find("C").Geometry.Bound().Min; got != c.want || k.Snap != c.word {
			t.Errorf("%s: to %v %q, want %v %q", c.name, got, k.Snap, c.want, c.word)
		}
		if (c.word != "grid") != (len(k.Guides) > 0) {
			t.Errorf("%s: %d guides", c.name, len(k.Guides))
		}
	}
}

// The same for beds that lie aslant.
func TestMovesOfSlantingBeds(t *testing.T) {
	turned := func(f *plan.Feature) *plan.Feature {
		f.Geometry = arrange.Tidy(geometry.Rotate(f.Geometry, orb.Point{}, 30))
		return f
	}
	d := newDesk(t, turned(box(plan.Bed, "A", 0, 0, 10, 1.2)), turned(box(plan.Bed, "B", 0, 1.83, 10, 3.03)),
		turned(box(plan.Bed, "C", 2.37, 12, 12.37, 13.2)))
	p := New("Pick", d)
	at := func(x, y float64) orb.Point { return geometry.Rotate(orb.Point{x, y}, orb.Point{}, 30).(orb.Point) }
	a, b := at(7, 12.5), at(7-2.3, 12.5-8.2)
	drag(p, a[0], a[1], b[0], b[1])
	back := geometry.Rotate(d.find("C").Geometry, orb.Point{}, -30).Bound()
	if math.Abs(back.Min[0]) > 0.002 || math.Abs(back.Min[1]-3.66) > 0.002 {
		t.Errorf("seen level it lies at %v, want 0, 3.66", back.Min)
	}
}

// While a corner is dragged the edge to the corner before it can be square.
func TestACornerComesSquare(t *testing.T) {
	d := newDesk(t, plan.NewFeature(plan.Bed, "Bed 1", orb.Polygon{{{0, 0}, {10, 0}, {9.2, 3.3}, {0, 4}, {0, 0}}}))
	p := New("Pick", d)
	click(p, 5, 1)
	p.Press(Event{At: orb.Point{9.2, 3.3}})
	p.Drag(Event{At: orb.Point{10.1, 3.4}})
	if k := p.Sketch(); !slices.Contains([]string{"right angle", "upright"}, k.Snap) {
		t.Errorf("drawn to %q", k.Snap)
	}
	p.Release(Event{At: orb.Point{10.1, 3.4}})
	ring(t, d.find("Bed 1"), orb.Point{0, 0}, orb.Point{10, 0}, orb.Point{10, 3.5}, orb.Point{0, 4})
}
