package command

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"hedgereach/data"
)

func TestFactsShowEvidenceAndCitations(t *testing.T) {
	for question, want := range map[string][]string{
		"aphid-parasitoids": {"Aphid parasitoids", "(guild/aphid-parasitoids)", "Typical: 15 m", "Evidence: contested.", "Our copy: our judgement.",
			"tylianakis-2004: Tylianakis J, Didham R, Wratten S 2004. Ecology 85:658–666. doi 10.1890/03-0222."},
		"tachinids":          {"unknown: no published distance was found"},
		"fennel":             {"Invasive or noxious in parts of North America and Oceania: check your state or national list."},
		"hogweed":            {"irritates skin"},
		"diatomaceous-earth": {data.LabelIsLaw[:20], "dust mask"},
		"carrot-onion":       {"only while the onions are young", "Verdict: helps", "Our copy: read at the source.", "uvah-coaker-1984: Uvah I, Coaker T 1984."},
		"giant-hogweed":      {"severe skin burns", "anywhere"},
		"sweet-corn-moths":   {"Renew after: 14 days", "European corn borer"},
		"squash-bug":         {"cucurbits with Blue Hubbard plants (helps)", "squash with nasturtium (untested)"},
		"klein-2007":         {"10.1098/rspb.2006.3721", "crop/carrot: pollination"},
		"crop/parsley":       {"(crop/parsley)"},
		"honey-bees":         {"Farthest homing: 2170 m"}, // Greenleaf et al. 2007: 2.17 km at 3.2 mm
	} {
		out := done(t, "facts", question)
		flat := strings.Join(strings.Fields(out), " ")
		for _, w := range want {
			if !strings.Contains(flat, w) {
				t.Errorf("%s: no %q in\n%s", question, w, out)
			}
		}
		for line := range strings.Lines(out) {
			if n := utf8.RuneCountInString(line); n > 101 && !strings.Contains(line, "/") { // an address is not broken
				t.Errorf("%s: a line of %d letters: %s", question, n, line)
			}
		}
	}
}

func TestFactsAsJSON(t *testing.T) {
	var e entryJSON
	if err := json.Unmarshal([]byte(done(t, "facts", "aphid-parasitoids", "--json")), &e); err != nil {
		t.Fatal(err)
	}
	if e.List != "guild" || e.ID != "aphid-parasitoids" || len(e.Sources) == 0 || len(e.Groups) == 0 {
		t.Errorf("%+v", e)
	}
	found := false
	for _, g := range e.Groups {
		for _, f := range g.Facts {
			if f.Label == "Typical" && f.Unit == "m" && f.Min != nil && *f.Min == 15 && f.Value == "15 m" {
				found = g.Evidence == "contested" && g.Checked == "our judgement" && len(g.Sources) > 0
			}
		}
	}
	if !found {
		t.Errorf("the typical range is not there with its evidence: %+v", e.Groups)
	}
	var m matchesJSON
	if err := json.Unmarshal([]byte(done(t, "facts", "--json", "parsley")), &m); err != nil {
		t.Fatal(err)
	}
	if m.Asked != "parsley" || len(m.Matches) != 2 || m.Matches[0].List != "plant" || m.Matches[1].List != "crop" {
		t.Errorf("%+v", m)
	}
}

// Every line of a list is a question that finds that entry alone.
func TestFactsListWhatTheWordsFind(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(done(t, "facts", "flea", "beetles")), "\n")
	if len(lines) < 3 {
		t.Fatalf("%q", lines)
	}
	for _, l := range lines {
		question, name, _ := strings.Cut(l, " ")
		if out := done(t, "facts", question); !strings.Contains(strings.Join(strings.Fields(out), " "), "("+question+")") {
			t.Errorf("%s (%s):\n%s", question, name, out)
		}
	}
}

func TestFactsThatAreNotThere(t *testing.T) {
	for _, s := range []struct {
		args []string
		exit int
		want string
	}{
		{[]string{"facts", "golden-alexnders"}, Fail, `hedgereach: the catalogue has no "golden-alexnders"; the nearest ids are plant/golden-alexanders, `},
		{[]string{"facts", "a\nb\x1b"}, Fail, `the catalogue has no "a\nb\x1b"`},
		{[]string{"facts", "--json", "no such thing"}, Fail, `the catalogue has no "no such thing"`},
		{[]string{"facts"}, Wrong, "facts needs an id or a word; see hedgereach help"},
		{[]string{"facts", " "}, Wrong, "facts needs an id or a word"},
		{[]string{"facts", strings.Repeat("x", 201)}, Wrong, "not 201 letters"},
		{[]string{"facts", "--colour", "borage"}, Wrong, "colour"},
		{[]string{"facts", "--own", filepath.Join(t.TempDir(), "none.csv"), "borage"}, Fail, "the personal catalogue cannot be opened"},
	} {
		exit, out, err := run(t, s.args...)
		if exit != s.exit || out != "" || !strings.Contains(err, s.want) || strings.Count(err, "\n") != 1 {
			t.Errorf("%q: exit %d, %q, %q", s.args, exit, out, err)
		}
	}
}

func TestFactsOfOnesOwn(t *testing.T) {
	path := filepath.Join(t.TempDir(), "mine.csv")
	if err := os.WriteFile(path, []byte("list,id,source,typical_m\nguild,hoverflies,\"counted in our beds, 2024\",80\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	out := strings.Join(strings.Fields(done(t, "facts", "--own", path, "hoverflies")), " ")
	for _, w := range []string{"Typical: 80 m", "Our copy: your own entry.", "own-guild-hoverflies: Your own entry: counted in our beds, 2024."} {
		if !strings.Contains(out, w) {
			t.Errorf("no %q in %s", w, out)
		}
	}
	if err := os.WriteFile(path, []byte("list,id,source,typical_m\nguild,hoverflies,x,far\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	exit, _, err := run(t, "facts", "--own", path, "hoverflies")
	if want := `mine.csv:2: hoverflies, typical_m: "far" is not a number from 0 to 10000`; exit != Fail || !strings.Contains(err, want) {
		t.Errorf("exit %d, %s", exit, err)
	}
}
