package plan

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"
)

// What a save that was cut off left beside a file goes with the next one: only what is ours, of this file, of a dead process and no
// longer touched.
func TestLeftoversOfKilledSavesAreTidiedUp(t *testing.T) {
	sleeper := exec.Command("sleep", "0")
	if err := sleeper.Run(); err != nil {
		t.Skip(err)
	}
	dead, live := strconv.Itoa(sleeper.Process.Pid), strconv.Itoa(os.Getppid())
	dir := t.TempDir()
	path := filepath.Join(dir, "plot.hedgereach")
	long, days := 2*time.Minute, 49*time.Hour
	for name, c := range map[string]struct {
		age   time.Duration
		stays bool
	}{
		".plot.hedgereach." + dead + "-0.part":     {long, false},
		".plot.hedgereach." + dead + "-7.part":     {0, true}, // perhaps of another machine
		".plot.hedgereach." + live + "-0.part":     {long, true},
		".plot.hedgereach." + live + "-1.part":     {days, false},
		".plot.hedgereach.notes-0.part":            {days, true},
		".plot.hedgereach." + dead + "-0.part.txt": {days, true},
		".plot.hedgereach~." + dead + "-0.part":    {days, true}, // of another file
		".other.hedgereach." + dead + "-0.part":    {days, true},
		"plot.hedgereach." + dead + "-0.part":      {days, true},
	} {
		t.Run(name, func(t *testing.T) {
			left := filepath.Join(dir, name)
			if err := os.WriteFile(left, []byte("half a pl"), 0o600); err != nil {
				t.Fatal(err)
			}
			then := time.Now().Add(-c.age)
			if err := os.Chtimes(left, then, then); err != nil {
				t.Fatal(err)
			}
			if err := WriteFile(path, New("Whole")); err != nil {
				t.Fatal(err)
			}
			if _, err := os.Stat(left); (err == nil) != c.stays {
				t.Errorf("after %v: %v", c.age, err)
			}
			os.Remove(left)
		})
	}
	left := filepath.Join(dir, ".plot.hedgereach."+dead+"-0.part")
	if err := os.Mkdir(left, 0o700); err != nil {
		t.Fatal(err)
	}
	then := time.Now().Add(-days)
	_ = os.Chtimes(left, then, then)
	TidyBeside(path)
	if _, err := os.Stat(left); err != nil {
		t.Error("a folder of that name is removed")
	}
}
