package plan

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	_ "hedgereach/geometry/repeatable"
)

const ringNearRutland = `{"type": "Polygon", "coordinates": [[[-72.5,44],[-72.4999,44],[-72.4999,44.0001],[-72.5,44]]]}`

// comesBack writes a plan in both formats and reads each again: nothing may be refused, and the second writing is the first.
func comesBack(t interface{ Fatalf(string, ...any) }, p *Plan) {
	for name, marshal := range map[string]func(*Plan) ([]byte, error){"plan": Marshal, "GeoJSON": MarshalGeoJSON} {
		if name == "GeoJSON" && p.Place == nil {
			continue
		}
		first, err := marshal(p)
		if err != nil {
			t.Fatalf("%s: cannot be written: %v", name, err)
		}
		again, err := decode(first, "")
		if err != nil {
			t.Fatalf("%s: cannot be read again: %v\n%s", name, err, first)
		}
		if second, err := marshal(again.Plan); err != nil || !bytes.Equal(first, second) {
			t.Fatalf("%s: written again it differs: %v\n%s\n%s", name, err, first, second)
		}
	}
}

// Members of a collection that GeoJSON does not know may have any name, also one that a plan uses for something else.
func TestForeignMembersDoNotMeetThePlansOwn(t *testing.T) {
	const in = `{"type": "FeatureCollection", "units": 5, "place": "Rutland", "version": "2.1", "format": "x", "name": 7, "plan": "north",
	 "features": [{"type": "Feature", "kind": 3, "properties": {"line": "A 4", "center": "mid", "crops": "beans", "cover": 0.4, "plants": {"oak": 2},
	  "trapping": "no", "note": ["x"], "name": {"en": "Bed"}, "width_m": true, "radius_m": [1], "refuge": "maybe"}, "geometry": ` + ringNearRutland + `}]}`
	p, notes, err := ReadGeoJSON(strings.NewReader(in), "file")
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"geojson_units": "5", "geojson_place": `"Rutland"`, "geojson_version": `"2.1"`,
		"geojson_format": `"x"`, "geojson_name": "7", "geojson_plan": `"north"`} {
		if got := string(p.Extra[name]); got != want {
			t.Errorf("%s is kept as %q, want %s", name, got, want)
		}
	}
	f := p.Features[0]
	for name, want := range map[string]string{"geojson_kind": "3", "source_line": `"A 4"`, "source_center": `"mid"`, "source_crops": `"beans"`,
		"source_cover": "0.4", "source_plants": `{"oak":2}`, "source_trapping": `"no"`, "source_note": `["x"]`, "source_name": `{"en":"Bed"}`,
		"source_width_m": "true", "source_radius_m": "[1]", "source_refuge": `"maybe"`} {
		if got := string(f.Extra[name]); got != want {
			t.Errorf("%s is kept as %q, want %s", name, got, want)
		}
	}
	if !strings.Contains(strings.Join(notes, "\n"), `features[0]: its "crops" is a text and was kept as "source_crops"`) {
		t.Errorf("notes = %q", notes)
	}
	comesBack(t, p)
}

func TestBothIdsOfAFeatureAreKept(t *testing.T) {
	const in = `{"type": "FeatureCollection", "features": [
	 {"type": "Feature", "id": 7, "properties": {"id": "row-\u00073", "source_id": "older"}, "geometry": ` + ringNearRutland + `},
	 {"type": "Feature", "id": "Grün \u0001", "properties": {}, "geometry": ` + ringNearRutland + `},
	 {"type": "Feature", "properties": {"id": 3}, "geometry": ` + ringNearRutland + `}]}`
	p, _, err := ReadGeoJSON(strings.NewReader(in), "file")
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []map[string]string{
		{"source_id": `"older"`, "source_id_2": "7", "source_property_id": `"row-\u00073"`},
		{"source_id": `"Grün \u0001"`},
		{"source_property_id": "3"},
	} {
		got := map[string]string{}
		for n, v := range p.Features[i].Extra {
			got[n] = string(v)
		}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("feature %d keeps %v, want %v", i, got, want)
		}
	}
	comesBack(t, p)
}

// anyJSON draws a small value of any type.
func anyJSON(depth int) *rapid.Generator[any] {
	plain := []*rapid.Generator[any]{
		rapid.Just[any](nil), rapid.Just[any](true), rapid.Just[any](1), rapid.Just[any](0.5), rapid.Just[any](-3),
		rapid.Just[any](""), rapid.Just[any]("x"), rapid.Just[any]("04-16"), rapid.Just[any]("hedgerow"), rapid.Just[any]("2"),
		rapid.Just[any]([]any{}), rapid.Just[any]([]any{0, 1}), rapid.Just[any]([]any{[]any{0, 1}, []any{1, 1}}),
	}
	if depth > 0 {
		plain = append(plain, rapid.Map(members(depth-1), func(m map[string]any) any { return m }),
			rapid.Map(rapid.SliceOfN(anyJSON(depth-1), 1, 2), func(l []any) any { return l }))
	}
	return rapid.OneOf(plain...)
}

func members(depth int) *rapid.Generator[map[string]any] {
	return rapid.MapOfN(rapid.SampledFrom([]string{"format", "version", "name", "units", "place", "features", "plan", "id", "kind",
		"geometry", "line", "width_m", "center", "radius_m", "refuge", "crops", "crop", "cover", "from", "to", "share", "plants", "plant",
		"bloom", "trapping", "protects", "pest", "removal", "note", "locked", "hidden", "latitude", "longitude", "type",
		"coordinates", "properties", "year", "accepted", "weather", "other_years", "later_covers", "treatments", "trap", "nursery", "method",
		"first_harvest", "mesh_mm", "edges", "on", "harvest_hours", "sown", "every_days", "number", "set", "min", "max", "start", "unit", "source_id", "source_line", "geojson_units", "owner"}), anyJSON(depth), 0, 6)
}

// Whatever could be read can be written in both formats and read again.
func TestWhatIsReadCanBeWrittenAndReadAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shape := json.RawMessage(rapid.SampledFrom([]string{ringNearRutland,
			`{"type": "Point", "coordinates": [-72.5,44]}`, `{"type": "LineString", "coordinates": [[-72.5,44],[-72.499,44]], "heights": [1,2]}`}).
			Draw(t, "shape"))
		var features []any
		for range rapid.IntRange(0, 2).Draw(t, "features") {
			f := members(1).Draw(t, "feature")
			f["type"], f["geometry"], f["properties"] = "Feature", shape, members(2).Draw(t, "properties")
			features = append(features, f)
		}
		top := members(2).Draw(t, "top")
		top["type"], top["features"] = "FeatureCollection", features
		if features == nil {
			top["features"] = []any{}
		}
		in, err := json.Marshal(top)
		if err != nil {
			t.Fatal(err)
		}
		r, err := decode(in, "drawn")
		if err != nil {
			t.Skip("refused")
		}
		comesBack(t, r.Plan)
	})
}

func TestHalfAWindowOfBloomIsKept(t *testing.T) {
	for _, bloom := range []string{`{"from": "05-16"}`, `{"to": "06-15"}`, `{"from": "05-16", "seen": 2024}`, `{"seen": 2024}`} {
		in := strings.Replace(whole, `{"from": "05-16", "to": "06-15", "seen": 2024}`, bloom, 1)
		p := read(t, in)
		if got := marshal(t, p); got != in {
			t.Errorf("%s became\n%s", bloom, got)
		}
		if p.Features[1].Plants[0].Bloom.Given() {
			t.Errorf("%s is taken for a whole window", bloom)
		}
	}
}

func TestAWidthWithoutALineIsKept(t *testing.T) {
	in := strings.Replace(whole, "     \"line\": [[0,3],[30,3]], \"width_m\": 2,\n", "     \"width_m\": 2,\n     \"radius_m\": 1.5,\n", 1)
	p := read(t, in)
	if f := p.Features[1]; f.WidthM != 2 || f.RadiusM != 1.5 || f.Line != nil || f.Centre != nil {
		t.Errorf("feature = %+v", f)
	}
	if got := marshal(t, p); got != in {
		t.Errorf("it became\n%s", got)
	}
	// What says nothing, as survey programs write it, goes.
	p = read(t, strings.Replace(in, `"width_m": 2`, `"width_m": -9999`, 1))
	if p.Features[1].WidthM != 0 {
		t.Errorf("a width of −9999 became %v", p.Features[1].WidthM)
	}
}

func TestUnknownMembersThatAreNullAreKept(t *testing.T) {
	in := strings.Replace(whole, `"slope": {"south":2}`, `"slope": null`, 1)
	if got := marshal(t, read(t, in)); got != in {
		t.Errorf("it became\n%s", got)
	}
}

// A file is replaced only by what can be read again.
func TestWhatCannotBeReadAgainReplacesNothing(t *testing.T) {
	deep := strings.Repeat("[", MaxDepth-1) + strings.Repeat("]", MaxDepth-1)
	p := read(t, strings.Replace(whole, `[1,2,{"a":null}]`, deep, 1))
	path := filepath.Join(t.TempDir(), "old.geojson")
	if err := os.WriteFile(path, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	// In GeoJSON the plan's own members stand one level deeper.
	if err := WriteFile(path, p); err == nil || !strings.Contains(err.Error(), "could not be read again: ") || !strings.HasPrefix(err.Error(), path+": ") {
		t.Error(err)
	}
	if got, _ := os.ReadFile(path); string(got) != "old" {
		t.Errorf("the file holds %.40q", got)
	}
}

// An object full to the limit must leave room for what is written beside it.
func TestManyUnknownMembersAreRefusedBeforeTheyCannotBeReadAgain(t *testing.T) {
	var b strings.Builder
	for i := range MaxMembers - 5 {
		fmt.Fprintf(&b, `"m%d": 0, `, i)
	}
	_, _, err := ReadGeoJSON(strings.NewReader(`{"type": "Feature", "properties": {`+b.String()+`"last": 0}, "geometry": `+ringNearRutland+`}`), "file")
	if err == nil || !strings.Contains(err.Error(), "members that are not known; take out what is not needed") {
		t.Error(err)
	}
}
