package fields

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"hedgereach/data/season"
	"hedgereach/geometry/length"
)

// NewLength is an entry for a length in metres between low and high, shown and typed in the system that sys answers.
func NewLength(sys func() length.System, low, high float64, take func(metres float64) error) *Entry {
	return NewEntry(func(text string) error {
		m, err := length.Parse(text, sys())
		if err != nil {
			return err
		}
		if !(m >= low && m <= high) {
			return fmt.Errorf("%s is out of bounds here: give a length from %s to %s",
				length.Format(m, sys()), length.Format(low, sys()), length.Format(high, sys()))
		}
		return take(m)
	})
}

// NewShare is an entry for a share of some ground, 0 to 1, shown and typed in per cent.
func NewShare(take func(float64) error) *Entry {
	return NewEntry(func(text string) error {
		s, err := ParseShare(text)
		if err != nil {
			return err
		}
		return take(s)
	})
}

// NewDay is an entry for a day of the year; empty, where it shows the prompt, means not given.
func NewDay(prompt string, take func(season.Day) error) *Entry {
	e := NewEntry(func(text string) error {
		d, err := ParseDay(text)
		if err != nil {
			return err
		}
		return take(d)
	})
	e.SetPlaceHolder(prompt)
	return e
}

// ParseShare reads a share in per cent, with or without the sign: "30 %" is 0.3.
func ParseShare(text string) (float64, error) {
	t := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "%"))
	v, err := strconv.ParseFloat(strings.Replace(t, ",", ".", 1), 64)
	if err != nil || !(v >= 0 && v <= 100) {
		return 0, fmt.Errorf("%q is not a share: write per cent from 0 to 100, like 30 %%", text)
	}
	return v / 100, nil
}

// FormatShare writes a share as people read it: "30 %", "2.5 %".
func FormatShare(s float64) string {
	return strconv.FormatFloat(math.Round(s*1000)/10, 'f', -1, 64) + " %"
}

// ParseDay reads a day of the year as people write it: "16 Apr", "April 16", "04-16". A year, "2026-04-16", is dropped. Two
// numbers, "16/4" or "16.4.", are read where only one of them can be the month. Empty text is no day, 0.
func ParseDay(text string) (season.Day, error) {
	t := strings.TrimSpace(text)
	if t == "" {
		return 0, nil
	}
	if d, err := season.ParseDay(t); err == nil {
		return d, nil
	}
	if at, err := time.Parse(time.DateOnly, t); err == nil {
		return season.DayOf(at), nil
	}
	words := strings.Fields(strings.NewReplacer(".", " ", ",", " ", "/", " ").Replace(t))
	if len(words) == 3 && len(words[2]) == 4 { // a year
		if _, err := strconv.Atoi(words[2]); err == nil {
			words = words[:2]
		}
	}
	if len(words) == 2 {
		for _, w := range [][2]string{{words[0], words[1]}, {words[1], words[0]}} {
			n, err := strconv.Atoi(w[0])
			m := month(w[1])
			if err == nil && m > 0 {
				if d, err := season.ParseDay(fmt.Sprintf("%02d-%02d", m, n)); err == nil {
					return d, nil
				}
			}
		}
		if d, ok := dayOfNumbers(words[0], words[1]); ok {
			return d, nil
		}
	}
	return 0, fmt.Errorf("%q is not a day of the year: write day and month, like 16 Apr", text)
}

// dayOfNumbers reads a day and a month in either order, where they are the same number or only one of them can be the month.
func dayOfNumbers(x, y string) (season.Day, bool) {
	a, err := strconv.Atoi(x)
	b, err2 := strconv.Atoi(y)
	if err != nil || err2 != nil || (a <= 12 && b <= 12 && a != b) {
		return 0, false
	}
	d, err := season.ParseDay(fmt.Sprintf("%02d-%02d", min(a, b), max(a, b)))
	return d, err == nil
}

// month is the number of the month that the word begins, by three letters or more; 0 for none.
func month(word string) int {
	w := strings.ToLower(word)
	for m := time.January; len(w) >= 3 && m <= time.December; m++ {
		if strings.HasPrefix(strings.ToLower(m.String()), w) {
			return int(m)
		}
	}
	return 0
}

// Runs writes half-months as stretches: "16 May – 15 Jun, 1–15 Sep".
func Runs(hs []season.HalfMonth) string {
	var out []string
	for i := 0; i < len(hs); {
		j := i
		for j+1 < len(hs) && hs[j+1] == hs[j]+1 {
			j++
		}
		if i == j {
			out = append(out, hs[i].Label())
		} else {
			out = append(out, season.Window{From: hs[i].First(), To: hs[j].Last()}.Label())
		}
		i = j + 1
	}
	return strings.Join(out, ", ")
}
