package geometry

import (
	"fmt"
	"math"
	"slices"
	"sync"
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"

	_ "hedgereach/geometry/repeatable"
)

func box(x0, y0, x1, y1 float64) orb.Polygon {
	return orb.Bound{Min: orb.Point{x0, y0}, Max: orb.Point{x1, y1}}.ToPolygon()
}

// Expected lengths are sums of straight legs between corners, worked out by Pythagoras.
func TestWaysRoundCorners(t *testing.T) {
	origin := orb.Point{}
	far := orb.Point{30, 0}
	ring := orb.Polygon{box(-5, -5, 5, 5)[0], box(-4, -4, 4, 4)[0]}
	tests := []struct {
		name      string
		site      orb.Geometry
		obstacles []orb.Geometry
		from      orb.Point
		want      float64
		corners   int
	}{
		{"nothing in the way", origin, []orb.Geometry{box(10, 1, 20, 5)}, far, 30, 0},
		{"along an edge", origin, []orb.Geometry{box(10, 0, 20, 5)}, far, 30, -1},
		{"no obstacles", origin, nil, far, 30, 0},
		{"points and lines bar nothing", origin,
			[]orb.Geometry{nil, orb.Point{15, 0}, orb.LineString{{15, -9}, {15, 9}}, orb.Polygon{{{1, 1}, {2, 1}, {1, 1}}}}, far, 30, 0},
		{"round one corner", origin,
			[]orb.Geometry{orb.Polygon{{{15, 8}, {14, -99}, {16, -99}, {15, 8}}}}, far, 2 * math.Hypot(15, 8), 1},
		{"round a box, the same on both sides", origin, []orb.Geometry{box(10, -5, 20, 5)}, far, 2*math.Hypot(10, 5) + 10, 2},
		{"round a box, shorter below", origin, []orb.Geometry{box(10, -4, 20, 5)}, far, 2*math.Hypot(10, 4) + 10, 2},
		{"over one wall and under the next", origin,
			[]orb.Geometry{box(10, -100, 11, 5), box(20, -5, 21, 100)}, orb.Point{31, 0},
			2*math.Hypot(10, 5) + 2 + math.Hypot(9, 10), 4},
		{"through a gap", origin,
			[]orb.Geometry{box(10, -100, 12, 3), box(10, 4, 12, 100)}, orb.Point{22, 0}, 2*math.Hypot(10, 3) + 2, 2},
		{"between corners that touch", origin, []orb.Geometry{box(10, -100, 15, 0), box(15, 0, 20, 100)}, far, 30, -1},
		{"not between walls that touch", origin,
			[]orb.Geometry{box(10, -5, 20, 0), box(10, 0, 20, 6)}, far, 2*math.Hypot(10, 5) + 10, 2},
		{"overlapping", origin, []orb.Geometry{box(10, -5, 16, 6), box(14, -7, 20, 6)}, far, 2*math.Hypot(10, 6) + 10, -1},
		{"the same twice", origin, []orb.Geometry{box(10, -5, 20, 6), box(10, -5, 20, 6)}, far, 2*math.Hypot(10, 5) + 10, 2},
		{"round a bay", origin, []orb.Geometry{orb.Polygon{{{8, -9}, {12, -9}, {12, 8}, {4, 8}, {4, 4}, {8, 4}, {8, -9}}}}, far,
			math.Hypot(8, 9) + 4 + math.Hypot(18, 9), 2},
		{"the other way round a bay", origin,
			[]orb.Geometry{orb.Polygon{{{8, -20}, {12, -20}, {12, 8}, {4, 8}, {4, 4}, {8, 4}, {8, -20}}}},
			far, math.Hypot(4, 8) + 8 + math.Hypot(18, 8), 2},
		{"from the edge of an obstacle", origin,
			[]orb.Geometry{box(10, -5, 20, 5)}, orb.Point{20, 0}, 5 + 10 + math.Hypot(10, 5), 2},
		{"from a corner", origin, []orb.Geometry{box(10, -5, 20, 6)}, orb.Point{20, -5}, 10 + math.Hypot(10, 5), 1},
		{"within a court", orb.Point{-3, 0},
			[]orb.Geometry{ring, box(-1, -2, 1, 3)}, orb.Point{3, 0}, 2*math.Hypot(2, 2) + 2, 2},
		{"out of a court", orb.Point{9, 0}, []orb.Geometry{ring}, orb.Point{3, 0}, math.Inf(1), 0},
		{"into a court", orb.Point{3, 0}, []orb.Geometry{ring}, orb.Point{9, 0}, math.Inf(1), 0},
		{"out of a court whose walls touch", orb.Point{99, 0},
			[]orb.Geometry{box(-5, -5, 5, -4), box(-5, 4, 5, 5), box(-5, -4, -4, 4), box(4, -4, 5, 4)}, origin, math.Inf(1), 0},
		{"from inside an obstacle", origin, []orb.Geometry{box(10, -5, 20, 5)}, orb.Point{15, 0}, math.Inf(1), 0},
		{"to a hedge behind a shed", box(0, -2, 100, 0),
			[]orb.Geometry{box(40, 5, 60, 10)}, orb.Point{50, 20}, 10 + math.Hypot(10, 10), -1},
		{"to a hedge behind a shed, askew", box(0, -2, 100, 0), []orb.Geometry{box(40, 5, 60, 10)}, orb.Point{45, 20},
			10 + math.Hypot(5, 10), -1},
		{"to a margin across the bank", box(0, -2, 100, 3),
			[]orb.Geometry{box(40, 0, 60, 10)}, orb.Point{50, 20}, 7 + math.Hypot(10, 10), -1},
		{"to a margin right over the pond", box(0, -2, 100, 12), []orb.Geometry{box(40, 0, 60, 10)}, orb.Point{50, 20}, 8, 0},
		{"from a site in a pond", box(40, 0, 60, 10), []orb.Geometry{box(30, -10, 70, 20)}, orb.Point{50, 5}, 0, -1},
		{"to an island", box(40, 0, 60, 10), []orb.Geometry{box(30, -10, 70, 20)}, orb.Point{50, 50}, math.Inf(1), 0},
	}
	for _, test := range tests {
		for _, turn := range []float64{0, 17.3, 90, 211} {
			for _, away := range []float64{0, 1e5} {
				t.Run(fmt.Sprint(test.name, turn, away), func(t *testing.T) {
					move := func(g orb.Geometry) orb.Geometry {
						if g == nil {
							return nil
						}
						return Translate(Rotate(g, origin, turn), away, -away/2)
					}
					var obstacles []orb.Geometry
					for _, o := range test.obstacles {
						obstacles = append(obstacles, move(o))
					}
					w := NewWays(NewSites([]orb.Geometry{nil, move(test.site)}), obstacles)
					from := move(test.from).(orb.Point)
					d, site := w.DistanceFrom(from)
					way := w.Way(from)
					if math.IsInf(test.want, 1) {
						if !math.IsInf(d, 1) || site != -1 || way != nil {
							t.Fatalf("got %v m to site %d by %v, want no way", d, site, way)
						}
						if s := w.Nearest(from); s != nowhere {
							t.Errorf("Nearest answers %v", s)
						}
						if s := w.Farthest(from); s != nowhere {
							t.Errorf("Farthest answers %v", s)
						}
						return
					}
					near := func(got, want float64) bool { return math.Abs(got-want) < 1e-7 }
					if !near(d, test.want) || site != 1 {
						t.Fatalf("got %v m to site %d by %v, want %v", d, site, way, test.want)
					}
					if test.corners >= 0 && len(way) != 2+test.corners {
						t.Errorf("want %d bends in %v", test.corners, way)
					}
					if l := lineLength(way); way[0] != from || !near(l, d) || PointDistance(way[len(way)-1], move(test.site)) > 1e-9 {
						t.Errorf("%v is %v m long", way, l)
					}
					for _, s := range []Span{w.Nearest(from), w.Farthest(from)} {
						if !near(s.Metres, d) || s.Site != 1 || s.From != from || distance(s.To, way[len(way)-1]) > 1e-9 {
							t.Errorf("as a shape the point is at %v", s)
						}
					}
				})
			}
		}
	}
}

// Round a circle of radius r, from a and b metres off its centre at the angle φ apart, the shortest way is two tangents and an
// arc: √(a²−r²) + √(b²−r²) + r(φ − arccos(r/a) − arccos(r/b)). A polygon lies between its inscribed and its circumscribed
// circle.
func TestWaysRoundPond(t *testing.T) {
	const n, r = 64, 10.0
	var pond orb.Ring
	for i := range n + 1 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i%n) / n)
		pond = append(pond, orb.Point{r * cos, r * sin})
	}
	round := func(r, a, b, angle float64) float64 {
		return math.Sqrt(a*a-r*r) + math.Sqrt(b*b-r*r) + r*(angle-math.Acos(r/a)-math.Acos(r/b))
	}
	w := NewWays(NewSites([]orb.Geometry{orb.Point{-25, 0}}), []orb.Geometry{orb.Polygon{pond}})
	for _, angle := range []float64{math.Pi, 3, 2.7, 2.5} {
		for _, b := range []float64{10.5, 15, 60} {
			if math.Acos(r/25)+math.Acos(r/b) > angle {
				continue // the straight line misses the pond
			}
			sin, cos := math.Sincos(math.Pi - angle)
			got, _ := w.DistanceFrom(orb.Point{b * cos, b * sin})
			if low, high := round(r*math.Cos(math.Pi/n), 25, b, angle), round(r, 25, b, angle); got < low || got > high {
				t.Errorf("%v m away at %v: got %v, want %v to %v", b, angle, got, low, high)
			}
		}
	}
}

// A bed behind a shed, a long hedge in front of it: from each point the way leads round the nearer end of the shed, 10 m from
// the hedge.
func TestWaysBehindShed(t *testing.T) {
	hedge, shed := box(0, -2, 100, 0), []orb.Geometry{box(40, 5, 60, 10)}
	w := NewWays(NewSites([]orb.Geometry{hedge}), shed)
	bed := box(45, 15, 55, 20)
	if w.Clear(bed, math.Inf(1)) || w.Clear(bed, 16) || !w.Clear(bed, 4) {
		t.Error("the shed bars all ways from the bed longer than 10 m")
	}
	near := func(got, want, gap float64) bool { return math.Abs(got-want) <= gap }
	if s := w.Nearest(bed); !near(s.Metres, math.Sqrt(50)+10, 1e-9) || s.From[1] != 15 || s.To[1] != 0 {
		t.Errorf("Nearest: %v", s)
	}
	if s := w.Nearest(box(30, 15, 70, 20)); !near(s.Metres, 15, 1e-9) {
		t.Errorf("a bed longer than the shed can be reached straight: %v", s)
	}
	if s := w.Farthest(bed); !near(s.Metres, math.Sqrt(200)+10, 1e-4) || distance(s.From, orb.Point{50, 20}) > 1e-3 {
		t.Errorf("Farthest: %v", s)
	}
	// 10 m round the ends (40, 10) and (60, 10) reach two equal corners of the bed: each a sector of 30° less two triangles.
	corner := 100*math.Pi/12 - 5*(math.Sqrt(75)-5)
	if a := w.AreaWithin(bed, 20); !near(a, 2*corner, 50*5e-4) {
		t.Errorf("AreaWithin 20 m: %v, want %v", a, 2*corner)
	}
	for r, want := range map[float64]float64{math.NaN(): 0, -1: 0, 0: 0, 17: 0, 24.2: 50, math.Inf(1): 50} {
		if a := w.AreaWithin(bed, r); !near(a, want, 50*5e-4) {
			t.Errorf("AreaWithin %v m: %v, want %v", r, a, want)
		}
	}
	// What the bed covers of the shed is bed.
	over := box(45, 8, 55, 20)
	if s := w.Nearest(over); !near(s.Metres, 15, 1e-9) || s.From != (orb.Point{45, 10}) && s.From != (orb.Point{55, 10}) {
		t.Errorf("Nearest of a bed over the shed: %v", s)
	}
	if s := w.Farthest(over); !near(s.Metres, math.Sqrt(200)+10, 1e-4) {
		t.Errorf("Farthest of a bed over the shed: %v", s)
	}
	deep := orb.Point{50, 8}
	if d, _ := w.DistanceFrom(deep); !math.IsInf(d, 1) {
		t.Errorf("in the shed: %v", d)
	}
	if d, _ := w.Open(over).DistanceFrom(deep); !near(d, math.Sqrt(29)+15, 1e-9) {
		t.Errorf("in the bed over the shed: %v", d)
	}
	inside := box(45, 6, 55, 9)
	if s := w.Nearest(inside); s != nowhere {
		t.Errorf("a bed wholly enclosed: %v", s)
	}
	if s := w.Farthest(inside); s != nowhere {
		t.Errorf("a bed wholly enclosed: %v", s)
	}
	if a := w.AreaWithin(inside, 1e3); a != 0 {
		t.Errorf("a bed wholly enclosed: %v", a)
	}
	// A line that leads into the shed has points without a way.
	line := orb.LineString{{50, 20}, {50, 7}}
	if s := w.Farthest(line); s != nowhere {
		t.Errorf("into the shed: %v", s)
	}
	if s := w.Nearest(line); !near(s.Metres, 20, 1e-9) {
		t.Errorf("into the shed: %v", s)
	}
}

func TestNoWays(t *testing.T) {
	for _, w := range []*Ways{NewWays(nil, nil), NewWays(nil, []orb.Geometry{box(0, 0, 1, 1)}), NewWays(NewSites(nil), nil)} {
		bed := box(5, 5, 6, 6)
		if d, site := w.DistanceFrom(orb.Point{1, 2}); !math.IsInf(d, 1) || site != -1 {
			t.Errorf("got %v, %d", d, site)
		}
		if w.Way(orb.Point{}) != nil || w.Nearest(bed) != nowhere || w.Farthest(bed) != nowhere || w.AreaWithin(bed, 9) != 0 {
			t.Error("nothing to go to must be nowhere")
		}
		if w.Nearest(nil) != nowhere || w.Farthest(nil) != nowhere || w.AreaWithin(nil, 9) != 0 || !w.Clear(nil, 9) {
			t.Error("no shape must be nowhere")
		}
	}
	w := NewWays(NewSites([]orb.Geometry{orb.Point{}}), nil)
	if d, _ := w.DistanceFrom(orb.Point{math.NaN(), 0}); !math.IsInf(d, 1) {
		t.Errorf("no number: %v", d)
	}
}

func drawObstacle(t *rapid.T) orb.Polygon {
	x, y := float64(rapid.IntRange(0, 50).Draw(t, "x")), float64(rapid.IntRange(0, 50).Draw(t, "y"))
	w, h := float64(rapid.IntRange(1, 20).Draw(t, "w")), float64(rapid.IntRange(1, 20).Draw(t, "h"))
	turn := rapid.SampledFrom([]float64{0, 0, 0, 45, 17.3}).Draw(t, "turn")
	if turn != 0 { // shapes askew that touch or not by a rounding have no one answer
		x += rapid.Float64Range(0.01, 0.99).Draw(t, "off")
	}
	var p orb.Polygon
	switch rapid.IntRange(0, 3).Draw(t, "kind") {
	case 0:
		p = orb.Polygon{{{x, y}, {x + w, y}, {x + w, y + h}, {x + w/2, y + h}, {x + w/2, y + h/2}, {x, y + h/2}, {x, y}}}
	case 1:
		p = orb.Polygon{{{x, y}, {x + w, y}, {x, y + h}, {x, y}}}
	case 2:
		p = orb.Polygon{box(x, y, x+w, y+h)[0], box(x+w/4, y+h/4, x+w/2, y+h/2)[0]}
	default:
		p = box(x, y, x+w, y+h)
	}
	return Rotate(p, orb.Point{x, y}, turn).(orb.Polygon)
}

func drawObstacles(t *rapid.T, most int) []orb.Geometry {
	all := make([]orb.Geometry, rapid.IntRange(0, most).Draw(t, "obstacles"))
	for i := range all {
		all[i] = drawObstacle(t)
	}
	return all
}

func drawWalkSites(t *rapid.T) []orb.Geometry {
	all := make([]orb.Geometry, rapid.IntRange(1, 3).Draw(t, "sites"))
	for i := range all {
		if rapid.Bool().Draw(t, "point") {
			all[i] = drawAnywhere(t)
		} else {
			all[i] = drawObstacle(t)
		}
	}
	return all
}

func drawAnywhere(t *rapid.T) orb.Point {
	return orb.Point{rapid.Float64Range(-5, 70).Draw(t, "at x"), rapid.Float64Range(-5, 70).Draw(t, "at y")}
}

// plainWay works the distance out by other means: obstacles joined and cut by overlays, every corner a node, sight by the length
// of a segment that an overlay finds inside, every side of a site a goal of its own, all pairs relaxed until nothing changes.
func plainWay(t *rapid.T, sites, obstacles []orb.Geometry, from orb.Point) float64 {
	ground, err := Union(obstacles...)
	if err != nil {
		t.Skip(err)
	}
	covered, err := Union(sites...)
	if err != nil {
		t.Skip(err)
	}
	if ground, err = Difference(ground, covered); err != nil {
		t.Skip(err)
	}
	barred := geom.NewMultiPolygon(func() (all []geom.Polygon) {
		for _, p := range ground {
			all = append(all, toPolygon(p))
		}
		return all
	}()).AsGeometry()
	nodes := []orb.Point{from}
	for _, p := range ground {
		for _, r := range p {
			nodes = append(nodes, r[1:]...)
		}
	}
	sight := func(a, b orb.Point) bool {
		if a == b {
			return true
		}
		for _, v := range nodes { // a corner on the line is a stop
			if v != a && v != b && distance(v, footOn(a, b, v)) < 1e-8 && min(distance(a, v), distance(b, v)) > 1e-8 {
				return false
			}
		}
		in, err := geom.Intersection(geom.NewLineStringXY(a[0], a[1], b[0], b[1]).AsGeometry(), barred)
		if err != nil {
			t.Skip(err)
		}
		// What the overlay counts as inside may lie along the edge.
		for _, s := range in.Dump() {
			if !s.IsLineString() || s.Length() < 1e-7 {
				continue
			}
			seq := s.MustAsLineString().Coordinates()
			for i := 1; i < seq.Length(); i++ {
				p, q := seq.GetXY(i-1), seq.GetXY(i)
				m := orb.Point{p.X/2 + q.X/2, p.Y/2 + q.Y/2}
				edge := math.Inf(1)
				for _, part := range ground {
					for _, r := range part {
						edge = min(edge, PointDistance(m, orb.LineString(r)))
					}
				}
				if edge > 1e-7 && Contains(ground, m) {
					return false
				}
			}
		}
		return true
	}
	d := make([]float64, len(nodes))
	for i, v := range nodes {
		d[i] = math.Inf(1)
		for _, s := range sites {
			if len(Polygons(s)) > 0 && Contains(s, v) {
				d[i] = 0
			}
			eachPath(s, func(path []orb.Point) {
				for k := range path {
					foot := footOn(path[max(k-1, 0)], path[k], v)
					if l := distance(v, foot); l < d[i] && sight(v, foot) {
						d[i] = l
					}
				}
			})
		}
	}
	seen := map[[2]int]bool{}
	for i := range nodes {
		for k := range i {
			seen[[2]int{k, i}] = sight(nodes[k], nodes[i])
		}
	}
	for changed := true; changed; {
		changed = false
		for pair, yes := range seen {
			if !yes {
				continue
			}
			l := distance(nodes[pair[0]], nodes[pair[1]])
			for _, ends := range [2][2]int{{pair[0], pair[1]}, {pair[1], pair[0]}} {
				if through := d[ends[0]] + l; through < d[ends[1]]-1e-12 {
					d[ends[1]], changed = through, true
				}
			}
		}
	}
	return d[0]
}

func TestWaysAgainstPlainSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sites, obstacles, from := drawWalkSites(t), drawObstacles(t, 4), drawAnywhere(t)
		for _, at := range append(sites, from) { // a point a hair from a wall is a question of what counts as a hair
			for _, o := range obstacles {
				if p, isPoint := at.(orb.Point); isPoint && allButOn(p, o) {
					t.Skip()
				}
			}
		}
		got, _ := NewWays(NewSites(sites), obstacles).DistanceFrom(from)
		want := plainWay(t, sites, obstacles, from)
		if got != want && !(math.Abs(got-want) < 1e-6) {
			t.Fatalf("got %v, the plain search %v", got, want)
		}
	})
}

// allButOn tells whether a point lies within a millimetre of a polygon's edge, but not on it.
func allButOn(p orb.Point, g orb.Geometry) bool {
	least := math.Inf(1)
	eachPath(g, func(path []orb.Point) { least = min(least, PointDistance(p, orb.LineString(path))) })
	return 0 < least && least < 1e-3
}

// What must hold of ways whatever the ground.
func TestWaysProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shapes, obstacles := drawWalkSites(t), drawObstacles(t, 6)
		sites := NewSites(shapes)
		w, more := NewWays(sites, obstacles), NewWays(sites, append(obstacles, drawObstacle(t)))
		a, b := drawAnywhere(t), drawAnywhere(t)
		da, _ := w.DistanceFrom(a)
		db, _ := w.DistanceFrom(b)
		straight, _ := sites.DistanceFrom(a)
		if da < straight-1e-9 {
			t.Fatalf("%v m on foot, %v m straight", da, straight)
		}
		if longer, _ := more.DistanceFrom(a); longer < da-1e-7 {
			t.Fatalf("one more obstacle makes %v m into %v m", da, longer)
		}
		p, q := w.inner(a), w.inner(b)
		if w.clear(p, q) && !w.inside(p) && !w.inside(q) &&
			(math.IsInf(da, 1) != math.IsInf(db, 1) || math.Abs(da-db) > distance(a, b)+1e-7) {
			t.Fatalf("%v m and %v m, but %v m from one to the other", da, db, distance(a, b))
		}
		if w.Clear(a, math.Inf(1)) && da != straight {
			t.Fatalf("clear, but %v m on foot and %v m straight", da, straight)
		}
		if way := w.Way(a); (way == nil) != math.IsInf(da, 1) || way != nil && math.Abs(lineLength(way)-da) > 1e-9 {
			t.Fatalf("%v is not %v m long", way, da)
		}
	})
}

func TestWaysWithoutObstacles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sites, bed, r := NewSites(drawWalkSites(t)), drawObstacle(t), rapid.Float64Range(0, 60).Draw(t, "r")
		for _, w := range []*Ways{NewWays(sites, nil), NewWays(sites, []orb.Geometry{box(1e4, 1e4, 2e4, 2e4)})} {
			if w.Nearest(bed) != sites.Nearest(bed) || w.Farthest(bed) != sites.Farthest(bed) ||
				w.AreaWithin(bed, r) != sites.AreaWithin(bed, r) || !w.Clear(bed, math.Inf(1)) {
				t.Fatal("ways are not straight")
			}
		}
	})
}

// The measures of a bed against the distances of its points, each of which speaks for the ground round it: walking there changes
// the distance by no more than the walk.
func TestWaysOfBeds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sites, obstacles, bed := drawWalkSites(t), drawObstacles(t, 4), drawObstacle(t)
		w := NewWays(NewSites(sites), obstacles)
		open := w.Open(bed)
		nearest, farthest := w.Nearest(bed), w.Farthest(bed)
		const step = 1.0
		const diagonal = step * math.Sqrt2
		r := rapid.Float64Range(0, 40).Draw(t, "r")
		low, high := math.Inf(1), 0.0
		in, out := 0.0, 0.0
		b := bed.Bound()
		for x := b.Min[0]; x < b.Max[0]; x += step {
			for y := b.Min[1]; y < b.Max[1]; y += step {
				part, err := Intersection(bed, box(x, y, x+step, y+step))
				if err != nil || len(part) == 0 {
					continue
				}
				at := part[0][0][0]
				d, _ := open.DistanceFrom(at)
				low, high = min(low, d), max(high, d)
				if Area(part) < step*step-1e-9 {
					continue // there may be a wall between its parts
				}
				if d+diagonal <= r {
					in += step * step
				}
				if d-diagonal > r {
					out += step * step
				}
			}
		}
		if low < nearest.Metres-1e-7 {
			t.Fatalf("a point is %v m away, Nearest says %v", low, nearest)
		}
		if high > farthest.Metres+0.01 && farthest != nowhere {
			t.Fatalf("a point is %v m away, Farthest says %v", high, farthest)
		}
		if farthest != nowhere {
			if d, _ := open.DistanceFrom(farthest.From); math.Abs(d-farthest.Metres) > 1e-7 || PointDistance(farthest.From, bed) > 1e-9 {
				t.Fatalf("Farthest says %v, but that point of the bed is %v m away", farthest, d)
			}
		}
		if nearest != nowhere {
			d, _ := open.DistanceFrom(nearest.From)
			off := max(PointDistance(nearest.From, bed), PointDistance(nearest.To, sites[nearest.Site]))
			if math.Abs(d-nearest.Metres) > 1e-7 || off > 1e-9 {
				t.Fatalf("Nearest says %v, but that point of the bed is %v m away", nearest, d)
			}
		}
		whole := Area(bed)
		area := w.AreaWithin(bed, r)
		if area < in-whole*1e-3 || area > whole-out+whole*1e-3 {
			t.Fatalf("AreaWithin %v m is %v, but surely %v to %v", r, area, in, whole-out)
		}
		if all := w.AreaWithin(bed, farthest.Metres+0.01); farthest != nowhere && all < whole*(1-1e-3) {
			t.Fatalf("only %v of %v m² within the farthest distance", all, whole)
		}
		if none := w.AreaWithin(bed, nearest.Metres*(1-1e-9)-1e-6); nearest != nowhere && none > whole*1e-3 {
			t.Fatalf("%v m² nearer than the nearest", none)
		}
	})
}

// Sites in which one shape was replaced stand for the same ground as new ones.
func TestWaysToReplacedSites(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shapes, obstacles, bed := drawWalkSites(t), drawObstacles(t, 4), drawObstacle(t)
		i := rapid.IntRange(0, len(shapes)-1).Draw(t, "replaced")
		before := slices.Clone(shapes)
		before[i] = drawObstacle(t)
		moved, fresh := NewWays(NewSites(before).With(i, shapes[i]), obstacles), NewWays(NewSites(shapes), obstacles)
		same := func(a, b Span) bool { return a == b || math.Abs(a.Metres-b.Metres) < 1e-6 }
		if !same(moved.Nearest(bed), fresh.Nearest(bed)) || !same(moved.Farthest(bed), fresh.Farthest(bed)) {
			t.Fatalf("nearest %v, farthest %v; to new sites %v, %v",
				moved.Nearest(bed), moved.Farthest(bed), fresh.Nearest(bed), fresh.Farthest(bed))
		}
	})
}

// A bed, a pond and a strip that cover one another in part: what the strip opens of the pond has sides of next to no length, and
// still all of the bed is reached through its own ground.
func TestWaysThroughABedInAPond(t *testing.T) {
	bed := orb.Polygon{{{0, 0}, {4.433, 1.3713}, {3.9521, 2.9259}, {-0.4809, 1.5546}, {0, 0}},
		{{0.988, 0.7315}, {0.8678, 1.1201}, {1.9761, 1.463}, {2.0963, 1.0743}, {0.988, 0.7315}}}
	pond := orb.Polygon{{{0, 0.3067}, {0.7391, 1.7588}, {-2.0633, 3.1851}, {-2.8023, 1.733}, {0, 0.3067}}}
	strip := orb.Polygon{{{0.2707, 0.8026}, {7.7504, 0.8026}, {7.7504, 2.0706}, {0.2707, 2.0706}, {0.2707, 0.8026}},
		{{2.1406, 1.1196}, {2.1406, 1.4366}, {4.0106, 1.4366}, {4.0106, 1.1196}, {2.1406, 1.1196}}}
	w := NewWays(NewSites([]orb.Geometry{strip}), []orb.Geometry{pond})
	if far := w.Farthest(bed); !(far.Metres < 2) {
		t.Errorf("farthest %+v", far)
	}
	if got := w.AreaWithin(bed, 2); math.Abs(got-Area(bed)) > 1e-3*Area(bed) {
		t.Errorf("%v of %v m² within 2 m", got, Area(bed))
	}
}

// Where a site cuts into a building, the corner at the cut is all but on the site: the way there has no direction, and ways round
// the building end there all the same.
func TestWaysEndAtACut(t *testing.T) {
	strip := orb.Polygon{{{0, 0}, {2.25, 0}, {2.25, 1.3900128858804237}, {0, 0}}}
	w := NewWays(NewSites([]orb.Geometry{strip}), []orb.Geometry{Disc(orb.Point{0.25, 0.0625}, 0.5)})
	// From (0.0156, 1.5) in the bed's far corner past the building's round side to the strip, 1.27 m; round the other side it is 2.5.
	if far := w.Farthest(box(0.015625, 0.5, 1.015625, 1.5)); !(far.Metres < 1.3) {
		t.Errorf("farthest %+v", far)
	}
}

// A line of sight that runs into a wall and on beside the notch that a site cuts in it, a hair from the notch's side: from
// (0.00007, 1.6176) the way goes down the building's west end to its south side and along that to the site.
func TestWaysBesideANotch(t *testing.T) {
	bed := orb.Polygon{{{0.02088726855775679, 5496.069235023394}, {-3.1554477467764315, 5496.069234937148},
		{-3.1554477681750175, 5496.857320874648}, {0.0208872471591707, 5496.857320960894}, {0.02088726855775679, 5496.069235023394}},
		{{-0.7731964906254367, 5496.266256486208}, {-0.7731964959750832, 5496.463277970583}, {-1.5672802498086302, 5496.463277949021},
			{-1.5672802444589837, 5496.266256464646}, {-0.7731964906254367, 5496.266256486208}}}
	building := orb.Polygon{{{0.020944071668800298, 5494.53000559875}, {-14.522148655992327, 5494.5300052038665},
		{-14.522148672409967, 5495.134648488675}, {0.02094405525116008, 5495.134648883559}, {0.020944071668800298, 5494.53000559875}}}
	site := orb.Polygon{{{-1.5287049711136345, 5494.469436530926}, {-2.209636747875643, 5494.469436512437},
		{-2.2096367630297262, 5495.027544424977}, {-1.5287049862677182, 5495.0275444434665}, {-1.5287049711136345, 5494.469436530926}}}
	want := (5496.069235023394 - 5494.53000559875) + (0.020944071668800298 + 1.5287049711136345)
	got := NewWays(NewSites([]orb.Geometry{site}), []orb.Geometry{building}).Nearest(bed)
	if math.Abs(got.Metres-want) > 1e-4 {
		t.Errorf("nearest %+v, want %v", got, want)
	}
}

// What was measured before leaves no trace: the same question has the same answer to the last bit.
func TestWaysDoNotRememberOtherMeasures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sites, obstacles, bed := NewSites(drawWalkSites(t)), drawObstacles(t, 4), drawObstacle(t)
		w, r := NewWays(sites, obstacles), rapid.Float64Range(0, 40).Draw(t, "r")
		area, mean, far := w.AreaWithin(bed, r), w.MeanDistance(bed), w.Farthest(bed)
		var left [8]*scratch
		for i := range left {
			left[i] = scratches.Get().(*scratch)
			left[i].area.spread, left[i].area.cells, left[i].far.gap = 1e-3, 5000, 1
		}
		for _, c := range left {
			scratches.Put(c)
		}
		if again := w.AreaWithin(bed, r); again != area {
			t.Fatalf("%v m², then %v", area, again)
		}
		if w.MeanDistance(bed) != mean || w.Farthest(bed) != far {
			t.Fatal("the mean or the farthest point is another the second time")
		}
	})
}

// Many may measure at once; the race detector watches.
func TestWaysAtOnce(t *testing.T) {
	w := NewWays(NewSites([]orb.Geometry{box(0, -2, 100, 0)}), []orb.Geometry{box(40, 5, 60, 10)})
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			if s := w.Farthest(box(45, 15, 55, 20)); math.Abs(s.Metres-24.1421) > 1e-3 {
				t.Errorf("got %v", s)
			}
		})
	}
	wait.Wait()
}

// walkGarden is a garden of 200 beds in rows, with 30 hedges and 20 obstacles strewn over it.
func walkGarden() (hedges, obstacles, beds []orb.Geometry) {
	for i := range 30 {
		x, y := float64(i*67%200), float64(i*43%160)
		hedges = append(hedges, box(x, y, x+12, y+2))
	}
	for i := range 20 {
		x, y := float64(i*89%190), float64(i*57%150)
		if i%3 == 0 {
			obstacles = append(obstacles, Disc(orb.Point{x, y}, 6))
		} else {
			obstacles = append(obstacles, box(x, y, x+10, y+6))
		}
	}
	for i := range 200 {
		x, y := float64(i%10*20), float64(i/10*8)
		beds = append(beds, box(x, y, x+15, y+1.2))
	}
	return hedges, obstacles, beds
}

func BenchmarkWays(b *testing.B) {
	hedges, obstacles, beds := walkGarden()
	sites := NewSites(hedges)
	b.Run("new", func(b *testing.B) {
		for b.Loop() {
			NewWays(sites, obstacles).reckon()
		}
	})
	w := NewWays(sites, obstacles)
	b.Run("clear", func(b *testing.B) {
		for b.Loop() {
			clear := 0
			for _, bed := range beds {
				if w.Clear(bed, math.Inf(1)) {
					clear++
				}
			}
			b.ReportMetric(float64(clear), "clear")
		}
	})
	b.Run("nearest", func(b *testing.B) {
		for b.Loop() {
			for _, bed := range beds {
				w.Nearest(bed)
			}
		}
	})
	b.Run("farthest", func(b *testing.B) {
		for b.Loop() {
			for _, bed := range beds {
				w.Farthest(bed)
			}
		}
	})
	b.Run("area", func(b *testing.B) {
		for b.Loop() {
			for _, bed := range beds {
				w.AreaWithin(bed, 15)
			}
		}
	})
}
