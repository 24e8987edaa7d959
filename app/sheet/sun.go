package sheet

import (
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/ground"
	"hedgereach/habitat/sun"
)

// sunBlock is the sun's way over the garden on the longest and the shortest day; nil where the place is not known.
func (j *job) sunBlock(w float64, v ground.View) *block {
	p := j.a.Plan.Place
	if p == nil {
		return nil
	}
	year := j.set.Date.Year()
	long, short := sun.On(year, time.June, 21, p.Latitude, p.Longitude), sun.On(year, time.December, 21, p.Latitude, p.Longitude)
	names := [2]string{"21 Jun", "21 Dec"}
	if p.Latitude < 0 {
		long, short, names = short, long, [2]string{names[1], names[0]}
	}
	s := j.look
	t := j.caption()
	r := 7.4 * j.big
	left := 2*r + 7*j.big // of the words
	room := w - left
	if room < 12*j.big {
		return nil
	}
	type line struct {
		words string
		pen   *drawing.Pen
	}
	lines := []line{{"Sun’s way over the ground", nil}}
	for i, d := range []sun.Day{long, short} {
		pen := ground.SunPen(i == 1, s)
		lines = append(lines, line{names[i], &pen}, line{dayWords(d), nil})
	}
	if !short.NeverRises {
		lines = append(lines, line{fmt.Sprintf("Noon shadow %s to %s × height", shadow(long.Highest), shadow(short.Highest)), nil})
	}
	high := 2*r + 6*j.big
	return &block{high, func(at orb.Point) []drawing.Op {
		const steps = 48
		ops := ground.SunDial(orb.Point{at[0] + r + 3*j.big, at[1] + high/2}, r, v.North(p.NorthDeg), long.Path(p.Latitude, p.Longitude, steps),
			short.Path(p.Latitude, p.Longitude, steps), s)
		var words []drawing.Op
		y := 0.0
		for _, l := range lines {
			x := 0.0
			if l.pen != nil {
				x = 7 * j.big
				y += t.size * 0.15
				words = append(words, drawing.Stroke{Path: drawing.Line(orb.Point{0, y + t.size*0.66}, orb.Point{x - 1.2*j.big, y + t.size*0.66}),
					Pen: *l.pen})
			}
			for _, part := range t.wrap(l.words, room-x) {
				words = append(words, j.words(orb.Point{x, y + t.size}, part, t, l.pen == nil))
				y += t.size * 1.22
			}
		}
		// The words stand in the middle of the height.
		move := orb.Point{at[0] + left, at[1] + max((high-y)/2, 0)}
		for _, op := range words {
			switch op := op.(type) {
			case drawing.Text:
				op.At = orb.Point{op.At[0] + move[0], op.At[1] + move[1]}
				ops = append(ops, op)
			case drawing.Stroke:
				a, b := op.Path[0].Points[0], op.Path[0].Points[1]
				op.Path = drawing.Line(orb.Point{a[0] + move[0], a[1] + move[1]}, orb.Point{b[0] + move[0], b[1] + move[1]})
				ops = append(ops, op)
			}
		}
		return ops
	}}
}

func dayWords(d sun.Day) string {
	switch {
	case d.NeverRises:
		return "does not rise"
	case d.NeverSets:
		return fmt.Sprintf("does not set, %.0f° at noon", d.Highest)
	}
	return joined(fmt.Sprintf("%.1f h,", d.Length().Hours())) + " " + joined(fmt.Sprintf("%.0f° at noon", d.Highest))
}

// shadow is the length of a shadow over what casts it.
func shadow(elevation float64) string {
	v := 1 / math.Tan(elevation*math.Pi/180)
	if elevation < 2 || v > 20 {
		return "over 20"
	}
	return fmt.Sprintf("%.1f", v)
}
