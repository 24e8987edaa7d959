package window

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/arrange"
	"hedgereach/app/fields"
	"hedgereach/app/panes"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// A blockForm is how a row or block of equal beds is wanted, as typed. What it makes is seen on the ground while it is typed.
type blockForm struct {
	rows, path, columns, cross, fill *fields.Entry
	back, crops                      *widget.Check
	says                             *widget.Label
}

// What the form begins with: paths of 0.5 m between beds that one walks in, 1 m for a barrow (common practice, no source).
const (
	startRows  = 4
	startPath  = 0.5
	startCross = 1
)

func newBlockForm(sys length.System) *blockForm {
	entry := func(text, hint string) *fields.Entry {
		e := fields.NewEntry(nil)
		e.Load(text)
		e.SetPlaceHolder(hint)
		return e
	}
	f := &blockForm{rows: entry(strconv.Itoa(startRows), ""), path: entry(length.Format(startPath, sys), ""),
		columns: entry("1", ""), cross: entry(length.Format(startCross, sys), ""),
		fill: entry("", "or a length to fill, across the beds"),
		back: widget.NewCheck("To the other side", nil), crops: widget.NewCheck("With what the first one grows", nil),
		says: widget.NewLabel("")}
	f.says.Wrapping = fyne.TextWrapWord
	return f
}

// block reads the form for a first feature of the width.
func (f *blockForm) block(widthM float64, sys length.System) (arrange.Block, error) {
	b := arrange.Block{Back: f.back.Checked, WithCrops: f.crops.Checked}
	var errs [4]error
	if b.PathM, errs[0] = length.Parse(f.path.Text, sys); errs[0] != nil {
		errs[0] = fmt.Errorf("path: %w", errs[0])
	}
	if t := strings.TrimSpace(f.fill.Text); t != "" {
		across, err := length.Parse(t, sys)
		if errs[1] = err; err == nil {
			b.Rows = arrange.Fill(widthM, b.PathM, across)
		}
	} else {
		b.Rows, errs[1] = whole("beds side by side", f.rows.Text)
	}
	b.Columns, errs[2] = whole("beds end to end", f.columns.Text)
	if b.CrossM, errs[3] = length.Parse(f.cross.Text, sys); errs[3] != nil {
		errs[3] = fmt.Errorf("path between ends: %w", errs[3])
	}
	return b, errors.Join(errs[:]...)
}

func whole(what, text string) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil || n < 1 || n > arrange.MostCopies {
		return 0, fmt.Errorf("%s: %q is no number from 1 to %d", what, text, arrange.MostCopies)
	}
	return n, nil
}

// askBlock asks for a row or block of which the selected feature is the first, and shows it on the ground meanwhile.
func (w *Window) askBlock() {
	chosen := w.selected()
	if len(chosen) != 1 {
		w.say("Choose one bed first: the row is made of it")
		return
	}
	first, sys := chosen[0], panes.System(w.session)
	_, width, _, _, ok := arrange.Sides(first)
	if !ok {
		w.say(first.Title() + " has no ground to make a row of")
		return
	}
	f := newBlockForm(sys)
	build := func() (*plan.Plan, []string, error) {
		b, err := f.block(width, sys)
		if err != nil {
			return nil, nil, err
		}
		return arrange.MakeBlock(w.session.Committed(), first.ID, b)
	}
	look := func() {
		p, ids, err := build()
		if err != nil {
			w.session.CancelPreview()
			f.says.SetText(err.Error())
			return
		}
		f.says.SetText(fmt.Sprintf("%d in all, %d new", len(ids), len(ids)-1))
		w.session.Preview(p)
	}
	form := widget.NewForm(widget.NewFormItem("Side by side", f.rows), widget.NewFormItem("", f.fill),
		widget.NewFormItem("Path between", f.path), widget.NewFormItem("End to end", f.columns),
		widget.NewFormItem("Path between ends", f.cross), widget.NewFormItem("", f.back), widget.NewFormItem("", f.crops),
		widget.NewFormItem("", f.says))
	d := dialog.NewCustomWithoutButtons("A row of "+first.Title(), form, w.window)
	done := false
	apply := func() {
		p, ids, err := build()
		if err == nil {
			err = w.session.Commit(fmt.Sprintf("make a row of %d", len(ids)), p)
		}
		if err != nil {
			f.says.SetText(err.Error())
			return
		}
		done = true
		d.Hide()
		w.session.Select(ids...)
	}
	for _, e := range []*fields.Entry{f.rows, f.fill, f.path, f.columns, f.cross} {
		e.OnChanged = func(string) { look() }
		e.OnSubmitted, e.Leave = func(string) { apply() }, d.Dismiss
	}
	f.back.OnChanged = func(bool) { look() }
	f.crops.OnChanged = f.back.OnChanged
	yes := widget.NewButton("Make", apply)
	yes.Importance = widget.HighImportance
	d.SetButtons([]fyne.CanvasObject{widget.NewButton("Cancel", d.Dismiss), yes})
	d.Resize(fyne.NewSize(min(440, w.window.Canvas().Size().Width-40), 0))
	w.putThen(d, func() {
		if !done {
			w.session.CancelPreview()
		}
	})
	w.window.Canvas().Focus(f.rows)
	f.rows.TypedShortcut(&fyne.ShortcutSelectAll{})
	look()
}
