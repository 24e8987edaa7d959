//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package recovery

import (
	"errors"
	"os"
	"syscall"
)

// openLocked opens a file that this program alone may hold.
func openLocked(path string) (*os.File, error) {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, err
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		f.Close()
		if errors.Is(err, syscall.EWOULDBLOCK) {
			return nil, ErrHeld
		}
		return nil, &os.PathError{Op: "lock", Path: path, Err: err}
	}
	return f, nil
}

// removeLocked removes the file while it is still locked, so that nobody else's is removed.
func removeLocked(f *os.File, path string) {
	_ = os.Remove(path)
	_ = f.Close()
}
