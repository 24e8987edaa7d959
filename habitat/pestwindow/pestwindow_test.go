package pestwindow

import (
	"slices"
	"strings"
	"testing"
	"time"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/degreeday"
)

func catalogue(t testing.TB) *data.Catalogue {
	t.Helper()
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func window(t testing.TB, from, to string) season.Window {
	t.Helper()
	w, err := season.ParseWindow(from, to)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// steady is a record in °C of days that are all alike.
func steady(from string, days int, low, high float64) *degreeday.Record {
	start, err := time.Parse(time.DateOnly, from)
	if err != nil {
		panic(err)
	}
	r := &degreeday.Record{Unit: degreeday.Celsius}
	for i := range days {
		r.Readings = append(r.Readings, degreeday.Reading{Date: start.AddDate(0, 0, i), Low: low, High: high})
	}
	return r
}

// A planting is what the tests ask about.
type planting struct {
	Crop  string
	Dates season.Window
	Place *Place
	Daily *degreeday.Record
}

func of(t testing.TB, p planting) []Row {
	return New(catalogue(t), p.Place, p.Daily).Of(p.Crop, p.Dates)
}

func row(t testing.TB, p planting, pest string) *Row {
	t.Helper()
	for _, r := range of(t, p) {
		if r.Pest.ID == pest {
			return &r
		}
	}
	t.Fatalf("%s is no pest of %s", pest, p.Crop)
	return nil
}

// Days of 10 to 20 °C have a mean of 59 °F, 16 above the 43 of the table for cabbage maggot (University of Wisconsin
// Extension XHT1087: 300, 1476 and 2652 °F days; counted from 1 April as the University of Minnesota does). So its flies
// come on the 19th, the 93rd and the 166th day.
func TestByWeather(t *testing.T) {
	r := row(t, planting{Crop: "cabbage", Daily: steady("2026-01-01", 365, 10, 20)}, "cabbage-maggot")
	want := "flies, 1st generation about 19 Apr (degree-days, Wisconsin); flies, 2nd generation about 2 Jul (degree-days, Wisconsin); " +
		"flies, 3rd generation about 13 Sep (degree-days, Wisconsin)"
	if got := r.When(); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	for _, x := range r.Times {
		if x.Basis != ByWeather || x.Evidence != data.Medium || len(x.Sources) == 0 || x.Sources[0] != "uw-xht1087" || len(x.Events) != 1 {
			t.Errorf("%+v", x)
		}
	}
	if r.Why != "" || len(r.Guilds) == 0 || r.Guilds[0].ID != "ground-beetles" {
		t.Errorf("%+v", r)
	}
}

// The events of one generation make one window: Apple's first spring moths at 374 °F days to the end of the treatment window
// at 1000, 9 a day (modified average of 10 to 20 °C is 59 °F, less 50), from 1 January: on the 42nd and 112th day.
func TestGenerationsAreWindows(t *testing.T) {
	r := row(t, planting{Crop: "sweet-corn", Daily: steady("2026-01-01", 365, 10, 20)}, "european-corn-borer")
	if len(r.Times) != 2 || r.Times[0].Window != window(t, "02-11", "04-22") || len(r.Times[0].Events) != 5 {
		t.Fatalf("%+v", r.Times)
	}
	if got := r.Times[0].Words(); got != "first spring moths 11 Feb – 22 Apr (degree-days, Wisconsin)" {
		t.Error(got)
	}
}

// The usual day is the middle one of the record's years, and a year that is not complete counts only where it reached the
// event.
func TestSeveralYears(t *testing.T) {
	daily := &degreeday.Record{Unit: degreeday.Celsius}
	for _, year := range []struct {
		from      string
		days      int
		low, high float64
	}{
		{"2021-01-01", 365, 10, 20},              // 16 °F days each: the 19th day
		{"2022-01-01", 365, 15, 25},              // 25: the 12th day
		{"2023-01-01", 365, 5, 15},               // 7: the 43rd day
		{"2024-01-01", 366, 0, 8},                // none: 4 °C is below the threshold of 43 °F
		{"2025-01-01", 31 + 28 + 31 + 5, 15, 25}, // ends on 5 April
	} {
		daily.Readings = append(daily.Readings, steady(year.from, year.days, year.low, year.high).Readings...)
	}
	r := row(t, planting{Crop: "cabbage", Daily: daily}, "cabbage-maggot")
	d := r.Times[0].Events[0]
	if d.Usual.String() != "04-19" || d.Earliest.String() != "04-12" || d.Latest.String() != "05-13" || d.Years != 4 || d.Reached != 3 {
		t.Errorf("%s, %s to %s, %d of %d", d.Usual, d.Earliest, d.Latest, d.Reached, d.Years)
	}
	// the third generation, 2652, came in the two warm years only: on the 166th and 107th day; the earlier of the two
	// middles
	if last := r.Times[len(r.Times)-1]; last.What != "flies, 3rd generation" || last.Window.From.String() != "07-16" {
		t.Errorf("%s", last.Words())
	}
	cold := &degreeday.Record{Unit: degreeday.Celsius, Readings: append(steady("2021-01-01", 365, 10, 20).Readings,
		append(steady("2022-01-01", 365, 0, 8).Readings, steady("2023-01-01", 365, 0, 8).Readings...)...)}
	r = row(t, planting{Crop: "onion", Daily: cold}, "onion-maggot")
	if len(r.Times) != 0 || !strings.Contains(r.When(), "time not known here: the weather record reached ") ||
		!strings.HasSuffix(r.When(), "in 1 of 3 years") {
		t.Errorf("%s", r.When())
	}
}

// South of the equator the year of the sums starts on 1 July: as far into it as 19 April and 2 July lie in the north's, 108 and 182
// days.
func TestSouthern(t *testing.T) {
	r := row(t, planting{Crop: "cabbage", Place: &Place{Southern: true}, Daily: steady("2025-07-01", 500, 10, 20)}, "cabbage-maggot")
	on := map[string]string{}
	for _, x := range r.Times {
		on[x.What] = x.Window.From.String()
	}
	if on["flies, 1st generation"] != "10-17" || on["flies, 2nd generation"] != "12-30" {
		t.Errorf("%v", on)
	}
}

func shift(days int, known bool) *Place {
	return &Place{Moved: func(w season.Window, _ data.Place) (season.Window, bool) { return w.Shift(days), known }}
}

// Without a model or without weather the calendar tells, as noted or moved; without that, nothing does.
func TestByCalendar(t *testing.T) {
	for _, s := range []struct {
		crop, pest string
		place      *Place
		want       string
	}{
		// University of Minnesota Extension: “May through early June”
		{"cabbage", "cabbage-maggot", nil, "does harm 1 May – 15 Jun (as noted in Minnesota)"},
		{"cabbage", "cabbage-maggot", shift(0, true), "does harm 1 May – 15 Jun (as noted in Minnesota)"},
		{"cabbage", "cabbage-maggot", shift(-10, true), "does harm 21 Apr – 5 Jun (estimated from Minnesota)"},
		{"cabbage", "cabbage-maggot", shift(3, false), "time not known here: there is a degree-day model for it, but no weather record"},
		{"carrot", "carrot-weevil", nil, "time not known here: there is a degree-day model for it, but no weather record"},
		{"lettuce-leaf", "slugs", nil, "time not known here: no source that was read gives one for a place like this"},
		{"potato", "colorado-potato-beetle", nil,
			"time not known here: its degree-days run from a day that has to be seen: when the first eggs are seen"},
		{"leek", "leek-moth", nil, "first flight 22 Apr – 21 May (as noted in Southern Ontario); " +
			"second flight 16 Jun – 15 Jul (as noted in Ottawa valley); third flight 16 Jul – 31 Aug (as noted in Ottawa valley)"},
	} {
		r := row(t, planting{Crop: s.crop, Place: s.place}, s.pest)
		if got := r.When(); got != s.want {
			t.Errorf("%s: got  %s\nwant %s", s.pest, got, s.want)
		}
		if r.Known() != !strings.HasPrefix(s.want, "time not known") {
			t.Errorf("%s: known %v", s.pest, r.Known())
		}
	}
	moved := row(t, planting{Crop: "cabbage", Place: shift(-10, true)}, "cabbage-maggot").Times[0]
	if !moved.Moved || moved.Evidence != data.Low || moved.Basis != ByCalendar || !slices.Contains(moved.Sources, lawOfMoving) {
		t.Errorf("%+v", moved)
	}
}

// A weather record that does not reach the start, or breaks off at once, leaves the calendar, and says why.
func TestWeatherThatDoesNotReach(t *testing.T) {
	for _, s := range []struct {
		daily *degreeday.Record
		why   string
	}{
		{&degreeday.Record{Unit: degreeday.Celsius}, "the weather record does not reach from 1 Apr to flies"},
		{steady("2026-05-01", 60, 10, 20), "the weather record does not reach from 1 Apr to flies"},
		{steady("2026-03-01", 40, 10, 20), "the weather record does not reach from 1 Apr to flies"},
		{&degreeday.Record{Unit: degreeday.Celsius, Readings: append(steady("2026-03-01", 20, 10, 20).Readings,
			steady("2026-04-10", 200, 10, 20).Readings...)}, "the weather record lacks 20 days from 2026-03-21 on"},
	} {
		r := row(t, planting{Crop: "cabbage", Daily: s.daily}, "cabbage-maggot")
		if !strings.HasPrefix(r.Why, s.why) || len(r.Times) != 1 || r.Times[0].Basis != ByCalendar {
			t.Errorf("%q, %s", r.Why, r.When())
		}
	}
}

func TestPestsThatComeWhileTheCropStands(t *testing.T) {
	p := planting{Crop: "cabbage", Dates: window(t, "06-10", "09-30"), Daily: steady("2026-01-01", 365, 10, 20)}
	r := row(t, p, "cabbage-maggot") // 19 April, 2 July, 13 September
	if r.Times[0].Meets || !r.Times[1].Meets || !r.Times[2].Meets {
		t.Errorf("%+v", r.Times)
	}
	open := p // to the end of the growing year
	open.Dates.To = 0
	if r := row(t, open, "cabbage-maggot"); r.Times[0].Meets || !r.Times[1].Meets || !r.Times[2].Meets {
		t.Errorf("without end: %+v", r.Times)
	}
	open.Dates = season.Window{To: p.Dates.From}
	if r := row(t, open, "cabbage-maggot"); !r.Times[0].Meets || r.Times[1].Meets || r.Times[2].Meets {
		t.Errorf("without beginning: %+v", r.Times)
	}
	var got []string
	for _, h := range r.HalfMonths(p.Dates) {
		got = append(got, h.String())
	}
	if strings.Join(got, " ") != "07-01 09-01" {
		t.Errorf("%v", got)
	}
	// by the calendar, 1 May to 15 June: only the last days fall on the crop
	p.Daily = nil
	r = row(t, p, "cabbage-maggot")
	if h := r.HalfMonths(p.Dates); !r.Times[0].Meets || len(h) != 1 || h[0].String() != "06-01" {
		t.Errorf("%v", h)
	}
	p.Dates = window(t, "10-01", "04-30") // over winter
	if h := row(t, p, "cabbage-maggot").HalfMonths(p.Dates); len(h) != 0 {
		t.Errorf("%v", h)
	}
	if h := row(t, p, "cabbage-maggot").HalfMonths(season.Window{}); len(h) != 3 { // 1 May to 15 June
		t.Errorf("%v", h)
	}
}

// Every crop answers one row for each of its pests, and every model of the catalogue can be counted.
func TestEveryCrop(t *testing.T) {
	c := catalogue(t)
	for _, e := range c.Events {
		if e.Method != "" {
			if err := model(e).Check(); err != nil {
				t.Errorf("%s: %v", e.ID, err)
			}
		}
	}
	year := steady("2026-01-01", 365, 12, 24)
	timed := 0
	for _, crop := range c.Crops {
		for _, daily := range []*degreeday.Record{nil, year} {
			rows := of(t, planting{Crop: crop.ID, Daily: daily})
			if len(rows) != len(crop.Pests) {
				t.Errorf("%s: %d rows", crop.ID, len(rows))
			}
			for _, r := range rows {
				if strings.ContainsAny(r.When(), "\n") || r.When() == "" || r.Known() == strings.HasPrefix(r.When(), "time not known") {
					t.Errorf("%s: %q", crop.ID, r.When())
				}
				for _, x := range r.Times {
					timed++
					if !x.Window.Given() || len(x.Sources) == 0 || x.Evidence == "" || x.Checked == "" || !x.Meets {
						t.Errorf("%s: %+v", crop.ID, x)
					}
				}
			}
		}
	}
	if timed == 0 || of(t, planting{Crop: "no-such"}) != nil {
		t.Errorf("%d times", timed)
	}
}

// A decade of weather for all pests, and one planting.
func BenchmarkCalendar(b *testing.B) {
	c, daily := catalogue(b), steady("2016-01-01", 3652, 5, 18)
	b.Run("new", func(b *testing.B) {
		for b.Loop() {
			New(c, nil, daily)
		}
	})
	cal := New(c, nil, daily)
	b.Run("planting", func(b *testing.B) {
		for b.Loop() {
			cal.Of("cabbage", season.Window{})
		}
	})
}
