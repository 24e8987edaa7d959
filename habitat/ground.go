package habitat

import (
	"slices"
	"strconv"

	"github.com/paulmach/orb"

	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// A ground is the site: what everything is clipped to. It holds as long as what it was made of.
type ground struct {
	shape orb.MultiPolygon
	area  float64
	hull  bool // of all features, so that nothing sticks out of it
}

// newGround is the boundary, several joined; without one, the convex hull of all features.
func (a *Assessor) newGround(all []*facts) *ground {
	var outlines, rest []orb.Geometry
	var bounds []*facts
	for _, x := range all {
		if x.feature.Kind == plan.Boundary {
			bounds = append(bounds, x)
			outlines = append(outlines, x.shape)
		} else {
			rest = append(rest, x.shape)
		}
	}
	g := &ground{}
	if len(outlines) > 0 {
		u, err := a.overlay.union(outlines...)
		if err != nil {
			a.fail("the site within its boundaries; all features together were taken for it", bounds...)
		} else if len(u) > 0 {
			g.shape = u
		}
	}
	if g.shape == nil && len(rest) > 0 {
		if h := geometry.Hull(rest...); len(h) > 0 {
			g.shape, g.hull = orb.MultiPolygon{h}, true
		}
	}
	g.area = geometry.Area(g.shape)
	return g
}

// holds tells surely and cheaply whether ground covers a whole shape: a corner of the shape lies in it and no edges meet. A
// shape that touches the ground's outline from within is not told so, and is clipped in full.
func holds(g orb.MultiPolygon, s orb.Geometry) bool {
	box := s.Bound()
	for _, p := range geometry.Polygons(s) {
		if len(p) == 0 || len(p[0]) == 0 || !geometry.Contains(g, p[0][0]) {
			return false
		}
		for _, part := range g {
			for _, edge := range part {
				if meets(edge, p[0], box) {
					return false
				}
				if geometry.Contains(p, edge[0]) { // a hole of the ground, or a part of it, lies within the shape
					return false
				}
			}
		}
	}
	return true
}

// meets tells whether two rings have a point in common, or might: rounding counts as meeting.
func meets(a, b orb.Ring, boxB orb.Bound) bool {
	for i := 1; i < len(a); i++ {
		edge := orb.Bound{Min: a[i-1], Max: a[i-1]}.Extend(a[i])
		if !edge.Intersects(boxB) {
			continue
		}
		for j := 1; j < len(b); j++ {
			if crosses(a[i-1], a[i], b[j-1], b[j]) {
				return true
			}
		}
	}
	return false
}

func crosses(a, b, c, d orb.Point) bool {
	const touch = 1e-9 // of the product of two lengths in metres
	side := func(p, q, r orb.Point) int {
		v := (q[0]-p[0])*(r[1]-p[1]) - (q[1]-p[1])*(r[0]-p[0])
		switch {
		case v > touch:
			return 1
		case v < -touch:
			return -1
		}
		return 0
	}
	return side(a, b, c)*side(a, b, d) <= 0 && side(c, d, a)*side(c, d, b) <= 0
}

// A patch is habitat ground on the site, with the share of it in flower in each half-month by which it counts.
type patch struct {
	*piece
	share [season.HalfMonths]float64
}

// A piece is a shape with its measures, made once.
type piece struct {
	id    int // of all pieces that the assessor made
	shape orb.Geometry
	bound orb.Bound
	area  float64
}

func (a *Assessor) newPiece(s orb.Geometry) *piece {
	a.pieces++
	return &piece{id: a.pieces, shape: s, bound: s.Bound(), area: geometry.Area(s)}
}

// settle finds the part of a habitat that lies on the ground.
func (a *Assessor) settle(x *facts, g *ground) {
	if x.clippedTo == g {
		return
	}
	x.clippedTo = g
	if g.hull || holds(g.shape, x.shape) {
		if x.whole == nil {
			x.whole = a.newPiece(x.shape)
		}
		x.onSite = x.whole
		return
	}
	x.onSite = nil
	in, err := a.overlay.intersection(x.shape, g.shape)
	if err != nil {
		a.fail("what of a habitat lies on the site", x)
		x.clippedTo = nil
	} else if len(in) > 0 {
		x.onSite = a.newPiece(in)
	}
}

// patches divides the habitat on the ground so that every patch counts once at its share: Σ share·area over patches is the
// ground in flower, overlaps at the larger share. It answers the habitat's area, overlaps counted once, too.
//
// Habitats that overlap form a group. In a half-month, let f₁ ≥ f₂ ≥ … be the group's shares and U_k the union of the first k.
// The ground in flower is Σ f_k·(area(U_k) − area(U_{k−1})) = Σ (f_k − f_{k+1})·area(U_k), so each U_k is a patch with the
// share f_k − f_{k+1}, and the unions are made once for all half-months in which they are the same.
func (a *Assessor) patches(habitats []*facts) (all []*patch, area float64) {
	for _, group := range a.overlapping(habitats) {
		if len(group) == 1 {
			x := group[0]
			if x.onSite != nil {
				all = append(all, &patch{x.onSite, x.flowering})
				area += x.onSite.area
			}
			continue
		}
		if whole := a.union(group, group); whole != nil {
			area += whole.area
		}
		var made []*patch
		for h := range season.HalfMonths {
			order := slices.Clone(group)
			slices.SortStableFunc(order, func(x, y *facts) int { return compare(y.flowering[h], x.flowering[h]) })
			for k, x := range order {
				next := 0.0
				if k+1 < len(order) {
					next = order[k+1].flowering[h]
				}
				if x.flowering[h] <= next {
					continue
				}
				u := a.union(group, order[:k+1])
				if u == nil {
					continue
				}
				i := slices.IndexFunc(made, func(p *patch) bool { return p.piece == u })
				if i < 0 {
					i = len(made)
					made = append(made, &patch{piece: u})
				}
				made[i].share[h] += x.flowering[h] - next
			}
		}
		all = append(all, made...)
	}
	return all, area
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// union is the joined ground of some of a group's members, kept for as long as they are. They are joined in plan order, which
// decides the last bits of the outline.
func (a *Assessor) union(group, some []*facts) *piece {
	var parts []*piece
	for _, x := range group {
		if x.onSite != nil && slices.Contains(some, x) {
			parts = append(parts, x.onSite)
		}
	}
	var key string
	var shapes []orb.Geometry
	for _, p := range parts {
		key += strconv.Itoa(p.id) + " "
		shapes = append(shapes, p.shape)
	}
	if u, ok := a.unions[key]; ok {
		return u
	}
	var u *piece
	joined, err := a.overlay.union(shapes...)
	if err != nil {
		a.fail("the ground of habitats that overlap, counted once", some...)
		return nil
	}
	if len(joined) > 0 {
		u = a.newPiece(joined)
	}
	a.unions[key] = u
	return u
}

// overlapping parts habitats into groups that overlap one another, singles included, in plan order.
func (a *Assessor) overlapping(habitats []*facts) [][]*facts {
	root := make([]int, len(habitats))
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	for _, pair := range boxPairs(habitats) {
		i, j := pair[0], pair[1]
		if find(i) != find(j) && a.overlap(habitats[i], habitats[j]) > overlapM2 {
			root[max(find(i), find(j))] = min(find(i), find(j))
		}
	}
	groups := make([][]*facts, len(habitats))
	for i, x := range habitats {
		groups[find(i)] = append(groups[find(i)], x)
	}
	return slices.DeleteFunc(groups, func(g []*facts) bool { return len(g) == 0 })
}

// overlapM2 is ground that two shapes share without being said to overlap: the rounding of shared edges.
const overlapM2 = 1e-4

// boxPairs are the pairs of shapes whose boxes overlap, by index, smaller index first.
func boxPairs(list []*facts) [][2]int {
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int { return compare(list[i].bound.Min[0], list[j].bound.Min[0]) })
	var pairs [][2]int
	for n, i := range order {
		b := list[i].bound
		for _, j := range order[n+1:] {
			c := list[j].bound
			if c.Min[0] >= b.Max[0] {
				break
			}
			if c.Min[1] < b.Max[1] && b.Min[1] < c.Max[1] {
				pairs = append(pairs, [2]int{min(i, j), max(i, j)})
			}
		}
	}
	slices.SortFunc(pairs, func(p, q [2]int) int {
		if p[0] != q[0] {
			return p[0] - q[0]
		}
		return p[1] - q[1]
	})
	return pairs
}

// overlap is the ground in m² that two features share, kept for as long as both are.
func (a *Assessor) overlap(x, y *facts) float64 {
	key := [2]*facts{x, y}
	if v, ok := a.overlaps[key]; ok {
		return v
	}
	v := 0.0
	if d, _, _ := geometry.Closest(x.shape, y.shape); d == 0 {
		in, err := a.overlay.intersection(x.shape, y.shape)
		if err != nil {
			a.fail("the ground that two features share", x, y)
			return 0
		}
		v = geometry.Area(in)
	}
	a.overlaps[key] = v
	return v
}
