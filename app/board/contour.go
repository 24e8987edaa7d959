package board

import (
	"math"

	"github.com/paulmach/orb"
)

// A tracer draws the line of equal distance through a field by marching squares: where the line crosses the edges between
// neighbouring cells' centres, joined to runs: by linear interpolation, or, where exact gives the distance from a point, where that
// finds it. Through squares with a centre that nothing reaches, such as one in a building, no line is drawn. It keeps its memory
// between calls.
type tracer struct {
	exact  func(orb.Point) float64 // nil, or the distance in metres from a point in the grid's frame
	links  [][2]int32              // for each edge of the lattice the two edges that the line leads on to; -1 for none
	used   []int32                 // edges that the line crosses
	points []orb.Point
	lines  []orb.LineString
}

// trace answers the lines in metres. They are good until the next call.
func (t *tracer) trace(field []float32, g grid, level float64) []orb.LineString {
	nx, ny := g.nx, g.ny
	// Edge 2·i runs from cell i to its right neighbour, 2·i+1 to the one below.
	n := 2 * nx * ny
	if cap(t.links) < n {
		t.links = make([][2]int32, n)
		for i := range t.links {
			t.links[i] = [2]int32{-1, -1}
		}
	}
	t.links = t.links[:cap(t.links)]
	t.used = t.used[:0]
	lv := float32(level)
	for y := 0; y+1 < ny; y++ {
		for x := 0; x+1 < nx; x++ {
			i := y*nx + x
			a, b, c, d := field[i] < lv, field[i+1] < lv, field[i+nx+1] < lv, field[i+nx] < lv
			if a == b && b == c && c == d || barred(field[i]+field[i+1]+field[i+nx+1]+field[i+nx]) {
				continue
			}
			top, right, bottom, left := int32(2*i), int32(2*(i+1)+1), int32(2*(i+nx)), int32(2*i+1)
			var cross [4]int32
			k := 0
			if a != b {
				cross[k], k = top, k+1
			}
			if b != c {
				cross[k], k = right, k+1
			}
			if c != d {
				cross[k], k = bottom, k+1
			}
			if d != a {
				cross[k], k = left, k+1
			}
			if k == 2 {
				t.join(cross[0], cross[1])
				continue
			}
			// A saddle: two lines pass. The mean of the corners says which corners belong together.
			middle := (field[i]+field[i+1]+field[i+nx+1]+field[i+nx])/4 < lv
			if middle == a {
				t.join(top, right)
				t.join(bottom, left)
			} else {
				t.join(left, top)
				t.join(right, bottom)
			}
		}
	}
	return t.walk(field, g, lv)
}

func (t *tracer) join(a, b int32) {
	t.link(a, b)
	t.link(b, a)
}

func (t *tracer) link(from, to int32) {
	l := &t.links[from]
	if l[0] < 0 {
		l[0] = to
		t.used = append(t.used, from)
	} else {
		l[1] = to
	}
}

// walk follows the links to runs: first from loose ends, then round what is closed. It leaves the links empty.
func (t *tracer) walk(field []float32, g grid, level float32) []orb.LineString {
	if need := 2*len(t.used) + 2; cap(t.points) < need {
		t.points = make([]orb.Point, 0, need)
	}
	t.points, t.lines = t.points[:0], t.lines[:0]
	for _, loose := range []bool{true, false} {
		for _, e := range t.used {
			if t.links[e][0] < 0 || loose && t.links[e][1] >= 0 {
				continue
			}
			from := len(t.points)
			t.points = append(t.points, t.crossing(field, g, e, level))
			for at := e; ; {
				next := t.links[at][0]
				if next < 0 {
					if next = t.links[at][1]; next < 0 {
						break
					}
				}
				t.unlink(at, next)
				t.unlink(next, at)
				at = next
				t.points = append(t.points, t.crossing(field, g, at, level))
			}
			t.lines = append(t.lines, orb.LineString(t.points[from:len(t.points):len(t.points)]))
		}
	}
	for _, e := range t.used {
		t.links[e] = [2]int32{-1, -1}
	}
	return t.lines
}

func (t *tracer) unlink(from, to int32) {
	l := &t.links[from]
	if l[0] == to {
		l[0], l[1] = l[1], -1
	} else if l[1] == to {
		l[1] = -1
	}
}

// barred tells whether a distance, or a sum of them, is none.
func barred(d float32) bool { return d-d != 0 }

// crossing is where the line crosses an edge of the lattice, in metres.
func (t *tracer) crossing(field []float32, g grid, edge int32, level float32) orb.Point {
	i := int(edge / 2)
	j := i + 1
	if edge%2 == 1 {
		j = i + g.nx
	}
	a, b := g.centre(i), g.centre(j)
	at := func(k float64) orb.Point { return orb.Point{a[0] + k*(b[0]-a[0]), a[1] + k*(b[1]-a[1])} }
	// The crossing lies between low and high, with from and to metres more than the level at each.
	low, high, from, to := 0.0, 1.0, float64(field[i]-level), float64(field[j]-level)
	k := from / (from - to)
	const steps, near = 4, 1e-3
	for n := 0; n < steps && t.exact != nil; n++ {
		d := t.exact(at(k)) - float64(level)
		switch {
		case math.Abs(d) < near || math.IsInf(d, 0):
			n = steps
		case d < 0 == (from < 0):
			low, from = k, d
		default:
			high, to = k, d
		}
		if n < steps {
			k = low + (high-low)*from/(from-to)
		}
	}
	return g.frame.Out(at(k))
}

// centre is the centre of a cell, in the frame.
func (g grid) centre(i int) orb.Point {
	dx, dy := (g.bound.Max[0]-g.bound.Min[0])/float64(g.nx), (g.bound.Max[1]-g.bound.Min[1])/float64(g.ny)
	return orb.Point{g.bound.Min[0] + (float64(i%g.nx)+0.5)*dx, g.bound.Max[1] - (float64(i/g.nx)+0.5)*dy}
}
