package habitat

import (
	"testing"

	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// Who is fed at a time must agree with who is served at that time where nothing shelters anybody: an annual strip is no refuge.
func TestFedAgreesWithServing(t *testing.T) {
	c := catalogue(t)
	p := plan.New("")
	strip := plan.NewFeature(plan.FlowerStrip, "Strip", box(0, 0, 20, 2))
	for i, x := range c.Plants {
		if i%9 == 0 && x.Bloom.Given() {
			strip.Plants = append(strip.Plants, plan.Growing{Plant: x.ID, Share: 0.05})
		}
	}
	p.Features = []*plan.Feature{strip}
	fed := Assess(p, c, Options{}).Fed()
	most := 0
	for h := range season.HalfMonth(season.HalfMonths) {
		at := h
		a, n := Assess(p, c, Options{On: &at}), 0
		for _, g := range c.Guilds {
			if g.FedByFlowers && !g.Pollinator && len(a.Serving(g)) > 0 {
				if n >= len(fed[h]) || fed[h][n] != g {
					t.Fatalf("%s: %s is served and not listed as fed", h, g.Name)
				}
				n++
			}
		}
		if n != len(fed[h]) {
			t.Errorf("%s: %d fed, %d served", h, len(fed[h]), n)
		}
		most = max(most, n)
	}
	if most < 3 || len(fed[0]) != 0 {
		t.Errorf("at most %d fed and %d in January: the plants of the test tell nothing", most, len(fed[0]))
	}
}

func TestNobodyIsFedByWhatDoesNotGrow(t *testing.T) {
	c := catalogue(t)
	p := plan.New("")
	bed := plan.NewFeature(plan.Bed, "Bed", box(0, 0, 20, 2)) // no habitat
	none := plan.NewFeature(plan.FlowerStrip, "Strip", box(0, 4, 20, 6))
	for _, x := range c.Plants {
		bed.Plants = append(bed.Plants, plan.Growing{Plant: x.ID, Share: 0.01})
		none.Plants = append(none.Plants, plan.Growing{Plant: x.ID, Share: 0})
	}
	p.Features = []*plan.Feature{bed, none}
	for h, got := range Assess(p, c, Options{}).Fed() {
		if len(got) > 0 {
			t.Errorf("%s: %s fed by nothing", season.HalfMonth(h), got[0].Name)
		}
	}
}
