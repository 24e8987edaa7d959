package geometry

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"math"
	"os"
	"os/exec"
	"strconv"
	"testing"
	"time"

	"github.com/paulmach/orb"
)

// geosSite is a line of testdata/geos: a site with what GEOS measures on it. make_fixtures.py says how.
type geosSite struct {
	Family   string
	Sites    []orb.MultiPolygon
	Bed      orb.MultiPolygon
	Area     float64
	Nearest  float64
	Farthest [2]float64
	Within   [][2]float64
	Mean     *float64
}

// The site's geometries as the program would have them: a single polygon stands for itself.
func (s *geosSite) shapes() (sites []orb.Geometry, bed orb.Geometry) {
	single := func(m orb.MultiPolygon) orb.Geometry {
		if len(m) == 1 {
			return m[0]
		}
		return m
	}
	for _, m := range s.Sites {
		sites = append(sites, single(m))
	}
	return sites, single(s.Bed)
}

func (s *geosSite) check(t *testing.T) {
	t.Helper()
	shapes, bed := s.shapes()
	for i, g := range append(shapes, bed) {
		if err := Validate(g); err != nil {
			t.Errorf("GEOS takes shape %d for valid, Validate says: %v", i, err)
		}
	}
	sites := NewSites(shapes)
	tell := func(what string, got, low, high float64) {
		t.Helper()
		if !(got >= low && got <= high) {
			t.Errorf("%s = %v, GEOS has %v … %v", what, got, low, high)
		}
	}
	area := Area(bed)
	tell("area", area, s.Area*(1-1e-9)-1e-9, s.Area*(1+1e-9)+1e-9)

	near := sites.Nearest(bed)
	tell("nearest", near.Metres, s.Nearest-2e-9, s.Nearest+2e-9)
	if d := distance(near.From, near.To); math.Abs(d-near.Metres) > 3e-9 {
		t.Errorf("nearest: from %v to %v is %v, not %v", near.From, near.To, d, near.Metres)
	}
	far := sites.Farthest(bed)
	tell("farthest", far.Metres, s.Farthest[0]-2e-6, s.Farthest[1]+2e-6)
	if PointDistance(far.From, bed) > 3e-9 || PointDistance(far.To, shapes[far.Site]) > 3e-9 {
		t.Errorf("farthest: %+v does not run from the bed to the site", far)
	}

	for _, w := range s.Within {
		r, want := w[0], w[1]
		slack := 1e-5*r*Perimeter(bed) + 1e-7*area + 1e-7
		got := sites.AreaWithin(bed, r)
		tell("area within "+strconv.FormatFloat(r, 'g', -1, 64), got, want-slack, want+slack)
	}
	if got := sites.AreaWithin(bed, far.Metres+1e-3); got != area {
		t.Errorf("area within the farthest distance and a millimetre = %v, want all of %v", got, area)
	}
	if near.Metres > 1e-3 {
		if got := sites.AreaWithin(bed, near.Metres-1e-3); got != 0 {
			t.Errorf("area within a millimetre less than the nearest distance = %v, want 0", got)
		}
	}
	if s.Mean != nil {
		slack := 0.03*far.Metres + 1e-4
		tell("mean distance", sites.MeanDistance(bed), *s.Mean-slack, *s.Mean+slack)
	}
}

func checkGEOS(t *testing.T, r io.Reader) {
	t.Helper()
	lines := bufio.NewScanner(r)
	lines.Buffer(nil, 1<<20)
	n, fallbacks := 0, overlays.Load()
	families := map[string]int{}
	for ; lines.Scan(); n++ {
		var s geosSite
		if err := json.Unmarshal(lines.Bytes(), &s); err != nil {
			t.Fatalf("site %d: %v", n, err)
		}
		families[s.Family]++
		t.Run(s.Family+" "+strconv.Itoa(n), s.check)
	}
	if err := lines.Err(); err != nil {
		t.Fatal(err)
	}
	if n == 0 {
		t.Fatal("no sites")
	}
	if used := overlays.Load() - fallbacks; used > 0 {
		t.Errorf("%d cells of %d sites fell back to an overlay", used, n)
	}
	t.Logf("%d sites: %v", n, families)
}

// Thousands of generated sites against GEOS 3.11's answers, kept with the script that makes them.
func TestAgainstGEOS(t *testing.T) {
	packed, err := os.ReadFile("testdata/geos/fixtures.jsonl.gz")
	if err != nil {
		t.Fatal(err)
	}
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	checkGEOS(t, r)
}

// New sites each day against the GEOS of this machine.
func TestAgainstLiveGEOS(t *testing.T) {
	const python = "/usr/bin/python3"
	if exec.Command(python, "-c", "import shapely").Run() != nil {
		t.Skip("GEOS is not here: apt-get install python3-shapely")
	}
	seed := strconv.Itoa(int(time.Now().Unix() / 86400))
	out, err := exec.Command(python, "testdata/geos/make_fixtures.py", "--seed", seed, "--sites", "36").Output()
	if err != nil {
		t.Fatalf("make_fixtures.py: %v", err)
	}
	t.Log("seed", seed)
	checkGEOS(t, bytes.NewReader(out))
}
