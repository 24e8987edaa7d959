// Package length reads and writes lengths and areas as people do: "1.2 m", "4'", "4 ft 6 in", "120 cm". Inside the program
// everything is metres.
package length

// A System is what a bare number means and how lengths are shown.
type System int

// The two systems.
const (
	Metric System = iota
	US            // feet and inches
)

// Parse reads a length with or without a unit; a bare number is metres in Metric and feet in US.
func Parse(s string, sys System) (metres float64, err error) { panic("stub") }

// Format writes a length for people: "12.40 m" under 100 m, "124 m" above; "40 ft 8 in" in US.
func Format(metres float64, sys System) string { panic("stub") }

// FormatArea writes an area for people: "38.2 m²"; "411 sq ft" in US.
func FormatArea(m2 float64, sys System) string { panic("stub") }
