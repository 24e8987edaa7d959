package calendar

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// Bloom is the bloom chart: over all habitat the ground in flower, the species and the groups of enemies fed in each half-month,
// then each habitat's plants in the order in which they come into flower, and whom each feeds. It says of each bloom how it is
// known.
func Bloom(a *habitat.Assessment) *Chart {
	c := of(a, "Bloom chart")
	c.name, c.note = "Habitat and plants", "Feeds or shelters"
	c.empty = "No habitat is drawn yet, so nothing flowers."
	for _, h := range a.Site.BloomGaps {
		c.gaps[h] = true
	}
	var cover [season.HalfMonths]float64
	var species, enemies [season.HalfMonths]int
	fed := a.Fed()
	for h := range season.HalfMonths {
		cover[h], species[h], enemies[h] = a.Site.Cover[h].Fraction, a.Site.Cover[h].Species, len(fed[h])
	}
	var habitats []row
	for _, f := range a.Plan.Features {
		if f.IsHabitat() && (len(f.Plants) > 0 || f.Kind != plan.Pond) {
			habitats = append(habitats, row{heading: true, name: f.Title(), feature: f.ID})
			habitats = append(habitats, plants(a, f)...)
		}
	}
	if len(habitats) == 0 {
		return c
	}
	c.rows = append([]row{
		{name: "Ground in flower", curve: &cover, top: round(&cover)},
		{name: "Species in flower", counts: &species, least: habitat.FewestInFlower, note: fmt.Sprintf("fewer than %d in the season: a gap", habitat.FewestInFlower)},
		{name: "Groups of enemies fed", counts: &enemies},
	}, habitats...)
	c.used([]keyed{{observed, "as you saw it"}, {noted, "as the catalogue notes it"}, {estimated, "estimated for this place"},
		{elsewhere, "on another continent; not known here"}})
	return c
}

// plants are the rows of a habitat.
func plants(a *habitat.Assessment, f *plan.Feature) []row {
	if len(f.Plants) == 0 {
		return []row{{name: "no plants are noted", italic: true, feature: f.ID}}
	}
	type one struct {
		row
		when season.Window
	}
	var list []one
	for _, g := range f.Plants {
		o := one{when: a.Bloom(g)}
		o.name, o.feature = g.Plant, f.ID
		known := observed
		if p := a.Catalogue.Plant(g.Plant); p != nil {
			o.name = p.Name
			if !g.Bloom.Given() {
				_, how := a.BloomOf(p)
				known = map[habitat.BloomKnown]sort{habitat.BloomAsNoted: noted, habitat.BloomEstimated: estimated, habitat.BloomElsewhere: elsewhere}[how]
			}
			var feeds []string
			for _, id := range p.Guilds {
				if guild := a.Catalogue.Guild(id); guild != nil && !guild.Pollinator {
					feeds = append(feeds, habitat.InText(short(guild.Name)))
				}
			}
			o.note = strings.Join(feeds, ", ")
		}
		o.name = fmt.Sprintf("%s, %s", o.name, share(g.Share))
		if o.when.Given() {
			o.bars = split(o.when, known, "")
		}
		list = append(list, o)
	}
	// What flowers first comes first; what does not flower, last.
	slices.SortStableFunc(list, func(x, y one) int {
		return cmp.Or(cmp.Compare(btoi(!x.when.Given()), btoi(!y.when.Given())), cmp.Compare(x.when.From, y.when.From))
	})
	rows := make([]row, len(list))
	for i, o := range list {
		rows[i] = o.row
	}
	return rows
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}
