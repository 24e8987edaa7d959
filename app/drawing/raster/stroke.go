package raster

import (
	"math"

	"github.com/paulmach/orb"
)

// How far in pixels a drawn arc may stray from a round one, and how high an arc at a join must be to be drawn at all.
const (
	coarse = 0.03
	flat   = 0.05
)

// stroke adds the outline of a line of the given half width through points in pixels. Joins are round. Open ends are round
// or, if butt is set, flat. Points that coincide with the one before are passed over; a line of no length is a dot if ends
// are round.
func (s *scan) stroke(pts []orb.Point, closed bool, half float64, butt bool) {
	step := math.Pi / 2
	if half > coarse {
		step = min(step, 2*math.Acos(1-coarse/half))
	}
	n := len(pts)
	if closed {
		n++
	}
	var first, last, normal orb.Point // offsets from the line's middle to its left edge
	started := false
	at := pts[0]
	for i := 1; i < n; i++ {
		to := pts[i%len(pts)]
		dx, dy := to[0]-at[0], to[1]-at[1]
		length := math.Hypot(dx, dy)
		if !(length > 1e-6) {
			continue
		}
		normal = orb.Point{-dy / length * half, dx / length * half}
		if started {
			s.join(at, last, normal, half, step)
		} else {
			first, started = normal, true
		}
		s.line(at[0]+normal[0], at[1]+normal[1], to[0]+normal[0], to[1]+normal[1])
		s.line(to[0]-normal[0], to[1]-normal[1], at[0]-normal[0], at[1]-normal[1])
		at, last = to, normal
	}
	switch {
	case !started && !butt:
		up, down := orb.Point{0, half}, orb.Point{0, -half}
		s.arc(at, up, down, -math.Pi, step)
		s.arc(at, down, up, -math.Pi, step)
	case !started:
	case closed:
		s.join(at, last, first, half, step)
	case butt:
		s.line(pts[0][0]-first[0], pts[0][1]-first[1], pts[0][0]+first[0], pts[0][1]+first[1])
		s.line(at[0]+last[0], at[1]+last[1], at[0]-last[0], at[1]-last[1])
	default:
		s.arc(pts[0], minus(first), first, -math.Pi, step)
		s.arc(at, last, minus(last), -math.Pi, step)
	}
}

func minus(p orb.Point) orb.Point { return orb.Point{-p[0], -p[1]} }

// join adds what lies between the edges of two pieces that meet at p.
func (s *scan) join(p, n1, n2 orb.Point, half, step float64) {
	dot := n1[0]*n2[0] + n1[1]*n2[1]
	if bend := half - dot/half; bend < 4*flat && dot > 0 { // about four times the height of the arc
		s.line(p[0]+n1[0], p[1]+n1[1], p[0]+n2[0], p[1]+n2[1])
		s.line(p[0]-n2[0], p[1]-n2[1], p[0]-n1[0], p[1]-n1[1])
		return
	}
	turn := math.Atan2(n1[0]*n2[1]-n1[1]*n2[0], dot)
	if turn > 0 { // the right side is the outer one
		n1, n2 = minus(n2), minus(n1)
		turn = -turn
	}
	s.arc(p, n1, n2, turn, step)
	// The inner side goes by way of the middle, so that no part of the line is counted backwards.
	s.line(p[0]-n2[0], p[1]-n2[1], p[0], p[1])
	s.line(p[0], p[1], p[0]-n1[0], p[1]-n1[1])
}

// arc adds the edges of an arc about p from p+a to p+b, which turns by the given angle in radians.
func (s *scan) arc(p, a, b orb.Point, turn, step float64) {
	k := int(math.Ceil(math.Abs(turn) / step))
	sin, cos := math.Sincos(turn / float64(max(k, 1)))
	for i := 1; i < k; i++ {
		next := orb.Point{a[0]*cos - a[1]*sin, a[0]*sin + a[1]*cos}
		s.line(p[0]+a[0], p[1]+a[1], p[0]+next[0], p[1]+next[1])
		a = next
	}
	s.line(p[0]+a[0], p[1]+a[1], p[0]+b[0], p[1]+b[1])
}

// A dasher cuts lines into dashes, within a view only.
type dasher struct {
	dash   []float64 // in pixels
	sum    float64
	lo, hi orb.Point // the corners of the view; what lies outside only moves the dashes on
	run    []orb.Point
	index  int
	left   float64 // of the current dash or gap
}

// set takes a dash list at a scale and says whether it makes dashes. Dashes finer than can be told apart do not.
func (d *dasher) set(dash []float64, scale float64) bool {
	d.dash, d.sum = d.dash[:0], 0
	for range 1 + len(dash)%2 { // an odd list comes round only after two turns
		for _, v := range dash {
			if !(v >= 0) {
				return false
			}
			d.dash = append(d.dash, v*scale)
			d.sum += v * scale
		}
	}
	return d.sum > 0.2 && !math.IsInf(d.sum, 0)
}

// cut gives each dash of a line to draw. The run that draw gets is good only during the call.
func (d *dasher) cut(pts []orb.Point, closed bool, draw func(run []orb.Point)) {
	d.run, d.index, d.left = d.run[:0], 0, d.dash[0]
	n := len(pts)
	if closed {
		n++
	}
	for i := 1; i < n; i++ {
		a, b := pts[i-1], pts[i%len(pts)]
		length := math.Hypot(b[0]-a[0], b[1]-a[1])
		if length == 0 {
			continue
		}
		at := func(x float64) orb.Point { return orb.Point{a[0] + (b[0]-a[0])*x/length, a[1] + (b[1]-a[1])*x/length} }
		from, to := d.visible(a, b)
		x, end := from*length, to*length
		if from > 0 {
			d.flush(draw)
			d.skip(x)
		}
		for x < end {
			if d.on() && len(d.run) == 0 {
				d.run = append(d.run, at(x))
			}
			step := min(d.left, end-x)
			x += step
			d.left -= step
			if d.on() {
				d.run = append(d.run, at(x))
			}
			if d.left <= 0 {
				d.flush(draw)
				d.next()
			}
		}
		if to < 1 {
			d.flush(draw)
			d.skip(length - end)
		}
	}
	d.flush(draw)
}

func (d *dasher) on() bool { return d.index%2 == 0 }

func (d *dasher) next() {
	d.index = (d.index + 1) % len(d.dash)
	d.left = d.dash[d.index]
}

func (d *dasher) flush(draw func(run []orb.Point)) {
	if len(d.run) > 0 {
		draw(d.run)
		d.run = d.run[:0]
	}
}

// skip moves the dashes on by a length that is not drawn.
func (d *dasher) skip(length float64) {
	for length = math.Mod(length, d.sum); length >= d.left; d.next() {
		length -= d.left
	}
	d.left -= length
}

// visible is the part of the way from a to b that lies in the view, as shares of it; 1 and 1 if none does. (Liang and Barsky
// 1984.)
func (d *dasher) visible(a, b orb.Point) (from, to float64) {
	from, to = 0, 1
	for k := range 2 {
		way := b[k] - a[k]
		if way == 0 {
			if a[k] < d.lo[k] || a[k] > d.hi[k] {
				return 1, 1
			}
			continue
		}
		t0, t1 := (d.lo[k]-a[k])/way, (d.hi[k]-a[k])/way
		from, to = max(from, min(t0, t1)), min(to, max(t0, t1))
	}
	if from >= to {
		return 1, 1
	}
	return from, to
}
