package data

import "strings"

// Words of native ranges that say less than people ask: the directions are abbreviated in the file, and a land lies in a part of
// the world that the range does not name (geography; no source needed).
var (
	directions = map[string]string{"N": "northern", "E": "eastern", "S": "southern", "W": "western", "C": "central",
		"NE": "northeastern", "NW": "northwestern", "SE": "southeastern", "SW": "southwestern"}
	lies = []struct{ land, in string }{
		{"california", "north america, usa, western"}, {"oregon", "north america, usa, western"}, {"usa", "north america, united states"},
		{"mexico", "north america"}, {"great lakes", "north america, usa, eastern"}, {"midwest", "north america, usa, central"},
		{"n hemisphere", "north america, europe, asia"}, {"mediterranean", "europe"}, {"eurasia", "europe, asia"},
	}
)

// NativeWords are the words by which a plant's native range is found, in small letters: those of the file, with directions written
// out and the part of the world that a land lies in.
func (p *Plant) NativeWords() string {
	low := strings.ToLower(p.Native)
	words := []string{low}
	for _, w := range strings.FieldsFunc(p.Native, func(r rune) bool { return r == ' ' || r == ',' }) {
		if long, ok := directions[w]; ok {
			words = append(words, long)
		}
	}
	for _, x := range lies {
		if strings.Contains(low, x.land) {
			words = append(words, x.in)
		}
	}
	return strings.Join(words, "\n")
}
