package data

import (
	"slices"
	"strings"
	"testing"
)

func ids[T any](list []*T, id func(*T) string) string {
	var out []string
	for _, x := range list {
		out = append(out, id(x))
	}
	return strings.Join(out, " ")
}

// A walk along the links, beside what the published row of each step says (pests of carrot; enemies of carrot rust fly).
func TestWalk(t *testing.T) {
	c := mustLoad(t)
	if got := ids(c.PestsOf("carrot"), func(p *Pest) string { return p.ID }); got != "carrot-rust-fly carrot-weevil aster-leafhopper" {
		t.Errorf("pests of carrot: %s", got)
	}
	if got := ids(c.GuildsOf("carrot-rust-fly"), func(g *Guild) string { return g.ID }); got != "ground-beetles rove-beetles larger-parasitoids" {
		t.Errorf("guilds: %s", got)
	}
	if got := ids(c.GuildsFor("carrot"), func(g *Guild) string { return g.ID }); got != "ground-beetles rove-beetles predatory-bugs hunting-spiders anagrus larger-parasitoids" {
		t.Errorf("guilds for carrot: %s", got)
	}
	if got := ids(c.HostsOf("leek-moth"), func(p *Crop) string { return p.ID }); got != "garlic leek" {
		t.Errorf("hosts: %s", got)
	}
	feeders := c.FeedersOf("hoverflies")
	if !slices.Contains(feeders, c.Plant("sweet-alyssum")) || slices.Contains(feeders, c.Plant("timothy")) {
		t.Error("what feeds hoverflies is wrong")
	}
	if len(c.FeedersOf("ground-beetles")) > 0 || !slices.Contains(c.SheltersOf("ground-beetles"), c.Plant("timothy")) {
		t.Error("ground beetles shelter in tussocks and eat no flowers")
	}
	if !slices.Contains(c.CompanionsOf("carrot"), c.Companion("carrot-french-marigold")) ||
		!slices.Contains(c.CompanionsAgainst("japanese-beetle"), c.Companion("rose-geranium")) ||
		!slices.Contains(c.TrapCropsOf("cucumber"), c.TrapCrop("cucurbits-blue-hubbard-ring")) ||
		!slices.Contains(c.TrapCropsAgainst("squash-bug"), c.TrapCrop("cucurbits-blue-hubbard-plants")) ||
		!slices.Contains(c.TrapsFor("squash-vine-borer"), c.Trap("squash-vine-borer-trap")) {
		t.Error("a companion, trap crop or trap is not found by its crop or pest")
	}
	if c.PestsOf("no-such") != nil || c.GuildsOf("") != nil || c.HostsOf("no-such") != nil || c.FeedersOf("no-such") != nil || c.SheltersOf("no-such") != nil {
		t.Error("an unknown id has links")
	}
}

// From every crop a grower can come to a guild and from there to something to plant or leave standing.
func TestEveryCropLeadsToHabitat(t *testing.T) {
	c := mustLoad(t)
	for _, crop := range c.Crops {
		guilds := c.GuildsFor(crop.ID)
		if len(guilds) == 0 {
			t.Errorf("%s leads to no guild", crop.ID)
		}
		for _, g := range guilds {
			if len(g.Shelter)+len(c.FeedersOf(g.ID))+len(c.SheltersOf(g.ID)) == 0 {
				t.Errorf("%s: %s has neither shelter nor food", crop.ID, g.ID)
			}
		}
	}
}

// An entry shows every fact with the sources that it cites in full; and every entry that can be found can be shown.
func TestEntries(t *testing.T) {
	c := mustLoad(t)
	for _, m := range c.everything() {
		e := c.Entry(m.List, m.ID)
		if e == nil || e.Name != m.Name || e.ID != m.ID || !slices.Contains(Lists, m.List) {
			t.Fatalf("%s/%s: %+v", m.List, m.ID, e)
		}
		if len(e.Groups) == 0 && m.List != "source" {
			t.Errorf("%s/%s says nothing", m.List, m.ID)
		}
		cited := map[string]bool{}
		for _, s := range e.Sources {
			cited[s.ID] = true
		}
		for _, g := range e.Groups {
			for _, id := range g.From.Sources {
				if !cited[id] {
					t.Errorf("%s/%s does not cite %s", m.List, m.ID, id)
				}
			}
			for _, f := range g.Facts {
				if f.Label == "" || f.Value == "" || strings.Contains(f.Value, "NaN") {
					t.Errorf("%s/%s: %+v", m.List, m.ID, f)
				}
				for _, r := range f.Refs {
					if c.Entry(r.List, r.ID) == nil {
						t.Errorf("%s/%s names %s/%s, which is not there", m.List, m.ID, r.List, r.ID)
					}
				}
			}
		}
	}
	for _, q := range [][2]string{{"plant", "no-such"}, {"no-such", "borage"}, {"", ""}, {"never", "borage"}} {
		if c.Entry(q[0], q[1]) != nil {
			t.Errorf("%v is found", q)
		}
	}
}

func TestFindAndNearest(t *testing.T) {
	c := mustLoad(t)
	for words, want := range map[string]string{
		"borage":             "plant/borage",
		" Crop/Carrot ":      "crop/carrot",
		"parsley":            "plant/parsley crop/parsley",
		"poison hemlock":     "never/poison-hemlock",
		"greenleaf-2007":     "source/greenleaf-2007",
		"limonene":           "",
		"zizia":              "plant/golden-alexanders",
		"crop/no-such":       "",
		"yellow sticky card": "trap/yellow-card-outdoors trap/yellow-card-cover trap/yellow-card-whitefly trap/yellow-card-dense",
	} {
		var got []string
		for _, m := range c.Find(words) {
			got = append(got, m.List+"/"+m.ID)
		}
		slices.Sort(got)
		wanted := strings.Fields(want)
		slices.Sort(wanted)
		if !slices.Equal(got, wanted) {
			t.Errorf("%q finds %v, want %v", words, got, wanted)
		}
	}
	if m := c.Nearest("golden-alexnders", 3); len(m) != 3 || m[0].ID != "golden-alexanders" {
		t.Errorf("nearest: %v", m)
	}
	if m := c.Nearest("guild/hoverfly", 1); len(m) != 1 || m[0].ID != "hoverflies" {
		t.Errorf("nearest: %v", m)
	}
	// the textbook cases of Levenshtein's distance
	for _, s := range []struct {
		a, b string
		n    int
	}{{"kitten", "sitting", 3}, {"saturday", "sunday", 3}, {"", "abc", 3}, {"abc", "", 3}, {"same", "same", 0}} {
		if n := distance([]rune(s.a), []rune(s.b)); n != s.n {
			t.Errorf("%s, %s: %d", s.a, s.b, n)
		}
	}
}
