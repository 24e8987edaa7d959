// Package svg writes a drawing as an SVG file, in millimetres and to scale. Letters are written as outlines, so that they
// look the same wherever the file is opened; each line of words carries its text as a label for readers that speak.
package svg

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"fmt"
	"image/color"
	"image/png"
	"io"
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/face"
)

// Write writes a list in millimetres under a title. The same input gives the same bytes.
func Write(w io.Writer, l drawing.List, title string) error {
	if err := drawing.Check(l); err != nil {
		return fmt.Errorf("svg: %w", err)
	}
	f := &file{page: orb.Bound{Max: orb.Point{l.Width, l.Height}}, glyphs: map[letter]int{}}
	if err := f.play(l.Ops); err != nil {
		return fmt.Errorf("svg: %w", err)
	}

	var head builder
	head.add(`<?xml version="1.0" encoding="UTF-8"?>`, "\n",
		`<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"`,
		` xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" version="1.1"`,
		` width="`, number(l.Width), `mm" height="`, number(l.Height), `mm" viewBox="0 0 `, number(l.Width), " ", number(l.Height),
		`">`, "\n")
	if title != "" {
		head.add("<title>", escape(title), "</title>\n")
	}
	if f.defs.Len() > 0 {
		head.add("<defs>\n", f.defs.String(), "</defs>\n")
	}
	f.body.add("</svg>\n")
	for _, part := range []*builder{&head, &f.body} {
		if _, err := w.Write(part.Bytes()); err != nil {
			return fmt.Errorf("svg: %w", err)
		}
	}
	return nil
}

// A file is an SVG in the making: what is defined once, and what is drawn.
type file struct {
	page   orb.Bound
	defs   builder
	body   builder
	glyphs map[letter]int
	clips  int
	layers int
}

type letter struct {
	rune         rune
	bold, italic bool
}

type builder struct{ bytes.Buffer }

func (b *builder) add(parts ...string) {
	for _, p := range parts {
		b.WriteString(p)
	}
}

// number is a number of millimetres to the thousandth, without needless noughts.
func number(v float64) string { return decimals(v, 1e3) }

func decimals(v, per float64) string {
	v = math.Round(v*per) / per
	if v == 0 {
		return "0" // and never -0
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// escape makes text safe for XML. Characters that XML does not allow become the replacement character.
func escape(s string) string {
	var b bytes.Buffer
	xml.EscapeText(&b, []byte(s)) // a bytes.Buffer does not fail
	return b.String()
}

// paint is a colour as the attribute of the given name, fill or stroke.
func paint(name string, c color.NRGBA) string {
	s := fmt.Sprintf(` %s="#%02x%02x%02x"`, name, c.R, c.G, c.B)
	if c.A < 255 {
		s += fmt.Sprintf(` %s-opacity="%s"`, name, number(float64(c.A)/255))
	}
	return s
}

func (f *file) play(ops []drawing.Op) error {
	for _, op := range ops {
		switch op := op.(type) {
		case drawing.Fill:
			if op.Color.A > 0 && len(op.Path) > 0 {
				f.body.add(`<path`, paint("fill", op.Color), ` fill-rule="evenodd" d="`, outline(op.Path, true), "\"/>\n")
			}
		case drawing.Stroke:
			if op.Pen.Color.A > 0 && op.Pen.Width > 0 && len(op.Path) > 0 {
				f.body.add(`<path fill="none"`, pen(op.Pen, "round"), ` d="`, outline(op.Path, false), "\"/>\n")
			}
		case drawing.Hatch:
			f.hatch(op)
		case drawing.Text:
			f.text(op)
		case drawing.Picture:
			if err := f.picture(op); err != nil {
				return err
			}
		case drawing.Clip:
			id := "c" + strconv.Itoa(f.clips)
			f.clips++
			f.defs.add(`<clipPath id="`, id, `"><path clip-rule="evenodd" d="`, outline(op.Path, true), "\"/></clipPath>\n")
			f.body.add(`<g clip-path="url(#`, id, ")\">\n")
			if err := f.play(op.Ops); err != nil {
				return err
			}
			f.body.add("</g>\n")
		case drawing.Layer:
			id := "layer" + strconv.Itoa(f.layers)
			f.layers++
			f.body.add(`<g id="`, id, `" inkscape:groupmode="layer" inkscape:label="`, escape(op.Name), "\">\n")
			if err := f.play(op.Ops); err != nil {
				return err
			}
			f.body.add("</g>\n")
		default:
			return fmt.Errorf("a step %T cannot be drawn", op)
		}
	}
	return nil
}

// outline is a path as SVG path data.
func outline(path drawing.Path, fill bool) string {
	var b builder
	for _, c := range path {
		for i, p := range c.Points {
			if i == 0 {
				b.add("M")
			} else {
				b.add("L")
			}
			b.add(number(p[0]), " ", number(p[1]))
		}
		if n := len(c.Points); n == 1 {
			b.add("h0") // a path of one point is drawn only as a line
		} else if n > 1 && (c.Closed || fill) {
			b.add("Z")
		}
	}
	return b.String()
}

func pen(p drawing.Pen, ends string) string {
	s := paint("stroke", p.Color) + ` stroke-width="` + number(p.Width) + `" stroke-linecap="` + ends +
		`" stroke-linejoin="round"`
	for i, d := range p.Dash {
		if i == 0 {
			s += ` stroke-dasharray="`
		} else {
			s += " "
		}
		s += number(d)
	}
	if len(p.Dash) > 0 {
		s += `"`
	}
	return s
}

func (f *file) hatch(op drawing.Hatch) {
	p := op.Pattern
	lines := drawing.Rule(op.Path, p, f.page.Pad(p.Pen.Width))
	if p.Pen.Color.A == 0 || p.Pen.Width == 0 || len(lines) == 0 {
		return
	}
	ends := "butt"
	if p.Dots {
		ends = "round"
	}
	f.body.add(`<path fill="none"`, pen(drawing.Pen{Color: p.Pen.Color, Width: p.Pen.Width}, ends), ` d="`)
	for _, s := range lines {
		f.body.add("M", number(s[0][0]), " ", number(s[0][1]))
		if p.Dots {
			f.body.add("h0")
		} else {
			f.body.add("L", number(s[1][0]), " ", number(s[1][1]))
		}
	}
	f.body.add("\"/>\n")
}

// em is the height of the letters' own grid, in which outlines are whole numbers.
const em = 1000

func (f *file) text(op drawing.Text) {
	glyphs := face.Glyphs(op.Words, op.Bold, op.Italic)
	if len(glyphs) == 0 || op.Size == 0 {
		return
	}
	width, shift := face.Width(op.Words, em, op.Bold, op.Italic), 0.0
	switch op.Align {
	case drawing.Middle:
		shift = -width / 2
	case drawing.End:
		shift = -width
	}
	var letters builder
	for _, g := range glyphs {
		if len(g.Outline) > 0 {
			letters.add(`<use xlink:href="#g`, strconv.Itoa(f.glyph(g, op.Bold, op.Italic)), `" x="`, number(shift), `"/>`)
		}
		shift += g.Advance * em
	}
	scale := op.Size / em
	f.body.add(`<g role="img" aria-label="`, escape(face.Clean(op.Words)), `" transform="translate(`, number(op.At[0]), " ",
		number(op.At[1]), ")")
	if op.Rotate != 0 {
		f.body.add(" rotate(", number(-op.Rotate), ")")
	}
	f.body.add(" scale(", decimals(scale, 1e9), ")\">\n")
	if op.Halo.A > 0 && op.HaloWidth > 0 {
		f.body.add(`<g fill="none"`, paint("stroke", op.Halo), ` stroke-width="`, number(2*op.HaloWidth/scale),
			`" stroke-linejoin="round">`, letters.String(), "</g>\n")
	}
	if op.Color.A > 0 {
		f.body.add("<g", paint("fill", op.Color), ">", letters.String(), "</g>\n")
	}
	f.body.add("</g>\n")
}

// glyph is the number of a letter's outline, which is defined at its first use.
func (f *file) glyph(g *face.Glyph, bold, italic bool) int {
	key := letter{g.Rune, bold, italic}
	id, ok := f.glyphs[key]
	if ok {
		return id
	}
	id = len(f.glyphs)
	f.glyphs[key] = id
	f.defs.add(`<path id="g`, strconv.Itoa(id), `" d="`)
	commands := [...]struct {
		name   string
		points int
	}{face.Move: {"M", 1}, face.Line: {"L", 1}, face.Quad: {"Q", 2}, face.Cube: {"C", 3}}
	for i, s := range g.Outline {
		c := commands[s.Kind]
		if s.Kind == face.Move && i > 0 {
			f.defs.add("Z")
		}
		f.defs.add(c.name)
		for k, p := range s.P[:c.points] {
			if k > 0 {
				f.defs.add(" ")
			}
			f.defs.add(number(p[0]*em), " ", number(p[1]*em))
		}
	}
	f.defs.add("Z\"/>\n")
	return id
}

func (f *file) picture(op drawing.Picture) error {
	var data bytes.Buffer
	if err := png.Encode(&data, op.Image); err != nil {
		return fmt.Errorf("a picture cannot be packed: %w", err)
	}
	f.body.add(`<image x="`, number(op.Min[0]), `" y="`, number(op.Min[1]),
		`" width="`, number(op.Max[0]-op.Min[0]), `" height="`, number(op.Max[1]-op.Min[1]),
		`" preserveAspectRatio="none" xlink:href="data:image/png;base64,`,
		base64.StdEncoding.EncodeToString(data.Bytes()), "\"/>\n")
	return nil
}
