package plan

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Names with signs that cannot be seen become readable ones, whatever format brings them, and it is said; none can be written.
func TestUnseenSignsInNames(t *testing.T) {
	dir := t.TempDir()
	for file, text := range map[string]string{
		"a.hedgereach": strings.NewReplacer(`"Bed 1"`, `"Bed\n1\u0007"`, `"lettuce-leaf"`, `"lettuce\u0000leaf"`).Replace(whole),
		"a.geojson":    `{"type": "Feature", "properties": {"name": "Bed\u202e1"}, "geometry": ` + ringNearRutland + `}`,
		"a.gpx":        `<gpx><wpt lat="1" lon="1"><name>Gate` + "\t" + `1</name></wpt></gpx>`,
		"a.csv":        "x,y,name\n1,2,Gate\x1b1\n",
	} {
		r := openText(t, dir, file, text)
		name := r.Plan.Features[0].Name
		if !strings.Contains(name, " 1") || strings.ContainsFunc(name, unseen) {
			t.Errorf("%s: the name is %q", file, name)
		}
		if !strings.Contains(strings.Join(r.Notes, "\n"), "cannot be seen") {
			t.Errorf("%s: notes %q", file, r.Notes)
		}
		if _, err := Marshal(r.Plan); err != nil {
			t.Errorf("%s: it cannot be saved: %v", file, err)
		}
	}
	p := read(t, whole)
	f := p.Features[0].Clone()
	f.Name = "Bed\u202e1"
	p.Features[0] = f
	if _, err := Marshal(p); err == nil || !strings.Contains(err.Error(), "its name has a sign that cannot be seen (U+202E); take it out") {
		t.Error(err)
	}
	f.Name, f.Note = "Bed 1", "Two\nlines\tand a tab"
	if _, err := Marshal(p); err != nil {
		t.Errorf("a note with lines: %v", err)
	}
	f.Note = "a bell\a"
	if _, err := Marshal(p); err == nil {
		t.Error("a bell in a note is written")
	}
}

// openText is what is read of a text in a file of that name.
func openText(t *testing.T, dir, name, text string) Reading {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	r, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
