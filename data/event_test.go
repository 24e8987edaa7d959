package data

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// Sums as printed, with their thresholds, beside the page.
func TestEventsAgainstPages(t *testing.T) {
	c := mustLoad(t)
	for _, s := range []struct{ pest, event, want string }{
		// University of Wisconsin Extension XHT1087 (Delahaut)
		{"cabbage-maggot", "flies, 1st generation", "300 °F above 43, simple average"},
		{"cabbage-maggot", "flies, 3rd generation", "2652 °F above 43, simple average"},
		{"colorado-potato-beetle", "1st instar", "185 °F above 50, simple average"},
		{"asparagus-beetle", "egg laying, end of window", "240 °F above 50, simple average"},
		{"onion-maggot", "flies, 1st generation", "680 °F above 40, simple average; 210 °C above 4, simple average"}, // Ontario's from memory
		// Apple, University of Wisconsin
		{"european-corn-borer", "first spring moths", "374 °F 50–86, modified average"},
		{"european-corn-borer", "peak summer moths", "1733 °F 50–86, modified average"},
		// Hartstack and others 1976 by UC IPM
		{"corn-earworm", "egg to adult", "760.1 °F 54.7–91.9, single sine"},
		// Hanson and others 2021, University of Nebraska
		{"western-bean-cutworm", "25 % of flight", "2577 °F 38–75, simple average"},
		// South Dakota State University 2022
		{"seedcorn-maggot", "peak flies, overwintering generation", "360 °F 39–84, simple average"},
	} {
		var got []string
		for _, e := range c.EventsOf(s.pest) {
			if e.Name != s.event {
				continue
			}
			above := fmt.Sprintf("above %g", e.Lower)
			if !math.IsNaN(e.Upper) {
				above = fmt.Sprintf("%g–%g", e.Lower, e.Upper)
			}
			got = append(got, fmt.Sprintf("%g %s %s, %s", e.DegreeDays, e.Unit, above, e.Method))
		}
		if strings.Join(got, "; ") != s.want {
			t.Errorf("%s, %s: %v, want %s", s.pest, s.event, got, s.want)
		}
	}
	if len(c.Events) != 60 {
		t.Errorf("%d events", len(c.Events))
	}
}

// What was not read so far as to count it has no date, nor has a stage that runs from something that has to be seen.
func TestEventsThatCannotBeDated(t *testing.T) {
	c := mustLoad(t)
	for _, pest := range []string{"spotted-wing-drosophila", "brown-marmorated-stink-bug", "corn-earworm", "colorado-potato-beetle",
		"diamondback-moth"} {
		events := c.EventsOf(pest)
		if len(events) == 0 {
			t.Errorf("%s has no events", pest)
		}
		for _, e := range events {
			if e.Dated() {
				t.Errorf("%s is dated", e.ID)
			}
		}
	}
	for _, e := range c.Events {
		if strings.Contains(e.Note, "nothing is computed") && e.Method != "" {
			t.Errorf("%s: %s", e.ID, e.Note)
		}
	}
	if c.EventsOf("no-such") != nil || c.TimesOf("no-such") != nil {
		t.Error("an unknown pest has times")
	}
}

// The pest's own lower threshold is the one by which its dated events are counted, but for rounding to tenths of a degree and for
// tables of another threshold, which say so by being another model.
func TestEventsAgreeWithPests(t *testing.T) {
	c := mustLoad(t)
	agree := map[string]bool{}
	for _, e := range c.Events {
		if !e.Dated() {
			continue
		}
		lower := e.Lower
		if e.Unit == "°F" {
			lower = (lower - 32) * 5 / 9
		}
		agree[e.Pest] = agree[e.Pest] || math.Abs(lower-c.Pest(e.Pest).LowerC) <= 0.051
	}
	for pest, ok := range agree {
		if !ok {
			t.Errorf("%s: no event has the pest's threshold, %g °C", pest, c.Pest(pest).LowerC)
		}
	}
}

// The events of one generation in one table come in the order of their sums, which is that of the season.
func TestEventsAscend(t *testing.T) {
	last := map[string]float64{}
	for _, e := range mustLoad(t).Events {
		key := fmt.Sprint(e.Pest, e.Model, e.Generation)
		if e.Dated() && e.DegreeDays <= last[key] {
			t.Errorf("%s comes before %g", e.ID, last[key])
		}
		last[key] = e.DegreeDays
	}
}

// Times by the calendar, beside the page's words.
func TestTimesAgainstPages(t *testing.T) {
	c := mustLoad(t)
	for pest, want := range map[string]string{
		"cabbage-maggot":       "minnesota 1 May – 15 Jun",  // University of Minnesota Extension: “May through early June”
		"squash-vine-borer":    "midwest 1 Jun – 31 Jul",    // “June and July in much of the Midwest”
		"japanese-beetle":      "southern-wisconsin 24 Jun", // University of Wisconsin: “the last week of June”
		"swede-midge":          "southern-ontario 16 May",   // Cornell University: “from mid-May through June”
		"crucifer-flea-beetle": "minnesota 1 May – 15 Jun",  // University of Minnesota Extension: “May and early June”
	} {
		times := c.TimesOf(pest)
		if len(times) == 0 {
			t.Errorf("%s has no time", pest)
			continue
		}
		if got := times[0].Place.ID + " " + times[0].Window.Label(); !strings.HasPrefix(got, want) {
			t.Errorf("%s: %s, want %s", pest, got, want)
		}
	}
}

func TestPestEntriesSayWhen(t *testing.T) {
	c := mustLoad(t)
	var text []string
	for _, g := range c.Entry("pest", "european-corn-borer").Groups {
		for _, f := range g.Facts {
			text = append(text, g.Heading+": "+f.Label+": "+f.Value)
		}
	}
	want := "By degree-days, Wisconsin: Peak spring moths: 631 degree-days °F between 50 and 86 °F, modified average with horizontal " +
		"cutoff, start: 1 January"
	if !strings.Contains(strings.Join(text, "\n"), want) {
		t.Errorf("the entry lacks %q:\n%s", want, strings.Join(text, "\n"))
	}
	squash := c.Entry("pest", "squash-vine-borer").Groups
	if g := squash[len(squash)-2]; g.Heading != "By the calendar, Minnesota" || g.Facts[0].Value !=
		"24 Jun – 7 Jul (“end of June and beginning of July”)" {
		t.Errorf("%+v", g)
	}
}

func TestFaultsOfEventsAreNamed(t *testing.T) {
	for _, f := range []struct{ file, old, new, want string }{
		{"pest-events.csv", ",cabbage-maggot,Wis", ",cabbage-fly,Wis", `pest-events.csv:2: cabbage-maggot-flies-1st-generation-wisconsin, pest: "cabbage-fly" is not known`},
		{"pest-events.csv", ",cabbage-maggot,Wis", ",cabbage-maggot;slugs,Wis", `pest: not one id`},
		{"pest-events.csv", ",300,°F,43,", ",,°F,43,", `degree_days: empty`},
		{"pest-events.csv", ",300,°F,43,", ",300,°F,,", `lower: a method without a unit and a lower threshold`},
		{"pest-events.csv", ",300,°F,", ",300,K,", `unit: "K" is not one of the words`},
		{"pest-events.csv", "simple average,none,04-01", "simple mean,none,04-01", `method: "simple mean" is not one of the words`},
		{"pest-events.csv", "simple average,none,04-01", "simple average,horizontal,04-01", `cutoff: does not fit the upper threshold`},
		{"pest-events.csv", "simple average,none,04-01", "simple average,,04-01", `cutoff: does not fit the method`},
		{"pest-events.csv", "simple average,none,04-01", "simple average,none,04-31", `start: the day does not read`},
		{"pest-events.csv", "simple average,none,04-01", "simple average,none,", `start_checked: does not fit the start`},
		{"pest-events.csv", ",39,84,", ",39,38,", `upper: not above the lower threshold`},
		{"pest-events.csv", "1st instar,stage", "1st instar,comes", `phase: does not fit the start`},
		{"pest-times.csv", ",05-01,06-15,", ",05-01,,", `pest-times.csv:2: cabbage-maggot-minnesota, from: the window does not read`},
		{"pest-times.csv", ",05-01,06-15,", ",,,", `from: the window lacks an end`},
		{"pest-times.csv", ",minnesota,", ",minesota,", `place: not known: give an id of bloom-places.csv`},
		{"pest-times.csv", "umn-common-insects", "umn-insects", `time_sources: "umn-insects" is not known`},
	} {
		_, err := Read(broken(t, f.file, f.old, f.new))
		if err == nil || !strings.Contains(err.Error(), f.want) {
			t.Errorf("got %v\nwant … %s …", err, f.want)
		}
	}
}
