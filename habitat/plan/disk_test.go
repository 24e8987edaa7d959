package plan

import (
	"errors"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
)

// failing is a file that fails at one step.
type failing struct {
	file
	step string
	err  error
}

func (f failing) Write(data []byte) (int, error) {
	if f.step == "write" {
		n, _ := f.file.Write(data[:len(data)/2]) // a full disk takes what still fits
		return n, &os.PathError{Op: "write", Path: "beside", Err: f.err}
	}
	return f.file.Write(data)
}

func (f failing) Sync() error {
	if f.step == "sync" {
		return &os.PathError{Op: "sync", Path: "beside", Err: f.err}
	}
	return f.file.Sync()
}

func (f failing) Close() error {
	err := f.file.Close()
	if f.step == "close" { // network folders say at the end that the quota is used up
		return &os.PathError{Op: "close", Path: "beside", Err: f.err}
	}
	return err
}

func TestAFailingDiskLeavesTheOldFileWhole(t *testing.T) {
	oldCreate, oldRename := create, rename
	t.Cleanup(func() { create, rename = oldCreate, oldRename })
	for _, c := range []struct {
		step string
		err  error
		says string
	}{
		{"create", syscall.ENOSPC, "no space left on device"},
		{"create", syscall.EROFS, "read-only file system"},
		{"write", syscall.ENOSPC, "no space left on device"},
		{"write", syscall.EIO, "input/output error"},
		{"write", syscall.EFBIG, "file too large"},
		{"write", io.ErrShortWrite, "short write"},
		{"sync", syscall.EIO, "input/output error"},
		{"sync", syscall.ENOSPC, "no space left on device"},
		{"close", syscall.EDQUOT, "disk quota exceeded"},
		{"rename", syscall.EIO, "input/output error"},
		{"rename", syscall.ESTALE, "stale"}, // a network folder that has gone
	} {
		dir := t.TempDir()
		path := filepath.Join(dir, "x.hedgereach")
		if err := os.WriteFile(path, []byte(whole), 0o644); err != nil {
			t.Fatal(err)
		}
		create = func(name string, mode os.FileMode) (file, error) {
			if c.step == "create" {
				return nil, &os.PathError{Op: "open", Path: name, Err: c.err}
			}
			f, err := oldCreate(name, mode)
			return failing{f, c.step, c.err}, err
		}
		rename = func(from, to string) error {
			if c.step == "rename" {
				return &os.LinkError{Op: "rename", Old: from, New: to, Err: c.err}
			}
			return oldRename(from, to)
		}
		p := read(t, whole)
		p.Name = "Newer"
		err := WriteFile(path, p)
		var re *ReadError
		if !errors.As(err, &re) || !strings.Contains(err.Error(), c.says) || !strings.Contains(err.Error(), "that the disk has room") ||
			strings.Contains(err.Error(), "\n") || strings.Contains(err.Error(), "part") || re.File != path {
			t.Errorf("%s, %v: says %v", c.step, c.err, err)
		}
		if got, err := os.ReadFile(path); err != nil || string(got) != whole {
			t.Errorf("%s, %v: the old file is spoilt: %v", c.step, c.err, err)
		}
		if names, _ := os.ReadDir(dir); len(names) != 1 {
			t.Errorf("%s, %v: left beside it: %v", c.step, c.err, names)
		}
	}
}

// A thousand saves on a disk that fails at random steps: each time the file is whole, and what the last good save wrote.
func TestSavesOnAnUnsoundDisk(t *testing.T) {
	oldCreate, oldRename := create, rename
	t.Cleanup(func() { create, rename = oldCreate, oldRename })
	r := rand.New(rand.NewPCG(2026, 11))
	fails := func(step string, often int) bool { return step != "" && r.IntN(often) == 0 }
	create = func(name string, mode os.FileMode) (file, error) {
		if fails("create", 10) {
			return nil, &os.PathError{Op: "open", Path: name, Err: syscall.EIO}
		}
		f, err := oldCreate(name, mode)
		if err != nil {
			return nil, err
		}
		return failing{f, []string{"write", "sync", "close", "", "", "", ""}[r.IntN(7)], syscall.EIO}, nil
	}
	rename = func(from, to string) error {
		if fails("rename", 10) {
			return &os.LinkError{Op: "rename", Old: from, New: to, Err: syscall.EIO}
		}
		return oldRename(from, to)
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "x.hedgereach")
	saved, failed := "", 0
	for i := range 1000 {
		p := read(t, whole)
		p.Name = strconv.Itoa(i)
		if err := WriteFile(path, p); err == nil {
			saved = p.Name
		} else if failed++; !strings.Contains(err.Error(), "input/output error") {
			t.Fatalf("save %d: %v", i, err)
		}
		if saved == "" {
			continue
		}
		if got, err := ReadFile(path); err != nil || got.Name != saved {
			t.Fatalf("after save %d the file holds %v, %v; want %s", i, got, err, saved)
		}
		if names, _ := os.ReadDir(dir); len(names) != 1 {
			t.Fatalf("after save %d there are %v", i, names)
		}
	}
	if failed < 200 || failed > 900 {
		t.Errorf("%d of 1000 saves failed: the disk is not unsound as it should be", failed)
	}
}
