package geometry

import (
	"math"

	"github.com/paulmach/orb"
)

// Contains tells whether the point lies in the geometry or on its edge. Exact.
func Contains(g orb.Geometry, p orb.Point) bool {
	switch g := g.(type) {
	case orb.Polygon:
		return polygonSide(g, p) >= 0
	case orb.MultiPolygon:
		for _, part := range g {
			if polygonSide(part, p) >= 0 {
				return true
			}
		}
		return false
	case orb.Ring:
		return ringSide(g, p) >= 0
	case orb.Bound:
		return g.Contains(p)
	case orb.Collection:
		for _, part := range g {
			if Contains(part, p) {
				return true
			}
		}
		return false
	}
	on := false
	eachPath(g, func(path []orb.Point) {
		for i, b := range path {
			a := path[max(i-1, 0)]
			on = on || orient(a, b, p) == 0 && onSegment(a, b, p)
		}
	})
	return on
}

// PointDistance is the distance from a point to a geometry, 0 inside; +Inf to an empty one.
func PointDistance(p orb.Point, g orb.Geometry) float64 {
	d, _ := pointNearest(p, g)
	return d
}

func pointNearest(p orb.Point, g orb.Geometry) (float64, orb.Point) {
	if len(Polygons(g)) > 0 && Contains(g, p) {
		return 0, p
	}
	best, at := math.Inf(1), p
	eachPath(g, func(path []orb.Point) {
		for i, b := range path {
			q := footOn(path[max(i-1, 0)], b, p)
			if d := distance(p, q); d < best {
				best, at = d, q
			}
		}
	})
	return best, at
}

// footOn is the point of the segment from a to b nearest to p.
func footOn(a, b, p orb.Point) orb.Point {
	dx, dy := b[0]-a[0], b[1]-a[1]
	l2 := dx*dx + dy*dy
	if !(l2 > 0) {
		return a
	}
	t := ((p[0]-a[0])*dx + (p[1]-a[1])*dy) / l2
	switch {
	case t <= 0:
		return a
	case t >= 1:
		return b
	}
	return orb.Point{a[0] + t*dx, a[1] + t*dy}
}

// Closest is the least distance between two geometries and the two points that show it; 0 where they touch or overlap, +Inf
// where one is empty. To measure one shape to many, make Sites of the many.
func Closest(a, b orb.Geometry) (d float64, onA, onB orb.Point) {
	if p, isPoint := a.(orb.Point); isPoint && b != nil {
		d, onB = pointNearest(p, b)
		return d, p, onB
	}
	span := NewSites([]orb.Geometry{b}).Nearest(a)
	return span.Metres, span.From, span.To
}
