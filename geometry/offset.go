package geometry

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sync/atomic"

	"github.com/paulmach/orb"
)

// joins counts the offsets that had to be made by an overlay; tests see that they stay rare.
var joins atomic.Int64

// Offset is the ground within r metres of any site as polygons, arcs flattened to within tol metres (0: 1 cm). The
// corners of flattened arcs lie on the arc, so that the ground is never too large.
//
// Its outline is made of the sides of the convex pieces, moved out by r, and of arcs about their corners, without what
// another piece covers. What is left of them is strung together end to end.
func (s *Sites) Offset(r, tol float64) (orb.MultiPolygon, error) {
	if s.empty() {
		return nil, nil
	}
	if !(r >= 0 && r <= Widest) || !(tol >= 0) {
		return nil, fmt.Errorf("a range of %v m flattened to %v m: give finite numbers, not negative", r, tol)
	}
	if tol == 0 {
		tol = arcTolerance
	}
	all, ok := s.traceOffset(r, tol)
	if !ok {
		joins.Add(1)
		var parts []orb.Geometry
		n := max(16, arcSegments(r, 2*math.Pi, tol))
		for _, p := range s.everyPiece() {
			if r > 0 || len(p.edges) > 1 {
				parts = append(parts, p.outline(r, n))
			}
		}
		var err error
		if all, err = Union(parts...); err != nil {
			return nil, fmt.Errorf("drawing the ground within %g m: %w", r, err)
		}
	}
	for _, p := range all {
		for _, ring := range p {
			for i, v := range ring {
				ring[i] = s.home(v)
			}
		}
	}
	return all, nil
}

// everyPiece lists the pieces in the order of their sites.
func (s *Sites) everyPiece() []*piece {
	var all []*piece
	for i := range s.pieces {
		if p := &s.pieces[i]; !s.hides(p.site) {
			all = append(all, p)
		}
	}
	for i := range s.extra {
		all = append(all, &s.extra[i])
	}
	slices.SortFunc(all, func(a, b *piece) int {
		if a.before(b) {
			return -1
		}
		return 1
	})
	return all
}

// A stroke is a stretch of the outline: of an arc, or where that has no radius straight.
type stroke struct {
	from, to orb.Point
	arc      arc
	part     interval
	used     bool
}

// closeEnough is how far apart in metres the end of one stroke and the start of the next may be; it is also the side of the
// squares by which they are found.
const closeEnough = 1e-5

func nook(p orb.Point) [2]int64 {
	return [2]int64{int64(math.Floor(p[0] / closeEnough)), int64(math.Floor(p[1] / closeEnough))}
}

// traceOffset is not ok where the strokes do not close up to proper rings.
func (s *Sites) traceOffset(r, tol float64) (orb.MultiPolygon, bool) {
	strokes := s.strokes(r)
	starts := make(map[[2]int64][]int32, len(strokes))
	for i := range strokes {
		at := nook(strokes[i].from)
		starts[at] = append(starts[at], int32(i))
	}
	next := func(end orb.Point) *stroke {
		var best *stroke
		least := closeEnough
		at := nook(end)
		for dx := int64(-1); dx <= 1; dx++ {
			for dy := int64(-1); dy <= 1; dy++ {
				for _, k := range starts[[2]int64{at[0] + dx, at[1] + dy}] {
					if d := distance(strokes[k].from, end); d < least && !strokes[k].used {
						best, least = &strokes[k], d
					}
				}
			}
		}
		return best
	}
	var outlines, holes []orb.Ring
	for i := range strokes {
		if strokes[i].used {
			continue
		}
		start := strokes[i].from
		var ring orb.Ring
		for k := &strokes[i]; k != nil; k = next(k.to) {
			k.used = true
			ring = k.flatten(ring, tol)
		}
		if distance(ring[len(ring)-1], start) > closeEnough {
			return nil, false
		}
		ring[len(ring)-1] = ring[0]
		ring = slices.CompactFunc(ring, func(a, b orb.Point) bool { return distance(a, b) < closeEnough/10 })
		if len(ring) < 4 {
			continue // a chink narrower than the joints
		}
		ring[len(ring)-1] = ring[0]
		if area := signedArea(ring); area > 0 {
			outlines = append(outlines, ring)
		} else if area < 0 {
			holes = append(holes, ring)
		}
	}
	all := make(orb.MultiPolygon, len(outlines))
	bounds := make([]orb.Bound, len(outlines))
	for i, ring := range outlines {
		all[i], bounds[i] = orb.Polygon{ring}, ring.Bound()
	}
	for _, hole := range holes {
		in := -1
		for i, b := range bounds {
			if b.Contains(hole[0]) && (in < 0 || bounds[in].Contains(b.Center())) && ringWithin(hole, outlines[i]) {
				in = i
			}
		}
		if in < 0 {
			return nil, false
		}
		all[in] = append(all[in], hole)
	}
	return all, Validate(all) == nil
}

// strokes are the stretches of sides and arcs that bound the ground within r.
func (s *Sites) strokes(r float64) []stroke {
	pieces := s.everyPiece()
	reach := r
	for _, p := range pieces {
		reach = max(reach, math.Abs(p.min[0]), math.Abs(p.min[1]), math.Abs(p.max[0]), math.Abs(p.max[1]))
	}
	reach += max(math.Abs(s.origin[0]), math.Abs(s.origin[1]))
	// Radii are set apart as in AreaWithin.
	step := max(leastSpread, reach*0x1p-50)
	radius := make(map[*piece]float64, len(pieces))
	for i, p := range pieces {
		radius[p] = r + step*float64(i+1)
	}
	widest := r + step*float64(len(pieces)+1)
	c := scratches.Get().(*scratch)
	defer scratches.Put(c)
	w := &c.area
	var all []stroke
	for _, p := range pieces {
		ri := radius[p]
		c.near = s.gather(c.near[:0], p.min, p.max, 2*widest)
		// The nearest first, for they cover the most.
		apart := func(q *piece) float64 {
			return math.Abs(p.min[0]+p.max[0]-q.min[0]-q.max[0]) + math.Abs(p.min[1]+p.max[1]-q.min[1]-q.max[1])
		}
		slices.SortStableFunc(c.near, func(a, b *piece) int { return cmp.Compare(apart(a), apart(b)) })
		p.outer(func(e edge) {
			e.ax, e.ay = e.ax+ri*e.nx, e.ay+ri*e.ny
			end := e.at(e.length)
			lo, hi := boxOf([]orb.Point{{e.ax, e.ay}, end})
			w.parts = append(w.parts[:0], interval{0, e.length})
			for _, q := range c.near {
				if q == p || boxDist2(lo, hi, q.min, q.max) > widest*widest {
					continue
				}
				if from, to := q.covers(e.ax, e.ay, -e.ny, e.nx, e.length, radius[q]); from < to {
					if w.subtract(interval{from, to}); len(w.parts) == 0 {
						return
					}
				}
			}
			for _, part := range w.parts {
				all = append(all, stroke{from: e.at(part.from), to: e.at(part.to)})
			}
		}, func(a arc) {
			a.r = ri
			w.parts = append(w.parts[:0], interval{0, a.sweep})
			for _, q := range c.near {
				if q == p {
					continue
				}
				w.covers = w.covers[:0]
				w.coverArc(a, q, radius[q])
				for _, v := range w.covers {
					w.subtract(v)
				}
				if len(w.parts) == 0 {
					return
				}
			}
			for _, part := range w.parts {
				all = append(all, stroke{from: a.at(part.from), to: a.at(part.to), arc: a, part: part})
			}
		}, nil)
	}
	return all
}

// flatten adds the stroke's points to a ring.
func (k *stroke) flatten(ring orb.Ring, tol float64) orb.Ring {
	ring = append(ring, k.from)
	if k.arc.r > 0 {
		sweep := k.part.to - k.part.from
		n := arcSegments(k.arc.r, sweep, tol)
		for i := 1; i < n; i++ {
			ring = append(ring, k.arc.at(k.part.from+sweep*float64(i)/float64(n)))
		}
	}
	return append(ring, k.to)
}
