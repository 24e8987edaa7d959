package proposals

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"hedgereach/app/fields"
	"hedgereach/data"
	"hedgereach/geometry/length"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/suggest"
)

// entries are the lines that are typed into.
func (p *Pane) entries() []*fields.Entry {
	return []*fields.Entry{p.width, p.least, p.tall, p.room, p.dear}
}

// applies tells whether a line that is typed into is shown.
func (p *Pane) applies(e *fields.Entry) bool {
	switch e {
	case p.width, p.least:
		return !p.places.Hidden && len(p.objectives()) > 0
	case p.dear:
		return !p.plants.Hidden && p.prices != nil
	}
	return !p.plants.Hidden
}

// limit is an entry for a limit that may be left out, shown again in the plan's units once it is read.
func limit(to *float64, words func(float64) string, parse func(text string) (float64, error)) *fields.Entry {
	var e *fields.Entry
	e = fields.NewEntry(func(text string) (err error) {
		*to = 0
		if text = strings.TrimSpace(text); text == "" || strings.EqualFold(text, anyLimit) {
			e.Load("")
			return nil
		}
		if *to, err = parse(text); err == nil {
			e.Load(words(*to))
		}
		return err
	})
	e.SetPlaceHolder(anyLimit)
	return e
}

func lengthIn(text string, sys length.System, low, high float64) (float64, error) {
	m, err := length.Parse(text, sys)
	if err == nil && !(m >= low && m <= high) {
		err = fmt.Errorf("%q is out of bounds here: give a length from %s to %s, or none", text, length.Format(low, sys), length.Format(high, sys))
	}
	if err != nil {
		return 0, err
	}
	return m, nil
}

// guilds are those to choose among.
func (p *Pane) guilds(fit func(*data.Guild) bool) (list []fields.Item) {
	for _, g := range p.session.Catalogue().Guilds {
		if fit(g) {
			list = append(list, fields.Item{ID: g.ID, Name: g.Name})
		}
	}
	return list
}

// askPrices asks for a price list.
func (p *Pane) askPrices() {
	if p.Open == nil {
		return
	}
	p.Open("Prices: a CSV with columns plant and price", []string{".csv", ".txt"}, func(path string) error {
		in, err := os.Open(path)
		if err != nil {
			return err
		}
		defer in.Close()
		c, _ := habitat.CatalogueOf(p.session.Committed(), p.session.Catalogue())
		list, err := suggest.ReadPrices(in, filepath.Base(path), c)
		if err == nil {
			p.takePrices(list)
		}
		return err
	})
}

// takePrices goes by a price list from now on; nil goes without.
func (p *Pane) takePrices(list *suggest.Prices) {
	p.prices = list
	p.clear()
	words := readList
	if list == nil {
		p.cost.SetSelected(fewest)
		p.dearest = 0
		p.dear.Load("")
	} else {
		words = fmt.Sprintf("Of %d plants…", len(list.Of))
		if len(list.Of) == 1 {
			words = "Of 1 plant…"
		}
		p.status.SetText(list.Says())
	}
	p.priceButton.SetText(words)
	p.shape()
}

func (p *Pane) askedWords() string {
	ask := p.session.Ask()
	on, guilds := "", p.askedGuilds()
	if ask.On != nil {
		on = ", " + ask.On.Label()
	}
	single := func(g *data.Guild) string {
		words := "Bring beds within reach of " + habitat.InText(g.Name)
		if g.HasRange() {
			words += ", " + length.FormatRange(g.TypicalM, p.units()) + " of their refuge"
		}
		return words + on
	}
	switch {
	case p.whom.Whole() == mapAsks && ask.Guild == nil:
		return "Bring beds within " + length.FormatRange(ask.RangeM, p.units()) + " of any refuge" + on + ", as the map asks."
	case p.whom.Whole() == mapAsks:
		return single(ask.Guild) + ", as the map asks."
	case len(guilds) == 0:
		return "No crop of the plan needs a guild whose distance has been published."
	case p.whom.Whole() == cropsNeed:
		return fmt.Sprintf("Bring beds within reach of all %d guilds that the crops need and whose distance has been published%s.", len(guilds), on)
	case len(guilds) == 1:
		return single(guilds[0]) + "."
	}
	return fmt.Sprintf("Bring beds within reach of all %d guilds at once%s.", len(guilds), on)
}

// askedGuilds are the guilds that places are looked for; none for any refuge.
func (p *Pane) askedGuilds() (list []*data.Guild) {
	switch p.whom.Whole() {
	case mapAsks:
		if g := p.session.Ask().Guild; g != nil {
			list = append(list, g)
		}
	case cropsNeed:
		list = suggest.CropGuilds(p.session.Committed(), p.session.Catalogue())
	default:
		for _, id := range p.whom.Chosen() {
			if g := p.session.Catalogue().Guild(id); g != nil {
				list = append(list, g)
			}
		}
	}
	return list
}

// objectives are what new strips are to have little of; none asks for edits alone.
func (p *Pane) objectives() []suggest.Objective {
	for _, k := range seeks {
		if k.words == p.seek.Selected {
			return k.least
		}
	}
	return seeks[0].least
}

// read makes a search of the fields.
func (p *Pane) read() (*search, error) {
	for _, e := range p.entries() {
		e.FocusLost() // what was typed but not left yet
		if err := e.Wrong(); err != nil && p.applies(e) {
			return nil, err
		}
	}
	now := p.session.Committed()
	s := &search{plan: now, catalogue: p.session.Catalogue()}
	chosen := func(fits func(*plan.Feature) bool) (ids []string) {
		for _, id := range p.session.Selection() {
			if f, _ := now.Find(id); f != nil && fits(f) {
				ids = append(ids, id)
			}
		}
		return ids
	}
	if p.what.Selected == forPlants {
		fmt.Sscanf(p.species.Selected, "%d", &s.plants.Species)
		s.plants.NativeOnly = p.bounds.Selected == native || p.bounds.Selected == both
		s.plants.Guilds = p.feed.Chosen()
		s.plants.HeightCM, s.plants.SpacingCM = p.tallM*100, p.roomM*100
		if p.prices != nil {
			s.plants.Prices, s.plants.MostPrice, s.plants.LeastCost = p.prices.Of, p.dearest, p.cost.Selected == cheapest
		}
		s.plants.Harmless = p.bounds.Selected == harmless || p.bounds.Selected == both
		if p.habitats.Selected == thisHab {
			if s.plants.Habitats = chosen((*plan.Feature).IsHabitat); len(s.plants.Habitats) == 0 {
				return nil, errors.New("choose the habitat on the ground first")
			}
		}
		return s, nil
	}
	ask := p.session.Ask()
	s.where = &suggest.Ask{RangeM: ask.RangeM, On: ask.On, WidthM: p.widthM, LeastM: p.leastM}
	s.least = p.objectives()
	for _, g := range p.askedGuilds() {
		s.where.Guilds = append(s.where.Guilds, g.ID)
	}
	if len(s.where.Guilds) == 0 && p.whom.Whole() != mapAsks {
		return nil, errors.New("no crop of the plan needs a guild whose distance has been published: tick the guilds")
	}
	if p.beds.Selected == theseBeds {
		if s.where.Beds = chosen(func(f *plan.Feature) bool { return f.Kind == plan.Bed }); len(s.where.Beds) == 0 {
			return nil, errors.New("choose the beds on the ground first")
		}
	}
	if p.ground.Selected == inChosen {
		if s.where.Inside = chosen(func(f *plan.Feature) bool { return f.Kind != plan.Bed || p.beds.Selected != theseBeds }); len(s.where.Inside) == 0 {
			return nil, errors.New("choose the ground that may be used first, such as a cover crop or the boundary")
		}
	}
	for _, k := range kinds {
		if p.kind.Selected == k.Label() {
			s.where.Kind = k
		}
	}
	for _, l := range lines {
		if p.along.Selected == l.words {
			s.where.Along = l.along
		}
	}
	return s, nil
}
