package sheet

import (
	"slices"
	"strings"

	"hedgereach/habitat"
)

// cautions are the dangers of the work that this plan brings, the general ones first; those of its plants come from the catalogue.
func (j *job) cautions() []string {
	out := habitat.CautionsFor(j.a.Plan)
	var seen []string
	for _, f := range j.a.Plan.Features {
		for _, g := range f.Plants {
			p := j.plant(g.Plant)
			if p == nil || p.Caution == "" || slices.Contains(seen, g.Plant) {
				continue
			}
			seen = append(seen, g.Plant)
			out = append(out, capital(p.Name)+": "+strings.TrimSuffix(p.Caution, ".")+".")
		}
	}
	return out
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
