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
// Features do not change once they are in a plan, so a pointer stands for all that was drawn. What is in an Assessment is never
// changed afterwards; lists that only the Assessor reads are written over from round to round, so that a step of a drag leaves
// little to collect.
type Assessor struct {
	base      *data.Catalogue
	own       []plan.Own      // of the last plan
	unfit     []error         // why some of them were left out
	catalogue *data.Catalogue // base with own over it
	options   Options
	asked     int // how often the options were set
	round     int // of Assess

	calendar *calendar
	facts    map[*plan.Feature]*facts
	plants   map[string]int // numbers, see plantNumber
	now, was roster
	last     *Assessment

	ground       *ground
	boundsFailed bool // the boundaries could not be joined

	servers   []server // of the last round
	spareRoom []server
	obstacles *crowd
	refuges   *serving
	byGuild   []*serving // in catalogue order; nil for guilds without a range
	sets      []*serving // refuges and byGuild, each once
	slots     int        // given to beds so far
	setsLeft  []*serving // that are no more
	spareSets []*serving
	room      []*facts
	work      []int32 // beds to be put together anew

	meadow       meadow
	spare        []*patch   // room for the next round's
	pieces       int        // made so far
	links        [3][]int32 // of habitats that overlap
	habitatPairs pairs
	bedPairs     pairs

	overlay  overlay
	faults   []fault // of overlays, in this round
	unions   map[string]*piece
	overlaps map[[2]*facts]float64
	memory   memory
}

// A roster is the features of a round.
type roster struct {
	all                          []*facts // as the plan lists them, invalid ones too
	good, beds, habitats, bounds []*facts // good: those that can be measured
}

func (r *roster) clear() {
	r.all, r.good, r.beds, r.habitats, r.bounds = r.all[:0], r.good[:0], r.beds[:0], r.habitats[:0], r.bounds[:0]
}

// A record is what is kept of a bed between rounds.
type record struct {
	slot     int // its place in every serving set
	near     near
	cover    [season.HalfMonths]Cover
	covered  int  // the round in which cover was last known to hold
	moved    bool // the ground near it is another than in the last round
	last     *Bed
	asked    int // Assessor.asked when last was made
	measured []*measured
	relevant guildSet    // see relevant
	standing [4]guildSet // by status, of last: the relevant guilds with which the bed has it
	behind   guildSet    // of last: the relevant guilds that have a detour to it
	crossing crossing

	// Of the round, while beds are put together.
	sameReach bool // what is in reach, and what was asked about it, is as in last
	holds     bool // last holds
}

// NewAssessor starts with nothing kept. The plans' own entries go before the catalogue.
func NewAssessor(c *data.Catalogue, o Options) *Assessor {
	a := &Assessor{base: c, catalogue: c, facts: map[*plan.Feature]*facts{}, plants: map[string]int{},
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
	a.adopt(p)
	a.round++
	calm := len(a.faults) == 0 // else what failed is tried again
	a.faults = nil
	if a.calendar == nil || !samePlace(a.calendar.place, p.Place) {
		a.calendar = newCalendar(a.catalogue, p.Place)
	}
	a.was, a.now = a.now, a.was
	invalid := a.look(p)
	now, patches := &a.now, a.meadow.patches
	out := &Assessment{Plan: p, Catalogue: a.catalogue, Options: a.options, calendar: a.calendar, invalid: invalid}
	out.BloomEstimated = estimated(now.habitats, a.calendar)

	a.settleGround(now, &a.was)
	same := calm && a.last != nil && a.meadow.ground == a.ground && a.meadow.calendar == a.calendar &&
		slices.Equal(now.habitats, a.was.habitats)
	if same {
		out.Site = a.last.Site
	} else {
		out.Site = Site{Ground: a.ground.shape, AreaM2: a.ground.area, Season: a.calendar.season}
		a.settleHabitats(&out.Site, now.habitats)
	}
	out.Site.Beds, out.Site.BedsM2 = len(now.beds), 0
	for _, b := range now.beds {
		out.Site.BedsM2 += b.area
	}

	reached := a.serve(now)
	out.Beds = a.measureBeds(patches, reached)
	out.Findings = a.findings(out, same)
	a.last = out
	a.forget(len(now.good))
	return out
}

// settleHabitats finds what of habitat lies on the site, and how much of that is in flower.
func (a *Assessor) settleHabitats(s *Site, habitats []*facts) {
	for _, x := range habitats {
		a.settle(x, a.ground)
	}
	patches, area := a.patches(habitats)
	s.HabitatM2 = area
	a.siteCover(s, patches, habitats)
	a.spare, a.meadow.patches = a.meadow.patches, patches
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
	was := make([][]*measured, len(a.sets))
	for i, s := range a.sets {
		was[i], s.beds = s.beds, nil
	}
	a.slots, a.setsLeft = 0, nil
	for _, x := range a.facts {
		if x.bed == nil {
			continue
		}
		for i, s := range a.sets {
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

func samePlace(a, b *plan.Place) bool {
	if a == nil || b == nil {
		return a == b
	}
	return a.Latitude == b.Latitude && a.Longitude == b.Longitude && a.ElevationM == b.ElevationM &&
		a.LastFrost == b.LastFrost && a.FirstFrost == b.FirstFrost
}

// look gathers the facts of all features, new ones on all cores: the roster of this round, and why some cannot be measured.
func (a *Assessor) look(p *plan.Plan) (invalid map[*plan.Feature]error) {
	now := &a.now
	now.clear()
	var fresh []int
	for i, f := range p.Features {
		var x *facts
		if i < len(a.was.all) && a.was.all[i].feature == f {
			x = a.was.all[i] // mostly: no need to search
		} else {
			x = a.facts[f]
		}
		if x == nil {
			fresh = append(fresh, i)
		}
		now.all = append(now.all, x)
	}
	each(len(fresh), func(n int) { now.all[fresh[n]] = newFacts(p.Features[fresh[n]]) })
	for _, i := range fresh {
		x := now.all[i]
		if twin := a.facts[x.feature]; twin != nil {
			x, now.all[i] = twin, twin
		}
		x.unknown = a.unknown(x.feature)
		a.facts[x.feature] = x
	}
	for _, x := range now.all {
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
		x.place = len(now.good)
		now.good = append(now.good, x)
		switch x.feature.Kind {
		case plan.Bed:
			if x.bed == nil {
				x.bed = &record{slot: a.slots, relevant: a.relevant(x.feature)}
				a.slots++
			}
			now.beds = append(now.beds, x)
		case plan.Boundary:
			now.bounds = append(now.bounds, x)
		}
		if x.feature.IsHabitat() {
			now.habitats = append(now.habitats, x)
		}
	}
	return invalid
}

// A server is a feature that serves guilds or bars the way to some.
type server struct {
	*facts
	serves guildSet
	bars   bool
}

// serve finds the sets that serve each guild and measures every bed against each set once, however many guilds share it. It
// tells whether any set is another than in the last round.
func (a *Assessor) serve(now *roster) (changed bool) {
	servers := a.spareRoom[:0]
	for _, x := range now.good {
		if bars := barsWalkers(x.feature); bars || x.serves != 0 {
			servers = append(servers, server{x, x.serves, bars})
		}
	}
	changed = a.refuges == nil || !slices.Equal(servers, a.servers)
	a.servers, a.spareRoom = servers, a.servers
	if changed {
		a.setUp(now.beds)
	}
	for k, s := range a.sets {
		s.measure(now.beds, a.slots, a.sets[:k])
	}
	return changed
}

// setUp makes the sets anew, as far as they changed.
func (a *Assessor) setUp(beds []*facts) {
	var obstacles []*facts
	for _, x := range a.servers {
		if x.bars {
			obstacles = append(obstacles, x.facts)
		}
	}
	if !slices.Equal(a.obstacles.all(), obstacles) {
		a.obstacles = newCrowd(obstacles)
	}
	sets := a.spareSets[:0] // of this plan
	members := a.room[:0]
	set := func(old *serving, bit int, obstacles *crowd) *serving {
		members = members[:0]
		for _, x := range a.servers {
			if x.serves.has(bit) {
				members = append(members, x.facts)
			}
		}
		for _, s := range sets {
			if s.obstacles == obstacles && slices.Equal(s.members, members) {
				return s
			}
		}
		if old == nil || old.obstacles != obstacles || !slices.Equal(old.members, members) {
			old = a.newServing(members, obstacles, old, beds)
		}
		sets = append(sets, old)
		return old
	}
	a.refuges = set(a.refuges, anyRefuge, nil)
	for i, g := range a.catalogue.Guilds {
		switch {
		case !g.HasRange():
		case g.Travel == data.Walks:
			a.byGuild[i] = set(a.byGuild[i], i, a.obstacles)
		default:
			a.byGuild[i] = set(a.byGuild[i], i, nil)
		}
	}
	for _, s := range a.sets {
		if !slices.Contains(sets, s) {
			a.setsLeft = append(a.setsLeft, s)
		}
	}
	a.sets, a.spareSets, a.room = sets, a.sets, members
}

// measureBeds answers all beds: the last round's Bed where nothing of it changed. patches are the last round's; reached tells
// whether what serves changed.
func (a *Assessor) measureBeds(patches []*patch, reached bool) []*Bed {
	beds, was := a.now.beds, a.meadow
	was.habitats, was.patches = a.was.habitats, patches
	a.meadow.ground, a.meadow.calendar, a.meadow.radius, a.meadow.habitats = a.ground, a.calendar, a.options.CoverRadiusM, a.now.habitats
	changed := a.meadow.changeSince(&was)
	if changed.ground {
		each(len(beds), func(i int) { beds[i].bed.moved = beds[i].bed.near.settle(beds[i], &a.meadow) })
	}
	a.work = a.work[:0]
	around := 0
	for i, x := range beds {
		r := x.bed
		old := r.covered != a.round-1 || changed.touches(x.bound, a.meadow.radius) || changed.ground && r.moved
		if old {
			r.covered = 0
			around++
		} else {
			r.covered = a.round
		}
		if old || r.last == nil || r.asked != a.asked || reached && a.reached(x) {
			a.work = append(a.work, int32(i))
		}
	}
	if len(a.work) == 0 && a.last != nil && len(a.last.Beds) == len(beds) &&
		slices.Equal(beds, a.was.beds) {
		return a.last.Beds
	}
	a.meadow.find(around)
	each(len(a.work), func(n int) { a.gather(beds[a.work[n]]) })
	work := a.work[:0]
	for _, i := range a.work {
		if !beds[i].bed.holds {
			work = append(work, i)
		}
	}
	a.work = work
	out := make([]*Bed, len(beds))
	room, guilds := make([]Bed, len(a.work)), len(a.catalogue.Guilds)
	var reach []GuildReach
	if a.last == nil { // all at one go, which costs less than one by one
		reach = make([]GuildReach, guilds*len(a.work))
	}
	each(len(a.work), func(n int) {
		if reach != nil {
			room[n].Guilds = reach[n*guilds : (n+1)*guilds : (n+1)*guilds]
		}
		a.bed(&room[n], beds[a.work[n]])
	})
	for i, x := range beds {
		out[i] = x.bed.last
	}
	return out
}

// reached tells whether a bed was measured anew against a set.
func (a *Assessor) reached(x *facts) bool {
	r := x.bed
	if len(r.measured) == 0 || r.measured[0] != a.refuges.of(x) {
		return true
	}
	for i, s := range a.byGuild {
		if s != nil && r.measured[i+1] != s.of(x) {
			return true
		}
	}
	return false
}

// gather brings a bed's record up to date, and notes whether what was last said of the bed still holds.
func (a *Assessor) gather(x *facts) {
	r := x.bed
	r.sameReach = r.last != nil && r.asked == a.asked
	if r.covered != a.round {
		r.cover, r.covered = a.meadow.bedCover(x, len(a.plants)), a.round
	}
	if r.measured == nil {
		r.measured = make([]*measured, 1+len(a.byGuild))
	}
	keep := func(i int, s *serving) {
		if m := s.of(x); r.measured[i] != m {
			r.measured[i], r.sameReach = m, false
		}
	}
	keep(0, a.refuges)
	for i, s := range a.byGuild {
		if s != nil {
			keep(i+1, s)
		}
	}
	r.holds = r.sameReach && r.cover == r.last.Cover
}

// bed puts together what was gathered of a bed, in b and its record.
func (a *Assessor) bed(b *Bed, x *facts) {
	r := x.bed
	any := r.measured[0]
	b.Feature, b.AreaM2, b.CoverRadiusM, b.Cover = x.feature, x.area, a.options.CoverRadiusM, r.cover
	defer func() { r.last = b }()
	if r.sameReach {
		b.Refuge, b.Reach, b.Guilds = r.last.Refuge, r.last.Reach, r.last.Guilds
		return
	}
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
	if b.Guilds == nil {
		b.Guilds = make([]GuildReach, len(a.catalogue.Guilds))
	}
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
	r.asked, r.standing, r.behind = a.asked, b.statuses(r.relevant), b.behind(r.relevant)
}

// atIfKnown is the standing at an end of a guild's band, unknown where no such end is published.
func atIfKnown(l *Link, rangeM float64) Status {
	if rangeM <= 0 {
		return Unknown
	}
	return l.At(rangeM)
}

// estimated tells whether a bloom window in use was moved to the plan's place.
func estimated(habitats []*facts, c *calendar) bool {
	for _, x := range habitats {
		for _, g := range x.feature.Plants {
			if !g.Bloom.Given() && c.shifted[g.Plant] {
				return true
			}
		}
	}
	return false
}
