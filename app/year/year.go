// Package year shows the charts of a plan's year in the window, in the place of the ground: the bloom chart and the bed calendar.
// A row leads to its feature. What the charts say and how they look is app/calendar's.
package year

import (
	"image"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
	"github.com/paulmach/orb"

	"hedgereach/app/calendar"
	"hedgereach/app/drawing"
	"hedgereach/app/drawing/raster"
	"hedgereach/app/fields"
	"hedgereach/app/session"
	"hedgereach/app/skin"
	"hedgereach/app/style"
	"hedgereach/habitat"
)

// A Kind is one of the charts.
type Kind int

// The charts.
const (
	Bloom Kind = iota
	Beds
)

// A View is a chart with a line over it. It is made anew for each plan that is committed while it is seen.
type View struct {
	widget.BaseWidget
	OnClose func() // back to the ground

	session *session.Session
	kind    Kind
	chart   *calendar.Chart
	made    *habitat.Assessment // that the bloom chart was made from
	season  *habitat.Season     // that the bed calendar was made from
	title   *widget.Label
	sheet   *sheet
}

// New is a view of a session's year, with nothing shown until Open is called. The session must keep its season.
func New(s *session.Session) *View {
	v := &View{session: s, title: widget.NewLabel("")}
	v.title.TextStyle.Bold = true
	v.ExtendBaseWidget(v)
	v.sheet = newSheet(v)
	v.Hide()
	s.Observe(func(w session.What) {
		if w&(session.PlanChanged|session.SelectionChanged|session.SeasonChanged) != 0 && !v.Hidden {
			v.update()
		}
	})
	return v
}

// Open shows one of the charts.
func (v *View) Open(k Kind) {
	if k != v.kind {
		v.chart, v.made, v.season, v.sheet.first = nil, nil, nil, 0
	}
	v.kind = k
	v.Show()
	v.update()
}

// Kind is the chart that is shown.
func (v *View) Kind() Kind { return v.kind }

// Sheet is the drawn part, which takes keys.
func (v *View) Sheet() fyne.Focusable { return v.sheet }

// update makes the chart for the plan as it is. That of the beds waits for the season, which is worked out while the plan rests.
func (v *View) update() {
	a := v.session.Assessment()
	switch {
	case v.kind == Bloom && v.made != a:
		v.made, v.chart = a, calendar.Bloom(a)
	case v.kind == Beds && v.season != v.session.Season() && v.session.Season() != nil:
		v.season = v.session.Season()
		v.chart = calendar.Beds(v.season)
	}
	if v.chart != nil {
		v.title.SetText(v.chart.Title)
		v.sheet.to(v.sheet.first)
	}
	v.sheet.Refresh()
}

// CreateRenderer lays the line over the chart.
func (v *View) CreateRenderer() fyne.WidgetRenderer {
	back := fields.NewLink("Back to the ground (Esc)", func() {
		if v.OnClose != nil {
			v.OnClose()
		}
	})
	head := container.NewBorder(nil, nil, v.title, back)
	return widget.NewSimpleRenderer(container.NewBorder(head, nil, nil, nil, v.sheet))
}

// A sheet is the drawn chart. The wheel and the arrow keys go through its rows; pressing a row chooses its feature.
type sheet struct {
	widget.BaseWidget
	view    *View
	picture *canvas.Raster
	painter raster.Painter
	first   int // row at the top
	focused bool
	part    float32 // of a row, that the wheel has turned already
}

func newSheet(v *View) *sheet {
	s := &sheet{view: v}
	s.ExtendBaseWidget(s)
	s.picture = canvas.NewRaster(s.paint)
	return s
}

// inset is the room about the chart, in points.
const inset = 10.0

func (s *sheet) look(pixels float64) style.Look { return style.Screen(skin.Palette(), pixels) }

// box is where the chart lies, at so many pixels to the unit.
func (s *sheet) box(pixels float64) orb.Bound {
	size := s.Size()
	return orb.Bound{Min: orb.Point{inset * pixels, inset / 2 * pixels},
		Max: orb.Point{(float64(size.Width) - 2*inset) * pixels, (float64(size.Height) - inset/2) * pixels}}
}

func (s *sheet) paint(w, h int) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, max(w, 1), max(h, 1)))
	size := s.Size()
	if w <= 0 || h <= 0 || size.Width <= 0 {
		return img
	}
	pixels := float64(w) / float64(size.Width)
	look := s.look(pixels)
	l := drawing.List{Width: float64(w), Height: float64(h)}
	l.Add(drawing.Fill{Path: drawing.Rect(0, 0, l.Width, l.Height), Color: look.Panel})
	b := s.box(pixels)
	if c := s.view.chart; c != nil {
		next := c.Draw(&l, look, b, s.first)
		if n := c.Rows(); n > 0 && (s.first > 0 || next < n) { // how far down the rows the sheet stands
			x, y0, y1 := l.Width-look.Pt(7), b.Min[1]+look.Pt(20), b.Max[1]-look.Pt(18)
			at := func(row int) float64 { return y0 + (y1-y0)*float64(row)/float64(n) }
			l.Add(drawing.Stroke{Path: drawing.Line(orb.Point{x, y0}, orb.Point{x, y1}), Pen: look.Pen(look.Rule, style.Hair)},
				drawing.Stroke{Path: drawing.Line(orb.Point{x, at(s.first)}, orb.Point{x, at(next)}), Pen: look.Pen(look.Soft, style.Heavy)})
		}
		s.mark(&l, look, b, c, next)
	}
	if s.focused {
		l.Add(drawing.Stroke{Path: drawing.Rect(1, 1, l.Width-1, l.Height-1), Pen: look.Pen(look.Accent, style.Fine)})
	}
	s.painter.Draw(img, l, 1, orb.Point{})
	return img
}

// mark frames the rows of what is selected.
func (s *sheet) mark(l *drawing.List, look style.Look, b orb.Bound, c *calendar.Chart, next int) {
	for row := s.first; row < next; row++ {
		if id := c.Feature(row); id == "" || !s.view.session.Selected(id) {
			continue
		}
		y0, y1 := c.RowSpan(look, b, s.first, row)
		x := b.Min[0] - look.Pt(4)
		l.Add(drawing.Stroke{Path: drawing.Line(orb.Point{x, y0}, orb.Point{x, y1}), Pen: look.Pen(look.Accent, style.Heavy)})
	}
}

// to brings a row to the top, as far as there is more to see below.
func (s *sheet) to(row int) {
	if c := s.view.chart; c != nil {
		row = min(row, c.FirstOfLast(s.look(1), s.box(1)))
	}
	row = max(0, row)
	if row != s.first {
		s.first = row
		s.Refresh()
	}
}

// Resize keeps the last row in sight where there is more room.
func (s *sheet) Resize(size fyne.Size) {
	s.BaseWidget.Resize(size)
	s.to(s.first)
}

// page is how many rows the sheet shows.
func (s *sheet) page() int {
	c := s.view.chart
	if c == nil {
		return 1
	}
	var l drawing.List
	return max(1, c.Draw(&l, s.look(1), s.box(1), s.first)-s.first-1)
}

// Scrolled goes through the rows.
func (s *sheet) Scrolled(e *fyne.ScrollEvent) {
	s.part -= e.Scrolled.DY / 12
	rows := int(s.part)
	s.part -= float32(rows)
	s.to(s.first + rows)
}

// Tapped chooses the feature of a row.
func (s *sheet) Tapped(e *fyne.PointEvent) {
	if cv := fyne.CurrentApp().Driver().CanvasForObject(s); cv != nil {
		cv.Focus(s)
	}
	if c := s.view.chart; c != nil {
		if id := c.Feature(c.RowAt(s.look(1), s.box(1), s.first, float64(e.Position.Y))); id != "" {
			s.view.session.Select(id)
		}
	}
}

// TypedKey goes through the rows, or back to the ground.
func (s *sheet) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeyUp:
		s.to(s.first - 1)
	case fyne.KeyDown:
		s.to(s.first + 1)
	case fyne.KeyPageUp:
		s.to(s.first - s.page())
	case fyne.KeyPageDown:
		s.to(s.first + s.page())
	case fyne.KeyHome:
		s.to(0)
	case fyne.KeyEnd:
		if c := s.view.chart; c != nil {
			s.to(c.Rows())
		}
	case fyne.KeyEscape:
		if s.view.OnClose != nil {
			s.view.OnClose()
		}
	}
}

// TypedRune is part of being focusable.
func (s *sheet) TypedRune(rune) {}

// FocusGained shows the focus ring.
func (s *sheet) FocusGained() { s.focused = true; s.Refresh() }

// FocusLost takes it away.
func (s *sheet) FocusLost() { s.focused = false; s.Refresh() }

// Cursor is a hand, since rows can be pressed.
func (s *sheet) Cursor() desktop.Cursor { return desktop.PointerCursor }

// MinSize leaves room for the months.
func (s *sheet) MinSize() fyne.Size { return fyne.NewSize(420, 160) }

// CreateRenderer shows the picture.
func (s *sheet) CreateRenderer() fyne.WidgetRenderer { return &sheetRenderer{s} }

type sheetRenderer struct{ s *sheet }

func (r *sheetRenderer) Layout(z fyne.Size)           { r.s.picture.Resize(z) }
func (r *sheetRenderer) MinSize() fyne.Size           { return r.s.MinSize() }
func (r *sheetRenderer) Refresh()                     { canvas.Refresh(r.s.picture) }
func (r *sheetRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.s.picture} }
func (r *sheetRenderer) Destroy()                     {}

var (
	_ fyne.Focusable     = (*sheet)(nil)
	_ fyne.Scrollable    = (*sheet)(nil)
	_ desktop.Cursorable = (*sheet)(nil)
)
