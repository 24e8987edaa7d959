package setcover

import (
	"math"
	"math/rand/v2"
	"slices"
)

// A part is a problem of its own: it shares neither row nor limit with the rest. Its columns have numbers of their own; names
// says how the problem calls them.
type part struct {
	names []int
	cost  []int64
	step  int64 // of which all costs are multiples

	core  *core // what is still open; its names are the part's numbers
	fixed []int // columns of every choice that could still be better

	best     []int // nil while none is known
	bestCost int64
	least    int64 // no choice costs less
	done     bool  // least is the least cost
}

func newPart(c *core, start []int) *part {
	q := &part{names: c.names, cost: slices.Clone(c.cost), core: c, bestCost: math.MaxInt64 / 4}
	c.names = make([]int, len(q.names))
	given := map[int]bool{}
	for _, j := range start {
		given[j] = true
	}
	var own []int
	for j := range c.names {
		c.names[j] = j
		if given[q.names[j]] {
			own = append(own, j)
		}
	}
	for _, v := range c.cost {
		q.step = gcd(q.step, v)
	}
	q.step = max(q.step, 1)
	// The start may hold columns for what others cover now; those that fit are taken as far as they help.
	x := newChoice(c, ones(len(c.rows)))
	for _, j := range own {
		if x.gain[j] > 0 && x.fits(j) {
			x.add(j)
		}
	}
	if x.lack == 0 {
		x.thin()
		q.keep(x, c.names, nil)
	}
	return q
}

func ones(n int) []float64 {
	w := make([]float64, n)
	for i := range w {
		w[i] = 1
	}
	return w
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// up is the least cost that a choice can have if it costs no less than a bound that was summed in floating point.
func (q *part) up(bound float64) int64 {
	if bound <= 0 {
		return 0
	}
	bound -= 1e-7 * (1 + bound)
	return int64(math.Ceil(bound/float64(q.step))) * q.step
}

// raise notes a bound.
func (q *part) raise(least int64) {
	q.least = max(q.least, min(least, q.bestCost))
	if q.best != nil && q.least >= q.bestCost {
		q.done = true
	}
}

// prices are the multipliers of rows and limits, none below 0.
type prices struct{ row, limit []float64 }

// reduced are the columns' costs less what they earn at the prices.
func (c *core) reduced(y prices, into []float64) []float64 {
	for j, v := range c.cost {
		d := float64(v)
		for _, i := range c.rowsOf[j] {
			d -= y.row[i]
		}
		for _, s := range c.limitsOf[j] {
			d += y.limit[s.limit] * float64(s.weight)
		}
		into[j] = d
	}
	return into
}

// lagrangian is the bound that prices show: whoever breaks no row and limit pays at least what the rows earn, less what the limits
// hold, plus the reduced costs of those columns that bring more than they cost.
func (c *core) lagrangian(y prices, reduced []float64) (bound float64) {
	for i, r := range c.rows {
		bound += y.row[i] * float64(r.Need)
	}
	for i, l := range c.limits {
		bound -= y.limit[i] * float64(l.Most)
	}
	for _, d := range reduced {
		bound += min(0, d)
	}
	return bound
}

// strike takes out the columns that no cheaper choice can hold, or must hold, at the prices, and reduces what is left.
func (q *part) strike(y prices, reduced []float64, bound float64) {
	c := q.core
	base := q.sum(q.fixed)
	q.raise(base + q.up(bound))
	if q.done || q.best == nil {
		return
	}
	fate := make([]uint8, len(c.cost))
	any := false
	for j, d := range reduced {
		if base+q.up(bound+math.Abs(d)) < q.bestCost {
			continue
		}
		any = true
		if d > 0 {
			fate[j] = out
		} else if d < 0 {
			fate[j] = in
		}
	}
	if any {
		q.fixed = append(q.fixed, c.settle(fate)...)
		q.shrink()
	}
}

// shrink reduces the core; one that has no choice left shows that there is no better one.
func (q *part) shrink() {
	forced, ok := q.core.reduce()
	q.fixed = append(q.fixed, forced...)
	base := q.sum(q.fixed)
	switch {
	case !ok:
		q.raise(q.bestCost)
		q.done = true
	case len(q.core.rows) == 0:
		q.keep(newChoice(q.core, nil), q.core.names, q.fixed)
		q.raise(min(q.bestCost, base))
	}
}

func (q *part) sum(list []int) (sum int64) {
	for _, j := range list {
		sum += q.cost[j]
	}
	return sum
}

// bound finds multipliers by subgradient steps (Held, Wolfe and Crowder, Mathematical Programming 6, 1974, doi
// 10.1007/BF01580223), strikes out what they allow, and tries the greedy choice at reduced costs now and then, which betters it
// (Beasley, Naval Research Logistics 37, 1990).
func (q *part) bound(s *search) {
	for range 3 {
		if q.done || s.stopped() || s.goodEnough() || len(q.core.rows) == 0 {
			return
		}
		before := len(q.core.cost)
		y, reduced, bound := q.subgradient(s)
		q.strike(y, reduced, bound)
		if len(q.core.cost) > before*9/10 {
			return
		}
	}
}

func (q *part) subgradient(s *search) (best prices, bestReduced []float64, bestBound float64) {
	c := q.core
	y := prices{make([]float64, len(c.rows)), make([]float64, len(c.limits))}
	for i, r := range c.rows { // to begin with, what the cheapest column asks of each of its rows
		y.row[i] = math.Inf(1)
		for _, j := range r.Columns {
			y.row[i] = min(y.row[i], float64(c.cost[j])/float64(len(c.rowsOf[j])))
		}
	}
	bestBound = math.Inf(-1)
	reduced := make([]float64, len(c.cost))
	slope, load := make([]float64, len(c.rows)), make([]float64, len(c.limits))
	base := q.sum(q.fixed)
	target := float64(q.bestCost - base)
	if q.best == nil {
		target = 0
		for _, v := range c.cost {
			target += float64(v)
		}
	}
	step, since := 2.0, 0
	r := rand.New(rand.NewPCG(uint64(len(c.cost)), 0x72656163))
	const rounds, patience = 300, 15
	for n := range rounds {
		if n%16 == 15 && s.ctx.Err() != nil {
			break
		}
		bound := c.lagrangian(y, c.reduced(y, reduced))
		if bound > bestBound {
			if bound > bestBound+1e-4*math.Abs(bestBound) {
				since = 0
			}
			bestBound = bound
			best = prices{slices.Clone(y.row), slices.Clone(y.limit)}
			bestReduced = slices.Clone(reduced)
		}
		if since++; since > patience {
			since, step = 0, step/2
			if step < 0.01 {
				break
			}
		}
		if n%25 == 24 {
			x := newChoice(c, ones(len(c.rows)))
			if x.fill(reduced, 0.05, r) {
				x.thin()
				if q.keep(x, c.names, q.fixed) {
					target = float64(q.bestCost - base)
				}
			}
			if base+q.up(bestBound) >= q.bestCost {
				break
			}
		}
		norm := 0.0
		for i, row := range c.rows {
			slope[i] = float64(row.Need)
		}
		for i, l := range c.limits {
			load[i] = -float64(l.Most)
		}
		for j, d := range reduced {
			if d < 0 {
				for _, i := range c.rowsOf[j] {
					slope[i]--
				}
				for _, t := range c.limitsOf[j] {
					load[t.limit] += float64(t.weight)
				}
			}
		}
		for i, v := range slope {
			if v < 0 && y.row[i] <= 0 {
				slope[i] = 0
			}
			norm += slope[i] * slope[i]
		}
		for i, v := range load {
			if v < 0 && y.limit[i] <= 0 {
				load[i] = 0
			}
			norm += load[i] * load[i]
		}
		if norm == 0 {
			break
		}
		t := step * (max(target, bestBound)*1.01 - bound) / norm
		for i := range slope {
			y.row[i] = max(0, y.row[i]+t*slope[i])
		}
		for i := range load {
			y.limit[i] = max(0, y.limit[i]+t*load[i])
		}
	}
	return best, bestReduced, bestBound
}
