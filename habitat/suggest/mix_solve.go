package suggest

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"hedgereach/data"
	"hedgereach/data/season"
	geolength "hedgereach/geometry/length"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/suggest/setcover"
)

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
