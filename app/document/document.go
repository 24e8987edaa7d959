// Package document is the open plan as a document: its history of edits, its file, whether it is saved. It knows files and
// undo; it knows no window.
package document

import (
	"errors"
	"io/fs"
	"path/filepath"
	"strings"

	"hedgereach/habitat/plan"
)

// Extension is the ending of a plan file's name.
const Extension = ".hedgereach"

// Why Save did not write.
var (
	ErrNoPath   = errors.New("this plan has no file yet: choose a name with Save as")
	ErrReadOnly = errors.New("this plan is open in another window, so here it can only be read: choose another name with Save as")
	ErrPartial  = errors.New("a newer version of the program wrote this plan, and not all of it can be seen here: choose another name with Save as")
	ErrChanged  = errors.New("another program changed the file since it was read: choose another name with Save as, or overwrite it")
)

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
	stamp string // Stamp of the file at path as it was read or saved here
	notes []string

	readOnly bool // another window has the file
	partial  bool // the file holds what this version of the program cannot show
	unkept   error

	edits []Edit // the whole history; edits[:done] are done, the rest can be redone
	done  int
}

// New is an unsaved document.
func New(p *plan.Plan) *Document { return &Document{plan: p, saved: p} }

// Recovered is a document of work that was never saved, of a file with the Stamp that it then had or, with "", of none. It counts
// as changed.
func Recovered(p *plan.Plan, path, stamp string) *Document {
	return &Document{plan: p, path: path, from: path, stamp: stamp, partial: path != "" && p.Partial()}
}

// Open reads a plan file, GeoJSON or points. Only a plan file, by content and by name, becomes the document's Path: anything else
// is read in, and saving it asks for a name, so that a survey file is not overwritten by a plan.
func Open(path string) (*Document, error) {
	stamp := Stamp(path) // before reading: what is written in between counts as another's change
	r, err := plan.Open(path)
	if err != nil {
		return nil, err
	}
	d := New(r.Plan)
	d.from, d.notes = path, r.Notes
	if r.Format == plan.PlanFile && strings.EqualFold(filepath.Ext(path), Extension) {
		d.path, d.stamp, d.partial = path, stamp, r.Plan.Partial()
		plan.TidyBeside(path)
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

// Stamp is the Stamp of the file at Path as it was when it was read or saved here.
func (d *Document) Stamp() string { return d.stamp }

// ReadOnly tells whether Save is refused, because another window has the file open, or because it is Partial.
func (d *Document) ReadOnly() bool { return d.readOnly || d.partial }

// Partial tells whether Save is refused because a newer version of the program wrote the file, and not all of it can be shown
// here. SaveAs keeps what is not shown, too.
func (d *Document) Partial() bool { return d.partial }

// SetReadOnly has Save refused because another window has the file open, or allowed again.
func (d *Document) SetReadOnly(on bool) { d.readOnly = on }

// Save writes to Path. Written beside, flushed, renamed: a failure leaves the old file as it was. The history survives. It refuses
// with ErrNoPath, ErrReadOnly, ErrPartial or ErrChanged; SaveAs to the same Path then overwrites what others wrote.
func (d *Document) Save() error {
	if d.path == "" {
		return ErrNoPath
	}
	if d.readOnly {
		return ErrReadOnly
	}
	if d.partial {
		return ErrPartial
	}
	if now := Stamp(d.path); now != "" && now != d.stamp { // a file that has gone is written anew
		return ErrChanged
	}
	return d.SaveAs(d.path)
}

// SaveAs writes to another path, which becomes Path. After a failure the document and both files are as they were. What the file
// held before is kept beside it, under its name and a tilde.
func (d *Document) SaveAs(path string) error {
	before, unread := contents(path)
	if err := plan.WriteFile(path, d.plan); err != nil {
		return err
	}
	d.path, d.from, d.saved, d.readOnly, d.partial, d.stamp = path, path, d.plan, false, false, Stamp(path)
	if unread != nil && !errors.Is(unread, fs.ErrNotExist) {
		d.unkept = unread
		return nil
	}
	d.unkept = keepBefore(path, before, d.stamp)
	return nil
}

// Unkept is why the last save could not keep what the file held before; nil where it did or there was nothing. The plan is saved.
func (d *Document) Unkept() error { return d.unkept }
