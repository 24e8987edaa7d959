package data

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Danger is a way in which a plant can hurt. That none is listed is no proof that a plant is safe.
type Danger string

// The dangers.
const (
	ToxicToPeople Danger = "toxic-to-people" // all or parts, eaten
	ToxicToStock  Danger = "toxic-to-stock"
	ToxicToPets   Danger = "toxic-to-pets"
	SkinIrritant  Danger = "skin-irritant" // sap or hairs; of many umbels only in sunlight
	LookAlike     Danger = "look-alike"    // easily taken for a dangerous plant
)

// Dangers lists every danger, with words for people.
var Dangers = []struct {
	Danger Danger
	Words  string
}{
	{ToxicToPeople, "poisonous to people"}, {ToxicToStock, "poisonous to stock"}, {ToxicToPets, "poisonous to pets"},
	{SkinIrritant, "irritates skin"}, {LookAlike, "easily taken for a dangerous plant"},
}

func dangerWords() []string {
	words := make([]string, len(Dangers))
	for i, d := range Dangers {
		words[i] = string(d.Danger)
	}
	return words
}

// Is tells whether a danger is listed for the plant.
func (p *Plant) Is(d Danger) bool { return slices.Contains(p.Dangers, d) }

// Is tells whether a danger is listed for the crop.
func (c *Crop) Is(d Danger) bool { return slices.Contains(c.Dangers, d) }

// A Zone is a hardiness zone of the United States Department of Agriculture, in half-zones: twice the number, and one more for
// the warmer half, "b". The zero Zone is not known.
type Zone int

// The coldest and the warmest zone, 1a and 13b. Each zone spans 10 °F of the mean yearly lowest temperature, each half 5 °F
// (USDA Plant Hardiness Zone Map, 2023; from memory, high).
const (
	zoneMin Zone = 2
	zoneMax Zone = 27
)

// ParseZone reads "5a", "5b" or "5", in small or capital letters. A number alone counts as its colder half. The error is one
// line.
func ParseZone(s string) (Zone, error) {
	words := strings.ToLower(strings.TrimSpace(s))
	digits, half := words, 0
	switch {
	case strings.HasSuffix(words, "a"):
		digits = words[:len(words)-1]
	case strings.HasSuffix(words, "b"):
		digits, half = words[:len(words)-1], 1
	}
	n, err := strconv.Atoi(digits)
	z := Zone(2*n + half)
	if err != nil || len(digits) > 2 || z < zoneMin || z > zoneMax || digits[0] < '0' {
		return 0, fmt.Errorf("%q is not a hardiness zone: write a number from 1 to 13, with a or b for its colder or warmer half, "+
			"like 5a", s)
	}
	return z, nil
}

// String is "5a"; "" for an unknown zone.
func (z Zone) String() string {
	if z == 0 {
		return ""
	}
	return strconv.Itoa(int(z/2)) + string("ab"[z%2])
}

// Hardy tells whether the plant outlasts the winter in a zone, or need not, being annual. It is true where either is not known.
func (p *Plant) Hardy(z Zone) bool {
	return z == 0 || p.ZoneMin == 0 || strings.HasPrefix(p.LifeCycle, "annual") || z >= Zone(2*p.ZoneMin)
}

// A Region is where a plan lies, as far as a plant minds. Either may be unknown.
type Region struct {
	Continent string // NorthAmerica …; ""
	Zone      Zone
}

var continentNames = map[string]string{
	NorthAmerica: "North America", Europe: "Europe", SouthAmerica: "South America", Asia: "Asia", Africa: "Africa", Oceania: "Oceania",
}

// CautionFor are warnings about a plant that hold for a region, one line each: that it is invasive or noxious there, and that
// the winter may kill it. Where the continent is not known, every continent is named that lists it. The plant's own Caution is
// not repeated. An unknown plant has none.
func (c *Catalogue) CautionFor(plant string, at Region) []string {
	p := c.plant[plant]
	if p == nil {
		return nil
	}
	var lines []string
	if weed := p.Weed(at); weed != "" {
		lines = append(lines, weed)
	}
	if !p.Hardy(at.Zone) {
		lines = append(lines, fmt.Sprintf("Hardy from zone %d, and this is zone %s: the winter may kill it.", p.ZoneMin, at.Zone))
	}
	return lines
}

// Weed says where in a region a plant is invasive or noxious, and what to do; "" where it is not listed there. Where the
// continent is not known, every continent is named that lists it.
func (p *Plant) Weed(at Region) string {
	var where []string
	for _, x := range p.InvasiveIn {
		if at.Continent == "" || x == at.Continent {
			where = append(where, continentNames[x])
		}
	}
	if len(where) == 0 {
		return ""
	}
	return "Invasive or noxious in parts of " + listed(where) + ": check your state or national list."
}

// listed joins words as people do: "a, b and c".
func listed(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
