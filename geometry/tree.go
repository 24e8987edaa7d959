package geometry

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// A boxTree finds boxes near others. It is packed once and then only read: sorted into tiles (Leutenegger, Edgington and
// Lopez, STR: A Simple and Efficient Algorithm for R-Tree Packing, ICDE 1997, doi 10.1109/ICDE.1997.582015) and kept in one
// slice, so that a search touches little memory and allocates none.
type boxTree struct {
	nodes []treeNode // the root last
}

const treeFan = 8

type treeNode struct {
	min, max orb.Point
	first    int32 // first child among the nodes, or first item of a leaf
	count    int16
	leaf     bool
}

// treeStack is room for the nodes waiting in a depth-first walk: treeFan-1 a level, 8¹⁵ items.
type treeStack [treeFan * 15]int32

// packBoxes puts n items in an order that keeps neighbours together and builds the tree over that order. bounds tells an
// item's box; order lists the items in the tree's order.
func packBoxes(n int, bounds func(i int) (lo, hi orb.Point)) (tree boxTree, order []int32) {
	order = make([]int32, n)
	centre := make([]orb.Point, n)
	for i := range order {
		order[i] = int32(i)
		lo, hi := bounds(i)
		centre[i] = orb.Point{lo[0] + hi[0], lo[1] + hi[1]}
	}
	by := func(axis int) func(a, b int32) int {
		return func(a, b int32) int {
			return cmp.Or(cmp.Compare(centre[a][axis], centre[b][axis]), cmp.Compare(a, b))
		}
	}
	leaves := (n + treeFan - 1) / treeFan
	slice := treeFan * int(math.Ceil(math.Sqrt(float64(leaves))))
	slices.SortFunc(order, by(0))
	for from := 0; from < n; from += slice {
		slices.SortFunc(order[from:min(n, from+slice)], by(1))
	}
	for from := 0; from < n; from += treeFan {
		node := treeNode{first: int32(from), count: int16(min(treeFan, n-from)), leaf: true}
		for i := range int(node.count) {
			lo, hi := bounds(int(order[from+i]))
			node.grow(lo, hi, i == 0)
		}
		tree.nodes = append(tree.nodes, node)
	}
	for from, to := 0, len(tree.nodes); to-from > 1; from, to = to, len(tree.nodes) {
		for k := from; k < to; k += treeFan {
			node := treeNode{first: int32(k), count: int16(min(treeFan, to-k))}
			for i := range int(node.count) {
				child := &tree.nodes[k+i]
				node.grow(child.min, child.max, i == 0)
			}
			tree.nodes = append(tree.nodes, node)
		}
	}
	return tree, order
}

func (n *treeNode) grow(lo, hi orb.Point, first bool) {
	if first {
		n.min, n.max = lo, hi
		return
	}
	n.min = orb.Point{min(n.min[0], lo[0]), min(n.min[1], lo[1])}
	n.max = orb.Point{max(n.max[0], hi[0]), max(n.max[1], hi[1])}
}
