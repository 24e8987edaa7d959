package raster

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"math/rand/v2"
	"os/exec"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"
	"github.com/paulmach/orb/planar"

	"hedgereach/app/drawing"
)

func paper(w, h int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(m, m.Rect, image.White, image.Point{}, draw.Src)
	return m
}

// bare is a picture of steps in black on nothing, whose alpha is the cover.
func bare(w, h int, ops ...drawing.Op) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	Draw(m, drawing.List{Ops: ops}, 1, orb.Point{})
	return m
}

// area is the cover of a picture in pixels.
func area(m *image.RGBA) (sum float64) {
	for i := 3; i < len(m.Pix); i += 4 {
		sum += float64(m.Pix[i]) / 255
	}
	return sum
}

var black = color.NRGBA{A: 255}

// The cover of a pixel is the share of it that the shape covers, as another library clips and measures it.
func TestCoverIsExact(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	for range 20 {
		p := star(rnd.Float64()*60, rnd.Float64()*60, 10+50*rnd.Float64(), 3+rnd.IntN(40), rnd)
		m := bare(60, 60, drawing.Fill{Path: drawing.Polygon(p), Color: black})
		for y := range 60 {
			for x := range 60 {
				pixel := orb.Bound{Min: orb.Point{float64(x), float64(y)}, Max: orb.Point{float64(x + 1), float64(y + 1)}}
				want := math.Abs(planar.Area(clip.Polygon(pixel, p.Clone())))
				if got := float64(m.RGBAAt(x, y).A) / 255; math.Abs(got-want) > 0.003 {
					t.Fatalf("at %d,%d: %.4f, want %.4f", x, y, got, want)
				}
			}
		}
	}
}

// The even-odd rule holds whichever way rings turn; whether a pixel's middle is inside is asked of another library.
func TestEvenOdd(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 8))
	for n := range 100 {
		p := orb.Polygon{star(50, 50, 45, 20, rnd)[0], star(50, 50, 20, 10, rnd)[0]}
		if n%2 == 0 {
			p[1].Reverse()
		}
		m := bare(100, 100, drawing.Fill{Path: drawing.Polygon(p), Color: black})
		for y := range 100 {
			for x := range 100 {
				a := m.RGBAAt(x, y).A
				if in := planar.PolygonContains(p, orb.Point{float64(x) + 0.5, float64(y) + 0.5}); in && a == 0 || !in && a == 255 {
					t.Fatalf("at %d,%d: cover %d, inside %v", x, y, a, in)
				}
			}
		}
	}
}

// A picture painted in bands is that painted at once, to the bit.
func TestBandsAreExact(t *testing.T) {
	l := scene(60, true, true)
	l.Add(drawing.Text{At: orb.Point{700, 505}, Words: "Half and half", Size: 60, Color: black,
		Halo: color.NRGBA{255, 255, 255, 200}, HaloWidth: 4, Rotate: 10})
	l.Add(drawing.Stroke{Path: drawing.Line(orb.Point{-5e4, -3e4}, orb.Point{9e4, 6e4}),
		Pen: drawing.Pen{Color: black, Width: 7, Dash: []float64{30, 11}}})
	l.Add(drawing.Clip{Path: drawing.Polygon(star(800, 500, 300, 30, rand.New(rand.NewPCG(1, 1)))), Ops: []drawing.Op{
		drawing.Picture{Image: paper(7, 7), Min: orb.Point{600.5, 300.25}, Max: orb.Point{1000, 700}},
		drawing.Hatch{Path: drawing.Rect(0, 0, 1600, 1000),
			Pattern: drawing.Pattern{Angle: 33, Gap: 9, Dots: true, Pen: drawing.Pen{Color: black, Width: 4}}},
	}})
	var p Painter
	whole := paper(1600, 1000)
	p.draw(whole, l, 1, orb.Point{}, 1)
	for _, n := range []int{2, 3, 7} {
		m := paper(1600, 1000)
		p.draw(m, l, 1, orb.Point{}, n)
		if !bytes.Equal(m.Pix, whole.Pix) {
			t.Errorf("%d bands differ from one", n)
		}
	}
}

// What lines cover, from plane geometry: length × width, and a disc for the round ends.
func TestStrokeArea(t *testing.T) {
	line := func(width float64, pts ...orb.Point) drawing.Op {
		return drawing.Stroke{Path: drawing.Line(pts...), Pen: drawing.Pen{Color: black, Width: width}}
	}
	disc := math.Pi / 4
	for _, c := range []struct {
		name string
		op   drawing.Op
		want float64
	}{
		{"flat", line(10, orb.Point{50, 50}, orb.Point{150, 50}), 1000 + 100*disc},
		{"slanting", line(10, orb.Point{50, 50}, orb.Point{130, 110}), 1000 + 100*disc},
		{"thin", line(0.5, orb.Point{50, 50.3}, orb.Point{130, 110}), 50},
		{"right angle", line(10, orb.Point{50, 50}, orb.Point{150, 50}, orb.Point{150, 150}), 2000 + 100*disc - 25 + 25*math.Pi/4},
		{"there and back", line(10, orb.Point{50, 50}, orb.Point{150, 50}, orb.Point{50, 50}), 1000 + 100*disc},
		{"point", line(20, orb.Point{50, 50}), 400 * disc},
		{"points that coincide", line(20, orb.Point{50, 50}, orb.Point{50, 50}, orb.Point{50, 50}), 400 * disc},
		{"square ring", drawing.Stroke{Path: drawing.Rect(50, 50, 150, 150), Pen: drawing.Pen{Color: black, Width: 10}},
			4000 - 100 + 100*disc},
		{"dashes", drawing.Stroke{Path: drawing.Line(orb.Point{20, 50}, orb.Point{180, 50}),
			Pen: drawing.Pen{Color: black, Width: 4, Dash: []float64{10, 10}}}, 8 * (40 + 16*disc)},
		{"dashes round a corner", drawing.Stroke{Path: drawing.Line(orb.Point{20, 50}, orb.Point{100, 50}, orb.Point{100, 130}),
			Pen: drawing.Pen{Color: black, Width: 4, Dash: []float64{10, 10}}}, 8 * (40 + 16*disc)},
		{"dots", drawing.Stroke{Path: drawing.Line(orb.Point{20, 50}, orb.Point{175, 50}),
			Pen: drawing.Pen{Color: black, Width: 6, Dash: []float64{0, 10}}}, 16 * 36 * disc},
		{"circle", drawing.Stroke{Path: drawing.Polygon(circle(100, 100, 60, 200)),
			Pen: drawing.Pen{Color: black, Width: 6}}, 2 * math.Pi * 60 * 6},
	} {
		if got := area(bare(200, 200, c.op)); math.Abs(got-c.want) > 0.01*c.want+1 {
			t.Errorf("%s: %.1f pixels, want %.1f", c.name, got, c.want)
		}
	}
}

func circle(x, y, r float64, n int) orb.Polygon {
	var ring orb.Ring
	for i := range n + 1 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i%n) / float64(n))
		ring = append(ring, orb.Point{x + r*cos, y + r*sin})
	}
	return orb.Polygon{ring}
}

// Whole pixels blend as image/draw blends them.
func TestBlend(t *testing.T) {
	rnd := rand.New(rand.NewPCG(9, 9))
	for range 2000 {
		back := color.RGBA{uint8(rnd.IntN(256)), uint8(rnd.IntN(256)), uint8(rnd.IntN(256)), 255}
		ink := color.NRGBA{uint8(rnd.IntN(256)), uint8(rnd.IntN(256)), uint8(rnd.IntN(256)), uint8(rnd.IntN(256))}
		m, want := image.NewRGBA(image.Rect(0, 0, 3, 3)), image.NewRGBA(image.Rect(0, 0, 3, 3))
		draw.Draw(m, m.Rect, image.NewUniform(back), image.Point{}, draw.Src)
		copy(want.Pix, m.Pix)
		Draw(m, drawing.List{Ops: []drawing.Op{drawing.Fill{Path: drawing.Rect(0, 0, 3, 3), Color: ink}}}, 1, orb.Point{})
		draw.Draw(want, want.Rect, image.NewUniform(ink), image.Point{}, draw.Over)
		for i := range want.Pix {
			if d := int(m.Pix[i]) - int(want.Pix[i]); d < -1 || d > 1 {
				t.Fatalf("%v on %v: %v, want %v", ink, back, m.Pix[:4], want.Pix[:4])
			}
		}
	}
}

// Scale and offset move everything, lengths too.
func TestScaleAndOffset(t *testing.T) {
	ops := []drawing.Op{
		drawing.Fill{Path: drawing.Rect(1, 1, 9, 9), Color: color.NRGBA{200, 100, 0, 255}},
		drawing.Stroke{Path: drawing.Rect(1, 1, 9, 9), Pen: drawing.Pen{Color: black, Width: 0.5, Dash: []float64{2, 1}}},
		drawing.Text{At: orb.Point{2, 8}, Words: "x", Size: 6, Color: black},
	}
	big := []drawing.Op{
		drawing.Fill{Path: drawing.Rect(9, 7, 41, 39), Color: color.NRGBA{200, 100, 0, 255}},
		drawing.Stroke{Path: drawing.Rect(9, 7, 41, 39), Pen: drawing.Pen{Color: black, Width: 2, Dash: []float64{8, 4}}},
		drawing.Text{At: orb.Point{13, 35}, Words: "x", Size: 24, Color: black},
	}
	m := image.NewRGBA(image.Rect(0, 0, 50, 50))
	Draw(m, drawing.List{Ops: ops}, 4, orb.Point{5, 3})
	if !bytes.Equal(m.Pix, bare(50, 50, big...).Pix) {
		t.Error("scaled and moved is not the same as drawn large")
	}
}

// Shapes far larger than the picture, far outside, or of no number harm nothing; what of them is seen is right.
func TestExtremes(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	dash := drawing.Pen{Color: black, Width: 4, Dash: []float64{5, 5}}
	full := drawing.Pen{Color: black, Width: 4}
	for _, c := range []struct {
		name string
		op   drawing.Op
		want float64 // pixels of 100 by 100
	}{
		{"huge fill", drawing.Fill{Path: drawing.Rect(-1e12, -1e12, 1e12, 1e12), Color: black}, 10000},
		{"half plane", drawing.Fill{Path: drawing.Path{{Points: []orb.Point{{-1e6, -1e6}, {1e6, 1e6}, {-1e6, 1e6}}}},
			Color: black}, 5000},
		{"fill to the left", drawing.Fill{Path: drawing.Rect(-50, 0, -10, 100), Color: black}, 0},
		{"fill over the left side", drawing.Fill{Path: drawing.Rect(-50, 0, 10, 100), Color: black}, 1000},
		{"fill over the right side", drawing.Fill{Path: drawing.Rect(90, -10, 1e9, 50), Color: black}, 500},
		{"long line", drawing.Stroke{Path: drawing.Line(orb.Point{-1e9, 50}, orb.Point{1e9, 50}), Pen: full}, 400},
		{"long dashes", drawing.Stroke{Path: drawing.Line(orb.Point{-1e9, 50}, orb.Point{1e9, 50}), Pen: dash}, 10 * 5 * 4},
		{"NaN", drawing.Stroke{Path: drawing.Line(orb.Point{nan, 50}, orb.Point{5, 50}), Pen: full}, 0},
		{"endless", drawing.Fill{Path: drawing.Rect(-inf, -inf, inf, inf), Color: black}, 0},
		{"endless dashes", drawing.Stroke{Path: drawing.Line(orb.Point{-inf, 50}, orb.Point{inf, 50}), Pen: dash}, 0},
		{"NaN width", drawing.Stroke{Path: drawing.Rect(10, 10, 20, 20), Pen: drawing.Pen{Color: black, Width: nan}}, 0},
		{"huge hatch", drawing.Hatch{Path: drawing.Rect(-1e8, -1e8, 1e8, 1e8),
			Pattern: drawing.Pattern{Gap: 10, Pen: full}}, 4000},
		{"text at NaN", drawing.Text{At: orb.Point{nan, 1}, Words: "x", Size: 10, Color: black}, 0},
		{"text of NaN", drawing.Text{At: orb.Point{10, 50}, Words: "x", Size: nan, Color: black}, 0},
		{"picture at NaN", drawing.Picture{Image: paper(2, 2), Max: orb.Point{nan, 1}}, 0},
		{"no picture", drawing.Picture{Max: orb.Point{1, 1}}, 0},
		{"clip at NaN", drawing.Clip{Path: drawing.Line(orb.Point{nan, nan}),
			Ops: []drawing.Op{drawing.Fill{Path: drawing.Rect(0, 0, 100, 100), Color: black}}}, 0},
		{"contour of nothing", drawing.Stroke{Path: drawing.Path{{}, {Points: []orb.Point{{20, 50}, {80, 50}}}}, Pen: full},
			240 + 4*math.Pi},
		{"hatch of nothing", drawing.Hatch{Pattern: drawing.Pattern{Gap: 1, Pen: full}}, 0},
	} {
		got := area(bare(100, 100, c.op))
		tolerance := 1.0
		if c.name == "long dashes" {
			tolerance = 100 // of round ends, which make them longer
			got -= 4 * math.Pi * 10
		}
		if math.Abs(got-c.want) > tolerance {
			t.Errorf("%s: %.1f pixels, want %.0f", c.name, got, c.want)
		}
	}
}

// A painter used again paints the same: no scratch is left over.
func TestPainterAgain(t *testing.T) {
	l := scene(50, true, true)
	l.Add(drawing.Clip{Path: drawing.Rect(10.5, 10.5, 500, 300), Ops: scene(20, true, true).Ops})
	var p Painter
	var first []byte
	for range 3 {
		m := paper(1600, 1000)
		p.Draw(m, l, 1, orb.Point{})
		if first == nil {
			first = m.Pix
		} else if !bytes.Equal(first, m.Pix) {
			t.Error("the next picture differs")
		}
	}
}

// However many clips of however many sizes were painted, a painter keeps no more masks than lie within one another.
func TestMasksDoNotPileUp(t *testing.T) {
	var p Painter
	m := paper(800, 600)
	for side := 10.0; side < 500; side += 10 {
		inner := drawing.Clip{Path: drawing.Rect(0, 0, side/2, side/2), Ops: []drawing.Op{drawing.Fill{Path: drawing.Rect(0, 0, 5, 5)}}}
		l := drawing.List{Width: 800, Height: 600}
		l.Add(drawing.Clip{Path: drawing.Rect(0, 0, side, side), Ops: []drawing.Op{inner}})
		p.Draw(m, l, 1, orb.Point{})
	}
	for _, b := range p.bands {
		if len(b.spare) > 2 {
			t.Errorf("%d masks are kept", len(b.spare))
		}
	}
}

func TestWritePNG(t *testing.T) {
	var b bytes.Buffer
	l := drawing.List{Width: 25.4, Height: 50.8}
	if err := WritePNG(&b, l, 300); err != nil {
		t.Fatal(err)
	}
	m, err := png.Decode(bytes.NewReader(b.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	if size := m.Bounds().Size(); size != (image.Point{300, 600}) {
		t.Errorf("%v pixels", size)
	}
	for _, dpi := range []float64{0, -1, math.NaN(), 1e6} {
		if err := WritePNG(&b, l, dpi); err == nil {
			t.Errorf("%g dots per inch pass", dpi)
		}
	}
	if _, err := exec.LookPath("identify"); err != nil {
		t.Skip("identify is not installed")
	}
	b.Reset()
	WritePNG(&b, l, 300)
	cmd := exec.Command("identify", "-units", "PixelsPerInch", "-format", "%x x %y", "png:-")
	cmd.Stdin = &b
	if out, err := cmd.CombinedOutput(); err != nil || !strings.HasPrefix(string(out),
		"300") && !strings.HasPrefix(string(out), "299.99") {
		t.Errorf("another program reads %s, %v", out, err)
	}
}

func star(x, y, r float64, n int, rnd *rand.Rand) orb.Polygon {
	ring := make(orb.Ring, 0, n+1)
	for i := range n {
		s := r * (0.6 + 0.4*rnd.Float64())
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		ring = append(ring, orb.Point{x + s*cos, y + s*sin})
	}
	return orb.Polygon{append(ring, ring[0])}
}

// scene is n polygons of 12 to 40 corners, about 3200 pixels each.
func scene(n int, stroke, hatch bool) drawing.List {
	rnd := rand.New(rand.NewPCG(1, 2))
	l := drawing.List{Width: 1600, Height: 1000}
	for range n {
		p := drawing.Polygon(star(rnd.Float64()*1600, rnd.Float64()*1000, 40, 12+rnd.IntN(29), rnd))
		l.Add(drawing.Fill{Path: p, Color: color.NRGBA{60, 140, 60, 120}})
		if hatch {
			l.Add(drawing.Hatch{Path: p, Pattern: drawing.Pattern{Angle: 45, Gap: 6,
				Pen: drawing.Pen{Color: color.NRGBA{0, 0, 0, 255}, Width: 1}}})
		}
		if stroke {
			l.Add(drawing.Stroke{Path: p, Pen: drawing.Pen{Color: color.NRGBA{20, 60, 20, 255}, Width: 1.5}})
		}
	}
	return l
}

func benchmark(b *testing.B, l drawing.List) {
	m := paper(1600, 1000)
	var p Painter
	b.ReportAllocs()
	for b.Loop() {
		p.Draw(m, l, 1, orb.Point{})
	}
}

func BenchmarkFill500(b *testing.B)            { benchmark(b, scene(500, false, false)) }
func BenchmarkFillStroke500(b *testing.B)      { benchmark(b, scene(500, true, false)) }
func BenchmarkFillStrokeHatch500(b *testing.B) { benchmark(b, scene(500, true, true)) }
func BenchmarkFillStroke1(b *testing.B)        { benchmark(b, scene(1, true, false)) }
func BenchmarkLabels100(b *testing.B) {
	l := drawing.List{}
	for i := range 100 {
		l.Add(drawing.Text{At: orb.Point{float64(i%10) * 150, float64(i) * 10}, Words: "Hedge 12.5 m", Size: 13,
			Color: color.NRGBA{A: 255},
			Halo:  color.NRGBA{255, 255, 255, 220}, HaloWidth: 2})
	}
	benchmark(b, l)
}

func BenchmarkPhoto(b *testing.B) {
	m := image.NewRGBA(image.Rect(0, 0, 4000, 3000))
	benchmark(b, drawing.List{Ops: []drawing.Op{drawing.Picture{Image: m, Max: orb.Point{1333, 1000}}}})
}
