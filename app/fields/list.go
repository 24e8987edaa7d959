package fields

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// A List is the toolkit's list that hands on the keys that mean nothing to it, so that the keys of the tools still work
// after a line was chosen.
type List struct {
	widget.List
	Rune func(rune)
	Key  func(*fyne.KeyEvent)
}

// pageLines is how far Page Down goes.
const pageLines = 10

// NewList is a list of lines.
func NewList(length func() int, create func() fyne.CanvasObject, update func(int, fyne.CanvasObject)) *List {
	l := &List{}
	l.Length, l.CreateItem, l.UpdateItem = length, create, update
	l.HideSeparators = true
	l.ExtendBaseWidget(l)
	return l
}

// TypedRune hands letters on.
func (l *List) TypedRune(r rune) {
	if l.Rune != nil {
		l.Rune(r)
	}
}

// TypedKey moves through the list, and hands on the rest.
func (l *List) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeyReturn, fyne.KeyEnter:
		l.List.TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace}) // as in every other list of this program
	case fyne.KeyPageDown, fyne.KeyPageUp:
		way := fyne.KeyDown
		if k.Name == fyne.KeyPageUp {
			way = fyne.KeyUp
		}
		for range pageLines {
			l.List.TypedKey(&fyne.KeyEvent{Name: way})
		}
	case fyne.KeyDelete, fyne.KeyBackspace, fyne.KeyEscape, fyne.KeyF1:
		if l.Key != nil {
			l.Key(k)
		} else {
			PassKey(l, k)
		}
	default:
		l.List.TypedKey(k)
	}
}

// Top scrolls to the first line. Before the list was ever shown there is nothing to scroll.
func (l *List) Top() {
	if l.Length() > 0 {
		l.ScrollTo(0)
	}
}
