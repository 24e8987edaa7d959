package style

import (
	"image/color"
	"math"
	"testing"

	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

var palettes = []*Palette{Light, Dark, Paper, Grey}

// The formula against the published figures of WCAG 2.2: black on white is 21:1; #767676 on white is the well-known least grey
// that passes 4.5 (WebAIM, Contrast and Color Accessibility: #777777 gives 4.48).
func TestContrastFormula(t *testing.T) {
	white := rgb(0xFFFFFF)
	for _, c := range []struct {
		c    color.NRGBA
		want float64
	}{{Black, 21}, {white, 1}, {rgb(0x777777), 4.48}, {rgb(0x767676), 4.54}, {rgb(0xFF0000), 4.0}} {
		if got := Contrast(c.c, white); math.Abs(got-c.want) > 0.006 {
			t.Errorf("contrast of %v on white = %.3f, want %.2f", c.c, got, c.want)
		}
	}
}

// WCAG 2.2, 1.4.3: text has at least 4.5 to 1.
func TestTextContrast(t *testing.T) {
	for _, p := range palettes {
		for _, pair := range p.Pairs() {
			if got := Contrast(pair.Text, pair.Back); got < 4.5 {
				t.Errorf("%s: %s has %.2f:1, needs 4.5:1", p.Name, pair.Name, got)
			}
		}
	}
}

// WCAG 2.2, 1.4.11: the outlines by which things are known have at least 3 to 1 to the ground beside them; paths are the
// one kind drawn quietly on purpose (their tone and place say enough).
func TestOutlineContrast(t *testing.T) {
	for _, p := range palettes {
		for _, k := range plan.Kinds {
			if k == plan.Path {
				continue
			}
			if got := Contrast(p.Kind(k).Line, p.Ground); got < 3 {
				t.Errorf("%s: the outline of %s has %.2f:1 to the ground, needs 3:1", p.Name, k, got)
			}
		}
	}
}

// The matrices for full protanopia and deuteranopia: Machado, Oliveira & Fernandes (2009), A physiologically-based model for
// simulation of color vision deficiency, IEEE TVCG 15(6), 1291–1298, doi 10.1109/TVCG.2009.113, severity 1.0; on linear RGB.
var eyes = map[string][3][3]float64{
	"common eyes": {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	"protanopia":  {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	"deuteranopia": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413},
		{-0.011820, 0.042940, 0.968881}},
}

// The statuses stay apart: a colour difference (CIE 1976, L*a*b*) of at least 15, over six times what an eye can just tell
// (2.3: Mahy, Van Eycken & Oosterlinck 1994, from memory). In grey, colours are equal on purpose and the hatch tells.
func TestStatusesToldApart(t *testing.T) {
	for _, p := range palettes {
		for a := habitat.Unknown; a <= habitat.Beyond; a++ {
			for b := a + 1; b <= habitat.Beyond; b++ {
				ma, mb := p.Status(a), p.Status(b)
				if ma.Angle == mb.Angle && ma.Cross == mb.Cross && ma.Dots == mb.Dots {
					t.Errorf("%s: %s and %s have the same hatch", p.Name, a, b)
				}
				if a.Letter() == b.Letter() {
					t.Errorf("%s and %s have the same letter", a, b)
				}
				for eye, m := range eyes {
					if p.Grey {
						continue
					}
					if d := difference(seen(ma.Color, m), seen(mb.Color, m)); d < 15 {
						t.Errorf("%s: %s and %s differ by %.1f to %s", p.Name, a, b, d, eye)
					}
				}
			}
		}
	}
}

func seen(c color.NRGBA, m [3][3]float64) (out [3]float64) {
	in := [3]float64{toLinear(c.R), toLinear(c.G), toLinear(c.B)}
	for i := range out {
		for j := range in {
			out[i] += m[i][j] * in[j]
		}
		out[i] = min(max(out[i], 0), 1)
	}
	return out
}

// difference is CIE 1976 ΔE*ab of two linear sRGB colours, white D65 (IEC 61966-2-1 for the matrix).
func difference(a, b [3]float64) float64 {
	la, lb := lab(a), lab(b)
	return math.Sqrt((la[0]-lb[0])*(la[0]-lb[0]) + (la[1]-lb[1])*(la[1]-lb[1]) + (la[2]-lb[2])*(la[2]-lb[2]))
}

func lab(c [3]float64) [3]float64 {
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	x := f((0.4124*c[0] + 0.3576*c[1] + 0.1805*c[2]) / 0.9505)
	y := f(0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2])
	z := f((0.0193*c[0] + 0.1192*c[1] + 0.9505*c[2]) / 1.089)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// Every status colour is one of the eight, in colour; grey is grey.
func TestColoursAreOfTheEight(t *testing.T) {
	eight := map[color.NRGBA]bool{Black: true, Orange: true, SkyBlue: true, BluishGreen: true, Yellow: true, Blue: true,
		Vermillion: true, ReddishPurple: true}
	for _, p := range palettes {
		for s := habitat.Unknown; s <= habitat.Beyond; s++ {
			c := p.Status(s).Color
			switch {
			case p.Grey:
				if c.R != c.G || c.G != c.B {
					t.Errorf("grey: %s is %v", s, c)
				}
			case p.Dark && s == habitat.Unknown: // black would be lost on a dark ground
			case !eight[c]:
				t.Errorf("%s: %s is %v, not one of the eight", p.Name, s, c)
			}
		}
	}
}

func TestEveryKindHasATone(t *testing.T) {
	for _, p := range palettes {
		for _, k := range plan.Kinds {
			if _, ok := p.kinds[k]; !ok {
				t.Errorf("%s: no tone for %s", p.Name, k)
			}
		}
		if p.Kind("a kind of next year") != p.Kind(plan.Path) {
			t.Errorf("%s: an unknown kind has no quiet tone", p.Name)
		}
	}
}

func TestLookScales(t *testing.T) {
	l := Sheet(Paper)
	if got := l.Pen(l.Ink, Strong).Width; got != 0.5 {
		t.Errorf("the strong pen on paper is %g mm, want 0.5", got)
	}
	if got := l.Dashed(l.Ink, Fine, 4, 2).Dash; len(got) != 2 || got[0] != 1 || got[1] != 0.5 {
		t.Errorf("dash on paper is %v mm", got)
	}
}

// Tritanopia of the same table (Machado et al. 2009, severity 1.0), for classes that rank by lightness.
var tritanopia = [3][3]float64{{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}}

// The classes of ground in flower stay apart and in order for every eye and on a grey printer: each is darker than the last by at
// least 8 of L* (0–100), over three times what an eye can just tell, and no two have the same ruling.
func TestBloomClassesToldApart(t *testing.T) {
	sight := map[string][3][3]float64{"tritanopia": tritanopia}
	for name, m := range eyes {
		sight[name] = m
	}
	for _, p := range palettes {
		for eye, m := range sight {
			last := lab(seen(p.Ground, m))[0]
			for class := 1; class < BloomClasses; class++ {
				l := lab(seen(p.Bloom(class).Solid, m))[0]
				if step := last - l; step < 8 && !p.Dark || p.Dark && step > -8 {
					t.Errorf("%s, %s: class %d is L* %.1f after %.1f", p.Name, eye, class, l, last)
				}
				last = l
			}
		}
		for a := 1; a < BloomClasses; a++ {
			for b := 1; b < a; b++ {
				x, y := p.Bloom(a), p.Bloom(b)
				if x.Angle == y.Angle && x.Cross == y.Cross && x.Dots == y.Dots {
					t.Errorf("%s: classes %d and %d have the same ruling", p.Name, a, b)
				}
			}
			if got := Contrast(p.Bloom(a).Color, p.Bloom(a).Solid); got < 1.8 {
				t.Errorf("%s: the ruling of class %d has %.2f:1 to its ground", p.Name, a, got)
			}
		}
	}
	for share, want := range map[float64]int{-1: 0, 0: 0, 1e-6: 1, 0.25: 1, 0.26: 2, 0.5: 2, 0.75: 3, 0.76: 4, 1: 4, 3: 4, math.NaN(): 0} {
		if got := BloomClass(share); got != want {
			t.Errorf("%g in flower is class %d, want %d", share, got, want)
		}
	}
}

// The zones of reach: colours stay apart for every eye, or there is no wash and the ruling alone tells.
func TestZonesToldApart(t *testing.T) {
	for _, p := range palettes {
		for a := Near; a <= Off; a++ {
			for b := Near; b < a; b++ {
				x, y := p.Zone(a), p.Zone(b)
				if (x.Gap > 0) == (y.Gap > 0) && x.Dots == y.Dots {
					t.Errorf("%s: zones %d and %d have the same ruling", p.Name, a, b)
				}
				for eye, m := range eyes {
					if d := difference(seen(over(x.Tint, p.Ground), m), seen(over(y.Tint, p.Ground), m)); d < 4 && !p.Grey {
						t.Errorf("%s: the washes of zones %d and %d differ by %.1f to %s", p.Name, a, b, d, eye)
					}
				}
			}
		}
	}
}
