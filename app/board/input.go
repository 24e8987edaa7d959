package board

import (
	"math"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"github.com/paulmach/orb"

	"hedgereach/app/board/tool"
)

// A pointer is what the mouse is doing.
type pointer struct {
	at      fyne.Position
	over    bool // it is over the board
	pressed bool // the main button is down and belongs to the tool
	panning bool
}

func toolMods(m fyne.KeyModifier) tool.Mods {
	var out tool.Mods
	if m&fyne.KeyModifierShift != 0 {
		out |= tool.Shift
	}
	if m&fyne.KeyModifierControl != 0 {
		out |= tool.Ctrl
	}
	if m&fyne.KeyModifierAlt != 0 {
		out |= tool.Alt
	}
	return out
}

func (b *Board) event(p fyne.Position) tool.Event {
	return tool.Event{At: b.at(p), Mods: toolMods(b.Mods())}
}

// focus takes the keys: a click alone does not do so for a widget of one's own.
func (b *Board) focus() {
	if b.focused {
		return
	}
	if c := fyne.CurrentApp().Driver().CanvasForObject(b); c != nil {
		c.Focus(b)
	}
}

// MouseDown begins a gesture, or a pan with the middle button or the space bar held.
func (b *Board) MouseDown(e *desktop.MouseEvent) {
	b.focus()
	b.keys.on = false
	b.heed() // before the press: handed on after it, a move would count as a drag
	b.pointer.at, b.pointer.over = e.Position, true
	switch {
	case e.Button == desktop.MouseButtonTertiary, e.Button == desktop.MouseButtonPrimary && b.space:
		b.pointer.panning = true
	case e.Button == desktop.MouseButtonPrimary:
		b.said = ""
		b.pointer.pressed = true
		b.tool.Press(tool.Event{At: b.at(e.Position), Mods: toolMods(e.Modifier | b.Mods())})
		b.mark(editDirt)
	case e.Button == desktop.MouseButtonSecondary && b.OnMenu != nil && !b.tool.Busy():
		b.menu(e)
	}
}

// menu selects what lies under the pointer, unless it is selected already, and asks for a menu.
func (b *Board) menu(e *desktop.MouseEvent) {
	at := b.at(e.Position)
	f := tool.Hit(b.session.Plan(), at, reachUnits/b.view.Scale)
	if f == nil {
		b.session.Select()
	} else if !b.session.Selected(f.ID) {
		b.session.Select(f.ID)
	}
	b.OnMenu(e.AbsolutePosition)
}

// MouseUp ends a gesture. It does not always come: see DragEnd and MouseMoved.
func (b *Board) MouseUp(e *desktop.MouseEvent) {
	switch e.Button {
	case desktop.MouseButtonSecondary:
	case desktop.MouseButtonTertiary:
		b.pointer.panning = false // the main button may still hold something
	default:
		b.release(e.Position)
	}
}

// release ends what the button held; a second call for the same button does nothing.
func (b *Board) release(at fyne.Position) {
	if b.pointer.pressed {
		b.heed() // a drag that is over before the next frame is a drag all the same
	}
	b.pointer.at = at
	if b.pointer.panning {
		b.pointer.panning = false
		b.mark(viewDirt)
	}
	if !b.pointer.pressed {
		return
	}
	b.tool.Release(b.event(at))
	b.pointer.pressed = false
	b.mark(editDirt)
}

// Dragged moves on with the button down, also outside the widget. A move is only noted here, since many can come between
// two frames.
func (b *Board) Dragged(e *fyne.DragEvent) {
	last := b.pointer.at
	b.pointer.at = e.Position
	switch {
	case b.pointer.panning:
		b.pan(float64(e.Position.X-last.X), float64(e.Position.Y-last.Y))
	case b.pointer.pressed:
		b.mark(pointerDirt)
		b.creep()
	}
}

// A drag that comes this near to the board's edge, or leaves it, moves the ground along, so that what is dragged can go on.
// Steps come as often as the toolkit paints.
const (
	creepEdge = 4.0 // units
	creepMost = 24.0
	creepStep = 16 * time.Millisecond
)

// creep moves the ground on by itself while a drag is out of the board.
func (b *Board) creep() {
	dx, dy := b.creepBy()
	if b.creeping || dx == 0 && dy == 0 {
		return
	}
	b.creeping = true
	time.AfterFunc(creepStep, func() { b.dispatch(b.creepOn) })
}

// creepOn is a step of it.
func (b *Board) creepOn() {
	b.creeping = false
	dx, dy := b.creepBy()
	if dx == 0 && dy == 0 {
		return
	}
	b.pan(dx, dy)
	b.mark(pointerDirt)
	b.creep()
}

// creepBy is how far the ground moves in a step: the farther out the pointer, the farther.
func (b *Board) creepBy() (dx, dy float64) {
	if !b.pointer.pressed || !b.tool.Busy() {
		return 0, 0
	}
	out := func(at, size float32) float64 {
		switch d := float64(at); {
		case d < creepEdge:
			return min(creepMost, (creepEdge-d)/4+1)
		case d > float64(size)-creepEdge:
			return -min(creepMost, (d-float64(size)+creepEdge)/4+1)
		}
		return 0
	}
	return out(b.pointer.at.X, b.size.Width), out(b.pointer.at.Y, b.size.Height)
}

// DragEnd is all that comes where the button is let go over something else.
func (b *Board) DragEnd() {
	b.release(b.pointer.at)
	b.focus()
}

// MouseIn brings the pointer.
func (b *Board) MouseIn(e *desktop.MouseEvent) { b.MouseMoved(e) }

// MouseMoved moves the pointer with no drag under way.
func (b *Board) MouseMoved(e *desktop.MouseEvent) {
	b.pointer.over = true
	if e.Button&^desktop.MouseButtonSecondary == 0 {
		b.release(b.pointer.at) // where letting go went unseen
	} else {
		return // the button is down, and has not moved far enough to be a drag
	}
	if b.pointer.at != e.Position { // the toolkit tells of a move also where a dialog has gone
		b.keys.on = false
	}
	b.pointer.at = e.Position
	b.mark(pointerDirt)
}

// MouseOut takes the pointer away.
func (b *Board) MouseOut() {
	b.pointer.over = false
	b.mark(editDirt)
}

// notch is what one notch of a wheel scrolls.
const notch = 25

// Scrolled zooms at the pointer; sideways, and with Shift, it pans. A fast wheel sends large steps, so they are bounded.
func (b *Board) Scrolled(e *fyne.ScrollEvent) {
	dx, dy := float64(e.Scrolled.DX), float64(e.Scrolled.DY)
	if b.Mods()&fyne.KeyModifierShift != 0 {
		b.pan(dx*2, dy*2)
		return
	}
	if dx != 0 {
		b.pan(dx*2, 0)
	}
	if dy != 0 {
		n := min(1.5, max(-1.5, dy/notch))
		b.zoom(math.Pow(zoomStep, n), orb.Point{float64(e.Position.X), float64(e.Position.Y)})
	}
	if b.pointer.pressed || b.tool.Busy() {
		b.pointer.at = e.Position
		b.mark(pointerDirt)
	}
}

// FocusGained shows that keys come here.
func (b *Board) FocusGained() {
	b.focused = true
	b.edit.ring(true)
}

// FocusLost shows that they no longer do.
func (b *Board) FocusLost() {
	b.focused, b.space = false, false
	b.edit.ring(false)
}

// KeyDown watches the space bar, and takes the arrows with Alt or Ctrl: the toolkit makes shortcuts of those, and they never
// come as typed keys.
func (b *Board) KeyDown(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeySpace:
		b.space = true
		b.pressByKey()
	case fyne.KeyLeft, fyne.KeyRight, fyne.KeyUp, fyne.KeyDown:
		if b.Mods()&(fyne.KeyModifierAlt|fyne.KeyModifierControl) != 0 {
			b.HandleKey(e.Name)
		}
	}
}

// KeyUp watches the space bar.
func (b *Board) KeyUp(e *fyne.KeyEvent) {
	if e.Name == fyne.KeySpace {
		b.space = false
	}
}

// TypedRune is a letter or digit: for the tool at work, else a zoom or another tool.
func (b *Board) TypedRune(r rune) { b.HandleRune(r) }

// HandleRune is TypedRune; it answers whether the rune meant something, for a window that hears keys when nothing has focus.
func (b *Board) HandleRune(r rune) bool {
	b.heed()
	if b.tool.Rune(r) {
		b.said = ""
		b.mark(editDirt)
		return true
	}
	switch r {
	case '?':
		b.help()
		return true
	case '+', '=':
		b.ZoomIn()
		return true
	case '-', '_':
		b.ZoomOut()
		return true
	}
	if b.tool.Busy() {
		return false // a slip of the finger must not throw away what is half drawn
	}
	if r == '0' {
		b.Fit()
		return true
	}
	if name, ok := isToolKey(r); ok {
		b.SetTool(name)
		return true
	}
	return b.OnRune != nil && b.OnRune(r)
}

var toolKeys = map[fyne.KeyName]tool.Key{
	fyne.KeyReturn: tool.Enter, fyne.KeyEnter: tool.Enter, fyne.KeyEscape: tool.Escape, fyne.KeyBackspace: tool.Backspace,
	fyne.KeyDelete: tool.Delete, fyne.KeyLeft: tool.Left, fyne.KeyRight: tool.Right, fyne.KeyUp: tool.Up, fyne.KeyDown: tool.Down,
}

// TypedKey is a key that is no letter.
func (b *Board) TypedKey(e *fyne.KeyEvent) { b.HandleKey(e.Name) }

// HandleKey is TypedKey; it answers whether the key meant something.
func (b *Board) HandleKey(name fyne.KeyName) bool {
	b.heed()
	dx, dy := arrow(name)
	arrowed := dx != 0 || dy != 0
	if arrowed && b.Mods()&fyne.KeyModifierControl != 0 {
		const part = 4 // of what is seen
		b.pan(-dx*float64(b.size.Width)/part, dy*float64(b.size.Height)/part)
		return true
	}
	if name == fyne.KeyEscape && !b.tool.Busy() && b.OnEscape != nil && b.OnEscape() {
		return true
	}
	if k, ok := toolKeys[name]; ok {
		b.said = ""
		taken := b.tool.Key(k, toolMods(b.Mods()))
		b.mark(editDirt)
		if taken {
			return true
		}
	}
	switch name {
	case fyne.KeyF1:
		b.help()
	case fyne.KeyHome:
		b.Fit()
	case fyne.KeyEscape:
		b.SetTool("Pick")
	case fyne.KeyPageDown:
		b.step(1)
	case fyne.KeyPageUp:
		b.step(-1)
	default:
		if !arrowed {
			return false
		}
		if b.byKeys() {
			b.movePointer(dx, dy)
		} else {
			const step = 60
			b.pan(-dx*step, dy*step)
		}
	}
	return true
}

// arrow is the way that an arrow key points, right and up; 0, 0 for any other key.
func arrow(name fyne.KeyName) (dx, dy float64) {
	switch name {
	case fyne.KeyLeft:
		return -1, 0
	case fyne.KeyRight:
		return 1, 0
	case fyne.KeyUp:
		return 0, 1
	case fyne.KeyDown:
		return 0, -1
	}
	return 0, 0
}

func (b *Board) help() {
	if b.OnHelp != nil {
		b.OnHelp()
	}
}

// Cursor is the pointer's look over the board.
func (b *Board) Cursor() desktop.Cursor {
	switch {
	case b.space || b.pointer.panning:
		return moveCursor
	case b.toolName != "Pick":
		return desktop.CrosshairCursor
	}
	if p, ok := b.tool.(interface{ Over() tool.Over }); ok {
		switch p.Over() {
		case tool.OverTurner:
			return turnCursor
		case tool.OverHandle:
			return desktop.CrosshairCursor
		case tool.OverChosen:
			return moveCursor
		case tool.OverFeature:
			return desktop.PointerCursor
		}
	}
	return desktop.DefaultCursor
}
