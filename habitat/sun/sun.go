// Package sun says where the sun stands over a garden, and when it rises and sets. It knows the place and the time, and neither
// hills, clouds nor time zones.
//
// Angles are in degrees, latitude north, longitude east, azimuth clockwise from true north. Positions are of the sun's centre
// without refraction and good to 0.01° from 1950 to 2050; rising and setting are of the upper edge over a level horizon with
// standard refraction, good to a minute outside the polar circles.
package sun

import (
	"math"
	"time"
)

// horizon is the height of the sun's centre when its upper edge seems to touch a level horizon: 34′ of refraction and a radius of
// 16′ (Meeus, Astronomical Algorithms, 2nd ed. 1998, ch. 15).
const horizon = -0.8333

// Position is where the sun stands in the sky.
type Position struct{ Elevation, Azimuth float64 }

// At is the sun's place at a time.
func At(t time.Time, latitude, longitude float64) Position {
	ra, dec, sidereal := equatorial(t)
	h := rad(sidereal + longitude - ra) // hour angle, westward
	sl, cl := math.Sincos(rad(latitude))
	sd, cd := math.Sincos(rad(dec))
	sh, ch := math.Sincos(h)
	elevation := deg(math.Asin(min(max(sl*sd+cl*cd*ch, -1), 1)))
	azimuth := deg(math.Atan2(-cd*sh, sd*cl-cd*ch*sl))
	const parallax = 8.794 / 3600 // of the sun at the horizon: the earth's surface is not its centre (Meeus, ch. 40)
	return Position{elevation - parallax*math.Cos(rad(elevation)), wrap(azimuth)}
}

// equatorial is the sun's apparent right ascension and declination, and the sidereal time at Greenwich, all in degrees: Meeus,
// ch. 25, with the nutation's greatest terms (ch. 22) and the sidereal time of ch. 12.
func equatorial(t time.Time) (ra, dec, sidereal float64) {
	days := float64(t.Unix()-946728000)/86400 + float64(t.Nanosecond())/86400e9 // from 2000-01-01 12:00
	const lag = 69.0 / 86400                                                    // of the earth's turning behind even time, about 2010 to 2030
	c := (days + lag) / 36525
	l := 280.46646 + c*(36000.76983+c*0.0003032)
	m := rad(357.52911 + c*(35999.05029-c*0.0001537))
	l += (1.914602-c*(0.004817+c*0.000014))*math.Sin(m) + (0.019993-c*0.000101)*math.Sin(2*m) + 0.000289*math.Sin(3*m)
	// The pull of Venus, Jupiter and the moon, and a slow term, in degrees (Meeus, Astronomical Formulae for Calculators, 1979, ch. 18).
	e := c + 1
	l += 0.00134*math.Cos(rad(153.23+22518.7541*e)) + 0.00154*math.Cos(rad(216.57+45037.5082*e)) +
		0.00200*math.Cos(rad(312.69+32964.3577*e)) + 0.00179*math.Sin(rad(350.74+445267.1142*e-0.00144*e*e)) +
		0.00178*math.Sin(rad(231.19+20.20*e))
	node, moon := rad(125.04452-1934.136261*c), rad(218.3165+481267.8813*c)
	twice := rad(2 * (280.4665 + 36000.7698*c))
	longitudeBy := (-17.20*math.Sin(node) - 1.32*math.Sin(twice) - 0.23*math.Sin(2*moon) + 0.21*math.Sin(2*node)) / 3600
	obliquityBy := (9.20*math.Cos(node) + 0.57*math.Cos(twice) + 0.10*math.Cos(2*moon) - 0.09*math.Cos(2*node)) / 3600
	lambda := rad(l - 0.00569 + longitudeBy) // less the aberration
	obliquity := rad(23.439291 - 0.0130042*c + obliquityBy)
	s, co := math.Sincos(lambda)
	ra = deg(math.Atan2(math.Cos(obliquity)*s, co))
	dec = deg(math.Asin(math.Sin(obliquity) * s))
	sidereal = 280.46061837 + 360.98564736629*days + longitudeBy*math.Cos(obliquity)
	return ra, dec, math.Mod(sidereal, 360)
}

// A Day is the sun's course through one day at a place, from one midnight by the sun to the next.
type Day struct {
	Noon       time.Time // when it is highest
	Highest    float64   // elevation at noon
	Rise, Set  time.Time // both zero where it does not rise or does not set
	NeverRises bool
	NeverSets  bool
}

// Length is the time from rising to setting.
func (d Day) Length() time.Duration {
	if d.NeverSets {
		return 24 * time.Hour
	}
	return d.Set.Sub(d.Rise)
}

// On is the course on a date, whose noon is the one at the place.
func On(year int, month time.Month, day int, latitude, longitude float64) Day {
	up := func(t time.Time) float64 { return At(t, latitude, longitude).Elevation }
	noon := time.Date(year, month, day, 12, 0, 0, 0, time.UTC).Add(-time.Duration(longitude / 15 * float64(time.Hour)))
	for range 3 { // the sun's clock is at most some 17 minutes off the even one
		ra, _, sidereal := equatorial(noon)
		off := wrap(sidereal+longitude-ra+180) - 180
		noon = noon.Add(-time.Duration(off / 360.98564736629 * 24 * float64(time.Hour)))
	}
	d := Day{Noon: noon, Highest: up(noon)}
	before, after := noon.Add(-12*time.Hour), noon.Add(12*time.Hour)
	switch {
	case d.Highest < horizon:
		d.NeverRises = true
	case up(before) > horizon || up(after) > horizon:
		d.NeverSets = true
	default:
		d.Rise, d.Set = cross(before, noon, up), cross(after, noon, up)
	}
	return d
}

// cross is when the sun crosses the horizon between a time when it is down and one when it is up, to a tenth of a second.
func cross(down, up time.Time, height func(time.Time) float64) time.Time {
	for gap := up.Sub(down); gap > 100*time.Millisecond || gap < -100*time.Millisecond; gap = up.Sub(down) {
		if mid := down.Add(gap / 2); height(mid) < horizon {
			down = mid
		} else {
			up = mid
		}
	}
	return up
}

// Path is where the sun stands through a day, from rising to setting (or round the clock where it does not set), in so many even
// steps. It is empty where the sun does not rise.
func (d Day) Path(latitude, longitude float64, steps int) []Position {
	from, long := d.Rise, d.Length()
	switch {
	case d.NeverRises:
		return nil
	case d.NeverSets:
		from = d.Noon.Add(-12 * time.Hour)
	}
	out := make([]Position, 0, steps+1)
	for i := range steps + 1 {
		out = append(out, At(from.Add(time.Duration(float64(long)*float64(i)/float64(steps))), latitude, longitude))
	}
	return out
}

func rad(d float64) float64  { return d * math.Pi / 180 }
func deg(r float64) float64  { return r * 180 / math.Pi }
func wrap(d float64) float64 { return math.Mod(math.Mod(d, 360)+360, 360) }
