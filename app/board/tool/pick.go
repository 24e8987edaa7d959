package tool

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/geometry"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// Pick chooses, moves and reshapes what is drawn.
type Pick struct {
	ed     Editor
	state  pickState
	down   orb.Point // where the button went down
	at     orb.Point // where the pointer counts as being
	word   string    // what it was snapped to
	guides []orb.LineString
	near   *spacing  // where a move can come into line
	raw    orb.Point // where the pointer is
	over   Over

	base    *plan.Plan      // the plan when the gesture began
	moving  []*plan.Feature // of base
	places  []int           // where they stand in base
	anchor  orb.Point       // the corner of what is moved that is snapped
	grabbed string          // id of the feature pressed on
	toggle  bool            // the press was with Shift on a selected feature: let go without a move, it leaves the selection

	grip   grip // the handle held
	chosen grip // the corner that Delete takes away
	has    bool // chosen is set, for the feature …
	of     string
	turn   *turning
	shape  *plan.Feature // as reshaped so far; nil where the gesture makes no shape
	bad    string
}

type pickState int

const (
	idle        pickState = iota
	pressed               // on a feature, not moved yet
	moving                // the selection is dragged
	gripping              // a handle is held, not moved yet
	shaping               // a handle is dragged
	boxing                // a box is drawn to select
	turningHeld           // the turning handle is held, not moved yet
	spinning              // it is dragged
)

// Busy tells whether a gesture is under way.
func (p *Pick) Busy() bool { return p.state != idle }

// Cancel gives the gesture up.
func (p *Pick) Cancel() {
	if p.state == moving || p.state == shaping || p.state == spinning {
		p.ed.CancelPreview()
	}
	p.stop()
}

func (p *Pick) stop() {
	p.state, p.base, p.moving, p.places, p.shape, p.bad, p.word, p.turn = idle, nil, nil, nil, nil, "", "", nil
	p.guides, p.near = nil, nil
}

// only is the selected feature where exactly one is selected: then it has handles.
func (p *Pick) only() *plan.Feature {
	sel := p.ed.Selection()
	if len(sel) != 1 {
		return nil
	}
	f, _ := p.ed.Plan().Find(sel[0])
	return f
}

// Press takes hold of what lies under the pointer: a handle, a feature, or nothing.
func (p *Pick) Press(e Event) {
	if p.Busy() {
		p.Cancel()
	}
	p.down, p.raw, p.at, p.base, p.toggle = e.At, e.At, e.At, p.ed.Plan(), false
	reach := p.ed.Settings().ReachM
	if g, ok := p.turner(); ok && dist(g.At, e.At) <= reach {
		p.state = turningHeld
		return
	}
	if f := p.only(); f != nil {
		if g, ok := nearestGrip(grips(f), e.At, reach); ok {
			p.state, p.grip, p.grabbed = gripping, g, f.ID
			return
		}
	}
	p.has = false
	f := Hit(p.base, e.At, reach)
	if f == nil {
		p.state = boxing
		return
	}
	p.state, p.grabbed = pressed, f.ID
	sel := p.ed.Selection()
	switch already := slices.Contains(sel, f.ID); {
	case already:
		p.toggle = e.Mods&Shift != 0
	case e.Mods&Shift != 0:
		p.ed.Select(append(sel, f.ID)...)
	default:
		p.ed.Select(f.ID)
	}
}

// Move with a gesture under way means that the button was let go unseen: the gesture ends where it last was.
func (p *Pick) Move(e Event) {
	if p.Busy() {
		p.Release(Event{At: p.raw, Mods: e.Mods})
	}
	p.raw, p.at = e.At, e.At
	p.over = p.under(e.At)
}

// An Over is what the pointer is over, for the look of the pointer.
type Over int

// What a pointer can be over.
const (
	OverGround Over = iota
	OverFeature
	OverChosen // a feature that is selected: a drag moves it
	OverHandle
	OverTurner
)

// Over is what the pointer is over.
func (p *Pick) Over() Over { return p.over }

func (p *Pick) under(at orb.Point) Over {
	reach := p.ed.Settings().ReachM
	if g, ok := p.turner(); ok && dist(g.At, at) <= reach {
		return OverTurner
	}
	if f := p.only(); f != nil {
		if _, ok := nearestGrip(grips(f), at, reach); ok {
			return OverHandle
		}
	}
	switch f := Hit(p.ed.Plan(), at, reach); {
	case f == nil:
		return OverGround
	case !f.Locked && slices.Contains(p.ed.Selection(), f.ID):
		return OverChosen
	}
	return OverFeature
}

// Drag moves the selection, the handle or the box along.
func (p *Pick) Drag(e Event) {
	p.raw = e.At
	switch p.state {
	case pressed:
		if f, _ := p.base.Find(p.grabbed); f != nil && f.Locked {
			p.state, p.at = boxing, e.At // what is locked is as ground
			return
		}
		p.begin()
		p.move(e)
	case moving:
		p.move(e)
	case gripping, shaping:
		p.state = shaping
		p.reshape(e)
	case boxing:
		p.at = e.At
	case turningHeld:
		p.beginTurn()
		p.turnTo(e)
	case spinning:
		p.turnTo(e)
	}
}

// begin starts a move of the selection. What is locked stays.
func (p *Pick) begin() {
	p.state, p.toggle = moving, false
	for _, id := range p.ed.Selection() {
		if f, i := p.base.Find(id); f != nil && !f.Locked {
			p.moving, p.places = append(p.moving, f), append(p.places, i)
		}
	}
	p.anchor = p.down
	if f, _ := p.base.Find(p.grabbed); f != nil {
		p.anchor = anchorOf(f, p.down)
	}
}

// anchorOf is the corner nearest to where a feature was taken hold of; a circle's is its centre.
func anchorOf(f *plan.Feature, at orb.Point) orb.Point {
	if f.Centre != nil {
		return *f.Centre
	}
	best, least := at, math.Inf(1)
	try := func(c orb.Point) {
		if d := dist(c, at); d < least {
			best, least = c, d
		}
	}
	if len(f.Line) > 0 {
		for _, c := range f.Line {
			try(c)
		}
	} else {
		eachCorner(f.Geometry, try)
	}
	return best
}

func (p *Pick) move(e Event) {
	d := orb.Point{e.At[0] - p.down[0], e.At[1] - p.down[1]}
	if e.Mods&Shift != 0 { // along the screen or up and down only
		d = p.frame().In(d)
		if math.Abs(d[0]) > math.Abs(d[1]) {
			d[1] = 0
		} else {
			d[0] = 0
		}
		d = p.frame().Out(d)
	}
	to := Event{At: orb.Point{p.anchor[0] + d[0], p.anchor[1] + d[1]}, Mods: e.Mods}
	got := p.settle(to)
	p.word, p.guides = got.word, got.guides
	d = orb.Point{mm(got.at[0] - p.anchor[0]), mm(got.at[1] - p.anchor[1])}
	p.at = orb.Point{p.down[0] + d[0], p.down[1] + d[1]}
	p.ed.Preview(p.moved())
}

func (p *Pick) reshape(e Event) {
	f, i := p.base.Find(p.grabbed)
	if f == nil {
		p.Cancel()
		return
	}
	_, square := oblong(f)
	switch {
	case p.grip.Sort == Width || p.grip.Sort == Radius:
		p.at, p.word = p.steps(e), ""
		p.shape = reshape(f, p.grip, p.at)
	case square && e.Mods&Shift == 0:
		p.stretch(f, e)
	case square: // Shift lets the corner go its own way
		got := snap(p.ed, e, func(g *plan.Feature) bool { return g == f })
		p.at, p.word, p.guides = got.at, got.word, got.guides
		p.shape = reshape(f, p.grip, p.at)
	default:
		got := snap(p.ed, e, func(g *plan.Feature) bool { return g == f }, p.neighbour(f)...)
		p.at, p.word, p.guides = got.at, got.word, got.guides
		if e.Mods&Shift != 0 {
			p.at, _ = straight(p.grip.At, p.at, -p.ed.Settings().Turn)
			p.word, p.guides = "straight", nil
		}
		p.shape = reshape(f, p.grip, p.at)
	}
	if p.shape == nil {
		p.bad = "nothing would be left of it"
		p.ed.CancelPreview()
		return
	}
	if p.bad = trouble(p.shape.Geometry); p.bad != "" {
		p.ed.CancelPreview()
		return
	}
	next := p.base.Clone()
	next.Features[i] = p.shape
	p.ed.Preview(next)
}

// square tells whether what is reshaped is a rectangle.
func (p *Pick) square() bool {
	f, _ := p.base.Find(p.grabbed)
	if f == nil || p.grip.Sort != Corner && p.grip.Sort != Middle {
		return false
	}
	_, ok := oblong(f)
	return ok
}

// stretch drags a corner or a side of a rectangle, which stays one.
func (p *Pick) stretch(f *plan.Feature, e Event) {
	got := snap(p.ed, e, func(g *plan.Feature) bool { return g == f })
	p.at, p.word, p.guides = got.at, got.word, got.guides
	step := 0.0
	if got.word == "grid" {
		step = p.step(f)
	}
	p.shape = stretched(f, p.grip, p.at, step)
}

// step is the step that the sides of a rectangle come to: the grid's, where it does not lie as the grid does.
func (p *Pick) step(f *plan.Feature) float64 {
	h, ok := headingOf(f)
	if t := p.ed.Settings().Turn * 180 / math.Pi; ok && math.Abs(math.Remainder(h+t, 90)) < 0.01 {
		return 0 // drawn to the grid, its corners lie on it already
	}
	return p.ed.Settings().StepM
}

// neighbour is the corner before the one that is dragged, so that the edge between them can be square or level.
func (p *Pick) neighbour(f *plan.Feature) []orb.Point {
	if p.grip.line {
		if p.grip.i > 0 || p.grip.Sort == Middle {
			return f.Line[max(0, p.grip.i-1):][:1]
		}
		return f.Line[1:2]
	}
	ring := ringOf(f, p.grip)
	if ring == nil {
		return nil
	}
	n := len(*ring) - 1
	if p.grip.Sort == Middle {
		return (*ring)[p.grip.i:][:1]
	}
	return (*ring)[(p.grip.i+n-1)%n:][:1]
}

// steps keeps a width or radius to whole steps of the grid, measured from where it counts, unless snapping is held off.
func (p *Pick) steps(e Event) orb.Point {
	f, _ := p.base.Find(p.grabbed)
	step := p.ed.Settings().StepM
	if step <= 0 || e.Mods&Ctrl != 0 {
		return roundPoint(e.At)
	}
	from := p.foot(f, e.At)
	m := dist(from, e.At)
	if p.grip.Sort == Width {
		step /= 2 // the handle is half a width from the line
	}
	return alongExact(from, e.At, math.Round(m/step)*step)
}

// foot is the point that a width or radius is measured from: on the centre line, or the centre.
func (p *Pick) foot(f *plan.Feature, at orb.Point) orb.Point {
	if p.grip.Sort == Radius {
		return *f.Centre
	}
	a, b := f.Line[p.grip.i], f.Line[p.grip.i+1]
	dx, dy := b[0]-a[0], b[1]-a[1]
	l := dx*dx + dy*dy
	if l == 0 {
		return a
	}
	t := ((at[0]-a[0])*dx + (at[1]-a[1])*dy) / l
	return orb.Point{a[0] + t*dx, a[1] + t*dy}
}

func alongExact(a, p orb.Point, m float64) orb.Point {
	d := dist(a, p)
	if d == 0 {
		return p
	}
	return orb.Point{a[0] + (p[0]-a[0])*m/d, a[1] + (p[1]-a[1])*m/d}
}

// Release ends the gesture: what was dragged is handed in, a click chooses.
func (p *Pick) Release(e Event) {
	defer p.stop()
	switch p.state {
	case pressed:
		if p.toggle {
			p.ed.Select(slices.DeleteFunc(p.ed.Selection(), func(id string) bool { return id == p.grabbed })...)
		} else if e.Mods&Shift == 0 && len(p.ed.Selection()) > 1 {
			p.ed.Select(p.grabbed) // a plain click on one of several chooses it alone
		}
	case moving:
		p.Drag(e)
		p.handIn("move "+arrange.What(p.moving), p.moved())
	case gripping:
		p.click(e)
	case shaping:
		p.Drag(e)
		p.endShape()
	case boxing:
		p.box(e)
	case spinning:
		p.Drag(e)
		p.endTurn()
	}
}

// moved is the plan that the move makes; the old one where it comes to nothing.
func (p *Pick) moved() *plan.Plan {
	d := orb.Point{mm(p.at[0] - p.down[0]), mm(p.at[1] - p.down[1])}
	if d == (orb.Point{}) {
		return p.base
	}
	next := p.base.Clone()
	for k, f := range p.moving {
		next.Features[p.places[k]] = arrange.Moved(f, d[0], d[1])
	}
	return next
}

func (p *Pick) handIn(name string, next *plan.Plan) {
	if next == p.base {
		p.ed.CancelPreview()
		return
	}
	if err := p.ed.Commit(name, next); err != nil {
		p.ed.Say(err.Error())
	}
}

// click on a handle chooses a corner; with Ctrl it takes the corner away.
func (p *Pick) click(e Event) {
	if p.grip.Sort != Corner {
		return
	}
	p.chosen, p.of, p.has = p.grip, p.grabbed, true
	if e.Mods&Ctrl != 0 {
		p.removeCorner()
	}
}

func (p *Pick) endShape() {
	f, i := p.base.Find(p.grabbed)
	if f == nil {
		return
	}
	if p.bad != "" {
		p.ed.CancelPreview()
		p.ed.Say(fmt.Sprintf("%s stays as it was: %s", arrange.What([]*plan.Feature{f}), p.bad))
		return
	}
	next := p.base
	if p.at != p.grip.At {
		next = p.base.Clone()
		next.Features[i] = p.shape
	}
	verb := "reshape "
	switch p.grip.Sort {
	case Width:
		verb = "change the width of "
	case Radius:
		verb = "change the size of "
	}
	p.handIn(verb+arrange.What([]*plan.Feature{f}), next)
}

func (p *Pick) box(e Event) {
	p.at = e.At
	var ids []string
	if e.Mods&Shift != 0 {
		ids = p.ed.Selection()
	}
	if dist(p.down, e.At) > p.ed.Settings().ReachM {
		t := p.frame()
		b := orb.MultiPoint{t.In(p.down), t.In(e.At)}.Bound()
		for _, f := range p.base.Features {
			if f.Geometry == nil || f.Hidden || slices.Contains(ids, f.ID) {
				continue
			}
			if g := t.Bound(f); b.Contains(g.Min) && b.Contains(g.Max) {
				ids = append(ids, f.ID)
			}
		}
	}
	p.ed.Select(ids...)
}

// Key moves the selection by a step with the arrows (ten steps with Shift, a centimetre with Alt), deletes, gives up.
func (p *Pick) Key(k Key, m Mods) bool {
	switch k {
	case Escape:
		switch {
		case p.Busy():
			p.Cancel()
		case p.has:
			p.has = false
		case len(p.ed.Selection()) > 0:
			p.ed.Select()
		default:
			return false
		}
		return true
	case Delete, Backspace:
		if p.Busy() {
			return true
		}
		if p.cornerChosen() {
			p.removeCorner()
			return true
		}
		return DeleteSelection(p.ed)
	case Left:
		return p.nudge(-1, 0, m)
	case Right:
		return p.nudge(1, 0, m)
	case Up:
		return p.nudge(0, 1, m)
	case Down:
		return p.nudge(0, -1, m)
	}
	return false
}

// cornerChosen tells whether a corner of the selected feature is chosen and still there.
func (p *Pick) cornerChosen() bool {
	f := p.only()
	if !p.has || f == nil || f.ID != p.of {
		return false
	}
	return slices.ContainsFunc(grips(f), func(g grip) bool { return g == p.chosen })
}

func (p *Pick) removeCorner() {
	f := p.only()
	p.has = false
	if f == nil {
		return
	}
	c := remove(f, p.chosen)
	if c == nil {
		p.ed.Say("Its last corners cannot be taken away: delete the whole feature instead")
		return
	}
	p.has = false
	name := arrange.What([]*plan.Feature{f})
	if bad := trouble(c.Geometry); bad != "" {
		p.ed.Say(fmt.Sprintf("%s stays as it was: without the corner, %s", name, bad))
		return
	}
	base := p.ed.Plan()
	_, i := base.Find(f.ID)
	next := base.Clone()
	next.Features[i] = c
	if err := p.ed.Commit("take a corner off "+name, next); err != nil {
		p.ed.Say(err.Error())
	}
}

// frame is how the ground lies on the screen.
func (p *Pick) frame() arrange.Frame { return arrange.Frame(p.ed.Settings().Turn) }

func (p *Pick) nudge(dx, dy float64, m Mods) bool {
	sel := p.ed.Selection()
	if p.Busy() || len(sel) == 0 {
		return false
	}
	step := p.ed.Settings().StepM
	switch {
	case m&Alt != 0 || step <= 0:
		step = 0.01
	case m&Shift != 0:
		step *= 10
	}
	base := p.ed.Plan()
	d := p.frame().Out(orb.Point{dx * step, dy * step})
	next := base.Clone()
	var moved []*plan.Feature
	for _, id := range sel {
		if f, i := base.Find(id); f != nil && !f.Locked {
			moved = append(moved, f)
			next.Features[i] = arrange.Moved(f, d[0], d[1])
		}
	}
	if len(moved) == 0 {
		p.ed.Say(lockedWords)
		return true
	}
	if err := p.ed.Commit("move "+arrange.What(moved), next); err != nil {
		p.ed.Say(err.Error())
	}
	return true
}

// lockedWords is said where all that is selected is locked.
const lockedWords = "It is locked: unlock it first (Arrange menu)"

// DeleteSelection takes the selected features out of the plan, but for those that are locked; false where none is selected.
func DeleteSelection(ed Editor) bool {
	base := ed.Plan()
	next := base.Clone()
	next.Features = nil
	var gone []*plan.Feature
	sel := ed.Selection()
	for _, f := range base.Features {
		if slices.Contains(sel, f.ID) && !f.Locked {
			gone = append(gone, f)
		} else {
			next.Features = append(next.Features, f)
		}
	}
	if len(gone) == 0 {
		if len(sel) > 0 {
			ed.Say(lockedWords)
		}
		return len(sel) > 0
	}
	if err := ed.Commit("delete "+arrange.What(gone), next); err != nil {
		ed.Say(err.Error())
	}
	return true
}

// Rune means nothing to Pick.
func (p *Pick) Rune(rune) bool { return false }

// Sketch shows the handles of a single selected feature, the box, and the figures of what is dragged.
func (p *Pick) Sketch() Sketch {
	s := Sketch{At: p.at, Snap: p.word, Guides: p.guides}
	switch p.state {
	case moving:
		d := orb.Point{mm(p.at[0] - p.down[0]), mm(p.at[1] - p.down[1])}
		sys := p.ed.Settings().Units
		s.Words = fmt.Sprintf("moved %s", length.Format(math.Hypot(d[0], d[1]), sys))
	case shaping:
		p.sketchShape(&s)
	case spinning:
		p.turn.sketch(&s)
	case boxing:
		if p.at != p.down {
			t := p.frame()
			a, c := t.In(p.down), t.In(p.at)
			s.Box = orb.Ring{p.down, t.Out(orb.Point{c[0], a[1]}), p.at, t.Out(orb.Point{a[0], c[1]}), p.down}
		}
	default:
		p.handles(&s, p.only())
		if g, ok := p.turner(); ok && p.state == idle {
			s.Handles = append(s.Handles, g.Handle)
		}
	}
	return s
}

func (p *Pick) sketchShape(s *Sketch) {
	s.Bad = p.bad
	if p.shape == nil {
		s.Words = p.bad
		return
	}
	s.Shape = p.shape.Geometry
	p.handles(s, p.shape)
	sys := p.ed.Settings().Units
	show := func(m float64) string { return length.Format(m, sys) }
	size := ""
	switch {
	case p.grip.Sort == Radius:
		size = "radius " + show(p.shape.RadiusM)
	case p.grip.Sort == Width:
		size = "width " + show(p.shape.WidthM)
	default:
		if size = sizes(p.shape, show); size == "" {
			size = p.sides(show)
		}
	}
	area := ""
	if p.bad == "" {
		area = length.FormatArea(geometry.Area(p.shape.Geometry), sys)
	}
	s.Words = words(size, area, p.bad)
}

// sides are the lengths of the edges that meet in the corner that is dragged.
func (p *Pick) sides(show func(float64) string) string {
	i := p.grip.i
	if p.grip.Sort == Middle {
		i++
	}
	var before, after orb.Point
	if p.grip.line {
		line := p.shape.Line
		switch {
		case i == 0:
			return show(dist(line[0], line[1]))
		case i == len(line)-1:
			return show(dist(line[i-1], line[i]))
		}
		before, after = line[i-1], line[i+1]
	} else {
		ring := ringOf(p.shape, p.grip)
		if ring == nil {
			return ""
		}
		open := (*ring)[:len(*ring)-1]
		n := len(open)
		before, after = open[(i+n-1)%n], open[(i+1)%n]
	}
	return fmt.Sprintf("%s and %s at %.0f°", show(dist(before, p.at)), show(dist(p.at, after)), corner(before, p.at, after))
}

func (p *Pick) handles(s *Sketch, f *plan.Feature) {
	if f == nil {
		return
	}
	for _, g := range grips(f) {
		h := g.Handle
		h.Chosen = p.has && p.of == f.ID && g == p.chosen
		s.Handles = append(s.Handles, h)
	}
}

// Hint says what comes next.
func (p *Pick) Hint() string {
	switch {
	case p.state == moving:
		return "Shift keeps to one direction, Ctrl holds off snapping, Esc puts it back"
	case p.state == spinning:
		return "Steps of 5°, with Shift of 15°; Ctrl turns freely; Esc puts it back"
	case p.state == shaping && p.square():
		return "It stays a rectangle; with Shift a corner goes its own way; Ctrl holds off snapping, Esc puts it back"
	case p.state == shaping:
		return "Ctrl holds off snapping, Esc puts it back"
	case p.cornerChosen():
		return "Delete takes the chosen corner away; drag moves it"
	}
	switch n := len(p.ed.Selection()); {
	case n == 1:
		return "Drag moves it; its handles reshape it; arrows nudge it; Delete takes it out"
	case n > 1:
		return "Drag moves them; arrows nudge them; Delete takes them out"
	}
	return "Click chooses, Shift adds, a drag over empty ground chooses all within"
}
