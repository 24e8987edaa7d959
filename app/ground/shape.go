package ground

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/style"
	"hedgereach/habitat/plan"
)

// A shape is a feature's ground in drawing units, with what the signs need to know of it.
type shape struct {
	rings  [][]orb.Point // not repeated at the end; outlines and holes alike
	path   drawing.Path
	bound  orb.Bound
	area   float64   // units², holes taken off
	width  float64   // mean width in units: 2·area/outline, the true width of a long strip
	along  orb.Point // unit vector of the longest side, pointing right
	window orb.Bound // what can be seen, with a margin; signs outside it are not made
	look   style.Look
}

// newShape is false where nothing can be drawn: no polygon, or a corner that is no number.
func newShape(f *plan.Feature, v View, s style.Look, window orb.Bound) (*shape, bool) {
	var polys []orb.Polygon
	switch g := f.Geometry.(type) {
	case orb.Polygon:
		polys = []orb.Polygon{g}
	case orb.MultiPolygon:
		polys = g
	default:
		return nil, false
	}
	sh := &shape{look: s, bound: orb.Bound{Min: orb.Point{inf, inf}, Max: orb.Point{-inf, -inf}}}
	n := 0
	for _, p := range polys {
		for _, r := range p {
			n += len(r)
		}
	}
	pts := make([]orb.Point, 0, n)
	sin, cos := math.Sincos(v.Turn)
	outline, longest := 0.0, -1.0
	for _, p := range polys {
		for i, r := range p {
			if k := len(r); k > 1 && r[0] == r[k-1] {
				r = r[:k-1]
			}
			if len(r) < 3 {
				continue
			}
			from := len(pts)
			for _, q := range r {
				x, y := q[0]-v.Centre[0], q[1]-v.Centre[1]
				u := orb.Point{v.Middle[0] + v.Scale*(cos*x-sin*y), v.Middle[1] - v.Scale*(sin*x+cos*y)}
				if d := u[0] - u[0] + u[1] - u[1]; d != 0 { // infinite or not a number
					return nil, false
				}
				sh.bound = sh.bound.Extend(u)
				pts = append(pts, u)
			}
			ring := pts[from:len(pts):len(pts)]
			sh.rings = append(sh.rings, ring)
			sh.path = append(sh.path, drawing.Contour{Points: ring, Closed: true})
			a := math.Abs(signedArea(ring))
			if i > 0 {
				a = -a
			}
			sh.area += a
			for j, q := range ring {
				e := sub(ring[(j+1)%len(ring)], q)
				l := math.Hypot(e[0], e[1])
				outline += l
				if l > longest*(1+1e-9) {
					longest, sh.along = l, orb.Point{e[0] / l, e[1] / l}
				}
			}
		}
	}
	if len(sh.rings) == 0 || outline == 0 {
		return nil, false
	}
	if sh.along[0] < -1e-9 || (math.Abs(sh.along[0]) <= 1e-9 && sh.along[1] > 0) {
		sh.along = orb.Point{-sh.along[0], -sh.along[1]}
	}
	sh.width = 2 * sh.area / outline
	own := sh.bound.Pad(s.Pt(margin))
	sh.window = orb.Bound{
		Min: orb.Point{max(window.Min[0], own.Min[0]), max(window.Min[1], own.Min[1])},
		Max: orb.Point{min(window.Max[0], own.Max[0]), min(window.Max[1], own.Max[1])},
	}
	return sh, true
}

var inf = math.Inf(1)

// points is the mean width in points: how much detail the shape can carry.
func (sh *shape) points() float64 { return sh.width / sh.look.Unit }

// clear lists, for the line at v of the frame turned to dir, the stretches inside the shape, as pairs of u. They come back in
// buf, sorted.
func (sh *shape) clear(dir orb.Point, v float64, buf []float64) []float64 {
	buf = buf[:0]
	for _, r := range sh.rings {
		a := r[len(r)-1]
		ua, va := turn(a, dir)
		for _, b := range r {
			ub, vb := turn(b, dir)
			if (va <= v) != (vb <= v) {
				buf = append(buf, ua+(ub-ua)*(v-va)/(vb-va))
			}
			ua, va = ub, vb
		}
	}
	slices.Sort(buf)
	return buf
}

// A span is a stretch of a row inside a shape: at v, from u0 to u1 in the frame turned to a direction.
type span struct {
	row       int
	v, u0, u1 float64
}

// rows are the stretches of parallel lines (at first + k·gap in the frame turned to dir) that keep at least margin from the
// outline above, below and at their ends. Only what the window shows is made.
func (sh *shape) rows(dir orb.Point, first, gap, margin float64) []span {
	if !(gap > 0) {
		return nil
	}
	lo, hi := inf, -inf
	for _, r := range sh.rings {
		for _, p := range r {
			_, v := turn(p, dir)
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	ulo, uhi := inf, -inf
	wlo, whi := inf, -inf
	for _, c := range corners(sh.window) {
		u, v := turn(c, dir)
		ulo, uhi, wlo, whi = min(ulo, u), max(uhi, u), min(wlo, v), max(whi, v)
	}
	lo, hi = max(lo, wlo), min(hi, whi)
	var out []span
	var mid, above, below, tmp []float64
	for k := int(math.Ceil((lo - first) / gap)); first+float64(k)*gap <= hi; k++ {
		v := first + float64(k)*gap
		mid = sh.clear(dir, v, mid)
		if margin > 0 {
			above, below = sh.clear(dir, v-margin, above), sh.clear(dir, v+margin, below)
			tmp = both(mid, above, tmp)
			mid = both(tmp, below, mid)
		}
		for i := 0; i+1 < len(mid); i += 2 {
			if u0, u1 := max(mid[i]+margin, ulo), min(mid[i+1]-margin, uhi); u1 > u0 {
				out = append(out, span{k, v, u0, u1})
			}
		}
	}
	return out
}

// both is the overlap of two sorted lists of stretches, in out.
func both(a, b, out []float64) []float64 {
	out = out[:0]
	for i, j := 0, 0; i+1 < len(a) && j+1 < len(b); {
		if lo, hi := max(a[i], b[j]), min(a[i+1], b[j+1]); hi > lo {
			out = append(out, lo, hi)
		}
		if a[i+1] < b[j+1] {
			i += 2
		} else {
			j += 2
		}
	}
	return out
}

// A spot is a place for a small sign; I and J count along the row and across, for patterns that repeat.
type spot struct {
	at   orb.Point
	i, j int
}

// scatter lists the spots of a staggered grid inside the shape, margin clear of the outline. The grid is locked to origin, so
// that a pan does not make it swim, and turned to dir.
func (sh *shape) scatter(origin, dir orb.Point, gap, margin float64) []spot {
	uo, vo := turn(origin, dir)
	dv := gap * 0.866 // rows of a triangular grid
	first := math.Mod(vo, dv)
	base := int(math.Round((vo - first) / dv))
	var out []spot
	for _, s := range sh.rows(dir, first, dv, margin) {
		j := s.row - base
		shift := 0.0
		if j&1 != 0 {
			shift = gap / 2
		}
		for i := int(math.Ceil((s.u0 - uo - shift) / gap)); ; i++ {
			u := uo + shift + float64(i)*gap
			if u > s.u1 {
				break
			}
			out = append(out, spot{back(u, s.v, dir), i, j})
		}
	}
	return out
}

// chance is a fixed number in 0–1 for a spot: it looks irregular and is the same each time.
func chance(i, j, salt int) float64 {
	h := uint32(i)*0x9E3779B1 ^ uint32(j)*0x85EBCA77 ^ uint32(salt)*0xC2B2AE3D
	h ^= h >> 15
	h *= 0x2C1B3C6D
	h ^= h >> 12
	h *= 0x297A2D39
	h ^= h >> 15
	return float64(h) / (1 << 32)
}

// turn gives the coordinates of p along dir (u) and square to it (v).
func turn(p, dir orb.Point) (u, v float64) {
	return p[0]*dir[0] + p[1]*dir[1], -p[0]*dir[1] + p[1]*dir[0]
}

// back undoes turn.
func back(u, v float64, dir orb.Point) orb.Point {
	return orb.Point{u*dir[0] - v*dir[1], u*dir[1] + v*dir[0]}
}

func sub(a, b orb.Point) orb.Point { return orb.Point{a[0] - b[0], a[1] - b[1]} }

// from is p moved by x along d and y along n.
func from(p, d orb.Point, x float64, n orb.Point, y float64) orb.Point {
	return orb.Point{p[0] + x*d[0] + y*n[0], p[1] + x*d[1] + y*n[1]}
}

func signedArea(r []orb.Point) (a float64) {
	p := r[len(r)-1]
	for _, q := range r {
		a += p[0]*q[1] - q[0]*p[1]
		p = q
	}
	return a / 2
}

func corners(b orb.Bound) [4]orb.Point {
	return [4]orb.Point{b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}}
}

// middle is the centre of gravity of the largest ring.
func (sh *shape) middle() orb.Point {
	best, big := sh.rings[0], 0.0
	for _, r := range sh.rings {
		if a := math.Abs(signedArea(r)); a > big {
			best, big = r, a
		}
	}
	o := best[0] // near the ring, so that far-off coordinates lose nothing
	var cx, cy, a float64
	p := sub(best[len(best)-1], o)
	for _, q := range best {
		q = sub(q, o)
		c := p[0]*q[1] - q[0]*p[1]
		cx, cy, a = cx+(p[0]+q[0])*c, cy+(p[1]+q[1])*c, a+c
		p = q
	}
	if a == 0 {
		return sh.bound.Center()
	}
	return orb.Point{o[0] + cx/(3*a), o[1] + cy/(3*a)}
}

// A sketch gathers many small contours into one path.
type sketch struct {
	pts  []orb.Point
	path drawing.Path
}

func (k *sketch) add(closed bool, pts ...orb.Point) {
	from := len(k.pts)
	k.pts = append(k.pts, pts...)
	k.path = append(k.path, drawing.Contour{Points: k.pts[from:len(k.pts):len(k.pts)], Closed: closed})
}

func (k *sketch) line(a, b orb.Point) { k.add(false, a, b) }

// circle adds a regular polygon that reads as a circle at its size.
func (k *sketch) circle(c orb.Point, r float64, sides int) {
	from := len(k.pts)
	for i := range sides {
		s, co := math.Sincos(2 * math.Pi * float64(i) / float64(sides))
		k.pts = append(k.pts, orb.Point{c[0] + r*co, c[1] + r*s})
	}
	k.path = append(k.path, drawing.Contour{Points: k.pts[from:len(k.pts):len(k.pts)], Closed: true})
}

func (k *sketch) stroke(p drawing.Pen) []drawing.Op {
	if len(k.path) == 0 {
		return nil
	}
	return []drawing.Op{drawing.Stroke{Path: k.path, Pen: p}}
}
