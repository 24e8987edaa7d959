// Package style is the one table of colours, line weights, letter sizes and spacing that the screen and the sheets share, so
// that a printed map is the screen's twin. It draws nothing.
//
// Sizes are in points of the drawing: one point is one pixel on a plain screen and a quarter of a millimetre on paper. A Look
// pairs a palette with that factor.
package style

import (
	"image/color"
	"math"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// Line weights in points. On paper they are the pens 0.13, 0.18, 0.25, 0.35, 0.5 and 0.7 mm of a draughtsman's set, each
// about √2 times the last (the series of ISO 128; common practice, from memory).
const (
	Hair   = 0.52
	Thin   = 0.72
	Fine   = 1.0
	Medium = 1.4
	Strong = 2.0
	Heavy  = 2.8
)

// Letter sizes in points (em height).
const (
	Tiny    = 8.5
	Small   = 10.0
	Label   = 11.5
	Body    = 12.0
	Heading = 16.0
	Title   = 26.0
)

// Space is the step of all spacing, in points.
const Space = 4.0

// SheetPoint is a point on paper, in millimetres.
const SheetPoint = 0.25

// A Tone is how a kind of feature is coloured: its ground, its outline, and the small signs on it.
type Tone struct{ Fill, Line, Sign color.NRGBA }

// A Mark is how a status is shown: never by colour alone, always also by a hatch and a letter.
type Mark struct {
	Color color.NRGBA // hatch, ring and swatch
	Tint  color.NRGBA // laid over the bed, translucent
	Solid color.NRGBA // laid over a bed too thin for the hatch: the worse, the darker
	// The hatch: Angle in degrees, Gap and Width in points.
	Angle, Gap, Width float64
	Cross, Dots       bool
}

// A Palette is all colours of one face of the program.
type Palette struct {
	Name       string
	Dark, Grey bool

	Paper  color.NRGBA // behind everything
	Ground color.NRGBA // the garden within its boundary, and the map's bare ground
	Panel  color.NRGBA // behind panes and lists
	Raised color.NRGBA // fields, buttons, the row under the pointer
	Rule   color.NRGBA // lines between things on panes
	Grid   color.NRGBA // lines of the grid on the ground

	Ink      color.NRGBA // text and main lines
	Soft     color.NRGBA // lesser text
	Accent   color.NRGBA // the one accent: selection, focus, the finding shown
	OnAccent color.NRGBA // text on it
	Caution  color.NRGBA // text of warnings and cautions
	Halo     color.NRGBA // about words that stand over lines

	kinds    map[plan.Kind]Tone
	statuses [4]Mark
	zones    [3]Mark
	bloom    [BloomClasses]Mark
}

// Kind is the kind's tone; a kind of a newer file gets that of a path.
func (p *Palette) Kind(k plan.Kind) Tone {
	if t, ok := p.kinds[k]; ok {
		return t
	}
	return p.kinds[plan.Path]
}

// Status is the status's mark.
func (p *Palette) Status(s habitat.Status) Mark { return p.statuses[s] }

// A Zone is ground by its distance from refuge: as far as a guild usually works, as far as it is known to go, and what is beyond.
type Zone int

// The zones.
const (
	Near Zone = iota
	Far
	Off
)

// Zone is the mark of ground: Tint is its wash, the hatch lies over it; Near has none.
func (p *Palette) Zone(z Zone) Mark { return p.zones[z] }

// BloomClasses is into how many classes ground is put by its share in flower.
const BloomClasses = 5

// BloomClass is the class of a share, 0–1: none, and each quarter begun.
func BloomClass(share float64) int {
	if !(share > 0) {
		return 0
	}
	return min(int(math.Ceil(share*(BloomClasses-1)-1e-9)), BloomClasses-1)
}

// Bloom is the mark of a class: Solid fills the ground, the hatch lies over it; the first class, which is bare, has none.
func (p *Palette) Bloom(class int) Mark { return p.bloom[class] }

// A Pair is text on a background, as the program uses them.
type Pair struct {
	Name       string
	Text, Back color.NRGBA
}

// Pairs lists every use of text on a background, for the check of contrast.
func (p *Palette) Pairs() []Pair {
	out := []Pair{{"text on the accent", p.OnAccent, p.Accent}}
	for _, b := range []Pair{{Name: "paper", Back: p.Paper}, {Name: "ground", Back: p.Ground}, {Name: "panel", Back: p.Panel},
		{Name: "field", Back: p.Raised}} {
		out = append(out,
			Pair{"ink on " + b.Name, p.Ink, b.Back},
			Pair{"soft ink on " + b.Name, p.Soft, b.Back},
			Pair{"accent on " + b.Name, p.Accent, b.Back},
			Pair{"caution on " + b.Name, p.Caution, b.Back})
	}
	for _, k := range plan.Kinds {
		out = append(out, Pair{"ink on " + string(k), p.Ink, over(p.Kind(k).Fill, p.Ground)})
	}
	for s := habitat.Unknown; s <= habitat.Beyond; s++ {
		out = append(out, Pair{"ink on a bed " + s.String(), p.Ink, over(p.Status(s).Tint, p.Kind(plan.Bed).Fill)})
	}
	return out
}

// over lays a translucent colour on an opaque one.
func over(top, base color.NRGBA) color.NRGBA {
	mix := func(a, b uint8) uint8 { return uint8((int(a)*int(top.A) + int(b)*(255-int(top.A)) + 127) / 255) }
	return color.NRGBA{mix(top.R, base.R), mix(top.G, base.G), mix(top.B, base.B), 255}
}

// A Look is a palette at a size: Unit is drawing units (pixels, millimetres) in a point.
type Look struct {
	*Palette
	Unit float64
}

// Screen is the look for a screen with so many pixels in a point.
func Screen(p *Palette, pixels float64) Look { return Look{p, pixels} }

// Sheet is the look for paper, in millimetres.
func Sheet(p *Palette) Look { return Look{p, SheetPoint} }

// Pt is so many points in drawing units.
func (l Look) Pt(points float64) float64 { return points * l.Unit }

// Pen is a full line of the weight.
func (l Look) Pen(c color.NRGBA, weight float64) drawing.Pen {
	return drawing.Pen{Color: c, Width: weight * l.Unit}
}

// Dashed is a broken line; dash is in points, on, off, on, off …
func (l Look) Dashed(c color.NRGBA, weight float64, dash ...float64) drawing.Pen {
	d := make([]float64, len(dash))
	for i, v := range dash {
		d[i] = v * l.Unit
	}
	return drawing.Pen{Color: c, Width: weight * l.Unit, Dash: d}
}

// Hatch is the ruling of a status, locked to the origin.
func (l Look) Hatch(s habitat.Status, origin orb.Point) drawing.Pattern {
	return l.Ruling(l.Status(s), origin)
}

// Ruling is the hatch of any mark, locked to the origin.
func (l Look) Ruling(m Mark, origin orb.Point) drawing.Pattern {
	return drawing.Pattern{Angle: m.Angle, Gap: m.Gap * l.Unit, Pen: l.Pen(m.Color, m.Width), Cross: m.Cross, Dots: m.Dots,
		Origin: origin}
}

// Fade is the colour at a share of its strength, 0–1.
func Fade(c color.NRGBA, share float64) color.NRGBA {
	c.A = uint8(float64(c.A)*share + 0.5)
	return c
}
