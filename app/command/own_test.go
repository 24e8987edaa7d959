package command

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hedgereach/app/own"
	"hedgereach/data"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// Tests do not see the own plants and ranges of whoever runs them.
func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "hedgereach-command")
	if err != nil {
		panic(err)
	}
	settings(func(name, value string) { os.Setenv(name, value) }, dir)
	code := m.Run()
	os.RemoveAll(dir)
	os.Exit(code)
}

// settings makes dir the user's settings folder, on any system.
func settings(set func(name, value string), dir string) {
	for _, name := range []string{"XDG_CONFIG_HOME", "HOME", "AppData"} {
		set(name, dir)
	}
}

const ownCSV = "list,id,source,low_m,typical_m,outer_m\nguild,ground-beetles,pitfalls 2025,1,2,3\n"

// keep writes own entries where the window keeps them.
func keep(t *testing.T, text string) (path string) {
	t.Helper()
	settings(t.Setenv, t.TempDir())
	path, err := own.File()
	if err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// The window and the commands measure by the same own entries, wherever they are kept.
func TestOwnEntriesCountInCommands(t *testing.T) {
	plain := done(t, "check", sample, "--json")
	if strings.Contains(plain, `"typical_m": 2,`) {
		t.Fatal("the range that marks an own entry is the catalogue's")
	}
	path := keep(t, ownCSV)
	exit, out, note := run(t, "check", sample, "--json")
	if exit != Done || !strings.Contains(out, `"typical_m": 2,`) || note != "hedgereach: note: 1 own entry of "+path+" before the catalogue\n" {
		t.Errorf("exit %d, %q", exit, note)
	}
	if !strings.Contains(out, "own-entries-elsewhere") {
		t.Error("no finding says that the plan does not hold the range")
	}
	if got := done(t, "check", sample, "--json", "--own", "none"); got != plain {
		t.Error("--own none is not as without own entries")
	}
	other := filepath.Join(t.TempDir(), "other.csv")
	if err := os.WriteFile(other, []byte(strings.Replace(ownCSV, "1,2,3", "4,5,6", 1)), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, out, _ := run(t, "check", sample, "--json", "--own", other); !strings.Contains(out, `"typical_m": 5,`) {
		t.Error("--own FILE does not count")
	}
	if out := done(t, "facts", "ground-beetles"); !strings.Contains(out, "Typical: 2 m") || !strings.Contains(out, "your own entry") {
		t.Errorf("facts say\n%s", out)
	}

	// Kept in the plan they count anywhere, and before the file's.
	p, err := plan.ReadFile(sample)
	if err != nil {
		t.Fatal(err)
	}
	p = habitat.PutOwn(p, data.OwnEntryRow{List: "guild", ID: "ground-beetles", Source: "pitfalls 2024", Cells: map[string]string{
		"low_m": "7", "typical_m": "8", "outer_m": "9"}})
	taken := filepath.Join(t.TempDir(), "taken.hedgereach")
	if err := plan.WriteFile(taken, p); err != nil {
		t.Fatal(err)
	}
	_, here, _ := run(t, "check", taken, "--json")
	settings(t.Setenv, t.TempDir())
	if there := done(t, "check", taken, "--json"); there != here || !strings.Contains(there, `"typical_m": 8,`) || strings.Contains(there, "own-entries") {
		t.Error("the plan's own range does not count alike on another computer")
	}
	if out := done(t, "facts", "ground-beetles", "--own", taken); !strings.Contains(out, "Typical: 8 m") || !strings.Contains(out, "Own entry in this plan: pitfalls 2024") {
		t.Errorf("facts say\n%s", out)
	}
}

func TestOwnEntriesThatDoNotRead(t *testing.T) {
	path := keep(t, strings.Replace(ownCSV, "1,2,3", "1,2,1", 1))
	for _, args := range [][]string{{"check", sample}, {"sheet", sample, "-o", filepath.Join(t.TempDir(), "x.pdf")}, {"facts", "dill"}} {
		exit, _, err := run(t, args...)
		if exit != Fail || !strings.Contains(err, path) || !strings.Contains(err, "own-catalogue.csv:2: ground-beetles, typical_m: ") ||
			!strings.Contains(err, "--own none") || strings.Count(err, "\n") != 1 {
			t.Errorf("%q: exit %d, %s", args, exit, err)
		}
	}
	if exit, _, err := run(t, "facts", "dill", "--own", filepath.Join(t.TempDir(), "none.csv")); exit != Fail || !strings.Contains(err, "none.csv") {
		t.Errorf("exit %d, %s", exit, err)
	}
}
