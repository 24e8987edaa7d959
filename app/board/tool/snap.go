package tool

import (
	"math"
	"sync"

	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// A snapped point is one that was drawn to something nearby.
type snapped struct {
	at     orb.Point
	word   string           // what it was drawn to; "" where it is free
	dir    orb.Point        // unit vector from the last point, where it was drawn to a direction
	guides []orb.LineString // lines that show why
}

// How near the pointer must come, in its reach.
const (
	nearMiddle    = 0.7 // the middle of an edge
	nearEdge      = 0.6 // an edge
	nearDirection = 0.6 // a direction from the last point
	nearExtension = 0.5 // an edge, run on beyond its end
	farExtension  = 25  // how far an edge runs on
	farParallel   = 25  // how far off an edge may be for a line to be drawn parallel with it
)

// snap draws a point to what lies near: a corner, the middle of an edge, a direction from the last of the points drawn so far, an
// edge, an edge run on, else the grid. Ctrl holds it off. Features for which skip answers true are as if not there: those that
// are being changed.
func snap(ed Editor, e Event, skip func(*plan.Feature) bool, from ...orb.Point) snapped {
	if e.Mods&Ctrl != 0 {
		return snapped{at: roundPoint(e.At)}
	}
	set := ed.Settings()
	if set.GridOnly {
		return toGrid(e.At, set)
	}
	s := snappers.Get().(*snapper)
	defer snappers.Put(s)
	s.at, s.set, s.from = e.At, set, from
	s.look(ed.Plan(), skip, farExtension*s.set.ReachM)
	for _, try := range []func() (snapped, bool){s.corner, s.middle, s.direction, s.edge, s.extension} {
		if got, ok := try(); ok {
			return got
		}
	}
	return toGrid(e.At, set)
}

// toGrid draws a point to the grid, where that draws at all.
func toGrid(p orb.Point, set Settings) snapped {
	if set.StepM > 0 {
		return snapped{at: onGrid(p, set), word: "grid"}
	}
	return snapped{at: roundPoint(p)}
}

// A side is an edge of a feature's outline or a stretch of a strip's line.
type side struct {
	a, b orb.Point
	off  float64 // from the pointer to it
}

func (s side) dir() orb.Point { return unit(s.a, s.b) }

// snappers are kept, since a pointer moves often.
var snappers = sync.Pool{New: func() any { return new(snapper) }}

// A snapper holds what lies about the pointer.
type snapper struct {
	at      orb.Point
	set     Settings
	from    []orb.Point
	corners []orb.Point
	sides   []side
}

// look gathers the corners and edges within so many metres of the pointer and of the last point.
func (s *snapper) look(p *plan.Plan, skip func(*plan.Feature) bool, wide float64) {
	s.corners, s.sides = s.corners[:0], s.sides[:0]
	for _, f := range p.Features {
		if f.Geometry == nil || f.Hidden || skip != nil && skip(f) {
			continue
		}
		b := f.Geometry.Bound().Pad(wide)
		if !b.Contains(s.at) && (len(s.from) == 0 || !b.Contains(s.from[len(s.from)-1])) {
			continue
		}
		if f.Centre != nil { // a circle's many corners stand for no corner at all; its centre does
			s.corners = append(s.corners, *f.Centre)
			continue
		}
		s.corners = append(s.corners, f.Line...)
		for i := 1; i < len(f.Line); i++ {
			s.add(f.Line[i-1], f.Line[i])
		}
		if q, ok := f.Geometry.(orb.Point); ok {
			s.corners = append(s.corners, q)
		}
		for _, poly := range geometry.Polygons(f.Geometry) {
			for _, r := range poly {
				for i := 1; i < len(r); i++ {
					s.corners = append(s.corners, r[i])
					s.add(r[i-1], r[i])
				}
			}
		}
	}
	// What is drawn so far counts, but for its last point and the edge that ends there.
	for i := 0; i+1 < len(s.from); i++ {
		s.corners = append(s.corners, s.from[i])
		if i+2 < len(s.from) {
			s.add(s.from[i], s.from[i+1])
		}
	}
}

func (s *snapper) add(a, b orb.Point) {
	if a != b {
		s.sides = append(s.sides, side{a, b, segmentDistance(s.at, a, b)})
	}
}

func (s *snapper) nearest(points []orb.Point, reach float64) (best orb.Point, ok bool) {
	least := reach
	for _, c := range points {
		if d := dist(c, s.at); d <= least {
			least, best, ok = d, c, true
		}
	}
	return best, ok
}

func (s *snapper) corner() (snapped, bool) {
	c, ok := s.nearest(s.corners, s.set.ReachM)
	return snapped{at: c, word: "corner"}, ok
}

func (s *snapper) middle() (snapped, bool) {
	var mids []orb.Point
	for _, e := range s.sides {
		if dist(e.a, e.b) > 6*s.set.ReachM { // on a short edge the ends are all that counts
			mids = append(mids, between(e.a, e.b))
		}
	}
	m, ok := s.nearest(mids, nearMiddle*s.set.ReachM)
	return snapped{at: roundPoint(m), word: "midpoint"}, ok
}

// A way is a direction that a line may take from the last point.
type way struct {
	dir  orb.Point
	word string
	like *side // the edge that it goes by
}

// direction draws the point to a line from the last one: square to the edge before or straight on, square to or along an edge
// that the last point lies on, level or upright as seen, or parallel with an edge nearby. Along it the point comes to a whole
// number of steps, or to an edge that the line crosses there.
func (s *snapper) direction() (snapped, bool) {
	n := len(s.from)
	if n == 0 {
		return snapped{}, false
	}
	a := s.from[n-1]
	reach := s.set.ReachM
	if dist(a, s.at) < 2*reach {
		return snapped{}, false
	}
	var ways []way
	add := func(d orb.Point, word string, like *side) {
		ways = append(ways, way{d, word, like}, way{orb.Point{-d[0], -d[1]}, word, like})
	}
	if n > 1 {
		d := unit(s.from[n-2], a)
		add(square(d), "right angle", nil)
		ways = append(ways, way{d, "straight on", nil})
	}
	for i := range s.sides {
		if e := &s.sides[i]; segmentDistance(a, e.a, e.b) < 0.002 {
			add(square(e.dir()), "right angle", e)
		}
	}
	level := arrange.Frame(s.set.Turn).Out(orb.Point{1, 0})
	add(level, "level", nil)
	add(square(level), "upright", nil)
	for i := range s.sides {
		if e := &s.sides[i]; e.off < farParallel*reach && dist(e.a, e.b) > 2*reach {
			add(e.dir(), "parallel", e)
			add(square(e.dir()), "right angle", e)
		}
	}
	best, least := -1, nearDirection*reach
	for i, w := range ways {
		t := (s.at[0]-a[0])*w.dir[0] + (s.at[1]-a[1])*w.dir[1]
		off := math.Abs((s.at[0]-a[0])*w.dir[1] - (s.at[1]-a[1])*w.dir[0])
		if t > 0 && off < least-1e-9 { // the first of equals is the plainest
			best, least = i, off
		}
	}
	if best < 0 {
		return snapped{}, false
	}
	w := ways[best]
	t := (s.at[0]-a[0])*w.dir[0] + (s.at[1]-a[1])*w.dir[1]
	word := w.word
	if x, ok := s.crossing(a, w.dir, t); ok {
		t, word = x, word+", edge"
	} else if s.set.StepM > 0 {
		t = math.Round(t/s.set.StepM) * s.set.StepM
	}
	at := roundPoint(orb.Point{a[0] + t*w.dir[0], a[1] + t*w.dir[1]})
	got := snapped{at: at, word: word, dir: w.dir}
	if w.like != nil {
		got.guides = []orb.LineString{{w.like.a, w.like.b}}
	}
	return got, true
}

// crossing is where the line from a crosses an edge within reach of t along it.
func (s *snapper) crossing(a, d orb.Point, t float64) (float64, bool) {
	best, least := 0.0, s.set.ReachM
	for _, e := range s.sides {
		rx, ry := e.b[0]-e.a[0], e.b[1]-e.a[1]
		den := d[0]*ry - d[1]*rx
		if math.Abs(den) < 1e-9 {
			continue
		}
		x := ((e.a[0]-a[0])*ry - (e.a[1]-a[1])*rx) / den
		u := ((e.a[0]-a[0])*d[1] - (e.a[1]-a[1])*d[0]) / den
		if off := math.Abs(x - t); u >= 0 && u <= 1 && x > 0.001 && off < least {
			best, least = x, off
		}
	}
	return best, least < s.set.ReachM
}

// edge draws the point onto an edge, a whole number of steps from its beginning.
func (s *snapper) edge() (snapped, bool) {
	best, least := -1, nearEdge*s.set.ReachM
	for i, e := range s.sides {
		if e.off < least {
			best, least = i, e.off
		}
	}
	if best < 0 {
		return snapped{}, false
	}
	e := s.sides[best]
	return snapped{at: s.stepped(e.a, e.dir(), dist(e.a, e.b)), word: "edge"}, true
}

// extension draws the point onto an edge that is run on beyond an end, a whole number of steps from there.
func (s *snapper) extension() (snapped, bool) {
	best, least := -1, nearExtension*s.set.ReachM
	var from orb.Point
	for i, e := range s.sides {
		d := e.dir()
		t := (s.at[0]-e.a[0])*d[0] + (s.at[1]-e.a[1])*d[1]
		off := math.Abs((s.at[0]-e.a[0])*d[1] - (s.at[1]-e.a[1])*d[0])
		end, beyond := e.a, -t
		if t > 0 {
			end, beyond = e.b, t-dist(e.a, e.b)
		}
		if off < least-1e-9 && beyond > 0 && beyond < farExtension*s.set.ReachM && dist(e.a, e.b) > 2*s.set.ReachM {
			best, least, from = i, off, end
		}
	}
	if best < 0 {
		return snapped{}, false
	}
	e := s.sides[best]
	d := e.dir()
	if from == e.a {
		d = orb.Point{-d[0], -d[1]}
	}
	at := s.stepped(from, d, math.Inf(1))
	return snapped{at: at, word: "extension", guides: []orb.LineString{{from, at}}}, true
}

// stepped is the foot of the pointer on the ray from a along d, a whole number of steps along and no farther than most.
func (s *snapper) stepped(a, d orb.Point, most float64) orb.Point {
	t := (s.at[0]-a[0])*d[0] + (s.at[1]-a[1])*d[1]
	if step := s.set.StepM; step > 0 {
		t = math.Round(t/step) * step
	}
	t = max(0, min(t, most))
	return roundPoint(orb.Point{a[0] + t*d[0], a[1] + t*d[1]})
}

// unit is the unit vector from a to b.
func unit(a, b orb.Point) orb.Point {
	l := dist(a, b)
	if l == 0 {
		return orb.Point{1, 0}
	}
	return orb.Point{(b[0] - a[0]) / l, (b[1] - a[1]) / l}
}

// square is the vector turned a quarter anticlockwise.
func square(d orb.Point) orb.Point { return orb.Point{-d[1], d[0]} }

// onGrid is the nearest point of the grid, which lies level as seen.
func onGrid(p orb.Point, set Settings) orb.Point {
	t := arrange.Frame(set.Turn)
	q := t.In(p)
	return roundPoint(t.Out(orb.Point{math.Round(q[0]/set.StepM) * set.StepM, math.Round(q[1]/set.StepM) * set.StepM}))
}

func eachCorner(g orb.Geometry, fn func(orb.Point)) {
	if p, ok := g.(orb.Point); ok {
		fn(p)
	}
	for _, poly := range geometry.Polygons(g) {
		for _, r := range poly {
			for _, c := range r {
				fn(c)
			}
		}
	}
}

// straight turns the way from a to p to the nearest multiple of 45° against the direction base (radians), keeping its length.
// It answers the unit vector of the way as well.
func straight(a, p orb.Point, base float64) (at, dir orb.Point) {
	d := dist(a, p)
	if d == 0 {
		return p, orb.Point{}
	}
	const step = math.Pi / 4
	t := math.Atan2(p[1]-a[1], p[0]-a[0]) - base
	t = math.Round(t/step)*step + base
	dir = orb.Point{math.Cos(t), math.Sin(t)}
	return roundPoint(orb.Point{a[0] + d*dir[0], a[1] + d*dir[1]}), dir
}

// Hit is the feature under a point: of those that hold it the smallest, since a bed lies in a field and not the other way
// round. A boundary is hit by its line only, or everything within it would be hard to reach.
func Hit(p *plan.Plan, at orb.Point, reach float64) *plan.Feature {
	var found *plan.Feature
	least := math.Inf(1)
	for _, f := range p.Features {
		if f.Geometry == nil || f.Hidden || !f.Geometry.Bound().Pad(reach).Contains(at) {
			continue
		}
		var size float64
		switch {
		case f.Kind == plan.Boundary:
			if edgeDistance(f.Geometry, at) > reach {
				continue
			}
			size = math.MaxFloat64 // anything else at the place goes first
		case geometry.Contains(f.Geometry, at):
			size = geometry.Area(f.Geometry)
		case geometry.PointDistance(at, f.Geometry) <= max(reach/2, markReach(f, reach)):
			size = geometry.Area(f.Geometry) + 1e9 // near is good, but in goes first
		default:
			continue
		}
		if size <= least {
			least, found = size, f
		}
	}
	return found
}

// markReach lets a mark, which may be a pixel wide, be hit within the full reach.
func markReach(f *plan.Feature, reach float64) float64 {
	if _, isPoint := f.Geometry.(orb.Point); isPoint {
		return max(reach, plan.MarkRadius)
	}
	return 0
}

func edgeDistance(g orb.Geometry, at orb.Point) float64 {
	least := math.Inf(1)
	for _, poly := range geometry.Polygons(g) {
		for _, r := range poly {
			for i := 1; i < len(r); i++ {
				least = min(least, segmentDistance(at, r[i-1], r[i]))
			}
		}
	}
	return least
}

func segmentDistance(p, a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	t := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		t = min(1, max(0, ((p[0]-a[0])*dx+(p[1]-a[1])*dy)/l))
	}
	return dist(p, orb.Point{a[0] + t*dx, a[1] + t*dy})
}
