package habitat

import (
	"fmt"
	"slices"

	"hedgereach/data/season"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/rotation"
)

// lost says what a class of Klein et al. 2007 loses without animals.
var lost = map[string]string{"essential": "90 % or more", "great": "40 to 90 %", "modest": "10 to 40 %", "little": "up to 10 %"}

// until is when a cover comes off, in words, or where that is not said, when it goes on.
func until(c plan.Cover) string {
	switch {
	case c.Dates.To != 0:
		return "until " + c.Dates.To.Label()
	case c.Dates.From != 0:
		return "from " + c.Dates.From.Label() + " on"
	}
	return "all year"
}

// coverAtFlowering asks of every cover over a crop whose fruit insects make. Types that set fruit without pollen and covers with
// a hive under them are let be, and so is what is harvested as leaf, root or stem, unless it is grown for its seed.
func coverAtFlowering(v *seasonView) (found []Finding) {
	for _, b := range v.s.Beds {
		f := b.Bed.Feature
		for i, p := range b.Plantings {
			if p.Crop == nil || p.Planting.Parthenocarpic {
				continue
			}
			need := lost[p.Crop.Pollination]
			forSeed := p.Planting.ForSeed && p.Crop.Pollination == noFruit
			corn := p.Crop.Family == grasses
			if need == "" && !forSeed && !corn {
				continue
			}
			for _, c := range f.Covers() {
				if c.BeesInside && !corn || !together(v.Plan, c.Dates, p.Planting.Dates) || p.Flowers.Given() && !together(v.Plan, c.Dates, p.Flowers) {
					continue
				}
				fd := Finding{Key: fmt.Sprintf("%s %d %s", f.ID, i, p.Crop.ID), Features: []string{f.ID}}
				name := p.Crop.Name
				switch {
				case corn:
					fd.Severity = Note
					fd.Message = fmt.Sprintf("The cover on %s lies %s over %s, which wind pollinates.", f.Title(), until(c), name)
					fd.Mend = "Take it off when the tassels come."
				case forSeed:
					fd.Severity = Advice
					fd.Message = fmt.Sprintf("%s in %s is grown for its seed and lies under a cover %s; most such crops need insects at flowering.",
						capital(name), f.Title(), until(c))
					fd.Mend = "Take the cover off at the first flowers, or put a hive under it."
				case !p.Flowers.Given():
					fd.Severity = Note
					fd.Message = fmt.Sprintf("The cover on %s lies %s over %s. When it flowers there is not known; without insects %s of the harvest is lost.",
						f.Title(), until(c), name, need)
					fd.Mend = "Take it off at the first flowers, and give the day of the first harvest here."
				default:
					fd.Message = fmt.Sprintf("The cover on %s lies %s, and %s flowers there from about %s. Without insects %s of the harvest is lost.",
						f.Title(), until(c), name, p.Flowers.From.Label(), need)
					fd.Mend = "Take it off at the first flowers, or put a hive of bumble bees under it."
					switch p.Crop.Pollination {
					case "modest":
						fd.Severity = Advice
					case "little":
						fd.Severity = Note
						fd.Mend = "It may stay; open it on warm days."
					}
					if p.Crop.Family == cucurbits {
						fd.Mend = fmt.Sprintf("Take it off when the first female flowers open (the male ones come first), or open its ends then and take it off "+
							"%s days later, or put a hive of bumble bees under it. Types that set fruit without pollen may stay covered: say so at the planting.",
							number(openEndsDays))
					}
				}
				found = append(found, fd)
				break
			}
		}
	}
	return found
}

// coverTooLate finds pests that come to a crop before its cover does. It needs to know when the crop begins and the cover goes on;
// either may stand to the end of the growing year.
func coverTooLate(v *seasonView) (found []Finding) {
	for _, b := range v.s.Beds {
		f := b.Bed.Feature
		covers := f.Covers()
		if len(covers) == 0 {
			continue
		}
		for i, p := range b.Plantings {
			stands := v.Plan.Days(p.Planting.Dates)
			if p.Crop == nil || p.Planting.Dates.From == 0 {
				continue
			}
			// The first cover that is laid over the standing crop.
			first := -1
			for k, c := range covers {
				if c.Dates.From != 0 && stands.Contains(c.Dates.From) && (first < 0 || stands.From.DaysTo(c.Dates.From) < stands.From.DaysTo(covers[first].Dates.From)) {
					first = k
				}
			}
			if first < 0 || v.covered(covers, stands.From) {
				continue
			}
			on := covers[first].Dates.From
			var seen []string
			var words []string
			var sources []string
			for _, x := range b.Verdicts {
				if x.Planting.Crop != p.Planting.Crop || x.Planting.Dates != p.Planting.Dates || x.Time == nil || entersUnderCover(x.Pest) ||
					slices.Contains(seen, x.Pest.ID) {
					continue
				}
				if !came(stands, x.Time.Window, on) {
					continue
				}
				seen = append(seen, x.Pest.ID)
				words = append(words, x.Pest.Name+" ("+x.Time.Words()+")")
				for _, id := range x.Time.Sources {
					sources = addOnce(sources, id)
				}
			}
			if len(seen) == 0 {
				continue
			}
			found = append(found, Finding{Key: fmt.Sprintf("%s %d %s", f.ID, i, p.Crop.ID), Features: []string{f.ID},
				Source: v.cite(append([]string{"cover-practice"}, sources[:min(2, len(sources))]...), ""),
				Message: fmt.Sprintf("The cover on %s goes on on %s, after %s %s come to the %s: it shuts in what is there.", f.Title(), on.Label(),
					join(shorten(words)), plural(len(seen), "has", "have"), p.Crop.Name),
				Mend: "Lay it on the day of sowing or planting, before the pest comes; or look the crop over first."})
		}
	}
	return found
}

// covered tells whether any cover lies on a day.
func (v *seasonView) covered(covers []plan.Cover, d season.Day) bool {
	return slices.ContainsFunc(covers, func(c plan.Cover) bool {
		days := v.Plan.Days(c.Dates)
		return !days.Given() || days.Contains(d)
	})
}

// came tells whether a pest's window reached a standing crop before a day.
func came(stands, pest season.Window, before season.Day) bool {
	for d := stands.From; d != before; d = d.Add(1) {
		if pest.Contains(d) {
			return true
		}
	}
	return false
}

func coverEdges(v *seasonView) (found []Finding) {
	var unsaid []*plan.Feature
	for _, b := range v.s.Beds {
		f := b.Bed.Feature
		for _, c := range f.Covers() {
			if c.Edges == plan.EdgesOpen {
				found = append(found, Finding{Key: f.ID, Features: []string{f.ID},
					Message: fmt.Sprintf("The edges of the cover on %s lie open, so pests get under it and their enemies do not find them.", f.Title()),
					Mend:    fmt.Sprintf("Bury the edges, which seals best, or weigh them down all along: sandbags %s apart leak most.", v.length(sandbagsM))})
				break
			}
			if c.Edges == "" {
				unsaid = append(unsaid, f)
				break
			}
		}
	}
	if len(unsaid) > 0 {
		found = append(found, Finding{Key: "unsaid", Severity: Note, Features: idsOf(unsaid),
			Message: fmt.Sprintf("How the edges of the %s on %s lie is not said; what is found here takes them for sealed.",
				plural(len(unsaid), "cover", "covers"), namesOf(unsaid)),
			Mend: "Bury them or weigh them down all along, and say so."})
	}
	return found
}

func coverSameFamily(v *seasonView) (found []Finding) {
	for _, b := range v.s.Beds {
		f := b.Bed.Feature
		covers := f.Covers()
		if len(covers) == 0 {
			continue
		}
		for i, p := range b.Plantings {
			if p.Crop == nil || !slices.ContainsFunc(covers, func(c plan.Cover) bool { return together(v.Plan, c.Dates, p.Planting.Dates) }) {
				continue
			}
			before := familyBefore(v.Catalogue, v.Plan, f, i)
			if len(before) == 0 {
				continue
			}
			found = append(found, Finding{Key: fmt.Sprintf("%s %d %s", f.ID, i, p.Crop.ID), Features: []string{f.ID},
				Message: fmt.Sprintf("%s follows %s in %s under a cover, both of the %s: pests that rest in the soil come up beneath it, and their "+
					"enemies cannot reach them.", capital(p.Crop.Name), v.cropNames(cropIDs(before)), f.Title(), rotation.FamilyName(p.Crop.Family)),
				Mend: "Cover ground that had another family, or leave this bed uncovered."})
		}
	}
	return found
}

func coverShutsOut(v *seasonView) []Finding {
	var beds []*plan.Feature
	for _, b := range v.s.Beds {
		if f := b.Bed.Feature; len(f.Covers()) > 0 && len(f.Crops) > 0 {
			beds = append(beds, f)
		}
	}
	if len(beds) == 0 {
		return nil
	}
	return []Finding{{Features: idsOf(beds),
		Message: fmt.Sprintf("What keeps pests out of %s keeps their enemies out, too: aphids that are under a cover already can multiply there unseen.",
			namesOf(beds)),
		Mend: "Lift it " + lookEvery + " and look at the plants."}}
}
