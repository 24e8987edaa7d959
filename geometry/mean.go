package geometry

import (
	"math"

	"github.com/paulmach/orb"
)

// meanGap is how far apart the bounds of the mean may be, as a share of it: the estimate lies a quarter of the way up
// from the lower (a third on a line), so it is within a thousandth. meanCells bounds the work.
const (
	meanGap   = 1.3e-3
	meanCells = 50_000
)

// MeanDistance is the mean distance of the shape's points from the nearest site, to a thousandth of itself; +Inf without
// sites. A shape without ground answers for the points along its lines or, without those, the mean over its points.
//
// Over a triangle the distance to a convex piece lies between its tangent plane at the centre and the plane through its
// values at the corners. The least of the distances to two pieces lies between the least of their tangent planes and the
// least of their planes above, whose means are known. Triangles with too large a difference are halved until the sum of
// the differences is small.
func (s *Sites) MeanDistance(g orb.Geometry) float64 {
	if s.empty() || g == nil {
		return math.Inf(1)
	}
	c := scratches.Get().(*scratch)
	defer scratches.Put(c)
	c.cut.reset()
	c.cut.add(g, s.origin)
	dimension := 0
	c.cut.pieces(func(corners []orb.Point) { dimension = max(dimension, min(len(corners), 3)) })
	if dimension == 0 {
		return math.Inf(1)
	}
	m := &c.mean
	*m = meanSearch{open: m.open[:0], next: m.next[:0]}
	c.near = c.near[:0]
	for k := range c.cut.ends {
		corners := c.cut.piece(k)
		if min(len(corners), 3) != dimension {
			continue
		}
		from := len(c.near)
		near := len(s.around(c, corners, math.Inf(1)))
		if dimension < 3 {
			c.meanCell(meanCell{corners: [3]orb.Point{corners[0], corners[len(corners)-1]}, n: dimension, from: from, near: near})
			continue
		}
		for i := 2; i < len(corners); i++ {
			c.meanCell(meanCell{corners: [3]orb.Point{corners[0], corners[i-1], corners[i]}, n: 3, from: from, near: near})
		}
	}
	for cells := 0; len(m.next) > 0 && m.gap > meanGap*m.sum && cells < meanCells; {
		m.open, m.next = m.next, m.open[:0]
		for _, cell := range m.open {
			if cell.gap*m.size <= meanGap*m.sum*cell.size {
				m.next = append(m.next, cell)
				continue
			}
			m.sum, m.gap, m.size = m.sum-cell.sum, m.gap-cell.gap, m.size-cell.size
			first, second := cell.halves()
			c.meanCell(first)
			c.meanCell(second)
			cells += 2
		}
	}
	if m.size == 0 { // ground so small that its area vanishes
		d, _ := s.DistanceFrom(s.home(c.cut.points[0]))
		return d
	}
	return max(0, m.sum/m.size) // rounding can leave a trace below nothing
}

type meanSearch struct {
	open, next     []meanCell
	sum, gap, size float64 // integral of the distance, bound of its error, area (length, number)
}

// A meanCell is a triangle, a segment or a point, with the pieces that can be nearest in it: near of them in the scratch's
// stack.
type meanCell struct {
	corners        [3]orb.Point
	n              int
	from, near     int
	size, sum, gap float64
}

// meanCell measures a cell and takes it into the sums.
func (c *scratch) meanCell(cell meanCell) {
	n := cell.n
	corners := cell.corners[:n]
	near := c.near[cell.from : cell.from+cell.near]
	switch n {
	case 1:
		cell.size = 1
	case 2:
		cell.size = distance(corners[0], corners[1])
	case 3:
		cell.size = math.Abs(cross(corners[0], corners[1], corners[2])) / 2
	}
	c.measure(corners, near)
	if cell.near > 1 {
		// Cells of one parent share its list, so the shorter list goes on top of the stack.
		cell.from = len(c.near)
		c.near = append(c.near, near...)
		near = c.near[cell.from:]
		cell.near = c.prune(corners, near, math.Inf(1))
		near = near[:cell.near]
		c.near = c.near[:cell.from+cell.near]
	}
	lower, upper := c.meanBounds(corners, near)
	// Right for quadratic functions: over a triangle three parts of the centre's value to one of the corners', over a
	// segment two.
	estimate := (float64(n)*lower + upper) / float64(n+1)
	m := &c.mean
	cell.sum, cell.gap = estimate*cell.size, max(0, upper-lower)*cell.size
	m.sum += cell.sum
	m.gap += cell.gap
	m.size += cell.size
	if cell.gap > 0 {
		m.next = append(m.next, cell)
	}
}

// meanBounds bounds the mean distance over a cell. measure comes first.
func (c *scratch) meanBounds(corners []orb.Point, near []*piece) (lower, upper float64) {
	n := len(corners)
	centre := middle(corners)
	c.tangent = c.tangent[:0]
	for _, p := range near {
		foot := p.nearest(centre[0], centre[1])
		dx, dy := centre[0]-foot[0], centre[1]-foot[1]
		d := math.Sqrt(dx*dx + dy*dy)
		if d > 0 {
			dx, dy = dx/d, dy/d
		}
		for _, v := range corners {
			c.tangent = append(c.tangent, d+dx*(v[0]-centre[0])+dy*(v[1]-centre[1]))
		}
	}
	const few = 6
	upper = math.Inf(1)
	for i := range min(len(near), few) {
		upper = min(upper, meanOfLess(c.row(i, n), c.row(i, n)))
		for j := range i {
			upper = min(upper, meanOfLess(c.row(i, n), c.row(j, n)))
		}
	}
	switch len(near) {
	case 1:
		lower = meanOfLess(c.tangent, c.tangent)
	case 2:
		lower = meanOfLess(c.tangent[:n], c.tangent[n:])
	default:
		// The least of many planes is concave, so above the plane through its corners.
		for k := range n {
			least := math.Inf(1)
			for i := range near {
				least = min(least, c.tangent[i*n+k])
			}
			lower += least / float64(n)
		}
	}
	return max(lower, 0), max(upper, 0)
}

// meanOfLess is the mean, over a point, a segment or a triangle, of the lesser of two linear functions given at its corners.
func meanOfLess(f, g []float64) float64 {
	var over [3]float64 // how far f is above g
	mean, above := 0.0, 0
	n := float64(len(f))
	for k := range f {
		over[k] = f[k] - g[k]
		mean += f[k] / n
		if over[k] > 0 {
			above++
		}
	}
	// The mean of the part of a linear function above 0, where it is so at one corner only: a at that corner and b (and
	// c) at the rest, the ground above 0 is the share a/(a-b)·a/(a-c) of the whole, and the mean there a/n.
	tip := func(sign float64) float64 {
		share := 0.0
		for k := range f {
			if a := sign * over[k]; a > 0 {
				share = a / n
				for l := range f {
					if l != k {
						share *= a / (a - sign*over[l])
					}
				}
			}
		}
		return share
	}
	switch all := over[0]/n + over[1]/n + over[2]/n; {
	case above == 0:
		return mean
	case above == len(f):
		return mean - all
	case above == 1:
		return mean - tip(1)
	default: // above at two corners of a triangle: below at one
		return mean - all - tip(-1)
	}
}

// halves cuts a cell across its longest side.
func (cell meanCell) halves() (first, second meanCell) {
	side := func(k int) float64 { return distance(cell.corners[k], cell.corners[(k+1)%cell.n]) }
	a := 0
	for k := range cell.n {
		if side(k) > side(a) {
			a = k
		}
	}
	b := (a + 1) % cell.n
	mid := orb.Point{
		cell.corners[a][0]/2 + cell.corners[b][0]/2,
		cell.corners[a][1]/2 + cell.corners[b][1]/2,
	}
	first, second = cell, cell
	first.corners[b], second.corners[a] = mid, mid
	return first, second
}
