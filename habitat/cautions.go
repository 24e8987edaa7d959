package habitat

import (
	"slices"

	"hedgereach/habitat/plan"
)

// A Caution is a danger of the work that a plan asks for.
type Caution struct {
	Words    string
	concerns func(f *plan.Feature) bool // nil for what concerns every plan
}

// Cautions lists them, the most pressing first, for the window, the sheets and the manual alike. They are common practice, without
// a source of their own; what is said of single plants and materials stands in the catalogue.
var Cautions = []Caution{
	{Words: "Before digging or driving a stake, have buried pipes and cables located: in the United States call 811, elsewhere ask the " +
		"utilities."},
	{Words: "The label is the law: what stands on a pesticide's or other material's label goes before anything that this program says."},
	{Words: "Wear a mask where dust flies: dry soil, lime, straw, dried plants."},
	{Words: "Some plants that feed natural enemies are poisonous to people or stock, burn the skin in sunlight, or are invasive in places: " +
		"ask your state or national list before you plant.", concerns: grows},
	{Words: "Flowers draw bees and wasps, which sting: ask who is allergic before work begins, and mind paths and seats.",
		concerns: flowers},
	{Words: "Open water: fence it where children come.", concerns: func(f *plan.Feature) bool { return f.Kind == plan.Pond }},
	{Words: "Local rules on hedges, water, fences and protected plants, and the advice of licensed people, come first."},
}

func grows(f *plan.Feature) bool { return len(f.Plants) > 0 }

func flowers(f *plan.Feature) bool {
	return grows(f) || slices.Contains([]plan.Kind{plan.FlowerStrip, plan.PerennialStrip, plan.CoverCrop}, f.Kind)
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
