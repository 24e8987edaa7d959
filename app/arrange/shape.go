package arrange

import (
	"fmt"
	"math"
	"slices"

	"github.com/google/uuid"
	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// A LockedError says that a feature is locked.
type LockedError struct{ Feature *plan.Feature }

func (e *LockedError) Error() string {
	return e.Feature.Title() + " is locked: unlock it first (Arrange menu)"
}

// Chosen are the features with the ids, in the order of the ids; at least so many, none of them locked.
func Chosen(p *plan.Plan, ids []string, least int) ([]*plan.Feature, error) {
	var fs []*plan.Feature
	for _, id := range ids {
		f, _ := p.Find(id)
		if f == nil {
			continue
		}
		if f.Locked {
			return nil, &LockedError{f}
		}
		fs = append(fs, f)
	}
	if len(fs) < least {
		return nil, fmt.Errorf("choose %s first", atLeast(least))
	}
	return fs, nil
}

func atLeast(n int) string {
	switch n {
	case 1:
		return "a feature"
	case 2:
		return "two features or more"
	}
	return fmt.Sprintf("%d features or more", n)
}

// LeastM is the least length in metres that anything has: a millimetre, to which all is kept.
const LeastM = 0.001

// mm rounds to the millimetre, which is finer than anyone stakes out.
func mm(x float64) float64 { return math.Round(x*1000) / 1000 }

func roundPoint(p orb.Point) orb.Point { return orb.Point{mm(p[0]), mm(p[1])} }

// Tidy rounds an outline to the millimetre and leaves out corners that then lie on one another.
func Tidy(g orb.Geometry) orb.Geometry {
	ring := func(r orb.Ring) orb.Ring {
		out := make(orb.Ring, 0, len(r))
		for _, p := range r {
			if q := roundPoint(p); len(out) == 0 || out[len(out)-1] != q {
				out = append(out, q)
			}
		}
		return out
	}
	polygon := func(p orb.Polygon) orb.Polygon {
		var out orb.Polygon
		for i, r := range p {
			if t := ring(r); len(t) >= 4 {
				out = append(out, t)
			} else if i == 0 {
				return nil
			}
		}
		return out
	}
	switch g := g.(type) {
	case orb.Point:
		return roundPoint(g)
	case orb.Polygon:
		return polygon(g)
	case orb.MultiPolygon:
		var out orb.MultiPolygon
		for _, p := range g {
			if t := polygon(p); t != nil {
				out = append(out, t)
			}
		}
		return out
	}
	return g
}

// Mapped is a copy of the feature with all that says where it lies brought through a move that keeps lengths: a shift, a turn,
// a mirror.
func Mapped(f *plan.Feature, to func(orb.Point) orb.Point) *plan.Feature {
	c := f.Clone()
	if c.Geometry != nil {
		c.Geometry = Tidy(geometry.Map(c.Geometry, to))
	}
	for i, p := range c.Line {
		c.Line[i] = roundPoint(to(p))
	}
	if c.Centre != nil {
		at := roundPoint(to(*c.Centre))
		c.Centre = &at
		if c.RadiusM > 0 { // a turned circle is the same circle
			c.Geometry = Tidy(geometry.Disc(at, c.RadiusM))
		}
	}
	return c
}

// Turned is a copy turned clockwise about a point by degrees.
func Turned(f *plan.Feature, about orb.Point, degrees float64) *plan.Feature {
	return Mapped(f, func(p orb.Point) orb.Point { return geometry.Rotate(p, about, -degrees).(orb.Point) })
}

// A Frame is the direction in which the ground is looked at: radians anticlockwise by which the plan is turned on the screen.
// Left and right, up and down are meant as seen.
type Frame float64

// In brings a point into the frame.
func (t Frame) In(p orb.Point) orb.Point {
	s, c := math.Sincos(float64(t))
	return orb.Point{c*p[0] - s*p[1], s*p[0] + c*p[1]}
}

// Out brings a point back from the frame.
func (t Frame) Out(p orb.Point) orb.Point { return Frame(-t).In(p) }

// Bound is the box about features as seen in the frame.
func (t Frame) Bound(fs ...*plan.Feature) orb.Bound {
	b := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, f := range fs {
		if f.Geometry == nil {
			continue
		}
		g := f.Geometry
		if t != 0 {
			g = geometry.Map(g, t.In)
		}
		b = b.Union(g.Bound())
	}
	return b
}

// shift is a copy moved by dx, dy as seen in the frame.
func (t Frame) shift(f *plan.Feature, dx, dy float64) *plan.Feature {
	d := t.Out(orb.Point{dx, dy})
	return Moved(f, d[0], d[1])
}

// replaced is the plan with features in place of those of the same ids.
func replaced(p *plan.Plan, fs ...*plan.Feature) *plan.Plan {
	c := p.Clone()
	for _, f := range fs {
		if _, i := p.Find(f.ID); i >= 0 {
			c.Features[i] = f
		}
	}
	return c
}

// copied adds a copy under a name of its own and answers its id.
func copied(p *plan.Plan, f *plan.Feature) string {
	f.ID, f.Name = uuid.NewString(), CopyName(p, f.Name)
	p.Features = append(p.Features, f)
	return f.ID
}

// polygonsOf is a geometry of one polygon or of several.
func polygonsOf(m orb.MultiPolygon) orb.Geometry {
	if len(m) == 1 {
		return m[0]
	}
	return m
}

// leastPiece is the ground in square metres below which a piece is a sliver of rounding and not kept: a square of 1 cm.
const leastPiece = 1e-4

// inPieces puts the pieces that a feature was cut into on the plan in its place: the largest keeps its id and name, the others
// grow what it grew. It answers their ids. No piece at all is an error.
func inPieces(p *plan.Plan, f *plan.Feature, pieces orb.MultiPolygon) ([]string, error) {
	var good []orb.Polygon
	for _, q := range pieces {
		if t, _ := Tidy(q).(orb.Polygon); t != nil && geometry.Area(t) >= leastPiece && geometry.Validate(t) == nil {
			good = append(good, t)
		}
	}
	if len(good) == 0 {
		return nil, fmt.Errorf("nothing would be left of %s", f.Title())
	}
	slices.SortStableFunc(good, func(a, b orb.Polygon) int {
		if geometry.Area(a) > geometry.Area(b) {
			return -1
		}
		return 1
	})
	_, at := p.Find(f.ID)
	ids := []string{f.ID}
	for i, g := range good {
		c := f.Clone()
		c.Geometry, c.Centre, c.RadiusM = g, nil, 0
		c.Line, c.WidthM = lineOf(f, g)
		if i == 0 {
			p.Features[at] = c
			continue
		}
		ids = append(ids, copied(p, c))
	}
	return ids, nil
}

// lineOf is the stretch of a strip's centre line that a piece cut off squarely still has, with its width; nil where the piece
// is no such strip.
func lineOf(f *plan.Feature, piece orb.Polygon) (orb.LineString, float64) {
	if len(f.Line) < 2 {
		return nil, 0
	}
	var line orb.LineString
	add := func(p orb.Point) {
		if p = roundPoint(p); len(line) == 0 || line[len(line)-1] != p {
			line = append(line, p)
		}
	}
	for i := 1; i < len(f.Line); i++ {
		a, b := f.Line[i-1], f.Line[i]
		// The part of the stretch within the piece, by where it crosses the piece's sides.
		t := []float64{0, 1}
		for _, r := range piece {
			for j := 1; j < len(r); j++ {
				if x, ok := crossAt(a, b, r[j-1], r[j]); ok {
					t = append(t, x)
				}
			}
		}
		slices.Sort(t)
		for j := 1; j < len(t); j++ {
			if m := lerp(a, b, (t[j-1]+t[j])/2); t[j]-t[j-1] > 1e-9 && geometry.Contains(piece, m) {
				add(lerp(a, b, t[j-1]))
				add(lerp(a, b, t[j]))
			}
		}
	}
	strip, err := geometry.Strip(line, f.WidthM)
	if err != nil {
		return nil, 0
	}
	apart := func(a, b orb.Geometry) float64 {
		d, err := geometry.Difference(a, b)
		if err != nil {
			return math.Inf(1)
		}
		return geometry.Area(d)
	}
	slack := 0.002 * (geometry.Perimeter(piece) + 1)
	if apart(strip, piece) > slack || apart(piece, strip) > slack {
		return nil, 0
	}
	return line, f.WidthM
}

func lerp(a, b orb.Point, t float64) orb.Point {
	return orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
}

// crossAt is how far along ab, 0 to 1, it crosses the segment cd.
func crossAt(a, b, c, d orb.Point) (float64, bool) {
	rx, ry, sx, sy := b[0]-a[0], b[1]-a[1], d[0]-c[0], d[1]-c[1]
	den := rx*sy - ry*sx
	if den == 0 {
		return 0, false
	}
	t := ((c[0]-a[0])*sy - (c[1]-a[1])*sx) / den
	u := ((c[0]-a[0])*ry - (c[1]-a[1])*rx) / den
	return t, t >= 0 && t <= 1 && u >= 0 && u <= 1
}
