package tool

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"hedgereach/geometry"
	_ "hedgereach/geometry/repeatable"
	"hedgereach/habitat/plan"
)

func strip(name string, width float64, line ...orb.Point) *plan.Feature {
	f := plan.NewFeature(plan.Hedgerow, name, nil)
	if setStrip(f, line, width) == nil {
		panic("no strip")
	}
	return f
}

func round(name string, x, y, r float64) *plan.Feature {
	return setCircle(plan.NewFeature(plan.Tree, name, nil), orb.Point{x, y}, r)
}

func site(t *testing.T) *desk {
	return newDesk(t,
		box(plan.Boundary, "Boundary", -20, -20, 60, 60),
		box(plan.Bed, "Bed 1", 0, 0, 10, 1),
		box(plan.Bed, "Bed 2", 0, 3, 10, 4),
		strip("Hedge", 2, orb.Point{20, 0}, orb.Point{30, 0}, orb.Point{30, 10}),
		round("Tree", 40, 40, 3),
		plan.NewFeature(plan.Stake, "Stake", orb.Point{50, 50}),
	)
}

// chosen is the names of what is selected.
func chosen(d *desk) string {
	var out []string
	for _, id := range d.chosen {
		f, _ := d.Plan().Find(id)
		out = append(out, f.Name)
	}
	return strings.Join(out, ",")
}

func TestPickChooses(t *testing.T) {
	d := site(t)
	p := New("Pick", d)
	for _, c := range []struct {
		x, y float64
		mods Mods
		want string
	}{
		{5, 0.5, 0, "Bed 1"},
		{5, 3.5, 0, "Bed 2"},
		{5, 0.5, Shift, "Bed 2,Bed 1"},
		{5, 3.5, Shift, "Bed 1"}, // off again
		{15, 15, 0, ""},          // within the boundary there is nothing
		{-20, 10, 0, "Boundary"}, // its line
		{50.2, 50.1, 0, "Stake"}, // a mark is small: near is enough
		{40, 42, 0, "Tree"},
	} {
		click(p, c.x, c.y, c.mods)
		if got := chosen(d); got != c.want {
			t.Errorf("click at %v,%v with %v: %q, want %q", c.x, c.y, c.mods, got, c.want)
		}
	}
	d.untouched("clicks")
	drag(p, -1, -1, 11, 5)
	if got := chosen(d); got != "Bed 1,Bed 2" {
		t.Errorf("box: %q", got)
	}
	click(p, 5, 0.5) // one of several: alone
	if got := chosen(d); got != "Bed 1" {
		t.Errorf("click on one of several: %q", got)
	}
	for _, c := range []struct {
		x, y float64
		want Over
	}{{0, 0, OverHandle}, {5, 0.2, OverHandle}, {3, 0.5, OverChosen}, {5, 2.2, OverTurner},
		{5, 3.5, OverFeature}, {15, 15, OverGround}} {
		move(p, c.x, c.y)
		if got := p.(*Pick).Over(); got != c.want {
			t.Errorf("at %v,%v the pointer is over %v, want %v", c.x, c.y, got, c.want)
		}
	}
	d.untouched("choosing")
}

func TestPickMoves(t *testing.T) {
	d := site(t)
	p := New("Pick", d)
	drag(p, 5, 0.5, 7.1, 10.6) // by 2.1 and 10.1: its corner goes to the grid
	ring(t, d.find("Bed 1"), orb.Point{2, 10}, orb.Point{12, 10}, orb.Point{12, 11}, orb.Point{2, 11})
	if d.last() != "move Bed 1" {
		t.Errorf("edit %q", d.last())
	}
	drag(p, 25, 0.5, 25, 20, Ctrl) // a strip moves with its line
	if f := d.find("Hedge"); f.Line[0] != (orb.Point{20, 19.5}) || !geometry.Contains(f.Geometry, orb.Point{25, 19.5}) {
		t.Errorf("line %v", f.Line)
	}
	drag(p, 40, 41, 45.1, 41)
	if f := d.find("Tree"); *f.Centre != (orb.Point{45, 40}) {
		t.Errorf("centre %v", f.Centre)
	}
	drag(p, 50, 50, 51.2, 50)
	if f := d.find("Stake"); f.Geometry != (orb.Point{51, 50}) {
		t.Errorf("stake %v", f.Geometry)
	}
}

func TestPickMovesSeveral(t *testing.T) {
	d := site(t)
	p := New("Pick", d)
	drag(p, -1, -1, 11, 5)
	drag(p, 5, 0.5, 6, 0.5, Shift)
	if d.last() != "move 2 features" || d.find("Bed 2").Geometry.(orb.Polygon)[0][0] != (orb.Point{1, 3}) {
		t.Errorf("edit %q, bed 2 %v", d.last(), d.find("Bed 2").Geometry)
	}
	// A corner of another feature draws the moved corner to itself; those that move do not.
	drag(p, 1.1, 0.9, -19.85, -19.2)
	if got := d.find("Bed 1").Geometry.(orb.Polygon)[0][0]; got[1] != -20 {
		t.Errorf("bed 1 at %v", got)
	}
}

func TestPickGivesUp(t *testing.T) {
	d := site(t)
	p := New("Pick", d)
	p.Press(Event{At: orb.Point{5, 0.5}})
	p.Drag(Event{At: orb.Point{9, 9}})
	if d.preview == nil || !p.Busy() {
		t.Fatal("no preview while dragging")
	}
	if !p.Key(Escape, 0) || p.Busy() {
		t.Error("Escape does not end the drag")
	}
	p.Drag(Event{At: orb.Point{9, 12}}) // the button is still down
	p.Release(Event{At: orb.Point{9, 12}})
	d.untouched("Escape")
	if !p.Key(Escape, 0) || len(d.chosen) != 0 {
		t.Error("a second Escape keeps the selection")
	}
	if p.Key(Escape, 0) {
		t.Error("a third Escape is taken")
	}
	drag(p, 5, 0.5, 5.1, 0.55) // comes to nothing on the grid
	d.untouched("a drag back to the start")
}

// The toolkit can lose the release: the next move with no button down must end the drag where it was, not go on.
func TestPickWithALostRelease(t *testing.T) {
	d := site(t)
	p := New("Pick", d)
	p.Press(Event{At: orb.Point{5, 0.5}})
	p.Drag(Event{At: orb.Point{5, 10.5}})
	p.Move(Event{At: orb.Point{30, 30}})
	if p.Busy() || d.find("Bed 1").Geometry.(orb.Polygon)[0][0] != (orb.Point{0, 10}) {
		t.Errorf("bed 1 %v", d.find("Bed 1").Geometry)
	}
}

func TestPickReshapes(t *testing.T) {
	d := site(t)
	p := New("Pick", d)
	click(p, 5, 0.5)
	drag(p, 10, 1, 12.1, 2.1, Shift) // by itself: else the rectangle would stay one
	ring(t, d.find("Bed 1"), orb.Point{0, 0}, orb.Point{10, 0}, orb.Point{12, 2}, orb.Point{0, 1})
	if d.last() != "reshape Bed 1" {
		t.Errorf("edit %q", d.last())
	}
	drag(p, 0, 0, -1, -0.9) // the first corner, which closes the ring
	ring(t, d.find("Bed 1"), orb.Point{-1, -1}, orb.Point{10, 0}, orb.Point{12, 2}, orb.Point{0, 1})
	drag(p, 11, 1, 13, 0.5) // the middle of an edge becomes a corner
	ring(t, d.find("Bed 1"), orb.Point{-1, -1}, orb.Point{10, 0}, orb.Point{13, 0.5}, orb.Point{12, 2}, orb.Point{0, 1})
	click(p, 13, 0.5)
	if s := p.Sketch(); !slices.ContainsFunc(s.Handles, func(h Handle) bool { return h.Chosen && h.At == orb.Point{13, 0.5} }) {
		t.Error("the clicked corner is not shown as chosen")
	}
	p.Key(Delete, 0)
	ring(t, d.find("Bed 1"), orb.Point{-1, -1}, orb.Point{10, 0}, orb.Point{12, 2}, orb.Point{0, 1})
	click(p, 12, 2, Ctrl)
	ring(t, d.find("Bed 1"), orb.Point{-1, -1}, orb.Point{10, 0}, orb.Point{0, 1})
	n := len(d.history)
	click(p, 10, 0, Ctrl)
	if len(d.history) != n || d.said == "" {
		t.Error("a triangle lost a corner")
	}
}

func TestPickRefusesABowTie(t *testing.T) {
	d := site(t)
	p := New("Pick", d)
	click(p, 5, 0.5)
	p.Press(Event{At: orb.Point{10, 1}, Mods: Shift})
	p.Drag(Event{At: orb.Point{5, -3}, Mods: Shift})
	if s := p.Sketch(); s.Bad == "" || s.Shape == nil || d.preview != nil {
		t.Errorf("bad %q, shape %v, in the plan shown: %v", s.Bad, s.Shape, d.preview != nil)
	}
	p.Release(Event{At: orb.Point{5, -3}, Mods: Shift})
	d.untouched("a bow-tie")
	if !strings.Contains(d.said, "Bed 1") {
		t.Errorf("said %q", d.said)
	}
}

func TestPickReshapesStripsAndRounds(t *testing.T) {
	d := site(t)
	p := New("Pick", d)
	click(p, 25, 0.5)
	drag(p, 30, 10, 30, 15) // the end of the line
	f := d.find("Hedge")
	if f.Line[2] != (orb.Point{30, 15}) || math.Abs(geometry.Area(f.Geometry)-50) > 1e-6 { // 2 m × (10 + 15) m
		t.Errorf("line %v, area %v", f.Line, geometry.Area(f.Geometry))
	}
	var width grip
	for _, g := range grips(f) {
		if g.Sort == Width {
			width = g
		}
	}
	out := orb.Point{width.At[0] + (width.At[0] - 30), width.At[1]} // twice as far from the line x = 30
	drag(p, width.At[0], width.At[1], out[0], out[1])
	if f := d.find("Hedge"); f.WidthM != 4 || d.last() != "change the width of Hedge" {
		t.Errorf("width %v, edit %q", f.WidthM, d.last())
	}
	click(p, 40, 41)
	drag(p, 43, 40, 45.1, 40)
	if f := d.find("Tree"); f.RadiusM != 5 || *f.Centre != (orb.Point{40, 40}) {
		t.Errorf("radius %v about %v", f.RadiusM, f.Centre)
	}
	n := len(d.history)
	drag(p, 45, 40, 40, 40) // to nothing
	if len(d.history) != n || d.said == "" {
		t.Error("a tree of no size was made")
	}
}

func TestPickKeys(t *testing.T) {
	d := site(t)
	p := New("Pick", d)
	if p.Key(Left, 0) || p.Key(Delete, 0) {
		t.Error("keys with nothing selected are taken")
	}
	click(p, 5, 0.5)
	p.Key(Right, 0)
	p.Key(Up, Shift)
	p.Key(Left, Alt)
	if got := d.find("Bed 1").Geometry.(orb.Polygon)[0][0]; got != (orb.Point{0.49, 5}) {
		t.Errorf("nudged to %v", got)
	}
	p.Key(Delete, 0)
	if d.last() != "delete Bed 1" || len(d.Plan().Features) != 5 {
		t.Errorf("edit %q, %d features left", d.last(), len(d.Plan().Features))
	}
}

// Whatever is done with the tools, the plans of the history stay as they were, so that undo gives them back byte for byte;
// and every plan that a tool hands in is proper and keeps millimetres.
func TestAnySequenceCanBeUndone(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := site(t)
		written := [][]byte{marshal(t, d.Plan())}
		tools := map[string]Tool{}
		for _, i := range Infos {
			tools[i.Name] = New(i.Name, d)
		}
		coord := rapid.Custom(func(rt *rapid.T) float64 {
			if rapid.Bool().Draw(rt, "near") {
				f := rapid.SampledFrom(d.history[0].Features).Draw(rt, "feature")
				b := f.Geometry.Bound()
				return rapid.SampledFrom([]float64{b.Min[0], b.Max[0], b.Min[1], b.Max[1], b.Center()[0], b.Center()[1]}).Draw(rt, "edge")
			}
			return rapid.Float64Range(-25, 65).Draw(rt, "metres")
		})
		current := tools["Pick"]
		for range rapid.IntRange(1, 40).Draw(rt, "steps") {
			e := Event{orb.Point{coord.Draw(rt, "x"), coord.Draw(rt, "y")}, Mods(rapid.IntRange(0, 7).Draw(rt, "mods"))}
			switch rapid.IntRange(0, 9).Draw(rt, "what") {
			case 0:
				current.Cancel()
				current = tools[Infos[rapid.IntRange(0, len(Infos)-1).Draw(rt, "tool")].Name]
			case 1:
				current.Key(Key(rapid.IntRange(int(Enter), int(Down)).Draw(rt, "key")), e.Mods)
			case 2:
				current.Rune(rapid.SampledFrom([]rune("1234.5' xwft")).Draw(rt, "rune"))
			case 3:
				current.Move(e)
			case 4, 5:
				click(current, e.At[0], e.At[1], e.Mods)
			default:
				drag(current, e.At[0], e.At[1], coord.Draw(rt, "to x"), coord.Draw(rt, "to y"), e.Mods)
			}
			current.Sketch()
			current.Hint()
			for len(written) < len(d.history) {
				p := d.history[len(written)]
				for _, f := range p.Features {
					if bad := trouble(f.Geometry); bad != "" {
						rt.Fatalf("%q handed in %s: %s", d.names[len(written)-1], f.Name, bad)
					}
					checkMillimetres(rt, f)
				}
				written = append(written, marshal(t, p))
			}
		}
		for i, p := range d.history {
			if got := marshal(t, p); !bytes.Equal(got, written[i]) {
				rt.Fatalf("after %q, plan %d is no longer what it was", d.names, i)
			}
		}
	})
}

func checkMillimetres(t *rapid.T, f *plan.Feature) {
	eachCorner(f.Geometry, func(p orb.Point) {
		if p != roundPoint(p) {
			t.Fatalf("%s has a corner at %v", f.Name, p)
		}
	})
}

func marshal(t *testing.T, p *plan.Plan) []byte {
	t.Helper()
	b, err := plan.Marshal(p)
	if err != nil {
		t.Fatal(fmt.Errorf("a plan cannot be written: %w", err))
	}
	return b
}
