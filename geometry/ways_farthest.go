package geometry

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

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
