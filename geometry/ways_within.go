package geometry

import (
	"container/heap"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// walkGap is how much of the shape's area AreaWithin may leave undecided; half of it is the most that the answer can be wrong by.
// walkCells bounds its work.
const (
	walkGap   = 5e-4
	walkCells = 30_000
)

// AreaWithin is the area in m² of the part of the shape from which a site is no more than r metres away on foot, to a
// thousandth of the shape's area.
//
// Over a triangle the distance to a goal lies between its tangent plane at the middle and the plane through its values at the
// corners. What the upper plane leaves within r is reached, if the whole triangle sees the goal; what no tangent plane does is
// not, and neither is a triangle whose middle is too far away. Triangles with the most ground between the two are halved.
func (w *Ways) AreaWithin(g orb.Geometry, r float64) float64 {
	if !(r >= 0) {
		return 0
	}
	if w.Clear(g, r) {
		return w.sites.AreaWithin(g, r)
	}
	w = w.Open(g)
	whole := Area(g)
	c := scratches.Get().(*scratch)
	defer scratches.Put(c)
	c.area.spread = spread(g, r)
	m := walkArea{w: w, c: c, r: r}
	for _, cell := range w.cells(g) {
		corners := cell.corners()
		if len(corners) < 3 {
			continue
		}
		views := w.views(corners, r)
		for i := 2; i < len(corners); i++ {
			m.add([3]orb.Point{corners[0], corners[i-1], corners[i]}, views)
		}
	}
	for cells := 0; len(m.open) > 0 && m.gap > walkGap*whole && cells < walkCells; cells++ {
		m.halve(heap.Pop(&m.open).(walkCell))
	}
	area := m.sum + m.gap/2
	switch {
	case area >= whole*(1-1e-12):
		return whole
	case area <= whole*1e-12:
		return 0
	}
	return area
}

// walkArea is the state of one AreaWithin: the ground surely reached, and what may be besides.
type walkArea struct {
	w        *Ways
	c        *scratch
	r        float64
	open     walkHeap
	sum, gap float64
}

// A walkCell is a triangle of which gap m² are undecided.
type walkCell struct {
	corners  [3]orb.Point
	views    []view
	sum, gap float64
}

func (m *walkArea) add(corners [3]orb.Point, wider []view) {
	cell := walkCell{corners: corners}
	size := math.Abs(cross(corners[0], corners[1], corners[2])) / 2
	most, doubt := 0.0, false
	for _, v := range wider {
		if !m.w.look(&v, corners[:], m.r) {
			continue
		}
		cell.views = append(cell.views, v)
		doubt = doubt || !v.sees
		most += below(v.tangent(corners[:]), m.r)
		if v.sees {
			cell.sum = max(cell.sum, below([]float64{v.from(corners[0]), v.from(corners[1]), v.from(corners[2])}, m.r))
		}
	}
	if most = min(most, 1); doubt && cell.sum < most {
		// No point of the cell is nearer than the walk to it from the middle allows.
		at := middle(corners[:])
		if _, d := m.w.from(at); d-reachFrom(at, corners[:]) > m.r {
			return
		}
	}
	cell.sum, cell.gap = cell.sum*size, max(0, most-cell.sum)*size
	if cell.gap > 0 && !doubt && len(cell.views) <= manyNear {
		m.settle(&cell)
	}
	m.sum += cell.sum
	m.gap += cell.gap
	if cell.gap > 0 {
		heap.Push(&m.open, cell)
	}
}

// settle works out what is reached of a cell from which all ways are straight: that can be done exactly.
func (m *walkArea) settle(cell *walkCell) {
	pieces := make([]*piece, len(cell.views))
	for i := range cell.views {
		if pieces[i] = cell.views[i].piece; pieces[i] == nil {
			return
		}
	}
	cell.sum, cell.gap = m.c.areaReached(cell.corners[:], pieces, m.r), 0
}

// below is the share of a triangle in which a plane, given by its heights at the corners, is no higher than r. It sorts them.
func below(heights []float64, r float64) float64 {
	slices.Sort(heights)
	a, b, c := heights[0], heights[1], heights[2]
	switch {
	case r >= c:
		return 1
	case r < a:
		return 0
	case r < b:
		return (r - a) / (b - a) * ((r - a) / (c - a))
	}
	return 1 - (c-r)/(c-a)*((c-r)/(c-b))
}

// halve puts two halves in the place of a cell.
func (m *walkArea) halve(cell walkCell) {
	m.sum -= cell.sum
	m.gap -= cell.gap
	first, second := cell.halves()
	m.add(first, cell.views)
	m.add(second, cell.views)
}

// halves cuts a cell across its longest side.
func (cell *walkCell) halves() (first, second [3]orb.Point) {
	long := 0
	for k := range cell.corners {
		if distance(cell.corners[k], cell.corners[(k+1)%3]) > distance(cell.corners[long], cell.corners[(long+1)%3]) {
			long = k
		}
	}
	a, b := cell.corners[long], cell.corners[(long+1)%3]
	first, second = cell.corners, cell.corners
	first[(long+1)%3] = orb.Point{a[0]/2 + b[0]/2, a[1]/2 + b[1]/2}
	second[long] = first[(long+1)%3]
	return first, second
}

// walkHeap has the cell with the most undecided ground first.
type walkHeap []walkCell

func (h walkHeap) Len() int           { return len(h) }
func (h walkHeap) Less(i, j int) bool { return h[i].gap > h[j].gap }
func (h walkHeap) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *walkHeap) Push(x any)        { *h = append(*h, x.(walkCell)) }
func (h *walkHeap) Pop() any {
	n := len(*h) - 1
	last := (*h)[n]
	*h = (*h)[:n]
	return last
}
