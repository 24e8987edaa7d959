package geometry

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"
)

// Translate is a copy moved by (dx, dy) metres.
func Translate(g orb.Geometry, dx, dy float64) orb.Geometry {
	return Map(g, func(p orb.Point) orb.Point { return orb.Point{p[0] + dx, p[1] + dy} })
}

// Rotate is a copy turned anticlockwise about a point by an angle in degrees; quarter turns are exact.
func Rotate(g orb.Geometry, about orb.Point, degrees float64) orb.Geometry {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	switch math.Mod(math.Mod(degrees, 360)+360, 360) {
	case 0:
		sin, cos = 0, 1
	case 90:
		sin, cos = 1, 0
	case 180:
		sin, cos = 0, -1
	case 270:
		sin, cos = -1, 0
	}
	return Map(g, func(p orb.Point) orb.Point {
		x, y := p[0]-about[0], p[1]-about[1]
		return orb.Point{about[0] + x*cos - y*sin, about[1] + x*sin + y*cos}
	})
}

// Scale is a copy stretched about a point by the factors along x and y; a factor of -1 mirrors.
func Scale(g orb.Geometry, about orb.Point, fx, fy float64) orb.Geometry {
	return Map(g, func(p orb.Point) orb.Point {
		return orb.Point{about[0] + fx*(p[0]-about[0]), about[1] + fy*(p[1]-about[1])}
	})
}

// Map is a copy of a geometry with every point moved by f. A bound becomes the polygon of its corners.
func Map(g orb.Geometry, f func(orb.Point) orb.Point) orb.Geometry {
	path := func(l []orb.Point) []orb.Point {
		if l == nil {
			return nil
		}
		moved := make([]orb.Point, len(l))
		for i, p := range l {
			moved[i] = f(p)
		}
		return moved
	}
	switch g := g.(type) {
	case orb.Point:
		return f(g)
	case orb.MultiPoint:
		return orb.MultiPoint(path(g))
	case orb.LineString:
		return orb.LineString(path(g))
	case orb.MultiLineString:
		all := make(orb.MultiLineString, len(g))
		for i, l := range g {
			all[i] = path(l)
		}
		return all
	case orb.Ring:
		return orb.Ring(path(g))
	case orb.Polygon:
		all := make(orb.Polygon, len(g))
		for i, r := range g {
			all[i] = path(r)
		}
		return all
	case orb.MultiPolygon:
		all := make(orb.MultiPolygon, len(g))
		for i, p := range g {
			all[i] = Map(p, f).(orb.Polygon)
		}
		return all
	case orb.Collection:
		all := make(orb.Collection, len(g))
		for i, part := range g {
			all[i] = Map(part, f)
		}
		return all
	case orb.Bound:
		return Map(g.ToPolygon(), f)
	}
	return nil
}

// SimplifyOutline drops corners that lie within tol metres of the line through those that stay (Douglas and Peucker,
// Cartographica 10, 1973, doi 10.3138/FM57-6770-U75U-7727). Where that would make the polygon improper, as it can with holes
// or narrow places, it takes a smaller tolerance, in the end the polygon as it is.
func SimplifyOutline(p orb.Polygon, tol float64) orb.Polygon {
	for range 8 {
		if !(tol > 0) {
			break
		}
		if s := simplify.DouglasPeucker(tol).Polygon(p.Clone()); Validate(s) == nil {
			return s
		}
		tol /= 2
	}
	return p.Clone()
}

// OrientedBox is the rectangle of least area around the shapes, in any direction; nil where all points lie on one line.
// One of its sides runs along a side of the convex hull (Freeman and Shapira, Communications of the ACM 18, 1975, doi
// 10.1145/360881.360919).
func OrientedBox(shapes ...orb.Geometry) orb.Polygon {
	hull := Hull(shapes...)
	if hull == nil {
		return nil
	}
	o := hull[0][0]
	var best orb.Polygon
	least := math.Inf(1)
	for i := 1; i < len(hull[0]); i++ {
		a, b := hull[0][i-1], hull[0][i]
		l := distance(a, b)
		ux, uy := (b[0]-a[0])/l, (b[1]-a[1])/l
		lo, hi := orb.Point{math.Inf(1), math.Inf(1)}, orb.Point{math.Inf(-1), math.Inf(-1)}
		for _, p := range hull[0] {
			dx, dy := p[0]-o[0], p[1]-o[1]
			u, v := dx*ux+dy*uy, dy*ux-dx*uy
			lo = orb.Point{min(lo[0], u), min(lo[1], v)}
			hi = orb.Point{max(hi[0], u), max(hi[1], v)}
		}
		if area := (hi[0] - lo[0]) * (hi[1] - lo[1]); area < least {
			least = area
			at := func(u, v float64) orb.Point { return orb.Point{o[0] + u*ux - v*uy, o[1] + u*uy + v*ux} }
			best = orb.Polygon{{at(lo[0], lo[1]), at(hi[0], lo[1]), at(hi[0], hi[1]), at(lo[0], hi[1]), at(lo[0], lo[1])}}
		}
	}
	return best
}
