package habitat

import (
	"slices"
	"strings"
	"testing"

	"hedgereach/habitat/plan"
)

func TestHabitatsWithoutPlantsAreNamed(t *testing.T) {
	p := plan.New("")
	hedge := plan.NewFeature(plan.Hedgerow, "Hedge", box(0, 0, 10, 2))
	pond := plan.NewFeature(plan.Pond, "Pond", box(20, 0, 2, 2))
	bed := plan.NewFeature(plan.Bed, "Bed", box(0, 5, 10, 1))
	p.Features = []*plan.Feature{hedge, pond, bed}
	found := func() (out []Finding) {
		for _, f := range Assess(p, catalogue(t), Options{}).Findings {
			if f.Rule == "nothing-planted" {
				out = append(out, f)
			}
		}
		return out
	}
	fs := found()
	if len(fs) != 1 || len(fs[0].Features) != 1 || fs[0].Features[0] != hedge.ID || !strings.HasPrefix(fs[0].Message, "Hedge lists no plants") {
		t.Errorf("found %+v, want the hedge alone", fs)
	}
	planted := hedge.Clone()
	planted.Plants = []plan.Growing{{Plant: "ninebark", Share: 0.1}}
	p.Features = []*plan.Feature{planted, pond, bed}
	if fs := found(); len(fs) != 0 {
		t.Errorf("with one plant: %+v", fs)
	}
}

// Fennel is a weed in parts of North America, not in Europe; toyon is hardy from zone 8 (region_test.go of the catalogue).
func TestWeedsAndTenderPlantsAreNamed(t *testing.T) {
	p := plan.New("")
	strip := plan.NewFeature(plan.PerennialStrip, "Strip", box(0, 0, 10, 2))
	strip.Plants = []plan.Growing{{Plant: "fennel", Share: 0.4}, {Plant: "toyon", Share: 0.3}, {Plant: "common-tansy", Share: 0.3}}
	p.Features = []*plan.Feature{strip}
	for _, c := range []struct {
		name          string
		place         *plan.Place
		weeds, tender []string
		severity      Severity
	}{
		{"Vermont", &plan.Place{Latitude: 44, Longitude: -72, HardinessZone: "4b"}, []string{"weed-here fennel", "weed-here common-tansy"}, []string{"tender-here fennel", "tender-here toyon"}, Warning},
		{"California", &plan.Place{Latitude: 38, Longitude: -122, HardinessZone: "9b"}, []string{"weed-here fennel", "weed-here common-tansy"}, nil, Warning},
		{"Kent", &plan.Place{Latitude: 51, Longitude: 1, HardinessZone: "9a"}, nil, nil, ""},
		{"nowhere", nil, []string{"weed-here fennel", "weed-here common-tansy"}, nil, Advice},
	} {
		p := p.Clone()
		p.Place = c.place
		a := Assess(p, catalogue(t), Options{})
		keys := func(found []Finding) (out []string) {
			for _, f := range found {
				out = append(out, f.Key)
				if len(f.Features) != 1 || f.Source == "" || f.Mend == "" {
					t.Errorf("%s: %+v", c.name, f)
				}
			}
			return out
		}
		weeds := ruled(a, "weed-here")
		if got := keys(weeds); !slices.Equal(got, c.weeds) {
			t.Errorf("%s: weeds %q, want %q", c.name, got, c.weeds)
		}
		if got := keys(ruled(a, "tender-here")); !slices.Equal(got, c.tender) {
			t.Errorf("%s: tender %q, want %q", c.name, got, c.tender)
		}
		for _, f := range weeds {
			if f.Severity != c.severity || !strings.Contains(f.Message, "check your state or national list") {
				t.Errorf("%s: %+v", c.name, f)
			}
		}
		if c.name == "Vermont" && (weeds[0].Title == weeds[1].Title || !strings.HasPrefix(weeds[0].Message, "Fennel, in Strip: invasive or noxious in parts of North America:")) {
			t.Errorf("%+v", weeds)
		}
	}
}
