package tool

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// An Aslant draws a rectangle at any angle: by the two ends of its first side, then its depth to either hand. Both can be
// typed.
type Aslant struct {
	drawer
	pts  []orb.Point // the ends of the first side, so far
	mods Mods
}

// Busy tells whether the first corner is set.
func (a *Aslant) Busy() bool { return len(a.pts) > 0 }

// Cancel gives the shape up.
func (a *Aslant) Cancel() {
	a.pts = nil
	a.reset()
}

// Move looks at the pointer.
func (a *Aslant) Move(e Event) { a.aim(e) }

// Drag is a Move: the first side may be drawn by dragging.
func (a *Aslant) Drag(e Event) { a.aim(e) }

func (a *Aslant) aim(e Event) {
	if len(a.pts) == 1 {
		a.look(e, a.pts...)
	} else {
		a.look(e)
	}
	a.mods = e.Mods
	a.refresh()
}

// Press sets the next of the three points.
func (a *Aslant) Press(e Event) {
	a.aim(e)
	a.down = e.At
	a.set()
}

// Release ends a side that was dragged.
func (a *Aslant) Release(e Event) {
	if len(a.pts) != 1 || dist(a.down, e.At) <= 2*a.ed.Settings().ReachM {
		return
	}
	a.aim(e)
	a.set()
}

func (a *Aslant) set() {
	switch n := len(a.pts); {
	case n == 2:
		if f := a.shape(); f != nil && a.finish(f) {
			a.pts = nil
		}
	case n == 1 && a.pts[0] == a.at: // the second click on the first corner: wait for another
	default:
		a.pts = append(a.pts, a.at)
		a.typed = ""
		a.refresh()
	}
}

// depth is how far the pointer, or what is typed, lies to the left of the first side; to the right below 0.
func (a *Aslant) depth() float64 {
	p, q := a.pts[0], a.pts[1]
	d := ((q[0]-p[0])*(a.at[1]-p[1]) - (q[1]-p[1])*(a.at[0]-p[0])) / dist(p, q)
	if m, ok := a.typed.soFar(a.sys()); ok {
		return math.Copysign(m, d)
	}
	if step := a.ed.Settings().StepM; step > 0 && a.mods&Ctrl == 0 && a.word == "grid" {
		d = math.Round(d/step) * step
	}
	return mm(d)
}

func (a *Aslant) shape() *plan.Feature {
	if len(a.pts) < 2 {
		return nil
	}
	p, q, d := a.pts[0], a.pts[1], a.depth()
	if d == 0 {
		return nil
	}
	l := dist(p, q)
	n := orb.Point{-(q[1] - p[1]) / l * d, (q[0] - p[0]) / l * d}
	r := orb.Ring{p, q, {q[0] + n[0], q[1] + n[1]}, {p[0] + n[0], p[1] + n[1]}, p}
	if d < 0 {
		r.Reverse()
	}
	return a.feature(roundPolygon(orb.Polygon{r}))
}

// Key sets what is typed, or the point under the pointer, with Enter; takes back with Backspace; gives up with Escape.
func (a *Aslant) Key(k Key, _ Mods) bool {
	if !a.Busy() {
		return false
	}
	switch k {
	case Enter:
		if len(a.pts) == 1 {
			if m, ok := a.read(); ok {
				a.at = a.toward(a.pts[0], m)
				a.set()
			}
			return true
		}
		if a.typed != "" {
			if _, err := a.typed.metres(a.sys()); err != nil {
				a.ed.Say(err.Error())
				return true
			}
		}
		a.set()
	case Backspace, Delete:
		if !a.typed.back() {
			if a.pts = a.pts[:len(a.pts)-1]; len(a.pts) == 0 {
				a.Cancel()
			}
		}
	case Escape:
		a.Cancel()
	default:
		return false
	}
	a.refresh()
	return true
}

// Rune takes the typed length of the first side, then the depth.
func (a *Aslant) Rune(r rune) bool {
	if !a.Busy() || !a.typed.rune(r) {
		return false
	}
	a.refresh()
	return true
}

func (a *Aslant) refresh() {
	if len(a.pts) == 1 {
		a.next(a.pts, a.mods)
		a.ed.CancelPreview()
	}
	if len(a.pts) == 2 {
		a.show(a.shape())
	}
}

// Sketch shows the first side, then the rectangle with its sides and area.
func (a *Aslant) Sketch() Sketch {
	s := a.sketch()
	for _, p := range a.pts {
		s.Handles = append(s.Handles, Handle{At: p})
	}
	switch len(a.pts) {
	case 1:
		s.Lines = []orb.LineString{{a.pts[0], a.at}}
		s.Words = words(a.typing(), a.segmentWords(a.pts))
	case 2:
		w, d := dist(a.pts[0], a.pts[1]), math.Abs(a.depth())
		s.Words = words(a.typing(), fmt.Sprintf("%s × %s", a.length(w), a.length(d)), length.FormatArea(w*d, a.sys()))
		s.Lines = []orb.LineString{{a.pts[0], a.pts[1]}}
		if f := a.shape(); f != nil {
			s.Shape = f.Geometry
			s.Bad = trouble(f.Geometry)
		}
	}
	return s
}

// Hint says what comes next.
func (a *Aslant) Hint() string {
	switch len(a.pts) {
	case 0:
		return "Click one end of the first side"
	case 1:
		return "Click the other end of the side, or type its length (12 m, 40')"
	}
	return "Click how deep it is, to either hand, or type the depth (1.2 m, 4')"
}
