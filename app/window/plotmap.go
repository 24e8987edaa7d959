package window

import (
	"net/url"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/panes"
	"hedgereach/app/session"
	"hedgereach/app/sheet"
	"hedgereach/geometry/length"
)

// A plotForm is how the plot map is wanted.
type plotForm struct {
	paper, lies, scale, ink, format *widget.Select
	author                          *widget.Entry
	scales                          []int // as listed after the first, which is the largest that fits
}

func newPlotForm(s *session.Session) *plotForm {
	list := func(words ...string) *widget.Select {
		l := widget.NewSelect(words, nil)
		l.SetSelectedIndex(0)
		return l
	}
	var papers []string
	for _, p := range sheet.Papers {
		papers = append(papers, p.Name)
	}
	u := s.Plan().Units
	f := &plotForm{paper: list(papers...), lies: list("As gives the larger map", "Upright", "Lengthwise"),
		ink: list("Colour", "Black only"), format: list("PDF", "SVG", "PNG"), scales: sheet.Scales(u), author: widget.NewEntry()}
	words := []string{"The largest that fits"}
	for _, n := range f.scales {
		words = append(words, sheet.ScaleName(n, u))
	}
	f.scale = list(words...)
	f.author.SetPlaceHolder("printed on the title; may stay empty")
	return f
}

// options are the sheet's options for what is chosen, and for what the map of the session is asked about.
func (f *plotForm) options(s *session.Session) sheet.Options {
	ask := s.Ask()
	o := sheet.Options{Paper: sheet.Papers[f.paper.SelectedIndex()], Orientation: sheet.Orientation(f.lies.SelectedIndex()),
		Grey: f.ink.SelectedIndex() == 1, On: ask.On, RangeM: ask.RangeM, Author: strings.TrimSpace(f.author.Text)}
	if i := f.scale.SelectedIndex(); i > 0 {
		o.ScaleDenominator = f.scales[i-1]
	}
	if ask.Guild != nil {
		o.Guild = ask.Guild.ID
	}
	return o
}

func (f *plotForm) ending() string { return "." + strings.ToLower(f.format.Selected) }

// askPlotMap asks how the plot map is wanted and where it goes, and writes it.
func (w *Window) askPlotMap() {
	f := newPlotForm(w.session)
	shows := "any refuge at " + length.FormatRange(w.session.Ask().RangeM, panes.System(w.session))
	if g := w.session.Ask().Guild; g != nil {
		shows = strings.ToLower(g.Name)
	}
	form := widget.NewForm(
		widget.NewFormItem("Shows the reach of", widget.NewLabel(shows+", as asked above the ground")),
		widget.NewFormItem("Paper", f.paper), widget.NewFormItem("Lies", f.lies), widget.NewFormItem("Scale", f.scale),
		widget.NewFormItem("Ink", f.ink), widget.NewFormItem("Drawn by", f.author), widget.NewFormItem("File", f.format))
	d := dialog.NewCustomWithoutButtons("Plot map", form, w.window)
	next := widget.NewButton("Choose the file…", func() {
		set, err := sheet.Make(w.session.Assessment(), f.options(w.session))
		if err != nil {
			w.complain(err)
			return
		}
		d.Hide()
		w.askPlotFile(set, f.ending())
	})
	next.Importance = widget.HighImportance
	d.SetButtons([]fyne.CanvasObject{widget.NewButton("Cancel", d.Hide), next})
	d.Resize(fyne.NewSize(min(480, w.window.Canvas().Size().Width-40), 0))
	w.put(d)
}

func (w *Window) askPlotFile(set *sheet.Set, ending string) {
	name := fileName(w.session.Document().Title()+" plot map") + ending
	newFileChooser(w, "Write the plot map", "Save", w.folder(), name, []string{ending}, func(path string) {
		files, err := set.WriteFile(path)
		if err != nil {
			w.complain(err)
			return
		}
		w.remember(path)
		w.say("Wrote " + strings.Join(files, ", "))
		w.offerToOpen(files[0])
	}).show()
}

// offerToOpen offers to show a written file with the desktop's own program for it: printing is that program's work.
func (w *Window) offerToOpen(path string) {
	d := dialog.NewConfirm("The plot map is written", path+"\n\nOpen it now, to look at it or print it?", func(yes bool) {
		if !yes {
			return
		}
		if err := w.app.OpenURL(&url.URL{Scheme: "file", Path: filepath.ToSlash(path)}); err != nil {
			w.complain(err)
		}
	}, w.window)
	d.SetConfirmText("Open")
	d.SetDismissText("Close")
	w.put(d)
}
