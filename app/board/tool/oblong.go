package tool

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"hedgereach/habitat/plan"
)

// oblong tells whether a feature is a plain rectangle, however it lies: it keeps its right angles while its corners and sides
// are dragged, unless the grower wants it otherwise.
func oblong(f *plan.Feature) (orb.Ring, bool) {
	if f.Centre != nil || len(f.Line) > 0 {
		return nil, false
	}
	p, ok := f.Geometry.(orb.Polygon)
	if !ok || len(p) != 1 || len(p[0]) != 5 {
		return nil, false
	}
	r := p[0]
	for i := range 4 {
		a, b, c := r[i], r[i+1], r[(i+2)%4]
		if dist(a, b) == 0 || math.Abs(offSquare(a, b, c)) > squareSlack {
			return nil, false
		}
	}
	return r, true
}

// squareSlack is by how many metres a rectangle may miss being one: its corners are kept to the millimetre.
const squareSlack = 0.0025

// offSquare is by how many metres the shorter of the sides at b misses being square to the other.
func offSquare(a, b, c orb.Point) float64 {
	u, v := unit(b, a), orb.Point{c[0] - b[0], c[1] - b[1]}
	if dist(a, b) < dist(b, c) {
		u, v = unit(b, c), orb.Point{a[0] - b[0], a[1] - b[1]}
	}
	return u[0]*v[0] + u[1]*v[1]
}

// leastSide is the least side in metres that a rectangle is dragged to.
const leastSide = 0.01

// stretched is the rectangle with a corner, or the side that a middle handle is on, brought to a point; the corner or side across
// from it stays. With a step above 0 the sides come to whole steps. It is nil where no rectangle is left.
func stretched(f *plan.Feature, g grip, to orb.Point, step float64) *plan.Feature {
	r, ok := oblong(f)
	if !ok {
		return nil
	}
	at := func(k int) orb.Point { return r[(g.i+k)%4] }
	// reach is how far the point lies from o in a direction.
	reach := func(o, d orb.Point) float64 {
		m := (to[0]-o[0])*d[0] + (to[1]-o[1])*d[1]
		if step > 0 {
			m = math.Round(m/step) * step
		}
		return m
	}
	from := func(o, d orb.Point, m float64) orb.Point { return orb.Point{o[0] + m*d[0], o[1] + m*d[1]} }
	ring := append(orb.Ring{}, r...)
	set := func(k int, p orb.Point) { ring[(g.i+k)%4] = roundPoint(p) }
	if g.Sort == Middle {
		n, _ := axes(at(2), at(1), at(3))
		m := reach(at(2), n)
		if math.Abs(m) < leastSide {
			return nil
		}
		set(0, from(at(3), n, m))
		set(1, from(at(2), n, m))
	} else {
		o := at(2)
		u, v := axes(o, at(1), at(3))
		su, sv := reach(o, u), reach(o, v)
		if math.Abs(su) < leastSide || math.Abs(sv) < leastSide {
			return nil
		}
		set(1, from(o, u, su))
		set(0, from(from(o, u, su), v, sv))
		set(3, from(o, v, sv))
	}
	ring[4] = ring[0]
	c := f.Clone()
	c.Geometry = orb.Polygon{ring}
	return c
}

// axes are the unit vectors from o towards a and towards b, exactly square to each other: by the longer side, which the rounding
// of corners turns least.
func axes(o, a, b orb.Point) (u, v orb.Point) {
	u, v = unit(o, a), unit(o, b)
	hand := 1.0
	if u[0]*v[1]-u[1]*v[0] < 0 {
		hand = -1
	}
	if dist(o, a) >= dist(o, b) {
		return u, orb.Point{-hand * u[1], hand * u[0]}
	}
	return orb.Point{hand * v[1], -hand * v[0]}, v
}

// sizes are the figures of a rectangle that is dragged.
func sizes(f *plan.Feature, show func(float64) string) string {
	r, ok := oblong(f)
	if !ok {
		return ""
	}
	return fmt.Sprintf("%s × %s", show(dist(r[0], r[1])), show(dist(r[1], r[2])))
}
