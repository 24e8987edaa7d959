package panes

import (
	"errors"
	"math"

	"github.com/paulmach/orb"

	"hedgereach/app/session"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// edit commits a change of one feature: it copies the feature, lets change work on the copy, and makes a plan that holds it.
func edit(s *session.Session, id, name string, change func(*plan.Feature) error) error {
	p := s.Committed()
	f, i := p.Find(id)
	if f == nil {
		return nil // deleted meanwhile, so there is nothing left to change
	}
	c := f.Clone()
	if err := change(c); err != nil {
		return err
	}
	q := p.Clone()
	q.Features[i] = c
	return s.Commit(name+" "+f.Title(), q)
}

// setWidth makes a strip that was drawn by its centre line wider or narrower.
func setWidth(x *plan.Feature, m float64) error {
	p, err := geometry.Strip(x.Line, m)
	if err != nil {
		return err
	}
	x.WidthM, x.Geometry = m, p
	return nil
}

// setRadius makes a round thing larger or smaller.
func setRadius(x *plan.Feature, m float64) error {
	x.RadiusM, x.Geometry = m, geometry.Disc(*x.Centre, m)
	return nil
}

// sides are the two side lengths of a rectangle, in the order of its corners; false for any other shape.
func sides(g orb.Geometry) (a, b float64, ok bool) {
	p, isPolygon := g.(orb.Polygon)
	if !isPolygon || len(p) != 1 || len(p[0]) != 5 {
		return 0, 0, false
	}
	r := p[0]
	u, v := sub(r[1], r[0]), sub(r[2], r[1])
	a, b = math.Hypot(u[0], u[1]), math.Hypot(v[0], v[1])
	back := sub(r[3], r[2])
	if a == 0 || b == 0 || math.Abs(u[0]*v[0]+u[1]*v[1]) > 1e-3*a*b || math.Hypot(back[0]+u[0], back[1]+u[1]) > 0.005 {
		return 0, 0, false
	}
	return a, b, true
}

// setSide sets the longer or the shorter side of a rectangle; its first corner and its direction stay.
func setSide(x *plan.Feature, m float64, longer bool) error {
	a, b, ok := sides(x.Geometry)
	if !ok {
		return errors.New("this is no longer a rectangle: move its corners instead")
	}
	r := x.Geometry.(orb.Polygon)[0]
	u, v := sub(r[1], r[0]), sub(r[2], r[1])
	if longer == (a >= b) {
		u = orb.Point{u[0] * m / a, u[1] * m / a}
	} else {
		v = orb.Point{v[0] * m / b, v[1] * m / b}
	}
	o := r[0]
	x.Geometry = orb.Polygon{{o, {o[0] + u[0], o[1] + u[1]}, {o[0] + u[0] + v[0], o[1] + u[1] + v[1]},
		{o[0] + v[0], o[1] + v[1]}, o}}
	return nil
}

func sub(p, q orb.Point) orb.Point { return orb.Point{p[0] - q[0], p[1] - q[1]} }

func lineLength(l orb.LineString) float64 {
	sum := 0.0
	for i := 1; i < len(l); i++ {
		d := sub(l[i], l[i-1])
		sum += math.Hypot(d[0], d[1])
	}
	return sum
}
