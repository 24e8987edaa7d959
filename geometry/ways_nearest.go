package geometry

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Nearest is the length of the shortest way from any point of the shape to any site, and where it begins and ends; 0 where
// they touch or overlap.
func (w *Ways) Nearest(g orb.Geometry) Span {
	span := w.sites.Nearest(g)
	if span.Site < 0 || span.Metres == 0 {
		return span
	}
	if w = w.Open(g); w.clear(w.inner(span.From), w.inner(span.To)) {
		return span
	}
	w.reckon()
	type start struct {
		metres float64
		from   orb.Point
		goal   goal
	}
	var starts []start
	shortest := start{metres: math.Inf(1)}
	choose := func() {
		slices.SortStableFunc(starts, func(a, b start) int { return cmp.Compare(a.metres, b.metres) })
		for _, s := range starts {
			if s.metres >= shortest.metres {
				break
			}
			if w.clear(s.from, s.goal.foot(s.from)) {
				shortest = s
			}
		}
		starts = starts[:0]
	}
	cells := w.cells(g)
	for i := range w.bends {
		b := &w.bends[i]
		if math.IsInf(b.metres, 1) {
			continue
		}
		for _, cell := range cells {
			from := cell.nearest(b.at[0], b.at[1])
			starts = append(starts, start{distance(from, b.at) + b.metres, from, b.goal(int32(i))})
		}
	}
	choose()
	for _, cell := range cells {
		for _, p := range w.sites.gather(nil, cell.min, cell.max, shortest.metres) {
			d2, from, _ := between(cell, p)
			starts = append(starts, start{math.Sqrt(d2), from, goal{piece: p}})
		}
	}
	choose()
	if math.IsInf(shortest.metres, 1) {
		return nowhere
	}
	return w.span(shortest.from, shortest.goal, shortest.metres)
}

// span describes the way that begins at a point and goes to a goal first.
func (w *Ways) span(from orb.Point, t goal, metres float64) Span {
	at := from
	for t.piece == nil {
		at, t = t.at, w.bends[t.bend].next
	}
	return Span{Metres: metres, Site: int(t.piece.site), From: w.outer(from), To: w.outer(t.foot(at))}
}

func (w *Ways) outer(p orb.Point) orb.Point { return orb.Point{p[0] + w.origin[0], p[1] + w.origin[1]} }
