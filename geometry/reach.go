package geometry

import (
	"math"

	"github.com/paulmach/orb"
)

// Reach is Nearest and Farthest at once, for less: what can be nearest to some point of the shape is looked up once for both.
//
// Around is how far in metres it looked about the box of the shape, never less than the farthest distance. Sites whose boxes lie
// beyond that have no part in what these sites answer of the shape here, in AreaWithin and in MeanDistance: whether they are there
// or not, every answer is the same to the last bit (a hair, for rounding, left out).
func (s *Sites) Reach(g orb.Geometry) (nearest, farthest Span, around float64) {
	if s.empty() || g == nil {
		return nowhere, nowhere, math.Inf(1)
	}
	c := scratches.Get().(*scratch)
	defer scratches.Put(c)
	c.cut.reset()
	c.cut.add(g, s.origin)
	if len(c.cut.ends) == 0 {
		return nowhere, nowhere, math.Inf(1)
	}
	closest := nearSearch{span: nowhere, d2: math.Inf(1)}
	c.far = farSearch{sites: s, best: -1, gap: farGaps[0].gap}
	for k := range c.cut.ends {
		corners := c.cut.piece(k)
		c.points, c.near = c.points[:0], c.near[:0]
		near, looked := s.about(c, corners, math.Inf(1))
		around = max(around, looked)
		closest.search(c, corners, near)
		c.farCell(corners, near)
	}
	return closest.found(s), c.farthest(s), around
}
