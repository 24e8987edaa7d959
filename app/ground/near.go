package ground

import (
	"math"

	"github.com/paulmach/orb"
)

// near finds things by place: a grid of square cells, each with what reaches into it.
type near[T any] struct {
	cell  float64
	in    map[[2]int][]T
	large []T // what would lie in very many cells
}

// mostCells is in how many cells a thing may lie before it is asked about everywhere.
const mostCells = 256

func newNear[T any](cell float64) near[T] { return near[T]{cell: cell, in: map[[2]int][]T{}} }

func (n *near[T]) cells(b orb.Bound) (lo, hi [2]int, many bool) {
	for i := range 2 {
		a, z := math.Floor(b.Min[i]/n.cell), math.Floor(b.Max[i]/n.cell)
		if !(math.Abs(a) < 1e9 && math.Abs(z) < 1e9) {
			return lo, hi, true
		}
		lo[i], hi[i] = int(a), int(z)
	}
	return lo, hi, (hi[0]-lo[0]+1)*(hi[1]-lo[1]+1) > mostCells
}

func (n *near[T]) add(b orb.Bound, x T) {
	lo, hi, many := n.cells(b)
	if many {
		n.large = append(n.large, x)
		return
	}
	for i := lo[0]; i <= hi[0]; i++ {
		for j := lo[1]; j <= hi[1]; j++ {
			n.in[[2]int{i, j}] = append(n.in[[2]int{i, j}], x)
		}
	}
}

// any tells whether what is asked holds for something that may reach into the bound. The same thing may be asked about twice.
func (n *near[T]) any(b orb.Bound, holds func(T) bool) bool {
	for _, x := range n.large {
		if holds(x) {
			return true
		}
	}
	lo, hi, many := n.cells(b)
	if many {
		for _, xs := range n.in {
			for _, x := range xs {
				if holds(x) {
					return true
				}
			}
		}
		return false
	}
	for i := lo[0]; i <= hi[0]; i++ {
		for j := lo[1]; j <= hi[1]; j++ {
			for _, x := range n.in[[2]int{i, j}] {
				if holds(x) {
					return true
				}
			}
		}
	}
	return false
}
