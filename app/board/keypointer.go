package board

import (
	"fmt"
	"math"

	"fyne.io/fyne/v2"
	"github.com/paulmach/orb"

	"hedgereach/app/board/tool"
	"hedgereach/habitat/plan"
)

// A keyPointer is the pointer of whoever draws without a mouse: the arrows move it, the space bar presses. It is put away as
// soon as the mouse moves.
type keyPointer struct {
	on   bool
	at   orb.Point // metres
	fine bool      // it was moved by less than the grid's step, so nothing draws it away from there
}

// The key pointer moves by a step of the grid, by more with Shift, by less with Alt; it keeps so many units off the board's edge.
const (
	coarseSteps = 10
	fineM       = 0.01
	pointerRoom = 48
)

// movePointer moves the key pointer, right and up as seen. It brings the pointer to the grid when it takes it up.
func (b *Board) movePointer(dx, dy float64) {
	step, mods := b.StepM(), b.Mods()
	k, t := &b.keys, b.seen()
	if !k.on {
		k.on, k.fine = true, false
		k.at = b.view.Centre
		if b.pointer.over {
			k.at = b.at(b.pointer.at)
		}
	}
	at := t.In(k.at)
	switch {
	case mods&fyne.KeyModifierAlt != 0:
		k.fine = true
		at = orb.Point{at[0] + dx*fineM, at[1] + dy*fineM}
	default:
		k.fine = false
		if mods&fyne.KeyModifierShift != 0 {
			dx, dy = coarseSteps*dx, coarseSteps*dy
		}
		at = orb.Point{(math.Round(at[0]/step) + dx) * step, (math.Round(at[1]/step) + dy) * step}
	}
	k.at = t.Out(at)
	b.keepInSight(k.at)
	b.mark(pointerDirt | editDirt)
}

// keepInSight pans as far as it takes for a place to lie well on the board.
func (b *Board) keepInSight(p orb.Point) {
	at := b.view.To(p)
	over := func(at float64, size float32) float64 {
		room := min(pointerRoom, float64(size)/4)
		return max(0, room-at) - max(0, at-float64(size)+room)
	}
	if dx, dy := over(at[0], b.size.Width), over(at[1], b.size.Height); dx != 0 || dy != 0 {
		b.pan(dx, dy)
	}
}

// keyEvent is the key pointer as the tools see it.
func (b *Board) keyEvent(mods tool.Mods) tool.Event {
	if b.keys.fine {
		mods |= tool.Ctrl
	}
	return tool.Event{At: b.keys.at, Mods: mods}
}

// pressByKey is a click at the key pointer. It is none where the space belongs to a length that is being typed: "4 ft 6 in".
func (b *Board) pressByKey() {
	if t, ok := b.tool.(interface{ Typing() bool }); !b.keys.on || ok && t.Typing() {
		return
	}
	b.heed()
	b.said = ""
	e := b.keyEvent(toolMods(b.Mods()) & tool.Shift)
	b.tool.Press(e)
	b.tool.Release(e)
	b.mark(editDirt)
}

// byKeys tells whether the tool in hand is one that the key pointer serves: Pick has its arrows for what is chosen, and a
// freehand line is no thing for keys.
func (b *Board) byKeys() bool { return b.toolName != "Pick" && b.toolName != "Freehand" }

// step chooses the next feature of the plan, or the one before, and brings it into view; with Shift as well as those chosen.
func (b *Board) step(by int) {
	fs := b.session.Plan().Features
	at := -1
	if by < 0 {
		at = len(fs)
	}
	sel := b.session.Selection()
	if n := len(sel); n > 0 {
		if f, i := b.session.Plan().Find(sel[n-1]); f != nil {
			at = i
		}
	}
	var f *plan.Feature
	for range fs {
		at = (at + by + len(fs)) % len(fs)
		if fs[at].Geometry != nil && !fs[at].Hidden {
			f = fs[at]
			break
		}
	}
	if f == nil {
		b.said = "There is nothing to choose yet"
		b.mark(editDirt)
		return
	}
	if b.Mods()&fyne.KeyModifierShift == 0 {
		sel = nil
	} else if b.session.Selected(f.ID) {
		return
	}
	b.session.Select(append(sel, f.ID)...)
	b.keepInSight(b.seen().Out(b.seen().Bound(f).Center()))
	b.said = fmt.Sprintf("%s: %s, %d of %d", f.Title(), f.Kind.Label(), at+1, len(fs))
	b.mark(editDirt)
}
