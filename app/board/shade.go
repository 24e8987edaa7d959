package board

import (
	"context"
	"image"
	"image/color"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/app/ground"
	"hedgereach/app/skin"
	"hedgereach/app/style"
	"hedgereach/data"
	"hedgereach/geometry"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// The side of a shading cell in units of the widget: at rest, and while something is dragged.
const (
	restCell = 8
	dragCell = 16
)

// A reach is what the shading shows: the distances from refuge that part its bands, and whether they are ways on foot. Nothing is
// shown where typical is 0.
type reach struct {
	typical, outer float64
	banded         bool // of a guild, whose distances are published ones
	walks          bool
}

// A rangeLine is the line about all ground within a range.
type rangeLine struct {
	rangeM float64
	words  string // what the range is, besides its length
	outer  bool
	lines  []orb.LineString // in metres
}

// lines are the lines that go with a reach, still to be drawn: at the typical range, and at the outer one where that is another.
func (r reach) lines(straight bool) []rangeLine {
	on := ""
	switch {
	case r.walks && straight:
		on = "in a straight line"
	case r.walks:
		on = "on foot"
	}
	say := func(what string) string {
		if !r.banded {
			what = ""
		}
		if what != "" && on != "" {
			what += ","
		}
		return strings.TrimSpace(what + " " + on)
	}
	all := []rangeLine{{rangeM: r.typical, words: say("typical")}}
	if r.outer > r.typical {
		all = append(all, rangeLine{rangeM: r.outer, words: say("at most"), outer: true})
	}
	return all
}

// reach is of the guild asked about, or of any refuge at the range asked about.
func (b *Board) reach() reach {
	if !b.shading {
		return reach{}
	}
	ask := b.session.Ask()
	if ask.Guild == nil {
		return reach{typical: ask.RangeM, outer: ask.RangeM}
	}
	if !ask.Guild.HasRange() {
		return reach{}
	}
	return reach{ask.Guild.TypicalM, max(ask.Guild.TypicalM, ask.Guild.OuterM), true, ask.Guild.Travel == data.Walks}
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
	number    uint64
	grid      grid
	reach     reach
	refuges   []orb.Geometry
	obstacles []orb.Geometry // that the guild goes round
	scale     float64        // units of the widget to a metre
	palette   *style.Palette
	overtaken context.Context // ends when another job is given
}

// A shadeLayer is the picture of the reach.
type shadeLayer struct {
	layer
	board  *Board
	worker worker[shadeJob]
	number uint64
	asked  shadeJob
	cancel context.CancelFunc // of the job asked for last
	serves []*plan.Feature    // what asked was measured from
	bars   []*plan.Feature    // and round what
	shown  uint64             // number of the job that is shown
	lines  []rangeLine        // that are shown

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
		l.shown, l.asked, l.lines = l.number, shadeJob{}, nil
		l.raster.Hide()
		return
	}
	a, guild := b.session.Assessment(), b.session.Ask().Guild
	serving, bars := a.Serving(guild), a.Obstacles(guild)
	same := l.asked.number > 0 && slices.Equal(serving, l.serves) && slices.Equal(bars, l.bars) && l.asked.reach == r
	inView := l.asked.grid.frame == b.seen() && l.asked.grid.covers(b.shown()) && sameCell(l.asked.grid, b.view.Scale)
	if b.session.Previewing() {
		if same && inView {
			return // what is dragged has no part in the reach
		}
		l.follow(b, r, serving)
		return
	}
	l.drag.forget()
	fresh := same && l.asked.palette == skin.Palette()
	if fresh && d&shadeDirt != 0 && l.shown < l.asked.number {
		fresh = l.worker.busy()
	}
	if fresh && inView {
		return
	}
	l.number++
	l.serves, l.bars = serving, bars
	g := b.gridOver(restCell, marginShare)
	l.stop()
	l.asked = shadeJob{number: l.number, grid: g, reach: r, refuges: g.shapes(serving), obstacles: g.shapes(bars),
		scale: b.view.Scale, palette: skin.Palette()}
	l.asked.overtaken, l.cancel = context.WithCancel(context.Background())
	l.worker.give(l.asked)
}

// stop ends the job that is under way.
func (l *shadeLayer) stop() {
	if l.cancel != nil {
		l.cancel()
	}
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

// work measures a field and draws the lines, away from the window's goroutine.
func (l *shadeLayer) work(j shadeJob) {
	g := j.grid
	field, sites := make([]float32, g.cells()), geometry.NewSites(j.refuges)
	all := j.reach.lines(false)
	var err error
	if len(j.obstacles) == 0 {
		err = sites.Field(j.overtaken, g.bound, g.nx, g.ny, field)
	} else {
		// The line must find its way between cells on both sides of it.
		limit := j.reach.outer + 2*math.Hypot(g.bound.Max[0]-g.bound.Min[0], g.bound.Max[1]-g.bound.Min[1])/float64(min(g.nx, g.ny))
		ways := geometry.NewWays(sites, j.obstacles)
		err = ways.Field(j.overtaken, g.bound, g.nx, g.ny, limit, field)
		tr := tracer{exact: func(p orb.Point) float64 {
			if j.overtaken.Err() != nil {
				return math.Inf(1)
			}
			d, _ := ways.DistanceFrom(p)
			return d
		}}
		for i := range all {
			if err == nil {
				all[i].lines = cloneLines(tr.trace(field, g, all[i].rangeM))
			}
		}
	}
	if err != nil || j.overtaken.Err() != nil {
		return
	}
	if len(j.obstacles) == 0 {
		for i := range all {
			all[i].lines = g.offset(sites, all[i].rangeM, j.scale)
			if all[i].lines == nil {
				all[i].lines = cloneLines(new(tracer).trace(field, g, all[i].rangeM))
			}
		}
	}
	img := image.NewRGBA(image.Rect(0, 0, g.nx, g.ny))
	paintField(img, field, j.reach, j.palette)
	l.board.dispatch(func() {
		if j.number <= l.shown || l.asked.number == 0 {
			return // overtaken
		}
		l.shown, l.lines = j.number, all
		l.show(img, g.view())
		l.place(l.board.view)
		l.raster.Refresh()
		l.board.mark(editDirt)
	})
}

// offset is the outline of all ground within a range of what serves, as true offset curves, arcs to a quarter of a unit; nil where
// it cannot be drawn, or there is none.
func (g grid) offset(sites *geometry.Sites, rangeM, scale float64) (lines []orb.LineString) {
	ground, err := sites.Offset(rangeM, 0.25/scale)
	if err != nil {
		return nil
	}
	for _, p := range ground {
		for _, ring := range p {
			line := make(orb.LineString, len(ring))
			for i, v := range ring {
				line[i] = g.frame.Out(v)
			}
			lines = append(lines, line)
		}
	}
	return lines
}

// cloneLines copies lines out of a tracer's memory.
func cloneLines(lines []orb.LineString) []orb.LineString {
	out := make([]orb.LineString, len(lines))
	for i, l := range lines {
		out[i] = slices.Clone(l)
	}
	return out
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

// A dragShade is the shading while something that has a part in it is dragged. What stays is measured once for the gesture; each
// frame measures only to what moves, and takes the lesser. Ways on foot cannot be found within a frame: until the gesture ends
// distances are straight lines, and the words on the lines say so.
type dragShade struct {
	grid    grid
	stay    []*plan.Feature
	move    []*plan.Feature
	still   []float32 // distances to what stays
	field   []float32
	img     *image.RGBA
	tracers [2]tracer // their lines are shown, so each has its own memory
	valid   bool
	reach   reach
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
	l.stop()
	l.lines = r.lines(len(l.bars) > 0)
	for i := range l.lines {
		l.lines[i].lines = d.tracers[i].trace(d.field, g, l.lines[i].rangeM)
	}
	l.number++
	l.shown, l.asked = l.number, shadeJob{} // what is on its way comes too late
	l.show(d.img, g.view())
	l.place(b.view)
	l.raster.Refresh()
}
