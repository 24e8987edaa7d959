// Package recovery keeps a copy of unsaved work on disk, so that a crash, a kill or a power cut loses no more than the last
// moment of it. Each edit replaces the copy whole, flushed to disk, by a worker that never keeps the window waiting; a clean
// save or a deliberate close takes the copy away; the next start finds what is left of programs that no longer run. Beside the
// copies it keeps the locks that tell which program has which plan open, and what the last moments of a crashed program were. It
// knows plans and files, and no window.
package recovery

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/google/uuid"

	"hedgereach/habitat/plan"
)

// Endings of the files in the folder.
const (
	ending = ".recover" // a copy
	alive  = ".alive"   // the lock of the program that keeps the copy of that name
)

const maxHeader = 64 << 10 // bytes of a copy beside its plan

// header is the first line of a copy; the plan follows as in a plan file.
type header struct {
	Version int       `json:"hedgereach recovery"`
	Program string    `json:"program"` // its version
	Path    string    `json:"path"`    // the file that the plan belongs to; "" where it has none
	Stamp   string    `json:"stamp"`   // of that file as last read or saved
	Kept    time.Time `json:"kept"`
	PID     int       `json:"pid"` // of the program that keeps it
	Sum     uint32    `json:"sum"` // CRC-32 of the plan
}

// Work is what is to be kept.
type Work struct {
	Plan  *plan.Plan
	Path  string // the file that it belongs to; "" where it has none
	Stamp string // document.Stamp of that file as last read or saved
}

// Folder is where copies are kept for this user.
func Folder() (string, error) {
	base, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("no folder for recovery copies: %w", err)
	}
	return filepath.Join(base, "hedgereach", "recovery"), nil
}

// A Keeper keeps the copy of one window's work.
type Keeper struct {
	file    string
	program string
	fails   func(error)
	lock    *Lock     // nil where the system has no locks
	kept    time.Time // of the copy on disk; only the worker's

	mu   sync.Mutex
	wake *sync.Cond
	want *Work // what the worker does next, no plan to take the copy away; a newer one takes an older one's place
	busy bool
	done bool
	good bool    // the last that was asked for was done
	over []Found // copies of programs that are no more, whose work this one goes on with: until that is safe, they stay
}

// NewKeeper starts to keep in a folder, which it makes, for a program of a version. Fails hears, on another goroutine, of a copy
// that could not be written; the work goes on.
func NewKeeper(folder, program string, fails func(error)) (*Keeper, error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, fmt.Errorf("no recovery copies can be kept: %w", err)
	}
	name := filepath.Join(folder, uuid.NewString())
	k := &Keeper{file: name + ending, program: program, fails: fails}
	k.lock, _ = take(name + alive) // without it the number of the process has to do
	k.lock.note(mark{})
	k.wake = sync.NewCond(&k.mu)
	live.Store(k, true)
	go k.work()
	return k, nil
}

// Keep has a plan copied to disk. It returns at once.
func (k *Keeper) Keep(w Work) {
	if w.Path != "" { // the next start may be in another folder
		if abs, err := filepath.Abs(w.Path); err == nil {
			w.Path = abs
		}
	}
	k.ask(&w)
}

// TakeOver lets go of a copy that was found and whose work was handed to Keep since: at once where that is on disk, else as soon as it
// is, or is saved. Until then the old copy stays.
func (k *Keeper) TakeOver(f Found) error {
	k.Flush()
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.good {
		return f.Discard()
	}
	k.over = append(k.over, f)
	return nil
}

// Forget has the copy taken away: the work is saved, or the grower gave it up.
func (k *Keeper) Forget() { k.ask(&Work{}) }

func (k *Keeper) ask(w *Work) {
	k.mu.Lock()
	k.want = w
	k.mu.Unlock()
	k.wake.Broadcast()
}

// Flush waits until what was asked for is on disk.
func (k *Keeper) Flush() {
	k.mu.Lock()
	for (k.want != nil || k.busy) && !k.done {
		k.wake.Wait()
	}
	k.mu.Unlock()
}

// Close ends the keeper once what was asked for is done. A copy that is there stays, for the next start to find.
func (k *Keeper) Close() {
	k.Flush()
	k.mu.Lock()
	first := !k.done
	k.done = true
	k.mu.Unlock()
	live.Delete(k)
	k.wake.Broadcast()
	if first {
		k.lock.Release()
	}
}

// live are the keepers that are not closed.
var live sync.Map

// FlushAll waits until what any keeper was asked for is on disk, but no longer than so long: to be called where the program is
// about to end by a fault.
func FlushAll(atMost time.Duration) {
	done := make(chan struct{})
	go func() {
		live.Range(func(k, _ any) bool { k.(*Keeper).Flush(); return true })
		close(done)
	}()
	select {
	case <-done:
	case <-time.After(atMost):
	}
}

func (k *Keeper) work() {
	for {
		k.mu.Lock()
		for k.want == nil && !k.done {
			k.wake.Wait()
		}
		if k.done {
			k.mu.Unlock()
			return
		}
		w := k.want
		k.want, k.busy = nil, true
		k.mu.Unlock()

		err := k.do(w)
		if err != nil && k.fails != nil {
			k.fails(err)
		}
		k.mu.Lock()
		k.busy, k.good = false, err == nil
		if k.good {
			for _, f := range k.over {
				_ = f.Discard()
			}
			k.over = nil
		}
		k.mu.Unlock()
		k.wake.Broadcast()
	}
}

// do writes or removes the copy. A fault in writing a plan is an error like others: keeping must not end the program.
func (k *Keeper) do(w *Work) (err error) {
	defer func() {
		if fault := recover(); fault != nil {
			Tell(fault, debug.Stack())
			err = errors.New("there was a fault in writing it")
		}
	}()
	if w.Plan == nil {
		if err := os.Remove(k.file); err != nil && !errors.Is(err, os.ErrNotExist) {
			return err
		}
		return nil
	}
	body, err := plan.Marshal(w.Plan)
	if err != nil {
		return err
	}
	now := time.Now()
	head, err := json.Marshal(header{Version: 1, Program: k.program, Path: w.Path, Stamp: w.Stamp, Kept: now, PID: os.Getpid(),
		Sum: crc32.ChecksumIEEE(body)})
	if err != nil {
		return err
	}
	if err := plan.Replace(k.file, slices.Concat(head, []byte("\n"), body)); err != nil {
		k.lock.note(newMark(k.kept, body))
		k.mu.Lock()
		for _, f := range k.over {
			f.lock.note(newMark(f.Kept, body))
		}
		k.mu.Unlock()
		return err
	}
	k.kept = now
	return nil
}

// Found is work that a program left behind. Until it is let go or discarded, no other window is offered it.
type Found struct {
	Work
	Kept time.Time
	file string
	lock *Lock
}

// Find lists the copies in a folder whose programs no longer run, the newest first. What cannot be read whole is passed over and
// left where it is. A copy that says what its file says, or less, has nothing to offer and is taken away.
func Find(folder string) []Found {
	names, err := filepath.Glob(filepath.Join(folder, "*"+ending))
	if err != nil {
		return nil
	}
	tidy(folder)
	var out []Found
	for _, name := range names {
		if f, ok := find(name); ok {
			out = append(out, f)
		}
	}
	slices.SortFunc(out, func(a, b Found) int { return b.Kept.Compare(a.Kept) })
	return out
}

// tidy removes locks of programs that ended without leaving a copy, and copies that were never finished.
func tidy(folder string) {
	parts, _ := filepath.Glob(filepath.Join(folder, ".*"+ending+".*.part")) // as plan.Replace names what it writes beside
	for _, part := range parts {
		name, _, _ := strings.Cut(strings.TrimPrefix(filepath.Base(part), "."), ending)
		if l, err := take(filepath.Join(folder, name+alive)); err == nil {
			_ = os.Remove(part)
			l.Release()
		}
	}
	names, _ := filepath.Glob(filepath.Join(folder, "*"+alive))
	for _, name := range names {
		if _, err := os.Stat(strings.TrimSuffix(name, alive) + ending); errors.Is(err, os.ErrNotExist) {
			if l, err := take(name); err == nil {
				l.Release()
			}
		}
	}
}

func find(name string) (Found, bool) {
	lock, err := take(strings.TrimSuffix(name, ending) + alive)
	if errors.Is(err, ErrHeld) {
		return Found{}, false
	}
	h, body, err := read(name) // after the lock: its program may just have replaced it
	// Without locks, a number that was given to another program since counts as running: the copy is offered at a later start.
	if err != nil || lock == nil && plan.Running(h.PID) {
		lock.Release()
		return Found{}, false
	}
	f := Found{Work: Work{Path: h.Path, Stamp: h.Stamp}, Kept: h.Kept, file: name, lock: lock}
	saved, err := readWhole(h.Path)
	if h.Path != "" && err == nil && (bytes.Equal(saved, body) || lock.noted() == newMark(h.Kept, saved)) {
		_ = f.Discard()
		return Found{}, false
	}
	if f.Plan, err = plan.Read(bytes.NewReader(body), "recovery copy"); err != nil {
		lock.Release()
		return Found{}, false
	}
	return f, true
}

// read is a copy's header and its plan as bytes, if it is whole.
func read(name string) (h header, body []byte, err error) {
	data, err := readWhole(name)
	if err != nil {
		return h, nil, err
	}
	return parse(data)
}

// parse parts a copy; a torn one is an error.
func parse(data []byte) (h header, body []byte, err error) {
	first, body, ok := bytes.Cut(data, []byte("\n"))
	if err := json.Unmarshal(first, &h); err != nil || !ok || h.Version != 1 {
		return h, nil, errors.New("no recovery copy")
	}
	if h.Sum != crc32.ChecksumIEEE(body) {
		return h, nil, errors.New("torn")
	}
	return h, body, nil
}

// readWhole reads a file that is no larger than a plan can be, with a header.
func readWhole(name string) ([]byte, error) {
	s, err := os.Stat(name)
	if err != nil {
		return nil, err
	}
	if !s.Mode().IsRegular() || s.Size() > plan.MaxFileBytes+maxHeader {
		return nil, errors.New("no file of ours")
	}
	return os.ReadFile(name)
}

// Newer tells whether the file that the work belongs to was written after the copy was kept: saving over it would lose that.
func (f Found) Newer() bool {
	s, err := os.Stat(f.Path)
	return f.Path != "" && err == nil && s.ModTime().After(f.Kept)
}

// Discard takes the copy away.
func (f Found) Discard() error {
	err := os.Remove(f.file)
	f.lock.Release()
	return err
}

// Later lets the copy be: the next start offers it again.
func (f Found) Later() { f.lock.Release() }

// Words says in a line what was found.
func (f Found) Words() string {
	name := f.Plan.Name
	if name == "" {
		name = "A plan without a name"
	}
	things := strconv.Itoa(len(f.Plan.Features)) + " features"
	if len(f.Plan.Features) == 1 {
		things = "1 feature"
	}
	where := "never saved"
	if f.Path != "" {
		where = "of the file " + f.Path
	}
	return fmt.Sprintf("%s: %s, %s, last changed on %s", name, things, where, f.Kept.Local().Format("2 January 2006 at 15:04:05"))
}
