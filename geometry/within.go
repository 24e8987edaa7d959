package geometry

import (
	"math"
	"slices"
	"sync/atomic"

	"github.com/paulmach/orb"
)

// areaSearch holds the lists of one AreaWithin.
type areaSearch struct {
	parts, rest, covers []interval
	angles              []float64
	cells               int
	spread              float64
}

// An interval is a stretch of a segment (metres from its start) or of an arc (radians from its start).
type interval struct{ from, to float64 }

// overlays counts the cells whose area had to be worked out by an overlay; tests see that they stay rare.
var overlays atomic.Int64

// AreaWithin is the area in m² of the part of the shape no farther than r metres from any site. r = 0 gives what the sites
// themselves cover.
//
// It is exact, arcs included. The ground within r of a convex piece is bounded by its sides moved out by r and by arcs
// about its corners. In each convex cell of the shape, the part reached is bounded by stretches of the cell's edge that
// some piece covers, and by stretches of those sides and arcs, inside the cell, that no other piece covers; its area is
// the sum of ½∮(x dy − y dx) over them (Green's theorem). A convex set covers one stretch of a segment, so no network of
// crossings has to be built, and a rounded end moves the area by no more than the rounding.
func (s *Sites) AreaWithin(g orb.Geometry, r float64) float64 {
	if s.empty() || g == nil || !(r >= 0) {
		return 0
	}
	whole := Area(g)
	if whole == 0 {
		return 0
	}
	c := scratches.Get().(*scratch)
	defer scratches.Put(c)
	c.cut.reset()
	c.cut.add(g, s.origin)
	area := 0.0
	c.area.cells = 0
	c.area.spread = spread(g, r)
	for k := range c.cut.ends {
		if corners := c.cut.piece(k); len(corners) > 2 {
			c.points, c.near = c.points[:0], c.near[:0]
			area += c.areaCell(corners, s.around(c, corners, r), r)
		}
	}
	switch {
	case area >= whole*(1-1e-12):
		return whole
	case area <= whole*1e-12:
		return 0
	}
	return area
}

// manyNear is the number of pieces above which a cell is halved rather than worked out: the work grows with its square.
const manyNear = 6

func (c *scratch) areaCell(corners []orb.Point, near []*piece, r float64) float64 {
	if len(near) == 0 {
		return 0
	}
	c.area.cells++
	c.measure(corners, near)
	if _, bound := c.least(near, len(corners)); bound <= r {
		return twiceArea(corners) / 2
	}
	near = near[:c.prune(corners, near, r)]
	if len(near) == 0 {
		return 0
	}
	if lo, hi := boxOf(corners); len(near) > manyNear && c.area.cells < 1000 && boxDist2(lo, lo, hi, hi) > 0.01 {
		top, stacked := len(c.points), len(c.near)
		area := 0.0
		if first, second, ok := c.split(corners); ok {
			for _, half := range [2][2]int{{top, first}, {first, second}} {
				if half[1]-half[0] < 3 {
					continue
				}
				c.near = append(c.near, near...)
				area += c.areaCell(c.points[half[0]:half[1]:half[1]], c.near[stacked:], r)
				c.near = c.near[:stacked]
			}
			c.points = c.points[:top]
			return area
		}
	}
	return c.areaReached(corners, near, r)
}

// leastSpread is the least step in metres by which the pieces' radii are set apart in a cell. With radii all a little
// different, two outlines never run along each other nor touch at one place without crossing (drawn edge to edge, end to
// end, round the same corner), so there is nothing to decide about which of them counts. It costs step × length, well
// under a square millimetre. Far from the plane's origin coordinates themselves have fewer digits; there the step is some
// of their last places.
const leastSpread = 2e-10

// spread is that step for a shape and a range.
func spread(g orb.Geometry, r float64) float64 {
	b := g.Bound()
	far := max(math.Abs(b.Min[0]), math.Abs(b.Min[1]), math.Abs(b.Max[0]), math.Abs(b.Max[1]), r)
	return max(leastSpread, far*0x1p-50)
}

// areaReached is the area of the cell within r of the near pieces.
func (c *scratch) areaReached(corners []orb.Point, near []*piece, r float64) float64 {
	o := middle(corners)
	whole := twiceArea(corners) / 2
	c.cell.edges = appendEdges(c.cell.edges[:0], corners)
	c.cell.box(corners)
	if len(c.cell.edges) < 3 {
		return 0
	}
	radius := func(i int) float64 { return r + c.area.spread*float64(i+1) }

	w := &c.area
	sum := tally{}
	for i := range c.cell.edges {
		e := &c.cell.edges[i]
		w.parts = append(w.parts[:0], interval{0, e.length})
		for k, p := range near {
			if from, to := p.covers(e.ax, e.ay, -e.ny, e.nx, e.length, radius(k)); from < to {
				w.subtract(interval{from, to})
			}
		}
		for _, part := range w.parts {
			sum.segment(e.at(part.to), e.at(part.from), o)
		}
	}
	for i, p := range near {
		p.outer(func(side edge) { c.keepSide(side, i, near, radius, &sum, o) },
			func(corner arc) { c.keepArc(corner, i, near, radius, &sum, o) },
			func(x, y, nx, ny float64) bool { return c.cell.reaches(x, y, nx, ny, r) })
	}
	area := whole + sum.area
	size := distance(c.cell.min, c.cell.max)
	open := math.Hypot(sum.x, sum.y) // the stretches should close up; where arcs all but touch sides they do so less well
	if slack := 1e-7*whole + 1e-9*r*size + 1e-8; !(open*size <= slack) || area < -slack || area > whole+slack {
		overlays.Add(1)
		if a, err := overlayReached(corners, near, r); err == nil {
			area = a
		}
	}
	return max(0, min(area, whole))
}

// reaches tells whether the piece may come as far as the arc of radius r about (x, y) between the outward unit vectors of two
// sides that add up to (nx, ny): false only if not. All of the arc is at least r·cos(half its sweep) out in that direction, and
// the two vectors add up to twice that cosine.
func (p *piece) reaches(x, y, nx, ny, r float64) bool {
	const slack = 1e-6
	least := r*(nx*nx+ny*ny)/2 - slack
	for i := range p.edges {
		if e := &p.edges[i]; (e.ax-x)*nx+(e.ay-y)*ny >= least {
			return true
		}
	}
	return false
}

// outer visits the sides of a piece and the arcs about its corners, arc before side, anticlockwise, all of them still on the
// piece itself: the arcs have no radius yet. Arcs between sides that are not wanted, by the corner and the sum of the sides' outward
// unit vectors, are left out; nil wants them all.
func (p *piece) outer(side func(edge), corner func(arc), wanted func(x, y, nx, ny float64) bool) {
	first := p.edges[0]
	if len(p.edges) == 1 {
		start := math.Atan2(first.ny, first.nx)
		if first.length == 0 {
			corner(arc{cx: first.ax, cy: first.ay, start: start, sweep: 2 * math.Pi})
			return
		}
		end := first.at(first.length)
		corner(arc{cx: first.ax, cy: first.ay, start: start + math.Pi, sweep: math.Pi})
		side(first)
		corner(arc{cx: end[0], cy: end[1], start: start, sweep: math.Pi})
		side(edge{ax: end[0], ay: end[1], nx: -first.nx, ny: -first.ny, length: first.length})
		return
	}
	before := p.edges[len(p.edges)-1]
	for _, e := range p.edges {
		if wanted != nil && !wanted(e.ax, e.ay, before.nx+e.nx, before.ny+e.ny) {
			side(e)
			before = e
			continue
		}
		if turn := math.Atan2(before.nx*e.ny-before.ny*e.nx, before.nx*e.nx+before.ny*e.ny); turn > 0 {
			corner(arc{cx: e.ax, cy: e.ay, start: math.Atan2(before.ny, before.nx), sweep: turn})
		}
		side(e)
		before = e
	}
}

// keepSide adds the stretches of a piece's side, moved out by its radius, that lie in the cell and that no other piece
// covers.
func (c *scratch) keepSide(e edge, i int, near []*piece, radius func(int) float64, sum *tally, o orb.Point) {
	e.ax += radius(i) * e.nx
	e.ay += radius(i) * e.ny
	from, to := c.cell.covers(e.ax, e.ay, -e.ny, e.nx, e.length, 0)
	if !(from < to) {
		return
	}
	w := &c.area
	w.parts = append(w.parts[:0], interval{from, to})
	for k, p := range near {
		if k == i {
			continue
		}
		if from, to := p.covers(e.ax, e.ay, -e.ny, e.nx, e.length, radius(k)); from < to {
			w.subtract(interval{from, to})
		}
	}
	for _, part := range w.parts {
		sum.segment(e.at(part.from), e.at(part.to), o)
	}
}

// keepArc is keepSide for an arc.
func (c *scratch) keepArc(a arc, i int, near []*piece, radius func(int) float64, sum *tally, o orb.Point) {
	a.r = radius(i)
	w := &c.area
	w.covers = w.covers[:0]
	w.coverArc(a, &c.cell, 0)
	if len(w.covers) == 0 {
		return
	}
	w.parts = append(w.parts[:0], w.covers...)
	for k, p := range near {
		if k == i {
			continue
		}
		w.covers = w.covers[:0]
		w.coverArc(a, p, radius(k))
		for _, v := range w.covers {
			w.subtract(v)
		}
	}
	for _, part := range w.parts {
		sum.arc(a, part.from, part.to, o)
	}
}

// subtract takes a stretch out of parts.
func (w *areaSearch) subtract(v interval) {
	w.rest = w.rest[:0]
	for _, p := range w.parts {
		if v.to <= p.from || p.to <= v.from {
			w.rest = append(w.rest, p)
			continue
		}
		if p.from < v.from {
			w.rest = append(w.rest, interval{p.from, v.from})
		}
		if v.to < p.to {
			w.rest = append(w.rest, interval{v.to, p.to})
		}
	}
	w.parts, w.rest = w.rest, w.parts
}

// covers is the stretch of a segment, from (x, y) along the unit vector (ux, uy), that lies within r of the piece: one
// stretch, for the ground within r of a convex set is convex. That ground is the union of the piece, a band along each
// side and a disc about each corner, so the stretch runs from the first to the last of what those cover.
func (p *piece) covers(x, y, ux, uy, length, r float64) (from, to float64) {
	from, to = length, 0
	take := func(a, b float64) {
		if a = max(a, 0); a < from && a < b {
			from = a
		}
		if b = min(b, length); b > to && a < b {
			to = b
		}
	}
	disc := func(cx, cy float64) {
		dx, dy := cx-x, cy-y
		off := dx*uy - dy*ux
		if off < r && -off < r {
			t, h := dx*ux+dy*uy, math.Sqrt((r-off)*(r+off))
			take(t-h, t+h)
		}
	}
	single := len(p.edges) == 1
	in0, in1 := 0.0, length
	for i := range p.edges {
		e := &p.edges[i]
		s, t := e.place(x, y)
		ds, dt := ux*e.nx+uy*e.ny, uy*e.nx-ux*e.ny
		if !single {
			in0, in1 = clip(in0, in1, s, ds, math.Inf(-1), 0)
		}
		if r == 0 {
			continue
		}
		disc(e.ax, e.ay)
		if e.length == 0 {
			continue
		}
		low := 0.0
		if single {
			low = -r
			end := e.at(e.length)
			disc(end[0], end[1])
		}
		a, b := clip(0, length, s, ds, low, r)
		if a < b {
			take(clip(a, b, t, dt, 0, e.length))
		}
	}
	if !single && in0 < in1 {
		take(in0, in1)
	}
	return from, to
}

// clip narrows from … to to where v + dv·t lies from lo to hi.
func clip(from, to, v, dv, lo, hi float64) (float64, float64) {
	if dv == 0 {
		if v < lo || v > hi {
			return 1, 0
		}
		return from, to
	}
	a, b := (lo-v)/dv, (hi-v)/dv
	if a > b {
		a, b = b, a
	}
	return max(from, a), min(to, b)
}

// An arc runs anticlockwise about (cx, cy) from the angle start through sweep, both in radians.
type arc struct{ cx, cy, r, start, sweep float64 }

func (a *arc) at(t float64) orb.Point {
	sin, cos := math.Sincos(a.start + t)
	return orb.Point{a.cx + a.r*cos, a.cy + a.r*sin}
}

// coverArc appends to covers the stretches of the arc within r of the piece. It cuts the arc wherever its circle meets
// the sides' offset lines and the corners' circles, those that are no part of the outline too, and tries the middle of
// each stretch.
func (w *areaSearch) coverArc(a arc, p *piece, r float64) {
	d := math.Sqrt(p.dist2(a.cx, a.cy))
	if d >= a.r+r {
		return
	}
	if d+a.r <= r {
		w.covers = append(w.covers, interval{0, a.sweep})
		return
	}
	w.angles = append(w.angles[:0], 0, a.sweep)
	// cut at the angles where the circle lies m out along the direction of angle mid.
	cut := func(mid, up, m float64) {
		half := math.Atan2(up, m)
		for _, at := range [2]float64{mid - half, mid + half} {
			t := math.Mod(at-a.start, 2*math.Pi)
			if t < 0 {
				t += 2 * math.Pi
			}
			if t > 0 && t < a.sweep {
				w.angles = append(w.angles, t)
			}
		}
	}
	line := func(nx, ny, m float64) {
		if m < a.r && -m < a.r {
			cut(math.Atan2(ny, nx), math.Sqrt((a.r-m)*(a.r+m)), m)
		}
	}
	disc := func(cx, cy float64) {
		dx, dy := cx-a.cx, cy-a.cy
		dd := math.Sqrt(dx*dx + dy*dy)
		// Heron's form of the angle in the triangle of sides dd, a.r and r, good also where it is flat.
		h := (a.r + r + dd) * (a.r + r - dd) * (dd + (a.r - r)) * (dd - (a.r - r))
		if dd > 0 && h > 0 {
			cut(math.Atan2(dy, dx), math.Sqrt(h), dd*dd+(a.r-r)*(a.r+r))
		}
	}
	for i := range p.edges {
		e := &p.edges[i]
		if r > 0 {
			disc(e.ax, e.ay)
		}
		if e.length == 0 {
			continue
		}
		s, _ := e.place(a.cx, a.cy)
		line(e.nx, e.ny, r-s)
		if len(p.edges) == 1 {
			line(-e.nx, -e.ny, r+s)
			end := e.at(e.length)
			disc(end[0], end[1])
		}
	}
	slices.Sort(w.angles)
	for i := 1; i < len(w.angles); i++ {
		from, to := w.angles[i-1], w.angles[i]
		if from == to {
			continue
		}
		m := a.at(from/2 + to/2)
		if p.dist2(m[0], m[1]) > r*r {
			continue
		}
		if n := len(w.covers); n > 0 && w.covers[n-1].to == from {
			w.covers[n-1].to = to
		} else {
			w.covers = append(w.covers, interval{from, to})
		}
	}
}

// A tally sums ½∫(x dy − y dx) along stretches, about a point o near them, and their steps, which add up to nothing round a
// closed outline.
type tally struct{ area, x, y float64 }

func (s *tally) segment(from, to, o orb.Point) {
	s.area += cross(o, from, to) / 2
	s.x += to[0] - from[0]
	s.y += to[1] - from[1]
}

func (s *tally) arc(a arc, from, to float64, o orb.Point) {
	p, q := a.at(from), a.at(to)
	sweep := to - from
	// The sector's chord triangle, and the cap between chord and arc.
	s.segment(p, q, o)
	s.area += a.r * a.r * (sweep - math.Sin(sweep)) / 2
}

// overlayReached works the area out with outlines whose arcs are flattened: for the case that areaReached does not close up.
func overlayReached(corners []orb.Point, near []*piece, r float64) (float64, error) {
	chords := min(max(256, arcSegments(r, 2*math.Pi, 1e-4)), 8192)
	rings := make([]orb.Geometry, len(near))
	for i, p := range near {
		rings[i] = p.outline(r, chords)
	}
	all, err := union(rings)
	if err != nil {
		return 0, err
	}
	cell := append(slices.Clone(orb.Ring(corners)), corners[0])
	reached, err := intersection(orb.Polygon{cell}, all)
	return Area(reached), err
}

// outline is the ground within r of the piece as a polygon, round full circles with n chords.
func (p *piece) outline(r float64, n int) orb.Polygon {
	step := 2 * math.Pi / float64(n)
	var ring orb.Ring
	about := func(x, y, start, sweep float64) {
		k := max(1, int(math.Ceil(sweep/step-1e-9)))
		for i := range k + 1 {
			sin, cos := math.Sincos(start + sweep*float64(i)/float64(k))
			ring = append(ring, orb.Point{x + r*cos, y + r*sin})
		}
	}
	if e := p.edges[0]; len(p.edges) == 1 {
		start := math.Atan2(e.ny, e.nx)
		end := e.at(e.length)
		about(end[0], end[1], start, math.Pi)
		about(e.ax, e.ay, start+math.Pi, math.Pi)
	} else {
		for k, e := range p.edges {
			f := p.edges[(k+len(p.edges)-1)%len(p.edges)]
			turn := math.Atan2(f.nx*e.ny-f.ny*e.nx, f.nx*e.nx+f.ny*e.ny)
			about(e.ax, e.ay, math.Atan2(f.ny, f.nx), max(turn, 0))
		}
	}
	ring = slices.Compact(ring)
	if ring[0] != ring[len(ring)-1] {
		ring = append(ring, ring[0])
	}
	return orb.Polygon{ring}
}
