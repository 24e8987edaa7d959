package geodesy

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// testdata/geodesy.csv holds geodesics by GeographicLib (C. F. F. Karney, Algorithms for geodesics, Journal of Geodesy
// 87, 2013, doi 10.1007/s00190-012-0578-z) and printed lengths of degrees. Those of some kilometres or less hold for a
// plan.
func TestAgainstGeodesics(t *testing.T) {
	f, err := os.Open("testdata/geodesy.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	tried := 0
	for _, row := range rows[1:] {
		v := make([]float64, 5)
		for i, text := range []string{row[1], row[2], row[3], row[4], row[6]} {
			if v[i], err = strconv.ParseFloat(text, 64); err != nil {
				t.Fatal(err)
			}
		}
		lat1, lon1, lat2, lon2, want := v[0], v[1], v[2], v[3], v[4]
		if row[5] != "WGS84" || want > 2000 {
			continue
		}
		tried++
		// With the origin at the line's start, at its end, and half a kilometre aside, whichever way the plane is turned.
		for _, origin := range [][2]float64{{lat1, lon1}, {lat2, lon2}, {lat1 + 0.0045, lon1 - 0.006}} {
			for _, north := range []float64{0, 30, -100} {
				l, err := At(origin[0], origin[1], north)
				if err != nil {
					t.Fatal(err)
				}
				a, b := l.Metres(orb.Point{lon1, lat1}), l.Metres(orb.Point{lon2, lat2})
				if got := math.Hypot(b[0]-a[0], b[1]-a[1]); math.Abs(got-want) > 0.001 {
					t.Errorf("%s from origin %v: %.4f m, want %v (%s)", row[0], origin, got, want, row[10])
				}
				azimuth, err := strconv.ParseFloat(row[7], 64)
				if err != nil {
					t.Fatal(err)
				}
				if origin == [2]float64{lat1, lon1} {
					got := math.Atan2(b[0]-a[0], b[1]-a[1])/degree - north
					if d := math.Remainder(got-azimuth, 360); math.Abs(d) > 1e-4 {
						t.Errorf("%s: azimuth %v, want %v", row[0], got, azimuth)
					}
				}
			}
		}
	}
	if tried < 5 {
		t.Errorf("only %d lines were tried", tried)
	}
}

// The lengths of degrees in the table are longer than a plan, but a thousandth of each must come out as a thousandth.
func TestDegreeLengths(t *testing.T) {
	f, err := os.Open("testdata/geodesy.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	tried := 0
	for _, row := range rows[1:] {
		name, of, found := strings.Cut(row[0], "length of 1 degree of ")
		if !found || name != "" {
			continue
		}
		kind, at, _ := strings.Cut(of, " at ")
		lat, err := strconv.ParseFloat(at, 64)
		if err != nil {
			t.Fatal(err)
		}
		want, err := strconv.ParseFloat(row[6], 64)
		if err != nil {
			t.Fatal(err)
		}
		tried++
		if lat > highest { // no plan lies there; the meridian's length goes on to the pole
			if got := 2 * meridianArc((lat-0.5)*degree, lat*degree); math.Abs(got-want) > 1 {
				t.Errorf("%s: %.1f m, want %v (%s)", row[0], got, want, row[10])
			}
			continue
		}
		l, err := At(lat, 0, 0)
		if err != nil {
			t.Fatal(err)
		}
		const half = 0.0005 // degrees
		a, b := orb.Point{-half, lat}, orb.Point{half, lat}
		if kind == "latitude" {
			a, b = orb.Point{0, lat - half}, orb.Point{0, lat + half}
		}
		a, b = l.Metres(a), l.Metres(b)
		// The printed lengths are to a metre; a degree of latitude is not quite a thousand thousandths.
		if got := 1000 * math.Hypot(b[0]-a[0], b[1]-a[1]); math.Abs(got-want) > 1 {
			t.Errorf("%s: %.1f m, want %v (%s)", row[0], got, want, row[10])
		}
	}
	if tried != 9 {
		t.Errorf("%d lengths were tried, want 9", tried)
	}
}

// The table's lines longer than a plan, walked in short straight steps, each on a plane of its own, and the bearing taken on from
// step to step: a geodesic is the line that goes straight on. GRS 80 and WGS 84 differ by a tenth of a millimetre at the pole.
func TestLongLinesAddUp(t *testing.T) {
	f, err := os.Open("testdata/geodesy.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	tried := 0
	for _, row := range rows[1:] {
		var v [7]float64
		for i := range v {
			if text := row[[]int{1, 2, 3, 4, 6, 7, 8}[i]]; text != "" {
				if v[i], err = strconv.ParseFloat(text, 64); err != nil {
					t.Fatal(err)
				}
			}
		}
		want, bearing, last := v[4], v[5], v[6]
		if row[7] == "" || want <= 2000 {
			continue
		}
		tried++
		at, end := orb.Point{v[1], v[0]}, orb.Point{v[3], v[2]}
		const steps = 400
		var l Local
		for range steps {
			if l, err = At(at[1], at[0], 0); err != nil {
				t.Fatal(err)
			}
			sin, cos := math.Sincos(bearing * degree)
			next := l.Degrees(orb.Point{want / steps * sin, want / steps * cos})
			if l, err = At(next[1], next[0], 0); err != nil {
				t.Fatal(err)
			}
			back := l.Metres(at)
			at, bearing = next, math.Atan2(-back[0], -back[1])/degree
		}
		if off := l.Metres(end); math.Hypot(off[0], off[1]) > 0.02 { // bearings in the table are to a hundred-thousandth of a degree or so
			t.Errorf("%s: the walk ends %v m from the end", row[0], off)
		} else if along := off[0]*math.Sin(bearing*degree) + off[1]*math.Cos(bearing*degree); math.Abs(along) > 0.001 {
			t.Errorf("%s: the walk is %v m too short (%s)", row[0], along, row[10])
		}
		if d := math.Remainder(bearing-last, 360); math.Abs(d) > 1e-4 {
			t.Errorf("%s: it ends with the bearing %v, want %v", row[0], bearing, last)
		}
	}
	if tried != 3 {
		t.Errorf("%d lines were walked, want 3", tried)
	}
}

// What the drawing shows comes back as it was: to 1e-9 degrees, a tenth of a millimetre, over 10 km and at every latitude.
func TestThereAndBack(t *testing.T) {
	for _, lat := range []float64{-88, -43.6, 0, 12, 51.5, 70, 88} {
		for _, lon := range []float64{-180, -72.5, 0, 179.999, 180} {
			for _, north := range []float64{0, 33, 180, -720.5} {
				l, err := At(lat, lon, north)
				if err != nil {
					t.Fatal(err)
				}
				for x := -10_000.0; x <= 10_000; x += 2500 {
					for y := -10_000.0; y <= 10_000; y += 2500 {
						at := l.Degrees(orb.Point{x, y})
						back := l.Metres(at)
						if math.Hypot(back[0]-x, back[1]-y) > 1e-6 {
							t.Fatalf("origin %v, %v turned %v: %v, %v m went to %v and back to %v", lat, lon, north, x, y, at, back)
						}
						again := l.Degrees(back)
						if math.Abs(again[1]-at[1]) > 1e-9 || math.Abs(math.Remainder(again[0]-at[0], 360)) > 1e-9 {
							t.Fatalf("%v came back as %v", at, again)
						}
						if !(math.Abs(at[0]) <= 180) {
							t.Fatalf("longitude %v", at[0])
						}
					}
				}
			}
		}
	}
}

func TestNorth(t *testing.T) {
	// North 90° clockwise from the plane's y axis is its x axis.
	l, err := At(45, 9, 90)
	if err != nil {
		t.Fatal(err)
	}
	if p := l.Metres(orb.Point{9, 45.001}); math.Abs(p[0]-111.1) > 0.1 || math.Abs(p[1]) > 1e-6 {
		t.Errorf("north is at %v", p)
	}
	if p := l.Metres(orb.Point{9, 45}); math.Hypot(p[0], p[1]) > 1e-9 {
		t.Errorf("the origin is at %v", p)
	}
	// A site astride the date line stays in one piece.
	l, err = At(-16.8, 179.9999, 0)
	if err != nil {
		t.Fatal(err)
	}
	if p := l.Metres(orb.Point{-179.9999, -16.8}); math.Abs(p[0]-21.3) > 0.1 {
		t.Errorf("over the date line: %v", p)
	}
}

func TestBadOrigins(t *testing.T) {
	for _, c := range [][3]float64{
		{91, 0, 0}, {-90.1, 0, 0}, {math.NaN(), 0, 0}, {math.Inf(1), 0, 0}, {90, 0, 0}, {0, 361, 0}, {0, math.NaN(), 0},
		{0, math.Inf(-1), 0}, {0, 0, math.NaN()}, {0, 0, math.Inf(1)},
	} {
		if _, err := At(c[0], c[1], c[2]); err == nil {
			t.Errorf("%v: no error", c)
		}
	}
}
