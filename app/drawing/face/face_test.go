package face

import (
	"math"
	"strings"
	"testing"

	"codeberg.org/go-pdf/fpdf"
)

const sample = "Hedge 12.5 m² – Vogelkirsche, écorce, łąka, Ωμ (x) & “bed”"

// Widths agree with those that another reader of the same font file finds.
func TestWidth(t *testing.T) {
	pdf := fpdf.New("P", "pt", "A4", "")
	for _, bold := range []bool{false, true} {
		for _, italic := range []bool{false, true} {
			style := map[bool]string{true: "B"}[bold] + map[bool]string{true: "I"}[italic]
			pdf.AddUTF8FontFromBytes("x", style, Data(bold, italic))
			pdf.SetFont("x", style, 12)
			if got, want := Width(sample, 12, bold, italic), pdf.GetStringWidth(sample); math.Abs(got-want) > 0.1 {
				t.Errorf("bold %v, italic %v: %.3f, want %.3f", bold, italic, got, want)
			}
		}
	}
	if err := pdf.Error(); err != nil {
		t.Fatal(err)
	}
	if Width("", 12, false, false) != 0 {
		t.Error("no words have a width")
	}
}

func TestMeasures(t *testing.T) {
	if a, d := Ascent(10, false, false), Descent(10, false, false); !(a > 7 && a < 12) || !(d > 1 && d < 5) {
		t.Errorf("ascent %g, descent %g of 10", a, d)
	}
	// Letters lie between the two, and x goes right, y down.
	for _, g := range Glyphs("Ägjp", true, true) {
		for _, s := range g.Outline {
			if y := s.P[0][1]; y < -Ascent(1, true, true) || y > Descent(1, true, true) {
				t.Errorf("%c reaches to %g em", g.Rune, y)
			}
		}
	}
}

func TestClean(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"Bed 1", "Bed 1"},
		{"a\tb\nc\u00a0d", "a b c d"},
		{"a\x00\x1b\u200bb\u202e", "ab"},
		{"樹", "\uFFFD"},
		{"🌳x", "\uFFFDx"},
		{"\xff", "\uFFFD"},
	} {
		if got := Clean(c.in); got != c.want {
			t.Errorf("%q becomes %q, want %q", c.in, got, c.want)
		}
	}
	if Lacks(sample) || !Lacks("樹") {
		t.Error("what the typeface lacks is not told")
	}
}

// Every letter of the regular style is in the others too, so that Clean can ask it alone.
func TestStylesHaveTheSameLetters(t *testing.T) {
	n := 0
	for r := rune(' '); r <= 0xFFFF; r++ {
		s := string(r)
		if c := Clean(s); c != s || strings.ContainsRune(s, unknown) {
			continue
		}
		n++
		for _, c := range []*cut{pick(true, false), pick(false, true), pick(true, true)} {
			if c.glyph(r) == nil {
				t.Errorf("%q is missing from a style", r)
			}
		}
	}
	if n < 1000 {
		t.Errorf("only %d letters", n)
	}
}

func BenchmarkWidth(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		Width("Hedge 12.5 m", 12, false, false)
	}
}
