package tool

import (
	"fmt"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/geometry/length"
)

// A Measure reads distances along a path of points, the angles between, and the area that the path goes round. It changes
// nothing.
type Measure struct {
	drawer
	pts  []orb.Point
	mods Mods
	done bool // the path is ended; the next click begins another
}

// Busy is never so: there is nothing to lose.
func (m *Measure) Busy() bool { return false }

// Cancel takes the path away.
func (m *Measure) Cancel() { m.pts, m.done = nil, false }

// Move looks at the pointer.
func (m *Measure) Move(e Event) {
	m.mods = e.Mods
	if m.done {
		m.look(e)
		return
	}
	m.look(e, m.pts...)
	m.next(m.pts, e.Mods)
}

// Drag is a Move: a distance may be read by one drag.
func (m *Measure) Drag(e Event) { m.Move(e) }

// Press sets a point; again on the last one it ends the path.
func (m *Measure) Press(e Event) {
	if m.done {
		m.Cancel()
	}
	m.Move(e)
	m.down = e.At
	m.add()
}

// Release ends a distance that was dragged.
func (m *Measure) Release(e Event) {
	if len(m.pts) == 0 || m.done || dist(m.down, e.At) <= 2*m.ed.Settings().ReachM {
		return
	}
	m.Move(e)
	m.add()
	m.done = len(m.pts) == 2
}

func (m *Measure) add() {
	if n := len(m.pts); n > 0 && m.pts[n-1] == m.at {
		m.done = n > 1
		return
	}
	m.pts = append(m.pts, m.at)
}

// Key ends with Enter, takes a point back with Backspace, takes the path away with Escape.
func (m *Measure) Key(k Key, _ Mods) bool {
	if len(m.pts) == 0 {
		return false
	}
	switch k {
	case Enter:
		m.done = true
	case Backspace, Delete:
		m.pts, m.done = m.pts[:len(m.pts)-1], false
	case Escape:
		m.Cancel()
	default:
		return false
	}
	return true
}

// Rune means nothing to it.
func (m *Measure) Rune(rune) bool { return false }

// path is the points so far, with the pointer as the last one while it goes on.
func (m *Measure) path() []orb.Point {
	pts := m.pts[:len(m.pts):len(m.pts)]
	if n := len(pts); !m.done && n > 0 && m.seen && pts[n-1] != m.at {
		pts = append(pts, m.at)
	}
	return pts
}

// Sketch shows the path with the length of every stretch and the angle at every corner; beside the pointer the whole length
// and the area.
func (m *Measure) Sketch() Sketch {
	s := m.sketch()
	pts := m.path()
	if m.done {
		s.Snap = ""
		s.At = pts[len(pts)-1]
	}
	for _, p := range m.pts {
		s.Handles = append(s.Handles, Handle{At: p, Sort: Middle})
	}
	if len(pts) < 2 {
		return s
	}
	s.Lines = []orb.LineString{pts}
	sum := 0.0
	for i := 1; i < len(pts); i++ {
		d := dist(pts[i-1], pts[i])
		sum += d
		if len(pts) > 2 {
			s.Notes = append(s.Notes, Note{At: between(pts[i-1], pts[i]), Words: m.length(d)})
		}
		if i+1 < len(pts) {
			s.Notes = append(s.Notes, Note{At: pts[i], Words: fmt.Sprintf("%.1f°", corner(pts[i-1], pts[i], pts[i+1]))})
		}
	}
	s.Words = m.length(sum)
	if len(pts) > 2 {
		s.Words = "in all " + s.Words
		if ring := (orb.Polygon{closed(pts)}); geometry.Validate(ring) == nil {
			s.Lines = append(s.Lines, orb.LineString{pts[len(pts)-1], pts[0]})
			s.Words = words(s.Words, length.FormatArea(geometry.Area(ring), m.sys()))
		}
	}
	return s
}

// Hint says what comes next.
func (m *Measure) Hint() string {
	switch {
	case len(m.pts) == 0:
		return "Click where the distance begins, or drag from end to end"
	case m.done:
		return "Click to measure another; Esc takes it away"
	}
	return "Click the next point; Enter ends; Backspace takes a point back"
}
