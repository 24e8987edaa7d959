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
	feature *plan.Feature
	bad     error        // its geometry is invalid; nothing else is known then
	shape   orb.Geometry // its ground; a mark's disc
	bound   orb.Bound
	area    float64
	round   int  // in which it was last met
	place   int  // among the features of that round that can be measured
	barrier bool // see mayBar
	unknown bool // it has a crop, plant or pest that the catalogue does not know

	// What depends on the place and on the time asked about.
	dated     *calendar
	flowering [season.HalfMonths]float64
	blooms    []bloom
	on        season.HalfMonth // the time for which serves was worked out; always for none
	serves    guildSet         // the guilds that it serves

	// What depends on the ground.
	clippedTo *ground
	onSite    *piece // of a habitat: its ground on the site clippedTo; nil where none
	whole     *piece // of a habitat that was once wholly on the site: all of it
	outsideOf *ground
	outsideM2 float64 // of its ground off the ground outsideOf

	// Of a habitat: how it counts in the flowering cover. See Assessor.patches.
	alone   *patch // where it overlaps no other
	isAlone bool   // it overlaps no other
	group   *group // that it is the first of
	nth     int    // its place among the habitats of the round

	bed *record // of a bed: what is kept of its measures
}

// bloom is a plant in a habitat with the half-months in which it flowers, a bit each.
type bloom struct {
	plant int // the assessor's number for it
	steps uint32
}

// always stands for no time asked about.
const always season.HalfMonth = -1

// A guildSet holds guilds by their place in the catalogue, a bit each, and the bit anyRefuge.
type guildSet uint64

// anyRefuge says that a feature is a refuge; the catalogue has far fewer guilds than bits.
const anyRefuge = 63

func (s guildSet) has(i int) bool { return s&(1<<i) != 0 }

func newFacts(f *plan.Feature) *facts {
	x := &facts{feature: f, shape: f.Geometry}
	if x.bad = geometry.Validate(f.Geometry); x.bad != nil {
		return x
	}
	if p, ok := f.Geometry.(orb.Point); ok {
		x.shape = geometry.Disc(p, plan.MarkRadius)
	}
	x.bound = x.shape.Bound()
	x.area = geometry.Area(x.shape)
	x.barrier = x.mayBar()
	return x
}

// date brings up to date what depends on the calendar and the time asked about.
func (a *Assessor) date(x *facts) {
	on := always
	if a.options.On != nil {
		on = *a.options.On
	}
	if x.dated == a.calendar && x.on == on {
		return
	}
	if x.dated != a.calendar {
		x.flowering = a.calendar.flowering(x.feature)
		x.blooms = nil
		for _, g := range x.feature.Plants {
			b := bloom{plant: a.plantNumber(g.Plant)}
			w := a.calendar.bloom(g)
			for h := range season.HalfMonth(season.HalfMonths) {
				if g.Share > 0 && w.Covers(h) {
					b.steps |= 1 << h
				}
			}
			if b.steps != 0 {
				x.blooms = append(x.blooms, b)
			}
		}
	}
	x.dated, x.on, x.serves = a.calendar, on, 0
	for i, g := range a.catalogue.Guilds {
		if a.calendar.serves(x.feature, g, a.options.On) {
			x.serves |= 1 << i
		}
	}
	if x.feature.IsRefuge() {
		x.serves |= 1 << anyRefuge
	}
}

// plantNumber gives every plant name that the assessor meets a number.
func (a *Assessor) plantNumber(id string) int {
	n, known := a.plants[id]
	if !known {
		n = len(a.plants)
		a.plants[id] = n
	}
	return n
}

// distance is the least between two features in metres.
func (x *facts) distance(to *facts) float64 {
	m, _, _ := geometry.Closest(x.shape, to.shape)
	return m
}

// apart is the distance between two boxes, a lower bound on the distance between what they hold.
func apart(a, b orb.Bound) float64 {
	dx := max(0, a.Min[0]-b.Max[0], b.Min[0]-a.Max[0])
	dy := max(0, a.Min[1]-b.Max[1], b.Min[1]-a.Max[1])
	switch {
	case dx == 0:
		return dy
	case dy == 0:
		return dx
	}
	return math.Sqrt(dx*dx + dy*dy)
}

// spread is the largest distance between a point of box a and a point of box b: no two points that they hold lie farther
// apart.
func spread(a, b orb.Bound) float64 {
	dx, dy := max(a.Max[0]-b.Min[0], b.Max[0]-a.Min[0]), max(a.Max[1]-b.Min[1], b.Max[1]-a.Min[1])
	return math.Sqrt(dx*dx + dy*dy)
}
