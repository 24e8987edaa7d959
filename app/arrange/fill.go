package arrange

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// A Filling is beds of one width side by side over a piece of ground. Lengths are metres.
type Filling struct {
	WidthM  float64
	PathM   float64 // between the sides of neighbours
	MarginM float64 // left free along the outline
	LongM   float64 // the longest bed; longer ones are parted by a path. 0 = as long as the ground
	Across  bool    // beds run across the long side of the ground instead of along it
	Whole   bool    // only whole rectangles, none cut off aslant by the outline
}

// shortest is the least length of a bed in widths: what is shorter is no bed.
const shortest = 1.0

// FillArea lays beds over the ground of a feature, along its long side and centred across. The feature itself stays, but a bed
// makes way for its parts. It answers the ids of the beds made.
func FillArea(p *plan.Plan, id string, o Filling) (*plan.Plan, []string, error) {
	f, _ := p.Find(id)
	if f == nil {
		return nil, nil, errors.New("choose the ground to fill")
	}
	switch {
	case f.Kind == plan.Bed && f.Locked:
		return nil, nil, &LockedError{f}
	case !(o.WidthM > 0):
		return nil, nil, errors.New("give the beds a width above nothing")
	case o.PathM < 0 || o.MarginM < 0 || o.LongM < 0:
		return nil, nil, errors.New("no path or margin has a width below nothing")
	}
	_, _, along, _, ok := Sides(f)
	if !ok {
		return nil, nil, fmt.Errorf("%s has no ground to fill", f.Title())
	}
	if o.Across {
		along = orb.Point{-along[1], along[0]}
	}
	ground := orb.MultiPolygon(geometry.Polygons(f.Geometry))
	if o.MarginM > 0 {
		var err error
		if ground, err = geometry.Buffer(f.Geometry, -o.MarginM); err != nil {
			return nil, nil, err
		}
	}
	if len(ground) == 0 {
		return nil, nil, fmt.Errorf("%s is too narrow for such a margin", f.Title())
	}
	// In a frame in which the beds lie level.
	turn := Frame(-math.Atan2(along[1], along[0]))
	level := geometry.Map(ground, turn.In)
	b := level.Bound()
	n := Fill(o.WidthM, o.PathM, b.Max[1]-b.Min[1])
	if n == 0 {
		return nil, nil, fmt.Errorf("%s is too narrow for a bed of that width", f.Title())
	}
	if n > MostCopies {
		return nil, nil, fmt.Errorf("that would be %d beds: make %d at the most in one step", n, MostCopies)
	}
	y := (b.Min[1]+b.Max[1])/2 - (float64(n)*o.WidthM+float64(n-1)*o.PathM)/2
	var made []orb.Polygon
	for range n {
		row := orb.Polygon{{{b.Min[0] - 1, y}, {b.Max[0] + 1, y}, {b.Max[0] + 1, y + o.WidthM}, {b.Min[0] - 1, y + o.WidthM},
			{b.Min[0] - 1, y}}}
		pieces, err := geometry.Intersection(level, row)
		if err != nil {
			return nil, nil, err
		}
		for _, piece := range pieces {
			beds, err := parted(piece, y, o)
			if err != nil {
				return nil, nil, err
			}
			made = append(made, beds...)
		}
		if len(made) > MostCopies {
			return nil, nil, fmt.Errorf("that would be more than %d beds in one step", MostCopies)
		}
		y += o.WidthM + o.PathM
	}
	if len(made) == 0 {
		return nil, nil, fmt.Errorf("no bed of that width and path fits on %s", f.Title())
	}
	out := p.Clone()
	if f.Kind == plan.Bed {
		_, at := out.Find(id)
		out.Features = append(out.Features[:at], out.Features[at+1:]...)
	}
	var ids []string
	for _, g := range made {
		back, _ := Tidy(geometry.Map(g, turn.Out)).(orb.Polygon)
		if back == nil || geometry.Validate(back) != nil {
			continue
		}
		c := plan.NewFeature(plan.Bed, NextName(out, plan.Bed), back)
		out.Features = append(out.Features, c)
		ids = append(ids, c.ID)
	}
	return out, ids, nil
}

// parted cuts a piece of a row that begins at y to whole rectangles, and to beds no longer than they may be.
func parted(piece orb.Polygon, y float64, o Filling) ([]orb.Polygon, error) {
	b := piece.Bound()
	x0, x1 := b.Min[0], b.Max[0]
	if o.Whole {
		x0, x1 = clearRun(piece, y, y+o.WidthM)
	}
	if x1-x0 < shortest*o.WidthM {
		return nil, nil
	}
	parts, step := 1, x1-x0
	if o.LongM > 0 && step > o.LongM {
		parts = int(math.Ceil((step+o.PathM)/(o.LongM+o.PathM) - 1e-9))
		step = (step - float64(parts-1)*o.PathM) / float64(parts)
	}
	var out []orb.Polygon
	for i := range parts {
		from := x0 + float64(i)*(step+o.PathM)
		box := orb.Polygon{{{from, y}, {from + step, y}, {from + step, y + o.WidthM}, {from, y + o.WidthM}, {from, y}}}
		if o.Whole {
			out = append(out, box)
			continue
		}
		cut, err := geometry.Intersection(piece, box)
		if err != nil {
			return nil, err
		}
		for _, c := range cut {
			if geometry.Area(c) >= shortest*o.WidthM*o.WidthM/2 {
				out = append(out, c)
			}
		}
	}
	return out, nil
}

// clearRun is the longest stretch of x over which the piece holds the whole row from y0 to y1.
func clearRun(piece orb.Polygon, y0, y1 float64) (from, to float64) {
	// What the outline does not hold of the row, as stretches of x, cuts the run.
	b := piece.Bound()
	runs := [][2]float64{{b.Min[0], b.Max[0]}}
	cut := func(lo, hi float64) {
		var left [][2]float64
		for _, r := range runs {
			if hi <= r[0] || lo >= r[1] {
				left = append(left, r)
				continue
			}
			if lo > r[0] {
				left = append(left, [2]float64{r[0], lo})
			}
			if hi < r[1] {
				left = append(left, [2]float64{hi, r[1]})
			}
		}
		runs = left
	}
	const slack = 1e-6
	for _, r := range piece {
		for i := 1; i < len(r); i++ {
			a, c := r[i-1], r[i]
			// A side that runs within the row, not along its edges, takes its own stretch out.
			if max(a[1], c[1]) > y0+slack && min(a[1], c[1]) < y1-slack {
				if math.Abs(a[0]-c[0]) <= slack {
					cut(a[0], a[0]) // a square end bounds the run already
					continue
				}
				cut(min(a[0], c[0]), max(a[0], c[0]))
			}
		}
	}
	for _, r := range runs {
		mid := (r[0] + r[1]) / 2
		if r[1]-r[0] > to-from && geometry.Contains(piece, orb.Point{mid, (y0 + y1) / 2}) {
			from, to = r[0], r[1]
		}
	}
	return from, to
}

// Ground is the ground in square metres of the features with the ids, each by itself.
func Ground(p *plan.Plan, ids []string) float64 {
	sum := 0.0
	for _, id := range ids {
		if f, _ := p.Find(id); f != nil {
			sum += geometry.Area(f.Geometry)
		}
	}
	return sum
}
