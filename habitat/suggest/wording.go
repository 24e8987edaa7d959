package suggest

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	geolength "hedgereach/geometry/length"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

func (m *model) none() error {
	return fmt.Errorf("no strip of %s by at least %s fits where it would bring one of these beds into reach of %s",
		geolength.Format(m.ask.WidthM, m.units), geolength.Format(m.ask.LeastM, m.units), m.who())
}

func (m *model) title() string {
	return map[Objective]string{LeastArea: "Least area", LeastLength: "Least length", LeastPatches: "Fewest patches"}[m.ask.Least]
}

// newName is what new habitat is called until the grower calls it something.
func newName(k plan.Kind) string {
	switch k {
	case plan.PerennialStrip, plan.FlowerStrip:
		return "New flower strip"
	case plan.Hedgerow:
		return "New hedge"
	}
	return "New " + habitat.InText(k.Label())
}

// how says the same in words, with what was looked at.
func (m *model) how(q *Proposal, whole bool) (how string) {
	grid := fmt.Sprintf("strips of %s, %s and longer in steps of %s, along %s", geolength.Format(m.ask.WidthM, m.units),
		geolength.Format(m.ask.LeastM, m.units), geolength.Format(m.cellM, m.units), counted(len(m.lines), "line of this ground", "lines of this ground"))
	what := map[Objective]string{LeastArea: "area", LeastLength: "length", LeastPatches: "number"}[m.ask.Least]
	switch {
	case m.leave && m.stands:
		how = "Proven: no more beds come into reach, nor these for less,"
		if m.ask.MostM2 > 0 {
			how += fmt.Sprintf(" within %s and", geolength.FormatArea(m.ask.MostM2, m.units))
		}
		how += fmt.Sprintf(" with %s.", grid)
	case q.Proven:
		how = fmt.Sprintf("Proven: no smaller %s will do with %s.", what, grid)
	case whole:
		how = fmt.Sprintf("Not proven: the least %s lies at most %s below, with %s.", what, habitat.Percent(q.Gap), grid)
	default:
		how = fmt.Sprintf("The best found with %s; not proven.", grid)
	}
	if n := len(m.gone); n > 0 {
		how += fmt.Sprintf(" %s cannot be brought into reach with these.", counted(n, "bed", "beds"))
	}
	return how
}

// why says what a strip of a proposal is for: the beds that would be out of reach without it.
func (m *model) why(q *Proposal, i int) string {
	var shapes []orb.Geometry
	for k, c := range q.Changes {
		if k != i {
			shapes = append(shapes, c.After.Geometry)
		}
	}
	var lose []string
	for k, g := range m.guilds {
		without := m.reach(k, shapes)
		for _, b := range m.beds {
			id := b.Feature.ID
			if slices.Contains(q.Beds, id) && !slices.Contains(lose, id) && standing(b, g).Status != habitat.Within &&
				without.farthest(b.Feature.Geometry).Metres > m.rangeOf(g) {
				lose = append(lose, id)
			}
		}
	}
	place := m.place(q.Changes[i].After)
	if len(lose) == 0 {
		return fmt.Sprintf("Lies %s; others reach the same beds.", place)
	}
	verb := "stays"
	if len(lose) > 1 {
		verb = "stay"
	}
	return fmt.Sprintf("Lies %s: without it %s %s out of reach of %s.", place, m.names(lose), verb, m.someOf())
}

// place says in words where a strip lies, by the line under its middle.
func (m *model) place(f *plan.Feature) string {
	at := f.Geometry.Bound().Center()
	for j := range m.cells {
		l := m.cells[j].line
		s, t := l.where(at)
		if math.Abs(t) >= 0.01 || s <= 0 || s >= l.long || len(f.Line) != 2 {
			continue
		}
		if s, t := l.where(f.Line[0]); math.Abs(t) < 0.01 && s > -0.01 {
			if l.of != nil && l.along != Margin && l.along != BedEnds {
				return fmt.Sprintf("along %s", l.of.Title())
			}
			return l.along.words()
		}
	}
	return "here"
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
