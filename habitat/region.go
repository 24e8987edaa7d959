package habitat

import (
	"slices"

	"hedgereach/data"
	"hedgereach/habitat/plan"
)

// RegionOf is where a place lies, as far as plants mind; what the place does not say is unknown in it. A nil place gives the
// zero region.
func RegionOf(pl *plan.Place) data.Region {
	if pl == nil {
		return data.Region{}
	}
	zone, err := data.ParseZone(pl.HardinessZone)
	if err != nil {
		zone = 0 // not given, or in words that are not a zone
	}
	return data.Region{Continent: continent(pl), Zone: zone}
}

// Offered tells whether a plant may be offered here: not where it is a weed, nor, without a place, where it is one anywhere.
func (a *Assessment) Offered(p *data.Plant) bool {
	if a.Plan.Place == nil {
		return len(p.NotOfferedIn) == 0
	}
	return !slices.Contains(p.NotOfferedIn, continent(a.Plan.Place))
}
