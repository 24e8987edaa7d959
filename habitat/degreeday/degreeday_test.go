package degreeday

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// rows reads a file of check values by the names of its columns.
func rows(t *testing.T, file string) (out []map[string]string) {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, cells := range all[1:] {
		r := map[string]string{}
		for i, name := range all[0] {
			r[name] = cells[i]
		}
		out = append(out, r)
	}
	return out
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func model(t *testing.T, r map[string]string, u Unit) Model {
	t.Helper()
	m := Model{Method: Method(r["method"]), Cutoff: Cutoff(r["cutoff"]), Lower: number(t, r["lower"]), Unit: u}
	if r["upper"] != "" {
		m.Upper = number(t, r["upper"])
	}
	if err := m.Check(); err != nil {
		t.Fatalf("%s: %v", r["id"], err)
	}
	return m
}

// Each row names its source: Zalom and others 1983, Table 7; McMaster and Wilhelm 1997, Table 1; the University of
// Nebraska's page on western bean cutworm; and a numerical integration of the curves, made outside this program.
func TestDayAgainstPublishedTables(t *testing.T) {
	all := rows(t, "testdata/days.csv")
	if len(all) != 100 {
		t.Errorf("%d rows", len(all))
	}
	used := map[string]bool{}
	for _, r := range all {
		m := model(t, r, Unit(r["unit"]))
		next := math.NaN() // read by the double methods only
		if m.doubles() {
			next = number(t, r["next_tmin"])
		}
		got := m.Day(number(t, r["tmin"]), number(t, r["tmax"]), next)
		if want := number(t, r["degree_days"]); !(math.Abs(got-want) <= number(t, r["tolerance"])) {
			t.Errorf("%s: %g, want %g (%s)", r["id"], got, want, r["source"])
		}
		used[r["method"]+" "+r["cutoff"]] = true
	}
	for _, m := range Methods {
		if !used[string(m)+" horizontal"] && !used[string(m)+" none"] {
			t.Errorf("no row for the %s", m)
		}
	}
}

// Against the same curves integrated here by small steps, a way that shares nothing with the closed forms: all methods that
// draw a curve, with all cutoffs, also where no published row is.
func TestDayAgainstIntegration(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		m := Model{
			Method: rapid.SampledFrom([]Method{SingleSine, DoubleSine, SingleTriangle, DoubleTriangle}).Draw(r, "method"),
			Cutoff: rapid.SampledFrom(Cutoffs).Draw(r, "cutoff"), Unit: Celsius,
		}
		whole := rapid.IntRange(-20, 45)
		m.Lower = float64(rapid.IntRange(-5, 20).Draw(r, "lower"))
		m.Upper = m.Lower + float64(rapid.IntRange(1, 25).Draw(r, "upper"))
		a, b, next := float64(whole.Draw(r, "low")), float64(whole.Draw(r, "high")), float64(whole.Draw(r, "next"))
		low, high := min(a, b), max(a, b)
		if !m.doubles() {
			next = low
		}
		want := (steps(m, low, high) + steps(m, next, high)) / 2
		if got := m.Day(low, high, next); math.Abs(got-want) > 0.02 {
			r.Fatalf("%+v %g %g %g: %g, want %g", m, low, high, next, got, want)
		}
	})
}

// steps counts a curve from a to b by 4,000 small steps; never below zero.
func steps(m Model, a, b float64) float64 {
	const n = 4000
	sum := 0.0
	for i := range n {
		x := (float64(i) + 0.5) / n
		if m.Method == SingleSine || m.Method == DoubleSine {
			x = (1 - math.Cos(math.Pi*x)) / 2
		}
		t := a + x*(b-a)
		grown := max(0, t-m.Lower)
		if t > m.Upper {
			switch m.Cutoff {
			case Horizontal:
				grown = m.Upper - m.Lower
			case Intermediate:
				grown = m.Upper - m.Lower - (t - m.Upper)
			case Vertical:
				grown = 0
			}
		}
		sum += grown / n
	}
	return max(0, sum)
}

// A day counts the same on both scales.
func TestScales(t *testing.T) {
	for _, method := range Methods {
		f := Model{method, Horizontal, 50, 86, Fahrenheit}
		c := Model{method, Horizontal, 10, 30, Celsius}
		for _, d := range [][3]float64{{41, 95, 47}, {59, 104, 62}, {32, 59, 30}} {
			got := ConvertSum(f.Day(d[0], d[1], d[2]), Fahrenheit, Celsius)
			want := c.Day(Convert(d[0], Fahrenheit, Celsius), Convert(d[1], Fahrenheit, Celsius), Convert(d[2], Fahrenheit, Celsius))
			if math.Abs(got-want) > 1e-9 {
				t.Errorf("%s %v: %g and %g", method, d, got, want)
			}
		}
	}
	// fixed points of the scales
	if Convert(-40, Fahrenheit, Celsius) != -40 || Convert(100, Celsius, Fahrenheit) != 212 || Convert(7, Celsius, Celsius) != 7 {
		t.Error("a temperature is converted wrong")
	}
	if ConvertSum(180, Fahrenheit, Celsius) != 100 || ConvertSum(100, Celsius, Fahrenheit) != 180 || ConvertSum(7, Celsius, Celsius) != 7 {
		t.Error("a sum is converted wrong")
	}
}

func TestCheckNamesTheFault(t *testing.T) {
	good := Model{SingleSine, Horizontal, 10, 30, Celsius}
	if err := good.Check(); err != nil {
		t.Error(err)
	}
	for _, f := range []struct {
		change func(*Model)
		want   string
	}{
		{func(m *Model) { m.Unit = "K" }, `unit "K" is not known`},
		{func(m *Model) { m.Method = "cosine" }, `method "cosine" is not known: write one of simple average`},
		{func(m *Model) { m.Cutoff = "" }, `cutoff "" is not known`},
		{func(m *Model) { m.Lower = math.NaN() }, "no lower threshold"},
		{func(m *Model) { m.Upper = 10 }, "not above the lower one"},
		{func(m *Model) { m.Upper = math.NaN() }, "not above the lower one"},
		{func(m *Model) { m.Method, m.Cutoff = SimpleAverage, Vertical }, "has no vertical cutoff"},
	} {
		m := good
		f.change(&m)
		if err := m.Check(); err == nil || !strings.Contains(err.Error(), f.want) {
			t.Errorf("got %v, want %s", err, f.want)
		}
	}
	open := Model{SimpleAverage, None, 10, math.NaN(), Celsius}
	if err := open.Check(); err != nil || !slices.Contains(Cutoffs, open.Cutoff) {
		t.Errorf("a model without an upper threshold: %v", err)
	}
}
