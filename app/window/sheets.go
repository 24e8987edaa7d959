package window

import (
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/app/panes"
	"hedgereach/app/preview"
	"hedgereach/app/printer"
	"hedgereach/app/recovery"
	"hedgereach/app/sheet"
	"hedgereach/geometry/length"
)

// askSheets shows the sheets, to be chosen, turned, written and printed.
func (w *Window) askSheets() {
	p, shown := w.newPreview()
	d := dialog.NewCustomWithoutButtons("Sheets for the field", p.Object, w.window)
	write := fields.NewButton("Write…", func() { w.writeSheets(p.Set(), shown) })
	write.Importance = widget.HighImportance
	buttons := []fyne.CanvasObject{fields.NewButton("Close", w.calmly(d.Hide))}
	print := fields.NewButton("Print…", nil)
	if c := printer.Find(); c != nil {
		print.OnTapped = func() { w.askPrint(c, p.Set()) }
		buttons = append(buttons, print)
	}
	buttons = append(buttons, write)
	ready := func(yes bool) {
		for _, b := range []*fields.Button{print, write} {
			if yes {
				b.Enable()
			} else {
				b.Disable()
			}
		}
	}
	p.Ready = ready
	ready(p.Set() != nil)
	d.SetButtons(buttons)
	size := w.window.Canvas().Size()
	d.Resize(fyne.NewSize(size.Width-24, size.Height-24))
	w.put(d)
	w.window.Canvas().Focus(p.Focus())
}

// newPreview is a preview of the plan as it stands, and as the map is asked about it.
func (w *Window) newPreview() (p *preview.Preview, title string) {
	s := w.session
	ask, a := s.Ask(), s.Assessment()
	c := preview.Config{Plan: s.Plan(), Settings: w.app.Preferences(), Dispatch: w.dispatch,
		Ask:   sheet.Options{On: ask.On, RangeM: ask.RangeM},
		Shows: "the reach of any refuge at " + length.FormatRange(ask.RangeM, panes.System(s)),
		Make:  func(o sheet.Options) (*sheet.Set, error) { return sheet.Make(a, o) }}
	if g := ask.Guild; g != nil {
		c.Ask.Guild, c.Shows = g.ID, "the reach of "+strings.ToLower(g.Name)
	}
	if ask.On != nil {
		c.Shows += ", " + ask.On.Label()
	}
	c.Shows += ", as asked above the ground"
	return preview.New(c), s.Document().Title()
}

// writeSheets asks for a file and writes the set there.
func (w *Window) writeSheets(set *sheet.Set, title string) {
	if set == nil {
		return
	}
	var endings []string
	for _, f := range sheet.Formats {
		endings = append(endings, "."+f)
	}
	newFileChooser(w, "Write the sheets as PDF, SVG or PNG, or the planting list as CSV", "Save", w.folder(), fileName(title+" sheets")+endings[0], endings, func(path string) {
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

// askPrint asks for a printer and copies, and prints the set.
func (w *Window) askPrint(c *printer.Command, set *sheet.Set) {
	if set == nil {
		return
	}
	const usual = "The usual one"
	where := fields.NewPick(append([]string{usual}, c.Printers()...), usual)
	copies := fields.NewPick([]string{"1", "2", "3", "4", "5", "6", "8", "10"}, "1")
	page := set.Pages[0].List
	pages := fmt.Sprintf("%d pages", len(set.Pages))
	if len(set.Pages) == 1 {
		pages = "One page"
	}
	paper := widget.NewLabel(fmt.Sprintf("%s. Load paper of %.0f × %.0f mm. Nothing is scaled, so that the maps stay true.", pages,
		min(page.Width, page.Height), max(page.Width, page.Height)))
	paper.Wrapping = fyne.TextWrapWord
	form := widget.NewForm(widget.NewFormItem("Printer", where), widget.NewFormItem("Copies", copies))
	d := dialog.NewCustomConfirm("Print the sheets", "Print", "Cancel", container.NewVBox(form, paper), func(yes bool) {
		if !yes {
			return
		}
		job := printer.Job{Title: set.Title, WidthMM: min(page.Width, page.Height), HeightMM: max(page.Width, page.Height)}
		fmt.Sscan(copies.Selected, &job.Copies)
		if where.Selected != usual {
			job.Printer = where.Selected
		}
		w.say("Handing the sheets to the printer …")
		recovery.Go(func() {
			said, err := printSet(c, set, job)
			w.dispatch(func() {
				if err != nil {
					w.complain(err)
					return
				}
				w.say(strings.TrimSpace("Printing. " + said))
			})
		}, func(err error) { w.dispatch(func() { w.complain(err) }) })
	}, w.window)
	d.Resize(fyne.NewSize(min(460, w.window.Canvas().Size().Width-40), 0))
	w.put(d)
}

// printSet hands the set over as a PDF, which is gone afterwards.
func printSet(c *printer.Command, set *sheet.Set, job printer.Job) (string, error) {
	dir, err := os.MkdirTemp("", "hedgereach")
	if err != nil {
		return "", fmt.Errorf("there is no room for what is to be printed (%w): write a PDF and print that", err)
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "sheets.pdf")
	if _, err := set.WriteFile(path); err != nil {
		return "", err
	}
	return c.Print(path, job)
}

// offerToOpen offers to show a written file with the desktop's own program for it.
func (w *Window) offerToOpen(path string) {
	d := dialog.NewConfirm("The sheets are written", path+"\n\nOpen them now?", func(yes bool) {
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
