package arrange

import (
	"errors"
	"slices"

	"hedgereach/habitat/plan"
)

// Order moves features to the end of the plan's list, so that they are drawn over others of their sort, or to its beginning.
func Order(p *plan.Plan, ids []string, front bool) (*plan.Plan, error) {
	var some, rest []*plan.Feature
	for _, f := range p.Features {
		if slices.Contains(ids, f.ID) {
			some = append(some, f)
		} else {
			rest = append(rest, f)
		}
	}
	if len(some) == 0 {
		return nil, errors.New("choose a feature first")
	}
	out := p.Clone()
	if front {
		out.Features = append(rest, some...)
	} else {
		out.Features = append(some, rest...)
	}
	if slices.Equal(out.Features, p.Features) {
		return p, nil
	}
	return out, nil
}

// SetLocked locks or unlocks features; with no ids, all.
func SetLocked(p *plan.Plan, ids []string, locked bool) *plan.Plan {
	return set(p, ids, func(f *plan.Feature) *bool { return &f.Locked }, locked)
}

// SetHidden hides or shows features; with no ids, all.
func SetHidden(p *plan.Plan, ids []string, hidden bool) *plan.Plan {
	return set(p, ids, func(f *plan.Feature) *bool { return &f.Hidden }, hidden)
}

// set answers p itself where nothing changes.
func set(p *plan.Plan, ids []string, of func(*plan.Feature) *bool, to bool) *plan.Plan {
	out := p
	for i, f := range p.Features {
		if *of(f) == to || len(ids) > 0 && !slices.Contains(ids, f.ID) {
			continue
		}
		if out == p {
			out = p.Clone()
		}
		c := f.Clone()
		*of(c) = to
		out.Features[i] = c
	}
	return out
}
