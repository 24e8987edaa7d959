// Package recovery keeps a copy of unsaved work on disk, so that a crash, a kill or a power cut loses no more than the last
// moment of it. Each edit replaces the copy whole, flushed to disk, by a worker that never keeps the window waiting; a clean
// save or a deliberate close takes the copy away; the next start finds what is left of programs that no longer run. It knows
// plans and files, and no window.
package recovery

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"sync"
	"syscall"
	"time"

	"github.com/google/uuid"

	"hedgereach/habitat/plan"
)

const ending = ".recover"

// header is the first line of a copy; the plan follows as in a plan file.
type header struct {
	Version int       `json:"hedgereach recovery"`
	Path    string    `json:"path"` // the file that the plan belongs to; "" where it has none
	Kept    time.Time `json:"kept"`
	PID     int       `json:"pid"` // of the program that keeps it
	Sum     uint32    `json:"sum"` // CRC-32 of the plan
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
	file  string
	fails func(error)

	mu   sync.Mutex
	wake *sync.Cond
	want *job // what the worker does next; a newer job takes an older one's place
	busy bool
	done bool
}

type job struct {
	plan *plan.Plan // nil: take the copy away
	path string
}

// NewKeeper starts to keep in a folder, which it makes. Fails hears, on another goroutine, of a copy that could not be
// written; the work goes on.
func NewKeeper(folder string, fails func(error)) (*Keeper, error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, fmt.Errorf("no recovery copies can be kept: %w", err)
	}
	k := &Keeper{file: filepath.Join(folder, uuid.NewString()+ending), fails: fails}
	k.wake = sync.NewCond(&k.mu)
	go k.work()
	return k, nil
}

// Keep has a plan copied to disk. It returns at once.
func (k *Keeper) Keep(p *plan.Plan, path string) { k.ask(&job{p, path}) }

// Forget has the copy taken away: the work is saved, or the grower gave it up.
func (k *Keeper) Forget() { k.ask(&job{}) }

func (k *Keeper) ask(j *job) {
	k.mu.Lock()
	k.want = j
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
	k.done = true
	k.mu.Unlock()
	k.wake.Broadcast()
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
		j := k.want
		k.want, k.busy = nil, true
		k.mu.Unlock()

		if err := k.do(j); err != nil && k.fails != nil {
			k.fails(err)
		}
		k.mu.Lock()
		k.busy = false
		k.mu.Unlock()
		k.wake.Broadcast()
	}
}

func (k *Keeper) do(j *job) error {
	if j.plan == nil {
		if err := os.Remove(k.file); err != nil && !errors.Is(err, os.ErrNotExist) {
			return err
		}
		return nil
	}
	body, err := plan.Marshal(j.plan)
	if err != nil {
		return err
	}
	head, err := json.Marshal(header{1, j.path, time.Now(), os.Getpid(), crc32.ChecksumIEEE(body)})
	if err != nil {
		return err
	}
	return plan.Replace(k.file, slices.Concat(head, []byte("\n"), body))
}

// Found is work that a program left behind.
type Found struct {
	Plan *plan.Plan
	Path string // the file that it belongs to; "" where it has none
	Kept time.Time
	file string
}

// Find lists the copies in a folder whose programs no longer run, the newest first. What cannot be read whole is passed over and
// left where it is.
func Find(folder string) []Found {
	names, err := filepath.Glob(filepath.Join(folder, "*"+ending))
	if err != nil {
		return nil
	}
	var out []Found
	for _, name := range names {
		if f, err := read(name); err == nil {
			out = append(out, f)
		}
	}
	slices.SortFunc(out, func(a, b Found) int { return b.Kept.Compare(a.Kept) })
	return out
}

func read(name string) (Found, error) {
	s, err := os.Stat(name)
	if err != nil {
		return Found{}, err
	}
	if s.Size() > plan.MaxFileBytes+4096 {
		return Found{}, errors.New("too large")
	}
	data, err := os.ReadFile(name)
	if err != nil {
		return Found{}, err
	}
	first, body, ok := bytes.Cut(data, []byte("\n"))
	var h header
	if err := json.Unmarshal(first, &h); err != nil || !ok || h.Version != 1 {
		return Found{}, errors.New("no recovery copy")
	}
	if h.Sum != crc32.ChecksumIEEE(body) {
		return Found{}, errors.New("torn")
	}
	if running(h.PID) {
		return Found{}, errors.New("its program runs")
	}
	p, err := plan.Read(bytes.NewReader(body), "recovery copy")
	if err != nil {
		return Found{}, err
	}
	return Found{Plan: p, Path: h.Path, Kept: h.Kept, file: name}, nil
}

// running tells whether a process is there. A number that was given to another program since counts as running: its copy is then
// offered at a later start.
func running(pid int) bool {
	p, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	defer func() { _ = p.Release() }()
	if runtime.GOOS == "windows" {
		return true // there, finding is proof
	}
	err = p.Signal(syscall.Signal(0))
	return err == nil || errors.Is(err, os.ErrPermission)
}

// Newer tells whether the file that the work belongs to was written after the copy was kept: saving over it would lose that.
func (f Found) Newer() bool {
	s, err := os.Stat(f.Path)
	return f.Path != "" && err == nil && s.ModTime().After(f.Kept)
}

// Discard takes the copy away.
func (f Found) Discard() error { return os.Remove(f.file) }

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
