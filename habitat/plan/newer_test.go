package plan

import (
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// A file of each version that was ever written is kept here, and opens for good. Of a file that this version writes, each byte
// comes back.
func TestFilesOfEachVersionOpen(t *testing.T) {
	for v := 1; v <= version; v++ {
		path := filepath.Join("testdata", "versions", string(rune('0'+v))+".hedgereach")
		was, err := os.ReadFile(path)
		if err != nil {
			t.Fatal("a kept file of each version is missing: ", err)
		}
		r, err := Open(path)
		if err != nil || len(r.Notes) > 0 {
			t.Fatal(err, r.Notes)
		}
		if p := r.Plan; p.Newer() || p.Partial() || len(p.Features) != 6 || p.Picture == nil || p.Place == nil || p.Units != US {
			t.Errorf("version %d is read as %+v", v, p)
		}
		if v == version && marshal(t, r.Plan) != string(was) {
			t.Errorf("version %d is written as\n%s", v, marshal(t, r.Plan))
		}
	}
	p, err := ReadFile("testdata/versions/1.hedgereach")
	if err != nil {
		t.Fatal(err)
	}
	bed, strip, tree, trap := p.Features[1], p.Features[2], p.Features[3], p.Features[4]
	if bed.Crops[0].Crop != "lettuce-leaf" || bed.Crops[0].Share != 0.5 || bed.Cover == nil || bed.Note != "Wet at the \"low\" end\nStony" ||
		strip.WidthM != 2 || strip.IsRefuge() || !strip.Plants[0].Bloom.Given() || tree.RadiusM != 2 || *tree.Centre != (orb.Point{40, 10}) ||
		trap.Trapping.Pest != "squash-bug" || !p.Features[5].Locked || !p.Features[5].Hidden {
		t.Error("version 1 is misread")
	}
}

// The made-up file of a later version has a kind, an outline, a share, units and a feature that this version cannot read. It opens
// all the same, says so, and is written with all of them at their places.
func TestAFileOfALaterVersionLosesNothing(t *testing.T) {
	const path = "testdata/versions/2.hedgereach"
	r, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	p := r.Plan
	if !p.Newer() || !p.Partial() || len(p.Features) != 1 || len(p.Unknown) != 4 || p.Features[0].Name != "Bed 1" || p.Units != Metric {
		t.Fatalf("read as %+v", p)
	}
	said := strings.Join(r.Notes, "\n")
	for _, want := range []string{"version 2 of the file, this program knows 1", "kept, but not shown", "4 features could not be read", "units"} {
		if !strings.Contains(said, want) {
			t.Errorf("it says %q, not %q", said, want)
		}
	}
	was, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if text := marshal(t, p); !reflect.DeepEqual(anything(t, []byte(text)), anything(t, was)) {
		t.Errorf("written as\n%s", text)
	} else if marshal(t, read(t, text)) != text {
		t.Error("written again it differs")
	}

	// Edits leave what is unknown where it stands.
	c := p.Clone()
	c.Features = append(c.Features, NewFeature(Bed, "New", orb.Polygon{{{0, 30}, {9, 30}, {9, 31}, {0, 31}, {0, 30}}}))
	if got := names(t, marshal(t, c)); !slices.Equal(got, []string{"A kind of thing that version 1 has not", "Bed 1", "An outline in another form",
		"Shares as parts of a hundred", "", "New"}) && !slices.Equal(got, []string{"A kind of thing that version 1 has not", "Bed 1",
		"An outline in another form", "Shares as parts of a hundred", "New", ""}) {
		t.Errorf("with a new bed the features are %q", got)
	}
	c.Features, c.Units = nil, US
	text := marshal(t, c)
	if got := names(t, text); len(got) != 4 || !strings.Contains(text, `"units": "us"`) {
		t.Errorf("with the bed gone the features are %q, in\n%s", got, text)
	}

	// For other programs it is what can be read.
	p.Place = &Place{Latitude: 44, Longitude: -72}
	g, err := MarshalGeoJSON(p)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := decode(g, ""); err != nil || len(got.Plan.Features) != 1 {
		t.Errorf("as GeoJSON: %v", err)
	}
}

// A later version that only adds to what is known is edited and saved like any other.
func TestALaterVersionThatCanBeReadIsWhole(t *testing.T) {
	if p := read(t, whole); !p.Newer() || p.Partial() {
		t.Error("what has only more members counts as not read")
	}
}

// What this version itself writes is never read mildly.
func TestThisVersionIsReadStrictly(t *testing.T) {
	text, err := os.ReadFile("testdata/versions/2.hedgereach")
	if err != nil {
		t.Fatal(err)
	}
	for _, version := range []string{"1", "0.5", "-1", `"2"`, "null"} {
		if _, err := Read(strings.NewReader(strings.Replace(string(text), `"version": 2`, `"version": `+version, 1)), "x"); err == nil {
			t.Errorf("version %s is read", version)
		}
	}
}

func anything(t *testing.T, data []byte) (v any) {
	t.Helper()
	if err := json.Unmarshal(data, &v); err != nil {
		t.Fatal(err)
	}
	return v
}

func names(t *testing.T, text string) (out []string) {
	t.Helper()
	var p struct{ Features []struct{ Name string } }
	if err := json.Unmarshal([]byte(text), &p); err != nil {
		t.Fatal(err)
	}
	for _, f := range p.Features {
		out = append(out, f.Name)
	}
	return out
}
