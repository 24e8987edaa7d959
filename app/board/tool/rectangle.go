package tool

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// A Rectangle is drawn by two corners: a drag, or two clicks. Its sides can be typed: the first along the screen, then the
// second, or both at once ("10 x 1.2").
type Rectangle struct {
	drawer
	begun bool
	from  orb.Point
	side  float64 // the first side as typed, metres; 0 = by the pointer
	mods  Mods
}

// Busy tells whether the first corner is set.
func (r *Rectangle) Busy() bool { return r.begun }

// Cancel gives the shape up.
func (r *Rectangle) Cancel() {
	r.begun, r.side = false, 0
	r.reset()
}

// Move looks at the pointer.
func (r *Rectangle) Move(e Event) { r.aim(e) }

// Drag draws the second corner along.
func (r *Rectangle) Drag(e Event) { r.aim(e) }

func (r *Rectangle) aim(e Event) {
	r.look(e)
	r.mods = e.Mods
	r.refresh()
}

// Press sets the first corner, then the second.
func (r *Rectangle) Press(e Event) {
	r.aim(e)
	r.down = e.At
	if !r.begun {
		r.begun, r.from = true, r.at
		return
	}
	r.end()
}

// Release ends a drag.
func (r *Rectangle) Release(e Event) {
	if r.begun && dist(r.down, e.At) > 2*r.ed.Settings().ReachM {
		r.aim(e)
		r.end()
	}
}

func (r *Rectangle) end() {
	f := r.shape()
	if f == nil {
		return // the second click on the first corner: wait for another
	}
	if r.finish(f) {
		r.begun, r.side = false, 0
	}
}

// size is the way from the first corner to the second, signed.
func (r *Rectangle) size() (w, h float64) {
	d := r.frame().In(orb.Point{r.at[0] - r.from[0], r.at[1] - r.from[1]})
	w, h = d[0], d[1]
	if r.mods&Shift != 0 { // a square
		m := max(math.Abs(w), math.Abs(h))
		w, h = math.Copysign(m, w), math.Copysign(m, h)
	}
	a, b := r.side, 0.0
	if first, second, ok := r.both(); ok {
		a, b = first, second
	} else if m, ok := r.typed.soFar(r.sys()); ok {
		if a == 0 {
			a = m
		} else {
			b = m
		}
	}
	if a > 0 {
		w = math.Copysign(a, w)
	}
	if b > 0 {
		h = math.Copysign(b, h)
	}
	return mm(w), mm(h)
}

// both reads "10 x 1.2".
func (r *Rectangle) both() (w, h float64, ok bool) {
	a, b, found := strings.Cut(string(r.typed), "x")
	if !found {
		return 0, 0, false
	}
	w, okA := typed(a).soFar(r.sys())
	h, okB := typed(b).soFar(r.sys())
	return w, h, okA && okB
}

func (r *Rectangle) shape() *plan.Feature {
	w, h := r.size()
	if w == 0 || h == 0 {
		return nil
	}
	x0, x1, y0, y1 := min(0, w), max(0, w), min(0, h), max(0, h)
	ring := orb.Ring{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}
	t := r.frame()
	for i, c := range ring {
		c = t.Out(c)
		ring[i] = roundPoint(orb.Point{r.from[0] + c[0], r.from[1] + c[1]})
	}
	return r.feature(orb.Polygon{ring})
}

// frame is how the ground lies on the screen: sides are level and upright as seen.
func (r *Rectangle) frame() arrange.Frame { return arrange.Frame(r.ed.Settings().Turn) }

// Key takes the typed side with Enter, ends with Enter, gives up with Escape.
func (r *Rectangle) Key(k Key, _ Mods) bool {
	if !r.begun {
		return false
	}
	switch k {
	case Enter:
		r.enter()
	case Backspace, Delete:
		if !r.typed.back() {
			if r.side == 0 {
				r.Cancel()
			}
			r.side = 0
		}
	case Escape:
		r.Cancel()
	default:
		return false
	}
	r.refresh()
	return true
}

func (r *Rectangle) enter() {
	_, _, two := r.both()
	switch {
	case r.typed == "" || two || r.side > 0:
		if r.typed != "" && !two {
			if _, err := r.typed.metres(r.sys()); err != nil {
				r.ed.Say(err.Error())
				return
			}
		}
		r.end()
	default:
		if m, ok := r.read(); ok {
			r.side = m
		}
	}
}

// Rune takes typed sides.
func (r *Rectangle) Rune(c rune) bool {
	if !r.begun {
		return false
	}
	if (c == 'x' || c == '×' || c == '*') && r.typed != "" && !strings.Contains(string(r.typed), "x") {
		r.typed += "x"
	} else if n := len(r.typed); n > 0 && r.typed[n-1] == 'x' && c == ' ' {
		return true
	} else if !r.typed.rune(c) {
		return false
	}
	r.refresh()
	return true
}

func (r *Rectangle) refresh() {
	if r.begun {
		r.show(r.shape())
	}
}

// Sketch shows the rectangle with its sides and area.
func (r *Rectangle) Sketch() Sketch {
	s := r.sketch()
	if !r.begun {
		return s
	}
	s.Handles = []Handle{{At: r.from}}
	w, h := r.size()
	w, h = math.Abs(w), math.Abs(h)
	s.Words = words(r.typing(), fmt.Sprintf("%s × %s", r.length(w), r.length(h)), length.FormatArea(w*h, r.sys()))
	if f := r.shape(); f != nil {
		s.Shape = f.Geometry
		s.Bad = trouble(f.Geometry)
	}
	return s
}

// Hint says what comes next.
func (r *Rectangle) Hint() string {
	switch {
	case !r.begun:
		return "Drag from corner to corner, or click the first corner"
	case r.side > 0:
		return "Type the other side and press Enter, or click"
	}
	return "Click the opposite corner, or type a side (12 m) or both (12 x 1.2); Shift makes a square"
}
