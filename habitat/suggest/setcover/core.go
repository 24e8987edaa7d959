package setcover

import "slices"

// A core is a problem in the making: what is left of it once rows and columns were struck out. Columns have new numbers, and names
// says which they had in the problem.
type core struct {
	names  []int
	cost   []int64
	rows   []Row
	limits []Limit

	// Made by index: for each column its rows, and its limits with its weight there.
	rowsOf   [][]int32
	limitsOf [][]stake
}

// A stake is a column's share in a limit.
type stake struct {
	limit  int32
	weight int64
}

func newCore(p *Problem) *core {
	c := &core{cost: slices.Clone(p.Costs), names: make([]int, len(p.Costs))}
	for j := range c.names {
		c.names[j] = j
	}
	for _, r := range p.Rows {
		if r.Need > 0 {
			c.rows = append(c.rows, Row{slices.Clone(r.Columns), r.Need})
		}
	}
	for _, l := range p.Limits {
		if len(l.Columns) == 0 {
			continue
		}
		m := Limit{Columns: slices.Clone(l.Columns), Most: l.Most}
		for k := range l.Columns {
			m.Weights = append(m.Weights, l.weight(k))
		}
		c.limits = append(c.limits, m)
	}
	c.index()
	return c
}

func (c *core) index() {
	c.rowsOf, c.limitsOf = make([][]int32, len(c.cost)), make([][]stake, len(c.cost))
	for i, r := range c.rows {
		for _, j := range r.Columns {
			c.rowsOf[j] = append(c.rowsOf[j], int32(i))
		}
	}
	for i, l := range c.limits {
		for k, j := range l.Columns {
			if l.Weights[k] > 0 {
				c.limitsOf[j] = append(c.limitsOf[j], stake{int32(i), l.Weights[k]})
			}
		}
	}
}

// A set is a set of small numbers.
type set []uint64

func newSet(n int) set  { return make(set, (n+63)/64) }
func (s set) add(i int) { s[i/64] |= 1 << (i % 64) }
func (s set) within(t set) bool {
	for i, w := range s {
		if w&^t[i] != 0 {
			return false
		}
	}
	return true
}

// What becomes of a column.
const (
	open = iota
	out
	in
)

// reduce strikes out rows and columns until none can be, and answers the columns, by name, that every cheapest choice may be taken
// to hold. ok is false where no choice is left. The rules are the classical ones of covering:
//
//   - a row with no more columns than it needs takes them all;
//   - a column too heavy for what a limit has left goes;
//   - a row goes whose columns include all of another's that needs as many;
//   - a column goes where another covers as much, costs no more and weighs no more in any limit. That other might have been
//     chosen already, so this holds only where all of the column's rows need one.
func (c *core) reduce() (forced []int, ok bool) {
	for {
		fate := make([]uint8, len(c.cost))
		changed := false
		for _, r := range c.rows {
			switch {
			case len(r.Columns) < r.Need:
				return nil, false
			case len(r.Columns) == r.Need:
				for _, j := range r.Columns {
					fate[j] = in
				}
				changed = true
			}
		}
		for _, l := range c.limits {
			left := l.Most
			for k, j := range l.Columns {
				if fate[j] == in {
					left -= l.Weights[k]
				}
			}
			if left < 0 {
				return nil, false
			}
			for k, j := range l.Columns {
				if fate[j] == open && l.Weights[k] > left {
					fate[j], changed = out, true
				}
			}
		}
		for j, rows := range c.rowsOf {
			if fate[j] == open && len(rows) == 0 {
				fate[j], changed = out, true
			}
		}
		if changed {
			forced = append(forced, c.settle(fate)...)
			continue
		}
		rows := c.superfluousRows()
		if len(rows) > 0 {
			kept := c.rows[:0]
			for i, r := range c.rows {
				if !rows[i] {
					kept = append(kept, r)
				}
			}
			c.rows = kept
			c.index()
		}
		if !c.superfluousColumns(fate) {
			if len(rows) == 0 {
				return forced, true
			}
			continue
		}
		forced = append(forced, c.settle(fate)...)
	}
}

// settle takes columns out, and answers the names of those that are in.
func (c *core) settle(fate []uint8) (forced []int) {
	number := make([]int, len(c.cost))
	names, cost := []int{}, []int64{}
	for j, f := range fate {
		number[j] = -1
		switch f {
		case in:
			forced = append(forced, c.names[j])
		case open:
			number[j] = len(names)
			names, cost = append(names, c.names[j]), append(cost, c.cost[j])
		}
	}
	rows := []Row{}
	for _, r := range c.rows {
		left := Row{Need: r.Need}
		for _, j := range r.Columns {
			switch fate[j] {
			case in:
				left.Need--
			case open:
				left.Columns = append(left.Columns, number[j])
			}
		}
		if left.Need > 0 {
			rows = append(rows, left)
		}
	}
	limits := []Limit{}
	for _, l := range c.limits {
		left := Limit{Most: l.Most}
		sum := int64(0)
		for k, j := range l.Columns {
			switch fate[j] {
			case in:
				left.Most -= l.Weights[k]
			case open:
				left.Columns, left.Weights = append(left.Columns, number[j]), append(left.Weights, l.Weights[k])
				sum += l.Weights[k]
			}
		}
		if sum > left.Most || left.Most < 0 {
			limits = append(limits, left)
		}
	}
	c.names, c.cost, c.rows, c.limits = names, cost, rows, limits
	c.index()
	return forced
}

// superfluousRows are the rows that others imply.
func (c *core) superfluousRows() map[int]bool {
	sets := make([]set, len(c.rows))
	for i, r := range c.rows {
		sets[i] = newSet(len(c.cost))
		for _, j := range r.Columns {
			sets[i].add(j)
		}
	}
	gone := map[int]bool{}
	for k, r := range c.rows {
		if gone[k] {
			continue
		}
		rarest := r.Columns[0]
		for _, j := range r.Columns {
			if len(c.rowsOf[j]) < len(c.rowsOf[rarest]) {
				rarest = j
			}
		}
		for _, i32 := range c.rowsOf[rarest] {
			i := int(i32)
			q := c.rows[i]
			if i == k || gone[i] || q.Need > r.Need || len(q.Columns) < len(r.Columns) ||
				len(q.Columns) == len(r.Columns) && q.Need == r.Need && i < k { // of twins the first stays
				continue
			}
			if sets[k].within(sets[i]) {
				gone[i] = true
			}
		}
	}
	return gone
}

// superfluousColumns marks the columns that another makes superfluous.
func (c *core) superfluousColumns(fate []uint8) (any bool) {
	sets := make([]set, len(c.cost))
	for j, rows := range c.rowsOf {
		sets[j] = newSet(len(c.rows))
		for _, i := range rows {
			sets[j].add(int(i))
		}
	}
	for j, rows := range c.rowsOf {
		single := len(rows) > 0
		rarest := int32(0)
		if single {
			rarest = rows[0]
		}
		for _, i := range rows {
			if c.rows[i].Need > 1 {
				single = false
				break
			}
			if len(c.rows[i].Columns) < len(c.rows[rarest].Columns) {
				rarest = i
			}
		}
		if !single {
			continue
		}
		for _, k := range c.rows[rarest].Columns {
			if k == j || fate[k] != open || c.cost[k] > c.cost[j] || len(c.rowsOf[k]) < len(rows) || !sets[j].within(sets[k]) {
				continue
			}
			if !c.lighter(k, j) {
				continue
			}
			if c.cost[k] == c.cost[j] && len(c.rowsOf[k]) == len(rows) && c.lighter(j, k) && k > j { // of twins the first stays
				continue
			}
			fate[j], any = out, true
			break
		}
	}
	return any
}

// lighter tells whether column k weighs no more than j in every limit.
func (c *core) lighter(k, j int) bool {
	a, b := c.limitsOf[k], c.limitsOf[j]
	for _, s := range a {
		for len(b) > 0 && b[0].limit < s.limit {
			b = b[1:]
		}
		if len(b) == 0 || b[0].limit != s.limit || b[0].weight < s.weight {
			return false
		}
	}
	return true
}

// components are the parts of the problem that share neither row nor limit, in the order of their first columns.
func (c *core) components() (parts []*core) {
	root := make([]int, len(c.cost))
	for j := range root {
		root[j] = j
	}
	find := func(j int) int {
		for root[j] != j {
			root[j] = root[root[j]]
			j = root[j]
		}
		return j
	}
	join := func(list []int) {
		for _, j := range list {
			a, b := find(list[0]), find(j)
			root[max(a, b)] = min(a, b)
		}
	}
	for _, r := range c.rows {
		join(r.Columns)
	}
	for _, l := range c.limits {
		if len(l.Columns) > 0 {
			join(l.Columns)
		}
	}
	number, place := map[int]int{}, make([]int, len(c.cost))
	for j := range c.cost {
		r := find(j)
		n, ok := number[r]
		if !ok {
			n = len(parts)
			number[r] = n
			parts = append(parts, &core{})
		}
		q := parts[n]
		place[j] = len(q.names)
		q.names, q.cost = append(q.names, c.names[j]), append(q.cost, c.cost[j])
	}
	move := func(list []int) (moved []int) {
		for _, j := range list {
			moved = append(moved, place[j])
		}
		return moved
	}
	for _, r := range c.rows {
		q := parts[number[find(r.Columns[0])]]
		q.rows = append(q.rows, Row{move(r.Columns), r.Need})
	}
	for _, l := range c.limits {
		if len(l.Columns) == 0 {
			continue
		}
		q := parts[number[find(l.Columns[0])]]
		q.limits = append(q.limits, Limit{move(l.Columns), l.Weights, l.Most})
	}
	for _, q := range parts {
		q.index()
	}
	return parts
}
