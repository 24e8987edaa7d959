package sheet

import (
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/paulmach/orb"

	"hedgereach/habitat"
)

// moreCautions are the general cautions that the map had no room for.
func (j *job) moreCautions(f *flow) {
	all := habitat.CautionsFor(j.a.Plan)
	if j.warned < len(all) {
		f.split(120 * j.big)
		f.heading("More cautions", 10)
		f.dashes(all[j.warned:])
	}
}

// plantCautions are what the catalogue says against the plants and crops of the plan, each once.
func (j *job) plantCautions(f *flow) {
	var out []string
	say := func(name, caution string) {
		if caution == "" {
			return
		}
		if words := capital(name) + ": " + strings.TrimSuffix(caution, ".") + "."; !slices.Contains(out, words) {
			out = append(out, words)
		}
	}
	for _, ft := range j.a.Plan.Features {
		for _, g := range ft.Plants {
			if p := j.plant(g.Plant); p != nil {
				say(p.Name, p.Caution)
			}
		}
	}
	for _, ft := range j.a.Plan.Features {
		for _, g := range ft.Crops {
			if j.a.Catalogue == nil {
				continue
			}
			if c := j.a.Catalogue.Crop(g.Crop); c != nil {
				say(c.Name, c.Caution)
			}
		}
	}
	if len(out) > 0 {
		f.heading("Of these plants and crops", 10)
		f.dashes(out)
	}
}

// dashes pours a list of short texts.
func (f *flow) dashes(texts []string) {
	t := f.j.body()
	in := 3 * f.j.big
	for _, c := range texts {
		f.room(f.height(c, t, in))
		f.add(f.j.words(orb.Point{f.x, f.y + t.size}, "–", t, false))
		f.paragraph(c, t, false, in)
	}
}

func capital(s string) string {
	if s == "" {
		return s
	}
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToUpper(s[:n]) + s[n:]
}
