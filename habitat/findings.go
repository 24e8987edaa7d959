package habitat

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// cite is the citations of sources as one line, with what they do not cover.
func (v *view) cite(ids []string, practice string) string {
	var parts []string
	for _, id := range ids {
		if s := v.Catalogue.Source(id); s != nil {
			parts = append(parts, strings.TrimSuffix(s.Citation, "."))
		}
	}
	if practice != "" {
		parts = append(parts, practice)
	}
	return strings.Join(parts, "; ")
}

func (v *view) length(m float64) string { return length.Format(m, v.units) }
func (v *view) reach(m float64) string  { return RangeText(m, v.units) }

func invalidGeometry(v *view) (found []Finding) {
	for _, f := range v.Plan.Features {
		err := v.invalid[f]
		if err == nil {
			continue
		}
		fd := Finding{Features: []string{f.ID}, Message: fmt.Sprintf("%s takes no part in the measures: %v.", label(f), err),
			Mend: "Redraw it there."}
		if bad, ok := err.(*geometry.InvalidError); ok {
			fd.Message = fmt.Sprintf("%s takes no part in the measures: %s near %s.", label(f), bad.Reason, v.point(bad.At))
			fd.Show = []orb.Point{bad.At}
		}
		found = append(found, fd)
	}
	return found
}

func (v *view) point(p orb.Point) string {
	return fmt.Sprintf("(%.1f, %.1f) m", p[0], p[1])
}

func noRefuge(v *view) []Finding {
	if len(v.beds) == 0 || slices.ContainsFunc(v.good, func(x *facts) bool { return x.feature.IsRefuge() }) {
		return nil
	}
	return []Finding{{
		Message: "Nothing here gives natural enemies shelter all year: there is no hedgerow, perennial flower strip, beetle bank, wild margin, tree or shrub.",
		Mend:    "Draw what stands at the edges already, or plan a hedgerow, beetle bank or perennial strip.",
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
		fd.Mend = fmt.Sprintf("Habitat for them within %s of its far end would bring it into reach.", v.reach(beyond[0].Guild.TypicalM))
		return fd
	}
	l := best.Link
	fd.Message += fmt.Sprintf(": %s, the nearest refuge of %s, is %s away.", label(l.Nearest), lower(best.Guild.Name), v.length(l.NearestM))
	fd.Mend = fmt.Sprintf("Habitat for %s within %s of its far end would bring it into reach.", lower(best.Guild.Name), v.reach(best.Guild.TypicalM))
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
		found = append(found, Finding{Features: ids, Source: v.rangeSources([]*GuildReach{{Guild: g}}), Evidence: g.Origin.Evidence,
			Message: fmt.Sprintf("%s work within %s of food and shelter: %d of the %d beds where they matter %s beyond.",
				g.Name, v.reach(g.TypicalM), len(ids), asked, plural(len(ids), "lies", "lie")),
			Mend: fmt.Sprintf("Flowers in the beds, or strips no more than %s apart, would bring them into reach.", v.reach(2*g.TypicalM))})
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
		fd.Message += fmt.Sprintf("; %s cannot be reached on foot by %s, at least in part.", label(at.Feature), lower(worst.Guild.Name))
		fd.Show = nil
	} else {
		fd.Message += fmt.Sprintf("; %s have %s to go to the far end of %s instead of %s.", lower(worst.Guild.Name), v.length(worst.Link.FarthestM),
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
		if slices.ContainsFunc(barriers, func(x *facts) bool { return x.feature != l.Nearest && x.crossedBy(l.NearestFrom, l.NearestTo) }) {
			beds = append(beds, b.Feature)
			ids = append(ids, b.Feature.ID)
		}
	}
	if len(beds) == 0 {
		return nil
	}
	return []Finding{{Features: ids, Message: names(beds) + plural(len(beds), " is", " are") + " nearest to what feeds hoverflies across a hedge or a broad path. Sources disagree on whether they cross; the distances take it that they do.",
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

func bloomGap(v *view) (found []Finding) {
	for _, run := range runs(v.Site.BloomGaps) {
		first, last := run[0], run[len(run)-1]
		least, most := math.MaxInt, 0
		for _, h := range run {
			n := v.Site.Cover[h].Species
			least, most = min(least, n), max(most, n)
		}
		counted := fmt.Sprintf("%s %s", number(least), plural(least, "species flowers", "species flower"))
		if least == 0 && most == 0 {
			counted = "nothing flowers"
		} else if least != most {
			counted = fmt.Sprintf("%s to %s species flower", number(least), number(most))
		}
		w := season.Window{From: first.First(), To: last.Last()}
		fd := Finding{Message: fmt.Sprintf("From %s to %s %s here; fewer than three in flower is a gap.", w.From.Label(), w.To.Label(), counted)}
		for _, x := range v.habitats {
			if len(x.feature.Plants) > 0 {
				fd.Features = append(fd.Features, x.feature.ID)
			}
		}
		fd.Mend = "Plants in flower then would close it."
		if names := v.wouldFlower(run); len(names) > 0 {
			fd.Mend = "Plants that flower then: " + join(names) + "."
		}
		found = append(found, fd)
	}
	return found
}

// runs parts half-months that follow one another.
func runs(list []season.HalfMonth) (all [][]season.HalfMonth) {
	for i, h := range list {
		if i > 0 && (list[i-1]+1)%season.HalfMonths == h {
			all[len(all)-1] = append(all[len(all)-1], h)
			continue
		}
		all = append(all, []season.HalfMonth{h})
	}
	return all
}

// wouldFlower names up to three plants of the catalogue that are not on the site and flower in most of a gap, those that feed
// the most guilds first. Plants with a caution, or not to be offered here, are left out.
func (v *view) wouldFlower(gap []season.HalfMonth) (names []string) {
	type offer struct {
		plant *data.Plant
		steps int
	}
	here := map[string]bool{}
	for _, x := range v.habitats {
		for _, g := range x.feature.Plants {
			here[g.Plant] = true
		}
	}
	var offers []offer
	for _, p := range v.Catalogue.Plants {
		if here[p.ID] || p.Caution != "" || !v.hardy(p) || !v.offered(p) {
			continue
		}
		n := 0
		for _, h := range gap {
			if v.calendar.windows[p.ID].Covers(h) {
				n++
			}
		}
		if n > 0 {
			offers = append(offers, offer{p, n})
		}
	}
	slices.SortStableFunc(offers, func(a, b offer) int {
		if a.steps != b.steps {
			return b.steps - a.steps
		}
		return len(b.plant.Guilds) - len(a.plant.Guilds)
	})
	for _, o := range offers[:min(3, len(offers))] {
		names = append(names, o.plant.Name)
	}
	return names
}

// offered tells whether a plant may be offered here: not where it is a weed, nor, without a place, where it is one anywhere.
func (v *view) offered(p *data.Plant) bool {
	if v.Plan.Place == nil {
		return len(p.NotOfferedIn) == 0
	}
	return !slices.Contains(p.NotOfferedIn, continent(v.Plan.Place))
}

// hardy tells whether a plant outlasts the winter in the plan's hardiness zone, or need not; yes where either is not known.
func (v *view) hardy(p *data.Plant) bool {
	if v.Plan.Place == nil || p.ZoneMin == 0 || strings.HasPrefix(p.LifeCycle, "annual") {
		return true
	}
	zone, err := strconv.Atoi(strings.TrimRight(strings.ToLower(strings.TrimSpace(v.Plan.Place.HardinessZone)), "ab"))
	return err != nil || zone >= p.ZoneMin
}

func coverIsLow(v *view) []Finding {
	var low []season.HalfMonth
	sum := 0.0
	lowest := Cover{Fraction: math.Inf(1)}
	for _, h := range v.Site.Season {
		c := v.Site.Cover[h]
		sum += c.Fraction
		if c.Fraction < coverLow {
			low = append(low, h)
		}
		if c.Fraction < lowest.Fraction {
			lowest = c
		}
	}
	flowers := slices.ContainsFunc(v.habitats, func(x *facts) bool { return len(x.feature.Plants) > 0 })
	if len(low) == 0 || !flowers || v.Site.AreaM2 == 0 {
		return nil // without any flowers the bloom gap says it
	}
	fd := Finding{Severity: Advice, Mend: "More ground with plants in flower at those times; 5–10 % is a good aim."}
	if sum/float64(len(v.Site.Season)) < coverLow {
		fd.Severity = Warning
	}
	fd.Message = fmt.Sprintf("Less than 2 %% of the ground is in flower in %d of the %d half-months between the frosts; the least, %s, in %s.",
		len(low), len(v.Site.Season), percent(lowest.Fraction), lowest.HalfMonth.Label())
	return []Finding{fd}
}

func habitatIsLow(v *view) []Finding {
	part := share(v.Site.HabitatM2, v.Site.AreaM2)
	if len(v.beds) == 0 || v.Site.AreaM2 == 0 || part >= habitatAim {
		return nil
	}
	fd := Finding{Severity: Advice}
	if part < habitatLow {
		fd.Severity = Warning
	}
	fd.Message = fmt.Sprintf("Habitat covers %s of the ground, %s.", percent(part), length.FormatArea(v.Site.HabitatM2, v.units))
	fd.Mend = fmt.Sprintf("%s more would make it 5 %%; 5–10 %% is a good aim.", length.FormatArea(habitatAim*v.Site.AreaM2-v.Site.HabitatM2, v.units))
	return []Finding{fd}
}

func trapWithoutRemoval(v *view) (found []Finding) {
	for _, x := range v.good {
		f := x.feature
		if f.Kind != plan.TrapCrop || f.Trapping != nil && strings.TrimSpace(f.Trapping.Removal) != "" {
			continue
		}
		found = append(found, Finding{Features: []string{f.ID},
			Message: label(f) + " does not say how the pest is removed from it. Of about a hundred trap crops reviewed, the ten that worked in practice all kept the pest from moving on.",
			Mend:    "Plan how and when: vacuuming, hand picking, mowing or ploughing in, before the pest leaves.",
		})
	}
	return found
}

// outsideM2 and outsidePart are how much may stick out before it is worth a word.
const (
	outsideM2   = 0.5
	outsidePart = 0.01
)

func outsideBoundary(v *view) []Finding {
	if v.ground.hull || len(v.ground.shape) == 0 {
		return nil
	}
	var out []*plan.Feature
	var ids []string
	for _, x := range v.good {
		switch x.feature.Kind {
		case plan.Boundary, plan.Stake, plan.Trap, plan.Fence:
			continue
		}
		if x.outside(v.ground) > max(outsideM2, outsidePart*x.area) {
			out = append(out, x.feature)
			ids = append(ids, x.feature.ID)
		}
	}
	if len(ids) == 0 {
		return nil
	}
	return []Finding{{Features: ids, Message: isOrAre(out) + " partly or wholly outside the boundary; what lies outside does not count as ground.",
		Mend: "Move them in, or move the boundary out."}}
}

// outside is the area in m² of a feature off the ground, kept while the ground is the same.
func (x *facts) outside(g *ground) float64 {
	if x.outsideOf == g {
		return x.outsideM2
	}
	x.outsideOf, x.outsideM2 = g, 0
	if !holds(g.shape, x.shape) {
		if in, err := geometry.Intersection(x.shape, g.shape); err == nil {
			x.outsideM2 = x.area - geometry.Area(in)
		}
	}
	return x.outsideM2
}

// bedOverlapM2 is how much two beds may share before it is worth a word: drawing by hand is no more exact.
const bedOverlapM2 = 0.05

func bedsOverlap(v *view) []Finding {
	var ids []string
	var worst float64
	var pair string
	for _, p := range boxPairs(v.beds) {
		x, y := v.beds[p[0]], v.beds[p[1]]
		m2 := v.overlap(x, y)
		if m2 <= bedOverlapM2 {
			continue
		}
		for _, f := range []*plan.Feature{x.feature, y.feature} {
			if !slices.Contains(ids, f.ID) {
				ids = append(ids, f.ID)
			}
		}
		if m2 > worst {
			worst, pair = m2, fmt.Sprintf("%s and %s", label(x.feature), label(y.feature))
		}
	}
	if len(ids) == 0 {
		return nil
	}
	return []Finding{{Features: ids, Message: fmt.Sprintf("%s share %s of ground.%s", pair, length.FormatArea(worst, v.units), andMore(len(ids)-2)),
		Mend: "Move or reshape one of them; ground under two beds counts in both."}}
}

func andMore(n int) string {
	if n <= 0 {
		return ""
	}
	return fmt.Sprintf(" %s more %s overlap, too.", capital(number(n)), plural(n, "bed", "beds"))
}

// unknownNames gathers ids that the catalogue does not have: nothing is known of their bloom, pests or guilds.
func unknownNames(v *view) (found []Finding) {
	var names, ids []string
	miss := func(what, id string, f *plan.Feature) {
		name := fmt.Sprintf("%s %q", what, id)
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
		if !slices.Contains(ids, f.ID) {
			ids = append(ids, f.ID)
		}
	}
	for _, f := range v.Plan.Features {
		for _, c := range f.Crops {
			if v.Catalogue.Crop(c.Crop) == nil {
				miss("crop", c.Crop, f)
			}
		}
		for _, g := range f.Plants {
			if v.Catalogue.Plant(g.Plant) == nil {
				miss("plant", g.Plant, f)
			}
		}
		if t := f.Trapping; t != nil && t.Pest != "" && v.Catalogue.Pest(t.Pest) == nil {
			miss("pest", t.Pest, f)
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []Finding{{Features: ids, Message: fmt.Sprintf("The catalogue does not know the %s; nothing is said of %s.", join(shorten(names)), plural(len(names), "it", "them")),
		Mend: "Choose a name from the catalogue, or leave it as a note to yourself."}}
}

func noPlace(v *view) []Finding {
	if v.Plan.Place != nil {
		return nil
	}
	return []Finding{{Message: "The plan has no place, so plants are shown to flower when they do where their dates were noted.",
		Mend: "Give its latitude and longitude."}}
}

func noFrostDates(v *view) []Finding {
	if len(v.Site.Season) > 0 {
		return nil
	}
	return []Finding{{Message: "The last and first frost are not given, so bloom gaps and low flowering cover are not looked for.",
		Mend: "Give the usual days of the last frost in spring and the first in autumn."}}
}
