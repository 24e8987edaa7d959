package drawing

import (
	"fmt"
	"image/color"
	"strings"

	"github.com/paulmach/orb"
)

// Dump is a list as text, a line to each step, for tests of what is drawn rather than how it looks.
func Dump(l List) string {
	var b strings.Builder
	fmt.Fprintf(&b, "list %s x %s\n", short(l.Width), short(l.Height))
	dump(&b, l.Ops, "  ")
	return b.String()
}

func dump(b *strings.Builder, ops []Op, indent string) {
	for _, op := range ops {
		b.WriteString(indent)
		switch op := op.(type) {
		case Fill:
			fmt.Fprintf(b, "fill %s%s\n", hex(op.Color), dumpPath(op.Path))
		case Stroke:
			fmt.Fprintf(b, "stroke %s%s\n", dumpPen(op.Pen), dumpPath(op.Path))
		case Hatch:
			p := op.Pattern
			kind := "lines"
			if p.Cross {
				kind = "cross"
			}
			if p.Dots {
				kind = "dots"
			}
			fmt.Fprintf(b, "hatch %s %s° gap %s from %s %s%s\n", kind, short(p.Angle), short(p.Gap), dumpPoint(p.Origin),
				dumpPen(p.Pen), dumpPath(op.Path))
		case Text:
			fmt.Fprintf(b, "text %q %s at %s size %s", op.Words, hex(op.Color), dumpPoint(op.At), short(op.Size))
			for _, mark := range []struct {
				on   bool
				word string
			}{
				{op.Bold, "bold"}, {op.Italic, "italic"}, {op.Align == Middle, "middle"}, {op.Align == End, "end"},
				{op.Rotate != 0, "turned " + short(op.Rotate) + "°"},
				{op.Halo.A > 0 && op.HaloWidth > 0, "halo " + hex(op.Halo) + " " + short(op.HaloWidth)},
			} {
				if mark.on {
					b.WriteString(" " + mark.word)
				}
			}
			b.WriteString("\n")
		case Picture:
			size := "none"
			if op.Image != nil {
				size = fmt.Sprintf("%dx%d", op.Image.Bounds().Dx(), op.Image.Bounds().Dy())
			}
			fmt.Fprintf(b, "picture %s %s to %s\n", size, dumpPoint(op.Min), dumpPoint(op.Max))
		case Clip:
			fmt.Fprintf(b, "clip%s\n", dumpPath(op.Path))
			dump(b, op.Ops, indent+"  ")
		case Layer:
			fmt.Fprintf(b, "layer %q\n", op.Name)
			dump(b, op.Ops, indent+"  ")
		}
	}
}

// short is a number to the hundredth, without needless noughts.
func short(v float64) string {
	s := strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

func hex(c color.NRGBA) string {
	if c.A == 255 {
		return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
	}
	return fmt.Sprintf("#%02x%02x%02x%02x", c.R, c.G, c.B, c.A)
}

func dumpPoint(p orb.Point) string { return short(p[0]) + "," + short(p[1]) }

func dumpPen(p Pen) string {
	s := hex(p.Color) + " " + short(p.Width)
	for i, d := range p.Dash {
		s += map[bool]string{true: " dash ", false: "-"}[i == 0] + short(d)
	}
	return s
}

func dumpPath(path Path) string {
	var b strings.Builder
	for _, c := range path {
		b.WriteString(" [")
		for i, p := range c.Points {
			if i > 0 {
				b.WriteString(" ")
			}
			b.WriteString(dumpPoint(p))
		}
		if c.Closed {
			b.WriteString(" closed")
		}
		b.WriteString("]")
	}
	return b.String()
}
