package geometry

import (
	"math"

	"github.com/paulmach/orb"
)

// farSearch is the state of one search for the point of a shape that lies farthest from the sites.
type farSearch struct {
	sites *Sites
	best  float64
	at    orb.Point
	gap   float64 // how much farther than best a point may be and be passed over
	cells int
}

// The search looks for the farthest point to within a micrometre. Shapes made to be hard (the deepest ground a whole
// area, all at one distance from many pieces) use up their cells; then it widens the gap step by step, to a centimetre at
// most.
var farGaps = []struct {
	cells int
	gap   float64
}{{2_000, 1e-6}, {6_000, 1e-5}, {12_000, 1e-4}, {24_000, 1e-3}, {math.MaxInt, 1e-2}}

// farCells ends a search for good; what it found is then the distance of a true point of the shape, but perhaps not the
// farthest.
const farCells = 1_000_000

// Farthest is the directed Hausdorff distance from the shape to the sites: the largest distance from any point of the
// shape to the nearest site, to 0.01 m or better (a micrometre for anything but contrived ground). From is the deepest
// point, which may lie inside the shape.
//
// The shape is cut into convex cells. Where a single piece is nearest throughout a cell, its distance is a convex
// function and largest at a corner. Where two are, the smaller of two convex functions has no peak inside that the cell's
// edge does not match, so the edges are searched: the ground where one falls below the peak's height is convex, so a
// half-plane through the peak is free of it; so is one of the other; and the two half-planes share a ray from the peak to
// the edge. Cells with more are halved, unless what any two of the pieces allow shows that they hold nothing farther.
func (s *Sites) Farthest(g orb.Geometry) Span {
	if s.empty() || g == nil {
		return nowhere
	}
	c := scratches.Get().(*scratch)
	defer scratches.Put(c)
	c.cut.reset()
	c.cut.add(g, s.origin)
	if len(c.cut.ends) == 0 {
		return nowhere
	}
	c.far = farSearch{sites: s, best: -1, gap: farGaps[0].gap}
	for k := range c.cut.ends {
		corners := c.cut.piece(k)
		c.points, c.near = c.points[:0], c.near[:0]
		c.farCell(corners, s.around(c, corners, math.Inf(1)))
	}
	return c.farthest(s)
}

// farthest is what the search found.
func (c *scratch) farthest(s *Sites) Span {
	at := c.far.at
	c.far.sites = nil
	p, d2 := s.nearestTo(at[0], at[1])
	return Span{Metres: math.Sqrt(d2), Site: int(p.site), From: s.home(at), To: s.home(p.nearest(at[0], at[1]))}
}

func (f *farSearch) try(d float64, at orb.Point) {
	if d > f.best {
		f.best, f.at = d, at
	}
}

func (c *scratch) farCell(corners []orb.Point, near []*piece) {
	f := &c.far
	f.cells++
	for _, step := range farGaps {
		if f.cells <= step.cells {
			f.gap = step.gap
			break
		}
	}
	c.measure(corners, near)
	m := len(corners)
	for k, v := range corners {
		d := math.Inf(1)
		for i := range near {
			d = min(d, c.dist[i*m+k])
		}
		f.try(d, v)
	}
	if m == 1 || f.cells > farCells {
		return
	}
	if _, bound := c.least(near, m); bound <= f.best+f.gap {
		return
	}
	near = near[:c.prune(corners, near, math.Inf(1))]
	switch len(near) {
	case 1:
		return
	case 2:
		for k, a := range corners {
			b := corners[(k+1)%m]
			f.edge(near[0], near[1], a, b, c.dist[k], c.dist[m+k], c.dist[(k+1)%m], c.dist[m+(k+1)%m], 0)
		}
		return
	}
	bound, at := c.pairBound(corners, len(near))
	if bound <= f.best+f.gap {
		return
	}
	likely := math.Inf(1)
	for _, p := range near {
		likely = min(likely, p.dist2(at[0], at[1]))
	}
	f.try(math.Sqrt(likely), at)
	top, stacked := len(c.points), len(c.near)
	first, second, ok := c.split(corners)
	if ok {
		for _, half := range [2][2]int{{top, first}, {first, second}} {
			c.near = append(c.near, near...)
			c.farCell(c.points[half[0]:half[1]:half[1]], c.near[stacked:])
			c.near = c.near[:stacked]
		}
	}
	c.points = c.points[:top]
}

// pairBound bounds the distance over a cell by the least that any two of its near pieces allow, which by the argument at
// Farthest is the most that they allow along the cell's edges. It answers the point of the edge for which they allow that.
func (c *scratch) pairBound(corners []orb.Point, near int) (bound float64, at orb.Point) {
	const few = 8 // beyond that the pairs are too many, and the cell too large for the bound to help
	m := len(corners)
	bound = math.Inf(1)
	for i := range min(near, few) {
		for j := range i {
			p, q := c.row(i, m), c.row(j, m)
			most, edge, along := -1.0, 0, 0.0
			for k := range m {
				l := (k + 1) % m
				if d, t := chords(p[k], q[k], p[l], q[l]); d > most {
					most, edge, along = d, k, t
				}
			}
			if most < bound {
				a, b := corners[edge], corners[(edge+1)%m]
				bound, at = most, orb.Point{a[0] + along*(b[0]-a[0]), a[1] + along*(b[1]-a[1])}
			}
		}
	}
	return bound, at
}

// chords bounds the smaller of two convex functions on a segment, given their values at its ends, by the chords above
// them, and tells how far along, from 0 to 1, the chords allow that.
func chords(pa, qa, pb, qb float64) (bound, t float64) {
	bound = min(pa, qa)
	if b := min(pb, qb); b > bound {
		bound, t = b, 1
	}
	if s := (qa - pa) / ((qa - pa) - (qb - pb)); s > 0 && s < 1 {
		if b := pa + s*(pb-pa); b > bound {
			return b, s
		}
	}
	return bound, t
}

// edge searches the segment from a to b, where the two pieces are pa, qa metres away at a and pb, qb at b. The chord between
// the ends lies above each distance, so the point where the chords cross bounds the peak, and is also the likeliest place.
func (f *farSearch) edge(p, q *piece, a, b orb.Point, pa, qa, pb, qb float64, depth int) {
	f.try(min(pa, qa), a)
	f.try(min(pb, qb), b)
	bound, t := chords(pa, qa, pb, qb)
	if bound <= f.best+f.gap || depth > 100 {
		return
	}
	if depth%2 == 1 { // chords alone can creep towards one end
		t = 0.5
	}
	m := orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
	pm, qm := math.Sqrt(p.dist2(m[0], m[1])), math.Sqrt(q.dist2(m[0], m[1]))
	f.edge(p, q, a, m, pa, qa, pm, qm, depth+1)
	f.edge(p, q, m, b, pm, qm, pb, qb, depth+1)
}
