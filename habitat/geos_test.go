package habitat

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"strconv"
	"testing"
	"time"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// geosPlan is a line of testdata/geos: a plan with what GEOS measures of it. make_fixtures.py says how.
type geosPlan struct {
	Plan   json.RawMessage
	Ranges []float64
	Radius float64
	Site   struct {
		Area, Habitat float64
		Cover         geosCover
	}
	Beds map[string]struct {
		Area        float64
		Refuge      bool
		Nearest     float64
		Farthest    [2]float64
		Within      []float64
		CoverGround float64 `json:"cover_ground"`
		Cover       geosCover
	}
}

// geosCover is by half-month the ground in flower in m² and the species.
type geosCover [season.HalfMonths][2]float64

func (g *geosPlan) check(t *testing.T, c *data.Catalogue) {
	t.Helper()
	p, err := plan.Read(bytes.NewReader(g.Plan), "fixture")
	if err != nil {
		t.Fatal(err)
	}
	a := Assess(p, c, Options{RangesM: g.Ranges, CoverRadiusM: g.Radius})
	if len(a.invalid) > 0 {
		t.Fatalf("GEOS takes for valid what is not: %v", a.invalid)
	}
	near0(t, "site", a.Site.AreaM2, g.Site.Area, 1e-9*g.Site.Area)
	near0(t, "habitat", a.Site.HabitatM2, g.Site.Habitat, 1e-6*g.Site.Habitat+1e-4)
	cover := func(what string, got *[season.HalfMonths]Cover, want *geosCover, ground, slack float64) {
		t.Helper()
		for h := range got {
			step := what + " " + season.HalfMonth(h).String()
			near0(t, step, got[h].AreaM2, want[h][0], slack)
			near0(t, step+" of the ground", got[h].Fraction, want[h][0]/ground, slack/ground)
			if got[h].Species != int(want[h][1]) {
				t.Errorf("%s: %d species, GEOS has %v", step, got[h].Species, want[h][1])
			}
		}
	}
	cover("cover", &a.Site.Cover, &g.Site.Cover, g.Site.Area, 1e-6*g.Site.Habitat+1e-4)
	if len(a.Beds) != len(g.Beds) {
		t.Fatalf("%d beds, want %d", len(a.Beds), len(g.Beds))
	}
	for _, b := range a.Beds {
		name := b.Feature.Name
		w := g.Beds[name]
		near0(t, name+" area", b.AreaM2, w.Area, 1e-9*w.Area)
		cover(name+" cover", &b.Cover, &w.Cover, w.CoverGround, 1e-5*w.CoverGround+1e-4)
		if (b.Refuge != nil) != w.Refuge {
			t.Errorf("%s: refuge %v, want %v", name, b.Refuge != nil, w.Refuge)
		}
		if b.Refuge == nil || !w.Refuge {
			continue
		}
		near0(t, name+" nearest", b.Refuge.NearestM, w.Nearest, 1e-6)
		if f := b.Refuge.FarthestM; f < w.Farthest[0]-1e-5 || f > w.Farthest[1]+1e-5 {
			t.Errorf("%s farthest = %v, GEOS has %v", name, f, w.Farthest)
		}
		for i, r := range b.Reach {
			chords := 5e-6 * r.RangeM * geometry.Perimeter(b.Feature.Geometry) / w.Area
			near0(t, name+" within "+strconv.FormatFloat(r.RangeM, 'g', -1, 64), r.WithinFraction, w.Within[i]/w.Area, chords+1e-6)
		}
	}
}

func checkGEOS(t *testing.T, r io.Reader, least int) {
	t.Helper()
	c := catalogue(t)
	lines := bufio.NewScanner(r)
	lines.Buffer(nil, 1<<20)
	n := 0
	for ; lines.Scan(); n++ {
		var g geosPlan
		if err := json.Unmarshal(lines.Bytes(), &g); err != nil {
			t.Fatalf("plan %d: %v", n, err)
		}
		t.Run(strconv.Itoa(n), func(t *testing.T) { g.check(t, c) })
	}
	if err := lines.Err(); err != nil || n < least {
		t.Fatalf("%d plans, %v", n, err)
	}
}

// The whole assessment of generated plans against GEOS 3.11's answers, kept with the script that makes them.
func TestAssessAgainstGEOS(t *testing.T) {
	packed, err := os.ReadFile("testdata/geos/plans.jsonl.gz")
	if err != nil {
		t.Fatal(err)
	}
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	checkGEOS(t, r, 240)
}

// New plans each day against the GEOS of this machine.
func TestAssessAgainstLiveGEOS(t *testing.T) {
	const python = "/usr/bin/python3"
	if exec.Command(python, "-c", "import shapely").Run() != nil {
		t.Skip("GEOS is not here: apt-get install python3-shapely")
	}
	seed := strconv.Itoa(int(time.Now().Unix() / 86400))
	out, err := exec.Command(python, "testdata/geos/make_fixtures.py", "--seed", seed, "--plans", "12").Output()
	if err != nil {
		t.Fatalf("make_fixtures.py: %v", err)
	}
	t.Log("seed", seed)
	checkGEOS(t, bytes.NewReader(out), 12)
}
