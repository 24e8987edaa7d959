package ground

import (
	"image/color"
	"math"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/style"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// A sign draws one shape. Sizes are in points; below some sizes only ground and outline are left.
type sign struct {
	*shape
	tone   style.Tone
	origin orb.Point   // the ground's origin, in units: patterns are locked to it
	east   orb.Point   // the ground's x axis, as seen
	line   []orb.Point // the centre line of a strip drawn by one, in units; else nil
	ops    []drawing.Op
}

// detail is the mean width in points from which a shape carries signs inside.
const detail = 7

func (g *sign) pt(p float64) float64 { return g.look.Pt(p) }

func (g *sign) add(ops ...drawing.Op) { g.ops = append(g.ops, ops...) }

func (g *sign) ground(c color.NRGBA) { g.add(drawing.Fill{Path: g.path, Color: c}) }

func (g *sign) lines(p drawing.Path, c color.NRGBA, weight float64) {
	if len(p) > 0 {
		g.add(drawing.Stroke{Path: p, Pen: g.look.Pen(c, weight)})
	}
}

func (g *sign) fills(p drawing.Path, c color.NRGBA) {
	if len(p) > 0 {
		g.add(drawing.Fill{Path: p, Color: c})
	}
}

// edge draws the outline, the sides in shade heavier. Small shapes get finer lines, so that they stay open.
func (g *sign) edge(weight float64) {
	w := g.points()
	if w < 4 {
		weight = min(weight, style.Hair)
	}
	g.lines(g.path, g.tone.Line, weight)
	if w >= 10 {
		g.lines(g.shaded(), g.tone.Line, weight*1.8)
	}
}

// zoom lets signs grow a little with the shape, so that a large one is not a carpet of specks.
func (g *sign) zoom() float64 { return min(max(g.points()/70, 1), 1.6) }

func (g *sign) boundary() []drawing.Op {
	g.ground(g.tone.Fill)
	// A property line: a long stroke and two dots.
	g.add(drawing.Stroke{Path: g.path, Pen: g.look.Dashed(g.tone.Line, style.Medium, 18, 4, 1.5, 4, 1.5, 4)})
	var pins sketch
	for _, r := range g.rings {
		if len(r) <= 24 { // corners that were set out; a walked outline has too many to matter
			for _, p := range r {
				if g.window.Contains(p) {
					pins.circle(p, g.pt(2.6), 12)
				}
			}
		}
	}
	g.fills(pins.path, g.tone.Fill)
	g.lines(pins.path, g.tone.Line, style.Fine)
	return g.ops
}

// bed draws plain rows along the long side, over the share that is sown.
func (g *sign) bed(sown float64) {
	g.ground(g.tone.Fill)
	w := g.points()
	if w < 2*detail || sown <= 0 {
		return
	}
	n := math.Max(2, math.Round(w/9)) // rows are set even across the bed, as they would be sown
	gap := g.width / n
	var first float64 = inf
	for _, p := range g.rings[0] {
		_, v := turn(p, g.along)
		first = min(first, v)
	}
	var k sketch
	for _, s := range g.rows(g.along, first+gap/2, gap, 0) {
		if in := g.pt(2.5); s.u1-s.u0 > 3*in && float64(s.row) < max(1, math.Round(n*sown)) {
			k.line(back(s.u0+in, s.v, g.along), back(s.u1-in, s.v, g.along))
		}
	}
	g.lines(k.path, g.tone.Sign, style.Hair)
}

// cover draws the hoops of a row cover or net across a bed, and its hem within the outline.
func (g *sign) cover() {
	w := g.points()
	if w < 4 {
		g.lines(g.path, g.look.Ink, style.Medium)
		return
	}
	across := orb.Point{-g.along[1], g.along[0]}
	_, vo := turn(g.origin, across)
	gap := g.pt(min(max(w*0.6, 7), 14))
	first := math.Mod(vo, gap)
	var hoops sketch
	for _, s := range g.rows(across, first+gap/2, gap, 0) {
		if in := g.pt(1.2); s.u1-s.u0 > 3*in {
			// Each hoop bends a little, as seen from above at a slant.
			a, b := back(s.u0+in, s.v, across), back(s.u1-in, s.v, across)
			mid := back((s.u0+s.u1)/2, s.v-gap*0.22, across)
			hoops.add(false, a, quad(a, mid, b, 0.25), quad(a, mid, b, 0.5), quad(a, mid, b, 0.75), b)
		}
	}
	g.lines(hoops.path, g.look.Halo, style.Strong)
	g.lines(hoops.path, g.look.Ink, style.Thin)
	g.add(drawing.Stroke{Path: g.path, Pen: g.look.Pen(g.look.Ink, style.Strong)})
}

// quad is a point of the curve from a to b that passes half-way to the corner c.
func quad(a, c, b orb.Point, t float64) orb.Point {
	at := func(i int) float64 { return (1-t)*(1-t)*a[i] + 2*t*(1-t)*c[i] + t*t*b[i] }
	return orb.Point{at(0), at(1)}
}

// hatched is the mean width in points from which a bed's hatch can be told.
const hatched = 5

// status washes and hatches a bed.
func (g *sign) status(st habitat.Status) {
	m := g.look.Status(st)
	wash := m.Tint
	if g.points() < hatched {
		wash = m.Solid
	}
	if wash.A > 0 {
		g.ground(wash)
	}
	if g.points() >= hatched {
		g.add(drawing.Hatch{Path: g.path, Pattern: g.look.Hatch(st, g.origin)})
	}
}

// hedge is a scalloped outline, with leaf bows inside.
func (g *sign) hedge() {
	w := g.points()
	if w < 4 {
		g.ground(g.tone.Fill)
		g.edge(style.Thin)
		return
	}
	step := min(max(w*0.6, 6), 11)
	whole, shade := g.scallops(g.pt(step), 0.34, 0.22)
	g.fills(whole, g.tone.Fill)
	if w >= 12 {
		var k sketch
		r := g.pt(step * 0.3)
		for _, s := range g.scatter(g.origin, g.east, g.pt(step*1.5), g.pt(step*0.55)) {
			tilt := (chance(s.i, s.j, 1) - 0.5) * 1.2
			if chance(s.i, s.j, 2) < 0.2 {
				continue
			}
			at := from(s.at, g.east, (chance(s.i, s.j, 4)-0.5)*r, orb.Point{0, 1}, (chance(s.i, s.j, 5)-0.5)*r)
			arc(&k, at, r, tilt-2.75, tilt-0.4)
		}
		g.lines(k.path, g.tone.Sign, style.Thin)
	}
	g.lines(whole, g.tone.Line, style.Fine)
	g.lines(shade, g.tone.Line, style.Strong)
}

// arc adds part of a circle, angles in radians, clockwise as seen.
func arc(k *sketch, c orb.Point, r, a0, a1 float64) {
	const n = 6
	var pts [n + 1]orb.Point
	for i := range pts {
		s, co := math.Sincos(a0 + (a1-a0)*float64(i)/n)
		pts[i] = orb.Point{c[0] + r*co, c[1] + r*s}
	}
	k.add(false, pts[:]...)
}

// strip is a flower strip: rosettes for one that stays, sparser crosses for one sown each year.
func (g *sign) strip(f *plan.Feature, show Show, stays bool) {
	g.ground(g.tone.Fill)
	share := 1.0
	if show.Flowering != nil {
		share = inFlower(f, show)
	}
	if stays {
		g.rosettes(share, 1-share)
	} else {
		g.crosses(share)
	}
	if stays {
		g.edge(style.Fine)
		return
	}
	if g.points() < 4 {
		g.edge(style.Thin)
		return
	}
	g.add(drawing.Stroke{Path: g.path, Pen: g.look.Dashed(g.tone.Line, style.Fine, 9, 3)})
}

// spots are the places for signs about gap points apart: a staggered grid on the ground, or along the middle of a strip too
// narrow for one.
func (g *sign) spots(gap, margin float64) []spot {
	if g.points() > 2*gap {
		return g.scatter(g.origin, g.east, g.pt(gap), g.pt(margin))
	}
	var out []spot
	if g.line != nil {
		left, n := g.pt(gap/2), 0
		for i := 1; i < len(g.line); i++ {
			a, b := g.line[i-1], g.line[i]
			l := dist(a, b)
			d := unit(sub(b, a))
			for ; left < l; left += g.pt(gap) {
				if p := from(a, d, left, d, 0); g.window.Contains(p) {
					out = append(out, spot{p, n, 0})
				}
				n++
			}
			left -= l
		}
		return out
	}
	uo, _ := turn(g.origin, g.along)
	step := g.pt(gap)
	for _, r := range g.rows(g.along, g.ridge(), g.width, min(g.pt(margin), g.width*0.3)) {
		for i := math.Ceil((r.u0 - uo) / step); uo+i*step <= r.u1; i++ {
			out = append(out, spot{back(uo+i*step, r.v, g.along), int(i), 0})
		}
	}
	return out
}

// rosettes stipples flowers over a share of the shape's spots, and bare stems over stems of them.
func (g *sign) rosettes(share, stems float64) {
	if g.points() < 5 {
		return
	}
	z := g.zoom()
	colour := g.tone.Sign
	if stems == 0 && share < 1 {
		colour = g.look.Kind(plan.PerennialStrip).Sign // on hedges, trees, cover crops: the flower's own colour
	}
	var petals, eyes, dots, bare sketch
	for _, s := range g.spots(7.5*z, 2.6*z) {
		// A fixed order in which the spots come into flower: 13 and 8 spread them evenly.
		turn := float64(((s.i*5+s.j*8)%13+13)%13) + 0.5
		switch {
		case turn/13 > share:
			if stems > 0 {
				bare.circle(s.at, g.pt(0.55*z), 5)
			}
		case (s.i+2*s.j)%3 == 0:
			flower(&petals, s.at, g.pt(2.5*z))
			eyes.circle(s.at, g.pt(0.75*z), 6)
		default:
			dots.circle(s.at, g.pt(0.95*z), 6)
		}
	}
	g.fills(bare.path, g.tone.Line)
	g.fills(dots.path, colour)
	g.fills(petals.path, colour)
	g.fills(eyes.path, g.tone.Fill)
}

// flower adds a rosette of five petals.
func flower(k *sketch, c orb.Point, r float64) {
	var pts [15]orb.Point
	for i := range pts {
		a := float64(i) * 2 * math.Pi / 15
		q := r
		if i%3 == 0 {
			q = 0.48 * r
		}
		s, co := math.Sincos(a - math.Pi/2)
		pts[i] = orb.Point{c[0] + q*co, c[1] + q*s}
	}
	k.add(true, pts[:]...)
}

func (g *sign) crosses(share float64) {
	if g.points() < 5 {
		return
	}
	z := g.zoom()
	var k, bare sketch
	r := g.pt(1.9 * z)
	for _, s := range g.spots(10*z, 2.6*z) {
		if (float64(((s.i*5+s.j*8)%13+13)%13)+0.5)/13 > share {
			bare.circle(s.at, g.pt(0.55*z), 5)
			continue
		}
		k.line(orb.Point{s.at[0] - r, s.at[1] - r}, orb.Point{s.at[0] + r, s.at[1] + r})
		k.line(orb.Point{s.at[0] - r, s.at[1] + r}, orb.Point{s.at[0] + r, s.at[1] - r})
	}
	g.fills(bare.path, g.tone.Line)
	g.lines(k.path, g.tone.Sign, style.Fine)
}

// tuft adds blades of grass that fan out from a foot.
func tuft(k *sketch, foot orb.Point, h float64, blades int) {
	for b := range blades {
		lean := 2*float64(b)/float64(blades-1) - 1
		tip := orb.Point{foot[0] + lean*h*0.62, foot[1] - h*(1-0.28*lean*lean)}
		bend := orb.Point{foot[0] + lean*h*0.2, foot[1] - h*0.55}
		k.add(false, orb.Point{foot[0] + lean*h*0.08, foot[1]}, bend, tip)
	}
}

// bank is a beetle bank: tussocks along the ridge, hachures down its sides.
func (g *sign) bank() {
	g.ground(g.tone.Fill)
	w := g.points()
	if w >= detail {
		z := g.zoom()
		h, long := g.pt(min(5.2*z, w*0.42)), g.pt(min(w*0.2, 6.5*z))
		clear := h * 0.5
		if w >= 12 {
			g.lines(g.ticks(g.pt(3.4*z), long, long*0.55), g.tone.Line, style.Hair)
			clear = long + h*0.62
		}
		var k sketch
		for _, foot := range g.tussocks(10*z, min(clear, g.width*0.45)) {
			foot[1] += h * 0.45
			tuft(&k, foot, h, 5)
		}
		g.lines(k.path, g.tone.Sign, style.Thin)
	}
	g.edge(style.Fine)
}

// tussocks are the places for tufts on a bank, gap points apart: along its line where it is narrow and may bend, else in rows
// even about the ridge, so that there is one row and not none.
func (g *sign) tussocks(gap, margin float64) (feet []orb.Point) {
	if g.line != nil && g.points() <= 2*gap {
		for _, s := range g.spots(gap, 0) {
			feet = append(feet, s.at)
		}
		return feet
	}
	uo, _ := turn(g.origin, g.along)
	step := g.pt(gap)
	for _, r := range g.rows(g.along, g.ridge(), step*0.8, margin) {
		shift := uo
		if r.row%2 != 0 {
			shift += step / 2
		}
		for i := math.Ceil((r.u0 - shift) / step); shift+i*step <= r.u1; i++ {
			feet = append(feet, back(shift+i*step, r.v, g.along))
		}
	}
	return feet
}

// ridge is the middle line of the shape, across its long side.
func (g *sign) ridge() float64 {
	_, v := turn(g.middle(), g.along)
	return v
}

// wild is a wild margin: tufts as they come, and a ragged edge.
func (g *sign) wild() {
	g.ground(g.tone.Fill)
	if w := g.points(); w >= detail {
		z := g.zoom()
		var k, dots sketch
		gap := g.pt(10.5 * z)
		for _, s := range g.scatter(g.origin, g.east, gap, g.pt(min(4.2*z, w*0.3))) {
			c := chance(s.i, s.j, 1)
			at := orb.Point{s.at[0] + (chance(s.i, s.j, 2)-0.5)*gap*0.3, s.at[1] + (chance(s.i, s.j, 3)-0.5)*gap*0.2}
			switch {
			case c < 0.22:
				dots.circle(at, g.pt(0.8*z), 6)
			case c < 0.32: // a gap
			default:
				h := g.pt((3.4 + 3*chance(s.i, s.j, 4)) * z)
				at[1] += h * 0.45
				tuft(&k, at, h, 3+int(2.99*chance(s.i, s.j, 5)))
			}
		}
		g.lines(k.path, g.tone.Sign, style.Thin)
		g.fills(dots.path, g.tone.Sign)
	}
	if g.points() < 4 {
		g.edge(style.Hair)
		return
	}
	g.add(drawing.Stroke{Path: g.path, Pen: g.look.Dashed(g.tone.Line, style.Fine, 7, 2.2, 3, 2.2, 5, 2.2)})
}

// tree is a crown seen from above: a lobed outline, an inner ring, ticks towards the trunk, and the trunk.
func (g *sign) tree(f *plan.Feature, v View) {
	w := g.points()
	if w < 5 {
		g.ground(g.tone.Fill)
		g.edge(style.Thin)
		return
	}
	whole, shade := g.scallops(g.pt(min(max(w*0.55, 6), 26)), 0.17, 0.15)
	g.fills(whole, style.Fade(g.tone.Fill, 0.82)) // what stands beneath the crown shows through
	mid := g.middle()
	if f.Centre != nil {
		mid = v.To(*f.Centre)
	}
	long := max(g.bound.Max[0]-g.bound.Min[0], g.bound.Max[1]-g.bound.Min[1])
	if long < 2.2*2*g.width && w >= 9 { // a crown, not a belt of shrubs
		var ring, ticks sketch
		for i := range g.rings {
			var pts []orb.Point
			for j, s := range g.stations(i, g.pt(min(max(w*0.16, 4.5), 9)), 0) {
				d := sub(s.at, mid)
				pts = append(pts, from(mid, d, 0.58, d, 0))
				if s.live && w >= 14 {
					inner := 0.80
					if j%2 == 1 {
						inner = 0.87
					}
					ticks.line(from(mid, d, inner, d, 0), from(mid, d, 0.955, d, 0))
				}
			}
			ring.add(true, pts...)
		}
		g.lines(ticks.path, g.tone.Sign, style.Thin)
		if w >= 20 {
			g.add(drawing.Stroke{Path: ring.path, Pen: g.look.Dashed(g.tone.Sign, style.Thin, 5, 3)})
		}
	}
	g.lines(whole, g.tone.Line, style.Fine)
	g.lines(shade, g.tone.Line, style.Strong)
	var trunk sketch
	trunk.circle(mid, g.pt(min(1.9, w*0.1)), 10)
	g.fills(trunk.path, g.tone.Line)
}

// coverCrop is rows of dots along the long side.
func (g *sign) coverCrop() {
	g.ground(g.tone.Fill)
	if g.points() >= detail {
		z := g.zoom()
		var k sketch
		uo, vo := turn(g.origin, g.along)
		gap := g.pt(7 * z)
		for _, r := range g.rows(g.along, math.Mod(vo, gap), gap, g.pt(1.6)) {
			step := g.pt(3.6 * z)
			for i := math.Ceil((r.u0 - uo) / step); uo+i*step <= r.u1; i++ {
				k.circle(back(uo+i*step, r.v, g.along), g.pt(0.75*z), 6)
			}
		}
		g.fills(k.path, g.tone.Sign)
	}
	g.edge(style.Fine)
}

// trapCrop is an upright cross hatch within a dashed outline.
func (g *sign) trapCrop() {
	g.ground(g.tone.Fill)
	if g.points() >= 5 {
		g.add(drawing.Hatch{Path: g.path, Pattern: drawing.Pattern{Gap: g.pt(5.5), Pen: g.look.Pen(g.tone.Sign, style.Thin),
			Cross: true, Origin: g.origin}})
	}
	weight := style.Medium
	if g.points() < 5 {
		weight = style.Thin
	}
	g.add(drawing.Stroke{Path: g.path, Pen: g.look.Dashed(g.tone.Line, weight, 5, 3.2)})
}

// pond draws water lines that follow the shore, wider apart towards the middle, and a few ripples.
func (g *sign) pond() {
	g.ground(g.tone.Fill)
	w := g.points()
	if w >= detail {
		// A stroke along the outline, clipped to the shape, is the band within half its width of the shore; a band of ground
		// colour over one of line colour leaves a line that follows the shore exactly, whatever the shape.
		var bands []drawing.Op
		at := [4]float64{14, 8.6, 4.6, 2.0}
		for i, d := range at {
			if d > w*0.3 {
				continue
			}
			weight := []float64{style.Hair * 0.8, style.Hair, style.Thin, style.Thin}[i]
			bands = append(bands,
				drawing.Stroke{Path: g.path, Pen: g.look.Pen(g.tone.Sign, 2*d+weight)},
				drawing.Stroke{Path: g.path, Pen: g.look.Pen(g.tone.Fill, 2*d-weight)})
		}
		if len(bands) > 0 {
			g.add(drawing.Clip{Path: g.path, Ops: bands})
		}
		if w >= 34 {
			var k sketch
			level := orb.Point{1, 0}
			_, vo := turn(g.origin, level)
			gap := g.pt(9)
			for _, r := range g.rows(level, math.Mod(vo, gap), gap, g.pt(17)) {
				j := int(math.Round((r.v - vo) / gap))
				step := g.pt(30)
				for i := int(math.Floor((r.u0 - g.origin[0]) / step)); ; i++ {
					u := g.origin[0] + (float64(i)+0.5*chance(i, j, 7)+0.5*float64(j&1))*step
					l := g.pt(7 + 9*chance(i, j, 8))
					if u > r.u1 {
						break
					}
					if u < r.u0 || u+l > r.u1 || chance(i, j, 9) < 0.3 {
						continue
					}
					h := g.pt(0.9)
					k.add(false, orb.Point{u, r.v}, orb.Point{u + l*0.25, r.v - h}, orb.Point{u + l*0.5, r.v},
						orb.Point{u + l*0.75, r.v + h}, orb.Point{u + l, r.v})
				}
			}
			g.lines(k.path, g.tone.Sign, style.Thin)
		}
	}
	g.edge(style.Medium)
}

// walkway is a quiet tone with a fine edge, and a little gravel where there is room.
func (g *sign) walkway() {
	g.ground(g.tone.Fill)
	if w := g.points(); w >= 12 {
		var k sketch
		gap := g.pt(13)
		for _, s := range g.scatter(g.origin, g.east, gap, g.pt(2.5)) {
			if chance(s.i, s.j, 1) < 0.5 {
				continue
			}
			k.circle(orb.Point{s.at[0] + (chance(s.i, s.j, 2)-0.5)*gap*0.35, s.at[1]}, g.pt(0.6+0.3*chance(s.i, s.j, 3)), 5)
		}
		g.fills(k.path, g.tone.Sign)
	}
	g.lines(g.path, g.tone.Line, style.Thin)
}

// building is a solid tone ruled aslant within a double line.
func (g *sign) building() {
	g.ground(g.tone.Fill)
	w := g.points()
	if w >= detail {
		g.add(drawing.Hatch{Path: g.path, Pattern: drawing.Pattern{Angle: 45, Gap: g.pt(4.2),
			Pen: g.look.Pen(g.tone.Sign, style.Hair), Origin: g.origin}})
	}
	if w >= 14 {
		const wall = 3.2
		g.add(drawing.Clip{Path: g.path, Ops: []drawing.Op{
			drawing.Stroke{Path: g.path, Pen: g.look.Pen(g.tone.Line, 2*wall+style.Thin)},
			drawing.Stroke{Path: g.path, Pen: g.look.Pen(g.tone.Fill, 2*wall-style.Thin)},
		}})
	}
	weight := style.Strong
	if w < detail {
		weight = style.Fine
	}
	g.lines(g.path, g.tone.Line, weight)
	if w >= 10 {
		g.lines(g.shaded(), g.tone.Line, style.Heavy)
	}
}

// fence is a line with ticks on alternate sides.
func (g *sign) fence(f *plan.Feature, v View) {
	var k sketch
	if line := middleLine(f, v, g.shape); line != nil {
		k.add(false, line...)
	} else {
		k.path = g.path
	}
	g.fills(g.path, g.tone.Fill)
	g.lines(k.path, g.tone.Line, style.Medium)
	var t sketch
	side := 1.0
	for _, c := range k.path {
		n := len(c.Points)
		last := n - 1
		if c.Closed {
			last = n
		}
		step, left := g.pt(13), g.pt(6.5)
		for i := range last {
			a, b := c.Points[i], c.Points[(i+1)%n]
			l := dist(a, b)
			d := unit(sub(b, a))
			t0, t1, seen := clipTo(g.window, a, b)
			at := left
			if seen && at < t0*l {
				skip := math.Floor((t0*l - at) / step)
				at += skip * step
				if int(skip)%2 == 1 {
					side = -side
				}
			}
			for ; seen && at < l && at <= t1*l; at += step {
				p := from(a, d, at, orb.Point{}, 0)
				t.line(p, from(p, orb.Point{-d[1], d[0]}, side*g.pt(3.6), orb.Point{}, 0))
				side = -side
			}
			left = step - math.Mod(l-left+step, step)
		}
	}
	g.lines(t.path, g.tone.Line, style.Fine)
}

// middleLine is the centre line of a thing drawn by one, or of a thin four-cornered shape; else nil.
func middleLine(f *plan.Feature, v View, sh *shape) []orb.Point {
	if len(f.Line) > 1 {
		out := make([]orb.Point, len(f.Line))
		for i, p := range f.Line {
			out[i] = v.To(p)
		}
		return out
	}
	if len(sh.rings) != 1 || len(sh.rings[0]) != 4 || sh.points() > 8 {
		return nil
	}
	r := sh.rings[0]
	mid := func(i, j int) orb.Point { return orb.Point{(r[i][0] + r[j][0]) / 2, (r[i][1] + r[j][1]) / 2} }
	if dist(r[0], r[1]) < dist(r[1], r[2]) {
		return []orb.Point{mid(0, 1), mid(2, 3)}
	}
	return []orb.Point{mid(1, 2), mid(3, 0)}
}

// markOps draws a mark at its place: a diamond for a trap, a ringed cross for a stake. Marks keep their size at every scale.
func markOps(k plan.Kind, at orb.Point, s style.Look) []drawing.Op {
	if at[0]-at[0]+at[1]-at[1] != 0 {
		return nil
	}
	t := s.Kind(k)
	if k == plan.Trap {
		r := s.Pt(4.6)
		d := drawing.Path{{Points: []orb.Point{{at[0], at[1] - r}, {at[0] + r, at[1]}, {at[0], at[1] + r}, {at[0] - r, at[1]}},
			Closed: true}}
		var dot sketch
		dot.circle(at, s.Pt(1.2), 8)
		return []drawing.Op{drawing.Fill{Path: d, Color: t.Fill}, drawing.Stroke{Path: d, Pen: s.Pen(t.Line, style.Medium)},
			drawing.Fill{Path: dot.path, Color: t.Line}}
	}
	r := s.Pt(4.4)
	var ring, cross sketch
	ring.circle(at, r*0.62, 16)
	cross.line(orb.Point{at[0] - r, at[1]}, orb.Point{at[0] + r, at[1]})
	cross.line(orb.Point{at[0], at[1] - r}, orb.Point{at[0], at[1] + r})
	return []drawing.Op{drawing.Fill{Path: ring.path, Color: t.Fill}, drawing.Stroke{Path: ring.path, Pen: s.Pen(t.Line, style.Thin)},
		drawing.Stroke{Path: cross.path, Pen: s.Pen(t.Line, style.Fine)}}
}
