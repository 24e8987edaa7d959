package board

import (
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"github.com/paulmach/orb"

	"hedgereach/habitat/plan"
)

// slow holds back the frames of a bench, as where many events come between two of them, and answers what brings the next one.
func slow(h *bench) (frame func()) {
	h.board.frame()
	var waiting func()
	h.board.atFrame = func(f func()) { waiting = f }
	return func() {
		if f := waiting; f != nil {
			waiting = nil
			f()
		}
	}
}

// A length that is typed goes where the pointer was moved before it, though no frame came between.
func TestATypedLengthGoesWhereThePointerIs(t *testing.T) {
	h := newBench(t, plan.New(""))
	frame := slow(h)
	h.typing("o")
	h.click(0, 0)
	frame()
	for _, to := range []struct {
		x, y float64
		text string
	}{{0.1, 5, "20 m"}, {-4, 20.1, "8.25"}, {-8.2, 12, "20"}} {
		h.move(to.x, to.y)
		h.typing(to.text)
		h.key(fyne.KeyReturn)
	}
	h.key(fyne.KeyReturn)
	if n := len(h.features()); n != 1 {
		t.Fatalf("%d features", n)
	}
	want := orb.Bound{Min: orb.Point{-8.25, 0}, Max: orb.Point{0, 20}}
	if b := h.features()[0].Geometry.Bound(); b != want {
		t.Errorf("drawn over %v, want %v", b, want)
	}
}

// A click that comes in one breath with the move before it moves nothing, and a drag that does is a drag.
func TestClicksAndDragsBetweenTwoFrames(t *testing.T) {
	p := plan.New("")
	p.Features = []*plan.Feature{box(plan.Bed, "Bed 1", 0.03, 5.07, 20.03, 6.27)} // off the grid
	h := newBench(t, p)
	frame := slow(h)
	h.down(10, 5.5)
	frame()
	h.up(false)
	frame()
	if h.s.Document().Dirty() {
		t.Errorf("a click moved the bed to %v", h.features()[0].Geometry.Bound())
	}
	h.drag(10, 5.5, 10, 12.5)
	frame()
	if b := h.features()[0].Geometry.Bound(); b.Min[1] < 11.5 {
		t.Errorf("a quick drag left the bed at %v", b)
	}
}

// Where the window is late to show what the worker has painted, the pictures in between are let go afterwards.
func TestPicturesDoNotPileUp(t *testing.T) {
	h := newBench(t, garden())
	h.settle()
	for range 3 * mostSpare {
		waiting := len(h.queue)
		h.board.base.ask(h.board)
		for late := time.Now().Add(time.Minute); len(h.queue) == waiting; time.Sleep(time.Millisecond) {
			if time.Now().After(late) {
				t.Fatal("nothing is painted")
			}
		}
	}
	h.settle()
	if n := len(h.board.base.spare); n == 0 || n > mostSpare {
		t.Errorf("%d pictures are kept to spare", n)
	}
}
