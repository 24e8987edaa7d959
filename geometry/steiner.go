package geometry

import "math"

// AreaAround is the area in m² of all ground within r metres of the sites, where they are a single convex polygon, by Steiner's
// formula: its area, its perimeter times r, and the disc. ok is false for any others.
func (s *Sites) AreaAround(r float64) (area float64, ok bool) {
	if s == nil || len(s.pieces) != 1 || len(s.hidden)+len(s.extra) > 0 || len(s.pieces[0].edges) < 3 {
		return 0, false
	}
	edges := s.pieces[0].edges
	twice, around := 0.0, 0.0
	o := edges[0]
	for i, e := range edges {
		next := edges[(i+1)%len(edges)]
		twice += (e.ax-o.ax)*(next.ay-o.ay) - (e.ay-o.ay)*(next.ax-o.ax)
		around += e.length
	}
	return twice/2 + around*r + math.Pi*r*r, true
}
