package data

import (
	"slices"
	"testing"
)

// The order of the UC IPM tables of relative toxicity (ipm.ucanr.edu, read through the rows of materials.csv): Bt harms neither
// predators nor parasitoids; azadirachtin and spinosad harm parasitoids by some of its tables, and the stricter goes.
func TestGentlestFirst(t *testing.T) {
	c := mustLoad(t)
	before := slices.Clone(c.Materials)
	list := Gentlest(c.Materials)
	at := func(id string) int {
		i := slices.IndexFunc(list, func(m *Material) bool { return m.ID == id })
		if i < 0 {
			t.Fatalf("no %s", id)
		}
		return i
	}
	for _, pair := range [][2]string{{"bt-kurstaki", "azadirachtin"}, {"bt-kurstaki", "spinosad"}, {"bt-kurstaki", "pyrethrins"},
		{"horticultural-oil", "spinosad"}} {
		if at(pair[0]) > at(pair[1]) {
			t.Errorf("%s comes after %s", pair[0], pair[1])
		}
	}
	if !slices.Equal(before, c.Materials) || len(list) != len(before) {
		t.Error("the catalogue's own list was changed, or some are left out")
	}
	for i, m := range list[1:] {
		if m.Gentleness() < list[i].Gentleness() {
			t.Errorf("%s comes after %s", m.Name, list[i].Name)
		}
	}
}
