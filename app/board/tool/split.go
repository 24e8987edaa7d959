package tool

import (
	"fmt"

	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
)

// A Split cuts features in two by a straight line of two points: what is chosen, where the line meets it, else whatever the
// line meets.
type Split struct {
	drawer
	begun bool
	from  orb.Point
	mods  Mods
}

// Busy tells whether the line is begun.
func (s *Split) Busy() bool { return s.begun }

// Cancel gives the line up.
func (s *Split) Cancel() {
	s.begun = false
	s.reset()
}

// Move looks at the pointer.
func (s *Split) Move(e Event) { s.aim(e) }

// Drag draws the line along.
func (s *Split) Drag(e Event) { s.aim(e) }

func (s *Split) aim(e Event) {
	if s.begun {
		s.look(e, s.from)
	} else {
		s.look(e)
	}
	s.mods = e.Mods
	s.refresh()
}

func (s *Split) refresh() {
	if s.begun {
		s.next([]orb.Point{s.from}, s.mods)
	}
}

// Press sets the line's first point, then its second.
func (s *Split) Press(e Event) {
	s.aim(e)
	s.down = e.At
	if !s.begun {
		s.begun, s.from = true, s.at
		return
	}
	s.end()
}

// Release ends a line that was dragged.
func (s *Split) Release(e Event) {
	if s.begun && dist(s.down, e.At) > 2*s.ed.Settings().ReachM {
		s.aim(e)
		s.end()
	}
}

func (s *Split) end() {
	if s.at == s.from {
		return // the second click on the first point: wait for another
	}
	p, ids, err := arrange.Split(s.ed.Plan(), s.ed.Selection(), s.from, s.at)
	s.begun, s.typed = false, ""
	if err != nil {
		s.ed.Say(upper(err.Error()))
		return
	}
	if err := s.ed.Commit("split by a line", p); err != nil {
		s.ed.Say(err.Error())
		return
	}
	s.ed.Select(ids...)
	s.ed.Say(fmt.Sprintf("%d pieces; each is a feature of its own", len(ids)))
}

// Key ends with Enter, gives up with Escape.
func (s *Split) Key(k Key, _ Mods) bool {
	if !s.begun {
		return false
	}
	switch k {
	case Enter:
		s.end()
	case Backspace, Delete:
		if !s.typed.back() {
			s.Cancel()
		}
		s.refresh()
	case Escape:
		s.Cancel()
	default:
		return false
	}
	return true
}

// Rune takes the typed length of the line.
func (s *Split) Rune(r rune) bool {
	if !s.begun || !s.typed.rune(r) {
		return false
	}
	s.refresh()
	return true
}

// Sketch shows the line.
func (s *Split) Sketch() Sketch {
	k := s.sketch()
	if s.begun {
		k.Lines = []orb.LineString{{s.from, s.at}}
		k.Handles = []Handle{{At: s.from}}
		k.Words = words(s.typing(), s.length(dist(s.from, s.at)))
	}
	return k
}

// Hint says what comes next.
func (s *Split) Hint() string {
	if s.begun {
		return "Click the line's other end: it cuts straight through"
	}
	return "Click where the line to cut by begins"
}
