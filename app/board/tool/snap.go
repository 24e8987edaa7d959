package tool

import (
	"math"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// snap draws a point to a corner within reach, else to the grid. Ctrl holds it off. Features for which skip answers true
// have no corners here: those that are being moved.
func snap(ed Editor, e Event, skip func(*plan.Feature) bool) (orb.Point, string) {
	if e.Mods&Ctrl != 0 {
		return roundPoint(e.At), ""
	}
	set := ed.Settings()
	if c, ok := nearestCorner(ed.Plan(), e.At, set.ReachM, skip); ok {
		return c, "corner"
	}
	if set.StepM > 0 {
		return onGrid(e.At, set.StepM), "grid"
	}
	return roundPoint(e.At), ""
}

func onGrid(p orb.Point, step float64) orb.Point {
	return roundPoint(orb.Point{math.Round(p[0]/step) * step, math.Round(p[1]/step) * step})
}

func nearestCorner(p *plan.Plan, at orb.Point, reach float64, skip func(*plan.Feature) bool) (best orb.Point, ok bool) {
	least := reach
	for _, f := range p.Features {
		if f.Geometry == nil || f.Hidden || skip != nil && skip(f) || !f.Geometry.Bound().Pad(reach).Contains(at) {
			continue
		}
		try := func(c orb.Point) {
			if d := dist(c, at); d <= least {
				least, best, ok = d, c, true
			}
		}
		if f.Centre != nil { // a circle's many corners stand for no corner at all; its centre does
			try(*f.Centre)
			continue
		}
		for _, c := range f.Line {
			try(c)
		}
		eachCorner(f.Geometry, try)
	}
	return best, ok
}

func eachCorner(g orb.Geometry, fn func(orb.Point)) {
	if p, ok := g.(orb.Point); ok {
		fn(p)
	}
	for _, poly := range geometry.Polygons(g) {
		for _, r := range poly {
			for _, c := range r {
				fn(c)
			}
		}
	}
}

// straight turns the way from a to p to the nearest multiple of 45° against the direction base (radians), keeping its length.
func straight(a, p orb.Point, base float64) orb.Point {
	d := dist(a, p)
	if d == 0 {
		return p
	}
	const step = math.Pi / 4
	t := math.Atan2(p[1]-a[1], p[0]-a[0]) - base
	t = math.Round(t/step)*step + base
	return roundPoint(orb.Point{a[0] + d*math.Cos(t), a[1] + d*math.Sin(t)})
}

// Hit is the feature under a point: of those that hold it the smallest, since a bed lies in a field and not the other way
// round. A boundary is hit by its line only, or everything within it would be hard to reach.
func Hit(p *plan.Plan, at orb.Point, reach float64) *plan.Feature {
	var found *plan.Feature
	least := math.Inf(1)
	for _, f := range p.Features {
		if f.Geometry == nil || f.Hidden || !f.Geometry.Bound().Pad(reach).Contains(at) {
			continue
		}
		var size float64
		switch {
		case f.Kind == plan.Boundary:
			if edgeDistance(f.Geometry, at) > reach {
				continue
			}
			size = math.MaxFloat64 // anything else at the place goes first
		case geometry.Contains(f.Geometry, at):
			size = geometry.Area(f.Geometry)
		case geometry.PointDistance(at, f.Geometry) <= max(reach/2, markReach(f, reach)):
			size = geometry.Area(f.Geometry) + 1e9 // near is good, but in goes first
		default:
			continue
		}
		if size <= least {
			least, found = size, f
		}
	}
	return found
}

// markReach lets a mark, which may be a pixel wide, be hit within the full reach.
func markReach(f *plan.Feature, reach float64) float64 {
	if _, isPoint := f.Geometry.(orb.Point); isPoint {
		return max(reach, plan.MarkRadius)
	}
	return 0
}

func edgeDistance(g orb.Geometry, at orb.Point) float64 {
	least := math.Inf(1)
	for _, poly := range geometry.Polygons(g) {
		for _, r := range poly {
			for i := 1; i < len(r); i++ {
				least = min(least, segmentDistance(at, r[i-1], r[i]))
			}
		}
	}
	return least
}

func segmentDistance(p, a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	t := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		t = min(1, max(0, ((p[0]-a[0])*dx+(p[1]-a[1])*dy)/l))
	}
	return dist(p, orb.Point{a[0] + t*dx, a[1] + t*dy})
}
