package geometry

import (
	"cmp"
	"container/heap"
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
		metres  float64
		goal    goal
		from    orb.Point
		via, to orb.Point // where the first leg and the way end
	}
	var starts []start
	cells := w.cells(g)
	for i := range w.bends {
		b := &w.bends[i]
		if math.IsInf(b.metres, 1) {
			continue
		}
		for _, cell := range cells {
			from := cell.nearest(b.at[0], b.at[1])
			starts = append(starts, start{metres: distance(from, b.at) + b.metres, goal: b.goal(int32(i)), from: from, via: b.at})
		}
	}
	shortest := start{metres: math.Inf(1)}
	walk := func() {
		slices.SortStableFunc(starts, func(a, b start) int { return cmp.Compare(a.metres, b.metres) })
		for _, s := range starts {
			if s.metres >= shortest.metres {
				break
			}
			if w.clear(s.from, s.via) {
				shortest = s
			}
		}
	}
	walk()
	starts = starts[:0]
	for _, cell := range cells {
		for _, p := range w.sites.gather(nil, cell.min, cell.max, shortest.metres) {
			if d2, from, to := between(cell, p); d2 < shortest.metres*shortest.metres {
				starts = append(starts, start{metres: math.Sqrt(d2), goal: goal{piece: p}, from: from, via: to})
			}
		}
	}
	walk()
	if math.IsInf(shortest.metres, 1) {
		return nowhere
	}
	way := w.Way(w.outer(shortest.via)) // one leg on from a bend, none from a site
	end := w.outer(shortest.via)
	if shortest.goal.piece == nil {
		end = way[len(way)-1]
	}
	return Span{Metres: shortest.metres, Site: w.siteOf(shortest.goal), From: w.outer(shortest.from), To: end}
}
