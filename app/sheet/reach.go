package sheet

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/face"
	"hedgereach/app/ground"
	"hedgereach/app/style"
	"hedgereach/data"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// A ring is a distance from refuge with the ground within it, in millimetres on a map.
type ring struct {
	metres float64
	path   drawing.Path
}

// reachMap shows how far what was asked about works from what serves it: the ground in zones, the refuges that serve outlined, and
// on each bed its standing.
func (j *job) reachMap() {
	if j.reach == "" {
		return
	}
	var g *data.Guild
	if j.o.Guild != "" && j.a.Catalogue != nil {
		g = j.a.Catalogue.Guild(j.o.Guild)
	}
	f, v := j.frame, j.whole()
	serving := j.a.Serving(g)
	rings := j.rings(g, serving, v)
	show := j.show(f, v)
	show.Flowering = nil
	show.Beneath = append(j.zones(rings, f), show.Beneath...)
	show.Labels = false
	l := j.mapWith(f, v, show)
	labels := ground.Labels(j.a.Plan, v, j.look, show)
	l.Add(drawing.Layer{Name: "Reach", Ops: []drawing.Op{drawing.Clip{Path: boxPath(f.window), Ops: j.reachLines(rings, serving, labels, f, v)}}},
		drawing.Layer{Name: "Names", Ops: ground.LabelOps(labels, j.look)}, drawing.Layer{Name: "Frame", Ops: j.edging(f, v)})

	m := theme{about: "Reach of " + lowerFirst(j.reach), entries: j.reachEntries(g, rings, len(serving) > 0), head: "How to read it"}
	m.words = j.reachWords(g, serving)
	j.addMap("Reach map", l, m, f, v)
}

// addMap adds a page with a map, whose panel is filled when the number of pages is known.
func (j *job) addMap(name string, l drawing.List, m theme, f frame, v ground.View) {
	at := len(j.set.Pages)
	j.set.Pages = append(j.set.Pages, Page{Name: name, List: l})
	if f.slim {
		j.key(m, v)
	}
	m.more = "the sheet " + keyName
	j.fitted(name, m, f, v, at+1)
	j.later = append(j.later, func() { j.panel(&j.set.Pages[at].List, m, f, v, j.scale, at+1, len(j.set.Pages)) })
}

// rings are the ground within the typical and the outer range, the nearest first. None where no range is known.
func (j *job) rings(g *data.Guild, serving []*plan.Feature, v ground.View) (out []ring) {
	ranges := []float64{j.o.RangeM}
	if g != nil {
		ranges = nil
		if g.HasRange() {
			if ranges = []float64{g.TypicalM}; g.OuterM > g.TypicalM {
				ranges = append(ranges, g.OuterM)
			}
		}
	}
	var shapes []orb.Geometry
	for _, s := range serving {
		shapes = append(shapes, s.Geometry)
	}
	sites := geometry.NewSites(shapes)
	for _, r := range ranges {
		within, err := sites.Offset(r, 0.05/v.Scale) // a twentieth of a millimetre on the sheet
		if err != nil {
			continue // ground that is no ground has a finding of its own
		}
		k := ring{metres: r}
		for _, p := range within {
			for _, c := range drawing.Polygon(p) {
				pts := make([]orb.Point, len(c.Points))
				for i, q := range c.Points {
					pts[i] = v.To(q)
				}
				k.path = append(k.path, drawing.Contour{Points: pts, Closed: true})
			}
		}
		out = append(out, k)
	}
	return out
}

// zones are the washes and rulings of the ground, by the even-odd rule: what lies between two rings, and beyond the last.
func (j *job) zones(rings []ring, f frame) (ops []drawing.Op) {
	if len(rings) == 0 {
		return nil
	}
	box := boxPath(f.window)
	put := func(z style.Zone, path drawing.Path) {
		m := j.look.Zone(z)
		if len(path) == 0 {
			return
		}
		if m.Tint.A > 0 {
			ops = append(ops, drawing.Fill{Path: path, Color: m.Tint})
		}
		if m.Gap > 0 {
			ops = append(ops, drawing.Hatch{Path: path, Pattern: j.look.Ruling(m, f.window.Min)})
		}
	}
	join := func(a, b drawing.Path) drawing.Path { return append(append(drawing.Path{}, a...), b...) }
	put(style.Near, rings[0].path)
	last := rings[len(rings)-1].path
	if len(rings) > 1 {
		put(style.Far, join(rings[0].path, last))
	}
	// Beyond: the map's box less the outermost ring. Rings leave the box, so the ground outside it must not count twice.
	far := f.window
	for _, c := range last {
		for _, p := range c.Points {
			far = far.Extend(p)
		}
	}
	far = far.Pad(1)
	put(style.Off, join(boxPath(far), last))
	return []drawing.Op{drawing.Clip{Path: box, Ops: ops}}
}

// reachLines are the rings' lines with their distances, and the outlines of what serves.
func (j *job) reachLines(rings []ring, serving []*plan.Feature, labels []ground.Label, f frame, v ground.View) (ops []drawing.Op) {
	s := j.look
	for _, p := range j.servingPaths(serving, v) {
		ops = append(ops, drawing.Stroke{Path: p, Pen: s.Pen(style.Fade(s.Halo, 0.9), style.Heavy*1.6)}, drawing.Stroke{Path: p, Pen: s.Pen(s.Accent, style.Strong)})
	}
	var taken [][4]orb.Point
	for _, l := range labels {
		taken = append(taken, l.Box())
	}
	for i, r := range rings {
		ops = append(ops, drawing.Stroke{Path: r.path, Pen: j.ringPen(i)})
	}
	size := s.Pt(style.Small)
	for _, r := range rings {
		words := j.system.brief(r.metres)
		w, h := face.Width(words, size, true, false)+s.Pt(3), size*1.1
		if at, ok := along(r.path, f.window.Pad(-2), w, h, &taken); ok {
			ops = append(ops, drawing.Text{At: orb.Point{at[0], at[1] + 0.36*size}, Words: words, Size: size, Bold: true, Color: s.Ink,
				Align: drawing.Middle, Halo: style.Fade(s.Halo, 0.95), HaloWidth: s.Pt(2)})
		}
	}
	return ops
}

func (j *job) ringPen(i int) drawing.Pen {
	if i == 0 {
		return j.look.Dashed(j.look.Ink, style.Medium, 9, 3)
	}
	return j.look.Dashed(j.look.Ink, style.Fine, 2.5, 3.5)
}

func (j *job) servingPaths(serving []*plan.Feature, v ground.View) (out []drawing.Path) {
	for _, s := range serving {
		for _, p := range geometry.Polygons(s.Geometry) {
			path := drawing.Polygon(p)
			for c := range path {
				pts := make([]orb.Point, len(path[c].Points))
				for i, q := range path[c].Points {
					pts[i] = v.To(q)
				}
				path[c].Points = pts
			}
			out = append(out, path)
		}
	}
	return out
}

// along finds a place on a line for words of w × h, level, where nothing stands yet, and takes it.
func along(path drawing.Path, window orb.Bound, w, h float64, taken *[][4]orb.Point) (orb.Point, bool) {
	const step = 4.0 // millimetres between tries
	for _, c := range path {
		next := 0.0
		for i, a := range c.Points {
			b := c.Points[(i+1)%len(c.Points)]
			long := math.Hypot(b[0]-a[0], b[1]-a[1])
			for ; next < long; next += step {
				at := orb.Point{a[0] + (b[0]-a[0])*next/long, a[1] + (b[1]-a[1])*next/long}
				box := orb.Bound{Min: orb.Point{at[0] - w/2, at[1] - h/2}, Max: orb.Point{at[0] + w/2, at[1] + h/2}}
				corners := [4]orb.Point{box.Min, {box.Max[0], box.Min[1]}, box.Max, {box.Min[0], box.Max[1]}}
				if !window.Contains(box.Min) || !window.Contains(box.Max) || overlaps(corners, *taken) {
					continue
				}
				*taken = append(*taken, corners)
				return at, true
			}
			next -= long
		}
	}
	return orb.Point{}, false
}

func overlaps(box [4]orb.Point, taken [][4]orb.Point) bool {
	for _, t := range taken {
		if ground.Overlap(box, t) {
			return true
		}
	}
	return false
}

// reachEntries is the legend: zones, what serves, standings.
func (j *job) reachEntries(g *data.Guild, rings []ring, served bool) (out []entry) {
	swatch := func(z style.Zone, line int) func(orb.Bound) []drawing.Op {
		return func(b orb.Bound) []drawing.Op {
			m := j.look.Zone(z)
			ops := []drawing.Op{drawing.Fill{Path: boxPath(b), Color: j.look.Ground}, drawing.Fill{Path: boxPath(b), Color: m.Tint}}
			if m.Gap > 0 {
				ops = append(ops, drawing.Hatch{Path: boxPath(b), Pattern: j.look.Ruling(m, b.Min)})
			}
			if line >= 0 {
				ops = append(ops, drawing.Stroke{Path: drawing.Line(orb.Point{b.Max[0], b.Min[1]}, b.Max), Pen: j.ringPen(line)})
			}
			return append(ops, drawing.Stroke{Path: boxPath(b), Pen: j.look.Pen(j.look.Ink, style.Hair)})
		}
	}
	if served {
		out = append(out, entry{"Serves as refuge or feeds", func(b orb.Bound) []drawing.Op {
			b = b.Pad(-0.5)
			return []drawing.Op{drawing.Fill{Path: boxPath(b), Color: j.look.Kind(plan.Hedgerow).Fill},
				drawing.Stroke{Path: boxPath(b), Pen: j.look.Pen(j.look.Accent, style.Strong)}}
		}})
		if g == nil {
			out[0].words = "Refuge"
		}
	}
	if served {
		for i, r := range rings {
			name := "Within " + j.system.brief(r.metres)
			if i == 0 && g != nil {
				name += ", typical"
			} else if i == 1 {
				name = fmt.Sprintf("To %s, at most", j.system.brief(r.metres))
			}
			out = append(out, entry{name, swatch(style.Zone(i), i)})
		}
		if len(rings) > 0 {
			out = append(out, entry{"Beyond", swatch(style.Off, -1)})
		}
	}
	return append(out, j.standingEntries()...)
}

// reachWords say what the map leaves out.
func (j *job) reachWords(g *data.Guild, serving []*plan.Feature) (out []string) {
	switch {
	case g != nil && !g.HasRange():
		out = append(out, "No distance has been published that limits this guild: no ground is shaded, and no bed is judged.")
	case len(serving) == 0 && j.o.On != nil:
		out = append(out, "Nothing on the plan serves in this half-month: neither shelter nor a plant in flower that feeds them.")
	case len(serving) == 0:
		out = append(out, "Nothing on the plan serves: no shelter, and no plant that feeds them.")
	default:
		out = append(out, "W within: the whole bed lies in range. P partly. B beyond: no part does.")
	}
	if g != nil && g.HasRange() {
		if g.LowM > 0 && g.OuterM > 0 {
			out = append(out, fmt.Sprintf("Published ranges run from %s to %s: the line is a usual distance, no fence.", j.system.brief(g.LowM),
				j.system.brief(g.OuterM)))
		}
		if g.Travel == data.Walks {
			out = append(out, "They walk: the beds' letters go round buildings and water, the shaded ground does not.")
		}
	}
	return append(out, "A bed within reach is a good start, not a promise: landscape, weather, tillage and spraying decide as well.")
}
