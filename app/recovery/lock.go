package recovery

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"
	"path/filepath"
)

// ErrHeld says that a program that runs holds the lock.
var ErrHeld = errors.New("another window of the program holds it")

// A Lock says that this program runs and holds a name. It is the system's lock on an open file, which ends with the program
// however that ends: no lock of a dead program stays behind, and the number of a process proves nothing.
type Lock struct {
	file *os.File
	path string
}

// Claim takes the lock for a plan file, by the file that its path really leads to, so that no two windows write to one plan.
// It answers ErrHeld where another window has the file open. Locks live in the folder, not beside the plan.
func Claim(folder, path string) (*Lock, error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, err
	}
	return take(claimOn(folder, path))
}

func claimOn(folder, path string) string {
	sum := sha256.Sum256([]byte(realPath(path)))
	return filepath.Join(folder, hex.EncodeToString(sum[:16])+".open")
}

// On tells whether the lock is the claim on a plan file. A nil lock is on nothing.
func (l *Lock) On(folder, path string) bool { return l != nil && l.path == claimOn(folder, path) }

// realPath is a path without links, also of a file that is not there yet.
func realPath(path string) string {
	if abs, err := filepath.Abs(path); err == nil {
		path = abs
	}
	if p, err := filepath.EvalSymlinks(path); err == nil {
		return p
	}
	if dir, err := filepath.EvalSymlinks(filepath.Dir(path)); err == nil {
		return filepath.Join(dir, filepath.Base(path))
	}
	return path
}

// take makes a file and locks it.
func take(path string) (*Lock, error) {
	for {
		f, err := openLocked(path)
		if err != nil {
			return nil, err
		}
		// Whoever held it before may have removed it between our opening and our locking: then ours is not the file of that name.
		mine, err := f.Stat()
		if err != nil {
			f.Close()
			return nil, err
		}
		if named, err := os.Stat(path); err == nil && os.SameFile(mine, named) {
			return &Lock{f, path}, nil
		}
		f.Close()
	}
}

// Release gives the lock back and removes its file. A nil lock has nothing to give back.
func (l *Lock) Release() {
	if l == nil {
		return
	}
	removeLocked(l.file, l.path)
}
