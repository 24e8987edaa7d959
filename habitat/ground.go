package habitat

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// A ground is the site: what everything is clipped to. It holds as long as what it was made of.
type ground struct {
	shape orb.MultiPolygon
	area  float64
	hull  bool // of all features, so that nothing sticks out of it
}

// newGround is the boundary, several joined; without one, the convex hull of all features.
func (a *Assessor) newGround(all []*facts) *ground {
	var outlines, rest []orb.Geometry
	var bounds []*facts
	for _, x := range all {
		if x.feature.Kind == plan.Boundary {
			bounds = append(bounds, x)
			outlines = append(outlines, x.shape)
		} else {
			rest = append(rest, x.shape)
		}
	}
	g := &ground{}
	if len(outlines) > 0 {
		u, err := a.overlay.union(outlines...)
		if err != nil {
			a.fail("the site within its boundaries; all features together were taken for it", bounds...)
		} else if len(u) > 0 {
			g.shape = u
		}
	}
	if g.shape == nil && len(rest) > 0 {
		if h := geometry.Hull(rest...); len(h) > 0 {
			g.shape, g.hull = orb.MultiPolygon{h}, true
		}
	}
	g.area = geometry.Area(g.shape)
	return g
}

// settleGround makes the ground anew where what it is made of changed. An equal hull stays the same ground, so that what was
// measured on it holds.
func (a *Assessor) settleGround(now, was *roster) {
	if g := a.ground; g != nil {
		if len(now.bounds) > 0 && slices.Equal(now.bounds, was.bounds) && !a.boundsFailed {
			return
		}
		if len(now.bounds) == 0 && len(was.bounds) == 0 && g.hull && a.hullStays(now, was) {
			return
		}
	}
	n := len(a.faults)
	g := a.newGround(now.good)
	a.boundsFailed = len(a.faults) > n // then try again the next time
	if a.ground == nil || a.ground.hull != g.hull || !a.ground.shape.Equal(g.shape) {
		a.ground = g
	}
}

// hullStays tells surely whether the hull of all features is the one that they had before: what is gone had no corner on it, and
// what is new lies in it.
func (a *Assessor) hullStays(now, was *roster) bool {
	const few = 16
	changed, _ := difference(was.good, now.good, itself)
	if len(changed) > few {
		return false
	}
	ring := a.ground.shape[0][0]
	for _, x := range changed {
		gone := x.round != a.round
		for _, p := range geometry.Polygons(x.shape) {
			for _, v := range p[0] {
				if gone && slices.Contains(ring, v) || !gone && !geometry.Contains(a.ground.shape, v) {
					return false
				}
			}
		}
	}
	return true
}

// holds tells surely and cheaply whether ground covers a whole shape: a corner of the shape lies in it and no edges meet. A
// shape that touches the ground's outline from within is not told so, and is clipped in full.
func holds(g orb.MultiPolygon, s orb.Geometry) bool {
	box := s.Bound()
	for _, p := range geometry.Polygons(s) {
		if len(p) == 0 || len(p[0]) == 0 || !geometry.Contains(g, p[0][0]) {
			return false
		}
		for _, part := range g {
			for _, edge := range part {
				if meets(edge, p[0], box) {
					return false
				}
				if geometry.Contains(p, edge[0]) { // a hole of the ground, or a part of it, lies within the shape
					return false
				}
			}
		}
	}
	return true
}

// meets tells whether two rings have a point in common, or might: rounding counts as meeting.
func meets(a, b orb.Ring, boxB orb.Bound) bool {
	for i := 1; i < len(a); i++ {
		edge := orb.Bound{Min: a[i-1], Max: a[i-1]}.Extend(a[i])
		if !edge.Intersects(boxB) {
			continue
		}
		for j := 1; j < len(b); j++ {
			if crosses(a[i-1], a[i], b[j-1], b[j]) {
				return true
			}
		}
	}
	return false
}

func crosses(a, b, c, d orb.Point) bool {
	const touch = 1e-9 // of the product of two lengths in metres
	side := func(p, q, r orb.Point) int {
		v := (q[0]-p[0])*(r[1]-p[1]) - (q[1]-p[1])*(r[0]-p[0])
		switch {
		case v > touch:
			return 1
		case v < -touch:
			return -1
		}
		return 0
	}
	return side(a, b, c)*side(a, b, d) <= 0 && side(c, d, a)*side(c, d, b) <= 0
}

// A piece is a shape with its measures, made once.
type piece struct {
	id    int // of all pieces that the assessor made
	shape orb.Geometry
	bound orb.Bound
	area  float64
}

func (a *Assessor) newPiece(s orb.Geometry) *piece {
	a.pieces++
	return &piece{id: a.pieces, shape: s, bound: s.Bound(), area: steady(geometry.Area(s))}
}

// steady is an area in m² to a thousandth of a square millimetre: coarse enough that a shape which was only moved keeps its area
// to the last bit, and with it the cover about all beds that have it wholly in their radius.
func steady(m2 float64) float64 {
	const step = 0x1p-30
	return step * math.Round(m2/step)
}

// settle finds the part of a habitat that lies on the ground.
func (a *Assessor) settle(x *facts, g *ground) {
	if x.clippedTo == g {
		return
	}
	x.clippedTo = g
	if g.hull || holds(g.shape, x.shape) {
		if x.whole == nil {
			x.whole = a.newPiece(x.shape)
		}
		x.onSite = x.whole
		return
	}
	x.onSite = nil
	in, err := a.overlay.intersection(x.shape, g.shape)
	if err != nil {
		a.fail("what of a habitat lies on the site", x)
		x.clippedTo = nil
	} else if len(in) > 0 {
		x.onSite = a.newPiece(in)
	}
}
