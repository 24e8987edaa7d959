package document

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"

	"hedgereach/habitat/plan"
)

// Stamp tells one state of a file from another: a hash of what it holds. Times and sizes would miss a change within one tick of
// the clock and take a copied or merely touched file for a changed one. "" where no file can be read.
func Stamp(path string) string {
	data, err := contents(path)
	if err != nil {
		return ""
	}
	return stampOf(data)
}

func stampOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// contents is what a file holds that may be a plan; what is larger, or no plain file, is none.
func contents(path string) ([]byte, error) {
	s, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !s.Mode().IsRegular() || s.Size() > plan.MaxFileBytes {
		return nil, errors.New("this is not a plan")
	}
	return os.ReadFile(path)
}

// keepBefore keeps what a file held before a save, if that was something else. It comes after the save, so that a disk that fills
// up takes the older version and not the work.
func keepBefore(path string, before []byte, now string) error {
	if len(before) == 0 || stampOf(before) == now {
		return nil
	}
	backup := path + "~"
	if s, err := os.Stat(path); err == nil { // nobody may read the older version who may not read the file
		if f, err := os.OpenFile(backup, os.O_CREATE|os.O_EXCL, s.Mode().Perm()); err == nil {
			f.Close()
		}
	}
	return plan.Replace(backup, before)
}
