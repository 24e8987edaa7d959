package session

import "hedgereach/data"

// SetCatalogue measures by another catalogue from now on. What is asked about stays, by the new one's word on it.
func (s *Session) SetCatalogue(c *data.Catalogue) {
	if c == s.catalogue {
		return
	}
	s.catalogue = c
	if s.ask.Guild != nil {
		s.ask.Guild = c.Guild(s.ask.Guild.ID)
	}
	s.measurer = s.newMeasurer()
	s.measure()
	s.tell(AskChanged)
}
