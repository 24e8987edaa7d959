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
		{"horticultural-oil", "spinosad"}, {"azadirachtin", "pyrethrins"}, {"insecticidal-soap", "neem-oil"}, {"neem-oil", "sulfur"}} {
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

// Nothing is called gentler that is worse for bees: the classes of UC IPM are I, the worst, II and III; what it does not rate stands
// between II and III, but for diatomaceous earth, which harms bees on dusted flowers.
func TestNothingGentlerIsWorseForBees(t *testing.T) {
	c := mustLoad(t)
	order := []Bees{"III", "not rated", "II", "I"}
	class := func(m *Material) int {
		if m.ID == "diatomaceous-earth" {
			return slices.Index(order, "II")
		}
		return slices.Index(order, m.Bees)
	}
	pairs := 0
	for _, x := range c.Materials {
		for _, y := range c.Materials {
			if !x.GentlerThan(y) {
				continue
			}
			pairs++
			if class(x) > class(y) || y.GentlerThan(x) || x.Gentleness() >= y.Gentleness() {
				t.Errorf("%s (bees %s) is called gentler than %s (bees %s)", x.Name, x.Bees, y.Name, y.Bees)
			}
		}
	}
	if pairs < len(c.Materials) {
		t.Errorf("%d pairs", pairs)
	}
	for _, no := range [][2]string{{"pyrethrins", "azadirachtin"}, {"neem-oil", "sulfur"}, {"insecticidal-soap", "sulfur"}, {"spinosad", "spinosad"},
		{"diatomaceous-earth", "metaldehyde-bait"}} {
		if c.Material(no[0]).GentlerThan(c.Material(no[1])) {
			t.Errorf("%s is called gentler than %s", no[0], no[1])
		}
	}
}
