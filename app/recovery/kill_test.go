package recovery

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/app/document"
	"hedgereach/habitat/plan"
)

// work edits and saves as a window does, for as long as it lives: it claims the file, takes up what was left behind, keeps each edit,
// saves now and then. The plan's name counts its edits. It says what it can vouch for: an edit whose copy is on disk, a save.
func work(folder string) error {
	file := filepath.Join(folder, "plan.hedgereach")
	claim, err := Claim(folder, file) // free again however the last program ended
	if err != nil {
		return err
	}
	defer claim.Release()
	k, err := NewKeeper(folder, "test", func(err error) { fmt.Println("fault", err) })
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
			k.Flush()
		}
		if err := f.Discard(); err != nil {
			return err
		}
	}
	for i := state(d.Plan()) + 1; ; i++ {
		p := d.Plan().Clone()
		p.Name = strconv.Itoa(i)
		d.Do(document.Edit{Name: "count", Before: d.Plan(), After: p})
		k.Keep(Work{p, d.Path(), d.Stamp()})
		switch {
		case i%5 == 0:
			if d.Path() == "" { // as the window does before it saves under another name
				k.Keep(Work{p, file, document.Stamp(file)})
			}
			k.Flush()
			if err := save(d, file); err != nil {
				return err
			}
			k.Forget()
			fmt.Println("vouched", i)
		case i%2 == 0:
			k.Flush()
			fmt.Println("vouched", i)
		}
	}
}

func save(d *document.Document, file string) error {
	err := d.Save()
	if errors.Is(err, document.ErrNoPath) {
		return d.SaveAs(file)
	}
	return err
}

// large is a plan whose file takes many blocks of a disk.
func large() *plan.Plan {
	p := plan.New("0")
	for i := range 150 {
		x := float64(i)
		p.Features = append(p.Features, plan.NewFeature(plan.Bed, fmt.Sprint("Bed ", i),
			orb.Polygon{{{x, 0}, {x + 0.5, 0}, {x + 0.5, 5}, {x, 5}, {x, 0}}}))
	}
	return p
}

func state(p *plan.Plan) int {
	n, err := strconv.Atoi(p.Name)
	if err != nil {
		return -1
	}
	return n
}

// A program that edits and saves is killed at odd moments, again and again on the same file. Each time the file and the version
// before it are whole, and the file or what is offered for recovery holds the last state that was vouched for, or a later one.
// Nothing older than the file is offered.
func TestKilledWhileSaving(t *testing.T) {
	if testing.Short() {
		t.Skip("starts processes")
	}
	killAgainAndAgain(t, t.TempDir(), "save", 20)
}

// killAgainAndAgain kills a program that edits and saves so many times, in a long test a thousand times.
func killAgainAndAgain(t *testing.T, folder, does string, kills int) {
	t.Helper()
	if os.Getenv("HEDGEREACH_LONG") != "" {
		kills = 1000
	}
	file := filepath.Join(folder, "plan.hedgereach")
	vouched := 0
	for n := range kills {
		cmd := start(folder, does)
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		lines := make(chan string, 10_000)
		go func() {
			for s := bufio.NewScanner(out); s.Scan(); {
				lines <- s.Text()
			}
			close(lines)
		}()
		if first, ok := <-lines; ok {
			vouched = max(vouched, stateSaid(t, first))
		}
		time.Sleep(time.Duration(n*7919%89) * time.Millisecond)
		_ = cmd.Process.Kill()
		for l := range lines {
			vouched = max(vouched, stateSaid(t, l))
		}
		_ = cmd.Wait()

		saved := -1
		if p, err := plan.ReadFile(file); err == nil {
			saved = state(p)
		} else if _, missing := os.Stat(file); missing == nil { // where there is none, a copy has to hold what was vouched for
			t.Fatalf("kill %d: the file is broken: %v", n, err)
		}
		if _, err := os.Stat(file + "~"); err == nil {
			if _, err := plan.ReadFile(file + "~"); err != nil {
				t.Errorf("kill %d: the version before is broken: %v", n, err)
			}
		}
		best := saved
		for _, f := range Find(folder) {
			if s := state(f.Plan); s > saved {
				best = max(best, s)
			} else {
				t.Errorf("kill %d: state %d is offered although the file has %d", n, s, saved)
			}
			f.Later()
		}
		if best < vouched {
			t.Fatalf("kill %d: state %d is left of %d", n, best, vouched)
		}
	}
	for _, what := range []string{"*" + alive, ".*" + ending + ".*.part"} {
		if left, _ := filepath.Glob(filepath.Join(folder, what)); len(left) > 0 {
			t.Errorf("dead programs left %v", left)
		}
	}
}

func stateSaid(t *testing.T, line string) int {
	t.Helper()
	n, err := strconv.Atoi(strings.TrimPrefix(line, "vouched "))
	if err != nil {
		t.Fatal(line)
	}
	return n
}
