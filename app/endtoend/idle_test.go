package endtoend

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// At rest the program leaves the processor alone: on the ground, and after a form with a line to type in was opened and closed. Eight
// hundredths of one core are what the toolkit's own looking for events takes, several times over; a caret that goes on blinking, or a
// layer that goes on being painted, takes many times more.
func TestIdleTakesNoProcessorTime(t *testing.T) {
	const span, most = 10 * time.Second, 0.08
	r, _ := start(t)
	defer func() { r.w.Close() }()
	stat := filepath.Join("/proc", strconv.Itoa(r.w.program.Process.Pid), "stat")
	if _, err := os.Stat(stat); err != nil {
		t.Skip("this system does not tell what processor time a program takes")
	}
	for _, c := range []struct {
		name string
		do   func()
	}{
		{"on the ground", func() {}},
		{"after the key sheet", func() { r.shows("F1"); r.shows("Escape") }},
		{"after Place and season", func() { r.shows("ctrl+f"); r.shows("Escape") }},
	} {
		c.do()
		r.w.Wait(3 * time.Second) // what the last step set going comes to rest
		before := processorSeconds(t, stat)
		r.w.Wait(span)
		took := processorSeconds(t, stat) - before
		t.Logf("%s: %.2f s of processor time in %v", c.name, took, span)
		if took > most*span.Seconds() {
			t.Errorf("%s the program takes %.2f s of processor time in %v", c.name, took, span)
		}
	}
}

// processorSeconds is what a program has taken since it began, by the system's count of hundredths (proc(5), fields 14 and 15).
func processorSeconds(t *testing.T, stat string) float64 {
	t.Helper()
	text, err := os.ReadFile(stat)
	if err != nil {
		t.Fatal(err)
	}
	_, after, found := strings.Cut(string(text), ") ")
	fields := strings.Fields(after)
	if !found || len(fields) < 13 {
		t.Fatalf("%s reads %q", stat, text)
	}
	var ticks [2]float64
	for i, f := range fields[11:13] {
		if _, err := fmt.Sscan(f, &ticks[i]); err != nil {
			t.Fatal(err)
		}
	}
	return (ticks[0] + ticks[1]) / 100
}
