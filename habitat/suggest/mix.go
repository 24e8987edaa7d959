package suggest

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"hedgereach/data"
	"hedgereach/data/season"
	geolength "hedgereach/geometry/length"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/suggest/setcover"
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

// A mixer is Plant at work.
type mixer struct {
	ctx     context.Context
	ask     MixAsk
	plan    *plan.Plan
	c       *data.Catalogue
	before  *habitat.Assessment
	targets []*plan.Feature
	counted []*plan.Feature // habitat whose plants count: what was named, else all of the site
	guilds  []*data.Guild
	season  []season.HalfMonth
	already map[string]bool // plants that count as there
	units   geolength.System
}

// Plant proposes the fewest (or cheapest) plants that keep habitat in flower through the season and feed the guilds that the
// plan's crops need. Where habitats are named, what grows in these counts, else what grows on the whole site. Where no more plants
// within the bounds flower in a half-month, it asks for as many as there are, and says so. It shows what each bound costs, by going
// without.
func Plant(ctx context.Context, p *plan.Plan, base *data.Catalogue, k MixAsk) (*Mix, error) {
	c, _ := habitat.CatalogueOf(p, base)
	m := &mixer{ctx: ctx, ask: k, plan: p, c: c, before: habitat.Assess(p, base, habitat.Options{}), already: map[string]bool{}}
	if err := m.settle(); err != nil {
		return nil, err
	}
	chosen, sol, short, unfed, err := m.solve(m.ask)
	if err != nil {
		return nil, err
	}
	if len(chosen) == 0 {
		return nil, m.nothing(short, unfed)
	}
	q, err := m.proposal(chosen, sol, short, unfed)
	if err != nil {
		return nil, err
	}
	for _, b := range m.bounds() {
		without := m.ask
		b.lift(&without)
		more, s, short, _, err := m.solve(without)
		if err != nil || !s.Proven {
			continue
		}
		q.WithoutEach = append(q.WithoutEach, Bound{Words: b.words, Species: len(more), Priced: len(without.Prices) > 0, Cost: m.price(more),
			Short: len(short), Unfed: m.unfed(more)})
	}
	return q, nil
}

// unfed counts the guilds that neither these plants nor those that are there feed.
func (m *mixer) unfed(chosen []*data.Plant) (n int) {
	for _, g := range m.guilds {
		fed := slices.ContainsFunc(chosen, func(p *data.Plant) bool { return m.feeds(p, g) })
		for id := range m.already {
			p := m.c.Plant(id)
			fed = fed || p != nil && m.feeds(p, g)
		}
		if !fed {
			n++
		}
	}
	return n
}

// feeds tells whether a plant feeds a guild in the season.
func (m *mixer) feeds(p *data.Plant, g *data.Guild) bool {
	return slices.Contains(p.Guilds, g.ID) && slices.ContainsFunc(m.season, func(h season.HalfMonth) bool { return m.flowers(p, h) })
}

// nothing says why no plant is proposed.
func (m *mixer) nothing(short []season.HalfMonth, unfed []*data.Guild) error {
	if len(short) == 0 && len(unfed) == 0 {
		return errors.New("enough is in flower all season already, and every guild is fed")
	}
	var lacks []string
	for _, h := range short {
		lacks = append(lacks, "flowers "+h.Label())
	}
	for _, g := range unfed {
		lacks = append(lacks, "feeds "+habitat.InText(g.Name))
	}
	within := "within the bounds"
	if n := len(m.ask.Prices); n > 0 {
		within += fmt.Sprintf(" (%s a price)", counted(n, "plant of the catalogue has", "plants of the catalogue have"))
	}
	return fmt.Errorf("no more plants help here: of those that these kinds of habitat take %s, none that is not there already %s",
		within, strings.Join(lacks, ", or "))
}

func (m *mixer) settle() error {
	if m.ask.Species == 0 {
		m.ask.Species = UsualSpecies
	}
	if m.ask.Species < 1 || m.ask.Species > 20 {
		return errors.New("ask for 1 to 20 species in flower at a time")
	}
	if len(m.ask.Prices) == 0 && (m.ask.LeastCost || m.ask.MostPrice > 0) {
		return errors.New("what plants cost is not known: give a list of prices")
	}
	for id, v := range m.ask.Prices {
		if !(v >= 0 && v <= MaxPrice) {
			return fmt.Errorf("the price of %s is not between 0 and %d", id, MaxPrice)
		}
	}
	if m.plan.Units == plan.US {
		m.units = geolength.US
	}
	m.season = m.before.Site.Season
	if len(m.season) == 0 {
		return errors.New("the season is not known: give the place its last and first frost under Plan, Place and season")
	}
	for _, f := range m.plan.Features {
		named := slices.Contains(m.ask.Habitats, f.ID)
		if (named || len(m.ask.Habitats) == 0) && slices.ContainsFunc(m.c.Plants, func(p *data.Plant) bool { return forms(f.Kind, p) }) {
			m.targets = append(m.targets, f)
		}
	}
	if len(m.targets) == 0 || len(m.targets) < len(m.ask.Habitats) {
		return errors.New("choose hedgerows, flower strips, beetle banks, wild margins or cover crops to plant")
	}
	m.counted = m.targets
	if len(m.ask.Habitats) == 0 {
		m.counted = nil
		for _, f := range m.plan.Features {
			if f.IsHabitat() {
				m.counted = append(m.counted, f)
			}
		}
	}
	for _, f := range m.counted {
		for _, g := range f.Plants {
			if g.Share > 0 {
				m.already[g.Plant] = true
			}
		}
	}
	ids := m.ask.Guilds
	if len(ids) == 0 {
		for _, g := range needed(m.plan, m.c) {
			if g.FedByFlowers {
				ids = append(ids, g.ID)
			}
		}
	}
	for _, id := range ids {
		g := m.c.Guild(id)
		switch {
		case g == nil:
			return fmt.Errorf("the catalogue has no guild %q", id)
		case !g.FedByFlowers:
			return fmt.Errorf("%s do not eat from flowers", g.Name)
		}
		m.guilds = append(m.guilds, g)
	}
	return nil
}

// A bound is a limit of the ask that can be lifted.
type bound struct {
	words string
	lift  func(k *MixAsk)
}

func (m *mixer) bounds() (list []bound) {
	k := m.ask
	add := func(asked bool, words string, lift func(k *MixAsk)) {
		if asked {
			list = append(list, bound{words, lift})
		}
	}
	add(k.HeightCM > 0, "no taller than "+geolength.Format(k.HeightCM/100, m.units), func(k *MixAsk) { k.HeightCM = 0 })
	add(k.SpacingCM > 0, "needing no more room than "+geolength.Format(k.SpacingCM/100, m.units), func(k *MixAsk) { k.SpacingCM = 0 })
	add(k.NativeOnly, "native only", func(k *MixAsk) { k.NativeOnly = false })
	add(k.Harmless, "without cautions", func(k *MixAsk) { k.Harmless = false })
	add(!k.AnyZone && habitat.RegionOf(m.plan.Place).Zone != 0, "hardy here", func(k *MixAsk) { k.AnyZone = true })
	add(k.MostPrice > 0, "no dearer than "+FormatPrice(k.MostPrice), func(k *MixAsk) { k.MostPrice = 0 })
	m.feeding(add)
	add(len(k.Prices) > 0, "with a price", func(k *MixAsk) { k.Prices, k.MostPrice, k.LeastCost = nil, 0, false })
	return list
}

// feeding adds whom to feed as bounds: those that the crops need together, those that were named one by one, where they are few.
func (m *mixer) feeding(add func(asked bool, words string, lift func(k *MixAsk))) {
	const few = 4
	var all []string
	for _, g := range m.guilds {
		all = append(all, g.ID)
	}
	n := len(m.guilds)
	switch {
	case len(m.ask.Guilds) == 0:
		add(n > 0, "feeding all that the crops need", func(k *MixAsk) { k.hungry = all })
	case n > few:
		add(true, fmt.Sprintf("feeding all %d guilds", n), func(k *MixAsk) { k.hungry = all })
	default:
		for _, g := range m.guilds {
			add(true, "feeding "+habitat.InText(g.Name), func(k *MixAsk) { k.hungry = []string{g.ID} })
		}
	}
}

// may tells whether a plant is within the bounds of an ask.
func (m *mixer) may(p *data.Plant, k MixAsk) bool {
	at := habitat.RegionOf(m.plan.Place)
	_, bloom := m.before.BloomOf(p)
	switch {
	case !m.before.Offered(p) || bloom == habitat.BloomElsewhere || m.already[p.ID]:
		return false
	case !slices.ContainsFunc(m.targets, func(f *plan.Feature) bool { return forms(f.Kind, p) }):
		return false
	case k.HeightCM > 0 && !(p.HeightMaxCM > 0 && p.HeightMaxCM <= k.HeightCM):
		return false
	case k.SpacingCM > 0 && !(p.SpacingCM > 0 && p.SpacingCM <= k.SpacingCM):
		return false
	case k.NativeOnly && !nativeOn(p.Native, at.Continent):
		return false
	case k.Harmless && (len(p.Dangers) > 0 || p.Caution != "" || slices.Contains(p.InvasiveIn, at.Continent)):
		return false
	case !k.AnyZone && at.Zone != 0 && !p.Hardy(at.Zone):
		return false
	}
	price, known := k.Prices[p.ID]
	return (known || len(k.Prices) == 0) && (k.MostPrice <= 0 || price <= k.MostPrice)
}

func (m *mixer) price(list []*data.Plant) (sum float64) {
	for _, p := range list {
		sum += m.ask.Prices[p.ID]
	}
	return sum
}

// doubt parts plants that serve alike: those with dangers, and those whose bloom was noted far from here, come later.
func (m *mixer) doubt(p *data.Plant) (v int64) {
	v = 100 * int64(len(p.Dangers))
	if p.Caution != "" {
		v += 50
	}
	if w, _ := m.before.BloomOf(p); w.Given() && p.Bloom.Given() {
		days := int64(w.From-p.Bloom.From+365) % 365
		v += 3 * min(days, 365-days)
	}
	return v
}

// flowers tells whether a plant flowers in a half-month here.
func (m *mixer) flowers(p *data.Plant, h season.HalfMonth) bool {
	w, _ := m.before.BloomOf(p)
	return w.Given() && w.Covers(h)
}

// solve finds the mix for an ask: a covering problem with a row for each half-month and guild and a column for each plant. Costs are
// species or prices first; of equal ones the
// safer and better known plants are chosen (see doubt), then those that feed more of the guilds.
func (m *mixer) solve(k MixAsk) (chosen []*data.Plant, sol setcover.Solution, short []season.HalfMonth, unfed []*data.Guild, err error) {
	var plants []*data.Plant
	for _, p := range m.c.Plants {
		if m.may(p, k) {
			plants = append(plants, p)
		}
	}
	q := &setcover.Problem{}
	for _, p := range plants {
		feeds := 0
		for _, g := range m.guilds {
			if slices.Contains(p.Guilds, g.ID) {
				feeds++
			}
		}
		// What comes second must stay below the first altogether: of a species, or of a hundredth of a price.
		const species, cent = 100_000, 100_000
		first := int64(species)
		if k.LeastCost {
			first = int64(math.Round(k.Prices[p.ID]*100))*cent + 2000 // of the same sum, the fewest
		}
		q.Costs = append(q.Costs, first+m.doubt(p)+int64(len(m.guilds)-feeds))
	}
	for _, h := range m.season {
		r := setcover.Row{Need: k.Species}
		for id := range m.already {
			if p := m.c.Plant(id); p != nil && m.flowersThere(p, h) {
				r.Need--
			}
		}
		for j, p := range plants {
			if m.flowers(p, h) {
				r.Columns = append(r.Columns, j)
			}
		}
		if r.Need > len(r.Columns) {
			short = append(short, h)
			r.Need = len(r.Columns)
		}
		q.Rows = append(q.Rows, r)
	}
	for _, g := range m.guilds {
		if slices.Contains(k.hungry, g.ID) {
			continue
		}
		r := setcover.Row{Need: 1}
		for id := range m.already {
			if p := m.c.Plant(id); p != nil && m.feeds(p, g) {
				r.Need = 0
			}
		}
		for j, p := range plants {
			if m.feeds(p, g) {
				r.Columns = append(r.Columns, j)
			}
		}
		if r.Need > len(r.Columns) {
			unfed = append(unfed, g)
			r.Need = 0
		}
		q.Rows = append(q.Rows, r)
	}
	sol, err = setcover.Solve(m.ctx, q, setcover.Options{})
	if err != nil {
		return nil, sol, nil, nil, err
	}
	for _, j := range sol.Chosen {
		chosen = append(chosen, plants[j])
	}
	slices.SortStableFunc(chosen, func(a, b *data.Plant) int {
		x, _ := m.before.BloomOf(a)
		y, _ := m.before.BloomOf(b)
		return cmp.Or(cmp.Compare(x.From, y.From), cmp.Compare(a.ID, b.ID))
	})
	return chosen, sol, short, unfed, nil
}

// flowersThere tells whether a plant that is there flowers in a half-month, by the grower's own observation where there is one.
func (m *mixer) flowersThere(p *data.Plant, h season.HalfMonth) bool {
	for _, f := range m.counted {
		for _, g := range f.Plants {
			if g.Plant == p.ID && g.Share > 0 && m.before.InFlower(g, h) {
				return true
			}
		}
	}
	return false
}

// proposal plants the mix and assesses the plan with it.
func (m *mixer) proposal(chosen []*data.Plant, sol setcover.Solution, short []season.HalfMonth, unfed []*data.Guild) (*Mix, error) {
	q := &Mix{Plants: chosen, Priced: len(m.ask.Prices) > 0, Cost: m.price(chosen), Unfed: unfed}
	q.Title, q.Proven, q.Gap = "Fewest species", sol.Proven, sol.Gap()
	if m.ask.LeastCost {
		q.Title = "Least cost"
	}
	for _, f := range m.targets {
		var fit []*data.Plant
		for _, p := range chosen {
			if forms(f.Kind, p) && !slices.ContainsFunc(f.Plants, func(g plan.Growing) bool { return g.Plant == p.ID }) {
				fit = append(fit, p)
			}
		}
		if len(fit) == 0 {
			continue
		}
		if len(f.Plants)+len(fit) > plan.MaxList {
			return nil, fmt.Errorf("%s would have more than %d plants", f.Title(), plan.MaxList)
		}
		next := f.Clone()
		share(next, fit)
		var names []string
		for _, p := range fit {
			names = append(names, p.Name)
		}
		q.Changes = append(q.Changes, Change{Before: f, After: next, Why: "Adds " + strings.Join(names, ", ") + "."})
	}
	at := habitat.RegionOf(m.plan.Place)
	for _, p := range chosen {
		var words []string
		for _, d := range data.Dangers {
			if p.Is(d.Danger) {
				words = append(words, d.Words)
			}
		}
		if p.Caution != "" {
			words = append(words, p.Caution)
		}
		if words = append(words, m.c.CautionFor(p.ID, at)...); len(words) > 0 {
			q.Cautions = append(q.Cautions, p.Name+": "+strings.Join(words, "; "))
		}
	}
	var err error
	if q.Plan, err = q.Apply(m.plan); err != nil {
		return nil, err
	}
	after := habitat.Assess(q.Plan, m.before.Catalogue, habitat.Options{})
	closed, was := 0, 0
	for _, h := range m.season {
		n := InFlower{HalfMonth: h, Before: m.species(m.before, h), After: m.species(after, h), Short: slices.Contains(short, h)}
		q.InFlower = append(q.InFlower, n)
		if n.Before < m.ask.Species {
			was++
			if n.After >= m.ask.Species {
				closed++
			}
		}
	}
	many := counted(m.ask.Species, "species", "species")
	new := counted(len(chosen), "new species", "new species")
	switch short := was - closed; {
	case was == 0:
		q.Effect = "Every guild is fed, with " + new
	case short == 0:
		q.Effect = fmt.Sprintf("%s in flower all season, with %s", many, new)
	default:
		q.Effect = fmt.Sprintf("%s in flower in all but %s, with %s", many, counted(short, "half-month", "half-months"), new)
	}
	if len(unfed) > 0 && was == 0 {
		q.Effect = "More of the guilds are fed, with " + new
	}
	if q.Priced {
		q.Effect += ", for " + FormatPrice(q.Cost)
	}
	q.How = "Not proven: stopped before."
	if sol.Proven {
		q.How = "Proven: no fewer species within the bounds do it."
		if m.ask.LeastCost {
			q.How = "Proven: no cheaper plants within the bounds do it."
		}
	}
	if q.Priced {
		q.How += " Prices are of one of each, as your list has them."
	}
	return q, nil
}

// species counts those in flower in a half-month in what the ask counts.
func (m *mixer) species(a *habitat.Assessment, h season.HalfMonth) int {
	if len(m.ask.Habitats) == 0 {
		return a.Site.Cover[h].Species
	}
	seen := map[string]bool{}
	for _, was := range m.counted {
		f, _ := a.Plan.Find(was.ID)
		for _, g := range f.Plants {
			if g.Share > 0 && a.InFlower(g, h) {
				seen[g.Plant] = true
			}
		}
	}
	return len(seen)
}

// share adds plants with equal shares of the ground that is left, or, where too little is, of a ground on which all that was there
// gives way by the same part.
func share(f *plan.Feature, fit []*data.Plant) {
	sum := 0.0
	for _, g := range f.Plants {
		sum += g.Share
	}
	left := 1 - sum
	if fair := float64(len(fit)) / float64(len(fit)+len(f.Plants)); left < fair/2 {
		left = fair
		for i := range f.Plants {
			f.Plants[i].Share = math.Floor(f.Plants[i].Share/sum*(1-left)*1000) / 1000
		}
	}
	each := math.Floor(left/float64(len(fit))*1000) / 1000
	for _, p := range fit {
		f.Plants = append(f.Plants, plan.Growing{Plant: p.ID, Share: each})
	}
}
