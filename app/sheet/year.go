package sheet

import (
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
	j.year("Bed calendar", calendar.Beds(habitat.SeasonOf(j.a)))
}

// year is a chart over as many sheets as its rows take; none where it has no rows.
func (j *job) year(name string, c *calendar.Chart) {
	for from := 0; from < c.Rows(); {
		f := newFlow(j, name)
		b := orb.Bound{Min: orb.Point{edge, f.y + 1}, Max: orb.Point{j.paper.W - edge, f.bottom}}
		from = c.Draw(f.list(), j.look, b, from)
	}
}
