// Package raster plays a drawing into an image.
package raster

import (
	"image"
	"image/color"
	"math"
	"runtime"

	"github.com/paulmach/orb"
	"golang.org/x/image/draw"
	"golang.org/x/image/math/f64"

	"hedgereach/app/drawing"
	"hedgereach/geometry/parallel"
)

// A Painter plays drawings into images and keeps its scratch memory between them. The zero value is ready. It serves one
// Draw at a time.
type Painter struct {
	bands []*band
}

// tall is the height in pixels from which a picture is painted in bands, side by side.
const tall = 200

// Draw plays a list over what the image holds already: p in the list comes to p×scale + offset in pixels from the image's
// origin, and lengths are scaled alike. What falls outside costs little. Places that are not numbers are passed over.
// The image must begin at 0,0.
func (p *Painter) Draw(dst *image.RGBA, l drawing.List, scale float64, offset orb.Point) {
	n := 1
	if dst.Rect.Dy() >= tall {
		n = min(2, runtime.GOMAXPROCS(0))
	}
	p.draw(dst, l, scale, offset, n)
}

// draw paints in n bands.
func (p *Painter) draw(dst *image.RGBA, l drawing.List, scale float64, offset orb.Point, n int) {
	bounds := dst.Rect
	for len(p.bands) < n {
		b := &band{}
		b.paint = b.blend
		p.bands = append(p.bands, b)
	}
	whole := false
	defer func() {
		if !whole { // a panic: what the bands hold is of no use
			p.bands = nil
		}
	}()
	parallel.Each(n, n, func(i int) {
		b := p.bands[i]
		b.dst, b.scale, b.offset = dst, scale, offset
		b.whole, b.area = bounds, bounds
		b.area.Min.Y = bounds.Min.Y + bounds.Dy()*i/n
		b.area.Max.Y = bounds.Min.Y + bounds.Dy()*(i+1)/n
		b.play(l.Ops)
		b.dst = nil // no picture is kept alive by its painter
	})
	whole = true
}

// Draw plays a list into an image once; see Painter.Draw.
func Draw(dst *image.RGBA, l drawing.List, scale float64, offset orb.Point) {
	new(Painter).Draw(dst, l, scale, offset)
}

// A band paints some rows of an image.
type band struct {
	dst    *image.RGBA
	whole  image.Rectangle // the whole image
	area   image.Rectangle // the rows of this band
	scale  float64
	offset orb.Point
	color  color.NRGBA

	clip  *image.Alpha // what may be painted; nil for all
	spare []*image.Alpha

	scan  scan
	paint func(y, x0, x1 int, cover uint8) // the method blend, bound once
	dash  dasher
	ruler drawing.Ruler
	pts   []orb.Point
	ends  []int
}

func (b *band) play(ops []drawing.Op) {
	for _, op := range ops {
		switch op := op.(type) {
		case drawing.Fill:
			b.fill(op)
		case drawing.Stroke:
			b.stroke(op)
		case drawing.Hatch:
			b.hatch(op)
		case drawing.Text:
			b.text(op)
		case drawing.Picture:
			b.picture(op)
		case drawing.Clip:
			b.within(op)
		case drawing.Layer:
			b.play(op.Ops)
		}
	}
}

// place is where a point of the list lies in pixels.
func (b *band) place(p orb.Point) orb.Point {
	return orb.Point{p[0]*b.scale + b.offset[0], p[1]*b.scale + b.offset[1]}
}

// begin makes ready for a shape that lies between two corners in pixels, grown by a border. It is false if none of it shows,
// or if the corners are not numbers.
func (b *band) begin(lo, hi orb.Point, border float64) bool {
	side := b.whole
	rows := b.area
	if b.clip != nil {
		side, rows = b.clip.Rect, b.clip.Rect
	}
	x0, y0 := max(lo[0]-border, float64(side.Min.X)), max(lo[1]-border, float64(rows.Min.Y))
	x1, y1 := min(hi[0]+border, float64(side.Max.X)), min(hi[1]+border, float64(rows.Max.Y))
	if !(x0 < x1) || !(y0 < y1) || !finite(lo) || !finite(hi) {
		return false
	}
	b.scan.begin(image.Rect(int(math.Floor(x0)), int(math.Floor(y0)), int(math.Ceil(x1)), int(math.Ceil(y1))))
	return true
}

func finite(p orb.Point) bool {
	return !math.IsNaN(p[0]) && !math.IsNaN(p[1]) && !math.IsInf(p[0], 0) && !math.IsInf(p[1], 0)
}

// bound is the corners of a path in pixels. A point that is not a number makes a corner that is none.
func (b *band) bound(path drawing.Path) (lo, hi orb.Point) {
	lo, hi = orb.Point{math.Inf(1), math.Inf(1)}, orb.Point{math.Inf(-1), math.Inf(-1)}
	for _, c := range path {
		for _, p := range c.Points {
			lo[0], lo[1] = min(lo[0], p[0]), min(lo[1], p[1])
			hi[0], hi[1] = max(hi[0], p[0]), max(hi[1], p[1])
		}
	}
	return b.place(lo), b.place(hi)
}

// edges adds a path's contours, each closed.
func (b *band) edges(path drawing.Path) {
	for _, c := range path {
		if len(c.Points) == 0 {
			continue
		}
		p := b.place(c.Points[len(c.Points)-1])
		for _, q := range c.Points {
			q = b.place(q)
			b.scan.line(p[0], p[1], q[0], q[1])
			p = q
		}
	}
}

func (b *band) fill(op drawing.Fill) {
	if lo, hi := b.bound(op.Path); op.Color.A > 0 && b.begin(lo, hi, 0) {
		b.edges(op.Path)
		b.color = op.Color
		b.scan.finish(evenOdd, b.paint)
	}
}

func (b *band) stroke(op drawing.Stroke) {
	half := op.Pen.Width / 2 * b.scale
	reach := half + 1
	lo, hi := b.bound(op.Path)
	if op.Pen.Color.A == 0 || !(half > 0) || !b.begin(lo, hi, reach) {
		return
	}
	dashed := b.dash.set(op.Pen.Dash, b.scale)
	if dashed {
		// Dashes are counted alike in all bands, so the view is the whole image.
		b.dash.lo = orb.Point{float64(b.whole.Min.X) - reach, float64(b.whole.Min.Y) - reach}
		b.dash.hi = orb.Point{float64(b.whole.Max.X) + reach, float64(b.whole.Max.Y) + reach}
	}
	for _, c := range op.Path {
		if len(c.Points) == 0 {
			continue
		}
		b.pts = b.pts[:0]
		for _, p := range c.Points {
			b.pts = append(b.pts, b.place(p))
		}
		if dashed {
			b.dash.cut(b.pts, c.Closed, func(run []orb.Point) { b.scan.stroke(run, false, half, false) })
		} else {
			b.scan.stroke(b.pts, c.Closed, half, false)
		}
	}
	b.color = op.Pen.Color
	b.scan.finish(nonZero, b.paint)
}

func (b *band) hatch(op drawing.Hatch) {
	pen := op.Pattern.Pen
	half := pen.Width / 2 * b.scale
	lo, hi := b.bound(op.Path)
	if pen.Color.A == 0 || !(half > 0) || !b.begin(lo, hi, half+1) {
		return
	}
	// The rulings are those of the whole image in every band.
	view := orb.Bound{
		Min: orb.Point{(float64(b.whole.Min.X) - b.offset[0]) / b.scale, (float64(b.whole.Min.Y) - b.offset[1]) / b.scale},
		Max: orb.Point{(float64(b.whole.Max.X) - b.offset[0]) / b.scale, (float64(b.whole.Max.Y) - b.offset[1]) / b.scale},
	}.Pad(pen.Width)
	for _, s := range b.ruler.Rule(op.Path, op.Pattern, view) {
		b.pts = append(b.pts[:0], b.place(s[0]), b.place(s[1]))
		b.scan.stroke(b.pts, false, half, !op.Pattern.Dots)
	}
	b.color = pen.Color
	b.scan.finish(nonZero, b.paint)
}

// within plays steps through a mask of the clip's path.
func (b *band) within(op drawing.Clip) {
	lo, hi := b.bound(op.Path)
	if !b.begin(lo, hi, 0) {
		return
	}
	mask := b.blank(b.scan.window)
	outer := b.clip
	b.edges(op.Path)
	b.scan.finish(evenOdd, func(y, x0, x1 int, cover uint8) {
		row := mask.Pix[mask.PixOffset(x0, y):][:x1-x0]
		if outer == nil {
			for i := range row {
				row[i] = cover
			}
			return
		}
		for i, m := range outer.Pix[outer.PixOffset(x0, y):][:x1-x0] {
			row[i] = uint8(divide(uint32(m) * uint32(cover)))
		}
	})
	b.clip = mask
	b.play(op.Ops)
	b.clip = outer
	b.spare = append(b.spare, mask)
}

// blank is an empty mask. A spare one that is too small is dropped for the larger, so that there are never more than lie within one
// another.
func (b *band) blank(r image.Rectangle) *image.Alpha {
	if n := len(b.spare); n > 0 {
		m := b.spare[n-1]
		b.spare = b.spare[:n-1]
		if size := r.Dx() * r.Dy(); size <= cap(m.Pix) {
			m.Pix, m.Stride, m.Rect = m.Pix[:size], r.Dx(), r
			clear(m.Pix)
			return m
		}
	}
	return image.NewAlpha(r)
}

func (b *band) picture(op drawing.Picture) {
	if op.Image == nil {
		return
	}
	src := op.Image.Bounds()
	lo, hi := b.place(op.Min), b.place(op.Max)
	if src.Empty() || !finite(lo) || !finite(hi) {
		return
	}
	sx, sy := (hi[0]-lo[0])/float64(src.Dx()), (hi[1]-lo[1])/float64(src.Dy())
	if !(sx > 0) || !(sy > 0) {
		return
	}
	place := f64.Aff3{sx, 0, lo[0] - sx*float64(src.Min.X), 0, sy, lo[1] - sy*float64(src.Min.Y)}
	var way draw.Interpolator = draw.ApproxBiLinear
	if sx < 1 || sy < 1 {
		way = draw.BiLinear // takes in every pixel of the source when it shrinks
	}
	var opts *draw.Options
	area := b.area
	if b.clip != nil {
		opts = &draw.Options{DstMask: b.clip}
		area = b.clip.Rect
	}
	way.Transform(b.dst.SubImage(area).(*image.RGBA), place, op.Image, src, draw.Over, opts)
}
