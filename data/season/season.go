// Package season is the calendar of a growing year: days without a year, windows of days, and the half-month, the step in
// which everything seasonal is counted. It knows dates and nothing of plants, places or weather.
//
// A year here has 365 days; 29 February counts as 28 February.
package season

import (
	"fmt"
	"time"
)

// HalfMonths is the number of half-months in a year.
const HalfMonths = 24

// A HalfMonth is one of the 24 steps of the year, 0 (1–15 January) to 23 (16–31 December). It is named by its first day, "04-16".
type HalfMonth int

// A Day is a day of the year, 1 (1 January) to 365 (31 December). Zero means "not given".
type Day int

var monthDays = [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// monthStart[m] is the number of days before month m (0 = January).
var monthStart = func() (s [13]int) {
	for m, n := range monthDays {
		s[m+1] = s[m] + n
	}
	return s
}()

// ParseDay reads "MM-DD". 29 February reads as 28 February.
func ParseDay(s string) (Day, error) {
	t, err := time.Parse("2006-01-02", "2000-"+s) // a leap year, so that 02-29 is read
	if err != nil || len(s) != 5 {
		return 0, fmt.Errorf("%q is not a day of the year: write month and day as MM-DD, like 04-16", s)
	}
	return DayOf(t), nil
}

// DayOf is the day of the year of a date.
func DayOf(t time.Time) Day {
	m, d := int(t.Month())-1, t.Day()
	return Day(monthStart[m] + min(d, monthDays[m]))
}

// MonthDay gives the month (1–12) and day of the month (1–31).
func (d Day) MonthDay() (month, day int) {
	d = wrap(d)
	for m := 11; m >= 0; m-- {
		if int(d) > monthStart[m] {
			return m + 1, int(d) - monthStart[m]
		}
	}
	return 1, 1
}

// String is the form used in files, "04-16"; the empty string for a day that is not given.
func (d Day) String() string {
	if d == 0 {
		return ""
	}
	m, n := d.MonthDay()
	return fmt.Sprintf("%02d-%02d", m, n)
}

// Label is the form shown to people, "16 Apr".
func (d Day) Label() string {
	if d == 0 {
		return ""
	}
	m, n := d.MonthDay()
	return fmt.Sprintf("%d %s", n, time.Month(m).String()[:3])
}

// Add moves the day by n days, round the turn of the year.
func (d Day) Add(n int) Day { return wrap(d + Day(n)) }

// HalfMonth is the step that the day lies in.
func (d Day) HalfMonth() HalfMonth {
	m, n := d.MonthDay()
	h := HalfMonth(2 * (m - 1))
	if n > 15 {
		h++
	}
	return h
}

// DaysTo is the number of days from the day to the next time of another, 0 to 364.
func (d Day) DaysTo(next Day) int { return (int(next-d)%365 + 365) % 365 }

// HalfYear is the days between the seasons of the two hemispheres: our reading, no source.
const HalfYear = 182

// NewYear is the first day of the growing year: 1 January, and 1 July south of the equator, so that it always begins with a
// half-month and no summer is parted.
func NewYear(southern bool) Day {
	if southern {
		return HalfMonth(HalfMonths / 2).First()
	}
	return 1
}

func wrap(d Day) Day { return (d-1+3650)%365 + 1 }

// ParseHalfMonth reads the name of a half-month or any day in it, "MM-DD".
func ParseHalfMonth(s string) (HalfMonth, error) {
	d, err := ParseDay(s)
	if err != nil {
		return 0, err
	}
	return d.HalfMonth(), nil
}

// First is the first day of the half-month.
func (h HalfMonth) First() Day {
	return Day(monthStart[int(h)/2] + 1 + 15*(int(h)%2))
}

// Last is the last day of the half-month.
func (h HalfMonth) Last() Day {
	if h%2 == 0 {
		return h.First() + 14
	}
	return Day(monthStart[int(h)/2+1])
}

// Days is the number of days in the half-month: 13, 15 or 16.
func (h HalfMonth) Days() int { return int(h.Last()-h.First()) + 1 }

// String is the name used in files and commands: the first day, "04-16".
func (h HalfMonth) String() string { return h.First().String() }

// Label is the form shown to people, "16–30 Apr".
func (h HalfMonth) Label() string {
	m, a := h.First().MonthDay()
	_, b := h.Last().MonthDay()
	return fmt.Sprintf("%d–%d %s", a, b, time.Month(m).String()[:3])
}

// A Window is a stretch of days, both ends included. From after To runs over the turn of the year. A zero end means "not given".
type Window struct{ From, To Day }

// ParseWindow reads two days "MM-DD".
func ParseWindow(from, to string) (Window, error) {
	a, err := ParseDay(from)
	if err != nil {
		return Window{}, err
	}
	b, err := ParseDay(to)
	return Window{a, b}, err
}

// Given tells whether both ends are known.
func (w Window) Given() bool { return w.From != 0 && w.To != 0 }

// Open reads a window of which one end only is given as open at the other: from the first day of the growing year, or to its last.
// A window that gives neither stays as it is; what that means, mostly all year, is for its reader to say.
func (w Window) Open(newYear Day) Window {
	switch {
	case w.From == 0 && w.To != 0:
		w.From = newYear
	case w.From != 0 && w.To == 0:
		w.To = newYear.Add(-1)
	}
	return w
}

// Contains tells whether the day lies in the window.
func (w Window) Contains(d Day) bool {
	if !w.Given() {
		return false
	}
	if w.From <= w.To {
		return w.From <= d && d <= w.To
	}
	return d >= w.From || d <= w.To
}

// Covers tells whether the window holds at least half of the half-month's days: the rule by which a plant counts as in flower.
func (w Window) Covers(h HalfMonth) bool {
	n := 0
	for d := h.First(); d <= h.Last(); d++ {
		if w.Contains(d) {
			n++
		}
	}
	return 2*n >= h.Days()
}

// Shift moves both ends by n days.
func (w Window) Shift(n int) Window {
	if !w.Given() {
		return w
	}
	return Window{w.From.Add(n), w.To.Add(n)}
}

// Label is the form shown to people: "16 May – 15 Jun", or "from 16 May" and "until 15 Jun" where one end is given.
func (w Window) Label() string {
	switch {
	case w.To == 0 && w.From != 0:
		return "from " + w.From.Label()
	case w.From == 0 && w.To != 0:
		return "until " + w.To.Label()
	}
	return w.From.Label() + " – " + w.To.Label()
}
