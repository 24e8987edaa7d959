package habitat

import (
	"slices"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// A calendar says when plants flower at a plan's place, and which half-months lie between its frosts.
type calendar struct {
	catalogue *data.Catalogue
	place     *plan.Place
	windows   map[string]season.Window // at the place, by plant
	shifted   map[string]bool          // plants whose window Hopkins' law moved
	elsewhere map[string]bool          // plants whose window was noted on another continent, so that it is not known here
	season    []season.HalfMonth       // between last and first frost, in order; empty when not known
	asked     []season.HalfMonth       // season, or the whole year
}

func newCalendar(c *data.Catalogue, pl *plan.Place) *calendar {
	cal := &calendar{catalogue: c, place: pl, windows: make(map[string]season.Window, len(c.Plants)),
		shifted: map[string]bool{}, elsewhere: map[string]bool{}}
	for _, p := range c.Plants {
		w := p.Bloom
		if pl != nil && w.Given() && p.BloomPlace.ID != "" {
			var known bool
			if w, known = toHere(w, p.BloomPlace, pl); !known {
				cal.elsewhere[p.ID] = true
			} else if w != p.Bloom {
				cal.shifted[p.ID] = true
			}
		}
		cal.windows[p.ID] = w
	}
	if pl != nil && pl.LastFrost != 0 && pl.FirstFrost != 0 {
		free := season.Window{From: pl.LastFrost, To: pl.FirstFrost}
		for i := range season.HalfMonths {
			if h := (pl.LastFrost.HalfMonth() + season.HalfMonth(i)) % season.HalfMonths; free.Covers(h) {
				cal.season = append(cal.season, h)
			}
		}
	}
	cal.asked = cal.season
	if len(cal.asked) == 0 {
		for h := range season.HalfMonth(season.HalfMonths) {
			cal.asked = append(cal.asked, h)
		}
	}
	return cal
}

func (c *calendar) bloom(g plan.Growing) season.Window {
	if g.Bloom.Given() {
		return g.Bloom
	}
	return c.windows[g.Plant]
}

func (c *calendar) inFlower(g plan.Growing, h season.HalfMonth) bool { return c.bloom(g).Covers(h) }

// flowering is the share of a habitat's ground in flower in each half-month: the shares of its plants in flower, at most 1.
func (c *calendar) flowering(f *plan.Feature) (share [season.HalfMonths]float64) {
	for _, g := range f.Plants {
		w := c.bloom(g)
		if !w.Given() {
			continue
		}
		for h := range season.HalfMonth(season.HalfMonths) {
			if w.Covers(h) {
				share[h] = min(1, share[h]+g.Share)
			}
		}
	}
	return share
}

// serves tells whether a feature serves a guild at the time asked about (nil: any half-month of the season). With guild nil:
// whether it is a refuge.
//
// Shelter must be a refuge, that is ground left undisturbed. Where the grower calls something a refuge that is none by its
// kind (the foot of a fence, a bed left to itself), it shelters whatever any refuge shelters.
func (c *calendar) serves(f *plan.Feature, g *data.Guild, on *season.HalfMonth) bool {
	if g == nil {
		return f.IsRefuge()
	}
	return c.shelters(f, g) || g.FedByFlowers && f.IsHabitat() && c.feeds(f, g, on)
}

// shelters tells whether a feature is a refuge that shelters a guild.
func (c *calendar) shelters(f *plan.Feature, g *data.Guild) bool {
	return f.IsRefuge() && slices.ContainsFunc(g.Shelter, func(k string) bool {
		return plan.Kind(k) == f.Kind || !f.Kind.Refuge() && plan.Kind(k).Refuge()
	})
}

func (c *calendar) feeds(f *plan.Feature, g *data.Guild, on *season.HalfMonth) bool {
	for _, grown := range f.Plants {
		p := c.catalogue.Plant(grown.Plant)
		if p == nil || grown.Share <= 0 || !slices.Contains(p.Guilds, g.ID) {
			continue
		}
		w := c.bloom(grown)
		if on != nil {
			if w.Covers(*on) {
				return true
			}
			continue
		}
		for _, h := range c.asked {
			if w.Covers(h) {
				return true
			}
		}
	}
	return false
}
