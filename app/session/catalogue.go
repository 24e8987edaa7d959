package session

import "hedgereach/data"

// Given is the catalogue that the session was given, without what the plan keeps of its own.
func (s *Session) Given() *data.Catalogue { return s.catalogue }

// SetCatalogue measures by another catalogue from now on. What is asked about stays, by the new one's word on it.
func (s *Session) SetCatalogue(c *data.Catalogue) {
	if c == s.catalogue {
		return
	}
	s.catalogue = c
	s.measurer = s.newMeasurer()
	s.measure()
	s.tell(AskChanged)
}

// keepAsking asks about the guild as the plan's catalogue has it: the plan's own entries may give it another range.
func (s *Session) keepAsking() {
	if s.ask.Guild == nil {
		return
	}
	if g := s.Catalogue().Guild(s.ask.Guild.ID); g != nil {
		s.ask.Guild = g
	}
}
