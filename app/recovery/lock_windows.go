package recovery

import (
	"errors"
	"os"
	"syscall"
)

// openLocked opens a file that this program alone may hold: it is shared with nobody.
func openLocked(path string) (*os.File, error) {
	name, err := syscall.UTF16PtrFromString(path)
	if err != nil {
		return nil, err
	}
	const sharingViolation = syscall.Errno(32) // ERROR_SHARING_VIOLATION
	h, err := syscall.CreateFile(name, syscall.GENERIC_READ|syscall.GENERIC_WRITE, 0, nil, syscall.OPEN_ALWAYS,
		syscall.FILE_ATTRIBUTE_NORMAL, 0)
	if errors.Is(err, sharingViolation) {
		return nil, ErrHeld
	}
	if err != nil {
		return nil, &os.PathError{Op: "lock", Path: path, Err: err}
	}
	return os.NewFile(uintptr(h), path), nil
}

// removeLocked closes the file first: what is open cannot be removed here.
func removeLocked(f *os.File, path string) {
	_ = f.Close()
	_ = os.Remove(path)
}
