package ground

import (
	"math"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
)

// A station is a place on an outline: the point, the unit vector that points out of the shape there, and whether the stretch
// from here to the next station is in view (signs are made only there).
type station struct {
	at, out orb.Point
	live    bool
}

// light falls from the upper left, as in drawings of old: outlines that face away from it are drawn heavier.
var light = orb.Point{-math.Sqrt2 / 2, -math.Sqrt2 / 2}

// outward is +1 or -1: times the right-hand normal of the ring's run, it points out of the ground (into a hole for a hole).
// Rings are told outline from hole by nesting depth, so that either winding will do.
func (sh *shape) outward(ring int) float64 {
	sign := 1.0
	if signedArea(sh.rings[ring]) < 0 {
		sign = -1
	}
	depth := 0
	if len(sh.rings) > 1 {
		p := sh.rings[ring][0]
		for i, r := range sh.rings {
			if i != ring && inRing(r, p) {
				depth++
			}
		}
	}
	if depth%2 == 1 {
		sign = -sign
	}
	return sign
}

func inRing(r []orb.Point, p orb.Point) (in bool) {
	a := r[len(r)-1]
	for _, b := range r {
		if (a[1] <= p[1]) != (b[1] <= p[1]) && p[0] < a[0]+(b[0]-a[0])*(p[1]-a[1])/(b[1]-a[1]) {
			in = !in
		}
		a = b
	}
	return in
}

// stations divides a ring at its sharp corners and each run between them evenly, about step apart. sway (0–0.3) varies the
// division a little, always the same way. Stretches out of view keep their corners only.
func (sh *shape) stations(ring int, step, sway float64) []station {
	r := sh.rings[ring]
	n := len(r)
	sign := sh.outward(ring)
	const sharp = 0.85 // cosine of the turn at which a corner is one: about 32°
	start := -1
	corner := make([]bool, n)
	for i := range r {
		a, b := unit(sub(r[i], r[(i+n-1)%n])), unit(sub(r[(i+1)%n], r[i]))
		if a[0]*b[0]+a[1]*b[1] < sharp {
			corner[i] = true
			if start < 0 {
				start = i
			}
		}
	}
	if start < 0 { // a round thing: any place will do
		start = 0
		corner[0] = true
	}
	var out []station
	run := make([]orb.Point, 0, n+1)
	for done, i := 0, start; done < n; {
		run = append(run[:0], r[i])
		for {
			i = (i + 1) % n
			done++
			run = append(run, r[i])
			if corner[i] {
				break
			}
		}
		out = sh.divide(out, run, step, sway, sign)
	}
	return out
}

// divide adds the stations of one run, its end left out.
func (sh *shape) divide(out []station, run []orb.Point, step, sway, sign float64) []station {
	total := 0.0
	for i := 1; i < len(run); i++ {
		total += dist(run[i-1], run[i])
	}
	if total == 0 {
		return out
	}
	n := max(1, int(total/step+0.5))
	each := total / float64(n)
	where := func(k int) float64 { // the distance of station k along the run
		if k == 0 || k == n {
			return float64(k) * each
		}
		return (float64(k) + sway*(2*chance(k, n, 3)-1)) * each
	}
	k, done := 0, 0.0
	for i := 1; i < len(run); i++ {
		a, b := run[i-1], run[i]
		l := dist(a, b)
		if l == 0 {
			continue
		}
		end := done + l
		if i == len(run)-1 {
			end = inf // rounding must not lose the last station
		}
		d := orb.Point{(b[0] - a[0]) / l, (b[1] - a[1]) / l}
		normal := orb.Point{d[1] * sign, -d[0] * sign}
		t0, t1, seen := clipTo(sh.window, a, b)
		if !seen || (t0 > 0 && l > each) {
			out = append(out, station{a, normal, false})
		}
		for ; k < n && where(k) < end; k++ {
			w := where(k) - done
			if !seen || w < t0*l-each {
				continue
			}
			live := w <= t1*l+each
			if live || out[len(out)-1].live { // the last live stretch needs an end
				out = append(out, station{from(a, d, w, normal, 0), normal, live})
			}
		}
		done += l
	}
	return out
}

// clipTo is the part t0–t1 of the segment that lies in the bound (Liang & Barsky 1984).
func clipTo(b orb.Bound, p, q orb.Point) (t0, t1 float64, ok bool) {
	t0, t1 = 0, 1
	for i := range 2 {
		d := q[i] - p[i]
		if d == 0 {
			if p[i] < b.Min[i] || p[i] > b.Max[i] {
				return 0, 0, false
			}
			continue
		}
		a, z := (b.Min[i]-p[i])/d, (b.Max[i]-p[i])/d
		if a > z {
			a, z = z, a
		}
		t0, t1 = max(t0, a), min(t1, z)
	}
	return t0, t1, t0 < t1
}

// scallops turns every ring into a run of small bows that swell outwards by rise (a share of the bow's length): a hedge, a
// crown. The middle line of the bows lies on the true outline. It answers the closed path, and apart from it the bows that
// lie in shade.
func (sh *shape) scallops(step, rise, sway float64) (whole, shade drawing.Path) {
	for i := range sh.rings {
		st := sh.stations(i, step, sway)
		if len(st) < 2 {
			continue
		}
		pts := make([]orb.Point, 0, 6*len(st))
		var dark []orb.Point
		for j, s := range st {
			e := st[(j+1)%len(st)]
			chord := dist(s.at, e.at)
			sink := -rise * chord * 0.5
			d := unit(sub(e.at, s.at))
			// The bow's own normal, on the side that points out.
			nn := orb.Point{d[1], -d[0]}
			if nn[0]*s.out[0]+nn[1]*s.out[1] < 0 {
				nn = orb.Point{-nn[0], -nn[1]}
			}
			a := from(s.at, d, 0, mean(s.out, st[(j+len(st)-1)%len(st)].out), sink)
			if !s.live || chord == 0 {
				pts = append(pts, a)
				dark = flush(&shade, dark)
				continue
			}
			b := from(e.at, d, 0, mean(e.out, s.out), sink)
			up := rise * chord * 4 / 3
			c1, c2 := from(a, d, -0.12*chord, nn, up), from(b, d, 0.12*chord, nn, up)
			at := len(pts)
			for k := range 6 {
				pts = append(pts, bezier(a, c1, c2, b, float64(k)/6))
			}
			if nn[0]*light[0]+nn[1]*light[1] < -0.2 {
				dark = append(append(dark, pts[at:]...), b)
			} else {
				dark = flush(&shade, dark)
			}
		}
		flush(&shade, dark)
		whole = append(whole, drawing.Contour{Points: pts, Closed: true})
	}
	return whole, shade
}

func flush(p *drawing.Path, run []orb.Point) []orb.Point {
	if len(run) > 1 {
		*p = append(*p, drawing.Contour{Points: run})
	}
	return nil
}

// shaded are the sides of the outline that face away from the light.
func (sh *shape) shaded() (out drawing.Path) {
	for i, r := range sh.rings {
		sign := sh.outward(i)
		var run []orb.Point
		for j, a := range r {
			b := r[(j+1)%len(r)]
			d := unit(sub(b, a))
			if d[1]*sign*light[0]-d[0]*sign*light[1] < -0.2 {
				if run == nil {
					run = append(run, a)
				}
				run = append(run, b)
			} else {
				run = flush(&out, run)
			}
		}
		flush(&out, run)
	}
	return out
}

// ticks are short strokes from the outline inwards, every step, of the lengths in turn.
func (sh *shape) ticks(step float64, lengths ...float64) []drawing.Contour {
	var k sketch
	for i := range sh.rings {
		for j, s := range sh.stations(i, step, 0) {
			if s.live {
				k.line(s.at, from(s.at, s.out, -lengths[j%len(lengths)], s.out, 0))
			}
		}
	}
	return k.path
}

func bezier(a, b, c, d orb.Point, t float64) orb.Point {
	s := 1 - t
	f, g, h, i := s*s*s, 3*s*s*t, 3*s*t*t, t*t*t
	return orb.Point{f*a[0] + g*b[0] + h*c[0] + i*d[0], f*a[1] + g*b[1] + h*c[1] + i*d[1]}
}

func dist(a, b orb.Point) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

func unit(a orb.Point) orb.Point {
	if l := math.Hypot(a[0], a[1]); l > 0 {
		return orb.Point{a[0] / l, a[1] / l}
	}
	return orb.Point{}
}

func mean(a, b orb.Point) orb.Point { return unit(orb.Point{a[0] + b[0], a[1] + b[1]}) }
