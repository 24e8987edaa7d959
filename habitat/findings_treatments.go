package habitat

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// waterJet is the id of the one material that is none: it has no label and leaves nothing behind.
const waterJet = "water-jet"

// treated is one treatment of a bed whose material the catalogue knows.
type treated struct {
	bed      *BedSeason
	facts    *facts
	n        int // its place in the bed's list
	what     *plan.Treatment
	material *data.Material
	pest     *data.Pest // nil where not given
}

func (v *seasonView) treatments() (list []treated) {
	for i, b := range v.s.Beds {
		f := b.Bed.Feature
		for n := range f.Treatments {
			t := &f.Treatments[n]
			if m := v.Catalogue.Material(t.Material); m != nil {
				list = append(list, treated{b, v.y.beds[i], n, t, m, v.Catalogue.Pest(t.Pest)})
			}
		}
	}
	return list
}

func (t *treated) key() string {
	return fmt.Sprintf("%s %d %s", t.bed.Bed.Feature.ID, t.n, t.material.ID)
}

// days is "on 10 Jun and 17 Jun", or "" without any.
func (t *treated) days() string {
	if len(t.what.On) == 0 {
		return ""
	}
	var words []string
	for _, d := range t.what.On {
		words = append(words, d.Label())
	}
	return " on " + join(shorten(words))
}

// kindOf is the class of enemies by which side-effects are listed.
func kindOf(g *data.Guild) string {
	switch g.ID {
	case "predatory-mites":
		return "mites"
	case "trichogramma", "anagrus", "aphid-parasitoids", "larger-parasitoids", "tachinids":
		return "parasitoids"
	}
	return "predators"
}

// relied are the guilds, by class, on which a bed relies on a day: those that hold a pest that comes then, or whose time is not
// known, and that are in reach of any of it.
func (v *seasonView) relied(b *BedSeason, on []season.Day) map[string][]string {
	guilds := map[string][]string{}
	for _, x := range b.Verdicts {
		comes := len(x.HalfMonths) == 0
		for _, d := range on {
			comes = comes || slices.Contains(x.HalfMonths, d.HalfMonth())
		}
		if !comes && len(on) > 0 {
			continue
		}
		for _, e := range x.Enemies {
			if e.Status != Unknown && e.Best != Beyond {
				k := kindOf(e.Guild)
				guilds[k] = addOnce(guilds[k], e.Guild.ID)
			}
		}
	}
	return guilds
}

// gentler are the materials usual against a treatment's pest that do less harm than the one chosen, the gentlest first.
func (v *seasonView) gentler(t treated) (list []*data.Material) {
	if t.pest == nil {
		return nil
	}
	for _, x := range v.Catalogue.MaterialsFor(t.pest.ID) {
		if x.GentlerThan(t.material) {
			list = append(list, x)
		}
	}
	return list
}

// orderOfGentleness stands in the sources of what lists materials, the gentlest first.
const orderOfGentleness = "the order of gentleness, by the worst that a material does to enemies or bees, " +
	"is our reading of the tables of side-effects"

// withMore are ids with those of a second list that are not among them; the lists given are left as they are.
func withMore(ids, more []string) []string {
	ids = slices.Clone(ids)
	for _, id := range more {
		ids = addOnce(ids, id)
	}
	return ids
}

func materialNames(list []*data.Material) string {
	var names []string
	for _, x := range list {
		names = append(names, x.Name)
	}
	return join(shorten(names))
}

func treatmentHarms(v *seasonView) (found []Finding) {
	for _, t := range v.treatments() {
		relied := v.relied(t.bed, t.what.On)
		var words, guilds []string
		worst := Note
		for _, k := range []struct {
			name string
			harm data.Harm
		}{{"predators", t.material.Predators}, {"parasitoids", t.material.Parasitoids}, {"mites", t.material.Mites}} {
			ids := relied[k.name]
			if len(ids) == 0 {
				continue
			}
			switch k.harm.Most {
			case data.ModestHarm, data.HighHarm, data.HarmsSome:
				worst = Warning
			case data.ContactOnly:
				if worst == Note {
					worst = Advice
				}
			default:
				continue
			}
			guilds = append(guilds, ids...)
			level := "harm to them " + k.harm.String()
			switch k.harm.Most {
			case data.ContactOnly:
				level = "it kills those that it wets"
			case data.HarmsSome:
				level = "it harms them; no agency grades how much"
			}
			words = append(words, fmt.Sprintf("%s (%s)", v.guildNames(ids), level))
		}
		if len(words) == 0 {
			continue
		}
		fd := Finding{Key: t.key(), Severity: worst, Features: []string{t.bed.Bed.Feature.ID}, Guilds: guilds,
			Evidence: t.material.HarmFrom.Evidence,
			Message: fmt.Sprintf("%s on %s%s hits the enemies that the bed relies on then: %s.", capital(t.material.Name), t.bed.Bed.Feature.Title(),
				t.days(), strings.Join(words, "; "))}
		sources, practice := t.material.HarmFrom.Sources, ""
		if t.material.LastingNote != "" {
			fd.Message += " How long it lasts: " + t.material.LastingNote + "."
			sources = withMore(sources, t.material.LastingFrom.Sources)
		}
		fd.Mend = "Treat only where the pest passes its threshold, and only the plants that carry it."
		if g := v.gentler(t); len(g) > 0 {
			fd.Mend = fmt.Sprintf("Gentler against %s, the gentlest first: %s.", t.pest.Name, materialNames(g))
			practice = orderOfGentleness
		}
		fd.Source = v.cite(sources, practice)
		found = append(found, fd)
	}
	return found
}

// inFlower are the crops of a feature that flower on any of some days, and whether any of its plants do.
func (v *seasonView) inFlower(x *facts, on []season.Day) (crops []string, plants bool) {
	for _, p := range x.feature.Crops {
		crop := v.Catalogue.Crop(p.Crop)
		if crop == nil {
			continue
		}
		if flowers := flowersOf(v.Catalogue, crop, p, v.Plan.NewYear()); slices.ContainsFunc(on, flowers.Contains) {
			crops = addOnce(crops, crop.Name)
		}
	}
	return crops, slices.ContainsFunc(on, func(d season.Day) bool { return x.flowering[d.HalfMonth()] > 0 })
}

// treatmentBees looks for flowers on the day of treatment: in the bed itself, and in habitat, other beds and trap crops within the
// distance of drift.
func treatmentBees(v *seasonView) (found []Finding) {
	for _, t := range v.treatments() {
		m := t.material
		minds := strings.Contains(m.Cautions, "flower") || strings.Contains(m.Cautions, "bloom") || strings.Contains(m.Cautions, "bees")
		if m.Bees == "III" || m.Bees == "not rated" && !minds {
			continue
		}
		var flowers []string
		features := []string{t.bed.Bed.Feature.ID}
		crops, plants := v.inFlower(t.facts, t.what.On)
		if plants {
			crops = append(crops, "plants")
		}
		for _, name := range crops {
			flowers = append(flowers, name+" in the bed itself")
		}
		for _, x := range v.now.good {
			if x == t.facts || apart(x.bound, t.facts.bound) > driftM {
				continue
			}
			crops, plants := v.inFlower(x, t.what.On)
			if len(crops) == 0 && !plants {
				continue
			}
			far := x.distance(t.facts)
			if far > driftM {
				continue
			}
			where := x.feature.Title()
			if len(crops) > 0 {
				where = join(crops) + " in " + where
			}
			if far > 0 {
				where += ", " + v.length(far) + " away"
			}
			flowers = append(flowers, where)
			features = append(features, x.feature.ID)
		}
		if len(flowers) == 0 {
			continue
		}
		fd := Finding{Key: t.key(), Features: features, Evidence: m.HarmFrom.Evidence,
			Message: fmt.Sprintf("%s goes on %s%s, when there are flowers: %s.", capital(m.Name), t.bed.Bed.Feature.Title(), t.days(),
				strings.Join(shorten(flowers), "; "))}
		dust := strings.Contains(m.Cautions, "dust")
		switch {
		case m.Bees == "I":
			fd.Message += " Bees, class I: " + data.BeesWords["I"] + "."
			fd.Mend = "Do not use it while anything near is in flower."
		case m.Bees == "II" && t.what.Evening:
			fd.Severity = Note
			fd.Message += " Bees, class II; it is planned for the evening, when they do not fly."
			fd.Mend = "Keep to the hours between sunset and midnight, if the label allows it."
		case m.Bees == "II":
			fd.Message += " Bees, class II: " + data.BeesWords["II"] + "."
			fd.Mend = "Wait until bloom is over or mow it first, or treat after sunset and say so, if the label allows it."
		case dust:
			fd.Message += " Bees pick dust up on their hairs; it is more dangerous to them than a spray."
			fd.Source = v.cite(withMore(v.rule.sources, m.CautionsFrom.Sources), v.practice())
			fd.Mend = "Keep dust off flowers, and off days with wind."
		case t.what.Evening:
			fd.Severity = Note
			fd.Message += " It is planned for the evening, when bees do not fly."
			fd.Mend = "Keep it off the flowers all the same."
		default:
			fd.Severity = Advice
			fd.Message += " " + capital(m.Cautions) + "."
			fd.Source = v.cite(withMore(v.rule.sources, m.CautionsFrom.Sources), v.practice())
			fd.Mend = "Treat at dusk or dawn, and keep it off the flowers."
		}
		found = append(found, fd)
	}
	return found
}

// treatmentNotGentlest asks whether a gentler material was used on the bed before.
func treatmentNotGentlest(v *seasonView) (found []Finding) {
	all := v.treatments()
	for _, t := range all {
		if t.pest == nil {
			continue
		}
		f := t.bed.Bed.Feature
		fd := Finding{Key: t.key(), Features: []string{f.ID}, Evidence: t.material.PestsFrom.Evidence,
			Source: v.cite(withMore(t.material.PestsFrom.Sources, t.material.HarmFrom.Sources), v.practice())}
		if !slices.Contains(t.material.Pests, t.pest.ID) {
			fd.Message = fmt.Sprintf("%s is not usual against %s (%s).", capital(t.material.Name), t.pest.Name, f.Title())
			fd.Mend = "Read its label; nothing in the catalogue is usual against this pest."
			if usual := v.Catalogue.MaterialsFor(t.pest.ID); len(usual) > 0 {
				fd.Mend = "Usual against it, the gentlest first: " + materialNames(usual) + "."
			}
			found = append(found, fd)
			continue
		}
		gentler := v.gentler(t)
		if len(gentler) == 0 || slices.ContainsFunc(all, func(u treated) bool {
			return u.bed == t.bed && u.pest == t.pest && slices.Contains(gentler, u.material) && u.before(&t, v.Plan.NewYear())
		}) {
			continue
		}
		fd.Message = fmt.Sprintf("%s is planned against %s on %s, and nothing gentler before it.", capital(t.material.Name), t.pest.Name, f.Title())
		fd.Mend = "First, the gentlest first: " + materialNames(gentler) + "."
		found = append(found, fd)
	}
	return found
}

// before tells whether a treatment of the same bed comes before another: by the first day of each in the growing year, or where
// either has no days, by their places in the bed's list.
func (t *treated) before(u *treated, newYear season.Day) bool {
	if len(t.what.On) == 0 || len(u.what.On) == 0 {
		return t.n < u.n
	}
	return firstOf(t.what.On, newYear) < firstOf(u.what.On, newYear)
}

// firstOf is the place in the growing year of the first of some days.
func firstOf(days []season.Day, newYear season.Day) int {
	first := newYear.DaysTo(days[0])
	for _, d := range days[1:] {
		first = min(first, newYear.DaysTo(d))
	}
	return first
}

// treatmentHarvest holds the hours that the grower copied from the label against the harvest.
func treatmentHarvest(v *seasonView) (found []Finding) {
	for _, t := range v.treatments() {
		if t.material.ID == waterJet {
			continue
		}
		f := t.bed.Bed.Feature
		fd := Finding{Key: t.key(), Features: []string{f.ID}}
		if t.what.HarvestHours == nil {
			fd.Severity = Advice
			fd.Message = fmt.Sprintf("How long after %s the harvest of %s has to wait is not noted.", t.material.Name, f.Title())
			fd.Mend = "Copy the hours or days before harvest from the label, and those before anybody works there again."
			found = append(found, fd)
			continue
		}
		hours := *t.what.HarvestHours
		wait := int((hours + 23) / 24)
		for _, d := range t.what.On {
			for _, p := range t.bed.Plantings {
				first, stands := p.FirstHarvest, v.Plan.Days(p.Planting.Dates)
				if p.Crop == nil || first == 0 {
					continue
				}
				if stands.Given() && (!stands.Contains(d) || !stands.Contains(first)) { // a harvest reckoned past the last day is none
					continue
				}
				again := d.Add(wait)
				harvest := season.Window{From: first, To: stands.To} // how long it lasts is not known of what stands all year
				name := p.Crop.Name
				if harvest.Contains(d) {
					fd.Severity = Note
					fd.Message = fmt.Sprintf("%s goes on %s on %s, in the harvest of %s: by its label as noted, none for %g hours, until %s.",
						capital(t.material.Name), f.Title(), d.Label(), name, hours, again.Label())
					fd.Mend = "Pick before you treat."
				} else if d.DaysTo(first) < wait {
					fd.Severity = Warning
					fd.Message = fmt.Sprintf("%s goes on %s on %s, and %s is to be harvested from about %s: by its label as noted, not before %s.",
						capital(t.material.Name), f.Title(), d.Label(), name, first.Label(), again.Label())
					fd.Mend = "Treat earlier, or begin the harvest later."
				} else {
					continue
				}
				fd.Key = t.key() + " " + d.String() + " " + p.Crop.ID
				found = append(found, fd)
			}
		}
	}
	return found
}

// treatmentLabel says of each material in the plan what its label and the weather ask.
func treatmentLabel(v *seasonView) (found []Finding) {
	var order []*data.Material
	beds := map[*data.Material][]*plan.Feature{}
	for _, t := range v.treatments() {
		order = addOnce(order, t.material)
		beds[t.material] = addLast(beds[t.material], t.bed.Bed.Feature)
	}
	for _, m := range order {
		var parts, sources []string
		sure := data.Good
		for _, s := range []struct {
			head, words string
			from        data.Origin
		}{{"How long it lasts", m.LastingNote, m.LastingFrom}, {"Rain", m.Rain, m.LastingFrom}, {"Beware", m.Cautions, m.CautionsFrom}} {
			if s.words != "" {
				parts = append(parts, s.head+": "+s.words+".")
				sources, sure = withMore(sources, s.from.Sources), weaker(sure, s.from.Evidence)
			}
		}
		fd := Finding{Key: m.ID, Features: idsOf(beds[m]), Source: v.cite(sources, ""), Evidence: sure,
			Message: fmt.Sprintf("%s (%s). %s", capital(m.Name), namesOf(beds[m]), strings.Join(parts, " ")), Mend: data.LabelIsLaw}
		if m.ID == waterJet {
			fd.Mend = "Aim it at the undersides of leaves, in the morning."
		}
		found = append(found, fd)
	}
	return found
}

// nurseryNear holds a nursery of a pest against the beds that the pest harms.
func nurseryNear(v *seasonView) (found []Finding) {
	for _, x := range v.now.good {
		pest := v.Catalogue.Pest(x.feature.Nursery)
		if pest == nil {
			continue
		}
		for i, bed := range v.beds {
			if bed == x || apart(bed.bound, x.bound) >= nurseryApartM || !hosts(pest, v.s.Beds[i]) {
				continue
			}
			m, from, to := geometry.Closest(bed.shape, x.shape)
			if m >= nurseryApartM {
				continue
			}
			found = append(found, Finding{Key: x.feature.ID + " " + bed.feature.ID, Features: []string{x.feature.ID, bed.feature.ID},
				Show: []orb.Point{from, to},
				Message: fmt.Sprintf("%s is left to %s and lies %s from %s, which grows what it harms: winged ones move over when it gets crowded.",
					x.feature.Title(), pest.Name, v.length(m), bed.feature.Title()),
				Mend: fmt.Sprintf("Keep %s or more between them, or leave the corner to an aphid that eats none of your crops (on nettle, oats or "+
					"vetch).", v.length(nurseryApartM))})
		}
	}
	return found
}

func hosts(p *data.Pest, b *BedSeason) bool {
	return slices.ContainsFunc(b.Bed.Feature.Crops, func(c plan.Planting) bool { return slices.Contains(p.Hosts, c.Crop) })
}

func nurseryAdvice(v *seasonView) (found []Finding) {
	for _, x := range v.now.good {
		pest := v.Catalogue.Pest(x.feature.Nursery)
		if pest == nil {
			continue
		}
		var ids []string
		for _, g := range v.Catalogue.GuildsOf(pest.ID) {
			ids = append(ids, g.ID)
		}
		found = append(found, Finding{Key: x.feature.ID, Features: []string{x.feature.ID}, Guilds: ids,
			Message: fmt.Sprintf("%s is left to %s as a nursery for its enemies: %s.", x.feature.Title(), pest.Name, v.guildNames(ids)),
			Mend: "Do not treat or clear it; look " + lookEvery + " whether enemies come. Where none come while the pest spreads, cut it down. " +
				"Tell visitors why it looks so."})
	}
	return found
}
