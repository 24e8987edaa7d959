package tool

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// turner is where the turning handle of the selection stands.
func turner(t *testing.T, p Tool) orb.Point {
	t.Helper()
	for _, h := range p.Sketch().Handles {
		if h.Sort == Turner {
			return h.At
		}
	}
	t.Fatal("there is no handle to turn by")
	return orb.Point{}
}

func TestTurnByTheHandle(t *testing.T) {
	d := site(t)
	p := New("Pick", d)
	click(p, 5, 0.5)
	at := turner(t, p)
	if at[0] != 5 || at[1] <= 1 {
		t.Fatalf("the handle stands at %v", at)
	}
	// A quarter turn clockwise about the middle of the bed, 5, 0.5.
	r := at[1] - 0.5
	drag(p, at[0], at[1], 5+r, 0.5)
	ring(t, d.find("Bed 1"), orb.Point{4.5, 5.5}, orb.Point{4.5, -4.5}, orb.Point{5.5, -4.5}, orb.Point{5.5, 5.5})
	if d.last() != "turn Bed 1" {
		t.Errorf("edit %q", d.last())
	}

	// Steps of 5°: 12° comes to 10°, with Ctrl it stays.
	turned := func(to float64, mods ...Mods) float64 {
		d := site(t)
		p := New("Pick", d)
		click(p, 5, 0.5)
		at := turner(t, p)
		s, c := math.Sincos(to * math.Pi / 180)
		r := at[1] - 0.5
		drag(p, at[0], at[1], 5+r*s, 0.5+r*c, mods...)
		_, _, along, _, _ := arrange.Sides(d.find("Bed 1"))
		return -math.Atan2(along[1], along[0]) * 180 / math.Pi
	}
	for _, c := range []struct {
		to, want float64
		mods     Mods
	}{{12, 10, 0}, {13, 15, 0}, {12, 12, Ctrl}, {23, 30, Shift}} {
		if got := turned(c.to, c.mods); math.Abs(got-c.want) > 0.01 {
			t.Errorf("turned by %v° with %v: %v°, want %v°", c.to, c.mods, got, c.want)
		}
	}
}

func TestTurningFindsParallels(t *testing.T) {
	slanted := plan.NewFeature(plan.Bed, "Slanted", arrange.Tidy(geometry.Rotate(box(plan.Bed, "", 20, 0, 30, 1).Geometry, orb.Point{}, 17.3)))
	d := newDesk(t, box(plan.Bed, "Bed 1", 0, 0, 10, 1), slanted)
	p := New("Pick", d)
	click(p, 5, 0.5)
	at := turner(t, p)
	s, c := math.Sincos(-17 * math.Pi / 180)
	r := at[1] - 0.5
	p.Press(Event{At: at})
	p.Drag(Event{At: orb.Point{5 + r*s, 0.5 + r*c}})
	if k := p.Sketch(); k.Snap != "parallel" || !strings.Contains(k.Words, "anticlockwise") {
		t.Errorf("%q, %q", k.Snap, k.Words)
	}
	p.Release(Event{At: orb.Point{5 + r*s, 0.5 + r*c}})
	_, _, along, _, _ := arrange.Sides(d.find("Bed 1"))
	if got := math.Atan2(along[1], along[0]) * 180 / math.Pi; math.Abs(got-17.3) > 0.01 {
		t.Errorf("lies at %v°, want 17.3°", got)
	}
	drag(p, turner(t, p)[0], turner(t, p)[1], 40, 40)
	p.Press(Event{At: turner(t, p)})
	p.Drag(Event{At: orb.Point{-40, 0}})
	n := len(d.history)
	p.Key(Escape, 0)
	p.Release(Event{At: orb.Point{-40, 0}})
	if len(d.history) != n || d.preview != nil {
		t.Error("given up, it was turned")
	}
}

func TestLockedAndHidden(t *testing.T) {
	d := site(t)
	d.history[0] = arrange.SetLocked(d.Plan(), []string{d.find("Bed 1").ID}, true)
	p := New("Pick", d)
	click(p, 5, 0.5)
	if chosen(d) != "Bed 1" || len(p.Sketch().Handles) != 0 {
		t.Errorf("a locked bed: chosen %q, %d handles", chosen(d), len(p.Sketch().Handles))
	}
	for what, do := range map[string]func(){
		"a drag":      func() { drag(p, 5, 0.5, 8, 8) },
		"an arrow":    func() { click(p, 5, 0.5); p.Key(Left, 0) },
		"Delete":      func() { click(p, 5, 0.5); p.Key(Delete, 0) },
		"a box round": func() { drag(p, -1, -1, 11, 1.5) },
	} {
		do()
		d.untouched(what + " of a locked bed")
	}
	click(p, 5, 0.5)
	click(p, 5, 3.5, Shift)
	drag(p, 5, 3.5, 5, 8.5)
	ring(t, d.find("Bed 1"), orb.Point{0, 0}, orb.Point{10, 0}, orb.Point{10, 1}, orb.Point{0, 1})
	ring(t, d.find("Bed 2"), orb.Point{0, 8}, orb.Point{10, 8}, orb.Point{10, 9}, orb.Point{0, 9})

	d.history = append(d.history, arrange.SetHidden(d.Plan(), []string{d.find("Bed 2").ID}, true))
	d.Select()
	click(p, 5, 8.5)
	if chosen(d) != "" {
		t.Errorf("a hidden bed is chosen by a click: %q", chosen(d))
	}
	o := New("Outline", d)
	move(o, 0.1, 8.1)
	if w := o.Sketch().Snap; w == "corner" {
		t.Error("drawn to a corner that nobody sees")
	}
}
