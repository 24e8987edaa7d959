package ground

import (
	"math"

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
	across := func(r []orb.Point) bool {
		for i, p := range r {
			if cross(l.From, l.To, p, r[(i+1)%len(r)]) {
				return true
			}
		}
		return false
	}
	return !pl.firm.any(b, func(sh *shape) bool {
		if sh == own || !sh.bound.Intersects(b) {
			return false
		}
		for _, r := range sh.rings {
			if across(r) {
				return true
			}
		}
		return false
	}) && !pl.where.any(b, func(i int) bool {
		return i < len(pl.taken) && pl.taken[i].bound.Intersects(b) && across(pl.taken[i].corners[:])
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
