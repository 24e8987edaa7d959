package geometry

import (
	"container/heap"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Hull is the convex hull, anticlockwise and closed; nil where all points lie on one line.
func Hull(shapes ...orb.Geometry) orb.Polygon {
	points := 0
	for _, g := range shapes {
		if g != nil {
			eachPath(g, func(path []orb.Point) { points += len(path) })
		}
	}
	all := make([]orb.Point, 0, points)
	for _, g := range shapes {
		if g == nil {
			continue
		}
		eachPath(g, func(path []orb.Point) {
			for _, p := range path {
				if finite(p) {
					all = append(all, p)
				}
			}
		})
	}
	hull := convexHull(dropInner(all))
	if len(hull) < 3 {
		return nil
	}
	return orb.Polygon{append(orb.Ring(hull), hull[0])}
}

// dropInner drops points that lie within the eight-sided hull of the outermost ones, and so are no corners of the hull of all
// (Akl and Toussaint, Information Processing Letters 7, 1978): sorting the rest costs less. It reuses its argument.
func dropInner(points []orb.Point) []orb.Point {
	const few = 64
	if len(points) < few {
		return points
	}
	var outer [8]orb.Point // the farthest east, north-east, north …
	ways := [8]orb.Point{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}}
	for k, w := range ways {
		most := math.Inf(-1)
		for _, p := range points {
			if d := w[0]*p[0] + w[1]*p[1]; d > most {
				most, outer[k] = d, p
			}
		}
	}
	size := distance(outer[0], outer[4]) + distance(outer[2], outer[6])
	for _, p := range outer {
		size = max(size, math.Abs(p[0]), math.Abs(p[1]))
	}
	margin := 1e-12 * size * size // well over what rounding can do to a cross product
	kept := points[:0]
	for _, p := range points {
		inner := true
		for k, a := range outer {
			b := outer[(k+1)%8]
			if a != b && !(cross(a, b, p) > margin) {
				inner = false
				break
			}
		}
		if !inner {
			kept = append(kept, p)
		}
	}
	return kept
}

// Disc is a regular polygon that stands for a circle: as many corners as keep it within 1 cm (at least 24, at most 128), its
// corners on the circle, the first due east.
func Disc(centre orb.Point, radius float64) orb.Polygon {
	n := max(24, min(128, arcSegments(radius, 2*math.Pi, arcTolerance)))
	ring := make(orb.Ring, n+1)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		ring[i] = orb.Point{centre[0] + radius*cos, centre[1] + radius*sin}
	}
	ring[n] = ring[0]
	return orb.Polygon{ring}
}

// mitreLimit is how far from its corner the tip of a mitre may lie, in half-widths of the strip.
const mitreLimit = 4

// Strip is the ground of a strip of the width along the line, ends flat, corners mitred (bevelled past four half-widths).
// A line that ends where it began goes round, and its strip has a hole. The errors are a line of no length, a width that
// is not above 0, and a line too tangled for one outline.
func Strip(line orb.LineString, width float64) (orb.Polygon, error) {
	if !(width > 0) || width > Widest {
		return nil, fmt.Errorf("a strip %v m wide: give a width above 0", width)
	}
	for _, p := range line {
		if !finite(p) || math.Abs(p[0]) > Widest || math.Abs(p[1]) > Widest {
			return nil, errors.New("a point of the strip's line is not a usable number")
		}
	}
	// Points closer than a micrometre are one: between them there is no direction to speak of.
	p := slices.CompactFunc(slices.Clone(line), func(a, b orb.Point) bool { return distance(a, b) < 1e-6 })
	if len(p) < 2 {
		return nil, errors.New("the strip's line has no length: give it two points or more")
	}
	half := width / 2
	round := len(p) > 3 && p[0] == p[len(p)-1]
	strip := flank(p, half, round)
	if Validate(strip) == nil {
		return strip, nil
	}
	// It bends too tightly for one outline along both flanks: put it together from its straight parts and its corners.
	var parts []orb.Geometry
	for i := 1; i < len(p); i++ {
		parts = append(parts, flank(p[i-1:i+1], half, false))
	}
	for i := range p {
		before, after := i-1, i+1
		if round && i == 0 {
			before = len(p) - 2
		}
		if before < 0 || after >= len(p) {
			continue
		}
		wedge := append(joint(p[before], p[i], p[after], half), p[i])
		wedge = append(wedge, wedge[0])
		if w := (orb.Polygon{wedge}); Validate(w) == nil {
			parts = append(parts, w)
		}
	}
	all, err := Union(parts...)
	if err != nil {
		return nil, fmt.Errorf("drawing a strip %g m wide: %w", width, err)
	}
	if len(all) != 1 || Validate(all[0]) != nil {
		return nil, fmt.Errorf("a strip %g m wide along this line does not make one outline: draw a simpler line", width)
	}
	return all[0], nil
}

// flank is the outline along both sides of a line.
func flank(p []orb.Point, half float64, round bool) orb.Polygon {
	side := func(p []orb.Point) orb.Ring {
		var r orb.Ring
		for i := range p {
			switch {
			case i > 0 && i < len(p)-1:
				r = append(r, corner(p[i-1], p[i], p[i+1], half)...)
			case round && i == 0:
				r = append(r, corner(p[len(p)-2], p[0], p[1], half)...)
			case round: // the same corner again
			case i == 0:
				r = append(r, beside(p[0], p[1], p[0], half))
			default:
				r = append(r, beside(p[i-1], p[i], p[i], half))
			}
		}
		return r
	}
	back := slices.Clone(p)
	slices.Reverse(back)
	right, left := side(p), side(back)
	if round {
		right, left = append(right, right[0]), append(left, left[0])
		if math.Abs(signedArea(right)) < math.Abs(signedArea(left)) {
			right, left = left, right
		}
		return orb.Polygon{right, left}
	}
	ring := append(right, left...)
	return orb.Polygon{append(ring, ring[0])}
}

// beside is the point half to the right of at, as one walks from a to b.
func beside(a, b, at orb.Point, half float64) orb.Point {
	dx, dy := b[0]-a[0], b[1]-a[1]
	l := math.Hypot(dx, dy)
	return orb.Point{at[0] + half*dy/l, at[1] - half*dx/l}
}

// corner is the right flank at corner b of the walk a, b, c: the mitre, or the two points of a bevel.
func corner(a, b, c orb.Point, half float64) []orb.Point {
	p, q := beside(a, b, b, half), beside(b, c, b, half)
	// The mitre's tip lies along the sum of the two normals, at half / cos of half the turn.
	ux, uy := (p[0]-b[0])+(q[0]-b[0]), (p[1]-b[1])+(q[1]-b[1])
	uu := ux*ux + uy*uy
	outside := orient(a, b, c) > 0 // the walk turns left, so its right flank is the outer one
	// |u| = 2·half·cos, so the tip is at u·2·half²/|u|², |tip| = 2·half²/|u|.
	if reach := 2 * half * half / math.Sqrt(uu); uu == 0 || outside && reach > mitreLimit*half {
		return []orb.Point{p, q}
	}
	s := 2 * half * half / uu
	return []orb.Point{{b[0] + s*ux, b[1] + s*uy}}
}

// joint is the outer flank at a corner, with the ends of the straight parts that it joins.
func joint(a, b, c orb.Point, half float64) orb.Ring {
	if orient(a, b, c) < 0 {
		a, c = c, a
	}
	p, q := beside(a, b, b, half), beside(b, c, b, half)
	return slices.Compact(slices.Concat(orb.Ring{p}, corner(a, b, c, half), orb.Ring{q}))
}

// LabelPoint is a point well inside the polygon (the pole of inaccessibility), with its distance from the outline, to a
// hundredth of the polygon's size. Of an empty polygon it is the zero point.
//
// The search halves squares and goes on with the most promising, after V. Agafonkin's description of it (2016), which
// improves on Garcia-Castellanos and Lombardo, Scottish Geographical Journal 123 (2007), doi 10.1080/14702540801897809.
func LabelPoint(p orb.Polygon) (orb.Point, float64) {
	if len(p) == 0 || len(p[0]) == 0 {
		return orb.Point{}, 0
	}
	b := p.Bound()
	w, h := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	size := min(w, h)
	if !(size > 0) || math.IsInf(w, 0) || math.IsInf(h, 0) {
		return p[0][0], 0
	}
	inward := func(at orb.Point) float64 {
		d := math.Inf(1)
		for _, r := range p {
			for i := 1; i < len(r); i++ {
				d = min(d, distance(at, footOn(r[i-1], r[i], at)))
			}
		}
		if polygonSide(p, at) < 0 {
			return -d
		}
		return d
	}
	best := labelCell{at: Centroid(p)}
	best.inward = inward(best.at)
	gap := math.Sqrt(w*h) / 100
	var open labelHeap
	push := func(at orb.Point, half float64) {
		c := labelCell{at: at, half: half, inward: inward(at)}
		if c.inward > best.inward {
			best = c
		}
		if c.most() > best.inward+gap {
			heap.Push(&open, c)
		}
	}
	half := size / 2
	if w > 100*size || h > 100*size { // a sliver: squares of its width would be too many
		half = max(w, h) / 100
	}
	for x := b.Min[0]; x < b.Max[0]; x += 2 * half {
		for y := b.Min[1]; y < b.Max[1]; y += 2 * half {
			push(orb.Point{x + half, y + half}, half)
		}
	}
	for tries := 0; open.Len() > 0 && tries < 10_000; tries++ {
		c := heap.Pop(&open).(labelCell)
		if c.most() <= best.inward+gap {
			break
		}
		h := c.half / 2
		for _, d := range [4]orb.Point{{-h, -h}, {h, -h}, {-h, h}, {h, h}} {
			push(orb.Point{c.at[0] + d[0], c.at[1] + d[1]}, h)
		}
	}
	return best.at, max(best.inward, 0)
}

// A labelCell is a square about a point, with the point's distance inwards from the outline.
type labelCell struct {
	at           orb.Point
	half, inward float64
}

// most is how far from the outline any point of the square can be.
func (c labelCell) most() float64 { return c.inward + c.half*math.Sqrt2 }

type labelHeap []labelCell

func (h labelHeap) Len() int           { return len(h) }
func (h labelHeap) Less(i, j int) bool { return h[i].most() > h[j].most() }
func (h labelHeap) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *labelHeap) Push(x any)        { *h = append(*h, x.(labelCell)) }
func (h *labelHeap) Pop() any {
	n := len(*h) - 1
	last := (*h)[n]
	*h = (*h)[:n]
	return last
}
