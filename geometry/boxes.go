package geometry

import (
	"slices"

	"github.com/paulmach/orb"
)

// Boxes finds those of a list of boxes that come near another. It is made once and then only read: any number of goroutines
// may ask at once.
type Boxes struct {
	tree  boxTree
	order []int32
	boxes []orb.Bound // in the tree's order
}

// NewBoxes indexes n boxes.
func NewBoxes(n int, box func(i int) orb.Bound) *Boxes {
	b := &Boxes{boxes: make([]orb.Bound, n)}
	b.tree, b.order = packBoxes(n, func(i int) (lo, hi orb.Point) {
		x := box(i)
		return x.Min, x.Max
	})
	for k, i := range b.order {
		b.boxes[k] = box(int(i))
	}
	return b
}

// Near appends to dst the indexes, in rising order, of the boxes no farther than so many metres from another.
func (b *Boxes) Near(dst []int32, to orb.Bound, within float64) []int32 {
	from := len(dst)
	if len(b.tree.nodes) == 0 {
		return dst
	}
	limit := within * within
	var stack treeStack
	stack[0] = int32(len(b.tree.nodes) - 1)
	for top := 1; top > 0; {
		top--
		node := &b.tree.nodes[stack[top]]
		if boxDist2(node.min, node.max, to.Min, to.Max) > limit {
			continue
		}
		for i := node.first; i < node.first+int32(node.count); i++ {
			if !node.leaf {
				stack[top] = i
				top++
			} else if x := &b.boxes[i]; boxDist2(x.Min, x.Max, to.Min, to.Max) <= limit {
				dst = append(dst, b.order[i])
			}
		}
	}
	slices.Sort(dst[from:])
	return dst
}

// Any tells whether any of the boxes is no farther than so many metres from another.
func (b *Boxes) Any(to orb.Bound, within float64) bool {
	if len(b.tree.nodes) == 0 {
		return false
	}
	limit := within * within
	var stack treeStack
	stack[0] = int32(len(b.tree.nodes) - 1)
	for top := 1; top > 0; {
		top--
		node := &b.tree.nodes[stack[top]]
		if boxDist2(node.min, node.max, to.Min, to.Max) > limit {
			continue
		}
		for i := node.first; i < node.first+int32(node.count); i++ {
			if !node.leaf {
				stack[top] = i
				top++
			} else if x := &b.boxes[i]; boxDist2(x.Min, x.Max, to.Min, to.Max) <= limit {
				return true
			}
		}
	}
	return false
}
