// Package icon draws the program's emblem: a scalloped hedge over the rows of a bed, with the arc of its reach across them.
package icon

import (
	"math"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/style"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// Side is the size of the emblem in pixels.
const Side = 512

// Draw is the emblem.
func Draw() drawing.List {
	p := style.Light
	hedge, bed := p.Kind(plan.Hedgerow), p.Kind(plan.Bed)
	l := drawing.List{Width: Side, Height: Side}
	card := rounded(24, 24, 488, 488, 84)
	l.Add(drawing.Fill{Path: card, Color: p.Ground})

	var ops []drawing.Op
	for i := range 3 {
		y := 246 + 70*float64(i)
		row := rounded(84, y, 428, y+46, 12)
		ops = append(ops, drawing.Fill{Path: row, Color: bed.Fill}, drawing.Stroke{Path: row, Pen: drawing.Pen{Color: bed.Line, Width: 9}})
	}
	// The reach: beds within it are washed, and its edge is a broken arc.
	within := p.Status(habitat.Within).Color
	reach := drawing.Path{{Points: arc(orb.Point{256, 120}, 250, 0, 2*math.Pi), Closed: true}}
	ops = append(ops, drawing.Fill{Path: reach, Color: style.Fade(within, 0.30)},
		drawing.Stroke{Path: drawing.Path{{Points: arc(orb.Point{256, 120}, 250, 0, math.Pi)}},
			Pen: drawing.Pen{Color: p.Accent, Width: 13, Dash: []float64{34, 26}}})
	ops = append(ops, drawing.Fill{Path: scallops(), Color: hedge.Fill},
		drawing.Stroke{Path: scallops(), Pen: drawing.Pen{Color: hedge.Line, Width: 14}})
	l.Add(drawing.Clip{Path: card, Ops: ops})
	l.Add(drawing.Stroke{Path: rounded(24, 24, 488, 488, 84), Pen: drawing.Pen{Color: p.Ink, Width: 14}})
	return l
}

// scallops is the outline of a hedge as draughtsmen draw it: bumps all round.
func scallops() drawing.Path {
	const x0, x1, y0, y1, bumps = 84.0, 428.0, 112.0, 172.0, 5
	r := (x1 - x0) / bumps / 2
	var pts []orb.Point
	for i := range bumps {
		pts = append(pts, arc(orb.Point{x0 + r*float64(2*i+1), y0}, r, math.Pi, 2*math.Pi)...)
	}
	pts = append(pts, arc(orb.Point{x1, (y0 + y1) / 2}, (y1-y0)/2, -math.Pi/2, math.Pi/2)...)
	for i := range bumps {
		pts = append(pts, arc(orb.Point{x1 - r*float64(2*i+1), y1}, r, 0, math.Pi)...)
	}
	pts = append(pts, arc(orb.Point{x0, (y0 + y1) / 2}, (y1-y0)/2, math.Pi/2, 3*math.Pi/2)...)
	return drawing.Path{{Points: pts, Closed: true}}
}

// arc is a run of points on a circle, angles in radians, clockwise as seen since y runs down.
func arc(c orb.Point, r, from, to float64) []orb.Point {
	const steps = 32
	pts := make([]orb.Point, steps+1)
	for i := range pts {
		s, cos := math.Sincos(from + (to-from)*float64(i)/steps)
		pts[i] = orb.Point{c[0] + r*cos, c[1] + r*s}
	}
	return pts
}

func rounded(x0, y0, x1, y1, r float64) drawing.Path {
	var pts []orb.Point
	pts = append(pts, arc(orb.Point{x1 - r, y0 + r}, r, -math.Pi/2, 0)...)
	pts = append(pts, arc(orb.Point{x1 - r, y1 - r}, r, 0, math.Pi/2)...)
	pts = append(pts, arc(orb.Point{x0 + r, y1 - r}, r, math.Pi/2, math.Pi)...)
	pts = append(pts, arc(orb.Point{x0 + r, y0 + r}, r, math.Pi, 3*math.Pi/2)...)
	return drawing.Path{{Points: pts, Closed: true}}
}
