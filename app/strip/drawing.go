package strip

import (
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/style"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat"
)

// margins about the plotted field, in points.
const (
	leftMargin  = 52
	rightMargin = 30
	topMargin   = 17
	lowMargin   = 17
)

// A frame is where the field of the chart lies, in drawing units.
type frame struct{ x0, y0, x1, y1 float64 }

func frameOf(width, height, unit float64) frame {
	return frame{leftMargin * unit, topMargin * unit, width - rightMargin*unit, height - lowMargin*unit}
}

// x is the left edge of a half-month; 24 gives the right edge of the field.
func (f frame) x(h float64) float64 { return f.x0 + (f.x1-f.x0)*h/season.HalfMonths }

// y is the height of a share of the full scale.
func (f frame) y(share float64) float64 { return f.y1 - (f.y1-f.y0)*min(share, 1) }

// at is the half-month under x, the first or last where x lies outside.
func (f frame) at(x float64) season.HalfMonth {
	h := int(math.Floor((x - f.x0) / (f.x1 - f.x0) * season.HalfMonths))
	return season.HalfMonth(min(max(h, 0), season.HalfMonths-1))
}

// day is where in the field a day begins.
func (f frame) day(d season.Day) float64 {
	h := d.HalfMonth()
	return f.x(float64(h) + float64(d-h.First())/float64(h.Days()))
}

// A view is what the chart shows.
type view struct {
	cover    [season.HalfMonths]habitat.Cover
	inSeason [season.HalfMonths]bool
	gap      [season.HalfMonths]bool
	frosts   [2]season.Day // last, first; 0 = not given
	bed      *[season.HalfMonths]habitat.Cover
	fed      [season.HalfMonths]int // groups of enemies that find flowers to eat from
	on       *season.HalfMonth
	over     *season.HalfMonth
	focused  bool
}

func viewOf(a *habitat.Assessment, fed *[season.HalfMonths][]*data.Guild, bed *habitat.Bed, on, over *season.HalfMonth) view {
	v := view{cover: a.Site.Cover, on: on, over: over}
	for h, g := range fed {
		v.fed[h] = len(g)
	}
	for _, h := range a.Site.Season {
		v.inSeason[h] = true
	}
	for _, h := range a.Site.BloomGaps {
		v.gap[h] = true
	}
	if p := a.Plan.Place; p != nil {
		v.frosts = [2]season.Day{p.LastFrost, p.FirstFrost}
	}
	if bed != nil && bed.CoverRadiusM > 0 {
		v.bed = &bed.Cover
	}
	return v
}

// top is the share at the upper edge of the scale: the least round one that holds everything shown.
func (v *view) top() float64 {
	most := 0.0
	for h := range season.HalfMonths {
		most = max(most, v.cover[h].Fraction)
		if v.bed != nil {
			most = max(most, v.bed[h].Fraction)
		}
	}
	for _, t := range []float64{0.02, 0.04, 0.06, 0.1, 0.16, 0.2, 0.3, 0.4, 0.6, 0.8} {
		if most <= t {
			return t
		}
	}
	return 1
}

// draw fills a display list of the size with the chart.
func (v *view) draw(l *drawing.List, look style.Look) {
	f, top := frameOf(l.Width, l.Height, look.Unit), v.top()
	l.Add(drawing.Fill{Path: drawing.Rect(0, 0, l.Width, l.Height), Color: look.Panel})
	v.drawField(l, look, f, top)
	v.drawFlowers(l, look, f, top)
	v.drawCounts(l, look, f)
	v.drawFrosts(l, look, f)
	v.drawMonths(l, look, f)
	v.drawCursor(l, look, f)
}

func (v *view) drawField(l *drawing.List, look style.Look, f frame, top float64) {
	anySeason := v.inSeason != [season.HalfMonths]bool{}
	for h := range season.HalfMonths {
		cell := drawing.Rect(f.x(float64(h)), f.y0, f.x(float64(h+1)), f.y1)
		if v.inSeason[h] || !anySeason {
			l.Add(drawing.Fill{Path: cell, Color: look.Raised})
		} else {
			l.Add(drawing.Fill{Path: cell, Color: look.Paper})
		}
		if v.gap[h] {
			l.Add(drawing.Hatch{Path: cell, Pattern: drawing.Pattern{Angle: 45, Gap: look.Pt(6),
				Pen: look.Pen(style.Fade(look.Caution, 0.55), style.Thin), Origin: orb.Point{f.x0, f.y1}}})
		}
	}
	for _, s := range []float64{0.5, 1} {
		l.Add(drawing.Stroke{Path: drawing.Line(orb.Point{f.x0, f.y(s)}, orb.Point{f.x1, f.y(s)}),
			Pen: look.Pen(look.Grid, style.Hair)},
			drawing.Text{At: orb.Point{f.x0 - look.Pt(5), f.y(s) + look.Pt(4+3*s)}, Words: percent(s * top),
				Size: look.Pt(style.Small), Color: look.Soft, Align: drawing.End})
	}
}

func percent(s float64) string { return fmt.Sprintf("%.0f %%", s*100) }

func (v *view) drawFlowers(l *drawing.List, look style.Look, f frame, top float64) {
	flower := look.Kind("perennial-strip").Sign
	for h := range season.HalfMonths {
		if c := v.cover[h]; c.Fraction > 0 {
			l.Add(drawing.Fill{Path: drawing.Rect(f.x(float64(h)), f.y(c.Fraction/top), f.x(float64(h+1)), f.y1),
				Color: style.Fade(flower, 0.38)})
		}
	}
	l.Add(drawing.Stroke{Path: steps(f, &v.cover, top), Pen: look.Pen(flower, style.Medium)})
	if v.bed != nil {
		l.Add(drawing.Stroke{Path: steps(f, v.bed, top), Pen: look.Dashed(look.Accent, style.Medium, 5, 3)})
	}
	l.Add(drawing.Text{At: orb.Point{f.x0 - look.Pt(5), f.y0 - look.Pt(6)}, Words: "species", Size: look.Pt(style.Small),
		Color: look.Soft, Align: drawing.End})
	for h := range season.HalfMonths {
		mid := (f.x(float64(h)) + f.x(float64(h+1))) / 2
		if v.cover[h].Species == 0 && !v.inSeason[h] {
			continue
		}
		l.Add(drawing.Text{At: orb.Point{mid, f.y0 - look.Pt(6)}, Words: fmt.Sprint(v.cover[h].Species),
			Size: look.Pt(style.Small), Color: look.Ink, Align: drawing.Middle, Bold: v.gap[h]})
		if v.gap[h] {
			l.Add(drawing.Text{At: orb.Point{mid, f.y0 + look.Pt(10)}, Words: "gap", Size: look.Pt(style.Small),
				Color: look.Caution, Align: drawing.Middle, Bold: true, Halo: look.Raised, HaloWidth: look.Pt(2.5)})
		}
	}
}

// most is the count at the upper edge of the scale of species and enemies, an even one.
func (v *view) most() int {
	n := 2 * habitat.FewestInFlower
	for h := range season.HalfMonths {
		n = max(n, v.cover[h].Species, v.fed[h])
	}
	return n + n%2
}

// drawCounts rules the species in flower as a line with round marks, and the groups of enemies fed as a broken one with lozenges:
// told apart in grey as well. A fine line shows how few species make a gap.
func (v *view) drawCounts(l *drawing.List, look style.Look, f frame) {
	most := float64(v.most())
	y := func(n int) float64 { return f.y(float64(n) / most) }
	few := y(habitat.FewestInFlower)
	l.Add(drawing.Stroke{Path: drawing.Line(orb.Point{f.x0, few}, orb.Point{f.x1, few}),
		Pen: look.Dashed(look.Soft, style.Hair, 1, 3)})
	for _, n := range []int{0, habitat.FewestInFlower, int(most)} {
		l.Add(drawing.Text{At: orb.Point{f.x1 + look.Pt(5), y(n) + look.Pt(3.5)}, Words: fmt.Sprint(n), Size: look.Pt(style.Small),
			Color: look.Soft})
	}
	var lines [2][]orb.Point
	var dots [2][]orb.Point
	for h := range season.HalfMonths {
		x := (f.x(float64(h)) + f.x(float64(h+1))) / 2
		for i, n := range []int{v.cover[h].Species, v.fed[h]} {
			at := orb.Point{x, y(n)}
			lines[i] = append(lines[i], at)
			if n > 0 {
				dots[i] = append(dots[i], at)
			}
		}
	}
	enemyOps(l, look, lines[1], dots[1]...)
	speciesOps(l, look, lines[0], dots[0]...)
}

// speciesOps is a run of the curve of species in flower, with its marks.
func speciesOps(l *drawing.List, look style.Look, line []orb.Point, dots ...orb.Point) {
	l.Add(drawing.Stroke{Path: drawing.Line(line...), Pen: look.Pen(look.Ink, style.Fine)})
	var marks drawing.Path
	for _, c := range dots {
		marks = append(marks, circle(c, look.Pt(2)))
	}
	if len(marks) > 0 {
		l.Add(drawing.Fill{Path: marks, Color: look.Ink})
	}
}

// enemyOps is a run of the curve of enemies fed, with its marks.
func enemyOps(l *drawing.List, look style.Look, line []orb.Point, dots ...orb.Point) {
	colour, r := look.Status(habitat.Within).Color, look.Pt(3)
	l.Add(drawing.Stroke{Path: drawing.Line(line...), Pen: look.Dashed(colour, style.Medium, 4, 3)})
	var marks drawing.Path
	for _, c := range dots {
		marks = append(marks, drawing.Contour{Closed: true, Points: []orb.Point{{c[0], c[1] - r}, {c[0] + r, c[1]}, {c[0], c[1] + r},
			{c[0] - r, c[1]}}})
	}
	if len(marks) > 0 {
		l.Add(drawing.Fill{Path: marks, Color: look.Raised}, drawing.Stroke{Path: marks, Pen: look.Pen(colour, style.Fine)})
	}
}

func circle(c orb.Point, r float64) drawing.Contour {
	const n = 12
	out := drawing.Contour{Closed: true}
	for i := range n {
		s, co := math.Sincos(2 * math.Pi * float64(i) / n)
		out.Points = append(out.Points, orb.Point{c[0] + r*co, c[1] + r*s})
	}
	return out
}

// steps is the outline of a share that holds for each whole half-month.
func steps(f frame, c *[season.HalfMonths]habitat.Cover, top float64) drawing.Path {
	pts := make([]orb.Point, 0, 2*season.HalfMonths)
	for h := range season.HalfMonths {
		y := f.y(c[h].Fraction / top)
		pts = append(pts, orb.Point{f.x(float64(h)), y}, orb.Point{f.x(float64(h + 1)), y})
	}
	return drawing.Line(pts...)
}

func (v *view) drawFrosts(l *drawing.List, look style.Look, f frame) {
	for i, words := range []string{"last frost ", "first frost "} {
		d := v.frosts[i]
		if d == 0 {
			continue
		}
		x, align, gap := f.day(d), drawing.End, -look.Pt(4)
		if i == 1 {
			align, gap = drawing.Start, look.Pt(4)
		}
		l.Add(drawing.Stroke{Path: drawing.Line(orb.Point{x, f.y0}, orb.Point{x, f.y1}),
			Pen: look.Dashed(look.Ink, style.Fine, 2, 3)},
			drawing.Text{At: orb.Point{x + gap, f.y0 + look.Pt(11)}, Words: words + d.Label(), Size: look.Pt(style.Small),
				Color: look.Ink, Align: align, Halo: look.Paper, HaloWidth: look.Pt(2.5)})
	}
}

func (v *view) drawMonths(l *drawing.List, look style.Look, f frame) {
	for m := range 13 {
		x := f.x(float64(2 * m))
		l.Add(drawing.Stroke{Path: drawing.Line(orb.Point{x, f.y1}, orb.Point{x, f.y1 + look.Pt(4)}),
			Pen: look.Pen(look.Soft, style.Hair)})
	}
	for m := range 12 {
		l.Add(drawing.Text{At: orb.Point{f.x(float64(2*m + 1)), f.y1 + look.Pt(13)}, Words: time.Month(m + 1).String()[:3],
			Size: look.Pt(style.Small), Color: look.Soft, Align: drawing.Middle})
	}
	l.Add(drawing.Stroke{Path: drawing.Line(orb.Point{f.x0, f.y1}, orb.Point{f.x1, f.y1}), Pen: look.Pen(look.Soft, style.Thin)})
}

func (v *view) drawCursor(l *drawing.List, look style.Look, f frame) {
	if h := v.over; h != nil {
		l.Add(drawing.Fill{Path: drawing.Rect(f.x(float64(*h)), f.y0, f.x(float64(*h+1)), f.y1),
			Color: style.Fade(look.Ink, 0.07)})
	}
	if h := v.on; h != nil {
		x0, x1 := f.x(float64(*h)), f.x(float64(*h+1))
		mid, s := (x0+x1)/2, look.Pt(5)
		l.Add(drawing.Stroke{Path: drawing.Rect(x0, f.y0, x1, f.y1), Pen: look.Pen(look.Accent, style.Strong)},
			drawing.Fill{Path: drawing.Path{{Closed: true, Points: []orb.Point{{mid, f.y1}, {mid - s, f.y1 + s}, {mid + s, f.y1 + s}}}},
				Color: look.Accent})
	}
	if v.focused {
		l.Add(drawing.Stroke{Path: drawing.Rect(f.x0-look.Pt(2), f.y0-look.Pt(2), f.x1+look.Pt(2), f.y1+look.Pt(2)),
			Pen: look.Pen(look.Accent, style.Fine)})
	}
}
