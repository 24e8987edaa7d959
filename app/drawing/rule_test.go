package drawing

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

var everywhere = orb.Bound{Min: orb.Point{-1000, -1000}, Max: orb.Point{1000, 1000}}

// ragged is a star-shaped polygon with a hole.
func ragged(rnd *rand.Rand) orb.Polygon {
	ring := func(least, most float64) orb.Ring {
		var r orb.Ring
		n := 5 + rnd.IntN(30)
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			d := least + (most-least)*rnd.Float64()
			r = append(r, orb.Point{50 + d*cos, 50 + d*sin})
		}
		return append(r, r[0])
	}
	return orb.Polygon{ring(25, 50), ring(5, 15)}
}

func length(lines []Segment) (sum float64) {
	for _, s := range lines {
		sum += math.Hypot(s[1][0]-s[0][0], s[1][1]-s[0][1])
	}
	return sum
}

// Rulings stay in the shape and out of its hole, and cover it: their length times their gap is its area. Whether a point is
// inside is asked of another library, and so is the area.
func TestRuleStaysInside(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		p := ragged(rnd)
		pattern := Pattern{Angle: rnd.Float64() * 360, Gap: 0.5, Origin: orb.Point{rnd.Float64(), rnd.Float64()}}
		lines := Rule(Polygon(p), pattern, everywhere)
		for _, s := range lines {
			for _, k := range []float64{0.001, 0.3, 0.5, 0.9, 0.999} {
				q := orb.Point{s[0][0] + k*(s[1][0]-s[0][0]), s[0][1] + k*(s[1][1]-s[0][1])}
				if !planar.PolygonContains(p, q) {
					t.Fatalf("angle %g: %v lies outside", pattern.Angle, q)
				}
			}
		}
		if area, got := planar.Area(p), length(lines)*pattern.Gap; math.Abs(got-area) > 0.01*area {
			t.Errorf("angle %g: rulings cover %.1f, area %.1f", pattern.Angle, got, area)
		}
	}
}

// A wide line ends before a slanting edge, so that its corners stay inside.
func TestRuleWideLinesStopShort(t *testing.T) {
	lines := Rule(Path{{Points: []orb.Point{{0, 0}, {10, 0}, {20, 10}, {10, 10}}, Closed: true}}, // sides slant by 45°
		Pattern{Gap: 3, Pen: Pen{Width: 1}}, everywhere)
	for _, s := range lines {
		y := s[0][1]
		if math.Abs(s[0][0]-(y+0.5)) > 1e-9 || math.Abs(s[1][0]-(10+y-0.5)) > 1e-9 {
			if y != 0 { // along the foot the edge is the ruling itself
				t.Errorf("at y %g from %g to %g, want %g to %g", y, s[0][0], s[1][0], y+0.5, 10+y-0.5)
			}
		}
	}
	if len(lines) != 4 {
		t.Errorf("%d rulings, want those at 0, 3, 6 and 9", len(lines))
	}
}

// Angles count counter-clockwise as seen, and y goes down: 30° climbs to the right.
func TestRuleAngle(t *testing.T) {
	for _, angle := range []float64{0, 30, 90, 135} {
		sin, cos := math.Sincos(angle * math.Pi / 180)
		for _, s := range Rule(Rect(0, 0, 40, 40), Pattern{Angle: angle, Gap: 7.3, Origin: orb.Point{1, 2}}, everywhere) {
			dx, dy := s[1][0]-s[0][0], s[1][1]-s[0][1]
			if math.Abs(dx*-sin-dy*cos) > 1e-9 {
				t.Errorf("angle %g: line goes by %g, %g", angle, dx, dy)
			}
			// Every ruling is a whole number of gaps from the origin.
			off := ((s[0][0]-1)*sin + (s[0][1]-2)*cos) / 7.3
			if math.Abs(off-math.Round(off)) > 1e-9 {
				t.Errorf("angle %g: a ruling lies %g gaps from the origin", angle, off)
			}
		}
	}
}

// Two halves of a shape are ruled as the whole is, dashes too.
func TestRuleNeighboursMatch(t *testing.T) {
	for _, p := range []Pattern{
		{Angle: 45, Gap: 2}, {Angle: 45, Gap: 2, Pen: Pen{Dash: []float64{3, 1}}}, {Angle: 10, Gap: 2,
			Pen: Pen{Dash: []float64{2, 1, 1}}},
		{Angle: 20, Gap: 3, Cross: true},
	} {
		whole := length(Rule(Rect(0, 0, 60, 30), p, everywhere))
		halves := length(Rule(Rect(0, 0, 31, 30), p, everywhere)) + length(Rule(Rect(31, 0, 60, 30), p, everywhere))
		if math.Abs(whole-halves) > 1e-6 {
			t.Errorf("%+v: whole %g, halves %g", p, whole, halves)
		}
	}
}

func TestRuleDashes(t *testing.T) {
	full := length(Rule(Rect(0, 0, 300, 100), Pattern{Gap: 1}, everywhere))
	for _, c := range []struct {
		dash []float64
		part float64 // of the line that is drawn
	}{{[]float64{2, 1}, 2.0 / 3}, {[]float64{1}, 0.5}, {[]float64{3, 1, 1}, 0.5}, {[]float64{0, 1}, 0}, {[]float64{-1, 2}, 1}} {
		got := length(Rule(Rect(0, 0, 300, 100), Pattern{Gap: 1, Pen: Pen{Dash: c.dash}}, everywhere))
		if math.Abs(got/full-c.part) > 0.005 {
			t.Errorf("dash %v draws %.3f, want %.3f", c.dash, got/full, c.part)
		}
	}
}

// Dots stand in equal triangles: each inner one has six neighbours a gap away, none nearer.
func TestRuleDots(t *testing.T) {
	dots := Rule(Rect(0, 0, 50, 50), Pattern{Angle: 15, Gap: 4, Dots: true}, everywhere)
	for _, a := range dots {
		if a[0] != a[1] {
			t.Fatalf("a dot has length: %v", a)
		}
		near := 0
		for _, b := range dots {
			switch d := math.Hypot(a[0][0]-b[0][0], a[0][1]-b[0][1]); {
			case d > 1e-9 && d < 4-1e-9:
				t.Fatalf("dots %g apart", d)
			case math.Abs(d-4) < 1e-9:
				near++
			}
		}
		if x, y := a[0][0], a[0][1]; x > 5 && x < 45 && y > 5 && y < 45 && near != 6 {
			t.Errorf("dot at %v has %d neighbours", a[0], near)
		}
	}
	for _, d := range Rule(Rect(0, 0, 50, 50), Pattern{Gap: 2.5, Dots: true, Pen: Pen{Width: 2}}, everywhere) {
		if x := d[0][0]; x < 1 || x > 49 {
			t.Errorf("a dot of radius 1 at x %g hangs over the edge", x)
		}
	}
	// A grid of equal triangles has a point to each √3/2 × gap² (plane geometry).
	if want := 2500 / (16 * math.Sqrt(3) / 2); math.Abs(float64(len(dots))-want) > 0.1*want {
		t.Errorf("%d dots, want about %.0f", len(dots), want)
	}
}

// Only what can be seen is ruled, however large the shape.
func TestRuleWithin(t *testing.T) {
	view := orb.Bound{Min: orb.Point{10, 20}, Max: orb.Point{30, 40}}
	for _, dots := range []bool{false, true} {
		lines := Rule(Rect(-1e8, -1e8, 1e8, 1e8), Pattern{Angle: 30, Gap: 1, Dots: dots}, view)
		if len(lines) == 0 || len(lines) > 1500 {
			t.Errorf("dots %v: %d pieces", dots, len(lines))
		}
		if got := length(lines); !dots && got < 400 { // the view's area by the gap
			t.Errorf("rulings are %g long in all", got)
		}
	}
}

func TestRuleNothing(t *testing.T) {
	nan := math.NaN()
	square := Rect(0, 0, 10, 10)
	for name, got := range map[string][]Segment{
		"no gap":        Rule(square, Pattern{}, everywhere),
		"gap below 0":   Rule(square, Pattern{Gap: -1}, everywhere),
		"gap NaN":       Rule(square, Pattern{Gap: nan}, everywhere),
		"gap endless":   Rule(square, Pattern{Gap: math.Inf(1)}, everywhere),
		"gap too small": Rule(square, Pattern{Gap: 1e-9}, everywhere),
		"no path":       Rule(nil, Pattern{Gap: 1}, everywhere),
		"empty contour": Rule(Path{{}}, Pattern{Gap: 1}, everywhere),
		"a point":       Rule(Path{{Points: []orb.Point{{1, 1}}}}, Pattern{Gap: 1}, everywhere),
		"NaN place":     Rule(Path{{Points: []orb.Point{{nan, nan}, {nan, 1}, {1, nan}}}}, Pattern{Gap: 1}, everywhere),
		"elsewhere":     Rule(square, Pattern{Gap: 1}, orb.Bound{Min: orb.Point{20, 20}, Max: orb.Point{30, 30}}),
	} {
		if len(got) != 0 {
			t.Errorf("%s: %d pieces", name, len(got))
		}
	}
}

func BenchmarkRule(b *testing.B) {
	path := Polygon(ragged(rand.New(rand.NewPCG(1, 1))))
	var r Ruler
	b.ReportAllocs()
	for b.Loop() {
		r.Rule(path, Pattern{Angle: 45, Gap: 2, Pen: Pen{Width: 0.2}}, everywhere)
	}
}
