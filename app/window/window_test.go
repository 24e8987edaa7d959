package window

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"github.com/paulmach/orb"

	"hedgereach/app/document"
	"hedgereach/app/fields"
	"hedgereach/app/session"
	"hedgereach/data"
	"hedgereach/habitat/plan"
)

func square(x, y, side float64) orb.Polygon {
	return orb.Polygon{{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}, {x, y}}}
}

// open is a window without a screen on a plan of a hedge and two beds.
func open(t *testing.T) *Window {
	t.Helper()
	a := test.NewTempApp(t)
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	p := plan.New("Three things")
	p.Features = []*plan.Feature{plan.NewFeature(plan.Hedgerow, "Hedge", square(0, 0, 2)),
		plan.NewFeature(plan.Bed, "Near", square(10, 0, 4)), plan.NewFeature(plan.Bed, "Far", square(100, 0, 4))}
	w := New(a, session.New(c, document.New(p)), func(func()) {}) // pictures painted by workers are not wanted here
	w.window.Resize(fyne.NewSize(1200, 800))
	t.Cleanup(w.window.Close)
	return w
}

// choose runs the item of the main menu whose label begins so.
func choose(t *testing.T, w *Window, label string) {
	t.Helper()
	for _, m := range w.menu.main.Items {
		for _, i := range m.Items {
			if strings.HasPrefix(i.Label, label) {
				i.Action()
				return
			}
		}
	}
	t.Fatalf("no menu item begins with %q", label)
}

func ids(w *Window, names ...string) []string {
	var out []string
	for _, n := range names {
		for _, f := range w.session.Plan().Features {
			if f.Name == n {
				out = append(out, f.ID)
			}
		}
	}
	return out
}

func TestTitleSaysWhatIsNotSaved(t *testing.T) {
	w := open(t)
	if got := w.window.Title(); got != "Three things – Hedgereach" {
		t.Errorf("title %q", got)
	}
	w.session.Select(ids(w, "Near")...)
	choose(t, w, "Delete")
	if got := w.window.Title(); got != "Three things* – Hedgereach" {
		t.Errorf("title %q after an edit", got)
	}
	choose(t, w, "Undo")
	if got := w.window.Title(); got != "Three things – Hedgereach" {
		t.Errorf("title %q after undo", got)
	}
}

func TestMenuNamesTheStep(t *testing.T) {
	w := open(t)
	if !w.menu.undo.Disabled || w.menu.undo.Label != "Undo" {
		t.Errorf("undo is %q, disabled %v, with nothing done", w.menu.undo.Label, w.menu.undo.Disabled)
	}
	w.session.Select(ids(w, "Far")...)
	choose(t, w, "Duplicate")
	if got := w.menu.undo.Label; got != "Undo: duplicate Far" {
		t.Errorf("undo is %q", got)
	}
	if n := len(w.session.Committed().Features); n != 4 {
		t.Fatalf("%d features after a duplicate of one of three", n)
	}
	choose(t, w, "Undo")
	if got := w.menu.redo.Label; got != "Redo: duplicate Far" {
		t.Errorf("redo is %q", got)
	}
}

// The toolkit fires the menu's shortcuts before a focused line of text gets them, and over open dialogs.
func TestShortcutsLeaveTypingAlone(t *testing.T) {
	w := open(t)
	w.session.Select(ids(w, "Near")...)
	choose(t, w, "Delete")
	e := fields.NewEntry(nil)
	w.window.SetContent(e)
	w.window.Canvas().Focus(e)
	test.Type(e, "abc")
	choose(t, w, "Undo")
	if len(w.session.Committed().Features) != 2 {
		t.Error("undo in a line of text undid the plan's step")
	}
	if e.Text == "abc" {
		t.Error("undo in a line of text did not undo the typing")
	}
	choose(t, w, "Select all")
	if e.SelectedText() != e.Text {
		t.Errorf("select all in a line of text selected %q of %q", e.SelectedText(), e.Text)
	}
}

func TestShortcutsWaitForDialogs(t *testing.T) {
	w := open(t)
	w.session.Select(ids(w, "Near")...)
	w.complain(os.ErrNotExist)
	choose(t, w, "Delete")
	if len(w.session.Committed().Features) != 3 {
		t.Error("a menu's key worked over an open dialog")
	}
	if !w.escape() || w.escape() {
		t.Error("Escape closes one dialog")
	}
	choose(t, w, "Delete")
	if len(w.session.Committed().Features) != 2 {
		t.Error("the menu does not work after the dialog is closed")
	}
}

func TestCopyAndPaste(t *testing.T) {
	w := open(t)
	w.session.Select(ids(w, "Near", "Hedge")...)
	choose(t, w, "Copy")
	choose(t, w, "Paste")
	fs := w.session.Committed().Features
	if len(fs) != 5 {
		t.Fatalf("%d features", len(fs))
	}
	seen := map[string]bool{}
	for _, f := range fs {
		if seen[f.ID] {
			t.Errorf("the id of %s is there twice", f.Name)
		}
		seen[f.ID] = true
	}
	if got, want := fs[4].Geometry, square(11, -1, 4); !orb.Equal(got, want) {
		t.Errorf("the copy lies at %v, want it a metre beside, %v", got, want)
	}
	if len(w.session.Selection()) != 2 {
		t.Errorf("%d selected, want the two copies", len(w.session.Selection()))
	}
}

// What cannot be copied must not be taken off the ground.
func TestCutKeepsWhatItCannotCopy(t *testing.T) {
	w := open(t)
	p := w.session.Committed().Clone()
	bad := plan.NewFeature(plan.Bed, "Crossed", orb.Polygon{{{0, 0}, {9, 9}, {9, 0}, {0, 9}, {0, 0}}})
	p.Features = append(p.Features, bad)
	w.session.SetDocument(document.New(p))
	w.session.Select(bad.ID)
	choose(t, w, "Cut")
	if f, _ := w.session.Committed().Find(bad.ID); f == nil {
		t.Error("it was taken off the ground and is not on the clipboard")
	}
	if !w.escape() {
		t.Error("nothing said why")
	}
	w.session.Select(ids(w, "Near")...)
	choose(t, w, "Cut")
	if len(w.session.Committed().Features) != 3 {
		t.Errorf("%d features after a cut, want 3", len(w.session.Committed().Features))
	}
}

func TestWhatWasReadWithRemarksSaysSo(t *testing.T) {
	w := open(t)
	path := filepath.Join(t.TempDir(), "walk.csv")
	if err := os.WriteFile(path, []byte("x,y\n0,0\n9,0\n9,9\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	w.openFile(path)
	if len(w.session.Document().Notes()) == 0 || !w.escape() {
		t.Error("no dialog says that the outline was taken for a boundary")
	}
}

func TestOpenFailureLeavesThePlan(t *testing.T) {
	w := open(t)
	before := w.session.Document()
	bad := filepath.Join(t.TempDir(), "cut.hedgereach")
	if err := os.WriteFile(bad, []byte(`{"format": "hedgereach plan", "vers`), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{bad, filepath.Join(t.TempDir(), "missing.hedgereach")} {
		w.openFile(path)
		if w.session.Document() != before {
			t.Fatalf("the open plan went when %s could not be read", path)
		}
		if !w.escape() {
			t.Errorf("no dialog said why %s could not be read", path)
		}
	}
}

func TestSaveGoesToTheNamedFile(t *testing.T) {
	w := open(t)
	path := filepath.Join(t.TempDir(), "garden.hedgereach")
	if err := w.session.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	w.session.Select(ids(w, "Far")...)
	choose(t, w, "Delete")
	choose(t, w, "Save")
	p, err := plan.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Features) != 2 {
		t.Errorf("the file has %d features, want 2", len(p.Features))
	}
	if strings.Contains(w.window.Title(), "*") {
		t.Errorf("title %q after saving", w.window.Title())
	}
}

func TestFailedSaveKeepsFileAndPlan(t *testing.T) {
	w := open(t)
	dir := t.TempDir()
	path := filepath.Join(dir, "garden.hedgereach")
	if err := w.session.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	w.session.Select(ids(w, "Far")...)
	choose(t, w, "Delete")
	// A folder in the place of the file is what even root cannot write to.
	if err := os.Rename(path, path+".old"); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(path, 0o755); err != nil {
		t.Fatal(err)
	}
	choose(t, w, "Save")
	if !w.escape() {
		t.Error("no dialog said that the plan was not saved")
	}
	if !w.session.Document().Dirty() || len(w.session.Committed().Features) != 2 {
		t.Error("the plan changed, or counts as saved, after a failed save")
	}
	got, err := os.ReadFile(path + ".old")
	if err != nil || !bytes.Equal(got, want) {
		t.Errorf("the old file changed: %v", err)
	}
}

func TestUnsavedChangesAreAskedAbout(t *testing.T) {
	w := open(t)
	w.session.Select(ids(w, "Far")...)
	choose(t, w, "Delete")
	left := false
	w.leave(func() { left = true })
	if left {
		t.Fatal("left without asking")
	}
	if !w.escape() || left {
		t.Fatal("Escape must cancel")
	}
	choose(t, w, "Undo")
	w.leave(func() { left = true })
	if !left {
		t.Error("asked although nothing is unsaved")
	}
}

// A click beside the fields of a dialog leaves nothing focused; the ground behind hears no keys even then.
func TestKeysStopAtDialogs(t *testing.T) {
	w := open(t)
	w.showKeys()
	c := w.window.Canvas()
	c.Unfocus()
	c.OnTypedRune()('r')
	if w.board.Tool() != "Pick" {
		t.Errorf("tool is %s after r behind a dialog", w.board.Tool())
	}
	before := w.session.Committed()
	w.board.SelectAll()
	c.OnTypedKey()(&fyne.KeyEvent{Name: fyne.KeyDelete})
	if w.session.Committed() != before {
		t.Error("Delete took features out behind a dialog")
	}
	c.OnTypedKey()(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if !w.free() {
		t.Error("Escape does not close the dialog")
	}
}

func TestToolKeysWithNothingFocused(t *testing.T) {
	w := open(t)
	w.window.Canvas().Focus(nil)
	w.window.Canvas().OnTypedRune()('r')
	if w.board.Tool() != "Rectangle" || !w.tools.words["Rectangle"].On {
		t.Errorf("tool is %s after r", w.board.Tool())
	}
	w.window.Canvas().OnTypedKey()(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if w.board.Tool() != "Pick" {
		t.Errorf("tool is %s after Escape", w.board.Tool())
	}
}

func TestSampleOpens(t *testing.T) {
	d, err := sample()
	if err != nil {
		t.Fatal(err)
	}
	if d.Path() != "" {
		t.Errorf("the sample has the path %q: saving it must ask for a name", d.Path())
	}
}

// The season's findings come after the window is up, and the heading counts them then.
func TestHeadingCountsTheFindingsOfTheSeason(t *testing.T) {
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	d, err := sample()
	if err != nil {
		t.Fatal(err)
	}
	s := session.New(c, d)
	work := make(chan func(), 100)
	w := New(test.NewTempApp(t), s, func(f func()) { work <- f })
	t.Cleanup(w.window.Close)
	before := w.findings.Count()
	for s.Season() == nil {
		select {
		case f := <-work:
			f()
		case <-time.After(10 * time.Second):
			t.Fatal("no season")
		}
	}
	n := w.findings.Count()
	if n <= before {
		t.Fatalf("%d findings with the season, %d without", n, before)
	}
	if got, want := w.views[1].Text, fmt.Sprintf("Findings (%d)", n); got != want {
		t.Errorf("the heading is %q, want %q", got, want)
	}
}

// The row over the ground must leave room for the tools in a small window, whatever guild is asked about.
func TestLongGuildNamesKeepTheWindowSmall(t *testing.T) {
	w := open(t)
	w.board.SetTool("Strip") // the one with a field of its own
	for _, g := range w.session.Catalogue().Guilds {
		q := w.session.Ask()
		q.Guild = g
		w.session.SetAsk(q)
		if got := w.window.Content().MinSize().Width; got > 1000 {
			t.Errorf("%s: the window needs %.0f", g.Name, got)
		}
	}
}
