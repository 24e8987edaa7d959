package window

import (
	"cmp"
	"errors"
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/app/own"
	"hedgereach/data"
	"hedgereach/habitat"
)

// openOwn opens the grower's own catalogue and measures by it from now on. What is wrong with it is told, and work goes on
// without it.
func (w *Window) openOwn() {
	path, err := own.File()
	if err == nil {
		w.own, err = own.Open(w.own.Base(), path)
		w.session.SetCatalogue(w.own.Catalogue())
	} else {
		w.own, _ = own.Open(w.own.Base(), "")
	}
	if err != nil {
		w.complain(err)
	}
}

// An ownList shows the own entries, to change, take out, take in and write out.
type ownList struct {
	window *Window
	list   *fields.List
	rows   []ownRow
	chosen int // -1 for none
	says   *widget.Label
}

// An ownRow is an own entry and where it is kept.
type ownRow struct {
	data.OwnEntryRow
	inPlan bool
}

const ownIntro = "What you note here goes before the program's catalogue and is marked as yours: plants and crops that it lacks, other dates, " +
	"sizes and ranges. Each says where you have it from. Kept on this computer, an entry counts in every plan here; kept in the plan, it goes " +
	"wherever the plan goes, and before the others."

func (w *Window) askOwn() {
	l := w.newOwnList()
	intro := widget.NewLabel(ownIntro)
	intro.Wrapping = fyne.TextWrapWord
	buttons := container.NewGridWithColumns(5, fields.NewButton("Add or change…", l.add), fields.NewButton("Take out", l.remove),
		fields.NewButton("Put into the plan", l.putIntoPlan), fields.NewButton("Take in a file…", l.take),
		fields.NewButton("Write to a file…", l.write))
	w.tell("My own plants and ranges", container.NewBorder(intro, container.NewVBox(l.says, buttons), nil, nil, l.list), 780, 540)
}

func (w *Window) newOwnList() *ownList {
	l := &ownList{window: w, chosen: -1, says: widget.NewLabel("")}
	l.says.Wrapping = fyne.TextWrapWord
	l.list = fields.NewList(func() int { return len(l.rows) },
		func() fyne.CanvasObject {
			name, source := widget.NewLabel(""), widget.NewLabel("")
			name.Truncation, source.Truncation = fyne.TextTruncateEllipsis, fyne.TextTruncateEllipsis
			source.SizeName, source.Importance = theme.SizeNameCaptionText, widget.LowImportance
			return container.NewVBox(name, source)
		},
		func(i widget.ListItemID, o fyne.CanvasObject) {
			box := o.(*fyne.Container)
			r := l.rows[i]
			box.Objects[0].(*widget.Label).SetText(l.name(r.OwnEntryRow) + ", " + l.kept(r))
			box.Objects[1].(*widget.Label).SetText(l.what(r.OwnEntryRow) + " · " + r.Source)
		})
	l.list.OnSelected = func(i widget.ListItemID) { l.chosen = i }
	l.load()
	return l
}

// name is what an entry is about.
func (l *ownList) name(e data.OwnEntryRow) string {
	name := e.Cells["name"]
	if x := l.window.session.Catalogue().Entry(e.List, e.ID); x != nil {
		name = x.Name
	}
	return cmp.Or(name, e.ID) + " (" + listWords[e.List] + ")"
}

// what names the facts that an entry gives, in the order of the columns.
func (l *ownList) what(e data.OwnEntryRow) string {
	var out []string
	for _, c := range data.OwnColumns(e.List) {
		if cell := e.Cells[c]; cell != "" {
			words, unit, _ := strings.Cut(strings.ToLower(columnWords[c]), ", ")
			out = append(out, strings.TrimSpace(words+" "+shown(l.window.session.Catalogue(), c, cell)+" "+unit))
		}
	}
	return strings.Join(out, "; ")
}

// kept says where a row is kept.
func (l *ownList) kept(r ownRow) string {
	switch {
	case r.inPlan:
		return "in this plan"
	case l.window.session.Committed().HasOwn(r.List, r.ID):
		return "on this computer; the plan's own goes before"
	}
	return "on this computer"
}

func (l *ownList) load() {
	l.rows, l.chosen = nil, -1
	for _, e := range habitat.OwnEntries(l.window.session.Committed()) {
		l.rows = append(l.rows, ownRow{e, true})
	}
	for _, e := range l.window.own.Entries() {
		l.rows = append(l.rows, ownRow{e, false})
	}
	l.list.UnselectAll()
	l.list.Refresh()
	if len(l.rows) == 0 {
		l.says.SetText("Nothing of your own yet.")
	} else {
		l.says.SetText("On this computer they are kept in " + l.window.own.Path())
	}
}

// done measures by what was changed, and shows it or why it was not done.
func (l *ownList) done(err error) bool {
	if err != nil {
		l.says.SetText(err.Error())
		return false
	}
	l.window.session.SetCatalogue(l.window.own.Catalogue())
	l.load()
	return true
}

func (l *ownList) remove() {
	if l.chosen < 0 {
		l.says.SetText("Choose a line first.")
		return
	}
	r := l.rows[l.chosen]
	if !r.inPlan {
		l.done(l.window.own.Remove(r.List, r.ID))
		return
	}
	s := l.window.session
	l.done(s.Commit("take out own "+l.name(r.OwnEntryRow), s.Committed().RemoveOwn(r.List, r.ID)))
}

// putIntoPlan keeps the chosen entry in the plan; without a choice all that the plan is measured by.
func (l *ownList) putIntoPlan() {
	s := l.window.session
	var put []data.OwnEntryRow
	switch {
	case l.chosen >= 0 && l.rows[l.chosen].inPlan:
		l.says.SetText("That is in the plan already.")
		return
	case l.chosen >= 0:
		put = append(put, l.rows[l.chosen].OwnEntryRow)
	default:
		for _, u := range habitat.OwnElsewhere(s.Committed(), s.Given()) {
			if e, ok := l.window.own.Entry(u.List, u.ID); ok {
				put = append(put, e)
			}
		}
	}
	if len(put) == 0 {
		l.says.SetText("The plan is measured by nothing of your own that it does not keep. Choose a line to put it into the plan all the same.")
		return
	}
	p := s.Committed()
	var names []string
	for _, e := range put {
		p = habitat.PutOwn(p, e)
		names = append(names, l.name(e))
	}
	step := "keep own entries in the plan"
	if len(put) == 1 {
		step = "keep own " + names[0] + " in the plan"
	}
	if l.done(s.Commit(step, p)) {
		l.says.SetText("Now in the plan: " + strings.Join(names, ", ") + ". Edit, Undo takes it out.")
	}
}

func (l *ownList) take() {
	w := l.window
	newFileChooser(w, "Take in own plants and ranges", "Open", w.folder(), "", []string{".csv"}, func(path string) {
		n, err := w.own.Import(path)
		if l.done(err) {
			w.remember(path)
			l.says.SetText(fmt.Sprintf("Taken in: %d", n))
		}
	}).show()
}

func (l *ownList) write() {
	w := l.window
	newFileChooser(w, "Write own plants and ranges", "Save", w.folder(), "own plants.csv", []string{".csv"}, func(path string) {
		if l.done(data.SavePersonal(path, &data.Personal{Entries: l.counting()})) {
			w.remember(path)
			l.says.SetText("Written to " + path)
		}
	}).show()
}

// counting are the entries that count: the plan's, and those on the computer that it does not have.
func (l *ownList) counting() (out []data.OwnEntryRow) {
	for _, r := range l.rows {
		if r.inPlan || !l.window.session.Committed().HasOwn(r.List, r.ID) {
			out = append(out, r.OwnEntryRow)
		}
	}
	return out
}

// add opens the form: on the chosen line, else on what is chosen there.
func (l *ownList) add() {
	f := newOwnForm(l)
	if l.chosen >= 0 {
		f.begin(l.rows[l.chosen].List, l.rows[l.chosen].ID)
		f.keepIn(l.rows[l.chosen].inPlan)
	}
	w := l.window
	d := dialog.NewCustomWithoutButtons("Add or change", container.NewBorder(container.NewVBox(f.about, f.where, f.hint), f.says, nil, nil,
		container.NewVScroll(f.box)), w.window)
	keep := fields.NewButton("Keep", func() {
		if f.keep() {
			w.calmly(d.Hide)()
		}
	})
	keep.Importance = widget.HighImportance
	d.SetButtons([]fyne.CanvasObject{fields.NewButton("Cancel", w.calmly(d.Dismiss)), keep})
	size := w.window.Canvas().Size()
	d.Resize(fyne.NewSize(min(560, size.Width-40), min(600, size.Height-40)))
	w.put(d)
}

// An ownForm is one own entry, as typed.
type ownForm struct {
	list     *ownList
	about    *fields.Choice
	where    *widget.RadioGroup // it is kept
	hint     *widget.Label
	box      *fyne.Container
	says     *widget.Label
	of, id   string // list and id; id is "" for a new plant or crop
	columns  []string
	entries  map[string]*fields.Entry
	source   *fields.Entry
	existing data.OwnEntryRow
}

// The items of the choice that stand for what is not in the catalogue.
const (
	newPlant = "new/plant"
	newCrop  = "new/crop"
)

// Where an entry can be kept.
const (
	keptHere   = "Kept on this computer, for every plan"
	keptInPlan = "In this plan, wherever it goes"
)

func newOwnForm(l *ownList) *ownForm {
	f := &ownForm{list: l, box: container.NewVBox(), says: widget.NewLabel(""), hint: widget.NewLabel("")}
	f.says.Wrapping, f.says.Importance = fyne.TextWrapWord, widget.WarningImportance
	f.hint.Wrapping, f.hint.Importance, f.hint.SizeName = fyne.TextWrapWord, widget.LowImportance, theme.SizeNameCaptionText
	f.where = widget.NewRadioGroup([]string{keptHere, keptInPlan}, nil)
	f.where.Horizontal, f.where.Required = true, true
	f.where.SetSelected(keptHere)
	f.about = fields.NewChoice("What is it about? …", f.items, func(it fields.Item) {
		of, id, _ := strings.Cut(it.ID, "/")
		if of == "new" {
			of, id = id, ""
		}
		f.begin(of, id)
		f.keepIn(f.list.window.session.Committed().HasOwn(of, id))
	})
	f.about.Wide = 420
	return f
}

// keepIn chooses where the entry is kept, and shows what it says there now.
func (f *ownForm) keepIn(plan bool) {
	f.where.SetSelected(map[bool]string{true: keptInPlan, false: keptHere}[plan])
	f.begin(f.of, f.id)
}

// entryAt is the own entry as it is kept now where the form would keep it.
func (f *ownForm) entryAt(of, id string) data.OwnEntryRow {
	if f.where.Selected != keptInPlan {
		e, _ := f.list.window.own.Entry(of, id)
		return e
	}
	for _, e := range habitat.OwnEntries(f.list.window.session.Committed()) {
		if e.List == of && e.ID == id {
			return e
		}
	}
	return data.OwnEntryRow{}
}

func (f *ownForm) items() []fields.Item {
	c := f.list.window.session.Catalogue()
	out := []fields.Item{{ID: newPlant, Name: "A new plant", Detail: "that the catalogue lacks"},
		{ID: newCrop, Name: "A new crop", Detail: "that the catalogue lacks"}}
	for _, g := range c.Guilds {
		out = append(out, fields.Item{ID: "guild/" + g.ID, Name: g.Name, Detail: "range"})
	}
	for _, p := range c.Plants {
		out = append(out, fields.Item{ID: "plant/" + p.ID, Name: p.Name, Detail: "plant · " + p.Scientific})
	}
	for _, p := range c.Crops {
		out = append(out, fields.Item{ID: "crop/" + p.ID, Name: p.Name, Detail: "crop · " + p.Scientific})
	}
	return out
}

// begin lays out the form for an entry of a list; an id of "" begins a new one.
func (f *ownForm) begin(of, id string) {
	w := f.list.window
	f.of, f.id, f.columns, f.entries = of, id, data.OwnColumns(of), map[string]*fields.Entry{}
	said, _ := w.own.Base().Own(of, id)
	f.existing = f.entryAt(of, id)
	name := "A new " + of
	if id != "" {
		name = f.list.name(data.OwnEntryRow{List: of, ID: id, Cells: f.existing.Cells})
	}
	f.about.SetText(name)
	f.box.RemoveAll()
	form := container.New(layout.NewFormLayout())
	line := func(words, text, grey string) *fields.Entry {
		e := fields.NewEntry(nil)
		e.Load(text)
		e.SetPlaceHolder(grey)
		form.Add(quietLabel(words))
		form.Add(e)
		return e
	}
	f.source = line("Where from", f.existing.Source, "own observation 2026, a book, a seed packet …")
	for _, c := range f.columns {
		grey := shown(w.own.Base(), c, said.Cells[c])
		if id == "" {
			grey = newGrey[c]
		}
		f.entries[c] = line(columnWords[c], shown(w.session.Catalogue(), c, f.existing.Cells[c]), grey)
	}
	f.box.Add(form)
	f.says.SetText("")
	f.hint.SetText("Grey is what the catalogue says: what you leave empty stays so.")
	if c := w.window.Canvas(); c.Overlays().Top() != nil {
		c.Focus(f.source)
	}
}

// keep saves what was typed; it answers whether that went well, and says why not.
func (f *ownForm) keep() bool {
	e, err := f.entry()
	if err == nil && f.where.Selected == keptInPlan {
		err = f.putIntoPlan(e)
	} else if err == nil {
		err = f.list.window.own.Put(e)
	}
	if err != nil {
		f.says.SetText(formError(err, e.ID))
		return false
	}
	return f.list.done(nil)
}

// putIntoPlan keeps the entry in the plan, as one step of the history, if it fits the catalogue.
func (f *ownForm) putIntoPlan(e data.OwnEntryRow) error {
	if _, err := data.Merge(f.list.window.own.Catalogue(), data.InPlan([]data.OwnEntryRow{e})); err != nil {
		return err
	}
	s := f.list.window.session
	return s.Commit("keep own "+f.list.name(e)+" in the plan", habitat.PutOwn(s.Committed(), e))
}

// entry is what was typed.
func (f *ownForm) entry() (data.OwnEntryRow, error) {
	e := data.OwnEntryRow{List: f.of, ID: f.id, Cells: map[string]string{}}
	if f.of == "" {
		return e, errors.New("choose first what it is about")
	}
	c := f.list.window.session.Catalogue()
	if e.Source = strings.TrimSpace(f.source.Text); e.Source == "" {
		return e, errors.New("say where you have it from, if only that you saw it, and in which year")
	}
	for _, name := range f.columns {
		cell, err := typed(c, name, f.entries[name].Text)
		if err != nil {
			return e, err
		}
		if cell != "" {
			e.Cells[name] = cell
		}
	}
	if e.ID != "" {
		return e, nil
	}
	if e.ID = idOf(e.Cells["name"]); e.ID == "" {
		return e, errors.New("give it a name in Latin letters")
	}
	if c.Entry(e.List, e.ID) != nil {
		return e, fmt.Errorf("there is a %s %q already: choose it above to change it", e.List, e.Cells["name"])
	}
	return e, nil
}
