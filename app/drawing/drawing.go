// Package drawing is a small display list: the shapes, lines, hatches, words and pictures that make a drawing, in order.
// Whatever draws the ground or a sheet fills a List; a back-end (raster, PDF, SVG) plays it. So screen and paper show the
// same thing. It knows nothing of gardens.
//
// Coordinates are in the drawing's own unit, x to the right and y down: millimetres for a sheet, pixels for the screen. Line
// widths, dashes, gaps and letter heights are in the same unit.
package drawing

import (
	"image"
	"image/color"

	"github.com/paulmach/orb"
)

// A Path is a set of contours, filled by the even-odd rule.
type Path []Contour

// A Contour is a run of points; Closed joins the last to the first.
type Contour struct {
	Points []orb.Point
	Closed bool
}

// A Pen says how a line looks. Dash is on, off, on, off …; nil is a full line. Ends and joins are round.
// A line of no width is not drawn.
type Pen struct {
	Color color.NRGBA
	Width float64
	Dash  []float64
}

// A Pattern is a ruling of parallel lines. Angle is in degrees, counter-clockwise from the x axis as seen; Gap is the
// distance between lines; Cross adds a second ruling at right angles; Dots replaces the lines by dots of the pen's width in
// a staggered grid. Rulings are locked to Origin, so that neighbouring shapes match and a pan does not make them swim.
type Pattern struct {
	Angle  float64
	Gap    float64
	Pen    Pen
	Cross  bool
	Dots   bool
	Origin orb.Point
}

// Align places a text against its anchor: start, middle or end of the line of text.
type Align int

// The three alignments.
const (
	Start Align = iota
	Middle
	End
)

// An Op is one step of a drawing.
type Op interface{ op() }

// The steps.
type (
	// Fill fills a path.
	Fill struct {
		Path  Path
		Color color.NRGBA
	}
	// Stroke draws a path's lines.
	Stroke struct {
		Path Path
		Pen  Pen
	}
	// Hatch rules a pattern within a path.
	Hatch struct {
		Path    Path
		Pattern Pattern
	}
	// Text writes one line. At is the anchor on the base line. Size is the em height. Rotate is in degrees, counter-clockwise
	// as seen, about At. A Halo of non-zero alpha is an outline of HaloWidth under the letters, so that they read over lines.
	Text struct {
		At        orb.Point
		Words     string
		Size      float64
		Bold      bool
		Italic    bool
		Color     color.NRGBA
		Align     Align
		Rotate    float64
		Halo      color.NRGBA
		HaloWidth float64
	}
	// Picture places an image in the rectangle between Min and Max.
	Picture struct {
		Image    image.Image
		Min, Max orb.Point
	}
	// Clip plays Ops only within the path.
	Clip struct {
		Path Path
		Ops  []Op
	}
	// Layer names a run of steps, for outputs that know layers (PDF) or groups (SVG).
	Layer struct {
		Name string
		Ops  []Op
	}
)

func (Fill) op()    {}
func (Stroke) op()  {}
func (Hatch) op()   {}
func (Text) op()    {}
func (Picture) op() {}
func (Clip) op()    {}
func (Layer) op()   {}

// A List is a drawing: its size and its steps in order.
type List struct {
	Width, Height float64
	Ops           []Op
}

// Add puts steps at the end.
func (l *List) Add(ops ...Op) { l.Ops = append(l.Ops, ops...) }

// Polygon is the closed path of a polygon's rings.
func Polygon(p orb.Polygon) Path {
	out := make(Path, 0, len(p))
	for _, r := range p {
		pts := []orb.Point(r)
		if n := len(pts); n > 1 && pts[0] == pts[n-1] {
			pts = pts[:n-1]
		}
		out = append(out, Contour{Points: pts, Closed: true})
	}
	return out
}

// Line is an open path through the points.
func Line(pts ...orb.Point) Path { return Path{{Points: pts}} }

// Rect is the closed path of a rectangle.
func Rect(x0, y0, x1, y1 float64) Path {
	return Path{{Points: []orb.Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}, Closed: true}}
}
