package sheet

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/ground"
	"hedgereach/app/style"
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

// canSetOut tells whether there is anything to set out: two stakes, and something besides them.
func canSetOut(book *settingout.Book) bool { return book != nil && len(book.Pieces) > 0 }

// settingOut gives, for every corner of the plan in the order of work, the tapes from two stakes and the offsets from the line
// between them, with a sketch of the line.
func (j *job) settingOut() {
	defer j.onHand(false)()
	f := newFlow(j, "Setting out")
	f.divide(1)
	_, unit := j.step()
	book := j.book
	f.heading("Setting out", 30)
	t := j.hand(handSmall)
	if book == nil {
		f.paragraph("This sheet gives the tape lengths of every corner from two stakes, and the plan has not got two. Draw two stakes on it, "+
			"at places that will stay put (a gate post, a corner of a building), as far apart as the ground allows; measure from one to the "+
			"other; then write this set again.", t, false, 0)
		return
	}
	if !canSetOut(book) {
		f.paragraph("There are two stakes on the plan, and nothing yet to set out from them. Draw a bed, a hedge or a path; then write this set "+
			"again.", t, false, 0)
		return
	}
	f.cautions(habitat.Buried)
	j.baseLine(f, book)
	f.paragraph(fmt.Sprintf("Stake 1 is %s (%s), stake 2 is %s (%s). Check first that they stand %s apart.",
		book.First.Title(), j.at(book.First), book.Second.Title(), j.at(book.Second), j.tape(book.BaseM)), j.handBold(handSmall), false, 0)
	f.paragraph(fmt.Sprintf("Two tapes pulled tight cross at the corner, on the left or right as you walk from 1 to 2. Along and off are the "+
		"same corner by offset: so far along the line from stake 1 (behind it where a minus stands), then so far square off it; use them "+
		"where the tapes would cross too flatly (–). Corner A is the nearest to stake 1, the next ones follow clockwise. Lengths are to "+
		"%s; that puts no corner more than %s off. Work in the order of the numbers.", unit, j.tape(book.WorstM)), t, false, 0)
	f.paragraph("Square corners: 3 along one side, 4 along the other, 5 between their ends. A rectangle is true when both diagonals, A to C "+
		"and B to D, are as given.", t, false, 0)
	f.y += 2
	table := ruled{letter: t, columns: []ruledColumn{{head: "Corner", share: 20}, {head: "From 1", share: 30, right: true}, {head: "From 2", share: 30, right: true},
		{head: "Side", share: 18}, {head: "Along", share: 30, right: true}, {head: "Off", share: 30, right: true}, {head: "Done", share: 16, tick: true}}}
	for n, p := range book.Pieces {
		band := ruledRow{band: fmt.Sprintf("%d. %s", n+1, j.name(p.Feature)), note: "square " + j.at(p.Feature)}
		switch {
		case p.RadiusM > 0:
			band.note = "radius " + j.tape(p.RadiusM)
		case p.Diagonals[0] > 0:
			band.note = fmt.Sprintf("diagonals A–C %s, B–D %s", j.tape(p.Diagonals[0]), j.tape(p.Diagonals[1]))
		}
		table.rows = append(table.rows, band)
		for i, c := range p.Corners {
			row := ruledRow{words: []string{letters(i), j.tape(c.First), j.tape(c.Second), "right", j.tape(c.Along), j.tape(c.Off), ""},
				bold: []bool{true, false, false, false, false, false, false}}
			if c.Left {
				row.words[3] = "left"
			}
			if c.ByOffset {
				row.words[1], row.words[2] = "–", "–"
			}
			if p.RadiusM > 0 {
				row.words[0] = "centre"
			}
			table.rows = append(table.rows, row)
		}
	}
	f.ruled(table)
}

// baseLine is a sketch of the plan with the line between the stakes.
func (j *job) baseLine(f *flow, book *settingout.Book) {
	s := j.look
	gw, gh := max(j.bound.Max[0]-j.bound.Min[0], 0.1), max(j.bound.Max[1]-j.bound.Min[1], 0.1)
	scale := min((f.wide-6)/gw, ((f.bottom-f.head)*0.32-6)/gh)
	high := gh*scale + 6
	f.room(high)
	b := orb.Bound{Min: orb.Point{f.x, f.y}, Max: orb.Point{f.x + gw*scale + 6, f.y + high}}
	v := ground.View{Centre: j.bound.Center(), Middle: b.Center(), Scale: scale}
	p, q := middle(book.First.Geometry), middle(book.Second.Geometry)
	var on drawing.List
	on.Width, on.Height = f.list().Width, f.list().Height
	ground.Draw(&on, j.a, v, s, ground.Show{Units: j.a.Plan.Units, Window: b, Finding: []orb.Point{p, q}})
	ops := []drawing.Op{drawing.Fill{Path: boxPath(b), Color: s.Ground}}
	for _, op := range on.Ops {
		if layer, ok := op.(drawing.Layer); ok {
			ops = append(ops, layer.Ops...)
		}
	}
	for i, at := range []orb.Point{v.To(p), v.To(q)} {
		size := s.Pt(handName * 0.7)
		at[0] = min(max(at[0], b.Min[0]+size), b.Max[0]-size)
		at[1] = min(max(at[1]-size*0.5, b.Min[1]+size), b.Max[1]-size*0.3)
		ops = append(ops, drawing.Text{At: at, Words: strconv.Itoa(i + 1), Size: size, Bold: true, Color: s.Ink, Align: drawing.Middle, Halo: s.Halo, HaloWidth: s.Pt(3)})
	}
	f.add(drawing.Clip{Path: boxPath(b), Ops: ops}, drawing.Stroke{Path: boxPath(b), Pen: s.Pen(s.Ink, style.Thin)})
	f.y += high + 2.5
}

// tape writes a length as a tape reads: whole centimetres, or feet, inches and quarters.
func (j *job) tape(m float64) string {
	if j.a.Plan.Units != plan.US {
		return joined(fmt.Sprintf("%.2f m", m))
	}
	sign := ""
	if m < 0 {
		sign, m = "-", -m
	}
	quarters := int(m/settingout.QuarterInch + 0.5)
	feet, rest := quarters/48, quarters%48
	out := fmt.Sprintf("%s%d′ %d", sign, feet, rest/4)
	if q := rest % 4; q > 0 {
		out += []string{"", "¼", "½", "¾"}[q]
	}
	return joined(out + "″")
}
