package data

import "testing"

func TestSearch(t *testing.T) {
	c := mustLoad(t)
	for _, s := range []struct{ words, first string }{
		{"Carrot", "crop carrot"},                     // the name itself before carrot rust fly and wild carrot
		{"carrot-rust-fly", "pest carrot-rust-fly"},   // an id
		{"cabb", "crop cabbage"},                      // the beginning of a name
		{"zizia", "plant golden-alexanders"},          // a scientific name
		{"GOLDENROD gray", "plant gray-goldenrod"},    // words in any order
		{"aphidius", "guild aphid-parasitoids"},       // an example
		{"tylianakis 2004", "source tylianakis-2004"}, // a citation
	} {
		m := c.Search(s.words)
		if len(m) == 0 || m[0].List+" "+m[0].ID != s.first {
			t.Errorf("%q finds %v, want %s first", s.words, m, s.first)
		}
	}
	for _, words := range []string{"", "  ", "unicorn", "carrot unicorn"} {
		if m := c.Search(words); len(m) > 0 {
			t.Errorf("%q finds %v", words, m)
		}
	}
}

func TestStudiesOf(t *testing.T) {
	c := mustLoad(t)
	for _, g := range c.Guilds {
		if n := len(c.StudiesOf(g.ID)); (n == 0) != (g.ID == "tachinids") { // no study of their distances was found
			t.Errorf("%s: %d studies", g.ID, n)
		}
	}
}
