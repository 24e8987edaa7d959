package board

import (
	"image"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"github.com/paulmach/orb"

	"hedgereach/app/ground"
)

// A layer is a picture of the ground that stays in its place on the ground while the view moves on.
type layer struct {
	raster *canvas.Raster
	img    *image.RGBA // premultiplied, origin 0,0, tightly packed: what the screen takes without a copy
	view   ground.View // metres to pixels of img
}

// nothing is a picture of nothing: the toolkit asks for one before there is any.
var nothing = image.NewRGBA(image.Rect(0, 0, 1, 1))

// It is shown from the start, since the toolkit would not hear of a first picture put into something that it never painted.
func (l *layer) init() {
	l.raster = canvas.NewRaster(func(int, int) image.Image {
		if l.img == nil {
			return nothing
		}
		return l.img
	})
}

// show puts another picture in.
func (l *layer) show(img *image.RGBA, v ground.View) {
	l.img, l.view = img, v
	l.raster.Show()
}

// place puts the picture where its ground lies in the view: moved by a pan, stretched by a zoom.
func (l *layer) place(v ground.View) {
	if l.img == nil {
		return
	}
	k := float32(v.Scale / l.view.Scale)
	at := v.To(l.view.From(orb.Point{}))
	size := l.img.Bounds().Size()
	l.raster.Move(fyne.NewPos(float32(at[0]), float32(at[1])))
	l.raster.Resize(fyne.NewSize(float32(size.X)*k, float32(size.Y)*k))
}

// covers tells whether the picture shows all of the widget's ground, at the view's scale or another.
func (l *layer) covers(b orb.Bound) bool {
	if l.img == nil {
		return false
	}
	size := l.img.Bounds().Size()
	has := orb.MultiPoint{l.view.From(orb.Point{}), l.view.From(orb.Point{float64(size.X), float64(size.Y)})}.Bound()
	return has.Contains(b.Min) && has.Contains(b.Max)
}

// inPixels is the view for a picture of w × h pixels about the same middle.
func inPixels(v ground.View, pixels float64, w, h int) ground.View {
	return ground.View{Centre: v.Centre, Middle: orb.Point{float64(w) / 2, float64(h) / 2}, Scale: v.Scale * pixels, Turn: v.Turn}
}
