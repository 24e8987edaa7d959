package habitat

import (
	"testing"

	"hedgereach/data"
	"hedgereach/habitat/plan"
)

// Golden alexanders flower from 16 May to 15 June in southern Michigan (Michigan State University, native plants and ecosystem
// services, fact sheet). Hopkins' law: four days later for each degree of latitude poleward.
func TestBloomOf(t *testing.T) {
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	zizia := c.Plant("golden-alexanders")
	noted := zizia.BloomPlace
	at := func(latitude, longitude float64) *Assessment {
		p := plan.New("")
		p.Place = &plan.Place{Latitude: latitude, Longitude: longitude, ElevationM: noted.ElevationM}
		return Assess(p, c, Options{})
	}
	for name, x := range map[string]struct {
		a     *Assessment
		shift int // days
		known BloomKnown
	}{
		"no place":          {Assess(plan.New(""), c, Options{}), 0, BloomAsNoted},
		"where it is from":  {at(noted.Latitude, noted.Longitude), 0, BloomAsNoted},
		"two degrees north": {at(noted.Latitude+2, noted.Longitude), 8, BloomEstimated},
		"in Europe":         {at(noted.Latitude, 10), 0, BloomElsewhere},
	} {
		w, known := x.a.BloomOf(zizia)
		if w != zizia.Bloom.Shift(x.shift) || known != x.known {
			t.Errorf("%s: %s, %d, want a shift of %d days, %d", name, w.Label(), known, x.shift, x.known)
		}
	}
}
