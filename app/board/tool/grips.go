package tool

import (
	"math"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// A grip is a handle of a feature and what it takes hold of.
type grip struct {
	Handle
	line       bool // a point of the centre line, not of the outline
	poly, ring int  // which outline
	i          int  // which corner; for a Middle the corner before it
}

// maxGrips bounds the handles shown: a surveyed outline of thousands of points is not reshaped by hand at once.
const maxGrips = 240

// grips lists the handles of a feature: by its circle, by its centre line, else by its corners.
func grips(f *plan.Feature) []grip {
	switch {
	case f.Locked || f.Hidden:
		return nil
	case f.Centre != nil && f.RadiusM > 0:
		var gs []grip
		for i, d := range []orb.Point{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
			at := orb.Point{f.Centre[0] + d[0]*f.RadiusM, f.Centre[1] + d[1]*f.RadiusM}
			gs = append(gs, grip{Handle: Handle{At: at, Sort: Radius}, i: i})
		}
		return gs
	case len(f.Line) >= 2:
		return lineGrips(f)
	}
	var gs []grip
	for p, poly := range geometry.Polygons(f.Geometry) {
		for r, ring := range poly {
			for i := 0; i+1 < len(ring); i++ {
				gs = append(gs, grip{Handle: Handle{At: ring[i]}, poly: p, ring: r, i: i})
			}
			for i := 0; i+1 < len(ring); i++ {
				gs = append(gs, grip{Handle: Handle{At: between(ring[i], ring[i+1]), Sort: Middle}, poly: p, ring: r, i: i})
			}
		}
	}
	if len(gs) > maxGrips {
		return nil
	}
	return gs
}

func lineGrips(f *plan.Feature) []grip {
	n := len(f.Line)
	if 2*n > maxGrips {
		return nil
	}
	var gs []grip
	for i, p := range f.Line {
		gs = append(gs, grip{Handle: Handle{At: p}, line: true, i: i})
	}
	for i := 0; i+1 < n; i++ {
		gs = append(gs, grip{Handle: Handle{At: between(f.Line[i], f.Line[i+1]), Sort: Middle}, line: true, i: i})
	}
	// The width is taken hold of on the longest stretch, a third along, so that it is clear of the middle.
	long := 0
	for i := 1; i+1 < n; i++ {
		if dist(f.Line[i], f.Line[i+1]) > dist(f.Line[long], f.Line[long+1]) {
			long = i
		}
	}
	a, b := f.Line[long], f.Line[long+1]
	if l := dist(a, b); l > 0 {
		nx, ny := -(b[1]-a[1])/l, (b[0]-a[0])/l
		for _, side := range []float64{1, -1} {
			h := side * f.WidthM / 2
			at := orb.Point{a[0] + (b[0]-a[0])/3 + nx*h, a[1] + (b[1]-a[1])/3 + ny*h}
			gs = append(gs, grip{Handle: Handle{At: at, Sort: Width}, line: true, i: long})
		}
	}
	return gs
}

// nearestGrip is the handle under the pointer. Corners go before the rest, since on a short edge they lie close together.
func nearestGrip(gs []grip, at orb.Point, reach float64) (grip, bool) {
	best, least := -1, reach
	for i, g := range gs {
		d := dist(g.At, at)
		if d > reach {
			continue
		}
		if best >= 0 && gs[best].Sort == Corner && g.Sort != Corner {
			continue
		}
		if best < 0 || d < least || g.Sort == Corner && gs[best].Sort != Corner {
			best, least = i, d
		}
	}
	if best < 0 {
		return grip{}, false
	}
	return gs[best], true
}

// reshape is the feature with the grip brought to a point. The answer may be invalid; nil where it makes no shape at all.
func reshape(f *plan.Feature, g grip, to orb.Point) *plan.Feature {
	c := f.Clone()
	switch {
	case g.Sort == Radius:
		return setCircle(c, *c.Centre, mm(dist(*c.Centre, to)))
	case g.Sort == Width:
		a, b := c.Line[g.i], c.Line[g.i+1]
		l := dist(a, b)
		if l == 0 {
			return nil
		}
		off := math.Abs((to[0]-a[0])*(b[1]-a[1])-(to[1]-a[1])*(b[0]-a[0])) / l
		return setStrip(c, c.Line, mm(2*off))
	case g.line && g.Sort == Middle:
		line := append(orb.LineString{}, c.Line[:g.i+1]...)
		line = append(append(line, to), c.Line[g.i+1:]...)
		return setStrip(c, line, c.WidthM)
	case g.line:
		c.Line[g.i] = to
		return setStrip(c, c.Line, c.WidthM)
	}
	ring := ringOf(c, g)
	if ring == nil {
		return nil
	}
	r := *ring
	if g.Sort == Middle {
		grown := append(orb.Ring{}, r[:g.i+1]...)
		*ring = append(append(grown, to), r[g.i+1:]...)
		return c
	}
	r[g.i] = to
	if g.i == 0 {
		r[len(r)-1] = to
	}
	return c
}

// remove is the feature without a corner, or a point of its centre line; nil where too few would be left.
func remove(f *plan.Feature, g grip) *plan.Feature {
	if g.Sort != Corner {
		return nil
	}
	c := f.Clone()
	if g.line {
		if len(c.Line) <= 2 {
			return nil
		}
		return setStrip(c, append(c.Line[:g.i:g.i], c.Line[g.i+1:]...), c.WidthM)
	}
	ring := ringOf(c, g)
	if ring == nil || len(*ring) <= 4 {
		return nil
	}
	open := (*ring)[:len(*ring)-1]
	*ring = closed(append(open[:g.i:g.i], open[g.i+1:]...))
	return c
}

// ringOf points at the ring of f that the grip lies on.
func ringOf(f *plan.Feature, g grip) *orb.Ring {
	switch geo := f.Geometry.(type) {
	case orb.Polygon:
		if g.ring < len(geo) {
			return &geo[g.ring]
		}
	case orb.MultiPolygon:
		if g.poly < len(geo) && g.ring < len(geo[g.poly]) {
			return &geo[g.poly][g.ring]
		}
	}
	return nil
}

// setStrip gives a feature another centre line and width; nil where they make no strip.
func setStrip(f *plan.Feature, line orb.LineString, width float64) *plan.Feature {
	if width <= 0 {
		return nil
	}
	g, err := geometry.Strip(line, width)
	if err != nil {
		return nil
	}
	f.Line, f.WidthM, f.Geometry = line, width, roundPolygon(g)
	return f
}

// setCircle gives a feature another centre and radius; nil where they make no circle.
func setCircle(f *plan.Feature, centre orb.Point, radius float64) *plan.Feature {
	if radius <= 0 {
		return nil
	}
	f.Centre, f.RadiusM, f.Geometry = &centre, radius, roundPolygon(geometry.Disc(centre, radius))
	return f
}
