package geometry

import (
	"cmp"
	"context"
	"math"
	"runtime"
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/geometry/parallel"
)

// walkTile is the side in cells of the squares that Field hands to its workers: few enough cells that most squares lie far from
// every obstacle, or near to few bends.
const walkTile = 16

// Field is Sites' Field on foot: the length in metres of the shortest way from each cell's centre to a site, +Inf where none
// exists, as inside an obstacle. Ways longer than limit metres (+Inf: none) are not worked out: what such a cell gets is some
// length greater than limit.
//
// The straight distances come first. They hold wherever no obstacle comes nearer than the farthest cell of a square is from its
// site, and wherever the straight line is clear. What is left lies in the shadow of an obstacle. There the way that the cell
// before took, which mostly is clear from here too, bounds the search among bends and sites, and of those that would be shorter the
// shortest that is in sight is the way.
func (w *Ways) Field(ctx context.Context, b orb.Bound, nx, ny int, limit float64, out []float32) error {
	if err := w.sites.Field(ctx, b, nx, ny, out); err != nil || len(w.bars) == 0 || w.sites.empty() {
		return err
	}
	g := fieldGrid{
		nx: nx, out: out,
		west: b.Min[0] - w.origin[0], north: b.Max[1] - w.origin[1],
		dx: (b.Max[0] - b.Min[0]) / float64(nx), dy: (b.Max[1] - b.Min[1]) / float64(ny),
	}
	across, down := (nx+walkTile-1)/walkTile, (ny+walkTile-1)/walkTile
	parallel.Each(runtime.GOMAXPROCS(0), across*down, func(tile int) {
		x0, y0 := tile%across*walkTile, tile/across*walkTile
		s := walkSquare{w: w, grid: &g, limit: limit, x0: x0, y0: y0, x1: min(x0+walkTile, nx), y1: min(y0+walkTile, ny)}
		if s.shaded() {
			s.fill(ctx)
		}
	})
	return ctx.Err()
}

// A walkSquare is a square of a field's cells.
type walkSquare struct {
	w              *Ways
	grid           *fieldGrid
	limit          float64
	x0, y0, x1, y1 int
	lo, hi         orb.Point // the box of the cells' centres
	bars           []*piece  // of obstacles, that a cell's centre can lie in
	bends          []hop     // that ways from here can go to, the likeliest first; nil until asked for
	found          bool      // bends is complete
	last           goal      // of the cell before
	known          bool      // last is set
	room           []hop
	near           []*piece
}

// A hop is a way's first leg.
type hop struct {
	goal   goal
	metres float64 // of the whole way, or a bound below it
}

// shaded tells whether an obstacle comes so near that it can stand in a straight line from a cell.
func (s *walkSquare) shaded() bool {
	g := s.grid
	corners := g.corners(s.x0, s.y0, s.x1, s.y1)
	s.lo, s.hi = boxOf(corners[:])
	far := 0.0
	for y := s.y0; y < s.y1; y++ {
		for _, d := range g.out[y*g.nx+s.x0 : y*g.nx+s.x1] {
			if v := float64(d); v <= s.limit {
				far = max(far, v)
			}
		}
	}
	far *= 1 + 1e-6 // the field is in single precision
	near := false
	pad := orb.Point{far, far}
	lo, hi := orb.Point{s.lo[0] - pad[0], s.lo[1] - pad[1]}, orb.Point{s.hi[0] + pad[0], s.hi[1] + pad[1]}
	s.w.barTree.each(lo, hi, func(i int) {
		p := &s.w.bars[i]
		d2 := boxDist2(p.min, p.max, s.lo, s.hi)
		near = near || d2 <= far*far
		if d2 == 0 {
			s.bars = append(s.bars, p)
		}
	})
	return near
}

func (s *walkSquare) fill(ctx context.Context) {
	g := s.grid
	for y := s.y0; y < s.y1; y++ {
		if ctx.Err() != nil {
			return
		}
		for x := s.x0; x < s.x1; x++ {
			d := &g.out[y*g.nx+x]
			if float64(*d) > s.limit {
				continue
			}
			at := g.centre(x, y)
			switch p, _ := s.w.sites.nearestTo(at[0], at[1]); {
			case s.barred(at):
				*d = float32(math.Inf(1))
			case *d > 0 && !s.w.clear(at, p.nearest(at[0], at[1])):
				*d = float32(s.walk(at))
			}
		}
	}
}

// barred tells whether a point lies in an obstacle.
func (s *walkSquare) barred(at orb.Point) bool {
	return slices.ContainsFunc(s.bars, func(p *piece) bool { return p.holds(at) })
}

// walk is the length of the shortest way from a point from which the straight line is barred.
func (s *walkSquare) walk(at orb.Point) float64 {
	w := s.w
	s.candidates()
	best := s.limit
	if s.known {
		if d := s.last.from(at); d < best && s.passes(&s.last, at) && w.clear(at, s.last.foot(at)) {
			best = d
		} else {
			s.known = false
		}
	}
	s.room = s.room[:0]
	for i := range s.bends {
		h := &s.bends[i]
		if h.metres >= best {
			break
		}
		if d := h.goal.from(at); d < best && s.passes(&h.goal, at) {
			s.room = append(s.room, hop{h.goal, d})
		}
	}
	best = s.shortest(at, best)
	s.room = s.room[:0]
	s.near = w.sites.gather(s.near[:0], at, at, min(best, 1+2*w.sites.extent(at)))
	for _, p := range s.near {
		if d := math.Sqrt(p.dist2(at[0], at[1])); d < best {
			s.room = append(s.room, hop{goal{piece: p}, d})
		}
	}
	best = s.shortest(at, best)
	if !s.known && s.limit < math.Inf(1) {
		return s.limit * (1 + 1e-6)
	}
	return best
}

// shortest is the length of the shortest of the hops that is in sight, if that is less than best.
func (s *walkSquare) shortest(at orb.Point, best float64) float64 {
	slices.SortFunc(s.room, func(a, b hop) int { return cmp.Compare(a.metres, b.metres) })
	for i := range s.room {
		h := &s.room[i]
		if s.w.clear(at, h.goal.foot(at)) {
			s.last, s.known = h.goal, true
			return h.metres
		}
	}
	return best
}

func (s *walkSquare) passes(t *goal, at orb.Point) bool {
	return t.piece != nil || s.w.bends[t.bend].passes(at)
}

// candidates lists the bends that lie near enough, once.
func (s *walkSquare) candidates() {
	if s.found {
		return
	}
	s.found = true
	s.w.reckon()
	for i := range s.w.bends {
		b := &s.w.bends[i]
		if least := b.metres + math.Sqrt(boxDist2(b.at, b.at, s.lo, s.hi)); least < s.limit {
			s.bends = append(s.bends, hop{b.goal(int32(i)), least})
		}
	}
	slices.SortFunc(s.bends, func(a, b hop) int { return cmp.Compare(a.metres, b.metres) })
}
