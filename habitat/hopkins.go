package habitat

import (
	"math"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// Hopkins' bioclimatic law: what happens in spring and early summer comes four days later for each degree of latitude poleward, each
// five degrees of longitude eastward (which he found in North America, and which is used only there) and each 400 feet upward; in late
// summer and autumn it comes earlier by as much. A. D. Hopkins 1918, Periodical events and natural law as guides to agricultural
// research and practice, U.S. Monthly Weather Review, Supplement 9: from memory, as the law is commonly quoted; the supplement itself
// was not read.
//
// Where the one passes into the other he does not say. Here it does so evenly through summer, from the solstice to the equinox, and back
// through winter: our reading, which leaves early August where it is.
const (
	daysPerStep    = 4.0
	latitudeStep   = 1.0 // degrees
	longitudeStep  = 5.0 // degrees
	elevationStepM = 400 * 0.3048
)

// The seasons begin about then in the north, as days of the year.
const (
	springBegins = 79  // 20 March
	summerBegins = 172 // 21 June
	autumnBegins = 265 // 22 September
	winterBegins = 355 // 21 December
)

// hopkinsDays is how much later spring comes at a place than where something was noted, in days. The law compares places of one
// continent: the climates of two differ by more than latitude (Britain flowers weeks before Labrador, which lies no farther north).
func hopkinsDays(at *plan.Place, noted data.Place) (later float64, known bool) {
	here := continent(at)
	if here == "" || noted.Continent != here && noted.Continent != "" {
		return 0, false
	}
	later = daysPerStep * ((math.Abs(at.Latitude)-math.Abs(noted.Latitude))/latitudeStep + (at.ElevationM-noted.ElevationM)/elevationStepM)
	if noted.Continent == data.NorthAmerica {
		later += daysPerStep * (at.Longitude - noted.Longitude) / longitudeStep
	}
	return later, true
}

// turnOfYear is how much of the shift of spring holds on a day of the north, from 1 in spring to -1 in autumn.
func turnOfYear(d season.Day) float64 {
	day := float64(d)
	if day < springBegins {
		day += 365
	}
	switch {
	case day <= summerBegins:
		return 1
	case day <= autumnBegins:
		return 1 - 2*(day-summerBegins)/(autumnBegins-summerBegins)
	case day <= winterBegins:
		return -1
	}
	return -1 + 2*(day-winterBegins)/(springBegins+365-winterBegins)
}

// toHere is a window that was noted at one place as it is at another, by the law: each end by its own part of the year. From another
// continent the window is not known here, and only turned by half a year where the seasons are.
func toHere(w season.Window, noted data.Place, at *plan.Place) (here season.Window, known bool) {
	later, known := hopkinsDays(at, noted)
	turned := (at.Latitude < 0) != (noted.Latitude < 0)
	if turned {
		w = w.Shift(season.HalfYear)
	}
	if !known || later == 0 || !w.Given() || w.From.DaysTo(w.To) >= 364 {
		return w, known
	}
	by := func(d season.Day) int {
		if at.Latitude < 0 {
			d = d.Add(season.HalfYear)
		}
		return int(math.Round(later * turnOfYear(d)))
	}
	first, last := by(w.From), by(w.To)
	long := w.From.DaysTo(w.To)
	switch next := long + last - first; {
	case next < 0: // more than the season is long: a day in its middle
		first, last = first+next/2, first+next/2-long
	case next > 364:
		return season.Window{From: 1, To: 365}, true
	}
	return season.Window{From: w.From.Add(first), To: w.To.Add(last)}, true
}

// continent is where a plan lies, of the continents that the catalogue knows, by a box about each; "" elsewhere.
func continent(at *plan.Place) string {
	switch lat, lon := at.Latitude, at.Longitude; {
	case lat > 7 && lat < 84 && lon > -170 && lon < -50:
		return data.NorthAmerica
	case lat > 34 && lat < 72 && lon > -25 && lon < 45:
		return data.Europe
	}
	return ""
}
