package sheet

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"hedgereach/habitat/plan"
)

// A wide, flat site has its panel along the foot, where that gives the larger scale; a site as high as wide has it beside.
func TestPanelStandsWhereTheMapGrows(t *testing.T) {
	for _, c := range []struct {
		w, h        float64
		paper       int
		denominator int
	}{
		// By hand, A4 on its side: 297 − 18 − 9.2 − 8 = 261.8 mm across; 210 − 21.5 − 45 − 9.2 − 8 = 126.3 mm down.
		{130, 60, 0, 500},
		{130, 63.1, 0, 500},
		{130, 63.2, 0, 750},
		// A3: 420 − 18 − 9.2 − 8 = 384.8 mm across; 297 − 21.5 − 45 − 9.2 − 8 = 213.3 mm down.
		{192, 106, 1, 500},
		{193, 106, 1, 750},
	} {
		p := plan.New("Long")
		p.Features = []*plan.Feature{{ID: "g", Kind: plan.Boundary, Geometry: box(0, 0, c.w, c.h)}}
		s := set(t, p, Options{Paper: Papers[c.paper], Orientation: Landscape})
		if s.Denominator != c.denominator {
			t.Errorf("%g × %g m on %s: 1:%d, want 1:%d", c.w, c.h, Papers[c.paper].Name, s.Denominator, c.denominator)
		}
	}
	if s := set(t, sampleGarden(t), Options{Paper: Papers[1]}); s.Denominator != 500 {
		t.Errorf("the sample garden on A3 is drawn at 1:%d", s.Denominator)
	}
}

// About eight to twelve squares across, so that "bed 7 is in C4" helps; round lengths allow half as many again.
func TestSquaresAreFine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom([]plan.Units{plan.Metric, plan.US}).Draw(t, "units")
		paper := rapid.SampledFrom(Papers).Draw(t, "paper")
		frames := divide(paper, paper.H, paper.W, 1, func(float64) float64 { return 40 })
		f := rapid.SampledFrom(frames).Draw(t, "frame")
		d := rapid.SampledFrom(Scales(u)).Draw(t, "scale")
		g := newGrid(orb.Bound{Max: orb.Point{1, 1}}, f.window, d, u)
		long := max(f.window.Max[0]-f.window.Min[0], f.window.Max[1]-f.window.Min[1])
		if n := long * float64(d) / 1000 / g.gap; n < 6 || n > 16 {
			t.Fatalf("%.1f squares across %s at 1:%d", n, paper.Name, d)
		}
		if mm := g.gap * 1000 / float64(d); mm < 9*(1-1e-9) {
			t.Fatalf("squares of %.1f mm", mm)
		}
		if m, _ := math.Modf(g.gap); u == plan.Metric && g.gap >= 1 && m != g.gap {
			t.Fatalf("squares of %g m", g.gap)
		}
	})
}

// Every frame leaves its parts inside the paper, apart from each other.
func TestFramesHoldTogether(t *testing.T) {
	for _, p := range Papers {
		for _, lie := range [][2]float64{{p.W, p.H}, {p.H, p.W}} {
			for i, f := range divide(p, lie[0], lie[1], 1, func(float64) float64 { return 40 }) {
				if f.panel.Intersects(f.window) || !inside(f.border, f.panel) || !inside(f.border, f.ring) || !inside(f.ring, f.window) {
					t.Errorf("%s %v, frame %d: %+v", p.Name, lie, i, f)
				}
			}
		}
	}
}

func inside(b, in orb.Bound) bool { return b.Contains(in.Min) && b.Contains(in.Max) }
