package geometry

import (
	"context"

	"github.com/paulmach/orb"
)

// (stubs; the real files replace this one)

// Polygons lists the polygons of a geometry: itself, the parts of a multi-polygon; nil for anything else.
func Polygons(g orb.Geometry) []orb.Polygon { panic("stub") }

// Area is in m², holes taken off.
func Area(g orb.Geometry) float64 { panic("stub") }

// Perimeter is the length of all rings, in metres.
func Perimeter(g orb.Geometry) float64 { panic("stub") }

// Centroid is the centre of gravity.
func Centroid(g orb.Geometry) orb.Point { panic("stub") }

// LabelPoint is a point well inside the polygon (the pole of inaccessibility), with its distance from the outline.
func LabelPoint(p orb.Polygon) (orb.Point, float64) { panic("stub") }

// An InvalidError says why a polygon is not a proper one, and where.
type InvalidError struct {
	Reason string // "its outline crosses itself", …
	At     orb.Point
}

func (e *InvalidError) Error() string { panic("stub") }

// Validate checks that a geometry (polygon, multi-polygon, point) is proper: finite, at least three corners a ring, no
// crossing, holes inside. The error is an *InvalidError.
func Validate(g orb.Geometry) error { panic("stub") }

// Contains tells whether the point lies in the geometry or on its edge.
func Contains(g orb.Geometry, p orb.Point) bool { panic("stub") }

// PointDistance is the distance from a point to a geometry, 0 inside.
func PointDistance(p orb.Point, g orb.Geometry) float64 { panic("stub") }

// Closest is the least distance between two geometries and the two points that show it; 0 where they touch or overlap.
func Closest(a, b orb.Geometry) (d float64, onA, onB orb.Point) { panic("stub") }

// Sites is an indexed, unchanging set of shapes to measure distances to. A nil or empty Sites is at infinite distance.
type Sites struct{}

// NewSites indexes shapes. Results name them by index in the slice.
func NewSites(shapes []orb.Geometry) *Sites { panic("stub") }

// Len is the number of shapes.
func (s *Sites) Len() int { panic("stub") }

// A Span is a distance between a point of the measured shape and a point of a site.
type Span struct {
	Metres   float64   // +Inf where there are no sites
	Site     int       // -1 where there are no sites
	From, To orb.Point // on the measured shape, on the site
}

// Nearest is the least distance from the shape to any site.
func (s *Sites) Nearest(g orb.Geometry) Span { panic("stub") }

// Farthest is the directed Hausdorff distance from the shape to the sites: the largest distance from any point of the shape
// to the nearest site, to 0.01 m or better. From is the deepest point, which may lie inside the shape.
func (s *Sites) Farthest(g orb.Geometry) Span { panic("stub") }

// DistanceFrom is the distance from a point to the nearest site, 0 inside one, and that site's index.
func (s *Sites) DistanceFrom(p orb.Point) (float64, int) { panic("stub") }

// AreaWithin is the area in m² of the part of the shape no farther than r metres from any site.
func (s *Sites) AreaWithin(g orb.Geometry, r float64) float64 { panic("stub") }

// Field fills out (nx × ny, row by row from the top, north first) with the distance in metres from each cell's centre to
// the nearest site, +Inf without sites. It runs on all cores and stops early when ctx ends, answering ctx's error.
func (s *Sites) Field(ctx context.Context, b orb.Bound, nx, ny int, out []float32) error {
	panic("stub")
}

// Offset is the ground within r metres of any site as polygons, arcs flattened to within tol metres (0: 1 cm).
func (s *Sites) Offset(r, tol float64) (orb.MultiPolygon, error) { panic("stub") }

// Union, Intersection and Difference are the overlays. Inputs must be valid.
func Union(shapes ...orb.Geometry) (orb.MultiPolygon, error) { panic("stub") }

// Intersection is the ground that both cover.
func Intersection(a, b orb.Geometry) (orb.MultiPolygon, error) { panic("stub") }

// Difference is the ground of a that b does not cover.
func Difference(a, b orb.Geometry) (orb.MultiPolygon, error) { panic("stub") }

// Hull is the convex hull.
func Hull(shapes ...orb.Geometry) orb.Polygon { panic("stub") }

// Strip is the ground of a strip of the width along the line, ends flat, corners mitred (bevelled past four half-widths).
func Strip(line orb.LineString, width float64) (orb.Polygon, error) { panic("stub") }

// Disc is a regular polygon that stands for a circle: as many corners as keep it within 1 cm (at least 24, at most 128), its
// corners on the circle.
func Disc(centre orb.Point, radius float64) orb.Polygon { panic("stub") }
