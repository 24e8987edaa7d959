package drawing

import (
	"image"
	"image/color"
	"math"
)

// Grey is the list as a black-and-white printer shows it: each colour becomes the grey of the same luminance, and so do
// pictures.
func Grey(l List) List {
	l.Ops = grey(l.Ops)
	return l
}

func grey(ops []Op) []Op {
	out := make([]Op, len(ops))
	for i, op := range ops {
		switch op := op.(type) {
		case Fill:
			op.Color = GreyOf(op.Color)
			out[i] = op
		case Stroke:
			op.Pen.Color = GreyOf(op.Pen.Color)
			out[i] = op
		case Hatch:
			op.Pattern.Pen.Color = GreyOf(op.Pattern.Pen.Color)
			out[i] = op
		case Text:
			op.Color, op.Halo = GreyOf(op.Color), GreyOf(op.Halo)
			out[i] = op
		case Picture:
			if op.Image != nil {
				op.Image = greyImage(op.Image)
			}
			out[i] = op
		case Clip:
			op.Ops = grey(op.Ops)
			out[i] = op
		case Layer:
			op.Ops = grey(op.Ops)
			out[i] = op
		default:
			out[i] = op
		}
	}
	return out
}

func greyImage(m image.Image) image.Image {
	b := m.Bounds()
	out := image.NewNRGBA(b)
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			out.SetNRGBA(x, y, GreyOf(color.NRGBAModel.Convert(m.At(x, y)).(color.NRGBA)))
		}
	}
	return out
}

// GreyOf is the grey of the same relative luminance, with the same alpha.
func GreyOf(c color.NRGBA) color.NRGBA {
	y := Luminance(c)
	if y <= 0.0031308 {
		y *= 12.92
	} else {
		y = 1.055*math.Pow(y, 1/2.4) - 0.055
	}
	v := uint8(math.Round(y * 255))
	return color.NRGBA{v, v, v, c.A}
}

// Luminance is the relative luminance of an opaque colour, 0 for black to 1 for white, as WCAG 2.2 defines it for sRGB
// (with the threshold of IEC 61966-2-1, 0.04045, to which WCAG's own 0.03928 makes no difference in 8 bits).
func Luminance(c color.NRGBA) float64 {
	linear := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}
