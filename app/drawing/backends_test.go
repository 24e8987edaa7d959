package drawing_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/pdf"
	"hedgereach/app/drawing/raster"
	"hedgereach/app/drawing/svg"
)

var (
	black = color.NRGBA{A: 255}
	white = color.NRGBA{255, 255, 255, 255}
	red   = color.NRGBA{255, 0, 0, 255}
	green = color.NRGBA{0, 128, 0, 255}
	blue  = color.NRGBA{0, 0, 255, 255}
	pink  = color.NRGBA{255, 127, 127, 255} // red at half strength on white
)

// An output turns a list in millimetres into pixels, each by its own way; PDF and SVG by outside programs.
type output struct {
	name    string
	program string // that must be there
	render  func(t *testing.T, l drawing.List, dpi int) image.Image
}

var outputs = []output{
	{"raster", "", func(t *testing.T, l drawing.List, dpi int) image.Image {
		var b bytes.Buffer
		if err := raster.WritePNG(&b, l, float64(dpi)); err != nil {
			t.Fatal(err)
		}
		return decode(t, &b)
	}},
	{"pdf", "pdftoppm", func(t *testing.T, l drawing.List, dpi int) image.Image {
		var b bytes.Buffer
		if err := pdf.Write(&b, []drawing.List{l}, pdf.Meta{Created: time.Unix(1e9, 0)}); err != nil {
			t.Fatal(err)
		}
		return run(t, b.Bytes(), "pdftoppm", "-png", "-r", fmt.Sprint(dpi), "-singlefile", "-")
	}},
	{"svg", "rsvg-convert", func(t *testing.T, l drawing.List, dpi int) image.Image {
		var b bytes.Buffer
		if err := svg.Write(&b, l, "Test"); err != nil {
			t.Fatal(err)
		}
		return run(t, b.Bytes(), "rsvg-convert", "-d", fmt.Sprint(dpi), "-p", fmt.Sprint(dpi), "-b", "white")
	}},
}

func run(t *testing.T, in []byte, name string, args ...string) image.Image {
	cmd := exec.Command(name, args...)
	var out, complaints bytes.Buffer
	cmd.Stdin, cmd.Stdout, cmd.Stderr = bytes.NewReader(in), &out, &complaints
	if err := cmd.Run(); err != nil || complaints.Len() > 0 {
		t.Fatalf("%s: %v %s", name, err, complaints.String())
	}
	return decode(t, &out)
}

func decode(t *testing.T, r io.Reader) image.Image {
	m, err := png.Decode(r)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// each runs a test for every output whose program is installed.
func each(t *testing.T, test func(t *testing.T, o output)) {
	for _, o := range outputs {
		t.Run(o.name, func(t *testing.T) {
			if o.program != "" {
				if _, err := exec.LookPath(o.program); err != nil {
					t.Skip(o.program + " is not installed")
				}
			}
			test(t, o)
		})
	}
}

// probe is the colour expected at a place in millimetres.
type probe struct {
	x, y float64
	want color.NRGBA
}

func square(x, y, s float64) drawing.Path { return drawing.Rect(x, y, x+s, y+s) }

func pen(c color.NRGBA, width float64, dash ...float64) drawing.Pen {
	return drawing.Pen{Color: c, Width: width, Dash: dash}
}

// Every step on every output, looked at where its colour is known from its meaning.
func TestEveryStepOnEveryOutput(t *testing.T) {
	ring := append(square(2, 2, 16), square(7, 7, 6)...)
	fillAll := drawing.Fill{Path: square(0, 0, 20), Color: red}
	plain := image.NewNRGBA(image.Rect(0, 0, 2, 2))
	for i := range 4 {
		plain.SetNRGBA(i%2, i/2, color.NRGBA{255, 0, 0, 255})
	}
	sheer := image.NewNRGBA(image.Rect(0, 0, 1, 1))
	sheer.SetNRGBA(0, 0, color.NRGBA{255, 0, 0, 128})
	half := color.NRGBA{255, 0, 0, 128}
	for _, c := range []struct {
		name   string
		ops    []drawing.Op
		probes []probe
	}{
		{"fill with a hole", []drawing.Op{drawing.Fill{Path: ring, Color: red}},
			[]probe{{1, 10, white}, {4, 10, red}, {10, 10, white}, {16, 10, red}, {19, 10, white}, {10, 4, red}, {10, 16, red}}},
		{"fill, crossing itself", []drawing.Op{drawing.Fill{Path: drawing.Path{{Points: []orb.Point{{2, 2}, {18, 18},
			{18, 2}, {2, 18}}}}, Color: red}},
			[]probe{{4, 10, red}, {16, 10, red}, {10, 4, white}, {10, 16, white}}},
		{"fill, see-through", []drawing.Op{drawing.Fill{Path: ring, Color: half}}, []probe{{4, 10, pink}}},
		{"fill of nothing", []drawing.Op{drawing.Fill{Color: red}, drawing.Fill{Path: ring}},
			[]probe{{10, 10, white}, {4, 4, white}}},
		{"stroke", []drawing.Op{drawing.Stroke{Path: drawing.Line(orb.Point{5, 10}, orb.Point{15, 10}), Pen: pen(red, 4)}},
			[]probe{{5, 8.5, red}, {15, 11.5, red}, {10, 7.5, white}, {10, 12.5, white}, {3.5, 10, red}, {16.5, 10, red},
				{3.2, 8.2, white}, {17.5, 10, white}}},
		{"stroke, open and closed", []drawing.Op{
			drawing.Stroke{Path: drawing.Path{{Points: []orb.Point{{2, 2}, {10, 2}, {10, 10}}}}, Pen: pen(red, 1)},
			drawing.Stroke{Path: drawing.Path{{Points: []orb.Point{{2, 10}, {10, 18}, {2, 18}}, Closed: true}}, Pen: pen(blue, 1)},
		}, []probe{{6, 2, red}, {10, 6, red}, {6, 6, white}, {2, 14, blue}, {6, 14, blue}, {6, 18, blue}, {4.5, 15.5, white}}},
		{"stroke that overlaps itself, see-through", []drawing.Op{
			drawing.Stroke{Path: drawing.Path{{Points: []orb.Point{{3, 10}, {17, 10}}},
				{Points: []orb.Point{{10, 3}, {10, 17}}}}, Pen: pen(half, 4)},
		}, []probe{{5, 10, pink}, {10, 10, pink}, {10, 5, pink}}},
		{"stroke, dashed", []drawing.Op{drawing.Stroke{Path: drawing.Line(orb.Point{2, 10}, orb.Point{20, 10}),
			Pen: pen(red, 1, 4, 4)}},
			[]probe{{3, 10, red}, {5, 10, red}, {8, 10, white}, {9, 10, white}, {11, 10, red}, {13, 10, red}, {16, 10, white}}},
		{"stroke, odd dashes", []drawing.Op{drawing.Stroke{Path: drawing.Line(orb.Point{2, 10}, orb.Point{20, 10}),
			Pen: pen(red, 1, 4)}},
			[]probe{{3, 10, red}, {8, 10, white}, {11, 10, red}, {16, 10, white}}},
		{"stroke of a point", []drawing.Op{drawing.Stroke{Path: drawing.Line(orb.Point{10, 10}), Pen: pen(red, 6)}},
			[]probe{{10, 10, red}, {12.5, 10, red}, {10, 7.5, red}, {12.6, 12.6, white}, {13.5, 10, white}}},
		{"stroke without width", []drawing.Op{drawing.Stroke{Path: ring, Pen: pen(red, 0)}},
			[]probe{{2, 10, white}, {10, 2, white}}},
		{"hatch", []drawing.Op{drawing.Hatch{Path: ring, Pattern: drawing.Pattern{Gap: 4, Pen: pen(red, 1)}}},
			[]probe{{5, 4, red}, {5, 8, red}, {5, 6, white}, {10, 8, white}, {10, 12, white}, {15, 12, red}, {1, 8, white},
				{19, 8, white}, {10, 16, red}}},
		{"hatch at an angle", []drawing.Op{drawing.Hatch{Path: square(0, 0, 20),
			Pattern: drawing.Pattern{Angle: 45, Gap: 5 * math.Sqrt2, Pen: pen(red, 1)}}},
			[]probe{{5, 5, red}, {3, 7, red}, {7, 3, red}, {2, 5, white}, {10, 10, red}, {8, 8, white}, {7, 13, red},
				{13, 13, white}}},
		{"hatch crossed", []drawing.Op{drawing.Hatch{Path: square(0, 0, 20),
			Pattern: drawing.Pattern{Gap: 5, Cross: true, Pen: pen(red, 1)}}},
			[]probe{{5, 7, red}, {7, 5, red}, {7, 7, white}, {10, 10, red}, {12, 10, red}, {10, 12, red}}},
		{"hatch dotted", []drawing.Op{drawing.Hatch{Path: square(0, 0, 20),
			Pattern: drawing.Pattern{Gap: 8, Dots: true, Pen: pen(red, 2), Origin: orb.Point{2, 2}}}},
			[]probe{{2, 2, red}, {10, 2, red}, {6, 2, white}, {6, 2 + 4*math.Sqrt(3), red}, {2, 2 + 4*math.Sqrt(3), white},
				{2, 2 + 8*math.Sqrt(3), red}}},
		{"hatch dashed", []drawing.Op{drawing.Hatch{Path: square(0, 0, 20),
			Pattern: drawing.Pattern{Gap: 10, Pen: pen(red, 1, 4, 4)}}},
			[]probe{{2, 10, red}, {6, 10, white}, {10, 10, red}, {14, 10, white}, {18, 10, red}}},
		{"picture", []drawing.Op{drawing.Picture{Image: plain, Min: orb.Point{4, 6}, Max: orb.Point{16, 12}}},
			[]probe{{5, 7, red}, {15, 11, red}, {3, 9, white}, {10, 5, white}, {10, 13, white}, {17, 9, white}}},
		{"picture, see-through", []drawing.Op{drawing.Picture{Image: sheer, Min: orb.Point{4, 6}, Max: orb.Point{16, 12}}},
			[]probe{{10, 9, pink}}},
		{"picture that hangs over the edge", []drawing.Op{drawing.Picture{Image: plain, Min: orb.Point{-10, -10},
			Max: orb.Point{5, 5}}},
			[]probe{{2, 2, red}, {4, 4, red}, {6, 2, white}, {2, 6, white}}},
		{"clip", []drawing.Op{drawing.Clip{Path: ring, Ops: []drawing.Op{fillAll}},
			drawing.Fill{Path: square(9, 9, 2), Color: blue}},
			[]probe{{1, 10, white}, {4, 10, red}, {8, 8, white}, {10, 10, blue}, {19, 19, white}}},
		{"clip in a clip", []drawing.Op{drawing.Clip{Path: ring, Ops: []drawing.Op{
			drawing.Clip{Path: square(0, 0, 10), Ops: []drawing.Op{fillAll}}, drawing.Fill{Path: square(14, 14, 6), Color: blue},
		}}, drawing.Fill{Path: square(9, 18, 2), Color: green}},
			[]probe{{4, 4, red}, {8, 8, white}, {12, 4, white}, {1, 1, white}, {16, 16, blue}, {19, 19, white}, {10, 19, green}}},
		{"clip of a picture", []drawing.Op{drawing.Clip{Path: ring,
			Ops: []drawing.Op{drawing.Picture{Image: plain, Max: orb.Point{20, 20}}}}},
			[]probe{{1, 10, white}, {4, 10, red}, {10, 10, white}}},
		{"clip by nothing", []drawing.Op{drawing.Clip{Ops: []drawing.Op{fillAll}}}, []probe{{10, 10, white}, {0.5, 19.5, white}}},
		{"layer", []drawing.Op{
			drawing.Layer{Name: "Outer <&> é", Ops: []drawing.Op{
				drawing.Layer{Name: "Inner", Ops: []drawing.Op{drawing.Fill{Path: square(2, 2, 4), Color: red}}},
				drawing.Fill{Path: square(8, 2, 4), Color: green},
			}},
			drawing.Layer{Name: "Inner", Ops: []drawing.Op{drawing.Fill{Path: square(14, 2, 4), Color: blue}}},
		}, []probe{{4, 4, red}, {10, 4, green}, {16, 4, blue}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			each(t, func(t *testing.T, o output) {
				const dpi = 254 // 10 pixels to the millimetre
				m := o.render(t, drawing.List{Width: 20, Height: 20, Ops: c.ops}, dpi)
				for _, p := range c.probes {
					if got := at(m, int(p.x*10), int(p.y*10)); !alike(got, p.want, 3) {
						t.Errorf("at %g,%g: %v, want %v", p.x, p.y, got, p.want)
					}
				}
			})
		})
	}
}

func at(m image.Image, x, y int) color.NRGBA {
	x, y = min(x, m.Bounds().Max.X-1), min(y, m.Bounds().Max.Y-1)
	return color.NRGBAModel.Convert(m.At(x, y)).(color.NRGBA)
}

func alike(a, b color.NRGBA, most int) bool {
	for _, d := range []int{int(a.R) - int(b.R), int(a.G) - int(b.G), int(a.B) - int(b.B)} {
		if d < -most || d > most {
			return false
		}
	}
	return true
}

// ink is the box of all pixels darker than half, and their number.
func ink(m image.Image) (box image.Rectangle, n int) {
	b := m.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			if drawing.Luminance(at(m, x, y)) < 0.2 {
				box = box.Union(image.Rect(x, y, x+1, y+1))
				n++
			}
		}
	}
	return box, n
}

// 100 mm on paper is 100.0 mm.
func TestTrueScale(t *testing.T) {
	each(t, func(t *testing.T, o output) {
		l := drawing.List{Width: 297, Height: 20, Ops: []drawing.Op{
			drawing.Fill{Path: drawing.Rect(50, 5, 150, 8), Color: black},
		}}
		m := o.render(t, l, 600)
		box, _ := ink(m)
		perMM := 600 / 25.4
		for name, c := range map[string][2]float64{
			"width of a 100 mm bar": {float64(box.Dx()) / perMM, 100}, "its height": {float64(box.Dy()) / perMM, 3},
			"its left end": {float64(box.Min.X) / perMM, 50}, "its top": {float64(box.Min.Y) / perMM, 5},
			"the page's width": {float64(m.Bounds().Dx()) / perMM, 297}, "its height ": {float64(m.Bounds().Dy()) / perMM, 20},
		} {
			if math.Abs(c[0]-c[1]) > 0.1 {
				t.Errorf("%s is %.3f mm, want %.1f", name, c[0], c[1])
			}
		}
	})
}

// Words stand where they are put: aligned, turned, of the right size, and alike on all outputs.
func TestText(t *testing.T) {
	at := orb.Point{30, 30}
	type box struct{ x0, y0, x1, y1 float64 }
	// A capital H has straight sides: in this typeface it is 0.714 em high, 0.741 em wide, and its stems begin 0.097 em in and end
	// 0.643 em in (the hmtx and glyf tables of NotoSans-Regular.ttf, read by hand).
	const height, width, left, right = 7.14, 7.41, 0.97, 6.43
	for _, c := range []struct {
		name string
		text drawing.Text
		want box // relative to the anchor
	}{
		{"start", drawing.Text{}, box{left, -height, right, 0}},
		{"middle", drawing.Text{Align: drawing.Middle}, box{left - width/2, -height, right - width/2, 0}},
		{"end", drawing.Text{Align: drawing.End}, box{left - width, -height, right - width, 0}},
		{"turned", drawing.Text{Rotate: 90}, box{-height, -right, 0, -left}},
		{"turned over", drawing.Text{Rotate: 180, Align: drawing.End}, box{width - right, 0, width - left, height}},
	} {
		t.Run(c.name, func(t *testing.T) {
			each(t, func(t *testing.T, o output) {
				c.text.At, c.text.Words, c.text.Size, c.text.Color = at, "H", 10, black
				m := o.render(t, drawing.List{Width: 60, Height: 60, Ops: []drawing.Op{c.text}}, 254)
				got, _ := ink(m)
				for i, d := range []float64{
					float64(got.Min.X)/10 - at[0] - c.want.x0, float64(got.Min.Y)/10 - at[1] - c.want.y0,
					float64(got.Max.X)/10 - at[0] - c.want.x1, float64(got.Max.Y)/10 - at[1] - c.want.y1,
				} {
					if math.Abs(d) > 0.15 {
						t.Errorf("side %d is off by %.2f mm: %v", i, d, got)
					}
				}
			})
		})
	}
}

// A halo surrounds the letters by its width and leaves them whole; bold is heavier; colours are those asked for.
func TestTextLook(t *testing.T) {
	each(t, func(t *testing.T, o output) {
		page := func(ops ...drawing.Op) image.Image {
			return o.render(t, drawing.List{Width: 40, Height: 20, Ops: ops}, 254)
		}
		words := drawing.Text{At: orb.Point{5, 15}, Words: "HI", Size: 12, Color: black}
		_, regular := ink(page(words))
		words.Bold = true
		_, bold := ink(page(words))
		if !(float64(bold) > 1.2*float64(regular)) {
			t.Errorf("bold has %d dark pixels, regular %d", bold, regular)
		}
		words.Bold = false
		words.Color, words.Halo, words.HaloWidth = red, white, 1
		m := page(drawing.Fill{Path: drawing.Rect(0, 0, 40, 20), Color: blue}, words)
		// The left stem of the H begins 0.097 em from the anchor and is 0.09 em wide.
		for _, p := range []probe{{5 + 1.16 - 1.3, 10, blue}, {5 + 1.16 - 0.5, 10, white}, {5 + 1.16 + 0.5, 10, red}} {
			if got := at(m, int(p.x*10), int(p.y*10)); !alike(got, p.want, 3) {
				t.Errorf("at %g,%g: %v, want %v", p.x, p.y, got, p.want)
			}
		}
	})
}

// The outputs agree on a drawing of everything, but for the blend at edges.
func TestOutputsAgree(t *testing.T) {
	l := everything()
	var first image.Image
	each(t, func(t *testing.T, o output) {
		m := o.render(t, l, 127)
		if dir := os.Getenv("DRAWING_PICTURES"); dir != "" {
			var b bytes.Buffer
			png.Encode(&b, m)
			os.WriteFile(filepath.Join(dir, o.name+".png"), b.Bytes(), 0o644)
		}
		if first == nil {
			first = m
			return
		}
		b := first.Bounds().Intersect(m.Bounds())
		far := 0
		for y := b.Min.Y + 1; y < b.Max.Y-1; y++ {
			for x := b.Min.X + 1; x < b.Max.X-1; x++ {
				if !nearby(first, m, x, y) {
					far++
				}
			}
		}
		if most := b.Dx() * b.Dy() / 500; far > most {
			t.Errorf("%d pixels differ, at most %d may", far, most)
		}
	})
}

// nearby says whether the colour of one picture lies, channel by channel, within those about the same place in the other.
func nearby(a, b image.Image, x, y int) bool {
	c := at(b, x, y)
	lo, hi := [3]int{255, 255, 255}, [3]int{}
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			n := at(a, x+dx, y+dy)
			for i, v := range [3]uint8{n.R, n.G, n.B} {
				lo[i], hi[i] = min(lo[i], int(v)), max(hi[i], int(v))
			}
		}
	}
	for i, v := range [3]uint8{c.R, c.G, c.B} {
		if int(v) < lo[i]-40 || int(v) > hi[i]+40 {
			return false
		}
	}
	return true
}

// everything is a drawing with every step.
func everything() drawing.List {
	l := drawing.List{Width: 210, Height: 148}
	ring := append(square(10, 10, 40), square(22, 22, 16)...)
	l.Add(drawing.Layer{Name: "Beds", Ops: []drawing.Op{
		drawing.Fill{Path: ring, Color: color.NRGBA{230, 200, 120, 255}},
		drawing.Hatch{Path: ring, Pattern: drawing.Pattern{Angle: 30, Gap: 2, Pen: pen(black, 0.18)}},
		drawing.Stroke{Path: ring, Pen: pen(black, 0.7)},
	}})
	star := drawing.Path{{Points: []orb.Point{{80, 10}, {95, 50}, {58, 24}, {102, 24}, {65, 50}}, Closed: true}}
	l.Add(drawing.Fill{Path: star, Color: color.NRGBA{0, 100, 200, 160}}, drawing.Stroke{Path: star, Pen: pen(black, 1, 3, 2)})
	dots := drawing.Path{{Points: []orb.Point{{110, 50}, {150, 48}, {130, 8}}, Closed: true}}
	l.Add(drawing.Hatch{Path: dots, Pattern: drawing.Pattern{Gap: 2.5, Dots: true, Pen: pen(black, 0.6)}},
		drawing.Stroke{Path: dots, Pen: pen(black, 0.25)})
	cross := drawing.Path{{Points: []orb.Point{{155, 50}, {200, 48}, {170, 8}}, Closed: true}}
	l.Add(drawing.Hatch{Path: cross, Pattern: drawing.Pattern{Angle: 45, Gap: 3, Cross: true,
		Pen: pen(black, 0.35, 1.5, 0.75)}},
		drawing.Stroke{Path: cross, Pen: pen(black, 0.13)})
	for i := range 6 {
		l.Add(drawing.Text{At: orb.Point{35, 90}, Words: "Turned (30°)", Size: 4, Rotate: float64(i) * 60, Color: black,
			Bold: i%2 == 0, Italic: i%3 == 0})
	}
	l.Add(drawing.Stroke{Path: drawing.Line(orb.Point{80, 70}, orb.Point{170, 80}, orb.Point{80, 90}),
		Pen: pen(color.NRGBA{200, 0, 0, 128}, 6)},
		drawing.Text{At: orb.Point{120, 81}, Words: `Écorce 100 m² <œuf> & \ (x)`, Size: 5, Color: black, Halo: white,
			HaloWidth: 0.8, Align: drawing.Middle})
	blend := image.NewNRGBA(image.Rect(0, 0, 4, 4))
	for i := range 16 {
		blend.SetNRGBA(i%4, i/4, color.NRGBA{uint8(i * 16), 100, uint8(255 - i*16), uint8(100 + i*10)})
	}
	l.Add(drawing.Clip{Path: append(square(80, 100, 40), square(90, 110, 20)...), Ops: []drawing.Op{
		drawing.Picture{Image: blend, Min: orb.Point{75, 95}, Max: orb.Point{125, 145}},
		drawing.Clip{Path: drawing.Rect(85, 105, 130, 115), Ops: []drawing.Op{
			drawing.Fill{Path: drawing.Rect(0, 0, 210, 148), Color: color.NRGBA{255, 255, 0, 200}},
		}},
	}})
	for i := range 12 {
		y := 105 + 3*float64(i)
		l.Add(drawing.Stroke{Path: drawing.Line(orb.Point{130, y}, orb.Point{200, y - 1}), Pen: pen(black, 0.1*float64(i))})
	}
	return l
}
