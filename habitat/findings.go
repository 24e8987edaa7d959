package habitat

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/geometry"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// cite is the citations of sources as one line, with what they do not cover.
func (v *view) cite(ids []string, practice string) string {
	var parts []string
	for _, id := range ids {
		if s := v.Catalogue.Source(id); s != nil {
			parts = append(parts, strings.TrimSuffix(s.Citation, "."))
		}
	}
	if practice != "" {
		parts = append(parts, practice)
	}
	return strings.Join(parts, "; ")
}

// length is a measured length in a sentence, where "88.00 m" reads "88 m".
func (v *view) length(m float64) string {
	whole, unit, _ := strings.Cut(length.Format(m, v.units), " ")
	if !strings.Contains(whole, ".") {
		return strings.TrimSpace(whole + " " + unit)
	}
	return strings.TrimRight(strings.TrimRight(whole, "0"), ".") + " " + unit
}

func (v *view) reach(m float64) string { return length.FormatRange(m, v.units) }

func invalidGeometry(v *view) (found []Finding) {
	for _, f := range v.Plan.Features {
		err := v.invalid[f]
		if err == nil {
			continue
		}
		fd := Finding{Key: f.ID, Features: []string{f.ID}, Message: fmt.Sprintf("%s takes no part in the measures: %v.", f.Title(), err),
			Mend: "Redraw it there."}
		if bad, ok := err.(*geometry.InvalidError); ok {
			fd.Message = fmt.Sprintf("%s takes no part in the measures: %s near %s.", f.Title(), bad.Reason, v.point(bad.At))
			fd.Show = []orb.Point{bad.At}
		}
		found = append(found, fd)
	}
	return found
}

func (v *view) point(p orb.Point) string {
	return fmt.Sprintf("(%s, %s)", v.length(p[0]), v.length(p[1]))
}

func trapWithoutRemoval(v *view) (found []Finding) {
	for _, x := range v.now.good {
		f := x.feature
		if f.Kind != plan.TrapCrop || f.Trapping != nil && strings.TrimSpace(f.Trapping.Removal) != "" {
			continue
		}
		found = append(found, Finding{Key: f.ID, Features: []string{f.ID},
			Message: fmt.Sprintf("%s does not say how the pest is removed from it. Of about %d trap crops reviewed, the %s that worked in practice all kept "+
				"the pest from moving on.", f.Title(), trapCropsReviewed, number(trapCropsWorked)),
			Mend: "Plan how and when: vacuuming, hand picking, mowing or ploughing in, before the pest leaves.",
		})
	}
	return found
}

func outsideBoundary(v *view) []Finding {
	if v.ground.hull || len(v.ground.shape) == 0 {
		return nil
	}
	var out []*plan.Feature
	var ids []string
	for _, x := range v.now.good {
		switch x.feature.Kind {
		case plan.Boundary, plan.Stake, plan.Trap, plan.Fence:
			continue
		}
		if v.outside(x) > max(outsideM2, outsidePart*x.area) {
			out = append(out, x.feature)
			ids = append(ids, x.feature.ID)
		}
	}
	if len(ids) == 0 {
		return nil
	}
	return []Finding{{Features: ids,
		Message: isOrAre(out) + " partly or wholly outside the boundary; what lies outside does not count as ground.",
		Mend:    "Move them in, or move the boundary out."}}
}

// outside is the area in m² of a feature off the ground, kept while the ground is the same.
func (a *Assessor) outside(x *facts) float64 {
	g := a.ground
	if x.outsideOf == g {
		return x.outsideM2
	}
	x.outsideOf, x.outsideM2 = g, 0
	if !holds(g.shape, x.shape) {
		x.outsideM2 = x.area - geometry.Covered(x.shape, g.shape)
	}
	return x.outsideM2
}

// notMeasured says what the geometry could not work out, so that a measure taken for nothing is not read as none.
func notMeasured(v *view) []Finding {
	faults := v.faults
	if len(faults) == 0 {
		return nil
	}
	var what, ids []string
	var features []*plan.Feature
	for _, f := range faults {
		if !slices.Contains(what, f.what) {
			what = append(what, f.what)
		}
		for _, x := range f.features {
			if !slices.Contains(features, x) {
				features, ids = append(features, x), append(ids, x.ID)
			}
		}
	}
	return []Finding{{Features: ids, Message: fmt.Sprintf("The program could not work out %s (%s); it counts as nothing in the measures.",
		strings.Join(what, "; "), namesOf(features)),
		Mend: "Move a corner a little, and report the fault with the plan's file."}}
}

func bedsOverlap(v *view) []Finding {
	var ids []string
	var worst float64
	var pair string
	var named map[*facts]bool
	v.bedPairs.update(v.beds, v.round)
	for _, p := range v.bedPairs.found {
		x, y := p[0], p[1]
		m2 := v.overlap(x, y)
		if m2 <= bedOverlapM2 {
			continue
		}
		for _, z := range p {
			if !named[z] {
				if named == nil {
					named = map[*facts]bool{}
				}
				named[z] = true
				ids = append(ids, z.feature.ID)
			}
		}
		if m2 > worst {
			worst, pair = m2, fmt.Sprintf("%s and %s", x.feature.Title(), y.feature.Title())
		}
	}
	if len(ids) == 0 {
		return nil
	}
	return []Finding{{Features: ids, Message: fmt.Sprintf("%s share %s of ground.%s", pair,
		length.FormatArea(worst, v.units), andMore(len(ids)-2)),
		Mend: "Move or reshape one of them; ground under two beds counts in both."}}
}

func andMore(n int) string {
	if n <= 0 {
		return ""
	}
	return fmt.Sprintf(" %s more %s overlap, too.", capital(number(n)), plural(n, "bed", "beds"))
}

// unknownNames gathers ids that the catalogue does not have: nothing is known of their bloom, pests or guilds.
func unknownNames(v *view) (found []Finding) {
	var names, ids []string
	for _, x := range v.now.all {
		if !x.unknown {
			continue
		}
		ids = append(ids, x.feature.ID)
		eachUnknown(v.Catalogue, x.feature, func(what, id string) {
			if name := fmt.Sprintf("%s %q", what, id); !slices.Contains(names, name) {
				names = append(names, name)
			}
		})
	}
	if len(names) == 0 {
		return nil
	}
	return []Finding{{Features: ids, Message: fmt.Sprintf("The catalogue does not know the %s; nothing is said of %s.",
		join(shorten(names)), plural(len(names), "it", "them")),
		Mend: "Choose a name from the catalogue, or leave it as a note to yourself."}}
}

// unknown tells whether the catalogue lacks a name in a feature.
func (a *Assessor) unknown(f *plan.Feature) (lacks bool) {
	eachUnknown(a.catalogue, f, func(_, _ string) { lacks = true })
	return lacks
}

// eachUnknown visits the names in a feature that the catalogue does not have.
func eachUnknown(c *data.Catalogue, f *plan.Feature, miss func(what, id string)) {
	crops := func(list []plan.Planting) {
		for _, p := range list {
			if c.Crop(p.Crop) == nil {
				miss("crop", p.Crop)
			}
		}
	}
	crops(f.Crops)
	for _, y := range f.OtherYears {
		crops(y.Crops)
	}
	for _, g := range f.Plants {
		if c.Plant(g.Plant) == nil {
			miss("plant", g.Plant)
		}
	}
	pest := func(id string) {
		if id != "" && c.Pest(id) == nil {
			miss("pest", id)
		}
	}
	if f.Trapping != nil {
		pest(f.Trapping.Pest)
	}
	for _, t := range f.Treatments {
		if t.Material != "" && c.Material(t.Material) == nil {
			miss("material", t.Material)
		}
		pest(t.Pest)
	}
	if t := f.Trap; t != nil {
		if t.Trap != "" && c.Trap(t.Trap) == nil {
			miss("trap", t.Trap)
		}
		pest(t.Pest)
	}
	pest(f.Nursery)
}

func noPlace(v *view) []Finding {
	if v.Plan.Place != nil {
		return nil
	}
	return []Finding{{Message: "The plan has no place, so plants are shown to flower when they do where their dates were " +
		"noted.",
		Mend: "Give its latitude and longitude."}}
}

func noFrostDates(v *view) []Finding {
	if len(v.Site.Season) > 0 {
		return nil
	}
	return []Finding{{Message: "The last and first frost are not given, so bloom gaps and low flowering cover are not " +
		"looked for.",
		Mend: "Give the usual days of the last frost in spring and the first in autumn."}}
}
