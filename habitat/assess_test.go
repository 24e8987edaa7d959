package habitat

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

func catalogue(t testing.TB) *data.Catalogue {
	t.Helper()
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func box(x0, y0, x1, y1 float64) orb.Polygon {
	return orb.Polygon{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}}
}

func day(t testing.TB, s string) season.Day {
	t.Helper()
	d, err := season.ParseDay(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func window(t testing.TB, from, to string) season.Window {
	t.Helper()
	return season.Window{From: day(t, from), To: day(t, to)}
}

func half(t testing.TB, s string) season.HalfMonth {
	t.Helper()
	return day(t, s).HalfMonth()
}

func near0(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}

// A field of 100 by 50 m with a hedge along its west side and three beds, all sides along the axes, so that every measure can
// be reckoned by hand.
func handPlan(t testing.TB) *plan.Plan {
	p := plan.New("By hand")
	p.Place = &plan.Place{Latitude: 42.7, Longitude: -84.5, ElevationM: 260, LastFrost: day(t, "05-01"),
		FirstFrost: day(t, "10-15")}
	hedge := plan.NewFeature(plan.Hedgerow, "West hedge", box(0, 0, 2, 50))
	hedge.Plants = []plan.Growing{
		{Plant: "a", Share: 0.5, Bloom: window(t, "05-01", "05-31")},
		{Plant: "b", Share: 0.2, Bloom: window(t, "05-16", "06-30")},
		{Plant: "c", Share: 0.7, Bloom: window(t, "05-16", "05-31")},
	}
	p.Features = []*plan.Feature{
		plan.NewFeature(plan.Boundary, "Field", box(0, 0, 100, 50)), hedge,
		plan.NewFeature(plan.Bed, "Near", box(10, 10, 20, 12)),
		plan.NewFeature(plan.Bed, "Middle", box(55, 10, 65, 20)),
		plan.NewFeature(plan.Bed, "Far", box(90, 10, 98, 20)),
	}
	return p
}

func TestASmallPlanAsReckonedByHand(t *testing.T) {
	c := catalogue(t)
	p := handPlan(t)
	a := Assess(p, c, Options{RangesM: []float64{8, 14, 60, 100}})
	near0(t, "site", a.Site.AreaM2, 5000, 1e-9)
	near0(t, "habitat", a.Site.HabitatM2, 100, 1e-9)
	near0(t, "beds", a.Site.BedsM2, 20+100+80, 1e-9)
	if a.Site.Beds != 3 || len(a.Beds) != 3 {
		t.Fatalf("%d beds", a.Site.Beds)
	}
	for i, want := range []struct {
		nearest, farthest float64
		fractions         [4]float64
	}{
		// From the hedge's east side at x = 2: the bed from 10 to 20 lies 8 to 18 m away.
		{8, 18, [4]float64{0, 0.6, 1, 1}},
		{53, 63, [4]float64{0, 0, 0.7, 1}},
		{88, 96, [4]float64{0, 0, 0, 1}},
	} {
		b := a.Beds[i]
		if b.Refuge == nil || b.Refuge.Nearest.Name != "West hedge" || b.Refuge.Farthest.Name != "West hedge" {
			t.Fatalf("%s: refuge = %+v", b.Feature.Name, b.Refuge)
		}
		near0(t, b.Feature.Name+" nearest", b.Refuge.NearestM, want.nearest, 1e-9)
		near0(t, b.Feature.Name+" farthest", b.Refuge.FarthestM, want.farthest, 0.01)
		for j, f := range want.fractions {
			near0(t, b.Feature.Name+" fraction", b.Reach[j].WithinFraction, f, 0.001)
		}
	}
	for i, mean := range []float64{13, 58, 92} { // half way through each, since the hedge is longer than they are
		near0(t, a.Beds[i].Feature.Name+" mean", a.Beds[i].Refuge.MeanM(), mean, 1e-3*mean)
	}
	// Between 53 and 63 m: beyond the lady beetles' 30 m, within their 75 and 200.
	lady := a.Beds[1].Guild("lady-beetles")
	if says := lady.Band(); says != "within at best, beyond at worst" || lady.WithinAtLow != 0 || lady.WithinAtOuter != 1 {
		t.Errorf("lady beetles: %q, %v at the low and %v at the outer end", says, lady.WithinAtLow, lady.WithinAtOuter)
	}
	if says := a.Beds[0].Guild("lady-beetles").Band(); says != "" {
		t.Errorf("within the whole band, but: %q", says)
	}
	walkers := a.Beds[1].Guild("ground-beetles") // 60 to 80 m
	near0(t, "at the low end", walkers.WithinAtLow, 0.7, 0.001)
	near0(t, "at the outer end", walkers.WithinAtOuter, 1, 1e-9)
	if !math.IsNaN((&Link{}).MeanM()) {
		t.Error("a link that was not measured has a mean")
	}
	for _, want := range []struct {
		bed                int
		guild              string
		status, low, outer Status
	}{
		{0, "ground-beetles", Within, Within, Within},
		{1, "ground-beetles", Partly, Partly, Within}, // 53–63 m, and 60 m typical, 80 m outer
		{2, "ground-beetles", Beyond, Beyond, Beyond},
		{1, "lady-beetles", Within, Beyond, Within}, // 30, 75, 200 m
		{2, "lady-beetles", Beyond, Beyond, Within},
		{0, "tachinids", Unknown, Unknown, Unknown}, // no published distance
		{0, "honey-bees", Beyond, Unknown, Beyond},  // nothing here serves them
	} {
		g := a.Beds[want.bed].Guild(want.guild)
		if g == nil {
			t.Fatalf("no guild %s", want.guild)
		}
		if g.Status != want.status || g.AtOuter != want.outer || want.guild != "honey-bees" && g.AtLow != want.low {
			t.Errorf("%s for %s: %v (low %v, outer %v), want %v (%v, %v)", a.Beds[want.bed].Feature.Name, want.guild, g.Status,
				g.AtLow, g.AtOuter,
				want.status, want.low, want.outer)
		}
		if (g.Link == nil) != (want.status == Unknown || want.guild == "honey-bees") {
			t.Errorf("%s: link = %+v", want.guild, g.Link)
		}
	}
	near0(t, "middle bed for ground beetles", a.Beds[1].Guild("ground-beetles").WithinFraction, 0.7, 0.001)
	if any := a.Beds[0].Guild(""); any.Status != Partly || any.Link != a.Beds[0].Refuge { // at 8 m, the nearest distance itself
		t.Errorf("any refuge at 8 m: %+v", any)
	}
	if a.Beds[0].Guild("no such guild") != nil {
		t.Error("a guild that is none has a standing")
	}

	// Shares in flower: a alone; a, b and c, which are more than the ground; b alone.
	for h, want := range map[string]struct {
		share   float64
		species int
	}{"04-16": {0, 0}, "05-01": {0.5, 1}, "05-16": {1, 3}, "06-01": {0.2, 1}, "06-16": {0.2, 1}, "07-01": {0, 0}} {
		got := a.Site.Cover[half(t, h)]
		near0(t, h+" area", got.AreaM2, 100*want.share, 1e-9)
		near0(t, h+" fraction", got.Fraction, 100*want.share/5000, 1e-12)
		if got.Species != want.species || got.HalfMonth != half(t, h) {
			t.Errorf("%s: %+v, want %d species", h, got, want.species)
		}
	}
	var gaps []string
	for _, h := range a.Site.BloomGaps {
		gaps = append(gaps, h.String())
	}
	if want := []string{"05-01", "06-01", "06-16", "07-01", "07-16", "08-01", "08-16", "09-01", "09-16",
		"10-01"}; !slices.Equal(gaps, want) {
		t.Errorf("bloom gaps = %v, want %v", gaps, want)
	}
}

func TestFlowersAboutABedAreCountedToTheRadius(t *testing.T) {
	p := plan.New("Round about")
	bed := plan.NewFeature(plan.Bed, "Bed", box(0, 0, 10, 2))
	strip := plan.NewFeature(plan.FlowerStrip, "Strip", box(15, -100, 25, 100))
	strip.Plants = []plan.Growing{{Plant: "a", Share: 0.5, Bloom: window(t, "06-01", "06-30")}}
	p.Features = []*plan.Feature{plan.NewFeature(plan.Boundary, "", box(-200, -200, 200, 200)), bed, strip}
	a := Assess(p, catalogue(t), Options{CoverRadiusM: 5})
	// The strip only touches the 5 m about the bed.
	near0(t, "at 5 m", a.Beds[0].Cover[half(t, "06-01")].AreaM2, 0, 1e-6)

	const r = 12.0
	a = Assess(p, catalogue(t), Options{CoverRadiusM: r})
	// Ground within r of a convex bed: A + P r + π r² (Steiner). Of the strip, the part within r of the bed's east side from
	// (10, 0) to (10, 2): 2 m times the depth of 7 m, and at either end a piece of a disc of radius r cut off by a chord at 5 m
	// from its centre, half of it: r²/2 · acos(5/r) − 5/2 · √(r² − 25).
	ground := 20 + 24*r + math.Pi*r*r
	strip1 := 2*7 + r*r*math.Acos(5/r) - 5*math.Sqrt(r*r-25)
	got := a.Beds[0].Cover[half(t, "06-16")]
	near0(t, "in flower", got.AreaM2, strip1/2, 1e-3*strip1)
	near0(t, "fraction", got.Fraction, strip1/2/ground, 1e-3*strip1/2/ground)
	if got.Species != 1 || a.Beds[0].CoverRadiusM != r {
		t.Errorf("cover = %+v", got)
	}
	if def := Assess(p, catalogue(t), Options{}).Beds[0].CoverRadiusM; def != 50 {
		t.Errorf("the radius is %v unless said, want 50", def)
	}
}

// Of two refuges the nearer one decides that the bed is not beyond it all, the one by the deepest point that it is not within.
func TestTheRefugeThatDecides(t *testing.T) {
	p := plan.New("Two")
	p.Features = []*plan.Feature{
		plan.NewFeature(plan.Bed, "Bed", box(0, 0, 100, 1)),
		plan.NewFeature(plan.Hedgerow, "Hedge", box(0, 2, 10, 3)),
		plan.NewFeature(plan.Tree, "Tree", box(110, 0, 111, 1)),
	}
	l := Assess(p, catalogue(t), Options{}).Beds[0].Refuge
	// The deepest point lies at the bed's south side where both are equally far: (x − 10)² + 2² = (110 − x)² at x = 59.98.
	near0(t, "farthest", l.FarthestM, 50.02, 0.01)
	for _, c := range []struct {
		rangeM float64
		want   string
	}{{0.5, "Hedge"}, {60, l.Farthest.Name}} {
		if got := l.Decides(c.rangeM); got.Name != c.want {
			t.Errorf("at %v m %s decides, want %s", c.rangeM, got.Name, c.want)
		}
	}
	// Along the bed and falling away from it: only the tree is near to the deepest point, the corner at (100, 0).
	p.Features[2].Geometry = orb.Polygon{{{10, 30}, {100, 35}, {100, 36}, {10, 31}, {10, 30}}}
	if l = Assess(p, catalogue(t), Options{}).Beds[0].Refuge; l.Decides(20).Name != "Tree" || l.Decides(0.5).Name != "Hedge" {
		t.Errorf("partly within 20 m, %s decides; beyond 0.5 m, %s", l.Decides(20).Name, l.Decides(0.5).Name)
	}
	if none := (*Link)(nil); none.Decides(10) != nil {
		t.Error("no refuge decides")
	}
}

func TestTheDeepestPointCanLieInsideABed(t *testing.T) {
	p := plan.New("Between")
	p.Features = []*plan.Feature{
		plan.NewFeature(plan.Bed, "Bed", box(10, 0, 50, 1)),
		plan.NewFeature(plan.Hedgerow, "West", box(0, -10, 10, 10)),
		plan.NewFeature(plan.Tree, "East", box(50, -10, 60, 10)),
	}
	l := Assess(p, catalogue(t), Options{}).Beds[0].Refuge
	near0(t, "nearest", l.NearestM, 0, 1e-9)
	near0(t, "farthest", l.FarthestM, 20, 0.01) // half way, at x = 30
	near0(t, "deepest x", l.FarthestFrom[0], 30, 0.02)
}

// The plan's lengths and areas do not change when it is turned and moved.
func TestMeasuresDoNotDependOnWhereThePlanLies(t *testing.T) {
	p := handPlan(t)
	moved := p.Clone()
	sin, cos := math.Sincos(0.7)
	for i, f := range p.Features {
		c := f.Clone()
		for _, r := range c.Geometry.(orb.Polygon) {
			for j, v := range r {
				r[j] = orb.Point{3000 + cos*v[0] - sin*v[1], -2000 + sin*v[0] + cos*v[1]}
			}
		}
		moved.Features[i] = c
	}
	o := Options{RangesM: []float64{14, 60}}
	a, b := Assess(p, catalogue(t), o), Assess(moved, catalogue(t), o)
	near0(t, "site", b.Site.AreaM2, a.Site.AreaM2, 1e-6)
	for i := range a.Beds {
		x, y := a.Beds[i], b.Beds[i]
		near0(t, "nearest", y.Refuge.NearestM, x.Refuge.NearestM, 1e-6)
		near0(t, "farthest", y.Refuge.FarthestM, x.Refuge.FarthestM, 0.01)
		near0(t, "fraction", y.Reach[0].WithinFraction, x.Reach[0].WithinFraction, 1e-6)
		near0(t, "cover", y.Cover[half(t, "05-16")].AreaM2, x.Cover[half(t, "05-16")].AreaM2, 1e-6)
	}
}

func TestOverlappingHabitatCountsOnceAtTheLargerShare(t *testing.T) {
	p := plan.New("Overlap")
	grow := func(name string, share float64, from, to string, g orb.Geometry) *plan.Feature {
		f := plan.NewFeature(plan.FlowerStrip, name, g)
		f.Plants = []plan.Growing{{Plant: name, Share: share, Bloom: window(t, from, to)}}
		return f
	}
	p.Features = []*plan.Feature{
		plan.NewFeature(plan.Boundary, "", box(0, 0, 100, 100)),
		grow("a", 0.5, "05-01", "06-30", box(0, 0, 10, 10)),
		grow("b", 0.8, "06-01", "07-31", box(5, 0, 15, 10)),   // 50 m² of it on a
		grow("c", 0.2, "06-01", "06-30", box(-10, 0, 8, 10)),  // 20 m² west of the boundary's x = 0 are 100; 80 on a, 30 on b
		grow("d", 1.0, "06-01", "06-30", box(50, 50, 60, 60)), // alone
	}
	a := Assess(p, catalogue(t), Options{})
	near0(t, "habitat", a.Site.HabitatM2, 150+100, 1e-6)
	near0(t, "a alone", a.Site.Cover[half(t, "05-01")].AreaM2, 0.5*100, 1e-6)
	near0(t, "all", a.Site.Cover[half(t, "06-01")].AreaM2, 0.8*100+0.5*50+0.2*0+100, 1e-6)
	near0(t, "b alone", a.Site.Cover[half(t, "07-01")].AreaM2, 0.8*100, 1e-6)
}

func TestWithoutABoundaryTheGroundIsTheHull(t *testing.T) {
	p := plan.New("")
	p.Features = []*plan.Feature{plan.NewFeature(plan.Bed, "", box(0, 0, 10, 10)),
		plan.NewFeature(plan.Bed, "", box(20, 0, 30, 10))}
	near0(t, "hull", Assess(p, catalogue(t), Options{}).Site.AreaM2, 300, 1e-9)
}

func TestAnEmptyPlanIsAssessed(t *testing.T) {
	a := Assess(plan.New(""), catalogue(t), Options{})
	if a.Site.AreaM2 != 0 || len(a.Beds) != 0 || a.Site.Cover[5].Fraction != 0 {
		t.Errorf("site = %+v", a.Site)
	}
}

func TestAnInvalidFeatureTakesNoPartAndIsNamed(t *testing.T) {
	p := handPlan(t)
	p.Features = append(p.Features, plan.NewFeature(plan.Bed, "Bow tie",
		orb.Polygon{{{0, 0}, {10, 10}, {10, 0}, {0, 10}, {0, 0}}}),
		plan.NewFeature(plan.Hedgerow, "Bad hedge", orb.Polygon{{{90, 0}, {99, 10}, {99, 0}, {90, 10}, {90, 0}}}),
		&plan.Feature{ID: "no geometry", Kind: plan.Bed})
	a := Assess(p, catalogue(t), Options{})
	if len(a.Beds) != 3 || a.Beds[2].Refuge.Nearest.Name != "West hedge" {
		t.Errorf("%d beds, %+v", len(a.Beds), a.Beds[2].Refuge)
	}
	var named []string
	for _, f := range a.Findings {
		if f.Rule == "invalid-geometry" {
			named = append(named, f.Features...)
			if f.Features[0] == p.Features[5].ID && !strings.HasSuffix(f.Message, " near (5 m, 5 m).") {
				t.Errorf("%q", f.Message)
			}
		}
	}
	if want := []string{p.Features[5].ID, p.Features[6].ID, "no geometry"}; !slices.Equal(named, want) {
		t.Errorf("named = %v, want %v", named, want)
	}
	feet := *p
	feet.Units = plan.US
	if f := Assess(&feet, catalogue(t), Options{}).Findings[0]; !strings.HasSuffix(f.Message, " near (16 ft 5 in, 16 ft 5 in).") {
		t.Errorf("in feet: %q", f.Message)
	}
	for _, f := range a.Serving(nil) {
		if f.Name == "Bad hedge" {
			t.Error("an invalid hedge serves")
		}
	}
}

func TestAssessChangesNothing(t *testing.T) {
	p, err := plan.ReadFile("../data/sample/community-garden.hedgereach")
	if err != nil {
		t.Fatal(err)
	}
	before, err := plan.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	a := Assess(p, catalogue(t), Options{RangesM: []float64{20}})
	b := Assess(p, catalogue(t), Options{RangesM: []float64{20}})
	if after, err := plan.Marshal(p); err != nil || string(after) != string(before) {
		t.Error("Assess changed the plan", err)
	}
	same(t, a, b)
}

// same tells where two assessments of plans with the same features differ.
func same(t interface {
	Helper()
	Errorf(string, ...any)
}, a, b *Assessment) {
	t.Helper()
	if !reflect.DeepEqual(a.Site, b.Site) {
		t.Errorf("sites differ:\n%+v\n%+v", a.Site, b.Site)
	}
	if len(a.Beds) != len(b.Beds) {
		t.Errorf("%d and %d beds", len(a.Beds), len(b.Beds))
		return
	}
	for i := range a.Beds {
		x, y := a.Beds[i], b.Beds[i]
		if x.Feature != y.Feature || x.AreaM2 != y.AreaM2 || x.CoverRadiusM != y.CoverRadiusM ||
			!slices.Equal(x.Reach, y.Reach) || x.Cover != y.Cover {
			t.Errorf("beds %d differ:\n%+v\n%+v", i, x, y)
		}
		if !sameLink(x.Refuge, y.Refuge) {
			t.Errorf("bed %d, refuge:\n%+v\n%+v", i, x.Refuge, y.Refuge)
		}
		for j := range x.Guilds {
			g, h := x.Guilds[j], y.Guilds[j]
			if g.Guild != h.Guild || g.WithinFraction != h.WithinFraction || g.WithinAtLow != h.WithinAtLow ||
				g.WithinAtOuter != h.WithinAtOuter || g.Status != h.Status || g.AtLow != h.AtLow || g.AtOuter != h.AtOuter ||
				!sameLink(g.Link, h.Link) || !sameLink(g.Straight, h.Straight) || !slices.Equal(g.Way, h.Way) {
				t.Errorf("bed %d, %s:\n%+v %+v\n%+v %+v", i, g.Guild.ID, g, g.Link, h, h.Link)
			}
		}
	}
	if len(a.Findings) != len(b.Findings) {
		t.Errorf("findings differ:\n%+v\n%+v", a.Findings, b.Findings)
		return
	}
	for i, f := range a.Findings {
		g := b.Findings[i]
		f.Show, g.Show = nil, nil
		if !reflect.DeepEqual(f, g) {
			t.Errorf("findings differ:\n%+v\n%+v", f, g)
		}
	}
	if a.BloomEstimated != b.BloomEstimated {
		t.Errorf("bloom estimated: %v and %v", a.BloomEstimated, b.BloomEstimated)
	}
}

// sameLink compares links to the last bit but for the point on the refuge: two sides of a refuge can be equally near.
func sameLink(a, b *Link) bool {
	if a == nil || b == nil {
		return a == b
	}
	x, y := *a, *b
	x.NearestTo, y.NearestTo, x.FarthestTo, y.FarthestTo = orb.Point{}, orb.Point{}, orb.Point{}, orb.Point{}
	x.mean, y.mean = nil, nil
	return x == y && a.MeanM() == b.MeanM()
}

// The sites in plan/testdata/gdal were made with GDAL; the boundary's area on the ellipsoid is SpatiaLite's (areas.csv there).
func TestAGISSiteIsAssessed(t *testing.T) {
	p, err := plan.ReadFile("plan/testdata/gdal/site.geojson")
	if err != nil {
		t.Fatal(err)
	}
	a := Assess(p, catalogue(t), Options{})
	if len(a.Beds) != 60 {
		t.Errorf("%d beds", len(a.Beds))
	}
	near0(t, "site", a.Site.AreaM2, 4232.9232, 4232.9232e-4)
	for _, b := range a.Beds {
		if b.Refuge == nil || b.Refuge.FarthestM < b.Refuge.NearestM || b.Guild("tachinids").Status != Unknown {
			t.Errorf("bed %s: %+v", b.Feature.Name, b.Refuge)
		}
	}
}

func TestEveryFindingSaysWhatWhyAndWhatWouldMendIt(t *testing.T) {
	for _, file := range []string{"../data/sample/community-garden.hedgereach", "plan/testdata/gdal/site.geojson"} {
		p, err := plan.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range Assess(p, catalogue(t), Options{}).Findings {
			if f.Rule == "" || f.Title == "" || f.Message == "" || f.Mend == "" || f.Source == "" || f.Evidence == "" ||
				f.Severity.Gravity() == len(Severities) {
				t.Errorf("%s: %+v", file, f)
			}
			if !strings.HasSuffix(f.Message, ".") || strings.ContainsAny(f.Message, "\n{}[]") || strings.Contains(f.Message, "%!") {
				t.Errorf("%s: %q", file, f.Message)
			}
			for _, id := range f.Features {
				if g, _ := p.Find(id); g == nil {
					t.Errorf("%s: %s names %q, which is no feature", file, f.Rule, id)
				}
			}
		}
	}
}

// Every rule names a source that the bibliography has, or says that there is none.
func TestEveryRuleNamesItsSource(t *testing.T) {
	c := catalogue(t)
	seen := map[string]bool{}
	for _, r := range rules {
		if seen[r.id] || r.id == "" || r.title == "" || (r.find == nil) == (r.season == nil) {
			t.Errorf("rule %q", r.id)
		}
		seen[r.id] = true
		for _, s := range r.sources {
			if c.Source(s) == nil {
				t.Errorf("rule %s: no source %q", r.id, s)
			}
		}
		byRange := slices.Contains([]string{"bed-beyond-range", "bed-partly-in-range", "bed-beyond-short-range",
			"longer-on-foot"}, r.id)
		if len(r.sources) == 0 && r.practice == "" && !byRange && !r.cites {
			t.Errorf("rule %s has no source and does not say so", r.id)
		}
	}
}

func TestRulesFindWhatTheyLookFor(t *testing.T) {
	base := func() *plan.Plan { return handPlan(t) }
	add := func(p *plan.Plan, f ...*plan.Feature) *plan.Plan {
		p.Features = append(p.Features, f...)
		return p
	}
	trap := func(removal string) *plan.Feature {
		f := plan.NewFeature(plan.TrapCrop, "Hubbard", box(30, 30, 40, 32))
		f.Trapping = &plan.Trapping{Pest: "squash-bug", Removal: removal}
		return f
	}
	without := func(k plan.Kind) *plan.Plan {
		p := base()
		p.Features = slices.DeleteFunc(p.Features, func(f *plan.Feature) bool { return f.Kind == k })
		return p
	}
	placeless := base()
	placeless.Place = nil
	frostless := base()
	frostless.Place.LastFrost = 0
	large := base()
	large.Features[1] = plan.NewFeature(plan.Hedgerow, "Broad hedge", box(0, 0, 6, 50)) // 300 of 5000 m²: 6 %
	mid := base()
	mid.Features[1] = plan.NewFeature(plan.Hedgerow, "Hedge", box(0, 0, 3, 50)) // 3 %
	thin := base()
	thin.Features[1] = plan.NewFeature(plan.Hedgerow, "Hedge", box(0, 0, 1, 50)) // 1 %
	odd := base()
	odd.Features[2].Crops = []plan.Planting{{Crop: "moon-melon", Share: 1}}
	metric := func(rule, severity string) string { return rule + " " + severity }
	for _, c := range []struct {
		name      string
		plan      *plan.Plan
		has, lack []string
	}{
		{"hand", base(), []string{metric("bed-beyond-range", "warning"), metric("bloom-gap", "warning"),
			metric("bed-partly-in-range", "advice"),
			metric("bed-beyond-short-range",
				"advice")}, []string{"no-refuge", "no-place", "no-frost-dates", "beds-overlap", "outside-boundary", "longer-on-foot",
			"barrier-contested"}},
		{"no hedge", without(plan.Hedgerow), []string{metric("no-refuge", "warning"), metric("habitat-share-low", "warning")},
			[]string{"bed-beyond-range"}},
		{"no bed", without(plan.Bed), nil, []string{"no-refuge", "habitat-share-low", "bed-beyond-range"}},
		{"no place", placeless, []string{metric("no-place", "note"), metric("no-frost-dates", "note")},
			[]string{"bloom-gap", "flowering-cover-low"}},
		{"no frost", frostless, []string{metric("no-frost-dates", "note")}, []string{"no-place", "bloom-gap"}},
		{"6 % habitat", large, nil, []string{"habitat-share-low", "flowering-cover-low"}},
		{"3 % habitat", mid, []string{metric("habitat-share-low", "advice")}, nil},
		{"1 % habitat", thin, []string{metric("habitat-share-low", "warning")}, nil},
		{"few flowers", base(), []string{metric("flowering-cover-low", "warning")}, nil},
		{"unknown crop", odd, []string{metric("unknown-name", "note")}, nil},
		{"trap crop", add(base(), trap("")), []string{metric("trap-crop-without-removal", "warning")}, nil},
		{"trap crop, cleared", add(base(), trap("vacuum")), nil, []string{"trap-crop-without-removal"}},
		{"overlap", add(base(), plan.NewFeature(plan.Bed, "Twin", box(15, 10, 25, 12))),
			[]string{metric("beds-overlap", "advice")}, nil},
		{"touching", add(base(), plan.NewFeature(plan.Bed, "Neighbour", box(20, 10, 25, 12))), nil, []string{"beds-overlap"}},
		{"outside", add(base(), plan.NewFeature(plan.Bed, "Out", box(95, 40, 105, 42))),
			[]string{metric("outside-boundary", "advice")}, nil},
		{"stake outside", add(base(), plan.NewFeature(plan.Stake, "Out", orb.Point{200, 0})), nil, []string{"outside-boundary"}},
	} {
		var got []string
		for _, f := range Assess(c.plan, catalogue(t), Options{}).Findings {
			got = append(got, f.Rule+" "+string(f.Severity))
		}
		for _, w := range c.has {
			if !slices.Contains(got, w) {
				t.Errorf("%s: no %q among %q", c.name, w, got)
			}
		}
		for _, w := range c.lack {
			if slices.ContainsFunc(got, func(s string) bool { return strings.HasPrefix(s, w+" ") || s == w }) {
				t.Errorf("%s: found %q among %q", c.name, w, got)
			}
		}
		if !slices.IsSortedFunc(Assess(c.plan, catalogue(t), Options{}).Findings,
			func(a, b Finding) int { return a.Severity.Gravity() - b.Severity.Gravity() }) {
			t.Errorf("%s: findings are not in order of gravity", c.name)
		}
	}
}

func TestABedBeyondNamesDistanceRefugeAndMend(t *testing.T) {
	p := handPlan(t)
	c := catalogue(t)
	find := func() *Finding {
		for _, f := range Assess(p, c, Options{}).Findings {
			if f.Rule == "bed-beyond-range" && f.Features[0] == p.Features[4].ID {
				return &f
			}
		}
		t.Fatal("the far bed is not found")
		return nil
	}
	f := find()
	for _, want := range []string{"Far lies beyond the typical range of ", "ground beetles and rove beetles (60 m)",
		"West hedge, the nearest refuge of", "88 m away."} {
		if !strings.Contains(f.Message, want) {
			t.Errorf("no %q in %q", want, f.Message)
		}
	}
	if !strings.Contains(f.Mend, " of its far end would bring it into reach.") || len(f.Show) != 2 || f.Show[1][0] != 2 ||
		f.Show[0][0] != 90 {
		t.Errorf("mend %q, show %v", f.Mend, f.Show)
	}
	// A crop asks only for the guilds that hold its pests.
	p.Features[4].Crops = []plan.Planting{{Crop: c.Crops[0].ID, Share: 1}}
	relevant := NewAssessor(c, Options{}).relevant(p.Features[4])
	for i, g := range c.Guilds {
		held := false
		for _, pest := range c.Crops[0].Pests {
			held = held || slices.Contains(c.Pest(pest).Guilds, g.ID)
		}
		if want := held && g.HasRange() && !g.Pollinator; relevant.has(i) != want {
			t.Errorf("%s matters to %s: %v", g.ID, c.Crops[0].ID, !want)
		}
	}
	p.Features[4].Crops = nil
	p.Units = plan.US
	if f := find(); !strings.Contains(f.Message, "(197 ft)") || !strings.Contains(f.Message,
		"288 ft 9 in away.") { // 60 m; 88 m
		t.Errorf("in feet: %q", f.Message)
	}
}

// How many of the beds are beyond a short range is said in words that fit the number.
func TestBedsBeyondAShortRangeAreCountedInWords(t *testing.T) {
	p := plan.New("Field")
	p.Features = []*plan.Feature{plan.NewFeature(plan.Hedgerow, "Hedge", box(0, 0, 2, 20)), plan.NewFeature(plan.Bed, "Far", box(300, 0, 302, 10))}
	say := func() string {
		for _, f := range Assess(p, catalogue(t), Options{}).Findings {
			if f.Rule == "bed-beyond-short-range" {
				return f.Message
			}
		}
		t.Fatal("nothing is said")
		return ""
	}
	for _, want := range []string{": Far, the one bed where they matter, lies beyond.", ": all two beds where they matter lie beyond.",
		": 2 of the 3 beds where they matter lie beyond."} {
		if got := say(); !strings.HasSuffix(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
		x := float64(len(p.Features)-2) * 308 // the second far off, the third at the hedge
		p.Features = append(p.Features, plan.NewFeature(plan.Bed, "More", box(310-x, 0, 312-x, 10)))
	}
	p.Features[2].Geometry = box(4, 0, 6, 10)
	p.Features = p.Features[:3]
	if got := say(); !strings.HasSuffix(got, ": 1 of the 2 beds where they matter lies beyond.") {
		t.Error(got)
	}
}

// Beds that the same guilds do not reach share a finding, which shows the worst of them; guilds of which nothing is there are not
// mixed with those that have a refuge too far off.
func TestBedsBeyondShareAFinding(t *testing.T) {
	p := handPlan(t)
	c := catalogue(t)
	p.Features = append(p.Features, plan.NewFeature(plan.Bed, "Farther", box(90, 30, 99, 32)))
	var found []Finding
	for _, f := range Assess(p, c, Options{}).Findings {
		if f.Rule == "bed-beyond-range" {
			found = append(found, f)
		}
	}
	beyond := func(guild string) *Finding {
		for i, f := range found {
			if slices.Contains(f.Guilds, guild) {
				return &found[i]
			}
		}
		t.Fatalf("%s: no finding", guild)
		return nil
	}
	f := beyond("ground-beetles")
	if !slices.Equal(f.Features, []string{p.Features[4].ID, p.Features[5].ID}) || !slices.Contains(f.Guilds, "lady-beetles") {
		t.Errorf("features %v, guilds %v", f.Features, f.Guilds)
	}
	for _, want := range []string{"Two beds lie beyond", "(75 m): Far and Farther. ", " lies farthest off, 88 m from West hedge"} {
		if !strings.Contains(f.Message, want) {
			t.Errorf("no %q in %q", want, f.Message)
		}
	}
	// Every guild that some bed lies beyond is named once, with all those beds.
	for _, g := range c.Guilds {
		if !g.HasRange() || g.Pollinator || g.TypicalM <= shortRangeM {
			continue
		}
		var beds []string
		a := Assess(p, c, Options{})
		for _, b := range a.Beds {
			if b.Guild(g.ID).Status == Beyond {
				beds = append(beds, b.Feature.ID)
			}
		}
		if len(beds) == 0 {
			continue
		}
		f := beyond(g.ID)
		if !slices.Equal(f.Features, beds) {
			t.Errorf("%s: features %v, beyond are %v", g.ID, f.Features, beds)
		}
		if nothing := strings.Contains(f.Message, "nothing here shelters or feeds them"); nothing == (len(a.Serving(g)) > 0) {
			t.Errorf("%s, served by %d: %q", g.ID, len(a.Serving(g)), f.Message)
		}
	}
}

func TestGroundIsToldToHoldAShape(t *testing.T) {
	ring := orb.MultiPolygon{{box(0, 0, 100, 100)[0], box(40, 40, 60, 60)[0]}}
	for _, c := range []struct {
		shape orb.Polygon
		want  bool
	}{
		{box(10, 10, 20, 20), true}, {box(-5, 10, 20, 20), false}, {box(200, 200, 210, 210), false},
		{box(30, 30, 70, 70), false}, {box(45, 45, 55, 55), false}, {box(30, 30, 45, 45), false}, {box(-10, -10, 110, 110), false},
	} {
		if got := holds(ring, c.shape); got != c.want {
			t.Errorf("%v: %v", c.shape, got)
		}
		if in, err := geometry.Intersection(ring, c.shape); err != nil ||
			(math.Abs(geometry.Area(in)-geometry.Area(c.shape)) < 1e-9) != c.want {
			t.Errorf("the overlay finds otherwise for %v", c.shape)
		}
	}
}
