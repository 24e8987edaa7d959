package endtoend

import (
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/habitat/plan"
)

// TestSurveyedSketch lays out a garden from a sketch with dimensions in the real window, every size typed: two stakes, six beds in a
// row by offsets from the line between them, a bed along the east side, which is then turned, a wheel, a hedge along the
// north side. The saved plan has every corner where the sketch's figures put it, to the millimetre.
func TestSurveyedSketch(t *testing.T) {
	r, file := start(t)
	defer func() { r.w.Close() }()
	typed := func(text string) { r.do(r.w.Type(text)); r.do(r.w.Key("Return")) }

	// Two stakes on the south corners, to which the pointer is drawn.
	r.do(r.w.Key("m"))
	r.click(0, 0)
	r.click(120, 0)
	r.do(r.w.Key("v"))

	// A bed by offsets from the line between them, and a row of six like it.
	r.do(r.w.Key("ctrl+shift+i"))
	r.w.Wait(300 * time.Millisecond)
	for _, line := range []string{"3; 2", "13; 2", "13; 3.2"} {
		typed(line)
	}
	r.do(r.w.Type("3; 3.2"))
	r.do(r.w.Key("shift+Return"))
	r.do(r.w.Key("ctrl+b"))
	r.w.Wait(300 * time.Millisecond)
	r.do(r.w.Type("6"))
	r.do(r.w.Key("Tab", "Tab", "ctrl+a"))
	typed("0.5 m")

	// A bed corner by corner: up the east side by 20 m, west by 8.25 m, back by 20 m.
	r.do(r.w.Key("o"))
	r.click(120, 0)
	r.point(119.7, 12)
	typed("20 m")
	r.point(112, 20.2)
	typed("8.25")
	r.point(111.8, 12)
	typed("20")
	r.do(r.w.Key("Return", "v"))
	// It is chosen: turn it by a right angle about its middle.
	r.do(r.w.Key("ctrl+t"))
	r.w.Wait(300 * time.Millisecond)
	r.do(r.w.Key("ctrl+a"))
	typed("90")

	r.do(r.w.Key("c"))
	r.click(0, 0)
	typed("150 cm")

	// A hedge of 2 m along the north side, 60 m long.
	r.kind("Hedgerow")
	r.do(r.w.Key("s"))
	typed("2 m")
	r.click(0, 80)
	r.point(20, 79.8)
	typed("60")
	r.do(r.w.Key("Return", "Escape"))
	r.do(r.w.Key("ctrl+s"))
	r.waitTitle("Trial ground", false)

	p := read(t, file)
	want := map[string][]orb.Point{
		"Stake 1": {{0, 0}}, "Stake 2": {{120, 0}},
		// Its middle is 115.875, 10; turned, 20 m lie along x and 8.25 m along y.
		"Bed 7":      {{105.875, 5.875}, {125.875, 5.875}, {125.875, 14.125}, {105.875, 14.125}},
		"Hedgerow 1": {{0, 79}, {60, 79}, {60, 81}, {0, 81}},
	}
	for i := range 6 { // 1.2 m and 0.5 m: every 1.7 m
		y := 2 + 1.7*float64(i)
		want[[]string{"Bed 1", "Bed 2", "Bed 3", "Bed 4", "Bed 5", "Bed 6"}[i]] = []orb.Point{{3, y}, {13, y}, {13, y + 1.2}, {3, y + 1.2}}
	}
	for name, corners := range want {
		f := named(p, name)
		if f == nil {
			r.keep("sketch.png")
			t.Fatalf("there is no %s among %d features", name, len(p.Features))
		}
		if !sameCorners(f, corners) {
			t.Errorf("%s has %v, want the corners %v", name, f.Geometry, corners)
		}
	}
	if w := named(p, "Bed 8"); w == nil || w.Centre == nil || *w.Centre != (orb.Point{0, 0}) || w.RadiusM != 1.5 {
		t.Errorf("the wheel is %+v", w)
	}
	if h := named(p, "Hedgerow 1"); h.WidthM != 2 || len(h.Line) != 2 {
		t.Errorf("the hedge is %v m wide along %v", h.WidthM, h.Line)
	}
	if len(p.Features) != 12 {
		t.Errorf("%d features, want the boundary and 11", len(p.Features))
	}
	if out := r.w.Output(); len(out) > 0 {
		t.Logf("the program printed:\n%s", out)
	}
}

func named(p *plan.Plan, name string) *plan.Feature {
	for _, f := range p.Features {
		if f.Name == name {
			return f
		}
	}
	return nil
}

// sameCorners tells whether a feature has these corners and no others, in any order, to the millimetre.
func sameCorners(f *plan.Feature, want []orb.Point) bool {
	var got []orb.Point
	switch g := f.Geometry.(type) {
	case orb.Point:
		got = []orb.Point{g}
	case orb.Polygon:
		if len(g) != 1 {
			return false
		}
		got = g[0][:len(g[0])-1]
	}
	if len(got) != len(want) {
		return false
	}
	for _, w := range want {
		near := false
		for _, c := range got {
			near = near || math.Hypot(c[0]-w[0], c[1]-w[1]) <= 0.001
		}
		if !near {
			return false
		}
	}
	return true
}
