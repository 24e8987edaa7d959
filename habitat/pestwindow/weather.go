package pestwindow

import (
	"fmt"
	"slices"
	"time"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/degreeday"
)

// Dated is an event with the days on which the record's years reached it.
type Dated struct {
	Event            *data.Event
	Usual            season.Day // the middle one of the years'; the earlier of two middles
	Earliest, Latest season.Day
	Years            int // that the record holds from the start of the sum to the event, or to the end of the year
	Reached          int // of these
}

// weather is a record with the sums that were already worked out on it.
type weather struct {
	daily    *degreeday.Record // nil where there is none
	southern bool
	sums     map[counted][]*degreeday.Sum
}

// counted is what two events must share to be read from one sum.
type counted struct {
	method, cutoff, unit string
	lower, upper         float64
	start                season.Day
}

// times dates the events of a pest; why says in words what kept its degree-days from giving a time, "" where it has none.
//
// An event counts as usual where at least half of the record's years reached it. A year that the record does not hold in
// full counts only where it reached the event. The events of one generation in one model make a window from the first to the
// last.
func (w *weather) times(events []*data.Event) (list []Time, why string) {
	for _, e := range events {
		switch {
		case e.Phase == data.Advice:
			continue
		case !e.Dated():
			if why == "" && e.Method != "" {
				why = "its degree-days run from a day that has to be seen: " + e.StartWords
			}
			continue
		case w.daily == nil:
			return nil, "there is a degree-day model for it, but no weather record"
		}
		d, err := w.date(e)
		switch {
		case err != nil:
			why = err.Error()
		case d.Reached == 0 || 2*d.Reached < d.Years:
			why = fmt.Sprintf("the weather record reached %s in %d of %d years", e.Name, d.Reached, d.Years)
		default:
			list = with(list, d)
		}
	}
	if len(list) > 0 {
		why = ""
	}
	return list, why
}

// with adds an event to the window of its generation and model, or begins one.
func with(list []Time, d Dated) []Time {
	e := d.Event
	i := slices.IndexFunc(list, func(t Time) bool { return t.Model == e.Model && t.Events[0].Event.Generation == e.Generation })
	if i < 0 {
		i = len(list)
		list = append(list, Time{What: e.Name, Basis: ByWeather, Model: e.Model, Note: e.Note, Checked: e.From.Checked,
			Evidence: e.From.Evidence, Window: season.Window{From: d.Usual}})
	}
	t := &list[i]
	t.Events = append(t.Events, d)
	t.Window.To = d.Usual
	t.Evidence = weaker(t.Evidence, e.From.Evidence)
	for _, id := range e.From.Sources {
		if !slices.Contains(t.Sources, id) {
			t.Sources = append(t.Sources, id)
		}
	}
	return list
}

// model is how the event's degree-days are counted.
func model(e *data.Event) degreeday.Model {
	return degreeday.Model{Method: degreeday.Method(e.Method), Cutoff: degreeday.Cutoff(e.Cutoff), Lower: e.Lower, Upper: e.Upper,
		Unit: degreeday.Unit(e.Unit)}
}

// date finds the day of an event in every year of the record. The error says why no year can be counted.
func (w *weather) date(e *data.Event) (d Dated, err error) {
	d.Event = e
	sums, from, err := w.years(e)
	var after []int // days from the start to the event, in the years that reached it
	for _, sum := range sums {
		on, ok := sum.On(e.DegreeDays)
		if ok {
			d.Reached++
			after = append(after, from.DaysTo(season.DayOf(on)))
		}
		if last := sum.Days[len(sum.Days)-1].Date; ok || season.DayOf(last) == w.newYear().Add(-1) {
			d.Years++
		}
	}
	if d.Years == 0 {
		if err == nil {
			err = fmt.Errorf("the weather record does not reach from %s to %s", from.Label(), e.Name)
		}
		return d, err
	}
	if d.Reached > 0 {
		slices.Sort(after)
		d.Usual, d.Earliest, d.Latest = from.Add(after[(len(after)-1)/2]), from.Add(after[0]), from.Add(after[len(after)-1])
	}
	return d, nil
}

// newYear is the day on which a year of sums begins: what is counted from spring must not run on into the next.
func (w *weather) newYear() season.Day { return season.NewYear(w.southern) }

// years are the sums of every year of the record for an event, each to the year's end or as far as the record goes, and the
// day from which they run. The error is that of the last year that could not be summed.
func (w *weather) years(e *data.Event) (sums []*degreeday.Sum, from season.Day, err error) {
	m := model(e)
	from = e.Start.Add(int(w.newYear()) - 1)
	key := counted{e.Method, e.Cutoff, e.Unit, m.Lower, m.Upper, from}
	if m.Cutoff == degreeday.None {
		key.upper = 0 // NaN is no key
	}
	if known, ok := w.sums[key]; ok {
		return known, from, nil
	}
	if r := w.daily.Readings; len(r) > 0 {
		for year := r[0].Date.Year(); year <= r[len(r)-1].Date.Year(); year++ {
			start := date(year, from)
			if start.Before(r[0].Date) || start.After(r[len(r)-1].Date) {
				continue
			}
			sum, failed := m.Add(part(w.daily, start, w.end(start)), start)
			if failed != nil {
				err = failed
				continue
			}
			sums = append(sums, sum)
		}
	}
	if len(sums) > 0 {
		w.sums[key] = sums
	}
	return sums, from, err
}

// end is the first day of the next year of sums.
func (w *weather) end(start time.Time) time.Time {
	end := date(start.Year(), w.newYear())
	if !end.After(start) {
		end = date(start.Year()+1, w.newYear())
	}
	return end
}

func date(year int, d season.Day) time.Time {
	month, day := d.MonthDay()
	return time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
}

// part is the record from the reading before a start, so that a gap on it can be filled, to before the end.
func part(r *degreeday.Record, start, end time.Time) *degreeday.Record {
	find := func(t time.Time) int {
		i, _ := slices.BinarySearchFunc(r.Readings, t, func(d degreeday.Reading, t time.Time) int { return d.Date.Compare(t) })
		return i
	}
	return &degreeday.Record{Unit: r.Unit, Readings: r.Readings[max(0, find(start)-1):find(end)]}
}
