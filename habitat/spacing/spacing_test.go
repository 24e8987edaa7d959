package spacing

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"hedgereach/data"
)

// Rows of plants per area, each with its source: plane geometry, and a nursery's chart for 100 square feet (9.290304 m²).
func TestDensityAgainstTables(t *testing.T) {
	f, err := os.Open("testdata/density.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows[1:] {
		var v [4]float64 // spacing, area, plants, tolerance
		for i := range v {
			if v[i], err = strconv.ParseFloat(r[i+1], 64); err != nil {
				t.Fatal(err)
			}
		}
		perM2, err := Density(Layout(r[0]), v[0])
		if err != nil || math.Abs(perM2*v[1]-v[2]) > v[3] {
			t.Errorf("%v: %g, %v", r, perM2*v[1], err)
		}
		if whole := float64(Count(v[1], perM2)); v[1] > 1 && whole != v[2] {
			t.Errorf("%v: %g plants", r, whole)
		}
	}
	if len(rows) != 26 {
		t.Errorf("%d rows", len(rows)-1)
	}
}

// Triangles take 15.47 % more plants than squares, 2/√3, in rows at √3/2 of the spacing.
func TestTriangles(t *testing.T) {
	a, _ := Density(Square, 0.4)
	b, _ := Density(Triangular, 0.4)
	if math.Abs(b/a-1.1547005) > 1e-6 || math.Abs(RowFactor-math.Sqrt(3)/2) > 1e-15 {
		t.Errorf("%g, %g", b/a, RowFactor)
	}
}

func TestSpacingsThatDoNotDo(t *testing.T) {
	for _, s := range []float64{0, -1, math.NaN(), math.Inf(1), 101} {
		for _, l := range Layouts {
			if d, err := Density(l, s); err == nil {
				t.Errorf("%s at %g m: %g", l, s, d)
			}
		}
	}
	if _, err := Density("hexagonal", 1); err == nil {
		t.Error("an unknown layout is taken")
	}
}

func TestCount(t *testing.T) {
	for _, c := range []struct {
		area, density float64
		want          int
	}{{10, 4, 40}, {1, 0.2, 1}, {0, 5, 0}, {-1, 5, 0}, {2.5, 1, 3}, {math.NaN(), 1, 0}, {math.Inf(1), 1, 0}} {
		if got := Count(c.area, c.density); got != c.want {
			t.Errorf("%g m² at %g: %d, want %d", c.area, c.density, got, c.want)
		}
	}
}

// By hand: 12 m² of a bed, half of it, at 30 × 45 cm takes 6/0.135 = 44.4 plants, at 45 × 60 cm 6/0.27 = 22.2.
func TestOf(t *testing.T) {
	crop := &data.Crop{InRowMinCM: 30, InRowMaxCM: 45, BetweenRowMinCM: 45, BetweenRowMaxCM: 60}
	if q, ok := Of(crop, 12, 0.5); !ok || q.Fewest != 22 || q.Most != 44 {
		t.Errorf("%+v %v", q, ok)
	}
	if _, ok := Of(&data.Crop{}, 12, 1); ok {
		t.Error("a crop without a spacing has a quantity")
	}
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, crop := range c.Crops {
		if q, ok := Of(crop, 10, 1); !ok || q.Fewest < 1 || q.Fewest > q.Most || len(q.From.Sources) == 0 {
			t.Errorf("%s: %+v %v", crop.ID, q, ok)
		}
	}
}
