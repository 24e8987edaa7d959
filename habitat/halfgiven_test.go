package habitat

import (
	"slices"
	"strings"
	"testing"

	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// ends is a window of which an end that is "" is not given.
func ends(t testing.TB, from, to string) (w season.Window) {
	t.Helper()
	if from != "" {
		w.From = day(t, from)
	}
	if to != "" {
		w.To = day(t, to)
	}
	return w
}

func grown(t testing.TB, crop, from, to string) plan.Planting {
	return plan.Planting{Crop: crop, Dates: ends(t, from, to), Share: 1}
}

// The growing year runs from January to December, south of the equator from July to June.
func TestStandingOfHalfGivenDates(t *testing.T) {
	for _, c := range []struct {
		from, to string
		latitude float64
		stands   string // first days of half-months in which it stands, of those asked for
	}{
		{"05-01", "", 44, "05-01 08-01 12-16"},
		{"", "05-15", 44, "01-01 05-01"},
		{"10-01", "", -44, "01-01 05-01 12-16"},
		{"", "05-15", -44, "01-01 05-01 08-01 12-16"},
		{"", "", 44, "01-01 05-01 08-01 12-16"},
	} {
		p, bed := garden(t, grown(t, "kale", c.from, c.to))
		p.Place.Latitude = c.latitude
		bed.Cover = &plan.Cover{Dates: ends(t, c.from, c.to)}
		s := SeasonOf(Assess(p, catalogue(t), Options{}))
		var stands, covered, used []string
		for _, name := range []string{"01-01", "05-01", "08-01", "12-16"} {
			h := half(t, name)
			if len(Stands(bed, h, p.NewYear())) > 0 {
				stands = append(stands, name)
			}
			if s.Beds[0].Covered[h] {
				covered = append(covered, name)
			}
			if s.Beds[0].Used[h] > 0 {
				used = append(used, name)
			}
		}
		for _, got := range [][]string{stands, covered, used} {
			if strings.Join(got, " ") != c.stands {
				t.Errorf("%q to %q at %g°: stands in %v, covered in %v, takes ground in %v; want %s", c.from, c.to, c.latitude, stands, covered, used, c.stands)
				break
			}
		}
	}
}

// The flies of the first and second generation come on 19 April and 2 July in the mild year.
func TestPestsOfHalfGivenDates(t *testing.T) {
	verdicts := func(crop plan.Planting, cover *plan.Cover) (list []*Verdict) {
		p, bed := garden(t, crop)
		p.Weather = WeatherOf("Mild", mildYear())
		bed.Cover = cover
		s := SeasonOf(Assess(p, catalogue(t), Options{}))
		for i := range s.Verdicts {
			if s.Verdicts[i].Pest.ID == "cabbage-maggot" {
				list = append(list, &s.Verdicts[i])
			}
		}
		return list
	}
	for _, c := range []struct {
		from, to string
		comes    []string
	}{
		{"06-10", "", []string{"07-01", "09-01"}},
		{"", "06-10", []string{"04-16"}},
		{"", "", []string{"04-16", "07-01", "09-01"}},
	} {
		var comes []string
		for _, v := range verdicts(grown(t, "cabbage", c.from, c.to), nil) {
			for _, h := range v.HalfMonths {
				comes = append(comes, h.String())
			}
		}
		if !slices.Equal(comes, c.comes) {
			t.Errorf("cabbage from %q to %q: flies in %v, want %v", c.from, c.to, comes, c.comes)
		}
	}
	for _, c := range []struct {
		from, to string
		covered  string // a letter each generation
	}{{"04-10", "", "yyy"}, {"05-10", "", "nyy"}, {"", "06-10", "ynn"}, {"", "04-10", "nnn"}} {
		got := ""
		for _, v := range verdicts(grown(t, "cabbage", "", ""), &plan.Cover{Dates: ends(t, c.from, c.to), Edges: plan.EdgesSealed}) {
			got += map[bool]string{true: "y", false: "n"}[v.Standing == CoverKeepsOut]
		}
		if got != c.covered {
			t.Errorf("cover from %q to %q keeps out %s, want %s", c.from, c.to, got, c.covered)
		}
	}
}

func TestFindingsOfHalfGivenDates(t *testing.T) {
	covered := func(crop plan.Planting, cover plan.Cover, first string) func() *plan.Plan {
		return func() *plan.Plan {
			if first != "" {
				crop.FirstHarvest = day(t, first)
			}
			p, bed := garden(t, crop)
			p.Weather = WeatherOf("Mild", mildYear())
			bed.Cover = &cover
			return p
		}
	}
	over := func(from, to string) plan.Cover { return plan.Cover{Dates: ends(t, from, to)} }
	run(t, "cover-at-flowering", []seasonCase{ // cucumber picked from 10 July flowers from 26 June: see TestCoverAtFlowering
		{"cover without end", covered(grown(t, "cucumber", "06-01", "09-10"), over("06-01", ""), "07-10"), Warning, "lies from 1 Jun on, and cucumber"},
		{"cover without beginning", covered(grown(t, "cucumber", "06-01", "09-10"), over("", "06-26"), "07-10"), Warning, "lies until 26 Jun"},
		{"the day before", covered(grown(t, "cucumber", "06-01", "09-10"), over("", "06-25"), "07-10"), "", ""},
		{"crop without end", covered(grown(t, "cucumber", "06-01", ""), over("06-01", "06-26"), "07-10"), Warning, "flowers there from about 26 Jun"},
		{"crop without end, off before", covered(grown(t, "cucumber", "06-01", ""), over("06-01", "06-25"), "07-10"), "", ""},
		{"crop without days but that of the first harvest", covered(grown(t, "cucumber", "", ""), over("06-01", "06-26"), "07-10"), Warning, "from about 26 Jun"},
		{"strawberry with that of the first harvest only", covered(grown(t, "strawberry", "", ""), over("08-20", ""), "06-20"), "", ""},
		{"gone before the cover", covered(grown(t, "cucumber", "", "05-31"), over("06-01", ""), ""), "", ""},
	})
	run(t, "cover-too-late", []seasonCase{
		{"the day after the flies", covered(grown(t, "cabbage", "04-01", ""), over("04-20", ""), ""), Warning, "19 Apr"},
		{"before the flies", covered(grown(t, "cabbage", "04-01", ""), over("04-19", ""), ""), "", ""},
		{"crop whose beginning is not known", covered(grown(t, "cabbage", "", "07-31"), over("04-20", ""), ""), "", ""},
		{"cover whose beginning is not known", covered(grown(t, "cabbage", "04-01", "07-31"), over("", "06-01"), ""), "", ""},
	})
	two := func(latitude float64, first, then plan.Planting) func() *plan.Plan {
		return func() *plan.Plan {
			first.Share, then.Share = 0.6, 0.6
			p, bed := garden(t, first, then)
			p.Place.Latitude = latitude
			bed.Cover = &plan.Cover{Edges: plan.EdgesSealed}
			return p
		}
	}
	run(t, "cover-same-family", []seasonCase{
		{"radish to 9 May", two(44, grown(t, "radish", "", "05-09"), grown(t, "cabbage", "05-10", "")), Warning, "Cabbage follows radish"},
		{"radish to 10 May", two(44, grown(t, "radish", "", "05-10"), grown(t, "cabbage", "05-10", "")), "", ""},
		{"radish without end", two(44, grown(t, "radish", "04-01", ""), grown(t, "cabbage", "05-10", "")), "", ""},
		{"over New Year in the south", two(-44, grown(t, "radish", "08-01", "10-31"), grown(t, "cabbage", "01-05", "04-30")), Warning, "Cabbage follows radish"},
		{"over New Year in the north", two(44, grown(t, "radish", "08-01", "10-31"), grown(t, "cabbage", "01-05", "04-30")), Warning, "Radish follows cabbage"},
	})
	run(t, "bed-overfull", []seasonCase{
		{"one ends when the next begins", two(44, grown(t, "kale", "", "07-31"), grown(t, "leek", "07-31", "")), Warning, "120 %"},
		{"one ends before", two(44, grown(t, "kale", "", "07-30"), grown(t, "leek", "07-31", "")), "", ""},
	})
	run(t, "companion-tested", []seasonCase{
		{"carrot and onion for a day", two(44, grown(t, "carrot", "", "07-01"), grown(t, "onion", "07-01", "")), Note, "onions are young"},
		{"onion after carrot", two(44, grown(t, "carrot", "", "06-30"), grown(t, "onion", "07-01", "")), "", ""},
	})
	treated := func(from, to, first, on string) func() *plan.Plan {
		return func() *plan.Plan {
			c := grown(t, "cabbage", from, to)
			c.FirstHarvest = day(t, first)
			p, bed := garden(t, c)
			hours := 72.0
			bed.Treatments = []plan.Treatment{{Material: "bt-kurstaki", On: []season.Day{day(t, on)}, HarvestHours: &hours}}
			return p
		}
	}
	run(t, "treatment-before-harvest", []seasonCase{
		{"two days before, without end", treated("05-10", "", "07-20", "07-18"), Warning, "not before 21 Jul"},
		{"three days before, without end", treated("05-10", "", "07-20", "07-17"), "", ""},
		{"in the harvest, without end", treated("05-10", "", "07-20", "09-01"), Note, "until 4 Sep"},
		{"before it was planted", treated("07-19", "", "07-20", "07-18"), "", ""},
		{"two days before, without beginning", treated("", "09-10", "07-20", "07-18"), Warning, "not before 21 Jul"},
		{"two days before, without either", treated("", "", "07-20", "07-18"), Warning, "not before 21 Jul"},
		{"months after the first, without either", treated("", "", "07-20", "11-18"), "", ""},
	})
}
