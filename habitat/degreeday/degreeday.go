// Package degreeday turns a weather station's daily minimum and maximum into degree-days: how much warmth above a pest's
// lower threshold each day brought, summed from a start, and the day on which a sum was reached. It knows temperatures and
// dates, and nothing of pests, beds or screens.
//
// A published sum is good only with the method, the thresholds and the start that it was worked out with; numbers of
// different models must not be mixed. Degree-days in °F are 9/5 of those in °C: there is no 32 to take off.
package degreeday

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// A Unit is the scale of temperatures, thresholds and degree-days.
type Unit string

// The scales.
const (
	Celsius    Unit = "°C"
	Fahrenheit Unit = "°F"
)

// Convert is a temperature on another scale.
func Convert(t float64, from, to Unit) float64 {
	switch {
	case from == to:
		return t
	case from == Fahrenheit:
		return (t - 32) * 5 / 9
	}
	return t*9/5 + 32
}

// ConvertSum is a sum of degree-days on another scale.
func ConvertSum(sum float64, from, to Unit) float64 {
	switch {
	case from == to:
		return sum
	case from == Fahrenheit:
		return sum * 5 / 9
	}
	return sum * 9 / 5
}

// A Method draws the day's temperature between its minimum and maximum.
type Method string

// The methods.
//
// The averages: Arnold 1960, Proceedings of the American Society for Horticultural Science 76:682–692 (from memory); their
// two readings are set side by side by McMaster and Wilhelm 1997, Agricultural and Forest Meteorology 87:291–300. Sines:
// Baskerville and Emin 1969, Ecology 50:514–517; the double sine and an upper threshold: Allen 1976, Environmental
// Entomology 5:388–396. Triangles: Lindsey and Newman 1956, Ecology 37:812–823 (from memory). All but the averages, with
// their cutoffs, as in Zalom, Goodell, Wilson, Barnett and Bentley 1983, University of California Leaflet 21373.
const (
	SimpleAverage   Method = "simple average"   // the mean, held within the thresholds
	ModifiedAverage Method = "modified average" // minimum and maximum held within the thresholds, then the mean
	SingleSine      Method = "single sine"      // a sine from the day's minimum to its maximum and back
	DoubleSine      Method = "double sine"      // up from the day's minimum, down to the next day's
	SingleTriangle  Method = "single triangle"
	DoubleTriangle  Method = "double triangle"
)

// Methods lists every method.
var Methods = []Method{SimpleAverage, ModifiedAverage, SingleSine, DoubleSine, SingleTriangle, DoubleTriangle}

// A Cutoff says how growth goes on above the upper threshold.
type Cutoff string

// The cutoffs, as in Zalom and others 1983. The averages know only None and Horizontal.
const (
	None         Cutoff = "none"         // no upper threshold
	Horizontal   Cutoff = "horizontal"   // no faster than at the threshold
	Intermediate Cutoff = "intermediate" // slower again by as much as the temperature exceeds it
	Vertical     Cutoff = "vertical"     // not at all
)

// Cutoffs lists every cutoff.
var Cutoffs = []Cutoff{None, Horizontal, Intermediate, Vertical}

// A Model says how warmth is counted. Thresholds are in Unit; Upper means nothing with the cutoff None.
type Model struct {
	Method       Method
	Cutoff       Cutoff
	Lower, Upper float64
	Unit         Unit
}

// Check tells in one line what is wrong with a model; nil where nothing is.
func (m Model) Check() error {
	switch {
	case m.Unit != Celsius && m.Unit != Fahrenheit:
		return fmt.Errorf("unit %q is not known: write °C or °F", m.Unit)
	case !slices.Contains(Methods, m.Method):
		return fmt.Errorf("method %q is not known: write one of %s", m.Method, list(Methods))
	case !slices.Contains(Cutoffs, m.Cutoff):
		return fmt.Errorf("cutoff %q is not known: write one of %s", m.Cutoff, list(Cutoffs))
	case math.IsNaN(m.Lower) || math.IsInf(m.Lower, 0):
		return fmt.Errorf("no lower threshold: give the temperature at which growth begins, in %s", m.Unit)
	case m.Cutoff != None && !(m.Upper > m.Lower): // so written that NaN fails
		return fmt.Errorf("upper threshold %g is not above the lower one, %g: correct one of the two, or take the cutoff off",
			m.Upper, m.Lower)
	case m.averages() && m.Cutoff != None && m.Cutoff != Horizontal:
		return fmt.Errorf("a %s has no %s cutoff: take the horizontal one or none, or another method", m.Method, m.Cutoff)
	}
	return nil
}

func (m Model) averages() bool { return m.Method == SimpleAverage || m.Method == ModifiedAverage }

func (m Model) doubles() bool { return m.Method == DoubleSine || m.Method == DoubleTriangle }

// Day is the degree-days of one day, never below zero. Temperatures are in the model's unit, lowest not above highest; next
// is the next day's minimum, which only the double methods read. The model must pass Check.
func (m Model) Day(lowest, highest, next float64) float64 {
	switch {
	case m.Method == SimpleAverage:
		return m.clip((lowest+highest)/2) - m.Lower
	case m.Method == ModifiedAverage:
		return (m.clip(lowest)+m.clip(highest))/2 - m.Lower
	case m.doubles():
		return (m.curve(lowest, highest) + m.curve(next, highest)) / 2
	}
	return m.curve(lowest, highest)
}

// clip holds a temperature within the thresholds.
func (m Model) clip(t float64) float64 {
	if m.Cutoff != None {
		t = min(t, m.Upper)
	}
	return max(t, m.Lower)
}

// curve is the degree-days of a day whose temperature goes between two ends. The half of a double curve that comes down to
// the next morning may have its "minimum" above the day's maximum when a warm front passes: the curve is the same both ways.
func (m Model) curve(a, b float64) float64 {
	low, high := min(a, b), max(a, b)
	sum, _ := m.above(m.Lower, low, high)
	if m.Cutoff == None {
		return sum
	}
	excess, share := m.above(m.Upper, low, high)
	sum -= excess
	switch m.Cutoff {
	case Intermediate:
		sum -= excess
	case Vertical:
		sum -= share * (m.Upper - m.Lower)
	}
	return max(0, sum) // in great heat the intermediate cutoff would take off more than there was
}

// above is the area between a day's curve and a threshold below it, in degree-days, and the share of the day above it.
func (m Model) above(threshold, low, high float64) (area, share float64) {
	mean := (low + high) / 2
	switch {
	case threshold <= low:
		return mean - threshold, 1
	case threshold >= high:
		return 0, 0
	case m.Method == SingleTriangle || m.Method == DoubleTriangle:
		share = (high - threshold) / (high - low)
		return share * (high - threshold) / 2, share
	}
	amplitude := (high - low) / 2
	angle := math.Asin((threshold - mean) / amplitude)
	share = (math.Pi/2 - angle) / math.Pi
	return (mean-threshold)*share + amplitude*math.Cos(angle)/math.Pi, share
}

// list writes words for a sentence.
func list[T ~string](words []T) string {
	parts := make([]string, len(words))
	for i, w := range words {
		parts[i] = string(w)
	}
	return strings.Join(parts, ", ")
}
