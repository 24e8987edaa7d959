// Package ground draws the plan's ground in the drafting signs of landscape plans: scalloped hedge, canopy rings, tussock
// ticks, stipple for flowers, plain hatch for beds. It fills a display list from a plan and its assessment, the same for the
// screen and for paper. It computes no measure and knows no window.
package ground

import (
	"math"

	"github.com/paulmach/orb"
)

// A View maps plan metres to drawing units. Centre (metres) falls on Middle (units); Scale is units per metre; Turn (radians)
// turns the ground counter-clockwise as seen. Units run y down, metres y up.
type View struct {
	Centre orb.Point
	Middle orb.Point
	Scale  float64
	Turn   float64
}

// To maps metres to units.
func (v View) To(p orb.Point) orb.Point {
	s, c := math.Sincos(v.Turn)
	x, y := p[0]-v.Centre[0], p[1]-v.Centre[1]
	return orb.Point{v.Middle[0] + v.Scale*(c*x-s*y), v.Middle[1] - v.Scale*(s*x+c*y)}
}

// From maps units to metres.
func (v View) From(u orb.Point) orb.Point {
	s, c := math.Sincos(v.Turn)
	x, y := (u[0]-v.Middle[0])/v.Scale, -(u[1]-v.Middle[1])/v.Scale
	return orb.Point{v.Centre[0] + c*x + s*y, v.Centre[1] - s*x + c*y}
}
