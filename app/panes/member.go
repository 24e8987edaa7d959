package panes

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/data/season"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// A member is one thing that the form edits: of which feature, under what word, and what the step of the history is called.
type member struct{ id, name, step string }

func (f *Feature) change(m member, set func(*plan.Feature) error) error {
	return f.edit(m.id, m.step, set)
}

// text is a line for words.
func (f *Feature) text(m member, prompt string, get func(*plan.Feature) string, set func(*plan.Feature, string)) {
	e := f.entry(fields.NewEntry(func(t string) error {
		return f.change(m, func(x *plan.Feature) error { set(x, strings.TrimSpace(t)); return nil })
	}))
	e.SetPlaceHolder(prompt)
	f.add(row(m.name, e))
	f.loads = append(f.loads, func(x *plan.Feature) { e.Load(get(x)) })
}

// day is a line for a day of the year, which may stay empty.
func (f *Feature) day(m member, get func(*plan.Feature) season.Day, set func(*plan.Feature, season.Day)) {
	e := f.entry(fields.NewDay("day and month", func(d season.Day) error {
		return f.change(m, func(x *plan.Feature) error { set(x, d); return nil })
	}))
	f.add(row(m.name, e))
	f.loads = append(f.loads, func(x *plan.Feature) { e.Load(get(x).Label()) })
}

// length is a line for a length, which may stay empty: 0.
func (f *Feature) length(m member, prompt string, most float64, get func(*plan.Feature) float64, set func(*plan.Feature, float64)) {
	sys := func() length.System { return System(f.session) }
	typed := fields.NewLength(sys, 0.001, most, func(v float64) error {
		return f.change(m, func(x *plan.Feature) error { set(x, v); return nil })
	})
	take := typed.Take
	typed.Take = func(t string) error {
		if strings.TrimSpace(t) == "" {
			return f.change(m, func(x *plan.Feature) error { set(x, 0); return nil })
		}
		return take(t)
	}
	e := f.entry(typed)
	e.SetPlaceHolder(prompt)
	f.add(row(m.name, e))
	f.loads = append(f.loads, func(x *plan.Feature) {
		if v := get(x); v > 0 {
			e.Load(length.Format(v, sys()))
		} else {
			e.Load("")
		}
	})
}

// number is a line for a number with a unit's word behind it, which may stay empty: not given.
func (f *Feature) number(m member, unit string, low, high float64, get func(*plan.Feature) (float64, bool), set func(x *plan.Feature, v float64, given bool)) {
	e := f.entry(fields.NewEntry(func(t string) error {
		t = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(t), unit))
		v, given := 0.0, t != ""
		if given {
			var err error
			if v, err = strconv.ParseFloat(strings.Replace(t, ",", ".", 1), 64); err != nil || !(v >= low && v <= high) {
				return fmt.Errorf("%q will not do here: give a number from %g to %g%s", t, low, high, unitWord(unit))
			}
		}
		return f.change(m, func(x *plan.Feature) error { set(x, v, given); return nil })
	}))
	e.SetPlaceHolder(unit)
	f.add(row(m.name, e))
	f.loads = append(f.loads, func(x *plan.Feature) {
		v, given := get(x)
		if !given {
			e.Load("")
			return
		}
		e.Load(strings.TrimSpace(strconv.FormatFloat(v, 'f', -1, 64) + " " + unit))
	})
}

func unitWord(unit string) string {
	if unit == "" {
		return ""
	}
	return " " + unit
}

// whole is a number without a fraction.
func whole(v float64) int { return int(math.Round(v)) }

// words is a line for one of a few words.
func (f *Feature) words(m member, list []string, get func(*plan.Feature) int, set func(*plan.Feature, int)) {
	choice := widget.NewSelect(list, nil)
	choice.OnChanged = func(string) {
		i := choice.SelectedIndex()
		_ = f.change(m, func(x *plan.Feature) error { set(x, i); return nil })
	}
	f.add(row(m.name, choice))
	f.loads = append(f.loads, func(x *plan.Feature) { choice.SetSelectedIndex(get(x)) })
}

// tick is a line for yes or no.
func (f *Feature) tick(m member, get func(*plan.Feature) bool, set func(*plan.Feature, bool)) {
	c := widget.NewCheck(m.name, nil)
	c.OnChanged = func(on bool) {
		_ = f.change(m, func(x *plan.Feature) error { set(x, on); return nil })
	}
	f.add(row("", c))
	f.loads = append(f.loads, func(x *plan.Feature) { c.SetChecked(get(x)) })
}

// choose is a line for one of a long list, or none of it.
func (f *Feature) choose(m member, items func() []fields.Item, get func(*plan.Feature) string, set func(*plan.Feature, string)) {
	c := fields.NewChoice("", func() []fields.Item { return append([]fields.Item{{ID: "", Name: "none"}}, items()...) },
		func(it fields.Item) {
			_ = f.change(m, func(x *plan.Feature) error { set(x, it.ID); return nil })
		})
	f.add(row(m.name, c))
	f.loads = append(f.loads, func(x *plan.Feature) { setWord(&c.Button, nameOf(get(x), items())) })
}

// fold puts what build adds behind a word that unfolds it.
func (f *Feature) fold(key string, build func()) {
	word := "more…"
	if f.open[key] {
		build()
		word = "less"
	}
	link := fields.NewLink(word, func() {
		f.open[key] = !f.open[key]
		f.shape = ""
		f.update()
	})
	link.Small, link.Right = true, true
	f.add(link)
}

// days are written with commas between them.
func writeDays(days []season.Day) string {
	var out []string
	for _, d := range days {
		out = append(out, d.Label())
	}
	return strings.Join(out, ", ")
}

// readDays reads what writeDays wrote, or what a person types like it.
func readDays(text string) (days []season.Day, err error) {
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' }) {
		d, err := fields.ParseDay(part)
		if err != nil {
			return nil, err
		}
		if d != 0 {
			days = append(days, d)
		}
	}
	return days, nil
}
