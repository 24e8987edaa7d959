package board

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"github.com/paulmach/orb"

	"hedgereach/habitat/plan"
)

// space presses and lets go of the space bar, as the toolkit tells of it.
func (h *bench) space() {
	h.board.KeyDown(&fyne.KeyEvent{Name: fyne.KeySpace})
	h.board.TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	h.typing(" ")
	h.board.KeyUp(&fyne.KeyEvent{Name: fyne.KeySpace})
}

func (h *bench) press(k fyne.KeyName, times int, mods fyne.KeyModifier) {
	h.mods = mods
	for range times {
		h.board.KeyDown(&fyne.KeyEvent{Name: k})
		if mods&(fyne.KeyModifierAlt|fyne.KeyModifierControl) == 0 { // else the toolkit makes a shortcut of it
			h.key(k)
		}
	}
	h.mods = 0
}

// A bed, a hedge by its line and a tree are drawn with no mouse at all.
func TestDrawingByKeysAlone(t *testing.T) {
	h := newBench(t, plan.New(""))
	step := h.board.StepM()
	start := h.board.view.Centre
	h.typing("r")
	h.press(fyne.KeyRight, 1, 0)
	if !strings.Contains(h.board.Hint(), "Space") {
		t.Errorf("the hint is %q", h.board.Hint())
	}
	from := h.board.keys.at
	if d := from[0] - start[0]; d < step/2 || d > 3*step/2 {
		t.Errorf("the first step brings the pointer from %v to %v", start, from)
	}
	h.space()
	h.press(fyne.KeyRight, 1, fyne.KeyModifierShift) // ten steps
	h.press(fyne.KeyUp, 2, 0)
	h.space()
	fs := h.features()
	if len(fs) != 1 {
		t.Fatalf("%d features", len(fs))
	}
	want := orb.Bound{Min: from, Max: orb.Point{from[0] + 10*step, from[1] + 2*step}}
	if b := fs[0].Geometry.Bound(); !near(b, want) {
		t.Errorf("the bed lies in %v, want %v", b, want)
	}

	h.board.SetKind(plan.Hedgerow)
	h.typing("s")
	h.press(fyne.KeyDown, 1, fyne.KeyModifierShift)
	h.space()
	h.press(fyne.KeyLeft, 3, 0)
	h.typing("4 ft 6 in") // its spaces are no clicks
	h.key(fyne.KeyReturn, fyne.KeyReturn)
	if n := len(h.features()); n != 2 || len(h.features()[1].Line) != 2 {
		t.Fatalf("%d features", n)
	}
	if l := h.features()[1].Line; l[1][0]-l[0][0] < -1.3721 || l[1][0]-l[0][0] > -1.3711 || l[0][1] != l[1][1] {
		t.Errorf("the hedge runs along %v", l)
	}

	h.board.SetKind(plan.Tree)
	h.typing("c")
	h.press(fyne.KeyDown, 3, fyne.KeyModifierShift)
	h.press(fyne.KeyRight, 3, fyne.KeyModifierAlt) // 3 cm off the grid, and not drawn back to it
	at := h.board.keys.at
	h.space()
	h.typing("2 m")
	h.key(fyne.KeyReturn)
	if n := len(h.features()); n != 3 {
		t.Fatalf("%d features", n)
	}
	if f := h.features()[2]; f.RadiusM != 2 || !near(f.Centre.Bound(), roundMM(at).Bound()) {
		t.Errorf("the tree stands at %v, the pointer was at %v", *f.Centre, at)
	}
	h.move(3, 3)
	if h.board.keys.on {
		t.Error("the mouse does not take over")
	}
}

func near(a, b orb.Bound) bool {
	for i := range 2 {
		if d := a.Min[i] - b.Min[i]; d > 0.001 || d < -0.001 {
			return false
		}
		if d := a.Max[i] - b.Max[i]; d > 0.001 || d < -0.001 {
			return false
		}
	}
	return true
}

// The key pointer takes the ground along at the board's edge; Ctrl and the arrows move the ground alone.
func TestTheKeyPointerStaysInSight(t *testing.T) {
	h := newBench(t, plan.New(""))
	h.typing("o")
	h.press(fyne.KeyLeft, 40, fyne.KeyModifierShift)
	p := h.board.view.To(h.board.keys.at)
	if p[0] < 0 || p[1] < 0 || p[0] > float64(h.board.size.Width) || p[1] > float64(h.board.size.Height) {
		t.Errorf("the pointer is at %v of a board of %v", p, h.board.size)
	}
	at, view := h.board.keys.at, h.board.view.Centre
	h.press(fyne.KeyUp, 1, fyne.KeyModifierControl)
	if h.board.keys.at != at || h.board.view.Centre[1] <= view[1] {
		t.Errorf("Ctrl and Up moved the pointer to %v, the middle to %v", h.board.keys.at, h.board.view.Centre)
	}
}

// Page Down goes from feature to feature; with Shift it adds.
func TestPagingThroughTheFeatures(t *testing.T) {
	p := garden()
	p.Features[1].Hidden = true
	h := newBench(t, p)
	name := func() (out string) {
		for _, id := range h.s.Selection() {
			f, _ := h.s.Plan().Find(id)
			out += f.Name + " "
		}
		return out
	}
	for _, want := range []string{"Hedge ", "Bed 2 ", "Hedge "} {
		if h.key(fyne.KeyPageDown); name() != want {
			t.Errorf("%q is chosen, want %q", name(), want)
		}
	}
	if h.key(fyne.KeyPageUp); name() != "Bed 2 " {
		t.Errorf("%q is chosen", name())
	}
	if h.press(fyne.KeyPageUp, 1, fyne.KeyModifierShift); name() != "Bed 2 Hedge " {
		t.Errorf("%q is chosen", name())
	}
}

// Escape closes what the window has open, but gives up a gesture first.
func TestEscapeAsksTheWindow(t *testing.T) {
	h := newBench(t, garden())
	open := true
	h.board.OnEscape = func() bool { was := open; open = false; return was }
	h.typing("r")
	h.click(2, 10)
	h.key(fyne.KeyEscape)
	if h.board.tool.Busy() || !open {
		t.Errorf("the gesture goes on: %v; the form is open: %v", h.board.tool.Busy(), open)
	}
	if h.key(fyne.KeyEscape); open || h.board.Tool() != "Rectangle" {
		t.Errorf("the form is open: %v; the tool is %s", open, h.board.Tool())
	}
	if h.key(fyne.KeyEscape); h.board.Tool() != "Pick" {
		t.Errorf("the tool is %s", h.board.Tool())
	}
}

// A board that shows the whole plan goes on showing it in a larger window; one that was zoomed keeps its scale.
func TestTheWholePlanStaysWhole(t *testing.T) {
	h := newBench(t, garden())
	h.board.Fit()
	before := h.board.view.Scale
	h.board.Resize(fyne.NewSize(1600, 1200))
	if k := h.board.view.Scale / before; k < 1.9 {
		t.Errorf("in a window of twice the size the plan is %.2f times as large", k)
	}
	h.board.ZoomIn()
	zoomed := h.board.view.Scale
	h.board.Resize(fyne.NewSize(800, 600))
	if h.board.view.Scale != zoomed {
		t.Errorf("the scale goes from %g to %g", zoomed, h.board.view.Scale)
	}
}
