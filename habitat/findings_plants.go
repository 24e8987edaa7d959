package habitat

import (
	"fmt"

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
