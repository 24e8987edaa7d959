package proposals

import (
	"context"
	"errors"
	"math"
	"slices"

	"hedgereach/data"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/suggest"
)

// A result is one answer: a proposal, of plants with all that is said of a mix.
type result struct {
	*suggest.Proposal
	mix    *suggest.Mix
	prices map[string]float64 // of plants, where they were asked for
}

// A search runs beside the window and tells of what it finds.
type search struct {
	plan      *plan.Plan
	catalogue *data.Catalogue
	where     *suggest.Ask // nil: plants
	least     []suggest.Objective
	plants    suggest.MixAsk

	found    func(result)             // a finished answer
	progress func(p suggest.Progress) // on the way to the next
	done     func(why error)          // nil where something was found
}

// most is how many answers can be compared.
const most = 4

// run looks for places by each objective asked for, and for edits of what is there; answers that are the same come once.
func (s *search) run(ctx context.Context) {
	if s.where == nil {
		m, err := suggest.Plant(ctx, s.plan, s.catalogue, s.plants)
		if err == nil {
			s.found(result{&m.Proposal, m, s.plants.Prices})
		}
		s.done(err)
		return
	}
	var all []*suggest.Proposal
	var why error
	add := func(q *suggest.Proposal) {
		same := func(o *suggest.Proposal) bool { return alike(o, q) }
		if len(all) < most && !slices.ContainsFunc(all, same) {
			all = append(all, q)
			s.found(result{Proposal: q})
		}
	}
	for _, least := range s.least {
		k := *s.where
		k.Least = least
		q, err := suggest.Where(ctx, s.plan, s.catalogue, k, s.progress)
		if err != nil {
			why = err
			if errors.Is(err, suggest.ErrAllWithin) {
				break
			}
			continue
		}
		add(q)
	}
	if !errors.Is(why, suggest.ErrAllWithin) && ctx.Err() == nil {
		edits, err := suggest.Edits(ctx, s.plan, s.catalogue, *s.where, s.progress)
		if err != nil && why == nil {
			why = err
		}
		for _, q := range edits {
			add(q)
		}
		if len(s.least) == 0 && len(edits) == 0 && err == nil && ctx.Err() == nil {
			why = errNoEdit
		}
	}
	if len(all) > 0 {
		why = nil
	}
	s.done(why)
}

var errNoEdit = errors.New("no feature moved or widened and no bed turned into habitat brings one of these beds into reach: seek new strips")

// alike tells whether two proposals do the same for the same, be it at other places.
func alike(a, b *suggest.Proposal) bool {
	strips := func(q *suggest.Proposal) bool { return q.Patches == len(q.Changes) }
	return strips(a) && strips(b) && slices.Equal(a.Beds, b.Beds) && a.Patches == b.Patches && math.Abs(a.AreaM2-b.AreaM2) < 0.01*a.AreaM2
}
