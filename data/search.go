package data

import (
	"slices"
	"strings"
)

// A Match is an entry of the catalogue that Search found.
type Match struct {
	List     string // "guild", "plant", "crop", "pest", "companion", "trap-crop", "trap", "material", "never" or "source"
	ID, Name string
}

// Search finds entries by their id, name, scientific name or family; of guilds also by examples, of companions and
// trap crops by the plants and pests in words, of sources by citation. All words must occur, in small or capital letters, whole or in part. An entry with just that id or name comes first, then names
// that begin so, then the others, each in the order of the files. No words find nothing.
func (c *Catalogue) Search(words string) []Match {
	words = strings.ToLower(strings.TrimSpace(words))
	wanted := strings.Fields(words)
	if len(wanted) == 0 {
		return nil
	}
	var found [3][]Match
	look := func(list, id, name string, more ...string) {
		text := strings.ToLower(id + "\n" + name + "\n" + strings.Join(more, "\n"))
		for _, w := range wanted {
			if !strings.Contains(text, w) {
				return
			}
		}
		rank, low := 2, strings.ToLower(name)
		switch {
		case id == words || low == words:
			rank = 0
		case strings.HasPrefix(low, words):
			rank = 1
		}
		found[rank] = append(found[rank], Match{list, id, name})
	}
	for _, g := range c.Guilds {
		look("guild", g.ID, g.Name, g.Examples)
	}
	for _, p := range c.Plants {
		look("plant", p.ID, p.Name, p.Scientific, p.Family)
	}
	for _, p := range c.Crops {
		look("crop", p.ID, p.Name, p.Scientific, p.Family)
	}
	for _, p := range c.Pests {
		look("pest", p.ID, p.Name, p.Scientific, p.Family)
	}
	for _, x := range c.Companions {
		look("companion", x.ID, x.Name, x.Main, x.With, x.PestsWords)
	}
	for _, x := range c.TrapCrops {
		look("trap-crop", x.ID, x.Name, x.Main, x.Trap, x.PestsWords)
	}
	for _, x := range c.Traps {
		look("trap", x.ID, x.Name, x.Target)
	}
	for _, x := range c.Materials {
		look("material", x.ID, x.Name)
	}
	for _, n := range c.Never {
		look("never", n.ID, n.Name, n.Scientific)
	}
	for _, s := range c.Sources {
		look("source", s.ID, s.Citation)
	}
	return slices.Concat(found[:]...)
}
