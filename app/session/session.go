// Package session is what the window looks at: the open document, its assessment, what is selected, and what is asked about
// (guild, range, half-month). The board and the panes are views of one Session; they change it by its methods and hear of
// changes through Observe. It draws nothing. All methods belong to one goroutine, the window's.
package session

import (
	"slices"

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
	SeasonChanged                     // the season was worked out afresh
)

// An Ask is what the map answers: the reach of Guild (nil: any refuge, at RangeM) at the time On (nil: the whole season).
type Ask struct {
	Guild  *data.Guild
	RangeM float64
	On     *season.HalfMonth
}

// A Session is the state behind a window.
type Session struct {
	catalogue  *data.Catalogue
	doc        *document.Document
	preview    *plan.Plan // nil outside a gesture
	measurer   measurer
	assessment *habitat.Assessment
	ask        Ask
	selection  []string
	shown      *habitat.Finding
	seasons    seasons
	observers  []*func(What)
}

// New starts a session on a document.
func New(c *data.Catalogue, d *document.Document) *Session {
	s := &Session{catalogue: c, doc: d, ask: Ask{RangeM: habitat.UsualRangeM}}
	s.measurer = s.newMeasurer()
	s.measure()
	return s
}

// Catalogue is what the plan shown is measured by: what the trade knows, with the grower's own entries before it, and the plan's
// own before those.
func (s *Session) Catalogue() *data.Catalogue { return s.assessment.Catalogue }

// Document is the open document.
func (s *Session) Document() *document.Document { return s.doc }

// SetDocument opens another document or a new one: the selection is cleared.
func (s *Session) SetDocument(d *document.Document) {
	s.doc, s.preview, s.shown = d, nil, nil
	s.selection = nil
	s.forgetSeason()
	s.measurer = s.newMeasurer()
	s.measure()
	s.tell(PlanChanged | PreviewChanged | SelectionChanged | FileChanged)
}

// Save writes the document to its file and tells the observers. It answers document.ErrNoPath where there is none yet.
func (s *Session) Save() error {
	if err := s.doc.Save(); err != nil {
		return err
	}
	s.tell(FileChanged)
	return nil
}

// SaveAs writes the document to a file, which becomes its own, and tells the observers.
func (s *Session) SaveAs(path string) error {
	if err := s.doc.SaveAs(path); err != nil {
		return err
	}
	s.tell(FileChanged)
	return nil
}

// Plan is the plan as shown: the preview during a gesture, else the committed plan.
func (s *Session) Plan() *plan.Plan {
	if s.preview != nil {
		return s.preview
	}
	return s.doc.Plan()
}

// Committed is the plan as in the history.
func (s *Session) Committed() *plan.Plan { return s.doc.Plan() }

// Previewing tells whether a gesture's plan is shown in place of the committed one.
func (s *Session) Previewing() bool { return s.preview != nil }

// Preview shows p while a gesture is under way, measured afresh; the history is unchanged.
func (s *Session) Preview(p *plan.Plan) {
	if p == s.Plan() {
		return
	}
	s.preview = p
	s.measure()
	s.tell(PreviewChanged)
}

// CancelPreview goes back to the committed plan.
func (s *Session) CancelPreview() {
	if s.preview == nil {
		return
	}
	s.preview = nil
	s.measure()
	s.tell(PreviewChanged)
}

// Commit makes p the plan, as one step of the history with a name for the Edit menu ("move bed 3"). It ends a preview. It
// refuses what could not be saved (a bad outline, too long a name) and says why; then the committed plan is shown again.
func (s *Session) Commit(name string, p *plan.Plan) error {
	before := s.doc.Plan()
	if p == before {
		s.CancelPreview()
		return nil
	}
	if err := p.CheckChange(before); err != nil {
		s.CancelPreview()
		return err
	}
	s.change(func() { s.doc.Do(document.Edit{Name: name, Before: before, After: p}) })
	return nil
}

// Undo takes the last step back; a gesture under way is given up first.
func (s *Session) Undo() {
	if _, ok := s.doc.UndoName(); ok {
		s.change(func() { s.doc.Undo() })
		return
	}
	s.CancelPreview()
}

// Redo does the last undone step again; a gesture under way is given up first.
func (s *Session) Redo() {
	if _, ok := s.doc.RedoName(); ok {
		s.change(func() { s.doc.Redo() })
		return
	}
	s.CancelPreview()
}

// change moves the history and brings everything else after it.
func (s *Session) change(step func()) {
	what := PlanChanged
	if s.preview != nil {
		what |= PreviewChanged
	}
	dirty, title := s.doc.Dirty(), s.doc.Title()
	s.preview = nil
	step()
	s.measure()
	if dirty != s.doc.Dirty() || title != s.doc.Title() {
		what |= FileChanged
	}
	n := len(s.selection)
	if s.selection = existing(s.doc.Plan(), s.selection); len(s.selection) != n {
		what |= SelectionChanged
	}
	s.tell(what)
}

// Ask is what the map answers at the moment.
func (s *Session) Ask() Ask { return s.ask }

// SetAsk asks another question of the map.
func (s *Session) SetAsk(a Ask) {
	if sameAsk(a, s.ask) {
		return
	}
	s.ask = a
	s.measurer.SetOptions(s.options())
	if !s.lookUp() {
		s.measure()
	}
	s.prepare()
	s.tell(AskChanged)
}

func sameAsk(a, b Ask) bool {
	sameTime := a.On == b.On || a.On != nil && b.On != nil && *a.On == *b.On
	return a.Guild == b.Guild && a.RangeM == b.RangeM && sameTime
}

// Observe calls fn after every change, with what changed. It answers a function that stops it.
func (s *Session) Observe(fn func(What)) (stop func()) {
	o := &fn
	s.observers = append(s.observers, o)
	return func() {
		// A new slice, so that stopping within a call does not disturb the round under way.
		s.observers = slices.DeleteFunc(slices.Clone(s.observers), func(x *func(What)) bool { return x == o })
	}
}

func (s *Session) tell(w What) {
	for _, fn := range s.observers {
		if slices.Contains(s.observers, fn) { // still observing: an earlier one may have stopped it
			(*fn)(w)
		}
	}
}
