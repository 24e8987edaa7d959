package geometry

import (
	"math"

	"github.com/paulmach/orb"
)

// meanGap is how far apart the bounds of the mean may be, as a share of it: the estimate lies a quarter of the way up
// from the lower (a third on a line), so it is within a thousandth. meanFloor is the same in metres, for shapes that lie
// all but wholly on the sites. meanCells bounds the work.
const (
	meanGap   = 1.3e-3
	meanFloor = 1e-4
	meanCells = 50_000
)

// MeanDistance is the mean distance of the shape's points from the nearest site, to a thousandth of itself or a tenth of
// a millimetre; +Inf without sites. A shape without ground answers for the points along its lines or, without those, the
// mean over its points.
//
// Over a triangle the distance to a convex piece lies between its tangent plane at the centre and the plane through its
// values at the corners. The least of the distances to two pieces lies between the least of their tangent planes and the
// least of their planes above, whose means are known. Triangles with too large a difference are halved until the sum of
// the differences is small. Where one side or corner of one piece is nearest throughout, the integral is exact.
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
	for cells := 0; len(m.next) > 0 && m.gap > m.allowed() && cells < meanCells; {
		m.open, m.next = m.next, m.open[:0]
		for _, cell := range m.open {
			if cell.gap*m.size <= m.allowed()*cell.size {
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

// allowed is the largest gap at which the mean is good enough.
func (m *meanSearch) allowed() float64 { return max(meanGap*m.sum, meanFloor*m.size) }

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
	if len(near) == 1 && n == 3 && cell.size > 0 {
		if sum, plain := near[0].integral(&cell.corners); plain {
			c.mean.sum += sum
			c.mean.size += cell.size
			return
		}
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

// integral is the integral of the distance to a piece over a triangle all of which is nearest to one side of it, or to one of its
// corners, or inside; plain tells whether it is such a triangle. The ground nearest to a given side or corner is convex, so it
// is enough to look at the triangle's corners.
func (p *piece) integral(corners *[3]orb.Point) (sum float64, plain bool) {
	part, side := p.part(corners[0][0], corners[0][1])
	for _, v := range corners[1:] {
		if at, k := p.part(v[0], v[1]); at != part || k != side {
			return 0, false
		}
	}
	e := &p.edges[side]
	switch part {
	case onInside:
		return 0, true
	case onSide:
		s, _ := e.place((corners[0][0]+corners[1][0]+corners[2][0])/3, (corners[0][1]+corners[1][1]+corners[2][1])/3)
		return math.Abs(s * cross(corners[0], corners[1], corners[2]) / 2), true
	}
	at := orb.Point{e.ax, e.ay}
	if part == onEnd {
		at = e.at(e.length)
	}
	return integralFromPoint(at, corners), true
}

// integralFromPoint is the integral of the distance from a point over a triangle: of the three triangles that the point makes
// with its sides, those that turn the other way taken off. In such a triangle, h from the point to the side's line, the integral
// of r·r dr dφ runs to r = h/cos φ: ∫ h³/(3 cos³ φ) dφ = ⅙(h·t·s + h³·arsinh(t/|h|)) with t = h·tan φ along the line and s the
// distance there.
func integralFromPoint(o orb.Point, corners *[3]orb.Point) float64 {
	sum := 0.0
	for k, a := range corners {
		b := corners[(k+1)%3]
		dx, dy := b[0]-a[0], b[1]-a[1]
		l := math.Sqrt(dx*dx + dy*dy)
		if l == 0 {
			continue
		}
		h := ((a[0]-o[0])*dy - (a[1]-o[1])*dx) / l
		if math.Abs(h) < 1e-100 { // its cube, and what that is multiplied by, leave the range of numbers
			continue
		}
		upTo := func(v orb.Point) float64 {
			t := ((v[0]-o[0])*dx + (v[1]-o[1])*dy) / l
			return (h*t*math.Sqrt(h*h+t*t) + h*h*h*math.Asinh(t/math.Abs(h))) / 6
		}
		sum += upTo(b) - upTo(a)
	}
	return math.Abs(sum)
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
