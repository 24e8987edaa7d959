package sheet

import (
	"errors"
	"fmt"
	"strings"

	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/settingout"
)

// step is the step to which tapes are read, in metres and in words.
func (j *job) step() (float64, string) {
	if j.a.Plan.Units == plan.US {
		return settingout.QuarterInch, "1/4 in"
	}
	return settingout.Centimetre, "1 cm"
}

// measures is the book of setting out, from the stakes that were chosen; nil where none were and the plan has not got two.
func (j *job) measures() (*settingout.Book, error) {
	step, _ := j.step()
	if j.o.Stakes == ([2]string{}) {
		book, err := settingout.Measure(j.a.Plan, step)
		if errors.Is(err, settingout.ErrStakes) {
			return nil, nil
		}
		return book, err
	}
	var chosen [2]*plan.Feature
	for i, name := range j.o.Stakes {
		for _, f := range j.a.Plan.Features {
			if f.Kind == plan.Stake && (f.ID == name || strings.EqualFold(f.Title(), strings.TrimSpace(name))) {
				chosen[i] = f
				break
			}
		}
		if chosen[i] == nil {
			return nil, fmt.Errorf("there is no stake %q on the plan: name two stakes as they are called there", name)
		}
	}
	return settingout.Between(j.a.Plan, step, chosen[0], chosen[1])
}

// settingOut lists, for every corner of the plan, the tapes from two stakes and the offsets from the line between them.
func (j *job) settingOut() {
	f := newFlow(j, "Setting out")
	_, unit := j.step()
	book := j.book
	f.heading("Setting out", 30)
	if book == nil {
		f.paragraph("This sheet gives the tape lengths of every corner from two stakes, and the plan has not got two. Draw two stakes on it, "+
			"at places that will stay put (a gate post, a corner of a building), as far apart as the ground allows; measure from one to the "+
			"other; then write this set again.", j.body(), false, 0)
		return
	}
	f.split(120)
	s1, s2 := book.First.Title(), book.Second.Title()
	f.paragraph(habitat.Cautions[0].Words, j.bold(), false, 0)
	f.paragraph(fmt.Sprintf("Stake 1 is %s (%s), stake 2 is %s (%s). Check first that they stand %s apart.",
		s1, j.at(book.First), s2, j.at(book.Second), j.tape(book.BaseM)), j.body(), false, 0)
	f.paragraph(fmt.Sprintf("Two tapes pulled tight cross at the corner, on the left or right as you walk from 1 to 2. Along and off are the "+
		"same corner by offset: so far along the line from stake 1 (− behind it), then so far square off it; use them where the tapes "+
		"would cross too flatly (–). Corner A is the nearest to stake 1, the next ones follow clockwise. Lengths are to %s; that puts no "+
		"corner more than %s off.", unit, j.tape(book.WorstM)), j.body(), false, 0)
	f.paragraph("Square corners: 3 along one side, 4 along the other, 5 between their ends. A rectangle is true when both diagonals, A to C "+
		"and B to D, are as given.", j.body(), false, 0)
	f.y += 2
	var rows [][]cell
	for _, p := range book.Pieces {
		name := p.Feature.Title()
		if n := j.numbers[p.Feature.ID]; n != "" && n != name {
			name = n + " " + name
		}
		for i, c := range p.Corners {
			row := []cell{{words: ""}, {words: letters(i)}, {words: j.tape(c.First)}, {words: j.tape(c.Second)},
				{words: "right"}, {words: j.tape(c.Along)}, {words: j.tape(c.Off)}}
			if i == 0 {
				row[0] = cell{words: name, bold: true}
			}
			if c.Left {
				row[4].words = "left"
			}
			if c.ByOffset {
				row[2].words, row[3].words = "–", "–"
			}
			if p.RadiusM > 0 {
				row[1].words = "centre"
			}
			rows = append(rows, row)
		}
		switch {
		case p.RadiusM > 0:
			rows = append(rows, []cell{{words: "radius " + j.tape(p.RadiusM)}, {}, {}, {}, {}, {}, {}})
		case p.Diagonals[0] > 0:
			rows = append(rows, []cell{{words: fmt.Sprintf("A–C %s, B–D %s", j.tape(p.Diagonals[0]), j.tape(p.Diagonals[1]))},
				{}, {}, {}, {}, {}, {}})
		}
	}
	f.table([]column{{"What", 36, false}, {"Corner", 11, false}, {"From 1", 17, true}, {"From 2", 17, true}, {"Side", 9, false},
		{"Along", 17, true}, {"Off", 17, true}}, rows)
}

// tape writes a length as a tape reads: whole centimetres, or feet, inches and quarters.
func (j *job) tape(m float64) string {
	if j.a.Plan.Units != plan.US {
		return joined(fmt.Sprintf("%.2f m", m))
	}
	sign := ""
	if m < 0 {
		sign, m = "−", -m
	}
	quarters := int(m/settingout.QuarterInch + 0.5)
	feet, rest := quarters/48, quarters%48
	out := fmt.Sprintf("%s%d′ %d", sign, feet, rest/4)
	if q := rest % 4; q > 0 {
		out += []string{"", "¼", "½", "¾"}[q]
	}
	return joined(out + "″")
}
