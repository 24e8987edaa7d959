package data

import (
	"cmp"
	"slices"
)

// severity orders the levels of harm. A kill by contact alone lasts no longer than the wet leaf, and ranks between low and
// moderate; harm that no agency graded ranks as moderate, and what is not rated as high, since nothing speaks for it. The order of
// these three is our judgement.
var severity = map[Level]int{NoHarm: 0, LowHarm: 1, ContactOnly: 2, ModestHarm: 3, HarmsSome: 3, HighHarm: 4, NotRated: 4}

// Worst is the level that counts: the stricter of what sources say.
func (h Harm) Worst() Level {
	if severity[h.Least] > severity[h.Most] || h.Most == "" {
		return h.Least
	}
	return h.Most
}

// Gentlest orders materials by how little they harm: predators and parasitoids first, the worse of the two, then the class for
// bees, then predatory mites, then the name. The list given is left as it is.
func Gentlest(list []*Material) []*Material {
	bees := func(b Bees) int { return slices.Index([]Bees{"III", "II", "I"}, b) } // not rated: -1, put last below
	rank := func(m *Material) [3]int {
		b := bees(m.Bees)
		if b < 0 {
			b = 3
		}
		return [3]int{max(severity[m.Predators.Worst()], severity[m.Parasitoids.Worst()]), b, severity[m.Mites.Worst()]}
	}
	out := slices.Clone(list)
	slices.SortStableFunc(out, func(a, b *Material) int {
		x, y := rank(a), rank(b)
		return cmp.Or(slices.Compare(x[:], y[:]), cmp.Compare(a.Name, b.Name))
	})
	return out
}
