package habitat

import (
	"fmt"
	"slices"
	"strings"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// A Neighbour is a crop beside a companion within the distance at which the two were tested, or where no trial gives a distance
// close beside it or in the same bed, at the same time.
type Neighbour struct {
	Bed      *plan.Feature
	With     *plan.Feature // where the companion grows; the bed itself where both are in it
	Crop     string        // catalogue id
	Partner  string        // the companion's id, of a crop or plant
	Metres   float64
	Together season.Window // of the crop; zero for all year
}

// Neighbours are the pairs in the plan that a trial is about, each bed with each feature once. The catalogue's order of pairs is
// that of Catalogue.Companions.
func (v *seasonView) neighbours(x *data.Companion) (list []Neighbour) {
	if len(x.Crops) == 0 {
		return nil
	}
	within := companionNearM
	if x.FarthestM > 0 {
		within = x.FarthestM
	}
	var like []string
	if len(x.WithCrops)+len(x.WithPlants) == 0 {
		like = idsLike(x.With)
	}
	partners := &crowd{}
	for _, other := range v.now.good {
		if v.companionIn(x, like, other.feature, plan.Planting{}) != "" {
			partners.list = append(partners.list, other)
		}
	}
	if len(partners.list) == 0 {
		return nil
	}
	partners = newCrowd(partners.list)
	type pair struct{ bed, with *plan.Feature }
	seen := map[pair]bool{}
	var room []int32
	for i, b := range v.s.Beds {
		bed := v.y.beds[i]
		for _, p := range b.Plantings {
			if !slices.Contains(x.Crops, p.Planting.Crop) {
				continue
			}
			room = partners.near(room[:0], bed.bound, within)
			for _, k := range room {
				other := partners.list[k]
				with := v.companionIn(x, like, other.feature, p.Planting)
				if with == "" || other == bed && x.NearestM > 0 || seen[pair{bed.feature, other.feature}] {
					continue
				}
				m := 0.0
				if other != bed {
					if m = bed.distance(other); m > within || m < x.NearestM {
						continue
					}
				}
				seen[pair{bed.feature, other.feature}] = true
				list = append(list, Neighbour{Bed: bed.feature, With: other.feature, Crop: p.Planting.Crop, Partner: with, Metres: m,
					Together: p.Planting.Dates})
			}
		}
	}
	return list
}

// companionIn is the companion of a pairing that a feature grows while the crop stands, "" for none. A companion that the
// catalogue knows by its name only, "French marigold", goes by an id like it, "french-marigold": a grower's own. See idsLike.
func (v *seasonView) companionIn(x *data.Companion, like []string, f *plan.Feature, crop plan.Planting) string {
	for _, p := range f.Crops {
		if slices.Contains(x.WithCrops, p.Crop) && p.Crop != crop.Crop && p.Share > 0 && together(v.Plan, p.Dates, crop.Dates) {
			return p.Crop
		}
	}
	for _, g := range f.Plants {
		if slices.Contains(x.WithPlants, g.Plant) && g.Share > 0 {
			return g.Plant
		}
	}
	for _, p := range f.Crops {
		if slices.Contains(like, p.Crop) && p.Share > 0 && together(v.Plan, p.Dates, crop.Dates) {
			return p.Crop
		}
	}
	for _, g := range f.Plants {
		if slices.Contains(like, g.Plant) && g.Share > 0 {
			return g.Plant
		}
	}
	return ""
}

// idsLike are ids as the catalogue would form them from the names in some words: "sorghum and sunflower", "marigold (Tagetes)".
func idsLike(words string) (ids []string) {
	words, _, _ = strings.Cut(strings.ToLower(words), " (")
	for _, w := range strings.FieldsFunc(strings.NewReplacer(" or ", ",", " and ", ",").Replace(words), func(r rune) bool { return r == ',' }) {
		if w = strings.TrimSpace(w); w != "" {
			ids = append(ids, strings.ReplaceAll(w, " ", "-"))
		}
	}
	return ids
}

// companions says of each pairing with one of the verdicts what was found.
func (v *seasonView) companions(verdicts ...data.Verdict) (found []Finding) {
	for _, x := range v.Catalogue.Companions {
		if !slices.Contains(verdicts, x.Verdict) {
			continue
		}
		list := v.neighbours(x)
		if len(list) == 0 {
			continue
		}
		var features []*plan.Feature
		var beds []*plan.Feature
		seen := map[*plan.Feature]bool{}
		for _, n := range list {
			beds = addLast(beds, n.Bed)
			for _, f := range []*plan.Feature{n.Bed, n.With} {
				if !seen[f] {
					seen[f] = true
					features = append(features, f)
				}
			}
		}
		near := ""
		if x.FarthestM == 0 && slices.ContainsFunc(list, func(n Neighbour) bool { return n.With != n.Bed }) {
			near = fmt.Sprintf("that beside means within %s is our judgement", v.length(companionNearM))
		}
		fd := Finding{Key: x.ID, Features: idsOf(features), Guilds: x.Guilds, Evidence: x.From.Evidence, Source: v.cite(x.From.Sources, near)}
		if fd.Evidence == data.None {
			fd.Evidence = ""
			fd.Source = v.cite(v.rule.sources, near)
		}
		where := namesOf(beds)
		pair := fmt.Sprintf("%s beside %s (%s)", capital(x.With), x.Main, where)
		switch x.Verdict {
		case data.Harms:
			fd.Message = pair + " did harm where it was tested: " + x.Effect + "."
			fd.Mend = "Grow them apart."
		case data.NoEffect:
			fd.Message = pair + " was tested and did nothing against the pest: " + x.Effect + "."
			fd.Mend = "Do not count on it."
		case data.Mixed:
			fd.Message = pair + ": trials differ. " + capital(x.Effect) + "."
			fd.Mend = "Try it on part of the ground and count."
		case data.Untested:
			fd.Message = pair + " is folklore: no good trial was found either way."
			fd.Mend = "Plant it if you like it; do not count on it."
		case data.HelpsAtCost:
			fd.Message = pair + " helped, at a cost to the yield: " + x.Effect + "."
			fd.Mend = "Keep the companion low or at the edge, and weigh the harvest."
		default:
			fd.Message = pair + " helped where it was tested (" + string(x.Strength) + "): " + x.Effect + "."
			fd.Mend = "As tested: " + x.Placing + "."
			if x.Placing == "" {
				fd.Mend = "Nothing to mend."
			}
		}
		found = append(found, fd)
	}
	return found
}

func companionHarms(v *seasonView) []Finding { return v.companions(data.Harms) }

func companionTested(v *seasonView) []Finding {
	return v.companions(data.Helps, data.HelpsAtCost, data.Mixed, data.NoEffect)
}

func companionFolklore(v *seasonView) []Finding { return v.companions(data.Untested) }
