package geometry

import (
	"context"
	"fmt"
	"math"
	"runtime"

	"github.com/paulmach/orb"

	"hedgereach/geometry/parallel"
)

// fieldTile is the side in cells of the squares that Field hands to its workers.
const fieldTile = 64

// Field fills out (nx × ny, row by row from the top, north first) with the distance in metres from each cell's centre to
// the nearest site, +Inf without sites. It runs on all cores and stops early when ctx ends, answering ctx's error; what out
// then holds is not of use. out must have room for nx·ny.
func (s *Sites) Field(ctx context.Context, b orb.Bound, nx, ny int, out []float32) error {
	if nx <= 0 || ny <= 0 || len(out)/nx < ny {
		return fmt.Errorf("a grid of %d × %d cells does not fit in %d", nx, ny, len(out))
	}
	if s.empty() {
		for i := range out[:nx*ny] {
			out[i] = float32(math.Inf(1))
		}
		return ctx.Err()
	}
	f := fieldGrid{
		nx: nx, out: out,
		west: b.Min[0] - s.origin[0], north: b.Max[1] - s.origin[1],
		dx: (b.Max[0] - b.Min[0]) / float64(nx), dy: (b.Max[1] - b.Min[1]) / float64(ny),
	}
	across, down := (nx+fieldTile-1)/fieldTile, (ny+fieldTile-1)/fieldTile
	parallel.Each(runtime.GOMAXPROCS(0), across*down, func(tile int) {
		if ctx.Err() != nil {
			return
		}
		c := scratches.Get().(*scratch)
		x0, y0 := tile%across*fieldTile, tile/across*fieldTile
		x1, y1 := min(x0+fieldTile, nx), min(y0+fieldTile, ny)
		corners := f.corners(x0, y0, x1, y1)
		c.near = c.near[:0]
		f.fill(c, s.around(c, corners[:], math.Inf(1)), x0, y0, x1, y1)
		scratches.Put(c)
	})
	return ctx.Err()
}

type fieldGrid struct {
	out                 []float32
	nx                  int
	west, north, dx, dy float64
}

func (f *fieldGrid) centre(x, y int) orb.Point {
	return orb.Point{f.west + (float64(x)+0.5)*f.dx, f.north - (float64(y)+0.5)*f.dy}
}

// corners are the centres of the corner cells of a block: only centres are measured, so the block need reach no farther.
func (f *fieldGrid) corners(x0, y0, x1, y1 int) [4]orb.Point {
	a, b := f.centre(x0, y0), f.centre(x1-1, y1-1)
	return [4]orb.Point{a, {b[0], a[1]}, b, {a[0], b[1]}}
}

// fill measures a block of cells, quartering it until one formula holds throughout or there are few cells left.
func (f *fieldGrid) fill(c *scratch, near []*piece, x0, y0, x1, y1 int) {
	w, h := x1-x0, y1-y0
	if w*h > 4 {
		corners := f.corners(x0, y0, x1, y1)
		if len(near) > 1 {
			near = near[:c.thin(corners[:], near)]
		}
		if len(near) == 1 && f.fillPlain(near[0], corners[:], x0, y0, x1, y1) {
			return
		}
	}
	if w*h <= 16 {
		for y := y0; y < y1; y++ {
			row := f.out[y*f.nx+x0 : y*f.nx+x1]
			for i := range row {
				at := f.centre(x0+i, y)
				d := near[0].dist2(at[0], at[1])
				for _, p := range near[1:] {
					d = min(d, p.dist2(at[0], at[1]))
				}
				row[i] = float32(math.Sqrt(d))
			}
		}
		return
	}
	stacked := len(c.near)
	xm, ym := x0+(w+1)/2, y0+(h+1)/2
	for _, q := range [4][4]int{{x0, y0, xm, ym}, {xm, y0, x1, ym}, {x0, ym, xm, y1}, {xm, ym, x1, y1}} {
		if q[0] == q[2] || q[1] == q[3] {
			continue
		}
		c.near = append(c.near, near...)
		f.fill(c, c.near[stacked:], q[0], q[1], q[2], q[3])
		c.near = c.near[:stacked]
	}
}

// thin is a quicker prune: it tries every piece against the one nearest to the middle only. The pieces kept come first.
func (c *scratch) thin(corners []orb.Point, near []*piece) (kept int) {
	centre := middle(corners)
	c.feet, c.dist = c.feet[:0], c.dist[:0]
	first, least := 0, math.Inf(1)
	for i, p := range near {
		foot := p.nearest(centre[0], centre[1])
		dx, dy := centre[0]-foot[0], centre[1]-foot[1]
		d2 := dx*dx + dy*dy
		if d2 < least {
			first, least = i, d2
		}
		c.feet = append(c.feet, orb.Point{dx, dy})
	}
	for _, v := range corners {
		c.dist = append(c.dist, math.Sqrt(near[first].dist2(v[0], v[1])))
	}
	for i, p := range near {
		dx, dy := c.feet[i][0], c.feet[i][1]
		d := math.Sqrt(dx*dx + dy*dy)
		below := i == first
		for k := 0; k < len(corners) && !below; k++ {
			along := 0.0
			if d > 0 {
				along = (dx*(corners[k][0]-centre[0]) + dy*(corners[k][1]-centre[1])) / d
			}
			below = d+along < c.dist[k]
		}
		if below {
			near[kept] = p
			kept++
		}
	}
	return kept
}

// fillPlain fills a block all of whose cells are nearest to one side of the piece, or to one of its corners, or inside
// it, and says whether it is such a block. The ground nearest to a given side or corner is convex, so it is enough to
// look at the block's corners.
func (f *fieldGrid) fillPlain(p *piece, corners []orb.Point, x0, y0, x1, y1 int) bool {
	part, side := p.part(corners[0][0], corners[0][1])
	for _, v := range corners[1:] {
		if at, k := p.part(v[0], v[1]); at != part || k != side {
			return false
		}
	}
	e := &p.edges[side]
	at := f.centre(x0, y0)
	for y := y0; y < y1; y++ {
		row := f.out[y*f.nx+x0 : y*f.nx+x1]
		dx, dy := at[0]-e.ax, f.centre(0, y)[1]-e.ay
		switch part {
		case onInside:
			clear(row)
		case onSide:
			s, step := dx*e.nx+dy*e.ny, f.dx*e.nx
			for i := range row {
				row[i] = float32(math.Abs(s + float64(i)*step))
			}
		default:
			dy2 := dy * dy
			if part == onEnd {
				end := e.at(e.length)
				dx, dy2 = at[0]-end[0], (at[1]-float64(y-y0)*f.dy-end[1])*(at[1]-float64(y-y0)*f.dy-end[1])
			}
			for i := range row {
				x := dx + float64(i)*f.dx
				row[i] = float32(math.Sqrt(x*x + dy2))
			}
		}
	}
	return true
}
