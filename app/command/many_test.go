package command

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
)

// A file that cannot be read does not stop the rest, wherever it stands among them, and the exit code says so.
func TestABadFileDoesNotStopTheRest(t *testing.T) {
	bad, missing := "../../habitat/plan/testdata/bad/bow-tie.hedgereach", filepath.Join(t.TempDir(), "none.hedgereach")
	for _, files := range [][]string{{bad, sample, missing, sample}, {sample, bad, sample, missing}, {sample, sample, missing, bad}} {
		exit, out, said := run(t, append([]string{"check", "--json"}, files...)...)
		if exit != Fail || strings.Count(said, "\n") != 2 || !strings.Contains(said, bad+": ") || !strings.Contains(said, missing+": ") {
			t.Errorf("%q: exit %d, says %q", files, exit, said)
		}
		reports := 0
		for d := json.NewDecoder(strings.NewReader(out)); d.More(); reports++ {
			var r struct{ Beds []any }
			if err := d.Decode(&r); err != nil || len(r.Beds) == 0 {
				t.Fatalf("%q: report %d has %d beds, %v", files, reports, len(r.Beds), err)
			}
		}
		if reports != 2 {
			t.Errorf("%q: %d reports, want 2", files, reports)
		}
	}
	if exit, _, said := run(t, "check", sample, sample); exit != Done || said != "" {
		t.Errorf("two good files: exit %d, says %q", exit, said)
	}
}
