package board

import (
	"bytes"
	"image"
	"image/color"
	"math"
	"slices"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"github.com/paulmach/orb"

	"hedgereach/app/document"
	"hedgereach/app/session"
	"hedgereach/app/style"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

func garden() *plan.Plan {
	p := plan.New("garden")
	p.Features = []*plan.Feature{
		box(plan.Hedgerow, "Hedge", 0, 0, 20, 2),
		box(plan.Bed, "Bed 1", 0, 5, 20, 6.2),
		box(plan.Bed, "Bed 2", 0, 20, 20, 21.2),
	}
	return p
}

func TestDrawSelectMoveUndo(t *testing.T) {
	h := newBench(t, garden())
	h.typing("r")
	if h.board.Tool() != "Rectangle" {
		t.Fatalf("tool %q", h.board.Tool())
	}
	h.drag(2, 10, 12, 11)
	if n := len(h.features()); n != 4 {
		t.Fatalf("%d features", n)
	}
	f := h.features()[3]
	if f.Name != "Bed 3" || f.Geometry.Bound() != (orb.Bound{Min: orb.Point{2, 10}, Max: orb.Point{12, 11}}) {
		t.Errorf("%s at %v", f.Name, f.Geometry.Bound())
	}
	h.key(fyne.KeyEscape)
	if h.board.Tool() != "Pick" || !h.s.Selected(f.ID) {
		t.Errorf("after Escape: tool %q, selection %v", h.board.Tool(), h.s.Selection())
	}
	h.drag(7, 10.5, 8, 12.5)
	if b := h.features()[3].Geometry.Bound(); b.Min != (orb.Point{3, 12}) {
		t.Errorf("moved to %v", b)
	}
	h.s.Undo()
	h.s.Undo()
	if n := len(h.features()); n != 3 {
		t.Errorf("%d features after undo", n)
	}
	h.s.Redo()
	h.s.Select(f.ID)
	h.key(fyne.KeyDelete)
	if n := len(h.features()); n != 3 {
		t.Errorf("%d features after Delete", n)
	}
}

func TestADragShowsItsConsequence(t *testing.T) {
	h := newBench(t, garden())
	h.s.SetAsk(session.Ask{RangeM: 10})
	bed2 := h.features()[2].ID
	if st := h.board.statuses[bed2]; st != habitat.Beyond {
		t.Fatalf("bed 2 is %v", st)
	}
	h.down(10, 1)
	h.to(10, 6)
	h.to(10, 16)
	if st := h.board.statuses[bed2]; st != habitat.Within {
		t.Errorf("with the hedge 3 m away bed 2 is %v", st)
	}
	if !h.board.moving[h.features()[0].ID] || h.s.Document().Dirty() {
		t.Error("the hedge is not taken as moving, or the history has it already")
	}
	h.settle()
	if !h.board.base.front.show.Hidden[h.features()[0].ID] {
		t.Error("the base still shows the hedge where it was")
	}
	h.key(fyne.KeyEscape)
	h.up(true)
	if st := h.board.statuses[bed2]; st != habitat.Beyond || h.s.Previewing() || h.s.Document().Dirty() {
		t.Errorf("given up: bed 2 is %v, previewing %v", st, h.s.Previewing())
	}
}

// The toolkit does not always tell that the button was let go.
func TestLostReleases(t *testing.T) {
	for name, end := range map[string]func(*bench){
		"only DragEnd":      func(h *bench) { h.board.DragEnd() },
		"only a later move": func(h *bench) { h.move(3, 3) },
		"MouseUp, DragEnd":  func(h *bench) { h.up(true) },
		"all of them":       func(h *bench) { h.up(true); h.move(3, 3); h.board.DragEnd() },
	} {
		h := newBench(t, garden())
		h.down(10, 5.5)
		h.to(10, 7)
		h.to(10, 8.5)
		end(h)
		if b := h.features()[1].Geometry.Bound(); b.Min != (orb.Point{0, 8}) || h.s.Previewing() {
			t.Errorf("%s: bed at %v, previewing %v", name, b, h.s.Previewing())
		}
		if n, _ := h.s.Document().UndoName(); n != "move Bed 1" {
			t.Errorf("%s: edit %q", name, n)
		}
		h.s.Undo()
		if h.s.Document().Dirty() {
			t.Errorf("%s: more than one edit", name)
		}
	}
}

func TestUndoDuringAGestureGivesItUp(t *testing.T) {
	h := newBench(t, garden())
	h.drag(10, 5.5, 10, 7.5)
	h.down(10, 1)
	h.to(10, 3)
	h.s.Undo()
	h.to(10, 4)
	h.up(true)
	if h.s.Document().Dirty() || h.s.Previewing() || h.board.tool.Busy() {
		t.Error("the gesture went on over an undone plan")
	}
}

func TestUndoWhileDrawing(t *testing.T) {
	h := newBench(t, garden())
	h.drag(10, 5.5, 10, 7.5)
	h.typing("o")
	h.click(25, 1)
	h.click(30, 1)
	h.board.Undo()
	h.board.Undo()
	if h.board.tool.Busy() || !h.s.Document().Dirty() {
		t.Error("undo while drawing does not take back the corners, or takes more")
	}
	h.board.Undo()
	if h.s.Document().Dirty() {
		t.Error("undo with nothing begun does not undo")
	}
	h.key(fyne.KeyEscape)
	h.down(10, 5.5)
	h.to(10, 9)
	h.board.Undo()
	h.up(true)
	if h.s.Document().Dirty() || h.s.Previewing() {
		t.Error("undo does not put back what is dragged")
	}
}

func TestPanAndZoom(t *testing.T) {
	h := newBench(t, garden())
	before := h.board.view
	h.board.MouseDown(h.mouse(fyne.NewPos(300, 300), desktop.MouseButtonTertiary))
	h.board.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(340, 280)}, Dragged: fyne.NewDelta(40, -20)})
	h.board.MouseUp(h.mouse(fyne.NewPos(340, 280), desktop.MouseButtonTertiary))
	h.board.DragEnd()
	if c := h.board.view.Centre; math.Abs(c[0]-before.Centre[0]+2) > 1e-9 || math.Abs(c[1]-before.Centre[1]+1) > 1e-9 {
		t.Errorf("a pan by 40,-20 at 20 units a metre moved the middle from %v to %v", before.Centre, c)
	}
	if h.s.Document().Dirty() || h.board.pointer.panning {
		t.Error("a pan edited, or goes on")
	}
	h.board.KeyDown(&fyne.KeyEvent{Name: fyne.KeySpace})
	at := h.board.view.Centre
	h.drag(10, 5.5, 11, 5.5)
	h.board.KeyUp(&fyne.KeyEvent{Name: fyne.KeySpace})
	if h.s.Document().Dirty() || h.board.view.Centre == at {
		t.Error("a drag with the space bar moved a bed, or did not pan")
	}

	under := fyne.NewPos(123, 456)
	place := h.board.at(under)
	for _, dy := range []float32{25, 3000, -25, -7} {
		scale := h.board.view.Scale
		h.board.Scrolled(&fyne.ScrollEvent{PointEvent: fyne.PointEvent{Position: under}, Scrolled: fyne.NewDelta(0, dy)})
		now := h.board.at(under)
		if math.Hypot(now[0]-place[0], now[1]-place[1]) > 1e-9 {
			t.Errorf("zooming by %v moved the ground under the pointer from %v to %v", dy, place, now)
		}
		if k := h.board.view.Scale / scale; (k > 1) != (dy > 0) || k > 1.5 || k < 1/1.5 {
			t.Errorf("a scroll of %v zooms by %v", dy, k)
		}
	}
	scale := h.board.view.Scale
	h.mods = fyne.KeyModifierShift
	h.board.Scrolled(&fyne.ScrollEvent{Scrolled: fyne.NewDelta(25, 0)})
	h.mods = 0
	if h.board.view.Scale != scale {
		t.Error("Shift and the wheel zoom")
	}
	h.typing("++-0")
	b, _ := h.board.boundOf(h.features())
	if in := h.board.shown(); !in.Contains(b.Min) || !in.Contains(b.Max) {
		t.Errorf("0 shows %v of a plan in %v", in, b)
	}
	for range 200 {
		h.board.ZoomOut()
	}
	for range 200 {
		h.board.ZoomIn()
	}
	if s := h.board.view.Scale; s != mostScale {
		t.Errorf("zoomed in to %v", s)
	}
}

func TestTheLayersStayOnTheirGround(t *testing.T) {
	h := newBench(t, garden())
	h.settle()
	check := func(after string) {
		t.Helper()
		for name, l := range map[string]*layer{"base": &h.board.base.layer, "shade": &h.board.shade.layer} {
			size := l.img.Bounds().Size()
			want := h.board.view.To(l.view.From(orb.Point{}))
			far := h.board.view.To(l.view.From(orb.Point{float64(size.X), float64(size.Y)}))
			p, s := l.raster.Position(), l.raster.Size()
			if math.Abs(float64(p.X)-want[0])+math.Abs(float64(p.Y)-want[1]) > 0.01 ||
				math.Abs(float64(p.X+s.Width)-far[0])+math.Abs(float64(p.Y+s.Height)-far[1]) > 0.02 {
				t.Errorf("after %s: the %s lies at %v, %v, its ground at %v to %v", after, name, p, s, want, far)
			}
		}
	}
	check("the start")
	number := h.board.base.number
	h.board.pan(30, 10)
	check("a small pan")
	if h.board.base.number != number {
		t.Error("a small pan asks for another base")
	}
	h.board.zoom(1.3, orb.Point{100, 100})
	check("a zoom")
	if h.board.base.number == number || !h.board.base.raster.Visible() {
		t.Error("a zoom does not ask for another base, or blanks the old one")
	}
	h.settle()
	check("the new base")
	if got, want := h.board.base.view.Scale, h.board.view.Scale*h.board.pixels; got != want {
		t.Errorf("the base has scale %v, the view %v", got, want)
	}
}

// A picture that took long must not replace a later one.
func TestStalePicturesAreDropped(t *testing.T) {
	h := newBench(t, garden())
	h.settle()
	old := h.board.base.front
	h.board.zoom(2, h.board.middle())
	h.settle()
	shown := h.board.base.img
	h.board.base.swap(old, h.board.base.canvas(10, 10))
	if h.board.base.img != shown {
		t.Error("an older picture replaced a newer one")
	}
}

func TestPicturesOfAllFeatures(t *testing.T) {
	h := newBench(t, garden())
	h.settle()
	b := &h.board.base
	pixel := func(x, y float64) color.RGBA {
		u := b.view.To(orb.Point{x, y})
		return b.img.RGBAAt(int(u[0]), int(u[1]))
	}
	g := style.Light.Ground
	bare := color.RGBA{g.R, g.G, g.B, 255}
	differ := 0
	for i := range 40 { // across the hedge, past the signs
		if pixel(10+float64(i)*0.05, 1) != bare {
			differ++
		}
	}
	if differ < 30 {
		t.Errorf("%d of 40 pixels of the hedge are not bare ground", differ)
	}
	if len(b.img.Pix) != b.img.Rect.Dx()*b.img.Rect.Dy()*4 || b.img.Rect.Min.X != 0 {
		t.Error("the base is not tightly packed from 0,0: the screen would show it skewed")
	}
	if img := h.board.shade.img; len(img.Pix) != img.Rect.Dx()*img.Rect.Dy()*4 {
		t.Error("the shading is not tightly packed")
	}
}

func TestShowBringsIntoView(t *testing.T) {
	h := newBench(t, garden())
	for name, look := range map[string]func(){
		"far off":   func() { h.board.view.Centre = orb.Point{4000, -900} },
		"a speck":   func() { h.board.view.Scale = 0.2 },
		"too close": func() { h.board.view.Scale = 900 },
	} {
		look()
		f := &habitat.Finding{Show: []orb.Point{{10, 2}, {10, 20}}}
		h.s.Show([]string{h.features()[2].ID}, f)
		in := h.board.shown()
		for _, p := range []orb.Point{{0, 20}, {20, 21.2}, {10, 2}} {
			if !in.Contains(p) {
				t.Errorf("%s: %v is out of view %v", name, p, in)
			}
		}
	}
	before := h.board.view
	h.s.Show([]string{h.features()[2].ID}, nil)
	if h.board.view != before {
		t.Error("what is well in view was moved")
	}
}

func TestKeysWhileDrawing(t *testing.T) {
	h := newBench(t, garden())
	var tools, hints []string
	h.board.OnToolChanged = func(s string) { tools = append(tools, s) }
	h.board.OnHint = func(s string) { hints = append(hints, s) }
	h.typing("o")
	h.click(2, 10)
	h.typing("r") // a slip: the shape goes on
	h.move(8, 10)
	h.typing("4 m")
	h.key(fyne.KeyReturn)
	h.move(6, 12)
	h.click(6, 12)
	h.key(fyne.KeyReturn)
	if !slices.Equal(tools, []string{"Outline"}) {
		t.Errorf("tools %v", tools)
	}
	f := h.features()[3]
	if r := f.Geometry.(orb.Polygon)[0]; !slices.Equal(r, orb.Ring{{2, 10}, {6, 10}, {6, 12}, {2, 10}}) {
		t.Errorf("outline %v", r)
	}
	if len(hints) < 3 {
		t.Errorf("hints %q", hints)
	}
	h.click(30, 10)
	h.board.SetTool("Strip")
	if h.board.tool.Busy() || h.s.Previewing() {
		t.Error("another tool leaves the half-drawn shape")
	}
	h.board.SetTool("no such tool")
	if h.board.Tool() != "Strip" {
		t.Errorf("tool %q", h.board.Tool())
	}
	h.board.SetKind(plan.Hedgerow)
	h.board.SetWidth(1.5)
	h.drag(0, 15, 10, 15)
	if f := h.features()[4]; f.Kind != plan.Hedgerow || f.WidthM != 1.5 || f.Name != "Hedgerow 1" {
		t.Errorf("%s, %v m wide", f.Name, f.WidthM)
	}
	h.board.SelectAll()
	if n := len(h.s.Selection()); n != 5 {
		t.Errorf("%d selected", n)
	}
	h.mods = fyne.KeyModifierAlt
	h.board.SetTool("Pick")
	h.board.KeyDown(&fyne.KeyEvent{Name: fyne.KeyRight})
	if x := h.features()[0].Geometry.Bound().Min[0]; x != 0.01 {
		t.Errorf("a fine nudge moved by %v", x)
	}
	h.board.DeleteSelection()
	if n := len(h.features()); n != 0 {
		t.Errorf("%d features left", n)
	}
}

func TestMenuSelectsWhatItIsFor(t *testing.T) {
	h := newBench(t, garden())
	calls := 0
	h.board.OnMenu = func(fyne.Position) { calls++ }
	h.board.MouseDown(h.mouse(h.pos(10, 5.5), desktop.MouseButtonSecondary))
	h.board.MouseUp(h.mouse(h.pos(10, 5.5), desktop.MouseButtonSecondary))
	if calls != 1 || !h.s.Selected(h.features()[1].ID) {
		t.Errorf("%d menus, selection %v", calls, h.s.Selection())
	}
}

func TestAnotherDocumentIsShownWhole(t *testing.T) {
	h := newBench(t, garden())
	view := h.board.view
	h.s.Select(h.features()[2].ID)
	h.key(fyne.KeyDelete) // the first edit, of a selected feature: much changes, but not the view
	if h.board.view != view {
		t.Error("deleting moved the view")
	}
	p := plan.New("afar")
	p.Features = []*plan.Feature{box(plan.Bed, "Bed 1", 900, 900, 950, 910)}
	h.s.SetDocument(document.New(p))
	if in := h.board.shown(); !in.Contains(orb.Point{900, 900}) || !in.Contains(orb.Point{950, 910}) {
		t.Errorf("shown %v", in)
	}
	h.settle()
	h.s.SetDocument(document.New(plan.New("")))
	h.settle()
	if in := h.board.shown(); !in.Contains(orb.Point{0, 0}) || in.Max[0]-in.Min[0] > 200 {
		t.Errorf("an empty plan shows %v", in)
	}
}

// Odd plans must not take the board down.
func TestOddPlans(t *testing.T) {
	p := garden()
	p.Features = append(p.Features,
		plan.NewFeature(plan.Bed, "nowhere", nil),
		plan.NewFeature(plan.Bed, "bow-tie", orb.Polygon{{{0, 0}, {5, 5}, {5, 0}, {0, 5}, {0, 0}}}),
		plan.NewFeature(plan.Bed, "no number", orb.Polygon{{{0, 0}, {math.NaN(), 5}, {5, 0}, {0, 0}}}),
		plan.NewFeature("maze", "of a newer program", orb.Polygon{{{8, 8}, {9, 8}, {9, 9}, {8, 8}}}),
		plan.NewFeature(plan.Stake, "stake", orb.Point{3, 3}),
	)
	h := newBench(t, p)
	h.settle()
	h.board.Fit()
	h.settle()
	for _, f := range p.Features {
		h.s.Show([]string{f.ID}, nil)
	}
	h.drag(10, 5.5, 10, 8)
	h.board.SelectAll()
	h.settle()
	if b := h.features()[1].Geometry.Bound(); !finite(b.Min) {
		t.Errorf("bed 1 at %v", b)
	}
}

// The whole of it through the toolkit's own painter: the picture changes when something is selected, and with another theme.
func TestPaintsThroughTheToolkit(t *testing.T) {
	h := newBench(t, garden())
	h.settle()
	c := fyne.CurrentApp().Driver().CanvasForObject(h.board)
	before := c.Capture()
	h.settle()
	h.s.Select(h.features()[0].ID)
	h.settle()
	after := c.Capture()
	if before.Bounds() != after.Bounds() || bytes.Equal(pixels(before), pixels(after)) {
		t.Error("a selection does not show")
	}
}

func pixels(img image.Image) []byte {
	n, ok := img.(*image.NRGBA)
	if !ok {
		return nil
	}
	return n.Pix
}

// However many moves come between two frames, the plan is made and measured once.
func TestManyMovesMakeOneFrame(t *testing.T) {
	h := newBench(t, garden())
	h.settle()
	var frames []func()
	h.board.atFrame = func(f func()) { frames = append(frames, f) }
	previews := 0
	h.s.Observe(func(w session.What) {
		if w&session.PreviewChanged != 0 {
			previews++
		}
	})
	h.down(10, 5.5)
	for i := range 50 {
		h.to(10, 6+float64(i)*0.1)
	}
	if previews != 0 || len(frames) != 1 {
		t.Fatalf("%d previews before the frame, %d frames asked for", previews, len(frames))
	}
	frames[0]()
	if previews != 1 || len(frames) != 1 {
		t.Errorf("%d previews, %d frames", previews, len(frames))
	}
	if y := h.s.Plan().Features[1].Geometry.Bound().Min[1]; y < 10 {
		t.Errorf("the frame shows the bed at %v", y)
	}
}

func TestAWorkerSurvivesAFault(t *testing.T) {
	done := make(chan int, 10)
	w := worker[int]{do: func(n int) {
		if n == 1 {
			panic("cannot be painted")
		}
		done <- n
	}}
	w.give(1)
	for w.busy() {
		time.Sleep(time.Millisecond)
	}
	w.give(2)
	if n := <-done; n != 2 {
		t.Errorf("did %d", n)
	}
}

// A drag that leaves the board moves the ground along for as long as the button is down.
func TestADragOutOfTheBoardMovesTheGround(t *testing.T) {
	h := newBench(t, garden())
	h.settle()
	step := func() bool {
		select {
		case f := <-h.queue:
			f()
			return true
		case <-time.After(time.Second):
			return false
		}
	}
	h.down(10, 5.5)
	h.to(10, 7)
	before := h.board.view.Centre
	h.to(h.board.at(fyne.NewPos(840, 0))[0], 7)
	for h.board.view.Centre[0] < before[0]+2 {
		if !step() {
			t.Fatalf("the ground stopped at %v from %v", h.board.view.Centre, before)
		}
	}
	if x := h.s.Plan().Features[1].Geometry.Bound().Max[0]; x < h.board.at(fyne.NewPos(800, 0))[0] {
		t.Errorf("the bed ends at %v and stays behind the pointer", x)
	}
	h.to(10, 7) // back on the board: nothing moves by itself any more
	h.settle()
	time.Sleep(2 * creepStep)
	h.settle()
	still := h.board.view.Centre
	time.Sleep(2 * creepStep)
	h.settle()
	if h.board.view.Centre != still {
		t.Error("the ground goes on moving")
	}
	h.up(true)
}

func TestChoosingAMarkTakesItsTool(t *testing.T) {
	h := newBench(t, garden())
	h.board.SetTool("Rectangle")
	h.board.SetKind(plan.Trap)
	if h.board.Tool() != "Mark" {
		t.Fatalf("tool %q", h.board.Tool())
	}
	h.click(3, 10)
	h.click(6, 10)
	fs := h.features()[3:]
	if len(fs) != 2 || fs[0].Name != "Trap 1" || fs[1].Name != "Trap 2" || fs[1].Geometry != (orb.Point{6, 10}) {
		t.Errorf("set %v", fs)
	}
	h.board.SetKind(plan.Bed)
	if h.board.Tool() != "Rectangle" {
		t.Errorf("tool %q after the mark", h.board.Tool())
	}
}
