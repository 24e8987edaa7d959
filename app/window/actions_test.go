package window

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"hedgereach/app/fields"
)

// entries are the lines of text of the form that is being answered, in order.
func entries(w *Window) []*fields.Entry {
	var out []*fields.Entry
	var walk func(fyne.CanvasObject)
	walk = func(o fyne.CanvasObject) {
		switch o := o.(type) {
		case *fields.Entry:
			out = append(out, o)
		case *fyne.Container:
			for _, c := range o.Objects {
				walk(c)
			}
		case fyne.Widget:
			for _, c := range test.WidgetRenderer(o).Objects() {
				walk(c)
			}
		}
	}
	walk(w.asking)
	return out
}

func TestAnActionAsksAndShows(t *testing.T) {
	w := open(t)
	choose(t, w, "Repeat")
	if w.question != nil || !strings.HasPrefix(w.status.Text, "Choose a feature") {
		t.Fatalf("with nothing chosen it says %q", w.status.Text)
	}
	w.session.Select(ids(w, "Near")...)
	choose(t, w, "Repeat")
	if !w.session.Previewing() || len(w.session.Plan().Features) != 6 {
		t.Fatalf("%d features are shown", len(w.session.Plan().Features))
	}
	e := entries(w)
	e[0].SetText("nine")
	if w.session.Previewing() {
		t.Error("what cannot be made is shown")
	}
	e[0].SetText("5")
	e[1].SetText("2 m")
	if n := len(w.session.Plan().Features); n != 8 {
		t.Errorf("%d features are shown", n)
	}
	w.escape()
	if w.session.Previewing() || w.session.Document().Dirty() {
		t.Error("given up, something is left")
	}
	choose(t, w, "Repeat")
	e = entries(w)
	e[1].SetText("2 m")
	e[1].OnSubmitted("")
	if n := len(w.session.Committed().Features); n != 6 || len(w.session.Selection()) != 4 {
		t.Errorf("%d features, %d chosen", n, len(w.session.Selection()))
	}
	if b := w.session.Committed().Features[3].Geometry.Bound(); b.Min[0] != 16 {
		t.Errorf("the first copy lies at %v", b)
	}
	choose(t, w, "Lock")
	if !w.session.Committed().Features[3].Locked || !strings.HasPrefix(w.status.Text, "Locked") {
		t.Errorf("locked: %v, %q", w.session.Committed().Features[3].Locked, w.status.Text)
	}
}

// No two items of the menus share a key, and every action says its key.
func TestKeysOfMenusDiffer(t *testing.T) {
	w := open(t)
	seen := map[string]string{}
	for _, m := range w.menu.main.Items {
		for _, i := range m.Items {
			if i.Shortcut == nil {
				continue
			}
			name := i.Shortcut.ShortcutName()
			if was, twice := seen[name]; twice {
				t.Errorf("%s and %s share the key %s", was, i.Label, name)
			}
			seen[name] = i.Label
		}
	}
	for _, a := range w.board.Actions() {
		s, ok := a.Shortcut.(*desktop.CustomShortcut)
		if !ok || a.Keys == "" || a.Does == "" {
			t.Errorf("%s has no key", a.Name)
			continue
		}
		// The toolkit has own names for these, and a shortcut of ours under them never fires.
		if s.Modifier == fyne.KeyModifierShortcutDefault && strings.Contains("ZYXCVA", string(s.KeyName)) {
			t.Errorf("%s has a key that never fires", a.Name)
		}
	}
}

// Mirror has nothing to say of what it makes; the form shows no word then.
func TestAFormWithNothingToSay(t *testing.T) {
	w := open(t)
	w.session.Select(ids(w, "Near")...)
	choose(t, w, "Mirror")
	if got := w.question.says.Text; got != "" || !w.session.Previewing() {
		t.Errorf("it says %q", got)
	}
}

// A choice in a form hears the keys that the lines of text beside it hear.
func TestAFormsChoicesHearEnterAndEscape(t *testing.T) {
	w := open(t)
	w.session.Select(ids(w, "Near")...)
	n := len(w.session.Committed().Features)
	focus := func() fyne.Focusable {
		choose(t, w, "Mirror")
		w.window.Canvas().FocusPrevious()
		w.window.Canvas().FocusPrevious()
		p, ok := w.window.Canvas().Focused().(*fields.Pick)
		if !ok {
			t.Fatalf("%T has the keys", w.window.Canvas().Focused())
		}
		return p
	}
	focus().TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if w.question != nil || w.session.Previewing() || w.session.Document().Dirty() {
		t.Error("Escape does not give the form up")
	}
	p := focus()
	p.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
	if !w.session.Previewing() {
		t.Error("an arrow shows nothing")
	}
	p.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if got := len(w.session.Committed().Features); w.question != nil || got != n+1 {
		t.Errorf("Enter leaves %d features", got)
	}
}

func TestARowIsSeenThenMadeThenUndone(t *testing.T) {
	w := open(t)
	n := len(w.session.Committed().Features)
	w.session.Select(ids(w, "Near")...)
	choose(t, w, "Row of beds")
	if got := len(w.session.Plan().Features); got != n+3 {
		t.Errorf("%d features are seen while the form is open, want %d", got, n+3)
	}
	w.session.Select(ids(w, "Far")...)
	if w.question != nil || w.session.Previewing() {
		t.Error("the form is still about what was chosen before")
	}
	choose(t, w, "Row of beds")
	entries(w)[0].OnSubmitted("")
	if got := len(w.session.Committed().Features); got != n+3 {
		t.Errorf("%d features", got)
	}
	choose(t, w, "Undo")
	if got := len(w.session.Committed().Features); got != n {
		t.Errorf("%d features after undo", got)
	}
}
