package habitat

import (
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// Stands are the plantings of a bed that stand in a half-month: on at least half of its days from sowing or transplanting to
// the last harvest, which is also how a plant counts as in flower. One without dates stands all year.
func Stands(bed *plan.Feature, h season.HalfMonth) (standing []plan.Planting) {
	for _, c := range bed.Crops {
		if !c.Dates.Given() || c.Dates.Covers(h) {
			standing = append(standing, c)
		}
	}
	return standing
}

// UnderCover tells whether a bed lies under a row cover or net on at least half of the days of a half-month. A cover without
// dates lies all year.
func UnderCover(bed *plan.Feature, h season.HalfMonth) bool {
	for _, c := range bed.Covers() {
		if !c.Dates.Given() || c.Dates.Covers(h) {
			return true
		}
	}
	return false
}
