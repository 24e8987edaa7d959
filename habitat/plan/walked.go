package plan

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
)

// A walk is a run of points as a GPS or a surveyor gives them: one feature's corners, or a single mark.
type walk struct {
	name, kind string
	points     []orb.Point
	where      string // "line 12" or "track 3", for messages
}

// kindOf finds a kind in a word of the walk's own: the kind that it names, or a kind at the start of its name.
func (w walk) kindOf() Kind {
	norm := func(s string) string { return strings.ReplaceAll(strings.ToLower(strings.TrimSpace(s)), " ", "-") }
	if k := Kind(norm(w.kind)); k.Known() {
		return k
	}
	name := norm(w.name)
	for _, k := range Kinds {
		rest, found := strings.CutPrefix(name, string(k))
		if found && (rest == "" || rest[0] == '-' || rest[0] >= '0' && rest[0] <= '9') {
			return k
		}
	}
	return ""
}

// feature makes a feature of the walk: an outline of three corners or more, a mark of one point. With two points it is
// neither, and nil.
func (w walk) feature() *Feature {
	f := &Feature{Name: cut(w.name, MaxName), Kind: w.kindOf()}
	var ring orb.Ring
	for _, p := range w.points { // a receiver at rest repeats its point
		if len(ring) == 0 || ring[len(ring)-1] != p {
			ring = append(ring, p)
		}
	}
	if len(ring) > 1 && ring[0] == ring[len(ring)-1] {
		ring = ring[:len(ring)-1]
	}
	switch {
	case len(ring) >= 3:
		f.Geometry = orb.Polygon{append(ring, ring[0])}
	case len(ring) == 1:
		f.Geometry = ring[0]
		if f.Kind == "" {
			f.Kind = Stake
		}
	default:
		return nil
	}
	return f
}

// nameKinds says what the outlines without a kind are: the one that holds all others is the boundary, the others are beds.
func nameKinds(features []*Feature, note func(format string, a ...any)) {
	var boundary bool
	var largest *Feature // the only one that can hold all others: to ask each takes as long as the square of them
	most := -1.0
	for _, f := range features {
		boundary = boundary || f.Kind == Boundary
		if _, ok := f.Geometry.(orb.Polygon); ok && f.Kind == "" {
			if a := geometry.Area(f.Geometry); a > most {
				largest, most = f, a
			}
		}
	}
	for _, f := range features {
		outline, ok := f.Geometry.(orb.Polygon)
		if !ok || f.Kind != "" {
			continue
		}
		f.Kind = Bed
		if !boundary && f == largest && holdsAll(outline, features) {
			f.Kind, boundary = Boundary, true
		}
		note("%q has no kind and was taken for a %s", cut(f.Name, 40), f.Kind)
	}
}

func holdsAll(outline orb.Polygon, features []*Feature) bool {
	for _, f := range features {
		other, ok := f.Geometry.(orb.Polygon)
		if !ok {
			continue
		}
		for _, p := range other[0] {
			if !geometry.Contains(outline, p) {
				return false
			}
		}
	}
	return true
}

// fromWalks makes a plan of walks, in degrees (longitude, latitude) or in metres.
func fromWalks(walks []walk, degrees bool, title string) (*Plan, []string, error) {
	c := &collector{decoder: &decoder{}, plan: New(cut(title, MaxName))}
	var features []*Feature
	points := 0
	for _, w := range walks {
		if points += len(w.points); points > MaxPoints || len(walks) > MaxFeatures {
			return nil, nil, &ReadError{What: "it has too many points or features", Mend: "thin it out or split it"}
		}
		w.name = c.without(w.name, unseen)
		f := w.feature()
		if f == nil {
			c.note("%s, %q, has fewer than three corners and was left out", w.where, cut(w.name, 40))
			continue
		}
		features = append(features, f)
	}
	if len(features) == 0 {
		return nil, nil, &ReadError{What: "there are no outlines or marks in it", Mend: "give three or more points a bed"}
	}
	nameKinds(features, c.note)
	for i, f := range features {
		f.ID = stableID(i, fmt.Sprintf("%s %s %v", f.Kind, f.Name, f.Geometry))
		c.features = append(c.features, foreign{f, i})
	}
	if degrees {
		if err := c.bring(); err != nil {
			return nil, nil, err
		}
	} else {
		for _, f := range features {
			f.roundGeometry()
		}
		c.plan.Features = features
	}
	if err := c.plan.Check(); err != nil {
		return nil, nil, err
	}
	return c.plan, gather(append(c.remarks(), c.notes...)), nil
}
