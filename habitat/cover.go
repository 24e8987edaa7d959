package habitat

import (
	"github.com/paulmach/orb"

	"hedgereach/data/season"
	"hedgereach/geometry"
)

// siteCover is the site's flowering cover and the species in flower, by half-month.
func (a *Assessor) siteCover(s *Site, patches []*patch, habitats []*facts, c *calendar) {
	area := flowering(patches, func(p *patch) float64 { return p.area })
	for h := range season.HalfMonth(season.HalfMonths) {
		s.Cover[h] = Cover{HalfMonth: h, AreaM2: area[h], Fraction: share(area[h], s.AreaM2), Species: species(habitats, c, h)}
	}
	for _, h := range c.season {
		if s.Cover[h].Species < speciesInFlower {
			s.BloomGaps = append(s.BloomGaps, h)
		}
	}
}

func species(habitats []*facts, c *calendar, h season.HalfMonth) int {
	seen := map[string]bool{}
	for _, x := range habitats {
		if x.onSite == nil {
			continue // none of it is on the site
		}
		for _, g := range x.feature.Plants {
			if g.Share > 0 && c.inFlower(g, h) {
				seen[g.Plant] = true
			}
		}
	}
	return len(seen)
}

// flowering sums the ground in flower, with the area of each patch that counts.
func flowering(patches []*patch, area func(*patch) float64) (sum [season.HalfMonths]float64) {
	for _, p := range patches {
		m2 := area(p)
		if m2 == 0 {
			continue
		}
		for h, f := range p.share {
			sum[h] += f * m2
		}
	}
	return sum
}

func share(part, whole float64) float64 {
	if whole <= 0 {
		return 0
	}
	return part / whole
}

// near keeps what was measured about one bed within the cover's radius. It holds as long as the bed, and each of its areas as
// long as the ground and the piece that it is of.
type near struct {
	sites  *geometry.Sites
	ground *ground
	area   float64 // of the ground
	pieces map[*piece]float64
}

// bedCover is the flowering cover of the ground within r metres of a bed, clipped to the site.
func (n *near) bedCover(bed *facts, g *ground, patches []*patch, habitats []*facts, c *calendar, r float64) (cover [season.HalfMonths]Cover) {
	if n.sites == nil {
		n.sites = geometry.NewSites([]orb.Geometry{bed.shape})
		n.pieces = map[*piece]float64{}
	}
	if n.ground != g {
		n.ground, n.area = g, n.sites.AreaWithin(g.shape, r)
	}
	if len(n.pieces) > 4*len(patches)+16 { // pieces that are no more
		n.pieces = map[*piece]float64{}
	}
	area := flowering(patches, func(p *patch) float64 { return n.within(p.piece, bed, r) })
	for h := range season.HalfMonth(season.HalfMonths) {
		cover[h] = Cover{HalfMonth: h, AreaM2: area[h], Fraction: share(area[h], n.area)}
	}
	var close []*facts
	for _, x := range habitats {
		if x.onSite != nil && len(x.feature.Plants) > 0 && n.within(x.onSite, bed, r) > 0 {
			close = append(close, x)
		}
	}
	for h := range season.HalfMonth(season.HalfMonths) {
		if len(close) > 0 {
			cover[h].Species = species(close, c, h)
		}
	}
	return cover
}

func (n *near) within(p *piece, bed *facts, r float64) float64 {
	switch {
	case apart(p.bound, bed.bound) > r:
		return 0
	case p.area == 0:
		return 0
	}
	if v, ok := n.pieces[p]; ok {
		return v
	}
	v := p.area
	if spread(p.bound, bed.bound) > r {
		v = min(p.area, n.sites.AreaWithin(p.shape, r))
	}
	n.pieces[p] = v
	return v
}
