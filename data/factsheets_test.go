package data

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// The eight plant fact sheets of Michigan State University that could be read (D. Landis, A. Fiedler, R. Isaacs, Plant facts,
// canr.msu.edu/nativeplants/plant_facts): bloom in half-months, height, and the natural enemies that were collected at the
// flowers. "bees" stands for all four guilds of bees, and "parasitic wasps" for the larger parasitoids and, at umbels, for those of aphids,
// since the sheets do not say which: our reading. Dance flies, long-legged flies and
// predatory thrips have no guild here. The height of angelica is that of the sheet and of the Minnesota Board of Water and Soil
// Resources (featured plant, December 2018) together. How many times the enemies of a plot of grass came to it is in the note.
func TestMichiganFactSheets(t *testing.T) {
	const bees = " small-bees large-solitary-bees bumble-bees honey-bees"
	c := mustLoad(t)
	for _, s := range []struct{ id, scientific, bloom, height, enemies, times string }{
		{"golden-alexanders", "Zizia aurea", "05-16 06-15", "60–90", "lady-beetles predatory-bugs aphid-parasitoids larger-parasitoids", ""},
		{"canada-anemone", "Anemone canadensis", "06-01 06-30", "30–60", "predatory-bugs hunting-spiders larger-parasitoids", "3 × the enemies of the grass control"},
		{"angelica", "Angelica atropurpurea", "06-01 06-30", "100–270", "lady-beetles soldier-beetles predatory-bugs aphid-parasitoids larger-parasitoids", ""},
		{"sand-coreopsis", "Coreopsis lanceolata", "06-01 08-31", "30–60",
			"green-lacewings hoverflies soldier-beetles predatory-bugs hunting-spiders larger-parasitoids", "4 × the grass control"},
		{"shrubby-cinquefoil", "Dasiphora fruticosa", "07-01 09-30", "60–120",
			"lady-beetles green-lacewings hoverflies soldier-beetles predatory-bugs hunting-spiders larger-parasitoids", "3 × the grass control"},
		{"meadowsweet", "Spiraea alba", "08-01 08-31", "60–120",
			"lady-beetles ground-beetles soldier-beetles predatory-bugs hunting-spiders larger-parasitoids predatory-wasps", "Over 4 × the grass control"},
		{"cup-plant", "Silphium perfoliatum", "08-01 08-31", "90–240",
			"lady-beetles green-lacewings soldier-beetles predatory-bugs hunting-spiders larger-parasitoids predatory-wasps", "4 × the grass control"},
		{"riddells-goldenrod", "Solidago riddellii", "09-01 09-30", "60–120",
			"lady-beetles predatory-bugs hunting-spiders larger-parasitoids tachinids predatory-wasps", "4 × the grass control"},
	} {
		p := c.Plant(s.id)
		if p == nil {
			t.Errorf("%s is not there", s.id)
			continue
		}
		if got := p.Bloom.From.String() + " " + p.Bloom.To.String(); got != s.bloom || p.BloomPlace.ID != "southern-michigan" {
			t.Errorf("%s flowers %s at %s, the sheet says %s in southern Michigan", s.id, got, p.BloomPlace.ID, s.bloom)
		}
		if got := fmt.Sprintf("%g–%g", p.HeightMinCM, p.HeightMaxCM); got != s.height {
			t.Errorf("%s is %s cm high, the sheet says %s", s.id, got, s.height)
		}
		want := strings.Fields(s.enemies + bees)
		got := slices.Sorted(slices.Values(p.Guilds))
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("%s: %v, the sheet says %v", s.id, got, want)
		}
		if !strings.HasPrefix(p.Scientific, s.scientific) || !strings.Contains(p.Note, s.times) {
			t.Errorf("%s: %s: %s", s.id, p.Scientific, p.Note)
		}
		if p.GuildsFrom.Checked != ReadAtSource || p.TraitsFrom.Checked != ReadAtSource || p.Listed != ReadAtSource ||
			!slices.Contains(p.GuildsFrom.Sources, "msu-plant-facts") || !slices.Contains(p.TraitsFrom.Sources, "msu-plant-facts") {
			t.Errorf("%s does not say that the sheet was read: %+v", s.id, p.TraitsFrom)
		}
	}
}
