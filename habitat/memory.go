package habitat

import (
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// memory is what was found in the last round, to be said again where it still holds.
type memory struct {
	site  siteSaid
	short []shortSaid
	room  []Finding // for putting findings together

	shortfalls []shortfall // room for them, and for the beds in them
	ints       []int32

	barriers *crowd
	barring  []*facts        // room for them
	crossed  []*plan.Feature // beds that are reached across barriers
	spare    []*plan.Feature // room for them
	crossing []Finding
}

// siteSaid is what rules about the site as a whole found, by rule, and what that depends on besides habitat, ground and place.
type siteSaid struct {
	units  length.System
	beds   bool
	region data.Region
	found  [][]Finding
}

// shortSaid is what was said of a shortfall.
type shortSaid struct {
	rule   *rule
	guilds guildSet
	beds   []*Bed
	asked  int
	units  length.System
	found  Finding
	round  int // in which it last held
}

// again is what was said of a shortfall, if every bed of it is the one that it was.
func (v *view) again(f shortfall) (Finding, bool) {
	for i := range v.memory.short {
		s := &v.memory.short[i]
		if s.rule != v.rule || s.asked != f.asked || s.units != v.units || len(s.beds) != len(f.beds) || s.guilds != f.guilds {
			continue
		}
		same := true
		for k, b := range s.beds {
			same = same && b == v.Beds[f.beds[k]]
		}
		if same {
			s.round = v.round
			return s.found, true
		}
	}
	return Finding{}, false
}

// remember keeps what is said of a shortfall, filled in.
func (v *view) remember(f shortfall, fd Finding) Finding {
	v.fill(&fd)
	s := shortSaid{rule: v.rule, guilds: f.guilds, asked: f.asked, units: v.units, found: fd, round: v.round}
	m := &v.memory
	i := slices.IndexFunc(m.short, func(was shortSaid) bool { return was.round != v.round && was.rule == v.rule })
	if i < 0 {
		i = len(m.short)
		m.short = append(m.short, shortSaid{})
	}
	s.beds = m.short[i].beds[:0]
	for _, k := range f.beds {
		s.beds = append(s.beds, v.Beds[k])
	}
	m.short[i] = s
	return fd
}

// ids lists the ids of beds; the list of a finding in which they were the same serves again.
func (v *view) ids(beds []int32) []string {
	for i := range v.memory.short {
		was := v.memory.short[i].found.Features
		same := len(was) == len(beds)
		for k := 0; k < len(beds) && same; k++ {
			same = was[k] == v.Beds[beds[k]].Feature.ID
		}
		if same {
			return was
		}
	}
	ids := make([]string, len(beds))
	for k, i := range beds {
		ids[k] = v.Beds[i].Feature.ID
	}
	return ids
}

// forget drops what does not hold any more.
func (m *memory) forget(round int) {
	m.short = slices.DeleteFunc(m.short, func(s shortSaid) bool { return s.round != round })
}

// crossing is whether a bed is reached across a barrier, with what that depends on.
type crossing struct {
	link    *Link
	round   int // in which it last held
	crossed bool
}

// bar brings the barriers up to date and answers the boxes of those that changed.
func (m *memory) bar(barriers []*facts) (changed []orb.Bound) {
	var was []*facts
	if m.barriers != nil {
		was = m.barriers.list
	}
	if m.barriers != nil && slices.Equal(was, barriers) {
		return nil
	}
	gone, _ := difference(was, barriers, itself)
	for _, x := range gone {
		changed = append(changed, x.bound)
	}
	m.barriers = newCrowd(slices.Clone(barriers))
	return changed
}
