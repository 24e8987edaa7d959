package ground

import (
	"math"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/style"
	"hedgereach/habitat/sun"
)

// SunDial draws the sky as seen from the ground, radius r about at: the rim is the horizon, the middle straight up. high and low are
// the sun's ways on the longest and the shortest day; either may be empty. degrees is true north clockwise from up, as seen.
func SunDial(at orb.Point, r, degrees float64, high, low []sun.Position, s style.Look) []drawing.Op {
	place := func(p sun.Position) orb.Point {
		sin, cos := math.Sincos((p.Azimuth + degrees) * math.Pi / 180)
		d := r * (1 - max(p.Elevation, 0)/90)
		return orb.Point{at[0] + d*sin, at[1] - d*cos}
	}
	var rim, ticks sketch
	rim.circle(at, r, 48)
	for i := range 12 {
		in := 4.0
		if i%3 == 0 {
			in = 9
		}
		a := float64(i) * 30
		ticks.line(place(sun.Position{Azimuth: a, Elevation: in}), place(sun.Position{Azimuth: a}))
	}
	ops := []drawing.Op{
		drawing.Fill{Path: rim.path, Color: s.Halo},
		drawing.Stroke{Path: ticks.path, Pen: s.Pen(s.Ink, style.Hair)},
		drawing.Stroke{Path: rim.path, Pen: s.Pen(s.Ink, style.Thin)},
	}
	size := s.Pt(style.Tiny)
	for i, w := range []string{"N", "E", "S", "W"} {
		sin, cos := math.Sincos((float64(i)*90 + degrees) * math.Pi / 180)
		d := r + s.Pt(5.4)
		ops = append(ops, drawing.Text{At: orb.Point{at[0] + d*sin, at[1] - d*cos + 0.36*size}, Words: w, Size: size, Bold: i == 0, Color: s.Ink,
			Align: drawing.Middle})
	}
	for i, way := range [][]sun.Position{high, low} {
		if len(way) == 0 {
			continue
		}
		var pts []orb.Point
		top := way[0]
		for _, p := range way {
			pts = append(pts, place(p))
			if p.Elevation > top.Elevation {
				top = p
			}
		}
		pen := SunPen(i == 1, s)
		var disc sketch
		disc.circle(place(top), s.Pt(3.4), 20)
		ops = append(ops, drawing.Stroke{Path: drawing.Path{{Points: pts}}, Pen: pen}, drawing.Fill{Path: disc.path, Color: s.Halo},
			drawing.Stroke{Path: disc.path, Pen: s.Pen(s.Ink, style.Fine)})
	}
	return ops
}

// SunPen is how the sun's way on the longest day, or on the shortest, is drawn.
func SunPen(shortest bool, s style.Look) drawing.Pen {
	if shortest {
		return s.Dashed(s.Ink, style.Fine, 3.5, 3)
	}
	return s.Pen(s.Ink, style.Medium)
}
