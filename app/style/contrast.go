package style

import (
	"image/color"
	"math"
)

// Luminance is the relative luminance of an opaque sRGB colour, 0–1, by the definition of WCAG 2.2.
func Luminance(c color.NRGBA) float64 {
	return 0.2126*toLinear(c.R) + 0.7152*toLinear(c.G) + 0.0722*toLinear(c.B)
}

// Contrast is the contrast ratio of two opaque colours, 1–21, by the definition of WCAG 2.2. Text needs 4.5, large text and
// signs that carry meaning 3 (success criteria 1.4.3 and 1.4.11).
func Contrast(a, b color.NRGBA) float64 {
	la, lb := Luminance(a), Luminance(b)
	return (math.Max(la, lb) + 0.05) / (math.Min(la, lb) + 0.05)
}

func toLinear(v uint8) float64 {
	s := float64(v) / 255
	if s <= 0.04045 {
		return s / 12.92
	}
	return math.Pow((s+0.055)/1.055, 2.4)
}

func fromLinear(v float64) float64 {
	if v <= 0.0031308 {
		return 12.92 * v
	}
	return 1.055*math.Pow(v, 1/2.4) - 0.055
}
