package tool

import (
	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// A Round draws a round thing by its centre and edge. A mark (trap, stake) is set by its centre alone.
type Round struct {
	drawer
	begun  bool
	centre orb.Point
}

// Busy tells whether the centre is set.
func (r *Round) Busy() bool { return r.begun }

// Cancel gives the shape up.
func (r *Round) Cancel() {
	r.begun = false
	r.reset()
}

// Move looks at the pointer.
func (r *Round) Move(e Event) { r.aim(e) }

// Drag draws the edge along.
func (r *Round) Drag(e Event) { r.aim(e) }

func (r *Round) aim(e Event) {
	r.look(e)
	if r.begun {
		r.show(r.shape())
	}
}

func (r *Round) mark() bool { return IsMark(r.ed.Settings().Kind) }

// Press sets the centre, then the edge.
func (r *Round) Press(e Event) {
	r.aim(e)
	r.down = e.At
	switch {
	case r.begun:
		r.end()
	case r.mark():
		r.finish(r.feature(r.at))
	default:
		r.begun, r.centre = true, r.at
	}
}

// Release ends a drag.
func (r *Round) Release(e Event) {
	if r.begun && dist(r.down, e.At) > 2*r.ed.Settings().ReachM {
		r.aim(e)
		r.end()
	}
}

func (r *Round) radius() float64 {
	if m, ok := r.typed.soFar(r.sys()); ok {
		return m
	}
	return mm(dist(r.centre, r.at))
}

func (r *Round) shape() *plan.Feature {
	m := r.radius()
	if m == 0 {
		return nil
	}
	f := r.feature(roundPolygon(geometry.Disc(r.centre, m)))
	c := r.centre
	f.Centre, f.RadiusM = &c, m
	return f
}

func (r *Round) end() {
	if f := r.shape(); f != nil && r.finish(f) {
		r.begun = false
	}
}

// Key ends with Enter, gives up with Escape.
func (r *Round) Key(k Key, _ Mods) bool {
	if !r.begun {
		return false
	}
	switch k {
	case Enter:
		if r.typed != "" {
			if _, err := r.typed.metres(r.sys()); err != nil {
				r.ed.Say(err.Error())
				return true
			}
		}
		r.end()
		return true
	case Backspace, Delete:
		if !r.typed.back() {
			r.Cancel()
		}
	case Escape:
		r.Cancel()
	default:
		return false
	}
	if r.begun {
		r.show(r.shape())
	}
	return true
}

// Rune takes a typed radius.
func (r *Round) Rune(c rune) bool {
	if !r.begun || !r.typed.rune(c) {
		return false
	}
	r.show(r.shape())
	return true
}

// Sketch shows the circle with its radius and area.
func (r *Round) Sketch() Sketch {
	s := r.sketch()
	if !r.begun {
		return s
	}
	s.Handles = []Handle{{At: r.centre}}
	s.Lines = []orb.LineString{{r.centre, r.at}}
	area := ""
	if f := r.shape(); f != nil {
		s.Shape = f.Geometry
		if s.Bad = trouble(f.Geometry); s.Bad == "" {
			area = length.FormatArea(geometry.Area(f.Geometry), r.sys())
		}
	}
	s.Words = words(r.typing(), "radius "+r.length(r.radius()), area)
	return s
}

// Hint says what comes next.
func (r *Round) Hint() string {
	switch {
	case r.begun:
		return "Click the edge, or type the radius (2 m, 6') and press Enter"
	case r.mark():
		return "Click where it stands"
	}
	return "Drag from the centre to the edge, or click the centre"
}
