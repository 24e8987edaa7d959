package browser

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// A legend says what the bars and letters of the rows mean.
type legend struct {
	box     *fyne.Container
	bars    *fyne.Container
	samples []*sample
	letters *widget.Label
}

func newLegend() *legend {
	l := &legend{bars: container.NewHBox(), letters: quiet("")}
	l.letters.Wrapping = fyne.TextWrapWord
	for _, x := range []struct {
		words  string
		hollow bool
		high   float32
	}{{"in flower", false, barHigh}, {"estimated for here", true, barHigh}, {"noted elsewhere", false, barHigh / 3}} {
		s := newSample(x.hollow, x.high)
		l.samples = append(l.samples, s)
		l.bars.Add(container.New(layout.NewCustomPaddedHBoxLayout(0), s, quiet(x.words)))
	}
	l.box = container.New(layout.NewCustomPaddedVBoxLayout(-8), l.bars, l.letters)
	return l
}

// set explains the rows of crops or of plants.
func (l *legend) set(crops bool) {
	l.bars.Hidden = crops
	l.letters.SetText(letterWords(crops))
}

// letterWords is the meaning of every letter.
func letterWords(crops bool) string {
	var out []string
	for _, m := range marks {
		out = append(out, m.letter+" "+m.words)
	}
	if crops {
		return "Under the name: spacing in the row, days to harvest. Its pests are held by: " + strings.Join(out[:len(out)-1], ", ") + "."
	}
	return "Feeds (capital) or shelters (small): " + strings.Join(out, ", ") + "."
}

func quiet(text string) *widget.Label {
	t := widget.NewLabel(text)
	t.SizeName, t.Importance = theme.SizeNameCaptionText, widget.LowImportance
	return t
}

// A sample is a bar of the legend.
type sample struct {
	widget.BaseWidget
	bar    *canvas.Rectangle
	hollow bool
	high   float32
}

func newSample(hollow bool, high float32) *sample {
	s := &sample{bar: canvas.NewRectangle(nil), hollow: hollow, high: high}
	s.ExtendBaseWidget(s)
	return s
}

// CreateRenderer draws the bar, anew where the colours change.
func (s *sample) CreateRenderer() fyne.WidgetRenderer { return &sampleRenderer{s} }

type sampleRenderer struct{ s *sample }

func (r *sampleRenderer) MinSize() fyne.Size { return fyne.NewSize(24, 16) }

func (r *sampleRenderer) Layout(size fyne.Size) {
	paintBar(r.s.bar, r.s.hollow)
	r.s.bar.Resize(fyne.NewSize(18, r.s.high))
	r.s.bar.Move(fyne.NewPos(6, (size.Height-r.s.high)/2))
}

func (r *sampleRenderer) Refresh() {
	r.Layout(r.s.Size())
	canvas.Refresh(r.s.bar)
}

func (r *sampleRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.s.bar} }

func (r *sampleRenderer) Destroy() {}
