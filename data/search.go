package data

import (
	"slices"
	"strings"
)

// A Match names an entry of the catalogue.
type Match struct {
	List     string // one of Lists
	ID, Name string
}

// Lists are the lists that have entries, as Match and Entry name them.
var Lists = []string{"guild", "plant", "crop", "pest", "companion", "trap-crop", "trap", "material", "never", "source"}

// An indexed entry is what is searched.
type indexed struct {
	Match
	text string // further words by which it is found
}

// everything is every entry, by list and in the order of the files.
func (c *Catalogue) everything() []indexed {
	var out []indexed
	add := func(list, id, name string, more ...string) {
		out = append(out, indexed{Match{list, id, name}, strings.Join(more, "\n")})
	}
	for _, g := range c.Guilds {
		add("guild", g.ID, g.Name, g.Examples)
	}
	for _, p := range c.Plants {
		add("plant", p.ID, p.Name, p.Scientific, p.Family)
	}
	for _, p := range c.Crops {
		add("crop", p.ID, p.Name, p.Scientific, p.Family)
	}
	for _, p := range c.Pests {
		add("pest", p.ID, p.Name, p.Scientific, p.Family)
	}
	for _, x := range c.Companions {
		add("companion", x.ID, x.Name, x.Main, x.With, x.PestsWords, c.pestNames(x.Pests))
	}
	for _, x := range c.TrapCrops {
		add("trap-crop", x.ID, x.Name, x.Main, x.Trap, x.PestsWords, c.pestNames(x.Pests))
	}
	for _, x := range c.Traps {
		add("trap", x.ID, x.Name, x.Target, c.pestNames(x.Pests))
	}
	for _, x := range c.Materials {
		add("material", x.ID, x.Name)
	}
	for _, n := range c.Never {
		add("never", n.ID, n.Name, n.Scientific)
	}
	for _, s := range c.Sources {
		add("source", s.ID, s.Citation)
	}
	return out
}

func (c *Catalogue) pestNames(ids []string) string {
	var b strings.Builder
	for _, p := range all(ids, c.pest) {
		b.WriteString(p.Name + "\n")
	}
	return b.String()
}

// Search finds entries by their id, name, scientific name or family; of guilds also by examples, of companions, trap crops and
// traps by their plants and pests, of sources by citation. All words must occur, in small or capital letters, whole or in part.
// An entry with just that id or name comes first, then names that begin so, then the others, each in the order of the files.
// No words find nothing.
func (c *Catalogue) Search(words string) []Match {
	words = strings.ToLower(strings.TrimSpace(words))
	wanted := strings.Fields(words)
	if len(wanted) == 0 {
		return nil
	}
	var found [3][]Match
	for _, e := range c.everything() {
		low := strings.ToLower(e.Name)
		text := e.ID + "\n" + low + "\n" + strings.ToLower(e.text)
		if slices.ContainsFunc(wanted, func(w string) bool { return !strings.Contains(text, w) }) {
			continue
		}
		rank := 2
		switch {
		case e.ID == words || low == words:
			rank = 0
		case strings.HasPrefix(low, words):
			rank = 1
		}
		found[rank] = append(found[rank], e.Match)
	}
	return slices.Concat(found[:]...)
}

// Find is what a person means who types an id, LIST/ID or words: the entries with just that id, else those that Search finds.
func (c *Catalogue) Find(words string) []Match {
	words = strings.ToLower(strings.TrimSpace(words))
	list, id, named := strings.Cut(words, "/")
	if !named {
		list, id = "", words
	}
	var exact []Match
	for _, e := range c.everything() {
		if e.ID == id && (list == "" || e.List == list) {
			exact = append(exact, e.Match)
		}
	}
	if len(exact) > 0 {
		return exact
	}
	return c.Search(words)
}

// Nearest are up to n entries whose ids are most like a word that nothing was found for, by the least number of letters to
// add, drop or change.
func (c *Catalogue) Nearest(word string, n int) []Match {
	word = strings.ToLower(strings.TrimSpace(word))
	_, id, named := strings.Cut(word, "/")
	if named {
		word = id
	}
	type near struct {
		Match
		steps int
	}
	var list []near
	for _, e := range c.everything() {
		list = append(list, near{e.Match, distance([]rune(word), []rune(e.ID))})
	}
	slices.SortStableFunc(list, func(a, b near) int { return a.steps - b.steps })
	out := make([]Match, 0, n)
	for _, m := range list[:min(n, len(list))] {
		out = append(out, m.Match)
	}
	return out
}

// distance is Levenshtein's: V. I. Levenshtein 1966, Soviet Physics Doklady 10:707–710; by rows, as Wagner and Fischer 1974.
func distance(a, b []rune) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range a {
		corner := row[0]
		row[0] = i + 1
		for j := range b {
			change := corner
			if a[i] != b[j] {
				change++
			}
			corner = row[j+1]
			row[j+1] = min(change, row[j]+1, corner+1)
		}
	}
	return row[len(b)]
}
