package browser

import (
	"image/color"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/skin"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// The year at the right of a row, in the toolkit's units; the marks stand under it.
const (
	yearWide = 120 // ten to a month
	yearSide = 10  // room right of it, for the scroll bar
	rowHigh  = 38
	barHigh  = 9
	barLine  = 12 // the middle of the bar from the row's top
	markLine = 28 // that of the marks
)

// A row is a line of the list: names, a plant's bloom as a bar over the year or a crop's need in words, and the marks of guilds. It
// can be dragged.
type row struct {
	widget.BaseWidget
	dragged func(fyne.Position) // to a place of the window
	dropped func()

	name, below *widget.RichText
	says        *canvas.Text
	marks       []*canvas.Text
	year        *canvas.Rectangle
	bars        [2]*canvas.Rectangle // two where the bloom runs over the turn of the year
	mark        *canvas.Rectangle    // the half-month asked about

	shown told
}

// told is what a row tells.
type told struct {
	name, scientific string
	warning          string // a word
	further          string // on the line below, before the scientific name
	says             string // at the right, where a plant has its bar
	plant            bool
	bloom            season.Window
	known            habitat.BloomKnown
	placed           bool // the plan has a place for which the bloom is known
	on               *season.HalfMonth
	marks            []string
}

func newRow() *row {
	r := &row{name: widget.NewRichText(), below: widget.NewRichText(), says: canvas.NewText("", nil), year: canvas.NewRectangle(nil),
		mark: canvas.NewRectangle(nil)}
	r.name.Truncation, r.below.Truncation = fyne.TextTruncateEllipsis, fyne.TextTruncateEllipsis
	for i := range r.bars {
		r.bars[i] = canvas.NewRectangle(nil)
	}
	for range marks {
		t := canvas.NewText("", nil)
		t.Alignment = fyne.TextAlignCenter
		r.marks = append(r.marks, t)
	}
	r.ExtendBaseWidget(r)
	return r
}

// set shows a line.
func (r *row) set(x told) {
	thin := widget.RichTextStyle{Inline: true, TextStyle: fyne.TextStyle{Italic: true}, ColorName: theme.ColorNamePlaceHolder,
		SizeName: theme.SizeNameCaptionText}
	plain, warn := thin, thin
	plain.TextStyle.Italic, warn.TextStyle.Italic, warn.ColorName = false, false, theme.ColorNameWarning
	r.shown = x
	r.name.Segments = []widget.RichTextSegment{&widget.TextSegment{Text: x.name, Style: widget.RichTextStyleInline}}
	if x.warning != "" {
		r.name.Segments = append(r.name.Segments, &widget.TextSegment{Text: "  " + x.warning, Style: warn})
	}
	r.below.Segments = []widget.RichTextSegment{&widget.TextSegment{Text: x.scientific, Style: thin}}
	if x.further != "" {
		r.below.Segments = []widget.RichTextSegment{&widget.TextSegment{Text: x.further + "  ", Style: plain}, r.below.Segments[0]}
	}
	r.says.Text = x.says
	for i, t := range r.marks {
		t.Text = ""
		if i < len(x.marks) {
			t.Text = x.marks[i]
		}
	}
	r.name.Refresh()
	r.below.Refresh()
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
	x0 := s.Width - yearWide - yearSide
	m := r.says.MinSize()
	says := float32(0)
	if r.says.Text != "" {
		says = m.Width + 6
	}
	nameWide := max(0, s.Width-yearSide-says)
	if r.shown.plant {
		nameWide = max(0, x0)
	}
	r.name.Resize(fyne.NewSize(nameWide, r.name.MinSize().Height))
	r.name.Move(fyne.NewPos(0, barLine-r.name.MinSize().Height/2))
	r.below.Resize(fyne.NewSize(max(0, x0), r.below.MinSize().Height))
	r.below.Move(fyne.NewPos(0, markLine-r.below.MinSize().Height/2))
	r.says.Move(fyne.NewPos(s.Width-yearSide-m.Width, barLine-m.Height/2))
	r.says.Resize(m)
	each := float32(yearWide) / float32(len(marks))
	for i, t := range r.marks {
		m := t.MinSize()
		t.Move(fyne.NewPos(x0+float32(i)*each, markLine-m.Height/2))
		t.Resize(fyne.NewSize(each, m.Height))
	}
	put := func(o *canvas.Rectangle, from, to, mid, high float32) {
		o.Move(fyne.NewPos(from, mid-high/2))
		o.Resize(fyne.NewSize(max(0, to-from), high))
	}
	at := func(d season.Day) float32 { return x0 + yearWide*float32(d-1)/365 }
	w := r.shown.bloom
	put(r.year, x0, x0+yearWide, barLine, 1)
	high := r.shown.barHeight()
	for _, b := range r.bars {
		put(b, x0, x0, barLine, 0)
	}
	switch {
	case !w.Given():
	case w.From <= w.To:
		put(r.bars[0], at(w.From), at(w.To+1), barLine, high)
	default:
		put(r.bars[0], at(w.From), x0+yearWide, barLine, high)
		put(r.bars[1], x0, at(w.To+1), barLine, high)
	}
	on := r.shown.on
	if on != nil {
		put(r.mark, at(on.First()), at(on.Last()+1), s.Height/2, s.Height)
	}
	r.mark.Hidden = !r.shown.plant || on == nil
	r.year.Hidden = !r.shown.plant
}

// barHeight tells bars for this place from those that were noted elsewhere and say nothing of it.
func (x *told) barHeight() float32 {
	if !x.here() {
		return barHigh / 3
	}
	return barHigh
}

func (x *told) here() bool { return x.placed && x.known != habitat.BloomElsewhere }

func (l *rowRenderer) Refresh() {
	r, p := l.r, skin.Palette()
	r.year.FillColor = p.Rule
	r.mark.FillColor = theme.Color(theme.ColorNameSelection)
	r.says.Color, r.says.TextSize = theme.Color(theme.ColorNamePlaceHolder), theme.CaptionTextSize()
	for _, t := range r.marks {
		t.Color, t.TextSize = theme.Color(theme.ColorNamePlaceHolder), theme.CaptionTextSize()
	}
	for _, b := range r.bars {
		paintBar(b, r.shown.here() && r.shown.known == habitat.BloomEstimated)
	}
	l.Layout(r.Size())
	for _, o := range l.Objects() {
		canvas.Refresh(o)
	}
}

// paintBar draws what is noted for the place full, and what is estimated for it hollow.
func paintBar(b *canvas.Rectangle, hollow bool) {
	ink := skin.Palette().Kind(plan.PerennialStrip).Sign
	b.FillColor, b.StrokeColor, b.StrokeWidth = ink, nil, 0
	if hollow {
		b.FillColor, b.StrokeColor, b.StrokeWidth = color.Transparent, ink, 1.5
	}
}

func (l *rowRenderer) Objects() []fyne.CanvasObject {
	r := l.r
	out := []fyne.CanvasObject{r.mark, r.name, r.below, r.says, r.year, r.bars[0], r.bars[1]}
	for _, t := range r.marks {
		out = append(out, t)
	}
	return out
}

func (l *rowRenderer) Destroy() {}

var _ fyne.Draggable = (*row)(nil)

// newMonths name the quarters of the year over the bars of the rows, each where it begins: twelve initials would run together.
func newMonths() *fyne.Container {
	c := container.New(months{})
	for _, m := range []time.Month{time.January, time.April, time.July, time.October} {
		t := widget.NewLabel(m.String()[:3])
		t.SizeName, t.Importance = theme.SizeNameCaptionText, widget.LowImportance
		c.Add(t)
	}
	return c
}

type months struct{}

func (months) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(yearWide+yearSide, 20) }

func (months) Layout(o []fyne.CanvasObject, s fyne.Size) {
	wide := float32(yearWide) / float32(len(o))
	for i, x := range o {
		m := x.MinSize()
		x.Resize(m)
		x.Move(fyne.NewPos(s.Width-yearSide-yearWide+float32(i)*wide-theme.InnerPadding(), (s.Height-m.Height)/2))
	}
}
