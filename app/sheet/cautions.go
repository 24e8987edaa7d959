package sheet

import (
	"slices"
	"strings"

	"hedgereach/habitat/plan"
)

// cautions are the dangers of the work that this plan brings, the general ones first. They are common practice; those of
// plants come from the catalogue.
func (j *job) cautions() []string {
	out := []string{"Before digging, have buried pipes and cables located: in the United States call 811, elsewhere ask the " +
		"utilities."}
	here := map[plan.Kind]bool{}
	flowers := false
	type warned struct{ name, words string }
	var plants []warned
	for _, f := range j.a.Plan.Features {
		here[f.Kind] = true
		for _, g := range f.Plants {
			flowers = true
			if p := j.plant(g.Plant); p != nil && p.Caution != "" {
				if w := (warned{p.Name, p.Caution}); !slices.Contains(plants, w) {
					plants = append(plants, w)
				}
			}
		}
	}
	if here[plan.Pond] {
		out = append(out, "Open water: keep small children from it.")
	}
	if flowers || here[plan.FlowerStrip] || here[plan.PerennialStrip] || here[plan.CoverCrop] {
		out = append(out, "Flowers draw bees and wasps: ask who is allergic to stings before work begins.")
	}
	out = append(out, "Local rules on hedges, water, fences and protected plants come first.")
	for _, p := range plants {
		out = append(out, capital(p.name)+": "+strings.TrimSuffix(p.words, ".")+".")
	}
	return out
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
