//go:build linux || darwin

package recovery

import (
	"fmt"
	"path/filepath"
	"syscall"
	"testing"

	"hedgereach/app/document"
	"hedgereach/habitat/plan"
)

func init() { deeds["full"] = full }

// full saves a plan that the disk takes, then one that is larger than any file may be here. It answers what went wrong.
func full(folder string) error {
	file := filepath.Join(folder, "plan.hedgereach")
	d := document.New(plan.New("Small"))
	if err := d.SaveAs(file); err != nil {
		return err
	}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: 8 << 10, Max: 8 << 10}); err != nil {
		return err
	}
	faults := 0
	k, err := NewKeeper(folder, "test", func(error) { faults++ })
	if err != nil {
		return err
	}
	p := large()
	d.Do(document.Edit{Name: "grow", Before: d.Plan(), After: p})
	k.Keep(Work{p, d.Path(), d.Stamp()})
	k.Close()
	if faults != 1 {
		return fmt.Errorf("%d faults of the copy were told", faults)
	}
	if err := d.Save(); err == nil || !d.Dirty() || d.Plan() != p {
		return fmt.Errorf("saved: %v; unsaved: %v", err, d.Dirty())
	}
	left, err := plan.ReadFile(file)
	if err != nil || left.Name != "Small" {
		return fmt.Errorf("the file holds %v, %w", left, err)
	}
	d.Undo()
	if err := d.Save(); err != nil { // it goes on
		return err
	}
	fmt.Println("good")
	return nil
}

// Where the system lets no file grow, nothing is lost: the file stays as it was, the work stays open, and the program lives.
func TestFilesThatMayNotGrow(t *testing.T) {
	if testing.Short() {
		t.Skip("starts processes")
	}
	if out, err := start(t.TempDir(), "full").CombinedOutput(); err != nil || string(out) != "good\n" {
		t.Errorf("%v: %s", err, out)
	}
}
