package plan

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"hedgereach/data/season"
)

func TestTheSeasonsMembersAreRead(t *testing.T) {
	p := read(t, whole)
	if p.Year != 2026 || len(p.Accepted) != 2 || p.Weather == nil {
		t.Fatalf("plan = %+v", p)
	}
	if a := p.Acceptance("bloom-gap", "bloom-gap 05-01"); a == nil || !a.Date.Equal(time.Date(2026, 2, 3, 0, 0, 0, 0, time.UTC)) {
		t.Errorf("acceptance = %+v", a)
	}
	if p.Acceptance("bloom-gap", "bloom-gap 05-16") != nil {
		t.Error("another finding of the rule is taken for accepted")
	}
	w := p.Weather
	if w.Station != "Hill farm" || w.Unit != "F" || w.Start.Format(time.DateOnly) != "2024-02-28" ||
		!slices.Equal(w.Days, []WeatherDay{{Low: 28.5, High: 40}, {Missing: true}, {Low: 31, High: 52.25}}) {
		t.Errorf("weather = %+v", w)
	}
	bed, trap, card := p.Features[0], p.Features[2], p.Features[4]
	c := bed.Crops[2]
	if c.Method != Transplant || c.FirstHarvest.String() != "07-20" || c.Variety != "Any" || c.InRowM != 0.3 || c.BetweenRowsM != 1.2 ||
		!c.Parthenocarpic || !c.ForSeed {
		t.Errorf("planting = %+v", c)
	}
	if y := bed.OtherYears; len(y) != 2 || y[0].Year != 2024 || y[0].Crops[0].Method != Sow || y[1].Year != 2027 {
		t.Errorf("other years = %+v", y)
	}
	if covers := bed.Covers(); len(covers) != 3 || covers[0].Edges != EdgesSealed || covers[0].MeshMM != 0.8 || !covers[0].BeesInside ||
		covers[1].Edges != EdgesOpen || covers[1].Dates.To.String() != "09-30" {
		t.Errorf("covers = %+v", covers)
	}
	if x := bed.Treatments; len(x) != 2 || len(x[0].On) != 2 || x[0].HarvestHours == nil || *x[0].HarvestHours != 0 || !x[0].Evening ||
		x[1].HarvestHours != nil {
		t.Errorf("treatments = %+v", x)
	}
	if trap.Trapping.Sown.String() != "05-10" || trap.Trapping.EveryDays != 4 || trap.Nursery != "cabbage-aphid" {
		t.Errorf("trap crop = %+v, %q", trap.Trapping, trap.Nursery)
	}
	if x := card.Trap; x == nil || x.Count() != 2 || x.HeightM != 0.5 || x.RenewDays != 7 {
		t.Errorf("trap = %+v", x)
	}
}

// ofThisVersion is read strictly, as whole, which is of a later one, is not.
var ofThisVersion = strings.Replace(whole, `"version": 3`, `"version": 1`, 1)

func TestBadValuesOfTheSeasonAreRefused(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{`"year": 2026,`, `"year": 26,`, `year: 26 is not a year from 1800 to 2300; write it with four digits`},
		{`"year": 2026,`, `"year": 2026.5,`, `year: 2026.5 is not a whole number; write it without a fraction`},
		{`"date": "2026-02-03"`, `"date": "3 Feb"`, `accepted[0].date: "3 Feb" is not a date; write year, month and day like 2026-05-04`},
		{`"unit": "F"`, `"unit": "K"`, `weather.unit: "K" is not a scale of temperatures; write "C" or "F"`},
		{`"max": [40,null,52.25]`, `"max": [40,null]`, `weather: there are 3 minimum and 2 maximum temperatures; give one of each a day`},
		{`"max": [40,null,52.25]`, `"max": [20,null,52.25]`, `weather.min[0]: 28.5 is above the day's maximum, 20`},
		{`"max": [40,null,52.25]`, `"max": [4000,null,52.25]`, `weather.max[0]: 4000 is not between -100 and 160`},
		{`, "start": "2024-02-28"`, ``, `weather.start: there is no date`},
		{`"method": "transplant"`, `"method": "throw"`, `features[0] "Bed 1", crops[2].method: "throw" is not known; write "sow" or "transplant"`},
		{`"in_row_m": 0.3`, `"in_row_m": -1`, `features[0] "Bed 1", crops[2].in_row_m: -1 is not between 0 and 100`},
		{`"first_harvest": "07-20"`, `"first_harvest": "July"`, `features[0] "Bed 1", crops[2].first_harvest: "July" is not a day of the year`},
		{`{"year": 2024,`, `{"year": 24,`, `features[0] "Bed 1", other_years[0].year: 24 is not a year from 1800 to 2300`},
		{`"edges": "sealed"`, `"edges": "shut"`, `features[0] "Bed 1", cover.edges: "shut" is not known; write "sealed" or "open"`},
		{`"edges": "open"`, `"edges": 3`, `features[0] "Bed 1", later_covers[0].edges: this is a number and should be a text`},
		{`"on": ["06-10", "06-17"]`, `"on": ["06-31"]`, `features[0] "Bed 1", treatments[0].on[0]: "06-31" is not a day of the year`},
		{`"harvest_hours": 0`, `"harvest_hours": -4`, `features[0] "Bed 1", treatments[0].harvest_hours: -4 is not between 0 and 8760`},
		{`"every_days": 4`, `"every_days": 400`, `features[2] "Hubbard", trapping.every_days: 400 is not between 0 and 365`},
		{`"number": 2`, `"number": 2.5`, `features[4] "Card", trap.number: 2.5 is not a whole number`},
		{`"renew_days": 7`, `"renew_days": 4000`, `features[4] "Card", trap.renew_days: 4000 is not between 0 and 365`},
		{`"nursery": "cabbage-aphid"`, `"nursery": 3`, `features[2] "Hubbard", nursery: this is a number and should be a text`},
		{`"reason": ""`, `"reason": "` + strings.Repeat("x", MaxNote+1) + `"`, `accepted[1].reason: it is longer than 10000 characters; shorten it`},
		{`"crops": []`, `"crops": [` + strings.Repeat(`{"crop": "kale"}, `, MaxList) + `{"crop": "kale"}]`,
			`features[0] "Bed 1", other_years[1].crops[100]: there are more than 100 of them`},
		{`"min": [28.5,null,31]`, `"min": [` + strings.Repeat("0,", MaxWeatherDays) + `0]`, `weather.min[15000]: there are more than 15000 days; keep the last years only`},
	} {
		in := strings.Replace(ofThisVersion, c.old, c.new, 1)
		if in == ofThisVersion {
			t.Fatalf("%s is not in the plan", c.old)
		}
		_, err := Read(strings.NewReader(in), "test.hedgereach")
		var re *ReadError
		if !errors.As(err, &re) || !strings.Contains(err.Error(), c.want) || re.Mend == "" {
			t.Errorf("%.60s:\n got %v\nwant %s", c.new, err, c.want)
		}
	}
}

// Members of that name that another program wrote are its own.
func TestAnotherProgramsYearIsKept(t *testing.T) {
	in := strings.Replace(ofThisVersion, `"year": 2026,`, `"year": "wet",`, 1)
	p := read(t, in)
	if p.Year != 0 || string(p.Extra["source_year"]) != `"wet"` {
		t.Errorf("year %d, kept %q", p.Year, p.Extra["source_year"])
	}
	comesBack(t, p)
}

func TestAPlanTurnsToAnotherYearAndBack(t *testing.T) {
	p := read(t, whole)
	was := marshal(t, p)
	next := p.InYear(2025)
	bed := next.Features[0]
	if next.Year != 2025 || len(bed.Crops) != 0 || len(bed.OtherYears) != 3 || len(bed.CropsIn(2026, 2025)) != 3 || len(bed.CropsIn(2024, 2025)) != 1 {
		t.Errorf("in 2025 the bed is %+v", bed)
	}
	if got := marshal(t, next.InYear(2026)); got != was {
		t.Errorf("turned back it is\n%s", got)
	}
	if back := p.InYear(2024).Features[0]; len(back.Crops) != 1 || back.Crops[0].Crop != "kale" {
		t.Errorf("in 2024 the bed has %+v", back.Crops)
	}
	if got := marshal(t, p); got != was {
		t.Error("turning a plan changed the one that it was made from")
	}
	bare := New("Bare")
	if y := bare.InYear(2026); y.Year != 2026 || bare.Year != 0 {
		t.Errorf("year %d of %d", y.Year, bare.Year)
	}
}

func TestRenewalsRunFromHangingToTakingDown(t *testing.T) {
	day := func(s string) season.Day {
		d, err := season.ParseDay(s)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	m := &TrapMark{Set: day("12-20"), Until: day("01-20"), RenewDays: 14}
	if got := m.Renewals(); !slices.Equal(got, []season.Day{day("01-03"), day("01-17")}) {
		t.Errorf("renewals = %v", got)
	}
	if m.RenewDays = 0; m.Renewals() != nil {
		t.Error("renewals without an interval")
	}
}

func TestACloneSharesNothingThatAnEditChanges(t *testing.T) {
	p := read(t, whole)
	was := marshal(t, p)
	for _, f := range p.Features {
		c := f.Clone()
		for _, y := range c.OtherYears {
			for i := range y.Crops {
				y.Crops[i].Crop = "x"
			}
		}
		for i := range c.Treatments {
			for k := range c.Treatments[i].On {
				c.Treatments[i].On[k] = 1
			}
			if h := c.Treatments[i].HarvestHours; h != nil {
				*h = 99
			}
		}
		for i := range c.LaterCovers {
			c.LaterCovers[i].Material = "x"
		}
		if c.Trap != nil {
			c.Trap.Number = 99
		}
		if c.Trapping != nil {
			c.Trapping.EveryDays = 99
		}
	}
	if got := marshal(t, p); got != was {
		t.Errorf("a change of a clone changed the feature:\n%s", got)
	}
}
