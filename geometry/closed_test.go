package geometry

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkt"
)

// testdata/geometry.csv holds closed forms with their sources; each operation there has its function here.
func TestClosedForms(t *testing.T) {
	f, err := os.Open("testdata/geometry.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		id, input, operation, parameter, expected, tolerance := row[0], row[1], row[2], row[3], row[4], row[5]
		t.Run(id, func(t *testing.T) {
			if strings.HasPrefix(id, "trilateration") {
				checkTrilateration(t, input, expected)
				return
			}
			got := closedForm(t, id, input, operation, parameter)
			var want []float64
			for _, w := range strings.Fields(expected) {
				want = append(want, number(t, w))
			}
			for i := range want {
				slack := 1e-9
				if share, percent := strings.CutSuffix(strings.Fields(tolerance)[0], "%"); percent || strings.Contains(tolerance, "%") {
					slack = number(t, share) / 100 * want[i]
				} else {
					slack = number(t, tolerance)
				}
				if i >= len(got) || !(math.Abs(got[i]-want[i]) <= slack) {
					t.Errorf("%s of %s: got %v, want %v within %v (%s)", operation, input, got, want, slack, row[7])
				}
			}
		})
	}
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func shape(t *testing.T, text string) orb.Geometry {
	t.Helper()
	g, err := wkt.Unmarshal(text)
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return g
}

// A hedge 40 m by 1 m and 2.5 m high, whose shadow the table sweeps; "same hedge" there.
const hedgeWKT = "POLYGON((0 0,40 0,40 1,0 1,0 0))"

func closedForm(t *testing.T, id, input, operation, parameter string) []float64 {
	t.Helper()
	switch operation {
	case "area":
		return []float64{Area(shape(t, input))}
	case "perimeter":
		return []float64{Perimeter(shape(t, input))}
	case "centroid":
		c := Centroid(shape(t, input))
		return c[:]
	case "buffer area", "buffer area, round joins":
		g, r := shape(t, input), number(t, parameter)
		b, err := Buffer(g, r)
		if err != nil {
			t.Fatal(err)
		}
		if r > 0 { // the same ground by the exact engine, on a sheet that holds it all
			sheet := orb.Bound{Min: orb.Point{-50, -50}, Max: orb.Point{90, 80}}
			s := NewSites([]orb.Geometry{g})
			exact := s.AreaWithin(sheet.ToPolygon(), r)
			offset, err := s.Offset(r, 0)
			if err != nil {
				t.Fatal(err)
			}
			for name, area := range map[string]float64{"Buffer": Area(b), "Offset": Area(offset)} {
				if !(math.Abs(area-exact) <= 0.0006*exact) {
					t.Errorf("%s has %v m², AreaWithin %v", name, area, exact)
				}
			}
			return []float64{exact}
		}
		return []float64{Area(b)}
	case "flat-cap buffer area", "flat-cap mitre buffer area":
		strip, err := Strip(shape(t, input).(orb.LineString), 2*number(t, parameter))
		if err != nil {
			t.Fatal(err)
		}
		return []float64{Area(strip)}
	case "flat-cap round-join buffer area":
		// The straight parts and the disc about the bend.
		line, half := shape(t, input).(orb.LineString), number(t, parameter)
		parts := []orb.Geometry{}
		for i := 1; i < len(line); i++ {
			part, err := Strip(line[i-1:i+1], 2*half)
			if err != nil {
				t.Fatal(err)
			}
			parts = append(parts, part)
		}
		all, err := Union(append(parts, Disc(line[1], half))...)
		if err != nil {
			t.Fatal(err)
		}
		return []float64{Area(all)}
	case "distance":
		a, b, _ := strings.Cut(input, " to ")
		d, onA, onB := Closest(shape(t, a), shape(t, b))
		if back, _, _ := Closest(shape(t, b), shape(t, a)); back != d {
			t.Errorf("there %v, back %v", d, back)
		}
		if distance(onA, onB) != d {
			t.Errorf("from %v to %v is not %v", onA, onB, d)
		}
		return []float64{d}
	case "intersection area": // discs: of many corners, and of one centre and a range
		var r, apart float64
		if _, err := fmt.Sscanf(input, "discs radius %f, centres %f apart", &r, &apart); err != nil {
			t.Fatal(err)
		}
		const n = 20_000
		disc := orb.Ring{}
		for i := range n + 1 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i%n) / n)
			disc = append(disc, orb.Point{r * cos, r * sin})
		}
		return []float64{NewSites([]orb.Geometry{orb.Point{apart, 0}}).AreaWithin(orb.Polygon{disc}, r)}
	case "area of hedge base and shadow", "shaded share of bed":
		var elevation, azimuth float64
		if _, err := fmt.Sscanf(parameter, "sun elevation %f, azimuth %f", &elevation, &azimuth); err != nil {
			t.Fatal(err)
		}
		hedge := shape(t, hedgeWKT)
		long := 2.5 / math.Tan(elevation*math.Pi/180)
		sin, cos := math.Sincos(azimuth * math.Pi / 180)
		shadow := Hull(hedge, Translate(hedge, -long*sin, -long*cos))
		if operation == "area of hedge base and shadow" {
			return []float64{Area(shadow)}
		}
		_, rest, _ := strings.Cut(input, "; bed ")
		bed := shape(t, rest[:strings.Index(rest, "))")+2])
		shaded, err := Intersection(bed, shadow)
		if err != nil {
			t.Fatal(err)
		}
		return []float64{Area(shaded) / Area(bed)}
	}
	t.Fatalf("%s: no test for %q", id, operation)
	return nil
}

func checkTrilateration(t *testing.T, input, expected string) {
	t.Helper()
	var a, b orb.Point
	var ra, rb float64
	if _, err := fmt.Sscanf(input, "stakes %f %f and %f %f, tapes %f and %f", &a[0], &a[1], &b[0], &b[1], &ra, &rb); err != nil {
		t.Fatal(err)
	}
	left, right, err := Trilaterate(a, b, ra, rb)
	if expected == "no solution" {
		if err == nil {
			t.Fatalf("got %v and %v, want an error", left, right)
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	var want orb.Point
	if _, err := fmt.Sscanf(expected, "%f %f", &want[0], &want[1]); err != nil {
		t.Fatal(err)
	}
	if distance(left, want) > 1e-5 || distance(right, orb.Point{want[0], -want[1]}) > 1e-5 {
		t.Errorf("got %v and %v, want %v and its mirror", left, right, want)
	}
}

// Steiner's formula for the ground within r of a convex shape: A + P r + π r² (J. Steiner 1840). Here for shapes measured
// whole, and far from the origin too.
func TestSteiner(t *testing.T) {
	for _, at := range []orb.Point{{0, 0}, {-7, 3}, {5e5, 5e6}} {
		for degrees := 0.0; degrees < 180; degrees += 17 {
			for _, g := range []orb.Geometry{
				orb.Point{2, 1},
				orb.LineString{{0, 0}, {7, 2}},
				shape(t, "POLYGON((0 0,20 0,20 10,0 10,0 0))"),
				shape(t, "POLYGON((0 0,9 1,4 8,0 0))"),
				Disc(orb.Point{3, 3}, 4),
			} {
				length := Perimeter(g)
				if _, isLine := g.(orb.LineString); isLine {
					length *= 2 // there and back
				}
				const r = 6.5
				want := Area(g) + length*r + math.Pi*r*r
				moved := Translate(Rotate(g, orb.Point{}, degrees), at[0], at[1])
				sheet := Translate(Rotate(shape(t, "POLYGON((-40 -40,60 -40,60 50,-40 50,-40 -40))"), orb.Point{}, degrees/3), at[0], at[1])
				got := NewSites([]orb.Geometry{moved}).AreaWithin(sheet, r)
				if slack := 1e-9*want + math.Abs(at[1])*1e-12; !(math.Abs(got-want) <= slack) {
					t.Errorf("%T turned by %v at %v: %v, want %v", g, degrees, at, got, want)
				}
			}
		}
	}
}

// Closed forms of the deepest point: where its distance is known by symmetry.
func TestFarthestInside(t *testing.T) {
	hedges := func(texts ...string) *Sites {
		var all []orb.Geometry
		for _, text := range texts {
			all = append(all, shape(t, text))
		}
		return NewSites(all)
	}
	square := "POLYGON((-5 -5,5 -5,5 5,-5 5,-5 -5))"
	for _, c := range []struct {
		name  string
		sites *Sites
		bed   string
		want  float64
	}{
		// Between two parallel hedges the deepest ground is the line half-way: half the gap.
		{"parallel hedges", hedges("POLYGON((-50 -12,50 -12,50 -10,-50 -10,-50 -12))", "POLYGON((-50 10,50 10,50 12,-50 12,-50 10))"),
			square, 10},
		{"parallel hedges, each in two", hedges("POLYGON((-50 -12,1 -12,1 -10,-50 -10,-50 -12))",
			"POLYGON((1 -12,50 -12,50 -10,1 -10,1 -12))", "POLYGON((-50 10,-2 10,-2 12,-50 12,-50 10))",
			"POLYGON((-2 10,50 10,50 12,-2 12,-2 10))"), square, 10},
		// In a hedge all round, the centre is half the width away.
		{"hedged all round", hedges("POLYGON((-9 -9,9 -9,9 9,-9 9,-9 -9),(-8 -8,8 -8,8 8,-8 8,-8 -8))"), square, 8},
		// Of three points of an equilateral triangle of side a the centre is a/√3 away, and no ground within is farther.
		{"three points", NewSites([]orb.Geometry{orb.Point{0, 4}, orb.Point{-2 * math.Sqrt(3), -2}, orb.Point{2 * math.Sqrt(3), -2}}),
			"POLYGON((0 3,-2 -1.5,2 -1.5,0 3))", 4},
		// One hedge: a corner, by Pythagoras.
		{"one point", NewSites([]orb.Geometry{orb.Point{-8, -9}}), square, math.Hypot(13, 14)},
		{"all inside", hedges("POLYGON((-9 -9,9 -9,9 9,-9 9,-9 -9))"), square, 0},
		// A pond in the middle of the only refuge: its centre is the radius of the inscribed circle away.
		{"hole", hedges("POLYGON((-9 -9,9 -9,9 9,-9 9,-9 -9),(-3 -1,3 -1,3 1,-3 1,-3 -1))"), square, 1},
	} {
		for degrees := 0.0; degrees < 90; degrees += 29 {
			var turned []orb.Geometry
			for _, p := range c.sites.outlines() {
				turned = append(turned, Rotate(p, orb.Point{}, degrees))
			}
			got := NewSites(turned).Farthest(Rotate(shape(t, c.bed), orb.Point{}, degrees))
			if !(math.Abs(got.Metres-c.want) <= 2e-6) {
				t.Errorf("%s, turned by %v: %v, want %v", c.name, degrees, got.Metres, c.want)
			}
			if d := distance(got.From, got.To); math.Abs(d-got.Metres) > 1e-9 {
				t.Errorf("%s: from %v to %v is %v", c.name, got.From, got.To, d)
			}
		}
	}
}

// outlines gives back the pieces as polygons or points.
func (s *Sites) outlines() []orb.Geometry {
	var all []orb.Geometry
	for i := range s.pieces {
		p := &s.pieces[i]
		var ring orb.Ring
		for k := range p.edges {
			ring = append(ring, s.home(p.corner(k, 0)))
		}
		if len(ring) == 1 {
			all = append(all, ring[0])
		} else {
			all = append(all, orb.Polygon{append(ring, ring[0])})
		}
	}
	return all
}

// Mean distances with a closed form.
func TestMeanDistance(t *testing.T) {
	for _, c := range []struct {
		name string
		site orb.Geometry
		bed  string
		want float64
	}{
		// From a line beside it a strip's mean distance is that of its middle.
		{"beside a hedge", shape(t, "POLYGON((-50 -3,50 -3,50 -2,-50 -2,-50 -3))"), "POLYGON((0 0,20 0,20 4,0 4,0 0))", 4},
		// Half in: over the half outside the mean is 1, so 0.5.
		{"half in", shape(t, "POLYGON((-50 -3,50 -3,50 2,-50 2,-50 -3))"), "POLYGON((0 0,20 0,20 4,0 4,0 0))", 0.5},
		// From the centre of a square of side a: a(√2 + ln(1 + √2))/6 (the "square point picking" constant).
		{"from a square's centre", orb.Point{0, 0}, "POLYGON((-3 -3,3 -3,3 3,-3 3,-3 -3))", math.Sqrt2 + math.Log(1+math.Sqrt2)},
		{"from there but for a trace", orb.Point{0, 3.5e-307}, "POLYGON((-3 -3,3 -3,3 3,-3 3,-3 -3))", math.Sqrt2 + math.Log(1+math.Sqrt2)},
		{"along a line", orb.Point{0, 0}, "LINESTRING(2 0,6 0)", 4},
		{"of points", orb.Point{0, 0}, "MULTIPOINT((3 4),(0 1))", 3},
	} {
		got := NewSites([]orb.Geometry{c.site}).MeanDistance(shape(t, c.bed))
		if !(math.Abs(got-c.want) <= 1e-3*c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}
