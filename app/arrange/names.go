package arrange

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"hedgereach/habitat/plan"
)

// shortNames are what new features are called, with a number. Kinds not listed go by their label.
var shortNames = map[plan.Kind]string{
	plan.FlowerStrip: "Flower strip", plan.PerennialStrip: "Flower strip", plan.Tree: "Tree", plan.CoverCrop: "Cover crop",
}

// NextName is the name for a new feature of the kind: "Bed 12" where the highest so far is Bed 11. The first boundary needs
// no number.
func NextName(p *plan.Plan, k plan.Kind) string {
	base, ok := shortNames[k]
	if !ok {
		base = k.Label()
	}
	highest, plain := numbered(p, base)
	if k == plan.Boundary && !plain && highest == 0 {
		return base
	}
	return fmt.Sprintf("%s %d", base, highest+1)
}

// CopyName is the name for a copy of a feature, so that no two share one: "Bed 12" for a copy of "Bed 3" where the highest is
// Bed 11, "Herb wheel 2" for a copy of "Herb wheel". A name that nothing in the plan has stays as it is.
func CopyName(p *plan.Plan, name string) string {
	if name == "" || !slices.ContainsFunc(p.Features, func(f *plan.Feature) bool { return f.Name == name }) {
		return name
	}
	base := strings.TrimRight(strings.TrimRight(name, "0123456789"), " ")
	if base == "" {
		base = name
	}
	highest, plain := numbered(p, base)
	if plain && highest == 0 {
		highest = 1
	}
	return fmt.Sprintf("%s%s%d", base, gap(name, base), highest+1)
}

// gap is what stands between a name's words and its number: nothing in "A3".
func gap(name, base string) string {
	if rest := strings.TrimPrefix(name, base); rest != "" && rest[0] != ' ' {
		return ""
	}
	return " "
}

// numbered is the highest number behind the words in the plan's names, and whether the words stand alone in one.
func numbered(p *plan.Plan, base string) (highest int, plain bool) {
	for _, f := range p.Features {
		rest, ok := strings.CutPrefix(f.Name, base)
		if !ok {
			continue
		}
		if rest == "" {
			plain = true
		}
		if n, err := strconv.Atoi(strings.TrimSpace(rest)); err == nil && n > highest {
			highest = n
		}
	}
	return highest, plain
}

// What names features for the Edit menu: by name where it is one, by number where they are several.
func What(fs []*plan.Feature) string {
	if len(fs) != 1 {
		return fmt.Sprintf("%d features", len(fs))
	}
	if fs[0].Name == "" {
		return strings.ToLower(fs[0].Kind.Label())
	}
	return fs[0].Name
}

// DefaultWidth is the width in metres at which strips of a kind are first drawn: common practice, no source; the grower
// types another.
func DefaultWidth(k plan.Kind) float64 {
	switch k {
	case plan.Bed, plan.TrapCrop:
		return 1.2
	case plan.Path:
		return 0.6
	case plan.Fence:
		return 0.1
	case plan.WildMargin:
		return 3
	case plan.Building:
		return 4
	}
	return 2
}
