package ground

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/habitat/plan"
)

// Round lengths are 1, 2, 5 times a power of ten, in metres and in feet; below a foot, the inches of a rule. Common practice.
func TestRoundSteps(t *testing.T) {
	for _, c := range []struct {
		least float64
		u     plan.Units
		want  float64
	}{
		{0.03, plan.Metric, 0.05}, {0.1, plan.Metric, 0.1}, {0.11, plan.Metric, 0.2}, {3, plan.Metric, 5}, {5, plan.Metric, 5},
		{5.1, plan.Metric, 10}, {170, plan.Metric, 200}, {0.02, plan.US, 0.0254}, {0.1, plan.US, 0.1524}, {0.2, plan.US, 0.3048},
		{1, plan.US, 5 * 0.3048}, {3.2, plan.US, 20 * 0.3048}, {40, plan.US, 200 * 0.3048},
	} {
		if got, _ := Step(c.least, c.u); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("Step(%g, %s) = %g, want %g", c.least, c.u, got, c.want)
		}
	}
	for _, bad := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if got, _ := Step(bad, plan.Metric); !(got > 0) {
			t.Errorf("Step(%g) = %g", bad, got)
		}
	}
}

// The bar's outline is as long as its last figure says, by the scale.
func TestScaleBarIsTrue(t *testing.T) {
	for _, c := range []struct {
		scale float64
		u     plan.Units
		words string
		units float64
	}{
		{10, plan.Metric, "10 m", 100},          // 1:100 in mm: 10 m is 100 mm
		{10, plan.US, "20 ft", 20 * 3.048},      // 20 ft is 60.96 mm; 50 ft would be 152.4
		{800, plan.US, "6 in", 0.1524 * 800},    // zoomed far in
		{0.1, plan.Metric, "1 km", 100},         // and far out
		{1000, plan.Metric, "0.1 m", 0.1 * 1e3}, //
	} {
		ops := ScaleBarWithin(orb.Point{20, 50}, View{Scale: c.scale}, c.u, screen, 148)
		long, found := 0.0, false
		walk(ops, func(op drawing.Op) {
			switch op := op.(type) {
			case drawing.Stroke:
				long = op.Path[0].Points[1][0] - op.Path[0].Points[0][0]
			case drawing.Text:
				found = found || op.Words == c.words
			}
		})
		if math.Abs(long-c.units) > 1e-9 || !found {
			t.Errorf("at %g the bar is %g units, want %g, and says %s: %t", c.scale, long, c.units, c.words, found)
		}
	}
	if ScaleBar(orb.Point{}, View{}, plan.Metric, screen) != nil {
		t.Error("a bar with no scale")
	}
}

func TestGridLinesAreRound(t *testing.T) {
	v := View{Centre: orb.Point{3.3, 1.1}, Middle: orb.Point{200, 150}, Scale: 20, Turn: 0.4}
	n := 0
	walk(GridOps(v, 400, 300, plan.Metric, screen), func(op drawing.Op) {
		s, ok := op.(drawing.Stroke)
		if !ok {
			return
		}
		for _, c := range s.Path {
			n++
			// Level as seen, and round from the plan's origin: compare in metres turned about it.
			level := View{Middle: v.To(orb.Point{}), Scale: v.Scale}
			a, b := level.From(c.Points[0]), level.From(c.Points[1])
			gap := GridStep(20, plan.Metric, screen)
			on := func(x float64) bool { return math.Abs(x-math.Round(x/gap)*gap) < 1e-9 }
			if !(math.Abs(a[0]-b[0]) < 1e-9 && on(a[0])) && !(math.Abs(a[1]-b[1]) < 1e-9 && on(a[1])) {
				t.Errorf("a grid line from %v to %v", a, b)
			}
		}
	})
	if n == 0 {
		t.Error("no grid")
	}
	if GridOps(View{Scale: math.NaN()}, 400, 300, plan.Metric, screen) != nil {
		t.Error("a grid with no scale")
	}
}

// North is shown where it is: the needle's point, for north given clockwise from the plan's y axis and a turned view.
func TestNorth(t *testing.T) {
	for _, c := range []struct {
		northDeg, turn float64
		want           orb.Point // direction as seen, y down
	}{{0, 0, orb.Point{0, -1}}, {90, 0, orb.Point{1, 0}}, {0, math.Pi / 2, orb.Point{-1, 0}}, {90, math.Pi / 2, orb.Point{0, -1}}} {
		v := View{Scale: 1, Turn: c.turn}
		// The same by way of the view: a point due north of the centre.
		s, co := math.Sincos(c.northDeg * math.Pi / 180)
		if seen := v.To(orb.Point{s, co}); dist(seen, c.want) > 1e-9 {
			t.Fatalf("the test is wrong: %v", seen)
		}
		ops := NorthArrow(orb.Point{}, v.North(c.northDeg), screen)
		var letter orb.Point
		walk(ops, func(op drawing.Op) {
			if text, ok := op.(drawing.Text); ok && text.Words == "N" {
				letter = orb.Point{text.At[0], text.At[1] - text.Size*0.357}
			}
		})
		if d := unit(letter); dist(d, c.want) > 1e-9 {
			t.Errorf("north %g°, view turned %g: the letter lies towards %v, want %v", c.northDeg, c.turn, d, c.want)
		}
	}
}

func TestFindingLine(t *testing.T) {
	v := View{Scale: 10}
	if FindingOps(nil, v, screen) != nil || FindingOps([]orb.Point{{0, 0}, {math.NaN(), 1}}, v, screen) != nil {
		t.Error("a line of nothing")
	}
	if FindingOps([]orb.Point{{0, 0}, {3, 4}}, v, screen) == nil {
		t.Error("no line")
	}
}

func TestSelection(t *testing.T) {
	fs := []*plan.Feature{feature(plan.Bed, "", rect(0, 0, 2, 1, 0)), feature(plan.Trap, "", orb.Point{1, 1})}
	ops := SelectionOps(fs, View{Scale: 10}, screen, orb.Bound{Max: orb.Point{100, 100}})
	n := 0
	walk(ops, func(op drawing.Op) {
		if s, ok := op.(drawing.Stroke); ok && s.Pen.Color == screen.Accent {
			n = len(s.Path)
		}
	})
	if n != 2 {
		t.Errorf("%d of 2 features are marked", n)
	}
	if SelectionOps(nil, View{Scale: 10}, screen, orb.Bound{}) != nil {
		t.Error("marks for nothing")
	}
}

// A swatch stays in its box, give or take the pen and a hedge's bows.
func TestSwatches(t *testing.T) {
	b := orb.Bound{Min: orb.Point{10, 20}, Max: orb.Point{54, 42}}
	for _, k := range plan.Kinds {
		n := 0
		points(Swatch(k, b, screen), func(p orb.Point) {
			n++
			if !b.Pad(4).Contains(p) {
				t.Errorf("%s: %v outside", k, p)
			}
		})
		if n == 0 {
			t.Errorf("%s has no swatch", k)
		}
	}
}

func TestNumbers(t *testing.T) {
	of := func(names ...string) string {
		p := &plan.Plan{}
		for _, n := range names {
			p.Features = append(p.Features, &plan.Feature{ID: n + "!", Kind: plan.Bed, Name: n})
		}
		got := Numbers(p)
		var out []string
		for _, n := range names {
			out = append(out, got[n+"!"])
		}
		return strings.Join(out, " ")
	}
	for _, c := range [][2]string{
		{of("Bed 3", "Bed 4", "B7"), "3 4 B7"},
		{of("Plot 1", "Row 1"), "1 2"},                           // two 1s: by place
		{of("Beans", "Bed 1"), "1 2"},                            // one without a number
		{of("Bed 12345", "Bed 2"), "1 2"},                        // too long to be short
		{of("Bett 7", "Beet 8ä"), "7 8ä"},                        // letters of any alphabet
		{of("", "Bed 2"), strings.Join([]string{"1", "2"}, " ")}, // no name
	} {
		if c[0] != c[1] {
			t.Errorf("got %q, want %q", c[0], c[1])
		}
	}
}
