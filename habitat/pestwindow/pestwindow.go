// Package pestwindow says when the pests of a planting come: by degree-days where a model is published and the weather is at
// hand, else by the calendar of the place where somebody noted it, moved to the grower's. Where no source gives a time it
// says so and guesses nothing. It knows crops, pests and weather, and nothing of beds on the ground.
package pestwindow

import (
	"slices"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/degreeday"
)

// A Place is what the calendar needs to know of where plantings grow.
type Place struct {
	Southern bool // the seasons are half a year on

	// Moved is a window noted at a place of the catalogue as it is here; known is false where the two cannot be compared.
	Moved func(w season.Window, noted data.Place) (here season.Window, known bool)
}

// A Basis is what a time rests on.
type Basis string

// The bases.
const (
	ByWeather  Basis = "degree-days"
	ByCalendar Basis = "calendar"
)

// A Row is one pest of a planting with the times at which it comes, in the order of the year. Without any the time is not
// known here. Why says why not, or why degree-days do not tell it.
type Row struct {
	Pest   *data.Pest
	Guilds []*data.Guild // that hold it
	Times  []Time
	Why    string
}

// A Time is one coming of a pest.
type Time struct {
	What    string // "flies, 1st generation"; the first of several events
	Basis   Basis
	Model   string // of degree-days, or the place where the calendar's time was noted
	Window  season.Window
	Events  []Dated // by degree-days: what makes the window, in the order of their sums
	Moved   bool    // by the calendar: an estimate, moved from where it was noted
	Meets   bool    // it comes while the crop stands
	Note    string
	Sources []string // ids in the bibliography
	Checked data.Checked
	// Evidence is the weakest of the events', and low for a time that was moved.
	Evidence data.Evidence
}

// A Calendar knows when the pests of a catalogue come at one place. It does not change once made.
type Calendar struct {
	catalogue *data.Catalogue
	newYear   season.Day     // the first of the growing year
	pests     map[string]Row // by id, without what depends on a planting
}

// New works out when pests come. Place is nil where it is not known: nothing is moved or turned then. Daily is nil where
// there is no weather record.
func New(c *data.Catalogue, here *Place, daily *degreeday.Record) *Calendar {
	w := &weather{daily: daily, southern: here != nil && here.Southern, sums: map[counted][]*degreeday.Sum{}}
	cal := &Calendar{catalogue: c, newYear: w.newYear(), pests: make(map[string]Row, len(c.Pests))}
	for _, pest := range c.Pests {
		row := Row{Pest: pest, Guilds: c.GuildsOf(pest.ID)}
		row.Times, row.Why = w.times(c.EventsOf(pest.ID))
		if len(row.Times) == 0 {
			row.Times = byCalendar(c.TimesOf(pest.ID), here)
		}
		if len(row.Times) == 0 && row.Why == "" {
			row.Why = "no source that was read gives one for a place like this"
		}
		slices.SortStableFunc(row.Times, func(a, b Time) int { return int(a.Window.From) - int(b.Window.From) })
		cal.pests[pest.ID] = row
	}
	return cal
}

// Of lists the pests of a planting with their times, in the catalogue's order of the crop's pests; nil for a crop that the
// catalogue does not know. The crop stands from sowing or transplanting to the last harvest; a window that is not given
// means all year, and one of which one end only is given is open at the other: see season.Window.Open.
func (cal *Calendar) Of(crop string, stands season.Window) []Row {
	stands = stands.Open(cal.newYear)
	var rows []Row
	for _, pest := range cal.catalogue.PestsOf(crop) {
		row := cal.pests[pest.ID]
		row.Times = slices.Clone(row.Times)
		for i := range row.Times {
			t := &row.Times[i]
			t.Meets = meet(t.Window, stands)
		}
		rows = append(rows, row)
	}
	return rows
}

// Known tells whether any time of the pest is known here.
func (r *Row) Known() bool { return len(r.Times) > 0 }

// HalfMonths are the half-months in which the pest comes while the crop stands, in the order of the year; all in which it comes
// where the window does not give both ends.
func (r *Row) HalfMonths(stands season.Window) []season.HalfMonth {
	var there [season.HalfMonths]bool
	for _, t := range r.Times {
		for n, d := 0, first(t.Window); n < long(t.Window); n, d = n+1, d.Add(1) {
			if !stands.Given() || stands.Contains(d) {
				there[d.HalfMonth()] = true
			}
		}
	}
	var list []season.HalfMonth
	for h, in := range there {
		if in {
			list = append(list, season.HalfMonth(h))
		}
	}
	return list
}

// When says in words when the pest comes: "flies, 1st generation about 5 May; …", or "time not known here" and why.
func (r *Row) When() string {
	if len(r.Times) == 0 {
		s := "time not known here"
		if r.Why != "" {
			s += ": " + r.Why
		}
		return s
	}
	s := ""
	for i, t := range r.Times {
		if i > 0 {
			s += "; "
		}
		s += t.Words()
	}
	return s
}

// Words say one coming: "flies, 1st generation about 5 May (degree-days, Wisconsin)".
func (t *Time) Words() string {
	s := t.What + " about " + t.Window.From.Label()
	if t.Window.From != t.Window.To {
		s = t.What + " " + t.Window.Label()
	}
	switch {
	case t.Basis == ByWeather:
		s += " (degree-days, " + t.Model + ")"
	case t.Moved:
		s += " (estimated from " + t.Model + ")"
	default:
		s += " (as noted in " + t.Model + ")"
	}
	return s
}

// first is the first day of a window, and long its days; a window that is not given is the year.
func first(w season.Window) season.Day {
	if !w.Given() {
		return 1
	}
	return w.From
}

func long(w season.Window) int {
	if !w.Given() {
		return 365
	}
	return (int(w.To-w.From)+365)%365 + 1
}

// meet tells whether two windows share a day. Where they do, one of them begins within the other.
func meet(a, b season.Window) bool {
	return !a.Given() || !b.Given() || a.Contains(b.From) || b.Contains(a.From)
}

// lawOfMoving is the source of how windows are moved from place to place.
const lawOfMoving = "hopkins-1918"

// byCalendar are the times that can be had here, each moved from where it was noted. Without a place they stand as noted.
func byCalendar(times []*data.PestTime, here *Place) (list []Time) {
	for _, t := range times {
		got := Time{What: t.What, Basis: ByCalendar, Model: t.Place.Name, Window: t.Window, Note: t.Note, Sources: t.From.Sources,
			Checked: t.From.Checked, Evidence: t.From.Evidence}
		if here != nil && here.Moved != nil {
			var known bool
			if got.Window, known = here.Moved(t.Window, t.Place); !known {
				continue // the climates of two continents differ by more than a shift of days
			}
			got.Moved = got.Window != t.Window
		}
		if got.Moved {
			got.Evidence = weaker(got.Evidence, data.Low)
			got.Sources = append(slices.Clone(got.Sources), lawOfMoving)
		}
		list = append(list, got)
	}
	return list
}

// weaker is the less sure of two grades.
func weaker(a, b data.Evidence) data.Evidence {
	order := []data.Evidence{data.Good, data.Medium, data.Contested, data.Low, data.None}
	return order[max(slices.Index(order, a), slices.Index(order, b))]
}
