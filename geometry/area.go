package geometry

import (
	"math"

	"github.com/paulmach/orb"
)

// Polygons lists the polygons of a geometry: itself, the parts of a multi-polygon or of a collection, the rectangle of a
// bound; nil for points and lines.
func Polygons(g orb.Geometry) []orb.Polygon {
	switch g := g.(type) {
	case orb.Polygon:
		if len(g) == 0 {
			return nil
		}
		return []orb.Polygon{g}
	case orb.MultiPolygon:
		return g
	case orb.Ring:
		return []orb.Polygon{{g}}
	case orb.Bound:
		return []orb.Polygon{g.ToPolygon()}
	case orb.Collection:
		var all []orb.Polygon
		for _, part := range g {
			all = append(all, Polygons(part)...)
		}
		return all
	}
	return nil
}

// Area is in m², holes taken off. Parts of a multi-polygon are added up, so they must not overlap.
func Area(g orb.Geometry) float64 {
	area := 0.0
	switch g := g.(type) {
	case orb.Polygon: // apart from the rest so that the commonest case allocates nothing
		return polygonArea(g)
	case orb.MultiPolygon:
		for _, p := range g {
			area += polygonArea(p)
		}
		return area
	}
	for _, p := range Polygons(g) {
		area += polygonArea(p)
	}
	return area
}

func polygonArea(p orb.Polygon) float64 {
	area := 0.0
	for i, r := range p {
		if a := math.Abs(signedArea(r)); i == 0 {
			area = a
		} else {
			area -= a
		}
	}
	return area
}

// signedArea is the shoelace area of a ring, positive where it runs anticlockwise. It measures from the ring's first
// point, so that a ring far from the origin loses no digits.
func signedArea(r []orb.Point) float64 {
	if len(r) < 3 {
		return 0
	}
	o, twice := r[0], 0.0
	for i := 1; i < len(r); i++ {
		a, b := r[i-1], r[i]
		twice += (a[0]-o[0])*(b[1]-o[1]) - (b[0]-o[0])*(a[1]-o[1])
	}
	return twice / 2
}

// Perimeter is the length of all rings, in metres; of a line its length.
func Perimeter(g orb.Geometry) float64 {
	length := 0.0
	switch g := g.(type) {
	case orb.LineString:
		return lineLength(g)
	case orb.MultiLineString:
		for _, l := range g {
			length += lineLength(l)
		}
		return length
	}
	for _, p := range Polygons(g) {
		for _, r := range p {
			length += lineLength(r)
		}
	}
	return length
}

func lineLength(l []orb.Point) float64 {
	length := 0.0
	for i := 1; i < len(l); i++ {
		length += distance(l[i-1], l[i])
	}
	return length
}

func distance(a, b orb.Point) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// Centroid is the centre of gravity: of the ground where the geometry has any, else of its lines, else of its points. An
// empty geometry answers the zero point.
func Centroid(g orb.Geometry) orb.Point {
	if polygons := Polygons(g); Area(g) > 0 {
		o := polygons[0][0][0]
		var sx, sy, sum float64
		for _, p := range polygons {
			for i, r := range p {
				x, y, a := ringMoment(r, o)
				if (a < 0) != (i > 0) { // outlines count for, holes against, whichever way they run
					x, y, a = -x, -y, -a
				}
				sx, sy, sum = sx+x, sy+y, sum+a
			}
		}
		return orb.Point{o[0] + sx/sum, o[1] + sy/sum}
	}
	var sx, sy, sum float64
	var points []orb.Point
	eachPath(g, func(path []orb.Point) {
		points = append(points, path...)
		for i := 1; i < len(path); i++ {
			d := distance(path[i-1], path[i])
			sx += d * (path[i-1][0]/2 + path[i][0]/2)
			sy += d * (path[i-1][1]/2 + path[i][1]/2)
			sum += d
		}
	})
	if sum > 0 {
		return orb.Point{sx / sum, sy / sum}
	}
	var mean orb.Point
	for _, p := range points {
		mean[0] += p[0] / float64(len(points))
		mean[1] += p[1] / float64(len(points))
	}
	return mean
}

// ringMoment gives the first moments and the signed area of a ring about o (the shoelace centroid).
func ringMoment(r orb.Ring, o orb.Point) (mx, my, area float64) {
	for i := 1; i < len(r); i++ {
		ax, ay, bx, by := r[i-1][0]-o[0], r[i-1][1]-o[1], r[i][0]-o[0], r[i][1]-o[1]
		cross := ax*by - bx*ay
		mx += (ax + bx) * cross / 6
		my += (ay + by) * cross / 6
		area += cross / 2
	}
	return mx, my, area
}

// eachPath visits every point list of a geometry: rings, lines, and each point as a list of one.
func eachPath(g orb.Geometry, visit func([]orb.Point)) {
	switch g := g.(type) {
	case orb.Point:
		visit([]orb.Point{g})
	case orb.MultiPoint:
		for _, p := range g {
			visit([]orb.Point{p})
		}
	case orb.LineString:
		visit(g)
	case orb.MultiLineString:
		for _, l := range g {
			visit(l)
		}
	case orb.Ring:
		visit(g)
	case orb.Polygon:
		for _, r := range g {
			visit(r)
		}
	case orb.MultiPolygon:
		for _, p := range g {
			for _, r := range p {
				visit(r)
			}
		}
	case orb.Collection:
		for _, part := range g {
			eachPath(part, visit)
		}
	case orb.Bound:
		visit(g.ToRing())
	}
}
