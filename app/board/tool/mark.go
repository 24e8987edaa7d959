package tool

import (
	"hedgereach/habitat/plan"
)

// A Mark sets a trap or a stake with one click. Where neither is the kind in use it sets stakes.
type Mark struct{ drawer }

// Busy is never so: a mark is set at once.
func (m *Mark) Busy() bool { return false }

// Cancel has nothing to give up.
func (m *Mark) Cancel() {}

// Move looks at the pointer.
func (m *Mark) Move(e Event) { m.look(e) }

// Drag looks at the pointer.
func (m *Mark) Drag(e Event) { m.look(e) }

// Press sets the mark.
func (m *Mark) Press(e Event) {
	m.look(e)
	m.finish(m.featureOf(m.kind(), m.at))
}

// Release has nothing to end.
func (m *Mark) Release(Event) {}

// Key means nothing to it.
func (m *Mark) Key(Key, Mods) bool { return false }

// Rune means nothing to it.
func (m *Mark) Rune(rune) bool { return false }

// Sketch shows where the mark would stand.
func (m *Mark) Sketch() Sketch {
	s := m.sketch()
	if m.seen {
		s.Handles = []Handle{{At: m.at, Sort: Middle}}
	}
	return s
}

// IsMark tells whether a kind is set by a point: a trap, a stake.
func IsMark(k plan.Kind) bool { return k == plan.Trap || k == plan.Stake }

func (m *Mark) kind() plan.Kind {
	if k := m.ed.Settings().Kind; IsMark(k) {
		return k
	}
	return plan.Stake
}

// Hint says what comes next.
func (m *Mark) Hint() string {
	if m.kind() == plan.Trap {
		return "Click where the trap hangs or stands"
	}
	return "Click where the stake stands"
}
