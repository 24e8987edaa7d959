package window

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"

	"hedgereach/app/document"
	"hedgereach/app/fields"
	"hedgereach/app/printer"
	"hedgereach/app/session"
	"hedgereach/app/sheet"
	"hedgereach/data"
	"hedgereach/habitat"
)

// buttonsOf lists the buttons that stand on the dialogs of a window.
func buttonOf(t *testing.T, w *Window, words string) *fields.Button {
	t.Helper()
	var found *fields.Button
	for _, o := range w.window.Canvas().Overlays().List() {
		for _, part := range test.LaidOutObjects(o) {
			if b, ok := part.(*fields.Button); ok && b.Text == words {
				found = b
			}
		}
	}
	return found
}

// Sheets shows a dialog that Escape closes; Write and Print wait for the set.
func TestSheetsDialog(t *testing.T) {
	w := open(t) // nothing that workers make comes back here
	choose(t, w, "Print or write sheets")
	if len(w.open) != 1 {
		t.Fatalf("%d dialogs", len(w.open))
	}
	if b := buttonOf(t, w, "Write…"); b == nil || !b.Disabled() {
		t.Error("the sheets can be written before they are laid out")
	}
	if b := buttonOf(t, w, "Print…"); (b != nil) != (printer.Find() != nil) {
		t.Error("printing is offered without a print command, or not offered with one")
	}
	if !w.escape() || len(w.open) != 0 {
		t.Error("Escape does not close the sheets")
	}
}

// The maps show what the ground is asked about.
func TestSheetsShowWhatIsAsked(t *testing.T) {
	w := open(t)
	ask := w.session.Ask()
	ask.Guild = w.session.Catalogue().Guild("ground-beetles")
	w.session.SetAsk(ask)
	p, title := w.newPreview()
	if o := p.Options(); o.Guild != "ground-beetles" || title != "Three things" {
		t.Errorf("%q with options %+v", title, o)
	}
}

// Whole way: laid out, asked for a name, written.
func TestSheetsAreWritten(t *testing.T) {
	a := test.NewTempApp(t)
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	d, err := sample()
	if err != nil {
		t.Fatal(err)
	}
	w := New(a, session.New(c, document.New(d.Plan())), func(func()) {})
	t.Cleanup(w.window.Close)
	set, err := sheet.Make(habitat.Assess(d.Plan(), c, habitat.Options{}), sheet.Options{Sheets: []sheet.Kind{sheet.PlotMap}})
	if err != nil {
		t.Fatal(err)
	}
	a.Preferences().SetString(folderKey, t.TempDir())
	w.writeSheets(set, "Garden")
	test.Tap(buttonOf(t, w, "Save"))
	path := filepath.Join(w.folder(), "Garden sheets.pdf")
	if b, err := os.ReadFile(path); err != nil || !strings.HasPrefix(string(b), "%PDF") {
		t.Errorf("%s: %v", path, err)
	}
	if got := w.status.Text; got != "Wrote "+path {
		t.Errorf("the foot says %q", got)
	}
}

// What goes to the printer is the whole set as a PDF, at the size of its paper, and no copy stays behind.
func TestPrintSet(t *testing.T) {
	dir := t.TempDir()
	script := "#!/bin/sh\nfor a in \"$@\"; do printf '%s\\n' \"$a\" >> \"" + dir + "/args\"; last=\"$a\"; done\ncat \"$last\" > \"" + dir + "/printed\"\n"
	if err := os.WriteFile(filepath.Join(dir, "lp"), []byte(script), 0o755); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", dir+":/usr/bin:/bin")
	found := printer.Find()
	if found == nil {
		t.Skip("no print commands on this system")
	}
	w := open(t)
	set, err := sheet.Make(w.session.Assessment(), sheet.Options{Sheets: []sheet.Kind{sheet.PlotMap}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := printSet(found, set, printer.Job{Title: set.Title, WidthMM: 210, HeightMM: 297}); err != nil {
		t.Fatal(err)
	}
	args, _ := os.ReadFile(filepath.Join(dir, "args"))
	lines := strings.Split(strings.TrimSpace(string(args)), "\n")
	if printed, _ := os.ReadFile(filepath.Join(dir, "printed")); !strings.HasPrefix(string(printed), "%PDF") ||
		!strings.Contains(string(args), "print-scaling=none\n-o\nmedia=A4\n") {
		t.Errorf("printed %d bytes with %q", len(printed), lines)
	}
	if _, err := os.Stat(lines[len(lines)-1]); err == nil {
		t.Error("what was printed stays behind")
	}
}
