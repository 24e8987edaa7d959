package browser

import (
	"slices"
	"strings"

	"hedgereach/app/session"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat"
)

// An asked is what the plants or crops that are listed have to be. The zero asked lets everything through.
type asked struct {
	words  string  // each occurs in the names, the family, the form, the native range
	guild  string  // id: plants feed it, or shelter it where that is asked; crops have a pest that it holds
	pest   string  // id: it harms the crop
	native string  // occurs in the native range
	underM float64 // metres: the height of a plant, the spacing in the row of a crop
	zone   data.Zone
	days   int // to the first harvest
	on     *season.HalfMonth

	shelters               bool
	flowers                bool // has flowers, in the half-month on where there is one, else in the plan's season
	safe                   bool // carries no caution
	hardy, welcome         bool // in the plan's zone; not listed as invasive in the plan's part of the world
	people, stock, skin    bool // no such harm is listed
	needsBees              bool // loses a tenth of the harvest or more without animals that pollinate
	feeders, pestsOfGuilds []string
}

// prepare looks up once what else would be looked up for each line.
func (q *asked) prepare(c *data.Catalogue) {
	if q.guild == "" {
		return
	}
	feeders := c.FeedersOf(q.guild)
	if q.shelters {
		feeders = c.SheltersOf(q.guild)
	}
	for _, p := range feeders {
		q.feeders = append(q.feeders, p.ID)
	}
	for _, p := range c.PestsHeldBy(q.guild) {
		q.pestsOfGuilds = append(q.pestsOfGuilds, p.ID)
	}
}

// plant tells whether a plant is what is asked for. What is not known of it does not speak for it, except that no harm listed
// counts as none, and a plant whose zone is not given as hardy.
func (q *asked) plant(s *session.Session, x *data.Plant) bool {
	at := habitat.RegionOf(s.Plan().Place)
	if q.flowers {
		if w, _ := s.Assessment().BloomOf(x); !q.inTime(w, s.Assessment().Site.Season) {
			return false
		}
	}
	return found(q.words, x.Name, x.Scientific, x.Family, x.Form, x.LifeCycle, x.NativeWords()) && found(q.native, x.NativeWords()) &&
		(q.guild == "" || slices.Contains(q.feeders, x.ID)) &&
		(q.underM == 0 || x.HeightMaxCM > 0 && x.HeightMaxCM <= 100*q.underM) &&
		(!q.hardy || x.Hardy(at.Zone)) && x.Hardy(q.zone) && (!q.safe || x.Caution == "") && (!q.welcome || !invasive(x, at)) &&
		!(q.people && x.Is(data.ToxicToPeople)) && !(q.stock && x.Is(data.ToxicToStock)) && !(q.skin && x.Is(data.SkinIrritant))
}

// inTime tells whether a bloom falls in the time asked about: a half-month, else any of the plan's season, which is the whole year
// where the frosts are not known.
func (q *asked) inTime(w season.Window, between []season.HalfMonth) bool {
	switch {
	case !w.Given():
		return false
	case q.on != nil:
		return w.Covers(*q.on)
	case len(between) == 0:
		return true
	}
	return slices.ContainsFunc(between, w.Covers)
}

// crop tells whether a crop is what is asked for.
func (q *asked) crop(x *data.Crop) bool {
	return found(q.words, x.Name, x.Scientific, x.Family, x.Season, x.LifeCycle) &&
		(q.underM == 0 || x.InRowMinCM > 0 && x.InRowMinCM <= 100*q.underM) && (q.days == 0 || x.DaysMin > 0 && x.DaysMin <= q.days) &&
		(q.pest == "" || slices.Contains(x.Pests, q.pest)) &&
		(q.guild == "" || slices.ContainsFunc(x.Pests, func(p string) bool { return slices.Contains(q.pestsOfGuilds, p) })) &&
		(!q.needsBees || needsBees(x))
}

// invasive tells whether a plant is listed as invasive or noxious in parts of a region; where the region is not known, of any.
func invasive(x *data.Plant, at data.Region) bool {
	return slices.ContainsFunc(x.InvasiveIn, func(c string) bool { return at.Continent == "" || c == at.Continent })
}

// needsBees tells whether a crop would lose a tenth of its harvest or more without animals that pollinate: the classes
// "modest", "great" and "essential" of Klein et al. 2007.
func needsBees(x *data.Crop) bool {
	return slices.ContainsFunc(data.Klein2007, func(k data.PollinationClass) bool { return k.Class == x.Pollination && k.LossMin >= 0.1 })
}

// found tells whether every word occurs somewhere in the texts.
func found(words string, texts ...string) bool {
	text := strings.ToLower(strings.Join(texts, "\n"))
	for _, w := range strings.Fields(strings.ToLower(words)) {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}
