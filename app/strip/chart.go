package strip

import (
	"image"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/raster"
	"hedgereach/app/fields"
	"hedgereach/app/session"
	"hedgereach/app/skin"
	"hedgereach/app/style"
	"hedgereach/data"
	"hedgereach/data/season"
)

// A Chart is the drawn part of the strip. Press or drag to choose a half-month; pressing the chosen one again, or Escape,
// goes back to the whole season; the arrow keys step.
type Chart struct {
	widget.BaseWidget
	session *session.Session
	Rune    func(rune) // hears the letters, which mean nothing here
	said    func()     // the line above has to say something else
	still   func()     // the year that is played stops
	plays   func()     // the year is played, or stops
	fed     func() *[season.HalfMonths][]*data.Guild
	picture *canvas.Raster
	over    *season.HalfMonth // under the pointer
	focused bool
	pressed *season.HalfMonth // what was chosen when the button went down
	dragged bool
	painter raster.Painter
}

func newChart(s *session.Session, said func()) *Chart {
	c := &Chart{session: s, said: said}
	c.ExtendBaseWidget(c)
	c.picture = canvas.NewRaster(c.paint)
	return c
}

// update draws the chart afresh at the next frame.
func (c *Chart) update() { canvas.Refresh(c.picture) }

func (c *Chart) paint(w, h int) image.Image {
	size := c.picture.Size()
	if w <= 0 || h <= 0 || size.Width <= 0 {
		return image.NewRGBA(image.Rect(0, 0, 1, 1))
	}
	v := viewOf(c.session.Assessment(), c.fed(), bedOf(c.session), c.session.Ask().On, c.over)
	v.focused = c.focused
	list := drawing.List{Width: float64(w), Height: float64(h)}
	v.draw(&list, style.Screen(skin.Palette(), float64(w)/float64(size.Width)))
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	c.painter.Draw(img, list, 1, orb.Point{})
	return img
}

// at is the half-month under a point of the chart.
func (c *Chart) at(p fyne.Position) season.HalfMonth {
	return frameOf(float64(c.Size().Width), float64(c.Size().Height), 1).at(float64(p.X))
}

// ask chooses. What is chosen is what the line then says, wherever the pointer rests, until the pointer moves on.
func (c *Chart) ask(h season.HalfMonth) {
	c.still()
	c.over = nil
	choose(c.session, &h)
}

// MouseDown chooses.
func (c *Chart) MouseDown(e *desktop.MouseEvent) {
	if cv := fyne.CurrentApp().Driver().CanvasForObject(c); cv != nil {
		cv.Focus(c)
	}
	if e.Button != desktop.MouseButtonPrimary {
		return
	}
	c.pressed, c.dragged = c.session.Ask().On, false
	c.ask(c.at(e.Position))
}

// MouseUp lets the chosen half-month go where it was pressed a second time.
func (c *Chart) MouseUp(e *desktop.MouseEvent) {
	if c.pressed != nil && !c.dragged && *c.pressed == c.at(e.Position) {
		choose(c.session, nil)
	}
	c.pressed = nil
}

// Dragged moves the choice.
func (c *Chart) Dragged(e *fyne.DragEvent) {
	c.dragged = true
	c.ask(c.at(e.Position))
}

// DragEnd ends a drag, also where the button was let go outside the chart.
func (c *Chart) DragEnd() { c.pressed = nil }

// MouseIn shows what is under the pointer.
func (c *Chart) MouseIn(e *desktop.MouseEvent) { c.MouseMoved(e) }

// MouseMoved shows what is under the pointer.
func (c *Chart) MouseMoved(e *desktop.MouseEvent) {
	h := c.at(e.Position)
	if c.over == nil || *c.over != h {
		c.over = &h
		c.said()
		c.update()
	}
}

// MouseOut goes back to what is chosen.
func (c *Chart) MouseOut() {
	c.over = nil
	c.said()
	c.update()
}

// Cursor is a hand.
func (c *Chart) Cursor() desktop.Cursor { return desktop.PointerCursor }

// FocusGained shows the focus ring.
func (c *Chart) FocusGained() { c.focused = true; c.update() }

// FocusLost takes it away.
func (c *Chart) FocusLost() { c.focused = false; c.update() }

// TypedRune hands letters on.
func (c *Chart) TypedRune(r rune) {
	if c.Rune != nil {
		c.Rune(r)
	}
}

// TypedKey steps through the season.
func (c *Chart) TypedKey(k *fyne.KeyEvent) {
	on := c.session.Ask().On
	step := func(by, from int) {
		if on != nil {
			from = (int(*on) + by + season.HalfMonths) % season.HalfMonths
		}
		c.ask(season.HalfMonth(from))
	}
	first, last := 0, season.HalfMonths-1
	if in := c.session.Assessment().Site.Season; len(in) > 0 {
		first, last = int(in[0]), int(in[len(in)-1])
	}
	switch k.Name {
	case fyne.KeyLeft:
		step(-1, last)
	case fyne.KeyRight:
		step(1, first)
	case fyne.KeyHome:
		c.ask(season.HalfMonth(first))
	case fyne.KeyEnd:
		c.ask(season.HalfMonth(last))
	case fyne.KeySpace:
		c.plays()
	case fyne.KeyEscape:
		if on == nil {
			fields.PassKey(c, k)
		}
		c.still()
		choose(c.session, nil)
	default:
		fields.PassKey(c, k)
	}
}

// MinSize keeps the words of the chart apart.
func (c *Chart) MinSize() fyne.Size { return fyne.NewSize(420, 96) }

// CreateRenderer shows the picture.
func (c *Chart) CreateRenderer() fyne.WidgetRenderer { return &chartRenderer{c} }

type chartRenderer struct{ c *Chart }

func (r *chartRenderer) Layout(s fyne.Size)           { r.c.picture.Resize(s) }
func (r *chartRenderer) MinSize() fyne.Size           { return r.c.MinSize() }
func (r *chartRenderer) Refresh()                     { canvas.Refresh(r.c.picture) }
func (r *chartRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.c.picture} }
func (r *chartRenderer) Destroy()                     {}

var (
	_ fyne.Focusable     = (*Chart)(nil)
	_ fyne.Draggable     = (*Chart)(nil)
	_ desktop.Mouseable  = (*Chart)(nil)
	_ desktop.Hoverable  = (*Chart)(nil)
	_ desktop.Cursorable = (*Chart)(nil)
)
