package quantities

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry"
	_ "hedgereach/geometry/repeatable"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/spacing"
)

func catalogue(t testing.TB, own ...data.OwnEntryRow) *data.Catalogue {
	t.Helper()
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	if len(own) > 0 {
		p := &data.Personal{File: "own.csv", Entries: own}
		if c, err = data.Merge(c, p); err != nil {
			t.Fatal(err)
		}
	}
	return c
}

func box(x, y, w, h float64) orb.Polygon {
	return orb.Polygon{{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}}}
}

func bed(id string, g orb.Geometry, crops ...plan.Planting) *plan.Feature {
	return &plan.Feature{ID: id, Kind: plan.Bed, Name: id, Geometry: g, Crops: crops}
}

func of(t testing.TB, c *data.Catalogue, o Options, features ...*plan.Feature) *List {
	t.Helper()
	p := plan.New("Count")
	p.Features = features
	l, err := Of(p, c, o)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func share2(v float64) *float64 { return &v }

// An acre, 4 046.8564224 m² (the international foot of 1959), of a crop and of a habitat plant at published spacings. A table
// may cut a number off where we round it.
func TestAgainstHandbooks(t *testing.T) {
	f, err := os.Open("testdata/acre.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) != 25 {
		t.Fatal(len(rows), err)
	}
	side := math.Sqrt(4046.8564224)
	for _, r := range rows[1:] {
		between, _ := strconv.ParseFloat(r[0], 64)
		in, _ := strconv.ParseFloat(r[1], 64)
		want, _ := strconv.Atoi(r[2])
		cm := func(inches float64) string { return strconv.FormatFloat(inches*2.54, 'f', -1, 64) }
		c := catalogue(t,
			data.OwnEntryRow{List: "crop", ID: "kale", Source: "the table", Cells: map[string]string{"in_row_min_cm": cm(in), "in_row_max_cm": cm(in),
				"between_row_min_cm": cm(between), "between_row_max_cm": cm(between)}},
			data.OwnEntryRow{List: "plant", ID: "yarrow", Source: "the table", Cells: map[string]string{"spacing_cm": cm(in)}})
		got := of(t, c, Options{}, bed("acre", box(7, -3, side, side), plan.Planting{Crop: "kale", Share: 1})).Rows[0]
		if n := got.Stand - want; n < 0 || n > 1 {
			t.Errorf("%v: %d plants", r, got.Stand)
		}
		if in != between {
			continue
		}
		meadow := &plan.Feature{ID: "m", Kind: plan.PerennialStrip, Geometry: box(0, 0, side, side), Plants: []plan.Growing{{Plant: "yarrow", Share: 1}}}
		if n := of(t, c, Options{Layout: spacing.Square}, meadow).Rows[0].Stand - want; n < 0 || n > 1 {
			t.Errorf("%v: a meadow of %d plants", r, n+want)
		}
		// In triangles 2/√3 as many (plane geometry).
		if n := float64(of(t, c, Options{}, meadow).Rows[0].Stand) - 2/math.Sqrt(3)*float64(want); math.Abs(n) > 2 {
			t.Errorf("%v: in triangles %g more", r, n)
		}
	}
}

// Ground is the outline less what lies on it: areas of rectangles by hand.
func TestGround(t *testing.T) {
	mark := func(k plan.Kind, g orb.Geometry) *plan.Feature { return &plan.Feature{ID: "x", Kind: k, Geometry: g} }
	hole := orb.Polygon{box(0, 0, 10, 10)[0], orb.Ring{{4, 4}, {4, 6}, {6, 6}, {6, 4}, {4, 4}}}
	for _, s := range []struct {
		what string
		bed  orb.Geometry
		on   []*plan.Feature
		want float64
	}{
		{"alone", box(0, 0, 10, 2), nil, 20},
		{"with a hole", hole, nil, 96},
		{"of two parts", orb.MultiPolygon{box(0, 0, 2, 2), box(5, 5, 1, 1)}, nil, 5},
		{"crossed by a longer path", box(0, 0, 10, 2), []*plan.Feature{mark(plan.Path, box(4, -50, 1, 100))}, 18},
		{"crossed by two paths that cross", box(0, 0, 10, 2), []*plan.Feature{mark(plan.Path, box(4, -50, 1, 100)), mark(plan.Path, box(-50, 0.5, 100, 1))}, 9},
		{"with a pond", box(0, 0, 10, 10), []*plan.Feature{mark(plan.Pond, box(2, 2, 3, 3))}, 91},
		{"with an island bed", box(0, 0, 10, 10), []*plan.Feature{mark(plan.Bed, box(2, 2, 1, 1))}, 99},
		{"within a meadow", box(2, 2, 1, 1), []*plan.Feature{mark(plan.WildMargin, box(0, 0, 10, 10))}, 1},
		{"within a tunnel", box(2, 2, 1, 1), []*plan.Feature{mark(plan.Building, box(0, 0, 10, 10))}, 1},
		{"with a shed on it", box(0, 0, 10, 10), []*plan.Feature{mark(plan.Building, box(8, 8, 4, 4))}, 96},
		{"below a tree", box(0, 0, 10, 2), []*plan.Feature{mark(plan.Tree, box(1, 0, 1, 1))}, 20},
		{"beside a path", box(0, 0, 10, 2), []*plan.Feature{mark(plan.Path, box(0, 2, 10, 1))}, 20},
		{"with a stake and a fence", box(0, 0, 10, 2), []*plan.Feature{mark(plan.Stake, orb.Point{1, 1}), mark(plan.Fence, box(0, 0, 10, 0.1))}, 20},
	} {
		b := bed("b", s.bed)
		p := plan.New("Ground")
		p.Features = append([]*plan.Feature{b}, s.on...)
		if got := Ground(p)[b]; math.Abs(got-s.want) > 1e-6 {
			t.Errorf("%s: %g m², want %g", s.what, got, s.want)
		}
	}
	a, b := bed("a", box(0, 0, 4, 2)), bed("b", box(3, 0, 4, 2))
	p := plan.New("Twins")
	p.Features = []*plan.Feature{a, b}
	if g := Ground(p); math.Abs(g[a]+g[b]-14) > 1e-9 {
		t.Errorf("twins that overlap: %g and %g m²", g[a], g[b])
	}
}

// However beds lie over each other, no ground is planted twice and none is left out: the sum is the area of their union, which
// is worked out by another way (an overlay).
func TestGroundAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := plan.New("Any")
		var shapes []orb.Geometry
		for i := range rapid.IntRange(1, 7).Draw(t, "n") {
			at := func(name string, lo, hi int) float64 { return float64(rapid.IntRange(lo, hi).Draw(t, name)) / 2 }
			g := orb.Geometry(box(at("x", 0, 20), at("y", 0, 20), at("w", 1, 20), at("h", 1, 20)))
			if rapid.Bool().Draw(t, "turned") {
				g = geometry.Rotate(g, orb.Point{5, 5}, 31)
			}
			shapes = append(shapes, g)
			p.Features = append(p.Features, bed(fmt.Sprint(i), g))
		}
		sum := 0.0
		for f, own := range Ground(p) {
			sum += own
			if own < 0 || own > geometry.Area(f.Geometry)+1e-9 {
				t.Fatalf("%s: %g m² of %g", f.ID, own, geometry.Area(f.Geometry))
			}
		}
		u, err := geometry.Union(shapes...)
		if err != nil {
			t.Skip(err)
		}
		if want := geometry.Area(u); math.Abs(sum-want) > 1e-4*(1+want) {
			t.Fatalf("%g m² planted of %g", sum, want)
		}
	})
}

// 12 m² of a bed, half of it sown with leaf lettuce, 20.3–30.5 cm in rows from 30.5 cm apart: 6 / (0.254 × 0.305) = 77.4, so 77,
// and 115.5 seeds with half as many more, 120 in two figures. Broccoli, 30.5–61 cm in rows from 45.7 cm: 12 / (0.4575 × 0.457) =
// 57.4, so 57, and 62.7 with one in ten more.
func TestByHand(t *testing.T) {
	day := func(s string) season.Day {
		d, err := season.ParseDay(s)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	w := season.Window{From: day("05-10"), To: day("10-20")}
	l := of(t, catalogue(t), Options{}, bed("a", box(0, 0, 10, 1.2), plan.Planting{Crop: "leek", Dates: w}, plan.Planting{Crop: "lettuce-leaf", Share: 0.5}),
		bed("b", box(0, 3, 10, 1.2), plan.Planting{Crop: "broccoli", Dates: w}))
	lettuce := l.Rows[1]
	if lettuce.Stand != 77 || lettuce.Take != 120 || lettuce.Method != Sow || lettuce.As != "seed" || math.Abs(lettuce.RowM-77*0.254) > 1e-9 ||
		lettuce.Depth == nil || lettuce.Depth.MinCM != 0.3 || lettuce.AreaM2 != 6 {
		t.Errorf("%+v", lettuce)
	}
	broccoli := l.Rows[2]
	if broccoli.Stand != 57 || broccoli.Take != 63 || broccoli.Method != Plant || broccoli.As != "transplant" || broccoli.Depth != nil ||
		broccoli.From != day("05-10") {
		t.Errorf("%+v", broccoli)
	}
	if l, err := Of(&plan.Plan{Features: []*plan.Feature{bed("a", box(0, 0, 10, 1.2), plan.Planting{Crop: "broccoli"})}}, catalogue(t),
		Options{Spare: share2(0)}); err != nil || l.Rows[0].Take != 57 {
		t.Errorf("without spares: %+v, %v", l, err)
	}
}

// What is to be got is never less than the spare share on top of what the list says is to stand: 590 carrots and half as many
// more are 885, which is 890 in two figures.
func TestSpareIsNeverShort(t *testing.T) {
	l := &List{Seed: 0.5, Spare: 0.1}
	for _, stand := range []int{586, 590} {
		if said, got := Said(Sow, stand), l.take(Sow, stand); said != 590 || got != 890 {
			t.Errorf("%d: %d and %d to get", stand, said, got)
		}
	}
	for stand := 1; stand < 3000; stand++ {
		for m, spare := range map[Method]float64{Sow: 0.5, Plant: 0.1, Set: 0.1} {
			if said, got := Said(m, stand), l.take(m, stand); said < stand || float64(got) < float64(said)*(1+spare)-1e-6 {
				t.Fatalf("%s %d: %d said, %d to get", m, stand, said, got)
			}
		}
	}
}

// Every planting's number lies between those at its crop's widest and closest spacing.
func TestWithinTheUsualRange(t *testing.T) {
	c := catalogue(t)
	for _, crop := range c.Crops {
		r := of(t, c, Options{}, bed("a", box(0, 0, 30, 20), plan.Planting{Crop: crop.ID, Share: 0.7})).Rows[0]
		q, ok := spacing.Of(crop, 600, 0.7)
		if !ok || r.Stand < q.Fewest || r.Stand > q.Most {
			t.Errorf("%s: %d, usually %d to %d", crop.ID, r.Stand, q.Fewest, q.Most)
		}
		if r.Take < r.Stand || r.As == "" || r.Why != "" || math.Abs(r.RowM*r.BetweenM-r.AreaM2) > r.InRowM*r.BetweenM {
			t.Errorf("%s: %+v", crop.ID, r)
		}
	}
}

func TestShopping(t *testing.T) {
	c := catalogue(t)
	hedge := func(id string) *plan.Feature {
		return &plan.Feature{ID: id, Kind: plan.Hedgerow, Geometry: box(0, 50, 40, 3), Plants: []plan.Growing{{Plant: "ninebark", Share: 0.5}, {Plant: "nobody", Share: 0.5},
			{Plant: "elder"}}}
	}
	tree := &plan.Feature{ID: "t", Kind: plan.Tree, Centre: &orb.Point{0, 90}, RadiusM: 3, Geometry: geometry.Disc(orb.Point{0, 90}, 3),
		Plants: []plan.Growing{{Plant: "ninebark", Share: 0.9}}}
	var beds []*plan.Feature
	for i := range 8 {
		beds = append(beds, bed(fmt.Sprint(i), box(float64(i)*3, 0, 1, 2), plan.Planting{Crop: "broccoli", Dates: season.Window{From: season.Day(150 - i), To: 250}}))
	}
	l := of(t, c, Options{}, append(beds, hedge("h"), tree)...)
	if len(l.Shopping) != 2 {
		t.Fatalf("%+v", l.Shopping)
	}
	// 2 m² take 9.57 plants, so 10 a bed and 80 in all: 88 with spares, not the 8 × 11 = 88; half of 40 m of hedge at 2 m, in
	// the one row that fits into 3 m (a second would stand 1.73 m off), take 10, and the tree makes one more: 11, and 13 with spares
	broccoli, ninebark := l.Shopping[0], l.Shopping[1]
	if broccoli.Name != "broccoli" || broccoli.Stand != 80 || broccoli.Take != 88 || broccoli.Rows != 8 || broccoli.First != 143 {
		t.Errorf("%+v", broccoli)
	}
	if ninebark.Stand != 11 || ninebark.Take != 13 || ninebark.As != "pot or bare root" {
		t.Errorf("%+v", ninebark)
	}
	total := map[string]int{}
	for _, r := range l.Rows {
		total[r.Name] += r.Stand
		if (r.Why == "") != (r.Stand > 0) {
			t.Errorf("%+v", r)
		}
	}
	for _, x := range l.Shopping {
		if total[x.Name] != x.Stand {
			t.Errorf("%s: %d on the list, %d to be bought", x.Name, total[x.Name], x.Stand)
		}
	}
}

// Hedges are planted along their length: 50 m at five a metre is 250 (Teagasc 2024), of which the hawthorn's 60 % is 150,
// however the hedge is drawn and however wide it will grow. Wider shrubs stand at their own spacing in the rows that fit.
func TestHedgesAreCountedAlongTheirLength(t *testing.T) {
	c := catalogue(t)
	line := orb.LineString{{0, 0}, {30, 0}, {30, 20}} // 50 m
	strip := func(wide float64) *plan.Feature {
		g, err := geometry.Strip(line, wide)
		if err != nil {
			t.Fatal(err)
		}
		return &plan.Feature{ID: "h", Kind: plan.Hedgerow, Geometry: g, Line: line, WidthM: wide}
	}
	outline := func(f *plan.Feature) *plan.Feature { f.Line, f.WidthM = nil, 0; return f }
	path := &plan.Feature{ID: "p", Kind: plan.Path, Geometry: box(10, -5, 5, 10)}
	for _, s := range []struct {
		what  string
		hedge *plan.Feature
		on    []*plan.Feature
		plant string
		share float64
		stand int
		how   string
	}{
		{"as a line", strip(1.5), nil, "common-hawthorn", 0.6, 150, "double staggered row"},
		{"as an outline", outline(strip(1.5)), nil, "common-hawthorn", 0.6, 150, "double staggered row"},
		{"as a rectangle", &plan.Feature{ID: "h", Kind: plan.Hedgerow, Geometry: box(0, 0, 1.5, 50)}, nil, "common-hawthorn", 0.6, 150, "double staggered row"},
		{"wide", strip(3), nil, "hazel", 0.4, 100, "double staggered row"},
		{"narrow", strip(0.5), nil, "hazel", 1, 125, "single row"},
		{"with a gate of 5 m", strip(1.5), []*plan.Feature{path}, "common-hawthorn", 1, 225, "double staggered row"},
		{"of wide shrubs", strip(1.5), nil, "ninebark", 0.5, 13, "single row"},             // 25 m, one each 2 m
		{"of wide shrubs, wide", strip(4), nil, "ninebark", 1, 50, "double staggered row"}, // 50 m, two each 2 m
		{"perennials below it", strip(1.5), nil, "yarrow", 0.1, 0, "triangular"},
		{"a thicket", &plan.Feature{ID: "h", Kind: plan.Hedgerow, Geometry: box(0, 0, 10, 10)}, nil, "hazel", 1, 722, "triangular"}, // 100 / (0.866 × 0.4²)
		{"a margin", &plan.Feature{ID: "h", Kind: plan.WildMargin, Geometry: box(0, 0, 50, 2)}, nil, "hazel", 1, 722, "triangular"},
	} {
		s.hedge.Plants = []plan.Growing{{Plant: s.plant, Share: s.share}}
		r := of(t, c, Options{}, append([]*plan.Feature{s.hedge}, s.on...)...).Rows[0]
		if s.stand == 0 { // over the ground
			s.stand = spacing.Count(r.AreaM2, 2/math.Sqrt(3)/(r.InRowM*r.InRowM))
		}
		if r.Stand != s.stand || r.Pattern() != s.how {
			t.Errorf("%s: %d in a %s, want %d in a %s", s.what, r.Stand, r.Pattern(), s.stand, s.how)
		}
	}
}

func TestSharesThatDoNotDo(t *testing.T) {
	for _, o := range []Options{{Spare: share2(-0.1)}, {Spare: share2(math.NaN())}, {SeedSpare: share2(10)}, {Layout: "hexes"}} {
		if _, err := Of(plan.New(""), catalogue(t), o); err == nil || strings.Contains(err.Error(), "\n") {
			t.Errorf("%+v: %v", o, err)
		}
	}
}

// The CSV reads back as it was written; a name that a spreadsheet would run is made harmless.
func TestCSV(t *testing.T) {
	p, err := plan.Read(bytes.NewReader(data.Sample()), data.SampleName)
	if err != nil {
		t.Fatal(err)
	}
	p = p.Clone()
	evil := bed("=cmd|' /C calc'!A0", box(0, 0, 3, 3), plan.Planting{Crop: "=1+1"}, plan.Planting{Crop: "kale"})
	p.Features = append(p.Features, evil)
	l, err := Of(p, catalogue(t), Options{})
	if err != nil {
		t.Fatal(err)
	}
	var one, two bytes.Buffer
	if err := l.WriteCSV(&one); err != nil {
		t.Fatal(err)
	}
	again, _ := Of(p, catalogue(t), Options{})
	if err := again.WriteCSV(&two); err != nil || one.String() != two.String() {
		t.Error("the same plan writes other bytes")
	}
	rows, err := csv.NewReader(&one).ReadAll()
	if err != nil || len(rows) != 1+len(l.Rows)+len(l.Shopping) || !reflect.DeepEqual(rows[0], Columns) {
		t.Fatal(len(rows), err)
	}
	evils := 0
	for _, r := range rows {
		for _, cell := range r {
			if cell != "" && strings.ContainsAny(cell[:1], "=+-@\t\r\n") {
				t.Errorf("%q", cell)
			}
		}
		if strings.Contains(r[1], "cmd|") {
			evils++
		}
	}
	if evils != 2 {
		t.Errorf("%d rows of the bed", evils)
	}
}

func BenchmarkSample(b *testing.B) {
	p, err := plan.Read(bytes.NewReader(data.Sample()), data.SampleName)
	if err != nil {
		b.Fatal(err)
	}
	c := catalogue(b)
	for b.Loop() {
		if _, err := Of(p, c, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
