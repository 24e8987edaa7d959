package panes

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"hedgereach/app/fields"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// planting edits one crop of the bed; it does nothing where the crop has gone meanwhile.
func planting(i int, set func(*plan.Planting)) func(*plan.Feature) {
	return func(x *plan.Feature) {
		if i < len(x.Crops) {
			set(&x.Crops[i])
		}
	}
}

// crop reads one crop of the bed, empty where it has gone meanwhile.
func crop(x *plan.Feature, i int) plan.Planting {
	if i < len(x.Crops) {
		return x.Crops[i]
	}
	return plan.Planting{}
}

// buildPlanting is what else can be said of one crop.
func (f *Feature) buildPlanting(id, name string, i int) {
	of := func(what, step string) member { return member{id, what, step + " " + name + " in"} }
	methods := []plan.Method{"", plan.Sow, plan.Transplant}
	f.words(of("Begins", "say how to begin"), []string{"not said", "sown where it grows", "planted out"},
		func(x *plan.Feature) int { return max(0, slices.Index(methods, crop(x, i).Method)) },
		func(x *plan.Feature, n int) { planting(i, func(p *plan.Planting) { p.Method = methods[n] })(x) })
	f.day(of("Harvest", "date the first harvest of"), func(x *plan.Feature) season.Day { return crop(x, i).FirstHarvest },
		func(x *plan.Feature, d season.Day) { planting(i, func(p *plan.Planting) { p.FirstHarvest = d })(x) })
	f.text(of("Variety", "name the variety of"), "as on the packet", func(x *plan.Feature) string { return crop(x, i).Variety },
		func(x *plan.Feature, t string) { planting(i, func(p *plan.Planting) { p.Variety = t })(x) })
	f.length(of("In row", "space"), "as the catalogue", 20, func(x *plan.Feature) float64 { return crop(x, i).InRowM },
		func(x *plan.Feature, m float64) { planting(i, func(p *plan.Planting) { p.InRowM = m })(x) })
	f.length(of("Rows", "space"), "as the catalogue", 20, func(x *plan.Feature) float64 { return crop(x, i).BetweenRowsM },
		func(x *plan.Feature, m float64) { planting(i, func(p *plan.Planting) { p.BetweenRowsM = m })(x) })
	f.tick(of("Sets fruit without pollen", "say the type of"), func(x *plan.Feature) bool { return crop(x, i).Parthenocarpic },
		func(x *plan.Feature, on bool) { planting(i, func(p *plan.Planting) { p.Parthenocarpic = on })(x) })
	f.tick(of("Grown for its seed", "say the use of"), func(x *plan.Feature) bool { return crop(x, i).ForSeed },
		func(x *plan.Feature, on bool) { planting(i, func(p *plan.Planting) { p.ForSeed = on })(x) })
}

// buildHarvest says when the catalogue expects the harvest of a crop whose first day is given, and takes it over on a word.
func (f *Feature) buildHarvest(id string, i int) {
	says := hint("")
	take := fields.NewLink("take these dates", func() {
		_ = f.edit(id, "date the harvest in", func(x *plan.Feature) error {
			if i >= len(x.Crops) {
				return nil
			}
			p := &x.Crops[i]
			first, last, ok := habitat.HarvestOf(f.session.Catalogue().Crop(p.Crop), p.Dates.From, p.Method)
			if !ok {
				return errors.New("the catalogue does not know how long this crop takes")
			}
			p.FirstHarvest, p.Dates.To = first, last
			return nil
		})
	})
	take.Small = true
	says.Hide()
	take.Hide()
	f.add(says, take)
	f.loads = append(f.loads, func(x *plan.Feature) {
		p := crop(x, i)
		c := f.session.Catalogue().Crop(p.Crop)
		first, last, ok := habitat.HarvestOf(c, p.Dates.From, p.Method)
		if !ok || p.FirstHarvest != 0 && p.Dates.To != 0 {
			says.Hide()
			take.Hide()
			return
		}
		days := fmt.Sprintf("%d–%d days", c.DaysMin, c.DaysMax)
		if c.DaysMin == c.DaysMax {
			days = fmt.Sprintf("%d days", c.DaysMin)
		}
		text := fmt.Sprintf("Begun %s, ready from about %s to %s (%s %s).", p.Dates.From.Label(), first.Label(), last.Label(), days, c.DaysFrom)
		if says.Text != text {
			says.SetText(text)
		}
		says.Show()
		take.Show()
	})
}

// cover finds a cover of a bed by its place in the list of all of them; nil where it has gone.
func cover(x *plan.Feature, i int) *plan.Cover {
	if x.Cover != nil {
		if i == 0 {
			return x.Cover
		}
		i--
	}
	if i < len(x.LaterCovers) {
		return &x.LaterCovers[i]
	}
	return nil
}

// uncover takes a cover off.
func uncover(x *plan.Feature, i int) {
	all := slices.Clone(x.Covers())
	if i >= len(all) {
		return
	}
	all = slices.Delete(all, i, i+1)
	x.Cover, x.LaterCovers = nil, nil
	if len(all) > 0 {
		x.Cover, x.LaterCovers = &all[0], all[1:]
	}
}

// buildCovers are the row covers and nets over a bed.
func (f *Feature) buildCovers(x *plan.Feature) {
	id, n := x.ID, len(x.Covers())
	if n > 0 {
		f.add(section("Row cover or net"))
	}
	for i := range n {
		of := func(what, step string) member { return member{id, what, step} }
		set := func(step string, change func(*plan.Cover)) error {
			return f.edit(id, step, func(x *plan.Feature) error {
				if c := cover(x, i); c != nil {
					change(c)
				}
				return nil
			})
		}
		from := f.entry(fields.NewDay("from", func(d season.Day) error {
			return set("date the cover of", func(c *plan.Cover) { c.Dates.From = d })
		}))
		to := f.entry(fields.NewDay("until", func(d season.Day) error {
			return set("date the cover of", func(c *plan.Cover) { c.Dates.To = d })
		}))
		remove := remover(func() {
			_ = f.edit(id, "uncover", func(x *plan.Feature) error { uncover(x, i); return nil })
		})
		name := "Cover"
		if n > 1 {
			name = fmt.Sprintf("Cover %d", i+1)
		}
		f.add(grown(name, remove, from, to, nil))
		f.loads = append(f.loads, func(x *plan.Feature) {
			if c := cover(x, i); c != nil {
				from.Load(c.Dates.From.Label())
				to.Load(c.Dates.To.Label())
			}
		})
		get := func(x *plan.Feature) plan.Cover {
			if c := cover(x, i); c != nil {
				return *c
			}
			return plan.Cover{}
		}
		put := func(x *plan.Feature, change func(*plan.Cover)) {
			if c := cover(x, i); c != nil {
				change(c)
			}
		}
		f.fold(fmt.Sprint(id, " cover ", i), func() {
			f.text(of("Of", "say the cover of"), "fleece, insect net …", func(x *plan.Feature) string { return get(x).Material },
				func(x *plan.Feature, t string) { put(x, func(c *plan.Cover) { c.Material = t }) })
			f.number(of("Mesh", "say the mesh of the cover of"), "mm", 0.01, 100,
				func(x *plan.Feature) (float64, bool) { return get(x).MeshMM, get(x).MeshMM > 0 },
				func(x *plan.Feature, v float64, _ bool) { put(x, func(c *plan.Cover) { c.MeshMM = v }) })
			edges := []plan.Edges{"", plan.EdgesSealed, plan.EdgesOpen}
			f.words(of("Edges", "say the edges of the cover of"), []string{"not said", "buried or weighed down all along", "open in places"},
				func(x *plan.Feature) int { return max(0, slices.Index(edges, get(x).Edges)) },
				func(x *plan.Feature, n int) { put(x, func(c *plan.Cover) { c.Edges = edges[n] }) })
			f.tick(of("A hive works under it", "say what works under the cover of"), func(x *plan.Feature) bool { return get(x).BeesInside },
				func(x *plan.Feature, on bool) { put(x, func(c *plan.Cover) { c.BeesInside = on }) })
		})
	}
	word := "Add a row cover or net"
	if n > 0 {
		word = "Add another cover"
	}
	f.add(plainButton(word, func() {
		_ = f.edit(id, "cover", func(x *plan.Feature) error {
			if x.Cover == nil {
				x.Cover = &plan.Cover{}
			} else {
				x.LaterCovers = append(slices.Clone(x.LaterCovers), plan.Cover{})
			}
			return nil
		})
	}))
}

// buildTreatments are the last resorts on a bed.
func (f *Feature) buildTreatments(x *plan.Feature) {
	id := x.ID
	if len(x.Treatments) > 0 {
		f.add(section("Treatments"))
	}
	for i, t := range x.Treatments {
		name := t.Material
		m := f.session.Catalogue().Material(t.Material)
		if m != nil {
			name = m.Name
		}
		of := func(what string) member { return member{id, what, "change the treatment of"} }
		get := func(x *plan.Feature) plan.Treatment {
			if i < len(x.Treatments) {
				return x.Treatments[i]
			}
			return plan.Treatment{}
		}
		put := func(x *plan.Feature, change func(*plan.Treatment)) {
			if i < len(x.Treatments) {
				x.Treatments = slices.Clone(x.Treatments)
				change(&x.Treatments[i])
			}
		}
		remove := remover(func() {
			_ = f.edit(id, "leave out a treatment of", func(x *plan.Feature) error {
				if i < len(x.Treatments) {
					x.Treatments = append(x.Treatments[:i:i], x.Treatments[i+1:]...)
				}
				return nil
			})
		})
		f.add(headed(name, remove))
		when := f.entry(fields.NewEntry(func(text string) error {
			days, err := readDays(text)
			if err != nil {
				return err
			}
			return f.change(of("On"), func(x *plan.Feature) error { put(x, func(t *plan.Treatment) { t.On = days }); return nil })
		}))
		when.SetPlaceHolder("days, like 10 Jun, 20 Jun")
		f.add(row("On", when))
		f.loads = append(f.loads, func(x *plan.Feature) { when.Load(writeDays(get(x).On)) })
		f.choose(of("Against"), f.pestItems, func(x *plan.Feature) string { return get(x).Pest },
			func(x *plan.Feature, v string) { put(x, func(t *plan.Treatment) { t.Pest = v }) })
		f.number(of("To harvest"), "h", 0, 24*365, func(x *plan.Feature) (float64, bool) {
			if h := get(x).HarvestHours; h != nil {
				return *h, true
			}
			return 0, false
		}, func(x *plan.Feature, v float64, given bool) {
			put(x, func(t *plan.Treatment) {
				t.HarvestHours = nil
				if given {
					t.HarvestHours = &v
				}
			})
		})
		f.tick(of("In the evening, when no bee flies"), func(x *plan.Feature) bool { return get(x).Evening },
			func(x *plan.Feature, on bool) { put(x, func(t *plan.Treatment) { t.Evening = on }) })
		if m != nil && m.Cautions != "" {
			f.add(hint("Caution: " + m.Cautions + "."))
		}
	}
	f.add(fields.NewChoice("Add a last resort…", f.materialItems, func(it fields.Item) {
		_ = f.edit(id, "plan "+habitat.InText(it.Name)+" on", func(x *plan.Feature) error {
			x.Treatments = append(slices.Clone(x.Treatments), plan.Treatment{Material: it.ID})
			return nil
		})
	}))
	if len(x.Treatments) > 0 {
		f.add(hint("The label is the law: dose, crop, days or hours to the harvest, what to wear. Copy the hours to the harvest from it. Local rules and " +
			"a licence, where one is needed, come first."))
	}
}

// materialItems lists the last resorts, the gentlest to natural enemies and bees first.
func (f *Feature) materialItems() []fields.Item {
	var out []fields.Item
	for _, m := range data.Gentlest(f.session.Catalogue().Materials) {
		out = append(out, fields.Item{ID: m.ID, Name: m.Name, Detail: fmt.Sprintf("harm to predators: %s; to parasitoids: %s; bees: %s",
			m.Predators.Worst(), m.Parasitoids.Worst(), data.BeesWords[m.Bees])})
	}
	return out
}

// buildOtherYears is what grew or is to grow on a bed in other years, for the rotation.
func (f *Feature) buildOtherYears(x *plan.Feature) {
	id, now := x.ID, f.session.Plan().Year
	f.add(section("Other years"))
	if now == 0 {
		f.add(hint("Say first for which year this plan is (Plan, Place and season): then what grew here before can be told from what comes."))
		return
	}
	for i, y := range x.OtherYears {
		remove := remover(func() {
			_ = f.edit(id, fmt.Sprintf("forget %d of", y.Year), func(x *plan.Feature) error {
				if i < len(x.OtherYears) {
					x.OtherYears = append(x.OtherYears[:i:i], x.OtherYears[i+1:]...)
				}
				return nil
			})
		})
		f.add(headed(fmt.Sprint(y.Year), remove))
		for k, c := range y.Crops {
			name, family := c.Crop, ""
			if crop := f.session.Catalogue().Crop(c.Crop); crop != nil {
				name, family = crop.Name, crop.Family
			}
			f.add(headed("   "+join(name, family), remover(func() {
				_ = f.edit(id, "take "+name+" out of", func(x *plan.Feature) error {
					if i < len(x.OtherYears) && k < len(x.OtherYears[i].Crops) {
						x.OtherYears = slices.Clone(x.OtherYears)
						o := &x.OtherYears[i]
						o.Crops = append(o.Crops[:k:k], o.Crops[k+1:]...)
					}
					return nil
				})
			})))
		}
		f.add(fields.NewChoice(fmt.Sprintf("Add a crop of %d…", y.Year), f.cropItems, func(it fields.Item) {
			_ = f.edit(id, "note "+strings.ToLower(it.Name)+" in", func(x *plan.Feature) error {
				if i < len(x.OtherYears) {
					x.OtherYears = slices.Clone(x.OtherYears)
					o := &x.OtherYears[i]
					o.Crops = append(slices.Clone(o.Crops), plan.Planting{Crop: it.ID, Share: 1})
				}
				return nil
			})
		}))
	}
	for _, to := range []struct {
		word string
		step int
	}{{"Add the year before", -1}, {"Add the year after", 1}} {
		f.add(plainButton(to.word, func() {
			_ = f.edit(id, "note another year of", func(x *plan.Feature) error {
				y := now + to.step
				for slices.ContainsFunc(x.OtherYears, func(o plan.CropYear) bool { return o.Year == y }) {
					y += to.step
				}
				x.OtherYears = append(slices.Clone(x.OtherYears), plan.CropYear{Year: y})
				slices.SortStableFunc(x.OtherYears, func(a, b plan.CropYear) int { return a.Year - b.Year })
				return nil
			})
		}))
	}
}

// buildTrapping says what a trap crop is for.
func (f *Feature) buildTrapping(id string) {
	of := func(what, step string) member { return member{id, what, step} }
	get := func(x *plan.Feature) plan.Trapping {
		if x.Trapping == nil {
			return plan.Trapping{}
		}
		return *x.Trapping
	}
	put := func(x *plan.Feature, change func(*plan.Trapping)) {
		t := get(x)
		change(&t)
		x.Trapping = &t
	}
	f.add(section("Trap crop"))
	f.choose(of("Protects", "say what is protected by"), f.protectable, func(x *plan.Feature) string { return get(x).Protects },
		func(x *plan.Feature, v string) { put(x, func(t *plan.Trapping) { t.Protects = v }) })
	f.choose(of("Pest", "say the pest of"), f.pestItems, func(x *plan.Feature) string { return get(x).Pest },
		func(x *plan.Feature, v string) { put(x, func(t *plan.Trapping) { t.Pest = v }) })
	f.text(of("Removal", "say how to clear"), "how the pest is removed", func(x *plan.Feature) string { return get(x).Removal },
		func(x *plan.Feature, v string) { put(x, func(t *plan.Trapping) { t.Removal = v }) })
	f.number(of("Every", "say how often to clear"), "days", 1, 365,
		func(x *plan.Feature) (float64, bool) { return float64(get(x).EveryDays), get(x).EveryDays > 0 },
		func(x *plan.Feature, v float64, _ bool) { put(x, func(t *plan.Trapping) { t.EveryDays = whole(v) }) })
	f.day(of("Sown", "date"), func(x *plan.Feature) season.Day { return get(x).Sown },
		func(x *plan.Feature, d season.Day) { put(x, func(t *plan.Trapping) { t.Sown = d }) })
	f.day(of("Cleared", "date the clearing of"), func(x *plan.Feature) season.Day { return get(x).Cleared },
		func(x *plan.Feature, d season.Day) { put(x, func(t *plan.Trapping) { t.Cleared = d }) })
}

// buildTrap says what a trap is.
func (f *Feature) buildTrap(id string) {
	of := func(what string) member { return member{id, what, "change"} }
	get := func(x *plan.Feature) plan.TrapMark {
		if x.Trap == nil {
			return plan.TrapMark{}
		}
		return *x.Trap
	}
	put := func(x *plan.Feature, change func(*plan.TrapMark)) {
		t := get(x)
		change(&t)
		x.Trap = &t
	}
	f.add(section("Trap"))
	f.choose(of("Sort"), f.trapItems, func(x *plan.Feature) string { return get(x).Trap },
		func(x *plan.Feature, v string) { put(x, func(t *plan.TrapMark) { t.Trap = v }) })
	f.choose(of("Pest"), f.pestItems, func(x *plan.Feature) string { return get(x).Pest },
		func(x *plan.Feature, v string) { put(x, func(t *plan.TrapMark) { t.Pest = v }) })
	f.number(of("Number"), "", 1, 10000, func(x *plan.Feature) (float64, bool) { return float64(get(x).Number), get(x).Number > 0 },
		func(x *plan.Feature, v float64, _ bool) { put(x, func(t *plan.TrapMark) { t.Number = whole(v) }) })
	f.length(of("Height"), "above the ground", 20, func(x *plan.Feature) float64 { return get(x).HeightM },
		func(x *plan.Feature, m float64) { put(x, func(t *plan.TrapMark) { t.HeightM = m }) })
	f.day(of("Hung"), func(x *plan.Feature) season.Day { return get(x).Set },
		func(x *plan.Feature, d season.Day) { put(x, func(t *plan.TrapMark) { t.Set = d }) })
	f.day(of("Until"), func(x *plan.Feature) season.Day { return get(x).Until },
		func(x *plan.Feature, d season.Day) { put(x, func(t *plan.TrapMark) { t.Until = d }) })
	f.number(of("Renewed"), "days", 1, 365, func(x *plan.Feature) (float64, bool) { return float64(get(x).RenewDays), get(x).RenewDays > 0 },
		func(x *plan.Feature, v float64, _ bool) { put(x, func(t *plan.TrapMark) { t.RenewDays = whole(v) }) })
	says := hint("")
	f.add(says)
	f.loads = append(f.loads, func(x *plan.Feature) {
		text := ""
		if t := f.session.Catalogue().Trap(get(x).Trap); t != nil {
			text = join(t.Use, t.NumberWords, t.Placing, t.ByCatch)
		}
		if says.Text != text {
			says.SetText(text)
		}
	})
}

func (f *Feature) trapItems() []fields.Item {
	var out []fields.Item
	for _, t := range f.session.Catalogue().Traps {
		out = append(out, fields.Item{ID: t.ID, Name: t.Name, Detail: join(t.Target, t.Colour, t.Use)})
	}
	return out
}

// buildNursery says that something is left to a pest, so that its enemies breed there.
func (f *Feature) buildNursery(id string) {
	f.choose(member{id, "Left to", "leave to a pest:"}, f.pestItems, func(x *plan.Feature) string { return x.Nursery },
		func(x *plan.Feature, v string) { x.Nursery = v })
	f.add(hint("A corner left to aphids, say, feeds their enemies before the beds need them."))
}
