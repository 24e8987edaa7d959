package data

import (
	"slices"
	"strings"
)

// A Match is an entry of the catalogue that Search found.
type Match struct {
	List     string // "guild", "plant", "crop", "pest" or "source"
	ID, Name string
}

// Search finds entries by their id, name, scientific name or family; of guilds also by examples, of sources by citation. All
// words must occur, in small or capital letters, whole or in part. An entry with just that id or name comes first, then names
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
	for _, s := range c.Sources {
		look("source", s.ID, s.Citation)
	}
	return slices.Concat(found[:]...)
}

// StudiesOf lists the published findings on how far a guild works.
func (c *Catalogue) StudiesOf(guild string) []*Study {
	var list []*Study
	for _, s := range c.Studies {
		if slices.Contains(s.Guilds, guild) {
			list = append(list, s)
		}
	}
	return list
}
