package geometry

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Sites is an indexed, unchanging set of shapes to measure distances to. A nil or empty Sites is at infinite distance. Any
// number of goroutines may measure at once.
//
// Every shape is cut into convex pieces, which an R-tree holds; what is measured is cut likewise.
type Sites struct {
	n      int       // shapes
	origin orb.Point // coordinates inside are relative to this, so that a site far from the plane's origin loses no digits
	pieces []piece   // in the tree's order
	tree   boxTree
	hidden []int32 // sites of the tree that With replaced
	extra  []piece // what it replaced them by
	next   int32   // id for the next piece
}

// NewSites indexes shapes. Results name them by index in the slice. Shapes may be polygons, lines or points, and nil for a
// shape that is nowhere.
func NewSites(shapes []orb.Geometry) *Sites {
	s := &Sites{n: len(shapes), origin: homeOf(shapes)}
	c := scratches.Get().(*scratch)
	defer scratches.Put(c)
	c.cut.reset()
	var owner []int32
	for i, g := range shapes {
		c.cut.add(g, s.origin)
		for len(owner) < len(c.cut.ends) {
			owner = append(owner, int32(i))
		}
	}
	loose := make([]piece, 0, len(owner))
	edges := make([]edge, 0, len(c.cut.points))
	for i, site := range owner {
		from := len(edges)
		corners := c.cut.piece(i)
		edges = appendEdges(edges, corners)
		loose = append(loose, newPiece(edges[from:len(edges):len(edges)], corners, site, int32(i)))
	}
	s.next = int32(len(loose))
	tree, order := packBoxes(len(loose), func(i int) (lo, hi orb.Point) { return loose[i].min, loose[i].max })
	s.tree = tree
	s.pieces = make([]piece, len(loose))
	for i, k := range order {
		s.pieces[i] = loose[k]
	}
	return s
}

func newPiece(edges []edge, corners []orb.Point, site, id int32) piece {
	p := piece{edges: edges, site: site, id: id}
	p.box(corners)
	if len(edges) > manySides {
		p.fan = newFan(&p)
	}
	return p
}

// homeOf is a round point near the middle of the shapes: the plane's own origin for any plan drawn about it, so that its
// coordinates are taken as they are.
func homeOf(shapes []orb.Geometry) orb.Point {
	const step = 8192
	var b orb.Bound
	some := false
	for _, g := range shapes {
		if g == nil {
			continue
		}
		eachPath(g, func(path []orb.Point) {
			for _, p := range path {
				if !usable(p) {
					continue
				}
				if !some {
					b, some = orb.Bound{Min: p, Max: p}, true
				}
				b = b.Extend(p)
			}
		})
	}
	c := orb.Point{b.Min[0]/2 + b.Max[0]/2, b.Min[1]/2 + b.Max[1]/2}
	return orb.Point{step * math.Round(c[0]/step), step * math.Round(c[1]/step)}
}

// Len is the number of shapes.
func (s *Sites) Len() int {
	if s == nil {
		return 0
	}
	return s.n
}

// With is a copy in which another shape (nil: none) stands for shape i, while the rest and their index are shared: what a
// drag needs at each step. It costs a fraction of NewSites as long as few shapes are replaced at once. i must be from 0
// to Len.
func (s *Sites) With(i int, shape orb.Geometry) *Sites {
	if s == nil {
		s = &Sites{}
	}
	with := *s
	with.n = max(s.n, i+1)
	if !slices.Contains(s.hidden, int32(i)) {
		with.hidden = append(slices.Clip(s.hidden), int32(i))
	}
	with.extra = make([]piece, 0, len(s.extra)+1)
	for _, p := range s.extra {
		if p.site != int32(i) {
			with.extra = append(with.extra, p)
		}
	}
	if shape == nil {
		return &with
	}
	c := scratches.Get().(*scratch)
	defer scratches.Put(c)
	c.cut.reset()
	c.cut.add(shape, s.origin)
	edges := make([]edge, 0, len(c.cut.points))
	for k := range c.cut.ends {
		from := len(edges)
		corners := c.cut.piece(k)
		edges = appendEdges(edges, corners)
		with.extra = append(with.extra, newPiece(edges[from:len(edges):len(edges)], corners, int32(i), with.next))
		with.next++
	}
	return &with
}

// empty tells whether there is nothing to measure to.
func (s *Sites) empty() bool {
	if s == nil || len(s.pieces)+len(s.extra) == 0 {
		return true
	}
	if len(s.hidden) == 0 || len(s.extra) > 0 {
		return false
	}
	return !slices.ContainsFunc(s.pieces, func(p piece) bool { return !s.hides(p.site) })
}

func (s *Sites) hides(site int32) bool { return len(s.hidden) > 0 && slices.Contains(s.hidden, site) }

// A Span is a distance between a point of the measured shape and a point of a site.
type Span struct {
	Metres   float64   // +Inf where there are no sites
	Site     int       // -1 where there are no sites
	From, To orb.Point // on the measured shape, on the site
}

var nowhere = Span{Metres: math.Inf(1), Site: -1}

// touching is the distance in metres below which two shapes count as touching. Rounding alone parts shapes that were drawn
// edge to edge at a slant by less.
const touching = 1e-9

// DistanceFrom is the distance from a point to the nearest site, 0 inside one, and that site's index (the lowest of equals);
// +Inf and -1 without sites.
func (s *Sites) DistanceFrom(p orb.Point) (float64, int) {
	if s == nil {
		return math.Inf(1), -1
	}
	best, d2 := s.nearestTo(p[0]-s.origin[0], p[1]-s.origin[1])
	if best == nil {
		return math.Inf(1), -1
	}
	return math.Sqrt(d2), int(best.site)
}

// nearestTo finds the piece nearest to a point, of equals the one of the lowest site.
func (s *Sites) nearestTo(x, y float64) (best *piece, d2 float64) {
	d2 = math.Inf(1)
	try := func(p *piece) {
		if d := p.dist2(x, y); d < d2 || d == d2 && best != nil && p.before(best) {
			best, d2 = p, d
		}
	}
	for i := range s.extra {
		try(&s.extra[i])
	}
	if len(s.tree.nodes) == 0 {
		return best, d2
	}
	at := orb.Point{x, y}
	var stack treeStack
	stack[0] = int32(len(s.tree.nodes) - 1)
	for top := 1; top > 0; {
		top--
		node := &s.tree.nodes[stack[top]]
		if boxDist2(node.min, node.max, at, at) > d2 {
			continue
		}
		if node.leaf {
			for i := node.first; i < node.first+int32(node.count); i++ {
				p := &s.pieces[i]
				if boxDist2(p.min, p.max, at, at) <= d2 && !s.hides(p.site) {
					try(p)
				}
			}
			continue
		}
		// The nearest child goes on top, to be looked at next.
		var dist [treeFan]float64
		from := top
		for k := range int32(node.count) {
			child := node.first + k
			d := boxDist2(s.tree.nodes[child].min, s.tree.nodes[child].max, at, at)
			if d > d2 {
				continue
			}
			i := top
			for ; i > from && dist[i-from-1] < d; i-- {
				stack[i], dist[i-from] = stack[i-1], dist[i-from-1]
			}
			stack[i], dist[i-from] = child, d
			top++
		}
	}
	return best, d2
}

// gather appends the pieces whose boxes come within the distance of a box, in the order of their sites.
func (s *Sites) gather(dst []*piece, lo, hi orb.Point, within float64) []*piece {
	from := len(dst)
	limit := within * within
	if len(s.tree.nodes) > 0 {
		var stack treeStack
		stack[0] = int32(len(s.tree.nodes) - 1)
		for top := 1; top > 0; {
			top--
			node := &s.tree.nodes[stack[top]]
			if !node.leaf {
				for k := range int32(node.count) {
					child := &s.tree.nodes[node.first+k]
					if boxDist2(child.min, child.max, lo, hi) <= limit {
						stack[top] = node.first + k
						top++
					}
				}
				continue
			}
			for i := node.first; i < node.first+int32(node.count); i++ {
				if p := &s.pieces[i]; boxDist2(p.min, p.max, lo, hi) <= limit && !s.hides(p.site) {
					dst = append(dst, p)
				}
			}
		}
	}
	for i := range s.extra {
		if p := &s.extra[i]; boxDist2(p.min, p.max, lo, hi) <= limit {
			dst = append(dst, p)
		}
	}
	slices.SortFunc(dst[from:], func(a, b *piece) int {
		return cmp.Or(cmp.Compare(a.site, b.site), cmp.Compare(a.id, b.id))
	})
	return dst
}

// Nearest is the least distance from the shape to any site, 0 where they touch or overlap; of sites equally near the lowest
// index. A shape of no points is at infinite distance.
func (s *Sites) Nearest(g orb.Geometry) Span {
	if s.empty() || g == nil {
		return nowhere
	}
	c := scratches.Get().(*scratch)
	defer scratches.Put(c)
	c.cut.reset()
	c.cut.add(g, s.origin)
	closest := nearSearch{span: nowhere, d2: math.Inf(1)}
	for k := range c.cut.ends {
		corners := c.cut.piece(k)
		// The piece nearest to one corner bounds the search.
		_, limit := s.nearestTo(corners[0][0], corners[0][1])
		lo, hi := boxOf(corners)
		within := max(math.Sqrt(min(limit, closest.d2))*(1+1e-12), touching) // so that all that touch are compared
		c.near = s.gather(c.near[:0], lo, hi, within)
		closest.search(c, corners, c.near)
	}
	return closest.found(s)
}

// nearSearch is the state of a search for the site nearest to a shape.
type nearSearch struct {
	span Span
	d2   float64
}

// search looks through pieces near a convex cell, in the order of their sites.
func (n *nearSearch) search(c *scratch, corners []orb.Point, near []*piece) {
	c.cell.edges = appendEdges(c.cell.edges[:0], corners)
	c.cell.box(corners)
	for _, p := range near {
		if boxDist2(p.min, p.max, c.cell.min, c.cell.max) > n.d2 || n.d2 == 0 && int(p.site) >= n.span.Site {
			continue
		}
		d, from, to := between(&c.cell, p)
		if d < touching*touching {
			d = 0
		}
		if d < n.d2 || d == n.d2 && int(p.site) < n.span.Site {
			n.d2 = d
			n.span = Span{Metres: math.Sqrt(d), Site: int(p.site), From: from, To: to}
		}
	}
}

func (n *nearSearch) found(s *Sites) Span {
	if n.span.Site >= 0 {
		n.span.From, n.span.To = s.home(n.span.From), s.home(n.span.To)
	}
	return n.span
}

// home moves a point from the set's own coordinates to the caller's.
func (s *Sites) home(p orb.Point) orb.Point { return orb.Point{p[0] + s.origin[0], p[1] + s.origin[1]} }
