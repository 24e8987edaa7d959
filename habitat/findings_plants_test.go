package habitat

import (
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
