package length

import (
	"math"
	"strings"
	"testing"
)

// The foot is 0.3048 m and the inch 0.0254 m exactly (NIST Special Publication 811, appendix B.6).
func TestParse(t *testing.T) {
	for _, c := range []struct {
		text   string
		metric float64
		us     float64
	}{
		{"1.2 m", 1.2, 1.2}, {"1.2", 1.2, 0.36576}, {"1,2 m", 1.2, 1.2}, {" 1.2m ", 1.2, 1.2}, {"1.2 M", 1.2, 1.2},
		{"120 cm", 1.2, 1.2}, {"1200mm", 1.2, 1.2}, {"0.5 km", 500, 500}, {"1 m 20 cm", 1.2, 1.2}, {"2 metres", 2, 2},
		{"4'", 1.2192, 1.2192}, {"4 ft", 1.2192, 1.2192}, {"4 feet", 1.2192, 1.2192}, {"4 ft.", 1.2192, 1.2192},
		{"4 ft 6 in", 1.3716, 1.3716}, {`4'6"`, 1.3716, 1.3716}, {`4' 6"`, 1.3716, 1.3716}, {"4ft6in", 1.3716, 1.3716},
		{"4'6", 1.3716, 1.3716}, {"4-6", -1, -1}, {`4'-6"`, 1.3716, 1.3716}, {"4 ft, 6 in", 1.3716, 1.3716},
		{`4' 6 1/2"`, 1.3843, 1.3843}, {`4' 6-1/2"`, 1.3843, 1.3843}, {`4' 6½"`, 1.3843, 1.3843}, {"4 ft 6 1/2 in", 1.3843, 1.3843},
		{"54 in", 1.3716, 1.3716}, {"54 inches", 1.3716, 1.3716}, {`54"`, 1.3716, 1.3716}, {"54''", 1.3716, 1.3716},
		{"4′ 6″", 1.3716, 1.3716}, {"4’ 6”", 1.3716, 1.3716}, {"4‘ 6“", 1.3716, 1.3716}, {"4’ 6’’", 1.3716, 1.3716},
		{"4\u00a0ft\u202f6\u00a0in", 1.3716, 1.3716}, {"1/2 m", 0.5, 0.5}, {"1 1/2 m", 1.5, 1.5}, {"1½", 1.5, 0.4572},
		{"2 yd 1 ft", 2.1336, 2.1336}, {"0", 0, 0}, {"0 m", 0, 0}, {".5 m", 0.5, 0.5}, {"5. m", 5, 5}, {"100 km", 100000, 100000},

		{"", -1, -1}, {"   ", -1, -1}, {"m", -1, -1}, {"abc", -1, -1}, {"1.2 x", -1, -1}, {"1.2 mi", -1, -1}, {"1 2 m", -1, -1},
		{"-1 m", -1, -1}, {"−1 m", -1, -1}, {"NaN", -1, -1}, {"inf", -1, -1}, {"1e3 m", -1, -1}, {"0x10 m", -1, -1},
		{"1.2.3 m", -1, -1}, {"1,234.5 m", -1, -1}, {"6 in 4 ft", -1, -1}, {"4 ft 4 ft", -1, -1}, {"1/0 m", -1, -1}, {"1/ m", -1, -1},
		{"101 km", -1, -1}, {"100000.1 m", -1, -1}, {"1 m²", -1, -1}, {"1 m 2", -1, -1}, {"1 ft 2 3", -1, -1}, {"1 $", -1, -1},
		{"9" + strings.Repeat("0", 400), -1, -1}, {strings.Repeat("9", 90) + " m", -1, -1}, {"1\x00m", -1, -1},
	} {
		for sys, want := range map[System]float64{Metric: c.metric, US: c.us} {
			got, err := Parse(c.text, sys)
			switch {
			case want < 0 && err == nil:
				t.Errorf("%q: %v, want an error", c.text, got)
			case want >= 0 && err != nil:
				t.Errorf("%q: %v", c.text, err)
			case want >= 0 && math.Abs(got-want) > 1e-12*max(1, want):
				t.Errorf("%q in %v: %v, want %v", c.text, sys, got, want)
			}
			if err != nil && (strings.Contains(err.Error(), "\n") || len(err.Error()) > 160) {
				t.Errorf("%q: the error is not one short line: %q", c.text, err)
			}
		}
	}
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		metres     float64
		metric, us string
	}{
		{0, "0.00 m", "0 in"}, {12.4, "12.40 m", "40 ft 8 in"}, {124, "124 m", "406 ft 10 in"}, {1.2192, "1.22 m", "4 ft"},
		{99.994, "99.99 m", "328 ft 1 in"}, {99.996, "100 m", "328 ft 1 in"}, {0.3, "0.30 m", "1 ft"}, {0.29, "0.29 m", "11 in"},
		{1000, "1000 m", "3281 ft"}, {-2, "−2.00 m", "−6 ft 7 in"}, {math.NaN(), "–", "–"}, {math.Inf(1), "–", "–"},
	} {
		if got := Format(c.metres, Metric); got != c.metric {
			t.Errorf("%v m: %q, want %q", c.metres, got, c.metric)
		}
		if got := Format(c.metres, US); got != c.us {
			t.Errorf("%v m in US: %q, want %q", c.metres, got, c.us)
		}
	}
	for _, c := range []struct {
		m2         float64
		metric, us string
	}{
		{0, "0.0 m²", "0.0 sq ft"}, {38.2, "38.2 m²", "411 sq ft"}, {412.3, "412 m²", "4438 sq ft"}, {99.96, "100 m²", "1076 sq ft"},
		{12500, "1.25 ha", "3.09 acres"}, {0.5, "0.5 m²", "5.4 sq ft"}, {-3, "−3.0 m²", "−32 sq ft"}, {math.NaN(), "–", "–"},
	} {
		if got := FormatArea(c.m2, Metric); got != c.metric {
			t.Errorf("%v m²: %q, want %q", c.m2, got, c.metric)
		}
		if got := FormatArea(c.m2, US); got != c.us {
			t.Errorf("%v m² in US: %q, want %q", c.m2, got, c.us)
		}
	}
}

// What Format writes Parse reads, to the last digit shown.
func TestFormatParses(t *testing.T) {
	for metres := 0.0; metres < 2000; metres = metres*1.07 + 0.013 {
		for sys, digit := range map[System]float64{Metric: 0.005, US: 0.0127} {
			if metres >= 100 && sys == Metric {
				digit = 0.5
			}
			if metres >= 300 && sys == US {
				digit = 0.1524
			}
			text := Format(metres, sys)
			back, err := Parse(text, sys)
			if err != nil || math.Abs(back-metres) > digit*(1+1e-9) {
				t.Errorf("%v m is written %q and read %v, %v", metres, text, back, err)
			}
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"1.2 m", "4' 6 1/2\"", "1,2", "½", "4‘ 6“", "1/0", "\xff", "9 ft 9", "-"} {
		f.Add(s, true)
	}
	f.Fuzz(func(t *testing.T, s string, us bool) {
		sys := Metric
		if us {
			sys = US
		}
		m, err := Parse(s, sys)
		if err == nil && !(m >= 0 && m <= Longest) {
			t.Errorf("%q: %v", s, m)
		}
		if err != nil && strings.ContainsAny(err.Error(), "\n\r") {
			t.Errorf("%q: %q", s, err)
		}
	})
}

func TestParseSigned(t *testing.T) {
	for _, c := range []struct {
		text string
		sys  System
		want float64
	}{
		{"-3 m", Metric, -3}, {"−3.00 m", Metric, -3}, {"– 3", Metric, -3}, {"12.5", Metric, 12.5}, {"-4 ft 6 in", US, -1.3716}, {"-0", US, 0},
	} {
		if got, err := ParseSigned(c.text, c.sys); err != nil || math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%q = %v, %v, want %v", c.text, got, err, c.want)
		}
	}
	for _, m := range []float64{-28.25, -0.5, 0, 3.25, 99} {
		for _, sys := range []System{Metric, US} {
			// US shows whole inches, 0.0254 m; metric centimetres.
			if got, err := ParseSigned(Format(m, sys), sys); err != nil || math.Abs(got-m) > 0.0254/2+1e-9 {
				t.Errorf("%v shown and read again is %v, %v", m, got, err)
			}
		}
	}
	for _, bad := range []string{"--3", "-", "- m"} {
		if _, err := ParseSigned(bad, Metric); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
}

func TestFormatRange(t *testing.T) {
	for _, c := range []struct {
		metres float64
		sys    System
		want   string
	}{
		{7.5, Metric, "7.5 m"}, {60, Metric, "60 m"}, {9, Metric, "9 m"}, {12.5, Metric, "12.5 m"}, {60.96, Metric, "61 m"},
		{0.3048, US, "1 ft"}, {1, US, "3.3 ft"}, {60, US, "197 ft"}, {7.5, US, "25 ft"},
	} {
		if got := FormatRange(c.metres, c.sys); got != c.want {
			t.Errorf("%v m: %q, want %q", c.metres, got, c.want)
		}
	}
}
