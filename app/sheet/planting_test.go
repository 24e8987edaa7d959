package sheet

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/quantities"
	"hedgereach/habitat/tasks"
)

// readOut is all that stands on a set, its lines joined.
func readOut(t *testing.T, p *plan.Plan, o Options) string {
	t.Helper()
	var out []string
	for _, page := range set(t, p, o).Pages {
		out = append(out, words(page.List, "")...)
	}
	return strings.ReplaceAll(strings.Join(out, " "), string(noBreak), " ")
}

// The number of a bed stands before its name where the name does not hold it.
func TestNumbersAreSaidOnce(t *testing.T) {
	j := &job{numbers: map[string]string{"a": "5", "b": "5", "c": "A5", "d": "5", "e": "5"}}
	for id, want := range map[string][2]string{"a": {"Bed 5", "Bed 5"}, "b": {"Bed 15", "5 Bed 15"}, "c": {"A5", "A5"}, "d": {"A5", "5 A5"}, "e": {"Long bed", "5 Long bed"}} {
		if got := j.name(&plan.Feature{ID: id, Kind: plan.Bed, Name: want[0]}); got != want[1] {
			t.Errorf("%q, want %q", got, want[1])
		}
	}
}

// A hedge of hawthorn says how its rows stand and who says so, in either system; 3.048 m of ten feet take 15 plants.
func TestHedgesSayTheirRows(t *testing.T) {
	for units, want := range map[plan.Units][]string{
		plan.Metric: {"double staggered row, 5 a metre in all", "two rows 40 cm apart", "Teagasc", "single row along the hedge, 200 cm apart"},
		plan.US:     {"double staggered row, 15 to 10 feet in all", "two rows 16 in apart"},
	} {
		p := garden(plan.Hedgerow)
		p.Units = units
		p.Features[0].Plants = []plan.Growing{{Plant: "common-hawthorn", Share: 0.6}, {Plant: "ninebark", Share: 0.4}}
		got := readOut(t, p, Options{Sheets: []Kind{Planting}})
		for _, w := range want {
			if !strings.Contains(got, w) {
				t.Errorf("%s: no %q in %s", units, w, got)
			}
		}
	}
}

// The summary counts one bed as one.
func TestOneBedInTheSummary(t *testing.T) {
	for n, want := range map[int]string{1: "· 1 bed, ", 2: "· 2 beds, "} {
		got := readOut(t, garden([]plan.Kind{plan.Bed, plan.Bed}[:n]...), Options{Sheets: []Kind{Lists}})
		if !strings.Contains(got, want) {
			t.Errorf("no %q in %.300s", want, got)
		}
	}
}

// Seed that is scattered is said by the ground of the grower's own system: a square metre is 10.76 square feet.
func TestScatteredSeedByTheSquare(t *testing.T) {
	for units, want := range map[plan.Units]string{plan.Metric: "scattered, about 108 seeds a square metre", plan.US: "scattered, about 10 seeds a square foot"} {
		p := plan.New("Seed")
		p.Units = units
		j := &job{a: &habitat.Assessment{Plan: p}}
		if got := j.pattern(&quantities.Row{Method: quantities.Sow, InRowM: 0.1, AreaM2: 10, Take: 1076}); got != want {
			t.Errorf("%s: %q, want %q", units, got, want)
		}
	}
}

// What the sample's sheets say for the field, in words that a volunteer reads without stumbling.
func TestWordsForTheField(t *testing.T) {
	got := readOut(t, sampleGarden(t), Options{Sheets: []Kind{Lists, Cards, Scouting, Labels, Notice}})
	for _, want := range []string{
		"spinach, 20 Aug – 20 Oct; insect net, 5 May – 15 Jun; fleece, 20 Sep – 20 Oct", // both covers of A3, by name
		"asparagus, all year",
		"Seedcorn maggot about 18 May, about 17 Jun, about 16 Jul",        // in the order of the year
		"seedcorn maggot 18 May, 17 Jun, 16 Jul",                          // once on a card, and each a day
		"Every 4 days, 22 May – 30 Aug: Look for striped cucumber beetle", // in one line, not in 26
		"Hang yellow sticky card outdoors", "7 pots or bare roots with spares",
		"And Trichogramma wasps", "swamp milkweed and common boneset can poison you",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q", want)
		}
	}
	for _, m := range regexp.MustCompile(`(\d+ \w{3}) – (\d+ \w{3})`).FindAllStringSubmatch(got, -1) {
		if m[1] == m[2] {
			t.Errorf("%q", m[0])
		}
	}
}

// No card holds nothing but a caution, and a trap's name does not lie under the ring about it.
func TestCardsAreWorthTheirPaper(t *testing.T) {
	for _, page := range set(t, sampleGarden(t), Options{Sheets: []Kind{Cards}}).Pages {
		got := words(page.List, "")
		if slices.Contains(got, "Meadow strip, card 2") {
			t.Errorf("%q", got)
		}
		n := 0
		for _, w := range got {
			if w == "Moth trap" {
				n++
			}
		}
		if n > 1 {
			t.Errorf("the name of a trap stands %d times on its card", n)
		}
	}
}

// A job in several places says from which day to which it is done, and a long one until when.
func TestDaysOfAJob(t *testing.T) {
	j := &job{a: &habitat.Assessment{Plan: plan.New("Days")}}
	for _, c := range []struct {
		when [][2]season.Day
		want string
	}{
		{[][2]season.Day{{125, 125}}, "5 May"},
		{[][2]season.Day{{125, 125}, {125, 125}}, "5 May"},
		{[][2]season.Day{{128, 128}, {125, 125}, {127, 127}}, "5–8 May"},
		{[][2]season.Day{{154, 154}, {150, 150}}, "30 May – 3 Jun"},
		{[][2]season.Day{{125, 150}, {125, 150}}, "until 30 May"},
		{[][2]season.Day{{125, 150}, {125, 160}}, ""},
		{[][2]season.Day{{125, 125}, {125, 160}}, ""},
	} {
		var list []*tasks.Task
		for _, w := range c.when {
			list = append(list, &tasks.Task{When: season.Window{From: w[0], To: w[1]}})
		}
		if got := j.jobDays(list); got != c.want {
			t.Errorf("%v: %q, want %q", c.when, got, c.want)
		}
	}
}

// Crops stand on the plot map where nearly all named beds have room for them, else on none.
func TestCropsOnThePlotMap(t *testing.T) {
	p := plan.New("Crops")
	for i, crop := range []string{"potato", "bean-broad", "lettuce-leaf", "carrot"} {
		p.Features = append(p.Features, &plan.Feature{ID: crop, Kind: plan.Bed, Name: "Bed " + crop[:1], Geometry: box(0, float64(i)*6, 12, 4),
			Crops: []plan.Planting{{Crop: crop}}})
	}
	plot := func() []string {
		return words(set(t, p, Options{Sheets: onlyMap, ScaleDenominator: 200}).Pages[0].List, "Names")
	}
	for _, want := range []string{"potato", "broad bean", "lettuce", "carrot"} {
		if got := plot(); !slices.Contains(got, want) {
			t.Errorf("no %q among %q", want, got)
		}
	}
	for i := range 2 {
		p.Features[i].Geometry = box(0, float64(i)*6, 12, 1.2) // room for the name alone
	}
	if got := plot(); !slices.Contains(got, "Bed p") || slices.Contains(got, "carrot") {
		t.Errorf("some of them: %q", got)
	}
}
