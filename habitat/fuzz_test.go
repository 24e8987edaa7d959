package habitat

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"

	"hedgereach/habitat/plan"
)

// FuzzAssess measures whatever can be read as a plan: no input panics or runs without bound, and what is measured keeps to what
// the words mean.
func FuzzAssess(f *testing.F) {
	c := catalogue(f)
	names, err := filepath.Glob("plan/testdata/gdal/*.geojson")
	if err != nil {
		f.Fatal(err)
	}
	for _, n := range append(names, "../data/sample/community-garden.hedgereach") {
		data, err := os.ReadFile(n)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	small, err := plan.Marshal(handPlan(f))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(small)
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := plan.Read(bytes.NewReader(data), "fuzz")
		if err != nil {
			return
		}
		a := Assess(p, c, Options{RangesM: []float64{0, 20}})
		part := func(what string, v float64) {
			if !(v >= 0 && v <= 1+1e-9) {
				t.Errorf("%s = %v, which is no part of anything", what, v)
			}
		}
		if !(a.Site.HabitatM2 <= a.Site.AreaM2*(1+1e-9)+1e-6) {
			t.Errorf("habitat %v of %v m²", a.Site.HabitatM2, a.Site.AreaM2)
		}
		for _, x := range a.Site.Cover {
			part("cover", x.Fraction)
		}
		for _, b := range a.Beds {
			for _, r := range b.Reach {
				part("reach", r.WithinFraction)
			}
			for _, x := range b.Cover {
				part("cover about a bed", math.Max(0, x.Fraction-1e-6))
			}
			for _, g := range b.Guilds {
				part("fraction", g.WithinFraction)
				if l := g.Link; l != nil && !(l.NearestM >= 0 && l.NearestM <= l.FarthestM && !math.IsNaN(l.FarthestM) &&
					l.Nearest != nil && l.Farthest != nil) {
					t.Errorf("%s: %+v", g.Guild.ID, l)
				}
			}
		}
	})
}
