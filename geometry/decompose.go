package geometry

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"
)

// A cutter cuts shapes into convex pieces. It keeps its buffers, so that cutting the usual bed allocates nothing.
type cutter struct {
	points []orb.Point // corners of all pieces, one after another
	ends   []int       // where each piece ends in points
	sides  []cutSide
	ys     []float64
	live   []int32 // sides that cross the level, from left to right
	open   []region
	next   []region
	chains []link
}

// cutSide is a side of the polygon that is not level, from its lower end to its upper.
type cutSide struct{ lo, hi orb.Point }

func (s *cutSide) xAt(y float64) float64 {
	switch y {
	case s.lo[1]:
		return s.lo[0]
	case s.hi[1]:
		return s.hi[0]
	}
	t := (y - s.lo[1]) / (s.hi[1] - s.lo[1])
	return s.lo[0] + t*(s.hi[0]-s.lo[0])
}

// A region is a piece in the making: bounded by two chains of corners that climb between the sides left and right.
type region struct {
	left, right           int32 // sides
	leftChain, rightChain int32 // last link of each chain
}

// A link is a corner of a chain and the one below it (-1: none).
type link struct {
	at    orb.Point
	below int32
}

func (c *cutter) reset() { c.points, c.ends = c.points[:0], c.ends[:0] }

// pieces visits the corners of each piece cut so far.
func (c *cutter) pieces(visit func(corners []orb.Point)) {
	from := 0
	for _, end := range c.ends {
		visit(c.points[from:end])
		from = end
	}
}

// piece is the i-th of them.
func (c *cutter) piece(i int) []orb.Point {
	from := 0
	if i > 0 {
		from = c.ends[i-1]
	}
	return c.points[from:c.ends[i]]
}

func (c *cutter) done() {
	from := 0
	if n := len(c.ends); n > 0 {
		from = c.ends[n-1]
	}
	if len(c.points) > from {
		c.ends = append(c.ends, len(c.points))
	}
}

// add cuts a geometry, moved so that the origin lies at o. Points with coordinates that Validate would refuse are left out.
func (c *cutter) add(g orb.Geometry, o orb.Point) {
	switch g := g.(type) {
	case orb.Point:
		c.addPoint(g, o)
	case orb.MultiPoint:
		for _, p := range g {
			c.addPoint(p, o)
		}
	case orb.LineString:
		c.addLine(g, o)
	case orb.MultiLineString:
		for _, l := range g {
			c.addLine(l, o)
		}
	case orb.Ring:
		c.addRing(g, o)
	case orb.Polygon:
		c.addPolygon(g, o)
	case orb.MultiPolygon:
		for _, p := range g {
			c.addPolygon(p, o)
		}
	case orb.Bound:
		c.addRing(g.ToRing(), o)
	case orb.Collection:
		for _, part := range g {
			c.add(part, o)
		}
	}
}

func (c *cutter) addPoint(p, o orb.Point) {
	if usable(p) {
		c.points = append(c.points, orb.Point{p[0] - o[0], p[1] - o[1]})
		c.done()
	}
}

func (c *cutter) addLine(l []orb.Point, o orb.Point) {
	if len(l) == 1 {
		c.addPoint(l[0], o)
	}
	for i := 1; i < len(l); i++ {
		if a, b := l[i-1], l[i]; usable(a) && usable(b) {
			c.points = append(c.points, orb.Point{a[0] - o[0], a[1] - o[1]}, orb.Point{b[0] - o[0], b[1] - o[1]})
			c.done()
		}
	}
}

func (c *cutter) addRing(r orb.Ring, o orb.Point) {
	if !c.addConvex(r, o) {
		c.addSlabs(orb.Polygon{r}, o)
	}
}

func (c *cutter) addPolygon(p orb.Polygon, o orb.Point) {
	if len(p) == 1 && c.addConvex(p[0], o) {
		return
	}
	c.addSlabs(p, o)
}

// bentIn is how far in metres a corner may lie on the wrong side and the ring still count as convex: a turned rectangle with
// an extra corner on a side must not fall apart for a rounding. It is a budget for the whole ring, so that a fine concave
// curve cannot pass.
const bentIn = 4e-9

// addConvex takes the ring as one piece if it is convex, and says whether it did.
func (c *cutter) addConvex(r orb.Ring, o orb.Point) bool {
	from := len(c.points)
	for _, p := range r {
		if !usable(p) {
			c.points = c.points[:from]
			return false
		}
		q := orb.Point{p[0] - o[0], p[1] - o[1]}
		if n := len(c.points); n == from || c.points[n-1] != q {
			c.points = append(c.points, q)
		}
	}
	q := c.points[from:]
	if n := len(q); n > 1 && q[0] == q[n-1] {
		q = q[:n-1]
	}
	if len(q) < 3 || !isConvex(q) {
		c.points = c.points[:from]
		return false
	}
	if twiceArea(q) < 0 {
		slices.Reverse(q)
	}
	c.points = c.points[:from+len(q)]
	c.done()
	return true
}

func twiceArea(q []orb.Point) float64 {
	sum := 0.0
	for i := 2; i < len(q); i++ {
		sum += cross(q[0], q[i-1], q[i])
	}
	return sum
}

func cross(o, a, b orb.Point) float64 {
	return (a[0]-o[0])*(b[1]-o[1]) - (b[0]-o[0])*(a[1]-o[1])
}

// isConvex tells whether an open ring turns one way only, and only once round.
func isConvex(q []orb.Point) bool {
	area := twiceArea(q)
	if area == 0 {
		return false
	}
	budget, flips, last := bentIn, 0, 0.0
	n := len(q)
	for i := range q {
		a, b, d := q[i], q[(i+1)%n], q[(i+2)%n]
		turn := cross(a, b, d)
		if area < 0 {
			turn = -turn
		}
		if turn <= 0 {
			if (b[0]-a[0])*(d[0]-b[0])+(b[1]-a[1])*(d[1]-b[1]) < 0 {
				return false // a spike that runs back on itself
			}
			if turn < 0 {
				budget += turn / distance(a, d)
				if !(budget >= 0) {
					return false
				}
			}
		}
		if dx := b[0] - a[0]; dx != 0 {
			if dx*last < 0 {
				flips++
			}
			last = dx
		}
	}
	return flips <= 2 // more means round more than once, as a star does
}

// addSlabs cuts any polygon, holes and all, by the levels of its corners into trapezoids, and joins each with the one
// below as long as the two stay convex. Inside is by the even-odd rule, so that the rings may run either way. A
// degenerate polygon comes out as its lines.
func (c *cutter) addSlabs(p orb.Polygon, o orb.Point) {
	before := len(c.ends)
	c.sides, c.ys = c.sides[:0], c.ys[:0]
	for _, r := range p {
		for i := range r {
			a, b := r[i], r[(i+1)%len(r)]
			if !usable(a) || !usable(b) {
				continue
			}
			a, b = orb.Point{a[0] - o[0], a[1] - o[1]}, orb.Point{b[0] - o[0], b[1] - o[1]}
			if a[1] == b[1] {
				continue
			}
			if a[1] > b[1] {
				a, b = b, a
			}
			c.sides = append(c.sides, cutSide{a, b})
			c.ys = append(c.ys, a[1], b[1])
		}
	}
	slices.Sort(c.ys)
	c.ys = slices.Compact(c.ys)
	slices.SortFunc(c.sides, func(a, b cutSide) int { return cmp.Compare(a.lo[1], b.lo[1]) })

	c.live, c.open, c.chains = c.live[:0], c.open[:0], c.chains[:0]
	started := 0
	for i := 1; i < len(c.ys); i++ {
		y0, y1 := c.ys[i-1], c.ys[i]
		mid := y0/2 + y1/2
		c.live = slices.DeleteFunc(c.live, func(s int32) bool { return c.sides[s].hi[1] <= y0 })
		for ; started < len(c.sides) && c.sides[started].lo[1] <= y0; started++ {
			c.live = append(c.live, int32(started))
		}
		slices.SortFunc(c.live, func(a, b int32) int { return cmp.Compare(c.sides[a].xAt(mid), c.sides[b].xAt(mid)) })
		c.climb(y0)
	}
	if n := len(c.ys); n > 0 {
		for i := range c.open {
			c.closeRegion(&c.open[i], c.ys[n-1])
		}
	}
	if len(c.ends) == before { // no ground at all: keep the lines, so that the shape can still be measured to
		for _, r := range p {
			c.addLine(r, o)
		}
	}
}

// climb goes through the level y: regions whose two ends go on from the level and stay convex are carried on, others are
// closed, and new ones opened.
func (c *cutter) climb(y float64) {
	c.next = c.next[:0]
	k := 0
	for i := 0; i+1 < len(c.live); i += 2 {
		l, r := c.live[i], c.live[i+1]
		xl, xr := c.sides[l].xAt(y), c.sides[r].xAt(y)
		for k < len(c.open) && c.sides[c.open[k].right].xAt(y) < xr {
			c.closeRegion(&c.open[k], y)
			k++
		}
		if k < len(c.open) {
			o := c.open[k]
			if c.sides[o.left].xAt(y) == xl && c.sides[o.right].xAt(y) == xr && c.turnsIn(o, l, r) {
				at := orb.Point{xl, y}
				if o.left != l {
					o.left, o.leftChain = l, c.link(at, o.leftChain)
				}
				if o.right != r {
					o.right, o.rightChain = r, c.link(orb.Point{xr, y}, o.rightChain)
				}
				c.next = append(c.next, o)
				k++
				continue
			}
		}
		c.next = append(c.next, region{
			left: l, right: r,
			leftChain: c.link(orb.Point{xl, y}, -1), rightChain: c.link(orb.Point{xr, y}, -1),
		})
	}
	for ; k < len(c.open); k++ {
		c.closeRegion(&c.open[k], y)
	}
	c.open, c.next = c.next, c.open
}

// turnsIn tells whether going on along the sides l and r keeps the region convex.
func (c *cutter) turnsIn(o region, l, r int32) bool {
	turn := func(from, to int32) float64 {
		a, b := &c.sides[from], &c.sides[to]
		return (a.hi[0]-a.lo[0])*(b.hi[1]-b.lo[1]) - (b.hi[0]-b.lo[0])*(a.hi[1]-a.lo[1])
	}
	return (o.left == l || turn(o.left, l) <= 0) && (o.right == r || turn(o.right, r) >= 0)
}

func (c *cutter) link(at orb.Point, below int32) int32 {
	c.chains = append(c.chains, link{at, below})
	return int32(len(c.chains) - 1)
}

// closeRegion writes the region's corners as a piece: up the right chain, down the left.
func (c *cutter) closeRegion(o *region, y float64) {
	from := len(c.points)
	c.points = append(c.points, orb.Point{c.sides[o.right].xAt(y), y})
	for k := o.rightChain; k >= 0; k = c.chains[k].below {
		c.points = append(c.points, c.chains[k].at)
	}
	slices.Reverse(c.points[from:])
	c.points = append(c.points, orb.Point{c.sides[o.left].xAt(y), y})
	for k := o.leftChain; k >= 0; k = c.chains[k].below {
		c.points = append(c.points, c.chains[k].at)
	}
	q := slices.Compact(c.points[from:])
	if n := len(q); n > 1 && q[0] == q[n-1] {
		q = q[:n-1]
	}
	c.points = c.points[:from+len(q)]
	if len(q) > 2 && !(twiceArea(q) > 0 && isConvex(q)) {
		// The outline crosses itself here. Its hull is as good an answer as any, and a convex one.
		hull := convexHull(slices.Clone(q))
		c.points = append(c.points[:from], hull...)
	}
	c.done()
}

// convexHull is Andrew's monotone chain (Information Processing Letters 9, 1979): corners anticlockwise, not closed. It
// sorts its argument.
func convexHull(p []orb.Point) []orb.Point {
	slices.SortFunc(p, func(a, b orb.Point) int {
		return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
	})
	p = slices.Compact(p)
	if len(p) < 3 {
		return p
	}
	hull := make([]orb.Point, 0, 2*len(p))
	for range 2 {
		base := len(hull)
		for _, q := range p {
			for len(hull) >= base+2 && orient(hull[len(hull)-2], hull[len(hull)-1], q) <= 0 {
				hull = hull[:len(hull)-1]
			}
			hull = append(hull, q)
		}
		hull = hull[:len(hull)-1]
		slices.Reverse(p)
	}
	return hull
}
