// Package spacing counts plants: how many stand on a square metre at a spacing, and how many a bed takes. It knows distances
// and areas, and of crops only their spacing.
package spacing

import (
	"fmt"
	"math"

	"hedgereach/data"
)

// A Layout is how plants stand to each other.
type Layout string

// The layouts. In the triangular one every plant has six neighbours at the same distance, and rows lie closer than the
// plants in them.
const (
	Square     Layout = "square"
	Triangular Layout = "triangular"
)

// Layouts lists every layout.
var Layouts = []Layout{Square, Triangular}

// RowFactor is the distance between rows over the distance between plants in a triangular layout, √3/2: the height of an
// equilateral triangle.
const RowFactor = 0.8660254037844386

// Limits of a spacing that make sense, in metres: the finest cress, the widest tree.
const (
	leastM = 0.001
	mostM  = 100.0
)

// Density is plants per square metre at a spacing in metres: 1/s² in squares, 2/(√3 s²) in equilateral triangles (plane
// geometry). The error says in one line what spacing or layout does not do.
func Density(l Layout, spacingM float64) (float64, error) {
	switch l {
	case Square:
		return Rows(spacingM, spacingM)
	case Triangular:
		return Rows(spacingM, RowFactor*spacingM)
	}
	return 0, fmt.Errorf("layout %q is not known: write square or triangular", l)
}

// Rows is plants per square metre in rows: one plant to a rectangle of the distance in the row by that between rows, both in
// metres. The error says in one line which distance does not do.
func Rows(inRowM, betweenRowsM float64) (float64, error) {
	for _, s := range []float64{inRowM, betweenRowsM} {
		if !(s >= leastM && s <= mostM) { // so written that NaN fails
			return 0, fmt.Errorf("a spacing of %g m is not between 1 mm and %g m: correct it", s, mostM)
		}
	}
	return 1 / (inRowM * betweenRowsM), nil
}

// Count is the plants for some ground, to the nearest whole one and at least one where there is ground: a bed's edges take
// plants or cost them, and the count does not know its shape. It is 0 for no ground.
func Count(areaM2, perM2 float64) int {
	n := areaM2 * perM2
	if !(n > 0) || math.IsInf(n, 0) {
		return 0
	}
	return max(1, int(math.Round(min(n, math.MaxInt32))))
}

// A Quantity is how many plants a crop takes on some ground, at its widest and at its closest usual spacing.
type Quantity struct {
	Fewest, Most int
	From         data.Origin // of the spacing
}

// Of is the plants that a crop takes on a share (0 to 1) of a bed's area, in rows at its usual spacings; false where the
// catalogue does not give them.
func Of(crop *data.Crop, areaM2, share float64) (Quantity, bool) {
	wide, err := Rows(crop.InRowMaxCM/100, crop.BetweenRowMaxCM/100)
	close, err2 := Rows(crop.InRowMinCM/100, crop.BetweenRowMinCM/100)
	if err != nil || err2 != nil {
		return Quantity{}, false
	}
	ground := areaM2 * share
	return Quantity{Fewest: Count(ground, wide), Most: Count(ground, close), From: crop.SpacingFrom}, true
}
