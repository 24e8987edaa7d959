package arrange

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// Corners are the points that a feature is given by: a round thing's centre, the points of a strip's line, a mark, else the
// corners of its outline. False where it has several outlines, or holes.
func Corners(f *plan.Feature) ([]orb.Point, bool) {
	switch {
	case f.Centre != nil && f.RadiusM > 0:
		return []orb.Point{*f.Centre}, true
	case len(f.Line) >= 2:
		return slices.Clone(f.Line), true
	}
	switch g := f.Geometry.(type) {
	case orb.Point:
		return []orb.Point{g}, true
	case orb.Polygon:
		if len(g) == 1 && len(g[0]) > 3 {
			return slices.Clone(g[0][:len(g[0])-1]), true
		}
	}
	return nil, false
}

// WithCorners is a copy of the feature with other points in place of its Corners; there may be more or fewer of them.
func WithCorners(f *plan.Feature, pts []orb.Point) (*plan.Feature, error) {
	c := f.Clone()
	for i := range pts {
		pts[i] = roundPoint(pts[i])
	}
	_, mark := f.Geometry.(orb.Point)
	switch {
	case f.Centre != nil && f.RadiusM > 0, mark:
		if len(pts) != 1 {
			return nil, fmt.Errorf("%s has one place: give one line", f.Title())
		}
		if mark {
			c.Geometry = pts[0]
			return c, nil
		}
		c.Centre, c.Geometry = &pts[0], Tidy(geometry.Disc(pts[0], f.RadiusM))
	case len(f.Line) >= 2:
		g, err := geometry.Strip(pts, f.WidthM)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.Title(), err)
		}
		c.Line, c.Geometry = pts, Tidy(g)
	default:
		if len(pts) < 3 {
			return nil, fmt.Errorf("%s needs three corners or more", f.Title())
		}
		c.Geometry = orb.Polygon{append(slices.Clone(orb.Ring(pts)), pts[0])}
	}
	if err := geometry.Validate(c.Geometry); err != nil {
		return nil, fmt.Errorf("%s: %w", f.Title(), err)
	}
	return c, nil
}
