package degreeday

import (
	"math"
	"strings"
	"testing"
	"time"
)

func day(t testing.TB, s string) time.Time {
	t.Helper()
	d, err := time.Parse(time.DateOnly, s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// record makes a record in °C of "low/high" words from a day on; "." is a missing day.
func record(t testing.TB, from, words string) *Record {
	t.Helper()
	r, date := &Record{Unit: Celsius}, day(t, from)
	for w := range strings.FieldsSeq(words) {
		if low, high, ok := strings.Cut(w, "/"); ok {
			r.Readings = append(r.Readings, Reading{date, float(t, low), float(t, high)})
		}
		date = date.AddDate(0, 0, 1)
	}
	return r
}

// Ten days, summed outside this program by numerical integration; the days and sums are in testdata/series.csv.
func TestAddAgainstSeries(t *testing.T) {
	days := record(t, "2026-04-01", "3/11 4/14 6/17 8/19 9/22 11/24 7/18 5/13 10/26 13/31")
	all := rows(t, "testdata/series.csv")
	if len(all) != 6 {
		t.Errorf("%d rows", len(all))
	}
	for _, r := range all {
		s, err := model(t, r, Celsius).Add(days, day(t, "2026-04-01"))
		if err != nil {
			t.Fatal(err)
		}
		want := number(t, r["degree_days"])
		if got := s.Days[len(s.Days)-1].Total; math.Abs(got-want) > number(t, r["tolerance"]) {
			t.Errorf("%s: %g, want %g", r["id"], got, want)
		}
	}
}

var tens = Model{Method: SimpleAverage, Cutoff: None, Lower: 10, Unit: Celsius}

// Sums that anybody can add up: means of 15 °C above a threshold of 10 °C give 5 a day.
func TestOn(t *testing.T) {
	s, err := tens.Add(record(t, "2024-02-26", "10/20 10/20 10/20 10/20 10/20"), day(t, "2024-02-27")) // over a leap day
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		amount float64
		want   string
	}{{0, "2024-02-27"}, {5, "2024-02-27"}, {5.1, "2024-02-28"}, {15, "2024-02-29"}, {20, "2024-03-01"}, {20.1, ""}} {
		got, ok := s.On(c.amount)
		if ok != (c.want != "") || ok && iso(got) != c.want {
			t.Errorf("%g is reached on %s %v, want %s", c.amount, iso(got), ok, c.want)
		}
	}
	if !s.Stopped.IsZero() || s.Filled != 0 || len(s.Days) != 4 {
		t.Errorf("%+v", s)
	}
}

func TestAddTurnsTheScale(t *testing.T) {
	f := tens
	f.Lower, f.Unit = 50, Fahrenheit
	s, err := f.Add(record(t, "2026-05-01", "10/20 10/20"), day(t, "2026-05-01"))
	if err != nil || math.Abs(s.Days[1].Total-18) > 1e-9 { // 2 × 5 °C is 2 × 9 °F
		t.Errorf("%+v %v", s, err)
	}
}

func TestGaps(t *testing.T) {
	for _, c := range []struct {
		words, start string
		totals       string // "~" a filled day
		stopped      string
	}{
		{"10/20 . 14/24 10/20", "2026-05-01", "5 12~ 21 26", ""}, // between 15 and 19 lies 17
		{"10/20 . . . 18/28", "2026-05-01", "5 12~ 21~ 32~ 45", ""},
		{"10/20 10/20 . . . . 10/20", "2026-05-01", "5 10", "2026-05-03"},
		{"10/20 . 14/24 10/20", "2026-05-02", "7~ 16 21", ""}, // the start itself is filled
		{"10/20 . . . . 10/20 10/20", "2026-05-06", "5 10", ""},
		{"10/20 . . . . 10/20", "2026-05-01", "5", "2026-05-02"},
	} {
		s, err := tens.Add(record(t, "2026-05-01", c.words), day(t, c.start))
		if err != nil {
			t.Errorf("%s: %v", c.words, err)
			continue
		}
		want := strings.Fields(c.totals)
		if len(s.Days) != len(want) {
			t.Errorf("%s from %s: %+v", c.words, c.start, s.Days)
			continue
		}
		for i, d := range s.Days {
			text, filled := strings.CutSuffix(want[i], "~")
			if math.Abs(d.Total-float(t, text)) > 1e-9 || d.Filled != filled {
				t.Errorf("%s: day %d is %+v, want %s", c.words, i+1, d, want[i])
			}
		}
		if got := iso(s.Stopped); c.stopped == "" != s.Stopped.IsZero() || c.stopped != "" && got != c.stopped {
			t.Errorf("%s stopped on %s, want %s", c.words, got, c.stopped)
		}
		if s.Filled != strings.Count(c.totals, "~") {
			t.Errorf("%s: %d filled", c.words, s.Filled)
		}
	}
}

// At the record's end a double method has no next morning and counts the day as the single one does.
func TestLastDayOfDouble(t *testing.T) {
	r := record(t, "2026-05-01", "5/25 12/22")
	double := Model{DoubleSine, Horizontal, 10, 30, Celsius}
	single := double
	single.Method = SingleSine
	s, err := double.Add(r, day(t, "2026-05-01"))
	if err != nil {
		t.Fatal(err)
	}
	if got, want := s.Days[0].Day, double.Day(5, 25, 12); got != want {
		t.Errorf("first day %g, want %g", got, want)
	}
	if got, want := s.Days[1].Day, single.Day(12, 22, 0); got != want {
		t.Errorf("last day %g, want %g", got, want)
	}
}

func TestAddNamesTheFault(t *testing.T) {
	r := record(t, "2026-05-01", "10/20 . . . . 10/20")
	for _, c := range []struct {
		m     Model
		r     *Record
		start string
		want  string
	}{
		{Model{}, r, "2026-05-01", "unit"},
		{tens, &Record{Unit: Celsius}, "2026-05-01", "the weather record holds no day: give one that reaches from 2026-05-01"},
		{tens, r, "2026-04-01", "goes from 2026-05-01 to 2026-05-06 and does not hold 2026-04-01"},
		{tens, r, "2026-05-07", "does not hold 2026-05-07"},
		{tens, r, "2026-05-03", "lacks 4 days from 2026-05-02 on, where the sum starts: add them"},
	} {
		if _, err := c.m.Add(c.r, day(t, c.start)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
}
