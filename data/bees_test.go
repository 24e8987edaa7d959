package data

import (
	"math"
	"testing"
)

// Greenleaf et al. 2007: the worked number for a width of 2.0 mm, 10^(−1.643 + 3.242 × 0.30103) = 10^(−0.667) = 0.215 km, and
// the other cells, worked by hand from the published coefficients and rounded to the metre or 10 m.
func TestBeeFlight(t *testing.T) {
	for _, s := range []struct {
		way   BeeDistance
		width float64
		km    float64
		to    float64 // rounding
	}{
		{TypicalHoming, 2.0, 0.215, 0.0005}, {TypicalHoming, 1.5, 0.085, 0.0005}, {TypicalHoming, 3.2, 0.99, 0.005}, {TypicalHoming, 4.0, 2.04, 0.005},
		{MaximumHoming, 1.5, 0.170, 0.0005}, {MaximumHoming, 2.0, 0.447, 0.0005}, {MaximumHoming, 3.2, 2.17, 0.005}, {MaximumHoming, 4.0, 4.61, 0.005},
		{FeederTraining, 1.5, 0.444, 0.0005}, {FeederTraining, 2.0, 0.864, 0.0005}, {FeederTraining, 3.2, 2.56, 0.005}, {FeederTraining, 4.0, 4.29, 0.005},
		{MaximumCommunication, 1.5, 0.315, 0.0005}, {MaximumCommunication, 2.0, 0.702, 0.0005}, {MaximumCommunication, 3.2, 2.60, 0.005},
		{MaximumCommunication, 4.0, 4.85, 0.005},
	} {
		if got := BeeFlightM(s.way, s.width) / 1000; math.Abs(got-s.km) > s.to {
			t.Errorf("way %d, %g mm: %.4f km, want %g", s.way, s.width, got, s.km)
		}
	}
	for _, w := range []float64{0, -1, math.NaN()} {
		if !math.IsNaN(BeeFlightM(TypicalHoming, w)) {
			t.Errorf("a width of %g gives a distance", w)
		}
	}
	c := mustLoad(t)
	for _, id := range GreenleafFrom.Sources {
		if c.Source(id) == nil {
			t.Errorf("no source %s", id)
		}
	}
	for id, w := range BeeWidthMM {
		g := c.Guild(id)
		if g == nil || !g.Pollinator {
			t.Fatalf("%s is no guild of pollinators", id)
		}
		if far := BeeFlightM(MaximumHoming, w); far < g.TypicalM {
			t.Errorf("%s: usually %g m, able to fly only %g m", id, g.TypicalM, far)
		}
	}
}
