package habitat

import (
	"reflect"
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// overlay is the geometry that can fail: proper outlines seldom make it fail, but they can. What failed is not kept, so that it is
// tried again, and said again, each time; a finding says what was taken for nothing.
type overlay struct {
	union        func(...orb.Geometry) (orb.MultiPolygon, error)
	intersection func(a, b orb.Geometry) (orb.MultiPolygon, error)
}

// A fault is a measure that could not be taken.
type fault struct {
	what     string
	features []*plan.Feature
}

func (a *Assessor) fail(what string, about ...*facts) {
	f := fault{what: what}
	for _, x := range about {
		f.features = append(f.features, x.feature)
	}
	a.faults = append(a.faults, f)
}

// An Assessor measures again and again as a plan is edited, and does again only what an edit can have changed. Its answer
// always equals Assess's. It is for one goroutine at a time.
//
// What it keeps are answers to questions that depend on few things, found again by those things: a feature's own measures by
// the feature, a bed's distances by the bed and the refuges near enough to matter, overlaps by the features that overlap.
// Features do not change once they are in a plan, so a pointer stands for all that was drawn.
type Assessor struct {
	catalogue *data.Catalogue
	options   Options
	asked     int // how often the options were set

	calendar *calendar
	facts    map[*plan.Feature]*facts
	plants   map[string]int // numbers, see plantNumber
	ground   *ground
	bounds   []*facts // what the ground was made of, if boundaries
	refuges  *serving
	byGuild  []*serving // in catalogue order; nil for guilds without a range
	bloom    lastBloom
	pieces   int // made so far
	round    int // of Assess
	slots    int // given to beds so far

	overlay  overlay
	faults   []fault // of overlays, in this round
	unions   map[string]*piece
	overlaps map[[2]*facts]float64
}

// A record is what is kept of a bed between rounds.
type record struct {
	slot     int // its place in every serving set
	near     near
	cover    [season.HalfMonths]Cover
	covered  int // the round in which cover was last known to hold
	last     *Bed
	asked    int // Assessor.asked when last was made
	measured []*measured
	relevant guildSet    // see relevant
	standing [4]guildSet // by status, of last: the relevant guilds with which the bed has it
}

// NewAssessor starts with nothing kept.
func NewAssessor(c *data.Catalogue, o Options) *Assessor {
	a := &Assessor{catalogue: c, facts: map[*plan.Feature]*facts{}, plants: map[string]int{},
		byGuild: make([]*serving, len(c.Guilds)),
		overlay: overlay{geometry.Union, geometry.Intersection}, unions: map[string]*piece{}, overlaps: map[[2]*facts]float64{}}
	a.SetOptions(o)
	return a
}

// SetOptions changes what is asked about.
func (a *Assessor) SetOptions(o Options) {
	if o.CoverRadiusM <= 0 {
		o.CoverRadiusM = DefaultCoverRadiusM
	}
	o.RangesM = slices.Clone(o.RangesM)
	if o.On != nil {
		on := *o.On
		o.On = &on
	}
	if !reflect.DeepEqual(o, a.options) {
		a.options = o
		a.asked++
	}
}

// Assess measures the plan, using what it kept of the last one.
func (a *Assessor) Assess(p *plan.Plan) *Assessment {
	a.round++
	a.faults = nil
	if a.calendar == nil || !samePlace(a.calendar.place, p.Place) {
		a.calendar = newCalendar(a.catalogue, p.Place)
	}
	good, invalid := a.look(p)
	out := &Assessment{Plan: p, Catalogue: a.catalogue, Options: a.options, calendar: a.calendar, invalid: invalid}
	out.BloomEstimated = estimated(good, a.calendar)

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
	out.Site = Site{Ground: a.ground.shape, AreaM2: a.ground.area, Beds: len(beds), HabitatM2: habitatArea,
		Season: a.calendar.season}
	for _, b := range beds {
		out.Site.BedsM2 += b.area
	}
	a.siteCover(&out.Site, patches, habitats)

	a.serve(good, beds)
	changed := a.bloom.changeSince(lastBloom{a.ground, a.calendar, a.options.CoverRadiusM, patches, habitats})
	out.Beds = make([]*Bed, len(beds))
	each(len(beds), func(i int) { out.Beds[i] = a.bed(beds[i], &changed) })

	out.Findings = a.findings(out, good, beds, habitats)
	a.forget(len(good))
	return out
}

// forget drops what belongs to features that are no more, now and then.
func (a *Assessor) forget(live int) {
	const few = 256
	if len(a.unions) > live+few {
		a.unions = map[string]*piece{}
	}
	if len(a.overlaps) > 4*live+few {
		a.overlaps = map[[2]*facts]float64{}
	}
	if len(a.facts) <= 2*live+few {
		return
	}
	for f, x := range a.facts {
		if x.round != a.round {
			delete(a.facts, f)
		}
	}
	// Beds get new slots, so that those of beds that are no more do not add up.
	sets := a.sets()
	was := make([][]*measured, len(sets))
	for i, s := range sets {
		was[i], s.beds = s.beds, nil
	}
	a.slots = 0
	for _, x := range a.facts {
		if x.bed == nil {
			continue
		}
		for i, s := range sets {
			var m *measured
			if x.bed.slot < len(was[i]) {
				m = was[i][x.bed.slot]
			}
			s.beds = append(s.beds, m)
		}
		x.bed.slot = a.slots
		a.slots++
	}
}

// sets lists the serving sets, each once.
func (a *Assessor) sets() []*serving {
	list := []*serving{a.refuges}
	for _, s := range a.byGuild {
		if s != nil && !slices.Contains(list, s) {
			list = append(list, s)
		}
	}
	return list
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
	each(len(fresh), func(n int) { all[fresh[n]] = newFacts(p.Features[fresh[n]]) })
	for _, i := range fresh {
		if twin := a.facts[p.Features[i]]; twin != nil {
			all[i] = twin
		}
		a.facts[p.Features[i]] = all[i]
	}
	good = make([]*facts, 0, len(all))
	for _, x := range all {
		if x.round == a.round {
			continue // the same feature twice in one plan is one feature
		}
		x.round = a.round
		if x.bad != nil {
			if invalid == nil {
				invalid = map[*plan.Feature]error{}
			}
			invalid[x.feature] = x.bad
			continue
		}
		a.date(x)
		if x.feature.Kind == plan.Bed && x.bed == nil {
			x.bed = &record{slot: a.slots, relevant: a.relevant(x.feature)}
			a.slots++
		}
		good = append(good, x)
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
	n := len(a.faults)
	g := a.newGround(good)
	if len(a.faults) > n {
		bounds = nil // try again the next time
	}
	if a.ground == nil || a.ground.hull != g.hull || !a.ground.shape.Equal(g.shape) {
		a.ground = g
	}
	a.bounds = bounds
}

// serve finds the sets that serve each guild and measures every bed against each set once, however many guilds share it.
func (a *Assessor) serve(good, beds []*facts) {
	var sets []*serving // of this plan
	var members, obstacles []*facts
	for _, x := range good {
		if x.feature.Kind == plan.Building || x.feature.Kind == plan.Pond {
			obstacles = append(obstacles, x)
		}
	}
	set := func(old *serving, bit int, obstacles []*facts) *serving {
		members = members[:0]
		for _, x := range good {
			if x.serves.has(bit) {
				members = append(members, x)
			}
		}
		for _, s := range sets {
			if slices.Equal(s.members, members) && slices.Equal(s.obstacles, obstacles) {
				return s
			}
		}
		switch {
		case old == nil || !slices.Equal(old.members, members) || !slices.Equal(old.obstacles, obstacles):
			old = newServing(slices.Clone(members), obstacles, old, beds, a.slots)
		case len(old.beds) < a.slots:
			old.beds = append(old.beds, make([]*measured, a.slots-len(old.beds))...)
		}
		sets = append(sets, old)
		return old
	}
	a.refuges = set(a.refuges, anyRefuge, nil)
	for i, g := range a.catalogue.Guilds {
		switch {
		case !g.HasRange():
		case g.Travel == data.Walks:
			a.byGuild[i] = set(a.byGuild[i], i, obstacles)
		default:
			a.byGuild[i] = set(a.byGuild[i], i, nil)
		}
	}
	for _, s := range sets {
		s.measure(beds)
	}
}

// bed puts together what was measured of a bed: the last round's Bed where nothing of it changed.
func (a *Assessor) bed(x *facts, changed *bloomChange) *Bed {
	r := x.bed
	same := r.last != nil && r.asked == a.asked
	if r.covered != a.round-1 || changed.touches(x.bound, a.options.CoverRadiusM) {
		if cover := r.near.bedCover(x, &a.bloom, len(a.plants)); cover != r.cover {
			r.cover, same = cover, false
		}
	}
	r.covered = a.round
	if r.measured == nil {
		r.measured = make([]*measured, 1+len(a.byGuild))
	}
	keep := func(i int, s *serving) *measured {
		m := s.of(x)
		if r.measured[i] != m {
			r.measured[i], same = m, false
		}
		return m
	}
	any := keep(0, a.refuges)
	for i, s := range a.byGuild {
		if s != nil {
			keep(i+1, s)
		}
	}
	if same {
		return r.last
	}
	b := &Bed{Feature: x.feature, AreaM2: x.area, CoverRadiusM: a.options.CoverRadiusM, Cover: r.cover}
	if any != nil {
		b.Refuge = &any.link
	}
	for _, m := range a.options.RangesM {
		reach := Reach{RangeM: m}
		if any != nil {
			reach.WithinFraction = a.refuges.at(any, m, x)
		}
		b.Reach = append(b.Reach, reach)
	}
	b.Guilds = make([]GuildReach, len(a.catalogue.Guilds))
	for i, g := range a.catalogue.Guilds {
		b.Guilds[i].Guild = g
		if !g.HasRange() {
			continue
		}
		reach := &b.Guilds[i]
		if m := r.measured[i+1]; m != nil {
			reach.Straight, reach.Way = m.straight, m.way
			if m.link.Nearest != nil {
				reach.Link = &m.link
				reach.WithinFraction = a.byGuild[i].at(m, g.TypicalM, x)
				if g.LowM > 0 {
					reach.WithinAtLow = a.byGuild[i].at(m, g.LowM, x)
				}
				if g.OuterM > 0 {
					reach.WithinAtOuter = a.byGuild[i].at(m, g.OuterM, x)
				}
			}
		}
		reach.Status = reach.Link.At(g.TypicalM)
		reach.AtLow, reach.AtOuter = atIfKnown(reach.Link, g.LowM), atIfKnown(reach.Link, g.OuterM)
	}
	r.last, r.asked, r.standing = b, a.asked, b.statuses(r.relevant)
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
func estimated(good []*facts, c *calendar) bool {
	for _, x := range good {
		if !x.feature.IsHabitat() {
			continue
		}
		for _, g := range x.feature.Plants {
			if !g.Bloom.Given() && c.shifted[g.Plant] {
				return true
			}
		}
	}
	return false
}
