package survey

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/habitat/plan"
)

func TestLoadPictureMakesItSmall(t *testing.T) {
	src := image.NewNRGBA(image.Rect(0, 0, 3000, 1500))
	for x := range 3000 {
		for y := range 750 {
			src.SetNRGBA(x, y, color.NRGBA{255, 0, 0, 255}) // the upper half is red, the lower clear
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, src); err != nil {
		t.Fatal(err)
	}
	small, w, h, err := LoadPicture(b.Bytes())
	if err != nil || w != 2000 || h != 1000 || len(small) > plan.MaxPictureBytes {
		t.Fatalf("%d by %d, %d bytes, %v", w, h, len(small), err)
	}
	got, err := jpeg.Decode(bytes.NewReader(small))
	if err != nil {
		t.Fatal(err)
	}
	if r, g, _, _ := got.At(1000, 200).RGBA(); r < 0xf000 || g > 0x2000 {
		t.Errorf("the red half is %x %x", r, g)
	}
	if r, g, _, _ := got.At(1000, 800).RGBA(); r < 0xf000 || g < 0xf000 {
		t.Errorf("the clear half is %x %x, not white", r, g)
	}
	for _, bad := range [][]byte{nil, []byte("GIF89a"), b.Bytes()[:200]} {
		if _, _, _, err := LoadPicture(bad); err == nil {
			t.Error("no picture is taken")
		}
	}
}

func TestScaleAndMatchAPicture(t *testing.T) {
	p := &plan.Picture{At: orb.Point{10, 10}, MetresPerPixel: 0.1}
	// Two points seen 5 m apart are 20 m apart in truth: four times as large about the first.
	q, err := ScaledPicture(p, orb.Point{0, 0}, orb.Point{3, 4}, 20)
	if err != nil || q.MetresPerPixel != 0.4 || q.At != (orb.Point{40, 40}) || p.MetresPerPixel != 0.1 {
		t.Errorf("%+v, %v", q, err)
	}
	// What shows at 0,0 and 10,0 belongs at 5,5 and 5,25: twice as large, a quarter turn anticlockwise. The middle at 10,10 comes
	// to 5 − 20, 5 + 20.
	q, err = MatchedPicture(p, orb.Point{0, 0}, orb.Point{10, 0}, orb.Point{5, 5}, orb.Point{5, 25})
	if err != nil || math.Abs(q.MetresPerPixel-0.2) > 1e-12 || math.Abs(q.TurnDeg+90) > 1e-9 || !near(q.At, orb.Point{-15, 25}, 1e-9) {
		t.Errorf("%+v, %v", q, err)
	}
	if _, err := MatchedPicture(p, orb.Point{}, orb.Point{}, orb.Point{}, orb.Point{1, 1}); err == nil {
		t.Error("one point matched")
	}
	if _, err := ScaledPicture(p, orb.Point{}, orb.Point{1, 1}, 0); err == nil {
		t.Error("scaled to nothing")
	}
}
