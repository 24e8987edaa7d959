package habitat

import (
	"hedgereach/data"
	"hedgereach/data/season"
)

// FewestInFlower are the species that must flower in a half-month of the season, else it is a bloom gap.
const FewestInFlower = speciesInFlower

// Fed are the guilds of natural enemies that eat from flowers and find some that feed them in flower on the site, for each
// half-month, in the catalogue's order. Pollinators are kept apart and not counted. Where on the site the flowers stand means
// nothing here: whether a bed lies within their reach is the beds' own measure.
func (a *Assessment) Fed() (fed [season.HalfMonths][]*data.Guild) {
	type flowering struct {
		plant string
		when  season.Window
	}
	cal, seen := a.dates(), map[flowering]bool{} // the same plant stands in many habitats
	var found [season.HalfMonths]map[string]bool
	for _, f := range a.Plan.Features {
		if !f.IsHabitat() || a.invalid[f] != nil {
			continue
		}
		for _, grown := range f.Plants {
			one := flowering{grown.Plant, cal.bloom(grown)}
			if grown.Share <= 0 || !one.when.Given() || seen[one] {
				continue
			}
			seen[one] = true
			p := a.Catalogue.Plant(grown.Plant)
			if p == nil {
				continue
			}
			for h := range season.HalfMonth(season.HalfMonths) {
				if !one.when.Covers(h) {
					continue
				}
				if found[h] == nil {
					found[h] = map[string]bool{}
				}
				for _, id := range p.Guilds {
					found[h][id] = true
				}
			}
		}
	}
	for _, g := range a.Catalogue.Guilds {
		for h := range found {
			if g.FedByFlowers && !g.Pollinator && found[h][g.ID] {
				fed[h] = append(fed[h], g)
			}
		}
	}
	return fed
}
