package recovery

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/habitat/plan"
)

// The test binary, started again with these in its environment, is the program that gets killed.
const (
	victim = "HEDGEREACH_TEST_VICTIM" // the folder that it works in
	deed   = "HEDGEREACH_TEST_DEED"   // what it does there
)

var deeds = map[string]func(folder string) error{
	"edit": edit, "save": work,
	"words": crash(func() { panic("Aunt Polly's secret bed\nat /home/polly/garden") }),
	"index": crash(func() { _ = []string{"Aunt Polly"}[len(os.Args)+4] }),
	"none":  crash(func() {}),
}

func TestMain(m *testing.M) {
	if folder := os.Getenv(victim); folder != "" {
		if err := deeds[os.Getenv(deed)](folder); err != nil {
			fmt.Println("fault", err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

// start starts this binary as a victim.
func start(folder, does string) *exec.Cmd {
	self, err := os.Executable()
	if err != nil {
		panic(err)
	}
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), victim+"="+folder, deed+"="+does)
	return cmd
}

// edit makes edits for as long as it lives. It says each edit's number once it is on disk, by Keep as the window calls it.
func edit(folder string) error {
	k, err := NewKeeper(folder, "test", func(err error) { fmt.Println("fault", err) })
	if err != nil {
		return err
	}
	p := plan.New("Victim")
	for i := 1; ; i++ {
		p = p.Clone()
		x := float64(i)
		p.Features = append(p.Features, plan.NewFeature(plan.Bed, fmt.Sprint("Bed ", i),
			orb.Polygon{{{x, 0}, {x + 0.5, 0}, {x + 0.5, 5}, {x, 5}, {x, 0}}}))
		k.Keep(Work{Plan: p, Path: "/garden/victim.hedgereach"})
		if i%3 != 0 { // sometimes the next edit comes before the last is on disk
			k.Flush()
			fmt.Println("kept", i)
		}
	}
}

// A program that edits without pause is killed at odd moments. What the next start finds is every edit that was on disk, or a
// later state; never less, never broken.
func TestKilledAtOddMoments(t *testing.T) {
	if testing.Short() {
		t.Skip("starts processes")
	}
	kills := 15
	if os.Getenv("HEDGEREACH_LONG") != "" {
		kills = 1000
	}
	for n := range kills {
		folder := t.TempDir()
		cmd := start(folder, "edit")
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
		first := <-lines
		time.Sleep(time.Duration(n*7919%97) * time.Millisecond)
		_ = cmd.Process.Kill()
		last := number(t, first)
		for l := range lines {
			last = number(t, l)
		}
		_ = cmd.Wait()
		found := Find(folder)
		if len(found) != 1 {
			t.Fatalf("kill %d: %d copies found", n, len(found))
		}
		if got := len(found[0].Plan.Features); got < last {
			t.Errorf("kill %d: %d edits are left of %d that were on disk", n, got, last)
		}
		if found[0].Path != "/garden/victim.hedgereach" {
			t.Errorf("kill %d: it belongs to %q", n, found[0].Path)
		}
	}
}

func number(t *testing.T, line string) int {
	t.Helper()
	n, err := strconv.Atoi(strings.TrimPrefix(line, "kept "))
	if err != nil {
		t.Fatal(line)
	}
	return n
}

func TestForgottenAndForeignCopies(t *testing.T) {
	folder := t.TempDir()
	k, err := NewKeeper(folder, "test", func(err error) { t.Error(err) })
	if err != nil {
		t.Fatal(err)
	}
	p := plan.New("Mine")
	k.Keep(Work{Plan: p})
	k.Flush()
	if n := len(Find(folder)); n != 0 {
		t.Errorf("%d copies of a program that still runs are offered", n)
	}
	names, _ := filepath.Glob(filepath.Join(folder, "*"+ending))
	if len(names) != 1 {
		t.Fatalf("%d copies on disk", len(names))
	}
	data, _ := os.ReadFile(names[0]) // under another name its program is as good as gone: nobody holds that name
	gone := string(data)
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(folder, name+ending), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write("gone", gone)
	write("torn", gone[:len(gone)-10])
	write("empty", "")
	write("other", "{}\n{}")
	found := Find(folder)
	if len(found) != 1 || found[0].Plan.Name != "Mine" || !strings.Contains(found[0].Words(), "never saved") {
		t.Fatalf("found %+v", found)
	}
	if again := Find(folder); len(again) != 0 {
		t.Error("what one window offers, another offers, too")
	}
	found[0].Later()
	if found = Find(folder); len(found) != 1 {
		t.Fatal("what was put off is not offered again")
	}
	if err := found[0].Discard(); err != nil || len(Find(folder)) != 0 {
		t.Error("a discarded copy is offered again", err)
	}
	k.Forget()
	k.Close()
	if _, err := os.Stat(names[0]); !os.IsNotExist(err) {
		t.Error("the copy of saved work is still there")
	}
}

// A file named from the folder that the program was started in is found again from any other.
func TestAnotherStartMayBeInAnotherFolder(t *testing.T) {
	folder := t.TempDir()
	k, err := NewKeeper(folder, "test", func(err error) { t.Error(err) })
	if err != nil {
		t.Fatal(err)
	}
	k.Keep(Work{Plan: plan.New("Mine"), Path: "garden.hedgereach"})
	k.Close()
	here, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	if found := Find(folder); len(found) != 1 || found[0].Path != filepath.Join(here, "garden.hedgereach") {
		t.Errorf("found %+v", found)
	}
}

func TestAFileWrittenSinceIsNoticed(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.hedgereach")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if !(Found{Work: Work{Path: file}, Kept: time.Now().Add(-time.Hour)}).Newer() || (Found{Work: Work{Path: file}, Kept: time.Now().Add(time.Hour)}).Newer() {
		t.Error("newer and older files are mixed up")
	}
}

func TestAFailingFolderIsToldAndWorkGoesOn(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "recovery")
	told := make(chan error, 10)
	k, err := NewKeeper(folder, "test", func(err error) { told <- err })
	if err != nil {
		t.Fatal(err)
	}
	if err := os.RemoveAll(folder); err != nil {
		t.Fatal(err)
	}
	k.Keep(Work{Plan: plan.New("x")})
	k.Close()
	select {
	case <-told:
	default:
		t.Error("nobody was told")
	}
	if _, err := NewKeeper(filepath.Join("/dev/null", "x"), "test", nil); err == nil {
		t.Error("a folder that cannot be is taken")
	}
}
