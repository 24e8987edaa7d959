package ground

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/style"
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
