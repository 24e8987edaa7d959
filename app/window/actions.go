package window

import (
	"slices"
	"unicode"
	"unicode/utf8"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
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
		} else if m := menus[at]; len(m.Items) > 0 && !w.acts(m.Items[len(m.Items)-1]) {
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

// sentence begins with a capital letter.
func sentence(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// askForm asks what an action has to know, and shows on the ground what would come of the answers meanwhile.
func (w *Window) askForm(f *board.Form) {
	says := widget.NewLabel("")
	says.Wrapping = fyne.TextWrapWord
	form := widget.NewForm()
	var read []func() string
	var look, apply func()
	var first fyne.Focusable
	var d *dialog.CustomDialog
	for _, field := range f.Fields {
		if len(field.Choices) > 0 {
			c := widget.NewSelect(field.Choices, nil)
			c.Selected = field.Value
			c.OnChanged = func(string) { look() }
			form.Append(field.Label, c)
			read = append(read, func() string { return c.Selected })
			continue
		}
		e := fields.NewEntry(nil)
		if field.Lines > 0 {
			e = fields.NewNote(nil)
			e.SetMinRowsVisible(field.Lines)
		}
		e.Load(field.Value)
		e.SetPlaceHolder(field.Hint)
		e.OnChanged = func(string) { look() }
		e.OnSubmitted, e.Leave = func(string) { apply() }, func() { d.Dismiss() }
		form.Append(field.Label, e)
		read = append(read, func() string { return e.Text })
		if first == nil {
			first = e
		}
	}
	form.Append("", says)
	build := func() (board.Change, error) {
		var answers []string
		for _, r := range read {
			answers = append(answers, r())
		}
		return f.Make(answers)
	}
	look = func() {
		c, err := build()
		if err != nil {
			w.session.CancelPreview()
			says.SetText(sentence(err.Error()))
			return
		}
		says.SetText(sentence(c.Words))
		w.session.Preview(c.Plan)
	}
	d = dialog.NewCustomWithoutButtons(f.Title, form, w.window)
	done := false
	apply = func() {
		c, err := build()
		if err == nil {
			err = w.board.Apply(c)
		}
		if err != nil {
			says.SetText(sentence(err.Error()))
			return
		}
		done = true
		d.Hide()
	}
	yes := widget.NewButton("Do it", apply)
	yes.Importance = widget.HighImportance
	d.SetButtons([]fyne.CanvasObject{widget.NewButton("Cancel", d.Dismiss), yes})
	d.Resize(fyne.NewSize(min(440, w.window.Canvas().Size().Width-40), 0))
	w.putThen(d, func() {
		if !done {
			w.session.CancelPreview()
		}
	})
	if first != nil {
		w.window.Canvas().Focus(first)
		if e, ok := first.(*fields.Entry); ok && !e.MultiLine {
			e.TypedShortcut(&fyne.ShortcutSelectAll{})
		}
	}
	look()
}
