package geometry

import (
	"math"
	"slices"
	"sync"

	"github.com/paulmach/orb"
)

// scratch is what one measurement needs to keep: pooled, so that measuring allocates nothing.
//
// Measures over an area (farthest point, area within, mean, field) work on convex cells. A cell knows its corners and the
// pieces near it. Two facts do the work, both from the distance d to a convex set being convex:
//
//   - over a cell, d is at most what the corners' values interpolate to, so at most the largest of them;
//   - over a cell, d is at least its tangent plane at any point.
//
// So a piece whose tangent plane lies above another's distance at every corner is nowhere nearer than that other in the
// whole cell, and can be forgotten there. That leaves one or two pieces in most cells, where answers are exact.
type scratch struct {
	cut     cutter
	cell    piece
	points  []orb.Point // corners of cells, stacked
	near    []*piece    // pieces near cells, stacked
	dist    []float64   // a row for each near piece: its distance from each corner of the cell
	tangent []float64
	feet    []orb.Point // of each near piece, the point nearest to the cell's middle
	far     farSearch
	area    areaSearch
	mean    meanSearch
}

var scratches = sync.Pool{New: func() any { return new(scratch) }}

// measure fills dist with the distance of every corner from every near piece.
func (c *scratch) measure(corners []orb.Point, near []*piece) {
	c.dist = slices.Grow(c.dist[:0], len(near)*len(corners))
	for _, p := range near {
		for _, v := range corners {
			c.dist = append(c.dist, math.Sqrt(p.dist2(v[0], v[1])))
		}
	}
}

func (c *scratch) row(i, corners int) []float64 { return c.dist[i*corners : (i+1)*corners] }

// least is the piece whose largest distance over the cell is the least, and that distance: a bound for how far any point
// of the cell can be from the sites. measure comes first.
func (c *scratch) least(near []*piece, corners int) (best int, bound float64) {
	bound = math.Inf(1)
	for i := range near {
		if most := slices.Max(c.row(i, corners)); most < bound {
			best, bound = i, most
		}
	}
	return best, bound
}

// prune forgets the near pieces that are nowhere in the cell nearer than some other one, nor anywhere within the limit; the
// rest come first, in their order, their rows with them. measure comes first.
func (c *scratch) prune(corners []orb.Point, near []*piece, limit float64) (kept int) {
	m := len(corners)
	centre := middle(corners)
	// Every piece is tried against each of the others while they are few, and against the likeliest one when many.
	const few = 12
	likely, _ := c.least(near, m)
	c.tangent = slices.Grow(c.tangent[:0], m)[:m]
	alive := func(i int) bool { return near[i] != nil }
	c.feet = c.feet[:0]
	for j := range near {
		q := near[j].nearest(centre[0], centre[1])
		c.feet = append(c.feet, q)
		dx, dy := centre[0]-q[0], centre[1]-q[1]
		d := math.Sqrt(dx*dx + dy*dy)
		if d > 0 {
			dx, dy = dx/d, dy/d
		}
		lowest := math.Inf(1)
		for k, v := range corners {
			t := d + dx*(v[0]-centre[0]) + dy*(v[1]-centre[1])
			c.tangent[k] = t
			lowest = min(lowest, t)
		}
		drop := lowest > limit
		if len(near) > few {
			drop = drop || likely != j && alive(likely) && c.above(c.row(likely, m), near[likely], near[j])
		} else {
			for i := 0; i < len(near) && !drop; i++ {
				drop = i != j && alive(i) && c.above(c.row(i, m), near[i], near[j])
			}
		}
		if drop {
			near[j] = nil
		}
	}
	if len(near) <= few {
		c.dropSameCorner(corners, near)
	}
	for j, p := range near {
		if p == nil {
			continue
		}
		near[kept] = p
		copy(c.row(kept, m), c.row(j, m))
		kept++
	}
	return kept
}

// dropSameCorner forgets pieces that are nearest to the whole cell by a corner that another piece has too: pieces of one
// shape, or shapes drawn corner to corner. The points nearest to a given corner of a convex set are a cone, so if all the
// cell's corners are among them then the cell is.
func (c *scratch) dropSameCorner(corners []orb.Point, near []*piece) {
	const same = 1e-11
	for i, p := range near {
		if p == nil {
			continue
		}
		at := c.feet[i]
		for j, q := range near {
			if i == j || q == nil || math.Abs(c.feet[j][0]-at[0]) > same || math.Abs(c.feet[j][1]-at[1]) > same {
				continue
			}
			if !slices.ContainsFunc(corners, func(v orb.Point) bool { return distance(p.nearest(v[0], v[1]), at) > same }) {
				near[i] = nil
				break
			}
		}
	}
}

// above tells whether the tangent plane just worked out, of piece q, lies on or above the row of piece p. Twins count once.
func (c *scratch) above(row []float64, p, q *piece) bool {
	for k, d := range row {
		if c.tangent[k] < d {
			return p.min == q.min && p.max == q.max && slices.Equal(p.edges, q.edges)
		}
	}
	return true
}

func middle(corners []orb.Point) orb.Point {
	var c orb.Point
	for _, v := range corners {
		c[0] += v[0]
		c[1] += v[1]
	}
	n := float64(len(corners))
	return orb.Point{c[0] / n, c[1] / n}
}

func boxOf(corners []orb.Point) (lo, hi orb.Point) {
	lo, hi = corners[0], corners[0]
	for _, v := range corners[1:] {
		lo = orb.Point{min(lo[0], v[0]), min(lo[1], v[1])}
		hi = orb.Point{max(hi[0], v[0]), max(hi[1], v[1])}
	}
	return lo, hi
}

// split stacks the two halves of a cell, cut across its longer extent, on points, and answers where each ends. ok is
// false for a cell too small to have halves.
func (c *scratch) split(corners []orb.Point) (first, second int, ok bool) {
	lo, hi := boxOf(corners)
	axis := 0
	if hi[1]-lo[1] > hi[0]-lo[0] {
		axis = 1
	}
	at := lo[axis]/2 + hi[axis]/2
	if !(lo[axis] < at && at < hi[axis]) {
		return 0, 0, false
	}
	half := func(keep float64) {
		for i, a := range corners {
			b := corners[(i+1)%len(corners)]
			da, db := (a[axis]-at)*keep, (b[axis]-at)*keep
			if da >= 0 {
				c.points = append(c.points, a)
			}
			if da > 0 && db < 0 || da < 0 && db > 0 {
				if keep < 0 {
					a, b, da, db = b, a, db, da // both halves work out the very same point
				}
				t := da / (da - db)
				v := orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
				v[axis] = at
				c.points = append(c.points, v)
			}
		}
	}
	from := len(c.points)
	half(1)
	first = c.tidy(from)
	half(-1)
	second = c.tidy(first)
	return first, second, true
}

// tidy drops repeated corners at the end of the stack.
func (c *scratch) tidy(from int) int {
	q := slices.Compact(c.points[from:])
	for len(q) > 1 && q[0] == q[len(q)-1] {
		q = q[:len(q)-1]
	}
	c.points = c.points[:from+len(q)]
	return len(c.points)
}

// around finds the pieces that can be nearest to some point of the cell, or within the limit of it if that is less: those
// not wholly farther than the likeliest piece can be from any corner. They go on top of near.
func (s *Sites) around(c *scratch, corners []orb.Point, limit float64) []*piece {
	near, _ := s.about(c, corners, limit)
	return near
}

// about is around, and how far about the cell's box it looked.
func (s *Sites) about(c *scratch, corners []orb.Point, limit float64) (near []*piece, looked float64) {
	centre := middle(corners)
	radius := 0.0
	for _, v := range corners {
		dx, dy := v[0]-centre[0], v[1]-centre[1]
		radius = max(radius, dx*dx+dy*dy)
	}
	radius = math.Sqrt(radius) * (1 + 1e-12)
	p, _ := s.nearestTo(centre[0], centre[1])
	if p == nil {
		return nil, math.Inf(1)
	}
	bound := 0.0
	for _, v := range corners {
		bound = max(bound, p.dist2(v[0], v[1]))
	}
	bound = max(min(math.Sqrt(bound), limit)*(1+1e-12), touching) // so that all that touch are found
	lo, hi := boxOf(corners)
	from := len(c.near)
	c.near = s.gather(c.near, lo, hi, bound)
	// Distance changes by no more than one walks.
	c.near = c.near[:from+len(slices.DeleteFunc(c.near[from:], func(p *piece) bool {
		return math.Sqrt(p.dist2(centre[0], centre[1])) > bound+radius
	}))]
	return c.near[from:], bound
}
