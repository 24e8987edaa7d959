// Package length reads and writes lengths and areas as people do: "1.2 m", "4'", "4 ft 6 in", "120 cm". Inside the program
// everything is metres.
package length

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// A System is what a bare number means and how lengths are shown.
type System int

// The two systems.
const (
	Metric System = iota
	US            // feet and inches
)

// The international foot and inch, exact since 1959 (NIST Special Publication 811, appendix B.6).
const (
	foot = 0.3048
	inch = 0.0254
	// Longest is the greatest length that Parse takes, in metres.
	Longest = 100_000.0
)

// Metres in each unit, by how people write it.
var units = map[string]float64{
	"m": 1, "metre": 1, "metres": 1, "meter": 1, "meters": 1,
	"cm": 0.01, "centimetre": 0.01, "centimetres": 0.01, "centimeter": 0.01, "centimeters": 0.01,
	"mm": 0.001, "millimetre": 0.001, "millimetres": 0.001, "millimeter": 0.001, "millimeters": 0.001,
	"km": 1000, "kilometre": 1000, "kilometres": 1000, "kilometer": 1000, "kilometers": 1000,
	"'": foot, "ft": foot, "foot": foot, "feet": foot,
	`"`: inch, "in": inch, "inch": inch, "inches": inch,
	"yd": 3 * foot, "yard": 3 * foot, "yards": 3 * foot,
}

// Marks that stand for ' and ", and spaces and fractions that keyboards and word processors put in.
var plain = strings.NewReplacer(
	"''", `"`, "‘‘", `"`, "’’", `"`, "′′", `"`, // two marks before one
	"’", "'", "‘", "'", "′", "'", "´", "'", "`", "'", "ʹ", "'",
	"”", `"`, "“", `"`, "″", `"`, "ʺ", `"`,
	"\u00a0", " ", "\u202f", " ", "\u2009", " ", "\t", " ", "⁄", "/",
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
)

// Parse reads a length with or without a unit; a bare number is metres in Metric and feet in US. A comma may stand for
// the decimal point ("1,2 m"), inches may carry a fraction (4' 6 1/2"), and parts add up, each smaller than the one
// before ("4 ft 6 in", "1 m 20 cm"); a bare number after feet is inches. The answer is from 0 to 100 km.
func Parse(s string, sys System) (metres float64, err error) {
	if len(s) > 100 {
		return 0, errors.New("this length is too long to read: write it like 1.2 m or 4 ft 6 in")
	}
	rest := strings.ToLower(strings.TrimSpace(plain.Replace(s)))
	if rest == "" {
		return 0, errors.New("no length given: write it like 1.2 m or 4 ft 6 in")
	}
	last := math.Inf(1) // the unit of the part before
	for parts := 0; rest != ""; parts++ {
		value, after, ok := number(rest)
		if !ok {
			return 0, fmt.Errorf("%q is not a length: write it like 1.2 m or 4 ft 6 in", clip(s))
		}
		word, after := unitWord(after)
		unit := units[word]
		switch {
		case word == "" && parts == 0 && after == "" && sys == US:
			unit = foot
		case word == "" && parts == 0 && after == "":
			unit = 1
		case word == "" && last == foot && after == "":
			unit = inch
		case word == "":
			return 0, fmt.Errorf("%q: say the unit of each part, like 4 ft 6 in", clip(s))
		case unit == 0:
			return 0, fmt.Errorf("%q is not a unit of length: use m, cm, mm, ft or in", clip(word))
		case unit >= last:
			return 0, fmt.Errorf("%q: write the larger unit first, like 4 ft 6 in", clip(s))
		}
		metres += value * unit
		last, rest = unit, after
	}
	if metres > Longest {
		return 0, fmt.Errorf("%q is longer than 100 km", clip(s))
	}
	return metres, nil
}

// ParseSigned is Parse for what may be negative, such as an elevation: "-3 m", "−3.00 m" as Format writes it.
func ParseSigned(s string, sys System) (metres float64, err error) {
	s = strings.TrimSpace(s)
	for _, minus := range []string{"-", "−", "–"} {
		if rest, negative := strings.CutPrefix(s, minus); negative {
			m, err := Parse(rest, sys)
			return 0 - m, err // no negative zero
		}
	}
	return Parse(s, sys)
}

// number takes a number off the front: digits with one point or comma, or whole and fraction ("6 1/2", "1/2").
func number(s string) (value float64, rest string, ok bool) {
	value, rest, ok = decimal(s)
	if !ok {
		return 0, s, false
	}
	if top, isTop := strings.CutPrefix(rest, "/"); isTop { // the number was the top of a fraction
		bottom, after, ok := decimal(top)
		if !ok || bottom == 0 {
			return 0, s, false
		}
		return value / bottom, strings.TrimLeft(after, " "), true
	}
	rest = strings.TrimLeft(rest, " -") // 6-1/2
	if top, after, isNumber := decimal(rest); isNumber {
		if under, isFraction := strings.CutPrefix(after, "/"); isFraction {
			bottom, after, ok := decimal(under)
			if !ok || bottom == 0 {
				return 0, s, false
			}
			return value + top/bottom, strings.TrimLeft(after, " "), true
		}
	}
	return value, rest, true
}

func decimal(s string) (value float64, rest string, ok bool) {
	end, digits, points := 0, 0, 0
	for end < len(s) {
		switch c := s[end]; {
		case c >= '0' && c <= '9':
			digits++
		case c == '.' || c == ',':
			points++
		default:
			goto done
		}
		end++
	}
done:
	if digits == 0 || points > 1 {
		return 0, s, false
	}
	value, err := strconv.ParseFloat(strings.Replace(s[:end], ",", ".", 1), 64)
	return value, s[end:], err == nil
}

// unitWord takes a unit off the front: a mark, or letters with perhaps a full stop.
func unitWord(s string) (word, rest string) {
	if s != "" && (s[0] == '\'' || s[0] == '"') {
		return s[:1], strings.TrimLeft(s[1:], " -")
	}
	end := strings.IndexFunc(s, func(r rune) bool { return !unicode.IsLetter(r) })
	if end < 0 {
		end = len(s)
	}
	if end == 0 && s != "" && (s[0] < '0' || s[0] > '9') { // a sign that is no unit; show it in the error
		end = len(s)
	}
	rest = strings.TrimPrefix(s[end:], ".")
	return s[:end], strings.TrimLeft(rest, " ,-")
}

func clip(s string) string {
	s = strings.Map(func(r rune) rune {
		if unicode.IsPrint(r) {
			return r
		}
		return -1
	}, s)
	if r := []rune(s); len(r) > 30 {
		return string(r[:30]) + "…"
	}
	return s
}

// Format writes a length for people: "12.40 m" under 100 m, "124 m" above; "40 ft 8 in" in US, feet alone from 1000 ft.
func Format(metres float64, sys System) string {
	switch {
	case math.IsNaN(metres) || math.IsInf(metres, 0):
		return "–"
	case metres < 0:
		return "−" + Format(-metres, sys)
	case sys == US:
		inches := math.Round(metres / inch)
		switch feet := math.Floor(inches / 12); {
		case feet >= 1000:
			return fmt.Sprintf("%.0f ft", math.Round(metres/foot))
		case feet == 0:
			return fmt.Sprintf("%.0f in", inches)
		case inches == feet*12:
			return fmt.Sprintf("%.0f ft", feet)
		default:
			return fmt.Sprintf("%.0f ft %.0f in", feet, inches-feet*12)
		}
	case metres < 99.995:
		return fmt.Sprintf("%.2f m", metres)
	}
	return fmt.Sprintf("%.0f m", metres)
}

// FormatRange writes how far something works, no finer than such distances are known: to a tenth where that matters, "7.5 m", "60 m";
// in US whole feet from ten, "197 ft".
func FormatRange(metres float64, sys System) string {
	v, unit, fine := metres, " m", true
	if sys == US {
		v, unit = metres/foot, " ft"
		fine = math.Abs(v) < 9.95
	}
	if fine {
		return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) + unit
	}
	return strconv.FormatFloat(v, 'f', 0, 64) + unit
}

// FormatArea writes an area for people: "38.2 m²", "412 m²", from a hectare "1.25 ha"; "411 sq ft" in US, from an acre "1.20
// acres".
func FormatArea(m2 float64, sys System) string {
	const acre = 43560 * foot * foot
	switch {
	case math.IsNaN(m2) || math.IsInf(m2, 0):
		return "–"
	case m2 < 0:
		return "−" + FormatArea(-m2, sys)
	case sys == US && m2 >= acre:
		return fmt.Sprintf("%.2f acres", m2/acre)
	case sys == US && m2 < 10*foot*foot:
		return fmt.Sprintf("%.1f sq ft", m2/(foot*foot))
	case sys == US:
		return fmt.Sprintf("%.0f sq ft", m2/(foot*foot))
	case m2 >= 10_000:
		return fmt.Sprintf("%.2f ha", m2/10_000)
	case m2 >= 99.95:
		return fmt.Sprintf("%.0f m²", m2)
	}
	return fmt.Sprintf("%.1f m²", m2)
}
