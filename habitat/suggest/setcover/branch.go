package setcover

import (
	"container/heap"
	"math"
	"math/rand/v2"
)

// A node is a problem of branch and bound: the part's with some columns chosen or ruled out.
type node struct {
	parent *node
	column int
	to     float64 // 0 or 1
	bound  float64
	depth  int
	serial int
}

// nodes are open nodes, the least bound first, of equals the deepest and latest.
type nodes []*node

func (q nodes) Len() int { return len(q) }
func (q nodes) Less(i, j int) bool {
	a, b := q[i], q[j]
	if a.bound != b.bound {
		return a.bound < b.bound
	}
	if a.depth != b.depth {
		return a.depth > b.depth
	}
	return a.serial > b.serial
}
func (q nodes) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *nodes) Push(x any)   { *q = append(*q, x.(*node)) }
func (q *nodes) Pop() any {
	old := *q
	x := old[len(old)-1]
	*q = old[:len(old)-1]
	return x
}

// branch goes on by branch and bound until the part's least cost is proven, or the search is to stop. The error is ErrNone.
func (q *part) branch(s *search) error {
	if q.done || s.stopped() || s.goodEnough() {
		return nil
	}
	// The relaxation of the whole part first: its multipliers strike out more.
	for len(q.core.rows) > 0 {
		t := newTableau(q.core)
		end, bound := t.solve(q.cutoff(), s.stopped)
		if end == empty {
			return q.exhausted()
		}
		if end == optimal || end == dear {
			q.round(t, s)
		}
		before := len(q.core.cost)
		q.strike(t.y, t.reduced, bound)
		s.report(false)
		if q.done || s.stopped() || s.goodEnough() {
			return nil
		}
		if len(q.core.cost) == before {
			return q.tree(s, t)
		}
	}
	return nil
}

// exhausted is what follows where nothing better than the best can be.
func (q *part) exhausted() error {
	if q.best == nil {
		return ErrNone
	}
	q.raise(q.bestCost)
	q.done = true
	return nil
}

// cutoff is the bound in the core's costs from which on a node can hold nothing better.
func (q *part) cutoff() float64 {
	if q.best == nil {
		return math.Inf(1)
	}
	v := float64(q.bestCost - q.step - q.sum(q.fixed))
	return v + 1e-6*(1+math.Abs(v))
}

// round makes a choice of the relaxed values: columns above a half, filled up at what the others lack of 1.
func (q *part) round(t *tableau, s *search) {
	c := q.core
	x := newChoice(c, ones(len(c.rows)))
	price := make([]float64, len(c.cost))
	for j := range c.cost {
		v := t.x[j]
		price[j] = float64(c.cost[j]) * (1.0001 - min(1, max(0, v)))
		if v > 0.6 && x.fits(j) && x.gain[j] > 0 {
			x.add(j)
		}
	}
	r := rand.New(rand.NewPCG(uint64(s.nodes), 0x726f756e))
	if !x.fill(price, 0, r) {
		return
	}
	x.thin()
	if q.keep(x, c.names, q.fixed) {
		for j := range price {
			price[j] = float64(c.cost[j])
		}
		q.better(x, price, r, 1_000_000)
		s.report(false)
	}
}

// A record is what branching on a column has done to the bound so far, for one part lost and for one part gained.
type record struct{ gain, times [2]float64 }

func (r *record) of(side int, usual float64) float64 {
	if r.times[side] == 0 {
		return usual
	}
	return r.gain[side] / r.times[side]
}

// tree is branch and bound: it dives, and where a dive ends it goes on from the open node with the least bound. It branches on the
// column that promises the most by what branching on it has done so far (pseudo-costs: Bénichou and others, Mathematical
// Programming 1, 1971, doi 10.1007/BF01584074).
func (q *part) tree(s *search, t *tableau) error {
	base := q.sum(q.fixed)
	records := make([]record, t.n)
	var open nodes
	var touched []int
	cur := &node{bound: math.Inf(-1)}
	serial := 0
	enter := func(n *node) {
		for _, j := range touched {
			t.set(j, 0, 1)
		}
		touched = touched[:0]
		for ; n.parent != nil; n = n.parent {
			t.set(n.column, n.to, n.to)
			touched = append(touched, n.column)
		}
	}
	for {
		if cur == nil {
			for len(open) > 0 && open[0].bound > q.cutoff() {
				heap.Pop(&open)
			}
			if len(open) == 0 {
				return q.exhausted()
			}
			q.raise(base + q.up(open[0].bound))
			s.report(false)
			if q.done || s.goodEnough() {
				return nil
			}
			cur = heap.Pop(&open).(*node)
			enter(cur)
		}
		if s.stopped() {
			least := cur.bound
			if len(open) > 0 {
				least = min(least, open[0].bound)
			}
			q.raise(base + q.up(least))
			return nil
		}
		s.nodes++
		end, bound := t.solve(q.cutoff(), s.stopped)
		bound = max(bound, cur.bound)
		if p := cur.parent; p != nil && end == optimal && !math.IsInf(p.bound, 0) {
			r := &records[cur.column]
			side := int(cur.to)
			r.gain[side] += bound - p.bound
			r.times[side]++
		}
		cur.bound = bound
		if end == empty || end == dear || bound > q.cutoff() {
			cur = nil
			continue
		}
		j := q.choose(t, records)
		if j < 0 {
			if end == optimal { // whole values
				x := newChoice(q.core, ones(len(q.core.rows)))
				for j := range t.n {
					if t.x[j] > 0.5 {
						x.add(j)
					}
				}
				if x.lack == 0 && !x.over() {
					q.keep(x, q.core.names, q.fixed)
					s.report(false)
					cur = nil
					continue
				}
			}
			if s.stopped() {
				continue
			}
			if j = q.free(t); j < 0 {
				cur = nil // all columns are set, and the values were no choice
				continue
			}
		}
		if s.nodes%16 == 1 {
			q.round(t, s)
			if bound > q.cutoff() {
				cur = nil
				continue
			}
		}
		to := 1.0
		if t.x[j] < 0.3 {
			to = 0
		}
		serial += 2
		heap.Push(&open, &node{cur, j, 1 - to, bound, cur.depth + 1, serial})
		cur = &node{cur, j, to, bound, cur.depth + 1, serial + 1}
		t.set(j, to, to)
		touched = append(touched, j)
	}
}

// over tells whether a limit is broken.
func (x *choice) over() bool {
	for _, v := range x.room {
		if v < 0 {
			return true
		}
	}
	return false
}

// choose finds the column to branch on, -1 where all values are whole.
func (q *part) choose(t *tableau, records []record) int {
	usual := [2]float64{1, 1}
	for side := range usual {
		sum, times := 0.0, 0.0
		for i := range records {
			sum += records[i].gain[side]
			times += records[i].times[side]
		}
		if times > 0 {
			usual[side] = sum / times
		}
	}
	best, score := -1, -1.0
	for j := range t.n {
		f := t.x[j]
		if f < 1e-6 || f > 1-1e-6 || t.lo[j] == t.up[j] {
			continue
		}
		size := 1e-3 * float64(len(t.c.rowsOf[j])) / float64(t.m+1)
		down := records[j].of(0, usual[0]*2*f)
		up := records[j].of(1, usual[1]*2*(1-f))
		if v := max(down, 1e-6)*max(up, 1e-6)*(1+size) + 1e-9*min(f, 1-f); v > score {
			best, score = j, v
		}
	}
	return best
}

// free is a column that is not set yet, -1 where all are.
func (q *part) free(t *tableau) int {
	for j := range t.n {
		if t.lo[j] != t.up[j] {
			return j
		}
	}
	return -1
}
