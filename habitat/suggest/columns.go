package suggest

import (
	"fmt"
	"math/bits"
	"slices"
)

const mostRuns = 15_000 // columns

// A column is a run of cells.
type column struct {
	first, last int // cells
	bed         string
}

// columns finds the rows that imply all others, and the runs of cells that no shorter run matches. It is false where they are too
// many.
func (m *model) columns() (cols []column, rows []*row, ok bool) {
	rows = m.essential()
	reached := m.reached(rows)
	for _, run := range m.runs {
		cols = m.needed(cols, run, reached)
		if len(cols) > mostRuns {
			return nil, nil, false
		}
	}
	if m.leave {
		done := map[string]bool{}
		for _, w := range rows {
			if !done[w.bed] {
				done[w.bed] = true
				cols = append(cols, column{first: -1, bed: w.bed})
			}
		}
	}
	return cols, rows, true
}

// essential are the rows that imply all others: a point from which another's cells are all seen is reached with that other. Where
// beds may be left out, only points of one bed imply each other.
func (m *model) essential() (rows []*row) {
	order := make([]*row, len(m.rows))
	count := make(map[*row]int, len(m.rows))
	for i := range m.rows {
		order[i] = &m.rows[i]
		for _, w := range m.rows[i].cells {
			count[order[i]] += bits.OnesCount64(w)
		}
	}
	slices.SortStableFunc(order, func(a, b *row) int { return count[a] - count[b] })
	seen := map[string]bool{}
	for _, w := range order {
		key := fmt.Sprint(w.cells)
		if m.leave {
			key += w.bed
		}
		if seen[key] {
			continue
		}
		seen[key] = true
		if !slices.ContainsFunc(rows, func(v *row) bool { return (!m.leave || v.bed == w.bed) && within(v.cells, w.cells) }) {
			rows = append(rows, w)
		}
	}
	return rows
}

// reached are, of each cell, the rows that it reaches.
func (m *model) reached(rows []*row) [][]uint64 {
	words := (len(rows) + 63) / 64
	all := make([]uint64, len(m.cells)*words)
	of := make([][]uint64, len(m.cells))
	for c := range of {
		of[c] = all[c*words : (c+1)*words]
	}
	for i, w := range rows {
		for k, v := range w.cells {
			for ; v != 0; v &= v - 1 {
				of[k*64+bits.TrailingZeros64(v)][i/64] |= 1 << (i % 64)
			}
		}
	}
	return of
}

// needed adds the parts of a run that no shorter part matches. It stops after the first that is one too many.
func (m *model) needed(cols []column, run [2]int, reached [][]uint64) []column {
	for i := run[0]; i <= run[1]; i++ {
		first := reached[i]
		sum := make([]uint64, len(first)) // of cells after i
		minimal := true
		for j := i; j <= run[1]; j++ {
			grew := !within(reached[j], sum) && !within(reached[j], first)
			if j > i {
				join(sum, reached[j])
			}
			if !m.long(i, j) {
				continue
			}
			// Longer ones only where the last cell adds something, and the first one is needed.
			spare := j > i && m.long(i+1, j) && within(first, sum)
			if minimal && !spare && empty(first) && empty(sum) {
				minimal = false
				continue
			}
			if (minimal || grew) && !spare {
				if cols = append(cols, column{first: i, last: j}); len(cols) > mostRuns {
					return cols
				}
			}
			minimal = false
			if spare {
				break // the first cell will not be needed any more
			}
		}
	}
	return cols
}

// long tells whether cells in a row make a strip that is long enough.
func (m *model) long(first, last int) bool {
	return m.cells[last].to-m.cells[first].from >= m.ask.LeastM-1e-9
}

// within tells whether one set holds nothing that the other does not.
func within(a, b []uint64) bool {
	for i, v := range a {
		if v&^b[i] != 0 {
			return false
		}
	}
	return true
}

func join(to, more []uint64) {
	for i, v := range more {
		to[i] |= v
	}
}

func empty(set []uint64) bool {
	return !slices.ContainsFunc(set, func(v uint64) bool { return v != 0 })
}
