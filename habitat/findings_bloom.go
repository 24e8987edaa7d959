package habitat

import (
	"fmt"
	"math"
	"slices"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry/length"
)

func bloomGap(v *view) (found []Finding) {
	if len(v.Site.BloomGaps) == 0 {
		return nil
	}
	var ids []string
	for _, x := range v.now.habitats {
		if len(x.feature.Plants) > 0 {
			ids = append(ids, x.feature.ID)
		}
	}
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
		} else if least == 0 {
			counted = fmt.Sprintf("at most %s %s", number(most), plural(most, "species flowers", "species flower"))
		} else if least != most {
			counted = fmt.Sprintf("%s to %s species flower", number(least), number(most))
		}
		w := season.Window{From: first.First(), To: last.Last()}
		fd := Finding{Key: first.String(), Title: "Bloom gap, " + w.Label(), Message: fmt.Sprintf("From %s to %s %s here; fewer than %s in flower is a gap.", w.From.Label(),
			w.To.Label(), counted, number(speciesInFlower))}
		fd.Features = ids
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
// the most guilds first. Plants with a caution, not to be offered here, or whose bloom here is not known, are left out.
func (v *view) wouldFlower(gap []season.HalfMonth) (names []string) {
	here := map[string]bool{}
	for _, x := range v.now.habitats {
		for _, g := range x.feature.Plants {
			here[g.Plant] = true
		}
	}
	const most = 3
	var best [most]struct {
		plant *data.Plant
		steps int
	}
	zone := RegionOf(v.Plan.Place).Zone
	for _, p := range v.Catalogue.Plants {
		if here[p.ID] || p.Caution != "" || v.Assessment.calendar.elsewhere[p.ID] || !p.Hardy(zone) || !v.Offered(p) {
			continue
		}
		n := 0
		for _, h := range gap {
			if v.Assessment.calendar.windows[p.ID].Covers(h) {
				n++
			}
		}
		for i := range best { // of equals the first in the catalogue goes before
			if b := &best[i]; n > b.steps || n > 0 && n == b.steps && len(p.Guilds) > len(b.plant.Guilds) {
				copy(best[i+1:], best[i:])
				b.plant, b.steps = p, n
				break
			}
		}
	}
	for _, b := range best {
		if b.plant != nil {
			names = append(names, b.plant.Name)
		}
	}
	return names
}

// bloomFromElsewhere says whose bloom was noted on another continent only, and is taken from there as it is.
func bloomFromElsewhere(v *view) []Finding {
	var names, places, ids []string
	add := func(list *[]string, s string) {
		if !slices.Contains(*list, s) {
			*list = append(*list, s)
		}
	}
	for _, x := range v.now.habitats {
		for _, g := range x.feature.Plants {
			if p := v.Catalogue.Plant(g.Plant); p != nil && !g.Bloom.Given() && v.Assessment.calendar.elsewhere[p.ID] {
				add(&names, InText(p.Name))
				add(&places, p.BloomPlace.Name)
				add(&ids, x.feature.ID)
			}
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []Finding{{Features: ids, Message: fmt.Sprintf("When %s %s here is not known: %s bloom was noted on another continent (%s) "+
		"and is shown as it was there.", join(shorten(names)), plural(len(names), "flowers", "flower"),
		plural(len(names), "its", "their"), join(shorten(places))),
		Mend: "Note when you see them flower; your own dates go before."}}
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
	flowers := slices.ContainsFunc(v.now.habitats, func(x *facts) bool { return len(x.feature.Plants) > 0 })
	if len(low) == 0 || !flowers || v.Site.AreaM2 == 0 {
		return nil // without any flowers the bloom gap says it
	}
	fd := Finding{Severity: Advice, Mend: "More ground with plants in flower at those times; " + aim + " is a good aim."}
	if sum/float64(len(v.Site.Season)) < coverLow {
		fd.Severity = Warning
	}
	fd.Message = fmt.Sprintf("Less than %s of the ground is in flower in %d of the %d half-months between the frosts; "+
		"the least, %s, in %s.", whole(coverLow),
		len(low), len(v.Site.Season), Percent(lowest.Fraction), lowest.HalfMonth.Label())
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
	fd.Message = fmt.Sprintf("Habitat covers %s of the ground, %s.", Percent(part),
		length.FormatArea(v.Site.HabitatM2, v.units))
	fd.Mend = fmt.Sprintf("%s more would make it %s; %s is a good aim.",
		length.FormatArea(habitatAim*v.Site.AreaM2-v.Site.HabitatM2, v.units), whole(habitatAim), aim)
	return []Finding{fd}
}
