package plan

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/data/season"
)

// whole is a plan with every member that a plan file has, and an unknown one at every level, laid out as it is written.
const whole = `{
  "format": "hedgereach plan", "version": 3, "name": "Larks & <finches>", "units": "us",
  "place": {"latitude": 44.05, "longitude": -72.5, "elevation_m": 200, "last_frost": "05-10", "first_frost": "10-01", "hardiness_zone": "5a", "north_deg": 3.5, "slope": {"south":2}},
  "year": 2026,
  "accepted": [{"rule": "bloom-gap", "key": "bloom-gap 05-01", "reason": "The \"neighbour\" has fruit trees", "date": "2026-02-03", "by": "Ann"}, {"rule": "no-refuge", "key": "no-refuge", "reason": ""}],
  "weather": {"station": "Hill farm", "unit": "F", "start": "2024-02-28", "min": [28.5,null,31], "max": [40,null,52.25], "source": "loft"},
  "layers": [1,2,{"a":null}],
  "features": [
    {"id": "3f2b6d0e-8c41-4d57-9a3e-5b1f0c6d7e01", "kind": "bed", "name": "Bed 1",
     "geometry": {"type": "Polygon", "coordinates": [[[0,0],[10,0],[10,1.2],[0,1.2],[0,0]]], "edge": "board"},
     "crops": [{"crop": "lettuce-leaf", "from": "04-16", "to": "06-30", "share": 0.5, "rows": 4}, {"crop": "kale", "share": 1}, {"crop": "cucumber", "from": "06-05", "to": "09-10", "share": 0.25, "method": "transplant", "first_harvest": "07-20", "variety": "Any", "in_row_m": 0.3, "between_rows_m": 1.2, "parthenocarpic": true, "for_seed": true}],
     "other_years": [{"year": 2024, "crops": [{"crop": "kale", "from": "05-05", "to": "10-20", "share": 1, "method": "sow", "rows": 2}], "wet": true}, {"year": 2027, "crops": []}],
     "cover": {"from": "04-16", "to": "05-31", "mesh_mm": 0.8, "material": "insect net", "edges": "sealed", "bees_inside": true, "hoops": 12},
     "later_covers": [{"from": "08-01", "to": "09-30", "edges": "open"}, {}],
     "treatments": [{"material": "bt-kurstaki", "on": ["06-10", "06-17"], "pest": "cabbage-looper", "harvest_hours": 0, "evening": true, "note": "After rain again", "litres": 2}, {"material": "insecticidal-soap", "on": []}],
     "note": "Wet at the \"low\" end",
     "soil": {"ph":6.5}},
    {"id": "3f2b6d0e-8c41-4d57-9a3e-5b1f0c6d7e02", "kind": "perennial-strip", "name": "",
     "geometry": {"type": "Polygon", "coordinates": [[[0,4],[0,2],[30,2],[30,4],[0,4]]]},
     "line": [[0,3],[30,3]], "width_m": 2,
     "refuge": false,
     "plants": [{"plant": "golden-alexanders", "share": 0.3, "bloom": {"from": "05-16", "to": "06-15", "seen": 2024}, "rows": 2}, {"plant": "yarrow", "share": 0.333333}]},
    {"id": "3f2b6d0e-8c41-4d57-9a3e-5b1f0c6d7e03", "kind": "trap-crop", "name": "Hubbard",
     "geometry": {"type": "MultiPolygon", "coordinates": [[[[0,20],[9,20],[9,29],[0,29],[0,20]],[[3,23],[3,26],[6,26],[6,23],[3,23]]],[[[20,20],[21,20],[21,21.0001],[20,20]]]]},
     "trapping": {"protects": "3f2b6d0e-8c41-4d57-9a3e-5b1f0c6d7e01", "pest": "squash-bug", "removal": "vacuum weekly", "sown": "05-10", "cleared": "08-20", "every_days": 4, "by": "Ann"},
     "nursery": "cabbage-aphid"},
    {"id": "3f2b6d0e-8c41-4d57-9a3e-5b1f0c6d7e04", "kind": "stake", "name": "Gate post",
     "geometry": {"type": "Point", "coordinates": [-3.5,0.25]},
     "locked": true,
     "hidden": true},
    {"id": "3f2b6d0e-8c41-4d57-9a3e-5b1f0c6d7e05", "kind": "trap", "name": "Card",
     "geometry": {"type": "Point", "coordinates": [2,0.5]},
     "trap": {"trap": "yellow-card-outdoors", "pest": "striped-cucumber-beetle", "number": 2, "colour": "yellow", "height_m": 0.5, "set": "05-20", "until": "08-31", "renew_days": 7, "sticky": true}}
  ]
}
`

func read(t *testing.T, s string) *Plan {
	t.Helper()
	p, err := Read(strings.NewReader(s), "test.hedgereach")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func marshal(t *testing.T, p *Plan) string {
	t.Helper()
	data, err := Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestEveryMemberIsReadAndWrittenAgain(t *testing.T) {
	p := read(t, whole)
	if got := marshal(t, p); got != whole {
		t.Errorf("read and written again it is\n%s\nand was\n%s", got, whole)
	}
	if p.Name != "Larks & <finches>" || p.Units != US || len(p.Features) != 5 {
		t.Fatalf("plan = %+v", p)
	}
	if want := (Place{Latitude: 44.05, Longitude: -72.5, ElevationM: 200, LastFrost: 130, FirstFrost: 274, HardinessZone: "5a", NorthDeg: 3.5}); func() bool {
		got := *p.Place
		got.Extra = nil
		return !reflect.DeepEqual(got, want)
	}() {
		t.Errorf("place = %+v, want %+v", *p.Place, want)
	}
	bed, strip, trap, stake := p.Features[0], p.Features[1], p.Features[2], p.Features[3]
	if want := (season.Window{From: 106, To: 181}); bed.Crops[0].Dates != want || bed.Crops[0].Share != 0.5 {
		t.Errorf("crop = %+v, want dates %v", bed.Crops[0], want)
	}
	if bed.Cover == nil || bed.Cover.Dates.To != 151 || bed.Note != `Wet at the "low" end` {
		t.Errorf("bed = %+v", bed)
	}
	if strip.Refuge == nil || *strip.Refuge || strip.IsRefuge() || strip.WidthM != 2 || len(strip.Line) != 2 || strip.Plants[0].Bloom.From != 136 {
		t.Errorf("strip = %+v", strip)
	}
	if trap.Trapping == nil || trap.Trapping.Removal != "vacuum weekly" || len(trap.Geometry.(orb.MultiPolygon)) != 2 {
		t.Errorf("trap crop = %+v", trap)
	}
	if stake.Geometry != (orb.Point{-3.5, 0.25}) {
		t.Errorf("stake = %+v", stake)
	}
}

func TestTheLayoutOfTheFileDoesNotMatter(t *testing.T) {
	var squeezed bytes.Buffer
	for _, line := range strings.Split(whole, "\n") {
		squeezed.WriteString(strings.TrimSpace(line) + " ")
	}
	loose := "\ufeff" + strings.ReplaceAll(squeezed.String(), ": ", " :\r\n\t")
	if got := marshal(t, read(t, loose)); got != whole {
		t.Errorf("another layout gives\n%s", got)
	}
}

func TestTheSampleGardenIsKeptByteForByte(t *testing.T) {
	const path = "../../data/sample/community-garden.hedgereach"
	was, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	p, err := ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got := marshal(t, p); got != string(was) {
		t.Error("the sample garden, read and written again, has other bytes")
	}
}

func TestNumbersAreWrittenToATenthOfAMillimetre(t *testing.T) {
	p := New("Noise")
	p.Features = []*Feature{NewFeature(Bed, "", orb.Polygon{{{0.1 + 0.2, -0.00001}, {10.000049, 0}, {9.99995, 1.23456}, {0.1 + 0.2, -0.00001}}})}
	if got := marshal(t, p); !strings.Contains(got, `[[[0.3,0],[10,0],[10,1.2346],[0.3,0]]]`) {
		t.Error(got)
	}
}

func TestASliverThatRoundingWouldSpoilIsKeptAsItIs(t *testing.T) {
	p := New("Sliver")
	sliver := orb.Polygon{{{0, 0}, {10, 0}, {10, 0.00002}, {0, 0.00003}, {0, 0}}}
	p.Features = []*Feature{NewFeature(Fence, "", sliver)}
	first := marshal(t, p)
	if got := read(t, first); !orb.Equal(got.Features[0].Geometry, sliver) {
		t.Errorf("the sliver became %v", got.Features[0].Geometry)
	}
	if again := marshal(t, read(t, first)); again != first {
		t.Errorf("written again it is\n%s", again)
	}
}

func TestNothingMayBeLeftOutOfAFeature(t *testing.T) {
	// Members that are null, or missing where they may be, mean the same.
	const null = `{"format": "hedgereach plan", "version": 1, "name": null, "units": null, "place": null, "features": [
		{"id": "3f2b6d0e-8c41-4d57-9a3e-5b1f0c6d7e01", "kind": "wild-margin", "name": null, "line": null, "width_m": null, "center": null, "radius_m": null,
		 "refuge": null, "crops": null, "cover": null, "plants": [{"plant": "a", "share": 0.4}, {"plant": "b"}, {"plant": "c", "share": null}], "trapping": null, "note": null,
		 "geometry": {"type": "Polygon", "coordinates": [[[0,0,99],[5,0],[5,5]]]}}]}`
	p := read(t, null)
	f := p.Features[0]
	if p.Units != Metric || p.Place != nil || f.Refuge != nil || f.Cover != nil || f.Trapping != nil {
		t.Errorf("plan = %+v, feature = %+v", p, f)
	}
	if f.Plants[1].Share != 0.3 || f.Plants[2].Share != 0.3 {
		t.Errorf("plants without a share have %v, want what is left in equal parts", f.Plants)
	}
	if want := (orb.Polygon{{{0, 0}, {5, 0}, {5, 5}, {0, 0}}}); !orb.Equal(f.Geometry, want) {
		t.Errorf("an open outline with heights became %v", f.Geometry)
	}
}

func TestTheOutlineCountsWhereItsCentreLineDisagrees(t *testing.T) {
	const strip = `{"format": "hedgereach plan", "features": [
		{"id": "3f2b6d0e-8c41-4d57-9a3e-5b1f0c6d7e01", "kind": "hedgerow", "name": "", "line": %s, "width_m": %s,
		 "geometry": {"type": "Polygon", "coordinates": [[[0,-1],[30,-1],[30,1],[0,1],[0,-1]]]}}]}`
	for _, c := range []struct {
		line, width string
		kept        bool
	}{
		{"[[0,0],[30,0]]", "2", true}, {"[[30,0],[0,0]]", "2.02", true},
		{"[[0,5],[30,5]]", "2", false}, {"[[0,0],[30,0]]", "4", false}, {"[[0,0]]", "2", false}, {"[[0,0],[30,0]]", "0", false},
	} {
		f := read(t, fmt.Sprintf(strip, c.line, c.width)).Features[0]
		if (f.Line != nil) != c.kept {
			t.Errorf("line %s, width %s: kept is %v, want %v", c.line, c.width, f.Line != nil, c.kept)
		}
	}
	const round = `{"format": "hedgereach plan", "features": [
		{"id": "3f2b6d0e-8c41-4d57-9a3e-5b1f0c6d7e01", "kind": "tree", "name": "", "center": [0,0], "radius_m": %s,
		 "geometry": {"type": "Polygon", "coordinates": [[[3,0],[2.1213,2.1213],[0,3],[-2.1213,2.1213],[-3,0],[-2.1213,-2.1213],[0,-3],[2.1213,-2.1213],[3,0]]]}}]}`
	for radius, kept := range map[string]bool{"3": true, "2": false, "5": false} {
		f := read(t, fmt.Sprintf(round, radius)).Features[0]
		if (f.Centre != nil) != kept {
			t.Errorf("radius %s about an eight-sided crown of 3 m: kept is %v", radius, f.Centre != nil)
		}
	}
}

func TestOtherFilesAreCalledWhatTheyAreNot(t *testing.T) {
	for _, text := range []string{"Dear all,\nhere is the plan", "\x89PNG\r\n\x1a\n", "42", "PK\x03\x04"} {
		_, err := Read(strings.NewReader(text), "other.hedgereach")
		if err == nil || !strings.Contains(err.Error(), "neither a plan nor GeoJSON") {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func TestBadFilesAreRefusedInOneLine(t *testing.T) {
	for file, want := range map[string]string{
		"truncated.hedgereach":             "line 7, column 41: the file breaks off here; get a whole copy of it",
		"not-json.hedgereach":              "line 2, column 70: this is not JSON",
		"nan.hedgereach":                   "line 7, column 62: NaN is not a number",
		"infinity.hedgereach":              "line 7, column 63: Infinity is not a number",
		"too-large-number.hedgereach":      `features[1] "Bed 2", geometry.coordinates[0][1][0]: 1e999 is too large a number`,
		"far-away.hedgereach":              `features[1] "Bed 2": the point (1e+09, 0) lies more than 1000 km from the plan's origin`,
		"wrong-type-coordinate.hedgereach": `features[1] "Bed 2", geometry.coordinates[0][1][0]: this is a text and should be a number`,
		"wrong-type-name.hedgereach":       `features[1], name: this is a number and should be a text`,
		"wrong-type-share.hedgereach":      `features[0] "Bed 1", crops[0].share: this is a text and should be a number`,
		"share-over-one.hedgereach":        `features[0] "Bed 1", crops[0].share: 1.5 is not a share; write a part from 0 to 1`,
		"wrong-day.hedgereach":             `features[0] "Bed 1", cover.from: "04-31" is not a day of the year`,
		"bow-tie.hedgereach":               `features[3] "Bed 4": its outline crosses itself near (5.0, 5.0); redraw it there`,
		"two-corners.hedgereach":           `features[0] "Bed 1", geometry.coordinates[0]: an outline needs three corners or more`,
		"no-area.hedgereach":               `features[0] "Bed 1": its outline`,
		"hole-outside.hedgereach":          `features[0] "Bed 1": a hole lies outside its outline near (20.0, 20.0)`,
		"unknown-kind.hedgereach":          `features[1] "Bed 2": its kind "raised-bed" is not known; use one of bed, hedgerow`,
		"no-kind.hedgereach":               `features[0] "Bed 1": it has no kind`,
		"no-id.hedgereach":                 `features[0] "Bed 1": it has no id; give it a UUID`,
		"not-a-uuid.hedgereach":            `features[0] "Bed 1": its id "bed-1" is not a UUID`,
		"same-id.hedgereach":               `features[2] "Copy": its id is that of features[1] "Bed 2", too`,
		"no-geometry.hedgereach":           `features[0] "Bed 1": it has no geometry`,
		"point-bed.hedgereach":             `features[0] "Bed 1": a point cannot be a bed`,
		"line-bed.hedgereach":              `features[0] "Bed 1": its geometry is a LineString`,
		"no-coordinates.hedgereach":        `features[0] "Bed 1", geometry: this geometry has no coordinates`,
		"member-twice.hedgereach":          `features[0] "Again", name: this member stands here twice`,
		"not-a-plan.hedgereach":            `format: "something else" is not a plan`,
		"says-nothing.hedgereach":          `it does not say what it is`,
		"a-list.hedgereach":                `this is a list and should be an object`,
		"empty.hedgereach":                 `it is empty`,
		"binary.hedgereach":                `line 1, column 40: this is not UTF-8 text; save the file as UTF-8`,
		"deep.hedgereach":                  `lists and objects nest deeper than 64`,
		"latitude.hedgereach":              `place.latitude: 144 is not between -90 and 90`,
		"half-a-place.hedgereach":          `place: a place needs a latitude and a longitude`,
		"units.hedgereach":                 `units: "cubits" is not a system of units; write "metric" or "us"`,
		"version.hedgereach":               `version: this is a text and should be a number`,
		"long-name.hedgereach":             `its name is longer than 200 characters; shorten it`,
		"html.hedgereach":                  `line 1, column 16: it declares a document type`,
		"metres.geojson":                   `features[0] "Bed A": (708497, 4880695) is not a longitude and latitude; bring the file to WGS 84`,
		"unknown-kind.geojson":             `features[0] "Bed A", properties.kind: its kind "greenhouse" is not known`,
		"bow-tie.geojson":                  `features[0] "Bed A": its outline crosses itself`,
		"two-sites.geojson":                `its features lie 80 km apart`,
		"topology.geojson":                 `this geometry has no coordinates`,
		"entities.gpx":                     `line 2, column 42: it declares a document type`,
		"truncated.gpx":                    `line 3: this is not XML`,
		"no-lat.gpx":                       `this point has no proper lat and lon`,
		"not-gpx.gpx":                      `this is "kml", not gpx`,
		"no-headings.csv":                  `line 1: there are no headings lat and lon, or x and y`,
		"not-a-number.csv":                 `line 3, column lat: "north" is not a number`,
		"nan.csv":                          `line 3, column x: "NaN" is not a number`,
		"empty.csv":                        `it is empty`,
		"missing.hedgereach":               `there is no such file; check its name and folder`,
	} {
		path := filepath.Join("testdata", "bad", file)
		_, err := ReadFile(path)
		var re *ReadError
		switch {
		case !errors.As(err, &re):
			t.Errorf("%s: error is %v, want a *ReadError", file, err)
		case !strings.HasPrefix(err.Error(), path+": ") || !strings.Contains(err.Error(), want):
			t.Errorf("%s:\n got %v\nwant %s", file, err, want)
		case strings.Contains(err.Error(), "\n") || re.Mend == "":
			t.Errorf("%s: %q is not one line with a mend", file, err)
		}
	}
	files, err := os.ReadDir("testdata/bad")
	if err != nil || len(files) < 40 {
		t.Errorf("%d bad files, %v", len(files), err)
	}
}

func TestALargeFileIsRefusedBeforeItIsDecoded(t *testing.T) {
	_, err := Read(endless{}, "huge.hedgereach")
	if err == nil || !strings.Contains(err.Error(), "huge.hedgereach: it is larger than 64 MB") {
		t.Error(err)
	}
}

type endless struct{}

func (endless) Read(b []byte) (int, error) {
	for i := range b {
		b[i] = ' '
	}
	return len(b), nil
}

func TestTenMillionCoordinatesAreRefused(t *testing.T) {
	var b strings.Builder
	b.WriteString(`{"format": "hedgereach plan", "features": [{"id": "3f2b6d0e-8c41-4d57-9a3e-5b1f0c6d7e01", "kind": "bed", "name": "B", "geometry": {"type": "Polygon", "coordinates": [[[0,0]`)
	b.WriteString(strings.Repeat(",[1,1]", 5_000_000))
	b.WriteString(`]]}}]}`)
	_, err := Read(strings.NewReader(b.String()), "many.hedgereach")
	if err == nil || !strings.Contains(err.Error(), "an outline has more than 100000 points") {
		t.Error(err)
	}
}

func TestAPlanThatCannotBeReadIsNotWritten(t *testing.T) {
	p := New("Bad")
	p.Features = []*Feature{NewFeature(Bed, "Bow tie", orb.Polygon{{{0, 0}, {10, 10}, {10, 0}, {0, 10}, {0, 0}}})}
	if _, err := Marshal(p); err == nil || !strings.Contains(err.Error(), `features[0] "Bow tie": its outline crosses itself`) {
		t.Error(err)
	}
}

func TestFeaturesGoThroughTheClipboard(t *testing.T) {
	p := read(t, whole)
	data, err := MarshalFeatures(p.Features[1:3])
	if err != nil {
		t.Fatal(err)
	}
	got, err := ReadFeatures(data)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got, p.Features[1:3]) {
		t.Errorf("features = %+v", got)
	}
	if _, err := ReadFeatures([]byte("some text that was copied elsewhere")); err == nil {
		t.Error("any text was taken for features")
	}
	if _, err := Read(bytes.NewReader(data), "x"); err == nil {
		t.Error("a clipboard's features were taken for a plan")
	}
}
