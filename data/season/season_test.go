package season

import (
	"testing"
	"time"
)

func day(t testing.TB, s string) Day {
	t.Helper()
	d, err := ParseDay(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func window(t testing.TB, from, to string) Window {
	t.Helper()
	w, err := ParseWindow(from, to)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// Against the calendar of package time, in a year without a leap day.
func TestDaysAgainstCalendar(t *testing.T) {
	for n := 1; n <= 365; n++ {
		date := time.Date(2023, 1, n, 0, 0, 0, 0, time.UTC)
		d := Day(date.YearDay())
		if got, want := d.String(), date.Format("01-02"); got != want {
			t.Errorf("day %d is %s, want %s", n, got, want)
		}
		if got := DayOf(date); got != d {
			t.Errorf("%s is day %d, want %d", date.Format("01-02"), got, d)
		}
		if got := day(t, date.Format("01-02")); got != d {
			t.Errorf("%s reads as %d, want %d", date.Format("01-02"), got, d)
		}
		if got, want := d.Label(), date.Format("2 Jan"); got != want {
			t.Errorf("day %d is shown as %s, want %s", n, got, want)
		}
		h := d.HalfMonth()
		if d < h.First() || d > h.Last() {
			t.Errorf("%s lies outside its half-month, %s", d, h.Label())
		}
	}
}

func TestParseDay(t *testing.T) {
	if day(t, "02-29") != day(t, "02-28") || DayOf(time.Date(2024, 2, 29, 0, 0, 0, 0, time.UTC)) != day(t, "02-28") {
		t.Error("29 February must read as 28 February")
	}
	for _, s := range []string{"", "4-16", "04-31", "02-30", "13-01", "00-10", "04-00", "04/16", "04-16 ", "2024-04-16", "ap-16"} {
		if d, err := ParseDay(s); err == nil {
			t.Errorf("%q reads as %s", s, d)
		}
	}
	if Day(0).String() != "" || Day(0).Label() != "" {
		t.Error("a day that is not given must be shown as nothing")
	}
}

func TestAddWrapsRoundNewYear(t *testing.T) {
	for _, c := range []struct {
		from string
		n    int
		want string
	}{{"12-31", 1, "01-01"}, {"01-01", -1, "12-31"}, {"05-10", 365, "05-10"}, {"01-10", -40, "12-01"}, {"02-28", 1, "03-01"}} {
		if got := day(t, c.from).Add(c.n).String(); got != c.want {
			t.Errorf("%s and %d days is %s, want %s", c.from, c.n, got, c.want)
		}
	}
}

// The days to a day's next time, against the calendar of package time from one year into the next.
func TestDaysTo(t *testing.T) {
	for _, from := range []int{1, 59, 60, 181, 182, 183, 364, 365} {
		date := time.Date(2025, 1, from, 0, 0, 0, 0, time.UTC)
		for n := range 365 {
			if got := Day(from).DaysTo(DayOf(date.AddDate(0, 0, n))); got != n {
				t.Errorf("from %s it is %d days to %s, want %d", Day(from), got, DayOf(date.AddDate(0, 0, n)), n)
			}
		}
	}
}

// The growing year of the south begins when half the half-months of the north's are over.
func TestNewYear(t *testing.T) {
	if north, south := NewYear(false), NewYear(true); north.String() != "01-01" || south.String() != "07-01" || south.HalfMonth().First() != south {
		t.Errorf("the years begin on %s and %s", north, south)
	}
}

func TestAWindowWithOneEndIsOpenAtTheOther(t *testing.T) {
	for _, c := range []struct{ from, to, north, south string }{
		{"05-10", "", "05-10 12-31", "05-10 06-30"},
		{"", "05-10", "01-01 05-10", "07-01 05-10"},
		{"01-01", "", "01-01 12-31", "01-01 06-30"},
		{"", "06-30", "01-01 06-30", "07-01 06-30"},
		{"10-10", "03-01", "10-10 03-01", "10-10 03-01"},
		{"", "", " ", " "},
	} {
		var w Window
		if c.from != "" {
			w.From = day(t, c.from)
		}
		if c.to != "" {
			w.To = day(t, c.to)
		}
		for southern, want := range map[bool]string{false: c.north, true: c.south} {
			if got := w.Open(NewYear(southern)); got.From.String()+" "+got.To.String() != want {
				t.Errorf("%q to %q, southern %v: %s to %s, want %s", c.from, c.to, southern, got.From, got.To, want)
			}
		}
	}
}

// The half-months of a year: days 1–15 and 16–end, named by the first day.
func TestHalfMonths(t *testing.T) {
	names := []string{"01-01", "01-16", "02-01", "02-16", "03-01", "03-16", "04-01", "04-16", "05-01", "05-16", "06-01", "06-16",
		"07-01", "07-16", "08-01", "08-16", "09-01", "09-16", "10-01", "10-16", "11-01", "11-16", "12-01", "12-16"}
	lengths := []int{15, 16, 15, 13, 15, 16, 15, 15, 15, 16, 15, 15, 15, 16, 15, 16, 15, 15, 15, 16, 15, 15, 15, 16}
	total := 0
	for i, name := range names {
		h := HalfMonth(i)
		if h.String() != name || h.Days() != lengths[i] {
			t.Errorf("half-month %d is %s with %d days, want %s with %d", i, h, h.Days(), name, lengths[i])
		}
		if got, err := ParseHalfMonth(name); err != nil || got != h {
			t.Errorf("%s reads as %d, %v", name, got, err)
		}
		if got, err := ParseHalfMonth(h.Last().String()); err != nil || got != h {
			t.Errorf("the last day, %s, reads as %d, %v", h.Last(), got, err)
		}
		total += h.Days()
	}
	if len(names) != HalfMonths || total != 365 {
		t.Errorf("%d half-months with %d days", len(names), total)
	}
	if got := HalfMonth(3).Label(); got != "16–28 Feb" {
		t.Errorf("got %s", got)
	}
	if _, err := ParseHalfMonth("04-31"); err == nil {
		t.Error("04-31 is no day")
	}
}

// A window covers a half-month when it holds at least half of its days.
func TestCovers(t *testing.T) {
	for _, c := range []struct {
		from, to, half string
		want           bool
	}{
		{"04-01", "04-15", "04-01", true},
		{"04-01", "04-15", "04-16", false},
		{"04-01", "04-08", "04-01", true},  // 8 of 15
		{"04-01", "04-07", "04-01", false}, // 7 of 15
		{"05-16", "05-23", "05-16", true},  // 8 of 16: half is enough
		{"05-16", "05-22", "05-16", false},
		{"02-16", "02-22", "02-16", true},  // 7 of 13
		{"02-16", "02-21", "02-16", false}, // 6 of 13
		{"04-09", "04-23", "04-01", false}, // 7 of 15
		{"04-09", "04-23", "04-16", true},  // 8 of 15
		{"12-20", "01-10", "12-16", true},  // over the turn of the year: 12 of 16
		{"12-20", "01-10", "01-01", true},  // 10 of 15
		{"12-20", "01-10", "12-01", false},
		{"11-01", "03-31", "01-16", true},
		{"11-01", "03-31", "07-01", false},
	} {
		h, err := ParseHalfMonth(c.half)
		if err != nil {
			t.Fatal(err)
		}
		if got := window(t, c.from, c.to).Covers(h); got != c.want {
			t.Errorf("%s to %s covers %s: %v", c.from, c.to, c.half, got)
		}
	}
	if (Window{}).Covers(5) {
		t.Error("a window that is not given covers nothing")
	}
}

func TestWindow(t *testing.T) {
	w := window(t, "11-20", "02-10")
	for s, want := range map[string]bool{"11-20": true, "02-10": true, "01-01": true, "11-19": false, "02-11": false, "07-01": false} {
		if w.Contains(day(t, s)) != want {
			t.Errorf("%s contains %s: %v", w.Label(), s, !want)
		}
	}
	if got := (Window{From: window(t, "05-16", "06-15").From}).Label(); got != "from 16 May" {
		t.Errorf("got %s", got)
	}
	if got := (Window{To: window(t, "05-16", "06-15").To}).Label(); got != "until 15 Jun" {
		t.Errorf("got %s", got)
	}
	if got := window(t, "05-16", "06-15").Label(); got != "16 May – 15 Jun" {
		t.Errorf("got %s", got)
	}
	if got := window(t, "12-25", "01-10").Shift(8); got != window(t, "01-02", "01-18") {
		t.Errorf("got %s", got.Label())
	}
	if (Window{}).Shift(8) != (Window{}) || (Window{}).Given() || (Window{From: 3}).Given() || (Window{From: 3}).Contains(3) {
		t.Error("a window without both ends is not given, and stays so")
	}
	for _, p := range [][2]string{{"05-16", ""}, {"", "05-16"}, {"06-31", "07-01"}} {
		if _, err := ParseWindow(p[0], p[1]); err == nil {
			t.Errorf("%q to %q reads", p[0], p[1])
		}
	}
}

// Whatever reads as a day is written back as the same day, and anything else is refused without a panic.
func FuzzParseDay(f *testing.F) {
	for _, s := range []string{"04-16", "02-29", "12-31", "00-00", "1-1", "", "04-16x", "\xff\xfe"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		d, err := ParseDay(s)
		if err != nil {
			return
		}
		if d < 1 || d > 365 {
			t.Fatalf("%q reads as day %d", s, d)
		}
		if d.String() != s && s != "02-29" {
			t.Fatalf("%q is written back as %q", s, d)
		}
	})
}
