package geometry

import (
	"container/heap"
	"math"

	"github.com/paulmach/orb"
)

// walkMeanGap is how far apart the bounds of a mean way may be, as a share of it; the estimate lies between them, mostly far
// nearer to the truth than either. walkMeanFloor is the same in metres.
const (
	walkMeanGap   = 4e-3
	walkMeanFloor = 1e-3
)

// MeanDistance is the mean length of the shortest ways on foot from the shape's points to the sites, to a quarter of a
// hundredth of itself or a millimetre; +Inf where some of its ground has no way at all, and for a shape without ground.
//
// Cells are bounded as in Sites' MeanDistance, by goals that all of the cell sees from above and by all goals that it may
// see from below. Where neither says enough, no point of a cell is farther or nearer than the walk to its middle allows.
func (w *Ways) MeanDistance(g orb.Geometry) float64 {
	if w.Clear(g, math.Inf(1)) {
		return w.sites.MeanDistance(g)
	}
	w = w.Open(g)
	c := scratches.Get().(*scratch)
	defer scratches.Put(c)
	m := walkMean{w: w, c: c}
	for _, cell := range w.cells(g) {
		corners := cell.corners()
		if len(corners) < 3 {
			continue
		}
		top := math.Inf(1)
		for _, v := range corners {
			_, d := w.from(v)
			if math.IsInf(d, 1) {
				return d
			}
			top = min(top, d+reachFrom(v, corners))
		}
		views := w.views(corners, top)
		for i := 2; i < len(corners); i++ {
			m.add([3]orb.Point{corners[0], corners[i-1], corners[i]}, views)
		}
	}
	if m.size == 0 {
		return math.Inf(1)
	}
	for cells := 0; len(m.open) > 0 && m.gap > max(walkMeanGap*m.sum, walkMeanFloor*m.size) && cells < walkCells; cells++ {
		m.halve(heap.Pop(&m.open).(walkCell))
	}
	return m.sum / m.size
}

// walkMean is the state of one MeanDistance: the integral of the distance as estimated, how far apart its bounds are, and
// the area.
type walkMean struct {
	w              *Ways
	c              *scratch
	open           walkHeap
	sum, gap, size float64
}

func (m *walkMean) add(corners [3]orb.Point, wider []view) {
	size := math.Abs(cross(corners[0], corners[1], corners[2])) / 2
	if size == 0 {
		return
	}
	cell := walkCell{corners: corners}
	at := middle(corners[:])
	_, here := m.w.from(at)
	reach := reachFrom(at, corners[:])
	var above, below []float64 // a row for each goal, as in scratch.dist
	for _, v := range wider {
		if !m.w.look(&v, corners[:], here+reach) {
			continue
		}
		cell.views = append(cell.views, v)
		below = append(below, v.tangent(corners[:])...)
		if v.sees {
			above = append(above, v.from(corners[0]), v.from(corners[1]), v.from(corners[2]))
		}
	}
	lower, upper := here-reach, here+reach
	if len(below) > 0 {
		lower = max(lower, meanOfLeast(below))
	}
	const few = 6 * 3
	for i := 0; i < min(len(above), few); i += 3 {
		upper = min(upper, meanOfLess(above[i:i+3], above[i:i+3]))
		for j := 0; j < i; j += 3 {
			upper = min(upper, meanOfLess(above[i:i+3], above[j:j+3]))
		}
	}
	estimate := here
	if len(above) > 0 {
		estimate = (3*lower + upper) / 4 // as for straight lines
	}
	cell.sum = min(max(estimate, lower), upper) * size
	cell.gap = max(0, upper-lower) * size
	m.sum += cell.sum
	m.gap += cell.gap
	m.size += size
	if cell.gap > 0 {
		heap.Push(&m.open, cell)
	}
}

// meanOfLeast bounds from below the mean over a triangle of the least of linear functions, a row of three corners each.
func meanOfLeast(rows []float64) float64 {
	switch len(rows) {
	case 3:
		return meanOfLess(rows, rows)
	case 6:
		return meanOfLess(rows[:3], rows[3:])
	}
	mean := 0.0 // the least of linear functions is concave, so above the plane through its corners
	for k := range 3 {
		least := math.Inf(1)
		for i := k; i < len(rows); i += 3 {
			least = min(least, rows[i])
		}
		mean += least / 3
	}
	return mean
}

// halve puts two halves in the place of a cell.
func (m *walkMean) halve(cell walkCell) {
	m.sum -= cell.sum
	m.gap -= cell.gap
	m.size -= math.Abs(cross(cell.corners[0], cell.corners[1], cell.corners[2])) / 2
	first, second := cell.halves()
	m.add(first, cell.views)
	m.add(second, cell.views)
}
