package board

import (
	"image"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/raster"
	"hedgereach/app/ground"
	"hedgereach/app/style"
	"hedgereach/habitat/plan"
)

// A furnitureLayer is the scale bar with the north arrow above it, in the lower left corner.
type furnitureLayer struct {
	raster *canvas.Raster
	img    *image.RGBA
	shown  furniture
}

// furniture is what the picture depends on.
type furniture struct {
	scale, turn, north float64
	placed             bool // the plan says where north is
	units              plan.Units
	look               style.Look
}

const (
	furnitureWidth  = 230
	furnitureHeight = 118
)

func (l *furnitureLayer) start(*Board) {
	l.raster = canvas.NewRaster(func(int, int) image.Image {
		if l.img == nil {
			return nothing
		}
		return l.img
	})
	l.raster.Resize(fyne.NewSize(furnitureWidth, furnitureHeight))
}

// update paints it again where the scale, the units or the look are others.
func (l *furnitureLayer) update(b *Board) {
	l.raster.Move(fyne.NewPos(0, b.size.Height-furnitureHeight))
	p := b.session.Plan()
	f := furniture{scale: b.view.Scale, turn: b.view.Turn, units: p.Units, look: b.look()}
	if p.Place != nil {
		f.placed, f.north = true, p.Place.NorthDeg
	}
	if f == l.shown {
		return
	}
	l.shown = f
	w, h := int(furnitureWidth*b.pixels), int(furnitureHeight*b.pixels)
	if l.img == nil || l.img.Rect.Dx() != w || l.img.Rect.Dy() != h {
		l.img = image.NewRGBA(image.Rect(0, 0, w, h))
	} else {
		clear(l.img.Pix)
	}
	list := drawing.List{Width: float64(w), Height: float64(h)}
	view := inPixels(b.view, b.pixels, w, h)
	list.Add(ground.ScaleBar(orb.Point{f.look.Pt(22), float64(h) - f.look.Pt(14)}, view, f.units, f.look)...)
	north := northAt(float64(h), f.look)
	list.Add(ground.Plate(northPlate(north, f.look), f.look)...)
	list.Add(ground.NorthArrow(north, view.North(f.north), f.look)...)
	raster.Draw(l.img, list, 1, orb.Point{})
	l.raster.Refresh()
}

// northAt is the middle of the north arrow in a picture h high.
func northAt(h float64, s style.Look) orb.Point { return orb.Point{s.Pt(34), h - s.Pt(68)} }

// northPlate is what the arrow about a point stands on.
func northPlate(at orb.Point, s style.Look) orb.Bound {
	return orb.Bound{Min: at, Max: at}.Pad(s.Pt(17)).Extend(orb.Point{at[0], at[1] - s.Pt(36)})
}

// barRoom is the room of the scale bar with its figures, in points.
var barRoom = [2]float64{180, 36}

// furnished are the places that it takes in a picture whose lower left corner is given.
func furnished(corner orb.Point, s style.Look) []orb.Bound {
	north := northAt(0, s)
	return []orb.Bound{
		northPlate(orb.Point{corner[0] + north[0], corner[1] + north[1]}, s),
		{Min: orb.Point{corner[0], corner[1] - s.Pt(barRoom[1])}, Max: orb.Point{corner[0] + s.Pt(barRoom[0]), corner[1]}},
	}
}
