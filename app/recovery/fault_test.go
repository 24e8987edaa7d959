package recovery

import (
	"errors"
	"os"
	"strings"
	"testing"
	"time"

	"hedgereach/habitat/plan"
)

// A fault beside the window's goroutine is caught, told with the calls that led to it, and noted without anything personal.
func TestFaultsAreCaughtAndNoted(t *testing.T) {
	folder := t.TempDir()
	notes := make(chan Report, 2)
	OnCaught(func(fault any, stack []byte) { notes <- Note(folder, "1.2.3", fault, stack) })
	defer caught.Store(nil)
	for want, do := range map[string]func(){
		"panic: (its words are left out":     func() { panic("Aunt Polly's bed") },
		"panic: runtime error: index out of": func() { _ = []string{"Aunt Polly"}[len(os.Args)+4] },
	} {
		failed := make(chan error, 1)
		Go(func() { inTheMidst(do) }, func(err error) { failed <- err })
		if err := <-failed; err == nil || !strings.Contains(err.Error(), "your plan is as it was") {
			t.Errorf("it says %v", err)
		}
		text, err := os.ReadFile((<-notes).File)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range []string{"Hedgereach 1.2.3, go", want, "hedgereach/app/recovery.inTheMidst", "\tfault_test.go:"} {
			if !strings.Contains(string(text), s) {
				t.Errorf("the note does not say %q:\n%s", s, text)
			}
		}
		if strings.Contains(string(text), "Polly") || strings.Contains(string(text), "0x") {
			t.Errorf("the note says\n%s", text)
		}
	}
	if err := Guard(func() {}); err != nil {
		t.Errorf("work without a fault answers %v", err)
	}
}

// What is left of a fault that ends the program is a report at the next start, once.
func TestAFaultThatEndsTheProgramIsLeftForTheNextStart(t *testing.T) {
	folder := t.TempDir()
	if err := Leave(folder, "1.2.3", errors.New("Aunt Polly"), []byte("goroutine 1 [running]:\nmain.run(0x1)\n\t/home/polly/main.go:7 +0x2\n")); err != nil {
		t.Fatal(err)
	}
	found := Reports(folder)
	if len(found) != 1 || len(Reports(folder)) != 0 {
		t.Fatalf("reports %v", found)
	}
	text, err := os.ReadFile(found[0].File)
	if err != nil || !strings.Contains(string(text), "main.run\n\tmain.go:7") || strings.Contains(strings.ToLower(string(text)), "polly") {
		t.Errorf("%v: the report says\n%s", err, text)
	}
}

// Before the program ends by a fault, what any window asked to keep is on disk.
func TestEverythingIsFlushedBeforeAFaultEndsTheProgram(t *testing.T) {
	folder := t.TempDir()
	k, err := NewKeeper(folder, "test", func(err error) { t.Error(err) })
	if err != nil {
		t.Fatal(err)
	}
	k.Keep(Work{Plan: plan.New("Last moment")})
	FlushAll(time.Minute)
	if left, _ := os.ReadDir(folder); len(left) != 2 { // the copy and its lock
		t.Errorf("in the folder: %v", left)
	}
	k.Close()
}
