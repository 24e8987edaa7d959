package data

import (
	"io/fs"
	"slices"
	"strings"
)

// A Flowering is how long a crop's flowers take to become fruit fit to pick, in days: what dates its flowering before the first
// harvest.
type Flowering struct {
	Crop             string // id
	DaysMin, DaysMax int
	From             Origin
}

// mostFruitDays is longer than any fruit here takes.
const mostFruitDays = 365

func readFlowering(dir fs.FS, c *Catalogue) error {
	c.flowering = map[string]*Flowering{}
	return readTable(dir, "flowering.csv", func(r *row) {
		f := &Flowering{Crop: r.id(), DaysMin: r.whole("days_min", 1, mostFruitDays), DaysMax: r.whole("days_max", 1, mostFruitDays),
			From: r.origin("flowering", c)}
		if !c.knowsCrop(f.Crop) {
			r.fail("id", "there is no crop of that id", "write the id of a row of crops.csv")
		}
		if f.DaysMin == 0 || f.DaysMax == 0 {
			r.fail("days_min", "empty", "give both ends in days, the same twice where the source has one figure")
		}
		r.ordered("days_min", float64(f.DaysMin), float64(f.DaysMax))
		c.Flowerings = append(c.Flowerings, f)
		c.flowering[f.Crop] = f
	})
}

// Flowering is how long the flowers of the crop with the id take to become fruit, or nil.
func (c *Catalogue) Flowering(crop string) *Flowering { return c.flowering[crop] }

// gentleness orders the levels of harm for GentlestFor: what nobody rated is not taken for harmless.
var gentleness = map[Level]int{NoHarm: 0, LowHarm: 1, ContactOnly: 2, NotRated: 3, ModestHarm: 4, HarmsSome: 5, HighHarm: 6}

// classes are the classes of precaution for bees, the least harmful first, each with the level of harm beside which it stands.
var classes = []struct {
	class Bees
	as    Level
}{{"III", NoHarm}, {"not rated", NotRated}, {"II", ModestHarm}, {"I", HighHarm}}

// harmsBees is in the cautions of what harms bees, whether or not it is rated.
const harmsBees = "harms bees"

// bees is the place of the material's class among the classes. What is not rated and harms bees all the same stands with class II.
func (x *Material) bees() int {
	class := x.Bees
	if class == "not rated" && strings.Contains(x.Cautions, harmsBees) {
		class = "II"
	}
	for i, c := range classes {
		if c.class == class {
			return i
		}
	}
	return len(classes) - 1
}

// Gentleness is how a material ranks among others, the least harmful first: by the worst of its harm to predators, parasitoids and
// mites and of its class of precaution for bees, then by that class. The order of unlike levels, and that of levels and classes, is
// our reading; no source ranks them.
func (x *Material) Gentleness() int {
	bees := x.bees()
	worst := max(gentleness[x.Predators.Most], gentleness[x.Parasitoids.Most], gentleness[x.Mites.Most], gentleness[classes[bees].as])
	return len(classes)*worst + bees
}

// GentlerThan tells whether a material may be called gentler than another: it ranks before it, and its class for bees is no worse.
func (x *Material) GentlerThan(y *Material) bool {
	return x.Gentleness() < y.Gentleness() && x.bees() <= y.bees()
}

// Worst is the level that counts, the stricter of what sources say.
func (h Harm) Worst() Level {
	if h.Most == "" || gentleness[h.Least] > gentleness[h.Most] {
		return h.Least
	}
	return h.Most
}

// Gentlest is a list of materials with the gentlest first, of equals the first in the list. The list given is left as it is.
func Gentlest(list []*Material) []*Material {
	out := slices.Clone(list)
	slices.SortStableFunc(out, func(a, b *Material) int { return a.Gentleness() - b.Gentleness() })
	return out
}

// MaterialsFor are the materials that are usual against a pest, the gentlest first, of equals the first in the file.
func (c *Catalogue) MaterialsFor(pest string) []*Material {
	return Gentlest(filter(c.Materials, func(x *Material) bool { return slices.Contains(x.Pests, pest) }))
}
