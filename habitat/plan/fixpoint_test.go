package plan

import (
	"bytes"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	_ "hedgereach/geometry/repeatable"
)

// A plan that is written as GeoJSON, read, and written as GeoJSON again gives the same bytes, wherever it lies and however many
// decimals its coordinates have; so does the plan file of it. What was drawn finer than is written moves by no more than the
// half of the last decimal.
func TestGeoJSONIsAFixpointAfterOneRound(t *testing.T) {
	onePixel := pixels(t, 1, 1)
	rapid.Check(t, func(t *rapid.T) {
		any := func(name string, most float64) float64 { return rapid.Float64Range(-most, most).Draw(t, name) }
		p := New("Here")
		p.Place = &Place{Latitude: any("latitude", 85), Longitude: any("longitude", 180), NorthDeg: any("north", 360)}
		for range rapid.IntRange(1, 4).Draw(t, "features") {
			x, y := any("x", 2000), any("y", 2000)
			w, h := math.Abs(any("w", 80))+0.01, math.Abs(any("h", 80))+0.01
			p.Features = append(p.Features, NewFeature(Bed, "", orb.Polygon{{{x, y}, {x + w, y + any("lean", 0.001)}, {x + w, y + h}, {x, y + h}, {x, y}}}),
				NewFeature(Stake, "", orb.Point{x, y}))
		}
		if any("picture", 1) > 0 {
			p.Picture = &Picture{Image: onePixel, At: orb.Point{any("x", 2000), any("y", 2000)}, MetresPerPixel: 0.1}
		}
		first, err := MarshalGeoJSON(p)
		if err != nil {
			t.Fatal(err)
		}
		r, err := decode(first, "")
		if err != nil {
			t.Fatal(err)
		}
		second, err := MarshalGeoJSON(r.Plan)
		if err != nil || !bytes.Equal(first, second) {
			t.Fatalf("%v:\n%s\n%s", err, first, second)
		}
		for i, f := range r.Plan.Features {
			a, b := f.Geometry.Bound(), p.Features[i].Geometry.Bound()
			for k := range 2 {
				if math.Abs(a.Min[k]-b.Min[k]) > 0.51e-4 || math.Abs(a.Max[k]-b.Max[k]) > 0.51e-4 {
					t.Fatalf("feature %d moved from %v to %v", i, b, a)
				}
			}
		}
		if p.Picture != nil && math.Abs(r.Plan.Picture.At[0]-p.Picture.At[0]) > 0.51e-4 {
			t.Fatalf("the picture moved from %v to %v", p.Picture.At, r.Plan.Picture.At)
		}
		mine, err := Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		theirs, err := Marshal(r.Plan)
		if err != nil || !bytes.Equal(mine, theirs) {
			t.Fatalf("%v: the plan file differs:\n%s\n%s", err, mine, theirs)
		}
	})
}
