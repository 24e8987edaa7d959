// Package geodesy turns WGS 84 longitude and latitude into metres on a plane about an origin, and back. It holds for sites
// of some kilometres: distances there agree with the geodesic to far better than 1 in 10 000.
//
// The plane is a transverse Mercator projection about the origin's own meridian with scale 1 there, its series written in
// the ellipsoid's radii of curvature: J. P. Snyder, Map Projections: A Working Manual, US Geological Survey Professional
// Paper 1395 (1987), equations 8-9 and 8-10, doi 10.3133/pp1395. A plain metres-per-degree plane would be off by more
// than 1 in 10 000 a kilometre north of its origin beyond latitude 32°, because meridians draw together.
package geodesy

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// WGS 84: semi-major axis in metres and flattening (NGA.STND.0036, World Geodetic System 1984, table 3.1).
const (
	semiMajor  = 6378137.0
	flattening = 1 / 298.257223563
	ecc2       = flattening * (2 - flattening) // first eccentricity squared
	second2    = ecc2 / (1 - ecc2)             // second eccentricity squared
	degree     = math.Pi / 180
	highest    = 89.0 // degrees of latitude: nearer the pole "north" and "east" stop being of use
)

// A Local is a plane of metres about an origin. The zero Local is not of use: make one with At.
type Local struct {
	lat, lon float64 // the origin, radians
	sin, cos float64 // of northDeg
}

// At is the plane about the origin, in degrees. northDeg turns the plane: true north lies that many degrees clockwise from
// the plane's y axis. The error says which of them is out of range.
func At(lat, lon, northDeg float64) (Local, error) {
	switch {
	case !(math.Abs(lat) <= 90):
		return Local{}, fmt.Errorf("latitude %v: give degrees from -90 to 90", lat)
	case math.Abs(lat) > highest:
		return Local{}, fmt.Errorf("latitude %v is too near the pole: plans reach to %v degrees", lat, highest)
	case !(math.Abs(lon) <= 360):
		return Local{}, fmt.Errorf("longitude %v: give degrees from -180 to 180", lon)
	case math.IsNaN(northDeg) || math.IsInf(northDeg, 0):
		return Local{}, errors.New("north must be a number of degrees")
	}
	sin, cos := math.Sincos(northDeg * degree)
	return Local{lat: lat * degree, lon: lon * degree, sin: sin, cos: cos}, nil
}

// Metres gives the plane's x, y for a point (longitude, latitude) in degrees. Points some degrees away lose accuracy.
func (l Local) Metres(lonLat orb.Point) orb.Point {
	east, north := l.project(lonLat[0]*degree, lonLat[1]*degree)
	return orb.Point{east*l.cos + north*l.sin, north*l.cos - east*l.sin}
}

// Degrees gives (longitude, latitude) for x, y; the longitude from -180 to 180.
func (l Local) Degrees(xy orb.Point) orb.Point {
	east := xy[0]*l.cos - xy[1]*l.sin
	north := xy[0]*l.sin + xy[1]*l.cos
	// Newton's steps on the forward formula, so that there and back is the same to the last digits.
	lat, lon := l.lat, l.lon
	for range 8 {
		e, n := l.project(lon, lat)
		de, dn := east-e, north-n
		if math.Abs(de) < 1e-9 && math.Abs(dn) < 1e-9 {
			break
		}
		// Meridians are not quite parallel to the plane's north; turn the step by their convergence.
		gamma := wrap(lon-l.lon) * math.Sin(lat)
		sin, cos := math.Sincos(gamma)
		lat += (dn*cos - de*sin) / meridianRadius(lat)
		lon += (de*cos + dn*sin) / (normalRadius(lat) * math.Cos(lat))
		lat = max(-90*degree, min(90*degree, lat))
	}
	return orb.Point{wrap(lon) / degree, lat / degree}
}

// project gives metres east and north of the origin for radians (Snyder 8-9, 8-10, scale 1).
func (l Local) project(lon, lat float64) (east, north float64) {
	sin, cos := math.Sincos(lat)
	n := normalRadius(lat)
	tan := sin / cos
	t, c := tan*tan, second2*cos*cos
	a := wrap(lon-l.lon) * cos
	a2 := a * a
	east = n * a * (1 + a2/6*(1-t+c) + a2*a2/120*(5-18*t+t*t+72*c-58*second2))
	north = meridianArc(l.lat, lat) + n*tan*a2*(0.5+a2/24*(5-t+9*c+4*c*c)+a2*a2/720*(61-58*t+t*t+600*c-330*second2))
	return east, north
}

// meridianRadius is the radius of curvature along the meridian, M; normalRadius the one across it, N (Snyder 4-18, 4-20).
func meridianRadius(lat float64) float64 {
	s := math.Sin(lat)
	w := 1 - ecc2*s*s
	return semiMajor * (1 - ecc2) / (w * math.Sqrt(w))
}

func normalRadius(lat float64) float64 {
	s := math.Sin(lat)
	return semiMajor / math.Sqrt(1-ecc2*s*s)
}

// meridianArc is the length of the meridian from one latitude to another: M integrated by Gauss and Legendre's rule of five
// points, which is exact to rounding over the few degrees that a plan can span.
func meridianArc(from, to float64) float64 {
	half, mid := (to-from)/2, (to+from)/2
	const (
		x1, x2     = 0.5384693101056831, 0.9061798459386640
		w0, w1, w2 = 0.5688888888888889, 0.4786286704993665, 0.2369268850561891
	)
	return half * (w0*meridianRadius(mid) + w1*(meridianRadius(mid-half*x1)+meridianRadius(mid+half*x1)) +
		w2*(meridianRadius(mid-half*x2)+meridianRadius(mid+half*x2)))
}

// wrap brings an angle in radians to -π … π, so that a site astride the date line stays in one piece.
func wrap(a float64) float64 {
	if a >= -math.Pi && a <= math.Pi {
		return a
	}
	return math.Remainder(a, 2*math.Pi)
}
