package arrange

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// NewBlock puts a block of new beds, each so many metres long and wide, on the plan about a middle, level as seen. A block of
// one bed is a bed.
func NewBlock(p *plan.Plan, length, width float64, b Block, middle orb.Point, t Frame) (*plan.Plan, []string, error) {
	if !(length > 0) || !(width > 0) || length > plan.MaxMetres || width > plan.MaxMetres {
		return nil, nil, errors.New("give a length and a width above nothing")
	}
	// Level in the frame, with its lower left corner on a whole millimetre, so that both sides are as typed.
	turn := float64(t) * 180 / math.Pi
	m := geometry.Rotate(middle, orb.Point{}, turn).(orb.Point)
	x, y := mm(m[0]-length/2), mm(m[1]-width/2)
	level := orb.Polygon{{{x, y}, {x + length, y}, {x + length, y + width}, {x, y + width}, {x, y}}}
	first := plan.NewFeature(plan.Bed, NextName(p, plan.Bed), Tidy(geometry.Rotate(level, orb.Point{}, -turn)))
	l, w, along, across, ok := Sides(first)
	if !ok || geometry.Validate(first.Geometry) != nil {
		return nil, nil, errors.New("give a length and a width of a millimetre or more")
	}
	da, dn := -float64(b.Columns-1)*(l+b.CrossM)/2, -float64(b.Rows-1)*(w+b.PathM)/2
	if b.Back {
		dn = -dn
	}
	out := p.Clone()
	out.Features = append(out.Features, Moved(first, da*along[0]+dn*across[0], da*along[1]+dn*across[1]))
	if b.Rows == 1 && b.Columns == 1 {
		return out, []string{first.ID}, nil
	}
	return MakeBlock(out, first.ID, b)
}

// MatchLength gives all features the length of the first, each about its own middle; a strip from where its line begins.
func MatchLength(p *plan.Plan, ids []string) (*plan.Plan, error) {
	fs, err := Chosen(p, ids, 2)
	if err != nil {
		return nil, err
	}
	length, _ := SizeOf(fs[0])
	if length == 0 {
		return nil, fmt.Errorf("%s has no length to go by", fs[0].Title())
	}
	var made []*plan.Feature
	for _, f := range fs[1:] {
		l, width := SizeOf(f)
		if l == 0 {
			continue // a mark
		}
		if f.Centre != nil && f.RadiusM > 0 {
			width = length // a round thing is as long as it is wide
		}
		c, err := Sized(f, length, width, false)
		if err != nil {
			return nil, err
		}
		made = append(made, c)
	}
	return replaced(p, made...), nil
}
