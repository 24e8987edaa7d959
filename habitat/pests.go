package habitat

import (
	"hedgereach/data"
	"hedgereach/habitat/degreeday"
	"hedgereach/habitat/pestwindow"
	"hedgereach/habitat/plan"
)

// PestCalendar is when the catalogue's pests come at the plan's place. Daily is the weather record, nil where there is none.
func PestCalendar(p *plan.Plan, c *data.Catalogue, daily *degreeday.Record) *pestwindow.Calendar {
	return pestwindow.New(c, placeOf(p.Place), daily)
}
