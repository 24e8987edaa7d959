package sheet

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/ground"
	"hedgereach/app/style"
	"hedgereach/habitat/plan"
)

// Measures of tiles, in millimetres.
const (
	overlap  = 14.0 // that neighbours share
	tileFoot = 12.0 // under a tile's map, for its number, scale and place
)

// mostTiles is how many sheets a map may be cut into.
const mostTiles = 120

// A tiling cuts a map that is larger than the sheet into sheets that overlap.
type tiling struct {
	frame       frame
	big         float64 // how much larger than usual letters are
	denominator int
	columns     int
	rows        int
	from        orb.Point // ground at the upper left of the first tile's map, metres
	step        orb.Point // from tile to tile, millimetres
	on          []tile    // those on which something stands, in order
}

// A tile is one sheet of a tiling.
type tile struct{ number, column, row int }

// tile cuts the map at a scale at which no sheet holds it, whichever way of laying the paper takes fewer sheets.
func (j *job) tile(denominator int) (*tiling, error) {
	var best *tiling
	p := j.o.Paper
	short, long := min(p.W, p.H), max(p.W, p.H)
	for i, lie := range [][2]float64{{long, short}, {short, long}} {
		if j.o.Orientation == Portrait && i == 0 || j.o.Orientation == Landscape && i == 1 {
			continue
		}
		if t := j.tiled(Paper{p.Name, lie[0], lie[1]}, denominator); best == nil || t.columns*t.rows < best.columns*best.rows {
			best = t
		}
	}
	if n := best.columns * best.rows; n > mostTiles {
		return nil, fmt.Errorf("at 1:%d the map takes %d × %d sheets of %s, and at most %d are made: take a smaller scale or larger paper",
			denominator, best.columns, best.rows, p.Name, mostTiles)
	}
	for row := range best.rows {
		for column := range best.columns {
			if t := (tile{len(best.on) + 1, column, row}); j.stands(best, t) {
				best.on = append(best.on, t)
			}
		}
	}
	return best, nil
}

func (j *job) tiled(p Paper, denominator int) *tiling {
	f := frame{paper: p, border: orb.Bound{Min: orb.Point{edge, edge}, Max: orb.Point{p.W - edge, p.H - edge - footing}}}
	f.ring, f.panel = f.border, f.border
	f.ring.Max[1] -= tileFoot * j.big
	f.panel.Min[1] = f.ring.Max[1]
	f.window = f.ring.Pad(-strip * j.big)
	t := &tiling{frame: f, big: j.big, denominator: denominator}
	mm := 1000 / float64(denominator)
	var counts [2]int
	for axis := range 2 {
		room := f.window.Max[axis] - f.window.Min[axis]
		t.step[axis] = room - overlap
		need := (j.bound.Max[axis]-j.bound.Min[axis])*mm + 2*breathe
		counts[axis] = int(max(1, math.Ceil((need-overlap)/t.step[axis]-1e-9)))
		spare := (float64(counts[axis])*t.step[axis] + overlap - need) / 2
		if axis == 0 {
			t.from[0] = j.bound.Min[0] - (breathe+spare)/mm
		} else {
			t.from[1] = j.bound.Max[1] + (breathe+spare)/mm
		}
	}
	t.columns, t.rows = counts[0], counts[1]
	return t
}

// view puts a tile's ground into its map.
func (t *tiling) view(k tile) ground.View {
	w, mm := t.frame.window, 1000/float64(t.denominator)
	c := w.Center()
	return ground.View{Middle: c, Scale: mm, Centre: orb.Point{
		t.from[0] + (float64(k.column)*t.step[0]+c[0]-w.Min[0])/mm, t.from[1] - (float64(k.row)*t.step[1]+c[1]-w.Min[1])/mm}}
}

// ground is what a tile's map shows, in metres.
func (t *tiling) ground(k tile) orb.Bound {
	v, w := t.view(k), t.frame.window
	return orb.MultiPoint{v.From(w.Min), v.From(w.Max)}.Bound()
}

// stands tells whether any feature reaches into a tile. The boundary's own ground is not enough: its line must.
func (j *job) stands(t *tiling, k tile) bool {
	b := t.ground(k)
	for _, f := range j.a.Plan.Features {
		if f.Geometry == nil || !f.Geometry.Bound().Intersects(b) {
			continue
		}
		if f.Kind != plan.Boundary || !holds(f.Geometry, b) {
			return true
		}
	}
	return false
}

// holds tells whether the whole bound lies inside the polygon's outer ring, off its line.
func holds(g orb.Geometry, b orb.Bound) bool {
	p, ok := g.(orb.Polygon)
	if !ok || len(p) != 1 {
		return false
	}
	r := p[0]
	for i := 1; i < len(r); i++ {
		if (orb.MultiPoint{r[i-1], r[i]}).Bound().Intersects(b) {
			return false
		}
	}
	in, c := false, b.Center()
	for i := 1; i < len(r); i++ {
		p, q := r[i-1], r[i]
		if (p[1] > c[1]) != (q[1] > c[1]) && c[0] < p[0]+(q[0]-p[0])*(c[1]-p[1])/(q[1]-p[1]) {
			in = !in
		}
	}
	return in
}

// at finds the tile in a place of the tiling.
func (t *tiling) at(column, row int) (tile, bool) {
	for _, k := range t.on {
		if k.column == column && k.row == row {
			return k, true
		}
	}
	return tile{}, false
}

// A seam is where a tile meets a neighbour: on the line at millimetres along one axis, called by the same letter on both.
type seam struct {
	axis   int // across which: 0 for a neighbour at the left or right
	line   float64
	letter string
}

// seams are a tile's, numbered over the whole tiling.
func (t *tiling) seams(k tile) (out []seam) {
	w := t.frame.window
	n := 0
	for _, a := range t.on {
		for axis := range 2 {
			step := [2]int{1 - axis, axis}
			b, ok := t.at(a.column+step[0], a.row+step[1])
			if !ok {
				continue
			}
			letter := letters(n)
			n++
			switch k {
			case a:
				out = append(out, seam{axis, w.Max[axis] - overlap/2, letter})
			case b:
				out = append(out, seam{axis, w.Min[axis] + overlap/2, letter})
			}
		}
	}
	return out
}

// own is the part of a tile's map, in millimetres, that its own words stand on: clear of the seams and what is beyond them, so that no
// word is cut through and none stands on two tiles.
func (t *tiling) own(k tile) orb.Bound {
	w := t.frame.window
	for _, m := range t.seams(k) {
		if c := w.Center(); m.line < c[m.axis] {
			w.Min[m.axis] = m.line + diamond*t.big
		} else {
			w.Max[m.axis] = m.line - diamond*t.big
		}
	}
	return w
}

// diamond is half the width of the sign about a seam's letter, millimetres.
const diamond = 3.0

// tiles adds the sheets of a tiling.
func (j *job) tiles(t *tiling) {
	s := j.look
	for _, k := range t.on {
		f, v := t.frame, t.view(k)
		show := j.show(f, v)
		show.Window = t.own(k)
		l := j.mapOf(f, v, j.plotLabels(v, show))
		l.Add(drawing.Layer{Name: "Seams", Ops: j.seamOps(t, k)})
		rule := drawing.Line(orb.Point{f.panel.Min[0], f.panel.Min[1]}, orb.Point{f.panel.Max[0], f.panel.Min[1]})
		l.Add(drawing.Layer{Name: "Title", Ops: append(j.tileFoot(t, k, v), drawing.Stroke{Path: rule, Pen: s.Pen(s.Ink, style.Thin)})})
		j.set.Pages = append(j.set.Pages, Page{Name: fmt.Sprintf("Tile %d", k.number), List: l})
	}
}

// seamOps are the lines to cut or lap along, with their letters, and crop marks outside the map.
func (j *job) seamOps(t *tiling, k tile) (ops []drawing.Op) {
	s, w, b := j.look, t.frame.window, t.frame.border
	var cut, crop drawing.Path
	size, r := s.Pt(style.Small), diamond*j.big
	var marks []drawing.Op
	for _, m := range t.seams(k) {
		place := func(along float64) orb.Point {
			if m.axis == 0 {
				return orb.Point{m.line, along}
			}
			return orb.Point{along, m.line}
		}
		o := 1 - m.axis
		cut = append(cut, drawing.Line(place(w.Min[o]), place(w.Max[o]))...)
		crop = append(crop, drawing.Line(place(b.Min[o]-1.6), place(b.Min[o]-6))...)
		if o == 0 {
			crop = append(crop, drawing.Line(place(b.Max[o]+1.6), place(b.Max[o]+6))...)
		} else { // the foot of the sheet has words: the mark stands between the map and its title
			crop = append(crop, drawing.Line(place(w.Max[o]+1), place(t.frame.ring.Max[o]+2.4))...)
		}
		for _, share := range []float64{0.25, 0.75} {
			at := place(w.Min[o] + share*(w.Max[o]-w.Min[o]))
			sign := drawing.Path{{Points: []orb.Point{{at[0] - r, at[1]}, {at[0], at[1] - r}, {at[0] + r, at[1]}, {at[0], at[1] + r}}, Closed: true}}
			marks = append(marks, drawing.Fill{Path: sign, Color: s.Halo}, drawing.Stroke{Path: sign, Pen: s.Pen(s.Accent, style.Fine)},
				drawing.Text{At: orb.Point{at[0], at[1] + 0.36*size}, Words: m.letter, Size: size, Color: s.Ink, Align: drawing.Middle, Bold: true})
		}
	}
	if cut == nil {
		return nil
	}
	ops = append(ops, drawing.Stroke{Path: cut, Pen: s.Dashed(s.Accent, style.Thin, 6, 4)},
		drawing.Stroke{Path: crop, Pen: s.Pen(s.Ink, style.Thin)})
	return append(ops, marks...)
}

// tileFoot says under a tile which it is, where it belongs, and its scale.
func (j *job) tileFoot(t *tiling, k tile, v ground.View) []drawing.Op {
	p, pad := t.frame.panel, j.pad()
	head, small := letter{size: j.look.Pt(style.Body), bold: true}, letter{size: j.look.Pt(style.Small)}
	grid := j.little(t, k, p)
	right := p.Max[0] - pad - (p.Max[1]-p.Min[1]-3)*float64(t.columns)/float64(t.rows)
	bar := min(60*j.big, (p.Max[0]-p.Min[0])*0.3)
	left := right - bar - 16*j.big
	room := left - p.Min[0] - 2*pad
	ops := []drawing.Op{
		j.words(orb.Point{p.Min[0] + pad, p.Min[1] + 5*j.big}, head.cut(fmt.Sprintf("Tile %d of %d · %s", k.number, len(t.on), j.set.Title), room),
			head, false),
		j.words(orb.Point{p.Min[0] + pad, p.Min[1] + 9.6*j.big}, small.cut(fmt.Sprintf("%s. Lap or cut along the broken lines: equal letters meet.",
			ScaleName(t.denominator, j.a.Plan.Units)), room), small, true),
	}
	ops = append(ops, ground.ScaleBarWithin(orb.Point{left, p.Min[1] + 9.4*j.big}, v, j.a.Plan.Units, j.look, bar-12)...)
	north := 0.0
	if j.a.Plan.Place != nil {
		north = j.a.Plan.Place.NorthDeg
	}
	ops = append(ops, j.littleNorth(orb.Point{right - 7*j.big, p.Min[1] + 6*j.big}, v.North(north))...)
	return append(ops, grid...)
}

// little is a small picture of the tiling with one tile filled.
func (j *job) little(t *tiling, k tile, p orb.Bound) []drawing.Op {
	s := j.look
	high := p.Max[1] - p.Min[1] - 3
	side := high / float64(t.rows)
	x0, y0 := p.Max[0]-j.pad()-side*float64(t.columns), p.Min[1]+1.5
	var all, own drawing.Path
	for _, o := range t.on {
		x, y := x0+side*float64(o.column), y0+side*float64(o.row)
		all = append(all, drawing.Rect(x, y, x+side, y+side)...)
		if o == k {
			own = drawing.Rect(x, y, x+side, y+side)
		}
	}
	return []drawing.Op{drawing.Fill{Path: own, Color: s.Ink}, drawing.Stroke{Path: all, Pen: s.Pen(s.Ink, style.Hair)}}
}

// littleNorth is a needle for where the large one has no room.
func (j *job) littleNorth(at orb.Point, degrees float64) []drawing.Op {
	s, k := j.look, j.big
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	p := func(east, north float64) orb.Point {
		return orb.Point{at[0] + k*(east*cos+north*sin), at[1] + k*(east*sin-north*cos)}
	}
	size := s.Pt(style.Small)
	n := p(0, 3.6)
	whole := drawing.Path{{Points: []orb.Point{p(0, 1.8), p(1.3, -4.2), p(0, -3), p(-1.3, -4.2)}, Closed: true}}
	half := drawing.Path{{Points: []orb.Point{p(0, 1.8), p(0, -3), p(-1.3, -4.2)}, Closed: true}}
	return []drawing.Op{drawing.Fill{Path: half, Color: s.Ink}, drawing.Stroke{Path: whole, Pen: s.Pen(s.Ink, style.Thin)},
		drawing.Text{At: orb.Point{n[0], n[1] + 0.36*size}, Words: "N", Size: size, Bold: true, Color: s.Ink, Align: drawing.Middle}}
}

// index shows on the map of the whole which tile holds what.
func (j *job) index(t *tiling, f frame, v ground.View) drawing.Layer {
	s := j.look
	var ops []drawing.Op
	lap := overlap / 2 * float64(t.denominator) / 1000
	size := s.Pt(style.Heading)
	for _, k := range t.on {
		b := t.ground(k).Pad(-lap)
		a, c := v.To(orb.Point{b.Min[0], b.Max[1]}), v.To(orb.Point{b.Max[0], b.Min[1]})
		ops = append(ops, drawing.Stroke{Path: drawing.Rect(a[0], a[1], c[0], c[1]), Pen: s.Dashed(s.Accent, style.Medium, 6, 4)},
			drawing.Text{At: orb.Point{max(a[0], f.window.Min[0]) + 1.2, max(a[1], f.window.Min[1]) + size*0.9}, Words: fmt.Sprint(k.number), Size: size,
				Bold: true, Color: s.Accent, Halo: style.Fade(s.Halo, 0.9), HaloWidth: s.Pt(2.5)})
	}
	return drawing.Layer{Name: "Tiles", Ops: []drawing.Op{drawing.Clip{Path: boxPath(f.window), Ops: ops}}}
}
