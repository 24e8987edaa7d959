package geometry

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// slack in metres forgives rounding on foot: a way may cut that deep into an obstacle, and a gap twice as wide is no gap.
const slack = 1e-8

// tip is how much of either end of a line is not looked at, in metres.
const tip = 1e-4

// A wall is a side of an obstacle, with the obstacle's inside on its left.
type wall struct {
	from, to orb.Point
	obstacle int32
}

// wallsOf lists the sides of a closed ring, whichever way it runs, as one meets them with the obstacle on the left.
func wallsOf(r orb.Ring, hole bool, obstacle int32) []wall {
	if (signedArea(r) < 0) != hole {
		r = slices.Clone(r)
		slices.Reverse(r)
	}
	walls := make([]wall, 0, len(r))
	for i := 1; i < len(r); i++ {
		walls = append(walls, wall{r[i-1], r[i], obstacle})
	}
	return walls
}

// each visits the items whose leaves come near a box; their own boxes may not.
func (t *boxTree) each(lo, hi orb.Point, visit func(item int)) {
	if len(t.nodes) == 0 {
		return
	}
	var stack treeStack
	stack[0] = int32(len(t.nodes) - 1)
	for top := 1; top > 0; {
		top--
		node := &t.nodes[stack[top]]
		if boxDist2(node.min, node.max, lo, hi) > 0 {
			continue
		}
		for i := node.first; i < node.first+int32(node.count); i++ {
			if node.leaf {
				visit(int(i))
				continue
			}
			stack[top] = i
			top++
		}
	}
}

// bounds is the box of all items; of none it is the zero box.
func (t *boxTree) bounds() (lo, hi orb.Point) {
	if len(t.nodes) == 0 {
		return lo, hi
	}
	root := &t.nodes[len(t.nodes)-1]
	return root.min, root.max
}

// inside tells whether a point lies in an obstacle, by the crossings of the ray to the east; on its edge the answer may be
// either.
func (w *Ways) inside(p orb.Point) bool {
	var room [8]int32
	odd := room[:0] // the obstacles that the ray has crossed an odd number of times
	w.wallTree.each(p, orb.Point{math.Inf(1), p[1]}, func(i int) {
		s := &w.walls[i]
		up := s.to[1] > p[1]
		if up == (s.from[1] > p[1]) {
			return
		}
		if left := cross(s.from, s.to, p) > 0; left != up {
			return
		}
		if k := slices.Index(odd, s.obstacle); k >= 0 {
			odd = slices.Delete(odd, k, k+1)
		} else {
			odd = append(odd, s.obstacle)
		}
	})
	return len(odd) > 0
}

// clear tells whether one can walk straight from p to q. Walls and their ends part the line into stretches that lie each
// wholly in, out or along the edge of every obstacle, so the middle of each speaks for it. A stretch is barred if it has an
// obstacle on both sides, slack to the left and slack to the right: then it lies in one, or on the wall that two share. So walls
// that cross the lines along there part stretches, too. At its ends the line may run into the tip of a bed or a site, where that is
// narrower than slack and what is open looks barred.
func (w *Ways) clear(p, q orb.Point) bool {
	length := distance(p, q)
	if length <= slack {
		return true
	}
	lo := orb.Point{min(p[0], q[0]) - slack, min(p[1], q[1]) - slack}
	hi := orb.Point{max(p[0], q[0]) + slack, max(p[1], q[1]) + slack}
	if rootLo, rootHi := w.wallTree.bounds(); len(w.walls) == 0 || boxDist2(rootLo, rootHi, lo, hi) > 0 {
		return true
	}
	ux, uy := (q[0]-p[0])/length, (q[1]-p[1])/length
	var room [16]float64
	cuts := append(room[:0], 0, length)
	cut := func(t float64) {
		if 0 < t && t < length {
			cuts = append(cuts, t)
		}
	}
	w.wallTree.each(lo, hi, func(i int) {
		s := &w.walls[i]
		ax, ay, bx, by := s.from[0]-p[0], s.from[1]-p[1], s.to[0]-p[0], s.to[1]-p[1]
		a, b := ax*uy-ay*ux, bx*uy-by*ux // how far to the right of the line
		if a > 2*slack && b > 2*slack || a < -2*slack && b < -2*slack {
			return
		}
		ta, tb := ax*ux+ay*uy, bx*ux+by*uy
		if -2*slack <= a && a <= 2*slack { // the other end begins the next wall
			cut(ta)
		}
		if a < 0 && b > 0 || a > 0 && b < 0 {
			cut(ta + (tb-ta)*(a/(a-b)))
		}
		if along := (tb - ta) * slack; math.Abs(along) <= 2*slack*math.Abs(a-b) {
			return // so steep that it crosses all three lines at once
		}
		for _, o := range [2]float64{-slack, slack} {
			if a < o && b > o || a > o && b < o {
				cut(ta + (tb-ta)*((a-o)/(a-b)))
			}
		}
	})
	slices.Sort(cuts)
	for i := 1; i < len(cuts); i++ {
		if cuts[i]-cuts[i-1] <= slack || cuts[i] <= tip || cuts[i-1] >= length-tip {
			continue
		}
		t := cuts[i-1]/2 + cuts[i]/2
		x, y := p[0]+t*ux, p[1]+t*uy
		if w.inside(orb.Point{x + slack*uy, y - slack*ux}) && w.inside(orb.Point{x - slack*uy, y + slack*ux}) {
			return false
		}
	}
	return true
}
