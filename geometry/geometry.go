// Package geometry measures shapes on a plane: areas, distances, the farthest point of one shape from others, offsets,
// overlays. Shapes are orb types in metres, x east and y north. It knows nothing of gardens.
//
// Notation. A polygon is a set of rings, the first its outline, the rest its holes; rings are closed (first point = last)
// and may run either way. All measures are of the exact polygon, holes included, never of centroids or boxes. Overlays are
// done by github.com/peterstace/simplefeatures, which this package alone imports; distances, farthest points and areas
// within a distance are our own, and exact up to rounding.
package geometry
