package setcover

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// A choice is columns chosen, with what they leave of rows and limits.
type choice struct {
	c    *core
	in   []bool
	need []int     // of each row, still
	room []int64   // of each limit, still
	gain []float64 // of each column: the weights of the rows that it would help
	heed []float64 // weights of rows
	lack int       // rows still in need
}

func newChoice(c *core, heed []float64) *choice {
	x := &choice{c: c, in: make([]bool, len(c.cost)), need: make([]int, len(c.rows)), room: make([]int64, len(c.limits)),
		gain: make([]float64, len(c.cost)), heed: heed}
	for i, r := range c.rows {
		x.need[i] = r.Need
		x.lack++
		for _, j := range r.Columns {
			x.gain[j] += heed[i]
		}
	}
	for i, l := range c.limits {
		x.room[i] = l.Most
	}
	return x
}

func (x *choice) fits(j int) bool {
	for _, s := range x.c.limitsOf[j] {
		if x.room[s.limit] < s.weight {
			return false
		}
	}
	return true
}

func (x *choice) add(j int) {
	x.in[j] = true
	for _, s := range x.c.limitsOf[j] {
		x.room[s.limit] -= s.weight
	}
	for _, i := range x.c.rowsOf[j] {
		x.need[i]--
		if x.need[i] == 0 {
			x.lack--
			for _, k := range x.c.rows[i].Columns {
				x.gain[k] -= x.heed[i]
			}
		}
	}
}

func (x *choice) drop(j int) {
	x.in[j] = false
	for _, s := range x.c.limitsOf[j] {
		x.room[s.limit] += s.weight
	}
	for _, i := range x.c.rowsOf[j] {
		x.need[i]++
		if x.need[i] == 1 {
			x.lack++
			for _, k := range x.c.rows[i].Columns {
				x.gain[k] += x.heed[i]
			}
		}
	}
}

// fill adds columns, each time the one that costs the least for what it helps (Chvátal, Mathematics of Operations Research 4,
// 1979, doi 10.1287/moor.4.3.233, where prices are the costs), until every row has what it needs. It is false where that fails.
// noise, from 0 to 1, lets chance in.
func (x *choice) fill(price []float64, noise float64, r *rand.Rand) bool {
	const slight = 1e-9
	for x.lack > 0 {
		best, score := -1, math.Inf(1)
		for j, g := range x.gain {
			if x.in[j] || g <= slight {
				continue
			}
			s := price[j] / g
			if price[j] < 0 {
				s = price[j] * g
			}
			if noise > 0 {
				s += math.Abs(s) * noise * r.Float64()
			}
			if s < score && x.fits(j) {
				best, score = j, s
			}
		}
		if best < 0 {
			return false
		}
		x.add(best)
	}
	return true
}

// thin drops the columns that nothing needs, the dearest first.
func (x *choice) thin() {
	for _, j := range x.chosen(func(a, b int) int { return cmp.Or(cmp.Compare(x.c.cost[b], x.c.cost[a]), cmp.Compare(b, a)) }) {
		spare := true
		for _, i := range x.c.rowsOf[j] {
			if x.need[i] >= 0 {
				spare = false
				break
			}
		}
		if spare {
			x.drop(j)
		}
	}
}

func (x *choice) chosen(order func(a, b int) int) (list []int) {
	for j, in := range x.in {
		if in {
			list = append(list, j)
		}
	}
	if order != nil {
		slices.SortFunc(list, order)
	}
	return list
}

func (x *choice) cost() (sum int64) {
	for j, in := range x.in {
		if in {
			sum += x.c.cost[j]
		}
	}
	return sum
}

// keep makes a choice the part's best if it is cheaper.
func (q *part) keep(x *choice, names []int, extra []int) bool {
	cost := x.cost()
	for _, j := range extra {
		cost += q.cost[j]
	}
	if cost >= q.bestCost {
		return false
	}
	q.bestCost, q.best = cost, slices.Clone(extra)
	for _, j := range x.chosen(nil) {
		q.best = append(q.best, names[j])
	}
	slices.Sort(q.best)
	return true
}

// start finds a first choice: greedily, where limits stand in the way again with more heed for the rows that were left out, and
// then by taking some of it away and filling up again, for as long as a few million steps go.
func (q *part) start(seed uint64) {
	c := q.core
	r := rand.New(rand.NewPCG(seed, 0x48656467))
	heed, price := make([]float64, len(c.rows)), make([]float64, len(c.cost))
	for i := range heed {
		heed[i] = 1
	}
	for j, v := range c.cost {
		price[j] = float64(v)
	}
	var x *choice
	for range 20 {
		x = newChoice(c, slices.Clone(heed))
		if x.fill(price, 0, r) {
			break
		}
		for i, n := range x.need {
			if n > 0 {
				heed[i] *= 2
			}
		}
		x = nil
	}
	if x == nil {
		return
	}
	x.thin()
	q.keep(x, c.names, q.fixed)
	q.better(x, price, r, 8_000_000)
}

// better is a local search from a choice: about a fifth of it is taken away, its place filled up with some chance, and the outcome
// kept unless it is dearer.
func (q *part) better(x *choice, price []float64, r *rand.Rand, steps int) {
	c := x.c
	best := x.chosen(nil)
	bestCost := x.cost()
	each := (len(c.cost) + 1) * (len(best)/4 + 2)
	for n := min(400, steps/each); n > 0; n-- {
		for _, j := range best {
			if !x.in[j] {
				x.add(j)
			}
		}
		took := 0
		for _, j := range best {
			if r.IntN(5) == 0 {
				x.drop(j)
				took++
			}
		}
		if took == 0 && len(best) > 0 {
			x.drop(best[r.IntN(len(best))])
		}
		done := x.fill(price, 0.5, r)
		if done {
			x.thin()
		}
		if cost := x.cost(); done && cost <= bestCost {
			best, bestCost = x.chosen(nil), cost
			q.keep(x, c.names, q.fixed)
			continue
		}
		for _, j := range x.chosen(nil) {
			x.drop(j)
		}
	}
}
