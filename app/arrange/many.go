package arrange

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// A Side is a direction as seen, or an edge of what is seen.
type Side int

// The sides, and the two middle lines.
const (
	Right Side = iota
	Left
	Up
	Down
	MiddleUpright // the line from top to bottom through the middle
	MiddleLevel
)

// unit is the step in a side's direction as seen.
func (s Side) unit() (dx, dy float64) {
	switch s {
	case Right:
		return 1, 0
	case Left:
		return -1, 0
	case Up:
		return 0, 1
	}
	return 0, -1
}

// at is the axis that a side lies on (0 is across the screen) and its place on it in a box.
func (s Side) at(b orb.Bound) (axis int, place float64) {
	switch s {
	case Right:
		return 0, b.Max[0]
	case Left:
		return 0, b.Min[0]
	case Up:
		return 1, b.Max[1]
	case Down:
		return 1, b.Min[1]
	case MiddleUpright:
		return 0, (b.Min[0] + b.Max[0]) / 2
	}
	return 1, (b.Min[1] + b.Max[1]) / 2
}

// Align brings one edge of all features in line with that of the first.
func Align(p *plan.Plan, ids []string, edge Side, t Frame) (*plan.Plan, error) {
	fs, err := Chosen(p, ids, 2)
	if err != nil {
		return nil, err
	}
	axis, line := edge.at(t.Bound(fs[0]))
	var moved []*plan.Feature
	for _, f := range fs[1:] {
		_, here := edge.at(t.Bound(f))
		var d orb.Point
		d[axis] = line - here
		moved = append(moved, t.shift(f, d[0], d[1]))
	}
	return replaced(p, moved...), nil
}

// Distribute spreads features so that the gaps between neighbours are equal; the outermost two stay. It answers the gap in
// metres, below 0 where they overlap.
func Distribute(p *plan.Plan, ids []string, across bool, t Frame) (*plan.Plan, float64, error) {
	fs, err := Chosen(p, ids, 3)
	if err != nil {
		return nil, 0, err
	}
	axis := 1
	if across {
		axis = 0
	}
	bounds := map[*plan.Feature]orb.Bound{}
	sum := 0.0
	for _, f := range fs {
		b := t.Bound(f)
		bounds[f] = b
		sum += b.Max[axis] - b.Min[axis]
	}
	slices.SortStableFunc(fs, func(a, b *plan.Feature) int {
		return cmp.Compare(bounds[a].Min[axis]+bounds[a].Max[axis], bounds[b].Min[axis]+bounds[b].Max[axis])
	})
	first, last := bounds[fs[0]], bounds[fs[len(fs)-1]]
	gap := (last.Max[axis] - first.Min[axis] - sum) / float64(len(fs)-1)
	at := first.Max[axis] + gap
	var moved []*plan.Feature
	for _, f := range fs[1 : len(fs)-1] {
		var d orb.Point
		d[axis] = at - bounds[f].Min[axis]
		moved = append(moved, t.shift(f, d[0], d[1]))
		at += bounds[f].Max[axis] - bounds[f].Min[axis] + gap
	}
	return replaced(p, moved...), gap, nil
}

// Repeat adds n copies towards a side. Apart is the gap between neighbours in metres, or the step from each to the next where
// middles is set. Copies grow what the first grows.
func Repeat(p *plan.Plan, ids []string, n int, towards Side, apart float64, middles bool, t Frame) (*plan.Plan, []string, error) {
	fs, err := Chosen(p, ids, 1)
	switch {
	case err != nil:
		return nil, nil, err
	case n < 1 || n*len(fs) > MostCopies:
		return nil, nil, fmt.Errorf("make from 1 to %d copies in one step", MostCopies/len(fs))
	}
	dx, dy := towards.unit()
	b := t.Bound(fs...)
	step := apart
	if !middles {
		step += math.Abs(dx)*(b.Max[0]-b.Min[0]) + math.Abs(dy)*(b.Max[1]-b.Min[1])
	}
	if !(step > 0) {
		return nil, nil, errors.New("the copies would lie on what they are made of: give a distance above nothing")
	}
	out, all := p.Clone(), slices.Clone(ids)
	for k := 1; k <= n; k++ {
		for _, f := range fs {
			all = append(all, copied(out, t.shift(f, dx*step*float64(k), dy*step*float64(k))))
		}
	}
	return out, all, nil
}

// Mirror turns features over towards a side, gap metres beyond their own edge, as copies or themselves.
func Mirror(p *plan.Plan, ids []string, towards Side, gap float64, keep bool, t Frame) (*plan.Plan, []string, error) {
	fs, err := Chosen(p, ids, 1)
	if err != nil {
		return nil, nil, err
	}
	axis, edge := towards.at(t.Bound(fs...))
	dx, dy := towards.unit()
	line := edge + (dx+dy)*gap/2
	over := func(q orb.Point) orb.Point {
		r := t.In(q)
		r[axis] = 2*line - r[axis]
		return t.Out(r)
	}
	out := p.Clone()
	var all []string
	for _, f := range fs {
		m := Mapped(f, over)
		if keep {
			all = append(all, copied(out, m))
			continue
		}
		_, i := p.Find(f.ID)
		out.Features[i] = m
		all = append(all, f.ID)
	}
	return out, all, nil
}

// Middle is the middle of the box about the features, as seen.
func Middle(fs []*plan.Feature, t Frame) orb.Point { return t.Out(t.Bound(fs...).Center()) }

// Above is a point so many metres above the middle of the box about the features, as seen.
func Above(fs []*plan.Feature, t Frame, m float64) orb.Point {
	b := t.Bound(fs...)
	return t.Out(orb.Point{(b.Min[0] + b.Max[0]) / 2, b.Max[1] + m})
}

// Turn turns features together, clockwise by degrees, about the middle of all.
func Turn(p *plan.Plan, ids []string, degrees float64, t Frame) (*plan.Plan, error) {
	fs, err := Chosen(p, ids, 1)
	if err != nil {
		return nil, err
	}
	about := Middle(fs, t)
	var turned []*plan.Feature
	for _, f := range fs {
		turned = append(turned, Turned(f, about, degrees))
	}
	return replaced(p, turned...), nil
}

// MatchWidth gives all features the width of the first, each about its own middle line.
func MatchWidth(p *plan.Plan, ids []string) (*plan.Plan, error) {
	fs, err := Chosen(p, ids, 2)
	if err != nil {
		return nil, err
	}
	_, width := SizeOf(fs[0])
	if width == 0 {
		return nil, fmt.Errorf("%s has no width to go by", fs[0].Title())
	}
	var made []*plan.Feature
	for _, f := range fs[1:] {
		length, _ := SizeOf(f)
		if length == 0 {
			continue // a mark
		}
		c, err := Sized(f, length, width, false)
		if err != nil {
			return nil, err
		}
		made = append(made, c)
	}
	return replaced(p, made...), nil
}

// SizeOf is a feature's length and width in metres: of a strip along and across its line, of a round thing its diameter
// twice, else the sides of the least rectangle about it. 0, 0 for a mark.
func SizeOf(f *plan.Feature) (length, width float64) {
	switch {
	case f.Centre != nil && f.RadiusM > 0:
		return 2 * f.RadiusM, 2 * f.RadiusM
	case len(f.Line) >= 2:
		for i := 1; i < len(f.Line); i++ {
			length += math.Hypot(f.Line[i][0]-f.Line[i-1][0], f.Line[i][1]-f.Line[i-1][1])
		}
		return length, f.WidthM
	}
	length, width, _, _, _ = Sides(f)
	return length, width
}

// Sized is a copy of the feature with another length and width in metres, about its middle, or from its lower left corner as
// it lies. A strip's line is stretched, so that its bends stay where they are along it.
func Sized(f *plan.Feature, length, width float64, corner bool) (*plan.Feature, error) {
	l, w := SizeOf(f)
	switch {
	case l == 0 || w == 0:
		return nil, fmt.Errorf("%s has no size to change", f.Title())
	case !(length >= LeastM) || !(width >= LeastM) || length > plan.MaxMetres || width > plan.MaxMetres:
		return nil, errors.New("give a length and a width of a millimetre or more")
	}
	c := f.Clone()
	switch {
	case f.Centre != nil && f.RadiusM > 0:
		r := max(LeastM, mm(width/2))
		c.RadiusM, c.Geometry = r, Tidy(geometry.Disc(*f.Centre, r))
		return c, nil
	case len(f.Line) >= 2:
		if length != l {
			from, k := f.Line[0], length/l
			for i, p := range c.Line {
				c.Line[i] = roundPoint(lerp(from, p, k))
			}
		}
		g, err := geometry.Strip(c.Line, mm(width))
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.Title(), err)
		}
		c.WidthM, c.Geometry = mm(width), Tidy(g)
		return c, nil
	}
	_, _, along, across, ok := Sides(f)
	if !ok {
		return nil, fmt.Errorf("%s has no size to change", f.Title())
	}
	o := geometry.OrientedBox(f.Geometry)[0][0]
	lo, hi := orb.Point{math.Inf(1), math.Inf(1)}, orb.Point{math.Inf(-1), math.Inf(-1)}
	in := func(p orb.Point) orb.Point {
		dx, dy := p[0]-o[0], p[1]-o[1]
		return orb.Point{dx*along[0] + dy*along[1], dx*across[0] + dy*across[1]}
	}
	for _, p := range geometry.OrientedBox(f.Geometry)[0] {
		q := in(p)
		lo = orb.Point{min(lo[0], q[0]), min(lo[1], q[1])}
		hi = orb.Point{max(hi[0], q[0]), max(hi[1], q[1])}
	}
	still := orb.Point{(lo[0] + hi[0]) / 2, (lo[1] + hi[1]) / 2}
	if corner {
		still = lo
	}
	kx, ky := length/l, width/w
	c.Geometry = Tidy(geometry.Map(f.Geometry, func(p orb.Point) orb.Point {
		q := in(p)
		x, y := still[0]+kx*(q[0]-still[0]), still[1]+ky*(q[1]-still[1])
		return orb.Point{o[0] + x*along[0] + y*across[0], o[1] + x*along[1] + y*across[1]}
	}))
	return c, nil
}

// Size gives every feature a length and width in metres; 0 leaves that one as it is.
func Size(p *plan.Plan, ids []string, length, width float64) (*plan.Plan, error) {
	fs, err := Chosen(p, ids, 1)
	if err != nil {
		return nil, err
	}
	var made []*plan.Feature
	for _, f := range fs {
		l, w := SizeOf(f)
		if length > 0 {
			l = length
		}
		if width > 0 {
			w = width
		}
		c, err := Sized(f, l, w, true)
		if err != nil {
			return nil, err
		}
		made = append(made, c)
	}
	return replaced(p, made...), nil
}

// Extent is the width and height in metres of the box about the features, as seen.
func Extent(fs []*plan.Feature, t Frame) (wide, high float64) {
	b := t.Bound(fs...)
	return b.Max[0] - b.Min[0], b.Max[1] - b.Min[1]
}
