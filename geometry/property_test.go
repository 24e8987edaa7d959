package geometry

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	_ "hedgereach/geometry/repeatable"
)

// Draws of shapes as gardens have them. Lengths are in decimetres, so that sides and corners meet exactly now and then.

func drawPoint(t *rapid.T, name string) orb.Point {
	return orb.Point{
		float64(rapid.IntRange(0, 600).Draw(t, name+" x")) / 10,
		float64(rapid.IntRange(0, 600).Draw(t, name+" y")) / 10,
	}
}

func drawRectangle(t *rapid.T, name string) orb.Polygon {
	at := drawPoint(t, name)
	w := float64(rapid.IntRange(1, 300).Draw(t, name+" length")) / 10
	h := float64(rapid.IntRange(1, 30).Draw(t, name+" width")) / 10
	turn := rapid.SampledFrom([]float64{0, 0, 90, 45, 30, 17.3}).Draw(t, name+" turn")
	r := orb.Polygon{{at, {at[0] + w, at[1]}, {at[0] + w, at[1] + h}, {at[0], at[1] + h}, at}}
	return Rotate(r, at, turn).(orb.Polygon)
}

func drawStar(t *rapid.T, name string) orb.Polygon {
	at := drawPoint(t, name)
	n := rapid.IntRange(3, 12).Draw(t, name+" corners")
	var ring orb.Ring
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		d := float64(rapid.IntRange(10, 120).Draw(t, name+" arm")) / 10
		ring = append(ring, orb.Point{at[0] + d*cos, at[1] + d*sin})
	}
	return orb.Polygon{append(ring, ring[0])}
}

func drawShape(t *rapid.T, name string) orb.Geometry {
	switch rapid.IntRange(0, 4).Draw(t, name+" kind") {
	case 0:
		return drawStar(t, name)
	case 1:
		return Disc(drawPoint(t, name), float64(rapid.IntRange(3, 40).Draw(t, name+" radius"))/10)
	case 2:
		outer := drawRectangle(t, name)
		hole := Scale(outer, Centroid(outer), 0.5, 0.5).(orb.Polygon)
		return orb.Polygon{outer[0], hole[0]}
	case 3:
		return drawPoint(t, name)
	}
	return drawRectangle(t, name)
}

func drawBed(t *rapid.T) orb.Geometry {
	if rapid.IntRange(0, 2).Draw(t, "bed kind") == 0 {
		return drawStar(t, "bed")
	}
	return drawRectangle(t, "bed")
}

func drawShapes(t *rapid.T, most int) []orb.Geometry {
	shapes := make([]orb.Geometry, rapid.IntRange(1, most).Draw(t, "sites"))
	for i := range shapes {
		shapes[i] = drawShape(t, "site")
	}
	return shapes
}

// Measures do not depend on where the origin is, which way north is, or on left and right.
func TestMovedMeasuresAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shapes, bed := drawShapes(t, 6), drawBed(t)
		r := float64(rapid.IntRange(0, 400).Draw(t, "range")) / 10
		degrees := rapid.Float64Range(0, 360).Draw(t, "turn")
		dx, dy := rapid.Float64Range(-1e4, 1e4).Draw(t, "dx"), rapid.Float64Range(-1e4, 1e4).Draw(t, "dy")
		mirror := rapid.SampledFrom([]float64{1, -1}).Draw(t, "mirror")
		moved := func(g orb.Geometry) orb.Geometry {
			return Translate(Rotate(Scale(g, orb.Point{}, mirror, 1), orb.Point{}, degrees), dx, dy)
		}
		var there []orb.Geometry
		for _, g := range shapes {
			there = append(there, moved(g))
		}
		a, b := NewSites(shapes), NewSites(there)
		bedThere := moved(bed)
		same := func(what string, x, y, slack float64) {
			if !(math.Abs(x-y) <= slack) {
				t.Errorf("%s: %v, moved %v", what, x, y)
			}
		}
		same("area", Area(bed), Area(bedThere), 1e-7)
		same("perimeter", Perimeter(bed), Perimeter(bedThere), 1e-7)
		same("nearest", a.Nearest(bed).Metres, b.Nearest(bedThere).Metres, 1e-8)
		same("farthest", a.Farthest(bed).Metres, b.Farthest(bedThere).Metres, 2e-6)
		same("area within", a.AreaWithin(bed, r), b.AreaWithin(bedThere, r), 1e-6)
		mean := a.MeanDistance(bed)
		same("mean", mean, b.MeanDistance(bedThere), 2e-3*mean+2e-4)
		at, there2 := Centroid(bed), Centroid(bedThere)
		x, _ := a.DistanceFrom(at)
		y, _ := b.DistanceFrom(there2)
		same("distance", x, y, 1e-8)
	})
}

// One more site never makes anything farther, and leaves no less within reach.
func TestMoreSitesAreNearer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shapes, bed := drawShapes(t, 6), drawBed(t)
		more := append(shapes[:len(shapes):len(shapes)], drawShape(t, "more"))
		r := float64(rapid.IntRange(0, 400).Draw(t, "range")) / 10
		a, b := NewSites(shapes), NewSites(more)
		if x, y := a.Nearest(bed).Metres, b.Nearest(bed).Metres; y > x {
			t.Errorf("nearest grew from %v to %v", x, y)
		}
		if near, far, around := a.Reach(bed); near != a.Nearest(bed) || far != a.Farthest(bed) || around < far.Metres {
			t.Errorf("reach %+v %+v, one by one %+v %+v", near, far, a.Nearest(bed), a.Farthest(bed))
		}
		if x, y := a.Farthest(bed).Metres, b.Farthest(bed).Metres; y > x+1e-6 {
			t.Errorf("farthest grew from %v to %v", x, y)
		}
		if x, y := a.AreaWithin(bed, r), b.AreaWithin(bed, r); y < x-1e-6 {
			t.Errorf("area within %v shrank from %v to %v", r, x, y)
		}
		if x, y := a.MeanDistance(bed), b.MeanDistance(bed); y > x*(1+2e-3)+2e-4 {
			t.Errorf("mean grew from %v to %v", x, y)
		}
	})
}

// The area within grows with the range, from none short of the nearest distance to all at the farthest; the mean distance is
// the area not yet reached, summed over all ranges (the layer-cake formula).
func TestAreaGrowsWithRange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shapes, bed := drawShapes(t, 5), drawBed(t)
		s := NewSites(shapes)
		near, far, area := s.Nearest(bed).Metres, s.Farthest(bed).Metres, Area(bed)
		if near > far+1e-6 {
			t.Fatalf("nearest %v is beyond farthest %v", near, far)
		}
		before, mean := 0.0, near
		const n = 40
		for i := range n {
			r := near + (far-near)*(float64(i)+0.5)/n
			now := s.AreaWithin(bed, r)
			if now < before-1e-6 || now > area {
				t.Errorf("within %v: %v after %v, of %v", r, now, before, area)
			}
			before = now
			mean += (1 - now/area) * (far - near) / n
		}
		if got := s.AreaWithin(bed, far+1e-5); math.Abs(got-area) > 1e-9*area {
			t.Errorf("within the farthest distance %v: %v of %v", far, got, area)
		}
		if near > 1e-5 && s.AreaWithin(bed, near-1e-5) > 0 {
			t.Errorf("some within less than the nearest distance %v", near)
		}
		if got := s.MeanDistance(bed); math.Abs(got-mean) > 1e-3*mean+(far-near)/n+1e-4 {
			t.Errorf("mean %v, by layers %v", got, mean)
		}
	})
}

// The whole is the sum of two halves, and its farthest point the farther of theirs.
func TestCutInTwo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := NewSites(drawShapes(t, 6))
		bed := drawRectangle(t, "bed")
		r := float64(rapid.IntRange(0, 300).Draw(t, "range")) / 10
		a, b, c, d := bed[0][0], bed[0][1], bed[0][2], bed[0][3]
		m, n := orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}, orb.Point{(c[0] + d[0]) / 2, (c[1] + d[1]) / 2}
		left, right := orb.Polygon{{a, m, n, d, a}}, orb.Polygon{{m, b, c, n, m}}
		if x, y := s.AreaWithin(bed, r), s.AreaWithin(left, r)+s.AreaWithin(right, r); math.Abs(x-y) > 1e-6 {
			t.Errorf("area %v, halves %v", x, y)
		}
		if x, y := s.Farthest(bed).Metres, max(s.Farthest(left).Metres, s.Farthest(right).Metres); math.Abs(x-y) > 2e-6 {
			t.Errorf("farthest %v, of halves %v", x, y)
		}
		if x, y := s.Nearest(bed).Metres, min(s.Nearest(left).Metres, s.Nearest(right).Metres); math.Abs(x-y) > 1e-9 {
			t.Errorf("nearest %v, of halves %v", x, y)
		}
	})
}

// A set with shapes exchanged measures the same, to the bit, as one made anew.
func TestWithEqualsNew(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shapes, bed := drawShapes(t, 8), drawBed(t)
		changed := NewSites(shapes)
		now := append([]orb.Geometry(nil), shapes...)
		for range rapid.IntRange(1, 5).Draw(t, "changes") {
			i := rapid.IntRange(0, len(now)).Draw(t, "which")
			var g orb.Geometry
			if rapid.Bool().Draw(t, "keep") {
				g = drawShape(t, "instead")
			}
			changed = changed.With(i, g)
			if i == len(now) {
				now = append(now, nil)
			}
			now[i] = g
		}
		anew := NewSites(now)
		if changed.Len() != anew.Len() {
			t.Errorf("%d shapes, anew %d", changed.Len(), anew.Len())
		}
		if x, y := changed.Nearest(bed), anew.Nearest(bed); x != y {
			t.Errorf("nearest %v, anew %v", x, y)
		}
		if x, y := changed.Farthest(bed), anew.Farthest(bed); x != y {
			t.Errorf("farthest %v, anew %v", x, y)
		}
		for _, r := range []float64{0, 3, 12} {
			if x, y := changed.AreaWithin(bed, r), anew.AreaWithin(bed, r); x != y {
				t.Errorf("within %v: %v, anew %v", r, x, y)
			}
		}
		if x, y := changed.MeanDistance(bed), anew.MeanDistance(bed); x != y {
			t.Errorf("mean %v, anew %v", x, y)
		}
	})
}

// Whatever is drawn, cutting into convex pieces keeps every square millimetre, and the pieces are convex.
func TestPiecesCoverTheShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawShape(t, "shape")
		var c cutter
		c.add(g, orb.Point{})
		area := 0.0
		c.pieces(func(corners []orb.Point) {
			if len(corners) > 2 && !isConvex(corners) {
				t.Errorf("not convex: %v", corners)
			}
			area += twiceArea(corners) / 2
		})
		if math.Abs(area-Area(g)) > 1e-9 {
			t.Errorf("pieces %v m², shape %v", area, Area(g))
		}
	})
}

// The ground within reach drawn as polygons is as large as the measured one, less what chords cut off its arcs, and proper.
func TestOffsetIsTheGroundWithin(t *testing.T) {
	before, drawn := joins.Load(), 0
	rapid.Check(t, func(t *rapid.T) {
		s := NewSites(drawShapes(t, 8))
		r := float64(rapid.IntRange(0, 200).Draw(t, "range")) / 10
		const tol = 1e-4
		offset, err := s.Offset(r, tol)
		if err != nil {
			t.Fatal(err)
		}
		drawn++
		if len(offset) > 0 {
			if err := Validate(offset); err != nil {
				t.Error(err)
			}
		}
		sheet := orb.Bound{Min: orb.Point{-80, -80}, Max: orb.Point{150, 150}}
		want, got := s.AreaWithin(sheet.ToPolygon(), r), Area(offset)
		if slack := tol*Perimeter(offset) + 1e-5; got > want+1e-5 || got < want-slack {
			t.Errorf("drawn %v m², measured %v", got, want)
		}
	})
	if used := joins.Load() - before; used > int64(drawn/50) {
		t.Errorf("%d of %d offsets fell back to an overlay", used, drawn)
	}
}
