package endtoend

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestAFaultOfTheProgram draws a bed and then meets a fault of the program, in a build that has one on a key. A new window comes up by
// itself, says what happened and where it is noted, and offers the work; the note does not name what the fault's own words name.
func TestAFaultOfTheProgram(t *testing.T) {
	if testing.Short() {
		t.Skip("the real window takes half a minute")
	}
	dir := t.TempDir()
	bin := build(t, dir, "-tags=faulty")
	file := filepath.Join(dir, "trial.hedgereach")
	if err := os.WriteFile(file, []byte(ground), 0o644); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Minute)
	t.Cleanup(cancel)
	w, err := Start(ctx, width, height, bin, file)
	if errors.Is(err, ErrNoScreen) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	r := &robot{t: t, ctx: ctx, bin: bin, w: w}
	defer func() { r.w.Close() }()
	r.do(r.w.Key("r"))
	r.do(r.w.Drag(300, 300, 500, 340))
	r.waitTitle("Trial ground", true)
	r.do(r.w.Key("ctrl+shift+F9"))
	r.until("the window is gone", func() bool { _, err := r.w.Title(); return err != nil })
	r.do(r.w.findWindow(ctx, width, height))
	r.waitTitle("Trial ground", false)
	r.w.Wait(500 * time.Millisecond)
	r.do(r.w.Key("space")) // Close has the focus
	r.w.Wait(500 * time.Millisecond)
	r.do(r.w.Key("space")) // Recover has it
	r.waitTitle("Trial ground", true)
	r.do(r.w.Key("ctrl+s"))
	r.waitTitle("Trial ground", false)
	if n := len(read(t, file).Features); n != 2 {
		t.Errorf("%d features are saved, want the boundary and the bed", n)
	}
	notes, err := filepath.Glob(filepath.Join(r.w.home, "config", "hedgereach", "recovery", "*.report.txt"))
	if err != nil || len(notes) != 1 {
		t.Fatalf("notes of the fault: %v, %v", notes, err)
	}
	text, err := os.ReadFile(notes[0])
	if err != nil {
		t.Fatal(err)
	}
	if s := string(text); !strings.Contains(s, "hedgereach/app/window.init") || strings.Contains(s, "Polly") || strings.Contains(s, dir) {
		t.Errorf("the note says\n%s", s)
	}
}
