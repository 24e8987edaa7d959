package geometry

import (
	"math"

	"github.com/paulmach/orb"
)

// Reach is Nearest and Farthest at once, for less: what can be nearest to some point of the shape is looked up once for both.
func (s *Sites) Reach(g orb.Geometry) (nearest, farthest Span) {
	if s.empty() || g == nil {
		return nowhere, nowhere
	}
	c := scratches.Get().(*scratch)
	defer scratches.Put(c)
	c.cut.reset()
	c.cut.add(g, s.origin)
	if len(c.cut.ends) == 0 {
		return nowhere, nowhere
	}
	closest := nearSearch{span: nowhere, d2: math.Inf(1)}
	c.far = farSearch{sites: s, best: -1, gap: farGaps[0].gap}
	for k := range c.cut.ends {
		corners := c.cut.piece(k)
		c.points, c.near = c.points[:0], c.near[:0]
		near := s.around(c, corners, math.Inf(1))
		closest.search(c, corners, near)
		c.farCell(corners, near)
	}
	return closest.found(s), c.farthest(s)
}
