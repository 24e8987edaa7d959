package habitat

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

func noRefuge(v *view) []Finding {
	if len(v.beds) == 0 || slices.ContainsFunc(v.good, func(x *facts) bool { return x.feature.IsRefuge() }) {
		return nil
	}
	return []Finding{{
		Message: "Nothing here gives natural enemies shelter all year: there is no hedgerow, perennial flower strip, beetle " +
			"bank, wild margin, tree or shrub.",
		Mend: "Draw what stands at the edges already, or plan a hedgerow, beetle bank or perennial strip.",
	}}
}

// relevant are the guilds that a bed's findings speak of: natural enemies that hold the pests of its crops and have a
// published range. A bed without crops that the catalogue knows is judged for all that have a range.
func (a *Assessor) relevant(f *plan.Feature) (guilds guildSet) {
	holds := map[string]bool{}
	for _, c := range f.Crops {
		crop := a.catalogue.Crop(c.Crop)
		if crop == nil {
			continue
		}
		for _, id := range crop.Pests {
			if pest := a.catalogue.Pest(id); pest != nil {
				for _, g := range pest.Guilds {
					holds[g] = true
				}
			}
		}
	}
	for i, g := range a.catalogue.Guilds {
		if g.HasRange() && !g.Pollinator && (len(holds) == 0 || holds[g.ID]) {
			guilds |= 1 << i
		}
	}
	return guilds
}

// standing finds the guilds for which the i-th bed has the status, of those that matter to it: short-range guilds or the
// others.
func (v *view) standing(i int, s Status, short bool) (guilds guildSet) {
	relevant := v.beds[i].bed.relevant
	for j := range v.Beds[i].Guilds {
		r := &v.Beds[i].Guilds[j]
		if r.Status == s && relevant.has(j) && (r.Guild.TypicalM <= shortRangeM) == short {
			guilds |= 1 << j
		}
	}
	return guilds
}

// of lists a bed's standings with guilds, in catalogue order.
func (s guildSet) of(b *Bed) (list []*GuildReach) {
	for j := range b.Guilds {
		if s.has(j) {
			list = append(list, &b.Guilds[j])
		}
	}
	return list
}

// bedBeyondRange names each bed with the guilds that do not reach it. The source is that of the guilds' ranges.
func bedBeyondRange(v *view) (found []Finding) {
	if len(noRefuge(v)) > 0 && !v.anyLink() {
		return nil // one finding says it all
	}
	for i, b := range v.Beds {
		r := v.beds[i].bed
		if r.beyond == nil || r.units != v.Plan.Units {
			r.beyond, r.units = v.beyond(b, v.standing(i, Beyond, false).of(b)), v.Plan.Units
		}
		if r.beyond.Message != "" {
			found = append(found, *r.beyond)
		}
	}
	return found
}

// beyond is what is said of a bed that guilds do not reach; empty for no guilds.
func (v *view) beyond(b *Bed, beyond []*GuildReach) *Finding {
	if len(beyond) == 0 {
		return &Finding{}
	}
	// The guild with a refuge that is nearest to reaching the bed is the one to start with.
	var best *GuildReach
	for _, r := range beyond {
		if r.Link != nil && (best == nil || r.Link.NearestM-r.Guild.TypicalM < best.Link.NearestM-best.Guild.TypicalM) {
			best = r
		}
	}
	fd := &Finding{Features: []string{b.Feature.ID}, Source: v.rangeSources(beyond), Evidence: weakest(beyond)}
	fd.Message = fmt.Sprintf("%s lies beyond the typical range of %s", label(b.Feature), v.guildsWithRange(beyond))
	if best == nil {
		barred := slices.ContainsFunc(beyond, func(r *GuildReach) bool { return r.Straight != nil })
		if barred {
			fd.Message += ": buildings or ponds bar every way to it."
		} else {
			fd.Message += ": nothing here shelters or feeds them."
		}
		fd.Mend = fmt.Sprintf("Habitat for them within %s of its far end would bring it into reach.",
			v.reach(beyond[0].Guild.TypicalM))
		return fd
	}
	l := best.Link
	fd.Message += fmt.Sprintf(": %s, the nearest refuge of %s, is %s away.", label(l.Nearest), lower(best.Guild.Name),
		v.length(l.NearestM))
	fd.Mend = fmt.Sprintf("Habitat for %s within %s of its far end would bring it into reach.", lower(best.Guild.Name),
		v.reach(best.Guild.TypicalM))
	fd.Features = append(fd.Features, l.Nearest.ID)
	fd.Show = []orb.Point{l.NearestFrom, l.NearestTo}
	return fd
}

func (v *view) anyLink() bool {
	for _, b := range v.Beds {
		for i := range b.Guilds {
			if b.Guilds[i].Link != nil {
				return true
			}
		}
	}
	return false
}

// bedPartly gathers beds that reach out of the range of the same guilds.
func bedPartly(v *view) (found []Finding) {
	type group struct {
		guilds guildSet
		beds   []*Bed
	}
	var groups []*group
	index := map[guildSet]*group{}
	for i, b := range v.Beds {
		partly := v.standing(i, Partly, false)
		if partly == 0 {
			continue
		}
		g := index[partly]
		if g == nil {
			g = &group{guilds: partly}
			index[partly] = g
			groups = append(groups, g)
		}
		g.beds = append(g.beds, b)
	}
	for _, g := range groups {
		guilds := g.guilds.of(g.beds[0])
		fd := Finding{Source: v.rangeSources(guilds), Evidence: weakest(guilds)}
		var features []*plan.Feature
		for _, b := range g.beds {
			features = append(features, b.Feature)
			fd.Features = append(fd.Features, b.Feature.ID)
		}
		fd.Message = fmt.Sprintf("%s only partly in the typical range of %s.", isOrAre(features), v.guildsWithRange(guilds))
		fd.Mend = "Habitat nearer to the far ends would bring the rest into reach."
		if len(g.beds) == 1 {
			l := guilds[0].Link
			if !math.IsInf(l.FarthestM, 1) {
				fd.Message = strings.TrimSuffix(fd.Message, ".") +
					fmt.Sprintf(": its farthest point is %s from %s.", v.length(l.FarthestM), label(l.Farthest))
			}
			fd.Show = []orb.Point{l.FarthestFrom, l.FarthestTo}
			fd.Mend = "Habitat nearer to its far end would bring the rest into reach."
		}
		found = append(found, fd)
	}
	return found
}

// bedBeyondShort says once for each short-range guild which beds it does not reach.
func bedBeyondShort(v *view) (found []Finding) {
	for i, g := range v.Catalogue.Guilds {
		if !g.HasRange() || g.TypicalM > shortRangeM || g.Pollinator {
			continue
		}
		asked := 0
		var ids []string
		for j, b := range v.Beds {
			if !v.beds[j].bed.relevant.has(i) {
				continue
			}
			asked++
			if b.Guilds[i].Status == Beyond {
				ids = append(ids, b.Feature.ID)
			}
		}
		if len(ids) == 0 {
			continue
		}
		found = append(found, Finding{Features: ids, Source: v.rangeSources([]*GuildReach{{Guild: g}}),
			Evidence: g.Origin.Evidence,
			Message: fmt.Sprintf("%s work within %s of food and shelter: %d of the %d beds where they matter %s beyond.",
				g.Name, v.reach(g.TypicalM), len(ids), asked, plural(len(ids), "lies", "lie")),
			Mend: fmt.Sprintf("Flowers in the beds, or strips no more than %s apart, would bring them into reach.",
				v.reach(2*g.TypicalM))})
	}
	return found
}

// longerOnFootM is by how much a way must be longer than the straight line to be worth a word.
const longerOnFootM = 0.5

// longerOnFoot says once which beds lie behind a building or pond for guilds that walk. That walkers go round them is our
// reading of their being walkers; the source is that of their ranges.
func longerOnFoot(v *view) []Finding {
	var worst *GuildReach
	var at *Bed
	var beds []*plan.Feature
	var ids []string
	guilds := guildSet(0)
	for i, b := range v.Beds {
		longer := false
		for j := range b.Guilds {
			r := &b.Guilds[j]
			if r.Straight == nil || !v.beds[i].bed.relevant.has(j) || r.detour() < longerOnFootM {
				continue
			}
			longer = true
			guilds |= 1 << j
			if worst == nil || r.detour() > worst.detour() {
				worst, at = r, b
			}
		}
		if longer {
			beds = append(beds, b.Feature)
			ids = append(ids, b.Feature.ID)
		}
	}
	if worst == nil {
		return nil
	}
	list := guilds.of(at)
	fd := Finding{Features: ids, Source: v.rangeSources(list), Evidence: weakest(list), Show: worst.Way,
		Mend: "Plan habitat on the same side as these beds, if the way is too long."}
	fd.Message = fmt.Sprintf("%s behind a building or pond for natural enemies that walk", liesOrLie(beds))
	if worst.Link == nil || math.IsInf(worst.Link.FarthestM, 1) {
		fd.Message += fmt.Sprintf("; %s cannot be reached on foot by %s, at least in part.", label(at.Feature),
			lower(worst.Guild.Name))
		fd.Show = nil
	} else {
		fd.Message += fmt.Sprintf("; %s have %s to go to the far end of %s instead of %s.", lower(worst.Guild.Name),
			v.length(worst.Link.FarthestM),
			label(at.Feature), v.length(worst.Straight.FarthestM))
	}
	return []Finding{fd}
}

// detour is by how many metres the way on foot to the bed's deepest point is longer than the straight line.
func (r *GuildReach) detour() float64 {
	switch {
	case r.Straight == nil:
		return 0
	case r.Link == nil:
		return math.Inf(1)
	}
	return r.Link.FarthestM - r.Straight.FarthestM
}

// contestedBarriers says once which beds hoverflies reach only across a hedge or a broad path. Sources disagree on whether that
// keeps them, so it is said and not reckoned with.
func contestedBarriers(v *view) []Finding {
	i := slices.IndexFunc(v.Catalogue.Guilds, func(g *data.Guild) bool { return g.ID == "hoverflies" })
	var barriers []*facts
	for _, x := range v.good {
		if f := x.feature; f.Kind == plan.Hedgerow || f.Kind == plan.Path && f.WidthM >= widePathM {
			barriers = append(barriers, x)
		}
	}
	if i < 0 || len(barriers) == 0 {
		return nil
	}
	var beds []*plan.Feature
	var ids []string
	for j, b := range v.Beds {
		l := b.Guilds[i].Link
		if l == nil || l.NearestM == 0 || !v.beds[j].bed.relevant.has(i) || b.Guilds[i].Status == Beyond {
			continue
		}
		if slices.ContainsFunc(barriers, func(x *facts) bool {
			return x.feature != l.Nearest &&
				x.crossedBy(l.NearestFrom, l.NearestTo)
		}) {
			beds = append(beds, b.Feature)
			ids = append(ids, b.Feature.ID)
		}
	}
	if len(beds) == 0 {
		return nil
	}
	return []Finding{{Features: ids, Message: isOrAre(beds) + " nearest to what feeds hoverflies across a hedge or a broad path. " +
		"Sources disagree on whether they cross; the distances take it that they do.",
		Mend: "Flowers on the same side would settle it."}}
}

// crossedBy tells whether the line from a to b meets the feature's outline.
func (x *facts) crossedBy(a, b orb.Point) bool {
	line := orb.Bound{Min: a, Max: a}.Extend(b)
	if !line.Intersects(x.bound) {
		return false
	}
	for _, p := range geometry.Polygons(x.shape) {
		for _, r := range p {
			if meets(orb.Ring{a, b}, r, x.bound) {
				return true
			}
		}
	}
	return false
}
