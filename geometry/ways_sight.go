package geometry

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Clear is a cheap test for whether ways matter: true when no obstacle can lengthen a way from any point of the shape to the
// sites, so that the sites' own measures of it hold. Ways longer than reach metres (+Inf: none) do not count. It may answer
// false where ways turn out to be straight after all.
func (w *Ways) Clear(g orb.Geometry, reach float64) bool {
	if len(w.bars) == 0 || w.sites.empty() || g == nil {
		return true
	}
	c := scratches.Get().(*scratch)
	defer scratches.Put(c)
	c.cut.reset()
	c.cut.add(g, w.origin)
	barLo, barHi := w.barTree.bounds()
	for k := range c.cut.ends {
		corners := c.cut.piece(k)
		c.near = c.near[:0]
		near := w.sites.around(c, corners, reach)
		if len(near) == 0 {
			continue
		}
		// A straight way is no longer than the farthest corner is from the piece that suits all corners best.
		c.measure(corners, near)
		_, far := c.least(near, len(corners))
		far = min(far, reach)
		lo, hi := boxOf(corners)
		if boxDist2(lo, hi, barLo, barHi) > far*far {
			continue
		}
		for _, p := range near[:c.prune(corners, near, reach)] {
			if !w.sees(corners, &goal{piece: p}) {
				return false
			}
		}
	}
	return true
}

// sees tells whether all straight legs from a convex cell to a goal are clear, true only if so. The legs lie in the hull of the
// cell and the feet of its corners: of any two points of the cell, the legs from the line between them sweep the ground between
// their own two legs, and where they wrap round a corner of the piece, one of them meets it in the direction in which that corner
// would stand out of the hull.
func (w *Ways) sees(corners []orb.Point, t *goal) bool {
	for _, v := range corners {
		if !w.clear(v, t.foot(v)) {
			return false
		}
	}
	hull := w.sweep(corners, t)
	if len(hull.edges) < 3 {
		return true // all in one line
	}
	free := true
	w.wallTree.each(hull.min, hull.max, func(i int) {
		free = free && !hull.cutBy(w.walls[i].from, w.walls[i].to, slack)
	})
	return free
}

// blind tells whether all straight legs from a convex cell to a goal are barred, true only if so: whether one convex piece of an
// obstacle lies across all lines between corners of the cell and points that the legs end between. (Seen from one point, what
// lies behind a convex piece is convex; so what holds for the corners holds for all of the cell.)
func (w *Ways) blind(corners []orb.Point, t *goal) bool {
	hull := w.sweep(corners, t)
	var feet []orb.Point
	for _, v := range corners {
		if f := t.foot(v); !slices.Contains(feet, f) {
			feet = append(feet, f)
		}
	}
	if t.piece != nil {
		for _, v := range t.piece.corners() { // legs wrap round these
			if hull.dist2(v[0], v[1]) < slack*slack && !slices.Contains(feet, v) {
				feet = append(feet, v)
			}
		}
	}
	const deep = 100 * slack // so that no doubt is left
	blind := false
	w.barTree.each(hull.min, hull.max, func(i int) {
		if blind || boxDist2(w.bars[i].min, w.bars[i].max, hull.min, hull.max) > 0 {
			return
		}
		for _, v := range corners {
			for _, f := range feet {
				if !w.bars[i].cutBy(v, f, deep) {
					return
				}
			}
		}
		blind = true
	})
	return blind
}

// sweep is the hull of a cell and the feet of its corners.
func (w *Ways) sweep(corners []orb.Point, t *goal) *piece {
	points := slices.Clone(corners)
	for _, v := range corners {
		points = append(points, t.foot(v))
	}
	points = convexHull(points)
	hull := &piece{edges: appendEdges(make([]edge, 0, len(points)), points)}
	hull.box(points)
	return hull
}

// cutBy tells whether the segment from a to b comes deeper into the convex polygon than the margin.
func (p *piece) cutBy(a, b orb.Point, margin float64) bool {
	if len(p.edges) < 3 {
		return false
	}
	from, to := 0.0, 1.0
	for i := range p.edges {
		e := &p.edges[i]
		s, _ := e.place(a[0], a[1])
		end, _ := e.place(b[0], b[1])
		if from, to = clip(from, to, s, end-s, math.Inf(-1), -margin); !(from < to) {
			return false
		}
	}
	return true
}

// A view is a goal as seen from a convex cell.
type view struct {
	goal
	sees   bool    // every straight leg from the cell to it is clear
	lowest float64 // no point of the cell is nearer to it
}

// look tries what a view of a larger cell is in this one, and tells whether any point of the cell may have its way by it. limit
// is a length that no way from the cell need have more than.
func (w *Ways) look(v *view, corners []orb.Point, limit float64) bool {
	v.lowest = slices.Min(v.tangent(corners))
	if v.lowest > limit {
		return false
	}
	if !v.sees {
		if w.blind(corners, &v.goal) {
			return false
		}
		v.sees = w.sees(corners, &v.goal)
	}
	return true
}

// tangent gives, at each corner, the height of the plane that touches the distance at the middle of the cell; the distance being
// convex, it is nowhere lower.
func (t *goal) tangent(corners []orb.Point) []float64 {
	m := middle(corners)
	foot := t.foot(m)
	dx, dy := m[0]-foot[0], m[1]-foot[1]
	d := math.Sqrt(dx*dx + dy*dy)
	if d > 0 {
		dx, dy = dx/d, dy/d
	}
	heights := make([]float64, len(corners))
	for k, v := range corners {
		heights[k] = d + t.metres + dx*(v[0]-m[0]) + dy*(v[1]-m[1])
	}
	return heights
}

// views lists the goals that ways from a cell can go to first, as long as they are no longer than the limit.
func (w *Ways) views(corners []orb.Point, limit float64) []view {
	w.reckon()
	lo, hi := boxOf(corners)
	var views []view
	for _, p := range w.sites.gather(nil, lo, hi, limit) {
		views = append(views, view{goal: goal{piece: p}})
	}
	for i := range w.bends {
		b := &w.bends[i]
		if math.Sqrt(boxDist2(b.at, b.at, lo, hi))+b.metres <= limit {
			views = append(views, view{goal: b.goal(int32(i))})
		}
	}
	return views
}
