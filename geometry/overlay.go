package geometry

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

// Union is the ground that any of the shapes covers. Points and lines cover none.
//
// The shapes of this and the other overlays must be valid (see Validate): an outline that crosses itself is refused where the
// overlay notices, but it cannot always notice.
func Union(shapes ...orb.Geometry) (orb.MultiPolygon, error) {
	var parts []orb.Geometry
	for _, s := range shapes {
		for _, p := range Polygons(s) {
			parts = append(parts, p)
		}
	}
	if len(parts) < 2 {
		return union(parts)
	}
	b, around := parts[0].Bound(), 0.0
	for _, p := range parts {
		b = b.Union(p.Bound())
		around += Perimeter(p)
	}
	want := func() float64 { return NewSites(parts).AreaWithin(b.Pad(1).ToPolygon(), 0) }
	return checked(around, want, func(margin float64) (orb.MultiPolygon, error) {
		apart := parts
		if margin > 0 {
			apart = make([]orb.Geometry, len(parts))
			for i, p := range parts {
				apart[i] = larger(p, margin*float64(i))
			}
		}
		return union(apart)
	})
}

// Intersection is the ground that both cover.
func Intersection(a, b orb.Geometry) (orb.MultiPolygon, error) {
	a, err := single(a)
	if err != nil {
		return nil, err
	}
	want := func() float64 { return Covered(a, b) }
	return checked(Perimeter(a)+Perimeter(b), want, func(margin float64) (orb.MultiPolygon, error) {
		return intersection(a, larger(b, margin))
	})
}

// Difference is the ground of a that b does not cover.
func Difference(a, b orb.Geometry) (orb.MultiPolygon, error) {
	a, err := single(a)
	if err != nil {
		return nil, err
	}
	want := func() float64 { return Area(a) - Covered(a, b) }
	return checked(Perimeter(a)+Perimeter(b), want, func(margin float64) (orb.MultiPolygon, error) {
		x, err := overlay(a, larger(b, margin), geom.Difference)
		if err != nil {
			return nil, fmt.Errorf("cutting one outline out of another: %w", err)
		}
		return x, nil
	})
}

// Covered is the area in m² of the part of a shape that another covers: that of their intersection, without making it. Unlike the
// overlays it has an answer for any two valid shapes.
func Covered(a, by orb.Geometry) float64 { return NewSites([]orb.Geometry{by}).AreaWithin(a, 0) }

// checked is an overlay whose area is held against the area that is worked out without one. Outlines that run along each other
// but for rounding can lead an overlay astray, so that ground is lost or counted twice, and no error says so. (GEOS too: the
// two share their algorithm.) Then it is tried again with shapes larger by a hundredth of a micrometre, and by more, so that
// such outlines part. around is the length of all outlines.
func checked(around float64, want func() float64, try func(margin float64) (orb.MultiPolygon, error)) (made orb.MultiPolygon, err error) {
	area := math.NaN()
	for _, margin := range [3]float64{0, 1e-8, 1e-7} {
		if made, err = try(margin); err != nil {
			continue
		}
		if math.IsNaN(area) {
			area = want()
		}
		if math.Abs(Area(made)-area) <= 1e-6*(around+area) {
			return made, nil
		}
		err = fmt.Errorf("outlines run along each other: an overlay made %.6g m² of them instead of %.6g m²", Area(made), area)
	}
	return nil, err
}

// larger is a shape stretched about its middle until it reaches about so many metres farther.
func larger(g orb.Geometry, metres float64) orb.Geometry {
	if metres == 0 || g == nil {
		return g
	}
	b := g.Bound()
	f := 1 + 2*metres/max(distance(b.Min, b.Max), metres)
	return Scale(g, orb.Point{b.Min[0]/2 + b.Max[0]/2, b.Min[1]/2 + b.Max[1]/2}, f, f)
}

// single is a shape that covers no ground twice: the parts of a collection may overlap and are joined.
func single(g orb.Geometry) (orb.Geometry, error) {
	if _, mixed := g.(orb.Collection); !mixed {
		return g, nil
	}
	return Union(g)
}

// union and intersection are the overlays as they come.
func union(parts []orb.Geometry) (orb.MultiPolygon, error) {
	var polygons []geom.Geometry
	for _, p := range parts {
		polygons = append(polygons, toPolygon(p.(orb.Polygon)).AsGeometry())
	}
	switch len(polygons) {
	case 0:
		return nil, nil
	case 1:
		return orb.MultiPolygon{parts[0].(orb.Polygon)}.Clone(), nil
	}
	u, err := geom.UnionMany(polygons)
	if err != nil {
		return nil, fmt.Errorf("joining %d outlines: %w", len(polygons), err)
	}
	return fromGeometry(u), nil
}

func intersection(a, b orb.Geometry) (orb.MultiPolygon, error) {
	x, err := overlay(a, b, geom.Intersection)
	if err != nil {
		return nil, fmt.Errorf("cutting one outline to another: %w", err)
	}
	return x, nil
}

func overlay(a, b orb.Geometry, op func(a, b geom.Geometry) (geom.Geometry, error)) (orb.MultiPolygon, error) {
	x, err := toGeometry(a)
	if err != nil {
		return nil, err
	}
	y, err := toGeometry(b)
	if err != nil {
		return nil, err
	}
	r, err := op(x, y)
	if err != nil {
		return nil, err
	}
	return fromGeometry(r), nil
}

// toGeometry makes one geometry of all polygons; those of a collection may overlap and are joined first.
func toGeometry(g orb.Geometry) (geom.Geometry, error) {
	g, err := single(g)
	if err != nil {
		return geom.Geometry{}, err
	}
	polygons := Polygons(g)
	if len(polygons) == 1 {
		return toPolygon(polygons[0]).AsGeometry(), nil
	}
	all := make([]geom.Polygon, len(polygons))
	for i, p := range polygons {
		all[i] = toPolygon(p)
	}
	return geom.NewMultiPolygon(all).AsGeometry(), nil
}

// noTrace takes a coordinate so near to 0 that its products vanish for 0: such traces of rounding lead the overlay astray.
func noTrace(v float64) float64 {
	const trace = 1e-60
	if -trace < v && v < trace {
		return 0
	}
	return v
}

func toPolygon(p orb.Polygon) geom.Polygon {
	rings := make([][]float64, 0, len(p))
	for _, r := range p {
		xys := make([]float64, 0, 2*len(r)+2)
		for _, v := range r {
			xys = append(xys, noTrace(v[0]), noTrace(v[1]))
		}
		if n := len(r); n > 0 && r[0] != r[n-1] { // a ring left open is meant closed
			xys = append(xys, noTrace(r[0][0]), noTrace(r[0][1]))
		}
		rings = append(rings, xys)
	}
	return geom.NewPolygonXY(rings...)
}

// fromGeometry keeps the polygons of an overlay's result; points and lines where shapes only touch are dropped.
func fromGeometry(g geom.Geometry) orb.MultiPolygon {
	switch g.Type() {
	case geom.TypePolygon:
		if p := fromPolygon(g.MustAsPolygon()); p != nil {
			return orb.MultiPolygon{p}
		}
	case geom.TypeMultiPolygon:
		m := g.MustAsMultiPolygon()
		all := make(orb.MultiPolygon, 0, m.NumPolygons())
		for i := range m.NumPolygons() {
			if p := fromPolygon(m.PolygonN(i)); p != nil {
				all = append(all, p)
			}
		}
		return all
	case geom.TypeGeometryCollection:
		var all orb.MultiPolygon
		c := g.MustAsGeometryCollection()
		for i := range c.NumGeometries() {
			all = append(all, fromGeometry(c.GeometryN(i))...)
		}
		return all
	}
	return nil
}

func fromPolygon(p geom.Polygon) orb.Polygon {
	if p.IsEmpty() {
		return nil
	}
	rings := make(orb.Polygon, 0, p.NumRings())
	for _, line := range p.DumpRings() {
		seq := line.Coordinates()
		r := make(orb.Ring, seq.Length())
		for i := range r {
			v := seq.GetXY(i)
			r[i] = orb.Point{v.X, v.Y}
		}
		rings = append(rings, r)
	}
	return rings
}

// Buffer is the ground within r metres of the shape, or for a negative r the ground of the shape at least -r from its
// outline (nothing where it is too narrow). Corners are rounded; arcs keep within 1 cm of the circle. Points and lines
// have a buffer outwards only.
func Buffer(g orb.Geometry, r float64) (orb.MultiPolygon, error) {
	if math.IsNaN(r) || math.IsInf(r, 0) {
		return nil, fmt.Errorf("a margin of %v m: give a finite number of metres", r)
	}
	var parts []geom.Geometry
	for _, p := range Polygons(g) {
		parts = append(parts, toPolygon(p).AsGeometry())
	}
	if len(parts) == 0 {
		eachPath(g, func(path []orb.Point) {
			xys := make([]float64, 0, 2*len(path))
			for _, p := range path {
				xys = append(xys, p[0], p[1])
			}
			if len(path) == 1 {
				parts = append(parts, geom.NewPointXY(xys[0], xys[1]).AsGeometry())
			} else {
				parts = append(parts, geom.NewLineStringXY(xys...).AsGeometry())
			}
		})
	}
	all := geom.NewGeometryCollection(parts).AsGeometry()
	quadrant := (arcSegments(math.Abs(r), 2*math.Pi, arcTolerance) + 3) / 4
	b, err := geom.Buffer(all, r, geom.BufferQuadSegments(max(quadrant, 8)))
	if err != nil {
		return nil, fmt.Errorf("drawing a margin of %g m: %w", r, err)
	}
	return fromGeometry(b), nil
}

// arcTolerance is how far, in metres, the chords that stand for an arc may leave it.
const arcTolerance = 0.01

// arcSegments is how many equal chords keep within tol of an arc of the sweep (radians): each chord's rise is r(1 −
// cos(φ/2)).
func arcSegments(r, sweep, tol float64) int {
	if r <= tol {
		return max(1, int(math.Ceil(sweep/(math.Pi/2))))
	}
	step := 2 * math.Acos(1-tol/r)
	return max(1, int(math.Ceil(sweep/step)))
}
