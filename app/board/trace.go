package board

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	_ "image/jpeg" // what a plan keeps
	_ "image/png"
	"io"
	"math"
	"os"

	"github.com/paulmach/orb"
	"golang.org/x/image/draw"
	"golang.org/x/image/math/f64"

	"hedgereach/app/survey"
	"hedgereach/habitat/plan"
)

// A tracing paints the picture that lies under the plan. It keeps the picture unpacked.
type tracing struct {
	of  *plan.Picture
	src image.Image
	dst *image.RGBA
}

// paint is the picture as it lies in a base's view, as large as the base; nil where there is none to be seen.
func (t *tracing) paint(j baseJob) *image.RGBA {
	p := j.assessment.Plan.Picture
	if p == nil || p.Fade >= 1 {
		*t = tracing{}
		return nil
	}
	if t.src == nil || t.of == nil || !bytes.Equal(t.of.Image, p.Image) {
		src, _, err := image.Decode(bytes.NewReader(p.Image))
		if err != nil {
			return nil
		}
		t.src = src
	}
	t.of = p
	if t.dst == nil || t.dst.Rect.Dx() != j.w || t.dst.Rect.Dy() != j.h {
		t.dst = image.NewRGBA(image.Rect(0, 0, j.w, j.h))
	} else {
		clear(t.dst.Pix)
	}
	b := t.src.Bounds()
	at := func(x, y float64) orb.Point { return j.view.To(onGround(p, b, x, y)) }
	o, x, y := at(0, 0), at(1, 0), at(0, 1)
	toPixels := f64.Aff3{x[0] - o[0], y[0] - o[0], o[0], x[1] - o[1], y[1] - o[1], o[1]}
	draw.ApproxBiLinear.Transform(t.dst, toPixels, t.src, b, draw.Src, nil)
	if k := uint32((1-p.Fade)*256 + 0.5); k < 256 {
		for i, v := range t.dst.Pix {
			t.dst.Pix[i] = byte(uint32(v) * k >> 8)
		}
	}
	return t.dst
}

// onGround is where a place of the picture, in its pixels, lies in metres.
func onGround(p *plan.Picture, b image.Rectangle, x, y float64) orb.Point {
	s, c := math.Sincos(-p.TurnDeg * math.Pi / 180)
	dx, dy := (x-float64(b.Dx())/2)*p.MetresPerPixel, -(y-float64(b.Dy())/2)*p.MetresPerPixel
	return orb.Point{p.At[0] + c*dx - s*dy, p.At[1] + s*dx + c*dy}
}

// startFade is how pale a picture is at first, so that what is drawn over it reads.
const startFade = 0.4

// addPicture puts a picture in the middle of what is seen, under the plan, in place of one that is there.
func (b *Board) addPicture(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("%s cannot be read: check its name and folder", path)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, plan.MaxFileBytes+1))
	if err != nil {
		return fmt.Errorf("%s cannot be read: %w", path, err)
	}
	if len(data) > plan.MaxFileBytes {
		return fmt.Errorf("%s has more than %d MB: make it smaller first", path, plan.MaxFileBytes>>20)
	}
	small, w, h, err := survey.LoadPicture(data)
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	room := 0.8 * min(float64(b.size.Width)/float64(w), float64(b.size.Height)/float64(h)) / b.view.Scale
	if !(room > 0) {
		room = 0.05
	}
	p := b.session.Committed().Clone()
	p.Picture = &plan.Picture{Image: small, At: roundMM(b.view.Centre), MetresPerPixel: room, Fade: startFade}
	err = b.Apply(Change{Step: "add a picture to trace", Plan: p,
		Words: fmt.Sprintf("The picture is kept at %d by %d points. Click two points of it whose distance is known", w, h)})
	if err == nil {
		said := b.said
		b.SetTool("Picture")
		b.said = said
	}
	return err
}

// askPicture asks how the picture lies.
func (b *Board) askPicture() (*Form, error) {
	pic := b.session.Committed().Picture
	if pic == nil {
		return nil, errors.New("there is no picture to trace yet: add one first")
	}
	w, _, err := pic.Size()
	if err != nil {
		return nil, err
	}
	wide := pic.MetresPerPixel * float64(w)
	keep := []string{"keep it", "take it off"}
	fields := []Field{
		{Label: "Fade, %", Value: fmt.Sprintf("%.0f", pic.Fade*100)}, {Label: "Wide", Value: b.exact(wide)},
		{Label: "Turned clockwise", Value: fmt.Sprintf("%.6g", pic.TurnDeg)},
		{Label: "Middle, east; north", Value: b.place(pic.At)}, {Label: "The picture", Value: keep[0], Choices: keep},
	}
	return b.form("The picture that is traced", fields, func(a *answers) (Change, error) {
		c := *pic
		c.Fade = a.number(0, 100) / 100
		if m := a.metres(); a.given[1] != fields[1].Value {
			c.MetresPerPixel = m / float64(w)
		}
		if t := a.number(-360, 360); a.given[2] != fields[2].Value {
			c.TurnDeg = t
		}
		if text := a.next(); text != fields[3].Value && a.err == nil {
			at, err := b.readPlace(text)
			a.fail(err)
			c.At = at
		}
		off := a.choice() == 1
		if a.err != nil {
			return Change{}, a.err
		}
		p := b.session.Committed().Clone()
		if p.Picture = &c; off {
			p.Picture = nil
			return Change{Step: "take the picture off", Plan: p}, nil
		}
		if !(c.MetresPerPixel > 0) {
			return Change{}, errors.New("give the picture a width above nothing")
		}
		return Change{Step: "change the picture", Plan: p}, nil
	}), nil
}
