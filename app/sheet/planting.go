package sheet

import (
	"fmt"
	"slices"
	"strings"

	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/quantities"
	"hedgereach/habitat/spacing"
)

// plantingList says, bed by bed and habitat by habitat, what is sown and planted, how many, how far apart, how deep and when,
// and what to buy or raise for all of it.
func (j *job) plantingList() {
	if j.a.Catalogue == nil {
		return
	}
	l := j.field().list
	if len(l.Rows) == 0 {
		return
	}
	defer j.onHand(true)()
	f := newFlow(j, "Planting list")
	f.divide(1)
	f.heading("Planting list", 30)
	f.paragraph(j.howCounted(l), j.hand(handSmall), false, 0)
	dangers := []habitat.Danger{habitat.Dust}
	for _, r := range l.Rows {
		if r.Plant != nil {
			dangers = []habitat.Danger{habitat.BadPlants, habitat.Buried, habitat.Dust}
			break
		}
	}
	f.cautions(dangers...)
	t := ruled{letter: j.hand(handSmall), columns: []ruledColumn{{head: "What", share: 50}, {head: "As", share: 24}, {head: "When", share: 18},
		{head: "Plants to stand", share: 18, right: true}, {head: "To get", share: 18, right: true}, {head: "How they stand", share: 62},
		{head: "Row", share: 19, right: true}, {head: "Depth", share: 22}, {head: "Done", share: 12, tick: true}}}
	var last *plan.Feature
	for i := range l.Rows {
		r := &l.Rows[i]
		if r.Feature != last {
			t.rows = append(t.rows, ruledRow{band: j.name(r.Feature), note: r.Feature.Kind.Label() + " · square " + j.at(r.Feature)})
			last = r.Feature
		}
		t.rows = append(t.rows, j.plantingRow(r))
	}
	f.ruled(t)

	f.heading("Shopping list", 30)
	f.paragraph("All of the plan together, spares included. Cross out what you have.", j.hand(handSmall), false, 0)
	shop := ruled{letter: j.hand(handSmall), columns: []ruledColumn{{head: "What", share: 62}, {head: "Scientific name", share: 62}, {head: "As", share: 30},
		{head: "To get", share: 22, right: true}, {head: "of which to stand", share: 22, right: true}, {head: "Row", share: 22, right: true},
		{head: "First wanted", share: 24}, {head: "Got", share: 12, tick: true}}}
	methods := map[quantities.Method]string{quantities.Sow: "Seed", quantities.Set: "Cloves, tubers, crowns and canes", quantities.Plant: "Plants"}
	var method quantities.Method
	for _, x := range l.Shopping {
		if x.Method != method {
			method = x.Method
			shop.rows = append(shop.rows, ruledRow{band: methods[method]})
		}
		row := ruledRow{words: []string{capital(x.Name), x.Scientific, x.As, thousands(x.Take), count(x.Method, x.Stand), "", "", ""}, bold: []bool{true, false, false, true, false, false, false, false}}
		if x.RowM > 0 && x.Method == quantities.Sow {
			row.words[5] = j.rows(x.RowM)
		}
		if x.First != 0 {
			row.words[6] = x.First.Label()
		}
		shop.rows = append(shop.rows, row)
	}
	f.ruled(shop)
}

// howCounted says what the numbers rest on.
func (j *job) howCounted(l *quantities.List) string {
	words := fmt.Sprintf("Plants are counted on each place's own ground: its outline less the paths, water and smaller features on it. “To get” is "+
		"%s more than are to stand, %s more for seed, rounded up; a packet that states its germination goes before that. “Row” is the "+
		"length of all rows together. Depth is from the surface to the seed, clove, tuber or crown; plants out of trays and pots go as "+
		"deep as they stood.", percent(l.Spare), percent(l.Seed))
	has := func(of func(*quantities.Row) bool) bool {
		return slices.ContainsFunc(l.Rows, func(r quantities.Row) bool { return r.Plant != nil && r.InRowM > 0 && of(&r) })
	}
	if has(func(r *quantities.Row) bool { return r.HedgeRows == 0 && r.Layout == spacing.Triangular }) {
		words += " Triangles: each row is set off by half a step from the next, so that every plant has six neighbours as far away."
	}
	if has(func(r *quantities.Row) bool { return r.HedgeRows > 0 }) {
		words += " Shrubs of a hedge are counted along its length, each by its share."
	}
	if has((*quantities.Row).Hedging) {
		words += fmt.Sprintf(" Hedging stands %s (%s), its two rows %s apart (%s).", j.perLength(quantities.HedgePerM),
			j.cited(quantities.HedgePerSource), j.short(quantities.HedgeRowM), j.cited(quantities.HedgeRowSource))
	}
	return words
}

func (j *job) plantingRow(r *quantities.Row) ruledRow {
	out := ruledRow{words: make([]string, 9), bold: []bool{true, false, false, true, true, false, false, false, false}}
	out.words[0], out.words[1] = capital(r.Called()), r.As
	if r.From != 0 {
		out.words[2] = r.From.Label()
	} else if r.Stands {
		out.words[2] = "stands"
	}
	if r.Stand == 0 {
		out.words[3], out.words[5] = "–", r.Why
		return out
	}
	out.words[3], out.words[4], out.words[5], out.words[7] = count(r.Method, r.Stand), thousands(r.Take), j.pattern(r), j.depth(r)
	if r.RowM > 0 && r.Crop != nil {
		out.words[6] = j.rows(r.RowM)
	}
	return out
}

// scatterM is the spacing up to which nobody sets out seed of habitat plants one by one; our judgement.
const scatterM = 0.15

// pattern says how plants stand to each other.
func (j *job) pattern(r *quantities.Row) string {
	switch {
	case r.InRowM == 0:
		return "where it is drawn"
	case r.Crop != nil:
		return fmt.Sprintf("%s apart in rows %s apart", j.short(r.InRowM), j.short(r.BetweenM))
	case r.Hedging() && r.HedgeRows == 2:
		return fmt.Sprintf("%s, %s in all", r.Pattern(), j.perLength(quantities.HedgePerM))
	case r.HedgeRows == 1:
		return fmt.Sprintf("%s along the hedge, %s apart", r.Pattern(), j.short(r.InRowM))
	case r.HedgeRows > 1:
		return fmt.Sprintf("%s along the hedge, %s apart, rows %s apart", r.Pattern(), j.short(r.InRowM), j.short(r.BetweenM))
	case r.Method == quantities.Sow && r.InRowM <= scatterM:
		per, ground := float64(r.Take)/r.AreaM2, "metre"
		if j.a.Plan.Units == plan.US {
			per, ground = per*0.3048*0.3048, "foot"
		}
		return fmt.Sprintf("scattered, about %s seeds a square %s", thousands(int(per+0.5)), ground)
	case r.Layout == spacing.Triangular:
		return fmt.Sprintf("triangles of %s, rows %s apart", j.short(r.InRowM), j.short(r.BetweenM))
	}
	return fmt.Sprintf("squares of %s", j.short(r.InRowM))
}

// cited is a source in full, as its id where the catalogue has not got it.
func (j *job) cited(id string) string {
	if s := j.a.Catalogue.Source(id); s != nil {
		return s.Citation
	}
	return id
}

// perLength is how many stand on a length of hedge.
func (j *job) perLength(perM float64) string {
	if j.a.Plan.Units == plan.US {
		return fmt.Sprintf("%.0f to 10 feet", perM*3.048)
	}
	return fmt.Sprintf("%g a metre", perM)
}

// depth is how deep it goes, in words.
func (j *job) depth(r *quantities.Row) string {
	switch {
	case r.Depth != nil:
		return j.between(r.Depth.MinCM/100, r.Depth.MaxCM/100)
	case r.Method == quantities.Sow:
		return "see packet"
	}
	return "as it stood"
}

// howMany says of a row how many, how far apart and how deep, in one line.
func (j *job) howMany(r *quantities.Row) string {
	if r.Stand == 0 {
		return "number not known: " + r.Why
	}
	words := count(r.Method, r.Stand) + " plants"
	if r.Stand == 1 {
		words = "one plant"
	}
	if r.Take > r.Stand {
		words += fmt.Sprintf(" (%s %s with spares)", thousands(r.Take), plural(r.As, r.Take))
	}
	words += ", " + j.pattern(r)
	if d := j.depth(r); d != "as it stood" {
		words += ", " + strings.TrimSuffix(d, ".") + " deep"
	}
	return strings.Replace(words, "see packet deep", "depth on the packet", 1)
}

func plural(s string, n int) string {
	switch {
	case n == 1:
		return s
	case s == "pot or bare root":
		return "pots or bare roots"
	}
	return s + "s"
}
