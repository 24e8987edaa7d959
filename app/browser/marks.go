package browser

import (
	"slices"

	"hedgereach/data"
)

// A mark is the letter for guilds that are much alike to a grower.
type mark struct {
	letter string
	words  string
	guilds []string // ids
}

// marks in the order in which they stand on a line.
var marks = []mark{
	{"H", "hoverflies", []string{"hoverflies"}},
	{"L", "lady and soldier beetles", []string{"lady-beetles", "soldier-beetles"}},
	{"N", "lacewings", []string{"green-lacewings", "brown-lacewings"}},
	{"B", "predatory bugs", []string{"predatory-bugs"}},
	{"W", "parasitic and hunting wasps", []string{"trichogramma", "anagrus", "aphid-parasitoids", "larger-parasitoids", "predatory-wasps"}},
	{"T", "tachinid flies", []string{"tachinids"}},
	{"G", "ground and rove beetles", []string{"ground-beetles", "rove-beetles"}},
	{"S", "spiders and predatory mites", []string{"hunting-spiders", "money-spiders", "predatory-mites"}},
	{"P", "pollinating bees", []string{"small-bees", "large-solitary-bees", "bumble-bees", "honey-bees"}},
}

// marksOf are the letters of a line, "" where a mark's guilds have nothing of it: for a plant capital where its flowers feed one of
// them and small where its leaves or tussocks shelter one, for a crop those that hold a pest of it.
func marksOf(c *data.Catalogue, l line) []string {
	out := make([]string, len(marks))
	if l.crop != nil {
		for _, g := range c.GuildsFor(l.crop.ID) {
			if i := markOf(g.ID); i >= 0 {
				out[i] = marks[i].letter
			}
		}
		return out
	}
	for _, id := range l.plant.Guilds {
		i, g := markOf(id), c.Guild(id)
		switch {
		case i < 0 || g == nil:
		case g.FedByFlowers && l.plant.Bloom.Given():
			out[i] = marks[i].letter
		case out[i] == "":
			out[i] = string(marks[i].letter[0] + 'a' - 'A')
		}
	}
	return out
}

func markOf(guild string) int {
	return slices.IndexFunc(marks, func(m mark) bool { return slices.Contains(m.guilds, guild) })
}
