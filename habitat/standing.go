package habitat

import (
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// Stands are the plantings of a bed that stand in a half-month: on at least half of its days from sowing or transplanting to
// the last harvest, which is also how a plant counts as in flower. One without dates stands all year; where one end only is given
// it stands from the beginning of the growing year, or to its end. newYear is the first day of that: see plan.Plan.NewYear.
func Stands(bed *plan.Feature, h season.HalfMonth, newYear season.Day) (standing []plan.Planting) {
	for _, c := range bed.Crops {
		if w := c.Dates.Open(newYear); !w.Given() || w.Covers(h) {
			standing = append(standing, c)
		}
	}
	return standing
}

// UnderCover tells whether a bed lies under a row cover or net on at least half of the days of a half-month. A cover without
// dates lies all year, and one with one end only as a planting stands: see Stands.
func UnderCover(bed *plan.Feature, h season.HalfMonth, newYear season.Day) bool {
	for _, c := range bed.Covers() {
		if w := c.Dates.Open(newYear); !w.Given() || w.Covers(h) {
			return true
		}
	}
	return false
}

// Harvest is when the catalogue expects a crop to be ready that begins on a day, sown or planted out as the crop's days are
// counted (data.Crop.DaysFrom); ok is false where the day, the crop or its days are not known.
func Harvest(c *data.Crop, from season.Day) (first, last season.Day, ok bool) {
	if c == nil || from == 0 || c.DaysMin == 0 || c.DaysMax < c.DaysMin || c.DaysMax >= 365 {
		return 0, 0, false
	}
	return from.Add(c.DaysMin), from.Add(c.DaysMax), true
}
