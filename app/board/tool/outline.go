package tool

import (
	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// An Outline draws any shape, corner by corner.
type Outline struct {
	drawer
	pts  []orb.Point
	mods Mods
}

// Busy tells whether a shape is begun.
func (o *Outline) Busy() bool { return len(o.pts) > 0 }

// Cancel gives the shape up.
func (o *Outline) Cancel() {
	o.pts = nil
	o.reset()
}

// Move looks at the pointer.
func (o *Outline) Move(e Event) { o.aim(e) }

// Drag is a Move: an edge may be drawn by dragging too.
func (o *Outline) Drag(e Event) { o.aim(e) }

func (o *Outline) aim(e Event) {
	o.look(e, o.pts...)
	o.mods = e.Mods
	o.next(o.pts, e.Mods)
	if o.closing(e.At) {
		o.at, o.word = o.pts[0], "close"
	}
	if o.Busy() {
		o.show(o.shape(true))
	}
}

// closing tells whether the pointer is on the first corner of a shape that can be closed.
func (o *Outline) closing(at orb.Point) bool {
	return len(o.pts) >= 3 && o.typed == "" && dist(at, o.pts[0]) <= o.ed.Settings().ReachM
}

// Press sets a corner; on the first corner, or again on the last, it closes the shape.
func (o *Outline) Press(e Event) {
	o.aim(e)
	o.down = e.At
	switch n := len(o.pts); {
	case o.closing(e.At), n >= 3 && o.at == o.pts[n-1]:
		o.close()
	default:
		o.add()
	}
}

// Release sets a corner where an edge was dragged.
func (o *Outline) Release(e Event) {
	if !o.Busy() || dist(o.down, e.At) <= 2*o.ed.Settings().ReachM {
		return
	}
	o.aim(e)
	if o.closing(e.At) {
		o.close()
		return
	}
	o.add()
}

func (o *Outline) add() {
	if n := len(o.pts); n > 0 && o.pts[n-1] == o.at {
		return
	}
	o.pts = append(o.pts, o.at)
	o.typed = ""
}

func (o *Outline) close() {
	f := o.shape(false)
	if f == nil {
		o.ed.Say("An outline needs three corners at least")
		return
	}
	if o.finish(f) {
		o.pts = nil
	}
}

// shape is the feature as drawn so far, with the pointer as its last corner or without; nil below three corners.
func (o *Outline) shape(pointer bool) *plan.Feature {
	pts := o.pts[:len(o.pts):len(o.pts)]
	if n := len(pts); pointer && n > 0 && o.at != pts[n-1] && o.at != pts[0] {
		pts = append(pts, o.at)
	}
	if len(pts) < 3 {
		return nil
	}
	return o.feature(orb.Polygon{closed(pts)})
}

// Key closes with Enter (or sets the typed length), takes back with Backspace, gives up with Escape.
func (o *Outline) Key(k Key, m Mods) bool {
	if !o.Busy() {
		return false
	}
	switch k {
	case Enter:
		if o.typed == "" {
			o.close()
			return true
		}
		if l, ok := o.read(); ok {
			o.at = o.toward(o.pts[len(o.pts)-1], l)
			o.add()
		}
	case Backspace, Delete:
		if !o.typed.back() {
			if o.pts = o.pts[:len(o.pts)-1]; len(o.pts) == 0 {
				o.Cancel()
			}
		}
	case Escape:
		o.Cancel()
	default:
		return false
	}
	o.refresh()
	return true
}

// Rune takes a typed length for the next edge.
func (o *Outline) Rune(r rune) bool {
	if !o.Busy() || !o.typed.rune(r) {
		return false
	}
	o.refresh()
	return true
}

func (o *Outline) refresh() {
	if o.Busy() {
		o.next(o.pts, o.mods)
		o.show(o.shape(true))
	}
}

// Sketch shows the edges, the shape that they would close to, and the figures of the next edge.
func (o *Outline) Sketch() Sketch {
	s := o.sketch()
	if !o.seen || !o.Busy() {
		return s
	}
	line := append(orb.LineString{}, o.pts...)
	s.Lines = []orb.LineString{append(line, o.at)}
	area := ""
	if f := o.shape(true); f != nil {
		s.Shape = f.Geometry
		if s.Bad = trouble(f.Geometry); s.Bad == "" {
			area = length.FormatArea(geometry.Area(f.Geometry), o.sys())
		}
	}
	for _, p := range o.pts {
		s.Handles = append(s.Handles, Handle{At: p})
	}
	s.Words = words(o.typing(), o.segmentWords(o.pts), area)
	return s
}

// Hint says what comes next.
func (o *Outline) Hint() string {
	switch {
	case !o.Busy():
		return "Click the first corner"
	case len(o.pts) < 3:
		return "Click the next corner, or type its distance (1.2 m, 4', 4 ft 6 in); Shift keeps it straight, Ctrl holds off snapping"
	}
	return "Enter, or a click on the first corner, closes the shape; Backspace takes a corner back; Esc gives up"
}
