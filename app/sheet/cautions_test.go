package sheet

import (
	"strings"
	"testing"

	"hedgereach/habitat"
)

// Each general caution stands once on the map and its lists; the one on digging stands on the sheet for setting out as well.
func TestCautionsStandOnce(t *testing.T) {
	p := sampleGarden(t)
	for _, paper := range usual {
		for _, way := range []Orientation{Portrait, Landscape} {
			s := set(t, p, Options{Paper: paper, Orientation: way, Notes: "Mind the dog.",
				Sheets: []Kind{PlotMap, Lists, SettingOut}})
			var all []string
			for _, page := range s.Pages {
				all = append(all, words(page.List, "")...)
			}
			joined := strings.Join(all, " ")
			for i, c := range append(habitat.CautionsFor(p), "Mind the dog.") {
				want := 1
				if i == 0 {
					want = 2
				}
				if c == "Mind the dog." {
					want = strings.Count(joined, c) // on the map where there is room, on the lists in any case
				}
				if n := strings.Count(joined, c); n != want || n == 0 {
					t.Errorf("%s %d: %q stands %d times", paper.Name, way, c, n)
				}
			}
		}
	}
}

// Sources are numbered in order, once each.
func TestFootnotes(t *testing.T) {
	var n footnotes
	got := n.mark("A 1990") + n.mark("B 1991") + n.mark("A 1990") + n.mark("") + n.mark("Common practice, no source") + n.mark("Common practice")
	if got != "[1][2][1][3][3]" || strings.Join(n.sources, "|") != "A 1990|B 1991|Common practice" {
		t.Errorf("%s of %q", got, n.sources)
	}
}
