package tasks

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/quantities"
)

func catalogue(t testing.TB) *data.Catalogue {
	t.Helper()
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func day(t testing.TB, s string) season.Day {
	t.Helper()
	d, err := season.ParseDay(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func days(t testing.TB, from, to string) season.Window {
	return season.Window{From: day(t, from), To: day(t, to)}
}

func box(x, y, w, h float64) orb.Polygon {
	return orb.Polygon{{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}}}
}

func of(t testing.TB, p *plan.Plan) []Task {
	t.Helper()
	c := catalogue(t)
	l, err := quantities.Of(p, c, quantities.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return Of(habitat.Assess(p, c, habitat.Options{}), l, habitat.PestCalendar(p, c, nil))
}

// garden has one of each kind of dated work.
func garden(t testing.TB) *plan.Plan {
	hours := 24.0
	p := plan.New("Work")
	p.Place = &plan.Place{LastFrost: day(t, "05-10"), FirstFrost: day(t, "10-01")}
	for _, x := range catalogue(t).Places { // where the catalogue's times were noted, so that none is moved
		if x.ID == "minnesota" {
			p.Place.Latitude, p.Place.Longitude, p.Place.ElevationM = x.Latitude, x.Longitude, x.ElevationM
		}
	}
	p.Features = []*plan.Feature{
		{ID: "a", Kind: plan.Bed, Name: "A", Geometry: box(0, 0, 10, 1.2), Crops: []plan.Planting{{Crop: "cabbage", Dates: days(t, "05-10", "08-10")},
			{Crop: "spinach", Dates: days(t, "08-20", "10-20")}},
			Cover:      &plan.Cover{Dates: days(t, "05-10", "06-15"), MeshMM: 1.3, Material: "insect net"},
			Treatments: []plan.Treatment{{Material: "bt-kurstaki", On: []season.Day{day(t, "07-01"), day(t, "07-10")}, Pest: "imported-cabbageworm", HarvestHours: &hours, Evening: true}}},
		{ID: "p", Kind: plan.Bed, Name: "P", Geometry: box(0, 3, 10, 1.2), Crops: []plan.Planting{{Crop: "asparagus", Dates: days(t, "01-01", "12-31")}}},
		{ID: "g", Kind: plan.Bed, Name: "G", Geometry: box(0, 6, 10, 1.2), Crops: []plan.Planting{{Crop: "garlic", Dates: days(t, "10-15", "07-20")}}},
		{ID: "t", Kind: plan.TrapCrop, Name: "T", Geometry: box(0, 9, 10, 1), Crops: []plan.Planting{{Crop: "squash-winter", Dates: days(t, "05-18", "09-01")}},
			Trapping: &plan.Trapping{Protects: "a", Pest: "striped-cucumber-beetle", Removal: "Pick them at dawn."}},
		{ID: "m", Kind: plan.Trap, Name: "M", Geometry: orb.Point{1, 12}, Trap: &plan.TrapMark{Trap: "delta-trap", Pest: "leek-moth", Set: day(t, "04-20"),
			Until: day(t, "06-01"), RenewDays: 14}},
		{ID: "s", Kind: plan.PerennialStrip, Name: "S", Geometry: box(0, 15, 10, 2), Plants: []plan.Growing{{Plant: "yarrow", Share: 0.5, Bloom: days(t, "06-01", "07-15")}}},
		{ID: "l", Kind: plan.PerennialStrip, Name: "L", Geometry: box(0, 18, 10, 2), Plants: []plan.Growing{{Plant: "new-england-aster", Share: 0.5, Bloom: days(t, "09-01", "10-10")}}},
		{ID: "c", Kind: plan.CoverCrop, Name: "C", Geometry: box(0, 21, 10, 2), Plants: []plan.Growing{{Plant: "crimson-clover", Share: 0.5, Bloom: days(t, "05-20", "06-20")}}},
		{ID: "f", Kind: plan.FlowerStrip, Name: "F", Geometry: box(0, 24, 10, 2), Plants: []plan.Growing{{Plant: "dill", Share: 0.5}}},
	}
	return p
}

// Every dated member of the plan becomes work on its day.
func TestByDate(t *testing.T) {
	var got []string
	for _, x := range of(t, garden(t)) {
		when := "no day"
		if x.When.Given() {
			when = x.When.From.String()
			if x.When.To != x.When.From {
				when += "…" + x.When.To.String()
			}
		}
		if x.Weekly {
			when += " weekly"
		}
		if x.Kind != Scout {
			got = append(got, when+" "+x.Feature.Name+": "+x.What)
		}
	}
	want := strings.Split(strings.TrimSpace(`
04-20 M: hang delta trap with pheromone
05-04 M: count and renew delta trap with pheromone
05-10 F: sow dill (left to flower)
05-10 A: plant cabbage
05-10 A: insect net on (mesh 1.3 mm)
05-18 T: sow winter squash
05-18 M: count and renew delta trap with pheromone
05-18…09-01 weekly T: look for striped cucumber beetle and take it off
06-01 M: count and renew delta trap with pheromone
06-01 M: take down delta trap with pheromone
06-13…06-27 C: cut before it sets seed
06-15 A: insect net off
07-01 A: Bt, Bacillus thuringiensis subsp. kurstaki against imported cabbageworm
07-10 A: Bt, Bacillus thuringiensis subsp. kurstaki against imported cabbageworm
07-20 G: last harvest of garlic
08-10 A: last harvest of cabbage
08-16…09-15 S: cut 90 %, leave 10 % standing for what winters in it
08-20 A: sow spinach
09-01 T: clear the trap crop
10-11…11-10 L: cut 90 %, leave 10 % standing for what winters in it
10-15 G: set garlic
10-20 A: last harvest of spinach
no day C: sow crimson clover
no day P: set asparagus
no day S: plant yarrow
no day L: plant New England aster`), "\n")
	for i := range max(len(got), len(want)) {
		g, w := "–", "–"
		if i < len(got) {
			g = got[i]
		}
		if i < len(want) {
			w = want[i]
		}
		if g != w {
			t.Errorf("%2d got  %s\n           want %s", i, g, w)
		}
	}
}

// University of Minnesota Extension has the cabbage maggot do harm from May to early June, which the catalogue holds as 1 May
// to 15 June: on cabbage set out on 10 May, the walks are from that day to 15 June.
func TestWalks(t *testing.T) {
	n := 0
	for _, x := range of(t, garden(t)) {
		if x.Kind != Scout {
			continue
		}
		n++
		if !x.Weekly || x.Pest == nil || x.Time == nil || x.How == "" {
			t.Errorf("%+v", x)
		}
		if x.Pest.ID == "cabbage-maggot" && x.When != days(t, "05-10", "06-15") {
			t.Errorf("cabbage maggot: %s", x.When.Label())
		}
	}
	if n == 0 {
		t.Error("no walks")
	}
}

// What a treatment says of bees, harvest and the label reaches the task; a trap crop whose kill step is not written down says so.
// How high a trap hangs is said in the plan's units.
func TestHeightOfATrap(t *testing.T) {
	for units, want := range map[plan.Units]string{plan.Metric: "1.5 m above the ground, for leek moth.", plan.US: "4 ft 11 in above the ground, for leek moth."} {
		p := garden(t)
		p.Units = units
		hung := 0
		for _, f := range p.Features {
			if f.Trap != nil {
				f.Trap.HeightM = 1.5
			}
		}
		for _, x := range of(t, p) {
			if x.Kind == HangTrap {
				if hung++; x.How != want {
					t.Errorf("%s: %q, want %q", units, x.How, want)
				}
			}
		}
		if hung != 1 {
			t.Errorf("%s: %d traps are hung", units, hung)
		}
	}
}

func TestWarnings(t *testing.T) {
	p := garden(t)
	p.Features[3].Trapping.Removal = " "
	for _, x := range of(t, p) {
		switch x.Kind {
		case Treat:
			if !slices.Contains(x.Dangers, habitat.Labels) || !strings.Contains(x.How, "no harvest for 24 h") || !strings.Contains(x.How, "evening") {
				t.Errorf("%+v", x)
			}
		case ClearTrap, PickOff:
			if !strings.Contains(x.How, "does not say how") {
				t.Errorf("%+v", x)
			}
		}
	}
	p.Features[3].Trapping.EveryDays = 21
	n := 0
	for _, x := range of(t, p) {
		if x.Kind == PickOff {
			n++
			if x.Weekly {
				t.Errorf("%+v", x)
			}
		}
	}
	if n != 5 { // every 21 days within 106
		t.Errorf("%d days of picking", n)
	}
}

// A strip in which nothing is planted is not cut.
func TestNothingPlantedIsNotCut(t *testing.T) {
	p := garden(t)
	for _, f := range p.Features {
		f.Plants = nil
	}
	for _, x := range of(t, p) {
		if x.Kind == Cut {
			t.Errorf("%s in %s", x.What, x.Feature.Name)
		}
	}
	if n := len(slices.DeleteFunc(of(t, garden(t)), func(x Task) bool { return x.Kind != Cut })); n != 3 {
		t.Errorf("%d cuts where something grows", n)
	}
}

// South of the equator the year begins in July, and the late-summer cut lies half a year on.
func TestSouth(t *testing.T) {
	p := garden(t)
	p.Place.Latitude = -40
	list := of(t, p)
	if list[0].When.From < season.NewYear(true) {
		t.Errorf("the year begins with %s", list[0].When.Label())
	}
	for _, x := range list {
		if x.Kind == Cut && x.Feature.Name == "S" {
			if got := x.When.From; got != day(t, "02-14") { // 16 August and 182 days
				t.Errorf("cut on %s", got)
			}
		}
	}
}

// Every day of the year lies in one week, and every task in the weeks of its days.
func TestWeeks(t *testing.T) {
	list := of(t, garden(t))
	for _, year := range []int{0, 2024, 2025, 2026, 2027, 2028, 2029} {
		for _, southern := range []bool{false, true} {
			var all []Task
			for d := season.Day(1); d <= 365; d++ {
				all = append(all, Task{Kind: Scout, What: d.String(), When: on(d), Feature: &plan.Feature{}})
			}
			next := season.NewYear(southern)
			for n, w := range Weeks(all, year, southern) {
				if w.From != next || w.From.DaysTo(w.To) > 7 || len(w.Jobs) != w.From.DaysTo(w.To)+1 {
					t.Errorf("%d, %v: week %d from %s to %s with %d days", year, southern, n, w.From.Label(), w.To.Label(), len(w.Jobs))
				}
				next = w.To.Add(1)
				if year > 0 && n > 0 && year%4 != 0 && !southern {
					m, d := w.From.MonthDay()
					if time.Date(year, time.Month(m), d, 0, 0, 0, 0, time.UTC).Weekday() != time.Monday {
						t.Errorf("%d: %s is no Monday", year, w.From.Label())
					}
				}
			}
			if next != season.NewYear(southern) {
				t.Errorf("%d: the year ends on %s", year, next.Label())
			}
		}
	}
	var weeks int
	for _, w := range Weeks(list, 2026, false) {
		for _, j := range w.Jobs {
			if j.Kind == PickOff {
				weeks++
			}
			for i, f := range j.Features {
				if slices.Index(j.Features, f) != i {
					t.Errorf("%s: %s twice", j.What, f.Name)
				}
			}
		}
	}
	if weeks != 16 { // Monday 18 May to Tuesday 1 September 2026
		t.Errorf("the trap crop is seen to in %d weeks", weeks)
	}
	undated := 0
	for _, x := range list {
		if !x.When.Given() {
			undated++
		}
	}
	for _, w := range Weeks(list, 0, false) {
		for _, j := range w.Jobs {
			for _, x := range j.Tasks {
				if !x.When.Given() {
					t.Errorf("%s has no day and stands in a week", x.What)
				}
			}
		}
	}
	if undated == 0 {
		t.Error("no work without a day")
	}
}

func TestSharedDays(t *testing.T) {
	for _, s := range []struct{ a, b, want string }{
		{"05-01 06-15", "05-10 08-10", "10 May – 15 Jun"},
		{"05-01 06-15", "07-01 08-10", ""},
		{"11-01 02-15", "12-01 12-31", "1 Dec – 31 Dec"},
		{"11-01 02-15", "10-01 01-31", "1 Nov – 31 Jan"},
		{"10-15 07-20", "07-01 11-30", "1 Jul – 20 Jul; 15 Oct – 30 Nov"},
		{"01-01 12-31", "10-15 07-20", "15 Oct – 20 Jul"},
	} {
		two := func(x string) season.Window { return days(t, x[:5], x[6:]) }
		var got []string
		for _, w := range shared(two(s.a), two(s.b)) {
			got = append(got, w.Label())
		}
		if strings.Join(got, "; ") != s.want {
			t.Errorf("%s and %s: %v", s.a, s.b, got)
		}
	}
}

func TestSampleIsTheSameTwice(t *testing.T) {
	p, err := plan.Read(bytes.NewReader(data.Sample()), data.SampleName)
	if err != nil {
		t.Fatal(err)
	}
	a, b := of(t, p), of(t, p)
	if len(a) != len(b) || len(a) < 60 {
		t.Fatal(len(a), len(b))
	}
	for i := range a {
		if a[i].What != b[i].What || a[i].Feature != b[i].Feature || a[i].When != b[i].When {
			t.Fatalf("%d: %+v, %+v", i, a[i], b[i])
		}
		if a[i].What == "" || a[i].Feature == nil {
			t.Errorf("%+v", a[i])
		}
	}
}

// A crop that says when it begins stands to the end of the growing year, in the walks as in the verdicts; a day that the plan does
// not give is no day's work.
func TestHalfGivenDays(t *testing.T) {
	p := garden(t)
	p.Features[3].Crops[0].Dates.To = 0
	for southern, last := range map[bool]string{false: "12-31", true: "06-30"} {
		p.Place.Latitude = map[bool]float64{false: 44, true: -44}[southern]
		for _, x := range of(t, p) {
			if x.Feature.ID != "t" {
				continue
			}
			if x.Kind == PickOff && x.When != days(t, "05-18", last) {
				t.Errorf("southern %v: walks %s", southern, x.When.Label())
			}
			if x.Kind == ClearTrap && x.When.From != 0 {
				t.Errorf("southern %v: cleared on %s, which nobody said", southern, x.When.Label())
			}
		}
	}
	p = garden(t)
	scouted := func(w season.Window) (weeks int) {
		p.Features[0].Crops[0].Dates = w
		for _, x := range of(t, p) {
			if x.Kind == Scout && x.Feature.ID == "a" && x.Pest.ID == "cabbage-maggot" { // 1 May to 15 June in Minnesota
				weeks += x.When.From.DaysTo(x.When.To) + 1
			}
		}
		return weeks
	}
	for _, c := range []struct {
		w    season.Window
		days int
	}{{season.Window{From: day(t, "06-01")}, 15}, {season.Window{To: day(t, "05-10")}, 10}, {season.Window{From: day(t, "06-16")}, 0}, {season.Window{}, 46}} {
		if got := scouted(c.w); got != c.days {
			t.Errorf("%s: %d days in which to look for the flies, want %d", c.w.Label(), got, c.days)
		}
	}
}
