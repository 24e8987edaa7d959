package habitat

import (
	"slices"
	"sync"

	"github.com/paulmach/orb"

	"hedgereach/data/season"
	"hedgereach/geometry"
)

// siteCover is the site's flowering cover and the species in flower, by half-month.
func (a *Assessor) siteCover(s *Site, patches []*patch, habitats []*facts) {
	sum := coverSum{}
	for _, p := range patches {
		sum.add(p, p.area)
	}
	n := make(count, len(a.plants))
	for _, x := range habitats {
		if x.onSite != nil {
			n.add(x)
		}
	}
	s.Cover = sum.of(s.AreaM2, n)
	for _, h := range a.calendar.season {
		if s.Cover[h].Species < speciesInFlower {
			s.BloomGaps = append(s.BloomGaps, h)
		}
	}
}

// A coverSum adds up the ground in flower by half-month, in m².
type coverSum [season.HalfMonths]float64

// add counts so many m² of a patch.
func (s *coverSum) add(p *patch, m2 float64) {
	if m2 == 0 {
		return
	}
	for h, f := range p.share {
		s[h] += f * m2
	}
}

// of is the cover of so many m² of ground, with the species counted.
func (s *coverSum) of(ground float64, species count) (cover [season.HalfMonths]Cover) {
	for h := range cover {
		cover[h] = Cover{HalfMonth: season.HalfMonth(h), AreaM2: s[h], Fraction: share(s[h], ground)}
	}
	for _, steps := range species {
		for h := 0; steps != 0; h, steps = h+1, steps>>1 {
			cover[h].Species += int(steps & 1)
		}
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

func (n count) add(x *facts) {
	for _, b := range x.blooms {
		n[b.plant] |= b.steps
	}
}

// A meadow is the habitat of a round, as the ground about beds is looked through for it.
type meadow struct {
	ground   *ground
	calendar *calendar
	radius   float64
	patches  []*patch
	habitats []*facts

	overlapped                  []*facts // of the habitats, those that overlap others and are patches only together with them
	patchesNear, overlappedNear *finder
}

// bloomChange is what changed of habitat since the last round: where a bed's cover must be summed up anew.
type bloomChange struct {
	all    bool
	ground bool // the site is another
	bounds []orb.Bound
}

// changeSince finds what changed since another round. Sums are made in plan order, so where that changed they are all made anew.
func (m *meadow) changeSince(was *meadow) (c bloomChange) {
	if was.calendar != m.calendar || was.radius != m.radius {
		return bloomChange{all: true}
	}
	c.ground = was.ground != m.ground
	p, ordered := difference(was.patches, m.patches, func(p *patch) *patch { return p })
	h, orderedToo := difference(was.habitats, m.habitats, itself)
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

// find makes the meadow ready for so many beds to be looked round.
func (m *meadow) find(beds int) {
	const plainly = 20_000 // looks at boxes that cost less than an index
	m.overlapped = m.overlapped[:0]
	for _, x := range m.habitats {
		if x.onSite != nil && len(x.blooms) > 0 && !x.isAlone {
			m.overlapped = append(m.overlapped, x)
		}
	}
	m.patchesNear = newFinder(len(m.patches), func(i int) orb.Bound { return m.patches[i].bound })
	m.overlappedNear = newFinder(len(m.overlapped), func(i int) orb.Bound { return m.overlapped[i].onSite.bound })
	if beds*len(m.patches) < plainly {
		m.patchesNear.plain, m.overlappedNear.plain = true, true
	}
}

// near keeps what was measured about one bed within the cover's radius, as long as the bed is.
type near struct {
	sites  *geometry.Sites // the bed
	radius float64
	ground *ground
	area   float64     // of the ground within the radius
	open   float64     // the same where no end of the ground is near; 0 until asked for
	pieces []pieceArea // habitat within the radius, in the order in which it was last summed up
}

// pieceArea is how much of a piece lies within the radius, in m².
type pieceArea struct {
	piece *piece
	m2    float64
}

// coverWork is what summing up the cover about a bed needs to keep for as long as that takes.
type coverWork struct {
	ids    []int32
	pieces []pieceArea
	count  count
}

var coverWorks = sync.Pool{New: func() any { return new(coverWork) }}

// bedCover is the flowering cover of the ground within the radius of a bed, clipped to the site.
func (m *meadow) bedCover(bed *facts, plants int) [season.HalfMonths]Cover {
	n := &bed.bed.near
	n.settle(bed, m)
	w := coverWorks.Get().(*coverWork)
	defer coverWorks.Put(w)
	w.pieces = w.pieces[:0]
	if cap(w.count) < plants {
		w.count = make(count, plants)
	}
	w.count = w.count[:plants]
	clear(w.count)

	sum, was := coverSum{}, 0
	w.ids = m.patchesNear.near(w.ids[:0], bed.bound, m.radius)
	for _, i := range w.ids {
		p := m.patches[i]
		m2 := w.within(n, p.piece, bed, &was)
		sum.add(p, m2)
		if m2 > 0 && p.of != nil {
			w.count.add(p.of)
		}
	}
	w.ids = m.overlappedNear.near(w.ids[:0], bed.bound, m.radius)
	for _, i := range w.ids {
		if x := m.overlapped[i]; w.within(n, x.onSite, bed, &was) > 0 {
			w.count.add(x)
		}
	}
	n.pieces = append(n.pieces[:0], w.pieces...)
	return sum.of(n.area, w.count)
}

// settle brings the ground within the radius up to date, and tells whether it is more or less than it was.
func (n *near) settle(bed *facts, m *meadow) (changed bool) {
	if n.sites == nil {
		n.sites = geometry.NewSites([]orb.Geometry{bed.shape})
	}
	if n.radius != m.radius {
		*n = near{sites: n.sites, radius: m.radius}
	}
	if n.ground == m.ground {
		return false
	}
	was := n.area
	n.ground, n.area = m.ground, n.groundWithin(bed, m.ground)
	return n.area != was
}

// groundWithin is the area of the site within the radius. Where the site holds all that the radius can reach, its outline does
// not matter, and moving that changes nothing.
func (n *near) groundWithin(bed *facts, g *ground) float64 {
	reach := bed.bound.Pad(n.radius).ToPolygon()
	if !holds(g.shape, reach) {
		return n.sites.AreaWithin(g.shape, n.radius)
	}
	if n.open == 0 {
		var convex bool
		if n.open, convex = n.sites.AreaAround(n.radius); !convex {
			n.open = n.sites.AreaWithin(reach, n.radius)
		}
	}
	return n.open
}

// within is the area of a piece within the radius of the bed. It looks for the piece among those known from was on, for mostly
// they come in the same order.
func (w *coverWork) within(n *near, p *piece, bed *facts, was *int) float64 {
	m2, known := lookUp(n.pieces, p, was)
	switch {
	case known:
	case p.area == 0:
	case spread(p.bound, bed.bound) <= n.radius:
		m2 = p.area
	default:
		m2 = min(p.area, steady(n.sites.AreaWithin(p.shape, n.radius)))
	}
	w.pieces = append(w.pieces, pieceArea{p, m2})
	return m2
}

// lookUp finds a piece in a list, from the place where the last one was found.
func lookUp(list []pieceArea, p *piece, from *int) (m2 float64, known bool) {
	for k := range list {
		i := *from + k
		if i >= len(list) {
			i -= len(list)
		}
		if list[i].piece == p {
			*from = i
			return list[i].m2, true
		}
	}
	return 0, false
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
