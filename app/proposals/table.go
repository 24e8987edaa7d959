package proposals

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// row puts a quiet word before a field; all words take the same width, so that the fields stand one below the other.
func row(name string, field fyne.CanvasObject) fyne.CanvasObject {
	l := widget.NewLabel(name)
	l.Importance = widget.LowImportance
	return container.New(named{}, l, field)
}

type named struct{}

const nameWidth = 148

func (named) MinSize(o []fyne.CanvasObject) fyne.Size {
	f := o[1].MinSize()
	return fyne.NewSize(nameWidth+f.Width, max(o[0].MinSize().Height, f.Height))
}

func (named) Layout(o []fyne.CanvasObject, size fyne.Size) {
	h := o[0].MinSize().Height
	o[0].Move(fyne.NewPos(0, (size.Height-h)/2))
	o[0].Resize(fyne.NewSize(nameWidth, h))
	o[1].Move(fyne.NewPos(nameWidth, 0))
	o[1].Resize(fyne.NewSize(size.Width-nameWidth, size.Height))
}

// columns lays the cells of a line of the table side by side, the first one, which names the line, a little wider.
type columns struct{}

const nameShare = 1.25

func (columns) MinSize(cells []fyne.CanvasObject) (size fyne.Size) {
	for _, c := range cells {
		size.Height = max(size.Height, c.MinSize().Height)
	}
	return size
}

func (columns) Layout(cells []fyne.CanvasObject, size fyne.Size) {
	each := size.Width / (nameShare + float32(len(cells)-1))
	x := float32(0)
	for i, c := range cells {
		w := each
		if i == 0 {
			w *= nameShare
		}
		h := c.MinSize().Height
		c.Move(fyne.NewPos(x, (size.Height-h)/2))
		c.Resize(fyne.NewSize(w, h))
		x += w
	}
}

// tight lays lines one below the other, closer than their own margins would have them.
type tight struct{}

const lap = 8 // points by which margins lap over

func (tight) MinSize(lines []fyne.CanvasObject) (size fyne.Size) {
	for _, l := range lines {
		m := l.MinSize()
		size.Width, size.Height = max(size.Width, m.Width), size.Height+m.Height-lap
	}
	if len(lines) > 0 {
		size.Height += lap
	}
	return size
}

func (tight) Layout(lines []fyne.CanvasObject, size fyne.Size) {
	y := float32(0)
	for _, l := range lines {
		h := l.MinSize().Height
		l.Move(fyne.NewPos(0, y))
		l.Resize(fyne.NewSize(size.Width, h))
		y += h - lap
	}
}
