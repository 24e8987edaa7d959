package habitat

import (
	"hedgereach/data"
	"hedgereach/data/season"
)

// BloomKnown says how a plant's bloom window is known at a plan's place.
type BloomKnown int

// The ways.
const (
	BloomAsNoted   BloomKnown = iota // as the catalogue notes it
	BloomEstimated                   // shifted here by Hopkins' law
	BloomElsewhere                   // noted on another continent, and not known here
)

// BloomOf is the catalogue's bloom window of a plant at the plan's place, and how it is known; zero for a plant without flowers
// that matter.
func (a *Assessment) BloomOf(p *data.Plant) (season.Window, BloomKnown) {
	c := a.dates()
	switch {
	case c.elsewhere[p.ID]:
		return c.windows[p.ID], BloomElsewhere
	case c.shifted[p.ID]:
		return c.windows[p.ID], BloomEstimated
	}
	return c.windows[p.ID], BloomAsNoted
}
