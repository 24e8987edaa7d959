package sheet

import (
	"bytes"
	"fmt"
	"testing"

	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// large is a plan of 200 features on 120 by 80 m: beds with crops, and every eighth one habitat with plants.
func large(tb testing.TB) *plan.Plan {
	c := catalogue(tb)
	p := plan.New("Two hundred")
	p.Features = append(p.Features, &plan.Feature{ID: "g", Kind: plan.Boundary, Geometry: box(-2, -2, 124, 84)})
	habitats := []plan.Kind{plan.Hedgerow, plan.PerennialStrip, plan.FlowerStrip, plan.BeetleBank, plan.WildMargin}
	for i := range 197 {
		f := &plan.Feature{ID: fmt.Sprint(i), Kind: plan.Bed, Name: fmt.Sprintf("B%d", i), Geometry: box(float64(i%10)*12, float64(i/10)*4, 10, 1.2)}
		if i%8 == 0 {
			f.Kind, f.Name = habitats[i/8%len(habitats)], fmt.Sprintf("Strip %d", i)
			for k := range 5 {
				f.Plants = append(f.Plants, plan.Growing{Plant: c.Plants[(i+k*7)%len(c.Plants)].ID, Share: 0.2})
			}
		} else {
			f.Crops = []plan.Planting{{Crop: c.Crops[i%len(c.Crops)].ID, Share: 1, Dates: season.Window{From: 100, To: 200}}}
		}
		p.Features = append(p.Features, f)
	}
	for i, x := range []float64{0, 118} {
		p.Features = append(p.Features, plan.NewFeature(plan.Stake, fmt.Sprintf("Stake %d", i+1), box(x, -1, 0.1, 0.1)))
	}
	p.Place = &plan.Place{Latitude: 44, Longitude: -72.5, LastFrost: 130, FirstFrost: 270}
	return p
}

// BenchmarkTwelveTiles cuts the map of 200 features into twelve sheets of A4 and writes the PDF. It should stay under half a second.
func BenchmarkTwelveTiles(b *testing.B) {
	p := large(b)
	a := habitat.Assess(p, catalogue(b), habitat.Options{})
	o := Options{RangeM: 30, Date: when, Sheets: []Kind{PlotMap}}
	for o.ScaleDenominator = 300; ; o.ScaleDenominator -= 2 {
		if s, err := Make(a, o); err != nil || len(s.Pages) > 14 {
			b.Fatalf("no scale makes twelve tiles: %v", err)
		} else if len(s.Pages) == 14 { // with the index and the key
			break
		}
	}
	for b.Loop() {
		s, err := Make(a, o)
		if err != nil {
			b.Fatal(err)
		}
		if err := s.Write(&bytes.Buffer{}, "pdf"); err != nil {
			b.Fatal(err)
		}
	}
}
