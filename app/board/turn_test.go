package board

import (
	"math"
	"testing"

	"fyne.io/fyne/v2"
	"github.com/paulmach/orb"

	"hedgereach/app/session"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// slanting is the garden turned by 30° anticlockwise.
func slanting() *plan.Plan {
	p := garden()
	for _, f := range p.Features {
		f.Geometry = geometry.Rotate(f.Geometry, orb.Point{}, 30)
	}
	return p
}

func TestTurnThePlanToABed(t *testing.T) {
	h := newBench(t, slanting())
	h.choose("Bed 1")
	middle := geometry.Centroid(h.named("Bed 1").Geometry)
	before := h.board.view.To(middle)
	if err := h.act("Turn the plan to").Do(); err != nil {
		t.Fatal(err)
	}
	v := h.board.view
	if math.Abs(v.Turn+math.Pi/6) > 1e-9 {
		t.Errorf("turned by %v", v.Turn)
	}
	r := h.named("Bed 1").Geometry.(orb.Polygon)[0]
	a, b := v.To(r[0]), v.To(r[1])
	if math.Abs(a[1]-b[1]) > 1e-6 || b[0] <= a[0] {
		t.Errorf("the long side is seen from %v to %v", a, b)
	}
	if after := v.To(middle); math.Hypot(after[0]-before[0], after[1]-before[1]) > 1e-6 {
		t.Errorf("the bed went from %v to %v", before, after)
	}
	// North stays true: the plan's y axis is seen 30° to the right of up.
	if n := v.North(0); math.Abs(n-30) > 1e-9 {
		t.Errorf("north is shown at %v°", n)
	}
	if h.s.Document().Dirty() {
		t.Error("looking at it otherwise is an edit")
	}
	h.board.Fit()
	if in := h.board.shown(); in.Max[0]-in.Min[0] > 60 {
		t.Errorf("fitted to %v", in)
	}
	if err := h.act("Turn the plan back").Do(); err != nil || h.board.view.Turn != 0 {
		t.Error("not turned back")
	}
}

func TestDrawingOnATurnedPlan(t *testing.T) {
	h := newBench(t, slanting())
	h.choose("Bed 1")
	if err := h.act("Turn the plan to").Do(); err != nil {
		t.Fatal(err)
	}
	h.settle()
	// Level on the screen: 200 units long and 40 high at 20 units a metre.
	h.typing("r")
	from, to := h.board.at(fyne.NewPos(300, 100)), h.board.at(fyne.NewPos(500, 140))
	h.mods = fyne.KeyModifierControl
	h.drag(from[0], from[1], to[0], to[1])
	h.mods = 0
	f := h.named("Bed 3")
	r := f.Geometry.(orb.Polygon)[0]
	a, b := h.board.view.To(r[0]), h.board.view.To(r[1])
	if math.Abs(a[1]-b[1]) > 0.05 || math.Abs(geometry.Area(f.Geometry)-20) > 0.05 {
		t.Errorf("drawn from %v to %v, %v m²", a, b, geometry.Area(f.Geometry))
	}
	// An arrow moves along the screen.
	h.key(fyne.KeyEscape, fyne.KeyRight)
	moved := h.board.view.To(h.named("Bed 3").Geometry.(orb.Polygon)[0][0])
	if math.Abs(moved[1]-a[1]) > 0.05 || moved[0] <= a[0] {
		t.Errorf("an arrow moved it from %v to %v", a, moved)
	}
	// A box on the screen takes what lies in it as seen.
	h.board.Fit()
	h.s.Select()
	lo, hi := h.board.at(fyne.NewPos(5, 5)), h.board.at(fyne.NewPos(795, 595))
	h.drag(lo[0], lo[1], hi[0], hi[1])
	if n := len(h.s.Selection()); n != 4 {
		t.Errorf("a box over all chooses %d of 4", n)
	}
}

// The shading of a turned plan is of the ground beneath it.
func TestShadingLiesWithTheGround(t *testing.T) {
	h := newBench(t, slanting())
	h.s.SetAsk(session.Ask{RangeM: 6})
	h.board.SetTurn(-math.Pi / 6)
	h.settle()
	if n := len(h.board.shade.lines); n != 1 || len(h.board.shade.lines[0].lines) == 0 {
		t.Fatal("no line at the range")
	}
	hedge := h.named("Hedge").Geometry
	for _, l := range h.board.shade.lines[0].lines {
		for _, p := range l {
			if d := geometry.PointDistance(p, hedge); math.Abs(d-6) > 1e-5 {
				t.Fatalf("the line at 6 m passes %v, %v m off", p, d)
			}
		}
	}
	l := h.board.shade.layer
	size := l.img.Bounds().Size()
	want := h.board.view.To(l.view.From(orb.Point{}))
	p, s := l.raster.Position(), l.raster.Size()
	far := h.board.view.To(l.view.From(orb.Point{float64(size.X), float64(size.Y)}))
	if math.Abs(float64(p.X)-want[0])+math.Abs(float64(p.Y)-want[1]) > 0.01 ||
		math.Abs(float64(p.X+s.Width)-far[0])+math.Abs(float64(p.Y+s.Height)-far[1]) > 0.02 {
		t.Errorf("the shading lies at %v, %v, its ground at %v to %v", p, s, want, far)
	}
}
