package survey

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

func near(a, b orb.Point, by float64) bool { return math.Hypot(a[0]-b[0], a[1]-b[1]) <= by }

func TestTwoTapes(t *testing.T) {
	// Stakes 6 m apart, tapes of 5 m: the point lies 3 m along and 4 m to either side (3, 4, 5).
	tape := Tape{A: orb.Point{10, 20}, B: orb.Point{16, 20}, FromA: 5, FromB: 5, Apart: 6.02}
	f, err := tape.Locate()
	if err != nil || !near(f.At, orb.Point{13, 16}, 1e-9) || !near(f.Other, orb.Point{13, 24}, 1e-9) {
		t.Errorf("%+v, %v", f, err)
	}
	if math.Abs(f.Apart-0.02) > 1e-9 || !math.IsNaN(f.Check) {
		t.Errorf("closing error %v, check %v", f.Apart, f.Check)
	}
	tape.OnLeft = true
	if f, _ = tape.Locate(); !near(f.At, orb.Point{13, 24}, 1e-9) {
		t.Errorf("on the left %v", f.At)
	}
	// A third stake straight below at 13, 10: the point to the right is 6 m from it, the other 14 m.
	tape.C, tape.FromC = &orb.Point{13, 10}, 6.05
	if f, _ = tape.Locate(); !near(f.At, orb.Point{13, 16}, 1e-9) || math.Abs(f.Check-0.05) > 1e-9 {
		t.Errorf("by the third stake %v, %v", f.At, f.Check)
	}
	for _, bad := range []Tape{{A: orb.Point{0, 0}, B: orb.Point{6, 0}, FromA: 2, FromB: 3}, {}, {FromA: 3, FromB: 3}} {
		if _, err := bad.Locate(); err == nil {
			t.Errorf("%+v gives a point", bad)
		}
	}
}

func TestOffsetsFromABaseLine(t *testing.T) {
	// Along (4, 3)/5: 5 m along and 10 m to the left is 4−6, 3+8.
	got, err := Place(orb.Point{0, 0}, orb.Point{8, 6}, []Offset{{5, 10}, {10, 0}, {15, -5}, {-5, 0}})
	want := []orb.Point{{-2, 11}, {8, 6}, {15, 5}, {-4, -3}}
	if err != nil {
		t.Fatal(err)
	}
	for i := range want {
		if !near(got[i], want[i], 1e-9) {
			t.Errorf("offset %d lies at %v, want %v", i, got[i], want[i])
		}
	}
	if _, err := Place(orb.Point{1, 1}, orb.Point{1, 1}, nil); err == nil {
		t.Error("a base line of no length")
	}
}

func TestOutlineThroughPoints(t *testing.T) {
	p := plan.New("")
	q, ids, err := Outline(p, []orb.Point{{0, 0}, {10, 0}, {10, 5}}, plan.Boundary)
	if err != nil || len(ids) != 1 || q.Features[0].Kind != plan.Boundary || geometry.Area(q.Features[0].Geometry) != 25 {
		t.Errorf("%v, %v", q, err)
	}
	for _, bad := range [][]orb.Point{{{0, 0}, {1, 1}}, {{0, 0}, {10, 10}, {10, 0}, {0, 10}}, {{0, 0}, {0, 0}, {0, 0}}} {
		if _, _, err := Outline(p, bad, plan.Bed); err == nil {
			t.Errorf("an outline through %v", bad)
		}
	}
	q, ids = Stakes(p, []orb.Point{{1, 2}, {3, 4}}, "Corner")
	if q.Features[0].Name != "Corner" || q.Features[1].Name != "Corner 2" || len(Marks(q)) != 2 || len(ids) != 2 {
		t.Errorf("%q, %q", q.Features[0].Name, q.Features[1].Name)
	}
}

// Two plans of one place with different origins: a point of the second comes to where it truly lies. 0.001° of latitude at
// 44° N is 111.11 m: the radius of curvature of the WGS 84 meridian there is 6 366 235 m by a(1−e²)/(1−e²sin²φ)^1.5 with
// a = 6 378 137 m and e² = 0.00669438.
func TestBringBringsToTheTruePlace(t *testing.T) {
	p, other := plan.New("here"), plan.New("there")
	p.Place = &plan.Place{Latitude: 44, Longitude: -72.5}
	other.Place = &plan.Place{Latitude: 44.001, Longitude: -72.5}
	p.Features = []*plan.Feature{plan.NewFeature(plan.Stake, "Gate", orb.Point{0, 0})}
	other.Features = []*plan.Feature{plan.NewFeature(plan.Stake, "Gate", orb.Point{0, 0})}
	q, ids, words, err := Bring(p, other)
	if err != nil || words != "" || len(ids) != 1 {
		t.Fatal(ids, words, err)
	}
	e2, phi := 0.00669438, 44.0005*math.Pi/180
	want := 0.001 * math.Pi / 180 * 6378137 * (1 - e2) / math.Pow(1-e2*math.Pow(math.Sin(phi), 2), 1.5)
	if at, _ := At(q.Features[1]); !near(at, orb.Point{0, want}, 0.01) {
		t.Errorf("it lies at %v, want %v north", at, want)
	}
	if q.Features[1].Name != "Gate 2" || q.Features[1].ID == other.Features[0].ID || len(p.Features) != 1 {
		t.Error("it has no name and id of its own, or the old plan was changed")
	}

	// The plan's y axis turned: north lies 90° clockwise from it, so the point lies along x.
	p.Place.NorthDeg = 90
	q, _, _, err = Bring(p, other)
	if at, _ := At(q.Features[1]); err != nil || !near(at, orb.Point{want, 0}, 0.01) {
		t.Errorf("on a turned plan it lies at %v, %v", at, err)
	}

	other.Place.Latitude = 46
	if _, _, _, err = Bring(p, other); err == nil || !strings.Contains(err.Error(), "km") {
		t.Errorf("a site 200 km off: %v", err)
	}
	empty := plan.New("")
	if q, _, words, err = Bring(empty, other); err != nil || q.Place == nil || q.Place.Latitude != 46 || words == "" {
		t.Errorf("an empty plan: %v, %q, %v", q.Place, words, err)
	}
	other.Place = nil
	if q, _, words, err = Bring(p, other); err != nil || words == "" {
		t.Errorf("without a place: %q, %v", words, err)
	}
	if at, _ := At(q.Features[1]); at != (orb.Point{0, 0}) {
		t.Errorf("its metres became %v", at)
	}
	if _, _, _, err = Bring(p, plan.New("")); err == nil {
		t.Error("nothing was added without a word")
	}
}
