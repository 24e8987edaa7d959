package sun

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"
)

// Positions, risings and settings against testdata/sun.csv: the worked example of the NREL algorithm (Reda & Andreas 2004, Solar
// Energy 76: 577–589, Table A5.1) and values that two other programs agree on; each row names its source and tolerance.
func TestPublishedValues(t *testing.T) {
	f, err := os.Open("testdata/sun.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment, r.FieldsPerRecord = '#', -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, h := range rows[0] {
		column[h] = i
	}
	kinds := map[string]int{}
	worst, worstTime := 0.0, 0.0
	for _, row := range rows[1:] {
		at := func(name string) string { return row[column[name]] }
		number := func(name string) float64 {
			v, err := strconv.ParseFloat(at(name), 64)
			if err != nil {
				t.Fatalf("%s: %v", at("id"), err)
			}
			return v
		}
		moment := func(name string) time.Time {
			v, err := time.Parse(time.RFC3339, at(name))
			if err != nil {
				t.Fatalf("%s: %v", at("id"), err)
			}
			return v
		}
		kinds[at("kind")]++
		lat, lon := number("lat"), number("lon")
		switch at("kind") {
		case "position":
			p := At(moment("utc"), lat, lon)
			up, round := math.Abs(p.Elevation-number("expected_elevation_deg")), math.Abs(p.Azimuth-number("expected_azimuth_deg"))
			worst = max(worst, up, round)
			if up > 0.01 || round > 0.01 {
				t.Errorf("%s: %.4f° high at %.4f°, off by %.4f° and %.4f°", at("id"), p.Elevation, p.Azimuth, up, round)
			}
			if got, want := 1/math.Tan(rad(p.Elevation)), number("shadow_per_height"); math.Abs(got-want) > 0.005*max(1, want*want*0.1) {
				t.Errorf("%s: shadow %.4f, want %.4f", at("id"), got, want)
			}
		case "sunrise", "sunset", "transit":
			want := moment("expected_time_utc")
			there := want.Add(time.Duration(lon / 15 * float64(time.Hour))) // the date at the place
			d := On(there.Year(), there.Month(), there.Day(), lat, lon)
			got := d.Rise
			switch at("kind") {
			case "sunset":
				got = d.Set
			case "transit":
				got = d.Noon
			}
			if strings.HasPrefix(at("tolerance"), "5 ") && math.Abs(got.Sub(want).Seconds()) > 5 {
				t.Errorf("%s at %s, want %s within 5 s", at("id"), got.Format(time.RFC3339), want.Format(time.RFC3339))
			}
			off := math.Abs(got.Sub(want).Seconds())
			worstTime = max(worstTime, off)
			if off > 60 {
				t.Errorf("%s at %s, want %s", at("id"), got.Format(time.RFC3339), want.Format(time.RFC3339))
			}
		default:
			t.Errorf("%s: kind %q", at("id"), at("kind"))
		}
	}
	if kinds["position"] < 15 || kinds["sunrise"] < 15 {
		t.Errorf("too few rows: %v", kinds)
	}
	t.Logf("worst %.4f° and %.1f s over %v", worst, worstTime, kinds)
}

// At noon of the solstices the sun is 90° less the latitude, and 23.44° more or less, high (closed form); it stands south of a
// northern garden and north of a southern one.
func TestNoonAtTheSolstices(t *testing.T) {
	for _, lat := range []float64{-55, -43.6, -30, 30, 44.5, 59.9} {
		for month, tilt := range map[time.Month]float64{time.June: 23.44, time.December: -23.44} {
			d := On(2026, month, 21, lat, 11)
			if want := 90 - math.Abs(lat-tilt); math.Abs(d.Highest-want) > 0.02 {
				t.Errorf("%g° in %s: %.3f°, want %.3f°", lat, month, d.Highest, want)
			}
			if p := At(d.Noon, lat, 11); math.Abs(math.Cos(rad(p.Azimuth))+math.Copysign(1, lat)) > 1e-3 {
				t.Errorf("%g° in %s: at noon the sun stands at %.2f°", lat, month, p.Azimuth)
			}
		}
	}
}

// Beyond the polar circles the sun stays up in summer and down in winter; at the poles, too, nothing is no number.
func TestPolarDays(t *testing.T) {
	for _, lat := range []float64{70, 90, -70, -90} {
		june, december := On(2026, time.June, 21, lat, 20), On(2026, time.December, 21, lat, 20)
		if lat < 0 {
			june, december = december, june
		}
		if !june.NeverSets || june.NeverRises || june.Length() != 24*time.Hour || len(june.Path(lat, 20, 24)) != 25 {
			t.Errorf("%g°: the summer's day is %+v", lat, june)
		}
		if !december.NeverRises || december.Length() != 0 || december.Path(lat, 20, 24) != nil {
			t.Errorf("%g°: the winter's day is %+v", lat, december)
		}
		for _, p := range june.Path(lat, 20, 48) {
			if p.Elevation < horizon || math.IsNaN(p.Azimuth) {
				t.Errorf("%g°: the sun stands at %+v", lat, p)
			}
		}
	}
}

// A path begins in the east and ends in the west, at the horizon, and is highest in the middle.
func TestPath(t *testing.T) {
	d := On(2026, time.June, 21, 44, -72.5)
	p := d.Path(44, -72.5, 30)
	first, last := p[0], p[len(p)-1]
	if math.Abs(first.Elevation-horizon) > 0.01 || math.Abs(last.Elevation-horizon) > 0.01 || first.Azimuth > 90 || last.Azimuth < 270 ||
		math.Abs(p[15].Elevation-d.Highest) > 0.2 {
		t.Errorf("from %+v over %+v to %+v", first, p[15], last)
	}
}
