package ground

import (
	"math"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/style"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// Swatch draws a kind's sign in a box of the drawing, for legends and lists: the same sign as on the ground.
func Swatch(k plan.Kind, b orb.Bound, s style.Look) []drawing.Op {
	f, v := sample(k, b)
	return FeatureOps(f, habitat.Unknown, v, s, Show{})
}

// sample is a feature of the kind that fills the box, and a view in which a metre is a unit and the ground's origin the middle
// of the box, so that patterns sit even in it.
func sample(k plan.Kind, b orb.Bound) (*plan.Feature, View) {
	v := View{Middle: b.Center(), Scale: 1}
	w, h := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	var c orb.Point
	b = orb.Bound{Min: orb.Point{-w / 2, -h / 2}, Max: orb.Point{w / 2, h / 2}}
	f := &plan.Feature{Kind: k, Geometry: orb.Polygon{{b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}, b.Min}}}
	switch k {
	case plan.Tree, plan.Pond:
		rx := w / 2
		if k == plan.Tree {
			rx = min(w, h) / 2
		}
		var ring orb.Ring
		const sides = 40
		for i := range sides + 1 {
			s, co := math.Sincos(2 * math.Pi * float64(i%sides) / sides)
			ring = append(ring, orb.Point{c[0] + rx*co, c[1] + h/2*s})
		}
		f.Geometry = orb.Polygon{ring}
	case plan.Fence:
		f.Line = orb.LineString{{b.Min[0], c[1]}, {b.Max[0], c[1]}}
		t := h / 40
		f.Geometry = orb.Polygon{{{b.Min[0], c[1] - t}, {b.Max[0], c[1] - t}, {b.Max[0], c[1] + t}, {b.Min[0], c[1] + t},
			{b.Min[0], c[1] - t}}}
	case plan.Trap, plan.Stake:
		f.Geometry = c
	}
	return f, v
}
