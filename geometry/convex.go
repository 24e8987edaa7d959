package geometry

import (
	"math"

	"github.com/paulmach/orb"
)

// An edge is one side of a convex piece, from (ax, ay) along the unit vector (-ny, nx); (nx, ny) points out of the piece.
type edge struct {
	ax, ay, nx, ny, length float64
}

// A piece is a convex set: a polygon (edges anticlockwise), a segment (one edge) or a point (one edge of no length).
// Every shape is cut into pieces, because the distance to a convex set is a convex function of where one stands, and all
// the bounds in this package rest on that.
type piece struct {
	edges    []edge
	min, max orb.Point
	site     int32
	id       int32 // order of making
	fan      *fan  // of a piece with many sides
}

// A fan finds a side to start from, of a piece with many: that which faces the eighth of the compass where a point lies
// as seen from the middle.
type fan struct {
	middle orb.Point
	side   [8]int32
}

const manySides = 8

// eighth numbers the eighths of the compass by the signs of the direction and which of its parts is larger.
func eighth(dx, dy float64) (k int) {
	if dx < 0 {
		k, dx = 1, -dx
	}
	if dy < 0 {
		k, dy = k+2, -dy
	}
	if dx < dy {
		k += 4
	}
	return k
}

func newFan(p *piece) *fan {
	f := &fan{middle: orb.Point{p.min[0]/2 + p.max[0]/2, p.min[1]/2 + p.max[1]/2}}
	for k := range f.side {
		// The direction half-way through the eighth.
		dx, dy := math.Cos(math.Pi/8), math.Sin(math.Pi/8)
		if k&4 > 0 {
			dx, dy = dy, dx
		}
		if k&1 > 0 {
			dx = -dx
		}
		if k&2 > 0 {
			dy = -dy
		}
		most := -2.0
		for i, e := range p.edges {
			if facing := e.nx*dx + e.ny*dy; facing > most {
				most, f.side[k] = facing, int32(i)
			}
		}
	}
	return f
}

// before is the order of pieces that counts where two are equally near: results must not depend on where the tree keeps
// them.
func (p *piece) before(q *piece) bool { return p.site < q.site || p.site == q.site && p.id < q.id }

// appendEdges adds the sides of a convex set given by its corners, anticlockwise, not closed; corners closer than tiny to
// the one before are left out, for their side would have no direction.
func appendEdges(dst []edge, corners []orb.Point) []edge {
	const tiny = 1e-10
	start := len(dst)
	n := len(corners)
	for i, a := range corners {
		b := corners[(i+1)%n]
		dx, dy := b[0]-a[0], b[1]-a[1]
		l := math.Sqrt(dx*dx + dy*dy)
		if l <= tiny {
			continue
		}
		dst = append(dst, edge{ax: a[0], ay: a[1], nx: dy / l, ny: -dx / l, length: l})
	}
	switch sides := dst[start:]; len(sides) {
	case 0:
		return append(dst, edge{ax: corners[0][0], ay: corners[0][1], nx: 1})
	case 2: // there and back: a segment
		return dst[:start+1]
	}
	return dst
}

// box sets the bounds from the corners.
func (p *piece) box(corners []orb.Point) {
	p.min, p.max = corners[0], corners[0]
	for _, c := range corners[1:] {
		p.min[0], p.max[0] = min(p.min[0], c[0]), max(p.max[0], c[0])
		p.min[1], p.max[1] = min(p.min[1], c[1]), max(p.max[1], c[1])
	}
}

// dist2 is the squared distance from a point, 0 inside. A point outside a convex polygon sees some sides from their
// front; if it stands square before one of them that side is nearest, else the nearest corner of those is.
func (p *piece) dist2(x, y float64) float64 {
	if len(p.edges) == 1 {
		e := &p.edges[0]
		s, t := e.place(x, y)
		if t > 0 {
			t = max(0, t-e.length)
		}
		return s*s + t*t
	}
	if p.fan != nil {
		if d, ok := p.walk2(x, y); ok {
			return d
		}
	}
	best := -1.0
	for i := range p.edges {
		e := &p.edges[i]
		dx, dy := x-e.ax, y-e.ay
		s := dx*e.nx + dy*e.ny
		if s <= 0 {
			continue
		}
		t := dy*e.nx - dx*e.ny
		if t > e.length {
			t -= e.length
		} else if t >= 0 {
			return s * s
		}
		if d := s*s + t*t; best < 0 || d < best {
			best = d
		}
	}
	return max(best, 0)
}

// walk2 is dist2 for a piece with many sides: from a side that the point sees from its front, along the outline towards
// the point. The distance from a point to what it sees of a convex outline falls and then rises, so the walk cannot stop
// short. It is not ok where the first side is not seen.
func (p *piece) walk2(x, y float64) (d2 float64, ok bool) {
	i := int(p.fan.side[eighth(x-p.fan.middle[0], y-p.fan.middle[1])])
	e := &p.edges[i]
	s, t := e.place(x, y)
	if s <= 0 {
		return 0, false
	}
	for t < 0 {
		if i--; i < 0 {
			i += len(p.edges)
		}
		e = &p.edges[i]
		u, v := e.place(x, y)
		if u <= 0 || v >= e.length {
			return s*s + t*t, true
		}
		if v >= 0 {
			return u * u, true
		}
		s, t = u, v
	}
	for t > e.length {
		past := t - e.length
		if i++; i == len(p.edges) {
			i = 0
		}
		e = &p.edges[i]
		u, v := e.place(x, y)
		if u <= 0 || v <= 0 {
			return s*s + past*past, true
		}
		s, t = u, v
	}
	return s * s, true
}

// place gives a point in the edge's own axes: s out of the piece, t along the side.
func (e *edge) place(x, y float64) (s, t float64) {
	dx, dy := x-e.ax, y-e.ay
	return dx*e.nx + dy*e.ny, dy*e.nx - dx*e.ny
}

// at is the point t metres along the side.
func (e *edge) at(t float64) orb.Point { return orb.Point{e.ax - t*e.ny, e.ay + t*e.nx} }

// nearest is the point of the piece nearest to (x, y): itself inside.
func (p *piece) nearest(x, y float64) orb.Point {
	best, at := -1.0, orb.Point{x, y}
	for i := range p.edges {
		e := &p.edges[i]
		s, t := e.place(x, y)
		if len(p.edges) > 1 && s <= 0 {
			continue
		}
		foot := e.at(max(0, min(t, e.length)))
		dx, dy := x-foot[0], y-foot[1]
		if d := dx*dx + dy*dy; best < 0 || d < best {
			best, at = d, foot
		}
	}
	return at
}

// The parts of a piece that a point can be nearest to.
const (
	onInside = iota // the point is in the piece
	onSide
	onStart // the corner where the side begins
	onEnd   // the corner where it ends: of a segment only, for a polygon's next side begins there
)

// part tells which part of the piece is nearest to a point, and of which side.
func (p *piece) part(x, y float64) (part, side int) {
	if len(p.edges) == 1 {
		switch _, t := p.edges[0].place(x, y); {
		case t <= 0:
			return onStart, 0
		case t >= p.edges[0].length:
			return onEnd, 0
		}
		return onSide, 0
	}
	best := -1.0
	for i := range p.edges {
		e := &p.edges[i]
		s, t := e.place(x, y)
		if s <= 0 {
			continue
		}
		corner := i
		if t > e.length {
			t -= e.length
			if corner++; corner == len(p.edges) {
				corner = 0
			}
		} else if t >= 0 {
			return onSide, i
		}
		if d := s*s + t*t; best < 0 || d < best {
			best, part, side = d, onStart, corner
		}
	}
	return part, side
}

// boxDist2 is the squared distance between two boxes.
func boxDist2(amin, amax, bmin, bmax orb.Point) float64 {
	dx := max(amin[0]-bmax[0], bmin[0]-amax[0], 0)
	dy := max(amin[1]-bmax[1], bmin[1]-amax[1], 0)
	return dx*dx + dy*dy
}

// between is the squared distance of two convex sets and the points that show it. Apart, one of the two points is a corner;
// together, they either hold a corner of each other or have sides that cross.
func between(a, b *piece) (d2 float64, onA, onB orb.Point) {
	d2 = math.Inf(1)
	for i := range a.edges {
		for end := range a.ends() {
			c := a.corner(i, end)
			if d := b.dist2(c[0], c[1]); d < d2 {
				d2, onA, onB = d, c, b.nearest(c[0], c[1])
			}
		}
	}
	for i := range b.edges {
		for end := range b.ends() {
			c := b.corner(i, end)
			if d := a.dist2(c[0], c[1]); d < d2 {
				d2, onA, onB = d, a.nearest(c[0], c[1]), c
			}
		}
	}
	if d2 == 0 || boxDist2(a.min, a.max, b.min, b.max) > 0 {
		return d2, onA, onB
	}
	for i := range a.edges {
		e := &a.edges[i]
		for j := range b.edges {
			f := &b.edges[j]
			end := f.at(f.length)
			s0, _ := e.place(f.ax, f.ay)
			s1, _ := e.place(end[0], end[1])
			if s0*s1 >= 0 {
				continue
			}
			far := e.at(e.length)
			u0, _ := f.place(e.ax, e.ay)
			u1, _ := f.place(far[0], far[1])
			if u0*u1 >= 0 {
				continue
			}
			at := f.at(f.length * s0 / (s0 - s1))
			return 0, at, at
		}
	}
	return d2, onA, onB
}

// ends is how many corners each edge brings: a polygon's sides share theirs, a segment has both of its own.
func (p *piece) ends() int {
	if len(p.edges) == 1 && p.edges[0].length > 0 {
		return 2
	}
	return 1
}

func (p *piece) corner(i, end int) orb.Point {
	e := &p.edges[i]
	if end == 0 {
		return orb.Point{e.ax, e.ay}
	}
	return e.at(e.length)
}
