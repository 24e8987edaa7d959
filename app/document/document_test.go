package document

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/habitat/plan"
)

func square(name string) *plan.Feature {
	return plan.NewFeature(plan.Bed, name, orb.Polygon{{{0, 0}, {10, 0}, {10, 1.2}, {0, 1.2}, {0, 0}}})
}

func with(p *plan.Plan, fs ...*plan.Feature) *plan.Plan {
	c := p.Clone()
	c.Features = append(c.Features, fs...)
	return c
}

func TestHistory(t *testing.T) {
	a := plan.New("garden")
	d := New(a)
	if _, ok := d.UndoName(); ok || d.Dirty() {
		t.Fatal("a new document has something to undo, or is dirty")
	}
	b := with(a, square("Bed 1"))
	c := with(b, square("Bed 2"))
	d.Do(Edit{"draw Bed 1", a, b})
	d.Do(Edit{"draw Bed 2", b, c})
	if n, _ := d.UndoName(); n != "draw Bed 2" || d.Plan() != c || !d.Dirty() {
		t.Fatalf("after two edits: undo name %q, dirty %v", n, d.Dirty())
	}
	d.Undo()
	if n, _ := d.RedoName(); n != "draw Bed 2" || d.Plan() != b {
		t.Fatalf("after one undo: redo name %q", n)
	}
	e := with(b, square("Bed 3"))
	d.Do(Edit{"draw Bed 3", b, e})
	if _, ok := d.RedoName(); ok {
		t.Error("a new edit left the old redo in place")
	}
	for range 5 {
		d.Undo()
	}
	if d.Plan() != a || d.Dirty() {
		t.Error("undone to the start, the plan is not the first one, or is dirty")
	}
	d.Redo()
	d.Redo()
	if _, ok := d.Redo(); ok || d.Plan() != e {
		t.Error("redone to the end, the plan is not the last one")
	}
}

// A step redone after a branch must not write over the edits that an older slice of the history shares.
func TestBranchesDoNotMix(t *testing.T) {
	a := plan.New("")
	d := New(a)
	b, c, e := with(a), with(a), with(a)
	d.Do(Edit{"b", a, b})
	d.Do(Edit{"c", b, c})
	old := d.edits
	d.Undo()
	d.Do(Edit{"e", b, e})
	if old[1].Name != "c" {
		t.Error("an older history was changed in place")
	}
}

func TestSaveAndOpen(t *testing.T) {
	dir := t.TempDir()
	a := plan.New("")
	d := New(a)
	if err := d.Save(); !errors.Is(err, ErrNoPath) {
		t.Errorf("Save without a path: %v", err)
	}
	b := with(a, square("Bed 1"))
	d.Do(Edit{"draw Bed 1", a, b})
	path := filepath.Join(dir, "plot.hedgereach")
	if err := d.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	if d.Dirty() || d.Path() != path || d.Title() != "plot" {
		t.Errorf("after SaveAs: dirty %v, path %q, title %q", d.Dirty(), d.Path(), d.Title())
	}
	if n, ok := d.UndoName(); !ok || n != "draw Bed 1" {
		t.Error("the history did not survive a save")
	}
	d.Undo()
	if !d.Dirty() {
		t.Error("undone past the save, the document is not dirty")
	}
	d.Redo()
	if d.Dirty() {
		t.Error("redone to the save, the document is dirty")
	}
	r, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Plan().Features) != 1 || r.Path() != path || r.Dirty() {
		t.Errorf("reopened: %d features, path %q, dirty %v", len(r.Plan().Features), r.Path(), r.Dirty())
	}
}

func TestFailuresLeaveThingsAsTheyWere(t *testing.T) {
	dir := t.TempDir()
	if _, err := Open(filepath.Join(dir, "none.hedgereach")); err == nil {
		t.Error("opened a file that is not there")
	}
	d := New(with(plan.New("x"), square("Bed 1")))
	path := filepath.Join(dir, "plot.hedgereach")
	if err := d.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	p := with(d.Plan(), square("Bed 2"))
	d.Do(Edit{"draw Bed 2", d.Plan(), p})
	if err := d.SaveAs(filepath.Join(dir, "no-such-folder", "x.hedgereach")); err == nil {
		t.Error("saved into a folder that is not there")
	}
	after, _ := os.ReadFile(path)
	if d.Path() != path || !d.Dirty() || string(before) != string(after) {
		t.Error("a failed save changed the path, the dirty mark or the old file")
	}
}

// A survey read in as GeoJSON is not overwritten by Save.
func TestReadInIsNotThePath(t *testing.T) {
	path := filepath.Join(t.TempDir(), "survey.geojson")
	const survey = `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{},"geometry":{"type":"Polygon",
		"coordinates":[[[-72.5,44],[-72.499,44],[-72.499,44.001],[-72.5,44.001],[-72.5,44]]]}}]}`
	if err := os.WriteFile(path, []byte(survey), 0o600); err != nil {
		t.Fatal(err)
	}
	d, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	if d.Path() != "" || d.Title() == "New plan" {
		t.Errorf("path %q, title %q", d.Path(), d.Title())
	}
	if err := d.Save(); !errors.Is(err, ErrNoPath) {
		t.Errorf("Save: %v", err)
	}
	if n := d.Notes(); len(n) != 1 || !strings.Contains(n[0], "has no kind and was taken for a bed") {
		t.Errorf("notes = %q", n)
	}
	// What it is called does not make it a plan.
	misnamed := filepath.Join(t.TempDir(), "survey.hedgereach")
	if err := os.WriteFile(misnamed, []byte(survey), 0o600); err != nil {
		t.Fatal(err)
	}
	if d, err = Open(misnamed); err != nil || d.Path() != "" {
		t.Errorf("a survey named as a plan: %v, path %q", err, d.Path())
	}
}
