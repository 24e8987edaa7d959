package fields

import (
	"fmt"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// A Several is a word with a mark that opens lines to tick below it: whole answers, of which one at a time holds, and single things,
// of which several can hold in the place of a whole answer. Where nothing is ticked the first whole answer holds.
type Several struct {
	widget.Select
	Wholes   []Item
	Singles  func() []Item // asked for each time it opens
	Many     string        // what several single things are called: "guilds"
	OnTicked func()        // nil is allowed

	whole  string   // id; "" while single things hold
	chosen []Item   // single things
	ticks  []*aTick // while it is open
	popup  *widget.PopUp
}

// NewSeveral holds the first of the whole answers.
func NewSeveral(many string, wholes []Item, singles func() []Item) *Several {
	s := &Several{Wholes: wholes, Singles: singles, Many: many, whole: wholes[0].ID}
	s.ExtendBaseWidget(s)
	s.Selected = s.words()
	return s
}

// Tapped opens the lines.
func (s *Several) Tapped(*fyne.PointEvent) { s.Open() }

// Whole is the id of the whole answer that holds; "" where single things do.
func (s *Several) Whole() string { return s.whole }

// Chosen are the ids of the single things that hold, in their order.
func (s *Several) Chosen() (ids []string) {
	for _, it := range s.chosen {
		ids = append(ids, it.ID)
	}
	return ids
}

// Tick makes a line hold or not, as a tap on it does.
func (s *Several) Tick(id string, on bool) {
	if slices.ContainsFunc(s.Wholes, func(it Item) bool { return it.ID == id }) {
		s.whole, s.chosen = id, nil // a whole answer is left only for another
	} else {
		var next []Item
		for _, it := range s.Singles() {
			if it.ID == id && on || it.ID != id && slices.ContainsFunc(s.chosen, func(c Item) bool { return c.ID == it.ID }) {
				next = append(next, it)
			}
		}
		s.whole, s.chosen = "", next
		if len(next) == 0 {
			s.whole = s.Wholes[0].ID
		}
	}
	for _, t := range s.ticks {
		t.show(s.holds(t.id))
	}
	s.Selected = s.words()
	s.Refresh()
	if s.OnTicked != nil {
		s.OnTicked()
	}
}

func (s *Several) holds(id string) bool {
	return id == s.whole || slices.ContainsFunc(s.chosen, func(it Item) bool { return it.ID == id })
}

func (s *Several) words() string {
	for _, it := range s.Wholes {
		if it.ID == s.whole {
			return it.Name
		}
	}
	if len(s.chosen) == 1 {
		return s.chosen[0].Name
	}
	return fmt.Sprintf("%d %s", len(s.chosen), s.Many)
}

// Open shows the lines below the word, or above where there is more room. They stay until one taps beside them, or Escape.
func (s *Several) Open() {
	cv := fyne.CurrentApp().Driver().CanvasForObject(s)
	if cv == nil {
		return
	}
	s.ticks = nil
	lines := container.New(closeRows{})
	add := func(it Item) {
		t := newTick(it, s.holds(it.ID), func(on bool) { s.Tick(it.ID, on) }, s.Close)
		s.ticks = append(s.ticks, t)
		lines.Add(t)
	}
	for _, it := range s.Wholes {
		add(it)
	}
	lines.Add(widget.NewSeparator())
	for _, it := range s.Singles() {
		add(it)
	}
	all := cv.Size()
	at := fyne.CurrentApp().Driver().AbsolutePositionForObject(s)
	below := all.Height - at.Y - s.Size().Height - 8
	size := fyne.NewSize(max(s.Size().Width, lines.MinSize().Width+16), min(lines.MinSize().Height+16, max(below, at.Y-8)))
	pos := fyne.NewPos(min(at.X, all.Width-size.Width-8), at.Y+s.Size().Height)
	if size.Height > below {
		pos.Y = max(0, at.Y-size.Height-8)
	}
	s.popup = widget.NewPopUp(container.NewVScroll(lines), cv)
	s.popup.Resize(size)
	s.popup.ShowAtPosition(pos)
	cv.Focus(s.ticks[0])
}

// Close takes the lines away.
func (s *Several) Close() {
	if s.popup != nil {
		s.popup.Hide()
		s.popup, s.ticks = nil, nil
	}
}

// TypedKey opens the lines with Space, Enter or the arrow down and hands on what means nothing here.
func (s *Several) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeySpace, fyne.KeyReturn, fyne.KeyEnter, fyne.KeyDown:
		s.Open()
	default:
		PassKey(s, k)
	}
}

// TypedRune hands letters on.
func (s *Several) TypedRune(r rune) {
	if r != ' ' {
		PassRune(s, r)
	}
}

// An aTick is one line.
type aTick struct {
	widget.Check
	id    string
	quiet bool // it is shown otherwise, not tapped
	leave func()
}

func newTick(it Item, on bool, tapped func(bool), leave func()) *aTick {
	t := &aTick{id: it.ID, leave: leave}
	t.Text, t.Checked = it.Name, on
	t.OnChanged = func(on bool) {
		if !t.quiet {
			tapped(on)
		}
	}
	t.ExtendBaseWidget(t)
	return t
}

func (t *aTick) show(on bool) {
	t.quiet = true
	t.SetChecked(on)
	t.quiet = false
}

// TypedKey hears a key: arrows go through the lines, Escape and Enter take them away.
func (t *aTick) TypedKey(k *fyne.KeyEvent) {
	cv := fyne.CurrentApp().Driver().CanvasForObject(t)
	switch {
	case k.Name == fyne.KeyEscape, k.Name == fyne.KeyReturn, k.Name == fyne.KeyEnter:
		t.leave()
	case k.Name == fyne.KeyDown && cv != nil:
		cv.FocusNext()
	case k.Name == fyne.KeyUp && cv != nil:
		cv.FocusPrevious()
	default:
		t.Check.TypedKey(k)
	}
}

// closeRows stacks lines closer than a box does.
type closeRows struct{}

const closer = 6

func (closeRows) MinSize(objects []fyne.CanvasObject) (size fyne.Size) {
	for _, o := range objects {
		m := o.MinSize()
		size.Width, size.Height = max(size.Width, m.Width), size.Height+max(m.Height-closer, 2)
	}
	return size.AddWidthHeight(0, closer)
}

func (closeRows) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	y := float32(0)
	for _, o := range objects {
		h := o.MinSize().Height
		o.Move(fyne.NewPos(0, y))
		o.Resize(fyne.NewSize(size.Width, h))
		y += max(h-closer, 2)
	}
}
