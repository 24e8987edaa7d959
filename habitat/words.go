package habitat

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"hedgereach/data"
	"hedgereach/habitat/plan"
)

// shorten keeps a list short enough to read in a sentence.
func shorten(names []string) []string {
	if len(names) <= mostNames {
		return names
	}
	return append(names[:mostNames-1:mostNames-1], fmt.Sprintf("%d more", len(names)-mostNames+1))
}

// mostNames is how many names a sentence can bear.
const mostNames = 6

// isOrAre is "Bed 1 is" or "Bed 1 and Bed 2 are", few enough to read.
func isOrAre(features []*plan.Feature) string {
	return namesOf(features) + plural(len(features), " is", " are")
}

// liesOrLie is "Bed 1 lies" or "Bed 1 and Bed 2 lie".
func liesOrLie(features []*plan.Feature) string {
	return namesOf(features) + plural(len(features), " lies", " lie")
}

// names lists n features, few enough to read.
func names(n int, feature func(i int) *plan.Feature) string {
	var list []string
	for i := range min(n, mostNames+1) {
		list = append(list, feature(i).Title())
	}
	if n > mostNames {
		list = append(list[:mostNames-1], fmt.Sprintf("%d more", n-mostNames+1))
	}
	return join(list)
}

func namesOf(features []*plan.Feature) string {
	return names(len(features), func(i int) *plan.Feature { return features[i] })
}

// guildsWithRange names guilds with their typical ranges, those with the same range together: "ground beetles and rove
// beetles (60 m)".
func (v *view) guildsWithRange(list []*GuildReach) string {
	var ranges []float64
	for _, r := range list {
		if !slices.Contains(ranges, r.Guild.TypicalM) {
			ranges = append(ranges, r.Guild.TypicalM)
		}
	}
	slices.Sort(ranges)
	var parts []string
	for _, m := range ranges {
		var names []string
		for _, r := range list {
			if r.Guild.TypicalM == m {
				names = append(names, InText(r.Guild.Name))
			}
		}
		parts = append(parts, fmt.Sprintf("%s (%s)", join(names), v.reach(m)))
	}
	return join(parts)
}

// rangeSources cites what the ranges of guilds are read from, few enough to read: the first two of each.
func (v *view) rangeSources(list []*GuildReach) string {
	const each, most = 2, 5
	var ids []string
	for _, r := range list {
		for _, id := range r.Guild.Origin.Sources[:min(each, len(r.Guild.Origin.Sources))] {
			if !slices.Contains(ids, id) && len(ids) < most {
				ids = append(ids, id)
			}
		}
	}
	return v.cite(ids, "")
}

// weakest is the least sure evidence of the guilds' ranges: a finding is no surer than what it rests on.
func weakest(list []*GuildReach) data.Evidence {
	order := []data.Evidence{data.Good, data.Medium, data.Contested, data.Low, data.None}
	worst := 0
	for _, r := range list {
		worst = max(worst, slices.Index(order, r.Guild.Origin.Evidence))
	}
	return order[worst]
}

func join(parts []string) string {
	switch n := len(parts); n {
	case 0:
		return ""
	case 1:
		return parts[0]
	default:
		return strings.Join(parts[:n-1], ", ") + " and " + parts[n-1]
	}
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// number writes small numbers as words.
func number(n int) string {
	if n >= 0 && n <= 12 {
		return [...]string{"none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
			"twelve"}[n]
	}
	return strconv.Itoa(n)
}

// whole is a share in whole per cent, for the limits of rules.
func whole(part float64) string { return fmt.Sprintf("%.0f %%", 100*part) }

// aim is the share of the ground that is aimed at.
var aim = fmt.Sprintf("%.0f–%s", 100*habitatAim, whole(habitatAimMost))

// Percent is a share for people, to a tenth of a per cent: "2.5 %".
func Percent(part float64) string { return strconv.FormatFloat(100*part, 'f', 1, 64) + " %" }

// InText is the name of a guild, plant, crop, pest or kind as it stands in the middle of a sentence: in small letters but for Latin
// names, abbreviations and names of places and people.
func InText(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	second, _ := utf8.DecodeRuneInString(s[n:])
	first, _, _ := strings.Cut(s, " ")
	if unicode.IsUpper(second) || keepsCapital[first] {
		return s
	}
	return string(unicode.ToLower(r)) + s[n:]
}

// keepsCapital are first words of names that do not lose their capital; a test holds them to the catalogue.
var keepsCapital = map[string]bool{"Trichogramma": true, "Anagrus": true, "Bt,": true, "Beauveria": true,
	"American": true, "Brussels": true, "California": true, "Canada": true, "Chinese": true, "Colorado": true, "Culver's": true,
	"European": true, "Florence": true, "Great": true, "Japanese": true, "Mexican": true, "Missouri": true, "New": true,
	"Riddell's": true, "South": true, "Swiss": true, "Virginia": true, "Yorkshire": true}

func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}
