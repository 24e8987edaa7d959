package habitat

import (
	"slices"
	"strings"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// HarvestOf is about when a crop that is sown or set out on a day is first and last harvested, by its usual days to harvest;
// known is false where the catalogue counts them from another beginning than the grower's, or over more than a year.
func HarvestOf(crop *data.Crop, from season.Day, m plan.Method) (first, last season.Day, known bool) {
	if crop == nil || !countedFrom(crop, m) {
		return 0, 0, false
	}
	return Harvest(crop, from)
}

// What rules look for in the catalogue's rows of crops and pests.
const (
	perennial    = "perennial"
	fromSeed     = "seed"       // in the words on days to harvest
	fromPlant    = "transplant" // likewise
	noFruit      = "not for harvest"
	aphids       = "Aphididae"
	wireworms    = "Elateridae"
	grasses      = "Poaceae"
	cucurbits    = "Cucurbitaceae"
	blackCutworm = "black-cutworm" // its caterpillars creep
)

// countedFrom tells whether the catalogue's days to harvest run from a planting's beginning. Of a planting that does not say
// how it begins, and of what is set as a clove, tuber or slip, they are taken to.
func countedFrom(crop *data.Crop, m plan.Method) bool {
	seed, plant := strings.Contains(crop.DaysFrom, fromSeed), strings.Contains(crop.DaysFrom, fromPlant)
	switch {
	case m == plan.Sow && plant:
		return seed
	case m == plan.Transplant && seed:
		return plant
	}
	return true
}

// HarvestFrom is about when a planting is first harvested: the grower's word, else by the usual days to harvest; zero where
// neither is known.
func HarvestFrom(crop *data.Crop, p plan.Planting) season.Day {
	if p.FirstHarvest != 0 {
		return p.FirstHarvest
	}
	first, _, _ := HarvestOf(crop, p.Dates.From, p.Method)
	return first
}

// flowersOf is about when a planting's flowers set the fruit that is harvested: from the first harvest back by the usual days
// from flower to fruit, to the last harvest back by the same; of a perennial to its first harvest. Zero where its harvest is no
// fruit, or the days or the first harvest are not known; where the last harvest is not, it flowers to the end of the growing year.
func flowersOf(c *data.Catalogue, crop *data.Crop, p plan.Planting, newYear season.Day) season.Window {
	f, first := c.Flowering(crop.ID), HarvestFrom(crop, p)
	if f == nil || first == 0 {
		return season.Window{}
	}
	harvest := season.Window{From: first, To: p.Dates.To}.Open(newYear)
	w := season.Window{From: first.Add(-f.DaysMax), To: harvest.To.Add(-f.DaysMin)}
	if crop.LifeCycle == perennial { // it stands on after its harvest, and the last of that is not known
		w.To = first
	}
	if stands := p.Dates.Open(newYear); stands.Given() {
		if !stands.Contains(w.From) {
			w.From = stands.From
		}
		if !stands.Contains(w.To) || stands.From.DaysTo(w.To) < stands.From.DaysTo(w.From) {
			w.To = w.From
		}
	}
	return w
}

// together tells whether two windows of a plan share a day; one that is not given is the whole year.
func together(p *plan.Plan, a, b season.Window) bool {
	a, b = p.Days(a), p.Days(b)
	return !a.Given() || !b.Given() || a.Contains(b.From) || b.Contains(a.From)
}

// entersUnderCover tells whether a pest gets under a sealed cover or through the mesh of a common insect net: what creeps or
// lives in the soil, mites and thrips. Common practice, no source.
func entersUnderCover(p *data.Pest) bool {
	switch p.Order {
	case "Acari", "Mollusca", "Thysanoptera":
		return true
	}
	return p.Family == wireworms || p.ID == blackCutworm
}

// inTheSoil tells whether the pests of a planting may come out of the soil under a cover: it follows its own family, last year or
// earlier this year, or is a perennial that stood there last year. The plan must give its year to know of last year; a perennial
// that stands all year, or from no day that is given, stood there too.
func (y *year) inTheSoil(f *plan.Feature, planting int) bool {
	p, now := y.a.Plan, f.Crops[planting]
	if crop := y.a.Catalogue.Crop(now.Crop); crop != nil && crop.LifeCycle == perennial {
		days := now.Dates
		return days.From == 0 || days.Given() && days.To.Add(1) == days.From ||
			p.Year != 0 && slices.ContainsFunc(f.CropsIn(p.Year-1, p.Year), func(x plan.Planting) bool { return x.Crop == now.Crop })
	}
	return len(familyBefore(y.a.Catalogue, p, f, planting)) > 0
}

// familyBefore are the plantings of the same family as a planting that stood on the bed before it, last year's first. Of those of
// this year the days must tell that it came before: when it began, by its own word or with the growing year, and when it was over.
func familyBefore(c *data.Catalogue, p *plan.Plan, f *plan.Feature, planting int) (before []plan.Planting) {
	now := f.Crops[planting]
	crop := c.Crop(now.Crop)
	if crop == nil || crop.LifeCycle == perennial {
		return nil
	}
	kin := func(p plan.Planting) bool {
		x := c.Crop(p.Crop)
		return x != nil && x.Family == crop.Family
	}
	if p.Year != 0 {
		for _, x := range f.CropsIn(p.Year-1, p.Year) {
			if kin(x) {
				before = append(before, x)
			}
		}
	}
	if now.Dates.From == 0 {
		return before
	}
	of := p.NewYear().DaysTo // the place of a day in the growing year
	for i, x := range f.Crops {
		days := p.Days(x.Dates)
		if i != planting && kin(x) && days.Given() && of(days.From) <= of(days.To) && of(days.To) < of(now.Dates.From) {
			before = append(before, x)
		}
	}
	return before
}
