package window

import (
	"fmt"
	"strings"
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

// Every item of the menus has a key of its own and stands once in the key sheet, which is made of them.
func TestEveryItemOfTheMenusHasAKey(t *testing.T) {
	w := open(t)
	labels, keys := map[string]bool{}, map[string]string{}
	sheet := map[string]int{}
	for _, l := range w.keyLines() {
		sheet[l.keys+"|"+strings.SplitN(l.does, ":", 2)[0]]++
	}
	for _, m := range w.menu.main.Items {
		for _, i := range m.Items {
			if i.IsSeparator {
				continue
			}
			name, key := keysOf(i)
			if key == "" {
				t.Errorf("%s, %s has no key", m.Label, name)
			}
			if labels[name] || keys[key] != "" {
				t.Errorf("%s, %s (%s) is there twice, or shares its key with %s", m.Label, name, key, keys[key])
			}
			labels[name], keys[key] = true, name
			does := strings.TrimSuffix(name, "…")
			if i == w.menu.undo || i == w.menu.redo {
				continue // with words of their own
			}
			if n := sheet[key+"|"+does]; n != 1 {
				t.Errorf("the key sheet has %s (%s) %d times", does, key, n)
			}
		}
	}
	for _, a := range w.board.Actions() {
		if !labels[a.Name] {
			t.Errorf("no menu has %s", a.Name)
		}
	}
}

// F1 and Escape mean the same wherever the keys are.
func TestF1AndEscapeFromEverywhere(t *testing.T) {
	w := open(t)
	c := w.window.Canvas()
	press := func(k fyne.KeyName) { c.Focused().TypedKey(&fyne.KeyEvent{Name: k}) }
	w.session.Select(ids(w, "Near")...)
	w.showPane(2)
	c.Focus(w.board)
	stops, tried := map[fyne.Focusable]bool{}, map[string]bool{}
	for range 400 { // round all that takes keys, and a little farther
		c.FocusNext()
		f := c.Focused()
		if f == nil || stops[f] {
			break
		}
		stops[f] = true
		kind := fmt.Sprintf("%T", f)
		if f == fyne.Focusable(w.board) || tried[kind] {
			continue // one of each sort will do
		}
		tried[kind] = true
		if press(fyne.KeyF1); len(w.open) != 1 {
			t.Errorf("F1 on a %T opens no key sheet", f)
		}
		w.escape()
		c.Focus(f)
		if press(fyne.KeyEscape); c.Focused() != fyne.Focusable(w.board) {
			t.Errorf("Escape on a %T leaves the keys with a %T", f, c.Focused())
		}
		c.Focus(f)
	}
	if len(stops) < 20 || len(tried) < 6 {
		t.Errorf("only %d things of %d sorts take keys", len(stops), len(tried))
	}
}

// Escape on the ground closes a form that is still open beside it.
func TestEscapeOnTheGroundClosesTheForm(t *testing.T) {
	w := open(t)
	choose(t, w, "New beds")
	w.window.Canvas().Focus(w.board)
	w.board.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if w.question != nil || w.session.Previewing() {
		t.Error("the form is still open")
	}
}

func TestTheKeySheetIsSearched(t *testing.T) {
	w := open(t)
	s := newKeySheet(w.keyLines())
	all := len(s.shown)
	s.search.SetText("split along")
	if len(s.shown) != 2 || !s.shown[0].heading || s.shown[0].does != "Arrange" || s.shown[1].keys != "Ctrl+Shift+D" {
		t.Errorf("of %d lines it shows %v", all, s.shown)
	}
}
