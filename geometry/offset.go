package geometry

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Offset is the ground within r metres of any site as polygons, arcs flattened to within tol metres (0: 1 cm). The corners of
// flattened arcs lie on the arc, so that the ground is never too large.
func (s *Sites) Offset(r, tol float64) (orb.MultiPolygon, error) {
	if s.empty() {
		return nil, nil
	}
	if !(r >= 0) || math.IsInf(r, 0) || !(tol >= 0) {
		return nil, fmt.Errorf("a range of %v m flattened to %v m: give finite numbers, not negative", r, tol)
	}
	if tol == 0 {
		tol = arcTolerance
	}
	n := max(16, arcSegments(r, 2*math.Pi, tol))
	var parts []orb.Geometry
	add := func(pieces []piece) {
		for i := range pieces {
			if p := &pieces[i]; r > 0 || len(p.edges) > 1 {
				parts = append(parts, p.outline(r, n))
			}
		}
	}
	for i := range s.pieces {
		if p := s.pieces[i : i+1]; !s.hides(p[0].site) {
			add(p)
		}
	}
	add(s.extra)
	all, err := Union(parts...)
	if err != nil {
		return nil, fmt.Errorf("drawing the ground within %g m: %w", r, err)
	}
	for _, p := range all {
		for _, ring := range p {
			for i, v := range ring {
				ring[i] = s.home(v)
			}
		}
	}
	return all, nil
}
