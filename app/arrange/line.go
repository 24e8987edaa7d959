package arrange

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// MirrorOver turns features over the straight line through a and b, as copies or themselves.
func MirrorOver(p *plan.Plan, ids []string, a, b orb.Point, keep bool) (*plan.Plan, []string, error) {
	fs, err := Chosen(p, ids, 1)
	if err != nil {
		return nil, nil, err
	}
	l := math.Hypot(b[0]-a[0], b[1]-a[1])
	if l == 0 {
		return nil, nil, errors.New("the line to mirror over has no length")
	}
	ux, uy := (b[0]-a[0])/l, (b[1]-a[1])/l
	over := func(q orb.Point) orb.Point {
		d := 2 * ((q[0]-a[0])*-uy + (q[1]-a[1])*ux) // twice the distance to the left of the line
		return orb.Point{q[0] + d*uy, q[1] - d*ux}
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

// MirrorInPlace turns features over together about the middle of all: left for right as seen, or top for bottom.
func MirrorInPlace(p *plan.Plan, ids []string, leftForRight bool, t Frame) (*plan.Plan, error) {
	fs, err := Chosen(p, ids, 1)
	if err != nil {
		return nil, err
	}
	m := Middle(fs, t)
	s, c := math.Sincos(float64(t))
	line := orb.Point{c, -s} // level as seen
	if leftForRight {
		line = orb.Point{s, c}
	}
	p, _, err = MirrorOver(p, ids, m, orb.Point{m[0] + line[0], m[1] + line[1]}, false)
	return p, err
}

// SplitAlong cuts features by the centre line of the last of them, such as a path, a fence or a hedgerow, which stays as it is.
// Beyond its ends the line runs straight on. Every piece is a feature; the largest of each keeps its name. It answers the ids of
// all pieces.
func SplitAlong(p *plan.Plan, ids []string) (*plan.Plan, []string, error) {
	const choose = "choose the bed first, then the path or fence to split it along"
	if len(ids) < 2 {
		return nil, nil, errors.New(choose)
	}
	knife, _ := p.Find(ids[len(ids)-1])
	if knife == nil {
		return nil, nil, errors.New(choose)
	}
	if len(knife.Line) < 2 {
		return nil, nil, fmt.Errorf("%s has no line to split along: choose a strip last", knife.Title())
	}
	fs, err := Chosen(p, ids[:len(ids)-1], 1)
	if err != nil {
		return nil, nil, err
	}
	around := knife.Line.Bound()
	for _, f := range fs {
		around = around.Union(f.Geometry.Bound())
	}
	half := leftOf(knife.Line, around)
	if geometry.Validate(half) != nil {
		return nil, nil, fmt.Errorf("%s turns back on itself and parts no ground in two: split along a straighter one", knife.Title())
	}
	out := p.Clone()
	var all []string
	cut := false
	for _, f := range fs {
		if len(geometry.Polygons(f.Geometry)) == 0 {
			continue
		}
		left, err := geometry.Intersection(f.Geometry, half)
		if err != nil {
			return nil, nil, err
		}
		right, err := geometry.Difference(f.Geometry, half)
		if err != nil {
			return nil, nil, err
		}
		if geometry.Area(left) < leastPiece || geometry.Area(right) < leastPiece {
			continue
		}
		cut = true
		made, err := inPieces(out, f, append(left, right...))
		if err != nil {
			return nil, nil, err
		}
		all = append(all, made...)
	}
	if !cut {
		return nil, nil, fmt.Errorf("the line of %s does not cross what was chosen before it", knife.Title())
	}
	return out, all, nil
}

// leftOf is the ground to the left of a line of two points or more that runs straight on beyond its ends, out to a circle far
// beyond the box.
func leftOf(line orb.LineString, around orb.Bound) orb.Polygon {
	m := around.Center()
	r := 10 + 2*math.Hypot(around.Max[0]-around.Min[0], around.Max[1]-around.Min[1])
	// Where the ray from b, seen from a, meets the circle.
	end := func(a, b orb.Point) orb.Point {
		l := math.Hypot(b[0]-a[0], b[1]-a[1])
		ux, uy := (b[0]-a[0])/l, (b[1]-a[1])/l
		qx, qy := b[0]-m[0], b[1]-m[1]
		d := qx*ux + qy*uy
		t := -d + math.Sqrt(d*d-qx*qx-qy*qy+r*r)
		return orb.Point{b[0] + t*ux, b[1] + t*uy}
	}
	n := len(line)
	first, last := end(line[1], line[0]), end(line[n-2], line[n-1])
	ring := append(orb.Ring{first}, line...)
	ring = append(ring, last)
	from, to := math.Atan2(last[1]-m[1], last[0]-m[0]), math.Atan2(first[1]-m[1], first[0]-m[0])
	for to <= from {
		to += 2 * math.Pi
	}
	const steps = 12 // chords that stay beyond the box: cos 15° · 2 > 1
	for i := 1; i < steps; i++ {
		s, c := math.Sincos(from + (to-from)*float64(i)/steps)
		ring = append(ring, orb.Point{m[0] + r*c, m[1] + r*s})
	}
	return orb.Polygon{append(ring, first)}
}
