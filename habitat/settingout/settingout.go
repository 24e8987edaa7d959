// Package settingout turns a plan into the measures by which people put it on the ground with stakes and two tapes: for every
// corner the two tape lengths from two stakes, and how far along the line between the stakes and how far off it the corner
// lies. Tapes are read to a step, so each corner says how far off it comes out. It draws nothing.
package settingout

import (
	"errors"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// The steps to which tapes are read, in metres: a centimetre, a quarter inch (common practice, no source).
const (
	Centimetre  = 0.01
	QuarterInch = 0.0254 / 4
)

// ErrStakes says that the plan lacks two stakes to measure from.
var ErrStakes = errors.New("setting out needs two stakes on the plan: mark two places that will stay put, as far apart as the ground allows")

// A Book is all measures of a plan. Lengths are metres.
type Book struct {
	First, Second *plan.Feature // the stakes
	BaseM         float64       // between them
	StepM         float64       // to which every length is rounded
	Pieces        []Piece       // in order of work
	WorstM        float64       // the largest ErrorM of any corner
}

// A Piece is a thing to set out.
type Piece struct {
	Feature   *plan.Feature
	Corners   []Corner   // clockwise round the outline, from the one nearest to the first stake; the centre alone of a round thing
	RadiusM   float64    // of a round thing; else 0
	Diagonals [2]float64 // of a piece with four corners, between opposite ones: they show whether it is true; else 0
}

// A Corner is a place to mark. Tapes and offsets are rounded to the step.
type Corner struct {
	At            orb.Point
	First, Second float64 // tapes from the two stakes
	Left          bool    // of the walk from the first stake to the second
	Along, Off    float64 // along that line from the first stake (behind it below 0), and off it to the side
	// ByOffset says that the tapes cross too flatly here, near the line of the stakes: use Along and Off.
	ByOffset bool
	ErrorM   float64 // how far from its true place the rounded measures put the corner
}

// flat is how many steps off the two tapes may put a corner before it is set out by offset instead: our judgement.
const flat = 3

// order is the order of work: what bounds the ground, what one walks on, then what is dug and planted (common practice, no
// source). Marks are measured from, not set out.
var order = []plan.Kind{plan.Boundary, plan.Building, plan.Fence, plan.Path, plan.Pond, plan.Bed, plan.TrapCrop, plan.Hedgerow,
	plan.PerennialStrip, plan.FlowerStrip, plan.BeetleBank, plan.WildMargin, plan.CoverCrop, plan.Tree}

// Measure makes the book of a plan from the two stakes farthest apart, with lengths rounded to the step in metres.
func Measure(p *plan.Plan, step float64) (*Book, error) {
	var first, second *plan.Feature
	base := 0.0
	for i, f := range p.Features {
		for _, g := range p.Features[i+1:] {
			a, okA := stake(f)
			c, okC := stake(g)
			if d := far(a, c); okA && okC && d > base {
				first, second, base = f, g, d
			}
		}
	}
	if first == nil {
		return nil, ErrStakes
	}
	return Between(p, step, first, second)
}

// Between does so from two stakes of the plan, with the base line from the first to the second.
func Between(p *plan.Plan, step float64, first, second *plan.Feature) (*Book, error) {
	b := &Book{First: first, Second: second, StepM: step}
	x, ok1 := stake(first)
	y, ok2 := stake(second)
	if b.BaseM = far(x, y); !ok1 || !ok2 || b.BaseM < 1 {
		return nil, ErrStakes
	}
	for _, k := range order {
		for _, f := range p.Features {
			if f.Kind == k {
				b.Pieces = append(b.Pieces, b.pieces(f)...)
			}
		}
	}
	for _, pc := range b.Pieces {
		for _, c := range pc.Corners {
			b.WorstM = max(b.WorstM, c.ErrorM)
		}
	}
	return b, nil
}

func stake(f *plan.Feature) (orb.Point, bool) {
	if f.Kind != plan.Stake || f.Geometry == nil {
		return orb.Point{}, false
	}
	if at, ok := f.Geometry.(orb.Point); ok {
		return at, true
	}
	return geometry.Centroid(f.Geometry), true
}

func (b *Book) pieces(f *plan.Feature) []Piece {
	if f.Centre != nil && f.RadiusM > 0 {
		return []Piece{{Feature: f, Corners: []Corner{b.corner(*f.Centre)}, RadiusM: b.round(f.RadiusM)}}
	}
	var out []Piece
	for _, poly := range geometry.Polygons(f.Geometry) {
		for _, ring := range poly {
			pc := Piece{Feature: f}
			if centre, r, round := circle(ring); round {
				pc.Corners, pc.RadiusM = []Corner{b.corner(centre)}, b.round(r)
				out = append(out, pc)
				continue
			}
			if len(ring)-1 > many {
				ring = geometry.SimplifyOutline(orb.Polygon{ring}, bendM)[0]
			}
			at := b.fromTheStake(ring)
			for _, p := range at {
				pc.Corners = append(pc.Corners, b.corner(p))
			}
			if len(at) == 4 {
				pc.Diagonals = [2]float64{b.round(far(at[0], at[2])), b.round(far(at[1], at[3]))}
			}
			out = append(out, pc)
		}
	}
	return out
}

// fromTheStake lists a ring's corners once each, clockwise, the one nearest to the first stake first: people on the ground can
// then tell which is which.
func (b *Book) fromTheStake(ring orb.Ring) []orb.Point {
	at := slices.Clone(ring[:len(ring)-1])
	if ring.Orientation() == orb.CCW {
		slices.Reverse(at)
	}
	p, _ := b.ends()
	first := 0
	for i := range at {
		if far(p, at[i]) < far(p, at[first])-1e-9 {
			first = i
		}
	}
	return append(at[first:len(at):len(at)], at[:first]...)
}

// An outline with more corners than many is a drawn bend: corners are left out as long as it keeps within bendM of itself. A
// ring whose corners lie within roundM of a circle is set out by its centre. All three are our judgement.
const (
	many   = 12
	bendM  = 0.05
	roundM = 0.02
)

// circle tells whether a ring stands for a circle, with its centre and radius.
func circle(ring orb.Ring) (centre orb.Point, r float64, ok bool) {
	if len(ring)-1 < 16 {
		return centre, 0, false
	}
	centre = geometry.Centroid(orb.Polygon{ring})
	least, most := math.Inf(1), 0.0
	for _, p := range ring {
		least, most = min(least, far(centre, p)), max(most, far(centre, p))
	}
	return centre, (least + most) / 2, most-least <= roundM
}

func (b *Book) corner(at orb.Point) Corner {
	p, q := b.ends()
	ux, uy := (q[0]-p[0])/b.BaseM, (q[1]-p[1])/b.BaseM
	along := (at[0]-p[0])*ux + (at[1]-p[1])*uy
	off := (at[1]-p[1])*ux - (at[0]-p[0])*uy
	c := Corner{At: at, First: b.round(far(p, at)), Second: b.round(far(q, at)), Left: off > 0,
		Along: b.round(along), Off: b.round(math.Abs(off))}
	if got, err := b.ByTapes(c); err == nil {
		c.ErrorM = far(got, at)
	} else {
		c.ErrorM = math.Inf(1)
	}
	if c.ErrorM > flat*b.StepM {
		c.ByOffset = true
		c.ErrorM = far(b.ByOffsets(c), at)
	}
	return c
}

// ByTapes is the place that a corner's rounded tapes mark; an error where they do not meet.
func (b *Book) ByTapes(c Corner) (orb.Point, error) {
	p, q := b.ends()
	left, right, err := geometry.Trilaterate(p, q, c.First, c.Second)
	if c.Left {
		return left, err
	}
	return right, err
}

// ByOffsets is the place that a corner's rounded offsets mark.
func (b *Book) ByOffsets(c Corner) orb.Point {
	p, q := b.ends()
	ux, uy := (q[0]-p[0])/b.BaseM, (q[1]-p[1])/b.BaseM
	off := c.Off
	if !c.Left {
		off = -off
	}
	return orb.Point{p[0] + c.Along*ux - off*uy, p[1] + c.Along*uy + off*ux}
}

func (b *Book) ends() (p, q orb.Point) {
	p, _ = stake(b.First)
	q, _ = stake(b.Second)
	return p, q
}

func (b *Book) round(m float64) float64 { return math.Round(m/b.StepM) * b.StepM }

func far(a, b orb.Point) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }
