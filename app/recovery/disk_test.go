//go:build linux

package recovery

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"sync/atomic"
	"syscall"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/document"
	"hedgereach/habitat/plan"
)

func init() {
	deeds["crowded"] = func(folder string) error { return hampered(folder, fill) }
	deeds["limited"] = func(folder string) error {
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: 40 << 10, Max: 40 << 10}); err != nil {
			return err
		}
		return hampered(folder, func(string, int) error { return nil })
	}
}

// fill fills the disk to the last byte at some states, and gives the room back at others.
func fill(folder string, i int) error {
	ballast := filepath.Join(folder, "ballast")
	switch i % 7 {
	case 2:
		f, err := os.Create(ballast)
		if err != nil {
			return nil // no room even for that
		}
		defer f.Close()
		for block := make([]byte, 4096); err == nil; {
			_, err = f.Write(block)
		}
	case 5:
		if err := os.Remove(ballast); err != nil && !errors.Is(err, os.ErrNotExist) {
			return err
		}
	}
	return nil
}

// hampered edits and saves like work, where saves and copies may fail: then it vouches for nothing and goes on. Every third plan is
// twice as large.
func hampered(folder string, hamper func(folder string, i int) error) error {
	if err := os.Remove(filepath.Join(folder, "ballast")); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	file := filepath.Join(folder, "plan.hedgereach")
	var failed atomic.Bool
	k, err := NewKeeper(folder, "test", func(error) { failed.Store(true) })
	if err != nil {
		return err
	}
	d := document.New(large())
	if _, err := os.Stat(file); err == nil {
		if d, err = document.Open(file); err != nil {
			return err
		}
	}
	for _, f := range Find(folder) {
		if state(f.Plan) > state(d.Plan()) {
			d = document.Recovered(f.Plan, f.Path, f.Stamp)
			k.Keep(Work{d.Plan(), d.Path(), d.Stamp()})
			if err := k.TakeOver(f); err != nil {
				return err
			}
			continue
		}
		if err := f.Discard(); err != nil {
			return err
		}
	}
	small, big := large().Features, large().Features
	for i := range 150 {
		x := float64(i)
		big = append(big, plan.NewFeature(plan.Bed, fmt.Sprint("Bed ", 150+i), orb.Polygon{{{x, 10}, {x + 0.5, 10}, {x + 0.5, 15}, {x, 15}, {x, 10}}}))
	}
	for i := state(d.Plan()) + 1; ; i++ {
		if err := hamper(folder, i); err != nil {
			return err
		}
		p := d.Plan().Clone()
		p.Name, p.Features = strconv.Itoa(i), small
		if i%3 == 0 {
			p.Features = big
		}
		d.Do(document.Edit{Name: "count", Before: d.Plan(), After: p})
		failed.Store(false)
		if d.Path() == "" {
			k.Keep(Work{p, file, document.Stamp(file)})
		} else {
			k.Keep(Work{p, d.Path(), d.Stamp()})
		}
		k.Flush()
		if i%2 == 0 {
			err := save(d, file)
			if err == nil {
				k.Forget()
				k.Flush()
			} else if !d.Dirty() || d.Plan() != p {
				return fmt.Errorf("after a failed save (%w) the work is not there", err)
			}
			if err == nil {
				failed.Store(false)
			}
		}
		if !failed.Load() {
			fmt.Println("vouched", i)
		}
	}
}

// The same on a disk that fills up again and again: a file system of 256 kB.
func TestKilledOnAFullDisk(t *testing.T) {
	if testing.Short() {
		t.Skip("starts processes")
	}
	folder := t.TempDir()
	if err := syscall.Mount("tmpfs", folder, "tmpfs", 0, "size=256k"); err != nil {
		t.Skip("no small disk can be had here: ", err)
	}
	defer func() { _ = syscall.Unmount(folder, syscall.MNT_DETACH) }()
	killAgainAndAgain(t, folder, "crowded", 20)
}

// A full disk leaves an old copy; the work is saved elsewhere all the same. After a kill the copy is known to be older than its file and
// not offered, as long as the file is just that work; else it is offered.
func TestACopyThatFellBehindIsNotOffered(t *testing.T) {
	disk, garden := t.TempDir(), t.TempDir()
	if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, "size=64k"); err != nil {
		t.Skip("no small disk can be had here: ", err)
	}
	defer func() { _ = syscall.Unmount(disk, syscall.MNT_DETACH) }()
	file := filepath.Join(garden, "plan.hedgereach")
	failed := 0
	k, err := NewKeeper(disk, "test", func(error) { failed++ })
	if err != nil {
		t.Fatal(err)
	}
	defer k.Close()
	small, later := plan.New("1"), large()
	later.Name = "2"
	k.Keep(Work{small, file, ""})
	k.Flush()
	if err := os.WriteFile(filepath.Join(disk, "ballast"), make([]byte, 40<<10), 0o600); err != nil {
		t.Fatal(err)
	}
	k.Keep(Work{later, file, ""})
	k.Flush()
	if failed != 1 {
		t.Fatalf("%d copies could not be kept, want the second", failed)
	}
	found := func(saved *plan.Plan) []Found {
		if err := plan.WriteFile(file, saved); err != nil {
			t.Fatal(err)
		}
		after := t.TempDir() // what is there after a kill: this program cannot both live and be dead
		names, _ := filepath.Glob(filepath.Join(disk, "*-*"))
		for _, name := range names {
			data, err := os.ReadFile(name)
			if err == nil {
				err = os.WriteFile(filepath.Join(after, filepath.Base(name)), data, 0o600)
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		return Find(after)
	}
	if list := found(later); len(list) != 0 {
		t.Errorf("%s is offered although the file has %s", list[0].Plan.Name, later.Name)
	}
	if list := found(plan.New("another")); len(list) != 1 || list[0].Plan.Name != "1" {
		t.Errorf("with another file %d copies are offered", len(list))
	}
}

// The copy of a program that is no more stays until the work that goes on from it is safe.
func TestACopyIsTakenOverOnceTheWorkIsSafe(t *testing.T) {
	disk := t.TempDir()
	if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, "size=64k"); err != nil {
		t.Skip("no small disk can be had here: ", err)
	}
	defer func() { _ = syscall.Unmount(disk, syscall.MNT_DETACH) }()
	dead, err := NewKeeper(disk, "test", nil)
	if err != nil {
		t.Fatal(err)
	}
	dead.Keep(Work{plan.New("1"), "", ""})
	dead.Close()
	found := Find(disk)
	if len(found) != 1 {
		t.Fatalf("%d copies", len(found))
	}
	k, err := NewKeeper(disk, "test", nil)
	if err != nil {
		t.Fatal(err)
	}
	defer k.Close()
	ballast := filepath.Join(disk, "ballast")
	if err := os.WriteFile(ballast, make([]byte, 40<<10), 0o600); err != nil {
		t.Fatal(err)
	}
	copies := func() int {
		names, _ := filepath.Glob(filepath.Join(disk, "*"+ending))
		return len(names)
	}
	k.Keep(Work{large(), "", ""})
	if err := k.TakeOver(found[0]); err != nil || copies() != 1 {
		t.Fatalf("%d copies on a full disk, %v", copies(), err)
	}
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	k.Keep(Work{large(), "", ""})
	k.Flush()
	if _, err := os.Stat(found[0].file); copies() != 1 || !errors.Is(err, os.ErrNotExist) {
		t.Errorf("%d copies once there is room, the old one among them: %v", copies(), err)
	}
}

// The same where the system lets no file grow beyond a size, which every third plan does.
func TestKilledWhereFilesMayNotGrow(t *testing.T) {
	if testing.Short() {
		t.Skip("starts processes")
	}
	killAgainAndAgain(t, t.TempDir(), "limited", 20)
}
