package survey

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	_ "image/png" // pictures come as PNG or JPEG
	"math"

	"github.com/paulmach/orb"
	"golang.org/x/image/draw"

	"hedgereach/habitat/plan"
)

// Pictures are made smaller when they are added: so many points along the longer side are as many as a screen shows, and keep
// the plan file to about a megabyte.
const (
	PictureSide     = 2000
	mostPictureSide = 30_000
	mostPixels      = 60_000_000 // of what is read: at most 16 bytes each while it is read, so that a gigabyte is enough
	jpegQuality     = 85
)

// LoadPicture reads a PNG or JPEG and answers it scaled down to PictureSide, as JPEG, with its size in pixels. The error says
// what to do.
func LoadPicture(data []byte) (small []byte, w, h int, err error) {
	c, _, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, 0, 0, errors.New("this is no PNG or JPEG picture: save it as one of these first")
	}
	if c.Width < 1 || c.Height < 1 || c.Width > mostPictureSide || c.Height > mostPictureSide || c.Width*c.Height > mostPixels {
		return nil, 0, 0, fmt.Errorf("the picture is %d by %d points, too large to read: make it smaller first", c.Width, c.Height)
	}
	src, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, 0, 0, fmt.Errorf("the picture is damaged: %w", err)
	}
	b := src.Bounds()
	k := min(1, PictureSide/float64(max(b.Dx(), b.Dy())))
	w, h = max(1, int(float64(b.Dx())*k+0.5)), max(1, int(float64(b.Dy())*k+0.5))
	dst := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(dst, dst.Rect, image.NewUniform(color.White), image.Point{}, draw.Src) // what shows through is paper
	draw.BiLinear.Scale(dst, dst.Rect, src, b, draw.Over, nil)
	for quality := jpegQuality; quality > 10; quality -= 20 {
		var out bytes.Buffer
		if err := jpeg.Encode(&out, dst, &jpeg.Options{Quality: quality}); err != nil {
			return nil, 0, 0, err
		}
		if out.Len() <= plan.MaxPictureBytes {
			return out.Bytes(), w, h, nil
		}
	}
	return nil, 0, 0, errors.New("the picture does not come small enough: crop it first")
}

// ScaledPicture is the picture stretched about a so that from a to b it is so many metres.
func ScaledPicture(p *plan.Picture, a, b orb.Point, metres float64) (*plan.Picture, error) {
	d := apart(a, b)
	if d == 0 || !(metres > 0) {
		return nil, errors.New("give the distance between two different points")
	}
	k := metres / d
	c := *p
	c.MetresPerPixel *= k
	c.At = orb.Point{a[0] + k*(p.At[0]-a[0]), a[1] + k*(p.At[1]-a[1])}
	return &c, nil
}

// MatchedPicture is the picture moved, turned and stretched so that what shows at a and b comes to lie at toA and toB.
func MatchedPicture(p *plan.Picture, a, b, toA, toB orb.Point) (*plan.Picture, error) {
	d, e := apart(a, b), apart(toA, toB)
	if d == 0 || e == 0 {
		return nil, errors.New("give two different points, and two different places for them")
	}
	turn := math.Atan2(toB[1]-toA[1], toB[0]-toA[0]) - math.Atan2(b[1]-a[1], b[0]-a[0])
	s, c := math.Sincos(turn)
	k := e / d
	x, y := p.At[0]-a[0], p.At[1]-a[1]
	out := *p
	out.MetresPerPixel *= k
	out.TurnDeg = math.Remainder(p.TurnDeg-turn*180/math.Pi, 360)
	out.At = orb.Point{toA[0] + k*(c*x-s*y), toA[1] + k*(s*x+c*y)}
	return &out, nil
}
