package sheet

import (
	"strings"
	"testing"

	"hedgereach/data"
	"hedgereach/habitat"
)

// The printed charts cut nothing off: neither whom a plant feeds nor who holds a pest, nor the key, on any paper in any print.
func TestChartsAreNotCut(t *testing.T) {
	p := sampleGarden(t)
	a := habitat.Assess(p, catalogue(t), habitat.Options{})
	flat := func(s string) string { return strings.Join(strings.Fields(s), "") }
	for _, paper := range Papers {
		for _, big := range []bool{false, true} {
			for _, way := range []Orientation{Portrait, Landscape} {
				s, err := Make(a, Options{Paper: paper, Big: big, Orientation: way, Sheets: []Kind{BloomYear, BedYear}, Date: when})
				if err != nil {
					t.Fatal(err)
				}
				for n, page := range s.Pages {
					for _, w := range words(page.List, "") {
						if strings.Contains(w, "…") {
							t.Errorf("%s, big %t, way %d, page %d: %q is cut", paper.Name, big, way, n+1, w)
						}
					}
				}
				bloom, beds := flat(all(s, BloomYear)), flat(all(s, BedYear))
				for _, f := range p.Features {
					for _, g := range f.Plants {
						for _, id := range a.Catalogue.Plant(g.Plant).Guilds {
							if guild := a.Catalogue.Guild(id); !guild.Pollinator && !strings.Contains(strings.ToLower(bloom), strings.ToLower(flat(firstWords(guild)))) {
								t.Errorf("%s: the bloom chart lacks %s", paper.Name, guild.Name)
							}
						}
					}
				}
				for _, key := range []string{"its enemies within reach", "kept out by a cover", "dotted lines: last frost"} {
					if !strings.Contains(beds, flat(key)) {
						t.Errorf("%s, big %t, way %d: the key lacks %q", paper.Name, big, way, key)
					}
				}
			}
		}
	}
}

// firstWords are those of a guild's name that the charts write.
func firstWords(g *data.Guild) string {
	name, _, _ := strings.Cut(g.Name, " and ")
	name, _, _ = strings.Cut(name, " of ")
	return name
}
