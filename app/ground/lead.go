package ground

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/style"
)

// A Lead is the thin line from a label to a bed that is too small to carry it and too hemmed in to have it beside. A zero Lead
// is none.
type Lead struct{ From, To orb.Point } // on the bed, at the label; units

func (l Lead) given() bool { return l.From != l.To }

func (l Lead) bound() orb.Bound { return orb.Bound{Min: l.From, Max: l.From}.Extend(l.To) }

// leadLengths are how far off a number may stand, in points, the nearest first; leadTurns the directions from the bed's end, in
// degrees, straight on first.
var (
	leadLengths = []float64{8, 12, 18, 26, 36, 48, 64, 84, 110}
	leadTurns   = []float64{0, 12, -12, 25, -25, 38, -38, 50, -50, 63, -63, 75, -75, 90, -90}
)

// lead puts a bed's number where there is room near one of its ends, and leads a line to it. Lines cross no other bed and no
// other line.
func (pl *placing) lead(l Label, number string, sh *shape) bool {
	l.Words = number
	pl.measure(&l, style.Tiny)
	d := sh.along
	ulo, uhi := inf, -inf
	for _, r := range sh.rings {
		for _, p := range r {
			u, _ := turn(p, d)
			ulo, uhi = min(ulo, u), max(uhi, u)
		}
	}
	mid := sh.middle()
	um, _ := turn(mid, d)
	n := orb.Point{-d[1], d[0]}
	inset := min(pl.s.Pt(6), (uhi-ulo)/4)
	for _, away := range leadLengths {
		for _, end := range []float64{1, -1} {
			u := uhi - inset - um
			if end < 0 {
				u = ulo + inset - um
			}
			foot := sh.across(from(mid, d, u, n, 0), n)
			for _, turned := range leadTurns {
				s, c := math.Sincos(turned * math.Pi / 180)
				way := orb.Point{end*c*d[0] + s*n[0], end*c*d[1] + s*n[1]}
				l.At = from(foot, way, pl.s.Pt(away)+inset+math.Abs(way[0])*l.W/2+math.Abs(way[1])*l.H/2, n, 0)
				l.Lead = Lead{foot, from(foot, way, pl.s.Pt(away)+inset-pl.s.Pt(1.5), n, 0)}
				if !pl.covers(l, sh, &pl.shapes) && pl.clearWay(l.Lead, sh) && pl.put(l) {
					return true
				}
			}
		}
	}
	return false
}

// ledTo puts a name in one of its forms where there is open ground near what it names, and leads a line to it: from the outline's
// middle or ends, or from the edge of a mark. A line that crosses nothing else comes first, then the shortest.
func (pl *placing) ledTo(l Label, forms []string, points float64, b orb.Bound, own *shape) bool {
	feet, inner := []orb.Point{b.Center()}, (b.Max[0]-b.Min[0])/2+pl.s.Pt(0.8)
	if own != nil {
		inner = 0
		d := own.along
		u0, u1, _, _ := own.extent(d)
		mid := own.middle()
		um, _ := turn(mid, d)
		n := orb.Point{-d[1], d[0]}
		feet[0] = own.across(mid, n)
		for _, share := range []float64{0.25, 0.75, 0.1, 0.9} {
			feet = append(feet, own.across(from(mid, d, u0+share*(u1-u0)-um, n, 0), n))
		}
	}
	for _, crossing := range []bool{false, true} {
		for _, away := range append(leadLengths[:len(leadLengths):len(leadLengths)], 140, 170) {
			for _, foot := range feet {
				for k := range 16 {
					s, c := math.Sincos(float64(k) * math.Pi / 8)
					way, reach := orb.Point{c, s}, pl.s.Pt(away)+inner
					end := from(foot, way, reach, way, 0)
					l.Lead = Lead{from(foot, way, inner, way, 0), from(foot, way, reach-pl.s.Pt(1.5), way, 0)}
					if !pl.clearWay(l.Lead, own) || !crossing && pl.crosses(l.Lead, own) {
						continue
					}
					for _, l.Words = range forms {
						pl.measure(&l, points)
						l.At = orb.Point{end[0] + c*l.W/2, end[1] + s*l.H/2}
						if (own == nil || !own.lies(newBox(l.Box()).bound, l.At)) && !pl.covers(l, own, &pl.shapes, &pl.lines) && pl.put(l) {
							return true
						}
					}
				}
			}
		}
	}
	return false
}

// crosses tells whether a lead runs through something else that has a name, but for what holds its foot.
func (pl *placing) crosses(l Lead, own *shape) bool {
	return pl.named.any(l.bound(), func(sh *shape) bool {
		if sh == own || sh.holds(l.From) {
			return false
		}
		_, _, near := clipTo(sh.bound, l.From, l.To)
		return near && slices.ContainsFunc(sh.rings, func(r []orb.Point) bool { return l.through(r) })
	})
}

// through tells whether a lead crosses a ring.
func (l Lead) through(r []orb.Point) bool {
	for i, p := range r {
		if cross(l.From, l.To, p, r[(i+1)%len(r)]) {
			return true
		}
	}
	return false
}

// across is the middle of the shape on the line through p along n; p itself where the line misses the shape. A bed that bends
// does not lie about its own middle.
func (sh *shape) across(p, n orb.Point) orb.Point {
	_, v := turn(p, n)
	in := sh.clear(n, v, nil)
	if len(in) < 2 {
		return p
	}
	return back((in[0]+in[1])/2, v, n)
}

// clearWay tells whether a lead crosses no other bed, no other lead and no label.
func (pl *placing) clearWay(l Lead, own *shape) bool {
	b := l.bound()
	return !pl.firm.any(b, func(sh *shape) bool {
		if sh == own || !sh.bound.Intersects(b) {
			return false
		}
		for _, r := range sh.rings {
			if l.through(r) {
				return true
			}
		}
		return false
	}) && !pl.where.any(b, func(i int) bool {
		return i < len(pl.taken) && pl.taken[i].bound.Intersects(b) && l.through(pl.taken[i].corners[:])
	}) && !pl.led.any(b, func(i int) bool {
		return i < len(pl.out) && pl.out[i].Lead.given() && cross(l.From, l.To, pl.out[i].Lead.From, pl.out[i].Lead.To)
	})
}

// cross tells whether two segments cross.
func cross(a, b, c, d orb.Point) bool {
	side := func(p, q, r orb.Point) float64 { return (q[0]-p[0])*(r[1]-p[1]) - (q[1]-p[1])*(r[0]-p[0]) }
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}

// leadOps draws a lead: a hair line with a dot on the bed.
func leadOps(l Lead, s style.Look) []drawing.Op {
	var dot sketch
	dot.circle(l.From, s.Pt(1.4), 12)
	return []drawing.Op{
		drawing.Stroke{Path: drawing.Line(l.From, l.To), Pen: s.Pen(s.Ink, style.Thin)},
		drawing.Fill{Path: dot.path, Color: s.Ink},
	}
}
