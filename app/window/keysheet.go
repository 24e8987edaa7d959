package window

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
)

// A keySheet is the list of all keys under a line that searches it. It is a list because the toolkit makes only those lines of one
// that are seen, and because the keys go through it.
type keySheet struct {
	lines  []keyLine
	shown  []keyLine
	search *fields.Entry
	list   *fields.List
	body   fyne.CanvasObject
}

func newKeySheet(lines []keyLine) *keySheet {
	s := &keySheet{lines: lines, search: fields.NewEntry(nil)}
	s.list = fields.NewList(func() int { return len(s.shown) }, newKeyRow, func(i int, o fyne.CanvasObject) {
		s.shown[i].in(o.(*fyne.Container))
	})
	s.list.OnSelected = func(widget.ListItemID) { s.list.UnselectAll() } // there is nothing to choose
	s.search.SetPlaceHolder("Search: a key, or what it does")
	s.search.OnChanged = s.fill
	s.search.Else = s.list.TypedKey
	s.body = container.NewBorder(s.search, nil, nil, nil, s.list)
	s.fill("")
	return s
}

// fill shows the lines that hold every word of the search, each under its heading.
func (s *keySheet) fill(search string) {
	s.shown = nil
	var head *keyLine
	for i := range s.lines {
		l := &s.lines[i]
		switch {
		case l.heading:
			head = l
			continue
		case !l.matches(search):
			continue
		case head != nil:
			s.shown = append(s.shown, *head)
			head = nil
		}
		s.shown = append(s.shown, *l)
	}
	s.list.Top()
	s.list.Refresh()
}

func (l keyLine) matches(search string) bool {
	text := strings.ToLower(l.keys + " " + l.does)
	for _, w := range strings.Fields(strings.ToLower(search)) {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}

func newKeyRow() fyne.CanvasObject {
	k, d := widget.NewLabel(""), widget.NewLabel("")
	k.TextStyle.Bold = true
	k.Truncation, d.Truncation = fyne.TextTruncateEllipsis, fyne.TextTruncateEllipsis
	return container.New(keyColumns{}, k, d)
}

// in writes the line in a row; a heading stands where the keys do.
func (l keyLine) in(row *fyne.Container) {
	k, d := row.Objects[0].(*widget.Label), row.Objects[1].(*widget.Label)
	keys, does := l.keys, l.does
	k.Importance = widget.MediumImportance
	if l.heading {
		keys, does = l.does, ""
		k.Importance = widget.HighImportance
	}
	k.SetText(keys)
	d.SetText(does)
}

// keyColumns lays a key and what it does side by side, in a row lower than its labels ask for, so that the sheet reads as one table.
type keyColumns struct{}

const (
	keyWidth  = 250
	keyHeight = 24
)

func (keyColumns) MinSize([]fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(keyWidth+200, keyHeight)
}

func (keyColumns) Layout(o []fyne.CanvasObject, size fyne.Size) {
	x := float32(0)
	for i, w := range []float32{keyWidth, size.Width - keyWidth} {
		h := o[i].MinSize().Height
		o[i].Move(fyne.NewPos(x, (size.Height-h)/2))
		o[i].Resize(fyne.NewSize(w, h))
		x += w
	}
}
