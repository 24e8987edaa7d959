package window

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/document"
	"hedgereach/app/fields"
	"hedgereach/data"
	"hedgereach/habitat/plan"
)

// folderKey is the preference that remembers where files were last opened or saved.
const folderKey = "folder"

// readable lists the endings of what can be opened.
var readable = []string{document.Extension, ".geojson", ".json", ".gpx", ".csv"}

// folder is where a file dialog begins: beside the open file, else where files were last, else at home.
func (w *Window) folder() string {
	if p := w.session.Document().Path(); p != "" {
		return filepath.Dir(p)
	}
	if f := w.app.Preferences().String(folderKey); f != "" {
		return f
	}
	home, _ := os.UserHomeDir()
	return home
}

func (w *Window) remember(path string) {
	w.app.Preferences().SetString(folderKey, filepath.Dir(path))
}

// newPlan starts an empty plan.
func (w *Window) newPlan() {
	w.leave(func() {
		p := plan.New("")
		p.Units = w.session.Committed().Units
		w.session.SetDocument(document.New(p))
	})
}

// askOpen asks for a file and opens it.
func (w *Window) askOpen() {
	w.leave(func() {
		newFileChooser(w, "Open a plan, GeoJSON, or GPS points", "Open", w.folder(), "", readable, w.openFile).show()
	})
}

// openFile opens a file in place of the open plan, which stays as it is where the file cannot be read.
func (w *Window) openFile(path string) {
	d, err := document.Open(path)
	if err != nil {
		w.complain(err)
		return
	}
	w.remember(path)
	w.session.SetDocument(d)
	w.tellReadOnly()
	w.tellNotes()
}

// tellNotes says what was left out or taken for granted when the open plan was read, if anything.
func (w *Window) tellNotes() {
	notes := w.session.Document().Notes()
	if len(notes) == 0 {
		return
	}
	t := widget.NewLabel(strings.Join(notes, "\n"))
	t.Wrapping = fyne.TextWrapWord
	w.tell("Read with remarks", container.NewVScroll(t), 560, 360)
}

// openSample opens the sample garden as a plan without a file, so that saving it asks for a name.
func (w *Window) openSample() {
	w.leave(func() {
		d, err := sample()
		if err != nil {
			w.complain(err)
			return
		}
		w.session.SetDocument(d)
	})
}

// dropped opens the first of the files that were dropped on the window.
func (w *Window) dropped(_ fyne.Position, files []fyne.URI) {
	if len(files) > 0 && files[0].Scheme() == "file" {
		w.leave(func() { w.openFile(files[0].Path()) })
	}
}

// save writes the plan to its file, or asks for one.
func (w *Window) save() { w.saveThen(func() {}) }

func (w *Window) saveThen(then func()) {
	if d := w.session.Document(); d.Path() == "" || d.ReadOnly() {
		w.saveAsThen(then)
		return
	}
	w.flush()
	switch err := w.session.Save(); {
	case errors.Is(err, document.ErrChanged):
		w.askOverwrite(then)
	case err != nil:
		w.complain(err)
	default:
		w.saved(then)
	}
}

// saved says what was saved.
func (w *Window) saved(then func()) {
	d := w.session.Document()
	if err := d.Unkept(); err != nil {
		w.say("Saved " + d.Path() + "; what it held before is not kept: " + err.Error())
	} else {
		w.say("Saved " + d.Path())
	}
	then()
}

// askOverwrite asks what to do with a file that another program has written since the plan was read or saved.
func (w *Window) askOverwrite(then func()) {
	path := w.session.Document().Path()
	name := filepath.Base(path)
	text := widget.NewLabel(name + " was changed by another program since it was opened or saved here.\n\n" +
		"If you overwrite it, what it holds now is kept beside it as " + name + "~.")
	text.Wrapping = fyne.TextWrapWord
	d := dialog.NewCustomWithoutButtons("The file was changed", text, w.window)
	choice := func(do func()) func() {
		return func() {
			w.calmly(d.Hide)()
			do()
		}
	}
	other := fields.NewButton("Save as…", choice(func() { w.saveAsThen(then) }))
	other.Importance = widget.HighImportance
	d.SetButtons([]fyne.CanvasObject{fields.NewButton("Cancel", choice(func() {})),
		fields.NewButton("Overwrite", choice(func() { w.writeTo(path, then) })), other})
	d.Resize(fyne.NewSize(min(520, w.window.Canvas().Size().Width-40), 0))
	w.put(d)
}

// saveAs asks for a file and writes the plan to it.
func (w *Window) saveAs() { w.saveAsThen(func() {}) }

func (w *Window) saveAsThen(then func()) {
	name := fileName(w.session.Document().Title())
	if w.session.Document().ReadOnly() { // its own name is taken
		name += " copy"
	}
	newFileChooser(w, "Save the plan", "Save", w.folder(), name+document.Extension, []string{document.Extension},
		func(path string) { w.writeTo(path, then) }).show()
}

// writeTo writes the plan to a file whatever it holds, but not to one that another window has open.
func (w *Window) writeTo(path string, then func()) {
	if w.heldElsewhere(path) {
		w.complain(fmt.Errorf("%s is open in another window: choose another name", path))
		return
	}
	w.keepFor(path, document.Stamp(path))
	w.flush()
	if err := w.session.SaveAs(path); err != nil {
		d := w.session.Document()
		w.keepFor(d.Path(), d.Stamp())
		w.complain(err)
		return
	}
	w.remember(path)
	w.saved(then)
}

// exportGeoJSON writes the plan for other programs; the plan's own file is not touched.
func (w *Window) exportGeoJSON() {
	name := fileName(w.session.Document().Title()) + ".geojson"
	newFileChooser(w, "Export as GeoJSON", "Save", w.folder(), name, []string{".geojson", ".json"}, func(path string) {
		if err := plan.WriteFile(path, w.session.Committed()); err != nil {
			w.complain(err)
			return
		}
		w.say("Exported " + path)
	}).show()
}

// fileName makes a file's name of a title: what file systems do not take becomes a hyphen.
func fileName(title string) string {
	out := []rune(title)
	for i, r := range out {
		switch r {
		case '/', '\\', ':', '*', '?', '"', '<', '>', '|', '\x00', '\n', '\t':
			out[i] = '-'
		}
	}
	if len(out) > 80 {
		out = out[:80]
	}
	return string(out)
}

// leave runs then once the open plan may be left: at once where it is saved, else after the grower has chosen.
func (w *Window) leave(then func()) {
	if !w.session.Document().Dirty() {
		then()
		return
	}
	text := widget.NewLabel("“" + w.session.Document().Title() + "” has changes that are not saved.")
	d := dialog.NewCustomWithoutButtons("Save the plan?", text, w.window)
	choice := func(do func()) func() {
		return func() {
			w.calmly(d.Hide)()
			do()
		}
	}
	save := fields.NewButton("Save", choice(func() { w.saveThen(then) }))
	save.Importance = widget.HighImportance
	d.SetButtons([]fyne.CanvasObject{
		fields.NewButton("Cancel", choice(func() {})), fields.NewButton("Don't save", choice(then)), save})
	w.put(d)
}

// quit ends the program once the open plan may be left. The toolkit's own quit asks nothing, so every way out comes here.
func (w *Window) quit() {
	w.leave(func() {
		w.giveUp()
		w.window.SetCloseIntercept(nil)
		w.app.Quit()
	})
}

// complain shows an error as its one line. The open plan is as it was.
func (w *Window) complain(err error) {
	text := widget.NewLabel(err.Error())
	text.Wrapping = fyne.TextWrapWord
	d := dialog.NewCustom("That did not work", "Close", text, w.window)
	size := w.window.Canvas().Size()
	d.Resize(fyne.NewSize(min(520, size.Width-40), 0))
	w.put(d)
}

// sample is the sample garden as a document without a file.
func sample() (*document.Document, error) {
	p, err := plan.Read(bytes.NewReader(data.Sample()), data.SampleName)
	if err != nil {
		return nil, err
	}
	return document.New(p), nil
}
