package window

import (
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"github.com/paulmach/orb"

	"hedgereach/app/recovery"
	"hedgereach/habitat/plan"
)

func TestWorkIsKeptUntilItIsSavedOrGivenUp(t *testing.T) {
	w := open(t)
	folder := t.TempDir()
	w.guardIn(folder, func(f func()) { f() })
	copies := func() int {
		w.flush()
		return len(copiesIn(t, folder))
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

func copiesIn(t *testing.T, folder string) []string {
	t.Helper()
	found, err := filepath.Glob(filepath.Join(folder, "*.recover"))
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// What is said and asked at the start hears Enter and Escape, as everything else does.
func TestTheStartHearsEnterAndEscape(t *testing.T) {
	w := open(t)
	press := func(k fyne.KeyName) { w.window.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: k}) }
	for _, k := range []fyne.KeyName{fyne.KeyReturn, fyne.KeyEscape} {
		w.remark("Something was set aside.")
		if press(k); len(w.open) != 0 {
			t.Errorf("%s does not close what is said", k)
			w.escape()
		}
	}
	two := []recovery.Found{{Work: recovery.Work{Plan: plan.New("First")}}, {Work: recovery.Work{Plan: plan.New("Second")}}}
	was := w.session.Committed()
	w.offer(two)
	first := w.open[0]
	if press(fyne.KeyEscape); len(w.open) != 1 || w.open[0] == first || w.session.Committed() != was {
		t.Fatal("Escape does not leave the first for later and go on to the second")
	}
	if press(fyne.KeyReturn); w.session.Committed().Name != "Second" {
		t.Errorf("Enter recovers %q", w.session.Committed().Name)
	}
}

func TestRecoveredWorkIsOpenAndUnsaved(t *testing.T) {
	w := open(t)
	w.offer([]recovery.Found{{Work: recovery.Work{Plan: plan.New("Left behind"), Path: "/garden/plan.hedgereach"}}})
	if len(w.open) != 1 {
		t.Fatal("nothing is offered")
	}
	w.window.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	d := w.session.Document()
	if d.Title() != "Left behind" || !d.Dirty() || d.Path() != "/garden/plan.hedgereach" {
		t.Errorf("open is %q, changed %v, of %q", d.Title(), d.Dirty(), d.Path())
	}
}

// bare is a plan's file in a folder of its own.
func bare(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "bare.hedgereach")
	if err := plan.WriteFile(path, plan.New("Bare")); err != nil {
		t.Fatal(err)
	}
	return path
}

func rename(t *testing.T, w *Window, name string) {
	t.Helper()
	p := w.session.Committed().Clone()
	p.Name = name
	if err := w.session.Commit("rename", p); err != nil {
		t.Fatal(err)
	}
}

func TestAPlanOpenElsewhereIsReadOnly(t *testing.T) {
	w, folder, path := open(t), t.TempDir(), bare(t)
	other, err := recovery.Claim(folder, path)
	if err != nil {
		t.Fatal(err)
	}
	w.guardIn(folder, func(f func()) { f() })
	w.openFile(path)
	if title := w.window.Title(); !strings.Contains(title, "(read-only)") || len(w.open) != 1 {
		t.Errorf("titled %q with %d dialogs, want it to say that it is read-only", title, len(w.open))
	}
	w.escape()
	rename(t, w, "Changed")
	w.save()
	if len(w.open) != 1 || !w.session.Document().Dirty() {
		t.Error("saving does not ask for another name")
	}
	w.escape()
	w.writeTo(path, func() { t.Error("a plan that is open elsewhere is overwritten") })
	w.escape()
	mine := filepath.Join(filepath.Dir(path), "mine.hedgereach")
	w.writeTo(mine, func() {})
	if d := w.session.Document(); d.ReadOnly() || d.Dirty() || d.Path() != mine {
		t.Error("under another name it cannot be saved")
	}
	other.Release()
	w.openFile(path)
	if w.session.Document().ReadOnly() {
		t.Error("it stays read-only after the other window has closed it")
	}
	if l, err := recovery.Claim(folder, path); err == nil {
		l.Release()
		t.Error("this window has not claimed it")
	}
	w.unguard()
}

func TestAFileChangedByOthersIsNotOverwrittenUnasked(t *testing.T) {
	w, path := open(t), bare(t)
	w.guardIn(t.TempDir(), func(f func()) { f() })
	w.openFile(path)
	rename(t, w, "Mine")
	if err := plan.WriteFile(path, plan.New("Theirs")); err != nil {
		t.Fatal(err)
	}
	w.save()
	if len(w.open) != 1 || !w.session.Document().Dirty() {
		t.Fatal("nothing is asked")
	}
	if p, err := plan.ReadFile(path); err != nil || p.Name != "Theirs" {
		t.Fatal("their plan is gone", err)
	}
	w.escape()
	w.writeTo(path, func() {}) // as Overwrite does
	p, err := plan.ReadFile(path)
	before, errBefore := plan.ReadFile(path + "~")
	if err != nil || errBefore != nil || p.Name != "Mine" || before.Name != "Theirs" {
		t.Errorf("the file holds %v (%v), beside it %v (%v)", p, err, before, errBefore)
	}
	w.save()
	if len(w.open) != 0 {
		t.Error("one's own save counts as a change by others")
	}
	w.unguard()
}

func TestAPictureShowsWhatIsOffered(t *testing.T) {
	open(t) // the toolkit's palette
	if picture(plan.New("Empty")) != nil {
		t.Error("there is a picture of nothing")
	}
	stake := plan.New("A stake")
	stake.Features = []*plan.Feature{plan.NewFeature(plan.Stake, "1", orb.Point{3, 4})}
	if picture(stake) != nil {
		t.Error("there is a picture of a point")
	}
	p := plan.New("A bed")
	p.Features = []*plan.Feature{plan.NewFeature(plan.Bed, "", orb.Polygon{{{0, 0}, {20, 0}, {20, 5}, {0, 5}, {0, 0}}})}
	c, ok := picture(p).(*canvas.Image)
	if !ok {
		t.Fatal("there is no picture of a bed")
	}
	size := c.Image.Bounds().Size()
	if c.Image.At(size.X/2+3, size.Y/2) == c.Image.At(2, 2) && c.Image.At(size.X/2, size.Y/2) == c.Image.At(2, 2) {
		t.Error("the bed cannot be seen")
	}
}

func TestAFaultIsToldBeforeWorkIsOffered(t *testing.T) {
	w := open(t)
	w.tellFault([]recovery.Report{{File: "/state/x.report.txt"}}, func() {
		w.offer([]recovery.Found{{Work: recovery.Work{Plan: plan.New("Left behind")}}})
	})
	if len(w.open) != 1 {
		t.Fatal("the fault is not told, or not alone")
	}
	press := func() { w.window.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace}) }
	press()
	if len(w.open) != 1 {
		t.Fatalf("%d dialogs after it, want the offer", len(w.open))
	}
	press()
	if got := w.session.Document().Title(); got != "Left behind" {
		t.Errorf("open is %q", got)
	}
}
