package habitat

import (
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// Each limit is tried from both sides, as near as is sure. The limits are those that the rules state, most of them our reading of
// their sources.
func TestRulesJustDoAndJustDoNot(t *testing.T) {
	field := func(features ...*plan.Feature) *plan.Plan {
		p := plan.New("Field")
		p.Place = &plan.Place{Latitude: 42.7, Longitude: -84.5, LastFrost: day(t, "05-01"), FirstFrost: day(t, "10-15")}
		p.Features = append([]*plan.Feature{plan.NewFeature(plan.Boundary, "Field", box(0, 0, 100, 100)),
			plan.NewFeature(plan.Bed, "Bed", box(10, 10, 20, 12))}, features...)
		return p
	}
	hedge := func(m2 float64) *plan.Feature { return plan.NewFeature(plan.Hedgerow, "Hedge", box(0, 0, m2/100, 100)) }
	// Three species all season on m2 of 10 000.
	flowers := func(m2 float64) *plan.Feature {
		f := hedge(m2)
		for _, id := range []string{"a", "b", "c"} {
			f.Plants = append(f.Plants, plan.Growing{Plant: id, Share: 1. / 3, Bloom: window(t, "04-16", "10-31")})
		}
		return f
	}
	species := func(n int) *plan.Feature {
		f := hedge(1000)
		for _, id := range []string{"a", "b", "c"}[:n] {
			f.Plants = append(f.Plants, plan.Growing{Plant: id, Share: 1 / float64(n), Bloom: window(t, "04-16", "10-31")})
		}
		return f
	}
	bed := func(x0, y0, x1, y1 float64) *plan.Feature {
		return plan.NewFeature(plan.Bed, "Other", box(x0, y0, x1, y1))
	}
	path := func(width float64) *plan.Feature { return plan.NewFeature(plan.Path, "Path", box(5, 0, 5+width, 100)) }
	// A path that turns a corner: its box is 5 m and more wide, the path is not.
	bent := func(width float64) *plan.Feature {
		line := orb.LineString{{5, 0}, {5, 60}, {60, 60}}
		g, err := geometry.Strip(line, width)
		if err != nil {
			t.Fatal(err)
		}
		return plan.NewFeature(plan.Path, "Path", g)
	}
	feeding := func(f *plan.Feature) *plan.Feature {
		f.Plants = []plan.Growing{{Plant: fedOn(t, "hoverflies"), Share: 1, Bloom: window(t, "05-01", "10-15")}}
		return f
	}
	for _, c := range []struct {
		name, rule string
		severity   Severity
		does, not  *plan.Plan
	}{
		{"habitat 1.99 and 2.01 %", "habitat-share-low", Warning, field(hedge(199)), field(hedge(201))},
		{"habitat 4.99 and 5.01 %", "habitat-share-low", Advice, field(hedge(499)), field(hedge(501))},
		{"in flower 1.99 and 2.01 %", "flowering-cover-low", Warning, field(flowers(199)), field(flowers(201))},
		{"two and three species", "bloom-gap", Warning, field(species(2)), field(species(3))},
		{"beds sharing 0.06 and 0.04 m²", "beds-overlap", Advice, field(bed(19.97, 10, 25, 12)), field(bed(19.98, 10, 25, 12))},
		{"0.52 and 0.48 m² outside", "outside-boundary", Advice, field(bed(90, 40, 100.26, 42)), field(bed(90, 40, 100.24, 42))},
		{"1.1 and 0.9 % outside", "outside-boundary", Advice, field(bed(50, 40, 100.556, 60)), field(bed(50, 40, 100.454, 60))},
		{"a path 3.1 and 2.9 m wide", "barrier-contested", Note, field(feeding(hedge(200)), path(3.1)), field(feeding(hedge(200)), path(2.9))},
		{"a bent path 3.1 and 2.9 m wide", "barrier-contested", Note, field(feeding(hedge(200)), bent(3.1)), field(feeding(hedge(200)), bent(2.9))},
	} {
		has := func(p *plan.Plan) bool {
			return slices.ContainsFunc(Assess(p, catalogue(t), Options{}).Findings, func(f Finding) bool {
				return f.Rule == c.rule && f.Severity == c.severity
			})
		}
		if !has(c.does) {
			t.Errorf("%s: the first does not make %s, %s", c.name, c.rule, c.severity)
		}
		if has(c.not) {
			t.Errorf("%s: the second makes %s, %s", c.name, c.rule, c.severity)
		}
	}
}

// fedOn is a plant that feeds the guild.
func fedOn(t *testing.T, guild string) string {
	for _, p := range catalogue(t).Plants {
		if slices.Contains(p.Guilds, guild) {
			return p.ID
		}
	}
	t.Fatalf("no plant feeds %s", guild)
	return ""
}

// The words are made of the numbers.
func TestWordsOfLimits(t *testing.T) {
	if aim != "5–10 %" || whole(coverLow) != "2 %" || number(speciesInFlower) != "three" {
		t.Errorf("%q, %q, %q", aim, whole(coverLow), number(speciesInFlower))
	}
}

// In a list each finding can be told from its neighbours: whom it is about, and where.
func TestHeadings(t *testing.T) {
	p := plan.New("Field")
	p.Place = &plan.Place{Latitude: 42.7, Longitude: -84.5, LastFrost: day(t, "05-01"), FirstFrost: day(t, "10-15")}
	p.Features = []*plan.Feature{
		plan.NewFeature(plan.Hedgerow, "Hedge", box(0, 0, 2, 20)),
		plan.NewFeature(plan.Bed, "Near", box(10, 0, 12, 10)),
		plan.NewFeature(plan.Bed, "Far", box(300, 0, 302, 10)),
		plan.NewFeature(plan.Bed, "Farther", box(310, 0, 312, 10)),
	}
	c := catalogue(t)
	seen := map[string]string{}
	for _, f := range Assess(p, c, Options{}).Findings {
		if f.Rule == "bed-beyond-range" && slices.Contains(f.Guilds, "ground-beetles") || f.Rule == "bloom-gap" || f.Rule == "nothing-planted" {
			seen[f.Rule] = f.Heading(p, c)
		}
	}
	for rule, want := range map[string]string{
		"bed-beyond-range": "Beds beyond range of lady beetles and others: Far and 1 more",
		"bloom-gap":        "Bloom gap, 1 May – 15 Oct", "nothing-planted": "Nothing planted yet: Hedge",
	} {
		if seen[rule] != want {
			t.Errorf("%s: %q, want %q", rule, seen[rule], want)
		}
	}
}
