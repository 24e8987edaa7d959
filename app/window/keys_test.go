package window

import (
	"testing"

	"fyne.io/fyne/v2"
)

// F1 and ? show the key sheet, whether the ground has the keys or nothing has.
func TestTheKeySheetHasKeys(t *testing.T) {
	w := open(t)
	c := w.window.Canvas()
	for name, press := range map[string]func(){
		"? with nothing focused":  func() { c.Unfocus(); c.OnTypedRune()('?') },
		"F1 with nothing focused": func() { c.Unfocus(); c.OnTypedKey()(&fyne.KeyEvent{Name: fyne.KeyF1}) },
		"? on the ground":         func() { c.Focus(w.board); c.Focused().TypedRune('?') },
		"F1 on the ground":        func() { c.Focus(w.board); c.Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyF1}) },
	} {
		press()
		if len(w.open) != 1 {
			t.Fatalf("%s: %d dialogs", name, len(w.open))
		}
		if w.board.TypedRune('?'); len(w.open) != 1 {
			t.Errorf("%s: a second sheet lies over the first", name)
		}
		w.escape()
	}
}
