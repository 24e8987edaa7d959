package raster

import (
	"image"
	"image/color"
	"image/draw"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
)

func paper(w, h int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(m, m.Rect, image.White, image.Point{}, draw.Src)
	return m
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
			l.Add(drawing.Hatch{Path: p, Pattern: drawing.Pattern{Angle: 45, Gap: 6, Pen: drawing.Pen{Color: color.NRGBA{0, 0, 0, 255}, Width: 1}}})
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
		l.Add(drawing.Text{At: orb.Point{float64(i%10) * 150, float64(i) * 10}, Words: "Hedge 12.5 m", Size: 13, Color: color.NRGBA{A: 255},
			Halo: color.NRGBA{255, 255, 255, 220}, HaloWidth: 2})
	}
	benchmark(b, l)
}

// An even-odd path keeps its hole whichever way its rings turn.
func TestHole(t *testing.T) {
	out := []orb.Point{{10, 10}, {50, 10}, {50, 50}, {10, 50}}
	in := []orb.Point{{20, 20}, {40, 20}, {40, 40}, {20, 40}}
	back := []orb.Point{in[3], in[2], in[1], in[0]}
	for _, hole := range [][]orb.Point{in, back} {
		m := paper(60, 60)
		Draw(m, drawing.List{Ops: []drawing.Op{drawing.Fill{
			Path:  drawing.Path{{Points: out, Closed: true}, {Points: hole, Closed: true}},
			Color: color.NRGBA{A: 255},
		}}}, 1, orb.Point{})
		for _, c := range []struct {
			x, y int
			want uint8
		}{{5, 30, 255}, {15, 30, 0}, {30, 30, 255}, {45, 30, 0}, {55, 30, 255}, {10, 10, 0}, {49, 49, 0}, {50, 50, 255}} {
			if got := m.RGBAAt(c.x, c.y).R; got != c.want {
				t.Errorf("at %d,%d: %d, want %d", c.x, c.y, got, c.want)
			}
		}
	}
}
