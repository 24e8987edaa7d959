package habitat

import (
	"strings"
	"testing"
)

// Plants, crops, pests and materials stand in the catalogue as they stand in a sentence, capitals and all; guilds as at its head.
func TestNamesInText(t *testing.T) {
	c := catalogue(t)
	var names []string
	for _, p := range c.Plants {
		names = append(names, p.Name)
	}
	for _, p := range c.Crops {
		names = append(names, p.Name)
	}
	for _, p := range c.Pests {
		names = append(names, p.Name)
	}
	for _, m := range c.Materials {
		names = append(names, m.Name)
	}
	for _, n := range names {
		if got := InText(n); got != n {
			t.Errorf("%q in a sentence: %q", n, got)
		}
	}
	used := map[string]bool{}
	for _, g := range c.Guilds {
		names = append(names, g.Name)
		if got := InText(g.Name); got != strings.ToLower(g.Name[:1])+g.Name[1:] && g.ID != "trichogramma" && g.ID != "anagrus" {
			t.Errorf("%q in a sentence: %q", g.Name, got)
		}
	}
	for _, n := range names {
		first, _, _ := strings.Cut(n, " ")
		used[first] = true
	}
	for w := range keepsCapital {
		if !used[w] {
			t.Errorf("no name of the catalogue begins with %q", w)
		}
	}
}
