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
			if k.Flush(); failed.Load() { // the old copy stays
				f.Later()
				continue
			}
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

// The same where the system lets no file grow beyond a size, which every third plan does.
func TestKilledWhereFilesMayNotGrow(t *testing.T) {
	if testing.Short() {
		t.Skip("starts processes")
	}
	killAgainAndAgain(t, t.TempDir(), "limited", 20)
}
