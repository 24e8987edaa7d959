package habitat

import (
	"math"
	"slices"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// Hopkins' bioclimatic law: spring comes four days later for each degree of latitude poleward, each five degrees of longitude
// eastward (which he found in North America, and which is used only there) and each 400 feet upward. A. D. Hopkins 1918,
// Periodical events and natural law as guides to agricultural research and practice, U.S. Monthly Weather Review, Supplement 9.
// Autumn runs the other way in his law; blooms late in the year are moved like the others here, which is one more reason why
// a shifted window is called an estimate and gives way to the grower's own observation.
const (
	daysPerStep    = 4.0
	latitudeStep   = 1.0 // degrees
	longitudeStep  = 5.0 // degrees
	elevationStepM = 400 * 0.3048
)

// hopkinsDays is how much later a bloom comes at a place than where its window was noted, in days. The law compares places of
// one continent: the climates of two differ by more than latitude (Britain flowers weeks before Labrador, which lies no farther
// north). From another continent the window is therefore not known here, and only turned by half a year where the seasons are.
func hopkinsDays(at *plan.Place, noted data.Place) (days int, known bool) {
	later, here := 0.0, continent(at)
	known = here != "" && (noted.Continent == here || noted.Continent == "")
	if known {
		later = daysPerStep * ((math.Abs(at.Latitude)-math.Abs(noted.Latitude))/latitudeStep + (at.ElevationM-noted.ElevationM)/elevationStepM)
	}
	if known && noted.Continent == data.NorthAmerica {
		later += daysPerStep * (at.Longitude - noted.Longitude) / longitudeStep
	}
	if (at.Latitude < 0) != (noted.Latitude < 0) {
		later += season.HalfYear
	}
	return int(math.Round(later)), known
}

// continent is where a plan lies, of the continents that the catalogue knows, by a box about each; "" elsewhere.
func continent(at *plan.Place) string {
	switch lat, lon := at.Latitude, at.Longitude; {
	case lat > 7 && lat < 84 && lon > -170 && lon < -50:
		return data.NorthAmerica
	case lat > 34 && lat < 72 && lon > -25 && lon < 45:
		return data.Europe
	}
	return ""
}

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
			days, known := hopkinsDays(pl, p.BloomPlace)
			w = w.Shift(days)
			if !known {
				cal.elsewhere[p.ID] = true
			} else if days != 0 {
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
