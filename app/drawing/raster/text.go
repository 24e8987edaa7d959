package raster

import (
	"math"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/face"
)

// fine is how far in pixels the straight pieces of a letter may stray from its curves.
const fine = 0.05

func (b *band) text(op drawing.Text) {
	size := op.Size * b.scale
	at := b.place(op.At)
	halo := op.HaloWidth * b.scale
	if !(size > 0) || !finite(at) || op.Words == "" {
		return
	}
	width := face.Width(op.Words, size, op.Bold, op.Italic)
	reach := width + size + halo
	view := b.area
	if b.clip != nil {
		view = b.clip.Rect
	}
	if at[0]+reach < float64(view.Min.X) || at[0]-reach > float64(view.Max.X) ||
		at[1]+reach < float64(view.Min.Y) || at[1]-reach > float64(view.Max.Y) {
		return
	}
	b.letters(op, at, size, width)
	if len(b.pts) == 0 {
		return
	}
	lo, hi := b.pts[0], b.pts[0]
	for _, p := range b.pts {
		lo[0], lo[1] = min(lo[0], p[0]), min(lo[1], p[1])
		hi[0], hi[1] = max(hi[0], p[0]), max(hi[1], p[1])
	}
	if op.Halo.A > 0 && halo > 0 && b.begin(lo, hi, halo+1) {
		b.contours(func(pts []orb.Point) { b.scan.stroke(pts, true, halo, false) })
		b.color = op.Halo
		b.scan.finish(nonZero, b.paint)
	}
	if op.Color.A > 0 && b.begin(lo, hi, 0) {
		b.contours(func(pts []orb.Point) {
			p := pts[len(pts)-1]
			for _, q := range pts {
				b.scan.line(p[0], p[1], q[0], q[1])
				p = q
			}
		})
		b.color = op.Color
		b.scan.finish(nonZero, b.paint)
	}
}

// contours gives each contour of the letters laid out last.
func (b *band) contours(use func(pts []orb.Point)) {
	from := 0
	for _, end := range b.ends {
		if from < end {
			use(b.pts[from:end])
		}
		from = end
	}
}

// letters lays out a text as contours of straight pieces in pixels.
func (b *band) letters(op drawing.Text, at orb.Point, size, width float64) {
	b.pts, b.ends = b.pts[:0], b.ends[:0]
	pen := 0.0
	switch op.Align {
	case drawing.Middle:
		pen = -width / 2
	case drawing.End:
		pen = -width
	}
	sin, cos := math.Sincos(op.Rotate * math.Pi / 180)
	for _, g := range face.Glyphs(op.Words, op.Bold, op.Italic) {
		put := func(p orb.Point) orb.Point {
			x, y := pen+p[0]*size, p[1]*size
			return orb.Point{at[0] + x*cos + y*sin, at[1] - x*sin + y*cos}
		}
		for _, s := range g.Outline {
			switch s.Kind {
			case face.Move:
				b.ends = append(b.ends, len(b.pts))
				b.pts = append(b.pts, put(s.P[0]))
			case face.Line:
				b.pts = append(b.pts, put(s.P[0]))
			case face.Quad:
				b.quad(put(s.P[0]), put(s.P[1]))
			case face.Cube:
				b.cube(put(s.P[0]), put(s.P[1]), put(s.P[2]))
			}
		}
		pen += g.Advance * size
	}
	b.ends = append(b.ends, len(b.pts))
}

// quad adds a curve from the last point. A chord of one of n equal parts strays by d/4n², with d the length of the second
// difference of the three points.
func (b *band) quad(q, r orb.Point) {
	p := b.pts[len(b.pts)-1]
	d := math.Hypot(p[0]-2*q[0]+r[0], p[1]-2*q[1]+r[1])
	n := math.Ceil(math.Sqrt(d / (4 * fine)))
	for i := 1.0; i < n; i++ {
		t := i / n
		u := 1 - t
		b.pts = append(b.pts, orb.Point{
			u*u*p[0] + 2*u*t*q[0] + t*t*r[0],
			u*u*p[1] + 2*u*t*q[1] + t*t*r[1],
		})
	}
	b.pts = append(b.pts, r)
}

// cube adds a curve from the last point. A chord of one of n equal parts strays by at most 3d/4n².
func (b *band) cube(q, r, s orb.Point) {
	p := b.pts[len(b.pts)-1]
	d := max(math.Hypot(p[0]-2*q[0]+r[0], p[1]-2*q[1]+r[1]), math.Hypot(q[0]-2*r[0]+s[0], q[1]-2*r[1]+s[1]))
	n := math.Ceil(math.Sqrt(3 * d / (4 * fine)))
	for i := 1.0; i < n; i++ {
		t := i / n
		u := 1 - t
		b.pts = append(b.pts, orb.Point{
			u*u*u*p[0] + 3*u*u*t*q[0] + 3*u*t*t*r[0] + t*t*t*s[0],
			u*u*u*p[1] + 3*u*u*t*q[1] + 3*u*t*t*r[1] + t*t*t*s[1],
		})
	}
	b.pts = append(b.pts, s)
}
