// Package document is the open plan as a document: its history of edits, its file, whether it is saved. It knows files and
// undo; it knows no window.
package document

import (
	"errors"
	"path/filepath"
	"strings"

	"hedgereach/habitat/plan"
)

// Extension is the ending of a plan file's name.
const Extension = ".hedgereach"

// ErrNoPath says that Save was asked of a document that has no file yet.
var ErrNoPath = errors.New("this plan has no file yet: choose a name with Save as")

// An Edit is one step of the history. Plans are values that share their unchanged features, so an edit keeps both.
type Edit struct {
	Name          string // for the Edit menu: "move bed 3"
	Before, After *plan.Plan
}

// A Document is a plan with its history and file.
type Document struct {
	plan  *plan.Plan
	saved *plan.Plan // the plan as the file has it; undo back to it and the document is clean again
	path  string
	from  string // the file that it was read from, for the title, also where Save will not write to it
	notes []string

	edits []Edit // the whole history; edits[:done] are done, the rest can be redone
	done  int
}

// New is an unsaved document.
func New(p *plan.Plan) *Document { return &Document{plan: p, saved: p} }

// Recovered is a document of work that was never saved, of a file or, with "", of none. It counts as changed.
func Recovered(p *plan.Plan, path string) *Document {
	return &Document{plan: p, path: path, from: path}
}

// Open reads a plan file, GeoJSON or points. Only a plan file, by content and by name, becomes the document's Path: anything else
// is read in, and saving it asks for a name, so that a survey file is not overwritten by a plan.
func Open(path string) (*Document, error) {
	r, err := plan.Open(path)
	if err != nil {
		return nil, err
	}
	d := New(r.Plan)
	d.from, d.notes = path, r.Notes
	if r.Format == plan.PlanFile && strings.EqualFold(filepath.Ext(path), Extension) {
		d.path = path
	}
	return d, nil
}

// Plan is the plan as edited so far.
func (d *Document) Plan() *plan.Plan { return d.plan }

// Path is the file that Save writes, "" where never saved.
func (d *Document) Path() string { return d.path }

// Notes says in a line each what was left out or taken for granted when the file was read.
func (d *Document) Notes() []string { return d.notes }

// Title is for the title bar: the plan's name, else the file's, else a word for a plan without either.
func (d *Document) Title() string {
	switch {
	case d.plan.Name != "":
		return d.plan.Name
	case d.path != "":
		return baseName(d.path)
	case d.from != "":
		return baseName(d.from)
	}
	return "New plan"
}

func baseName(path string) string {
	b := filepath.Base(path)
	return strings.TrimSuffix(b, filepath.Ext(b))
}

// Dirty tells whether the plan differs from its file. Undoing back to what was saved makes it clean again.
func (d *Document) Dirty() bool { return d.plan != d.saved }

// Do makes e.After the plan, as a step that can be undone. Steps that were undone before are dropped.
func (d *Document) Do(e Edit) {
	d.edits = append(d.edits[:d.done:d.done], e)
	d.done = len(d.edits)
	d.plan = e.After
}

// Undo takes the last step back and answers it; false where there is none.
func (d *Document) Undo() (Edit, bool) {
	if d.done == 0 {
		return Edit{}, false
	}
	d.done--
	e := d.edits[d.done]
	d.plan = e.Before
	return e, true
}

// Redo does the last undone step again and answers it; false where there is none.
func (d *Document) Redo() (Edit, bool) {
	if d.done == len(d.edits) {
		return Edit{}, false
	}
	e := d.edits[d.done]
	d.done++
	d.plan = e.After
	return e, true
}

// UndoName is the name of the step that Undo would take back.
func (d *Document) UndoName() (string, bool) {
	if d.done == 0 {
		return "", false
	}
	return d.edits[d.done-1].Name, true
}

// RedoName is the name of the step that Redo would do again.
func (d *Document) RedoName() (string, bool) {
	if d.done == len(d.edits) {
		return "", false
	}
	return d.edits[d.done].Name, true
}

// Save writes to Path. Written beside, flushed, renamed: a failure leaves the old file as it was. The history survives.
func (d *Document) Save() error {
	if d.path == "" {
		return ErrNoPath
	}
	return d.SaveAs(d.path)
}

// SaveAs writes to another path, which becomes Path. After a failure the document and both files are as they were.
func (d *Document) SaveAs(path string) error {
	if err := plan.WriteFile(path, d.plan); err != nil {
		return err
	}
	d.path, d.from, d.saved = path, path, d.plan
	return nil
}
