package sheet

import (
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/app/calendar"
	"hedgereach/habitat"
)

// bloomYear is the year of the habitats.
func (j *job) bloomYear() {
	if j.a.Catalogue != nil {
		j.year("Bloom chart", calendar.Bloom(j.a))
	}
}

// bedYear is the year of the beds.
func (j *job) bedYear() {
	if j.a.Catalogue == nil {
		return
	}
	j.year("Bed calendar", calendar.Beds(j.season()))
}

// year is a chart over as many sheets as its rows take; none where it has no rows.
func (j *job) year(name string, c *calendar.Chart) {
	c.Whole = true
	if was := j.paper; min(was.W, was.H) < slimLess*j.big { // a year needs the width
		j.paper = Paper{was.Name, max(was.W, was.H), min(was.W, was.H)}
		defer func() { j.paper = was }()
	}
	for from := 0; from < c.Rows(); {
		f := newFlow(j, name)
		b := orb.Bound{Min: orb.Point{edge, f.y + 1}, Max: orb.Point{j.paper.W - edge, f.bottom}}
		from = c.Draw(f.list(), j.look, b, from)
	}
}

// season is the plan's year, worked out when first asked for.
func (j *job) season() *habitat.Season {
	if j.yearly == nil {
		j.yearly = habitat.SeasonOf(j.a)
	}
	return j.yearly
}

// lookAt are the findings for the list on paper, gravest first: those that are open, and those that the grower lets stand. Of the
// season's notes only what to mind before a treatment is printed; the window and the report have the others.
func (j *job) lookAt() (open, stand []habitat.Finding) {
	all := j.a.Findings
	if j.a.Catalogue != nil {
		all = slices.Clone(all)
		for _, f := range j.season().Findings {
			if f.Severity != habitat.Note || f.Rule == "treatment-label" {
				all = append(all, f)
			}
		}
	}
	for _, f := range all {
		if f.Accepted != nil {
			stand = append(stand, f)
		}
	}
	return habitat.Open(all), stand
}
