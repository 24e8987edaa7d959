package data

import (
	"regexp"
	"testing"
)

// What is counted agrees with its number: "fed by 1 plant".
func TestWordsAgreeWithTheirNumbers(t *testing.T) {
	c := mustLoad(t)
	one := regexp.MustCompile(`(^|[^0-9.,–-])1 (beds|crops|days|months|pests|plants|traps|weeks|years)\b`)
	for _, m := range c.everything() {
		for _, g := range c.Entry(m.List, m.ID).Groups {
			for _, f := range g.Facts {
				if one.MatchString(f.Value) {
					t.Errorf("%s, %s: %q", m.Name, f.Label, f.Value)
				}
			}
		}
	}
	for n, want := range map[int]string{0: "0 plants", 1: "1 plant", 2: "2 plants"} {
		if got := counted(n, "plant", "plants"); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
