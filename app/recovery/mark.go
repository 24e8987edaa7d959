package recovery

import (
	"crypto/sha256"
	"time"
)

// A mark says what a copy has fallen behind: the digest of the time when that copy was kept and of the later work that could not be
// kept. Where a full disk leaves an old copy and the work is then saved after all, the start after a kill tells by it that the copy is
// older than its file. It stands in the program's lock file, whose room is taken at the start: writing it over asks the disk for none.
type mark [sha256.Size]byte

func newMark(kept time.Time, later []byte) (m mark) {
	h := sha256.New()
	_, _ = h.Write([]byte(kept.UTC().Format(time.RFC3339Nano)))
	_, _ = h.Write(later)
	h.Sum(m[:0])
	return m
}

// note writes a mark into the lock's file, if it can: without it an older copy is offered, with a word that the file is newer. A nil
// lock has no file.
func (l *Lock) note(m mark) {
	if l != nil {
		_, _ = l.file.WriteAt(m[:], 0)
	}
}

// noted is the mark in the lock's file; none is all zeros.
func (l *Lock) noted() (m mark) {
	if l != nil {
		if n, err := l.file.ReadAt(m[:], 0); n < len(m) || err != nil {
			return mark{}
		}
	}
	return m
}
