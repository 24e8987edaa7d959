package panes

import (
	"cmp"
	"fmt"
	"image/color"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/app/session"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// All lists every feature of the plan: beds and all else, hidden and locked ones too. Choosing a line selects the feature and
// brings it into view; with Shift or Ctrl it is added to the selection, or taken out of it.
type All struct {
	widget.BaseWidget
	// Mods says which keys are held down. NewAll sets it to ask the driver; tests set their own.
	Mods func() fyne.KeyModifier

	session *session.Session
	rows    []allLine
	sort    allColumn
	down    bool

	search  *fields.Entry
	summary *widget.Label
	heads   []*fields.Word
	list    *fields.List
	pacer   pacer
}

// An allColumn is what the list can be sorted by.
type allColumn int

const (
	allByName allColumn = iota
	allByKind
	allBySize
	allByState
)

var allNames = []string{"Name", "Kind", "Area", "State"}

// An allLine is one line of the list, as shown.
type allLine struct {
	id, name, size, state string
	kind                  plan.Kind
	areaM2                float64
	chosen                bool
}

// NewAll is the list of a session's features.
func NewAll(s *session.Session, dispatch func(func())) *All {
	a := &All{session: s, pacer: pacer{dispatch: dispatch}, sort: allByKind, Mods: heldKeys}
	a.ExtendBaseWidget(a)
	a.pacer.work, a.pacer.hidden = a.update, func() bool { return a.Hidden }
	a.summary = widget.NewLabel("")
	a.summary.Wrapping = fyne.TextWrapWord
	a.search = fields.NewEntry(nil)
	a.search.SetPlaceHolder("Search by name, kind or state")
	a.search.OnChanged = func(string) { a.update(); a.list.Top() }
	for i, n := range allNames {
		w := fields.NewWord(n, "", func() { a.sortBy(allColumn(i)) })
		w.Small, w.Right = true, i == int(allBySize)
		a.heads = append(a.heads, w)
	}
	a.list = fields.NewList(func() int { return len(a.rows) }, func() fyne.CanvasObject { return newAllRow() },
		func(i int, o fyne.CanvasObject) { o.(*allRow).set(a.rows[i]) })
	a.list.OnSelected = func(i widget.ListItemID) {
		a.list.UnselectAll() // the rows show themselves what is selected, which may be several
		a.choose(a.rows[i].id)
	}
	a.search.OnSubmitted = func(string) { a.focus(a.list) }
	a.search.Else = func(k *fyne.KeyEvent) {
		if k.Name == fyne.KeyDown || k.Name == fyne.KeyPageDown {
			a.focus(a.list)
		}
	}
	a.update()
	s.Observe(a.pacer.hear)
	return a
}

// heldKeys asks the driver which keys are held down.
func heldKeys() fyne.KeyModifier {
	if d, ok := fyne.CurrentApp().Driver().(desktop.Driver); ok {
		return d.CurrentKeyModifiers()
	}
	return 0
}

func (a *All) focus(f fyne.Focusable) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(a); c != nil {
		c.Focus(f)
	}
}

// choose selects a feature, or adds it to the selection or takes it out.
func (a *All) choose(id string) {
	if a.Mods()&(fyne.KeyModifierShift|fyne.KeyModifierControl) == 0 {
		a.session.Show([]string{id}, nil)
		return
	}
	sel := a.session.Selection()
	if i := slices.Index(sel, id); i >= 0 {
		sel = slices.Delete(sel, i, i+1)
	} else {
		sel = append(sel, id)
	}
	a.session.Select(sel...)
}

// Else says what becomes of keys that mean nothing to the list.
func (a *All) Else(r func(rune), k func(*fyne.KeyEvent)) { a.list.Rune, a.list.Key = r, k }

// Search is the line to type in, for whoever opens the pane by a key.
func (a *All) Search() fyne.Focusable { return a.search }

// Show brings the pane up to date, which it was not while hidden.
func (a *All) Show() {
	a.BaseWidget.Show()
	a.pacer.now()
}

// CreateRenderer lays the search, the summary and the headings over the list.
func (a *All) CreateRenderer() fyne.WidgetRenderer {
	heads := container.New(allColumns{})
	for _, h := range a.heads {
		heads.Add(h)
	}
	top := container.NewVBox(a.search, a.summary, heads, widget.NewSeparator())
	return widget.NewSimpleRenderer(container.NewBorder(top, nil, nil, nil, a.list))
}

func (a *All) sortBy(c allColumn) {
	if a.sort == c {
		a.down = !a.down
	} else {
		a.sort, a.down = c, false
	}
	a.update()
}

// update shows the plan as it is now.
func (a *All) update() {
	sys := System(a.session)
	a.rows = a.rows[:0]
	all, hidden, locked := 0, 0, 0
	for _, f := range a.session.Plan().Features {
		all++
		l := allLine{id: f.ID, name: f.Title(), kind: f.Kind, size: "–", chosen: a.session.Selected(f.ID)}
		if l.areaM2 = areaOf(f); l.areaM2 > 0 {
			l.size = length.FormatArea(l.areaM2, sys)
		}
		var state []string
		if f.Hidden {
			hidden++
			state = append(state, "hidden")
		}
		if f.Locked {
			locked++
			state = append(state, "locked")
		}
		l.state = strings.Join(state, ", ")
		if (fields.Item{Name: l.name, Detail: l.kind.Label() + " " + l.state}).Matches(a.search.Text) {
			a.rows = append(a.rows, l)
		}
	}
	slices.SortStableFunc(a.rows, a.order)
	a.summary.SetText(allSummary(all, len(a.rows), hidden, locked, len(a.session.Selection())))
	for i, h := range a.heads {
		h.SetOn(allColumn(i) == a.sort)
	}
	a.list.Refresh()
}

func allSummary(all, shown, hidden, locked, chosen int) string {
	if all == 0 {
		return "Nothing is drawn yet."
	}
	parts := []string{plural(all, "feature")}
	if shown < all {
		parts[0] = fmt.Sprintf("%d of %s", shown, plural(all, "feature"))
	}
	for _, p := range []struct {
		n    int
		word string
	}{{hidden, "hidden"}, {locked, "locked"}, {chosen, "selected"}} {
		if p.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", p.n, p.word))
		}
	}
	return strings.Join(parts, ", ")
}

func (a *All) order(x, y allLine) int {
	c := 0
	switch a.sort {
	case allByKind:
		c = cmp.Compare(slices.Index(plan.Kinds, x.kind), slices.Index(plan.Kinds, y.kind))
	case allBySize:
		c = cmp.Compare(y.areaM2, x.areaM2)
	case allByState:
		c = cmp.Compare(y.state, x.state)
	case allByName:
		c = compareNames(x.name, y.name)
	}
	if a.down {
		c = -c
	}
	return cmp.Or(c, compareNames(x.name, y.name))
}

// An allRow shows one line; a bar at its left and bold letters mark what is selected.
type allRow struct {
	widget.BaseWidget
	bar    *canvas.Rectangle
	cells  [4]*widget.Label // name, kind, area, state
	chosen bool
}

func newAllRow() *allRow {
	r := &allRow{bar: canvas.NewRectangle(color.Transparent)}
	for i := range r.cells {
		l := widget.NewLabel("")
		l.Truncation = fyne.TextTruncateEllipsis
		if i == int(allBySize) {
			l.Truncation, l.Alignment = fyne.TextTruncateOff, fyne.TextAlignTrailing
		}
		if i != int(allByName) {
			l.SizeName = theme.SizeNameCaptionText
		}
		r.cells[i] = l
	}
	r.ExtendBaseWidget(r)
	return r
}

func (r *allRow) set(l allLine) {
	bar := color.Color(color.Transparent)
	if l.chosen {
		bar = theme.Color(theme.ColorNamePrimary)
	}
	if r.bar.FillColor != bar {
		r.bar.FillColor = bar
		r.bar.Refresh()
	}
	again := r.chosen != l.chosen
	r.chosen = l.chosen
	for i, t := range []string{l.name, l.kind.Label(), l.size, l.state} {
		c := r.cells[i]
		if i == int(allByName) && again {
			c.TextStyle.Bold = l.chosen
		}
		if c.Text != t || i == int(allByName) && again {
			c.SetText(t)
		}
	}
}

// CreateRenderer lays the row in the columns of the list.
func (r *allRow) CreateRenderer() fyne.WidgetRenderer {
	row := container.New(allColumns{}, r.cells[0], r.cells[1], r.cells[2], r.cells[3])
	return widget.NewSimpleRenderer(container.New(barred{}, r.bar, row))
}

// barred lays a thin bar at the left of a row.
type barred struct{}

const barWide = 3

func (barred) MinSize(o []fyne.CanvasObject) fyne.Size { return o[1].MinSize() }

func (barred) Layout(o []fyne.CanvasObject, size fyne.Size) {
	o[0].Move(fyne.NewPos(0, 2))
	o[0].Resize(fyne.NewSize(barWide, size.Height-4))
	o[1].Move(fyne.NewPos(0, 0))
	o[1].Resize(size)
}

// allColumns lays four objects in columns: all but the name have a fixed width.
type allColumns struct{}

var allWidths = [4]float32{0, 110, 76, 82}

func (allColumns) MinSize(objects []fyne.CanvasObject) fyne.Size {
	s := fyne.NewSize(nameAtLeast, 0)
	for i, o := range objects {
		s.Width += allWidths[i]
		s.Height = max(s.Height, o.MinSize().Height)
	}
	s.Height = min(s.Height, 26)
	return s
}

func (allColumns) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	name := size.Width
	for _, w := range allWidths {
		name -= w
	}
	x := float32(0)
	for i, o := range objects {
		w := allWidths[i]
		if w == 0 {
			w = max(name, 0)
		}
		h := min(o.MinSize().Height, size.Height+8)
		o.Move(fyne.NewPos(x, (size.Height-h)/2))
		o.Resize(fyne.NewSize(w, h))
		x += w
	}
}
