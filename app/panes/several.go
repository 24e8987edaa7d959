package panes

import (
	"fmt"
	"strings"

	"hedgereach/app/arrange"
	"hedgereach/app/fields"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// What a form of several features has to say where they differ.
const differ = "they differ"

// sortOf tells which rows of properties several features share.
type sortOf struct{ strips, rounds, oblongs, growers, beds, habitats bool }

func sortsOf(fs []*plan.Feature) sortOf {
	s := sortOf{true, true, true, true, true, true}
	for _, x := range fs {
		_, _, rect := sides(x.Geometry)
		s.strips = s.strips && x.Line != nil
		s.rounds = s.rounds && x.Centre != nil && x.RadiusM > 0
		s.oblongs = s.oblongs && rect && x.Line == nil && x.Centre == nil
		s.growers = s.growers && x.Kind != plan.Boundary && x.Kind != plan.Trap && x.Kind != plan.Stake
		s.beds = s.beds && x.Kind == plan.Bed
		s.habitats = s.habitats && x.IsHabitat()
	}
	return s
}

// chosen are the selected features of the plan as shown.
func (f *Feature) chosen() []*plan.Feature {
	var out []*plan.Feature
	for _, id := range f.session.Selection() {
		if x, _ := f.session.Plan().Find(id); x != nil {
			out = append(out, x)
		}
	}
	return out
}

// editAll makes a change of all that is selected one step of the history: "name 3 features". Where it is one of shape, what is
// locked stands in its way.
func (f *Feature) editAll(name string, shape bool, change func(*plan.Feature) error) error {
	if f.building {
		return nil
	}
	err := func() error {
		p := f.session.Committed()
		q := p.Clone()
		var fs []*plan.Feature
		for _, id := range f.session.Selection() {
			x, i := p.Find(id)
			if x == nil {
				continue
			}
			if shape && x.Locked {
				return &arrange.LockedError{Feature: x}
			}
			c := x.Clone()
			if err := change(c); err != nil {
				return fmt.Errorf("%s: %w", x.Title(), err)
			}
			q.Features[i] = c
			fs = append(fs, x)
		}
		return f.session.Commit(name+" "+arrange.What(fs), q)
	}()
	if err != nil {
		f.complain(err)
		f.update()
	}
	return err
}

// buildSeveral shows what several features have in common; each of it can be changed for all of them at once.
func (f *Feature) buildSeveral(s sortOf) {
	head, out := title(""), newReadout()
	f.add(head, out)
	f.loads = append(f.loads, func(*plan.Feature) {
		count, area := map[plan.Kind]int{}, 0.0
		fs := f.chosen()
		for _, x := range fs {
			count[x.Kind]++
			if x.Kind != plan.Boundary { // what lies within it would count twice
				area += areaOf(x)
			}
		}
		var lines []string
		for _, k := range plan.Kinds {
			if n := count[k]; n > 0 {
				lines = append(lines, fmt.Sprintf("%s: %d", k.Label(), n))
			}
		}
		words := "Areas added up: "
		if count[plan.Boundary] > 0 {
			words = "Areas added up, but for the boundary: "
		}
		lines = append(lines, words+length.FormatArea(area, System(f.session)))
		head.SetText(fmt.Sprintf("%d features", len(fs)))
		out.SetText(strings.Join(lines, "\n"))
	})
	labels := make([]string, len(plan.Kinds))
	for i, k := range plan.Kinds {
		labels[i] = k.Label()
	}
	f.severalPick("Kind", labels, func(x *plan.Feature) string { return x.Kind.Label() }, func(i int) error {
		return f.editAll("change the kind of", false, func(x *plan.Feature) error { x.Kind = plan.Kinds[i]; return nil })
	})
	switch {
	case s.strips:
		f.severalLength("Width", func(x *plan.Feature) float64 { return x.WidthM }, setWidth)
	case s.rounds:
		f.severalLength("Radius", func(x *plan.Feature) float64 { return x.RadiusM }, setRadius)
	case s.oblongs:
		f.severalLength("Length", func(x *plan.Feature) float64 { a, b, _ := sides(x.Geometry); return max(a, b) },
			func(x *plan.Feature, m float64) error { return setSide(x, m, true) })
		f.severalLength("Width", func(x *plan.Feature) float64 { a, b, _ := sides(x.Geometry); return min(a, b) },
			func(x *plan.Feature, m float64) error { return setSide(x, m, false) })
	}
	if s.growers {
		yes, no := true, false
		words := []string{"By kind", "Yes", "No"}
		f.severalPick("Refuge", words, func(x *plan.Feature) string {
			switch {
			case x.Refuge == nil:
				return words[0]
			case *x.Refuge:
				return words[1]
			}
			return words[2]
		}, func(i int) error {
			return f.editAll("say whether refuge:", false, func(x *plan.Feature) error { x.Refuge = []*bool{nil, &yes, &no}[i]; return nil })
		})
	}
	flag := func(label, off, on, stepOff, stepOn string, at func(*plan.Feature) *bool) {
		words := []string{off, on}
		f.severalPick(label, words, func(x *plan.Feature) string {
			if *at(x) {
				return on
			}
			return off
		}, func(i int) error {
			return f.editAll([]string{stepOff, stepOn}[i], false, func(x *plan.Feature) error { *at(x) = i == 1; return nil })
		})
	}
	flag("Place", "free to move", "locked", "unlock", "lock", func(x *plan.Feature) *bool { return &x.Locked })
	flag("Drawn", "shown", "hidden", "show", "hide", func(x *plan.Feature) *bool { return &x.Hidden })
	if s.beds {
		f.add(section("Crops"), fields.NewChoice("Add a crop to all…", f.cropItems, func(it fields.Item) {
			_ = f.editAll("plant "+strings.ToLower(it.Name)+" in", false, func(x *plan.Feature) error {
				arrange.JoinCrop(x, it.ID)
				return nil
			})
		}))
	}
	if s.habitats {
		f.add(section("Plants"), fields.NewChoice("Add a plant to all…", f.plantItems, func(it fields.Item) {
			_ = f.editAll("plant "+strings.ToLower(it.Name)+" in", false, func(x *plan.Feature) error {
				for _, g := range x.Plants {
					if g.Plant == it.ID {
						return nil // it grows there already
					}
				}
				arrange.JoinPlant(x, it.ID)
				return nil
			})
		}))
	}
	f.add(hint("What is changed here is changed for all of them. They move, turn and go together; the Arrange menu lines them up."))
}

// severalPick is a row with a choice of words: empty where the features differ.
func (f *Feature) severalPick(label string, words []string, get func(*plan.Feature) string, set func(int) error) {
	p := fields.NewPick(words, "")
	p.PlaceHolder = differ
	p.OnChanged = func(string) {
		if i := p.SelectedIndex(); i >= 0 {
			_ = set(i)
		}
	}
	f.add(row(label, p))
	f.loads = append(f.loads, func(*plan.Feature) {
		word := f.common(get)
		if word == "" {
			p.ClearSelected()
		} else {
			p.SetSelected(word)
		}
	})
}

// severalLength is a row with a length: empty where the features differ.
func (f *Feature) severalLength(label string, get func(*plan.Feature) float64, set func(*plan.Feature, float64) error) {
	sys := func() length.System { return System(f.session) }
	e := f.entry(fields.NewLength(sys, leastSide, mostSide, func(m float64) error {
		return f.editAll("resize", true, func(x *plan.Feature) error { return set(x, m) })
	}))
	e.SetPlaceHolder(differ)
	f.add(row(label, e))
	f.loads = append(f.loads, func(*plan.Feature) {
		e.Load(f.common(func(x *plan.Feature) string { return length.Format(get(x), sys()) }))
	})
}

// common is a word that all selected features have in common; "" where they differ.
func (f *Feature) common(get func(*plan.Feature) string) string {
	word := ""
	for i, x := range f.chosen() {
		if w := get(x); i == 0 {
			word = w
		} else if w != word {
			return ""
		}
	}
	return word
}
