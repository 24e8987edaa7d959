package panes

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/arrange"
	"hedgereach/app/fields"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// buildCrops lists the crops of a bed with their dates and shares.
func (f *Feature) buildCrops(x *plan.Feature) {
	id := x.ID
	f.add(section("Crops"))
	for i, c := range x.Crops {
		name := c.Crop
		if k := f.session.Catalogue().Crop(c.Crop); k != nil {
			name = k.Name
		}
		change := func(what string, set func(*plan.Planting)) error {
			return f.edit(id, what+" in", func(x *plan.Feature) error {
				if i < len(x.Crops) {
					set(&x.Crops[i])
				}
				return nil
			})
		}
		from := f.entry(fields.NewDay("from", func(d season.Day) error {
			return change("date "+name, func(p *plan.Planting) { p.Dates.From = d })
		}))
		to := f.entry(fields.NewDay("until", func(d season.Day) error {
			return change("date "+name, func(p *plan.Planting) { p.Dates.To = d })
		}))
		share := f.entry(fields.NewShare(func(s float64) error {
			return change("share "+name, func(p *plan.Planting) { p.Share = s })
		}))
		remove := remover(func() {
			_ = f.edit(id, "take "+name+" off", func(x *plan.Feature) error {
				x.Crops = append(x.Crops[:i:i], x.Crops[i+1:]...)
				return nil
			})
		})
		f.add(grown(name, remove, from, to, share))
		f.loads = append(f.loads, func(x *plan.Feature) {
			if i < len(x.Crops) {
				from.Load(x.Crops[i].Dates.From.Label())
				to.Load(x.Crops[i].Dates.To.Label())
				share.Load(fields.FormatShare(x.Crops[i].Share))
			}
		})
		f.buildHarvest(id, i)
		f.fold(fmt.Sprint(id, " crop ", i), func() { f.buildPlanting(id, name, i) })
	}
	f.add(fields.NewChoice("Add a crop…", f.cropItems, func(it fields.Item) {
		_ = f.edit(id, "plant "+strings.ToLower(it.Name)+" in", func(x *plan.Feature) error {
			arrange.JoinCrop(x, it.ID)
			return nil
		})
	}))
}

// buildPlants lists the plants of a habitat with their shares and, where the grower saw them, their times of bloom.
func (f *Feature) buildPlants(x *plan.Feature) {
	id := x.ID
	f.add(section("Plants"))
	for i, g := range x.Plants {
		name := g.Plant
		p := f.session.Catalogue().Plant(g.Plant)
		if p != nil {
			name = p.Name
		}
		change := func(what string, set func(*plan.Growing)) error {
			return f.edit(id, what+" in", func(x *plan.Feature) error {
				if i < len(x.Plants) {
					set(&x.Plants[i])
				}
				return nil
			})
		}
		from := f.entry(fields.NewDay("from", func(d season.Day) error {
			return change("date the bloom of "+name, func(p *plan.Growing) { p.Bloom.From = d })
		}))
		to := f.entry(fields.NewDay("until", func(d season.Day) error {
			return change("date the bloom of "+name, func(p *plan.Growing) { p.Bloom.To = d })
		}))
		share := f.entry(fields.NewShare(func(s float64) error {
			return change("share "+name, func(p *plan.Growing) { p.Share = s })
		}))
		remove := remover(func() {
			_ = f.edit(id, "take "+name+" out of", func(x *plan.Feature) error {
				x.Plants = append(x.Plants[:i:i], x.Plants[i+1:]...)
				return nil
			})
		})
		says := hint("")
		f.add(grown(name, remove, from, to, share), says)
		f.loads = append(f.loads, func(x *plan.Feature) {
			if i >= len(x.Plants) {
				return
			}
			from.Load(x.Plants[i].Bloom.From.Label())
			to.Load(x.Plants[i].Bloom.To.Label())
			share.Load(fields.FormatShare(x.Plants[i].Share))
			if t := f.bloomWords(p, x.Plants[i]); t != says.Text {
				says.SetText(t)
			}
		})
	}
	f.add(fields.NewChoice("Add a plant…", f.plantItems, func(it fields.Item) {
		_ = f.edit(id, "plant "+strings.ToLower(it.Name)+" in", func(x *plan.Feature) error {
			arrange.JoinPlant(x, it.ID)
			return nil
		})
	}))
	if len(x.Plants) > 0 {
		f.add(hint("Dates: when you saw it in flower. They go before the catalogue's."))
	}
}

// bloomWords says when a plant flowers here, and what to mind with it.
func (f *Feature) bloomWords(p *data.Plant, g plan.Growing) string {
	if p == nil {
		return "Not in the catalogue: it counts only with the dates that you give."
	}
	a := f.session.Assessment()
	w := a.Bloom(g) // as the sheets and the bloom chart have it, to the day
	words := "No flowers that count."
	_, known := a.BloomOf(p)
	switch {
	case !w.Given():
	case g.Bloom.Given():
		words = "In flower " + w.Label() + ", as you saw it."
	case known == habitat.BloomEstimated:
		words = "In flower about " + w.Label() + ", estimated for this place."
	case known == habitat.BloomElsewhere:
		words = "In flower " + w.Label() + " in " + p.BloomPlace.Name + "; not known for this place."
	default:
		words = "In flower " + w.Label() + "."
	}
	if w.Given() && !f.counts(g) {
		words += " That is less than half of any half-month, so it does not count."
	}
	if p.Caution != "" {
		words += " Caution: " + p.Caution
	}
	return words
}

// counts tells whether a plant is in flower for at least half of some half-month, the step in which flowers are counted.
func (f *Feature) counts(g plan.Growing) bool {
	for h := range season.HalfMonth(season.HalfMonths) {
		if f.session.Assessment().InFlower(g, h) {
			return true
		}
	}
	return false
}

func setWord(b *widget.Button, t string) {
	if b.Text != t {
		b.SetText(t)
	}
}

// nameOf is the name of the item with the id, the id where it is not known, and a prompt where there is none.
func nameOf(id string, items []fields.Item) string {
	if id == "" {
		return "Choose…"
	}
	for _, it := range items {
		if it.ID == id {
			return it.Name
		}
	}
	return id
}

func (f *Feature) cropItems() []fields.Item {
	var out []fields.Item
	for _, c := range f.session.Catalogue().Crops {
		out = append(out, fields.Item{ID: c.ID, Name: c.Name, Detail: join(c.Scientific, c.Family)})
	}
	return out
}

func (f *Feature) plantItems() []fields.Item {
	c := f.session.Catalogue()
	var out []fields.Item
	a := f.session.Assessment()
	for _, p := range c.Plants {
		if !a.Offered(p) {
			continue // a weed here
		}
		bloom := ""
		if w, _ := a.BloomOf(p); w.Given() {
			bloom = w.Label()
		}
		var feeds []string
		for _, id := range p.Guilds {
			if g := c.Guild(id); g != nil {
				feeds = append(feeds, strings.ToLower(g.Name))
			}
		}
		out = append(out, fields.Item{ID: p.ID, Name: p.Name, Detail: join(bloom, p.Form, strings.Join(feeds, ", "), p.Scientific)})
	}
	return out
}

func (f *Feature) pestItems() []fields.Item {
	var out []fields.Item
	for _, p := range f.session.Catalogue().Pests {
		out = append(out, fields.Item{ID: p.ID, Name: p.Name, Detail: join(p.Scientific, p.Order)})
	}
	return out
}

// protectable lists the beds of the plan, then the crops of the catalogue.
func (f *Feature) protectable() []fields.Item {
	var out []fields.Item
	for _, x := range f.session.Committed().Features {
		if x.Kind == plan.Bed {
			out = append(out, fields.Item{ID: x.ID, Name: x.Title(), Detail: "bed"})
		}
	}
	return append(out, f.cropItems()...)
}

func join(parts ...string) string {
	var out []string
	for _, p := range parts {
		if p != "" {
			out = append(out, p)
		}
	}
	return strings.Join(out, " · ")
}

// remover is the word that takes something away again.
func remover(do func()) fyne.CanvasObject {
	w := fields.NewLink("remove", do)
	w.Small = true
	return w
}

func plainButton(text string, do func()) *fields.Button {
	b := fields.NewButton(text, do)
	b.Alignment = widget.ButtonAlignLeading
	return b
}

// grown lays out one thing that grows: its name with the cross, and below it two dates and a share.
func grown(name string, remove, from, to, share fyne.CanvasObject) fyne.CanvasObject {
	head := headed(name, remove)
	fieldsRow := container.New(dates{}, from, widget.NewLabel("to"), to)
	if share != nil {
		fieldsRow.Add(share)
	}
	return container.NewVBox(head, fieldsRow)
}

// headed is a name with the word that takes it away.
func headed(name string, remove fyne.CanvasObject) fyne.CanvasObject {
	l := widget.NewLabel(name)
	l.Truncation = fyne.TextTruncateEllipsis
	return container.NewBorder(nil, nil, nil, remove, l)
}

// dates lays two dates with a word between, and a share at the end.
type dates struct{}

const (
	toWidth    = 28
	shareWidth = 76
)

func (dates) MinSize(o []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(2*80+toWidth+shareWidth, o[0].MinSize().Height)
}

func (dates) Layout(o []fyne.CanvasObject, size fyne.Size) {
	day := (size.Width - toWidth - shareWidth - 10) / 2
	x := float32(0)
	for i, w := range []float32{day, toWidth, day} {
		o[i].Move(fyne.NewPos(x, 0))
		o[i].Resize(fyne.NewSize(w, size.Height))
		x += w
	}
	if len(o) > 3 {
		o[3].Move(fyne.NewPos(x+10, 0))
		o[3].Resize(fyne.NewSize(shareWidth, size.Height))
	}
}

// buildServes names the guilds that a habitat serves at the time asked about.
func (f *Feature) buildServes(id string) {
	out := newReadout()
	f.add(section("Serves, at the time asked about"), out)
	f.loads = append(f.loads, func(*plan.Feature) {
		if f.session.Previewing() {
			return // where it lies does not change whom it serves
		}
		a := f.session.Assessment()
		var names []string
		for _, g := range f.session.Catalogue().Guilds {
			for _, x := range a.Serving(g) {
				if x.ID == id {
					names = append(names, strings.ToLower(g.Name))
				}
			}
		}
		if len(names) == 0 {
			out.SetText("no group of natural enemies")
			return
		}
		out.SetText(strings.Join(names, ", "))
	})
}

// buildStandings lists how a bed stands with each guild. Choosing a line asks the map about that guild.
func (f *Feature) buildStandings(id string) {
	f.add(section("Within reach of"))
	for _, g := range f.session.Catalogue().Guilds {
		if !g.HasRange() {
			continue
		}
		chip := NewChip()
		word := fields.NewWord(g.Name, "", func() {
			a := f.session.Ask()
			a.Guild = g
			f.session.SetAsk(a)
		})
		says := widget.NewLabel("")
		says.SizeName, says.Importance = theme.SizeNameCaptionText, widget.LowImportance
		says.Alignment, says.Truncation = fyne.TextAlignTrailing, fyne.TextTruncateEllipsis
		band := hint("")
		f.add(container.New(standing{}, chip, word, says), band)
		band.Hide()
		f.loads = append(f.loads, func(*plan.Feature) {
			sys := System(f.session)
			for _, b := range f.session.Assessment().Beds {
				if b.Feature.ID != id {
					continue
				}
				r := b.Guild(g.ID)
				if r == nil {
					break
				}
				chip.SetStatus(r.Status)
				text := "no refuge serves it"
				if r.Link != nil {
					text = fmt.Sprintf("%s of %s", span(r.Link.NearestM, r.Link.FarthestM, sys), RangeBrief(g, sys))
				}
				if says.Text != text {
					says.SetText(text)
				}
				if open := r.Band(); band.Text != open {
					band.SetText(open)
					if open == "" {
						band.Hide()
					} else {
						band.Show()
					}
				}
				now := f.session.Ask().Guild
				word.SetOn(now != nil && now.ID == g.ID)
			}
		})
	}
	f.add(hint("Nearest to farthest point of the bed, and the guild's usual range with the band of published distances. Where these leave " +
		"open how the bed stands, the line below says how at best and at worst."))
}
