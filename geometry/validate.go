package geometry

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// An InvalidError says why a geometry is not a proper one, and where.
type InvalidError struct {
	Reason string    // "its outline crosses itself", …
	At     orb.Point // in metres
}

func (e *InvalidError) Error() string {
	if !finite(e.At) {
		return e.Reason
	}
	return fmt.Sprintf("%s at %.2f, %.2f m", e.Reason, e.At[0], e.At[1])
}

// Widest is the largest coordinate that Validate takes, in metres: far beyond any projection on Earth, and small enough
// that no measure overflows.
const Widest = 1e9

// Validate compares at most crossingBudget pairs of sides and crossingShare more for each side, so that an outline made
// to be slow is refused soon instead. Those that are drawn need about 16 a side.
const (
	crossingBudget = 1_000_000
	crossingShare  = 200
)

// Validate checks that a geometry is proper: coordinates finite and at most Widest; rings closed, with at least three
// corners and some area, not crossing or touching themselves; holes inside, apart from each other save for single points,
// not cutting the ground in two; parts of a multi-polygon apart likewise. A line needs two different points. The error is
// an *InvalidError.
//
// These are the rules of OGC Simple Feature Access (OGC 06-103r4, 6.1.11 and 6.1.14), and every test of sides is exact.
func Validate(g orb.Geometry) error {
	switch g := g.(type) {
	case nil:
		return &InvalidError{"it has no shape", orb.Point{math.NaN(), math.NaN()}}
	case orb.Collection:
		for _, part := range g {
			if err := Validate(part); err != nil {
				return err
			}
		}
		return nil
	}
	var bad *InvalidError
	paths := 0
	eachPath(g, func(path []orb.Point) {
		paths++
		for _, p := range path {
			if bad != nil {
				return
			}
			if !finite(p) {
				bad = &InvalidError{"a coordinate is not a finite number", p}
			} else if math.Abs(p[0]) > Widest || math.Abs(p[1]) > Widest {
				bad = &InvalidError{"a coordinate is too large", p}
			}
		}
	})
	if bad != nil {
		return bad
	}
	if paths == 0 {
		return &InvalidError{"it has no shape", orb.Point{math.NaN(), math.NaN()}}
	}
	switch g := g.(type) {
	case orb.LineString:
		return validLine(g)
	case orb.MultiLineString:
		for _, l := range g {
			if err := validLine(l); err != nil {
				return err
			}
		}
		return nil
	}
	polygons := Polygons(g)
	if len(polygons) == 0 {
		return nil
	}
	if bad := validPolygons(polygons); bad != nil {
		return bad
	}
	return nil
}

func validLine(l orb.LineString) error {
	for _, p := range l {
		if p != l[0] {
			return nil
		}
	}
	at := orb.Point{math.NaN(), math.NaN()}
	if len(l) > 0 {
		at = l[0]
	}
	return &InvalidError{"its line has no length", at}
}

func validPolygons(polygons []orb.Polygon) *InvalidError {
	var v validator
	for i, p := range polygons {
		if len(p) == 0 {
			return &InvalidError{"it has no outline", orb.Point{math.NaN(), math.NaN()}}
		}
		for k, r := range p {
			if bad := v.addRing(r, i, k > 0); bad != nil {
				return bad
			}
		}
	}
	if bad := v.crossings(); bad != nil {
		return bad
	}
	for i, p := range polygons {
		for k, hole := range p[1:] {
			if !ringWithin(hole, p[0]) {
				return &InvalidError{"a hole lies outside its outline", hole[0]}
			}
			for j, other := range p[1:] {
				if j != k && ringWithin(hole, other) {
					return &InvalidError{"a hole lies in another hole", hole[0]}
				}
			}
		}
		for j, other := range polygons {
			if i != j && overlaps(p, other) {
				return &InvalidError{"two of its parts overlap", p[0][0]}
			}
		}
	}
	return nil
}

// ringWithin tells whether ring a lies in ring b, given that they do not cross: by the first of its corners, or middles
// of its sides, that is not on b.
func ringWithin(a, b orb.Ring) bool {
	if !a.Bound().Intersects(b.Bound()) {
		return false
	}
	for i := range a {
		if side := ringSide(b, a[i]); side != 0 {
			return side > 0
		}
	}
	for i := 1; i < len(a); i++ {
		m := orb.Point{a[i-1][0]/2 + a[i][0]/2, a[i-1][1]/2 + a[i][1]/2}
		if side := ringSide(b, m); side != 0 {
			return side > 0
		}
	}
	return true // the same ring
}

// overlaps tells whether polygon a, whose rings do not cross b's, lies on b's ground.
func overlaps(a, b orb.Polygon) bool {
	if !ringWithin(a[0], b[0]) {
		return false
	}
	for _, hole := range b[1:] {
		if ringWithin(a[0], hole) {
			return false
		}
	}
	return true
}

// A validator compares the sides of all rings.
type validator struct {
	sides   []validSide
	ringOf  []ringInfo
	touches []touch
}

type validSide struct {
	a, b   orb.Point
	lo, hi orb.Point // its box
	ring   int32
	index  int32 // within the ring
}

type ringInfo struct {
	polygon int
	sides   int32
	first   int // its first side
	hole    bool
}

// A touch is a point where two rings meet.
type touch struct {
	at   orb.Point
	a, b int32 // sides
}

func (v *validator) addRing(r orb.Ring, polygon int, hole bool) *InvalidError {
	what := "its outline"
	if hole {
		what = "a hole"
	}
	if len(r) == 0 {
		return &InvalidError{what + " has no corners", orb.Point{math.NaN(), math.NaN()}}
	}
	if r[0] != r[len(r)-1] {
		return &InvalidError{what + " is not closed", r[len(r)-1]}
	}
	ring, first := int32(len(v.ringOf)), len(v.sides)
	for i := 1; i < len(r); i++ {
		if r[i-1] == r[i] {
			continue // a corner said twice does no harm
		}
		lo, hi := boxOf(r[i-1 : i+1])
		v.sides = append(v.sides, validSide{r[i-1], r[i], lo, hi, ring, int32(len(v.sides) - first)})
	}
	n := len(v.sides) - first
	if n < 3 {
		return &InvalidError{what + " has fewer than three corners", r[0]}
	}
	v.ringOf = append(v.ringOf, ringInfo{polygon, int32(n), first, hole})
	return nil
}

// crossings finds sides that meet where they must not.
func (v *validator) crossings() *InvalidError {
	n := len(v.sides)
	if n <= 64 { // comparing all is quicker than building a tree
		for i := range v.sides {
			for j := i + 1; j < n; j++ {
				if bad := v.pair(i, j); bad != nil {
					return bad
				}
			}
		}
		return v.checkTouches()
	}
	tree, order := packBoxes(n, func(i int) (lo, hi orb.Point) { return v.sides[i].lo, v.sides[i].hi })
	budget := crossingBudget + crossingShare*n
	for i := range v.sides {
		lo, hi := v.sides[i].lo, v.sides[i].hi
		var stack treeStack
		stack[0] = int32(len(tree.nodes) - 1)
		for top := 1; top > 0; {
			top--
			node := &tree.nodes[stack[top]]
			if boxDist2(node.min, node.max, lo, hi) > 0 {
				continue
			}
			for k := range int32(node.count) {
				if !node.leaf {
					stack[top] = node.first + k
					top++
					continue
				}
				j := int(order[node.first+k])
				if j <= i {
					continue
				}
				if budget--; budget < 0 {
					return &InvalidError{"its outline is too intricate to check", v.sides[i].a}
				}
				if bad := v.pair(i, j); bad != nil {
					return bad
				}
			}
		}
	}
	return v.checkTouches()
}

// pair compares two sides. Rings that touch in a point are noted for checkTouches.
func (v *validator) pair(i, j int) *InvalidError {
	s, t := &v.sides[i], &v.sides[j]
	if s.lo[0] > t.hi[0] || t.lo[0] > s.hi[0] || s.lo[1] > t.hi[1] || t.lo[1] > s.hi[1] {
		return nil
	}
	sa, sb := orient(t.a, t.b, s.a), orient(t.a, t.b, s.b)
	if sa*sb > 0 {
		return nil
	}
	ta, tb := orient(s.a, s.b, t.a), orient(s.a, s.b, t.b)
	if ta*tb > 0 {
		return nil
	}
	if sa == 0 && sb == 0 {
		return v.inLine(i, j)
	}
	if sa*sb < 0 && ta*tb < 0 {
		return v.crossing(i, j, meet(s, t))
	}
	// One has an end on the other.
	var at orb.Point
	switch {
	case sa == 0:
		at = s.a
	case sb == 0:
		at = s.b
	case ta == 0:
		at = t.a
	default:
		at = t.b
	}
	if s.ring == t.ring {
		if v.neighbours(s, t) {
			return nil
		}
		return &InvalidError{v.name(s.ring) + " touches itself", at}
	}
	v.touches = append(v.touches, touch{at, int32(i), int32(j)})
	return nil
}

// inLine compares two sides on one line.
func (v *validator) inLine(i, j int) *InvalidError {
	s, t := &v.sides[i], &v.sides[j]
	axis := 0
	if math.Abs(s.b[1]-s.a[1]) > math.Abs(s.b[0]-s.a[0]) {
		axis = 1
	}
	s0, s1 := s.a, s.b
	if s0[axis] > s1[axis] {
		s0, s1 = s1, s0
	}
	t0, t1 := t.a, t.b
	if t0[axis] > t1[axis] {
		t0, t1 = t1, t0
	}
	from, to := s0, s1
	if t0[axis] > from[axis] {
		from = t0
	}
	if t1[axis] < to[axis] {
		to = t1
	}
	switch {
	case from[axis] > to[axis]:
		return nil
	case from[axis] < to[axis] && s.ring == t.ring:
		return &InvalidError{v.name(s.ring) + " runs back along itself", from}
	case from[axis] < to[axis] && v.ringOf[s.ring].polygon == v.ringOf[t.ring].polygon:
		return &InvalidError{"a hole shares a side with another ring", from}
	case from[axis] < to[axis]:
		return &InvalidError{"two of its parts share a side", from}
	case s.ring != t.ring:
		v.touches = append(v.touches, touch{from, int32(i), int32(j)})
	case !v.neighbours(s, t):
		return &InvalidError{v.name(s.ring) + " touches itself", from}
	}
	return nil
}

// neighbours tells whether two sides of a ring follow each other, so that they may share a corner.
func (v *validator) neighbours(s, t *validSide) bool {
	n := v.ringOf[s.ring].sides
	d := (t.index - s.index + n) % n
	return d == 1 && s.b == t.a || d == n-1 && t.b == s.a
}

func (v *validator) name(ring int32) string {
	if v.ringOf[ring].hole {
		return "a hole"
	}
	return "its outline"
}

func (v *validator) crossing(i, j int, at orb.Point) *InvalidError {
	a, b := v.sides[i].ring, v.sides[j].ring
	switch {
	case a == b:
		return &InvalidError{v.name(a) + " crosses itself", at}
	case v.ringOf[a].polygon != v.ringOf[b].polygon:
		return &InvalidError{"two of its parts overlap", at}
	case v.ringOf[a].hole && v.ringOf[b].hole:
		return &InvalidError{"two holes overlap", at}
	}
	return &InvalidError{"a hole crosses its outline", at}
}

// meet is where two sides that cross do so.
func meet(s, t *validSide) orb.Point {
	a, b := cross(t.a, t.b, s.a), cross(t.a, t.b, s.b)
	f := a / (a - b)
	if !(f >= 0 && f <= 1) {
		f = 0.5
	}
	return orb.Point{s.a[0] + f*(s.b[0]-s.a[0]), s.a[1] + f*(s.b[1]-s.a[1])}
}

// checkTouches finds rings that cross in a corner, and rings that touch in so many points that they cut the ground in two.
func (v *validator) checkTouches() *InvalidError {
	for _, t := range v.touches {
		a0, a1 := v.around(t.at, int(t.a))
		b0, b1 := v.around(t.at, int(t.b))
		if between := inSector(t.at, a0, a1, b0); between != 0 && between == -inSector(t.at, a0, a1, b1) {
			return v.crossing(int(t.a), int(t.b), t.at)
		}
	}
	// Rings and the points where they touch make a graph; a cycle in it encloses ground that is cut off. Only rings of one
	// polygon matter, for parts may touch as they like.
	slices.SortFunc(v.touches, func(p, q touch) int {
		return cmp.Or(cmp.Compare(p.at[0], q.at[0]), cmp.Compare(p.at[1], q.at[1]))
	})
	parent := make([]int, len(v.ringOf), len(v.ringOf)+len(v.touches))
	for i := range parent {
		parent[i] = i
	}
	find := func(i int) int {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	type join struct{ point, ring int }
	seen := map[join]bool{}
	nodes := map[orb.Point]map[int]int{} // touch point, polygon: node
	for _, t := range v.touches {
		pa, pb := v.ringOf[v.sides[t.a].ring].polygon, v.ringOf[v.sides[t.b].ring].polygon
		if pa != pb {
			continue
		}
		if nodes[t.at] == nil {
			nodes[t.at] = map[int]int{}
		}
		node, known := nodes[t.at][pa]
		if !known {
			node = len(parent)
			parent = append(parent, node)
			nodes[t.at][pa] = node
		}
		for _, ring := range [2]int{int(v.sides[t.a].ring), int(v.sides[t.b].ring)} {
			if seen[join{node, ring}] {
				continue
			}
			seen[join{node, ring}] = true
			x, y := find(node), find(ring)
			if x == y {
				return &InvalidError{"holes cut its ground in two", t.at}
			}
			parent[x] = y
		}
	}
	return nil
}

// around gives the corners before and after a point on a ring, given a side that holds the point.
func (v *validator) around(at orb.Point, side int) (before, after orb.Point) {
	s := &v.sides[side]
	info := v.ringOf[s.ring]
	step := func(by int32) *validSide {
		return &v.sides[info.first+int((s.index+by+info.sides)%info.sides)]
	}
	switch at {
	case s.a:
		return step(-1).a, s.b
	case s.b:
		return s.a, step(1).b
	}
	return s.a, s.b
}

// inSector tells whether the direction from at to p lies strictly between those to a and to b, going anticlockwise from b
// to a: +1 so, -1 strictly on the other side, 0 along one of them.
func inSector(at, a, b, p orb.Point) int {
	left, right := orient(at, b, p), orient(at, a, p)
	along := func(q orb.Point, side int) bool {
		return side == 0 && (q[0]-at[0])*(p[0]-at[0])+(q[1]-at[1])*(p[1]-at[1]) > 0
	}
	if along(b, left) || along(a, right) {
		return 0
	}
	inside := left > 0 && right < 0
	if orient(at, b, a) < 0 || orient(at, b, a) == 0 && left > 0 { // the sector is half a turn or more
		inside = left > 0 || right < 0
	}
	if inside {
		return 1
	}
	return -1
}
