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

// BloomIsMoved is what is said where bloom is estimated: see Assessment.BloomEstimated.
const BloomIsMoved = "Bloom is an estimate for this place by Hopkins' bioclimatic law (1918): poleward and upward later in spring, earlier in " +
	"autumn, and in between by degrees (our reading). Dates that you noted yourself go before it."

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
