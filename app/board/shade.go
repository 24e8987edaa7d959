package board

import (
	"context"
	"image"
	"image/color"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/app/ground"
	"hedgereach/app/skin"
	"hedgereach/app/style"
	"hedgereach/geometry"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// The side of a shading cell in units of the widget: at rest, and while something is dragged.
const (
	restCell = 8
	dragCell = 16
)

// A reach is what the shading shows: the distances from refuge that part its bands. Nothing is shown where typical is 0.
type reach struct{ typical, outer float64 }

// reach is of the guild asked about, or of any refuge at the range asked about.
func (b *Board) reach() reach {
	if !b.shading {
		return reach{}
	}
	ask := b.session.Ask()
	if ask.Guild == nil {
		return reach{ask.RangeM, ask.RangeM}
	}
	if !ask.Guild.HasRange() {
		return reach{}
	}
	return reach{ask.Guild.TypicalM, max(ask.Guild.TypicalM, ask.Guild.OuterM)}
}

// A grid is a coarse field of distances over a part of the ground. It lies level as the ground is seen.
type grid struct {
	frame  arrange.Frame
	bound  orb.Bound // in the frame
	nx, ny int
}

func (g grid) cells() int { return g.nx * g.ny }

// gridOver lays cells of about so many units over the widget's ground with a margin of a share of its sides.
func (b *Board) gridOver(cell, margin float64) grid {
	w, h := float64(b.size.Width)*(1+2*margin), float64(b.size.Height)*(1+2*margin)
	g := grid{frame: b.seen(), nx: max(2, int(math.Ceil(w/cell))), ny: max(2, int(math.Ceil(h/cell)))}
	halfX, halfY := float64(g.nx)*cell/2/b.view.Scale, float64(g.ny)*cell/2/b.view.Scale
	c := g.frame.In(b.view.Centre)
	g.bound = orb.Bound{Min: orb.Point{c[0] - halfX, c[1] - halfY}, Max: orb.Point{c[0] + halfX, c[1] + halfY}}
	return g
}

// view is metres to the grid's cells.
func (g grid) view() ground.View {
	return ground.View{Centre: g.frame.Out(g.bound.Center()), Middle: orb.Point{float64(g.nx) / 2, float64(g.ny) / 2},
		Scale: float64(g.nx) / (g.bound.Max[0] - g.bound.Min[0]), Turn: float64(g.frame)}
}

type shadeJob struct {
	number  uint64
	grid    grid
	reach   reach
	refuges []orb.Geometry
	palette *style.Palette
}

// A shading is a finished job: a pixel for each cell, and the line at the typical range in metres.
type shading struct {
	img  *image.RGBA
	line []orb.LineString
}

// A shadeLayer is the picture of the reach.
type shadeLayer struct {
	layer
	board  *Board
	worker worker[shadeJob]
	number uint64
	asked  shadeJob
	serves []*plan.Feature  // what asked was measured from
	shown  uint64           // number of the job that is shown
	line   []orb.LineString // the line that is shown, in metres

	drag dragShade
}

func (l *shadeLayer) start(b *Board) {
	l.board = b
	l.worker.do = l.work
	l.init()
}

// update brings the shading up to date: at once and coarsely while something is dragged, else by the worker.
func (l *shadeLayer) update(b *Board, d dirt) {
	if d&(shadeDirt|viewDirt) == 0 {
		return
	}
	r := b.reach()
	if r.typical <= 0 {
		l.number++ // what is on its way comes too late
		l.shown, l.asked, l.line = l.number, shadeJob{}, nil
		l.raster.Hide()
		return
	}
	serving := b.session.Assessment().Serving(b.session.Ask().Guild)
	if b.session.Previewing() {
		l.follow(b, r, serving)
		return
	}
	l.drag.forget()
	fresh := slices.Equal(serving, l.serves) && l.asked.reach == r && l.asked.palette == skin.Palette() && l.asked.number > 0
	if fresh && d&shadeDirt != 0 && l.shown < l.asked.number {
		fresh = l.worker.busy()
	}
	if fresh && l.asked.grid.frame == b.seen() && l.asked.grid.covers(b.shown()) && sameCell(l.asked.grid, b.view.Scale) {
		return
	}
	l.number++
	l.serves = serving
	g := b.gridOver(restCell, marginShare)
	l.asked = shadeJob{number: l.number, grid: g, reach: r, refuges: g.shapes(serving), palette: skin.Palette()}
	l.worker.give(l.asked)
}

func (g grid) covers(b orb.Bound) bool { return g.bound.Contains(b.Min) && g.bound.Contains(b.Max) }

// sameCell tells whether the grid's cells have about the size that they should at a scale.
func sameCell(g grid, scale float64) bool {
	cell := (g.bound.Max[0] - g.bound.Min[0]) / float64(g.nx) * scale
	return cell > restCell*0.75 && cell < restCell*1.34
}

// shapes are the outlines of features in the grid's frame.
func (g grid) shapes(fs []*plan.Feature) []orb.Geometry {
	out := make([]orb.Geometry, 0, len(fs))
	for _, f := range fs {
		switch {
		case f.Geometry == nil:
		case g.frame == 0:
			out = append(out, f.Geometry)
		default:
			out = append(out, geometry.Map(f.Geometry, g.frame.In))
		}
	}
	return out
}

// work measures a field, away from the window's goroutine.
func (l *shadeLayer) work(j shadeJob) {
	field := make([]float32, j.grid.cells())
	if geometry.NewSites(j.refuges).Field(context.Background(), j.grid.bound, j.grid.nx, j.grid.ny, field) != nil {
		return
	}
	s := shading{img: image.NewRGBA(image.Rect(0, 0, j.grid.nx, j.grid.ny))}
	paintField(s.img, field, j.reach, j.palette)
	s.line = new(tracer).trace(field, j.grid, j.reach.typical)
	l.board.dispatch(func() {
		if j.number <= l.shown || l.board.session.Previewing() {
			return // overtaken
		}
		l.shown, l.line = j.number, s.line
		l.show(s.img, j.grid.view())
		l.place(l.board.view)
		l.raster.Refresh()
		l.board.mark(editDirt)
	})
}

// bandSteps is how many colours the shading has from refuge to its outer edge.
const bandSteps = 256

// paintField colours distances: a wash that thins out to the typical range, another to the outer, nothing beyond. It stays
// so pale that the signs and letters of the ground read through it.
func paintField(img *image.RGBA, field []float32, r reach, p *style.Palette) {
	near, far, off := p.Status(habitat.Within).Color, p.Status(habitat.Partly).Color, p.Status(habitat.Beyond).Color
	strength := 1.0
	if p.Dark {
		strength = 1.3
	}
	outer := r.outer
	var table [bandSteps + 1][4]byte
	for i := range bandSteps {
		d := (float64(i) + 0.5) / bandSteps * outer
		if d <= r.typical {
			table[i] = premultiplied(near, strength*(0.26-0.13*d/r.typical))
		} else {
			table[i] = premultiplied(far, strength*0.13)
		}
	}
	table[bandSteps] = premultiplied(off, strength*0.035)
	k := float32(bandSteps / outer)
	for i, d := range field {
		n := bandSteps
		if v := d * k; v < bandSteps { // false for infinity too
			n = int(v)
		}
		copy(img.Pix[4*i:4*i+4], table[n][:])
	}
}

func premultiplied(c color.NRGBA, alpha float64) [4]byte {
	v := func(x uint8) byte { return byte(float64(x)*alpha + 0.5) }
	return [4]byte{v(c.R), v(c.G), v(c.B), byte(255*alpha + 0.5)}
}

// A dragShade is the shading while something is dragged. What stays is measured once for the gesture; each frame measures
// only to what moves, and takes the lesser.
type dragShade struct {
	grid   grid
	stay   []*plan.Feature
	move   []*plan.Feature
	still  []float32 // distances to what stays
	field  []float32
	img    *image.RGBA
	tracer tracer
	valid  bool
	reach  reach
}

func (d *dragShade) forget() { d.valid = false }

func (l *shadeLayer) follow(b *Board, r reach, serving []*plan.Feature) {
	d := &l.drag
	g := b.gridOver(dragCell, 0)
	var stay, move []*plan.Feature
	for _, f := range serving {
		if b.moving[f.ID] {
			move = append(move, f)
		} else {
			stay = append(stay, f)
		}
	}
	if !d.valid || d.grid != g || !slices.Equal(stay, d.stay) {
		d.grid, d.stay = g, stay
		if cap(d.still) < g.cells() {
			d.still, d.field = make([]float32, g.cells()), make([]float32, g.cells())
		}
		d.still, d.field = d.still[:g.cells()], d.field[:g.cells()]
		if geometry.NewSites(g.shapes(stay)).Field(context.Background(), g.bound, g.nx, g.ny, d.still) != nil {
			return
		}
	} else if d.reach == r && len(move) == 0 && len(d.move) == 0 {
		return // a bed is dragged: the reach is as it was
	}
	d.valid, d.reach, d.move = true, r, move
	if len(move) == 0 {
		copy(d.field, d.still)
	} else {
		if geometry.NewSites(g.shapes(move)).Field(context.Background(), g.bound, g.nx, g.ny, d.field) != nil {
			return
		}
		for i, s := range d.still {
			d.field[i] = min(d.field[i], s)
		}
	}
	if d.img == nil || d.img.Rect.Dx() != g.nx || d.img.Rect.Dy() != g.ny {
		d.img = image.NewRGBA(image.Rect(0, 0, g.nx, g.ny))
	}
	paintField(d.img, d.field, r, skin.Palette())
	l.line = d.tracer.trace(d.field, g, r.typical)
	l.number++
	l.shown, l.asked = l.number, shadeJob{} // what is on its way comes too late
	l.show(d.img, g.view())
	l.place(b.view)
	l.raster.Refresh()
}
