package document

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"hedgereach/habitat/plan"
)

func TestTheVersionBeforeIsKept(t *testing.T) {
	path := filepath.Join(t.TempDir(), "plot.hedgereach")
	d := New(plan.New("One"))
	if err := d.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(path + "~"); !errors.Is(err, os.ErrNotExist) {
		t.Error("a first save keeps something from before")
	}
	if err := os.Chmod(path, 0o600); err != nil {
		t.Fatal(err)
	}
	d.Do(Edit{"rename", d.Plan(), plan.New("Two")})
	for range 2 { // a second save of the same changes nothing
		if err := d.Save(); err != nil || d.Unkept() != nil {
			t.Fatal(err, d.Unkept())
		}
	}
	before, err := plan.ReadFile(path + "~")
	if err != nil || before.Name != "One" {
		t.Errorf("kept is %v, %v; want the version before", before, err)
	}
	if s, err := os.Stat(path + "~"); err != nil || s.Mode().Perm() != 0o600 {
		t.Errorf("what was private is kept as %v, %v", s.Mode(), err)
	}
}

func TestTheVersionBeforeMayBeLostButNotTheWork(t *testing.T) {
	path := filepath.Join(t.TempDir(), "plot.hedgereach")
	d := New(plan.New("One"))
	if err := d.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(path+"~", 0o700); err != nil { // in the way
		t.Fatal(err)
	}
	d.Do(Edit{"rename", d.Plan(), plan.New("Two")})
	if err := d.Save(); err != nil || d.Unkept() == nil || d.Dirty() {
		t.Errorf("saved: %v; kept: %v", err, d.Unkept())
	}
}

// A file too large to be a plan is replaced when that is asked for, and the grower hears that it is not kept.
func TestWhatCannotBeReadIsNotKept(t *testing.T) {
	path := filepath.Join(t.TempDir(), "film.hedgereach")
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(path, plan.MaxFileBytes+1); err != nil {
		t.Fatal(err)
	}
	d := New(plan.New("One"))
	if err := d.SaveAs(path); err != nil || d.Unkept() == nil {
		t.Errorf("saved: %v; kept: %v", err, d.Unkept())
	}
}

func TestChangesByOthersStopASave(t *testing.T) {
	path := filepath.Join(t.TempDir(), "plot.hedgereach")
	if err := plan.WriteFile(path, plan.New("One")); err != nil {
		t.Fatal(err)
	}
	d, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o644); err != nil { // the same again is no change
		t.Fatal(err)
	}
	if err := d.Save(); err != nil {
		t.Fatal(err)
	}
	if err := plan.WriteFile(path, plan.New("Six")); err != nil { // of the same length
		t.Fatal(err)
	}
	if err := d.Save(); !errors.Is(err, ErrChanged) {
		t.Errorf("Save: %v", err)
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if err := d.Save(); err != nil {
		t.Errorf("a file that has gone is not written anew: %v", err)
	}
	d.SetReadOnly(true)
	if err := d.Save(); !errors.Is(err, ErrReadOnly) {
		t.Errorf("Save of what is open elsewhere: %v", err)
	}
	r := Recovered(plan.New("Left"), path, "an older state")
	if err := r.Save(); !errors.Is(err, ErrChanged) || !r.Dirty() {
		t.Errorf("Save of recovered work over a newer file: %v", err)
	}
}
