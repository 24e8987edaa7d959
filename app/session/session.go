// Package session is what the window looks at: the open document, its assessment, what is selected, and what is asked about
// (guild, range, half-month). The board and the panes are views of one Session; they change it by its methods and hear of
// changes through Observe. It draws nothing. All methods belong to one goroutine, the window's.
package session

import (
	"hedgereach/app/document"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// What says which parts changed; parts are or-ed together.
type What uint

// The parts.
const (
	PlanChanged      What = 1 << iota // a new committed plan: edit, undo, redo, open, new
	PreviewChanged                    // the plan shown during a gesture changed
	SelectionChanged                  // other features are selected
	AskChanged                        // another guild, range or half-month is asked about
	FileChanged                       // another file name, or saved/unsaved changed
	FocusAsked                        // Show was called: bring features into view
)

// An Ask is what the map answers: the reach of Guild (nil: any refuge, at RangeM) at the time On (nil: the whole season).
type Ask struct {
	Guild  *data.Guild
	RangeM float64
	On     *season.HalfMonth
}

// A Session is the state behind a window.
type Session struct { /* the owner of this package fills this in */
}

// New starts a session on a document.
func New(c *data.Catalogue, d *document.Document) *Session { panic("stub") }

func (s *Session) Catalogue() *data.Catalogue       { panic("stub") }
func (s *Session) Document() *document.Document     { panic("stub") }
func (s *Session) SetDocument(d *document.Document) { panic("stub") } // open or new: selection cleared

// Plan is the plan as shown: the preview during a gesture, else the committed plan.
func (s *Session) Plan() *plan.Plan { panic("stub") }

// Committed is the plan as in the history.
func (s *Session) Committed() *plan.Plan { panic("stub") }

// Assessment is of Plan, with the Ask's time and range. Never nil.
func (s *Session) Assessment() *habitat.Assessment { panic("stub") }

// Status is the bed's standing with what is asked about (guild, or any refuge at the range).
func (s *Session) Status(b *habitat.Bed) habitat.Status { panic("stub") }

// Preview shows p while a gesture is under way, measured afresh; the history is unchanged.
func (s *Session) Preview(p *plan.Plan) { panic("stub") }

// CancelPreview goes back to the committed plan.
func (s *Session) CancelPreview() { panic("stub") }

// Commit makes p the plan, as one step of the history with a name for the Edit menu ("move bed 3"). It ends a preview. It
// refuses a plan that a reader would refuse (invalid geometry) and says why.
func (s *Session) Commit(name string, p *plan.Plan) error { panic("stub") }

func (s *Session) Undo() { panic("stub") }
func (s *Session) Redo() { panic("stub") }

func (s *Session) Selection() []string     { panic("stub") } // feature ids
func (s *Session) Select(ids ...string)    { panic("stub") }
func (s *Session) Selected(id string) bool { panic("stub") }
func (s *Session) Ask() Ask                { panic("stub") }
func (s *Session) SetAsk(a Ask)            { panic("stub") }

// Show selects the features and asks the board to bring them into view; f may be nil. The finding's line is drawn.
func (s *Session) Show(ids []string, f *habitat.Finding) { panic("stub") }

// Shown is the finding last shown, or nil.
func (s *Session) Shown() *habitat.Finding { panic("stub") }

// Observe calls fn after every change, with what changed. It answers a function that stops it.
func (s *Session) Observe(fn func(What)) (stop func()) { panic("stub") }
