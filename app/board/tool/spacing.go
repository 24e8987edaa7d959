package tool

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/habitat/plan"
)

// A spacing knows where the edges of other features lie, in the direction of what is moved, so that a move can come into line
// with them or keep the gaps that they keep.
type spacing struct {
	frame  arrange.Frame
	own    orb.Bound // of what is moved, before the move, in the frame
	others []orb.Bound
	level  bool        // the frame lies as the grid does
	row    []orb.Bound // scratch
}

// mostOthers bounds what a move is compared with: the nearest.
const mostOthers = 400

func newSpacing(p *plan.Plan, moving []*plan.Feature, grabbed *plan.Feature, set Settings) *spacing {
	s := &spacing{frame: arrange.Frame(set.Turn), level: true}
	if grabbed != nil {
		if h, ok := headingOf(grabbed); ok {
			// Bring the long side level, by less than an eighth of a turn against what is seen.
			h = math.Remainder(h+set.Turn*180/math.Pi, 90)
			s.frame, s.level = arrange.Frame(set.Turn-h*math.Pi/180), math.Abs(h) < 0.01
		}
	}
	if s.level {
		s.frame = arrange.Frame(set.Turn)
	}
	s.own = s.frame.Bound(moving...)
	for _, f := range p.Features {
		if f.Geometry == nil || f.Hidden || f.Kind == plan.Boundary || IsMark(f.Kind) || slices.Contains(moving, f) {
			continue
		}
		s.others = append(s.others, s.frame.Bound(f))
	}
	if len(s.others) > mostOthers {
		c := s.own.Center()
		slices.SortFunc(s.others, func(a, b orb.Bound) int { return cmp.Compare(dist(a.Center(), c), dist(b.Center(), c)) })
		s.others = s.others[:mostOthers]
	}
	return s
}

// A fit is where one axis of a move comes to.
type fit struct {
	by     float64 // to be added to the move
	word   string
	guides []orb.LineString // in the frame
}

// fits finds where what is moved keeps the gaps of its neighbours along an axis, else where it comes into line with others: the
// nearest within reach.
func (s *spacing) fits(moved orb.Bound, axis int, reach float64) (fit, bool) {
	cross := 1 - axis
	lo, hi := moved.Min[axis], moved.Max[axis]
	best := fit{by: math.Inf(1)}
	line := func(a, b, at float64) orb.LineString {
		var p, q orb.Point
		p[axis], q[axis], p[cross], q[cross] = a, b, at, at
		return orb.LineString{p, q}
	}
	try := func(by float64, word string, guides func() []orb.LineString) {
		if math.Abs(by) <= reach && math.Abs(by) < math.Abs(best.by)-1e-6 {
			best = fit{by: by, word: word, guides: guides()}
		}
	}
	// Those beside it, in order, for the gaps.
	row := s.row[:0]
	for _, o := range s.others {
		if o.Max[cross] > moved.Min[cross] && o.Min[cross] < moved.Max[cross] {
			row = append(row, o)
		}
	}
	s.row = row
	slices.SortFunc(row, func(a, b orb.Bound) int { return cmp.Compare(a.Min[axis], b.Min[axis]) })
	mid := (moved.Min[cross] + moved.Max[cross]) / 2
	for i := 0; i+1 < len(row); i++ {
		a, b := row[i], row[i+1]
		gap := b.Min[axis] - a.Max[axis]
		if gap <= 0 {
			continue
		}
		// Between the two, as far from one as from the other.
		if each := (gap - (hi - lo)) / 2; each > 0 {
			try(a.Max[axis]+each-lo, "equal spacing", func() []orb.LineString {
				return []orb.LineString{line(a.Max[axis], a.Max[axis]+each, mid), line(b.Min[axis]-each, b.Min[axis], mid)}
			})
		}
		// Going on at either end with the gap that is between them.
		between := line(a.Max[axis], b.Min[axis], mid)
		try(b.Max[axis]+gap-lo, "equal spacing", func() []orb.LineString {
			return []orb.LineString{between, line(b.Max[axis], b.Max[axis]+gap, mid)}
		})
		try(a.Min[axis]-gap-hi, "equal spacing", func() []orb.LineString {
			return []orb.LineString{between, line(a.Min[axis]-gap, a.Min[axis], mid)}
		})
	}
	if best.word != "" {
		return best, true
	}
	for _, o := range s.others {
		for _, to := range [2]float64{o.Min[axis], o.Max[axis]} {
			for _, from := range [2]float64{lo, hi} {
				try(to-from, "in line", func() []orb.LineString {
					var p, q orb.Point
					p[axis], q[axis] = to, to
					p[cross], q[cross] = min(o.Min[cross], moved.Min[cross]), max(o.Max[cross], moved.Max[cross])
					return []orb.LineString{{p, q}}
				})
			}
		}
	}
	return best, best.word != ""
}

// settle is where the anchor of a move comes to: to a corner nearby, else with the edges in line with others' or at equal
// gaps, else to the grid.
func (p *Pick) settle(e Event) snapped {
	if e.Mods&Ctrl != 0 {
		return snapped{at: roundPoint(e.At)}
	}
	set := p.ed.Settings()
	if set.GridOnly {
		return toGrid(e.At, set)
	}
	s := snappers.Get().(*snapper)
	defer snappers.Put(s)
	s.at, s.set, s.from = e.At, set, nil
	s.look(p.base, func(f *plan.Feature) bool { return slices.Contains(p.moving, f) }, set.ReachM)
	if got, ok := s.corner(); ok {
		return got
	}
	if p.near == nil {
		grabbed, _ := p.base.Find(p.grabbed)
		p.near = newSpacing(p.base, p.moving, grabbed, set)
	}
	n := p.near
	d := n.frame.In(orb.Point{e.At[0] - p.anchor[0], e.At[1] - p.anchor[1]})
	moved := n.own
	for axis := range 2 {
		moved.Min[axis], moved.Max[axis] = moved.Min[axis]+d[axis], moved.Max[axis]+d[axis]
	}
	var got snapped
	var found [2]bool
	for axis := range 2 {
		f, ok := n.fits(moved, axis, nearDirection*set.ReachM)
		if !ok {
			continue
		}
		found[axis] = true
		d[axis] += f.by
		if got.word == "" || f.word == "equal spacing" {
			got.word = f.word
		}
		for _, g := range f.guides {
			got.guides = append(got.guides, orb.LineString{n.frame.Out(g[0]), n.frame.Out(g[1])})
		}
	}
	switch {
	case set.StepM <= 0:
	case !found[0] && !found[1]:
		return snapped{at: onGrid(e.At, set), word: "grid"}
	case found[0] != found[1]: // the other axis comes to the grid, where that lies the same way, else to a whole step of the move
		axis, from := 0, 0.0
		if found[0] {
			axis = 1
		}
		if n.level {
			from = n.frame.In(p.anchor)[axis]
		}
		d[axis] = math.Round((from+d[axis])/set.StepM)*set.StepM - from
	}
	q := n.frame.Out(d)
	got.at = roundPoint(orb.Point{p.anchor[0] + q[0], p.anchor[1] + q[1]})
	return got
}
