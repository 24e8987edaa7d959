package suggest

import (
	"math"

	"hedgereach/habitat/suggest/setcover"
)

// Costs are whole numbers: of the objective first, then what parts equals.
const (
	perM2    = 1000      // units of area; a patch counts one, so that of equal areas the one in fewer patches is chosen
	perM     = 1000      // units of length
	perPatch = 1_000_000 // units of a patch; a square metre counts one
)

func (m *model) cost(c column) int64 {
	long := m.cells[c.last].to - m.cells[c.first].from
	odd := int64(1)
	if m.cells[c.first].line.along == Free {
		odd += 3 // of equal ones those that follow something
	}
	switch m.ask.Least {
	case LeastLength:
		return int64(math.Round(long*10))*(perM/10) + odd
	case LeastPatches:
		return perPatch + int64(math.Ceil(long*m.ask.WidthM)) + odd
	}
	return int64(math.Round(long*m.ask.WidthM*10))*(perM2/10) + odd
}

// problem states the covering problem.
func (m *model) problem(cols []column, rows []*row) *setcover.Problem {
	q := &setcover.Problem{Rows: make([]setcover.Row, len(rows))}
	byFirst := map[string]int{}
	var all int64
	for j, c := range cols {
		if c.first < 0 {
			byFirst[c.bed] = j
			q.Costs = append(q.Costs, 0)
			continue
		}
		v := m.cost(c)
		all = max(all, v)
		q.Costs = append(q.Costs, v)
	}
	// To leave a bed out costs more than all that a choice could need: a dearest column for every row.
	for _, j := range byFirst {
		q.Costs[j] = min(all*int64(len(rows)+1), 1<<36)
	}
	for i, w := range rows {
		q.Rows[i].Need = 1
		for j, c := range cols {
			if c.first < 0 {
				if c.bed == w.bed {
					q.Rows[i].Columns = append(q.Rows[i].Columns, j)
				}
				continue
			}
			for k := c.first; k <= c.last; k++ {
				if w.cells[k/64]&(1<<(k%64)) != 0 {
					q.Rows[i].Columns = append(q.Rows[i].Columns, j)
					break
				}
			}
		}
	}
	holds := func(c column, k int) bool { return c.first >= 0 && c.first <= k && k <= c.last }
	for _, pair := range m.pairs {
		l := setcover.Limit{Most: 1}
		for j, c := range cols {
			if holds(c, pair[0]) || holds(c, pair[1]) {
				l.Columns = append(l.Columns, j)
			}
		}
		q.Limits = append(q.Limits, l)
	}
	if m.ask.MostM2 > 0 {
		l := setcover.Limit{Most: int64(math.Floor(m.ask.MostM2 * 100))}
		for j, c := range cols {
			if c.first >= 0 {
				l.Columns = append(l.Columns, j)
				l.Weights = append(l.Weights, int64(math.Ceil((m.cells[c.last].to-m.cells[c.first].from)*m.ask.WidthM*100-1e-6)))
			}
		}
		q.Limits = append(q.Limits, l)
	}
	return q
}
