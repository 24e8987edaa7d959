package tool

import (
	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// A Strip is drawn by its centre line and has a width: a hedge along a fence, a flower strip, a bed.
type Strip struct {
	drawer
	pts   []orb.Point
	mods  Mods
	width float64 // as typed for this strip, metres; 0 = the board's
	wide  bool    // what is typed is the width
}

// Busy tells whether a line is begun.
func (s *Strip) Busy() bool { return len(s.pts) > 0 }

// Cancel gives the strip up.
func (s *Strip) Cancel() {
	s.pts, s.wide, s.width = nil, false, 0
	s.reset()
}

// Move looks at the pointer.
func (s *Strip) Move(e Event) { s.aim(e) }

// Drag is a Move: a strip may be drawn by one drag.
func (s *Strip) Drag(e Event) { s.aim(e) }

func (s *Strip) aim(e Event) {
	s.look(e, s.pts...)
	s.mods = e.Mods
	s.refresh()
}

// Press sets a point of the line; again on the last point it ends the strip.
func (s *Strip) Press(e Event) {
	s.aim(e)
	s.down = e.At
	if n := len(s.pts); n >= 2 && s.at == s.pts[n-1] {
		s.end()
		return
	}
	s.add()
}

// Release ends a strip that was drawn by one drag.
func (s *Strip) Release(e Event) {
	if !s.Busy() || dist(s.down, e.At) <= 2*s.ed.Settings().ReachM {
		return
	}
	s.aim(e)
	s.add()
	if len(s.pts) == 2 {
		s.end()
	}
}

func (s *Strip) add() {
	if n := len(s.pts); n > 0 && s.pts[n-1] == s.at {
		return
	}
	s.pts = append(s.pts, s.at)
	s.typed = ""
}

func (s *Strip) end() {
	f, bad := s.shape(false)
	switch {
	case bad != "":
		s.ed.Say("The strip cannot be finished: " + bad)
	case f == nil:
		s.ed.Say("A strip needs two points at least")
	default:
		if s.finish(f) {
			s.pts, s.wide, s.width = nil, false, 0
		}
	}
}

func (s *Strip) widthM() float64 {
	if s.wide {
		if m, ok := s.typed.soFar(s.sys()); ok {
			return m
		}
	}
	if s.width > 0 {
		return s.width
	}
	return s.ed.Settings().WidthM
}

// shape is the feature along the line so far, with the pointer as its last point or without; nil below two points, with a
// word where the line makes no proper strip.
func (s *Strip) shape(pointer bool) (*plan.Feature, string) {
	pts := append(orb.LineString{}, s.pts...)
	if n := len(pts); pointer && n > 0 && s.at != pts[n-1] {
		pts = append(pts, s.at)
	}
	if len(pts) < 2 {
		return nil, ""
	}
	g, err := geometry.Strip(pts, s.widthM())
	if err != nil {
		return nil, err.Error()
	}
	f := s.feature(roundPolygon(g))
	f.Line, f.WidthM = pts, s.widthM()
	return f, ""
}

// Key ends with Enter (or takes what is typed), takes back with Backspace, gives up with Escape.
func (s *Strip) Key(k Key, _ Mods) bool {
	if !s.Busy() && s.typed == "" && !s.wide {
		return false
	}
	switch k {
	case Enter:
		s.enter()
	case Backspace, Delete:
		switch {
		case s.typed.back():
		case s.wide:
			s.wide = false
		default:
			if s.pts = s.pts[:len(s.pts)-1]; len(s.pts) == 0 {
				s.Cancel()
			}
		}
	case Escape:
		s.Cancel()
	default:
		return false
	}
	s.refresh()
	return true
}

func (s *Strip) enter() {
	switch {
	case s.typed == "" && !s.wide:
		s.end()
	case s.wide:
		if s.typed == "" {
			s.wide = false
		} else if m, ok := s.read(); ok {
			s.width, s.wide = m, false
		}
	default:
		if m, ok := s.read(); ok {
			s.at = s.toward(s.pts[len(s.pts)-1], m)
			s.add()
		}
	}
}

// Rune takes a typed length for the next stretch; after a w, and before the first point, a width.
func (s *Strip) Rune(r rune) bool {
	switch {
	case r == 'w' && s.typed == "":
		s.wide = true
	case !s.Busy() && s.typed == "" && !s.wide:
		if r == '0' || !s.typed.rune(r) { // a bare 0 shows the whole plan
			return false
		}
		s.wide = true
	case !s.typed.rune(r):
		return false
	}
	s.refresh()
	return true
}

func (s *Strip) refresh() {
	if !s.Busy() {
		return
	}
	if !s.wide {
		s.next(s.pts, s.mods)
	} else if s.mods&Shift != 0 {
		held := s.typed
		s.typed = ""
		s.next(s.pts, s.mods)
		s.typed = held
	}
	f, _ := s.shape(true)
	s.show(f)
}

// Sketch shows the centre line, the strip, and the figures of the next stretch.
func (s *Strip) Sketch() Sketch {
	k := s.sketch()
	typing := s.typing()
	if s.wide {
		typing = words("width:", typing)
	}
	if !s.Busy() {
		if typing != "" {
			k.Words = typing
		}
		return k
	}
	k.Lines = []orb.LineString{append(append(orb.LineString{}, s.pts...), s.at)}
	for _, p := range s.pts {
		k.Handles = append(k.Handles, Handle{At: p})
	}
	area := ""
	f, bad := s.shape(true)
	if f != nil {
		k.Shape = f.Geometry
		if bad = trouble(f.Geometry); bad == "" {
			area = length.FormatArea(geometry.Area(f.Geometry), s.sys())
		}
	}
	k.Bad = bad
	k.Words = words(typing, s.segmentWords(s.pts), "width "+s.length(s.widthM()), area)
	return k
}

// Hint says what comes next.
func (s *Strip) Hint() string {
	switch {
	case s.wide:
		return "Type the width and press Enter"
	case !s.Busy():
		return "Click where the centre line begins; type a width first to change it"
	case len(s.pts) < 2:
		return "Click the next point of the centre line, or type its distance; w and a length sets the width"
	}
	return "Enter ends the strip; Backspace takes a point back; w and a length sets the width; Esc gives up"
}
