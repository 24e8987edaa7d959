// Package fields holds the small typed-in things that the panes and dialogs share: an entry that takes effect when it is
// left, lengths with units, days of the year, shares, and a choice with a search line for the long lists of the catalogue.
package fields

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// An Entry is a line of text that takes effect on Enter or when it is left, not on each letter, so that one edit of a name
// is one step of the history. Escape puts back what was there. What cannot be taken is marked and handed to Complain.
type Entry struct {
	widget.Entry
	// Take gets the text as typed. An error leaves the text for mending.
	Take func(string) error
	// Leave is called for Escape where there is nothing to put back; nil is allowed.
	Leave func()
	// Else hears the keys that mean nothing to a single line: up, down and the pages; nil is allowed.
	Else func(*fyne.KeyEvent)
	// Complain shows why the text was not taken; nil is allowed.
	Complain func(error)

	taken   string
	leaving bool
	wrong   error
}

// NewEntry is an empty entry.
func NewEntry(take func(string) error) *Entry {
	e := &Entry{Take: take}
	e.ExtendBaseWidget(e)
	e.Wrapping = fyne.TextWrapOff
	e.Scroll = fyne.ScrollNone
	e.OnSubmitted = func(string) { e.commit() }
	return e
}

// NewNote is an entry of several lines.
func NewNote(take func(string) error) *Entry {
	e := NewEntry(take)
	e.MultiLine = true
	e.Wrapping = fyne.TextWrapWord
	e.Scroll = fyne.ScrollVerticalOnly
	return e
}

// Load shows a value without taking it. Words that are being typed are left alone.
func (e *Entry) Load(text string) {
	if e.typing() {
		return
	}
	e.taken = text
	if e.Text != text {
		e.SetText(text)
	}
	e.mark(nil)
}

// mark shows, once the entry is left, that its text could not be taken; nil takes the mark away. The toolkit shows no error of an
// entry that checks nothing itself, and makes room for the mark in one that always does: so the entry says so only while it is marked.
func (e *Entry) mark(err error) {
	e.wrong = err
	if err != nil {
		e.AlwaysShowValidationError = true
	}
	e.SetValidationError(err)
	if err == nil && e.AlwaysShowValidationError {
		e.AlwaysShowValidationError = false
		e.Refresh()
	}
}

// Wrong is why the text that stands there could not be taken; nil where it was.
func (e *Entry) Wrong() error { return e.wrong }

// FocusGained selects the text, so that typing replaces it; a click then sets the caret as usual. Words half typed are left.
func (e *Entry) FocusGained() {
	e.Entry.FocusGained()
	if !e.MultiLine && e.Text == e.taken && e.Text != "" {
		e.TypedShortcut(&fyne.ShortcutSelectAll{})
	}
}

// typing tells whether the text differs from what was last loaded or taken while the entry has the focus.
func (e *Entry) typing() bool {
	c := fyne.CurrentApp().Driver().CanvasForObject(e)
	return !e.leaving && c != nil && c.Focused() == fyne.Focusable(e) && e.Text != e.taken
}

func (e *Entry) commit() {
	if e.Text == e.taken {
		e.mark(nil)
		return
	}
	if e.Take == nil {
		return
	}
	before, text := e.taken, e.Text
	e.taken = text // set first: taking it may load the new value back
	err := e.Take(text)
	if err != nil {
		e.taken = before
		if e.Complain != nil {
			e.Complain(err)
		}
	}
	e.mark(err)
}

// AcceptsTab is false also where there are several lines: whoever works by keys must be able to go on to the next field.
func (e *Entry) AcceptsTab() bool { return false }

// FocusLost takes the text.
func (e *Entry) FocusLost() {
	e.leaving = true
	e.Entry.FocusLost()
	e.commit()
	e.leaving = false
}

// TypedKey puts the old text back on Escape; where there is nothing to put back, Escape leaves the entry.
func (e *Entry) TypedKey(k *fyne.KeyEvent) {
	switch {
	case k.Name == fyne.KeyF1:
		PassKey(e, k)
	case e.Else != nil && !e.MultiLine && upOrDown(k.Name):
		e.Else(k)
	case k.Name != fyne.KeyEscape:
		e.Entry.TypedKey(k)
	case e.Text != e.taken:
		e.SetText(e.taken)
		e.mark(nil)
	case e.Leave != nil:
		e.Leave()
	default:
		PassKey(e, k)
	}
}

func upOrDown(k fyne.KeyName) bool {
	return k == fyne.KeyUp || k == fyne.KeyDown || k == fyne.KeyPageUp || k == fyne.KeyPageDown
}

// Typed tells whether the focused thing is being typed into, so that keys and shortcuts of the window leave it alone.
func Typed(f fyne.Focusable) bool {
	_, ok := f.(interface{ SelectedText() string })
	return ok
}
