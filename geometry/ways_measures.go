package geometry

import (
	"cmp"
	"container/heap"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Nearest is the length of the shortest way from any point of the shape to any site, and where it begins and ends; 0 where
// they touch or overlap.
func (w *Ways) Nearest(g orb.Geometry) Span {
	span := w.sites.Nearest(g)
	if span.Site < 0 || span.Metres == 0 {
		return span
	}
	if w = w.Open(g); w.clear(w.inner(span.From), w.inner(span.To)) {
		return span
	}
	w.reckon()
	type start struct {
		metres float64
		from   orb.Point
		goal   goal
	}
	var starts []start
	shortest := start{metres: math.Inf(1)}
	choose := func() {
		slices.SortStableFunc(starts, func(a, b start) int { return cmp.Compare(a.metres, b.metres) })
		for _, s := range starts {
			if s.metres >= shortest.metres {
				break
			}
			if w.clear(s.from, s.goal.foot(s.from)) {
				shortest = s
			}
		}
		starts = starts[:0]
	}
	cells := w.cells(g)
	for i := range w.bends {
		b := &w.bends[i]
		if math.IsInf(b.metres, 1) {
			continue
		}
		for _, cell := range cells {
			from := cell.nearest(b.at[0], b.at[1])
			starts = append(starts, start{distance(from, b.at) + b.metres, from, b.goal(int32(i))})
		}
	}
	choose()
	for _, cell := range cells {
		for _, p := range w.sites.gather(nil, cell.min, cell.max, shortest.metres) {
			d2, from, _ := between(cell, p)
			starts = append(starts, start{math.Sqrt(d2), from, goal{piece: p}})
		}
	}
	choose()
	if math.IsInf(shortest.metres, 1) {
		return nowhere
	}
	return w.span(shortest.from, shortest.goal, shortest.metres)
}

// span describes the way that begins at a point and goes to a goal first.
func (w *Ways) span(from orb.Point, t goal, metres float64) Span {
	at := from
	for t.piece == nil {
		at, t = t.at, w.bends[t.bend].next
	}
	return Span{Metres: metres, Site: int(t.piece.site), From: w.outer(from), To: w.outer(t.foot(at))}
}

func (w *Ways) outer(p orb.Point) orb.Point { return orb.Point{p[0] + w.origin[0], p[1] + w.origin[1]} }

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

// Farthest is the length of the longest of the shortest ways from the shape's points, to 0.01 m or better (mostly a
// micrometre). From is the point that is farthest on foot. A shape of which some ground has no way at all is at infinite
// distance.
//
// Cells of the shape are halved as in Sites' Farthest, until what bounds them shows that they hold nothing farther. A goal that
// the whole cell sees bounds it by its largest distance, which is at a corner; two such goals by the highest place where their
// distances cross, which is on the edge; and any corner bounds it by its own distance and the walk there.
func (w *Ways) Farthest(g orb.Geometry) Span {
	if w.Clear(g, math.Inf(1)) {
		return w.sites.Farthest(g)
	}
	w = w.Open(g)
	c := scratches.Get().(*scratch)
	defer scratches.Put(c)
	f := farWalk{w: w, c: c, best: -1, gap: farWalkGaps[0].gap, known: map[orb.Point]float64{}}
	for _, cell := range w.cells(g) {
		corners := cell.corners()
		top := math.Inf(1)
		for k, v := range corners {
			_, d := w.from(v)
			if math.IsInf(d, 1) || !w.clear(v, corners[(k+1)%len(corners)]) { // a line can run into an obstacle
				return nowhere
			}
			f.known[v] = d
			top = min(top, d+reachFrom(v, corners))
		}
		c.points = c.points[:0]
		f.cell(corners, w.views(corners, top))
	}
	first, d := w.from(f.at)
	if f.best < 0 || math.IsInf(d, 1) {
		return nowhere
	}
	return w.span(f.at, first, d)
}

// reachFrom is how far it is from a point to the farthest corner.
func reachFrom(p orb.Point, corners []orb.Point) float64 {
	far := 0.0
	for _, v := range corners {
		far = max(far, distance(p, v))
	}
	return far
}

// farWalkGaps is to ways what farGaps is to straight lines: a cell costs more here, so the gap widens sooner.
var farWalkGaps = []struct {
	cells int
	gap   float64
}{{500, 1e-6}, {1_000, 1e-5}, {2_000, 1e-4}, {4_000, 1e-3}, {math.MaxInt, 9e-3}}

// farWalkCells ends a search for good, as farCells does.
const farWalkCells = 100_000

// farWalk is the state of one search for the point farthest on foot.
type farWalk struct {
	w     *Ways
	c     *scratch
	best  float64
	at    orb.Point
	gap   float64
	cells int
	known map[orb.Point]float64 // distances of points: cells share corners
}

// measure is the distance of a point of a cell, given the cell's views.
func (f *farWalk) measure(p orb.Point, views []view) float64 {
	d, ok := f.known[p]
	if !ok {
		d = math.Inf(1)
		type hop struct {
			view int
			d    float64
		}
		hops := make([]hop, len(views))
		for i := range views {
			hops[i] = hop{i, views[i].from(p)}
		}
		slices.SortFunc(hops, func(a, b hop) int { return cmp.Or(cmp.Compare(a.d, b.d), cmp.Compare(a.view, b.view)) })
		for _, h := range hops {
			if v := &views[h.view]; v.sees || f.w.clear(p, v.foot(p)) {
				d = h.d
				break
			}
		}
		f.known[p] = d
	}
	if d > f.best && !math.IsInf(d, 1) {
		f.best, f.at = d, p
	}
	return d
}

func (f *farWalk) cell(corners []orb.Point, wider []view) {
	f.cells++
	for _, step := range farWalkGaps {
		if f.cells <= step.cells {
			f.gap = step.gap
			break
		}
	}
	top := math.Inf(1)
	for _, v := range corners {
		top = min(top, f.measure(v, wider)+reachFrom(v, corners))
	}
	if len(corners) == 1 || top <= f.best+f.gap || f.cells > farWalkCells {
		return
	}
	views := make([]view, 0, len(wider))
	var seen []int // views that see the whole cell, with the largest distance of each
	most := make([]float64, 0, len(wider))
	for _, v := range wider {
		if !f.w.look(&v, corners, top) {
			continue
		}
		if v.sees {
			far := 0.0
			for _, p := range corners {
				far = max(far, v.from(p))
			}
			top = min(top, far)
			seen, most = append(seen, len(views)), append(most, far)
		}
		views = append(views, v)
	}
	if top <= f.best+f.gap || f.pairs(corners, views, seen, most) {
		return
	}
	views = slices.DeleteFunc(views, func(v view) bool { return v.lowest > top })
	from := len(f.c.points)
	if first, second, ok := f.c.split(corners); ok {
		f.cell(f.c.points[from:first:first], views)
		f.cell(f.c.points[first:second:second], views)
	}
	f.c.points = f.c.points[:from]
}

// pairs tells whether two goals that see the whole cell show that it holds nothing farther.
func (f *farWalk) pairs(corners []orb.Point, views []view, seen []int, most []float64) bool {
	const few = 3 // the likeliest
	order := make([]int, len(seen))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(most[a], most[b]) })
	order = order[:min(few, len(order))]
	for i, a := range order {
		for _, b := range order[:i] {
			r := ridge{p: &views[seen[a]].goal, q: &views[seen[b]].goal, best: f.best, gap: f.gap / 2}
			for k, v := range corners {
				u := corners[(k+1)%len(corners)]
				r.edge(v, u, r.p.from(v), r.q.from(v), r.p.from(u), r.q.from(u), 0)
			}
			if r.best > f.best {
				f.measure(r.at, views)
			}
			if !r.lost && r.best+r.gap <= f.best+f.gap {
				return true
			}
		}
	}
	return false
}

// A ridge is a search for the highest place along a cell's edge of the smaller of two distances.
type ridge struct {
	p, q *goal
	best float64
	at   orb.Point
	gap  float64 // how much higher than best a place may be and be passed over
	lost bool    // the search was given up
}

// edge searches a segment as farSearch does.
func (r *ridge) edge(a, b orb.Point, pa, qa, pb, qb float64, depth int) {
	if d := min(pa, qa); d > r.best {
		r.best, r.at = d, a
	}
	if d := min(pb, qb); d > r.best {
		r.best, r.at = d, b
	}
	if (pa <= qa) == (pb <= qb) {
		return
	}
	t := (qa - pa) / ((qa - pa) - (qb - pb))
	if !(t > 0 && t < 1) {
		return
	}
	if bound := pa + t*(pb-pa); bound <= r.best+r.gap {
		return
	}
	if depth > 60 {
		r.lost = true
		return
	}
	if depth%2 == 1 {
		t = 0.5
	}
	m := orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
	pm, qm := r.p.from(m), r.q.from(m)
	r.edge(a, m, pa, qa, pm, qm, depth+1)
	r.edge(m, b, pm, qm, pb, qb, depth+1)
}

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
// not. Triangles with the most ground between the two are halved.
func (w *Ways) AreaWithin(g orb.Geometry, r float64) float64 {
	if !(r >= 0) {
		return 0
	}
	if w.Clear(g, r) {
		return w.sites.AreaWithin(g, r)
	}
	w = w.Open(g)
	whole := Area(g)
	m := walkArea{w: w, r: r}
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
	most := 0.0
	for _, v := range wider {
		if !m.w.look(&v, corners[:], m.r) {
			continue
		}
		cell.views = append(cell.views, v)
		most += below(v.tangent(corners[:]), m.r)
		if v.sees {
			cell.sum = max(cell.sum, below([]float64{v.from(corners[0]), v.from(corners[1]), v.from(corners[2])}, m.r))
		}
	}
	cell.sum, cell.gap = cell.sum*size, max(0, min(most, 1)-cell.sum)*size
	m.sum += cell.sum
	m.gap += cell.gap
	if cell.gap > 0 {
		heap.Push(&m.open, cell)
	}
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

// halve puts two halves, cut across the longest side, in the place of a cell.
func (m *walkArea) halve(cell walkCell) {
	m.sum -= cell.sum
	m.gap -= cell.gap
	long := 0
	for k := range cell.corners {
		if distance(cell.corners[k], cell.corners[(k+1)%3]) > distance(cell.corners[long], cell.corners[(long+1)%3]) {
			long = k
		}
	}
	a, b := cell.corners[long], cell.corners[(long+1)%3]
	first, second := cell.corners, cell.corners
	first[(long+1)%3] = orb.Point{a[0]/2 + b[0]/2, a[1]/2 + b[1]/2}
	second[long] = first[(long+1)%3]
	m.add(first, cell.views)
	m.add(second, cell.views)
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
