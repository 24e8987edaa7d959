package tool

import (
	"math"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// A Freehand draws an outline by one drag and tidies it: fewer corners, and what hangs over where the ends cross is cut off.
type Freehand struct {
	drawer
	pts []orb.Point
}

// Busy tells whether an outline is under way.
func (f *Freehand) Busy() bool { return len(f.pts) > 0 }

// Cancel gives it up.
func (f *Freehand) Cancel() {
	f.pts = nil
	f.reset()
}

// Move looks at the pointer. With an outline under way it means that the button was let go unseen.
func (f *Freehand) Move(e Event) {
	if f.Busy() {
		f.end()
	}
	f.look(e)
}

// Press begins.
func (f *Freehand) Press(e Event) {
	f.look(e)
	f.pts = []orb.Point{roundPoint(e.At)}
}

// Drag draws on. The hand's own way counts here, so nothing is drawn to the grid.
func (f *Freehand) Drag(e Event) {
	f.at, f.word = roundPoint(e.At), ""
	if n := len(f.pts); n > 0 && n < mostFreehand && dist(f.pts[n-1], f.at) > f.ed.Settings().ReachM/4 {
		f.pts = append(f.pts, f.at)
	}
}

// mostFreehand bounds the points of one drag: minutes of drawing.
const mostFreehand = 10_000

// Release tidies the outline and hands it in.
func (f *Freehand) Release(e Event) {
	if f.Busy() {
		f.Drag(e)
		f.end()
	}
}

func (f *Freehand) end() {
	shape := f.tidy()
	f.pts = nil
	if shape == nil {
		f.ed.CancelPreview()
		f.ed.Say("Keep the button down and draw round the ground that is meant")
		return
	}
	if !f.finish(shape) {
		f.reset()
	}
}

// tidy is the feature with an outline of few corners; nil where the drag went round no ground.
func (f *Freehand) tidy() *plan.Feature {
	if len(f.pts) < 3 {
		return nil
	}
	reach := f.ed.Settings().ReachM
	ring := loop(f.pts)
	tidied := geometry.SimplifyOutline(orb.Polygon{ring}, reach/2)
	if trouble(tidied) != "" {
		tidied = orb.Polygon{ring}
	}
	if geometry.Area(tidied) < reach*reach {
		return nil
	}
	return f.feature(roundPolygon(tidied))
}

// loop closes the way of a hand. Where the way crosses itself, which it does where its ends overlap, the largest part
// between a crossing and itself is the outline.
func loop(pts []orb.Point) orb.Ring {
	best := closed(pts)
	if geometry.Validate(orb.Polygon{best}) == nil {
		return best
	}
	most := 0.0
	for i := 0; i+1 < len(pts); i++ {
		for j := i + 2; j+1 < len(pts); j++ {
			x, ok := crossing(pts[i], pts[i+1], pts[j], pts[j+1])
			if !ok {
				continue
			}
			r := append(orb.Ring{x}, pts[i+1:j+1]...)
			r = append(r, x)
			if p := (orb.Polygon{r}); geometry.Validate(p) == nil && geometry.Area(p) > most {
				most, best = geometry.Area(p), r
			}
		}
	}
	return best
}

// crossing is where the segments ab and cd cross.
func crossing(a, b, c, d orb.Point) (orb.Point, bool) {
	rx, ry, sx, sy := b[0]-a[0], b[1]-a[1], d[0]-c[0], d[1]-c[1]
	den := rx*sy - ry*sx
	if math.Abs(den) < 1e-12 {
		return orb.Point{}, false
	}
	t := ((c[0]-a[0])*sy - (c[1]-a[1])*sx) / den
	u := ((c[0]-a[0])*ry - (c[1]-a[1])*rx) / den
	if t < 0 || t > 1 || u < 0 || u > 1 {
		return orb.Point{}, false
	}
	return orb.Point{a[0] + t*rx, a[1] + t*ry}, true
}

// Key gives up with Escape.
func (f *Freehand) Key(k Key, _ Mods) bool {
	if !f.Busy() || k != Escape && k != Backspace {
		return false
	}
	f.Cancel()
	return true
}

// Rune means nothing to it.
func (f *Freehand) Rune(rune) bool { return false }

// Sketch shows the way of the hand.
func (f *Freehand) Sketch() Sketch {
	s := f.sketch()
	if n := len(f.pts); n > 1 {
		s.Lines = []orb.LineString{append(orb.LineString{}, f.pts...), {f.pts[n-1], f.pts[0]}}
		s.Words = length.FormatArea(geometry.Area(orb.Polygon{closed(f.pts)}), f.sys())
	}
	return s
}

// Hint says what comes next.
func (f *Freehand) Hint() string {
	if f.Busy() {
		return "Draw round the ground and let go where you began; Esc gives up"
	}
	return "Keep the button down and draw round the ground: the outline is tidied when you let go"
}
