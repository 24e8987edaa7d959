package geometry

import (
	"context"
	"errors"
	"math"
	"math/rand"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

func TestDisc(t *testing.T) {
	for _, r := range []float64{0.05, 0.4, 1, 5, 20, 100} {
		d := Disc(orb.Point{3, 4}, r)
		n := len(d[0]) - 1
		if n < 24 || n > 128 {
			t.Errorf("radius %v: %d corners", r, n)
		}
		for i := range n {
			if got := distance(d[0][i], orb.Point{3, 4}); math.Abs(got-r) > 1e-12*r {
				t.Errorf("radius %v: corner %d is %v away", r, i, got)
			}
		}
		// The sides stray from the circle by r(1 - cos(π/n)).
		if rise := r * (1 - math.Cos(math.Pi/float64(n))); rise > 0.01 && n < 128 {
			t.Errorf("radius %v: %d corners stray %v m", r, n, rise)
		}
		if err := Validate(d); err != nil {
			t.Error(err)
		}
	}
}

func TestHull(t *testing.T) {
	h := Hull(orb.Point{2, 2}, shape(t, "POLYGON((0 0,4 0,2 1,4 4,0 4,0 0))"), nil, orb.LineString{{1, 1}, {2, 0}})
	if Area(h) != 16 || len(h[0]) != 5 || signedArea(h[0]) < 0 {
		t.Errorf("%v", h)
	}
	if got := Hull(orb.Point{1, 1}, orb.Point{2, 2}, orb.Point{3, 3}); got != nil {
		t.Errorf("a hull of points in line: %v", got)
	}
	if got := Hull(); got != nil {
		t.Errorf("a hull of nothing: %v", got)
	}
}

func TestOrientedBox(t *testing.T) {
	for degrees := 0.0; degrees < 180; degrees += 13 {
		bed := Rotate(shape(t, "POLYGON((0 0,10 0,10 1.2,5 1,0 1.2,0 0))"), orb.Point{5, 5}, degrees)
		if got := Area(OrientedBox(bed)); math.Abs(got-12) > 1e-9 {
			t.Errorf("turned by %v: %v m²", degrees, got)
		}
	}
}

func TestStrip(t *testing.T) {
	for _, c := range []struct {
		name  string
		line  orb.LineString
		width float64
		area  float64 // closed form: length × width, plus what a corner gains or loses
	}{
		{"straight", orb.LineString{{0, 0}, {30, 0}}, 3, 90},
		{"point said twice", orb.LineString{{0, 0}, {0, 0}, {30, 0}}, 3, 90},
		{"point on the way", orb.LineString{{0, 0}, {10, 0}, {30, 0}}, 3, 90},
		{"left and right", orb.LineString{{0, 0}, {30, 0}, {30, 40}, {60, 40}}, 3, 300},
		// A hairpin of 20° is bevelled: two straight parts less the kite that both cover, half²·tan(80°)·… each half of
		// which is a right triangle of sides half and half/tan(10°), plus the bevel's triangle half²·sin(160°)/2.
		{"bevel", orb.LineString{{0, 0}, {40, 0}, {40 - 40*math.Cos(math.Pi/9), 40 * math.Sin(math.Pi/9)}}, 2,
			160 - 1/math.Tan(math.Pi/18) + math.Sin(math.Pi*160/180)/2},
		// Round a square of side 20: the ground between squares of 22 and 18.
		{"round", orb.LineString{{0, 0}, {20, 0}, {20, 20}, {0, 20}, {0, 0}}, 2, 22*22 - 18*18},
		{"round the other way", orb.LineString{{0, 0}, {0, 20}, {20, 20}, {20, 0}, {0, 0}}, 2, 22*22 - 18*18},
		{"short step", orb.LineString{{0, 0}, {10, 0}, {10, 1}, {20, 1}}, 4, 84},
		// There and back with less room than the strip is wide, so that its flank would fold: a block of 12 by 4.5.
		{"folded", orb.LineString{{0, 0}, {10, 0}, {10, 0.5}, {0, 0.5}}, 4, 54},
	} {
		strip, err := Strip(c.line, c.width)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if err := Validate(strip); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		if got := Area(strip); math.Abs(got-c.area) > 1e-9*c.area {
			t.Errorf("%s: %v m², want %v: %v", c.name, got, c.area, strip)
		}
	}
	for _, c := range []struct {
		line  orb.LineString
		width float64
	}{
		{nil, 1}, {orb.LineString{{1, 1}}, 1}, {orb.LineString{{1, 1}, {1, 1}}, 1}, {orb.LineString{{0, 0}, {1, 0}}, 0},
		{orb.LineString{{0, 0}, {1, 0}}, -1}, {orb.LineString{{0, 0}, {1, 0}}, math.NaN()},
		{orb.LineString{{0, 0}, {math.Inf(1), 0}}, 1},
	} {
		if strip, err := Strip(c.line, c.width); err == nil {
			t.Errorf("%v of width %v: %v, want an error", c.line, c.width, strip)
		}
	}
}

func TestLabelPoint(t *testing.T) {
	for _, c := range []struct {
		wkt    string
		inward float64 // radius of the largest circle inside
	}{
		{"POLYGON((0 0,20 0,20 10,0 10,0 0))", 5},
		{"POLYGON((0 0,4 0,0 3,0 0))", 1}, // (a + b - c) / 2 of a right triangle
		{"POLYGON((0 0,30 0,30 1.2,0 1.2,0 0))", 0.6},
		{"POLYGON((0 0,40 0,40 30,0 30,0 0),(10 10,20 10,20 20,10 20,10 10))", 10},
		{"POLYGON((0 0,20 0,20 5,5 5,5 15,0 15,0 0))", 5 / (1 + math.Sqrt2) * math.Sqrt2}, // in the bend of the L
	} {
		p := shape(t, c.wkt).(orb.Polygon)
		at, inward := LabelPoint(p)
		b := p.Bound()
		gap := math.Sqrt((b.Max[0]-b.Min[0])*(b.Max[1]-b.Min[1])) / 100
		if !Contains(p, at) || inward > c.inward+1e-9 || inward < c.inward-gap {
			t.Errorf("%s: %v, %v m inside, want %v", c.wkt, at, inward, c.inward)
		}
	}
	for _, p := range []orb.Polygon{nil, {}, {{}}, {{{1, 1}, {1, 1}, {1, 1}}}, {{{0, 0}, {math.Inf(1), 0}, {1, 1}, {0, 0}}}} {
		LabelPoint(p)
	}
}

func TestOverlays(t *testing.T) {
	a, b := shape(t, "POLYGON((0 0,4 0,4 4,0 4,0 0))"), shape(t, "POLYGON((2 1,6 1,6 3,2 3,2 1))")
	far := shape(t, "POLYGON((10 0,11 0,11 1,10 1,10 0))")
	area := func(g orb.MultiPolygon, err error) float64 {
		t.Helper()
		if err != nil {
			t.Error(err)
		}
		if err := Validate(g); len(g) > 0 && err != nil {
			t.Error(err)
		}
		return Area(g)
	}
	for name, c := range map[string][2]float64{
		"union":              {area(Union(a, b)), 20},
		"union of parts":     {area(Union(a, b, far, orb.Point{1, 1})), 21},
		"union of none":      {area(Union()), 0},
		"intersection":       {area(Intersection(a, b)), 4},
		"none in common":     {area(Intersection(a, far)), 0},
		"touching":           {area(Intersection(a, shape(t, "POLYGON((4 0,5 0,5 4,4 4,4 0))"))), 0},
		"difference":         {area(Difference(a, b)), 12},
		"hole cut":           {area(Difference(a, shape(t, "POLYGON((1 1,3 1,3 3,1 3,1 1))"))), 12},
		"nothing left":       {area(Difference(b, Hull(a, b))), 0},
		"collection overlap": {area(Intersection(orb.Collection{a, b}, a)), 16},
		"shrunk":             {area(Buffer(a, -1)), 4},
		"shrunk away":        {area(Buffer(a, -2.5)), 0},
	} {
		if math.Abs(c[0]-c[1]) > 1e-9 {
			t.Errorf("%s: %v m², want %v", name, c[0], c[1])
		}
	}
	if line, err := Buffer(orb.LineString{{0, 0}, {10, 0}}, 2); err != nil || math.Abs(Area(line)-(40+4*math.Pi)) > 0.01*4*math.Pi {
		t.Errorf("about a line: %v, %v", Area(line), err)
	}
	bow := orb.Polygon{{{0, 0}, {4, 4}, {4, 0}, {0, 4}, {0, 0}}}
	if got, err := Intersection(bow, b); err == nil {
		t.Errorf("a bow-tie was cut: %v", got)
	}
	if _, err := Buffer(a, math.NaN()); err == nil {
		t.Error("a margin of NaN: no error")
	}
}

func TestCopies(t *testing.T) {
	for _, g := range []orb.Geometry{
		orb.Point{1, 2}, orb.MultiPoint{{1, 2}, {3, 4}}, orb.LineString{{1, 2}, {3, 5}}, orb.MultiLineString{{{1, 2}, {3, 4}}},
		orb.Ring{{0, 0}, {1, 0}, {0, 1}, {0, 0}}, orb.Polygon{{{0, 0}, {1, 0}, {0, 1}, {0, 0}}},
		orb.MultiPolygon{{{{0, 0}, {1, 0}, {0, 1}, {0, 0}}}}, orb.Collection{orb.Point{1, 2}},
	} {
		before := orb.Clone(g)
		there := Scale(Rotate(Translate(g, 3, -2), orb.Point{1, 1}, 90), orb.Point{}, 2, -1)
		if !orb.Equal(g, before) {
			t.Errorf("%T was changed", g)
		}
		back := Translate(Rotate(Scale(there, orb.Point{}, 0.5, -1), orb.Point{1, 1}, -90), -3, 2)
		if !orb.Equal(back, g) {
			t.Errorf("there and back: %v, want %v", back, g)
		}
	}
	if got := Rotate(orb.Point{2, 0}, orb.Point{1, 0}, 90); !orb.Equal(got, orb.Point{1, 1}) {
		t.Errorf("anticlockwise: %v", got)
	}
	if Map(nil, nil) != nil {
		t.Error("nil")
	}
}

func TestSimplifyOutline(t *testing.T) {
	p := shape(t, "POLYGON((0 0,5 0.01,10 0,10 10,5 9.99,0 10,0 0))").(orb.Polygon)
	if got := SimplifyOutline(p, 0.1); len(got[0]) != 5 || Area(got) != 100 {
		t.Errorf("%v", got)
	}
	// A hole close to a bulge that the tolerance would flatten: what is left must still be proper.
	bulge := shape(t, "POLYGON((0 0,5 -1,10 0,10 10,0 10,0 0),(4 -0.5,6 -0.5,5 0.5,4 -0.5))").(orb.Polygon)
	if err := Validate(SimplifyOutline(bulge, 2)); err != nil {
		t.Error(err)
	}
}

func TestField(t *testing.T) {
	s := NewSites([]orb.Geometry{
		shape(t, "POLYGON((10 10,30 12,28 20,9 15,10 10))"), orb.Point{60, 60}, orb.LineString{{70, 5}, {80, 30}, {60, 40}}, nil,
		shape(t, "POLYGON((40 40,90 40,90 90,40 90,40 40),(45 45,85 45,85 85,45 85,45 45))"),
	})
	const nx, ny = 173, 131 // no whole number of tiles
	b := orb.Bound{Min: orb.Point{-3, -5}, Max: orb.Point{97, 95}}
	out := make([]float32, nx*ny)
	if err := s.Field(context.Background(), b, nx, ny, out); err != nil {
		t.Fatal(err)
	}
	for y := range ny {
		for x := range nx {
			at := orb.Point{-3 + 100*(float64(x)+0.5)/nx, 95 - 100*(float64(y)+0.5)/ny}
			want, _ := s.DistanceFrom(at)
			if got := float64(out[y*nx+x]); math.Abs(got-want) > 1e-5 {
				t.Fatalf("cell %d, %d: %v, want %v", x, y, got, want)
			}
		}
	}
	ended, end := context.WithCancel(context.Background())
	end()
	if err := s.Field(ended, b, nx, ny, out); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	for _, c := range [][3]int{{0, 5, 10}, {5, -1, 10}, {4, 4, 15}} {
		if s.Field(context.Background(), b, c[0], c[1], make([]float32, c[2])) == nil {
			t.Errorf("%v: no error", c)
		}
	}
	var none *Sites
	if err := none.Field(context.Background(), b, 2, 2, out[:4]); err != nil || !math.IsInf(float64(out[3]), 1) {
		t.Errorf("without sites: %v, %v", err, out[:4])
	}
}

func TestNoSites(t *testing.T) {
	bed := shape(t, "POLYGON((0 0,4 0,4 4,0 4,0 0))")
	var none *Sites
	for name, s := range map[string]*Sites{
		"nil": none, "empty": NewSites(nil), "of nothing": NewSites([]orb.Geometry{nil, orb.Polygon{}, orb.MultiPolygon{}}),
		"taken away": NewSites([]orb.Geometry{bed}).With(0, nil),
	} {
		for what, span := range map[string]Span{"nearest": s.Nearest(bed), "farthest": s.Farthest(bed)} {
			if !math.IsInf(span.Metres, 1) || span.Site != -1 {
				t.Errorf("%s %s: %v", name, what, span)
			}
		}
		if d, site := s.DistanceFrom(orb.Point{}); !math.IsInf(d, 1) || site != -1 {
			t.Errorf("%s: %v from %d", name, d, site)
		}
		if a := s.AreaWithin(bed, 100); a != 0 {
			t.Errorf("%s: %v m²", name, a)
		}
		if m := s.MeanDistance(bed); !math.IsInf(m, 1) {
			t.Errorf("%s: mean %v", name, m)
		}
		if o, err := s.Offset(10, 0); err != nil || len(o) != 0 {
			t.Errorf("%s: %v, %v", name, o, err)
		}
	}
	s := NewSites([]orb.Geometry{bed})
	for _, g := range []orb.Geometry{nil, orb.Polygon{}, orb.Collection{}} {
		if n, f := s.Nearest(g), s.Farthest(g); n.Site != -1 || f.Site != -1 || s.AreaWithin(g, 1) != 0 {
			t.Errorf("%v: %v, %v", g, n, f)
		}
	}
	if a := s.AreaWithin(bed, math.NaN()) + s.AreaWithin(bed, -1); a != 0 {
		t.Errorf("%v m² within no range", a)
	}
	if a := s.AreaWithin(bed, math.Inf(1)); a != 16 {
		t.Errorf("%v m² within any range", a)
	}
}

// Points dropped beforehand make no difference to the hull: against that of all points.
func TestHullOfManyPoints(t *testing.T) {
	rng := rand.New(rand.NewSource(3))
	for range 300 {
		points := make([]orb.Point, 64+rng.Intn(300))
		far := []float64{0, 0, 5e6}[rng.Intn(3)]
		step := []float64{0, 0.5, 2}[rng.Intn(3)] // on a grid many lie in one line
		for i := range points {
			p := orb.Point{10 * rng.NormFloat64(), 10 * rng.NormFloat64()}
			if step > 0 {
				p = orb.Point{step * math.Round(p[0]/step), step * math.Round(p[1]/step)}
			}
			points[i] = orb.Point{p[0] + far, p[1] - far}
		}
		want := convexHull(slices.Clone(points))
		got := Hull(orb.MultiPoint(points))
		if !slices.Equal(want, got[0][:len(got[0])-1]) {
			t.Fatalf("hull of %v: %v, want %v", points, got, want)
		}
	}
	line := make(orb.MultiPoint, 100)
	for i := range line {
		line[i] = orb.Point{float64(i), 2 * float64(i)}
	}
	if h := Hull(line); h != nil {
		t.Errorf("hull of a line: %v", h)
	}
}
