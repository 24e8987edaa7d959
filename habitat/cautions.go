package habitat

import (
	"slices"

	"hedgereach/habitat/plan"
)

// A Danger names a caution, so that a card or sheet can carry those of its own work.
type Danger string

// The dangers.
const (
	Buried     Danger = "buried services"
	Labels     Danger = "labels"
	Dust       Danger = "dust"
	BadPlants  Danger = "plants"
	Stings     Danger = "stings"
	Water      Danger = "water"
	LocalRules Danger = "local rules"
)

// A Caution is a danger of the work that a plan asks for.
type Caution struct {
	Danger   Danger
	Words    string
	concerns func(f *plan.Feature) bool // nil for what concerns every plan
}

// Cautions lists them, the most pressing first, for the window, the sheets and the manual alike. They are common practice, without
// a source of their own; what is said of single plants and materials stands in the catalogue.
var Cautions = []Caution{
	{Danger: Buried, Words: "Before digging or driving a stake, have buried pipes and cables located: in the United States call 811, elsewhere ask the " +
		"utilities."},
	{Danger: Labels, Words: "The label is the law: what stands on a pesticide's or other material's label goes before anything that this program says."},
	{Danger: Dust, Words: "Wear a mask where dust flies: dry soil, lime, straw, dried plants."},
	{Danger: BadPlants, Words: "Some plants that feed natural enemies are poisonous to people or stock, burn the skin in sunlight, or are invasive in places: " +
		"ask your state or national list before you plant.", concerns: grows},
	{Danger: Stings, Words: "Flowers draw bees and wasps, which sting: ask who is allergic before work begins, and mind paths and seats.",
		concerns: flowers},
	{Danger: Water, Words: "Open water: fence it where children come.", concerns: func(f *plan.Feature) bool { return f.Kind == plan.Pond }},
	{Danger: LocalRules, Words: "Local rules on hedges, water, fences and protected plants, and the advice of licensed people, come first."},
}

func grows(f *plan.Feature) bool { return len(f.Plants) > 0 }

func flowers(f *plan.Feature) bool {
	return grows(f) || slices.Contains([]plan.Kind{plan.FlowerStrip, plan.PerennialStrip, plan.CoverCrop}, f.Kind)
}

// CautionOf is the caution against a danger; "" for none.
func CautionOf(d Danger) string {
	for _, c := range Cautions {
		if c.Danger == d {
			return c.Words
		}
	}
	return ""
}

// CautionsFor lists those that concern a plan.
func CautionsFor(p *plan.Plan) (words []string) {
	for _, c := range Cautions {
		if c.concerns == nil || slices.ContainsFunc(p.Features, c.concerns) {
			words = append(words, c.Words)
		}
	}
	return words
}
