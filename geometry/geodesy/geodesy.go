// Package geodesy turns WGS 84 longitude and latitude into metres on a plane about an origin, and back. It holds for sites
// of a kilometre or so: distances there agree with the geodesic to 1 in 10 000 or better.
package geodesy

import "github.com/paulmach/orb"

// A Local is a plane of metres about an origin.
type Local struct{}

// At is the plane about the origin, in degrees. northDeg turns the plane: true north lies that many degrees clockwise from
// the plane's y axis.
func At(lat, lon, northDeg float64) (Local, error) { panic("stub") }

// Metres gives the plane's x, y for a point (longitude, latitude) in degrees.
func (l Local) Metres(lonLat orb.Point) orb.Point { panic("stub") }

// Degrees gives (longitude, latitude) for x, y.
func (l Local) Degrees(xy orb.Point) orb.Point { panic("stub") }
