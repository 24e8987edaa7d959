package ground

import (
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/face"
	"hedgereach/app/style"
	"hedgereach/habitat/plan"
)

// Foot is the international foot in metres, by definition (1959).
const Foot = 0.3048

// North is true north as seen in the view, in degrees clockwise from up, where it lies northDeg clockwise from the plan's y axis.
func (v View) North(northDeg float64) float64 { return northDeg - v.Turn*180/math.Pi }

// Step is a round length in metres, 1-2-5 in metres or feet (below a foot: 1, 2, 3, 6 inches): the least that is at least
// least metres long. parts is how many parts it is divided into by custom.
func Step(least float64, u plan.Units) (metres float64, parts int) {
	if !(least > 0) || math.IsInf(least, 0) {
		return 1, 5
	}
	unit := 1.0
	if u == plan.US {
		unit = Foot
		if least <= Foot/2 {
			for _, in := range []float64{1, 2, 3, 6} {
				if l := in * Foot / 12; l >= least {
					return l, map[float64]int{1: 4, 2: 2, 3: 3, 6: 6}[in]
				}
			}
		}
	}
	for e := math.Floor(math.Log10(least/unit)) - 1; ; e++ {
		for _, m := range []float64{1, 2, 5} {
			// A power of ten by division, so that 0.1 and 0.2 come out as the nearest numbers.
			l := m * math.Pow(10, e)
			if e < 0 {
				l = m / math.Pow(10, -e)
			}
			if u == plan.US && l < 1 {
				continue // inches were tried above
			}
			if l *= unit; l >= least*(1-1e-9) {
				return l, map[float64]int{1: 5, 2: 4, 5: 5}[m]
			}
		}
	}
}

// GridStep is the spacing of the grid in metres at a scale in units per metre: round, and never closer than about 26 points.
func GridStep(scale float64, u plan.Units, s style.Look) float64 {
	m, _ := Step(s.Pt(26)/scale, u)
	return m
}

// maxLines bounds the grid's lines each way.
const maxLines = 500

// GridOps rules the ground in round metres or feet, level as seen, over a drawing of w × h units; each fifth line (each second of fives) is
// stronger.
func GridOps(v View, w, h float64, u plan.Units, s style.Look) []drawing.Op {
	if !(v.Scale > 0) {
		return nil
	}
	gap := GridStep(v.Scale, u, s)
	// The grid lies level as seen, through the plan's origin: work in metres turned about that.
	origin := v.To(orb.Point{})
	level := View{Middle: origin, Scale: v.Scale}
	b := orb.MultiPoint{level.From(orb.Point{}), level.From(orb.Point{w, h})}.Bound()
	every := 5
	if n := int(math.Round(gap / math.Pow(10, math.Floor(math.Log10(gap*1.0001))))); n == 5 && u != plan.US {
		every = 2
	}
	var fine, strong sketch
	for axis := range 2 {
		lo, hi := math.Ceil(b.Min[axis]/gap), math.Floor(b.Max[axis]/gap)
		if !(hi-lo < maxLines) {
			return nil
		}
		for k := lo; k <= hi; k++ {
			p, q := b.Min, b.Max
			p[axis], q[axis] = k*gap, k*gap
			to := &fine
			if math.Mod(k, float64(every)) == 0 {
				to = &strong
			}
			to.line(level.To(p), level.To(q))
		}
	}
	box := drawing.Rect(0, 0, w, h)
	return []drawing.Op{drawing.Clip{Path: box, Ops: append(
		fine.stroke(s.Pen(style.Fade(s.Grid, 0.6), style.Hair)), strong.stroke(s.Pen(s.Grid, style.Thin))...)}}
}

// Plate is a pale ground for what must read over names and lines.
func Plate(b orb.Bound, s style.Look) []drawing.Op {
	var k sketch
	r := min(s.Pt(4), (b.Max[0]-b.Min[0])/2, (b.Max[1]-b.Min[1])/2)
	var pts []orb.Point
	for i, c := range []orb.Point{{b.Max[0] - r, b.Max[1] - r}, {b.Min[0] + r, b.Max[1] - r}, {b.Min[0] + r, b.Min[1] + r},
		{b.Max[0] - r, b.Min[1] + r}} {
		for turn := range 4 {
			sin, cos := math.Sincos(math.Pi / 2 * (float64(i) + float64(turn)/3))
			pts = append(pts, orb.Point{c[0] + r*cos, c[1] + r*sin})
		}
	}
	k.add(true, pts...)
	return []drawing.Op{drawing.Fill{Path: k.path, Color: style.Fade(s.Halo, 0.88)}}
}

// ScaleBar draws a bar of at most about 150 points on a plate, its left end at at, its figures above.
func ScaleBar(at orb.Point, v View, u plan.Units, s style.Look) []drawing.Op {
	bar := ScaleBarWithin(at, v, u, s, s.Pt(150))
	b := orb.Bound{Min: at, Max: at}
	for _, op := range bar {
		switch op := op.(type) {
		case drawing.Stroke:
			for _, p := range op.Path[0].Points {
				b = b.Extend(p)
			}
		case drawing.Text:
			w := face.Width(op.Words, op.Size, op.Bold, op.Italic)
			if op.Align == drawing.Middle {
				op.At[0] -= w / 2
			}
			b = b.Extend(orb.Point{op.At[0], op.At[1] - op.Size}).Extend(orb.Point{op.At[0] + w, op.At[1]})
		}
	}
	if len(bar) == 0 {
		return nil
	}
	return append(Plate(b.Pad(s.Pt(5)), s), bar...)
}

// ScaleBarWithin draws the longest round bar of at most longest units.
func ScaleBarWithin(at orb.Point, v View, u plan.Units, s style.Look, longest float64) []drawing.Op {
	if !(v.Scale > 0) || !(longest > 0) {
		return nil
	}
	l, parts := Step(longest/v.Scale/2.5, u)
	for { // Step rounds up: go on while the next longer still fits
		next, p := Step(l*1.01, u)
		if next*v.Scale > longest {
			break
		}
		l, parts = next, p
	}
	long, h := l*v.Scale, s.Pt(3.2)
	part := long / float64(parts)
	var dark, light sketch
	for i := range parts {
		x0, x1 := at[0]+float64(i)*part, at[0]+float64(i+1)*part
		y := at[1] - h*2
		for row := range 2 {
			box := []orb.Point{{x0, y}, {x1, y}, {x1, y + h}, {x0, y + h}}
			if (i+row)%2 == 0 {
				dark.add(true, box...)
			} else {
				light.add(true, box...)
			}
			y += h
		}
	}
	ops := []drawing.Op{
		drawing.Fill{Path: light.path, Color: s.Halo},
		drawing.Fill{Path: dark.path, Color: s.Ink},
		drawing.Stroke{Path: drawing.Rect(at[0], at[1]-2*h, at[0]+long, at[1]), Pen: s.Pen(s.Ink, style.Thin)},
	}
	size := s.Pt(style.Small)
	last := lengthWords(l, u, true)
	word := func(x float64, w string) {
		ops = append(ops, drawing.Text{At: orb.Point{x, at[1] - 2*h - s.Pt(3)}, Words: w, Size: size, Color: s.Ink,
			Align: drawing.Middle, Halo: s.Halo, HaloWidth: s.Pt(1.5)})
	}
	word(at[0], "0")
	if part > face.Width("0000", size, false, false) {
		for i := 1; i < parts; i++ {
			word(at[0]+float64(i)*part, lengthWords(l*float64(i)/float64(parts), u, false))
		}
	} else if parts%2 == 0 && long/2 > face.Width("00000", size, false, false) {
		word(at[0]+long/2, lengthWords(l/2, u, false))
	}
	// The unit stands after the last figure, whose own middle stays on the end of the bar.
	figure := lengthWords(l, u, false)
	ops = append(ops, drawing.Text{At: orb.Point{at[0] + long - face.Width(figure, size, false, false)/2, at[1] - 2*h - s.Pt(3)},
		Words: last, Size: size, Color: s.Ink, Halo: s.Halo, HaloWidth: s.Pt(1.5)})
	return ops
}

// lengthWords is a round length as the figure of a bar: metres or centimetres, feet or inches.
func lengthWords(m float64, u plan.Units, unit bool) string {
	v, name := m, " m"
	switch {
	case u == plan.US && m < Foot*0.999:
		v, name = m/Foot*12, " in"
	case u == plan.US:
		v, name = m/Foot, " ft"
	case m >= 1000:
		v, name = m/1000, " km"
	}
	w := strconv.FormatFloat(math.Round(v*1000)/1000, 'f', -1, 64)
	if unit {
		w += name
	}
	return w
}

// NorthArrow draws a surveyor's needle about at, some 46 points high; degrees is true north clockwise from up, as seen.
func NorthArrow(at orb.Point, degrees float64, s style.Look) []drawing.Op {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	n, e := orb.Point{sin, -cos}, orb.Point{cos, sin} // north and east as seen
	p := func(east, north float64) orb.Point { return from(at, e, s.Pt(east), n, s.Pt(north)) }
	var ring, ticks sketch
	ring.circle(at, s.Pt(13), 40)
	for i := range 12 {
		a := float64(i) * math.Pi / 6
		si, co := math.Sincos(a)
		in := 11.4
		if i%3 == 0 {
			in = 9.6
		}
		ticks.line(p(si*in, co*in), p(si*13, co*13))
	}
	dark := drawing.Path{{Points: []orb.Point{p(0, 21), p(0, -4), p(-5.2, -13.5)}, Closed: true}}
	whole := drawing.Path{{Points: []orb.Point{p(0, 21), p(5.2, -13.5), p(0, -4), p(-5.2, -13.5)}, Closed: true}}
	size := s.Pt(style.Body)
	letter := p(0, 28)
	return []drawing.Op{
		drawing.Fill{Path: ring.path, Color: style.Fade(s.Halo, 0.85)},
		drawing.Stroke{Path: ring.path, Pen: s.Pen(s.Ink, style.Thin)},
		drawing.Stroke{Path: ticks.path, Pen: s.Pen(s.Ink, style.Hair)},
		drawing.Fill{Path: whole, Color: s.Halo},
		drawing.Fill{Path: dark, Color: s.Ink},
		drawing.Stroke{Path: whole, Pen: s.Pen(s.Ink, style.Thin)},
		drawing.Text{At: orb.Point{letter[0], letter[1] + size*0.357}, Words: "N", Size: size, Bold: true, Color: s.Ink,
			Align: drawing.Middle, Halo: s.Halo, HaloWidth: s.Pt(1.5)},
	}
}

// FindingOps draws a line on the ground that shows a finding, with slanting end strokes like those of a dimension line.
func FindingOps(line []orb.Point, v View, s style.Look) []drawing.Op {
	pts := make([]orb.Point, len(line))
	for i, p := range line {
		pts[i] = v.To(p)
		if d := pts[i][0] - pts[i][0] + pts[i][1] - pts[i][1]; d != 0 {
			return nil
		}
	}
	if len(pts) < 2 {
		return nil
	}
	var ends sketch
	r := s.Pt(4.5)
	for _, p := range []orb.Point{pts[0], pts[len(pts)-1]} {
		ends.line(orb.Point{p[0] - r, p[1] + r}, orb.Point{p[0] + r, p[1] - r})
	}
	path := drawing.Path{{Points: pts}}
	return []drawing.Op{
		drawing.Stroke{Path: append(drawing.Path{path[0]}, ends.path...), Pen: s.Pen(style.Fade(s.Halo, 0.85), 4.6)},
		drawing.Stroke{Path: path, Pen: s.Pen(s.Accent, style.Medium)},
		drawing.Stroke{Path: ends.path, Pen: s.Pen(s.Accent, style.Heavy)},
	}
}

// SelectionOps marks features as selected: a line in the accent on a pale edge, so that it shows on every ground.
func SelectionOps(features []*plan.Feature, v View, s style.Look, window orb.Bound) []drawing.Op {
	var path drawing.Path
	for _, f := range features {
		if f.Kind == plan.Trap || f.Kind == plan.Stake {
			if at, ok := markAt(f); ok {
				var k sketch
				k.circle(v.To(at), s.Pt(8.5), 24)
				path = append(path, k.path...)
			}
			continue
		}
		if sh, ok := newShape(f, v, s, window); ok {
			path = append(path, sh.path...)
		}
	}
	if len(path) == 0 {
		return nil
	}
	return []drawing.Op{
		drawing.Stroke{Path: path, Pen: s.Pen(style.Fade(s.Halo, 0.9), 5.2)},
		drawing.Stroke{Path: path, Pen: s.Pen(s.Accent, 2.4)},
	}
}
