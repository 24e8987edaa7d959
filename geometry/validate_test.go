package geometry

import (
	"errors"
	"math"
	"math/rand"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

func TestValidate(t *testing.T) {
	// What is valid and what not follows OGC 06-103r4, 6.1.11 and 6.1.14.
	for _, c := range []struct {
		name, wkt, reason string
		at                orb.Point
	}{
		{name: "square", wkt: "POLYGON((0 0,4 0,4 4,0 4,0 0))"},
		{name: "clockwise", wkt: "POLYGON((0 0,0 4,4 4,4 0,0 0))"},
		{name: "corner on a straight side", wkt: "POLYGON((0 0,2 0,4 0,4 4,0 4,0 0))"},
		{name: "corner said twice", wkt: "POLYGON((0 0,4 0,4 0,4 4,0 4,0 0))"},
		{name: "hole", wkt: "POLYGON((0 0,9 0,9 9,0 9,0 0),(1 1,1 3,3 3,3 1,1 1))"},
		{name: "hole touching in a point", wkt: "POLYGON((0 0,9 0,9 9,0 9,0 0),(0 1,3 3,3 1,0 1))"},
		{name: "holes touching in a point", wkt: "POLYGON((0 0,9 0,9 9,0 9,0 0),(1 1,3 3,3 1,1 1),(3 3,5 5,5 3,3 3))"},
		{name: "parts touching in a point", wkt: "MULTIPOLYGON(((0 0,1 0,1 1,0 0)),((1 1,2 1,2 2,1 1)))"},
		{name: "part in another's hole",
			wkt: "MULTIPOLYGON(((0 0,9 0,9 9,0 9,0 0),(1 1,8 1,8 8,1 8,1 1)),((3 3,4 3,4 4,3 3)))"},
		{name: "part filling another's hole to its corners",
			wkt: "MULTIPOLYGON(((0 0,9 0,9 9,0 9,0 0),(1 1,8 1,8 8,1 8,1 1)),((1 1,8 8,5 1.5,1 1)))"},
		{name: "point", wkt: "POINT(1 2)"},
		{name: "line", wkt: "LINESTRING(1 2,3 4)"},

		{name: "bow-tie", wkt: "POLYGON((0 0,4 4,4 0,0 4,0 0))", reason: "its outline crosses itself", at: orb.Point{2, 2}},
		{name: "touches itself", wkt: "POLYGON((0 0,4 0,4 4,2 0,0 4,0 0))", reason: "its outline touches itself", at: orb.Point{2, 0}},
		{name: "figure of eight", wkt: "POLYGON((0 0,2 2,4 0,4 4,2 2,0 4,0 0))", reason: "its outline touches itself", at: orb.Point{2, 2}},
		{name: "spike", wkt: "POLYGON((0 0,8 0,4 0,4 4,0 0))", reason: "its outline runs back along itself", at: orb.Point{4, 0}},
		{name: "no area", wkt: "POLYGON((0 0,4 0,8 0,0 0))", reason: "its outline runs back along itself", at: orb.Point{0, 0}},
		{name: "two corners", wkt: "POLYGON((0 0,4 0,0 0))", reason: "its outline has fewer than three corners", at: orb.Point{0, 0}},
		{name: "open", wkt: "POLYGON((0 0,4 0,4 4,0 4))", reason: "its outline is not closed", at: orb.Point{0, 4}},
		{name: "hole outside", wkt: "POLYGON((0 0,4 0,4 4,0 4,0 0),(5 5,6 5,6 6,5 5))",
			reason: "a hole lies outside its outline", at: orb.Point{5, 5}},
		{name: "hole across", wkt: "POLYGON((0 0,4 0,4 4,0 4,0 0),(1 1,6 1,6 2,1 1))",
			reason: "a hole crosses its outline", at: orb.Point{4, 1}},
		{name: "hole across at corners", wkt: "POLYGON((0 0,4 0,4 1,4 3,4 4,0 4,0 0),(2 2,4 1,6 2,4 3,2 2))",
			reason: "a hole crosses its outline", at: orb.Point{4, 1}},
		{name: "hole along the outline", wkt: "POLYGON((0 0,4 0,4 4,0 4,0 0),(0 1,0 2,2 2,0 1))",
			reason: "a hole shares a side with another ring", at: orb.Point{0, 1}},
		{name: "hole in hole", wkt: "POLYGON((0 0,9 0,9 9,0 9,0 0),(1 1,8 1,8 8,1 8,1 1),(3 3,4 3,4 4,3 3))",
			reason: "a hole lies in another hole", at: orb.Point{3, 3}},
		{name: "hole cuts in two", wkt: "POLYGON((0 0,4 0,4 4,0 4,0 0),(0 2,2 3,4 2,2 1,0 2))", reason: "holes cut its ground in two"},
		{name: "ring of holes cuts in two",
			wkt:    "POLYGON((0 0,9 0,9 9,0 9,0 0),(2 2,6 2,4 1,2 2),(6 2,4 5,7 5,6 2),(4 5,2 2,1 5,4 5))",
			reason: "holes cut its ground in two"},
		{name: "parts overlap", wkt: "MULTIPOLYGON(((0 0,4 0,4 4,0 4,0 0)),((2 2,6 2,6 6,2 6,2 2)))", reason: "two of its parts overlap"},
		{name: "part in part", wkt: "MULTIPOLYGON(((0 0,4 0,4 4,0 4,0 0)),((1 1,2 1,2 2,1 1)))", reason: "two of its parts overlap"},
		{name: "parts share a side", wkt: "MULTIPOLYGON(((0 0,4 0,4 4,0 4,0 0)),((4 1,6 1,6 3,4 3,4 1)))",
			reason: "two of its parts share a side"},
		{name: "line without length", wkt: "LINESTRING(1 2,1 2)", reason: "its line has no length", at: orb.Point{1, 2}},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := shape(t, c.wkt)
			for _, g := range []orb.Geometry{g, Scale(g, orb.Point{}, -1, 1), Translate(g, 8, -16)} {
				err := Validate(g)
				if c.reason == "" {
					if err != nil {
						t.Errorf("%v: %v", g, err)
					}
					continue
				}
				var bad *InvalidError
				if !errors.As(err, &bad) || bad.Reason != c.reason {
					t.Errorf("%v: got %v, want %q", g, err, c.reason)
				}
			}
			var bad *InvalidError
			if c.at != (orb.Point{}) && errors.As(Validate(g), &bad) && distance(bad.At, c.at) > 1e-9 {
				t.Errorf("at %v, want %v", bad.At, c.at)
			}
			// Another implementation of the same rules. It lets a corner be said twice and an open ring be closed, as we
			// do not.
			if s, err := geom.UnmarshalWKT(c.wkt, geom.NoValidate{}); err == nil && c.name != "open" {
				if valid := s.Validate() == nil; valid != (c.reason == "") {
					t.Errorf("simplefeatures says valid: %v", valid)
				}
			}
		})
	}
	for _, p := range []orb.Point{{math.NaN(), 0}, {0, math.Inf(1)}, {2e9, 0}} {
		for _, g := range []orb.Geometry{p, orb.Polygon{{{0, 0}, p, {1, 1}, {0, 0}}}, orb.Collection{p}, orb.LineString{p, {0, 0}}} {
			if Validate(g) == nil {
				t.Errorf("%v: no error", g)
			}
		}
	}
	for _, g := range []orb.Geometry{nil, orb.Polygon{}, orb.MultiPolygon{}, orb.MultiPolygon{{}}, orb.Polygon{{}}} {
		if Validate(g) == nil {
			t.Errorf("%#v: no error", g)
		}
	}
	if err := Validate(orb.Polygon{{{0, 0}, {4, 4}, {4, 0}, {0, 4}, {0, 0}}}); err.Error() != "its outline crosses itself at 2.00, 2.00 m" {
		t.Error(err)
	}
}

// Outlines of more than 64 sides go through the tree; what it finds must not differ from comparing all sides.
func TestValidateAgainstOther(t *testing.T) {
	rng := rand.New(rand.NewSource(5))
	crossing := 0
	for trial := range 400 {
		n := 3 + rng.Intn(140)
		ring := orb.Ring{}
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + rng.Float64()*3/float64(1+trial%40)) / float64(n))
			d := 5 + 10*rng.Float64()
			ring = append(ring, orb.Point{math.Round(d * cos * 10), math.Round(d * sin * 10)})
		}
		if i, j := rng.Intn(n), rng.Intn(n); trial%2 == 0 {
			ring[i], ring[j] = ring[j], ring[i]
		}
		ring = append(ring, ring[0])
		want := toPolygon(orb.Polygon{ring}).Validate() == nil
		err := Validate(orb.Polygon{ring})
		if (err == nil) != want {
			t.Fatalf("%v: %v, simplefeatures says valid: %v", ring, err, want)
		}
		if err != nil {
			crossing++
		}
	}
	if crossing < 50 || crossing > 350 {
		t.Errorf("%d of 400 are invalid: the test wants some of both", crossing)
	}
}

// A ring of very many corners is checked, and one made to defeat the index is refused, neither taking for ever.
func TestValidateBounded(t *testing.T) {
	const n = 200_000
	ring := make(orb.Ring, 0, n+1)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		d := 1000 + float64(i%2)
		ring = append(ring, orb.Point{d * cos, d * sin})
	}
	ring = append(ring, ring[0])
	if err := Validate(orb.Polygon{ring}); err != nil {
		t.Error(err)
	}
	// Teeth so long, slanting and thin that every side's box meets every other's.
	comb := orb.Ring{}
	for i := range 10_000 {
		x := float64(i)
		comb = append(comb, orb.Point{x, -x}, orb.Point{1e6 + x + .5, 1e6 - x})
	}
	comb = append(comb, orb.Point{2e6, -2e6}, orb.Point{-10, -2e6}, comb[0])
	err := Validate(orb.Polygon{comb})
	if err == nil || !strings.Contains(err.Error(), "too intricate") {
		t.Error(err)
	}
}

func TestContains(t *testing.T) {
	donut := shape(t, "POLYGON((0 0,40 0,40 30,0 30,0 0),(10 10,20 10,20 20,10 20,10 10))")
	for p, want := range map[orb.Point]bool{
		{5, 5}: true, {0, 0}: true, {40, 15}: true, {15, 15}: false, {10, 15}: true, {20, 20}: true, {15, 10}: true,
		{-1, 5}: false, {41, 5}: false, {5, 31}: false, {15, 5}: true, {-5, 10}: false, {5, 10}: true, {25, 20}: true,
	} {
		for _, g := range []orb.Geometry{donut, orb.MultiPolygon{donut.(orb.Polygon)}, orb.Collection{donut}} {
			if got := Contains(g, p); got != want {
				t.Errorf("%T %v: %v", g, p, got)
			}
		}
		if got := PointDistance(p, donut) == 0; got != want {
			t.Errorf("PointDistance %v: %v", p, got)
		}
	}
	// The exact middle of a slanting side, and beside it by the least step.
	slant := orb.Polygon{{{0, 0}, {3, 1}, {0, 5}, {0, 0}}}
	if on := (orb.Point{1.5, 0.5}); !Contains(slant, on) || Contains(slant, orb.Point{1.5, math.Nextafter(0.5, 0)}) {
		t.Error("the side itself is not told from beside it")
	}
	if !Contains(orb.LineString{{0, 0}, {3, 3}}, orb.Point{1, 1}) || Contains(orb.LineString{{0, 0}, {3, 3}}, orb.Point{1, 2}) {
		t.Error("line")
	}
	if !Contains(orb.Point{1, 2}, orb.Point{1, 2}) || Contains(orb.Point{1, 2}, orb.Point{2, 2}) {
		t.Error("point")
	}
}
