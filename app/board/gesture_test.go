package board

import (
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"github.com/paulmach/orb"

	"hedgereach/app/document"
	"hedgereach/app/session"
	"hedgereach/data"
	"hedgereach/habitat/plan"
)

// A bench is a board in a window, with what the tests do to it. Work that the board hands to its goroutine waits in a queue,
// as it does behind a real window.
type bench struct {
	t     testing.TB
	board *Board
	s     *session.Session
	mods  fyne.KeyModifier
	queue chan func()
	at    fyne.Position
}

// newBench shows a plan at 20 units a metre, with the plan's origin at 100,500 of a board of 800 × 600.
func newBench(t testing.TB, p *plan.Plan) *bench {
	t.Helper()
	test.NewTempApp(t)
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	h := &bench{t: t, s: session.New(c, document.New(p)), queue: make(chan func(), 100)}
	h.board = New(h.s, func(f func()) { h.queue <- f })
	h.board.Mods = func() fyne.KeyModifier { return h.mods }
	w := test.NewTempWindow(t, h.board)
	w.SetPadded(false)
	w.Resize(fyne.NewSize(800, 600))
	h.view(20)
	return h
}

// view sets the scale, with the plan's origin at 100,500.
func (h *bench) view(scale float64) {
	v := &h.board.view
	v.Scale, v.Centre = scale, orb.Point{}
	v.Centre = v.From(orb.Point{v.Middle[0]*2 - 100, v.Middle[1]*2 - 500})
	h.board.whole = false
	h.board.mark(viewDirt)
}

// settle does what the workers have brought, until they are done.
func (h *bench) settle() {
	for {
		busy := h.board.base.worker.busy() || h.board.shade.worker.busy() || h.board.far.worker.busy()
		select {
		case f := <-h.queue:
			f()
		default:
			if !busy {
				return // and what it brought before was in the queue by then
			}
			time.Sleep(time.Millisecond)
		}
	}
}

// pos is where a point of the ground lies on the board.
func (h *bench) pos(x, y float64) fyne.Position {
	u := h.board.view.To(orb.Point{x, y})
	return fyne.NewPos(float32(u[0]), float32(u[1]))
}

func (h *bench) mouse(p fyne.Position, b desktop.MouseButton) *desktop.MouseEvent {
	h.at = p
	return &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: p, AbsolutePosition: p}, Button: b, Modifier: h.mods}
}

// down presses the main button over a point of the ground, in metres.
func (h *bench) down(x, y float64) {
	h.board.MouseMoved(h.mouse(h.pos(x, y), 0))
	h.board.MouseDown(h.mouse(h.pos(x, y), desktop.MouseButtonPrimary))
}

// to drags on.
func (h *bench) to(x, y float64) {
	p := h.pos(x, y)
	e := &fyne.DragEvent{PointEvent: fyne.PointEvent{Position: p, AbsolutePosition: p},
		Dragged: fyne.NewDelta(p.X-h.at.X, p.Y-h.at.Y)}
	h.at = p
	h.board.Dragged(e)
}

// up lets go: the toolkit sends MouseUp first, then DragEnd where there was a drag.
func (h *bench) up(dragged bool) {
	h.board.MouseUp(h.mouse(h.at, desktop.MouseButtonPrimary))
	if dragged {
		h.board.DragEnd()
	}
}

func (h *bench) click(x, y float64) {
	h.down(x, y)
	h.up(false)
}

func (h *bench) drag(x0, y0, x1, y1 float64) {
	h.down(x0, y0)
	for i := 1.0; i <= 4; i++ {
		h.to(x0+(x1-x0)*i/4, y0+(y1-y0)*i/4)
	}
	h.up(true)
}

func (h *bench) move(x, y float64) { h.board.MouseMoved(h.mouse(h.pos(x, y), 0)) }

func (h *bench) key(names ...fyne.KeyName) {
	for _, n := range names {
		h.board.TypedKey(&fyne.KeyEvent{Name: n})
	}
}

func (h *bench) typing(text string) {
	for _, r := range text {
		h.board.TypedRune(r)
	}
}

func (h *bench) features() []*plan.Feature { return h.s.Committed().Features }

func box(k plan.Kind, name string, x0, y0, x1, y1 float64) *plan.Feature {
	return plan.NewFeature(k, name, orb.Polygon{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}})
}
