package quantities

import (
	"math"
	"strings"

	"hedgereach/data"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/spacing"
)

// Hedges are planted along their length: whips of what is clipped into a hedge in a double staggered row.
const (
	HedgeRowM  = 0.4 // between the two rows, HedgeRowSource
	HedgePerM  = 5.0 // plants on a metre of hedge, of both rows together, HedgePerSource
	hedgeWideM = 0.8 // from which the two rows have some ground on both sides; a narrower hedge has one row: our judgement
	hedgingM   = 0.6 // the widest spacing of what is planted as hedging, that of the catalogue's hedge plants; our judgement
	stripM     = 4.0 // times as long as wide is an outline that is taken for a strip; our judgement

	HedgeRowSource = "rpa-bn11"
	HedgePerSource = "teagasc-hedge"
)

// hedgeOf is the length and width of a hedge in metres: a strip's own, else those of the strip of the same area and outline;
// false for a hedge that is no strip. The corners of a strip are mitred, so that its area is its length by its width, and its
// outline twice both.
func hedgeOf(f *plan.Feature) (long, wide float64, ok bool) {
	if f.Kind != plan.Hedgerow {
		return 0, 0, false
	}
	if len(f.Line) > 1 && f.WidthM > 0 {
		return geometry.Perimeter(f.Line), f.WidthM, true
	}
	area := 0.0
	for _, p := range geometry.Polygons(f.Geometry) {
		a, half := geometry.Area(p), geometry.Perimeter(p)/2
		l := (half + math.Sqrt(max(0, half*half-4*a))) / 2
		if l <= 0 || a > l*l/stripM {
			return 0, 0, false
		}
		long, area = long+l, area+a
	}
	if long == 0 {
		return 0, 0, false
	}
	return long, area / long, true
}

// alongHedge counts a woody plant of a hedge along its length; false where it is not counted so. What is planted as hedging
// stands in a double staggered row; what grows wider, at its own spacing in one row, or in as many as fit.
func (l *List) alongHedge(r *Row, share, ground float64) bool {
	long, wide, ok := hedgeOf(r.Feature)
	if !ok || !makesHedge(r.Plant) {
		return false
	}
	if whole := geometry.Area(r.Feature.Geometry); whole > 0 {
		long *= min(1, ground/whole) // paths through it take their part of its length
	}
	if r.HedgeRows = 1; r.Hedging() {
		r.Layout, r.BetweenM = spacing.Triangular, HedgeRowM
		if wide >= hedgeWideM-1e-9 {
			r.HedgeRows = 2
		}
		r.InRowM = 2 / HedgePerM
	} else {
		r.HedgeRows = max(1, int(wide/r.BetweenM+1e-9))
	}
	r.HedgeM = long * min(share, 1)
	l.stand(r, spacing.Count(r.HedgeM, float64(r.HedgeRows)/r.InRowM))
	return true
}

// Hedging tells whether it is planted as whips of a clipped hedge.
func (r *Row) Hedging() bool { return r.HedgeRows > 0 && r.Plant.SpacingCM/100 <= hedgingM }

// makesHedge tells whether a plant is a shrub or tree that hedges are made of; dwarf shrubs and climbers are not.
func makesHedge(p *data.Plant) bool {
	return p != nil && (strings.Contains(p.Form, "shrub") || strings.Contains(p.Form, "tree")) && p.Form != "sub-shrub"
}
