package browser

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/skin"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// The year at the right of a row, in the toolkit's units.
const (
	yearWide = 120 // ten to a month
	yearSide = 10  // room right of it, for the scroll bar
	rowHigh  = 28
)

// A row is a line of the list: names, and a plant's bloom as a bar over the year or a crop's need in words. It can be dragged.
type row struct {
	widget.BaseWidget
	dragged func(fyne.Position) // to a place of the window
	dropped func()

	name *widget.RichText
	says *canvas.Text
	year *canvas.Rectangle
	bars [2]*canvas.Rectangle // two where the bloom runs over the turn of the year
	mark *canvas.Rectangle    // the half-month asked about

	bloom season.Window
	on    *season.HalfMonth
	plant bool
}

func newRow() *row {
	r := &row{name: widget.NewRichText(), says: canvas.NewText("", nil), year: canvas.NewRectangle(nil), mark: canvas.NewRectangle(nil)}
	r.name.Truncation = fyne.TextTruncateEllipsis
	for i := range r.bars {
		r.bars[i] = canvas.NewRectangle(nil)
	}
	r.ExtendBaseWidget(r)
	return r
}

// set shows a line.
func (r *row) set(l line, bloom season.Window, on *season.HalfMonth) {
	thin := widget.RichTextStyle{Inline: true, TextStyle: fyne.TextStyle{Italic: true}, ColorName: theme.ColorNamePlaceHolder,
		SizeName: theme.SizeNameCaptionText}
	r.name.Segments = []widget.RichTextSegment{&widget.TextSegment{Text: l.name(), Style: widget.RichTextStyleInline},
		&widget.TextSegment{Text: "  " + l.scientific(), Style: thin}}
	r.plant, r.bloom, r.on = l.plant != nil, bloom, on
	r.says.Text = ""
	if r.plant && l.plant.Caution != "" {
		warn := thin
		warn.TextStyle.Italic, warn.ColorName = false, theme.ColorNameWarning
		r.name.Segments = append(r.name.Segments, &widget.TextSegment{Text: "  caution", Style: warn})
	} else if l.crop != nil {
		r.says.Text = need(l.crop)
	}
	r.name.Refresh()
	r.Refresh()
}

// Dragged tells where the row is dragged to.
func (r *row) Dragged(e *fyne.DragEvent) { r.dragged(e.AbsolutePosition) }

// DragEnd lets it go there.
func (r *row) DragEnd() { r.dropped() }

// CreateRenderer lays the names left, the year right.
func (r *row) CreateRenderer() fyne.WidgetRenderer { return &rowRenderer{r} }

type rowRenderer struct{ r *row }

func (l *rowRenderer) MinSize() fyne.Size { return fyne.NewSize(200, rowHigh) }

func (l *rowRenderer) Layout(s fyne.Size) {
	r := l.r
	r.name.Resize(fyne.NewSize(max(0, s.Width-yearWide-yearSide), s.Height))
	r.name.Move(fyne.NewPos(0, (s.Height-r.name.MinSize().Height)/2))
	x0, y := s.Width-yearWide-yearSide, s.Height/2
	m := r.says.MinSize()
	r.says.Move(fyne.NewPos(s.Width-yearSide-m.Width, (s.Height-m.Height)/2))
	r.says.Resize(m)
	put := func(o *canvas.Rectangle, from, to, high float32) {
		o.Move(fyne.NewPos(from, y-high/2))
		o.Resize(fyne.NewSize(max(0, to-from), high))
	}
	at := func(d season.Day) float32 { return x0 + yearWide*float32(d-1)/365 }
	w := r.bloom
	put(r.year, x0, x0+yearWide, 1)
	for _, b := range r.bars {
		put(b, x0, x0, 9)
	}
	switch {
	case !w.Given():
	case w.From <= w.To:
		put(r.bars[0], at(w.From), at(w.To+1), 9)
	default:
		put(r.bars[0], at(w.From), x0+yearWide, 9)
		put(r.bars[1], x0, at(w.To+1), 9)
	}
	if r.on != nil {
		put(r.mark, at(r.on.First()), at(r.on.Last()+1), s.Height)
	}
	r.mark.Hidden = !r.plant || r.on == nil
	r.year.Hidden = !r.plant
}

func (l *rowRenderer) Refresh() {
	r, p := l.r, skin.Palette()
	r.year.FillColor = p.Rule
	r.mark.FillColor = theme.Color(theme.ColorNameSelection)
	r.says.Color, r.says.TextSize = theme.Color(theme.ColorNamePlaceHolder), theme.CaptionTextSize()
	for _, b := range r.bars {
		b.FillColor = p.Kind(plan.PerennialStrip).Sign
	}
	l.Layout(r.Size())
	for _, o := range l.Objects() {
		canvas.Refresh(o)
	}
}

func (l *rowRenderer) Objects() []fyne.CanvasObject {
	r := l.r
	return []fyne.CanvasObject{r.mark, r.name, r.says, r.year, r.bars[0], r.bars[1]}
}

func (l *rowRenderer) Destroy() {}

var _ fyne.Draggable = (*row)(nil)

// newMonths are the initials of the months over the bars of the rows.
func newMonths() *fyne.Container {
	c := container.New(months{})
	for _, m := range "JFMAMJJASOND" {
		t := widget.NewLabel(string(m))
		t.SizeName, t.Importance, t.Alignment = theme.SizeNameCaptionText, widget.LowImportance, fyne.TextAlignCenter
		c.Add(t)
	}
	return c
}

type months struct{}

func (months) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(yearWide+yearSide, 20) }

func (months) Layout(o []fyne.CanvasObject, s fyne.Size) {
	const wide = float32(yearWide) / 12
	for i, x := range o {
		m := x.MinSize()
		x.Resize(m)
		x.Move(fyne.NewPos(s.Width-yearSide-yearWide+(float32(i)+0.5)*wide-m.Width/2, (s.Height-m.Height)/2))
	}
}
