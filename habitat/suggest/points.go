package suggest

import (
	"math"
	"slices"
	"sync"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/geometry"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// slack is by how many metres a strip has to reach farther than asked, so that rounding decides nothing.
const slack = 1e-4

// A row is a point of a bed that is to be reached by a guild, with the cells from which it is.
type row struct {
	at    orb.Point
	bed   string
	guild int
	cells []uint64
}

// obstructed is what a guild that walks has to go round.
type obstructed struct {
	shapes []orb.Geometry
	boxes  *geometry.Boxes
}

// obstacles are what bars the way of those guilds that walk.
func (m *model) obstacles() {
	m.ways = make([]obstructed, len(m.guilds))
	for i, g := range m.guilds {
		if g == nil || g.Travel != data.Walks {
			continue
		}
		o := &m.ways[i]
		for _, f := range m.plan.Features {
			if (f.Kind == plan.Building || f.Kind == plan.Pond) && geometry.Validate(f.Geometry) == nil {
				o.shapes = append(o.shapes, f.Geometry)
			}
		}
		o.boxes = geometry.NewBoxes(len(o.shapes), func(i int) orb.Bound { return o.shapes[i].Bound() })
	}
}

// points adds the points of a bed that new shapes leave out of reach of a guild, a step apart along its outline.
func (m *model) points(b *habitat.Bed, guild int, distance func(orb.Point) float64, step float64) {
	r := m.rangeOf(m.guilds[guild])
	for _, p := range geometry.Polygons(b.Feature.Geometry) {
		for _, ring := range p {
			every := max(step, geometry.Perimeter(orb.LineString(ring))/80)
			for j := 1; j < len(ring); j++ {
				n := max(1, int(math.Ceil(length(ring[j-1], ring[j])/every)))
				for k := range n {
					f := float64(k) / float64(n)
					at := orb.Point{ring[j-1][0] + f*(ring[j][0]-ring[j-1][0]), ring[j-1][1] + f*(ring[j][1]-ring[j-1][1])}
					if distance(at) > r-slack {
						m.rows = append(m.rows, row{at: at, bed: b.Feature.ID, guild: guild})
					}
				}
			}
		}
	}
}

// A reach measures what serves a guild, as the engine does.
type reach struct {
	from     func(orb.Point) float64
	farthest func(orb.Geometry) geometry.Span
}

// reach is that of a guild with new shapes in place.
func (m *model) reach(guild int, shapes []orb.Geometry) reach {
	sites := geometry.NewSites(slices.Concat(m.serving[guild], shapes))
	if o := m.ways[guild]; len(o.shapes) > 0 {
		r := m.rangeOf(m.guilds[guild])
		ways := sync.OnceValue(func() *geometry.Ways { return geometry.NewWays(sites, o.shapes) })
		// What is out of reach in a straight line is so on foot, too, and costs less to find.
		return reach{
			func(p orb.Point) float64 {
				d, _ := sites.DistanceFrom(p)
				if d <= r {
					d, _ = ways().DistanceFrom(p)
				}
				return d
			},
			func(g orb.Geometry) geometry.Span {
				span := sites.Farthest(g)
				if span.Metres <= r {
					span = ways().Farthest(g)
				}
				return span
			},
		}
	}
	return reach{func(p orb.Point) float64 { d, _ := sites.DistanceFrom(p); return d }, sites.Farthest}
}

// drop leaves out the beds of which a point cannot be reached at all.
func (m *model) drop() {
	for _, w := range m.rows {
		any := false
		for _, v := range w.cells {
			any = any || v != 0
		}
		if !any {
			m.gone[w.bed] = true
		}
	}
	m.rows = slices.DeleteFunc(m.rows, func(w row) bool { return m.gone[w.bed] })
}

// add adds a point that strips do not reach, whatever the model thinks.
func (m *model) add(bed string, guild int, at orb.Point, strips []column) {
	w := row{at: at, bed: bed, guild: guild}
	m.see(&w)
	m.deny(&w, strips)
	m.rows = append(m.rows, w)
}

func (m *model) deny(w *row, strips []column) {
	for _, c := range strips {
		for k := c.first; k <= c.last; k++ {
			w.cells[k/64] &^= 1 << (k % 64)
		}
	}
}
