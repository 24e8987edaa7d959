package endtoend

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// Where a robot that works at random presses: the ground, clear of the tools, the panes and the season.
const (
	groundLeft, groundRight = 60, 900
	groundTop, groundBottom = 130, 690
	seasonY                 = 800
)

// mostFeatures is how many features the robot lets the plan have before it takes steps back: a plan that grows takes memory that
// is no leak.
const mostFeatures = 110

// TestSoak edits the sample garden at random in the real window, takes steps back and saves, for a minute, with
// HEDGEREACH_LONG for an hour (or the minutes that it says). Every save can be read again, and the program's memory does not
// grow: neither what the system counts as resident nor what Go's collector finds alive.
func TestSoak(t *testing.T) {
	if testing.Short() {
		t.Skip("the real window takes a minute")
	}
	span, every, slack := time.Minute, time.Second, 1.5
	if long := os.Getenv("HEDGEREACH_LONG"); long != "" {
		span, every, slack = time.Hour, time.Minute, 1.15
		if minutes, err := strconv.Atoi(long); err == nil && minutes > 1 {
			span = time.Duration(minutes) * time.Minute
		}
	}
	if _, err := os.Stat("/proc/self/status"); err != nil {
		t.Skip("this system does not tell how much memory a program has")
	}
	dir := t.TempDir()
	bin := build(t, dir)
	sample, err := os.ReadFile(filepath.Join("..", "..", "data", "sample", "community-garden.hedgereach"))
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, "soak.hedgereach")
	if err := os.WriteFile(file, sample, 0o644); err != nil {
		t.Fatal(err)
	}
	t.Setenv("GODEBUG", "gctrace=1") // says after each collection how much is alive
	ctx, cancel := context.WithTimeout(t.Context(), span+5*time.Minute)
	t.Cleanup(cancel)
	w, err := Start(ctx, width, height, bin, file)
	if err != nil {
		if errors.Is(err, ErrNoScreen) {
			t.Skip(err)
		}
		t.Fatal(err)
	}
	r := &robot{t: t, ctx: ctx, bin: bin, w: w}
	defer func() { r.w.Close() }()

	s := soak{robot: r, file: file, rand: rand.New(rand.NewPCG(1, 2))}
	end, next := time.Now().Add(span), time.Now().Add(every)
	for time.Now().Before(end) {
		s.step()
		if time.Now().After(next) {
			next = next.Add(every)
			s.sample()
			if every >= time.Minute {
				fmt.Println(s.last()) // as it goes: an hour is long
			}
		}
	}
	s.save()
	s.noNetwork()
	t.Logf("%d steps, %d saves, %d steps taken back, in %v", s.steps, s.saves, s.undone, span)
	for _, m := range s.memory {
		t.Log(m)
	}
	if out := r.w.Output(); strings.Contains(out, "panic") || strings.Contains(out, "call thread") || strings.Contains(out, "could not be painted") {
		t.Errorf("the program printed:\n%s", withoutTrace(out))
	}
	s.flat("resident", slack, func(m memory) float64 { return m.residentMB })
	s.flat("alive", slack, func(m memory) float64 { return m.aliveMB })
}

// A soak is a robot that works at random.
type soak struct {
	*robot
	file                 string
	rand                 *rand.Rand
	steps, saves, undone int
	memory               []memory
	began                time.Time
}

type memory struct {
	after               time.Duration
	residentMB, aliveMB float64
	steps, features     int
}

func (m memory) String() string {
	return fmt.Sprintf("after %6.1f min: resident %6.1f MB, alive %5.1f MB, %d steps, %d features", m.after.Minutes(), m.residentMB, m.aliveMB,
		m.steps, m.features)
}

func (s *soak) spot() (x, y int) {
	return groundLeft + s.rand.IntN(groundRight-groundLeft), groundTop + s.rand.IntN(groundBottom-groundTop)
}

// times presses keys again and again.
func (s *soak) times(n int, keys ...string) {
	for range n {
		s.do(s.w.Key(keys...))
	}
}

// step does one thing at random, as a grower might.
func (s *soak) step() {
	if s.began.IsZero() {
		s.began = time.Now()
	}
	s.steps++
	x, y := s.spot()
	near := func(d int) (int, int) {
		return min(max(x+s.rand.IntN(2*d)-d, groundLeft), groundRight), min(max(y+s.rand.IntN(2*d)-d, groundTop), groundBottom)
	}
	x2, y2 := near(120)
	pick := func() { s.do(s.w.Key("v")); s.do(s.w.Click(x, y)) }
	switch s.rand.IntN(16) {
	case 0, 1: // draw a rectangle
		s.do(s.w.Key("r"))
		s.do(s.w.Drag(x, y, x2, y2))
	case 2: // draw a strip
		s.do(s.w.Key("s"))
		s.do(s.w.Click(x, y))
		s.do(s.w.Click(x2, y2))
		s.do(s.w.Key("Return"))
	case 3, 4, 5: // move something, or choose what lies in a box
		s.do(s.w.Key("v"))
		s.do(s.w.Drag(x, y, x2, y2))
	case 6:
		pick()
		s.times(1+s.rand.IntN(8), []string{"Left", "Right", "Up", "Down"}[s.rand.IntN(4)])
	case 7:
		pick()
		s.do(s.w.Key("ctrl+d"))
	case 8:
		pick()
		s.do(s.w.Key("ctrl+c", "ctrl+v"))
	case 9:
		pick()
		s.do(s.w.Key("Delete"))
	case 10, 11:
		n := 1 + s.rand.IntN(6)
		s.times(n, "ctrl+z")
		s.undone += n
		s.times(s.rand.IntN(4), "ctrl+y")
	case 12: // look nearer and farther
		for range 1 + s.rand.IntN(4) {
			s.do(s.w.Button(x, y, 4+s.rand.IntN(2)))
		}
		if s.rand.IntN(2) == 0 {
			s.do(s.w.Key("ctrl+0"))
		}
	case 13: // another time of the year
		s.do(s.w.Click(x, seasonY))
	case 14: // read the panes
		pick()
		s.do(s.w.Key([]string{"ctrl+1", "ctrl+2", "ctrl+3", "ctrl+4"}[s.rand.IntN(4)]))
		s.do(s.w.Click(x, y))
	case 15:
		s.save()
	}
	s.do(s.w.Key("Escape", "Escape"))
	if !s.w.Running() {
		s.t.Fatalf("the program ended at step %d; it printed:\n%s", s.steps, withoutTrace(s.w.Output()))
	}
}

// save saves and reads what was saved; where the plan has grown large, it takes steps back.
func (s *soak) save() {
	s.saves++
	s.do(s.w.Key("Escape", "Escape", "ctrl+s"))
	for patience := time.Now().Add(2 * time.Minute); ; s.w.Wait(100 * time.Millisecond) { // the machine may have much else to do
		if title, err := s.w.Title(); err == nil && !strings.Contains(title, "*") {
			break
		}
		if !s.w.Running() || time.Now().After(patience) {
			s.keep("soak.png")
			s.t.Fatalf("step %d: it does not save; it printed:\n%s", s.steps, withoutTrace(s.w.Output()))
		}
	}
	if len(read(s.t, s.file).Features) > mostFeatures {
		s.times(60, "ctrl+z")
		s.undone += 60
	}
}

// noNetwork sees that the program holds no socket of the network, open or listening: that to the screen is one of the machine's own.
func (s *soak) noNetwork() {
	proc := fmt.Sprintf("/proc/%d/", s.w.program.Process.Pid)
	fds, err := os.ReadDir(proc + "fd")
	s.do(err)
	sockets := 0
	for _, fd := range fds {
		to, _ := os.Readlink(proc + "fd/" + fd.Name())
		inode, socket := strings.CutPrefix(to, "socket:[")
		if !socket {
			continue
		}
		sockets++
		inode = strings.TrimSuffix(inode, "]")
		for _, kind := range []string{"tcp", "tcp6", "udp", "udp6", "raw", "raw6"} {
			table, _ := os.ReadFile(proc + "net/" + kind)
			for line := range strings.Lines(string(table)) {
				if f := strings.Fields(line); len(f) > 9 && f[9] == inode {
					s.t.Errorf("it holds a %s socket: %s", kind, line)
				}
			}
		}
	}
	if sockets == 0 {
		s.t.Error("not even the socket to the screen was found")
	}
}

var collected = regexp.MustCompile(`gc \d+ @.*->.*->(\d+) MB,`)

// sample notes how much memory the program has.
func (s *soak) sample() {
	m := memory{after: time.Since(s.began), steps: s.steps, features: len(read(s.t, s.file).Features)}
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.w.program.Process.Pid))
	s.do(err)
	for line := range strings.Lines(string(status)) {
		var kB float64
		if n, _ := fmt.Sscanf(line, "VmRSS: %f kB", &kB); n == 1 {
			m.residentMB = kB / 1024
		}
	}
	out := s.w.Output()
	if found := collected.FindAllStringSubmatch(out[max(0, len(out)-4000):], -1); len(found) > 0 {
		m.aliveMB, _ = strconv.ParseFloat(found[len(found)-1][1], 64)
	}
	s.memory = append(s.memory, m)
}

func (s *soak) last() memory { return s.memory[len(s.memory)-1] }

// flat compares the middle third of the time with the last: by the first the program has what it needs.
func (s *soak) flat(what string, slack float64, of func(memory) float64) {
	n := len(s.memory) / 3
	if n < 3 {
		s.t.Errorf("only %d samples", len(s.memory))
		return
	}
	middle := func(ms []memory) float64 {
		var v []float64
		for _, m := range ms {
			v = append(v, of(m))
		}
		slices.Sort(v)
		return v[len(v)/2]
	}
	before, after := middle(s.memory[n:2*n]), middle(s.memory[2*n:])
	s.t.Logf("%s: %.1f MB in the middle third, %.1f MB in the last", what, before, after)
	if before == 0 || after > slack*before+8 {
		s.t.Errorf("%s memory grows from %.1f to %.1f MB", what, before, after)
	}
}

// withoutTrace is what a program printed but for the collector's lines.
func withoutTrace(out string) string {
	var b strings.Builder
	for line := range strings.Lines(out) {
		if !strings.HasPrefix(line, "gc ") && !strings.HasPrefix(line, "scvg") {
			b.WriteString(line)
		}
	}
	return b.String()
}
