package session

import (
	"fmt"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/document"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// farm is a plan of 500 features: 400 beds of three plantings each, and 100 strips with flowers among them.
func farm(b testing.TB, c *data.Catalogue) *plan.Plan {
	b.Helper()
	p := plan.New("Farm")
	p.Place = &plan.Place{Latitude: 44, Longitude: -72, LastFrost: 130, FirstFrost: 274}
	box := func(x, y, w, h float64) orb.Polygon {
		return orb.Polygon{{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}}}
	}
	crops := []string{"lettuce-leaf", "cabbage", "carrot", "onion", "potato", "bean-snap", "kale", "beet", "cucumber"}
	for i := range 500 {
		x, y := float64(i%20)*14, float64(i/20)*4
		if i%5 == 4 {
			f := plan.NewFeature(plan.PerennialStrip, fmt.Sprint("Strip ", i), box(x, y, 12, 1.5))
			for k := range 4 {
				f.Plants = append(f.Plants, plan.Growing{Plant: c.Plants[(i+17*k)%len(c.Plants)].ID, Share: 0.25})
			}
			p.Features = append(p.Features, f)
			continue
		}
		f := plan.NewFeature(plan.Bed, fmt.Sprint("Bed ", i), box(x, y, 12, 1.2))
		for k := range 3 {
			from := season.Day(100 + 50*k)
			f.Crops = append(f.Crops, plan.Planting{Crop: crops[(i+k)%len(crops)], Share: 1, Dates: season.Window{From: from, To: from + 45}})
		}
		p.Features = append(p.Features, f)
	}
	return p
}

// What is looked up is what is measured.
func TestStepsAreLookedUp(t *testing.T) {
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	s := New(c, document.New(farm(t, c)))
	done := make(chan func(), 4)
	s.KeepSeason(func(f func()) { done <- f })
	(<-done)()
	june := season.HalfMonth(10)
	s.SetAsk(Ask{RangeM: s.Ask().RangeM, On: &june})
	measured := s.Assessment()
	(<-done)()
	may := season.HalfMonth(9)
	s.SetAsk(Ask{RangeM: s.Ask().RangeM, On: &may})
	if s.Assessment() != s.Season().At(may) {
		t.Error("a step is measured afresh")
	}
	s.SetAsk(Ask{RangeM: s.Ask().RangeM, On: &june})
	looked := s.Assessment()
	if looked == measured {
		t.Fatal("the step was not looked up")
	}
	if *looked.Options.On != june || len(looked.Beds) != len(measured.Beds) {
		t.Fatalf("looked up %v", looked.Options)
	}
	for i, b := range looked.Beds {
		if s.Status(b) != s.Status(measured.Beds[i]) || b.Cover != measured.Beds[i].Cover || b.Refuge.At(30) != measured.Beds[i].Refuge.At(30) {
			t.Errorf("%s differs", b.Feature.Name)
		}
	}
	s.SetAsk(Ask{RangeM: 12, On: &june}) // another range is measured
	if s.Assessment() == looked || s.Assessment().Options.RangesM[0] != 12 {
		t.Error("another range is not measured")
	}
}

// BenchmarkStep is a step along the season strip on 500 features, as far as the session has to do with it.
func BenchmarkStep(b *testing.B) {
	c, err := data.Load()
	if err != nil {
		b.Fatal(err)
	}
	s := New(c, document.New(farm(b, c)))
	done := make(chan func(), 4)
	s.KeepSeason(func(f func()) { done <- f })
	(<-done)()
	h := season.HalfMonth(0)
	s.SetAsk(Ask{RangeM: s.Ask().RangeM, Guild: c.Guild("hoverflies"), On: &h})
	(<-done)() // all half-months are measured
	b.ResetTimer()
	for b.Loop() {
		h = (h + 1) % season.HalfMonths
		at := h
		a := s.Ask()
		a.On = &at
		s.SetAsk(a)
	}
}
