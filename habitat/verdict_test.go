package habitat

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"hedgereach/data"
	"hedgereach/habitat/degreeday"
	"hedgereach/habitat/plan"
)

// mildYear is 365 days of 10 to 20 °C: 16 °F days each above the 43 °F of the table for cabbage maggot (University of
// Wisconsin Extension XHT1087), whose flies then come on 19 April, 2 July and 13 September.
func mildYear() *degreeday.Record {
	r := &degreeday.Record{Unit: degreeday.Celsius}
	for i := range 365 {
		r.Readings = append(r.Readings, degreeday.Reading{Date: time.Date(2026, 1, 1+i, 0, 0, 0, 0, time.UTC), Low: 10, High: 20})
	}
	return r
}

// A hedge along the west side, with a plant that feeds larger parasitoids in flower from the middle of June to the middle of
// July, and a bed of cabbage that begins some metres east of it.
func cabbageBeside(t *testing.T, gapM, widthM float64) *plan.Plan {
	p := plan.New("Cabbage")
	p.Place = &plan.Place{Latitude: 42.7, Longitude: -84.5, ElevationM: 260}
	hedge := plan.NewFeature(plan.Hedgerow, "Hedge", box(0, 0, 2, 50))
	hedge.Plants = []plan.Growing{{Plant: "golden-alexanders", Share: 1, Bloom: window(t, "06-16", "07-15")}}
	bed := plan.NewFeature(plan.Bed, "Cabbage", box(2+gapM, 10, 2+gapM+widthM, 20))
	bed.Crops = []plan.Planting{{Crop: "cabbage", Dates: window(t, "04-01", "07-31"), Share: 1}}
	p.Features = []*plan.Feature{hedge, bed}
	return p
}

func verdictsOn(t *testing.T, p *plan.Plan, pest string, daily *degreeday.Record) (list []Verdict) {
	t.Helper()
	for _, v := range Verdicts(p, catalogue(t), Options{}, daily) {
		if v.Pest.ID == pest {
			list = append(list, v)
		}
	}
	return list
}

// The catalogue's typical ranges: ground and rove beetles 60 m, larger parasitoids 50 m. All three are sheltered by a hedge;
// only the last eat from flowers.
func TestVerdicts(t *testing.T) {
	for _, s := range []struct {
		what          string
		gapM, widthM  float64
		spring, later string // by pest and time
	}{
		{"within", 8, 10,
			"Cabbage maggot (cabbage root fly): flies, 1st generation about 19 Apr (degree-days, Wisconsin): enemies in reach and fed." +
				" Ground beetles and rove beetles in reach; " +
				"larger parasitoids of caterpillars and bugs in reach but not fed.",
			"Cabbage maggot (cabbage root fly): flies, 2nd generation about 2 Jul (degree-days, Wisconsin): enemies in reach and fed." +
				" Ground beetles and rove beetles in reach; " +
				"larger parasitoids of caterpillars and bugs in reach and fed."},
		{"partly", 45, 20,
			"Cabbage maggot (cabbage root fly): flies, 1st generation about 19 Apr (degree-days, Wisconsin): enemies partly in reach, or not fed." +
				" Ground beetles and rove beetles in reach of part of the bed; " +
				"larger parasitoids of caterpillars and bugs in reach of part of the bed but not fed.",
			"Cabbage maggot (cabbage root fly): flies, 2nd generation about 2 Jul (degree-days, Wisconsin): enemies partly in reach, or not fed." +
				" Ground beetles and rove beetles in reach of part of the bed; " +
				"larger parasitoids of caterpillars and bugs in reach of part of the bed and fed."},
		{"only just not in reach", 60.01, 5,
			"Cabbage maggot (cabbage root fly): flies, 1st generation about 19 Apr (degree-days, Wisconsin): no enemies in reach." +
				" Ground beetles, rove beetles and " +
				"larger parasitoids of caterpillars and bugs out of reach.",
			"Cabbage maggot (cabbage root fly): flies, 2nd generation about 2 Jul (degree-days, Wisconsin): no enemies in reach." +
				" Ground beetles, rove beetles and " +
				"larger parasitoids of caterpillars and bugs out of reach."},
	} {
		list := verdictsOn(t, cabbageBeside(t, s.gapM, s.widthM), "cabbage-maggot", mildYear())
		if len(list) != 2 { // the third generation comes after the last harvest
			t.Errorf("%s: %d verdicts", s.what, len(list))
			continue
		}
		for i, want := range []string{s.spring, s.later} {
			if got := list[i].Line(); got != want {
				t.Errorf("%s:\ngot  %s\nwant %s", s.what, got, want)
			}
		}
		if h := list[0].HalfMonths; len(h) != 1 || h[0] != half(t, "04-16") {
			t.Errorf("%s: %v", s.what, h)
		}
	}
}

// What is in bloom and near enough feeds; the same flowers farther off than the guild works do not, though shelter nearby is
// in reach.
func TestFedFromWithinReachOnly(t *testing.T) {
	p := cabbageBeside(t, 8, 10)
	p.Features[0].Plants = nil
	for _, gap := range []struct {
		m   float64
		fed int
	}{{49.9, 1}, {50.1, 0}} {
		strip := plan.NewFeature(plan.FlowerStrip, "Strip", box(20+gap.m, 10, 22+gap.m, 20))
		strip.Plants = []plan.Growing{{Plant: "golden-alexanders", Share: 1, Bloom: window(t, "06-16", "07-15")}}
		q := p.Clone()
		q.Features = append(q.Features, strip)
		second := verdictsOn(t, q, "cabbage-maggot", mildYear())[1]
		e := second.Enemies[2]
		if e.Guild.ID != "larger-parasitoids" || e.Fed != gap.fed || e.Status != Within {
			t.Errorf("%g m: %+v", gap.m, e)
		}
	}
}

// Without weather the calendar's time goes, moved by Hopkins' law and so called an estimate; without either the time is not
// known, and the guilds' standing is that of the season.
func TestVerdictsWithoutWeather(t *testing.T) {
	p := cabbageBeside(t, 8, 10)
	list := verdictsOn(t, p, "cabbage-maggot", nil)
	if len(list) != 1 || !strings.Contains(list[0].Line(), "(estimated from Minnesota)") || list[0].Evidence != data.Low ||
		!strings.Contains(list[0].Why, "no weather record") {
		t.Errorf("%+v", list)
	}
	p.Features[1].Crops[0].Crop = "lettuce-leaf"
	list = verdictsOn(t, p, "slugs", mildYear())
	if len(list) != 1 || list[0].Time != nil || list[0].Standing != EnemiesReady ||
		!strings.HasPrefix(list[0].Line(), "Slugs: time not known here: enemies in reach. Ground beetles and rove beetles in reach") {
		t.Errorf("%+v", list)
	}
	p.Features[1].Crops[0].Crop = "no-such"
	if list := Verdicts(p, catalogue(t), Options{}, nil); len(list) != 0 {
		t.Errorf("%+v", list)
	}
	if list := Verdicts(plan.New("Empty"), catalogue(t), Options{}, nil); len(list) != 0 {
		t.Errorf("%+v", list)
	}
}

// No guild with a published distance: nothing is claimed.
func TestStandingOfWhatIsNotKnown(t *testing.T) {
	c := catalogue(t)
	tachinids := Enemy{Guild: c.Guild("tachinids"), Eats: true}
	if s := standing([]Enemy{tachinids}, 2); s != EnemiesUnknown {
		t.Error(s)
	}
	if s := standing([]Enemy{tachinids, {Guild: c.Guild("hoverflies"), Eats: true, Status: Within, Best: Within, Fed: 1}}, 2); s != EnemiesPartly {
		t.Error(s)
	}
	if s := standing(nil, 0); s != EnemiesUnknown {
		t.Error(s)
	}
	if got := (&Enemy{Guild: c.Guild("hoverflies"), Eats: true, Status: Partly, Best: Within, Fed: 1}).words(3); got !=
		"in reach some of the time and fed in one of three half-months" {
		t.Error(got)
	}
}

func TestVerdictsAreTheSameAgainAndChangeNothing(t *testing.T) {
	p := market(20, 8)
	for i, f := range p.Features {
		if f.Kind == plan.Bed {
			f.Crops = []plan.Planting{{Crop: []string{"cabbage", "carrot", "leek"}[i%3], Dates: window(t, "04-15", "08-31"), Share: 1}}
		}
	}
	c, o, daily := catalogue(t), Options{}, mildYear()
	before := p.Clone()
	first := Verdicts(p, c, o, daily)
	if len(first) == 0 || !reflect.DeepEqual(first, Verdicts(p, c, o, daily)) || !reflect.DeepEqual(p, before) {
		t.Errorf("%d verdicts differ when asked again", len(first))
	}
	for _, v := range first {
		if line := v.Line(); strings.ContainsAny(line, "\n") || len(v.Sources) == 0 || v.Evidence == "" {
			t.Errorf("%q %+v", line, v)
		}
	}
}

func BenchmarkVerdicts(b *testing.B) {
	p := market(400, 100)
	for i, f := range p.Features {
		if f.Kind == plan.Bed {
			for _, crop := range []string{"cabbage", "carrot", "leek", "tomato-staked"}[i%2 : i%2+3] {
				f.Crops = append(f.Crops, plan.Planting{Crop: crop, Share: 1})
			}
		}
	}
	c, daily := catalogue(b), mildYear()
	for b.Loop() {
		Verdicts(p, c, Options{}, daily)
	}
}
