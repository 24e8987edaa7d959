package suggest

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/suggest/setcover"
)

// nothing says why no plant is proposed.
func (m *mixer) nothing(short []season.HalfMonth, unfed []*data.Guild) error {
	if len(short) == 0 && len(unfed) == 0 {
		return errors.New("enough is in flower all season already, and every guild is fed")
	}
	var lacks []string
	for _, h := range short {
		lacks = append(lacks, "flowers "+h.Label())
	}
	for _, g := range unfed {
		lacks = append(lacks, "feeds "+habitat.InText(g.Name))
	}
	within := "within the bounds"
	if n := len(m.ask.Prices); n > 0 {
		within += fmt.Sprintf(" (%s a price)", counted(n, "plant of the catalogue has", "plants of the catalogue have"))
	}
	return fmt.Errorf("no more plants help here: of those that these kinds of habitat take %s, none that is not there already %s",
		within, strings.Join(lacks, ", or "))
}

// proposal plants the mix and assesses the plan with it.
func (m *mixer) proposal(chosen []*data.Plant, sol setcover.Solution, short []season.HalfMonth, unfed []*data.Guild) (*Mix, error) {
	q := &Mix{Plants: chosen, Priced: len(m.ask.Prices) > 0, Cost: m.price(chosen), Unfed: unfed}
	q.Title, q.Proven, q.Gap = "Fewest species", sol.Proven, sol.Gap()
	if m.ask.LeastCost {
		q.Title = "Least cost"
	}
	for _, f := range m.targets {
		var fit []*data.Plant
		for _, p := range chosen {
			if forms(f.Kind, p) && !slices.ContainsFunc(f.Plants, func(g plan.Growing) bool { return g.Plant == p.ID }) {
				fit = append(fit, p)
			}
		}
		if len(fit) == 0 {
			continue
		}
		if len(f.Plants)+len(fit) > plan.MaxList {
			return nil, fmt.Errorf("%s would have more than %d plants", f.Title(), plan.MaxList)
		}
		next := f.Clone()
		share(next, fit)
		var names []string
		for _, p := range fit {
			names = append(names, p.Name)
		}
		q.Changes = append(q.Changes, Change{Before: f, After: next, Why: "Adds " + strings.Join(names, ", ") + "."})
	}
	at := habitat.RegionOf(m.plan.Place)
	for _, p := range chosen {
		var words []string
		for _, d := range data.Dangers {
			if p.Is(d.Danger) {
				words = append(words, d.Words)
			}
		}
		if p.Caution != "" {
			words = append(words, p.Caution)
		}
		if words = append(words, m.c.CautionFor(p.ID, at)...); len(words) > 0 {
			q.Cautions = append(q.Cautions, p.Name+": "+strings.Join(words, "; "))
		}
	}
	var err error
	if q.Plan, err = q.Apply(m.plan); err != nil {
		return nil, err
	}
	after := habitat.Assess(q.Plan, m.before.Catalogue, habitat.Options{})
	closed, was := 0, 0
	for _, h := range m.season {
		n := InFlower{HalfMonth: h, Before: m.species(m.before, h), After: m.species(after, h), Short: slices.Contains(short, h)}
		q.InFlower = append(q.InFlower, n)
		if n.Before < m.ask.Species {
			was++
			if n.After >= m.ask.Species {
				closed++
			}
		}
	}
	many := counted(m.ask.Species, "species", "species")
	new := counted(len(chosen), "new species", "new species")
	switch short := was - closed; {
	case was == 0:
		q.Effect = "Every guild is fed, with " + new
	case short == 0:
		q.Effect = fmt.Sprintf("%s in flower all season, with %s", many, new)
	default:
		q.Effect = fmt.Sprintf("%s in flower in all but %s, with %s", many, counted(short, "half-month", "half-months"), new)
	}
	if len(unfed) > 0 && was == 0 {
		q.Effect = "More of the guilds are fed, with " + new
	}
	if q.Priced {
		q.Effect += ", for " + FormatPrice(q.Cost)
	}
	q.How = "Not proven: stopped before."
	if sol.Proven {
		q.How = "Proven: no fewer species within the bounds do it."
		if m.ask.LeastCost {
			q.How = "Proven: no cheaper plants within the bounds do it."
		}
	}
	if q.Priced {
		q.How += " Prices are of one of each, as your list has them."
	}
	return q, nil
}

// species counts those in flower in a half-month in what the ask counts.
func (m *mixer) species(a *habitat.Assessment, h season.HalfMonth) int {
	if len(m.ask.Habitats) == 0 {
		return a.Site.Cover[h].Species
	}
	seen := map[string]bool{}
	for _, was := range m.counted {
		f, _ := a.Plan.Find(was.ID)
		for _, g := range f.Plants {
			if g.Share > 0 && a.InFlower(g, h) {
				seen[g.Plant] = true
			}
		}
	}
	return len(seen)
}

// share adds plants with equal shares of the ground that is left, or, where too little is, of a ground on which all that was there
// gives way by the same part.
func share(f *plan.Feature, fit []*data.Plant) {
	sum := 0.0
	for _, g := range f.Plants {
		sum += g.Share
	}
	left := 1 - sum
	if fair := float64(len(fit)) / float64(len(fit)+len(f.Plants)); left < fair/2 {
		left = fair
		for i := range f.Plants {
			f.Plants[i].Share = math.Floor(f.Plants[i].Share/sum*(1-left)*1000) / 1000
		}
	}
	each := math.Floor(left/float64(len(fit))*1000) / 1000
	for _, p := range fit {
		f.Plants = append(f.Plants, plan.Growing{Plant: p.ID, Share: each})
	}
}
