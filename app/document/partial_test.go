package document

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hedgereach/habitat/plan"
)

// A plan of a later version that cannot all be shown opens read-only: Save refuses, and under another name everything is kept.
func TestAPlanOfALaterVersionOpensReadOnlyAndLosesNothing(t *testing.T) {
	text, err := os.ReadFile("../../habitat/plan/testdata/versions/2.hedgereach")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "later.hedgereach")
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	d, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	if !d.ReadOnly() || !d.Partial() || !strings.Contains(strings.Join(d.Notes(), " "), "newer version") {
		t.Errorf("read-only %v, partial %v, notes %q", d.ReadOnly(), d.Partial(), d.Notes())
	}
	d.Do(Edit{"draw Bed 2", d.Plan(), with(d.Plan(), square("Bed 2"))})
	d.SetReadOnly(false) // another window gave it back
	if err := d.Save(); !errors.Is(err, ErrPartial) {
		t.Errorf("Save: %v", err)
	}
	if now, _ := os.ReadFile(path); string(now) != string(text) {
		t.Error("the file was touched")
	}
	if r := Recovered(d.Plan(), path, ""); !r.ReadOnly() {
		t.Error("recovered, it is no longer read-only")
	}
	mine := filepath.Join(t.TempDir(), "mine.hedgereach")
	if err := d.SaveAs(mine); err != nil || d.ReadOnly() {
		t.Fatalf("SaveAs: %v, read-only %v", err, d.ReadOnly())
	}
	p, err := plan.ReadFile(mine)
	if err != nil || len(p.Unknown) != 4 || len(p.Features) != 2 {
		t.Errorf("%d features and %d unknown ones are kept, %v", len(p.Features), len(p.Unknown), err)
	}
}

// A save takes away what one that was cut off long ago left beside the file; so does opening it.
func TestOpeningTidiesUp(t *testing.T) {
	path := filepath.Join(t.TempDir(), "plot.hedgereach")
	if err := New(plan.New("One")).SaveAs(path); err != nil {
		t.Fatal(err)
	}
	left := filepath.Join(filepath.Dir(path), ".plot.hedgereach.4194305-0.part") // above the numbers that systems give
	if err := os.WriteFile(left, []byte("half"), 0o600); err != nil {
		t.Fatal(err)
	}
	s, _ := os.Stat(left)
	if err := os.Chtimes(left, s.ModTime().Add(-300e9), s.ModTime().Add(-300e9)); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(path); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(left); !errors.Is(err, os.ErrNotExist) {
		t.Error("it is still there:", err)
	}
}
