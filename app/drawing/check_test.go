package drawing

import (
	"image"
	"image/color"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

func TestCheck(t *testing.T) {
	nan := math.NaN()
	dot := image.NewGray(image.Rect(0, 0, 1, 1))
	for _, c := range []struct {
		name, want string // a part of the message; none if all is well
		op         Op
	}{
		{"fill", "", Fill{Path: Rect(0, 0, 1, 1)}},
		{"empty fill", "", Fill{}},
		{"fill NaN", "NaN cannot be drawn", Fill{Path: Line(orb.Point{nan, 0})}},
		{"fill endless", "Inf cannot be drawn", Fill{Path: Line(orb.Point{0, math.Inf(-1)})}},
		{"fill far off", "within ±1e+07", Fill{Path: Line(orb.Point{1e9, 0})}},
		{"stroke", "", Stroke{Pen: Pen{Width: 1, Dash: []float64{1, 0}}}},
		{"width below 0", "width of -1 is below 0", Stroke{Pen: Pen{Width: -1}}},
		{"dash below 0", "dashes of [1 -1]", Stroke{Pen: Pen{Width: 1, Dash: []float64{1, -1}}}},
		{"dash of nothing", "dashes of [0 0]", Stroke{Pen: Pen{Width: 1, Dash: []float64{0, 0}}}},
		{"hatch", "", Hatch{Path: Rect(0, 0, 1, 1), Pattern: Pattern{Gap: 1}}},
		{"no gap", "0 apart are too close", Hatch{}},
		{"tiny gap", "too close", Hatch{Pattern: Pattern{Gap: 1e-6}}},
		{"gap NaN", "NaN cannot", Hatch{Pattern: Pattern{Gap: nan}}},
		{"text", "", Text{Words: "x", Size: 3}},
		{"text size", "below 0", Text{Words: "x", Size: -3}},
		{"text angle", "NaN cannot", Text{Rotate: nan}},
		{"picture", "", Picture{Image: dot, Max: orb.Point{1, 1}}},
		{"no image", "no image", Picture{Max: orb.Point{1, 1}}},
		{"upside down", "has no size", Picture{Image: dot, Min: orb.Point{1, 1}}},
		{"in a clip", "below 0", Clip{Ops: []Op{Stroke{Pen: Pen{Width: -1}}}}},
		{"clip itself", "NaN cannot", Clip{Path: Line(orb.Point{nan, 0})}},
		{"in a layer", "step 2 (drawing.Stroke)", Layer{Ops: []Op{Fill{}, Stroke{Pen: Pen{Width: -1}}}}},
		{"nothing", "not known", nil},
	} {
		err := Check(List{Width: 10, Height: 10, Ops: []Op{c.op}})
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: %v", c.name, err)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "step 1 (")):
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		case err != nil && strings.Contains(err.Error(), "\n"):
			t.Errorf("%s: more than one line: %v", c.name, err)
		}
	}
	for _, l := range []List{{}, {Width: 1}, {Width: -1, Height: 1}, {Width: nan, Height: 1}, {Width: 1, Height: math.Inf(1)}} {
		if Check(l) == nil {
			t.Errorf("a list of %g by %g passes", l.Width, l.Height)
		}
	}
}

// The weights are those of WCAG 2.2, "relative luminance"; that #767676 on white has a contrast of 4.54 is a well-known
// value (quoted from memory).
func TestLuminance(t *testing.T) {
	for _, c := range []struct {
		color color.NRGBA
		want  float64
	}{
		{color.NRGBA{255, 0, 0, 255}, 0.2126}, {color.NRGBA{0, 255, 0, 255}, 0.7152}, {color.NRGBA{0, 0, 255, 255}, 0.0722},
		{color.NRGBA{0, 0, 0, 255}, 0}, {color.NRGBA{255, 255, 255, 255}, 1}, {color.NRGBA{0x76, 0x76, 0x76, 255},
			1.05/4.54 - 0.05},
	} {
		if got := Luminance(c.color); math.Abs(got-c.want) > 5e-4 {
			t.Errorf("%v: %.4f, want %.4f", c.color, got, c.want)
		}
	}
}

func TestGrey(t *testing.T) {
	red := color.NRGBA{200, 30, 30, 90}
	m := image.NewNRGBA(image.Rect(0, 0, 1, 1))
	m.SetNRGBA(0, 0, red)
	pen := Pen{Color: red, Width: 1}
	before := List{Width: 1, Height: 1, Ops: []Op{
		Fill{Color: red}, Stroke{Pen: pen}, Hatch{Pattern: Pattern{Pen: pen}}, Text{Color: red, Halo: red},
		Layer{Ops: []Op{Clip{Ops: []Op{Fill{Color: red}}}}}, Picture{Image: m},
	}}
	text := Dump(before)
	after := Grey(before)
	if Dump(before) != text {
		t.Error("the list given was changed")
	}
	if strings.Contains(Dump(after), hex(red)) {
		t.Errorf("a colour is left:\n%s", Dump(after))
	}
	if p := after.Ops[5].(Picture).Image.At(0, 0).(color.NRGBA); p != GreyOf(red) {
		t.Errorf("picture is %v", p)
	}
	for i := range 256 {
		c := color.NRGBA{uint8(i), uint8(i), uint8(i), 7}
		if GreyOf(c) != c {
			t.Errorf("grey %v becomes %v", c, GreyOf(c))
		}
		c = color.NRGBA{uint8(i), uint8(255 - i), uint8(i * 7), 255}
		if d := math.Abs(Luminance(GreyOf(c)) - Luminance(c)); d > 0.005 {
			t.Errorf("%v: luminance is off by %g", c, d)
		}
	}
}

func TestDump(t *testing.T) {
	red := color.NRGBA{255, 0, 0, 255}
	got := Dump(List{Width: 210, Height: 297, Ops: []Op{
		Layer{Name: "Beds", Ops: []Op{
			Fill{Path: Rect(0, 0, 10, 5), Color: color.NRGBA{1, 2, 3, 4}},
			Stroke{Path: Line(orb.Point{-0.001, 1}, orb.Point{2.5, 3.125}), Pen: Pen{Color: red, Width: 0.25, Dash: []float64{2, 1}}},
		}},
		Clip{Path: Rect(0, 0, 1, 1), Ops: []Op{Hatch{Pattern: Pattern{Angle: 45, Gap: 2, Dots: true,
			Pen: Pen{Color: red, Width: 1}}}}},
		Text{At: orb.Point{1, 2}, Words: "A \"bed\"", Size: 3, Color: red, Bold: true, Align: End, Rotate: 90},
		Picture{Image: image.NewGray(image.Rect(0, 0, 4, 3)), Max: orb.Point{8, 6}},
	}})
	want := `list 210 x 297
  layer "Beds"
    fill #01020304 [0,0 10,0 10,5 0,5 closed]
    stroke #ff0000 0.25 dash 2-1 [0,1 2.5,3.12]
  clip [0,0 1,0 1,1 0,1 closed]
    hatch dots 45° gap 2 from 0,0 #ff0000 1
  text "A \"bed\"" #ff0000 at 1,2 size 3 bold end turned 90°
  picture 4x3 0,0 to 8,6
`
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}
