package tool

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/geometry"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

func TestOutline(t *testing.T) {
	for name, finish := range map[string]func(Tool){
		"Enter":            func(o Tool) { o.Key(Enter, 0) },
		"the first corner": func(o Tool) { click(o, 0.1, -0.1) },
		"the last corner":  func(o Tool) { click(o, 0, 3) },
	} {
		d := newDesk(t)
		o := New("Outline", d)
		click(o, 0.1, 0.2) // drawn to the grid of half a metre
		click(o, 4.1, 0)
		click(o, 4, 3.1)
		click(o, 0.1, 3)
		if d.preview == nil || len(d.preview.Features) != 1 {
			t.Errorf("%s: the shape is not seen while it is drawn", name)
		}
		finish(o)
		ring(t, d.find("Bed 1"), orb.Point{0, 0}, orb.Point{4, 0}, orb.Point{4, 3}, orb.Point{0, 3})
		if d.last() != "draw Bed 1" || o.Busy() || !slices.Equal(d.chosen, []string{d.find("Bed 1").ID}) {
			t.Errorf("%s: edit %q, busy %v, chosen %v", name, d.last(), o.Busy(), d.chosen)
		}
	}
}

func TestOutlineByTypedLengths(t *testing.T) {
	d := newDesk(t)
	d.set.Units = length.US
	o := New("Outline", d)
	click(o, 0, 0)
	move(o, 5, 0)
	typing(o, "4' 6")
	if w := o.Sketch().Words; !strings.Contains(w, "4' 6") || !strings.Contains(w, "4 ft 6 in") {
		t.Errorf("while typing: %q", w)
	}
	o.Key(Enter, 0)
	move(o, 5, 5, Shift) // straight up from the typed corner
	typing(o, "10")
	o.Key(Enter, 0)
	o.Key(Backspace, 0) // takes the corner back
	move(o, 1.37, 5, Ctrl)
	typing(o, "1")
	o.Key(Backspace, 0)
	typing(o, "2")
	o.Key(Enter, 0)
	o.Key(Enter, 0)
	// 4 ft 6 in and 2 ft by the definition of the foot, 0.3048 m, to the millimetre.
	f := d.find("Bed 1")
	p := f.Geometry.(orb.Polygon)[0]
	if p[1] != (orb.Point{1.372, 0}) || math.Abs(dist(p[1], p[2])-0.6096) > 0.001 {
		t.Errorf("corners %v", p)
	}
}

func TestOutlineRefusesABowTie(t *testing.T) {
	d := newDesk(t)
	o := New("Outline", d)
	for _, p := range [][2]float64{{0, 0}, {4, 4}, {4, 0}, {0, 4}} {
		click(o, p[0], p[1])
	}
	if o.Sketch().Bad == "" || d.preview != nil {
		t.Error("the bow-tie is not shown as one, or is in the plan shown")
	}
	o.Key(Enter, 0)
	d.untouched("a bow-tie")
	if !o.Busy() || d.said == "" {
		t.Error("the drawing does not go on, or nothing is said")
	}
	o.Key(Backspace, 0)
	o.Key(Enter, 0)
	ring(t, d.find("Bed 1"), orb.Point{0, 0}, orb.Point{4, 4}, orb.Point{4, 0})
}

func TestOutlineGivesUp(t *testing.T) {
	d := newDesk(t)
	o := New("Outline", d)
	click(o, 0, 0)
	click(o, 4, 0)
	o.Key(Enter, 0)
	if d.said == "" || !o.Busy() {
		t.Error("two corners were closed")
	}
	o.Key(Backspace, 0)
	o.Key(Backspace, 0)
	if o.Busy() {
		t.Error("with no corner left it goes on")
	}
	if o.Key(Escape, 0) || o.Key(Enter, 0) || o.Rune('3') {
		t.Error("keys with nothing begun are taken")
	}
	d.untouched("taking all corners back")
}

func TestOutlineByDragging(t *testing.T) {
	d := newDesk(t)
	o := New("Outline", d)
	drag(o, 0, 0, 4, 0)
	click(o, 4, 3)
	o.Key(Enter, 0)
	ring(t, d.find("Bed 1"), orb.Point{0, 0}, orb.Point{4, 0}, orb.Point{4, 3})
}

func TestRectangle(t *testing.T) {
	want := []orb.Point{{1, 1}, {11, 1}, {11, 2.5}, {1, 2.5}}
	for name, draw := range map[string]func(Tool){
		"drag":           func(r Tool) { drag(r, 1, 1, 11.1, 2.4) },
		"drag backwards": func(r Tool) { drag(r, 11.1, 2.4, 1, 1) },
		"two clicks":     func(r Tool) { click(r, 1, 1); click(r, 11, 2.5) },
		"typed": func(r Tool) {
			click(r, 1, 1)
			move(r, 2, 3)
			typing(r, "10")
			r.Key(Enter, 0)
			typing(r, "150 cm")
			r.Key(Enter, 0)
		},
		"both typed":              func(r Tool) { click(r, 1, 1); move(r, 2, 3); typing(r, "10 x 1.5"); r.Key(Enter, 0) },
		"typed without a pointer": func(r Tool) { click(r, 1, 1); typing(r, "10x1.5 m"); r.Key(Enter, 0) },
		"typed, then a click":     func(r Tool) { click(r, 1, 1); typing(r, "10"); r.Key(Enter, 0); click(r, 3, 2.5) },
	} {
		d := newDesk(t)
		r := New("Rectangle", d)
		draw(r)
		if len(d.Plan().Features) != 1 {
			t.Errorf("%s: drew %d, said %q", name, len(d.Plan().Features), d.said)
			continue
		}
		ring(t, d.find("Bed 1"), want...)
	}
}

func TestRectangleEdges(t *testing.T) {
	d := newDesk(t)
	r := New("Rectangle", d)
	click(r, 1, 1)
	click(r, 1, 1) // no size: waits
	move(r, 3, 2, Shift)
	if w := r.Sketch().Words; !strings.Contains(w, "2.00 m × 2.00 m") {
		t.Errorf("with Shift: %q", w)
	}
	typing(r, "1..5")
	r.Key(Enter, 0)
	if d.said == "" || !r.Busy() {
		t.Error("nonsense was taken as a length")
	}
	r.Key(Escape, 0)
	d.untouched("Escape")
}

func TestStrip(t *testing.T) {
	d := newDesk(t)
	d.set.Kind, d.set.WidthM = plan.Hedgerow, 2
	s := New("Strip", d)
	click(s, 0, 0)
	click(s, 10, 0)
	click(s, 10, 5)
	s.Key(Enter, 0)
	f := d.find("Hedgerow 1")
	if !slices.Equal(f.Line, orb.LineString{{0, 0}, {10, 0}, {10, 5}}) || f.WidthM != 2 {
		t.Errorf("line %v, width %v", f.Line, f.WidthM)
	}
	// An L of 10 and 5 m, 2 m wide, mitred: 2·(10+5) m².
	if a := geometry.Area(f.Geometry); math.Abs(a-30) > 1e-6 {
		t.Errorf("area %v", a)
	}
	drag(s, 0, 10, 8, 10) // one drag is a whole strip
	if f := d.find("Hedgerow 2"); len(f.Line) != 2 || f.Line[1] != (orb.Point{8, 10}) {
		t.Errorf("dragged: %v", f.Line)
	}
	click(s, 0, 20)
	click(s, 5, 20)
	click(s, 5, 20) // again on the last point
	d.find("Hedgerow 3")
}

func TestStripWidths(t *testing.T) {
	d := newDesk(t)
	s := New("Strip", d)
	if s.Rune('0') {
		t.Error("a bare 0, which shows the whole plan, was taken as a width")
	}
	typing(s, "3")
	if w := s.Sketch().Words; !strings.Contains(w, "width") {
		t.Errorf("while the width is typed: %q", w)
	}
	s.Key(Enter, 0)
	click(s, 0, 0)
	move(s, 4, 0)
	typing(s, "12.5")
	s.Key(Enter, 0)
	typing(s, "w0.8")
	s.Key(Enter, 0)
	s.Key(Enter, 0)
	f := d.find("Bed 1")
	if f.WidthM != 0.8 || f.Line[1] != (orb.Point{12.5, 0}) {
		t.Errorf("width %v, line %v", f.WidthM, f.Line)
	}
	click(s, 0, 5)
	click(s, 4, 5)
	s.Key(Enter, 0)
	if f := d.find("Bed 2"); f.WidthM != 1.2 {
		t.Errorf("a typed width outlives its strip: %v", f.WidthM)
	}
}

func TestRound(t *testing.T) {
	for name, draw := range map[string]func(Tool){
		"drag":   func(r Tool) { drag(r, 5, 5, 7, 5) },
		"clicks": func(r Tool) { click(r, 5, 5); click(r, 5, 7) },
		"typed":  func(r Tool) { click(r, 5, 5); typing(r, "200 cm"); r.Key(Enter, 0) },
	} {
		d := newDesk(t)
		d.set.Kind = plan.Tree
		draw(New("Round", d))
		f := d.find("Tree 1")
		if f.Centre == nil || *f.Centre != (orb.Point{5, 5}) || f.RadiusM != 2 {
			t.Errorf("%s: centre %v, radius %v", name, f.Centre, f.RadiusM)
		}
	}
	d := newDesk(t)
	r := New("Round", d)
	click(r, 5, 5)
	r.Key(Escape, 0)
	d.untouched("Escape")
	d.set.Kind = plan.Stake
	click(r, 1.1, 2)
	if f := d.find("Stake 1"); f.Geometry != (orb.Point{1, 2}) || r.Busy() {
		t.Errorf("a stake is %v", f.Geometry)
	}
}

func TestSnapGoesToCornersBeforeTheGrid(t *testing.T) {
	tree := plan.NewFeature(plan.Tree, "Tree", geometry.Disc(orb.Point{20, 20}, 3))
	tree.Centre, tree.RadiusM = &orb.Point{20, 20}, 3
	d := newDesk(t, box(plan.Bed, "Bed 1", 0.13, 0.17, 4, 4), tree)
	for _, c := range []struct {
		at   orb.Point
		mods Mods
		want orb.Point
		word string
	}{
		{orb.Point{0.3, 0.2}, 0, orb.Point{0.13, 0.17}, "corner"},
		{orb.Point{0.3, 0.2}, Ctrl, orb.Point{0.3, 0.2}, ""},
		{orb.Point{2.2, 2.3}, 0, orb.Point{2, 2.5}, "grid"},
		{orb.Point{20.1, 20.2}, 0, orb.Point{20, 20}, "corner"}, // a circle's centre
		{orb.Point{23.02, 20.02}, 0, orb.Point{23, 20}, "grid"}, // not its many corners
		{orb.Point{2.2226, 2.3}, Ctrl, orb.Point{2.223, 2.3}, ""},
	} {
		if got := snap(d, Event{c.at, c.mods}, nil); got.at != c.want || got.word != c.word {
			t.Errorf("%v with %v: %v %q, want %v %q", c.at, c.mods, got.at, got.word, c.want, c.word)
		}
	}
}

func TestNextName(t *testing.T) {
	p := plan.New("")
	for i, want := range []string{"Bed 1", "Bed 2"} {
		if got := arrange.NextName(p, plan.Bed); got != want {
			t.Errorf("%d: %q", i, got)
		}
		p.Features = append(p.Features, plan.NewFeature(plan.Bed, want, nil))
	}
	p.Features = append(p.Features, plan.NewFeature(plan.Bed, "Bed 11", nil), plan.NewFeature(plan.Bed, "Bedding 40", nil))
	for k, want := range map[plan.Kind]string{plan.Bed: "Bed 12", plan.PerennialStrip: "Flower strip 1", plan.Boundary: "Boundary"} {
		if got := arrange.NextName(p, k); got != want {
			t.Errorf("%s: %q, want %q", k, got, want)
		}
	}
	p.Features = append(p.Features, plan.NewFeature(plan.Boundary, "Boundary", nil))
	if got := arrange.NextName(p, plan.Boundary); got != "Boundary 1" {
		t.Errorf("second boundary: %q", got)
	}
}
