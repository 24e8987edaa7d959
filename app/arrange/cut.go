package arrange

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/google/uuid"
	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// MarginWhere says on which side of an outline a margin lies.
type MarginWhere int

// Within and without the outline; Rest is the ground that a margin within leaves.
const (
	MarginWithin MarginWhere = iota
	MarginWithout
	MarginRest
)

// leastMargin is the narrowest margin in metres: at less, rounding to the millimetre lets its two edges meet.
const leastMargin = 0.01

// Margin adds a feature of a kind all round a feature, so many metres wide, or the ground within such a margin.
func Margin(p *plan.Plan, id string, wide float64, where MarginWhere, kind plan.Kind) (*plan.Plan, []string, error) {
	f, _ := p.Find(id)
	switch {
	case f == nil:
		return nil, nil, errors.New("choose the feature that the margin goes round")
	case len(geometry.Polygons(f.Geometry)) == 0:
		return nil, nil, fmt.Errorf("%s has no outline for a margin", f.Title())
	case !(wide >= leastMargin):
		return nil, nil, errors.New("give the margin a width of 1 cm or more")
	}
	r := -wide
	if where == MarginWithout {
		r = wide
	}
	grown, err := geometry.Buffer(f.Geometry, r)
	if err != nil {
		return nil, nil, err
	}
	made := grown
	switch where {
	case MarginWithin:
		made, err = geometry.Difference(f.Geometry, grown)
	case MarginWithout:
		made, err = geometry.Difference(grown, f.Geometry)
	}
	if err != nil {
		return nil, nil, err
	}
	made, _ = Tidy(made).(orb.MultiPolygon)
	if len(made) == 0 {
		return nil, nil, fmt.Errorf("%s is too narrow: nothing is left within such a margin", f.Title())
	}
	c := p.Clone()
	n := plan.NewFeature(kind, NextName(p, kind), polygonsOf(made))
	c.Features = append(c.Features, n)
	return c, []string{n.ID}, nil
}

// Split cuts features by the straight line through a and b: those with the ids that the line from a to b itself meets, where
// it meets none of them all that it meets. Every piece is a feature; the largest of each keeps its name. It answers the ids of
// all pieces.
func Split(p *plan.Plan, ids []string, a, b orb.Point) (*plan.Plan, []string, error) {
	l := math.Hypot(b[0]-a[0], b[1]-a[1])
	if l == 0 {
		return nil, nil, errors.New("the line to cut by has no length")
	}
	var chosen, others []*plan.Feature
	for _, f := range p.Features {
		switch {
		case f.Hidden || !meets(f.Geometry, a, b):
		case slices.Contains(ids, f.ID):
			chosen = append(chosen, f)
		case !f.Locked && f.Kind != plan.Boundary:
			others = append(others, f)
		}
	}
	fs := chosen
	if len(fs) == 0 {
		fs = others
	}
	if len(fs) == 0 {
		return nil, nil, errors.New("the line meets nothing that can be cut")
	}
	for _, f := range fs {
		if f.Locked {
			return nil, nil, &LockedError{f}
		}
	}
	ux, uy := (b[0]-a[0])/l, (b[1]-a[1])/l
	out := p.Clone()
	var all []string
	cut := false
	for _, f := range fs {
		g := f.Geometry
		if len(geometry.Polygons(g)) == 0 {
			continue
		}
		// The ground to the left of the line, large enough for all of the feature.
		far := 10.0
		for _, c := range corners(g.Bound()) {
			far = max(far, math.Hypot(c[0]-a[0], c[1]-a[1])+10)
		}
		at := func(u, v float64) orb.Point { return orb.Point{a[0] + u*ux - v*uy, a[1] + u*uy + v*ux} }
		half := orb.Polygon{{at(-far, 0), at(far, 0), at(far, far), at(-far, far), at(-far, 0)}}
		left, err := geometry.Intersection(g, half)
		if err != nil {
			return nil, nil, err
		}
		right, err := geometry.Difference(g, half)
		if err != nil {
			return nil, nil, err
		}
		if geometry.Area(left) < leastPiece || geometry.Area(right) < leastPiece {
			continue
		}
		cut = true
		made, err := inPieces(out, f, append(left, right...))
		if err != nil {
			return nil, nil, err
		}
		all = append(all, made...)
	}
	if !cut {
		return nil, nil, errors.New("the line only touches what it meets, and cuts nothing")
	}
	return out, all, nil
}

func corners(b orb.Bound) [4]orb.Point {
	return [4]orb.Point{b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}}
}

// meets tells whether the segment ab has a point in common with the ground of g.
func meets(g orb.Geometry, a, b orb.Point) bool {
	polygons := geometry.Polygons(g)
	for _, p := range polygons {
		for _, r := range p {
			for i := 1; i < len(r); i++ {
				if _, ok := crossAt(a, b, r[i-1], r[i]); ok {
					return true
				}
			}
		}
	}
	return len(polygons) > 0 && geometry.Contains(g, a)
}

// Join makes one feature of several that touch or overlap. The first gives its kind, name and standing; what grows on the
// others keeps its ground.
func Join(p *plan.Plan, ids []string) (*plan.Plan, []string, error) {
	fs, err := Chosen(p, ids, 2)
	if err != nil {
		return nil, nil, err
	}
	var shapes []orb.Geometry
	for _, f := range fs {
		if len(geometry.Polygons(f.Geometry)) == 0 {
			return nil, nil, fmt.Errorf("%s has no ground to join", f.Title())
		}
		shapes = append(shapes, f.Geometry)
	}
	joined, err := geometry.Union(shapes...)
	if err != nil {
		return nil, nil, err
	}
	whole, _ := Tidy(joined).(orb.MultiPolygon)
	if parts := len(geometry.Polygons(fs[0].Geometry)); len(whole) > parts {
		return nil, nil, fmt.Errorf("%s do not touch each other: move them together first", What(fs))
	}
	c := fs[0].Clone()
	c.Geometry, c.Line, c.WidthM, c.Centre, c.RadiusM = polygonsOf(whole), nil, 0, nil, 0
	c.Crops, c.OtherYears, c.Plants = nil, nil, nil
	total := geometry.Area(c.Geometry)
	for _, f := range fs {
		part := min(1, geometry.Area(f.Geometry)/total)
		for _, x := range f.Crops {
			c.Crops = addCrop(c.Crops, x, part)
		}
		for _, y := range f.OtherYears {
			c.OtherYears = addYear(c.OtherYears, y, part)
		}
		for _, x := range f.Plants {
			c.Plants = addPlant(c.Plants, x, part)
		}
	}
	gone := make(map[string]bool, len(fs))
	for _, f := range fs[1:] {
		gone[f.ID] = true
	}
	out := replaced(p, c)
	out.Features = slices.DeleteFunc(out.Features, func(f *plan.Feature) bool { return gone[f.ID] })
	return out, []string{c.ID}, nil
}

// share is part of a share, to the six decimals that the file keeps.
func share(s, part float64) float64 { return math.Round(s*part*1e6) / 1e6 }

func addCrop(all []plan.Planting, x plan.Planting, part float64) []plan.Planting {
	x.Share = share(x.Share, part)
	for i, y := range all {
		if y.Crop == x.Crop && y.Dates == x.Dates && y.Method == x.Method && y.Variety == x.Variety {
			all[i].Share = min(1, all[i].Share+x.Share)
			return all
		}
	}
	return append(all, x)
}

// addYear adds what grew on a part of the ground in another year.
func addYear(all []plan.CropYear, y plan.CropYear, part float64) []plan.CropYear {
	i := slices.IndexFunc(all, func(z plan.CropYear) bool { return z.Year == y.Year })
	if i < 0 {
		i = len(all)
		all = append(all, plan.CropYear{Year: y.Year, Extra: y.Extra})
	}
	for _, x := range y.Crops {
		all[i].Crops = addCrop(all[i].Crops, x, part)
	}
	return all
}

func addPlant(all []plan.Growing, x plan.Growing, part float64) []plan.Growing {
	x.Share = share(x.Share, part)
	for i, y := range all {
		if y.Plant == x.Plant && y.Bloom == x.Bloom {
			all[i].Share = min(1, all[i].Share+x.Share)
			return all
		}
	}
	return append(all, x)
}

// Subtract takes the ground of the last feature out of the others: a path out of a bed. A feature that falls apart becomes
// several. It answers the ids of what is left of the others.
func Subtract(p *plan.Plan, ids []string) (*plan.Plan, []string, error) {
	var fs []*plan.Feature
	for _, id := range ids {
		if f, _ := p.Find(id); f != nil {
			fs = append(fs, f)
		}
	}
	if len(fs) < 2 {
		return nil, nil, errors.New("choose the bed first, then what is to be taken out of it")
	}
	knife := fs[len(fs)-1]
	fs, err := Chosen(p, ids[:len(ids)-1], 1)
	if err != nil {
		return nil, nil, err
	}
	out := p.Clone()
	var all []string
	cut := false
	for _, f := range fs {
		before := geometry.Area(f.Geometry)
		left, err := geometry.Difference(f.Geometry, knife.Geometry)
		if err != nil {
			return nil, nil, err
		}
		if before-geometry.Area(left) < leastPiece {
			continue
		}
		cut = true
		made, err := inPieces(out, f, left)
		if err != nil {
			return nil, nil, err
		}
		all = append(all, made...)
	}
	if !cut {
		return nil, nil, fmt.Errorf("%s does not lie over what was chosen before it", knife.Title())
	}
	return out, all, nil
}

// Add puts copies of features, with ids and names of their own, on the plan, moved by metres.
func Add(p *plan.Plan, fs []*plan.Feature, dx, dy float64) (*plan.Plan, []string) {
	out := p.Clone()
	var ids []string
	for _, f := range fs {
		c := Moved(f, dx, dy)
		c.ID, c.Name = uuid.NewString(), CopyName(out, c.Name)
		out.Features = append(out.Features, c)
		ids = append(ids, c.ID)
	}
	return out, ids
}
