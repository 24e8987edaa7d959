package board

import (
	"image"
	"image/color"
	"math"

	"fyne.io/fyne/v2/driver/desktop"
	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/raster"
	"hedgereach/app/style"
)

// A drawnCursor is a look of the pointer that the toolkit does not have. There is one value of each, since the toolkit makes
// another cursor of the desktop's for every value.
type drawnCursor struct {
	img *image.RGBA
}

// cursorSide is the side of a drawn cursor in pixels; its middle is what points.
const cursorSide = 25

// Image is for the toolkit.
func (c *drawnCursor) Image() (image.Image, int, int) { return c.img, cursorSide / 2, cursorSide / 2 }

var _ desktop.Cursor = (*drawnCursor)(nil)

var (
	moveCursor = &drawnCursor{fourArrows()} // the paper, and what is on it
	turnCursor = &drawnCursor{roundArrow()} // the handle that turns
)

// inked draws paths as dark lines with a light edge, so that they are seen on any ground.
func inked(paths ...drawing.Path) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, cursorSide, cursorSide))
	list := drawing.List{Width: cursorSide, Height: cursorSide}
	for _, l := range []struct {
		dark  bool
		width float64
	}{{false, 4.5}, {true, 1.8}} {
		c := color.NRGBA{R: 255, G: 255, B: 255, A: 255}
		if l.dark {
			c = style.Black
		}
		for _, p := range paths {
			list.Add(drawing.Stroke{Path: p, Pen: drawing.Pen{Color: c, Width: l.width}})
		}
	}
	raster.Draw(img, list, 1, orb.Point{})
	return img
}

// fourArrows is a cross with a point at each end.
func fourArrows() *image.RGBA {
	const mid, far, tip = cursorSide / 2.0, 9.0, 3.0
	var paths []drawing.Path
	for _, d := range []orb.Point{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
		at := func(along, across float64) orb.Point {
			return orb.Point{mid + along*d[0] - across*d[1], mid + along*d[1] + across*d[0]}
		}
		paths = append(paths, drawing.Line(at(0, 0), at(far, 0)), drawing.Line(at(far-tip, tip), at(far, 0), at(far-tip, -tip)))
	}
	return inked(paths...)
}

// roundArrow is three quarters of a circle with a point at its end.
func roundArrow() *image.RGBA {
	const mid, r, tip = cursorSide / 2.0, 7.0, 3.5
	var arc []orb.Point
	for i := range 19 {
		s, c := math.Sincos(math.Pi * (0.75 + 1.5*float64(i)/18))
		arc = append(arc, orb.Point{mid + r*c, mid + r*s})
	}
	end := arc[len(arc)-1]
	return inked(drawing.Line(arc...), drawing.Line(orb.Point{end[0] + tip, end[1] - tip/3}, end, orb.Point{end[0] - tip/4, end[1] - tip*1.2}))
}
