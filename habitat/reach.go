package habitat

import (
	"math"
	"runtime"
	"slices"
	"sync"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/geometry/parallel"
)

// A serving set is the features that serve a guild, or several guilds alike, with what was measured of each bed against them.
// Guilds that walk go round obstacles.
type serving struct {
	*course
	members []*facts
	beds    []*measured // by the bed's slot
	patched []int       // members replaced in sites since it was made
}

// A course is what distances are measured along: to sites, in straight lines or round obstacles.
type course struct {
	sites     *geometry.Sites
	obstacles *crowd         // nil for guilds that fly
	ways      *geometry.Ways // made when a bed first asks for it
	making    sync.Once      // of ways
}

// measured is one bed against one serving set. The fractions are by range, only those between none and all.
type measured struct {
	link      Link
	straight  *Link       // where the way on foot is longer than the straight line
	way       []orb.Point // on foot from the deepest point, where straight is given
	fractions []fraction
	aroundM   float64 // sites and obstacles whose boxes lie farther than that from the bed's have no part in any of this
	onFoot    bool    // an obstacle is so near that the fractions, the mean and perhaps the link are those of ways on foot
	mean      mean    // of link
}

type fraction struct{ rangeM, within float64 }

// mostPatched is how many members may be replaced in an index before it is made anew: each makes every look-up a little slower.
const mostPatched = 4

// newServing indexes members. What an older set measured of beds is taken over where no changed member can have touched it.
// Where members change places in the plan, nothing is taken over: of refuges equally near the first in the plan is named.
func (a *Assessor) newServing(members []*facts, obstacles *crowd, old *serving, beds []*facts) *serving {
	s := a.recycled()
	s.course, s.members = &course{obstacles: obstacles}, append(s.members, members...)
	s.sites, s.patched = old.patch(members)
	if s.sites == nil {
		shapes := make([]orb.Geometry, len(members))
		for i, x := range members {
			shapes[i] = x.shape
		}
		s.sites = geometry.NewSites(shapes)
	}
	if old == nil || len(old.members) == 0 || len(members) == 0 {
		return s
	}
	changed, ordered := difference(old.members, members, itself)
	barred, orderedToo := difference(old.obstacles.all(), obstacles.all(), itself)
	if !ordered || !orderedToo {
		return s
	}
	changed = append(changed, barred...) // a way no longer than the farthest does not come near what lies farther
	for _, bed := range beds {
		if m := old.of(bed); m != nil && !touched(bed, changed, m.aroundM) {
			s.beds[bed.bed.slot] = m
		}
	}
	return s
}

// recycled is a set without anything in it, with the room of one that is no more where there is such.
func (a *Assessor) recycled() *serving {
	if n := len(a.setsLeft); n > 0 {
		s := a.setsLeft[n-1]
		a.setsLeft = a.setsLeft[:n-1]
		s.members = s.members[:0]
		s.beds = append(s.beds[:0], make([]*measured, a.slots)...)
		return s
	}
	return &serving{beds: make([]*measured, a.slots)}
}

// patch is the older set's index with one member replaced, if that is all that changed; else nil.
func (s *serving) patch(members []*facts) (*geometry.Sites, []int) {
	if s == nil || len(s.members) != len(members) {
		return nil, nil
	}
	at := -1
	for i, x := range members {
		if x == s.members[i] {
			continue
		}
		if at >= 0 {
			return nil, nil
		}
		at = i
	}
	switch {
	case at < 0:
		return s.sites, s.patched
	case slices.Contains(s.patched, at): // the next step of a drag
		return s.sites.With(at, members[at].shape), s.patched
	case len(s.patched) == mostPatched:
		return nil, nil
	}
	return s.sites.With(at, members[at].shape), append(slices.Clip(s.patched), at)
}

// of is what was measured of a bed; nil where nothing was yet, or no member is there to measure to.
func (s *serving) of(bed *facts) *measured {
	if slot := bed.bed.slot; slot < len(s.beds) {
		return s.beds[slot]
	}
	return nil
}

// touched tells whether any of the changed sites may have had, or may get, a part in what was measured of a bed.
func touched(bed *facts, changed []*facts, aroundM float64) bool {
	return slices.ContainsFunc(changed, func(x *facts) bool { return apart(bed.bound, x.bound) <= aroundM })
}

// hairM in metres is more than rounding makes of a distance between boxes, and than a farthest point may be off.
const hairM = 0.02

// aroundOnFoot is aroundM of what is measured on foot. Every point of a bed has a site within the farthest distance, so a site
// that lies farther than that from the whole bed is the nearest to none of its points, and a way no longer than that does not come
// near an obstacle that lies farther. The bed's own extent is added, because the search for the farthest point sets out with all
// sites that near and finds it to a micrometre only: with the very same sites it takes the very same steps.
func aroundOnFoot(bed *facts, farthestM float64) float64 {
	w, h := bed.bound.Max[0]-bed.bound.Min[0], bed.bound.Max[1]-bed.bound.Min[1]
	return farthestM + math.Sqrt(w*w+h*h) + hairM
}

// A sibling is another set that beds were measured against, with the members that only one of the two has: where none of those
// is near a bed, what was measured against the one holds for the other.
type sibling struct {
	*serving
	unshared *crowd
}

// siblings are the sets most like this one, where there are enough beds to be worth comparing sets.
func (s *serving) siblings(sets []*serving, beds int) (all []sibling) {
	const few, most = 200, 3
	if beds < few {
		return nil
	}
	for _, t := range sets {
		if len(t.members) == 0 {
			continue
		}
		unshared := newCrowd(unshared(s.members, t.members))
		const plainly = 20_000 // looks at boxes that cost less than an index
		unshared.plain = unshared.plain || beds*unshared.n < plainly
		all = append(all, sibling{t, unshared})
	}
	slices.SortStableFunc(all, func(x, y sibling) int { return x.unshared.n - y.unshared.n })
	return all[:min(most, len(all))]
}

// unshared lists what only one of two lists has, both in plan order.
func unshared(a, b []*facts) (only []*facts) {
	for len(a) > 0 && len(b) > 0 {
		switch {
		case a[0] == b[0]:
			a, b = a[1:], b[1:]
		case a[0].place < b[0].place:
			only, a = append(only, a[0]), a[1:]
		default:
			only, b = append(only, b[0]), b[1:]
		}
	}
	return append(append(only, a...), b...)
}

// measure fills in the beds that are not known, on all cores. sets are those that all beds are measured against already.
func (s *serving) measure(beds []*facts, slots int, sets []*serving) {
	if len(s.members) == 0 {
		return
	}
	var fresh []*facts
	for len(s.beds) < slots {
		s.beds = append(s.beds, nil)
	}
	for _, bed := range beds {
		if s.beds[bed.bed.slot] == nil {
			fresh = append(fresh, bed)
		}
	}
	if len(fresh) == 0 {
		return
	}
	siblings := s.siblings(sets, len(fresh))
	room := make([]measured, len(fresh)) // at one go, which costs less than one by one
	each(len(fresh), func(i int) { s.beds[fresh[i].bed.slot] = s.measureBed(&room[i], fresh[i], siblings) })
}

// measureBed measures in straight lines, and on foot where an obstacle lies near enough to stand in one, into m; or answers what
// was measured against a sibling.
func (s *serving) measureBed(m *measured, bed *facts, siblings []sibling) *measured {
	for _, t := range siblings {
		was := t.of(bed)
		if t.unshared.any(bed.bound, was.aroundM) {
			continue
		}
		if t.obstacles == s.obstacles {
			return was
		}
		m.link, m.aroundM = was.link, was.aroundM
		if was.straight != nil {
			m.link = *was.straight
		}
		break
	}
	if m.link.Nearest == nil {
		nearest, farthest, around := s.sites.Reach(bed.shape)
		m.link, m.aroundM = s.link(nearest, farthest), around+hairM
	}
	m.mean.along, m.mean.bed = s.course, bed
	m.link.mean = &m.mean
	if s.obstacles == nil || !s.obstacles.any(bed.bound, m.link.FarthestM) {
		return m // no obstacle can stand in a straight line from the bed
	}
	m.onFoot, m.mean.onFoot = true, true
	w := s.onFoot()
	foot := s.link(w.Nearest(bed.shape), w.Farthest(bed.shape))
	m.aroundM = max(m.aroundM, aroundOnFoot(bed, max(m.link.FarthestM, foot.FarthestM)))
	const longer = 0.001 // metres; less is rounding
	if foot.NearestM <= m.link.NearestM+longer && foot.FarthestM <= m.link.FarthestM+longer {
		return m
	}
	straight := m.link
	straight.mean = &mean{along: s.course, bed: bed}
	m.straight, m.link = &straight, foot
	m.link.mean = &m.mean
	if foot.Farthest == nil { // part of the bed cannot be reached; show it as the crow flies
		m.link.Farthest, m.link.FarthestFrom, m.link.FarthestTo = straight.Farthest, straight.FarthestFrom, straight.FarthestTo
	} else {
		m.way = w.Open(bed.shape).Way(foot.FarthestFrom)
	}
	return m
}

// onFoot is the ways round the obstacles.
func (c *course) onFoot() *geometry.Ways {
	c.making.Do(func() {
		shapes := make([]orb.Geometry, len(c.obstacles.list))
		for i, x := range c.obstacles.list {
			shapes[i] = x.shape
		}
		c.ways = geometry.NewWays(c.sites, shapes)
	})
	return c.ways
}

// A mean is a bed's mean distance. It costs as much as everything else that is measured of a bed, and few ask for it: so it is
// worked out when first asked for, by whichever goroutine asks.
type mean struct {
	along  *course
	bed    *facts
	onFoot bool
	once   sync.Once
	metres float64
}

func (m *mean) measure() float64 {
	m.once.Do(func() {
		if m.onFoot {
			m.metres = m.along.onFoot().MeanDistance(m.bed.shape)
		} else {
			m.metres = m.along.sites.MeanDistance(m.bed.shape)
		}
	})
	return m.metres
}

// MeanM is the mean distance in metres of the bed's points to the refuges that serve, to a thousandth of itself or a tenth of a
// millimetre (on foot to a quarter of a hundredth or a millimetre): +Inf where part of the bed cannot be reached on foot, NaN
// for a link that was not measured. It is worked out when first asked for, and can be asked for from any goroutine.
func (l *Link) MeanM() float64 {
	switch {
	case l.mean == nil:
		return math.NaN()
	case l.FarthestM == 0 || math.IsInf(l.FarthestM, 1):
		return l.FarthestM
	}
	return min(max(l.mean.measure(), l.NearestM), l.FarthestM)
}

func (s *serving) link(n, f geometry.Span) Link {
	l := Link{NearestM: n.Metres, NearestFrom: n.From, NearestTo: n.To,
		FarthestM: max(n.Metres, f.Metres), FarthestFrom: f.From, FarthestTo: f.To}
	if n.Site >= 0 {
		l.Nearest = s.members[n.Site].feature
	}
	if f.Site >= 0 {
		l.Farthest = s.members[f.Site].feature
	}
	return l
}

// at is the fraction of the bed within a range. Most beds are settled by their nearest and farthest distance alone.
func (s *serving) at(m *measured, r float64, bed *facts) float64 {
	switch m.link.At(r) {
	case Within:
		return 1
	case Beyond:
		return 0
	}
	for _, f := range m.fractions {
		if f.rangeM == r {
			return f.within
		}
	}
	var area float64
	if m.onFoot {
		area = s.onFoot().AreaWithin(bed.shape, r)
	} else {
		area = s.sites.AreaWithin(bed.shape, r)
	}
	within := min(1, share(area, bed.area))
	m.fractions = append(m.fractions, fraction{r, within})
	return within
}

// each calls f for 0 … n−1, on all cores where that pays.
func each(n int, f func(i int)) {
	const few = 8
	parallel.Each(min(runtime.GOMAXPROCS(0), n/few), n, f)
}
