package plan

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestReplaceKeepsTheOldFileOnFailure(t *testing.T) {
	dir := t.TempDir()
	if err := Replace(filepath.Join(dir, "none", "x.hedgereach"), nil); err == nil || !strings.Contains(err.Error(), "it cannot be written: no such file or directory; check that its folder exists") {
		t.Error(err)
	}
	if err := Replace(dir, []byte("x")); err == nil || !strings.Contains(err.Error(), "not a file that can be written") {
		t.Error(err)
	}
	path := filepath.Join(dir, "x.hedgereach")
	p := read(t, whole)
	if err := WriteFile(path, p); err != nil {
		t.Fatal(err)
	}
	p.Features[0].Kind = "nonsense"
	if err := WriteFile(path, p); err == nil {
		t.Error("a bad plan was written")
	}
	if got, _ := os.ReadFile(path); string(got) != whole {
		t.Error("the old file did not survive a failed write")
	}
	if os.Getuid() != 0 { // root may write anywhere
		if err := os.Chmod(dir, 0o500); err != nil {
			t.Fatal(err)
		}
		defer os.Chmod(dir, 0o700)
		if err := Replace(path, []byte("new")); err == nil {
			t.Error("a folder that may not be written was written")
		}
	}
	names, _ := os.ReadDir(dir)
	if len(names) != 1 {
		t.Errorf("something was left beside the file: %v", names)
	}
}

func TestReplaceKeepsModeAndLink(t *testing.T) {
	dir := t.TempDir()
	path, link := filepath.Join(dir, "plan"), filepath.Join(dir, "link")
	if err := os.WriteFile(path, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(path, 0o666); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("plan", link); err != nil {
		t.Skip(err)
	}
	if err := Replace(link, []byte("new")); err != nil {
		t.Fatal(err)
	}
	if got, _ := os.ReadFile(path); string(got) != "new" {
		t.Errorf("the file that the link names holds %q", got)
	}
	if s, _ := os.Lstat(link); s.Mode()&os.ModeSymlink == 0 {
		t.Error("the link became a file")
	}
	if s, _ := os.Stat(path); s.Mode().Perm() != 0o666 {
		t.Errorf("mode is %v, was 0666", s.Mode().Perm())
	}
}

func TestTheExtensionChoosesTheFormat(t *testing.T) {
	dir := t.TempDir()
	p := read(t, whole)
	begins := func(name, want string) {
		t.Helper()
		path := filepath.Join(dir, name)
		if err := WriteFile(path, p); err != nil {
			t.Fatal(err)
		}
		if got, _ := os.ReadFile(path); !strings.HasPrefix(string(got), want) {
			t.Errorf("%s begins %.60q", name, got)
		}
	}
	const isPlan, isGeoJSON = "{\n  \"format\"", "{\n  \"type\": \"FeatureCollection\""
	begins("a.hedgereach", isPlan)
	begins("a", isPlan)
	begins("a.geojson", isGeoJSON)
	begins("a.json", isGeoJSON)
	if err := os.WriteFile(filepath.Join(dir, "b.json"), []byte(whole), 0o600); err != nil {
		t.Fatal(err)
	}
	begins("b.json", isPlan) // a plan stays a plan
	for _, name := range []string{"a.gpx", "a.csv"} {
		if err := WriteFile(filepath.Join(dir, name), p); err == nil {
			t.Errorf("%s was written", name)
		}
	}
}

func TestReplaceRefusesAProtectedFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "kept")
	if err := os.WriteFile(path, []byte("old"), 0o444); err != nil {
		t.Fatal(err)
	}
	err := Replace(path, []byte("new"))
	if err == nil || !strings.Contains(err.Error(), "kept: this file is protected against writing: permission denied; save under another name") {
		t.Error(err)
	}
	if got, _ := os.ReadFile(path); string(got) != "old" {
		t.Errorf("it holds %q", got)
	}
}

func TestReplaceWritesWhatALinkNames(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "far"), 0o700); err != nil {
		t.Fatal(err)
	}
	for link, to := range map[string]string{"link": "not-yet", "chain": "link2", "link2": "far/there"} {
		if err := os.Symlink(to, filepath.Join(dir, link)); err != nil {
			t.Skip(err)
		}
	}
	for link, file := range map[string]string{"link": "not-yet", "chain": "far/there"} {
		if err := Replace(filepath.Join(dir, link), []byte("new")); err != nil {
			t.Error(err)
		}
		if got, _ := os.ReadFile(filepath.Join(dir, file)); string(got) != "new" {
			t.Errorf("what %s names holds %q", link, got)
		}
		if s, _ := os.Lstat(filepath.Join(dir, link)); s.Mode()&os.ModeSymlink == 0 {
			t.Errorf("%s became a file", link)
		}
	}
	if err := os.Symlink("round", filepath.Join(dir, "round")); err != nil {
		t.Fatal(err)
	}
	if err := Replace(filepath.Join(dir, "round"), []byte("new")); err == nil || !strings.Contains(err.Error(), "in a circle") {
		t.Error(err)
	}
}
