package habitat

import (
	"errors"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/habitat/plan"
)

// A fault while features are looked at side by side comes to whoever asked, who can recover it.
func TestAFaultOnAWorkerComesToTheCaller(t *testing.T) {
	p := plan.New("A bed that is none")
	for i := range 32 {
		p.Features = append(p.Features, plan.NewFeature(plan.Bed, "", box(0, float64(3*i), 10, float64(3*i+1))))
	}
	p.Features[17] = nil
	defer func() {
		if recover() == nil {
			t.Error("nothing was recovered")
		}
	}()
	Assess(p, catalogue(t), Options{})
	t.Error("a plan with no feature where one should be was measured")
}

// Where the overlay fails, a measure is not silently nothing. What it can do again is measured as if nothing had been.
func TestWhatCannotBeOverlaidIsSaid(t *testing.T) {
	p := handPlan(t)
	p.Features = append(p.Features,
		plan.NewFeature(plan.Boundary, "Field 2", box(90, 0, 200, 50)),
		plan.NewFeature(plan.WildMargin, "Margin", box(-5, 20, 10, 30)), // over the edge and over the hedge
		plan.NewFeature(plan.Bed, "Out", box(195, 0, 205, 2)),
		plan.NewFeature(plan.Bed, "Twin", box(15, 10, 25, 12)))
	c := catalogue(t)
	a := NewAssessor(c, Options{})
	works := a.overlay
	broken := errors.New("no luck")
	a.overlay = overlay{func(...orb.Geometry) (orb.MultiPolygon, error) { return nil, broken },
		func(x, y orb.Geometry) (orb.MultiPolygon, error) { return nil, broken }}
	said := func() *Finding {
		for _, f := range a.Assess(p).Findings {
			if f.Rule == "not-measured" {
				return &f
			}
		}
		return nil
	}
	for range 2 { // also what was looked at before
		f := said()
		if f == nil {
			t.Fatal("no finding says so")
		}
		for _, want := range []string{"the site within its boundaries", "habitats that overlap"} {
			if !strings.Contains(f.Message, want) {
				t.Errorf("no %q in %q", want, f.Message)
			}
		}
		if f.Severity != Warning || len(f.Features) < 4 {
			t.Errorf("finding %+v", f)
		}
	}
	// With the site known, what lies on it is not.
	a.overlay.union = works.union
	if f := said(); f == nil || !strings.Contains(f.Message, "lies on the site") {
		t.Errorf("finding %+v", f)
	}
	// With what lies on the site known, the union of what overlaps is not.
	a.overlay = overlay{func(s ...orb.Geometry) (orb.MultiPolygon, error) {
		if len(s) > 1 && s[0].Bound().Max[0] < 50 {
			return nil, broken
		}
		return works.union(s...)
	}, works.intersection}
	if f := said(); f == nil || !strings.Contains(f.Message, "habitats that overlap") {
		t.Errorf("finding %+v", f)
	}
	a.overlay = works
	if f := said(); f != nil {
		t.Errorf("still said: %+v", f)
	}
	same(t, a.Assess(p), Assess(p, c, Options{}))
}
