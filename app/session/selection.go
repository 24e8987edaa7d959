package session

import (
	"slices"

	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// Selection lists the ids of the selected features, in the order in which they were chosen.
func (s *Session) Selection() []string { return slices.Clone(s.selection) }

// Selected tells whether the feature is selected.
func (s *Session) Selected(id string) bool { return slices.Contains(s.selection, id) }

// Select makes these the selected features; ids that the plan does not have are left out. The finding shown, which was
// about others, goes.
func (s *Session) Select(ids ...string) {
	ids = existing(s.Plan(), ids)
	if slices.Equal(ids, s.selection) && s.shown == nil {
		return
	}
	s.selection, s.shown = ids, nil
	s.tell(SelectionChanged)
}

// Show selects the features and asks the board to bring them into view; f may be nil. The finding's line is drawn.
func (s *Session) Show(ids []string, f *habitat.Finding) {
	s.selection, s.shown = existing(s.Plan(), ids), f
	s.tell(SelectionChanged | FocusAsked)
}

// Shown is the finding last shown, as it stands now; nil where none is, or where it has been mended.
func (s *Session) Shown() *habitat.Finding { return s.shown }

// existing keeps the ids that the plan has, once each.
func existing(p *plan.Plan, ids []string) []string {
	var out []string
	for _, id := range ids {
		if f, _ := p.Find(id); f != nil && !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	return out
}
