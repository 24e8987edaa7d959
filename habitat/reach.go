package habitat

import (
	"runtime"
	"sync"
	"sync/atomic"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
)

// A serving set is the features that serve a guild, or several guilds alike, with what was measured of each bed against them.
type serving struct {
	members []*facts
	sites   *geometry.Sites
	beds    map[*facts]*measured
}

// measured is one bed against one serving set. The fractions are by range, only those between none and all.
type measured struct {
	link      Link
	fractions []fraction
}

type fraction struct{ rangeM, within float64 }

func newServing(members []*facts) *serving {
	shapes := make([]orb.Geometry, len(members))
	for i, x := range members {
		shapes[i] = x.shape
	}
	return &serving{members: members, sites: geometry.NewSites(shapes), beds: map[*facts]*measured{}}
}

// slackM is more than the distance by which a farthest point may be off (geometry promises 0.01 m).
const slackM = 0.02

// inherit takes over what an older set measured of the beds that no changed member can have touched. Every point of a bed has
// a member within the farthest distance, so a site that lies farther than that from the whole bed, whether it came or went,
// is the nearest to none of its points. Where members change places in the plan, nothing is taken over: of refuges equally
// near the first in the plan is named.
func (s *serving) inherit(old *serving, beds []*facts) {
	if old == nil || len(old.members) == 0 || len(s.members) == 0 {
		return
	}
	changed, ordered := difference(old.members, s.members)
	if !ordered {
		return
	}
	for _, bed := range beds {
		if m := old.beds[bed]; m != nil && !touched(bed, changed, m.link.FarthestM+slackM) {
			s.beds[bed] = m
		}
	}
}

// difference lists what only one of two lists has, and tells whether what both have stands in the same order.
func difference(a, b []*facts) (only []*facts, ordered bool) {
	place := make(map[*facts]int, len(b))
	for i, x := range b {
		place[x] = i
	}
	last := -1
	ordered = true
	for _, x := range a {
		i, both := place[x]
		if !both {
			only = append(only, x)
			continue
		}
		ordered = ordered && i > last
		last = i
		delete(place, x)
	}
	for _, x := range b {
		if _, left := place[x]; left {
			only = append(only, x)
		}
	}
	return only, ordered
}

func touched(bed *facts, changed []*facts, within float64) bool {
	for _, x := range changed {
		if apart(bed.bound, x.bound) > within {
			continue
		}
		if d, _, _ := geometry.Closest(bed.shape, x.shape); d <= within {
			return true
		}
	}
	return false
}

// measure fills in the beds that are not known, on all cores, and the fractions at the ranges for all beds.
func (s *serving) measure(beds []*facts, ranges []float64) {
	if len(s.members) == 0 {
		return
	}
	for _, bed := range beds { // the map is written here alone; below each bed's own record is
		if s.beds[bed] == nil {
			s.beds[bed] = &measured{link: Link{NearestM: -1}}
		}
	}
	each(len(beds), func(i int) {
		bed := beds[i]
		m := s.beds[bed]
		if m.link.NearestM < 0 {
			m.link = s.link(bed)
		}
		for _, r := range ranges {
			m.at(r, bed, s.sites)
		}
	})
	if len(s.beds) > 2*len(beds)+64 { // beds that are no more
		kept := make(map[*facts]*measured, len(beds))
		for _, bed := range beds {
			kept[bed] = s.beds[bed]
		}
		s.beds = kept
	}
}

func (s *serving) link(bed *facts) Link {
	n, f := s.sites.Nearest(bed.shape), s.sites.Farthest(bed.shape)
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
func (m *measured) at(r float64, bed *facts, sites *geometry.Sites) float64 {
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
	within := min(1, share(sites.AreaWithin(bed.shape, r), bed.area))
	m.fractions = append(m.fractions, fraction{r, within})
	return within
}

// each calls f for 0 … n−1, on all cores where that pays.
func each(n int, f func(i int)) {
	const few = 8
	workers := min(runtime.GOMAXPROCS(0), n/few)
	if workers < 2 {
		for i := range n {
			f(i)
		}
		return
	}
	var next atomic.Int64
	var wait sync.WaitGroup
	for range workers {
		wait.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				f(i)
			}
		})
	}
	wait.Wait()
}
