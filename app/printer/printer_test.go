package printer

import (
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
)

// command puts a print command of our own in the way, which notes its arguments and copies what it is to print.
func command(t *testing.T, name, script string) (dir string) {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("no print command there")
	}
	dir = t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, name), []byte("#!/bin/sh\n"+script), 0o755); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", dir+string(os.PathListSeparator)+"/usr/bin:/bin")
	t.Setenv("OUT", dir)
	return dir
}

const taken = `for a in "$@"; do printf '%s\n' "$a" >> "$OUT/args"; last="$a"; done
cat "$last" > "$OUT/printed"
echo "request id is Shed-7 (1 file(s))"
`

func TestPrintHandsTheFileOverUnscaled(t *testing.T) {
	for _, c := range []struct {
		name string
		want []string
	}{{"lp", []string{"-d", "Shed", "-n", "2", "-t", "Plot map", "-o", "print-scaling=none", "-o", "media=A3"}},
		{"lpr", []string{"-P", "Shed", "-#", "2", "-T", "Plot map", "-o", "print-scaling=none", "-o", "media=A3"}}} {
		dir := command(t, c.name, taken)
		file := filepath.Join(dir, "-sheet.pdf") // a name that looks like an option
		if err := os.WriteFile(file, []byte("%PDF"), 0o644); err != nil {
			t.Fatal(err)
		}
		found := Find()
		if found == nil || filepath.Dir(found.path) != dir {
			t.Skipf("another print command is before ours: %+v", found)
		}
		said, err := found.Print(file, Job{Printer: "Shed", Title: "Plot map", Copies: 2, WidthMM: 297, HeightMM: 420})
		if err != nil || said != "request id is Shed-7 (1 file(s))" {
			t.Errorf("%s: %q, %v", c.name, said, err)
		}
		args, _ := os.ReadFile(filepath.Join(dir, "args"))
		if got := strings.Fields(strings.ReplaceAll(string(args), "Plot map", "Plot_map")); !slices.Equal(got,
			append(strings.Fields(strings.ReplaceAll(strings.Join(c.want, " "), "Plot map", "Plot_map")), file)) {
			t.Errorf("%s: arguments %q", c.name, got)
		}
		if printed, _ := os.ReadFile(filepath.Join(dir, "printed")); string(printed) != "%PDF" {
			t.Errorf("%s printed %q", c.name, printed)
		}
	}
}

func TestFailureIsSaidInOneLineWithAMend(t *testing.T) {
	command(t, "lp", "echo 'lp: Error - No default' >&2\necho 'destination available.' >&2\nexit 1\n")
	_, err := Find().Print("x.pdf", Job{WidthMM: 210, HeightMM: 297})
	if err == nil || strings.Contains(err.Error(), "\n") || !strings.Contains(err.Error(), "No default destination available. Choose another printer") {
		t.Errorf("%v", err)
	}
}

func TestPrintersAndNone(t *testing.T) {
	dir := command(t, "lpstat", "[ \"$1\" = -e ] && printf 'Shed\\nOffice\\n'\n")
	if got := (&Command{}).Printers(); !slices.Equal(got, []string{"Shed", "Office"}) {
		t.Errorf("printers %q", got)
	}
	t.Setenv("PATH", filepath.Join(dir, "empty"))
	if c := Find(); c != nil {
		t.Errorf("a print command where there is none: %+v", c)
	}
	if got := (&Command{}).Printers(); got != nil {
		t.Errorf("printers %q", got)
	}
}

func TestMediaOfASizeWithoutAName(t *testing.T) {
	if got := (Job{WidthMM: 431.8, HeightMM: 558.8}).media(); got != "Custom.431.8x558.8mm" {
		t.Error(got)
	}
}
