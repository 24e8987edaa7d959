package habitat

import (
	"fmt"
	"slices"

	"hedgereach/data"
	"hedgereach/habitat/plan"
)

// nothingPlanted names habitats that list no plants: they count as shelter by their kind from the first day on paper, and feed
// nobody. A pond needs none.
func nothingPlanted(v *view) []Finding {
	var bare []*plan.Feature
	var ids []string
	for _, x := range v.now.habitats {
		if f := x.feature; f.Kind != plan.Pond && f.Kind.Habitat() && len(f.Plants) == 0 {
			bare = append(bare, f)
			ids = append(ids, f.ID)
		}
	}
	if len(bare) == 0 {
		return nil
	}
	return []Finding{{Features: ids, Message: fmt.Sprintf("%s %s no plants yet. By %s kind %s as shelter, once grown; food comes only "+
		"with plants that are named.", namesOf(bare), plural(len(bare), "lists", "list"), plural(len(bare), "its", "their"),
		plural(len(bare), "it counts", "they count")), Mend: "Say what grows there, with shares; the catalogue tells what flowers when."}}
}

// unwelcomePlants warns of plants that grow on the plan and are weeds where it lies, one by one, since each has its own source;
// where the place is not known, of those that are weeds anywhere.
func unwelcomePlants(v *view) (found []Finding) {
	at := RegionOf(v.Plan.Place)
	weed := func(p *data.Plant) bool {
		return len(p.InvasiveIn) > 0 && (at.Continent == "" || slices.Contains(p.InvasiveIn, at.Continent))
	}
	v.eachPlanted(weed, func(p *data.Plant, names string, ids []string) {
		fd := Finding{Key: p.ID, Features: ids, Source: v.cite(p.CautionsFrom.Sources, ""), Evidence: p.CautionsFrom.Evidence}
		fd.Message = fmt.Sprintf("%s, in %s: %s", capital(p.Name), names, InText(p.Weed(at)))
		fd.Mend = "Ask before you sow or plant it; where it is listed, take another plant."
		switch {
		case at.Continent == "":
			fd.Severity = Advice
			fd.Mend += " Give the plan a place to be told of that part of the world alone."
		case !v.Offered(p):
			fd.Title = "Noxious weed here"
			fd.Mend = "Take another plant: this program does not offer it in this part of the world."
		}
		found = append(found, fd)
	})
	return found
}

// tenderPlants names plants that the winter may kill.
func tenderPlants(v *view) (found []Finding) {
	at := RegionOf(v.Plan.Place)
	tender := func(p *data.Plant) bool { return !p.Hardy(at.Zone) }
	v.eachPlanted(tender, func(p *data.Plant, names string, ids []string) {
		found = append(found, Finding{Key: p.ID, Features: ids, Source: v.cite(p.TraitsFrom.Sources, ""), Evidence: p.TraitsFrom.Evidence,
			Message: fmt.Sprintf("%s, in %s, is hardy from zone %d, and this is zone %s: the winter may kill it.", capital(p.Name),
				names, p.ZoneMin, at.Zone),
			Mend: "Take a plant that is hardy here, or count on sowing it anew."})
	})
	return found
}

// eachPlanted visits those of the plants that habitats grow which are wanted, once each, in the order of the plan, with where they
// grow. Mostly none is, and then nothing is gathered: rules that use it run with every step of a drag.
func (v *view) eachPlanted(wanted func(p *data.Plant) bool, do func(p *data.Plant, names string, ids []string)) {
	var where map[*data.Plant][]*plan.Feature
	var order []*data.Plant
	for _, x := range v.now.habitats {
		for _, g := range x.feature.Plants {
			p := v.Catalogue.Plant(g.Plant)
			if p == nil || !wanted(p) || slices.Contains(where[p], x.feature) {
				continue
			}
			if where == nil {
				where = map[*data.Plant][]*plan.Feature{}
			}
			if where[p] == nil {
				order = append(order, p)
			}
			where[p] = append(where[p], x.feature)
		}
	}
	for _, p := range order {
		var ids []string
		for _, f := range where[p] {
			ids = append(ids, f.ID)
		}
		do(p, namesOf(where[p]), ids)
	}
}

// unfitEntries names the plan's own entries that could not be used.
func unfitEntries(v *view) (found []Finding) {
	for i, err := range v.unfit {
		found = append(found, Finding{Key: fmt.Sprint(i + 1), Message: "It was left out: " + err.Error() + ".",
			Mend: "Mend or take it out under Plan, My own plants and ranges."})
	}
	return found
}

// entriesElsewhere names the grower's own entries that the plan is measured by and does not keep.
func entriesElsewhere(v *view) []Finding {
	var names, ids []string
	for _, u := range OwnElsewhere(v.Plan, v.base) {
		names = append(names, u.Name)
		for _, id := range u.Features {
			if !slices.Contains(ids, id) {
				ids = append(ids, id)
			}
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []Finding{{Features: ids, Message: fmt.Sprintf("This plan is measured by entries of your own that are kept on this computer alone: %s. "+
		"On another it would come out otherwise.", join(shorten(names))),
		Mend: "Put them into the plan: Plan, My own plants and ranges."}}
}
