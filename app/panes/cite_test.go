package panes

import (
	"strings"
	"testing"

	"hedgereach/data"
	"hedgereach/geometry/length"
)

func TestCitationsInShort(t *testing.T) {
	for citation, want := range map[string]string{
		"Long R, Corbett A, Lamb C 1998. Beneficial insects move. California Agriculture 52(5):23–26": "Long and others 1998",
		"Wratten S, Bowie M 2003. Agriculture, Ecosystems":                                            "Wratten and Bowie 2003",
		"Alonso, and others 2024. Entomologia":                                                        "Alonso and others 2024",
		"van der Werf W 2000. European Journal":                                                       "van der Werf 2000",
		"Field notes, Chile (no year)":                                                                "Field notes",
	} {
		if got := short(citation); got != want {
			t.Errorf("%q gives %q, want %q", citation, got, want)
		}
	}
}

// The catalogue's files name studies by ids; a grower must not meet one.
func TestGuildWordsHoldNoIDs(t *testing.T) {
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range c.Guilds {
		for _, s := range guildWords(c, g, length.Metric) {
			text := s.Textual()
			for _, x := range c.Studies {
				for _, word := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" ,.;:()\n", r) }) {
					if word == x.ID {
						t.Errorf("%s: the popup says %q in %q", g.ID, x.ID, text)
					}
				}
			}
		}
	}
}
