package ground

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/style"
	"hedgereach/geometry"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// rect is a rectangle of ground, turned by degrees about its first corner.
func rect(x, y, w, h, degrees float64) orb.Polygon {
	s, c := math.Sincos(degrees * math.Pi / 180)
	var r orb.Ring
	for _, q := range [][2]float64{{0, 0}, {w, 0}, {w, h}, {0, h}, {0, 0}} {
		r = append(r, orb.Point{x + c*q[0] - s*q[1], y + s*q[0] + c*q[1]})
	}
	return orb.Polygon{r}
}

func feature(k plan.Kind, name string, g orb.Geometry) *plan.Feature {
	return &plan.Feature{ID: fmt.Sprint(k, name), Kind: k, Name: name, Geometry: g}
}

var screen = style.Screen(style.Light, 1)

// walk visits every step of a drawing, those within clips and layers too.
func walk(ops []drawing.Op, f func(drawing.Op)) {
	for _, op := range ops {
		f(op)
		switch op := op.(type) {
		case drawing.Clip:
			walk(op.Ops, f)
		case drawing.Layer:
			walk(op.Ops, f)
		}
	}
}

// points visits every point of every path.
func points(ops []drawing.Op, f func(orb.Point)) {
	path := func(p drawing.Path) {
		for _, c := range p {
			for _, q := range c.Points {
				f(q)
			}
		}
	}
	walk(ops, func(op drawing.Op) {
		switch op := op.(type) {
		case drawing.Fill:
			path(op.Path)
		case drawing.Stroke:
			path(op.Path)
		case drawing.Hatch:
			path(op.Path)
		case drawing.Clip:
			path(op.Path)
		case drawing.Text:
			f(op.At)
		}
	})
}

func TestViewGoesBack(t *testing.T) {
	v := View{Centre: orb.Point{12, -7}, Middle: orb.Point{400, 300}, Scale: 21.5, Turn: 0.6}
	for _, p := range []orb.Point{{0, 0}, {12, -7}, {-300, 42.25}} {
		if q := v.From(v.To(p)); dist(p, q) > 1e-9 {
			t.Errorf("%v came back as %v", p, q)
		}
	}
	// Unturned, a metre north is Scale units up.
	v.Turn = 0
	if got := v.To(orb.Point{12, -6}); dist(got, orb.Point{400, 278.5}) > 1e-9 {
		t.Errorf("a metre north of the centre is at %v", got)
	}
	// A quarter turn counter-clockwise as seen brings north to the left.
	v.Turn = math.Pi / 2
	if got := v.To(orb.Point{12, -6}); dist(got, orb.Point{378.5, 300}) > 1e-9 {
		t.Errorf("after a quarter turn it is at %v", got)
	}
}

// Every kind draws something at every scale, and nothing that a back-end would refuse, on ground of all shapes.
func TestEveryKindAtEveryScale(t *testing.T) {
	shapes := map[string]orb.Geometry{
		"rectangle": rect(0, 0, 12, 3, 20),
		"sliver":    rect(0, 0, 30, 0.02, 0),
		"with hole": orb.Polygon{rect(0, 0, 10, 10, 0)[0], rect(3, 3, 2, 2, 0)[0]},
		"two parts": orb.MultiPolygon{rect(0, 0, 4, 4, 0), rect(8, 0, 4, 2, 0)},
		"bow-tie":   orb.Polygon{{{0, 0}, {10, 10}, {10, 0}, {0, 10}, {0, 0}}},
		"line":      orb.Polygon{{{0, 0}, {10, 0}, {20, 0}, {0, 0}}},
		"dot":       orb.Polygon{{{5, 5}, {5, 5}, {5, 5}, {5, 5}}},
		"disc":      geometry.Disc(orb.Point{4, 4}, 3),
	}
	for name, g := range shapes {
		for _, k := range append(plan.Kinds, "a kind of next year") {
			for _, scale := range []float64{1e-3, 0.5, 7, 40, 900, 1e5} {
				v := View{Centre: orb.Point{5, 1}, Middle: orb.Point{500, 400}, Scale: scale, Turn: 0.3}
				l := drawing.List{Width: 1000, Height: 800}
				f := feature(k, "", g)
				l.Add(FeatureOps(f, habitat.Partly, v, screen, Show{Statuses: map[string]habitat.Status{},
					Window: orb.Bound{Max: orb.Point{1000, 800}}})...)
				if len(l.Ops) == 0 && name != "dot" {
					t.Errorf("%s as %s at %g draws nothing", name, k, scale)
				}
				if err := drawing.Check(l); err != nil {
					t.Errorf("%s as %s at %g: %v", name, k, scale, err)
				}
				n := 0
				points(l.Ops, func(orb.Point) { n++ })
				if n > 300000 {
					t.Errorf("%s as %s at %g takes %d points", name, k, scale, n)
				}
			}
		}
	}
}

func TestNothingFromNoGround(t *testing.T) {
	nan := math.NaN()
	for _, g := range []orb.Geometry{nil, orb.Polygon{}, orb.Polygon{{}}, orb.Polygon{{{0, 0}, {1, 1}}}, orb.LineString{{0, 0}, {1, 1}},
		orb.Polygon{{{0, 0}, {nan, 1}, {1, 1}, {0, 0}}}, orb.Point{nan, 0}, orb.Polygon{{{0, 0}, {math.Inf(1), 1}, {1, 1}, {0, 0}}}} {
		for _, k := range plan.Kinds {
			if (k == plan.Trap || k == plan.Stake) && g != nil && g.Bound() == (orb.Bound{Max: orb.Point{1, 1}}) {
				continue // a mark needs a place, not ground
			}
			v := View{Middle: orb.Point{50, 50}, Scale: 10}
			if ops := FeatureOps(feature(k, "x", g), habitat.Within, v, screen, Show{}); len(ops) > 0 {
				t.Errorf("%s of %v draws %d steps", k, g, len(ops))
			}
			p := &plan.Plan{Features: []*plan.Feature{feature(k, "x", g)}}
			if got := Labels(p, v, screen, Show{}); len(got) > 0 {
				t.Errorf("%s of %v has a label", k, g)
			}
		}
	}
}

// Where a thing lies on the drawing is where it lies on the ground: the ground of each kind with a plain outline is its true
// polygon.
func TestTrueOutline(t *testing.T) {
	v := View{Centre: orb.Point{0, 0}, Middle: orb.Point{100, 100}, Scale: 10} // 1:100 on paper, in mm
	for _, k := range []plan.Kind{plan.Boundary, plan.Bed, plan.PerennialStrip, plan.FlowerStrip, plan.BeetleBank, plan.WildMargin,
		plan.CoverCrop, plan.TrapCrop, plan.Pond, plan.Path, plan.Building} {
		ops := FeatureOps(feature(k, "", rect(0, 0, 10, 1.2, 0)), habitat.Unknown, v, style.Sheet(style.Paper), Show{})
		fill, ok := ops[0].(drawing.Fill)
		if !ok {
			t.Fatalf("%s does not begin with its ground", k)
		}
		want := []orb.Point{{100, 100}, {200, 100}, {200, 88}, {100, 88}} // 10 m is 100 mm, 1.2 m is 12 mm
		for i, p := range fill.Path[0].Points {
			if dist(p, want[i]) > 1e-9 {
				t.Errorf("%s: corner %d at %v, want %v", k, i, p, want[i])
			}
		}
	}
}

// Small signs stand inside the ground that they are about.
func TestSignsStayInside(t *testing.T) {
	v := View{Centre: orb.Point{10, 5}, Middle: orb.Point{400, 300}, Scale: 30, Turn: -0.2}
	for _, g := range []orb.Polygon{rect(3, 1, 14, 6, 17), geometry.Disc(orb.Point{10, 5}, 4),
		{rect(2, 0, 14, 9, 5)[0], rect(6, 3, 4, 3, 20)[0]}} {
		for _, k := range []plan.Kind{plan.PerennialStrip, plan.FlowerStrip, plan.CoverCrop, plan.BeetleBank, plan.Bed} {
			f := feature(k, "", g)
			ops := FeatureOps(f, habitat.Unknown, v, screen, Show{})
			points(ops, func(p orb.Point) {
				if d := geometry.PointDistance(v.From(p), g); d > 1e-6 {
					t.Fatalf("%s: a sign reaches %.3f m outside", k, d)
				}
			})
		}
	}
}

// A pan moves the drawing as it is: patterns are locked to the ground and do not swim.
func TestPanDoesNotSwim(t *testing.T) {
	for _, k := range plan.Kinds {
		f := feature(k, "", rect(3, 1, 14, 3, 17))
		var at [2][]orb.Point
		for i, shift := range []orb.Point{{0, 0}, {37, -19}} {
			v := View{Centre: orb.Point{10, 5}, Middle: orb.Point{400 + shift[0], 300 + shift[1]}, Scale: 30}
			points(FeatureOps(f, habitat.Unknown, v, screen, Show{}), func(p orb.Point) { at[i] = append(at[i], sub(p, shift)) })
		}
		if len(at[0]) != len(at[1]) {
			t.Errorf("%s: %d points, and %d after a pan", k, len(at[0]), len(at[1]))
			continue
		}
		for i := range at[0] {
			if dist(at[0][i], at[1][i]) > 1e-6 {
				t.Errorf("%s: a pan moves %v to %v on the ground", k, at[0][i], at[1][i])
				break
			}
		}
	}
}

// What cannot be seen is not made, and what can be seen is the same with the rest culled or not.
func TestCulling(t *testing.T) {
	window := orb.Bound{Max: orb.Point{1000, 800}}
	for _, k := range plan.Kinds {
		if k == plan.Trap || k == plan.Stake {
			continue
		}
		f := feature(k, "", rect(-400, -3, 800, 6, 0))
		v := View{Middle: orb.Point{500, 400}, Scale: 60}
		n := 0
		ops := FeatureOps(f, habitat.Unknown, v, screen, Show{Window: window})
		points(ops, func(orb.Point) { n++ })
		if n > 60000 {
			t.Errorf("%s: %d points for a stretch of 800 m of which 17 m is seen", k, n)
		}
		far := f.Clone()
		far.Geometry = rect(5000, 5000, 8, 6, 0)
		var l drawing.List
		l.Width, l.Height = 1000, 800
		Draw(&l, &habitat.Assessment{Plan: &plan.Plan{Features: []*plan.Feature{far}}}, v, screen, Show{Labels: true})
		if len(l.Ops) > 0 {
			t.Errorf("%s out of view is drawn", k)
		}
	}
}

// A speck is one step, and a hedge too thin for bows is ground and outline.
func TestLessAtSmallScale(t *testing.T) {
	f := feature(plan.PerennialStrip, "", rect(0, 0, 20, 5, 0))
	for _, c := range []struct {
		scale float64
		most  int
	}{{0.1, 1}, {0.6, 2}} {
		if n := len(FeatureOps(f, habitat.Unknown, View{Scale: c.scale}, screen, Show{})); n == 0 || n > c.most {
			t.Errorf("at %g units a metre a strip takes %d steps, want at most %d", c.scale, n, c.most)
		}
	}
}

func TestSameDrawingTwice(t *testing.T) {
	p, statuses := crowd(120)
	var dumps [2]string
	for i := range dumps {
		l := drawing.List{Width: 1200, Height: 800}
		Draw(&l, &habitat.Assessment{Plan: p}, View{Centre: orb.Point{40, 30}, Middle: orb.Point{600, 400}, Scale: 12}, screen,
			Show{Statuses: statuses, Labels: true, Grid: true})
		dumps[i] = drawing.Dump(l)
	}
	if dumps[0] != dumps[1] {
		t.Error("the same plan gives two drawings")
	}
}

// The painter's order: whatever stands above comes later.
func TestPaintersOrder(t *testing.T) {
	var fs []*plan.Feature
	for _, k := range plan.Kinds { // bed first, boundary last
		fs = append(fs, feature(k, "", rect(0, 0, 8, 6, 0)))
	}
	l := drawing.List{Width: 400, Height: 400}
	Draw(&l, &habitat.Assessment{Plan: &plan.Plan{Features: fs}}, View{Middle: orb.Point{100, 300}, Scale: 20}, screen, Show{Grid: true})
	var names []string
	for _, op := range l.Ops {
		names = append(names, op.(drawing.Layer).Name)
	}
	want := "Ground, Grid, Paths and water, Beds, Habitats, Boundary, Buildings and fences, Trees, Marks"
	if got := strings.Join(names, ", "); got != want {
		t.Errorf("layers are %s, want %s", got, want)
	}
}

func TestHidden(t *testing.T) {
	f, own := feature(plan.Bed, "A", rect(0, 0, 8, 6, 0)), feature(plan.Bed, "B", rect(0, 0, 8, 6, 0))
	own.Hidden = true
	l := drawing.List{Width: 400, Height: 400}
	Draw(&l, &habitat.Assessment{Plan: &plan.Plan{Features: []*plan.Feature{f, own}}},
		View{Middle: orb.Point{100, 300}, Scale: 20}, screen, Show{Labels: true, Hidden: map[string]bool{f.ID: true}})
	if len(l.Ops) > 0 {
		t.Error("a hidden bed is drawn")
	}
}

// Status never rests on colour alone: a hatch of its own and a letter go with it.
func TestStatusHasHatchAndLetter(t *testing.T) {
	f := feature(plan.Bed, "A", rect(0, 0, 8, 6, 0))
	p := &plan.Plan{Features: []*plan.Feature{f}}
	seen := map[string]bool{}
	for st := habitat.Unknown; st <= habitat.Beyond; st++ {
		l := drawing.List{Width: 400, Height: 400}
		Draw(&l, &habitat.Assessment{Plan: p}, View{Middle: orb.Point{100, 300}, Scale: 20}, screen,
			Show{Labels: true, Statuses: map[string]habitat.Status{f.ID: st}})
		hatch, letter := "", false
		walk(l.Ops, func(op drawing.Op) {
			switch op := op.(type) {
			case drawing.Hatch:
				hatch = fmt.Sprint(op.Pattern.Angle, op.Pattern.Gap, op.Pattern.Cross, op.Pattern.Dots)
			case drawing.Text:
				letter = letter || op.Words == st.Letter()
			}
		})
		if hatch == "" || seen[hatch] || !letter {
			t.Errorf("%s: hatch %q, letter %t", st, hatch, letter)
		}
		seen[hatch] = true
	}
}

// With a time asked about, flowers stand only where a plant is in flower, in number by its share.
func TestOnlyWhatFlowers(t *testing.T) {
	f := feature(plan.PerennialStrip, "", rect(0, 0, 20, 10, 0))
	f.Plants = []plan.Growing{{Plant: "early", Share: 0.3}, {Plant: "late", Share: 0.6}}
	v := View{Middle: orb.Point{0, 300}, Scale: 30}
	count := func(in map[string]bool) (flowers int) {
		show := Show{Flowering: new(f.Plants[0].Bloom.From.HalfMonth()), InFlower: func(g plan.Growing) bool { return in[g.Plant] }}
		walk(FeatureOps(f, habitat.Unknown, v, screen, show), func(op drawing.Op) {
			if fill, ok := op.(drawing.Fill); ok && fill.Color == screen.Kind(plan.PerennialStrip).Sign {
				flowers += len(fill.Path)
			}
		})
		return flowers
	}
	none, early, both := count(nil), count(map[string]bool{"early": true}), count(map[string]bool{"early": true, "late": true})
	if none != 0 {
		t.Errorf("%d flowers where nothing flowers", none)
	}
	// The stipple is to show the share: a third of it within a twentieth of the spots, which is the fineness of its order.
	if ratio := float64(early) / float64(both); math.Abs(ratio-0.3/0.9) > 0.06 {
		t.Errorf("%d flowers for a share of 0.3, %d for 0.9", early, both)
	}
}

// crowd is a made-up garden of many beds in rows, with names, hedges and trees among them.
func crowd(n int) (*plan.Plan, map[string]habitat.Status) {
	p := plan.New("Crowd")
	statuses := map[string]habitat.Status{}
	kinds := []plan.Kind{plan.Bed, plan.Bed, plan.Bed, plan.Hedgerow, plan.Bed, plan.PerennialStrip, plan.Bed, plan.BeetleBank,
		plan.Bed, plan.WildMargin, plan.Bed, plan.Tree, plan.Bed, plan.CoverCrop, plan.Bed, plan.Pond, plan.FlowerStrip}
	for i := range n {
		k := kinds[i%len(kinds)]
		x, y := float64(i%15)*5.5, float64(i/15)*4
		g := rect(x, y, 5, 1.2+float64(i%3), float64(i%7)*3)
		if k == plan.Tree {
			g = geometry.Disc(orb.Point{x, y}, 1.5)
		}
		f := &plan.Feature{ID: fmt.Sprint(i), Kind: k, Name: fmt.Sprintf("%s %d", k.Label(), i), Geometry: g}
		p.Features = append(p.Features, f)
		if k == plan.Bed {
			statuses[f.ID] = habitat.Status(i % 4)
		}
	}
	return p, statuses
}

func benchmarkDraw(b *testing.B, labels bool) {
	p, statuses := crowd(300)
	a := &habitat.Assessment{Plan: p}
	v := View{Centre: orb.Point{41, 40}, Middle: orb.Point{800, 500}, Scale: 12}
	for b.Loop() {
		l := drawing.List{Width: 1600, Height: 1000}
		Draw(&l, a, v, screen, Show{Statuses: statuses, Labels: labels, Grid: true})
	}
}

func BenchmarkDraw300(b *testing.B)       { benchmarkDraw(b, false) }
func BenchmarkDraw300Labels(b *testing.B) { benchmarkDraw(b, true) }

func BenchmarkFeature(b *testing.B) {
	f := feature(plan.PerennialStrip, "", rect(0, 0, 20, 2, 10))
	for b.Loop() {
		FeatureOps(f, habitat.Unknown, View{Middle: orb.Point{100, 300}, Scale: 30}, screen,
			Show{Window: orb.Bound{Max: orb.Point{1600, 1000}}})
	}
}

// A narrow strip that bends carries its signs along its whole length, inside.
func TestBentStrip(t *testing.T) {
	line := orb.LineString{{0, 0}, {20, 1}, {30, 14}}
	g, err := geometry.Strip(line, 1)
	if err != nil {
		t.Fatal(err)
	}
	for k, gap := range map[plan.Kind]float64{plan.PerennialStrip: 7.5, plan.FlowerStrip: 10, plan.BeetleBank: 10} {
		f := feature(k, "", g)
		f.Line, f.WidthM = line, 1
		v := View{Middle: orb.Point{50, 500}, Scale: 12}
		n := 0
		walk(FeatureOps(f, habitat.Unknown, v, screen, Show{}), func(op drawing.Op) {
			switch op := op.(type) {
			case drawing.Fill:
				if op.Color == screen.Kind(k).Sign {
					n += len(op.Path)
				}
			case drawing.Stroke:
				if op.Pen.Color == screen.Kind(k).Sign && op.Pen.Dash == nil && k != plan.PerennialStrip {
					for _, c := range op.Path {
						if k == plan.FlowerStrip || len(c.Points) == 3 { // strokes of crosses; blades, not hachures
							n++
						}
					}
				}
			}
		})
		each := map[plan.Kind]int{plan.PerennialStrip: 1, plan.FlowerStrip: 2, plan.BeetleBank: 5}[k]
		long := dist(line[0], line[1]) + dist(line[1], line[2])
		if want := int(long * 12 / gap); n/each < want-2 || n/each > want+2 {
			t.Errorf("%s: %d signs along %.1f m, want about %d", k, n/each, long, want)
		}
	}
}
