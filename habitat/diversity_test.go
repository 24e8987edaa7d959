package habitat

import (
	"math"
	"testing"

	"hedgereach/habitat/plan"
)

// Against vegan 2.6-4 (Debian r-cran-vegan) on the dune meadow data of Jongman, ter Braak and van Tongeren 1987, a teaching example
// of a woodland (printed D = 0.3) recomputed there, and ln 4 for four even species.
func TestDiversityAgainstPublishedValues(t *testing.T) {
	for _, c := range []struct {
		what    string
		counts  []float64
		got     func(Diversity) float64
		want    float64
		slack   float64
		species int
	}{
		{"dune plot 1, Shannon", []float64{1, 4, 7, 4, 2}, func(d Diversity) float64 { return d.Shannon }, 1.440481742, 1e-8, 5},
		{"dune plot 1, Simpson", []float64{1, 4, 7, 4, 2}, func(d Diversity) float64 { return d.Simpson }, 0.7345679012, 1e-9, 5},
		{"dune plot 2, Simpson", []float64{3, 2, 3, 4, 4, 5, 4, 7, 5, 5}, func(d Diversity) float64 { return d.Simpson }, 0.8900226757, 1e-9, 10},
		{"dune plot 3, Shannon", []float64{4, 7, 2, 4, 6, 5, 6, 2, 2, 2}, func(d Diversity) float64 { return d.Shannon }, 2.19374929, 1e-7, 10},
		{"woodland, Shannon", []float64{2, 8, 1, 1, 3}, func(d Diversity) float64 { return d.Shannon }, 1.28687263, 1e-7, 5},
		{"woodland, Simpson", []float64{2, 8, 1, 1, 3}, func(d Diversity) float64 { return d.Simpson }, 0.6488888889, 1e-9, 5},
		{"woodland, evenness", []float64{2, 8, 1, 1, 3}, func(d Diversity) float64 { return d.Evenness }, 0.7995789, 1e-6, 5},
		{"four even", []float64{1, 1, 1, 1}, func(d Diversity) float64 { return d.Shannon }, 1.386294361, 1e-9, 4},
		{"none", []float64{0, -1}, func(d Diversity) float64 { return d.Shannon + d.Simpson + d.Evenness }, 0, 0, 0},
		{"one", []float64{7}, func(d Diversity) float64 { return d.Shannon + d.Simpson + d.Evenness }, 0, 0, 1},
	} {
		d := DiversityOf(c.counts)
		if math.Abs(c.got(d)-c.want) > c.slack || d.Species != c.species {
			t.Errorf("%s: %v of %d species, want %v of %d", c.what, c.got(d), d.Species, c.want, c.species)
		}
	}
}

// By the ground that each covers: three quarters of 40 m² and all of 10 m² are the same as three to one.
func TestDiversityOfAPlan(t *testing.T) {
	p, _ := garden(t)
	a, b := plan.NewFeature(plan.FlowerStrip, "A", box(40, 0, 60, 2)), plan.NewFeature(plan.FlowerStrip, "B", box(70, 0, 75, 2))
	a.Plants = []plan.Growing{{Plant: "yarrow", Share: 0.75}}
	b.Plants = []plan.Growing{{Plant: "dill", Share: 1}}
	p.Features = append(p.Features, a, b)
	got, want := SeasonOf(Assess(p, catalogue(t), Options{})).Diversity(), DiversityOf([]float64{3, 1})
	if got.Species != 2 || math.Abs(got.Shannon-want.Shannon) > 1e-12 || math.Abs(got.Simpson-want.Simpson) > 1e-12 {
		t.Errorf("%+v, want %+v", got, want)
	}
}
