package habitat

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

func noRefuge(v *view) []Finding {
	if len(v.beds) == 0 || slices.ContainsFunc(v.now.good, func(x *facts) bool { return x.feature.IsRefuge() }) {
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

// statuses parts the guilds by the bed's standing with them.
func (b *Bed) statuses(of guildSet) (standing [4]guildSet) {
	for j := range b.Guilds {
		if of.has(j) {
			standing[b.Guilds[j].Status] |= 1 << j
		}
	}
	return standing
}

// A shortfall is beds that stand alike with some guilds: one finding.
type shortfall struct {
	guilds guildSet
	beds   []int32 // by their place in Assessment.Beds
	served bool    // whether anything serves the guilds at all
	asked  int     // to how many beds the guild matters, of one of short range
}

// shortfalls gathers the beds that have the status with a guild to which they matter, of short-range guilds or of the others.
// Guilds that fail the very same beds share a finding, so that there are never more than there are guilds.
//
// The list holds until the next one is asked for.
func (v *view) shortfalls(s Status, short bool) []shortfall {
	m := &v.memory
	all, room := m.shortfalls[:0], m.ints[:0]
	defer func() { m.shortfalls, m.ints = all, room }()
	for j, g := range v.Catalogue.Guilds {
		if !g.HasRange() || g.Pollinator || (g.TypicalM <= shortRangeM) != short {
			continue
		}
		from, asked := len(room), 0
		for i, x := range v.beds {
			if x.bed.standing[s].has(j) {
				room = append(room, int32(i))
			}
			if short && x.bed.relevant.has(j) {
				asked++
			}
		}
		beds := room[from:len(room):len(room)]
		if len(beds) == 0 {
			continue
		}
		first := &v.Beds[beds[0]].Guilds[j]
		served := first.Link != nil || first.Straight != nil
		k := slices.IndexFunc(all, func(f shortfall) bool { return f.served == served && slices.Equal(f.beds, beds) })
		if k >= 0 && !short {
			all[k].guilds |= 1 << j
			room = room[:from]
			continue
		}
		all = append(all, shortfall{1 << j, beds, served, asked})
	}
	return all
}

// finding has what all findings about a shortfall share.
func (v *view) finding(f shortfall) (fd Finding, guilds []*GuildReach) {
	for j, g := range v.Catalogue.Guilds {
		if f.guilds.has(j) {
			guilds = append(guilds, &v.Beds[f.beds[0]].Guilds[j])
			fd.Guilds = append(fd.Guilds, g.ID)
		}
	}
	fd.Features = v.ids(f.beds)
	fd.Source, fd.Evidence = v.rangeSources(guilds), weakest(guilds)
	fd.Key = fd.Guilds[0]
	return fd, guilds
}

// names lists the beds of a shortfall, few enough to read.
func (f *shortfall) names(v *view) string {
	return names(len(f.beds), func(i int) *plan.Feature { return v.Beds[f.beds[i]].Feature })
}

// worst is the bed that lacks most, by a measure of how much it lacks with a guild; of the guilds that share the finding the one
// that it lacks least with speaks for it, being the one to start with. +Inf is worst: there is no way at all.
func (v *view) worst(f shortfall, lacks func(*GuildReach) float64) (bed *Bed, guild *GuildReach) {
	most := math.Inf(-1)
	for _, i := range f.beds {
		var best *GuildReach
		for j := range v.Beds[i].Guilds {
			if r := &v.Beds[i].Guilds[j]; f.guilds.has(j) && (best == nil || lacks(r) < lacks(best)) {
				best = r
			}
		}
		if lack := lacks(best); bed == nil || lack > most {
			bed, guild, most = v.Beds[i], best, lack
		}
	}
	return bed, guild
}

func lacksNearest(r *GuildReach) float64 {
	if r.Link == nil {
		return math.Inf(1)
	}
	return r.Link.NearestM - r.Guild.TypicalM
}

func lacksFarthest(r *GuildReach) float64 {
	if r.Link == nil {
		return math.Inf(1)
	}
	return r.Link.FarthestM - r.Guild.TypicalM
}

// bedBeyondRange names the beds that guilds do not reach. The source is that of the guilds' ranges.
func bedBeyondRange(v *view) (found []Finding) {
	all := v.shortfalls(Beyond, false)
	if len(noRefuge(v)) > 0 && !slices.ContainsFunc(all, func(f shortfall) bool { return f.served }) {
		return nil // one finding says it all
	}
	for _, f := range all {
		if fd, same := v.again(f); same {
			found = append(found, fd)
			continue
		}
		fd, guilds := v.finding(f)
		bed, guild := v.worst(f, lacksNearest)
		of, it, ends := v.guildsWithRange(guilds), "it", "its far end"
		if len(f.beds) == 1 {
			fd.Message = fmt.Sprintf("%s lies beyond the typical range of %s: ", bed.Feature.Title(), of)
		} else {
			fd.Message = fmt.Sprintf("%s beds lie beyond the typical range of %s: %s", capital(number(len(f.beds))), of, f.names(v))
			it, ends = "them", "their far ends"
		}
		enemies := InText(guild.Guild.Name)
		l := guild.Link
		switch {
		case l == nil && len(f.beds) == 1 && f.served:
			fd.Message += "buildings or ponds bar every way to it."
		case l == nil && f.served:
			fd.Message += fmt.Sprintf("; buildings or ponds bar every way to %s.", bed.Feature.Title())
		case l == nil && len(f.beds) == 1:
			fd.Message += "nothing here shelters or feeds them."
		case l == nil:
			fd.Message += "; nothing here shelters or feeds them."
		case len(f.beds) == 1:
			fd.Message += fmt.Sprintf("%s, the nearest refuge of %s, is %s away%s.", l.Nearest.Title(), enemies,
				v.length(l.NearestM), guild.onFoot())
		default:
			fd.Message += fmt.Sprintf(". %s lies farthest off, %s%s from %s, the nearest refuge of %s.", bed.Feature.Title(),
				v.length(l.NearestM), guild.onFoot(), l.Nearest.Title(), enemies)
		}
		fd.Mend = fmt.Sprintf("Habitat for %s within %s of %s would bring %s into reach.", enemies, v.reach(guild.Guild.TypicalM),
			ends, it)
		if l != nil {
			fd.Show = []orb.Point{l.NearestFrom, l.NearestTo}
		}
		found = append(found, v.remember(f, fd))
	}
	return found
}

// bedPartly names the beds that reach out of the range of guilds.
func bedPartly(v *view) (found []Finding) {
	for _, f := range v.shortfalls(Partly, false) {
		if fd, same := v.again(f); same {
			found = append(found, fd)
			continue
		}
		fd, guilds := v.finding(f)
		bed, guild := v.worst(f, lacksFarthest)
		l, of := guild.Link, v.guildsWithRange(guilds)
		far := ""
		if !math.IsInf(l.FarthestM, 1) {
			far = fmt.Sprintf("farthest point is %s%s from %s", v.length(l.FarthestM), guild.onFoot(), l.Farthest.Title())
		}
		if len(f.beds) == 1 {
			fd.Message = fmt.Sprintf("%s is only partly in the typical range of %s", bed.Feature.Title(), of)
			if far != "" {
				fd.Message += ": its " + far
			}
			fd.Mend = "Habitat nearer to its far end would bring the rest into reach."
		} else {
			fd.Message = fmt.Sprintf("%s beds are only partly in the typical range of %s: %s", capital(number(len(f.beds))), of,
				f.names(v))
			if far != "" {
				fd.Message += fmt.Sprintf(". %s reaches out most: its %s", bed.Feature.Title(), far)
			}
			fd.Mend = "Habitat nearer to their far ends would bring the rest into reach."
		}
		fd.Message += "."
		fd.Show = []orb.Point{l.FarthestFrom, l.FarthestTo}
		found = append(found, v.remember(f, fd))
	}
	return found
}

// bedBeyondShort says once for each short-range guild how many beds it does not reach.
func bedBeyondShort(v *view) (found []Finding) {
	for _, f := range v.shortfalls(Beyond, true) {
		if fd, same := v.again(f); same {
			found = append(found, fd)
			continue
		}
		fd, guilds := v.finding(f)
		g := guilds[0].Guild
		beds := fmt.Sprintf("%d of the %d beds where they matter %s", len(f.beds), f.asked, plural(len(f.beds), "lies", "lie"))
		switch {
		case f.asked == 1:
			beds = f.names(v) + ", the one bed where they matter, lies"
		case len(f.beds) == f.asked:
			beds = fmt.Sprintf("all %s beds where they matter lie", number(f.asked))
		}
		fd.Message = fmt.Sprintf("%s work within %s of food and shelter: %s beyond.", g.Name, v.reach(g.TypicalM), beds)
		fd.Mend = fmt.Sprintf("Flowers in the beds, or strips no more than %s apart, would bring them into reach.",
			v.reach(2*g.TypicalM))
		if _, guild := v.worst(f, lacksNearest); guild.Link != nil {
			fd.Show = []orb.Point{guild.Link.NearestFrom, guild.Link.NearestTo}
		}
		found = append(found, v.remember(f, fd))
	}
	return found
}

// longerOnFoot says once which beds lie behind a building or pond for guilds that walk. That walkers go round them is our
// reading of their being walkers; the source is that of their ranges.
func longerOnFoot(v *view) []Finding {
	var worst *GuildReach
	var at *Bed
	var beds []*plan.Feature
	var ids []string
	guilds := guildSet(0)
	for i, b := range v.Beds {
		behind := v.beds[i].bed.behind
		if behind == 0 {
			continue
		}
		beds = append(beds, b.Feature)
		ids = append(ids, b.Feature.ID)
		guilds |= behind
		for j := range b.Guilds {
			if r := &b.Guilds[j]; behind.has(j) && (worst == nil || r.detour() > worst.detour()) {
				worst, at = r, b
			}
		}
	}
	if worst == nil {
		return nil
	}
	var list []*GuildReach
	var names []string
	for j := range at.Guilds {
		if guilds.has(j) {
			list = append(list, &at.Guilds[j])
			names = append(names, at.Guilds[j].Guild.ID)
		}
	}
	fd := Finding{Features: ids, Guilds: names, Source: v.rangeSources(list), Evidence: weakest(list), Show: worst.Way,
		Mend: "Plan habitat on the same side as these beds, if the way is too long."}
	fd.Message = fmt.Sprintf("%s behind a building or pond for natural enemies that walk", liesOrLie(beds))
	if worst.Link == nil || math.IsInf(worst.Link.FarthestM, 1) {
		fd.Message += fmt.Sprintf("; %s cannot be reached on foot by %s, at least in part.", at.Feature.Title(),
			InText(worst.Guild.Name))
		fd.Show = nil
	} else {
		fd.Message += fmt.Sprintf("; %s have %s to go to the far end of %s instead of %s.", InText(worst.Guild.Name),
			v.length(worst.Link.FarthestM),
			at.Feature.Title(), v.length(worst.Straight.FarthestM))
	}
	return []Finding{fd}
}

// behind are the guilds that have a detour worth a word to a bed.
func (b *Bed) behind(of guildSet) (guilds guildSet) {
	for j := range b.Guilds {
		if r := &b.Guilds[j]; of.has(j) && r.Straight != nil && r.detour() >= longerOnFootM {
			guilds |= 1 << j
		}
	}
	return guilds
}

// onFoot is what to say after a distance that goes round a building or pond: that it is no straight line.
func (r *GuildReach) onFoot() string {
	if r.Straight == nil {
		return ""
	}
	return " on foot"
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

// hoverflies is the id of the guild that a hedge or a broad path may bar.
const hoverflies = "hoverflies"

// contestedBarriers says once which beds hoverflies reach only across a hedge or a broad path. Sources disagree on whether that
// keeps them, so it is said and not reckoned with.
func contestedBarriers(v *view) []Finding {
	i := slices.IndexFunc(v.Catalogue.Guilds, func(g *data.Guild) bool { return g.ID == hoverflies })
	m := &v.memory
	m.barring = m.barring[:0]
	for _, x := range v.now.good {
		if x.barrier {
			m.barring = append(m.barring, x)
		}
	}
	changed := m.bar(m.barring)
	if i < 0 || len(m.barring) == 0 {
		return nil
	}
	crossed := m.spare[:0]
	var room [64]int32
	for j, b := range v.Beds {
		l := b.Guilds[i].Link
		if l == nil || l.NearestM == 0 || !v.beds[j].bed.relevant.has(i) || b.Guilds[i].Status == Beyond {
			continue
		}
		c := &v.beds[j].bed.crossing
		line := boxAbout(l.NearestFrom, l.NearestTo)
		if c.link != l || c.round != v.round-1 || slices.ContainsFunc(changed, func(box orb.Bound) bool { return apart(box, line) == 0 }) {
			c.link = l
			c.crossed = false
			for _, k := range m.barriers.near(room[:0], line, 0) {
				x := m.barriers.list[k]
				c.crossed = c.crossed || x.feature != l.Nearest && x.crossedBy(l.NearestFrom, l.NearestTo)
			}
		}
		c.round = v.round
		if c.crossed {
			crossed = append(crossed, b.Feature)
		}
	}
	m.spare, m.crossed = m.crossed, crossed
	if len(crossed) == 0 {
		return nil
	}
	if m.crossing == nil || !slices.Equal(m.spare, crossed) {
		fd := Finding{Message: isOrAre(crossed) + " nearest to what feeds hoverflies across a hedge or a broad path. " +
			"Sources disagree on whether they cross; the distances take it that they do.",
			Mend: "Flowers on the same side would settle it."}
		for _, f := range crossed {
			fd.Features = append(fd.Features, f.ID)
		}
		v.fill(&fd)
		m.crossing = []Finding{fd}
	}
	return m.crossing
}

// mayBar tells whether a feature may keep hoverflies from crossing.
func (x *facts) mayBar() bool {
	return x.feature.Kind == plan.Hedgerow || x.feature.Kind == plan.Path && x.width() >= widePathM
}

func boxAbout(a, b orb.Point) orb.Bound {
	return orb.Bound{Min: orb.Point{min(a[0], b[0]), min(a[1], b[1])}, Max: orb.Point{max(a[0], b[0]), max(a[1], b[1])}}
}

// width is how wide a strip of ground is, in metres: the width that it was drawn with, else that of the rectangle of its area and
// perimeter. A strip that bends has very nearly the area and the perimeter of the straight one of its length and width, while a
// box about it would be far wider.
func (x *facts) width() float64 {
	if x.feature.Line != nil {
		return x.feature.WidthM
	}
	p := geometry.Perimeter(x.shape)
	return (p - math.Sqrt(max(0, p*p-16*x.area))) / 4
}

// crossedBy tells whether the line from a to b meets the feature's outline.
func (x *facts) crossedBy(a, b orb.Point) bool {
	for _, p := range geometry.Polygons(x.shape) {
		for _, r := range p {
			if meets(orb.Ring{a, b}, r, x.bound) {
				return true
			}
		}
	}
	return false
}
