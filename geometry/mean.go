package geometry

import (
	"container/heap"
	"math"

	"github.com/paulmach/orb"
)

// meanGap is how far from the true mean MeanDistance may be, as a share of it; meanCells bounds its work.
const (
	meanGap   = 5e-4
	meanCells = 50_000
)

// MeanDistance is the mean distance of the shape's points from the nearest site, to a thousandth of itself; +Inf without
// sites. A shape without ground answers for the points along its lines or, without those, the mean over its points.
//
// Over a triangle the distance to a convex piece lies between its tangent plane at the centre and the plane through its values
// at the corners; so does the least of several, between the least of the tangents and any one plane. Triangles with the
// largest difference are halved until the sum of the differences is small.
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
	m := meanSearch{c: c}
	c.near = c.near[:0]
	for k := range c.cut.ends {
		corners := c.cut.piece(k)
		if min(len(corners), 3) != dimension {
			continue
		}
		from := len(c.near)
		near := len(s.around(c, corners, math.Inf(1)))
		if dimension < 3 {
			m.add(meanCell{corners: [3]orb.Point{corners[0], corners[len(corners)-1]}, n: dimension, from: from, near: near})
			continue
		}
		for i := 2; i < len(corners); i++ {
			m.add(meanCell{corners: [3]orb.Point{corners[0], corners[i-1], corners[i]}, n: 3, from: from, near: near})
		}
	}
	for cells := 0; len(m.open) > 0 && m.gap > meanGap*m.sum && cells < meanCells; cells++ {
		m.halve(heap.Pop(&m.open).(meanCell))
	}
	if m.size == 0 { // ground so small that its area vanishes
		d, _ := s.DistanceFrom(s.home(c.cut.points[0]))
		return d
	}
	return m.sum / m.size
}

type meanSearch struct {
	c              *scratch
	open           meanHeap
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

// add measures a cell and takes it into the sums.
func (m *meanSearch) add(cell meanCell) {
	c := m.c
	corners := cell.corners[:cell.n]
	near := c.near[cell.from : cell.from+cell.near]
	switch cell.n {
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
		stacked := len(c.near)
		c.near = append(c.near, near...)
		near = c.near[stacked:]
		cell.from, cell.near = stacked, c.prune(corners, near, math.Inf(1))
		near = near[:cell.near]
		c.near = c.near[:stacked+cell.near]
	}
	centre := middle(corners)
	n := float64(cell.n)
	upper, atCentre := math.Inf(1), math.Inf(1)
	lowest := [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}
	least := lowest
	for i, p := range near {
		q := p.nearest(centre[0], centre[1])
		dx, dy := centre[0]-q[0], centre[1]-q[1]
		d := math.Sqrt(dx*dx + dy*dy)
		atCentre = min(atCentre, d)
		if d > 0 {
			dx, dy = dx/d, dy/d
		}
		mean := 0.0
		for k, v := range corners {
			at := c.dist[i*cell.n+k]
			mean += at / n
			least[k] = min(least[k], at)
			lowest[k] = min(lowest[k], d+dx*(v[0]-centre[0])+dy*(v[1]-centre[1]))
		}
		upper = min(upper, mean)
	}
	lower, corner := 0.0, 0.0
	for k := range corners {
		lower += lowest[k] / n
		corner += least[k] / n
	}
	lower = max(lower, 0)
	// Exact for quadratic functions: three parts centre to one of corners over a triangle, two to one over a segment.
	estimate := (n*atCentre + corner) / (n + 1)
	estimate = max(lower, min(upper, estimate))
	cell.sum, cell.gap = estimate*cell.size, max(0, upper-lower)*cell.size
	m.sum += cell.sum
	m.gap += cell.gap
	m.size += cell.size
	if cell.gap > 0 {
		heap.Push(&m.open, cell)
	}
}

// halve puts two halves, cut across the longest side, in the place of a cell.
func (m *meanSearch) halve(cell meanCell) {
	m.sum -= cell.sum
	m.gap -= cell.gap
	m.size -= cell.size
	long := 0
	for k := range cell.n {
		if distance(cell.corners[k], cell.corners[(k+1)%cell.n]) > distance(cell.corners[long], cell.corners[(long+1)%cell.n]) {
			long = k
		}
	}
	a, b := long, (long+1)%cell.n
	mid := orb.Point{
		cell.corners[a][0]/2 + cell.corners[b][0]/2,
		cell.corners[a][1]/2 + cell.corners[b][1]/2,
	}
	first, second := cell, cell
	first.corners[b], second.corners[a] = mid, mid
	m.add(first)
	m.add(second)
}

// meanHeap has the cell with the largest possible error first.
type meanHeap []meanCell

func (h meanHeap) Len() int           { return len(h) }
func (h meanHeap) Less(i, j int) bool { return h[i].gap > h[j].gap }
func (h meanHeap) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *meanHeap) Push(x any)        { *h = append(*h, x.(meanCell)) }
func (h *meanHeap) Pop() any {
	n := len(*h) - 1
	last := (*h)[n]
	*h = (*h)[:n]
	return last
}
