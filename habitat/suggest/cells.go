package suggest

import (
	"math"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

const mostCells = 400 // above it they are made longer, as far as the least length lets them

// A cell is a piece of a line.
type cell struct {
	line     *line
	run      int // the stretch of cells in a row that it belongs to
	from, to float64
}

// sizes are the lengths that cells are cut to, in metres.
var sizes = []float64{0.5, 1, 2, 4, 5, 10, 20, 50, 100, 200, 500}

// cut cuts the stretches that are near enough to some point into cells.
func (m *model) cut(size float64) {
	m.cells, m.runs, m.cellM = nil, nil, size
	for _, l := range m.lines {
		var near []stretch
		for i := range m.rows {
			r := m.rangeOf(m.guilds[m.rows[i].guild])
			s, t := l.where(m.rows[i].at)
			if off := max(math.Abs(t)-l.half, 0); off < r {
				d := math.Sqrt(r*r-off*off) + m.ask.LeastM
				near = append(near, stretch{s - d, s + d})
			}
		}
		near = merged(near, size)
		for _, f := range l.free {
			for _, s := range near {
				// Cuts lie at whole cells from the stretch's own end.
				from := f.from + math.Floor(max(0, s.from-f.from)/size)*size
				n := int(math.Floor((min(f.to, s.to) - from) / size * (1 + 1e-12)))
				if to := min(f.to, s.to); float64(n)*size < to-from-touch && to == f.to {
					n++ // a short one at the end
				}
				if n < 1 || min(f.to, from+float64(n)*size)-from < m.ask.LeastM-1e-9 {
					continue
				}
				first := len(m.cells)
				for i := range n {
					m.cells = append(m.cells, cell{l, len(m.runs), from + float64(i)*size, min(f.to, from+float64(i+1)*size)})
				}
				m.runs = append(m.runs, [2]int{first, len(m.cells) - 1})
			}
		}
	}
}

// see finds the cells from which a point is reached.
func (m *model) see(w *row) {
	w.cells = make([]uint64, (len(m.cells)+63)/64)
	r := m.rangeOf(m.guilds[w.guild]) - slack
	o := &m.ways[w.guild]
	var round *geometry.Ways
	for i := range m.cells {
		c := &m.cells[i]
		if c.line.distance(w.at, c.from, c.to) > r {
			continue
		}
		if len(o.shapes) > 0 {
			s, t := c.line.where(w.at)
			to := c.line.point(min(max(s, c.from), c.to), min(max(t, -c.line.half), c.line.half))
			if o.bars(w.at, to) {
				if round == nil {
					round = geometry.NewWays(geometry.NewSites([]orb.Geometry{w.at}), o.shapes)
				}
				if round.Nearest(c.line.rectangle(c.from, c.to)).Metres > r {
					continue
				}
			}
		}
		w.cells[i/64] |= 1 << (i % 64)
	}
}

// bars tells whether an obstacle may lie between two points.
func (o *obstructed) bars(a, b orb.Point) bool {
	way := orb.LineString{a, b}
	for _, i := range o.boxes.Near(nil, way.Bound(), 0) {
		if d, _, _ := geometry.Closest(way, o.shapes[i]); d == 0 {
			return true
		}
	}
	return false
}

// overlap tells whether two runs of cells of different lines share ground.
func (m *model) overlap(a, b, c, d int) bool {
	p, q := m.cells[a].line, m.cells[c].line
	thin := *p
	thin.half -= touch
	s, ok := (&thin).under(q.rectangle(m.cells[c].from, m.cells[d].to)[0])
	return ok && s[0].from < m.cells[b].to-touch && s[0].to > m.cells[a].from+touch
}

// strip is the feature that a run of cells stands for.
func (m *model) strip(c column) *plan.Feature {
	l := m.cells[c.first].line
	from, to := m.cells[c.first].from, m.cells[c.last].to
	round := func(p orb.Point) orb.Point { // to the millimetre, as drawn by hand at best
		return orb.Point{math.Round(p[0]*1000) / 1000, math.Round(p[1]*1000) / 1000}
	}
	mid := orb.LineString{round(l.point(from, 0)), round(l.point(to, 0))}
	shape, err := geometry.Strip(mid, m.ask.WidthM)
	if err != nil {
		shape = l.rectangle(from, to)
	}
	name := newName(m.ask.Kind)
	if l.of != nil && l.along != BedEnds {
		name += " by " + l.of.Title()
	}
	f := newFeature(m.ask.Kind, name, shape)
	if err == nil {
		f.Line, f.WidthM = mid, m.ask.WidthM
	}
	return f
}
