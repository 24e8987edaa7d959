package drawing

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// A Segment is one straight piece of a ruling, from its first point to its second. A dot has two equal points.
type Segment [2]orb.Point

// Rule gives the pieces of a pattern that lie within a path, by the even-odd rule, dashes already cut. Every back-end draws
// these same pieces: lines with butt ends, dots as round points as wide as the pen. Only rulings that can touch the given
// bound are made, so that a huge shape of which little is seen costs little. A pattern without a positive gap gives nothing.
func Rule(path Path, pattern Pattern, within orb.Bound) []Segment {
	var r Ruler
	return r.Rule(path, pattern, within)
}

// A Ruler rules many paths and keeps its scratch memory between them. What Rule returns stays good until its next call.
type Ruler struct {
	crossings []crossing
	out       []Segment
}

// A crossing is where an edge of the path meets a ruling: the ruling's number, the place along it, and how far a line as
// wide as the pen must stop short so that its butt end, or a dot, stays inside a slanting edge.
type crossing struct {
	row       int
	at, inset float64
}

// maxRows bounds the rulings of one pattern; more could not be told apart on any sheet or screen.
const maxRows = 20000

// Rule is as the function Rule.
func (r *Ruler) Rule(path Path, p Pattern, within orb.Bound) []Segment {
	r.out = r.out[:0]
	if !(p.Gap > 0) || math.IsInf(p.Gap, 0) || within.IsEmpty() {
		return nil
	}
	r.rule(path, p, p.Angle, within)
	if p.Cross && !p.Dots {
		r.rule(path, p, p.Angle+90, within)
	}
	return r.out
}

func (r *Ruler) rule(path Path, p Pattern, degrees float64, within orb.Bound) {
	// Along runs with the rulings and across from one to the next. With y down, counter-clockwise as seen is a negative turn.
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	along, across := orb.Point{cos, -sin}, orb.Point{sin, cos}
	spacing := p.Gap
	if p.Dots {
		spacing *= math.Sqrt(3) / 2 // rows of a grid of equal triangles, so that all neighbours are a gap apart
	}
	place := func(q orb.Point) (u, v float64) {
		x, y := q[0]-p.Origin[0], q[1]-p.Origin[1]
		return x*along[0] + y*along[1], (x*across[0] + y*across[1]) / spacing
	}

	first, last := math.Inf(1), math.Inf(-1)
	from, to := math.Inf(1), math.Inf(-1)
	for _, q := range [4]orb.Point{within.Min, within.Max, within.LeftTop(), within.RightBottom()} {
		u, v := place(q)
		first, last = min(first, v), max(last, v)
		from, to = min(from, u), max(to, u)
	}
	if last-first > maxRows {
		return
	}

	r.crossings = r.crossings[:0]
	for _, c := range path {
		for i, a := range c.Points {
			b := c.Points[(i+1)%len(c.Points)]
			r.cross(a, b, p, place, spacing, first, last)
		}
	}
	slices.SortFunc(r.crossings, func(a, b crossing) int {
		switch {
		case a.row != b.row:
			return a.row - b.row
		case a.at < b.at:
			return -1
		case a.at > b.at:
			return 1
		}
		return 0
	})

	// Each edge counts at its lower end and not at its upper, so every ruling is crossed an even number of times.
	for i := 0; i+1 < len(r.crossings); i += 2 {
		in, out := r.crossings[i], r.crossings[i+1]
		u0, u1 := max(in.at+in.inset, from), min(out.at-out.inset, to)
		if u0 > u1 {
			continue
		}
		v := float64(in.row) * spacing
		point := func(u float64) orb.Point {
			return orb.Point{p.Origin[0] + u*along[0] + v*across[0], p.Origin[1] + u*along[1] + v*across[1]}
		}
		switch {
		case p.Dots:
			shift := 0.0
			if in.row%2 != 0 {
				shift = 0.5
			}
			for k := math.Ceil(u0/p.Gap - shift); (k+shift)*p.Gap <= u1; k++ {
				at := point((k + shift) * p.Gap)
				r.out = append(r.out, Segment{at, at})
			}
		case dashed(p.Pen.Dash):
			r.dash(u0, u1, p.Pen.Dash, point)
		case u0 < u1:
			r.out = append(r.out, Segment{point(u0), point(u1)})
		}
	}
}

// cross notes where the edge from a to b meets the rulings numbered first to last.
func (r *Ruler) cross(a, b orb.Point, p Pattern, place func(orb.Point) (u, v float64), spacing, first, last float64) {
	ua, va := place(a)
	ub, vb := place(b)
	if va > vb {
		ua, va, ub, vb = ub, vb, ua, va
	}
	if !(va < vb) { // parallel to the rulings, or not a number
		return
	}
	slope := (ub - ua) / (vb - va)
	reach := math.Abs(slope) / spacing // of half a pen along the ruling, where the corner of a line meets the edge
	if p.Dots {
		reach = math.Hypot(1, reach) // where a disc touches it
	}
	// A line stops short by at most its own width: an edge that runs nearly along it would otherwise swallow it.
	inset := p.Pen.Width / 2 * min(reach, 2)
	if lo, hi := math.Ceil(max(va, first)), min(vb, last+1); lo < hi {
		for v := lo; v < hi; v++ {
			r.crossings = append(r.crossings, crossing{int(v), ua + (v-va)*slope, inset})
		}
	}
}

// dash cuts a ruling into its dashes, counted from the pattern's origin so that neighbouring shapes match.
func (r *Ruler) dash(u0, u1 float64, dash []float64, point func(u float64) orb.Point) {
	if len(dash)%2 != 0 { // on and off change places at each turn, so an odd list comes round only after two
		dash = append(slices.Clip(dash), dash...)
	}
	period := 0.0
	for _, d := range dash {
		period += d
	}
	if (u1-u0)/period > maxRows {
		r.out = append(r.out, Segment{point(u0), point(u1)})
		return
	}
	for u := math.Floor(u0/period) * period; u < u1; {
		for i, d := range dash {
			if lo, hi := max(u, u0), min(u+d, u1); i%2 == 0 && lo < hi {
				r.out = append(r.out, Segment{point(lo), point(hi)})
			}
			u += d
		}
	}
}

// dashed says whether a dash list makes dashes: no negative or endless part, and some length in all.
func dashed(dash []float64) bool {
	sum := 0.0
	for _, d := range dash {
		if !(d >= 0) {
			return false
		}
		sum += d
	}
	return sum > 0 && !math.IsInf(sum, 0)
}
