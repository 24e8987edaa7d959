package own

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hedgereach/data"
)

func load(t *testing.T) *data.Catalogue {
	t.Helper()
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func book(t *testing.T, path string) *Book {
	t.Helper()
	b, err := Open(load(t), path)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

var nearer = data.OwnEntryRow{List: "guild", ID: "hoverflies", Source: "counted in my beds, 2024", Cells: map[string]string{"typical_m": "80"}}

func TestEntriesLastAndGo(t *testing.T) {
	path := filepath.Join(t.TempDir(), "settings", "own.csv") // a folder that is not there yet
	b := book(t, path)
	before := b.Base().Guild("hoverflies").TypicalM
	if err := b.Put(nearer); err != nil {
		t.Fatal(err)
	}
	for _, again := range []*Book{b, book(t, path)} {
		g := again.Catalogue().Guild("hoverflies")
		if g.TypicalM != 80 || g.Origin.Checked != data.OwnEntry {
			t.Errorf("range %g, %s", g.TypicalM, g.Origin.Checked)
		}
	}
	if e, ok := book(t, path).Entry("guild", "hoverflies"); !ok || e.Source != nearer.Source {
		t.Errorf("the source note is %q", e.Source)
	}
	if err := b.Remove("guild", "hoverflies"); err != nil {
		t.Fatal(err)
	}
	if got := book(t, path).Catalogue().Guild("hoverflies").TypicalM; got != before {
		t.Errorf("range %g after the own one was taken out, want %g", got, before)
	}
}

func TestDamagedFileIsSetAside(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "own.csv")
	for i, bad := range []string{"list,id,source\nplant,\"borage", "list,id,source,typical_m\nguild,no-such-guild,me,5\n", "\xff\xfe\x00"} {
		if err := os.WriteFile(path, []byte(bad), 0o644); err != nil {
			t.Fatal(err)
		}
		b, err := Open(load(t), path)
		if err == nil || !strings.Contains(err.Error(), "set aside as") || strings.Contains(err.Error(), "\n") {
			t.Fatalf("%q: %v", bad, err)
		}
		if b.Catalogue().Guild("hoverflies") == nil {
			t.Error("the program's catalogue went with the damaged file")
		}
		left, _ := filepath.Glob(filepath.Join(dir, "own-damaged-*.csv"))
		if len(left) != i+1 {
			t.Fatalf("%d files were set aside, want %d", len(left), i+1)
		}
		if err := b.Put(nearer); err != nil {
			t.Errorf("a new one cannot be begun: %v", err)
		}
	}
}

// A folder in the place of the settings cannot be written to, even by root.
func TestFailedSaveChangesNothing(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "settings", "own.csv")
	b := book(t, path)
	if err := os.WriteFile(filepath.Join(dir, "settings"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := b.Put(nearer); err == nil || len(b.Entries()) != 0 || b.Catalogue() != b.Base() {
		t.Errorf("error %v, %d entries", err, len(b.Entries()))
	}
}

func TestBadEntryChangesNothing(t *testing.T) {
	b := book(t, filepath.Join(t.TempDir(), "own.csv"))
	if err := b.Put(nearer); err != nil {
		t.Fatal(err)
	}
	for _, bad := range []data.OwnEntryRow{
		{List: "guild", ID: "hoverflies", Cells: map[string]string{"typical_m": "90"}},                           // no source
		{List: "guild", ID: "hoverflies", Source: "me", Cells: map[string]string{"typical_m": "far"}},            // no number
		{List: "plant", ID: "borage", Source: "me", Cells: map[string]string{"guilds": "hoverflies;wool-gnats"}}, // no such guild
	} {
		if err := b.Put(bad); err == nil || strings.Contains(err.Error(), "\n") {
			t.Errorf("%+v: %v", bad, err)
		}
	}
	if got := b.Catalogue().Guild("hoverflies").TypicalM; got != 80 {
		t.Errorf("range %g after refused entries", got)
	}
}

func TestOutAndIn(t *testing.T) {
	dir := t.TempDir()
	a := book(t, filepath.Join(dir, "a.csv"))
	plant := data.OwnEntryRow{List: "plant", ID: "my-yarrow", Source: "=own seed, 2023", Cells: map[string]string{"name": "my yarrow",
		"bloom_from": "06-01", "bloom_to": "08-15", "guilds": "hoverflies"}}
	if err := a.Put(nearer, plant); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(dir, "out.csv")
	if err := a.Export(out); err != nil {
		t.Fatal(err)
	}
	b := book(t, filepath.Join(dir, "b.csv"))
	if n, err := b.Import(out); err != nil || n != 2 {
		t.Fatalf("%d taken in, %v", n, err)
	}
	if e, _ := b.Entry("plant", "my-yarrow"); e.Source != plant.Source {
		t.Errorf("source %q", e.Source)
	}
	if b.Catalogue().Plant("my-yarrow") == nil {
		t.Error("the plant that was taken in is not in the catalogue")
	}
	if _, err := b.Import(filepath.Join(dir, "missing.csv")); err == nil {
		t.Error("a file that is not there was taken in")
	}
}

// Two windows keep one file: what the other wrote stays.
func TestTwoWindows(t *testing.T) {
	path := filepath.Join(t.TempDir(), "own.csv")
	a, b := book(t, path), book(t, path)
	if err := a.Put(nearer); err != nil {
		t.Fatal(err)
	}
	if err := b.Put(data.OwnEntryRow{List: "crop", ID: "okra", Source: "me", Cells: map[string]string{"days_max": "70"}}); err != nil {
		t.Fatal(err)
	}
	if n := len(book(t, path).Entries()); n != 2 {
		t.Errorf("%d entries, want both", n)
	}
}
