// Package arrange edits plans, whole features at a time: rows and blocks of equal beds, copies and mirror images, edges in
// line, margins, cuts and joins. Each function takes a plan and answers a new one; the old one is not changed. It knows no
// window.
package arrange

import (
	"errors"
	"fmt"
	"math"

	"github.com/google/uuid"
	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// MostCopies is how many features one row or block may come to.
const MostCopies = 500

// A Block is equal features side by side, and end to end where it has more than one column. Paths are metres.
type Block struct {
	Rows      int     // side by side, across the long side of the first
	PathM     float64 // between the sides of neighbours
	Columns   int     // end to end, along the long side
	CrossM    float64 // between the ends of neighbours
	Back      bool    // rows to the other hand
	WithCrops bool    // copies grow what the first grows
}

// Fill is how many rows fit within a length across them, the first among them: the most with n·width + (n−1)·path ≤ length.
func Fill(widthM, pathM, lengthM float64) int {
	if !(widthM > 0) || widthM+pathM <= 0 || lengthM < widthM {
		return 0
	}
	return int(math.Floor((lengthM+pathM)/(widthM+pathM) + 1e-9))
}

// Sides are the length and width in metres of the least rectangle about a feature, and the unit vectors along them: along
// points right, across to its left (up, for a feature that lies level). False for a feature without ground.
func Sides(f *plan.Feature) (length, width float64, along, across orb.Point, ok bool) {
	box := geometry.OrientedBox(f.Geometry)
	if len(box) == 0 || len(box[0]) < 4 {
		return 0, 0, along, across, false
	}
	r := box[0]
	a, b := orb.Point{r[1][0] - r[0][0], r[1][1] - r[0][1]}, orb.Point{r[2][0] - r[1][0], r[2][1] - r[1][1]}
	la, lb := math.Hypot(a[0], a[1]), math.Hypot(b[0], b[1])
	if la < lb {
		a, la, lb = b, lb, la
	}
	along = orb.Point{a[0] / la, a[1] / la}
	if along[0] < -1e-12 || math.Abs(along[0]) <= 1e-12 && along[1] < 0 {
		along = orb.Point{-along[0], -along[1]}
	}
	return la, lb, along, orb.Point{-along[1], along[0]}, true
}

// MakeBlock puts a block on the plan, of which the feature with the id is the first. It answers the new plan and the ids of all
// in the block. The error says what to change.
func MakeBlock(p *plan.Plan, id string, b Block) (*plan.Plan, []string, error) {
	f, _ := p.Find(id)
	if f == nil {
		return nil, nil, errors.New("choose one feature to make a row of")
	}
	length, width, along, across, ok := Sides(f)
	switch {
	case !ok:
		return nil, nil, fmt.Errorf("%s has no ground to make a row of", f.Title())
	case b.Rows < 1 || b.Columns < 1 || b.Rows*b.Columns < 2:
		return nil, nil, errors.New("a row needs two beds or more")
	case b.Rows*b.Columns > MostCopies:
		return nil, nil, fmt.Errorf("that would be %d features: make %d at the most in one step", b.Rows*b.Columns, MostCopies)
	case b.PathM < 0 || b.CrossM < 0:
		return nil, nil, errors.New("a path has no width below nothing")
	}
	if b.Back {
		across = orb.Point{-across[0], -across[1]}
	}
	out, ids := p.Clone(), []string{f.ID}
	for c := range b.Columns {
		for r := range b.Rows {
			if c == 0 && r == 0 {
				continue
			}
			da, dn := float64(c)*(length+b.CrossM), float64(r)*(width+b.PathM)
			g := Moved(f, da*along[0]+dn*across[0], da*along[1]+dn*across[1])
			g.ID, g.Name = uuid.NewString(), CopyName(out, f.Name)
			if !b.WithCrops {
				g.Crops, g.OtherYears, g.Cover, g.LaterCovers, g.Treatments = nil, nil, nil, nil, nil
			}
			out.Features = append(out.Features, g)
			ids = append(ids, g.ID)
		}
	}
	return out, ids, nil
}

// Moved is a copy of the feature moved by dx, dy metres, to the millimetre, with all that says where it lies.
func Moved(f *plan.Feature, dx, dy float64) *plan.Feature {
	c := f.Clone()
	move := func(p orb.Point) orb.Point {
		return orb.Point{math.Round((p[0]+dx)*1000) / 1000, math.Round((p[1]+dy)*1000) / 1000}
	}
	each := func(ps []orb.Point) {
		for i := range ps {
			ps[i] = move(ps[i])
		}
	}
	switch g := c.Geometry.(type) {
	case orb.Point:
		c.Geometry = move(g)
	case orb.Polygon:
		for _, r := range g {
			each(r)
		}
	case orb.MultiPolygon:
		for _, p := range g {
			for _, r := range p {
				each(r)
			}
		}
	}
	each(c.Line)
	if c.Centre != nil {
		m := move(*c.Centre)
		c.Centre = &m
	}
	return c
}
