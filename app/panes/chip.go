package panes

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/skin"
	"hedgereach/app/style"
	"hedgereach/habitat"
)

// A Chip is a small swatch with a letter in it: a bed's status or a finding's severity. The colour repeats what the letter
// says.
type Chip struct {
	widget.BaseWidget
	letter string
	hue    color.NRGBA
	tint   float64
}

// NewChip is an empty chip.
func NewChip() *Chip {
	c := &Chip{}
	c.ExtendBaseWidget(c)
	return c
}

// SetStatus shows a bed's status.
func (c *Chip) SetStatus(s habitat.Status) { c.set(s.Letter(), skin.Palette().Status(s).Color, 0.30) }

// SetCovered shows that a cover keeps the pest out.
func (c *Chip) SetCovered() { c.set("C", skin.Palette().Soft, 0.12) }

// SetSeverity shows how grave a finding is.
func (c *Chip) SetSeverity(s habitat.Severity) {
	p := skin.Palette()
	switch s {
	case habitat.Warning:
		c.set("!", p.Caution, 0.30)
	case habitat.Advice:
		c.set("A", p.Accent, 0.18)
	default:
		c.set("N", p.Soft, 0.12)
	}
}

func (c *Chip) set(letter string, hue color.NRGBA, tint float64) {
	if c.letter == letter && c.hue == hue {
		return
	}
	c.letter, c.hue, c.tint = letter, hue, tint
	c.Refresh()
}

// CreateRenderer draws the chip.
func (c *Chip) CreateRenderer() fyne.WidgetRenderer {
	r := &chipRenderer{c: c, box: canvas.NewRectangle(color.Transparent), text: canvas.NewText("", color.Black)}
	r.box.CornerRadius, r.box.StrokeWidth = 3, 1.4
	r.text.TextStyle.Bold = true
	r.look()
	return r
}

type chipRenderer struct {
	c    *Chip
	box  *canvas.Rectangle
	text *canvas.Text
}

const chipSize = 18

func (r *chipRenderer) look() {
	r.box.FillColor, r.box.StrokeColor = style.Fade(r.c.hue, r.c.tint), r.c.hue
	r.text.Text, r.text.Color, r.text.TextSize = r.c.letter, skin.Palette().Ink, theme.CaptionTextSize()
}

func (r *chipRenderer) MinSize() fyne.Size { return fyne.NewSize(chipSize, chipSize) }

func (r *chipRenderer) Layout(s fyne.Size) {
	at := fyne.NewPos(0, (s.Height-chipSize)/2)
	r.box.Resize(fyne.NewSize(chipSize, chipSize))
	r.box.Move(at)
	m := r.text.MinSize()
	r.text.Resize(m)
	r.text.Move(at.AddXY((chipSize-m.Width)/2, (chipSize-m.Height)/2))
}

func (r *chipRenderer) Refresh() {
	r.look()
	r.Layout(r.c.Size())
	canvas.Refresh(r.box)
	canvas.Refresh(r.text)
}

func (r *chipRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.box, r.text} }
func (r *chipRenderer) Destroy()                     {}
