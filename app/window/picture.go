package window

import (
	"image"
	"image/draw"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/raster"
	"hedgereach/app/ground"
	"hedgereach/app/skin"
	"hedgereach/app/style"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// picture is a small picture of a plan's ground, without names; nil where there is nothing to see or too much to draw in a moment.
func picture(p *plan.Plan) fyne.CanvasObject {
	const (
		width, height = 240, 170 // of the toolkit's units
		margin        = 8
		sharp         = 2 // pixels to a unit, for screens of twice the usual resolution
		most          = 5000
	)
	var bound orb.Bound
	for i, f := range p.Features {
		if i == 0 {
			bound = f.Geometry.Bound()
		}
		bound = bound.Union(f.Geometry.Bound())
	}
	w, h := bound.Max[0]-bound.Min[0], bound.Max[1]-bound.Min[1]
	if len(p.Features) == 0 || len(p.Features) > most || !(w > 0 || h > 0) {
		return nil
	}
	list := drawing.List{Width: width * sharp, Height: height * sharp}
	view := ground.View{Centre: bound.Center(), Middle: orb.Point{list.Width / 2, list.Height / 2},
		Scale: min((width-2*margin)*sharp/max(w, 1e-9), (height-2*margin)*sharp/max(h, 1e-9))}
	look := style.Screen(skin.Palette(), sharp*0.6)
	ground.Draw(&list, &habitat.Assessment{Plan: p}, view, look, ground.Show{Units: p.Units})
	img := image.NewRGBA(image.Rect(0, 0, width*sharp, height*sharp))
	draw.Draw(img, img.Rect, image.NewUniform(look.Ground), image.Point{}, draw.Src)
	raster.Draw(img, list, 1, orb.Point{})
	c := canvas.NewImageFromImage(img)
	c.FillMode = canvas.ImageFillContain
	c.SetMinSize(fyne.NewSize(width, height))
	return c
}
