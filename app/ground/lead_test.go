package ground

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"hedgereach/app/style"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// rows is a block of long thin beds with narrow paths, at a scale at which none has room for a number.
func rows(n int) *plan.Plan {
	p := plan.New("")
	for i := range n {
		y := float64(i) * 1.7
		p.Features = append(p.Features, plan.NewFeature(plan.Bed, fmt.Sprint("Row ", i+1), orb.Polygon{orb.Ring{
			{0, y}, {30, y}, {30, y + 1.2}, {0, y + 1.2}, {0, y}}}))
	}
	return p
}

func TestEveryThinBedIsLedToItsNumber(t *testing.T) {
	p := rows(8)
	v := View{Centre: orb.Point{15, 6}, Middle: orb.Point{100, 70}, Scale: 1} // 1:1000 in millimetres
	show := Show{Labels: true, Window: orb.Bound{Max: orb.Point{200, 140}}}
	labels := Labels(p, v, style.Sheet(style.Paper), show)
	seen := map[string]bool{}
	for _, l := range labels {
		seen[l.Feature.ID] = true
		if !l.Lead.given() {
			continue
		}
		sh, _ := newShape(l.Feature, v, style.Sheet(style.Paper), show.Window)
		if !inRing(sh.rings[0], l.Lead.From) {
			t.Errorf("the lead of %s begins off its bed", l.Feature.Name)
		}
		for _, o := range labels {
			if o.Feature != l.Feature && Overlap(l.Box(), o.Box()) {
				t.Errorf("%s lies over %s", l.Words, o.Words)
			}
			if o.Feature != l.Feature && o.Lead.given() && cross(l.Lead.From, l.Lead.To, o.Lead.From, o.Lead.To) {
				t.Errorf("the leads of %s and %s cross", l.Words, o.Words)
			}
		}
	}
	if len(seen) != 8 {
		t.Errorf("%d of 8 beds can be told on the map", len(seen))
	}
}

// A name never stands with its middle on another thing that has a name, be it a path: it is led to from open ground, or has no place.
// Measured with polygons.
func TestNamesDoNotUsurp(t *testing.T) {
	window := orb.Bound{Max: orb.Point{700, 500}}
	led, beside := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := plan.New("")
		kinds := []plan.Kind{plan.Bed, plan.Hedgerow, plan.Tree, plan.Building, plan.Pond, plan.Path, plan.PerennialStrip, plan.CoverCrop}
		for i := range rapid.IntRange(2, 40).Draw(t, "features") {
			f := feature(rapid.SampledFrom(kinds).Draw(t, "kind"), fmt.Sprintf("Name of %d", i), rect(rapid.Float64Range(0, 44).Draw(t, "x"),
				rapid.Float64Range(0, 28).Draw(t, "y"), rapid.Float64Range(0.4, 14).Draw(t, "w"), rapid.Float64Range(0.4, 5).Draw(t, "h"), 0))
			f.ID = fmt.Sprint(i)
			p.Features = append(p.Features, f)
		}
		v := View{Centre: orb.Point{22, 15}, Middle: window.Center(), Scale: rapid.Float64Range(6, 30).Draw(t, "scale")}
		for _, l := range Labels(p, v, screen, Show{Labels: true, Window: window, Leads: rapid.Bool().Draw(t, "leads")}) {
			if l.Inside || l.Feature.Kind == plan.Bed {
				continue
			}
			if l.Lead.given() {
				led++
				if d := geometry.PointDistance(v.From(l.Lead.From), l.Feature.Geometry); d > 1e-6 {
					t.Fatalf("the lead of %q begins %.3f m off it", l.Words, d)
				}
			} else {
				beside++
			}
			for _, f := range p.Features {
				if f == l.Feature || geometry.PointDistance(l.Feature.Geometry.Bound().Center(), f.Geometry) == 0 { // what holds it
					continue
				}
				if geometry.PointDistance(v.From(l.At), f.Geometry) == 0 {
					t.Fatalf("the middle of %q stands on %q", l.Words, f.Name)
				}
			}
		}
	})
	if led < 20 || beside < 50 {
		t.Errorf("%d names led to, %d beside: nothing is told", led, beside)
	}
}
