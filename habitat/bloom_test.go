package habitat

import (
	"slices"
	"strings"
	"testing"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// A window from another continent is shown as noted there, said not to be known here, and closes no gap in suggestions.
func TestBloomFromAnotherContinentIsNotKnownHere(t *testing.T) {
	c := catalogue(t)
	noted := func(continent string) *data.Plant {
		for _, p := range c.Plants {
			if p.Bloom.Given() && p.BloomPlace.Continent == continent {
				return p
			}
		}
		t.Fatal("no plant from", continent)
		return nil
	}
	american, european := noted(data.NorthAmerica), noted(data.Europe)
	p := plan.New("")
	p.Place = &plan.Place{Latitude: 48, Longitude: 9, ElevationM: 700, LastFrost: 120, FirstFrost: 290} // southern Germany
	strip := plan.NewFeature(plan.PerennialStrip, "Strip", box(0, 0, 10, 10))
	strip.Plants = []plan.Growing{{Plant: american.ID, Share: 0.5}, {Plant: european.ID, Share: 0.5}}
	p.Features = []*plan.Feature{strip}
	said := func() (fd *Finding, a *Assessment) {
		a = Assess(p, c, Options{})
		for i := range a.Findings {
			if a.Findings[i].Rule == "bloom-from-elsewhere" {
				return &a.Findings[i], a
			}
		}
		return nil, a
	}
	fd, a := said()
	if got := a.Bloom(strip.Plants[0]); got != american.Bloom {
		t.Errorf("%s flowers %v, noted %v", american.ID, got, american.Bloom)
	}
	if got := a.Bloom(strip.Plants[1]); got == european.Bloom || !a.BloomEstimated {
		t.Errorf("%s is not shifted within its continent: %v", european.ID, got)
	}
	if fd == nil || !slices.Equal(fd.Features, []string{strip.ID}) || !strings.Contains(fd.Message, InText(american.Name)) ||
		strings.Contains(fd.Message, InText(european.Name)) || !strings.Contains(fd.Message, american.BloomPlace.Name) {
		t.Errorf("finding: %+v", fd)
	}
	for _, f := range a.Findings {
		if f.Rule != "bloom-gap" {
			continue
		}
		for _, x := range c.Plants {
			if x.BloomPlace.Continent == data.NorthAmerica && strings.Contains(f.Mend, " "+InText(x.Name)+",") {
				t.Errorf("%s is offered, whose bloom here is not known: %s", x.ID, f.Mend)
			}
		}
	}
	strip.Plants[0].Bloom = season.Window{From: 150, To: 200}
	if fd, _ := said(); fd != nil {
		t.Errorf("said of the grower's own dates: %s", fd.Message)
	}
	strip.Plants[0].Bloom = season.Window{}
	p.Place = &plan.Place{Latitude: 42.7, Longitude: -84.5}
	if fd, a := said(); fd == nil || a.Bloom(strip.Plants[1]) != european.Bloom {
		t.Errorf("in Michigan: %+v", fd)
	}
	p.Place = nil
	if fd, _ := said(); fd != nil {
		t.Errorf("said of no place: %s", fd.Message)
	}
}

func TestBloomIsShiftedToThePlaceAndTheGrowerGoesBefore(t *testing.T) {
	c := catalogue(t)
	i := slices.IndexFunc(c.Plants, func(p *data.Plant) bool {
		return p.Bloom.Given() &&
			p.BloomPlace.Continent == data.NorthAmerica
	})
	pl := c.Plants[i]
	p := plan.New("")
	strip := plan.NewFeature(plan.PerennialStrip, "", box(0, 0, 10, 10))
	strip.Plants = []plan.Growing{{Plant: pl.ID, Share: 1}}
	p.Features = []*plan.Feature{strip}
	if a := Assess(p, c, Options{}); a.Bloom(strip.Plants[0]) != pl.Bloom || a.BloomEstimated {
		t.Errorf("without a place the window is %v, noted %v", a.Bloom(strip.Plants[0]), pl.Bloom)
	}
	p.Place = &plan.Place{Latitude: pl.BloomPlace.Latitude + 5, Longitude: pl.BloomPlace.Longitude,
		ElevationM: pl.BloomPlace.ElevationM}
	a := Assess(p, c, Options{})
	if got, want := a.Bloom(strip.Plants[0]), pl.Bloom.Shift(20); got != want || !a.BloomEstimated {
		t.Errorf("five degrees north the window is %v, want %v", got, want)
	}
	own := season.Window{From: 200, To: 260}
	strip.Plants[0].Bloom = own
	a = Assess(p, c, Options{})
	if got := a.Bloom(strip.Plants[0]); got != own || a.BloomEstimated {
		t.Errorf("with the grower's own dates the window is %v, estimated %v", got, a.BloomEstimated)
	}
	for h := range season.HalfMonth(season.HalfMonths) {
		if a.InFlower(strip.Plants[0], h) != own.Covers(h) {
			t.Errorf("in flower in %v: %v", h, !own.Covers(h))
		}
	}
	if byHand := (&Assessment{Plan: p, Catalogue: c}); byHand.InFlower(strip.Plants[0],
		own.From.HalfMonth()+1) != own.Covers(own.From.HalfMonth()+1) {
		t.Error("an assessment put together by hand does not know what flowers")
	}
}

func TestTheSeasonLiesBetweenTheFrosts(t *testing.T) {
	for _, c := range []struct {
		last, first string
		want        []string
	}{
		{"05-10", "06-20", []string{"05-16", "06-01"}}, // 6 of 15 and 5 of 15 days are not half
		{"05-08", "06-23", []string{"05-01", "05-16", "06-01", "06-16"}},
		{"10-20", "01-31", []string{"10-16", "11-01", "11-16", "12-01", "12-16", "01-01", "01-16"}}, // the south
	} {
		cal := newCalendar(catalogue(t), &plan.Place{LastFrost: day(t, c.last), FirstFrost: day(t, c.first)})
		var got []string
		for _, h := range cal.season {
			got = append(got, h.String())
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("from %s to %s: %v, want %v", c.last, c.first, got, c.want)
		}
	}
}

func TestWhoServesAGuild(t *testing.T) {
	c := catalogue(t)
	yes, no := true, false
	beetles, hover := c.Guild("ground-beetles"), c.Guild("hoverflies")
	feeding := ""
	for _, p := range c.Plants {
		if slices.Contains(p.Guilds, "hoverflies") && p.Bloom.Given() {
			feeding = p.ID
			break
		}
	}
	flowers := []plan.Growing{{Plant: feeding, Share: 1, Bloom: window(t, "06-01", "06-30")}}
	p := plan.New("")
	p.Place = &plan.Place{Latitude: 42, Longitude: -85, LastFrost: day(t, "05-01"), FirstFrost: day(t, "10-01")}
	feature := func(k plan.Kind, refuge *bool, plants []plan.Growing) *plan.Feature {
		f := plan.NewFeature(k, "", box(0, 0, 1, 1))
		f.Refuge, f.Plants = refuge, plants
		return f
	}
	june, august := half(t, "06-01"), half(t, "08-01")
	for _, c := range []struct {
		name    string
		feature *plan.Feature
		guild   *data.Guild
		on      *season.HalfMonth
		serves  bool
	}{
		{"any refuge", feature(plan.BeetleBank, nil, nil), nil, nil, true},
		{"a bank shelters beetles", feature(plan.BeetleBank, nil, nil), beetles, nil, true},
		{"a bank that is dug over", feature(plan.BeetleBank, &no, nil), beetles, nil, false},
		{"a bank shelters no hoverflies", feature(plan.BeetleBank, nil, nil), hover, nil, false},
		{"a bank in flower feeds hoverflies", feature(plan.BeetleBank, nil, flowers), hover, nil, true},
		{"even dug over", feature(plan.BeetleBank, &no, flowers), hover, nil, true},
		{"an annual strip feeds", feature(plan.FlowerStrip, nil, flowers), hover, nil, true},
		{"in June", feature(plan.FlowerStrip, nil, flowers), hover, &june, true},
		{"not in August", feature(plan.FlowerStrip, nil, flowers), hover, &august, false},
		{"beetles eat no flowers", feature(plan.FlowerStrip, nil, flowers), beetles, nil, false},
		{"a bed feeds nobody", feature(plan.Bed, nil, flowers), hover, nil, false},
		{"a path is no refuge", feature(plan.Path, nil, nil), beetles, nil, false},
		{"unless the grower says so", feature(plan.Path, &yes, nil), beetles, nil, true},
		{"for any guild that a refuge shelters", feature(plan.Fence, &yes, nil), hover, nil, true},
		{"out of season", feature(plan.FlowerStrip, nil, []plan.Growing{{Plant: feeding, Share: 1,
			Bloom: window(t, "11-01", "11-30")}}), hover, nil, false},
		{"share of nothing", feature(plan.FlowerStrip, nil, []plan.Growing{{Plant: feeding,
			Bloom: window(t, "06-01", "06-30")}}), hover, nil, false},
	} {
		p.Features = []*plan.Feature{c.feature}
		if got := len(Assess(p, catalogue(t), Options{On: c.on}).Serving(c.guild)) == 1; got != c.serves {
			t.Errorf("%s: serves is %v", c.name, got)
		}
	}
}
