// Package board is the drawing board: the ground of a plan on screen, to scale, with the tools that draw on it. It is one
// widget made of a few pictures laid over each other, and shows what a session holds. It measures nothing itself.
//
//	paper       a plain rectangle, so that nothing is ever blank
//	far         a coarse picture of the whole plan, seen only where a quick pan or zoom goes beyond the base
//	base        everything that is not being changed, painted by a worker with a margin about the window; a pan moves it, a
//	            zoom stretches it until the next one is there
//	shade       the reach of what is asked about: a coarse grid of distances, stretched
//	edit        what is being changed, selected or pointed at; painted anew each frame that something of it changes
//	furniture   scale bar and north
//
// Only the picture that changed is handed to the screen again.
package board

import (
	"slices"
	"unicode"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/app/board/tool"
	"hedgereach/app/document"
	"hedgereach/app/ground"
	"hedgereach/app/session"
	"hedgereach/app/skin"
	"hedgereach/app/style"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// ToolInfo describes a tool for menus and key lists.
type ToolInfo = tool.Info

// A Board is the widget. All its methods belong to the window's goroutine.
type Board struct {
	widget.BaseWidget

	// OnHint hears the line for the status bar whenever it changes; OnToolChanged the name of the tool taken up; OnMenu
	// where a menu for the selection is asked for (window coordinates). Any may be nil.
	OnHint        func(string)
	OnToolChanged func(string)
	OnMenu        func(fyne.Position)
	OnHelp        func() // hears that F1 or ? was pressed
	// OnRune hears a letter that means nothing to the board, and answers whether it meant something.
	OnRune func(rune) bool
	// OnEscape is asked first where Escape finds no gesture under way; it answers whether it had something to close.
	OnEscape func() bool

	// Mods says which keys are held down. New sets it to ask the driver; tests set their own.
	Mods func() fyne.KeyModifier

	session  *session.Session
	document *document.Document // the one that the view was fitted to
	dispatch func(func())       // brings a worker's result to the window's goroutine
	atFrame  func(func())       // calls back before the next frame is painted

	view   ground.View // metres to the widget's own units
	size   fyne.Size
	pixels float64 // in a unit
	fitted bool    // the view was set once
	whole  bool    // the view is as Fit left it

	toolName string
	lastTool string // the one in use before
	tool     tool.Tool
	kind     plan.Kind
	widths   map[plan.Kind]float64
	snap     bool // to the grid
	cling    bool // to what is drawn
	grid     bool // its lines are shown
	shading  bool
	labels   bool
	said     string // what the last action had to say
	hint     string // as last told

	dirty     dirt
	scheduled bool
	inCommit  bool

	pointer  pointer
	keys     keyPointer
	creeping bool // a step of creep is on its way
	space    bool // the space bar is down: the main button pans
	focused  bool
	statuses map[string]habitat.Status
	selected map[string]bool // ids
	numbers  map[string]string
	numbered []*plan.Feature // what numbers was made from
	crops    standing        // what stands in the beds at the time shown
	moving   map[string]bool // ids of features that the gesture under way makes anew

	ghosts []Ghost // proposed, not in the plan

	far       farLayer
	base      baseLayer
	shade     shadeLayer
	edit      editLayer
	furniture furnitureLayer
}

// dirt says what has to be done before the next frame.
type dirt uint

const (
	pointerDirt dirt = 1 << iota // the pointer moved
	viewDirt                     // another part of the ground is shown
	baseDirt                     // the base shows something that is no longer so
	shadeDirt
	editDirt
)

var (
	_ fyne.Widget        = (*Board)(nil)
	_ fyne.Draggable     = (*Board)(nil)
	_ fyne.Scrollable    = (*Board)(nil)
	_ fyne.Focusable     = (*Board)(nil)
	_ desktop.Mouseable  = (*Board)(nil)
	_ desktop.Hoverable  = (*Board)(nil)
	_ desktop.Keyable    = (*Board)(nil)
	_ desktop.Cursorable = (*Board)(nil)
)

// New makes a board for a session. dispatch brings work from other goroutines to the window's (fyne.Do in a program).
func New(s *session.Session, dispatch func(func())) *Board {
	b := &Board{session: s, document: s.Document(), dispatch: dispatch, kind: plan.Bed, widths: map[plan.Kind]float64{}, snap: true,
		cling: true, grid: true, shading: true,
		labels: true, pixels: 1, atFrame: beforeFrame, Mods: driverMods, statuses: map[string]habitat.Status{},
		selected: map[string]bool{}, moving: map[string]bool{}}
	b.view.Scale = 10
	b.ExtendBaseWidget(b)
	b.far.start(b)
	b.base.start(b)
	b.shade.start(b)
	b.edit.start(b)
	b.furniture.start(b)
	b.toolName, b.tool = "Pick", tool.New("Pick", editor{b})
	b.recount()
	b.reselect()
	s.Observe(b.changed)
	return b
}

// beforeFrame calls fn once, after the toolkit has handed on all events of this frame and before it paints: an animation of
// no length is the one hook that it has there.
func beforeFrame(fn func()) {
	done := false
	fyne.NewAnimation(0, func(float32) {
		if !done {
			done = true
			fn()
		}
	}).Start()
}

func driverMods() fyne.KeyModifier {
	if d, ok := fyne.CurrentApp().Driver().(desktop.Driver); ok {
		return d.CurrentKeyModifiers()
	}
	return 0
}

// changed hears of the session.
func (b *Board) changed(w session.What) {
	if w&session.PlanChanged != 0 && !b.inCommit && b.tool.Busy() {
		b.tool.Cancel() // undo, or another plan: the gesture's ground has gone
	}
	if w&(session.PlanChanged|session.PreviewChanged|session.AskChanged) != 0 {
		b.recount()
		b.mark(editDirt | shadeDirt)
		if w&(session.PlanChanged|session.AskChanged) != 0 || !b.session.Previewing() {
			b.mark(baseDirt)
		}
	}
	if d := b.session.Document(); d != b.document {
		b.document = d
		b.Fit()
	}
	if w&session.SelectionChanged != 0 {
		b.said = "" // it was of something else
		b.reselect()
		b.mark(editDirt)
	}
	if w&session.FocusAsked != 0 {
		b.locate()
	}
}

// recount takes the statuses of all beds, their numbers, and which features the gesture makes anew, from the session.
func (b *Board) recount() {
	beds := b.session.Assessment().Beds
	if len(b.statuses) > len(beds) {
		clear(b.statuses)
	}
	for _, bed := range beds {
		st := b.session.Status(bed)
		if was, had := b.statuses[bed.Feature.ID]; !had || was != st {
			b.statuses[bed.Feature.ID] = st
		}
	}
	b.renumber()
	clear(b.moving)
	if !b.session.Previewing() {
		return
	}
	committed := b.session.Committed().Features
	for i, f := range b.session.Plan().Features {
		if i >= len(committed) || committed[i] != f {
			b.moving[f.ID] = true
		}
	}
}

// renumber makes the short marks of beds anew where a bed came, went or was renamed. A drag does none of these.
func (b *Board) renumber() {
	p := b.session.Plan()
	same := b.numbers != nil && len(p.Features) == len(b.numbered)
	for i := 0; same && i < len(p.Features); i++ {
		f, g := p.Features[i], b.numbered[i]
		same = f == g || f.Kind == g.Kind && f.Name == g.Name && f.ID == g.ID
	}
	if !same {
		b.numbers, b.numbered = ground.Numbers(p), p.Features
	}
}

// reselect takes the selection from the session.
func (b *Board) reselect() {
	clear(b.selected)
	for _, id := range b.session.Selection() {
		b.selected[id] = true
	}
}

// mark says what has to be done before the next frame.
func (b *Board) mark(d dirt) {
	b.dirty |= d
	if !b.scheduled {
		b.scheduled = true
		b.atFrame(b.frame)
	}
}

// frame does everything that one frame needs: hand the pointer on, then bring the pictures up to date.
func (b *Board) frame() {
	for b.dirty != 0 {
		d := b.dirty
		b.dirty = 0
		if d&pointerDirt != 0 {
			b.hand()
			b.dirty |= d &^ pointerDirt // what that changed is done together with the rest
			continue
		}
		if b.size.IsZero() {
			continue
		}
		if d&viewDirt != 0 {
			b.base.place(b.view)
			b.shade.place(b.view)
			b.furniture.update(b)
			d |= editDirt
		}
		b.base.update(b, d)
		b.far.lay(b)
		b.shade.update(b, d)
		if d&editDirt != 0 {
			b.edit.paint(b)
		}
	}
	b.scheduled = false
	b.tellHint()
}

// hand gives the last position of the pointer to the tool.
func (b *Board) hand() {
	switch p := &b.pointer; {
	case p.pressed:
		b.tool.Drag(b.event(p.at))
	case b.keys.on:
		b.tool.Move(b.keyEvent(0))
	default:
		b.tool.Move(b.event(p.at))
	}
	b.dirty |= editDirt
}

// heed hands the pointer on at once where its last move still waits for the frame: a key, a press or a release that comes
// between two frames is meant where the pointer is by then. On a slow machine many of them do.
func (b *Board) heed() {
	if b.dirty&pointerDirt != 0 {
		b.dirty &^= pointerDirt
		b.hand()
	}
}

// look is the style in pixels.
func (b *Board) look() style.Look { return style.Screen(skin.Palette(), b.pixels) }

// units is the plan's system of lengths.
func (b *Board) units() plan.Units { return b.session.Plan().Units }

// Tools lists the tools in the order in which they are shown.
func (b *Board) Tools() []ToolInfo { return slices.Clone(tool.Infos) }

// Tool is the name of the tool in use.
func (b *Board) Tool() string { return b.toolName }

// SetTool takes up the tool of the name; what was half done with the other one is given up. An unknown name changes nothing.
func (b *Board) SetTool(name string) {
	t := tool.New(name, editor{b})
	if t == nil || name == b.toolName {
		return
	}
	b.tool.Cancel()
	b.lastTool = b.toolName
	b.toolName, b.tool, b.said = name, t, ""
	if b.keys.on = b.keys.on && b.byKeys(); b.keys.on {
		b.mark(pointerDirt)
	}
	b.mark(editDirt)
	if b.OnToolChanged != nil {
		b.OnToolChanged(name)
	}
}

// Kind is what the drawing tools draw.
func (b *Board) Kind() plan.Kind { return b.kind }

// SetKind chooses what the drawing tools draw. What is half drawn goes on as the new kind. Traps and stakes are set with
// one click: choosing one takes the tool for that in hand, and choosing something else puts it away.
func (b *Board) SetKind(k plan.Kind) {
	b.kind = k
	switch mark := tool.IsMark(k); {
	case mark && !b.tool.Busy():
		b.SetTool("Mark")
	case !mark && b.toolName == "Mark":
		b.SetTool(b.lastTool)
	}
	b.mark(editDirt)
}

// Width is the width in metres of the strips that are drawn of the kind in use.
func (b *Board) Width() float64 {
	if w := b.widths[b.kind]; w > 0 {
		return w
	}
	return arrange.DefaultWidth(b.kind)
}

// SetWidth sets the width in metres of strips of the kind in use; 0 goes back to the usual one.
func (b *Board) SetWidth(metres float64) {
	b.widths[b.kind] = metres
	b.mark(editDirt)
}

// Snap tells whether points are drawn to the grid.
func (b *Board) Snap() bool { return b.snap }

// SetSnap turns drawing to the grid on or off.
func (b *Board) SetSnap(on bool) {
	b.snap = on
	b.mark(pointerDirt)
}

// Cling tells whether points are drawn to what is on the ground: corners, edges, directions, equal gaps.
func (b *Board) Cling() bool { return b.cling }

// SetCling turns drawing to what is on the ground on or off.
func (b *Board) SetCling(on bool) {
	b.cling = on
	b.mark(pointerDirt)
}

// Grid tells whether the lines of the grid are shown.
func (b *Board) Grid() bool { return b.grid }

// SetGrid shows the lines of the grid or not.
func (b *Board) SetGrid(on bool) {
	b.grid = on
	b.mark(baseDirt)
}

// Shading tells whether the reach is shaded.
func (b *Board) Shading() bool { return b.shading }

// SetShading turns the shading of the reach on or off.
func (b *Board) SetShading(on bool) {
	b.shading = on
	b.mark(shadeDirt | editDirt)
}

// Labels tells whether names are shown.
func (b *Board) Labels() bool { return b.labels }

// SetLabels shows names or not.
func (b *Board) SetLabels(on bool) {
	b.labels = on
	b.mark(baseDirt | editDirt)
}

// Hint is the line for the status bar: what the last action had to say, else what can be done next.
func (b *Board) Hint() string {
	if b.said != "" {
		return b.said
	}
	if b.keys.on {
		return b.tool.Hint() + " – by keys: arrows move the pointer, Space clicks"
	}
	return b.tool.Hint()
}

func (b *Board) tellHint() {
	if h := b.Hint(); h != b.hint {
		b.hint = h
		if b.OnHint != nil {
			b.OnHint(h)
		}
	}
}

// Undo takes back the last corner of what is half drawn, or puts back what is being dragged; else it takes the last edit back.
func (b *Board) Undo() {
	switch {
	case !b.tool.Busy():
		b.session.Undo()
	case b.toolName == "Pick" || !b.tool.Key(tool.Backspace, 0):
		b.tool.Cancel()
	}
	b.mark(editDirt)
}

// DeleteSelection takes the selected features out of the plan.
func (b *Board) DeleteSelection() {
	if b.tool.Busy() {
		b.tool.Cancel()
	}
	tool.DeleteSelection(editor{b})
}

// SelectAll selects every feature.
func (b *Board) SelectAll() {
	var ids []string
	for _, f := range b.session.Plan().Features {
		if !f.Hidden {
			ids = append(ids, f.ID)
		}
	}
	b.session.Select(ids...)
}

// Cancel gives up what is half done, as the Escape key does.
func (b *Board) Cancel() { b.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape}) }

// An editor is the board as its tools see it.
type editor struct{ *Board }

func (e editor) Plan() *plan.Plan     { return e.session.Committed() }
func (e editor) Selection() []string  { return e.session.Selection() }
func (e editor) Select(ids ...string) { e.session.Select(ids...) }
func (e editor) Preview(p *plan.Plan) { e.session.Preview(p) }
func (e editor) CancelPreview()       { e.session.CancelPreview() }
func (e editor) Say(text string)      { e.said = text }
func (e editor) Commit(name string, p *plan.Plan) error {
	e.inCommit = true
	defer func() { e.inCommit = false }()
	return e.session.Commit(name, p)
}

// reachUnits is how far off the pointer may be, in the widget's units.
const reachUnits = 7

// snapUnits is the least step of the grid that points are drawn to, in the widget's units: finer than the lines shown, and a
// round number.
const snapUnits = 5

func (e editor) Settings() tool.Settings {
	s := tool.Settings{Kind: e.kind, WidthM: e.Width(), Units: tool.System(e.units()), ReachM: reachUnits / e.view.Scale,
		Turn: e.view.Turn, GridOnly: !e.cling}
	if e.snap {
		s.StepM = e.StepM()
	}
	return s
}

// StepM is the step in metres that points are drawn to at this zoom.
func (b *Board) StepM() float64 {
	look := style.Screen(skin.Palette(), 1)
	return ground.GridStep(b.view.Scale*gridUnits/snapUnits, b.units(), look)
}

// gridUnits is how close ground.GridStep lets lines come, in points.
const gridUnits = 26

// isToolKey finds the tool that a letter chooses.
func isToolKey(r rune) (string, bool) {
	for _, t := range tool.Infos {
		if t.Key == unicode.ToLower(r) {
			return t.Name, true
		}
	}
	return "", false
}

// at is the place on the ground under a position of the widget.
func (b *Board) at(p fyne.Position) orb.Point {
	return b.view.From(orb.Point{float64(p.X), float64(p.Y)})
}
