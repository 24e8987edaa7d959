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
)

// openOwn opens the grower's own catalogue and measures by it from now on. What is wrong with it is told, and work goes on
// without it.
func (w *Window) openOwn() {
	path, err := own.File()
	if err == nil {
		w.own, err = own.Open(w.session.Catalogue(), path)
		w.session.SetCatalogue(w.own.Catalogue())
	} else {
		w.own, _ = own.Open(w.session.Catalogue(), "")
	}
	if err != nil {
		w.complain(err)
	}
}

// An ownList shows the own entries, to change, take out, take in and write out.
type ownList struct {
	window *Window
	list   *fields.List
	rows   []data.OwnEntryRow
	chosen int // -1 for none
	says   *widget.Label
}

const ownIntro = "What you note here goes before the program's catalogue in every plan on this computer, and is marked as yours: " +
	"plants and crops that it lacks, other dates, sizes and ranges. Each says where you have it from."

func (w *Window) askOwn() {
	l := w.newOwnList()
	intro := widget.NewLabel(ownIntro)
	intro.Wrapping = fyne.TextWrapWord
	buttons := container.NewGridWithColumns(4, widget.NewButton("Add or change…", l.add), widget.NewButton("Take out", l.remove),
		widget.NewButton("Take in a file…", l.take), widget.NewButton("Write to a file…", l.write))
	w.tell("My own plants and ranges", container.NewBorder(intro, container.NewVBox(l.says, buttons), nil, nil, l.list), 680, 520)
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
			box.Objects[0].(*widget.Label).SetText(l.name(l.rows[i]))
			box.Objects[1].(*widget.Label).SetText(l.what(l.rows[i]) + " · " + l.rows[i].Source)
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

func (l *ownList) load() {
	l.rows, l.chosen = l.window.own.Entries(), -1
	l.list.UnselectAll()
	l.list.Refresh()
	if len(l.rows) == 0 {
		l.says.SetText("Nothing of your own yet.")
	} else {
		l.says.SetText("Kept in " + l.window.own.Path())
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
	e := l.rows[l.chosen]
	l.done(l.window.own.Remove(e.List, e.ID))
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
		if l.done(w.own.Export(path)) {
			w.remember(path)
			l.says.SetText("Written to " + path)
		}
	}).show()
}

// add opens the form: on the chosen line, else on what is chosen there.
func (l *ownList) add() {
	f := newOwnForm(l)
	if l.chosen >= 0 {
		f.begin(l.rows[l.chosen].List, l.rows[l.chosen].ID)
	}
	w := l.window
	d := dialog.NewCustomWithoutButtons("Add or change", container.NewBorder(container.NewVBox(f.about, f.hint), f.says, nil, nil,
		container.NewVScroll(f.box)), w.window)
	keep := widget.NewButton("Keep", func() {
		if f.keep() {
			d.Hide()
		}
	})
	keep.Importance = widget.HighImportance
	d.SetButtons([]fyne.CanvasObject{widget.NewButton("Cancel", d.Dismiss), keep})
	size := w.window.Canvas().Size()
	d.Resize(fyne.NewSize(min(560, size.Width-40), min(600, size.Height-40)))
	w.put(d)
}

// An ownForm is one own entry, as typed.
type ownForm struct {
	list     *ownList
	about    *fields.Choice
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

func newOwnForm(l *ownList) *ownForm {
	f := &ownForm{list: l, box: container.NewVBox(), says: widget.NewLabel(""), hint: widget.NewLabel("")}
	f.says.Wrapping, f.says.Importance = fyne.TextWrapWord, widget.WarningImportance
	f.hint.Wrapping, f.hint.Importance, f.hint.SizeName = fyne.TextWrapWord, widget.LowImportance, theme.SizeNameCaptionText
	f.about = fields.NewChoice("What is it about? …", f.items, func(it fields.Item) {
		of, id, _ := strings.Cut(it.ID, "/")
		if of == "new" {
			of, id = id, ""
		}
		f.begin(of, id)
	})
	f.about.Wide = 420
	return f
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
	f.existing, _ = w.own.Entry(of, id)
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
	if err == nil {
		err = f.list.window.own.Put(e)
	}
	if err != nil {
		f.says.SetText(formError(err, e.ID))
		return false
	}
	return f.list.done(nil)
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
