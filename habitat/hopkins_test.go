package habitat

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"hedgereach/data"
	"hedgereach/data/season"
	_ "hedgereach/geometry/repeatable"
	"hedgereach/habitat/plan"
)

// Hopkins 1918 (Monthly Weather Review, Supplement 9), from memory: four days for each degree of latitude, five degrees of longitude, 400
// feet, later in spring and earlier in autumn. The sums below are the law's own.
func TestHopkinsLaw(t *testing.T) {
	michigan := data.Place{ID: "m", Continent: data.NorthAmerica, Latitude: 42, Longitude: -85, ElevationM: 200}
	britain := data.Place{ID: "b", Continent: data.Europe, Latitude: 52, Longitude: -1, ElevationM: 50}
	wide := data.Place{ID: "w", Latitude: 42, Longitude: -85, ElevationM: 200} // a region of no one continent
	spring, autumn := window(t, "05-16", "06-15"), window(t, "09-25", "10-31")
	for _, c := range []struct {
		name  string
		at    plan.Place
		noted data.Place
		days  float64
		known bool
	}{
		{"the same", plan.Place{Latitude: 42, Longitude: -85, ElevationM: 200}, michigan, 0, true},
		{"a degree north", plan.Place{Latitude: 43, Longitude: -85, ElevationM: 200}, michigan, 4, true},
		{"a degree south", plan.Place{Latitude: 41, Longitude: -85, ElevationM: 200}, michigan, -4, true},
		{"400 feet up", plan.Place{Latitude: 42, Longitude: -85, ElevationM: 200 + 121.92}, michigan, 4, true},
		{"five degrees east", plan.Place{Latitude: 42, Longitude: -80, ElevationM: 200}, michigan, 4, true},
		{"all three", plan.Place{Latitude: 44, Longitude: -75, ElevationM: 200 + 2*121.92}, michigan, 8 + 8 + 8, true},
		{"east in Europe", plan.Place{Latitude: 52, Longitude: 9, ElevationM: 50}, britain, 0, true},
		{"no one continent", plan.Place{Latitude: 42, Longitude: -75, ElevationM: 200}, wide, 0, true},
		{"no one continent, two degrees north", plan.Place{Latitude: 44, Longitude: 9, ElevationM: 200}, wide, 8, true},
		// From another continent nothing is shifted but the seasons.
		{"from America to Europe", plan.Place{Latitude: 52, Longitude: -1, ElevationM: 900}, michigan, 0, false},
		{"from Europe to America", plan.Place{Latitude: 42, Longitude: -85, ElevationM: 200}, britain, 0, false},
		{"from America to Japan", plan.Place{Latitude: 36, Longitude: 138, ElevationM: 700}, michigan, 0, false},
		{"of two continents, in a third", plan.Place{Latitude: 36, Longitude: 138, ElevationM: 700}, wide, 0, false},
	} {
		if got, known := hopkinsDays(&c.at, c.noted); math.Abs(got-c.days) > 1e-9 || known != c.known {
			t.Errorf("%s: spring %g days later, known %v, want %g, %v", c.name, got, known, c.days, c.known)
		}
		if got, known := toHere(spring, c.noted, &c.at); got != spring.Shift(int(c.days)) || known != c.known {
			t.Errorf("%s: in spring %s, known %v", c.name, got.Label(), known)
		}
		if got, known := toHere(autumn, c.noted, &c.at); got != autumn.Shift(-int(c.days)) || known != c.known {
			t.Errorf("%s: in autumn %s, known %v", c.name, got.Label(), known)
		}
	}
	// Half a year: our reading.
	tasmania := &plan.Place{Latitude: -42, Longitude: 147, ElevationM: 200}
	if got, known := toHere(spring, michigan, tasmania); got != spring.Shift(182) || known {
		t.Errorf("in the other hemisphere: %s, known %v", got.Label(), known)
	}
}

// Through summer the shift passes from later to earlier, evenly, so that a window that spans it grows shorter poleward: our reading.
// What is noted first comes first at any place of the continent, and back where it was noted a window is what it was.
func TestHopkinsInSummer(t *testing.T) {
	michigan := data.Place{ID: "m", Continent: data.NorthAmerica, Latitude: 42, Longitude: -85, ElevationM: 200}
	north := &plan.Place{Latitude: 47, Longitude: -85, ElevationM: 200} // 20 days
	for _, c := range []struct{ from, to, wantFrom, wantTo string }{
		{"06-21", "09-22", "07-11", "09-02"}, // the solstice and the equinox, in full
		{"07-06", "08-06", "07-20", "08-06"}, // a sixth of summer gone, and about half
		{"12-21", "03-20", "12-01", "04-09"}, // in winter the other way
	} {
		if got, _ := toHere(window(t, c.from, c.to), michigan, north); got != window(t, c.wantFrom, c.wantTo) {
			t.Errorf("%s to %s: %s, want %s to %s", c.from, c.to, got.Label(), c.wantFrom, c.wantTo)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		from := season.Day(rapid.IntRange(1, 365).Draw(t, "from"))
		w := season.Window{From: from, To: from.Add(rapid.IntRange(0, 300).Draw(t, "days"))}
		at := &plan.Place{Latitude: rapid.Float64Range(8, 83).Draw(t, "latitude"), Longitude: -85, ElevationM: 200}
		got, known := toHere(w, michigan, at)
		if !known || !got.Given() {
			t.Fatalf("%s: %s, %v", w.Label(), got.Label(), known)
		}
		later, _ := hopkinsDays(at, michigan)
		for _, end := range [][2]season.Day{{w.From, got.From}, {w.To, got.To}} {
			off := min(end[0].DaysTo(end[1]), end[1].DaysTo(end[0]))
			if float64(off) > math.Abs(later)+1 && w.From.DaysTo(w.To) > 2*int(math.Abs(later)) {
				t.Fatalf("%s at %+v: an end moved by %d days, the law by %.1f", w.Label(), at, off, later)
			}
		}
		if long, was := got.From.DaysTo(got.To), w.From.DaysTo(w.To); long > was+2*int(math.Abs(later))+2 {
			t.Fatalf("%s at %+v: %s, longer by more than both ends can move", w.Label(), at, got.Label())
		}
	})
}
