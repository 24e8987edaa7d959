package habitat

import (
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/data/season"
	"hedgereach/geometry"
)

// siteCover is the site's flowering cover and the species in flower, by half-month.
func (a *Assessor) siteCover(s *Site, patches []*patch, habitats []*facts) {
	s.Cover = sumUp(patches, func(p *patch) float64 { return p.area }, s.AreaM2)
	n := newCount(len(a.plants))
	for _, x := range habitats {
		if x.onSite != nil {
			n.add(x)
		}
	}
	n.fill(&s.Cover)
	for _, h := range a.calendar.season {
		if s.Cover[h].Species < speciesInFlower {
			s.BloomGaps = append(s.BloomGaps, h)
		}
	}
}

// sumUp adds up the ground in flower, with the area of each patch that counts, of ground in m².
func sumUp(patches []*patch, area func(*patch) float64, ground float64) (cover [season.HalfMonths]Cover) {
	for _, p := range patches {
		m2 := area(p)
		if m2 == 0 {
			continue
		}
		for h, f := range p.share {
			cover[h].AreaM2 += f * m2
		}
	}
	for h := range cover {
		cover[h].HalfMonth = season.HalfMonth(h)
		cover[h].Fraction = share(cover[h].AreaM2, ground)
	}
	return cover
}

func share(part, whole float64) float64 {
	if whole <= 0 {
		return 0
	}
	return part / whole
}

// A count counts species in flower: for each plant, the half-months in which it flowers anywhere counted.
type count []uint32

func newCount(plants int) count { return make(count, plants) }

func (n count) add(x *facts) {
	for _, b := range x.blooms {
		n[b.plant] |= b.steps
	}
}

func (n count) fill(cover *[season.HalfMonths]Cover) {
	for _, steps := range n {
		for h := 0; steps != 0; h, steps = h+1, steps>>1 {
			cover[h].Species += int(steps & 1)
		}
	}
}

// near keeps what was measured about one bed within the cover's radius, as long as the bed is.
type near struct {
	sites  *geometry.Sites // the bed
	radius float64
	ground *ground
	area   float64            // of the ground within the radius
	pieces map[*piece]float64 // of habitat within the radius
}

// bloomChange is what changed of habitat since the last round: where a bed's cover must be summed up anew.
type bloomChange struct {
	all    bool
	bounds []orb.Bound
}

// lastBloom is the habitat of the last round.
type lastBloom struct {
	ground   *ground
	calendar *calendar
	radius   float64
	patches  []*patch
	habitats []*facts
}

// changeSince finds what changed, and keeps this round's habitat for the next. Sums are made in plan order, so where that
// changed they are all made anew.
func (l *lastBloom) changeSince(now lastBloom) (c bloomChange) {
	was := *l
	*l = now
	if was.ground != now.ground || was.calendar != now.calendar || was.radius != now.radius {
		return bloomChange{all: true}
	}
	p, ordered := difference(was.patches, now.patches, func(p *patch) patch { return *p })
	h, orderedToo := difference(was.habitats, now.habitats, itself)
	if !ordered || !orderedToo {
		return bloomChange{all: true}
	}
	for _, x := range p {
		c.bounds = append(c.bounds, x.bound)
	}
	for _, x := range h {
		c.bounds = append(c.bounds, x.bound)
	}
	return c
}

func (c *bloomChange) touches(bed orb.Bound, radius float64) bool {
	return c.all || slices.ContainsFunc(c.bounds, func(b orb.Bound) bool { return apart(b, bed) <= radius })
}

// bedCover is the flowering cover of the ground within the radius of a bed, clipped to the site.
func (n *near) bedCover(bed *facts, now *lastBloom, plants int) [season.HalfMonths]Cover {
	if n.sites == nil {
		n.sites = geometry.NewSites([]orb.Geometry{bed.shape})
	}
	if n.radius != now.radius || len(n.pieces) > 4*len(now.patches)+16 { // or pieces that are no more
		n.pieces = nil
	}
	if n.radius != now.radius || n.ground != now.ground {
		n.ground, n.area = now.ground, n.sites.AreaWithin(now.ground.shape, now.radius)
	}
	n.radius = now.radius
	cover := sumUp(now.patches, func(p *patch) float64 { return n.within(p.piece, bed) }, n.area)
	var species count
	for _, x := range now.habitats {
		if x.onSite != nil && len(x.blooms) > 0 && n.within(x.onSite, bed) > 0 {
			if species == nil {
				species = newCount(plants)
			}
			species.add(x)
		}
	}
	species.fill(&cover)
	return cover
}

// within is the area of a piece within the radius of the bed.
func (n *near) within(p *piece, bed *facts) float64 {
	if p.area == 0 || apart(p.bound, bed.bound) > n.radius {
		return 0
	}
	if v, ok := n.pieces[p]; ok {
		return v
	}
	v := p.area
	if spread(p.bound, bed.bound) > n.radius {
		v = min(p.area, n.sites.AreaWithin(p.shape, n.radius))
	}
	if n.pieces == nil {
		n.pieces = map[*piece]float64{}
	}
	n.pieces[p] = v
	return v
}

// difference lists what only one of two lists has, and tells whether what both have stands in the same order. Equal keys make
// equal items.
func difference[T any, K comparable](a, b []T, key func(T) K) (only []T, ordered bool) {
	for len(a) > 0 && len(b) > 0 && key(a[0]) == key(b[0]) { // most of them, in most edits
		a, b = a[1:], b[1:]
	}
	for len(a) > 0 && len(b) > 0 && key(a[len(a)-1]) == key(b[len(b)-1]) {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	place := make(map[K]int, len(b))
	for i, x := range b {
		place[key(x)] = i
	}
	last := -1
	ordered = true
	for _, x := range a {
		i, both := place[key(x)]
		if !both {
			only = append(only, x)
			continue
		}
		ordered = ordered && i > last
		last = i
		delete(place, key(x))
	}
	for _, x := range b {
		if _, left := place[key(x)]; left {
			only = append(only, x)
		}
	}
	return only, ordered
}

func itself(x *facts) *facts { return x }
