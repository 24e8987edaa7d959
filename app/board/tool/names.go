package tool

import (
	"fmt"
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
	highest, plain := 0, false
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
	if k == plan.Boundary && !plain && highest == 0 {
		return base
	}
	return fmt.Sprintf("%s %d", base, highest+1)
}

// what names features for the Edit menu: by name where it is one, by number where they are several.
func what(fs []*plan.Feature) string {
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
