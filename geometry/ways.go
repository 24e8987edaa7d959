package geometry

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"github.com/paulmach/orb"
)

// Ways measures distances on foot to sites, round obstacles. It is made once and then only read: any number of goroutines may
// measure at once.
//
// What is barred: the inside of every obstacle, holes left out. Its edge is free to walk along, and so is a corner where two
// obstacles touch, but not the wall that two obstacles share. Ground that a site or the measured shape covers is open, whatever
// obstacle is drawn over it: a margin drawn across the pond's bank is reached, and a bed drawn into the pond is all bed.
//
// A shortest way is straight but for bends at corners of obstacles, and only at those that point out of the obstacle
// (Lozano-Pérez and Wesley, Communications of the ACM 22, 1979, doi 10.1145/359156.359164). Its last leg goes to the nearest
// point of a convex piece of a site: the distance to a convex set has one least value, so a leg that ends elsewhere can be
// shortened by moving its end, until it either ends at the nearest point or lies against a corner, which is then a bend. So
// the distance from a point is the least of the clear straight distances to pieces and to bends, to the latter with the
// distance on from the bend, which is worked out once for all of them.
type Ways struct {
	sites     *Sites
	origin    orb.Point     // the sites': all coordinates inside are relative to it
	obstacles []orb.Polygon // without the ground that is open
	walls     []wall        // their sides, in the tree's order
	wallTree  boxTree
	bars      []piece // their ground cut into convex pieces, in the tree's order
	barTree   boxTree
	bends     []bend
	reckoned  sync.Once // bends know how far on it is; only the measures that meet an obstacle need to know
}

// NewWays prepares to measure ways to sites round obstacles. Obstacles are polygons (multi-polygons, collections and bounds of
// them too) and may touch, overlap and have holes; points, lines and nil bar nothing.
func NewWays(sites *Sites, obstacles []orb.Geometry) *Ways {
	var origin orb.Point
	if sites != nil {
		origin = sites.origin
	}
	var polygons []orb.Polygon
	for _, g := range obstacles {
		for _, p := range Polygons(g) {
			if p = tidyPolygon(p, origin); len(p) > 0 {
				polygons = append(polygons, p)
			}
		}
	}
	w := buildWays(sites, origin, polygons)
	if len(w.bars) == 0 || sites.empty() {
		return w
	}
	lo, hi := w.barTree.bounds()
	return w.without(sites.gather(nil, lo, hi, 0))
}

// tidyPolygon is the polygon about another origin, without rings that tidying leaves nothing of.
func tidyPolygon(p orb.Polygon, o orb.Point) orb.Polygon {
	tidy := make(orb.Polygon, 0, len(p))
	for _, r := range p {
		if r = tidyRing(r, o); len(r) > 3 {
			tidy = append(tidy, r)
		} else if len(tidy) == 0 {
			break // no outline, so no ground
		}
	}
	return tidy
}

// tidyRing is the ring about another origin, without corners that are not finite or as good as the one before.
func tidyRing(r orb.Ring, o orb.Point) orb.Ring {
	tidy := make(orb.Ring, 0, len(r)+1)
	for _, p := range r {
		q := orb.Point{p[0] - o[0], p[1] - o[1]}
		if n := len(tidy); finite(q) && (n == 0 || distance(tidy[n-1], q) > touching) {
			tidy = append(tidy, q)
		}
	}
	for len(tidy) > 1 && distance(tidy[0], tidy[len(tidy)-1]) <= touching {
		tidy = tidy[:len(tidy)-1]
	}
	if len(tidy) > 0 {
		tidy = append(tidy, tidy[0])
	}
	return tidy
}

func buildWays(sites *Sites, origin orb.Point, obstacles []orb.Polygon) *Ways {
	w := &Ways{sites: sites, origin: origin, obstacles: obstacles}
	var walls []wall
	c := scratches.Get().(*scratch)
	defer scratches.Put(c)
	c.cut.reset()
	for i, p := range obstacles {
		for k, r := range p {
			walls = append(walls, wallsOf(r, k > 0, int32(i))...)
		}
		w.bends = append(w.bends, bendsOf(p)...)
		c.cut.addPolygon(p, orb.Point{})
	}
	var order []int32
	w.wallTree, order = packBoxes(len(walls), func(i int) (lo, hi orb.Point) {
		return boxOf([]orb.Point{walls[i].from, walls[i].to})
	})
	for _, i := range order {
		w.walls = append(w.walls, walls[i])
	}
	var bars []piece
	c.cut.pieces(func(corners []orb.Point) {
		if len(corners) > 2 {
			p := piece{edges: appendEdges(nil, corners)}
			p.box(corners)
			bars = append(bars, p)
		}
	})
	w.barTree, order = packBoxes(len(bars), func(i int) (lo, hi orb.Point) { return bars[i].min, bars[i].max })
	for _, i := range order {
		w.bars = append(w.bars, bars[i])
	}
	// A corner within another obstacle is on no way.
	w.bends = slices.DeleteFunc(w.bends, func(b bend) bool { return w.barred(b.at) })
	return w
}

// barred tells whether a point surely lies in an obstacle; its edge, and a cut between convex pieces, is not told so.
func (w *Ways) barred(at orb.Point) (barred bool) {
	w.barTree.each(at, at, func(i int) { barred = barred || w.bars[i].holds(at) })
	return barred
}

// holds tells whether a point lies in a convex piece and not on its edge.
func (p *piece) holds(at orb.Point) bool {
	for i := range p.edges {
		if off, _ := p.edges[i].place(at[0], at[1]); off >= -slack {
			return false
		}
	}
	return true
}

// without is w with the ground of some convex pieces open: w itself where no obstacle reaches into them.
func (w *Ways) without(open []*piece) *Ways {
	var cuts []*piece
	for _, p := range open {
		if len(p.edges) < 3 {
			continue
		}
		deep := false
		w.barTree.each(p.min, p.max, func(i int) { deep = deep || !apart(&w.bars[i], p) })
		if deep {
			cuts = append(cuts, p)
		}
	}
	if len(cuts) == 0 {
		return w
	}
	var left []orb.Polygon
	for _, obstacle := range w.obstacles {
		var over orb.Collection
		b := obstacle.Bound()
		for _, p := range cuts {
			if boxDist2(b.Min, b.Max, p.min, p.max) == 0 {
				over = append(over, p.grown())
			}
		}
		if len(over) == 0 {
			left = append(left, obstacle)
			continue
		}
		rest, err := Difference(obstacle, over)
		if err != nil { // an outline that the overlay refuses (it crosses itself) stays as it is
			left = append(left, obstacle)
			continue
		}
		for _, p := range rest {
			if p = tidyPolygon(p, orb.Point{}); Area(p) > slack*Perimeter(p) { // the thin leftovers of rounding bar nobody
				left = append(left, p)
			}
		}
	}
	return buildWays(w.sites, w.origin, left)
}

// Open is w with the ground of a shape open, as Nearest, Farthest and AreaWithin take it to be for the shape they measure; w
// itself where no obstacle reaches into the shape. Ask it for the Way from a point that they answer.
func (w *Ways) Open(g orb.Geometry) *Ways {
	if len(w.bars) == 0 || g == nil {
		return w
	}
	return w.without(w.cells(g))
}

// cells cuts a shape into convex pieces.
func (w *Ways) cells(g orb.Geometry) []*piece {
	c := scratches.Get().(*scratch)
	defer scratches.Put(c)
	c.cut.reset()
	c.cut.add(g, w.origin)
	cells := make([]*piece, 0, len(c.cut.ends))
	c.cut.pieces(func(corners []orb.Point) {
		p := &piece{edges: appendEdges(nil, corners)}
		p.box(corners)
		cells = append(cells, p)
	})
	return cells
}

// apart tells whether two convex polygons share no ground: whether a side of one has all of the other in front of it, and of its
// own nothing. (What rounding leaves of a short side can face anywhere.)
func apart(a, b *piece) bool {
	front := func(a, b *piece) bool {
		for i := range a.edges {
			own, least := 0.0, math.Inf(1)
			for j := range a.edges {
				s, _ := a.edges[i].place(a.edges[j].ax, a.edges[j].ay)
				own = max(own, s)
			}
			for j := range b.edges {
				s, _ := a.edges[i].place(b.edges[j].ax, b.edges[j].ay)
				least = min(least, s)
			}
			if least >= own-touching {
				return true
			}
		}
		return false
	}
	return front(a, b) || front(b, a)
}

// corners lists the corners of a convex piece.
func (p *piece) corners() []orb.Point {
	var corners []orb.Point
	for i := range p.edges {
		for end := range p.ends() {
			corners = append(corners, p.corner(i, end))
		}
	}
	return corners
}

// grown is the convex piece as a polygon, larger by up to slack: pieces of one shape then overlap where they meet, and what
// rounding leaves of an obstacle beside one goes with it.
func (p *piece) grown() orb.Polygon {
	m := orb.Point{p.min[0]/2 + p.max[0]/2, p.min[1]/2 + p.max[1]/2}
	scale := 1 + 2*slack/distance(p.min, p.max)
	ring := orb.Ring(p.corners())
	for i, v := range ring {
		ring[i] = orb.Point{m[0] + scale*(v[0]-m[0]), m[1] + scale*(v[1]-m[1])}
	}
	return orb.Polygon{append(ring, ring[0])}
}

// DistanceFrom is the length in metres of the shortest way from a point to any site, 0 in one, and that site's index; +Inf
// and -1 where no way exists: without sites, from ground enclosed by obstacles, from inside one.
func (w *Ways) DistanceFrom(p orb.Point) (d float64, site int) {
	t, d := w.from(w.inner(p))
	if math.IsInf(d, 1) {
		return d, -1
	}
	return d, w.siteOf(t)
}

// Way is the shortest way from a point to the sites: the point first, then the bends, last the point on the site. From a point
// in a site it is that point alone; nil where no way exists.
func (w *Ways) Way(p orb.Point) []orb.Point {
	at := w.inner(p)
	t, d := w.from(at)
	if math.IsInf(d, 1) {
		return nil
	}
	way := []orb.Point{p}
	step := func(next orb.Point) {
		if next != at {
			at = next
			way = append(way, orb.Point{next[0] + w.origin[0], next[1] + w.origin[1]})
		}
	}
	for t.piece == nil {
		b := &w.bends[t.bend]
		step(b.at)
		t = b.next
	}
	step(t.foot(at))
	return way
}

func (w *Ways) inner(p orb.Point) orb.Point { return orb.Point{p[0] - w.origin[0], p[1] - w.origin[1]} }

// siteOf is the site that the way through a goal ends at.
func (w *Ways) siteOf(t goal) int {
	for t.piece == nil {
		t = w.bends[t.bend].next
	}
	return int(t.piece.site)
}

// from finds the goal that the shortest way from a point goes to first, and the way's length.
func (w *Ways) from(p orb.Point) (first goal, d float64) {
	d = math.Inf(1)
	if w.sites.empty() || !finite(p) {
		return first, d
	}
	straight, d2 := w.sites.nearestTo(p[0], p[1])
	if w.clear(p, straight.nearest(p[0], p[1])) {
		return goal{piece: straight}, math.Sqrt(d2)
	}
	w.reckon()
	type hop struct {
		bend int32
		d    float64
	}
	hops := make([]hop, 0, len(w.bends))
	for i := range w.bends {
		if b := &w.bends[i]; b.metres < math.Inf(1) && b.passes(p) {
			hops = append(hops, hop{int32(i), distance(p, b.at) + b.metres})
		}
	}
	slices.SortFunc(hops, func(a, b hop) int { return cmp.Or(cmp.Compare(a.d, b.d), cmp.Compare(a.bend, b.bend)) })
	for _, h := range hops {
		if w.clear(p, w.bends[h.bend].at) {
			first, d = w.bends[h.bend].goal(h.bend), h.d
			break
		}
	}
	search := legSearch{w: w, at: p}
	for l, ok := search.next(); ok && l.metres < d; l, ok = search.next() {
		if w.clear(p, l.piece.nearest(p[0], p[1])) {
			return goal{piece: l.piece}, l.metres
		}
	}
	return first, d
}
