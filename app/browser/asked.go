package browser

import (
	"slices"
	"strings"

	"hedgereach/app/session"
	"hedgereach/data"
	"hedgereach/habitat"
)

// An asked is what the plants or crops that are listed have to be. The zero asked lets everything through.
type asked struct {
	words  string // each occurs in the names, the family, the form, the native range
	guild  string // id: plants feed it, crops have a pest that it holds
	pest   string // id: it harms the crop
	native string // occurs in the native range
	underM float64

	flowers                bool // has flowers, in the half-month asked about where there is one
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
	for _, p := range c.FeedersOf(q.guild) {
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
		w, _ := s.Assessment().BloomOf(x)
		if on := s.Ask().On; !w.Given() || on != nil && !w.Covers(*on) {
			return false
		}
	}
	return found(q.words, x.Name, x.Scientific, x.Family, x.Form, x.LifeCycle, x.Native) && found(q.native, x.Native) &&
		(q.guild == "" || slices.Contains(q.feeders, x.ID)) &&
		(q.underM == 0 || x.HeightMaxCM > 0 && x.HeightMaxCM <= 100*q.underM) &&
		(!q.hardy || x.Hardy(at.Zone)) && (!q.welcome || !invasive(x, at)) &&
		!(q.people && x.Is(data.ToxicToPeople)) && !(q.stock && x.Is(data.ToxicToStock)) && !(q.skin && x.Is(data.SkinIrritant))
}

// crop tells whether a crop is what is asked for.
func (q *asked) crop(x *data.Crop) bool {
	return found(q.words, x.Name, x.Scientific, x.Family, x.Season, x.LifeCycle) &&
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
