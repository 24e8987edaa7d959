package habitat

import (
	"math"

	"github.com/paulmach/orb"

	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// facts are what is known of one feature by itself. They hold as long as the feature does.
type facts struct {
	feature   *plan.Feature
	bad       error        // its geometry is invalid; nothing else is known then
	shape     orb.Geometry // its ground; a mark's disc
	bound     orb.Bound
	area      float64
	flowering [season.HalfMonths]float64
	round     int // in which it was last met

	clippedTo *ground
	onSite    *piece // of a habitat: its ground on the site clippedTo; nil where none
	outsideOf orb.MultiPolygon
	outsideM2 float64 // of its ground off the ground outsideOf
	whole     *piece  // of a habitat that was once wholly on the site: all of it
}

func newFacts(f *plan.Feature, c *calendar) *facts {
	x := &facts{feature: f, shape: f.Geometry}
	if x.bad = geometry.Validate(f.Geometry); x.bad != nil {
		return x
	}
	if p, ok := f.Geometry.(orb.Point); ok {
		x.shape = geometry.Disc(p, plan.MarkRadius)
	}
	x.bound = x.shape.Bound()
	x.area = geometry.Area(x.shape)
	x.flowering = c.flowering(f)
	return x
}

// apart is the distance between two boxes, a lower bound on the distance between what they hold.
func apart(a, b orb.Bound) float64 {
	return math.Hypot(max(0, a.Min[0]-b.Max[0], b.Min[0]-a.Max[0]), max(0, a.Min[1]-b.Max[1], b.Min[1]-a.Max[1]))
}

// spread is the largest distance between a point of box a and a point of box b: no two points that they hold lie farther
// apart.
func spread(a, b orb.Bound) float64 {
	return math.Hypot(max(a.Max[0]-b.Min[0], b.Max[0]-a.Min[0]), max(a.Max[1]-b.Min[1], b.Max[1]-a.Min[1]))
}
