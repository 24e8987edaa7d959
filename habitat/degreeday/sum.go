package degreeday

import (
	"fmt"
	"time"
)

// A Reading is the lowest and highest temperature of one day, in the record's unit.
type Reading struct {
	Date      time.Time // midnight UTC
	Low, High float64
}

// A Record is what a weather station wrote down: a reading for each day that has both temperatures, in order of dates. Days
// that are missing are simply not there.
type Record struct {
	Unit     Unit
	Readings []Reading
}

// In is the record on another scale; the record itself is not changed.
func (r *Record) In(u Unit) *Record {
	if r.Unit == u {
		return r
	}
	out := &Record{Unit: u, Readings: make([]Reading, len(r.Readings))}
	for i, d := range r.Readings {
		out.Readings[i] = Reading{d.Date, Convert(d.Low, r.Unit, u), Convert(d.High, r.Unit, u)}
	}
	return out
}

// MaxFill is the longest gap, in days, that is filled on a straight line between the days before and after it. Common
// practice, no source. A longer gap ends the sum, since all that follows would rest on a guess.
const MaxFill = 3

// A Sum is degree-days added up day by day.
type Sum struct {
	Model  Model
	Days   []Added // every day from the start, without a gap
	Filled int     // days that were filled in

	// Stopped is the first missing day of the gap that was too long to fill; zero where the sum runs to the record's end.
	Stopped time.Time
}

// Added is one day of a sum, in degree-days of the model's unit.
type Added struct {
	Date       time.Time
	Day, Total float64
	Filled     bool
}

// Add sums a record's degree-days from a day on, that day among them. Gaps are filled as MaxFill says. Where the next day is
// not known, at the end, a double method takes the day's own minimum for the next one, which makes it the single one for
// that day. The error is one line: a model that does not pass Check, or a record that does not hold the start.
func (m Model) Add(r *Record, start time.Time) (*Sum, error) {
	if err := m.Check(); err != nil {
		return nil, err
	}
	days, stopped, err := run(r.In(m.Unit), start)
	if err != nil {
		return nil, err
	}
	s := &Sum{Model: m, Days: make([]Added, 0, len(days)), Stopped: stopped}
	total := 0.0
	for i, d := range days {
		next := d.Low
		if i+1 < len(days) {
			next = days[i+1].Low
		}
		dd := m.Day(d.Low, d.High, next)
		total += dd
		s.Days = append(s.Days, Added{d.Date, dd, total, d.filled})
		if d.filled {
			s.Filled++
		}
	}
	return s, nil
}

type reading struct {
	Reading
	filled bool
}

// run is the record's days from the start to its end or to a gap that is too long, short gaps filled.
func run(r *Record, start time.Time) (days []reading, stopped time.Time, err error) {
	if len(r.Readings) == 0 {
		return nil, stopped, fmt.Errorf("the weather record holds no day: give one that reaches from %s", iso(start))
	}
	first, last := r.Readings[0].Date, r.Readings[len(r.Readings)-1].Date
	if start.Before(first) || start.After(last) {
		return nil, stopped, fmt.Errorf("the weather record goes from %s to %s and does not hold %s, where the sum starts: "+
			"give one that does", iso(first), iso(last), iso(start))
	}
	for i, d := range r.Readings {
		if i > 0 {
			before := r.Readings[i-1]
			missing := daysBetween(before.Date, d.Date) - 1
			if missing > MaxFill && d.Date.After(start) {
				if gap := before.Date.AddDate(0, 0, 1); !gap.After(start) {
					return nil, stopped, fmt.Errorf("the weather record lacks %d days from %s on, where the sum starts: add them",
						missing, iso(gap))
				}
				return days, before.Date.AddDate(0, 0, 1), nil
			}
			for n := 1; n <= missing && missing <= MaxFill; n++ {
				date, t := before.Date.AddDate(0, 0, n), float64(n)/float64(missing+1)
				if !date.Before(start) {
					days = append(days, reading{Reading{date, before.Low + t*(d.Low-before.Low), before.High + t*(d.High-before.High)}, true})
				}
			}
		}
		if !d.Date.Before(start) {
			days = append(days, reading{d, false})
		}
	}
	return days, stopped, nil
}

// daysBetween counts the days from one midnight UTC to another.
func daysBetween(a, b time.Time) int { return int(b.Sub(a).Hours()) / 24 }

func iso(t time.Time) string { return t.Format(time.DateOnly) }

// On is the day on which the sum reached an amount, in degree-days of the model's unit; false where it has not.
func (s *Sum) On(amount float64) (time.Time, bool) {
	const rounding = 1e-9 // of adding up many days
	for _, d := range s.Days {
		if d.Total >= amount-rounding {
			return d.Date, true
		}
	}
	return time.Time{}, false
}
