package degreeday

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
	"time"
)

func float(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestRead(t *testing.T) {
	for _, c := range []struct {
		what, text string
		unit       Unit
		want       string
	}{
		{"plain", "date,tmin_c,tmax_c\n2026-04-01,2.5,11\n2026-04-02,-3,8\n", "", "°C 2026-04-01 2.5 11|2026-04-02 -3 8"},
		{"any order, other columns", "STATION,TMAX,PRCP,DATE,TMIN\nX,52,0.1,2026-04-01,36\n", Fahrenheit, "°F 2026-04-01 36 52"},
		{"scale in brackets", "Date;Tmin (°F);Tmax (°F)\n2026-04-01;36;52\n", "", "°F 2026-04-01 36 52"},
		{"scale said twice", "date,tmin [c],tmax [c]\n2026-04-01,1,2\n", Celsius, "°C 2026-04-01 1 2"},
		{"decimal comma", "date;tmin;tmax\n2026-04-01;2,5;11,0\n", Celsius, "°C 2026-04-01 2.5 11"},
		{"tabs", "date\ttmin\ttmax\n2026-04-01\t2,5\t11\n", Celsius, "°C 2026-04-01 2.5 11"},
		{"days missing", "date,tmin,tmax\n2026-04-01,1,9\n2026-04-02,,9\n2026-04-03,NA,m\n2026-04-05,1,9\n", Celsius,
			"°C 2026-04-01 1 9|2026-04-05 1 9"},
		{"newest first", "date,tmin,tmax\n2026-04-02,2,9\n2026-04-01,1,9\n", Celsius, "°C 2026-04-01 1 9|2026-04-02 2 9"},
		{"byte order mark, CRLF", "\ufeffdate,tmin_c,tmax_c\r\n2026-04-01,1,9\r\n", "", "°C 2026-04-01 1 9"},
		{"leap day", "date,tmin,tmax\n2024-02-29,1,9\n", Celsius, "°C 2024-02-29 1 9"},
	} {
		r, err := Read(strings.NewReader(c.text), "station.csv", c.unit)
		if err != nil {
			t.Errorf("%s: %v", c.what, err)
			continue
		}
		var days []string
		for _, d := range r.Readings {
			days = append(days, fmt.Sprintf("%s %g %g", iso(d.Date), d.Low, d.High))
		}
		if got := string(r.Unit) + " " + strings.Join(days, "|"); got != c.want {
			t.Errorf("%s: got %s, want %s", c.what, got, c.want)
		}
	}
}

func TestReadNamesTheFault(t *testing.T) {
	for _, c := range []struct {
		text string
		unit Unit
		want string
	}{
		{"", Celsius, "station.csv: empty: give a file whose first line"},
		{"date,tmin\n", Celsius, "station.csv:1: column tmax is missing: name the columns"},
		{"day,tmin,tmax\n", Celsius, "station.csv:1: column date is missing"},
		{"date,tmin,tmax,TMIN\n", Celsius, "station.csv:1: column tmin stands there twice"},
		{"date,tmin,tmax\n2026-04-01,1,2\n", "", "station.csv:1: the scale is not given: write tmin_c"},
		{"date,tmin_c,tmax_f\n", "", "do not name the same scale"},
		{"date,tmin_c,tmax_c\n", Fahrenheit, "the columns are in °C, not in °F"},
		{"date,tmin,tmax\n", Celsius, "station.csv: no day with both temperatures"},
		{"date,tmin,tmax\n1/4/2026,1,2\n", Celsius, `station.csv:2: date "1/4/2026" does not read: write year-month-day, like 2026-04-16`},
		{"date,tmin,tmax\n2026-02-29,1,2\n", Celsius, `station.csv:2: date "2026-02-29" does not read`},
		{"date,tmin,tmax\n2026-04-01,1,2\n2026-04-01,1,2\n", Celsius, "station.csv:3: 2026-04-01 stands in line 2 too: keep one station"},
		{"date,tmin,tmax\n2026-04-01,cold,2\n", Celsius, `station.csv:2: tmin "cold" is not a number`},
		{"date,tmin,tmax\n2026-04-01,1,NaN\n", Celsius, `tmax "NaN" is not a temperature from -90 to 60 °C`},
		{"date,tmin,tmax\n2026-04-01,41,68\n", Celsius, `tmax "68" is not a temperature from -90 to 60 °C: correct it, leave it empty`},
		{"date,tmin,tmax\n2026-04-01,-9999,68\n", Fahrenheit, `tmin "-9999" is not a temperature from -130 to 140 °F`},
		{"date,tmin,tmax\n2026-04-01,9,2\n", Celsius, "station.csv:2: tmin, 9, is above tmax, 2: put the two the right way round"},
		{"date,tmin,tmax\n2026-04-01,9\n", Celsius, "station.csv:2: fewer columns than the first line names"},
		{"date,tmin,tmax\n2026-04-01,\"9,2\n", Celsius, "mend the separators and quotes of that line"},
		{"date,tmin,tmax\n2026-04-01," + strings.Repeat("9x", 100) + ",2\n", Celsius, "…\" is not a number"},
		{"date,tmin,tmax\n" + strings.Repeat("\n", MaxBytes), Celsius, "station.csv: larger than 8 MB"},
	} {
		_, err := Read(strings.NewReader(c.text), "station.csv", c.unit)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v, want %s", err, c.want)
		}
		if err != nil && (strings.ContainsAny(err.Error(), "\n\r") || len(err.Error()) > 250) {
			t.Errorf("not one short line: %q", err)
		}
	}
}

func TestReadLimitsRows(t *testing.T) {
	var b strings.Builder
	b.WriteString("date,tmin,tmax\n")
	d := time.Date(1800, 1, 1, 0, 0, 0, 0, time.UTC)
	for range MaxRows + 1 {
		fmt.Fprintf(&b, "%s,1,2\n", iso(d))
		d = d.AddDate(0, 0, 1)
	}
	_, err := Read(strings.NewReader(b.String()), "long.csv", Celsius)
	if err == nil || !strings.Contains(err.Error(), "long.csv:40002: more than 40000 days") {
		t.Errorf("got %v", err)
	}
}

// Whatever is read comes in order, each day once, within the limits; anything else is refused in one line, without a panic.
func FuzzRead(f *testing.F) {
	for _, s := range []string{"date,tmin_c,tmax_c\n2026-04-01,2.5,11\n2026-04-05,-3,8\n", "date;tmin;tmax\n2026-04-01;2,5;11,0\n",
		"date,tmin,tmax\n2026-04-01,\"9,2\n", "\ufeff", "date,tmin_f,tmax_f\n0000-01-01,1e300,0x1p-2\n", "\"\n\",tmin,tmax\n"} {
		f.Add(s, true)
		f.Add(s, false)
	}
	m := Model{DoubleSine, Intermediate, 10, 30, Celsius}
	f.Fuzz(func(t *testing.T, text string, said bool) {
		unit := Celsius
		if !said {
			unit = ""
		}
		r, err := Read(strings.NewReader(text), "f", unit)
		if err != nil {
			if strings.ContainsAny(err.Error(), "\n\r") {
				t.Fatalf("more than one line: %q", err)
			}
			return
		}
		c := r.In(Celsius)
		for i, d := range c.Readings {
			if i > 0 && !c.Readings[i-1].Date.Before(d.Date) {
				t.Fatalf("%s comes after %s", iso(d.Date), iso(c.Readings[i-1].Date))
			}
			if !(d.Low <= d.High && d.Low > lowestC-1e-6 && d.High < highestC+1e-6) {
				t.Fatalf("%+v", d)
			}
		}
		s, err := m.Add(r, r.Readings[0].Date)
		if err != nil {
			t.Fatal(err)
		}
		before := 0.0
		for _, d := range s.Days {
			if !(d.Total >= before) {
				t.Fatalf("the sum falls to %g", d.Total)
			}
			before = d.Total
		}
	})
}
