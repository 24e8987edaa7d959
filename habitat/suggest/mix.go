package suggest

import (
	"fmt"
	"slices"
	"strings"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// UsualSpecies is how many species are to be in flower at any time of the season where a MixAsk does not say: the number below
// which the rules call a half-month a bloom gap.
const UsualSpecies = 3

// A MixAsk says what a plant mix is for and what bounds it. Every zero value leaves a bound out.
type MixAsk struct {
	Habitats []string // ids of what is to be planted; none means all habitat in which the plants can stand
	Species  int      // in flower in every half-month of the season; 0 means UsualSpecies
	Guilds   []string // ids, each to be fed by at least one plant; none means those that hold the pests of the plan's crops

	HeightCM   float64 // no plant grows taller
	SpacingCM  float64 // no plant needs more room
	NativeOnly bool    // of the plan's continent
	Harmless   bool    // no plant with a caution: a danger, or invasive or noxious here
	AnyZone    bool    // also plants that the winter of the plan's zone may kill

	// Prices are by plant, to the hundredth (see ReadPrices). Where there are any, a plant without one is not proposed, since what it
	// costs is not known.
	Prices    map[string]float64
	MostPrice float64 // of one plant; 0 sets no limit
	LeastCost bool    // the least sum of prices, instead of the fewest species

	hungry []string // ids of guilds that need not be fed, to see what feeding them costs
}

// A Mix is plants that were assessed.
type Mix struct {
	Proposal
	Plants      []*data.Plant // new ones, in the order in which they flower
	Priced      bool          // there are prices
	Cost        float64       // the sum of the new plants' prices, one of each
	InFlower    []InFlower    // each half-month of the season, with the mix
	Cautions    []string      // what the catalogue warns of in the new plants, a line each
	Unfed       []*data.Guild // guilds for which no plant within the bounds flowers in the season
	WithoutEach []Bound       // what each bound that was asked for costs
}

// Costs says what a bound costs, beside the mix that keeps it.
func (m *Mix) Costs(b Bound) string {
	words := fmt.Sprintf("Without “%s”: ", b.Words)
	dearer := b.Priced && FormatPrice(b.Cost) != FormatPrice(m.Cost)
	if b.Species == len(m.Plants) && b.Short == m.Shorts() && b.Unfed == len(m.Unfed) && !dearer {
		return words + "no difference."
	}
	words += fmt.Sprintf("%s instead of %d, %s short of flowers instead of %d", counted(b.Species, "species", "species"), len(m.Plants),
		counted(b.Short, "half-month", "half-months"), m.Shorts())
	if dearer {
		words += fmt.Sprintf(", for %s instead of %s", FormatPrice(b.Cost), FormatPrice(m.Cost))
	}
	if b.Unfed != len(m.Unfed) {
		words += fmt.Sprintf(", %s unfed instead of %d", counted(b.Unfed, "guild", "guilds"), len(m.Unfed))
	}
	return words + "."
}

// Shorts is the number of half-months that stay short of species.
func (q *Mix) Shorts() (n int) {
	for _, h := range q.InFlower {
		if h.Short {
			n++
		}
	}
	return n
}

// InFlower is the number of species in flower in a half-month, before and after.
type InFlower struct {
	HalfMonth     season.HalfMonth
	Before, After int
	Short         bool // fewer than asked for: no more plants within the bounds flower then
}

// A Bound is a limit that was asked for, with what would be without it.
type Bound struct {
	Words   string // "no taller than 1.20 m"
	Species int    // new species without it
	Priced  bool
	Cost    float64 // the sum of their prices, where these are known
	Short   int     // half-months that would stay short of species
	Unfed   int
}

// forms says which plants a kind of habitat takes, our reading of how growers plant them.
func forms(k plan.Kind, p *data.Plant) bool {
	woody := strings.Contains(p.Form, "shrub") && p.Form != "sub-shrub" || strings.Contains(p.Form, "tree") || p.Form == "climber"
	annual := strings.HasPrefix(p.LifeCycle, "annual") || strings.HasPrefix(p.LifeCycle, "winter annual")
	switch k {
	case plan.Hedgerow:
		return woody
	case plan.FlowerStrip, plan.CoverCrop:
		return annual
	case plan.PerennialStrip, plan.WildMargin, plan.BeetleBank:
		return !woody && !annual
	}
	return false
}

// nativeOn tells whether the words for where a plant is native name a continent.
func nativeOn(native, continent string) bool {
	words := map[string][]string{
		data.NorthAmerica: {"North America", "USA", "California", "Mexico", "Great Lakes", "Oregon", "N hemisphere"},
		data.Europe:       {"Europe", "Mediterranean", "Eurasia", "N hemisphere"},
	}[continent]
	return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(native, w) })
}
