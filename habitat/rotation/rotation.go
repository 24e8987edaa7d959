// Package rotation says where a plant family comes back to a bed too soon. It knows crops, their families and years, and
// nothing of the ground.
package rotation

import (
	"slices"
	"strings"

	"hedgereach/data"
)

// A Year is what grew on a bed in one year.
type Year struct {
	Year  int
	Crops []string // ids; those that the catalogue does not know are passed over
}

// The years that a bed should be without a family: “should not plant vegetables belonging to the same plant family in the
// same location for two to three years” (Barrett 2025, West Virginia University Extension, source wvu-rotation-2025). Root
// diseases that live longer in the soil ask for more.
const (
	LeastYears = 2
	AimYears   = 3
)

// source is the id of the rule's source in the bibliography; named are the families that it names.
const source = "wvu-rotation-2025"

var named = []string{"Solanaceae", "Brassicaceae", "Amaryllidaceae", "Cucurbitaceae", "Fabaceae"}

// practice stands in place of the source for a family that it does not name.
const practice = "The rule for other families, held to for this one too: common practice, no source"

var common = map[string]string{
	"Amaranthaceae": "beet family", "Amaryllidaceae": "onion family", "Apiaceae": "carrot family", "Asparagaceae": "asparagus family",
	"Asteraceae": "daisy family", "Brassicaceae": "cabbage family", "Convolvulaceae": "bindweed family",
	"Cucurbitaceae": "gourd family", "Ericaceae": "heath family", "Fabaceae": "pea family", "Grossulariaceae": "currant family",
	"Malvaceae": "mallow family", "Poaceae": "grass family", "Polygonaceae": "dock family", "Rosaceae": "rose family",
	"Solanaceae": "nightshade family",
}

// FamilyName is what growers call a family, "cabbage family"; the family itself where there is no such name.
func FamilyName(family string) string {
	if s := common[family]; s != "" {
		return s
	}
	return family
}

// A Clash is a family that comes back to a bed too soon.
type Clash struct {
	Family         string
	Earlier, Later int      // years
	Before, After  []string // ids of the crops in them
	Without        int      // full years between the two in which the bed was free of the family
	TooSoon        bool     // Without is under LeastYears; else it is under AimYears only
	Sources        []string // ids in the bibliography
	Practice       string   // where there is no source for this family
	Evidence       data.Evidence
}

// Clashes finds where a family comes back to a bed too soon, each time beside the last year before it, in the order of years
// and families. The years may come in any order; several entries of one year are one. Crops of one family in one year do not
// clash. A perennial that stands on from one year to the next is one planting and does not clash with itself.
func Clashes(c *data.Catalogue, years []Year) []Clash {
	grown := map[int]map[string][]string{} // crops by year and family
	for _, y := range years {
		if grown[y.Year] == nil {
			grown[y.Year] = map[string][]string{}
		}
		for _, id := range y.Crops {
			if crop := c.Crop(id); crop != nil && !slices.Contains(grown[y.Year][crop.Family], id) {
				grown[y.Year][crop.Family] = append(grown[y.Year][crop.Family], id)
			}
		}
	}
	var list []Clash
	for later, families := range grown {
		for family, after := range families {
			for without := range AimYears {
				before := grown[later-without-1][family]
				if len(before) == 0 {
					continue
				}
				if without == 0 && standsOn(c, before, after) {
					break
				}
				x := Clash{Family: family, Earlier: later - without - 1, Later: later, Before: before, After: after, Without: without,
					TooSoon: without < LeastYears, Sources: []string{source}, Evidence: data.Medium}
				if !slices.Contains(named, family) {
					x.Sources, x.Practice, x.Evidence = nil, practice, data.Low
				}
				list = append(list, x)
				break
			}
		}
	}
	slices.SortFunc(list, func(a, b Clash) int {
		if a.Later != b.Later {
			return a.Later - b.Later
		}
		return strings.Compare(a.Family, b.Family)
	})
	return list
}

// standsOn tells whether all that grows of a family stood there the year before.
func standsOn(c *data.Catalogue, before, after []string) bool {
	for _, id := range after {
		if c.Crop(id).LifeCycle != "perennial" || !slices.Contains(before, id) {
			return false
		}
	}
	return true
}
