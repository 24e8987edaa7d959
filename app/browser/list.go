package browser

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
)

// A list is the list of lines: the arrow keys choose, and Enter plants what is chosen.
type list struct {
	fields.List
	browser *Browser
}

func newList(b *Browser) *list {
	l := &list{browser: b}
	l.Length = func() int { return len(b.shown) }
	l.CreateItem = func() fyne.CanvasObject {
		r := newRow()
		r.dropped = b.drop
		return r
	}
	l.UpdateItem = func(i widget.ListItemID, o fyne.CanvasObject) {
		r, x := o.(*row), b.shown[i]
		r.dragged = func(at fyne.Position) { b.drag(x, at) }
		r.set(b.told(x))
	}
	l.HideSeparators = true
	l.OnSelected = func(i widget.ListItemID) { b.choose(b.shown[i]) }
	l.ExtendBaseWidget(l)
	return l
}

// TypedKey goes through the list and plants; it hands on the rest.
func (l *list) TypedKey(k *fyne.KeyEvent) {
	at := l.browser.index()
	switch k.Name {
	case fyne.KeyDown:
		l.step(at + 1)
	case fyne.KeyUp:
		l.step(at - 1)
	case fyne.KeyPageDown:
		l.step(at + 10)
	case fyne.KeyPageUp:
		l.step(at - 10)
	case fyne.KeyHome:
		l.step(0)
	case fyne.KeyEnd:
		l.step(len(l.browser.shown))
	case fyne.KeyReturn, fyne.KeyEnter:
		l.browser.plant()
	default:
		l.List.TypedKey(k)
	}
}

// step chooses a line, the nearest there is.
func (l *list) step(to int) {
	if n := len(l.browser.shown); n > 0 {
		l.Select(min(max(to, 0), n-1))
	}
}
