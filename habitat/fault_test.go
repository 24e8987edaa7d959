package habitat

import (
	"testing"

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
