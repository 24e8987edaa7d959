package suggest

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// Along says which of the ground's own lines a strip follows.
type Along string

// The lines.
const (
	Margin  Along = "margin"   // the inside of the boundary
	Fences  Along = "fence"    // both sides of a fence
	Paths   Along = "path"     // both edges of a path
	BedEnds Along = "bed-ends" // across the ends of beds, a walk away from them
	Walls   Along = "wall"     // along buildings
	Free    Along = "free"     // across free ground, in the direction of the beds
)

// Alongs lists them in the order in which they are looked at: where two strips are the same, the earlier line has it.
var Alongs = []Along{Margin, Fences, Paths, BedEnds, Walls, Free}

// Words for people.
func (a Along) words() string {
	return map[Along]string{Margin: "inside the boundary", Fences: "along the fence", Paths: "along the path", BedEnds: "across bed ends",
		Walls: "along the wall", Free: "across free ground"}[a]
}

// A line is the centre line of strips that could be laid along it, and where the ground lets them.
type line struct {
	at    orb.Point
	dir   orb.Point // unit vector
	long  float64
	half  float64 // half the strips' width
	along Along
	of    *plan.Feature // that it follows; nil for free ground
	free  []stretch
}

// A stretch is a part of a line, in metres from its start.
type stretch struct{ from, to float64 }

func (l *line) point(s, t float64) orb.Point {
	return orb.Point{l.at[0] + s*l.dir[0] - t*l.dir[1], l.at[1] + s*l.dir[1] + t*l.dir[0]}
}

// where are a point's coordinates along and across the line.
func (l *line) where(p orb.Point) (s, t float64) {
	x, y := p[0]-l.at[0], p[1]-l.at[1]
	return x*l.dir[0] + y*l.dir[1], y*l.dir[0] - x*l.dir[1]
}

// rectangle is the strip between two places of the line.
func (l *line) rectangle(from, to float64) orb.Polygon {
	a := l.point(from, -l.half)
	return orb.Polygon{{a, l.point(to, -l.half), l.point(to, l.half), l.point(from, l.half), a}}
}

// distance is that of a point from the strip between two places of the line.
func (l *line) distance(p orb.Point, from, to float64) float64 {
	s, t := l.where(p)
	return math.Hypot(max(from-s, s-to, 0), max(math.Abs(t)-l.half, 0))
}

const (
	touch      = 1e-3 // metres by which strips may seem to overlap what they only touch
	sameDegree = 1.0  // lines that differ by no more run the same way
	pathEndM   = 5.0  // a path that ends this near the boundary goes on to it: a way in that must stay open; our judgement
	crookM     = 0.3  // an outline that strays no farther from a straight line is followed as one; our judgement
)

// A grounds is a plan's ground as strips see it.
type grounds struct {
	plan    *plan.Plan
	ask     *Ask
	site    orb.MultiPolygon // strips lie within it
	barred  []orb.Polygon    // strips lie off it
	boxes   *geometry.Boxes
	heading float64 // of the beds, radians
}

// newGrounds finds what bars strips: every feature but boundaries, beds with the walk about them, and the ways from path ends to
// the boundary.
func newGrounds(p *plan.Plan, site orb.MultiPolygon, ask *Ask) *grounds {
	g := &grounds{plan: p, ask: ask, site: site}
	for _, f := range p.Features {
		if f.Kind == plan.Boundary || f.Kind == plan.Stake || slices.Contains(ask.Inside, f.ID) || geometry.Validate(f.Geometry) != nil {
			continue
		}
		var shape orb.Geometry = f.Geometry
		if pt, ok := shape.(orb.Point); ok {
			shape = geometry.Disc(pt, plan.MarkRadius)
		}
		if f.Kind == plan.Bed && ask.WalkM > 0 {
			if wide, err := geometry.Buffer(shape, ask.WalkM); err == nil && len(wide) > 0 {
				shape = wide
			}
		}
		g.barred = append(g.barred, geometry.Polygons(shape)...)
		if f.Kind == plan.Path {
			g.barred = append(g.barred, g.waysOn(f)...)
		}
	}
	g.boxes = geometry.NewBoxes(len(g.barred), func(i int) orb.Bound { return g.barred[i].Bound() })
	g.heading = g.direction()
	return g
}

// axis is the middle of a long feature: the line that it was drawn by, else the long axis of the box about it, with its width.
func axis(f *plan.Feature) (orb.LineString, float64) {
	if len(f.Line) > 1 && f.WidthM > 0 {
		return f.Line, f.WidthM
	}
	box := geometry.OrientedBox(f.Geometry)
	if box == nil {
		return nil, 0
	}
	r := box[0]
	a, b := length(r[0], r[1]), length(r[1], r[2])
	if a >= b {
		return orb.LineString{middle(r[0], r[3]), middle(r[1], r[2])}, b
	}
	return orb.LineString{middle(r[0], r[1]), middle(r[3], r[2])}, a
}

func length(a, b orb.Point) float64 { return math.Hypot(b[0]-a[0], b[1]-a[1]) }
func middle(a, b orb.Point) orb.Point {
	return orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
}

// waysOn goes on from the ends of a path as far as the boundary, where that is near.
func (g *grounds) waysOn(f *plan.Feature) (ways []orb.Polygon) {
	mid, width := axis(f)
	if len(mid) < 2 || width <= 0 || mid[0] == mid[len(mid)-1] {
		return nil
	}
	for _, end := range [][2]orb.Point{{mid[1], mid[0]}, {mid[len(mid)-2], mid[len(mid)-1]}} {
		d := length(end[0], end[1])
		if d == 0 {
			continue
		}
		out := orb.Point{end[1][0] + (end[1][0]-end[0][0])/d*pathEndM, end[1][1] + (end[1][1]-end[0][1])/d*pathEndM}
		if geometry.Contains(g.site, out) || !geometry.Contains(g.site, end[1]) {
			continue
		}
		if way, err := geometry.Strip(orb.LineString{end[1], out}, width); err == nil {
			ways = append(ways, way)
		}
	}
	return ways
}

// direction is how most of the beds' ground runs, else the site's.
func (g *grounds) direction() float64 {
	type way struct{ angle, weight float64 }
	var ways []way
	for _, f := range g.plan.Features {
		if f.Kind != plan.Bed {
			continue
		}
		if mid, w := axis(f); len(mid) > 1 {
			a := math.Atan2(mid[1][1]-mid[0][1], mid[1][0]-mid[0][0])
			ways = append(ways, way{math.Mod(a+2*math.Pi, math.Pi/2), length(mid[0], mid[1]) * max(w, 0.1)})
		}
	}
	if len(ways) == 0 {
		if box := geometry.OrientedBox(g.site); box != nil {
			return math.Atan2(box[0][1][1]-box[0][0][1], box[0][1][0]-box[0][0][0])
		}
		return 0
	}
	// The heaviest of directions that lie within five degrees.
	best, weight := 0.0, -1.0
	for _, a := range ways {
		sum := 0.0
		for _, b := range ways {
			d := math.Abs(a.angle - b.angle)
			if min(d, math.Pi/2-d) < 5*math.Pi/180 {
				sum += b.weight
			}
		}
		if sum > weight {
			best, weight = a.angle, sum
		}
	}
	return best
}

// lines finds the lines that the ask allows, with the stretches along which a strip fits.
func (g *grounds) lines() []*line {
	var all []*line
	half := g.ask.WidthM / 2
	add := func(a, b orb.Point, along Along, of *plan.Feature) {
		d := length(a, b)
		if d < g.ask.LeastM {
			return
		}
		all = append(all, &line{at: a, dir: orb.Point{(b[0] - a[0]) / d, (b[1] - a[1]) / d}, long: d, half: half, along: along, of: of})
	}
	beside := func(a, b orb.Point, off float64, along Along, of *plan.Feature) {
		d := length(a, b)
		if d == 0 {
			return
		}
		nx, ny := -(b[1]-a[1])/d*off, (b[0]-a[0])/d*off
		add(orb.Point{a[0] + nx, a[1] + ny}, orb.Point{b[0] + nx, b[1] + ny}, along, of)
	}
	wants := func(a Along) bool { return len(g.ask.Along) == 0 || slices.Contains(g.ask.Along, a) }
	for _, f := range g.plan.Features {
		if geometry.Validate(f.Geometry) != nil {
			continue
		}
		switch {
		case f.Kind == plan.Boundary && wants(Margin):
			for _, p := range geometry.Polygons(f.Geometry) {
				g.inside(p, func(a, b orb.Point, off float64) { beside(a, b, off, Margin, f) })
			}
		case f.Kind == plan.Fence && wants(Fences), f.Kind == plan.Path && wants(Paths):
			mid, w := axis(f)
			along := Fences
			if f.Kind == plan.Path {
				along = Paths
			}
			for i := 1; i < len(mid); i++ {
				for _, side := range []float64{1, -1} {
					beside(mid[i-1], mid[i], side*(w/2+half), along, f)
				}
			}
		case f.Kind == plan.Building && wants(Walls):
			if box := geometry.OrientedBox(f.Geometry); box != nil {
				r := box[0] // anticlockwise: outside lies to the right
				for i := 1; i < len(r); i++ {
					beside(r[i-1], r[i], -half, Walls, f)
				}
			}
		}
	}
	if g.ask.Ground != nil && wants(Margin) { // ground that was drawn has edges of its own
		for _, p := range g.ask.Ground {
			g.inside(p, func(a, b orb.Point, off float64) { beside(a, b, off, Margin, nil) })
		}
	}
	if wants(BedEnds) {
		g.bedEnds(add)
	}
	if wants(Free) {
		g.across(add)
	}
	kept := all[:0]
	for _, l := range all {
		if g.fit(l); len(l.free) > 0 {
			kept = append(kept, l)
		}
	}
	return kept
}

// inside follows a polygon's outline on its inner side.
func (g *grounds) inside(p orb.Polygon, add func(a, b orb.Point, off float64)) {
	for _, ring := range geometry.SimplifyOutline(p, crookM)[:1] {
		turn := 0.0 // twice the area: above 0 where the ring runs anticlockwise, its inside to the left
		for i := 1; i < len(ring); i++ {
			turn += ring[i-1][0]*ring[i][1] - ring[i][0]*ring[i-1][1]
		}
		side := 1.0
		if turn < 0 {
			side = -1
		}
		for i := 1; i < len(ring); i++ {
			a, b := ring[i-1], ring[i]
			d := length(a, b)
			if d == 0 {
				continue
			}
			// The true outline may come in a little from the straight line.
			in := 0.0
			for _, q := range p[0] {
				s := ((q[0]-a[0])*(b[0]-a[0]) + (q[1]-a[1])*(b[1]-a[1])) / d
				t := side * ((q[1]-a[1])*(b[0]-a[0]) - (q[0]-a[0])*(b[1]-a[1])) / d
				if s > 0 && s < d && t <= crookM {
					in = max(in, t)
				}
			}
			add(a, b, side*(in+g.ask.WidthM/2))
		}
	}
}

// bedEnds runs across the ends of beds. Ends in a row make one line.
func (g *grounds) bedEnds(add func(a, b orb.Point, along Along, of *plan.Feature)) {
	type end struct {
		angle, off float64
		s          stretch
		of         *plan.Feature
	}
	var ends []end
	gap := g.ask.WalkM + g.ask.WidthM/2
	for _, f := range g.plan.Features {
		if f.Kind != plan.Bed || geometry.Validate(f.Geometry) != nil {
			continue
		}
		box := geometry.OrientedBox(f.Geometry)
		if box == nil {
			continue
		}
		r := box[0]
		short := 0
		if length(r[0], r[1]) > length(r[1], r[2]) {
			short = 1
		}
		for _, i := range []int{short, short + 2} {
			a, b := r[i], r[i+1]
			d := length(a, b)
			if d == 0 {
				continue
			}
			out := orb.Point{(b[1] - a[1]) / d * gap, -(b[0] - a[0]) / d * gap} // anticlockwise: outside lies to the right
			a, b = orb.Point{a[0] + out[0], a[1] + out[1]}, orb.Point{b[0] + out[0], b[1] + out[1]}
			angle := math.Atan2(b[1]-a[1], b[0]-a[0])
			if angle < 0 {
				angle += math.Pi
			}
			if angle > math.Pi-sameDegree*math.Pi/360 {
				angle -= math.Pi
			}
			c, s := math.Cos(angle), math.Sin(angle)
			ta, tb := a[0]*c+a[1]*s, b[0]*c+b[1]*s
			ends = append(ends, end{angle, -a[0]*s + a[1]*c, stretch{min(ta, tb) - g.ask.LeastM/2, max(ta, tb) + g.ask.LeastM/2}, f})
		}
	}
	// Ends in line with an earlier one, and not far from it, go with it.
	used := make([]bool, len(ends))
	for i, e := range ends {
		if used[i] {
			continue
		}
		c, s := math.Cos(e.angle), math.Sin(e.angle)
		row := []stretch{e.s}
		for j := i + 1; j < len(ends); j++ {
			o := ends[j]
			if used[j] || math.Abs(o.angle-e.angle) > sameDegree*math.Pi/180 {
				continue
			}
			oc, os := math.Cos(o.angle), math.Sin(o.angle)
			mid := (o.s.from + o.s.to) / 2
			x, y := mid*oc-o.off*os, mid*os+o.off*oc
			if math.Abs(-x*s+y*c-e.off) > 0.15 {
				continue
			}
			at := x*c + y*s
			used[j] = true
			row = append(row, stretch{at - (o.s.to-o.s.from)/2, at + (o.s.to-o.s.from)/2})
		}
		const apart = 2.0
		for _, r := range merged(row, apart) {
			add(orb.Point{r.from*c - e.off*s, r.from*s + e.off*c}, orb.Point{r.to*c - e.off*s, r.to*s + e.off*c}, BedEnds, e.of)
		}
	}
}

// across lays lines over the site in the direction of the beds, and at right angles.
func (g *grounds) across(add func(a, b orb.Point, along Along, of *plan.Feature)) {
	const rows = 14
	for _, turn := range []float64{0, math.Pi / 2} {
		c, s := math.Cos(g.heading+turn), math.Sin(g.heading+turn)
		lo, up := orb.Point{math.Inf(1), math.Inf(1)}, orb.Point{math.Inf(-1), math.Inf(-1)}
		for _, p := range g.site {
			for _, q := range p[0] {
				u := orb.Point{q[0]*c + q[1]*s, -q[0]*s + q[1]*c}
				for k := range u {
					lo[k], up[k] = min(lo[k], u[k]), max(up[k], u[k])
				}
			}
		}
		if !(up[0] > lo[0]) {
			return
		}
		step := max(g.ask.WidthM*1.5, (up[1]-lo[1])/rows)
		for t := lo[1] + step/2; t < up[1]; t += step {
			add(orb.Point{lo[0]*c - t*s, lo[0]*s + t*c}, orb.Point{up[0]*c - t*s, up[0]*s + t*c}, Free, nil)
		}
	}
}

// merged joins stretches that overlap or lie no more than a gap apart.
func merged(list []stretch, gap float64) (out []stretch) {
	slices.SortFunc(list, func(a, b stretch) int { return cmp.Compare(a.from, b.from) })
	for _, s := range list {
		if n := len(out); n > 0 && s.from <= out[n-1].to+gap {
			out[n-1].to = max(out[n-1].to, s.to)
		} else {
			out = append(out, s)
		}
	}
	return out
}

// fit finds the stretches of a line on which a strip lies on the site and off all that bars it.
func (g *grounds) fit(l *line) {
	whole := l.rectangle(0, l.long)
	thin := *l // narrower by a hair, so that what only touches does not bar
	thin.half -= touch
	var bars []stretch
	bar := func(shape orb.Geometry, least float64) {
		for _, p := range geometry.Polygons(shape) {
			if geometry.Area(p) < least {
				continue
			}
			s := stretch{math.Inf(1), math.Inf(-1)}
			for _, q := range p[0] {
				at, _ := l.where(q)
				s.from, s.to = min(s.from, at), max(s.to, at)
			}
			bars = append(bars, s)
		}
	}
	probe := thin.rectangle(0, l.long)
	if out, err := geometry.Difference(probe, g.site); err != nil {
		return
	} else {
		bar(out, 1e-4)
	}
	if g.ask.Ground != nil {
		out, err := geometry.Difference(probe, g.ask.Ground)
		if err != nil {
			return
		}
		bar(out, 1e-4)
	}
	for _, i := range g.boxes.Near(nil, whole.Bound(), 0) {
		p := g.barred[i]
		if len(p) > 1 {
			if in, err := geometry.Intersection(probe, p); err == nil {
				bar(in, 1e-6)
				continue
			}
		}
		if s, ok := thin.under(p[0]); ok {
			bars = append(bars, s...)
		}
	}
	at := 0.0
	for _, b := range merged(bars, 0) {
		g.keep(l, stretch{at, min(b.from, l.long)})
		at = max(at, b.to)
	}
	g.keep(l, stretch{at, l.long})
}

func (g *grounds) keep(l *line, s stretch) {
	s.from, s.to = s.from+touch, s.to-touch
	if s.to-s.from >= g.ask.LeastM {
		l.free = append(l.free, s)
	}
}

// under finds the stretches of the line whose strip a ring covers somewhere. The ring is cut by the strip's two sides, after
// Sutherland and Hodgman (Communications of the ACM 17, 1974, doi 10.1145/360767.360802); where it comes in and goes out again
// on one side, what lies between is counted with it.
func (l *line) under(ring orb.Ring) ([]stretch, bool) {
	pts := make([][2]float64, 0, len(ring))
	for _, q := range ring[:len(ring)-1] {
		s, t := l.where(q)
		pts = append(pts, [2]float64{s, t})
	}
	for _, side := range []float64{1, -1} {
		var kept [][2]float64
		for i, a := range pts {
			b := pts[(i+1)%len(pts)]
			da, db := l.half-side*a[1], l.half-side*b[1]
			if da > 0 {
				kept = append(kept, a)
			}
			if da > 0 != (db > 0) {
				f := da / (da - db)
				kept = append(kept, [2]float64{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])})
			}
		}
		if pts = kept; len(pts) == 0 {
			return nil, false
		}
	}
	s := stretch{math.Inf(1), math.Inf(-1)}
	for _, q := range pts {
		s.from, s.to = min(s.from, q[0]), max(s.to, q[0])
	}
	if s.to <= 0 || s.from >= l.long {
		return nil, false
	}
	return []stretch{s}, true
}
