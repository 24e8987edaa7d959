// Package document is the open plan as a document: its history of edits, its file, whether it is saved. It knows files and
// undo; it knows no window.
package document

import "hedgereach/habitat/plan"

// An Edit is one step of the history. Plans are values that share their unchanged features, so an edit keeps both.
type Edit struct {
	Name          string // for the Edit menu: "move bed 3"
	Before, After *plan.Plan
}

// A Document is a plan with its history and file.
type Document struct { /* the owner of this package fills this in */
}

// New is an unsaved document.
func New(p *plan.Plan) *Document { panic("stub") }

// Open reads a plan file or GeoJSON, by content and extension.
func Open(path string) (*Document, error) { panic("stub") }

func (d *Document) Plan() *plan.Plan { panic("stub") }
func (d *Document) Path() string     { panic("stub") } // "" where never saved
func (d *Document) Title() string    { panic("stub") } // plan name or file name, for the title bar
func (d *Document) Dirty() bool      { panic("stub") } // differs from the file

func (d *Document) Do(e Edit)                { panic("stub") }
func (d *Document) Undo() (Edit, bool)       { panic("stub") }
func (d *Document) Redo() (Edit, bool)       { panic("stub") }
func (d *Document) UndoName() (string, bool) { panic("stub") }
func (d *Document) RedoName() (string, bool) { panic("stub") }

// Save writes to Path; SaveAs to another path, which becomes Path. Written beside, flushed, renamed: a failure leaves the
// old file as it was. The history survives.
func (d *Document) Save() error              { panic("stub") }
func (d *Document) SaveAs(path string) error { panic("stub") }
