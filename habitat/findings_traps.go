package habitat

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/geometry"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// A trapAt is a mark that says what it is.
type trapAt struct {
	*facts
	mark *plan.TrapMark
	kind *data.Trap // nil where the catalogue does not know it
}

func (v *seasonView) trapsThere() (list []trapAt) {
	for _, x := range v.now.good {
		if f := x.feature; f.Kind == plan.Trap && f.Trap != nil {
			list = append(list, trapAt{x, f.Trap, v.Catalogue.Trap(f.Trap.Trap)})
		}
	}
	return list
}

// What rules look for in the catalogue's rows of traps.
const (
	stickyCard    = "sticky card"
	pheromoneTrap = "pheromone trap"
	underCover    = "under cover"     // in the name of a card for greenhouses and tunnels
	completeSite  = "a complete site" // in the words on the number, where traps of a kind stand together

	pheromoneUsual = "pheromone-defaults" // the id of what holds where nothing else is known
)

// colour is that of a trap in the ground: the grower's word, else the catalogue's of its kind.
func (t *trapAt) colour() string {
	if c := strings.ToLower(strings.TrimSpace(t.mark.Colour)); c != "" {
		return c
	}
	return t.kind.Colour
}

// yellowCard tells whether a trap is a yellow sticky card, the colour that catches most enemies; no source says so of others.
func (t *trapAt) yellowCard() bool {
	return t.kind != nil && t.kind.Kind == stickyCard && t.colour() == "yellow"
}

func trapNearHabitat(v *seasonView) (found []Finding) {
	for _, t := range v.traps {
		if !t.yellowCard() || strings.Contains(t.kind.Name, underCover) {
			continue
		}
		var near *facts
		least := math.Inf(1)
		var show []orb.Point
		for _, x := range v.now.habitats {
			if apart(x.bound, t.bound) > trapFromHabitatM {
				continue
			}
			if m, from, to := geometry.Closest(t.shape, x.shape); m < trapFromHabitatM && m < least {
				near, least, show = x, m, []orb.Point{from, to}
			}
		}
		if near == nil {
			continue
		}
		found = append(found, Finding{Key: t.feature.ID, Features: []string{t.feature.ID, near.feature.ID}, Show: show,
			Message: fmt.Sprintf("%s hangs %s from %s and catches the enemies that it feeds: yellow draws hoverflies from afar, small wasps and bees.",
				t.feature.Title(), v.length(least), near.feature.Title()),
			Mend: fmt.Sprintf("Hang it %s or more from flowers and hedges.", v.length(trapFromHabitatM))})
	}
	return found
}

// A trapGroup is traps of a kind for a pest.
type trapGroup struct {
	kind  *data.Trap
	pest  string
	traps []*plan.Feature
	count int
}

func trapsTooFew(v *seasonView) (found []Finding) {
	var groups []*trapGroup
	for _, t := range v.traps {
		if t.kind == nil {
			continue
		}
		i := slices.IndexFunc(groups, func(g *trapGroup) bool { return g.kind == t.kind && g.pest == t.mark.Pest })
		if i < 0 {
			i = len(groups)
			groups = append(groups, &trapGroup{kind: t.kind, pest: t.mark.Pest})
		}
		groups[i].traps = append(groups[i].traps, t.feature)
		groups[i].count += t.mark.Count()
	}
	for _, g := range groups {
		by := g.kind
		if by.NumberMin == 0 && by.Kind == pheromoneTrap {
			by = v.Catalogue.Trap(pheromoneUsual)
		}
		if by == nil || by.NumberMin == 0 {
			continue
		}
		beds, area := v.watched(g)
		need, per := int(math.Ceil(by.NumberMin)), by.NumberWords
		if by.PerM2 > 0 {
			if area == 0 {
				continue
			}
			need = int(math.Ceil(by.NumberMin * area / by.PerM2))
			ground := grouped(by.PerM2) + " m²"
			if v.units == length.US {
				ground = length.FormatArea(by.PerM2, v.units)
			}
			per = fmt.Sprintf("%g to each %s", by.NumberMin, ground)
		}
		if g.count >= need {
			continue
		}
		what := g.kind.Name
		if g.pest != "" && !strings.Contains(what, v.pestName(g.pest)) {
			what += " for " + v.pestName(g.pest)
		}
		found = append(found, Finding{Key: g.kind.ID + " " + g.pest, Features: append(idsOf(g.traps), idsOf(beds)...),
			Source: v.cite(by.NumberFrom.Sources, practiceOf(by.NumberFrom)), Evidence: by.NumberFrom.Evidence,
			Message: fmt.Sprintf("There %s %s %s; %s %s needed (%s).", plural(g.count, "is", "are"), number(g.count), what, number(need),
				plural(need, "is", "are"), per),
			Mend: "Hang more, or take what they catch for a first sign only."})
	}
	return found
}

// practiceOf stands for a source where there is none.
func practiceOf(o data.Origin) string {
	if len(o.Sources) > 0 {
		return ""
	}
	return "Our reading of extension practice"
}

// grouped is a whole number with thin groups: "900", "10 000".
func grouped(n float64) string {
	s := fmt.Sprintf("%.0f", n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + " " + s[i:]
	}
	return s
}

// watched are the beds that grow what the trap's pest, or one of its kind's, harms, and their area.
func (v *seasonView) watched(g *trapGroup) (beds []*plan.Feature, area float64) {
	pests := g.kind.Pests
	if g.pest != "" {
		pests = []string{g.pest}
	}
	for _, x := range v.beds {
		if slices.ContainsFunc(pests, func(id string) bool {
			p := v.Catalogue.Pest(id)
			return p != nil && slices.ContainsFunc(x.feature.Crops, func(c plan.Planting) bool { return slices.Contains(p.Hosts, c.Crop) })
		}) {
			beds = append(beds, x.feature)
			area += x.area
		}
	}
	return beds, area
}

// trapColour says of pheromone traps that bees are drawn to white, yellow and blue, and of sticky cards what else they catch.
func trapColour(v *seasonView) (found []Finding) {
	for _, t := range v.traps {
		if t.kind == nil {
			continue
		}
		colour := t.colour()
		fd := Finding{Key: t.feature.ID, Features: []string{t.feature.ID}}
		switch {
		case t.kind.Kind == pheromoneTrap && slices.Contains([]string{"white", "yellow", "blue"}, colour):
			fd.Message = fmt.Sprintf("%s is %s: such traps catch bees; red or green ones catch fewer, and as many of the moths.", t.feature.Title(), colour)
			fd.Mend = "Take a red or green one."
			fd.Source, fd.Evidence = v.cite([]string{"clare-2000"}, ""), data.Medium
		case t.yellowCard():
			fd.Severity = Note
			fd.Message = fmt.Sprintf("%s is yellow: it draws bees, and of all colours catches most hoverflies and small wasps. It counts; it does not "+
				"control.", t.feature.Title())
			fd.Mend = "Hang few, and only while you count; blue ones for western flower thrips."
			from := t.kind.ByCatchFrom
			for _, x := range v.Catalogue.Traps { // a card of another kind that is said to be yellow catches what yellow ones do
				if len(from.Sources) == 0 && x.Kind == stickyCard && x.Colour == "yellow" {
					from = x.ByCatchFrom
				}
			}
			fd.Source, fd.Evidence = v.cite(from.Sources, ""), from.Evidence
		default:
			continue
		}
		found = append(found, fd)
	}
	return found
}

func trapRenewal(v *seasonView) (found []Finding) {
	for _, t := range v.traps {
		if t.kind == nil {
			continue
		}
		by := t.kind
		if by.RenewMaxDays == 0 && by.Kind == pheromoneTrap {
			by = v.Catalogue.Trap(pheromoneUsual)
		}
		fd := Finding{Key: t.feature.ID, Features: []string{t.feature.ID}}
		what := map[string]string{stickyCard: "card", pheromoneTrap: "lure"}[t.kind.Kind]
		switch {
		case by != nil && by.RenewMaxDays > 0 && t.mark.RenewDays > by.RenewMaxDays:
			fd.Message = fmt.Sprintf("The %s of %s is to be changed every %d days; it is good for %s.", what, t.feature.Title(), t.mark.RenewDays,
				daysWords(by.RenewMinDays, by.RenewMaxDays))
			fd.Mend = "Change it sooner, or as its label says."
		case by != nil && by.RenewMaxDays > 0 && t.mark.RenewDays == 0:
			fd.Message = fmt.Sprintf("When the %s of %s is to be changed is not said; it is good for %s.", what, t.feature.Title(),
				daysWords(by.RenewMinDays, by.RenewMaxDays))
			fd.Mend = "Say every how many days, and from when to when it hangs."
		case t.mark.Set == 0 || t.mark.Until == 0:
			fd.Message = fmt.Sprintf("From when to when %s hangs is not given, so that the days to change it are not known.", t.feature.Title())
			fd.Mend = "Give the day on which it is hung and that on which it comes down."
		default:
			continue
		}
		if by == nil {
			by = t.kind
		}
		fd.Source, fd.Evidence = v.cite(by.PlacingFrom.Sources, practiceOf(by.PlacingFrom)), by.PlacingFrom.Evidence
		found = append(found, fd)
	}
	return found
}

// daysWords is "14 days", "1 day" or "3 to 7 days".
func daysWords(lo, hi int) string {
	if hi == 1 {
		return "1 day"
	}
	if lo == hi || lo == 0 {
		return fmt.Sprintf("%d days", hi)
	}
	return fmt.Sprintf("%d to %d days", lo, hi)
}

// trapsTooClose looks at pheromone traps; those of a complete site for one crop stand together.
func trapsTooClose(v *seasonView) (found []Finding) {
	for i, t := range v.traps {
		for _, u := range v.traps[:i] {
			if t.kind == nil || u.kind == nil || t.kind.Kind != pheromoneTrap || u.kind.Kind != pheromoneTrap ||
				t.kind == u.kind && strings.Contains(t.kind.NumberWords, completeSite) {
				continue
			}
			m, from, to := geometry.Closest(u.shape, t.shape)
			if m >= plumesApartM {
				continue
			}
			found = append(found, Finding{Key: u.feature.ID + " " + t.feature.ID, Features: []string{u.feature.ID, t.feature.ID}, Show: []orb.Point{from, to},
				Message: fmt.Sprintf("%s and %s hang %s apart, where their plumes mix.", u.feature.Title(), t.feature.Title(), v.length(m)),
				Mend:    fmt.Sprintf("Keep pheromone traps %s or more apart.", v.length(plumesApartM))})
		}
	}
	return found
}

func trapSaysNothing(v *seasonView) []Finding {
	var traps []*plan.Feature
	for _, x := range v.now.good {
		if f := x.feature; f.Kind == plan.Trap && (f.Trap == nil || f.Trap.Trap == "") {
			traps = append(traps, f)
		}
	}
	if len(traps) == 0 {
		return nil
	}
	return []Finding{{Features: idsOf(traps), Message: fmt.Sprintf("What %s %s is not said, so nothing is said of number, place or renewal.",
		namesOf(traps), plural(len(traps), "catches", "catch")), Mend: "Choose the kind of trap and the pest."}}
}
