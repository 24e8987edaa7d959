package geometry

import (
	"cmp"
	"container/heap"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// A goal is what a straight leg can go to: a convex piece of a site, or a bend (piece nil), from where the way goes on.
type goal struct {
	piece  *piece
	at     orb.Point // of a bend
	metres float64   // on from the bend
	bend   int32
}

// foot is where a straight leg from p ends.
func (t *goal) foot(p orb.Point) orb.Point {
	if t.piece != nil {
		return t.piece.nearest(p[0], p[1])
	}
	return t.at
}

// from is the length of the way from p by a straight leg, whether that is clear or not: a convex function of p.
func (t *goal) from(p orb.Point) float64 {
	if t.piece != nil {
		return math.Sqrt(t.piece.dist2(p[0], p[1]))
	}
	return distance(p, t.at) + t.metres
}

// A bend is a corner that points out of an obstacle.
type bend struct {
	at            orb.Point
	before, after orb.Point // the neighbouring corners
	metres        float64   // the way on to a site; +Inf where there is none
	next          goal      // where that goes first
}

func (b *bend) goal(i int32) goal { return goal{at: b.at, metres: b.metres, bend: i} }

func bendsOf(p orb.Polygon) []bend {
	var bends []bend
	for k, r := range p {
		walls := wallsOf(r, k > 0, 0)
		for i, s := range walls {
			before := walls[(i+len(walls)-1)%len(walls)].from
			if orient(before, s.from, s.to) > 0 {
				bends = append(bends, bend{at: s.from, before: before, after: s.to, metres: math.Inf(1)})
			}
		}
	}
	return bends
}

// passes tells whether a leg between p and the bend can be part of a way that bends there: whether its line passes by the
// obstacle's corner, rather than into it.
func (b *bend) passes(p orb.Point) bool {
	dx, dy := p[0]-b.at[0], p[1]-b.at[1]
	length := math.Sqrt(dx*dx + dy*dy)
	if length < 100*slack {
		return true // too short to have a direction
	}
	limit := slack * length
	u := dx*(b.before[1]-b.at[1]) - dy*(b.before[0]-b.at[0])
	v := dx*(b.after[1]-b.at[1]) - dy*(b.after[0]-b.at[0])
	return !(u > limit && v < -limit || u < -limit && v > limit)
}

// reckon works out how far on it is from every bend. Most bends see the nearest site: nothing is shorter than that. For those in
// the shadow of an obstacle it goes on by Dijkstra's algorithm (Numerische Mathematik 1, 1959, doi 10.1007/BF01386390) from all
// others at once. Sight is tested only when a leg comes up as the shortest one left, and pieces of sites are looked up ever
// farther away, so that a bend asks only for those nearer than its way is long.
func (w *Ways) reckon() {
	w.reckoned.Do(func() {
		var shadowed []shadow
		var lit []int32
		for i := range w.bends {
			b := &w.bends[i]
			s := shadow{bend: int32(i), legs: legSearch{w: w, at: b.at}}
			l, ok := s.legs.next()
			if !ok {
				continue
			}
			foot := l.piece.nearest(b.at[0], b.at[1])
			switch {
			case !w.clear(b.at, foot):
				shadowed = append(shadowed, s)
			case b.passes(foot): // else no shortest way bends here
				b.metres, b.next = l.metres, goal{piece: l.piece}
				lit = append(lit, int32(i))
			}
		}
		var open legHeap
		straight := func(s *shadow) {
			if l, ok := s.legs.next(); ok {
				l.bend = s.bend
				heap.Push(&open, l)
			}
		}
		around := func(s *shadow) {
			if l, ok := w.by(s, lit); ok {
				s.tried, s.begun = l, true
				heap.Push(&open, l)
			}
		}
		index := make(map[int32]*shadow, len(shadowed))
		for i := range shadowed {
			s := &shadowed[i]
			index[s.bend] = s
			straight(s)
			around(s)
		}
		for len(open) > 0 {
			l := heap.Pop(&open).(leg)
			b, s := &w.bends[l.bend], index[l.bend]
			if b.metres < math.Inf(1) {
				continue
			}
			to := goal{piece: l.piece}
			if l.piece == nil {
				to = w.bends[l.via].goal(l.via)
			}
			if foot := to.foot(b.at); !b.passes(foot) || !w.clear(b.at, foot) {
				switch {
				case l.piece != nil:
					straight(s)
				case l == s.tried:
					around(s)
				}
				continue
			}
			b.metres, b.next = l.metres, to
			for i := range shadowed {
				c := &w.bends[shadowed[i].bend]
				if math.IsInf(c.metres, 1) && b.passes(c.at) && c.passes(b.at) {
					heap.Push(&open, leg{metres: b.metres + distance(b.at, c.at), bend: shadowed[i].bend, via: l.bend})
				}
			}
		}
	})
}

// A shadow is a bend that does not see the site nearest to it.
type shadow struct {
	bend  int32
	legs  legSearch
	tried leg // the last of those by way of lit bends, once begun
	begun bool
}

// by is the shortest leg by way of one of the bends that comes after the last one tried.
func (w *Ways) by(s *shadow, lit []int32) (next leg, ok bool) {
	c := &w.bends[s.bend]
	for _, i := range lit {
		b := &w.bends[i]
		l := leg{metres: b.metres + distance(b.at, c.at), bend: s.bend, via: i}
		if (!s.begun || compareLegs(l, s.tried) > 0) && (!ok || compareLegs(l, next) < 0) && b.passes(c.at) && c.passes(b.at) {
			next, ok = l, true
		}
	}
	return next, ok
}

// A leg is the first of a way from a point or a bend, straight to a piece of a site or (piece nil) by way of another bend.
type leg struct {
	metres    float64
	piece     *piece
	bend, via int32
}

func compareLegs(a, b leg) int {
	order := cmp.Or(cmp.Compare(a.metres, b.metres), cmp.Compare(a.bend, b.bend), cmp.Compare(a.via, b.via))
	if order != 0 || a.piece == nil || b.piece == nil {
		return order
	}
	return cmp.Or(cmp.Compare(a.piece.site, b.piece.site), cmp.Compare(a.piece.id, b.piece.id))
}

type legHeap []leg

func (h legHeap) Len() int           { return len(h) }
func (h legHeap) Less(i, j int) bool { return compareLegs(h[i], h[j]) < 0 }
func (h legHeap) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *legHeap) Push(x any)        { *h = append(*h, x.(leg)) }
func (h *legHeap) Pop() any {
	n := len(*h) - 1
	last := (*h)[n]
	*h = (*h)[:n]
	return last
}

// A legSearch lists the straight legs from a point to the pieces of sites, the shortest first, clear or not.
type legSearch struct {
	w       *Ways
	at      orb.Point
	first   *piece // listed first: mostly no more are asked for
	nearest float64
	ready   []leg
	reach   float64 // all legs up to this long have been listed or are ready; -1 while only the first has
	done    bool
}

func (s *legSearch) next() (leg, bool) {
	if s.first == nil {
		p, d2 := s.w.sites.nearestTo(s.at[0], s.at[1])
		s.first, s.nearest, s.reach = p, math.Sqrt(d2), -1
		return leg{metres: s.nearest, piece: p}, true
	}
	for len(s.ready) == 0 {
		if s.done {
			return leg{}, false
		}
		s.widen()
	}
	l := s.ready[0]
	s.ready = s.ready[1:]
	return l, true
}

// widen lists the legs of the next ring, as wide as what it surrounds.
func (s *legSearch) widen() {
	sites := s.w.sites
	past := s.reach
	s.reach = max(2*past, 1+2*s.nearest)
	s.ready = s.ready[:0]
	for _, p := range sites.gather(nil, s.at, s.at, s.reach) {
		if d := math.Sqrt(p.dist2(s.at[0], s.at[1])); past < d && d <= s.reach && p != s.first {
			s.ready = append(s.ready, leg{metres: d, piece: p})
		}
	}
	slices.SortFunc(s.ready, compareLegs)
	s.done = !(s.reach < sites.extent(s.at))
}

// extent is a distance from a point that no site lies beyond.
func (s *Sites) extent(p orb.Point) float64 {
	far := 0.0
	reach := func(lo, hi orb.Point) {
		far = max(far, math.Hypot(max(p[0]-lo[0], hi[0]-p[0]), max(p[1]-lo[1], hi[1]-p[1])))
	}
	if len(s.tree.nodes) > 0 {
		reach(s.tree.bounds())
	}
	for i := range s.extra {
		reach(s.extra[i].min, s.extra[i].max)
	}
	return far
}
