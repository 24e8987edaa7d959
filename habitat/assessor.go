package habitat

import (
	"slices"

	"hedgereach/data"
	"hedgereach/habitat/plan"
)

// An Assessor measures again and again as a plan is edited, and does again only what an edit can have changed. Its answer
// always equals Assess's. It is for one goroutine at a time.
//
// What it keeps are answers to questions that depend on few things, found again by those things: a feature's own measures by
// the feature, a bed's distances by the bed and the refuges near enough to matter, overlaps by the features that overlap.
// Features do not change once they are in a plan, so a pointer stands for all that was drawn.
type Assessor struct {
	catalogue *data.Catalogue
	options   Options

	calendar *calendar
	facts    map[*plan.Feature]*facts
	ground   *ground
	bounds   []*facts // what the ground was made of, if boundaries
	refuges  *serving
	byGuild  map[*data.Guild]*serving
	near     map[*facts]*near
	pieces   int // made so far
	round    int // of Assess

	unions, usedUnions     map[string]*piece
	overlaps, usedOverlaps map[[2]*facts]float64
}

// NewAssessor starts with nothing kept.
func NewAssessor(c *data.Catalogue, o Options) *Assessor {
	a := &Assessor{catalogue: c, facts: map[*plan.Feature]*facts{}, byGuild: map[*data.Guild]*serving{}, near: map[*facts]*near{}}
	a.SetOptions(o)
	return a
}

// SetOptions changes what is asked about.
func (a *Assessor) SetOptions(o Options) {
	if o.CoverRadiusM <= 0 {
		o.CoverRadiusM = DefaultCoverRadiusM
	}
	if o.CoverRadiusM != a.options.CoverRadiusM {
		a.near = map[*facts]*near{}
	}
	o.RangesM = slices.Clone(o.RangesM)
	a.options = o
}

// Assess measures the plan, using what it kept of the last one.
func (a *Assessor) Assess(p *plan.Plan) *Assessment {
	a.usedUnions, a.usedOverlaps = map[string]*piece{}, map[[2]*facts]float64{}
	defer func() { a.unions, a.overlaps = a.usedUnions, a.usedOverlaps }()
	a.date(p.Place)
	good, invalid := a.look(p)
	out := &Assessment{Plan: p, Catalogue: a.catalogue, Options: a.options, calendar: a.calendar, invalid: invalid}
	out.BloomEstimated = estimated(p, a.calendar)

	var beds, habitats []*facts
	for _, x := range good {
		if x.feature.Kind == plan.Bed {
			beds = append(beds, x)
		}
		if x.feature.IsHabitat() {
			habitats = append(habitats, x)
		}
	}
	a.settleGround(good)
	for _, x := range habitats {
		a.settle(x, a.ground)
	}
	patches, habitatArea := a.patches(habitats)
	out.Site = Site{Ground: a.ground.shape, AreaM2: a.ground.area, Beds: len(beds), HabitatM2: habitatArea, Season: a.calendar.season}
	for _, b := range beds {
		out.Site.BedsM2 += b.area
	}
	a.siteCover(&out.Site, patches, habitats, a.calendar)

	a.serve(good, beds)
	out.Beds = make([]*Bed, len(beds))
	for _, b := range beds {
		if a.near[b] == nil {
			a.near[b] = &near{}
		}
	}
	each(len(beds), func(i int) {
		out.Beds[i] = a.bed(beds[i])
		out.Beds[i].Cover = a.near[beds[i]].bedCover(beds[i], a.ground, patches, habitats, a.calendar, a.options.CoverRadiusM)
	})
	if len(a.near) > 2*len(beds)+64 { // beds that are no more
		live := make(map[*facts]*near, len(beds))
		for _, b := range beds {
			live[b] = a.near[b]
		}
		a.near = live
	}
	out.Findings = a.findings(out, good, beds, habitats)
	return out
}

// date makes the calendar anew where the place changed, and forgets what depends on it.
func (a *Assessor) date(pl *plan.Place) {
	if a.calendar != nil && samePlace(a.calendar.place, pl) {
		return
	}
	a.calendar = newCalendar(a.catalogue, pl)
	for _, x := range a.facts {
		x.flowering = a.calendar.flowering(x.feature)
	}
}

func samePlace(a, b *plan.Place) bool {
	if a == nil || b == nil {
		return a == b
	}
	return a.Latitude == b.Latitude && a.Longitude == b.Longitude && a.ElevationM == b.ElevationM &&
		a.LastFrost == b.LastFrost && a.FirstFrost == b.FirstFrost
}

// look gathers the facts of all features, new ones on all cores: those that can be measured, and why the others cannot.
func (a *Assessor) look(p *plan.Plan) (good []*facts, invalid map[*plan.Feature]error) {
	all := make([]*facts, len(p.Features))
	var fresh []int
	for i, f := range p.Features {
		if all[i] = a.facts[f]; all[i] == nil {
			fresh = append(fresh, i)
		}
	}
	each(len(fresh), func(n int) { all[fresh[n]] = newFacts(p.Features[fresh[n]], a.calendar) })
	for _, i := range fresh {
		a.facts[p.Features[i]] = all[i]
	}
	if len(a.facts) > 2*len(all)+64 { // features that are no more
		a.facts = make(map[*plan.Feature]*facts, len(all))
		for _, x := range all {
			a.facts[x.feature] = x
		}
	}
	good = make([]*facts, 0, len(all))
	a.round++
	for _, x := range all {
		if x.round == a.round {
			continue // the same feature twice in one plan is one feature
		}
		x.round = a.round
		if x.bad == nil {
			good = append(good, x)
			continue
		}
		if invalid == nil {
			invalid = map[*plan.Feature]error{}
		}
		invalid[x.feature] = x.bad
	}
	return good, invalid
}

// settleGround makes the ground anew where what it is made of changed. An equal hull stays the same ground, so that what was
// measured on it holds.
func (a *Assessor) settleGround(good []*facts) {
	var bounds []*facts
	for _, x := range good {
		if x.feature.Kind == plan.Boundary {
			bounds = append(bounds, x)
		}
	}
	if a.ground != nil && len(bounds) > 0 && slices.Equal(bounds, a.bounds) {
		return
	}
	g := newGround(good)
	if a.ground == nil || a.ground.hull != g.hull || !a.ground.shape.Equal(g.shape) {
		a.ground = g
	}
	a.bounds = bounds
}

// serve finds the sets that serve each guild and measures every bed against each set once, however many guilds share it.
func (a *Assessor) serve(good, beds []*facts) {
	var sets []*serving // of this plan
	ranges := map[*serving][]float64{}
	set := func(old *serving, of *data.Guild) *serving {
		var members []*facts
		for _, x := range good {
			if a.calendar.serves(x.feature, of, a.options.On) {
				members = append(members, x)
			}
		}
		for _, s := range sets {
			if slices.Equal(s.members, members) {
				return s
			}
		}
		if old == nil || !slices.Equal(old.members, members) {
			s := newServing(members)
			s.inherit(old, beds)
			old = s
		}
		sets = append(sets, old)
		return old
	}
	a.refuges = set(a.refuges, nil)
	ranges[a.refuges] = slices.Clone(a.options.RangesM)
	for _, g := range a.catalogue.Guilds {
		if !g.HasRange() {
			continue
		}
		s := set(a.byGuild[g], g)
		a.byGuild[g] = s
		ranges[s] = append(ranges[s], g.TypicalM)
	}
	for _, s := range sets {
		slices.Sort(ranges[s])
		s.measure(beds, slices.Compact(ranges[s]))
	}
}

// bed puts together what was measured of a bed.
func (a *Assessor) bed(x *facts) *Bed {
	b := &Bed{Feature: x.feature, AreaM2: x.area, CoverRadiusM: a.options.CoverRadiusM}
	any := a.refuges.beds[x]
	if any != nil {
		b.Refuge = &any.link
	}
	for _, r := range a.options.RangesM {
		reach := Reach{RangeM: r}
		if any != nil {
			reach.WithinFraction = any.at(r, x, a.refuges.sites)
		}
		b.Reach = append(b.Reach, reach)
	}
	b.Guilds = make([]GuildReach, len(a.catalogue.Guilds))
	for i, g := range a.catalogue.Guilds {
		b.Guilds[i].Guild = g
		if !g.HasRange() {
			continue
		}
		r := &b.Guilds[i]
		s := a.byGuild[g]
		if m := s.beds[x]; m != nil {
			r.Link = &m.link
			r.WithinFraction = m.at(g.TypicalM, x, s.sites)
		}
		r.Status = r.Link.At(g.TypicalM)
		r.AtLow, r.AtOuter = atIfKnown(r.Link, g.LowM), atIfKnown(r.Link, g.OuterM)
	}
	return b
}

// atIfKnown is the standing at an end of a guild's band, unknown where no such end is published.
func atIfKnown(l *Link, rangeM float64) Status {
	if rangeM <= 0 {
		return Unknown
	}
	return l.At(rangeM)
}

// estimated tells whether a bloom window in use was moved to the plan's place.
func estimated(p *plan.Plan, c *calendar) bool {
	for _, f := range p.Features {
		if !f.IsHabitat() {
			continue
		}
		for _, g := range f.Plants {
			if !g.Bloom.Given() && c.shifted[g.Plant] {
				return true
			}
		}
	}
	return false
}
