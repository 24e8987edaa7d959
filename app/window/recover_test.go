package window

import (
	"os"
	"testing"

	"fyne.io/fyne/v2"

	"hedgereach/app/recovery"
	"hedgereach/habitat/plan"
)

func TestWorkIsKeptUntilItIsSavedOrGivenUp(t *testing.T) {
	w := open(t)
	folder := t.TempDir()
	w.guard(folder, func(f func()) { f() })
	copies := func() int {
		w.keeper.Flush()
		return len(files(t, folder))
	}
	if copies() != 0 {
		t.Error("a plan without changes is kept")
	}
	p := w.session.Committed().Clone()
	p.Name = "Changed"
	if err := w.session.Commit("rename", p); err != nil {
		t.Fatal(err)
	}
	if copies() != 1 {
		t.Error("a change is not kept")
	}
	w.session.Undo()
	if copies() != 0 {
		t.Error("back at the saved plan, a copy is kept")
	}
	w.session.Redo()
	w.giveUp()
	if copies() != 0 {
		t.Error("work that was given up is kept")
	}
}

func files(t *testing.T, folder string) []os.DirEntry {
	t.Helper()
	found, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func TestRecoveredWorkIsOpenAndUnsaved(t *testing.T) {
	w := open(t)
	w.offer([]recovery.Found{{Plan: plan.New("Left behind"), Path: "/garden/plan.hedgereach"}})
	if len(w.open) != 1 {
		t.Fatal("nothing is offered")
	}
	w.window.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	d := w.session.Document()
	if d.Title() != "Left behind" || !d.Dirty() || d.Path() != "/garden/plan.hedgereach" {
		t.Errorf("open is %q, changed %v, of %q", d.Title(), d.Dirty(), d.Path())
	}
}
