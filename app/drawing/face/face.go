// Package face gives the letters of drawings: the typeface that the toolkit carries, as outlines and as measures, so that
// screen, PDF and SVG show the same words at the same width. Letters stand by their advance widths alone, without kerning
// or shaping, because that is what all outputs can do alike.
package face

import (
	"strings"
	"sync"
	"unicode"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
	"github.com/paulmach/orb"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// A Glyph is the drawn form of one letter. Outline and Advance are in em, x to the right and y down from the base line;
// outlines are filled by the non-zero rule.
type Glyph struct {
	Rune    rune
	Advance float64
	Outline []Step
}

// A Step is one piece of an outline: Move and Line use P[0], Quad uses P[0] as control and P[1] as end, Cube uses P[0] and
// P[1] as controls and P[2] as end.
type Step struct {
	Kind Kind
	P    [3]orb.Point
}

// Kind is the kind of a Step.
type Kind byte

// The kinds.
const (
	Move Kind = iota
	Line
	Quad
	Cube
)

// A cut is one of the four styles of the typeface, with the glyphs made so far.
type cut struct {
	data   []byte
	font   *sfnt.Font
	ppem   fixed.Int26_6 // one em in font units, so that nothing is rounded
	em     float64       // the same as a number of 1/64 units
	ascent float64       // in em
	drop   float64

	mu     sync.RWMutex
	buf    sfnt.Buffer
	glyphs map[rune]*Glyph
}

func load(resource func() fyne.Resource) func() *cut {
	return sync.OnceValue(func() *cut {
		c := &cut{data: resource().Content(), glyphs: map[rune]*Glyph{}}
		var err error
		if c.font, err = sfnt.Parse(c.data); err != nil {
			panic("face: the bundled font cannot be read: " + err.Error())
		}
		c.ppem = fixed.I(int(c.font.UnitsPerEm()))
		c.em = float64(c.ppem)
		m, err := c.font.Metrics(&c.buf, c.ppem, 0)
		if err != nil {
			panic("face: the bundled font has no measures: " + err.Error())
		}
		c.ascent, c.drop = float64(m.Ascent)/c.em, float64(m.Descent)/c.em
		return c
	})
}

var cuts = [2][2]func() *cut{
	{load(theme.DefaultTextFont), load(theme.DefaultTextItalicFont)},
	{load(theme.DefaultTextBoldFont), load(theme.DefaultTextBoldItalicFont)},
}

func pick(bold, italic bool) *cut {
	b, i := 0, 0
	if bold {
		b = 1
	}
	if italic {
		i = 1
	}
	return cuts[b][i]()
}

// Data is the font file of a style (TrueType).
func Data(bold, italic bool) []byte { return pick(bold, italic).data }

// Width is the length of a line of words at an em height of size, in the unit of size.
func Width(words string, size float64, bold, italic bool) float64 {
	c := pick(bold, italic)
	sum := 0.0
	for _, r := range Clean(words) {
		sum += c.glyph(r).Advance
	}
	return sum * size
}

// Ascent is the height of the tallest letters above the base line at an em height of size.
func Ascent(size float64, bold, italic bool) float64 { return pick(bold, italic).ascent * size }

// Descent is the depth of the deepest letters below the base line, as a positive length.
func Descent(size float64, bold, italic bool) float64 { return pick(bold, italic).drop * size }

// Glyphs are the letters of a line of words in order.
func Glyphs(words string, bold, italic bool) []*Glyph {
	c := pick(bold, italic)
	words = Clean(words)
	out := make([]*Glyph, 0, len(words))
	for _, r := range words {
		out = append(out, c.glyph(r))
	}
	return out
}

// unknown stands for a letter that the typeface lacks: the replacement character, a box with a question mark.
const unknown = '\uFFFD'

// Clean is the words as every output can draw them: white space of any kind becomes a plain space, control and formatting
// characters go, and letters that the typeface lacks become the replacement character.
func Clean(words string) string {
	regular := pick(false, false)
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case unicode.IsControl(r), unicode.Is(unicode.Cf, r):
			return -1
		case r > 0xFFFF || !regular.has(r): // PDF writing cannot go beyond the basic plane
			return unknown
		}
		return r
	}, words)
}

// Lacks says whether words hold letters that the typeface cannot draw.
func Lacks(words string) bool { return strings.ContainsRune(Clean(words), unknown) }

func (c *cut) has(r rune) bool { return r < 0x7F || c.glyph(r) != nil }

// glyph is the glyph of a rune, or nil where the font has none.
func (c *cut) glyph(r rune) *Glyph {
	c.mu.RLock()
	g, ok := c.glyphs[r]
	c.mu.RUnlock()
	if ok {
		return g
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	g = c.make(r)
	c.glyphs[r] = g
	return g
}

func (c *cut) make(r rune) *Glyph {
	index, err := c.font.GlyphIndex(&c.buf, r)
	if err != nil || index == 0 {
		return nil
	}
	advance, err := c.font.GlyphAdvance(&c.buf, index, c.ppem, 0)
	if err != nil {
		return nil
	}
	segments, err := c.font.LoadGlyph(&c.buf, index, c.ppem, nil)
	if err != nil {
		return nil
	}
	g := &Glyph{Rune: r, Advance: float64(advance) / c.em, Outline: make([]Step, len(segments))}
	for i, s := range segments {
		g.Outline[i].Kind = Kind(s.Op) // both count move, line, quad, cube
		for k, p := range s.Args {
			g.Outline[i].P[k] = orb.Point{float64(p.X) / c.em, float64(p.Y) / c.em}
		}
	}
	return g
}
