package window

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/board"
	"hedgereach/app/fields"
)

// addActions puts what the board can do into the menus that it names; a menu that is not there comes behind Draw.
func (w *Window) addActions(menus []*fyne.Menu, place int) []*fyne.Menu {
	for _, a := range w.board.Actions() {
		i := item(a.Name, a.Shortcut, w.act(func() { w.perform(a) }))
		at := slices.IndexFunc(menus, func(m *fyne.Menu) bool { return m.Label == a.Menu })
		if at < 0 {
			menus = slices.Insert(menus, place, fyne.NewMenu(a.Menu))
			at = place
			place++
		} else if m := menus[at]; len(m.Items) > 0 && !m.Items[len(m.Items)-1].IsSeparator && (a.Parted || !w.acts(m.Items[len(m.Items)-1])) {
			m.Items = append(m.Items, fyne.NewMenuItemSeparator())
		}
		menus[at].Items = append(menus[at].Items, i)
	}
	return menus
}

// acts tells whether a menu's item is one of the board's actions.
func (w *Window) acts(i *fyne.MenuItem) bool {
	return slices.ContainsFunc(w.board.Actions(), func(a board.Action) bool { return a.Name == i.Label })
}

// perform does an action, or asks what it has to know.
func (w *Window) perform(a board.Action) {
	var err error
	if a.Do != nil {
		err = a.Do()
	} else if a.File != nil {
		newFileChooser(w, strings.TrimSuffix(a.Name, "…"), "Open", w.folder(), "", a.Endings, func(path string) {
			if err := a.File(path); err != nil {
				w.complain(err)
				return
			}
			w.say(w.board.Hint())
		}).show()
	} else {
		var f *board.Form
		if f, err = a.Ask(); err == nil {
			w.askForm(f)
		}
	}
	if err != nil {
		w.say(sentence(err.Error()))
	} else if a.Do != nil {
		w.say(w.board.Hint())
	}
}

// sentence begins with a capital letter, where there is anything at all.
func sentence(s string) string {
	if s == "" {
		return ""
	}
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// A question is a form that is being answered, in the place of the panes, so that the ground stays in sight.
type question struct {
	form  *board.Form
	read  []func() string
	first *fields.Entry // nil where there is only to choose
	says  *widget.Label
	body  fyne.CanvasObject
}

// askForm asks what an action has to know, and shows on the ground what would come of the answers meanwhile.
func (w *Window) askForm(f *board.Form) {
	w.closeForm()
	q := &question{form: f, says: widget.NewLabel("")}
	q.says.Wrapping = fyne.TextWrapWord
	form := widget.NewForm()
	for _, field := range f.Fields {
		form.Append(field.Label, q.field(field, func() { w.preview(q) }, func() { w.answer(q) }, w.closeForm))
	}
	form.Append("", q.says)
	title := widget.NewLabelWithStyle(f.Title, fyne.TextAlignLeading, fyne.TextStyle{Bold: true})
	title.Wrapping = fyne.TextWrapWord
	yes := fields.NewButton("Do it", func() { w.answer(q) })
	yes.Importance = widget.HighImportance
	buttons := container.NewHBox(layout.NewSpacer(), fields.NewButton("Cancel", w.closeForm), yes)
	q.body = container.NewVScroll(container.NewVBox(title, form, buttons))
	for _, p := range w.panes {
		p.Hide()
	}
	for _, h := range w.views {
		h.SetOn(false)
	}
	w.asking.Objects = []fyne.CanvasObject{q.body}
	w.asking.Show()
	w.asking.Refresh()
	w.question = q
	if q.first != nil {
		w.window.Canvas().Focus(q.first)
		if !q.first.MultiLine {
			q.first.TypedShortcut(&fyne.ShortcutSelectAll{})
		}
	}
	w.preview(q)
}

// field is what one answer is given in.
func (q *question) field(field board.Field, changed, submit, leave func()) fyne.CanvasObject {
	if len(field.Choices) > 0 {
		c := fields.NewPick(field.Choices, field.Value)
		c.OnChanged = func(string) { changed() }
		c.OnSubmitted, c.Leave = submit, leave
		q.read = append(q.read, func() string { return c.Selected })
		return c
	}
	e := fields.NewEntry(nil)
	if field.Lines > 0 {
		e = fields.NewNote(nil)
		e.SetMinRowsVisible(field.Lines)
	}
	e.Load(field.Value)
	e.SetPlaceHolder(field.Hint)
	e.OnChanged = func(string) { changed() }
	e.OnSubmitted, e.Leave = func(string) { submit() }, leave
	q.read = append(q.read, func() string { return e.Text })
	if q.first == nil {
		q.first = e
	}
	return e
}

func (q *question) change() (board.Change, error) {
	var answers []string
	for _, r := range q.read {
		answers = append(answers, r())
	}
	return q.form.Make(answers)
}

// preview shows what would come of the answers so far.
func (w *Window) preview(q *question) {
	c, err := q.change()
	if err != nil {
		w.session.CancelPreview()
		q.says.SetText(sentence(err.Error()))
		return
	}
	q.says.SetText(sentence(c.Words))
	w.session.Preview(c.Plan)
}

// answer does what was asked for.
func (w *Window) answer(q *question) {
	c, err := q.change()
	if err != nil {
		q.says.SetText(sentence(err.Error()))
		return
	}
	w.closeForm()
	if err := w.board.Apply(c); err != nil {
		w.say(sentence(err.Error()))
		return
	}
	w.say(w.board.Hint())
}

// closeForm gives up a form and brings the pane back.
func (w *Window) closeForm() {
	if w.question == nil {
		return
	}
	w.question = nil
	w.asking.Hide()
	w.session.CancelPreview()
	w.showPane(w.pane)
	w.window.Canvas().Focus(w.board)
}
