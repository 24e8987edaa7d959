package board

import (
	"image"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
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
	k := v.Scale / l.view.Scale
	size := l.img.Bounds().Size()
	w, h := float64(size.X)*k, float64(size.Y)*k
	at := v.To(l.view.From(orb.Point{}))
	if v.Turn != l.view.Turn { // a picture of the ground lying otherwise cannot be turned: its middle stays until the next one is there
		at = v.To(l.view.From(orb.Point{float64(size.X) / 2, float64(size.Y) / 2}))
		at[0], at[1] = at[0]-w/2, at[1]-h/2
	}
	l.raster.Move(fyne.NewPos(float32(at[0]), float32(at[1])))
	l.raster.Resize(fyne.NewSize(float32(w), float32(h)))
}

// covers tells whether the picture shows all of a box of ground, as seen, at the view's scale or another.
func (l *layer) covers(b orb.Bound) bool {
	if l.img == nil {
		return false
	}
	size := l.img.Bounds().Size()
	has := seen(l.view, orb.Point{float64(size.X), float64(size.Y)})
	return has.Contains(b.Min) && has.Contains(b.Max)
}

// seen is the box of ground that a picture or widget of the size shows, in the frame in which it lies level.
func seen(v ground.View, size orb.Point) orb.Bound {
	t := arrange.Frame(v.Turn)
	return orb.MultiPoint{t.In(v.From(orb.Point{})), t.In(v.From(size))}.Bound()
}

// inPixels is the view for a picture of w × h pixels about the same middle.
func inPixels(v ground.View, pixels float64, w, h int) ground.View {
	return ground.View{Centre: v.Centre, Middle: orb.Point{float64(w) / 2, float64(h) / 2}, Scale: v.Scale * pixels, Turn: v.Turn}
}
