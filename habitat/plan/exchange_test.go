package plan

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geojson"

	"hedgereach/geometry"
)

func TestGeoJSONLosesNothing(t *testing.T) {
	p := read(t, whole)
	data, err := MarshalGeoJSON(p)
	if err != nil {
		t.Fatal(err)
	}
	got, notes, err := ReadGeoJSON(strings.NewReader(string(data)), "other")
	if err != nil || len(notes) != 0 {
		t.Fatal(err, notes)
	}
	// Ring order is RFC 7946's on the way; the order and start of points do not change what is drawn.
	turnRings(p.Features[1].Geometry)
	turnRings(p.Features[2].Geometry)
	if a, b := marshal(t, got), marshal(t, p); a != b {
		t.Errorf("by way of GeoJSON it is\n%s\nand was\n%s", a, b)
	}
}

// RFC 7946 asks for longitude before latitude (3.1.1), outlines counter-clockwise and holes clockwise (3.1.6), closed rings
// (3.1.6), and WGS 84 (4). Read by an independent decoder.
func TestGeoJSONIsWhatTheStandardAsks(t *testing.T) {
	data, err := MarshalGeoJSON(read(t, whole))
	if err != nil {
		t.Fatal(err)
	}
	fc, err := geojson.UnmarshalFeatureCollection(data)
	if err != nil {
		t.Fatal(err)
	}
	if len(fc.Features) != 5 || fc.Features[0].Properties["kind"] != "bed" || fc.Features[0].ID != "3f2b6d0e-8c41-4d57-9a3e-5b1f0c6d7e01" {
		t.Fatalf("features = %+v", fc.Features)
	}
	for _, f := range fc.Features {
		if b := f.Geometry.Bound(); b.Min[0] < -72.51 || b.Max[0] > -72.49 || b.Min[1] < 44.04 || b.Max[1] > 44.06 {
			t.Errorf("%v lies at %v", f.ID, b)
		}
		for _, pg := range geometry.Polygons(f.Geometry) {
			for i, r := range pg {
				if want := []orb.Orientation{orb.CCW, orb.CW}[min(i, 1)]; !r.Closed() || r.Orientation() != want {
					t.Errorf("ring %d of %v: closed %v, orientation %v", i, f.ID, r.Closed(), r.Orientation())
				}
			}
		}
	}
}

func TestGeoJSONNeedsAPlace(t *testing.T) {
	p := read(t, whole)
	p.Place = nil
	if _, err := MarshalGeoJSON(p); err == nil || !strings.Contains(err.Error(), "place: the plan has no place") {
		t.Error(err)
	}
}

func TestForeignGeoJSONIsTakenMildly(t *testing.T) {
	const in = `{"type": "FeatureCollection", "name": "Survey", "source": "drone", "crs": {"type": "name", "properties": {"name": "urn:ogc:def:crs:OGC:1.3:CRS84"}}, "features": [
	 {"type": "Feature", "id": 7, "properties": {"name": 12, "owner": "Ann", "kind": null, "width_m": "", "id": 3}, "geometry": {"type": "Polygon", "coordinates": [[[-72.5,44,200],[-72.4999,44],[-72.4999,44.0001],[-72.5,44]]]}},
	 {"type": "Feature", "properties": null, "geometry": {"type": "Point", "coordinates": [-72.5,44]}},
	 {"type": "Feature", "properties": {"kind": "Tree", "radius_m": "2.5"}, "geometry": {"type": "Point", "coordinates": [-72.4995,44]}},
	 {"type": "Feature", "properties": {"kind": "tree"}, "geometry": {"type": "Point", "coordinates": [-72.4993,44]}},
	 {"type": "Feature", "properties": {"kind": "hedgerow", "width_m": 3, "refuge": 0}, "geometry": {"type": "LineString", "coordinates": [[-72.5,44.0002],[-72.499,44.0002]]}},
	 {"type": "Feature", "properties": {"name": "Track"}, "geometry": {"type": "LineString", "coordinates": [[-72.5,44.0003],[-72.499,44.0003]]}},
	 {"type": "Feature", "properties": {"name": "Many"}, "geometry": {"type": "MultiPoint", "coordinates": [[-72.5,44.0003]]}},
	 {"type": "Feature", "properties": {"name": "Nowhere"}, "geometry": null}]}`
	p, notes, err := ReadGeoJSON(strings.NewReader(in), "file")
	if err != nil {
		t.Fatal(err)
	}
	if p.Name != "Survey" || p.Place == nil || math.Abs(p.Place.Latitude-44.00015) > 1e-4 || math.Abs(p.Place.Longitude+72.4995) > 1e-4 {
		t.Errorf("name %q, place %+v", p.Name, p.Place)
	}
	var kinds []Kind
	for _, f := range p.Features {
		kinds = append(kinds, f.Kind)
	}
	if want := []Kind{Bed, Stake, Tree, Tree, Hedgerow, Path}; !reflect.DeepEqual(kinds, want) {
		t.Fatalf("kinds = %v, want %v", kinds, want)
	}
	bed, crown, hedge := p.Features[0], p.Features[2], p.Features[4]
	if bed.Name != "12" || string(bed.Extra["owner"]) != `"Ann"` || string(bed.Extra["source_id"]) != "7" || string(bed.Extra["source_property_id"]) != "3" {
		t.Errorf("bed %q keeps %s", bed.Name, bed.Extra)
	}
	// A circle of 2.5 m has 19.635 m²; the polygon that stands for it lies within 1 cm of it.
	if a := geometry.Area(crown.Geometry); crown.Centre == nil || crown.RadiusM != 2.5 || math.Abs(a-math.Pi*2.5*2.5) > 2*math.Pi*2.5*0.01 {
		t.Errorf("crown = %+v with %g m²", crown, a)
	}
	// 0.001° of longitude at 44.0002° north is 80.214 m: N cos φ, with N the radius of curvature in the prime vertical of
	// WGS 84 there, 6388475 m (closed form).
	if a := geometry.Area(hedge.Geometry); hedge.Line == nil || hedge.IsRefuge() || math.Abs(a-3*80.208) > 0.1 {
		t.Errorf("hedge = %+v with %g m²", hedge, a)
	}
	for _, want := range []string{"features[0] \"12\" has no kind and was taken for a bed", "made 1 m in radius", "made 1 m wide", `"Many" has a MultiPoint and was left out`, `"Nowhere" has no geometry`} {
		if !strings.Contains(strings.Join(notes, "\n"), want) {
			t.Errorf("no note says %s in\n%s", want, strings.Join(notes, "\n"))
		}
	}
	again, _, _ := ReadGeoJSON(strings.NewReader(in), "file")
	if marshal(t, again) != marshal(t, p) {
		t.Error("the same file gives another plan, perhaps other ids")
	}
	if got := marshal(t, read(t, marshal(t, p))); got != marshal(t, p) {
		t.Error("the plan that came of it cannot be read and written alike")
	}
}

func TestASiteAcrossTheAntimeridianIsOneSite(t *testing.T) {
	const in = `{"type": "FeatureCollection", "features": [
	 {"type": "Feature", "properties": {"kind": "stake"}, "geometry": {"type": "Point", "coordinates": [179.9995,-17]}},
	 {"type": "Feature", "properties": {"kind": "stake"}, "geometry": {"type": "Point", "coordinates": [-179.9995,-17]}}]}`
	p, _, err := ReadGeoJSON(strings.NewReader(in), "Taveuni")
	if err != nil {
		t.Fatal(err)
	}
	a, b := p.Features[0].Geometry.(orb.Point), p.Features[1].Geometry.(orb.Point)
	// 0.001° of longitude at 17° south: N cos φ · π/180 000 = 106.486 m on WGS 84 (closed form).
	if d := b[0] - a[0]; math.Abs(d-106.486) > 0.01 {
		t.Errorf("they lie %g m apart", d)
	}
	data, err := MarshalGeoJSON(p)
	if err != nil {
		t.Fatal(err)
	}
	fc, err := geojson.UnmarshalFeatureCollection(data)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []orb.Point{{179.9995, -17}, {-179.9995, -17}} {
		// Rounding to 0.1 mm moves a point by less than 1e-9°.
		if got := fc.Features[i].Geometry.(orb.Point); math.Abs(got[0]-want[0]) > 1e-9 || math.Abs(got[1]-want[1]) > 1e-9 {
			t.Errorf("stake %d is written at %v, want %v", i, got, want)
		}
	}
}

// The files in testdata/gdal were made with GDAL, and the areas on the WGS 84 ellipsoid beside them with SpatiaLite; see its
// README.
func TestAGISSiteHasTheAreasThatTheGISFinds(t *testing.T) {
	want := map[string]float64{}
	rows := csvFile(t, "testdata/gdal/areas.csv")
	for _, r := range rows[1:] {
		v, err := strconv.ParseFloat(r[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		want[r[0]] = v
	}
	for _, file := range []string{"site.geojson", "site-shapefile.geojson", "site-unknown.geojson"} {
		p, err := ReadFile(filepath.Join("testdata/gdal", file))
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Features) < 60 {
			t.Errorf("%s: %d features", file, len(p.Features))
		}
		found := 0
		for _, f := range p.Features {
			w, ok := want[f.Name]
			if !ok {
				continue
			}
			found++
			// The points are given to 1e-9°, the survey to a millimetre: 1 in 10 000 of the area, and a square decimetre for that.
			if a := geometry.Area(f.Geometry); math.Abs(a-w) > 1e-4*w+0.01 {
				t.Errorf("%s: %s has %.4f m², want %.4f", file, f.Name, a, w)
			}
		}
		if found != len(want) {
			t.Errorf("%s: %d of %d areas were found", file, found, len(want))
		}
	}
}

func TestUnknownColumnsOfAGISAreKept(t *testing.T) {
	p, err := ReadFile("testdata/gdal/site-unknown.geojson")
	if err != nil {
		t.Fatal(err)
	}
	data, err := MarshalGeoJSON(p)
	if err != nil {
		t.Fatal(err)
	}
	was, now := collection(t, "testdata/gdal/site-unknown.geojson"), map[string]map[string]any{}
	var fc struct {
		Features []struct{ Properties map[string]any }
	}
	if err := json.Unmarshal(data, &fc); err != nil {
		t.Fatal(err)
	}
	for _, f := range fc.Features {
		now[f.Properties["name"].(string)] = f.Properties
	}
	for name, props := range was {
		for _, column := range []string{"surveyed", "soil", "irrigated", "remark", "feature"} {
			if !reflect.DeepEqual(props[column], now[name][column]) {
				t.Errorf("%s: %s was %v and is %v", name, column, props[column], now[name][column])
			}
		}
	}
	if len(was) < 60 {
		t.Errorf("only %d features were compared", len(was))
	}
}

func collection(t *testing.T, path string) map[string]map[string]any {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var fc struct {
		Features []struct{ Properties map[string]any }
	}
	if err := json.Unmarshal(data, &fc); err != nil {
		t.Fatal(err)
	}
	out := map[string]map[string]any{}
	for _, f := range fc.Features {
		out[f.Properties["name"].(string)] = f.Properties
	}
	return out
}

func csvFile(t *testing.T, path string) [][]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

func TestAProjectedFileIsRefused(t *testing.T) {
	_, err := ReadFile("testdata/gdal/projected.geojson")
	if err == nil || !strings.Contains(err.Error(), "its coordinates are not WGS 84") {
		t.Error(err)
	}
}

func TestAGPSWalkBecomesAPlan(t *testing.T) {
	r, err := Open("testdata/walked/walk.gpx")
	if err != nil {
		t.Fatal(err)
	}
	p, notes := r.Plan, r.Notes
	got := map[string]Kind{}
	for _, f := range p.Features {
		got[f.Name] = f.Kind
	}
	want := map[string]Kind{"Stake A": Stake, "Round the garden": Boundary, "Bed & cloche": Bed, "hedgerow north": Hedgerow}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("features = %v, want %v", got, want)
	}
	if len(notes) != 1 {
		t.Errorf("notes = %q", notes)
	}
	// 0.0005° of latitude by 0.001° of longitude at 44° north: 55.555 m by 80.212 m on WGS 84, M and N cos φ (closed form).
	if a := geometry.Area(p.Features[1].Geometry); math.Abs(a-55.555*80.212) > 1 {
		t.Errorf("the walk round the garden holds %g m²", a)
	}
}

func TestPointsInMetresBecomeAPlan(t *testing.T) {
	p, err := ReadFile("testdata/walked/metres.csv")
	if err != nil {
		t.Fatal(err)
	}
	if p.Place != nil || len(p.Features) != 3 {
		t.Fatalf("plan = %+v", p)
	}
	if f := p.Features[0]; f.Kind != Boundary || geometry.Area(f.Geometry) != 5000 {
		t.Errorf("boundary = %+v", f)
	}
	if f := p.Features[1]; f.Kind != Bed || math.Abs(geometry.Area(f.Geometry)-12) > 1e-9 || f.Geometry.Bound().Min[0] != 10.5 {
		t.Errorf("bed = %+v", f)
	}
	if f := p.Features[2]; f.Kind != Stake || f.Name != "Gate" {
		t.Errorf("stake = %+v", f)
	}
}
