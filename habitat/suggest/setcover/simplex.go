package setcover

import "math"

// A tableau solves the linear relaxation by the dual simplex method with bounded variables (Koberstein, The Dual Simplex Method,
// Techniques for a Fast and Stable Implementation, thesis, Paderborn 2005), on a dense tableau. The columns' variables are 0 to
// n-1, those of rows and limits, which equal the sums over them, follow. Costs are at least 0, so that the start with all columns
// at 0 has proper reduced costs; they stay proper whatever bounds of variables change, and branch and bound goes on from where it
// stands.
type tableau struct {
	c     *core
	n, m  int
	t     []float64 // m × n: the basic variables in terms of the others
	basic []int     // the variable of each line of t
	other []int     // the variable of each column of t
	place []int     // of each variable: its column of t, or n and more for its line
	lo    []float64
	up    []float64
	x     []float64
	d     []float64 // reduced costs of the others
	w     []float64 // devex weights of the lines
	steps int       // since the tableau was made afresh
	total int

	y       prices // room for multipliers
	reduced []float64
}

func newTableau(c *core) *tableau {
	t := &tableau{c: c, n: len(c.cost), m: len(c.rows) + len(c.limits)}
	size := t.n + t.m
	t.t = make([]float64, t.n*t.m)
	t.basic, t.other, t.place = make([]int, t.m), make([]int, t.n), make([]int, size)
	t.lo, t.up, t.x = make([]float64, size), make([]float64, size), make([]float64, size)
	t.d, t.w = make([]float64, t.n), make([]float64, t.m)
	t.y = prices{make([]float64, len(c.rows)), make([]float64, len(c.limits))}
	t.reduced = make([]float64, t.n)
	for j := range t.n {
		t.up[j] = 1
	}
	for i, r := range c.rows {
		t.lo[t.n+i], t.up[t.n+i] = float64(r.Need), math.Inf(1)
	}
	for i, l := range c.limits {
		t.lo[t.n+len(c.rows)+i], t.up[t.n+len(c.rows)+i] = math.Inf(-1), float64(l.Most)
	}
	t.fresh()
	return t
}

// fresh goes back to the start, with the bounds as they are.
func (t *tableau) fresh() {
	clear(t.t)
	for i, r := range t.c.rows {
		for _, j := range r.Columns {
			t.t[i*t.n+j] = 1
		}
	}
	for i, l := range t.c.limits {
		for k, j := range l.Columns {
			t.t[(len(t.c.rows)+i)*t.n+j] = float64(l.Weights[k])
		}
	}
	for j := range t.n {
		t.other[j], t.place[j] = j, j
		t.d[j] = float64(t.c.cost[j])
		t.x[j] = t.lo[j]
	}
	for i := range t.m {
		t.basic[i], t.place[t.n+i], t.w[i] = t.n+i, t.n+i, 1
	}
	t.values()
	t.steps = 0
}

// values works out the basic variables.
func (t *tableau) values() {
	for i := range t.m {
		line := t.t[i*t.n : (i+1)*t.n]
		sum := 0.0
		for k, a := range line {
			if a != 0 {
				sum += a * t.x[t.other[k]]
			}
		}
		t.x[t.basic[i]] = sum
	}
}

// set changes the bounds of a column's variable.
func (t *tableau) set(j int, lo, up float64) {
	t.lo[j], t.up[j] = lo, up
	k := t.place[j]
	if k >= t.n {
		return
	}
	v := lo
	if t.d[k] < 0 {
		v = up
	}
	if v != t.x[j] {
		t.move(k, v-t.x[j])
	}
}

// move changes the value of the variable of column k, and the basic ones with it.
func (t *tableau) move(k int, by float64) {
	t.x[t.other[k]] += by
	for i := range t.m {
		if a := t.t[i*t.n+k]; a != 0 {
			t.x[t.basic[i]] += a * by
		}
	}
}

// How a run of the simplex method ends.
type ending int

const (
	optimal ending = iota
	dear           // the bound is no less than asked
	empty          // no values are within the bounds
	broken         // it did not end in time; the bound holds all the same
)

const (
	tight = 1e-7 // how far a variable may lie outside its bounds
	tiny  = 1e-9
)

// solve goes on until the values are within bounds, or the bound reaches the cutoff. stop is asked now and then.
func (t *tableau) solve(cutoff float64, stop func() bool) (end ending, bound float64) {
	for n := 0; ; n++ {
		if t.steps > 600 {
			t.again()
		}
		if n%20 == 19 {
			if b := t.bound(); b >= cutoff {
				return dear, b
			}
			if stop() {
				return broken, t.bound()
			}
		}
		if n > 20*(t.m+t.n)+1000 {
			return broken, t.bound()
		}
		// The line that lies farthest outside, by its weight.
		r, worst, below := -1, 0.0, false
		for i, v := range t.basic {
			x := t.x[v]
			if e := t.lo[v] - x; e > tight && e*e > worst*t.w[i] {
				r, worst, below = i, e*e/t.w[i], true
			}
			if e := x - t.up[v]; e > tight && e*e > worst*t.w[i] {
				r, worst, below = i, e*e/t.w[i], false
			}
		}
		if r < 0 {
			return optimal, t.bound()
		}
		q := t.entering(r, below)
		if q < 0 {
			if t.provedEmpty(r) {
				return empty, math.Inf(1)
			}
			if t.steps > 0 { // rounding may have spoilt it
				t.again()
				continue
			}
			return broken, t.bound()
		}
		t.pivot(r, q, below)
	}
}

// entering finds the column to enter by the ratio test, in two passes after Harris (Mathematical Programming 5, 1973, doi
// 10.1007/BF01580108): of the ratios within rounding of the least, the largest element.
func (t *tableau) entering(r int, below bool) int {
	line := t.t[r*t.n : (r+1)*t.n]
	sign := 1.0
	if !below {
		sign = -1
	}
	usable := func(k int, a float64) bool {
		v := t.other[k]
		if t.lo[v] == t.up[v] {
			return false
		}
		if t.x[v] == t.lo[v] {
			return a > tiny
		}
		return a < -tiny
	}
	least := math.Inf(1)
	for k, a := range line {
		if a *= sign; a != 0 && usable(k, a) {
			least = min(least, (math.Abs(t.d[k])+tiny)/math.Abs(a))
		}
	}
	best, size := -1, 0.0
	for k, a := range line {
		if a *= sign; a != 0 && usable(k, a) && math.Abs(t.d[k]) <= least*math.Abs(a) && math.Abs(a) > size {
			best, size = k, math.Abs(a)
		}
	}
	return best
}

// pivot lets the variable of line r leave for the bound that it lies beyond, and that of column q enter.
func (t *tableau) pivot(r, q int, below bool) {
	leaves, enters := t.basic[r], t.other[q]
	to := t.up[leaves]
	if below {
		to = t.lo[leaves]
	}
	line := t.t[r*t.n : (r+1)*t.n]
	a := line[q]
	t.move(q, (to-t.x[leaves])/a)
	t.x[leaves] = to

	inv := 1 / a
	dq := t.d[q] * inv
	wr := t.w[r]
	for i := range t.m {
		if i == r {
			continue
		}
		other := t.t[i*t.n : (i+1)*t.n]
		f := other[q]
		if f == 0 {
			continue
		}
		f *= inv
		t.w[i] = max(t.w[i], f*f*wr)
		if math.Abs(f) < 1e-13 {
			other[q] = 0
			continue
		}
		for k, v := range line {
			other[k] -= f * v
		}
		other[q] = f
	}
	t.w[r] = max(1, wr*inv*inv)
	for k, v := range line {
		if v != 0 {
			t.d[k] -= dq * v
			line[k] = -v * inv
		}
	}
	t.d[q], line[q] = dq, inv
	t.basic[r], t.other[q] = enters, leaves
	t.place[enters], t.place[leaves] = t.n+r, q
	t.steps++
	t.total++
}

// again makes the tableau afresh with the same variables basic, so that rounding errors do not add up.
func (t *tableau) again() {
	var want []int // columns' variables that are basic
	in := make([]bool, t.n+t.m)
	for _, v := range t.basic {
		in[v] = true
		if v < t.n {
			want = append(want, v)
		}
	}
	at := append([]float64(nil), t.x...)
	t.fresh()
	for _, j := range want {
		k := t.place[j]
		best, size := -1, 1e-6
		for i, v := range t.basic {
			if a := math.Abs(t.t[i*t.n+k]); v >= t.n && !in[v] && a > size {
				best, size = i, a
			}
		}
		if best >= 0 {
			t.pivot(best, k, true)
		}
	}
	for k, v := range t.other {
		t.x[v] = at[v]
		lo, up := t.lo[v], t.up[v]
		if at[v] != lo && at[v] != up || t.d[k] < 0 && lo != up || t.d[k] > 0 && lo != up {
			switch {
			case t.d[k] >= 0 && !math.IsInf(lo, 0):
				t.x[v] = lo
			case t.d[k] <= 0 && !math.IsInf(up, 0):
				t.x[v] = up
			case !math.IsInf(lo, 0):
				t.x[v] = lo
			default:
				t.x[v] = up
			}
		}
	}
	t.values()
	for i := range t.w {
		t.w[i] = 1
	}
	t.steps = 0
}

// bound is the bound that the reduced costs show, within the bounds of the variables: the multipliers of rows and limits are
// those that the tableau has now, made proper, and all else is summed from the problem itself.
func (t *tableau) bound() (bound float64) {
	c := t.c
	clear(t.y.row)
	clear(t.y.limit)
	for k, v := range t.other {
		if i := v - t.n; i >= 0 {
			if i < len(c.rows) {
				t.y.row[i] = max(0, t.d[k])
			} else {
				t.y.limit[i-len(c.rows)] = max(0, -t.d[k])
			}
		}
	}
	c.reduced(t.y, t.reduced)
	for i, r := range c.rows {
		bound += t.y.row[i] * float64(r.Need)
	}
	for i, l := range c.limits {
		bound -= t.y.limit[i] * float64(l.Most)
	}
	for j, d := range t.reduced {
		bound += min(d*t.lo[j], d*t.up[j])
	}
	return bound
}

// provedEmpty tells whether line r shows that no values are within all bounds: the line is a sum of the problem's own rows and
// limits, whose range over the columns' bounds is summed here from the problem itself.
func (t *tableau) provedEmpty(r int) bool {
	c := t.c
	of := func(v int) float64 {
		if k := t.place[v]; k < t.n {
			return -t.t[r*t.n+k]
		}
		if t.basic[r] == v {
			return 1
		}
		return 0
	}
	lo, up := 0.0, 0.0
	add := func(f, a, b float64) {
		if f != 0 {
			lo += min(f*a, f*b)
			up += max(f*a, f*b)
		}
	}
	sums := make([]float64, t.n)
	for i, row := range c.rows {
		f := of(t.n + i)
		if f > 0 && f < tiny || f < 0 && f > -tiny {
			f = 0
		}
		add(f, t.lo[t.n+i], t.up[t.n+i])
		if f != 0 {
			for _, j := range row.Columns {
				sums[j] += f
			}
		}
	}
	for i, l := range c.limits {
		v := t.n + len(c.rows) + i
		f := of(v)
		if math.Abs(f) < tiny {
			f = 0
		}
		add(f, t.lo[v], t.up[v])
		if f != 0 {
			for k, j := range l.Columns {
				sums[j] += f * float64(l.Weights[k])
			}
		}
	}
	// Σ f·row − Σ sums·x is 0 for any values; here its range.
	for j, f := range sums {
		add(-f, t.lo[j], t.up[j])
	}
	return lo > tight/2 || up < -tight/2
}
