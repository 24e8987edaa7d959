package sheet

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/ground"
	"hedgereach/app/style"
	"hedgereach/geometry"
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
	if chosen[0] == chosen[1] {
		return nil, fmt.Errorf("the stake %q is named twice: name two stakes", chosen[0].Title())
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
	left := j.baseLine(f, book)
	on := "The sketch shows the number of each step, and by a dot its corner A."
	if left > 0 {
		on = fmt.Sprintf("The sketch shows the numbers of the steps, but for %d that had no room, and by a dot each corner A.", left)
	}
	f.paragraph(on, t, false, 0)
	f.paragraph(fmt.Sprintf("Stake 1 is %s (%s), stake 2 is %s (%s). Check first that they stand %s apart.",
		book.First.Title(), j.at(book.First), book.Second.Title(), j.at(book.Second), j.tape(book.BaseM)), j.handBold(handSmall), false, 0)
	f.paragraph(fmt.Sprintf("Two tapes pulled tight cross at the corner, on the left or right as you walk from 1 to 2. Along and off are the "+
		"same corner by offset: so far along the line from stake 1 (behind it where a minus stands), then so far square off it; use them "+
		"where the tapes would cross too flatly (–). Corner A is the nearest to stake 1, the next ones follow clockwise. Lengths are to "+
		"%s; that puts no corner more than %s off. Work in the order of the steps.", unit, j.tape(book.WorstM)), t, false, 0)
	f.paragraph("Square corners: 3 along one side, 4 along the other, 5 between their ends. A rectangle is true when both diagonals, A to C "+
		"and B to D, are as given.", t, false, 0)
	f.y += 2
	table := ruled{letter: t, columns: []ruledColumn{{head: "Corner", share: 20}, {head: "From 1", share: 30, right: true}, {head: "From 2", share: 30, right: true},
		{head: "Side", share: 18}, {head: "Along", share: 30, right: true}, {head: "Off", share: 30, right: true}, {head: "Done", share: 16, tick: true}}}
	for n, p := range book.Pieces {
		band := ruledRow{band: fmt.Sprintf("Step %d · %s", n+1, j.stepName(p.Feature)), note: "square " + j.at(p.Feature)}
		switch {
		case p.RadiusM > 0:
			band.note += ", radius " + j.tape(p.RadiusM)
		case p.Diagonals[0] > 0:
			band.note += fmt.Sprintf(", A–C %s, B–D %s", j.tape(p.Diagonals[0]), j.tape(p.Diagonals[1]))
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

// stepName is what a step of setting out is about: "bed 12, Terrace 2", or the name alone where it holds the number.
func (j *job) stepName(f *plan.Feature) string {
	name := f.Title()
	if n := j.numbers[f.ID]; n != "" && j.name(f) != name {
		return "bed " + n + ", " + name
	}
	return name
}

// baseLine is a sketch of the plan with the line between the stakes, the number of each step and its corner A. It answers how many numbers
// had no room.
func (j *job) baseLine(f *flow, book *settingout.Book) (left int) {
	s := j.look
	gw, gh := max(j.bound.Max[0]-j.bound.Min[0], 0.1), max(j.bound.Max[1]-j.bound.Min[1], 0.1)
	scale := min((f.wide-6)/gw, ((f.bottom-f.head)*0.42-6)/gh)
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
	steps, taken := []drawing.Op(nil), []orb.Bound(nil)
	free := func(x orb.Bound) bool {
		return b.Contains(x.Min) && b.Contains(x.Max) && !slices.ContainsFunc(taken, x.Intersects)
	}
	for i, at := range []orb.Point{v.To(p), v.To(q)} {
		size := s.Pt(handName * 0.7)
		at[0] = min(max(at[0], b.Min[0]+size), b.Max[0]-size)
		at[1] = min(max(at[1]-size*0.5, b.Min[1]+size), b.Max[1]-size*0.3)
		ops = append(ops, drawing.Text{At: at, Words: strconv.Itoa(i + 1), Size: size, Bold: true, Color: s.Ink, Align: drawing.Middle, Halo: s.Halo, HaloWidth: s.Pt(3)})
		taken = append(taken, orb.Bound{Min: orb.Point{at[0] - size*0.4, at[1] - size*0.8}, Max: orb.Point{at[0] + size*0.4, at[1]}})
	}
	for _, piece := range book.Pieces {
		var dot drawing.Path
		if at := v.To(piece.Corners[0].At); piece.RadiusM == 0 {
			dot = drawing.Polygon(geometry.Disc(at, s.Pt(2.4)))
			taken = append(taken, orb.Bound{Min: at, Max: at}.Pad(s.Pt(2.4)))
		}
		steps = append(steps, drawing.Fill{Path: dot, Color: s.Ink})
	}
	for n, piece := range book.Pieces {
		t := letter{size: s.Pt(style.Tiny), bold: true}
		words := strconv.Itoa(n + 1)
		half := orb.Point{t.width(words)/2 + 0.2, t.size*0.36 + 0.1}
		at, ok := v.To(middle(piece.Feature.Geometry)), false
		corner := v.To(piece.Corners[0].At)
		places := []orb.Point{at}
		if piece.Feature.Kind == plan.Boundary { // its middle is everyone's
			places = nil
		}
		for _, away := range []float64{2.4, 4.5} {
			for k := range 12 {
				sin, cos := math.Sincos(float64(k) * math.Pi / 6)
				places = append(places, orb.Point{corner[0] + cos*(s.Pt(away)+half[0]), corner[1] + sin*(s.Pt(away)+half[1])})
			}
		}
		for _, at = range places {
			if x := (orb.Bound{Min: orb.Point{at[0] - half[0], at[1] - half[1]}, Max: orb.Point{at[0] + half[0], at[1] + half[1]}}); free(x) {
				taken, ok = append(taken, x), true
				break
			}
		}
		if !ok {
			left++
			continue
		}
		steps = append(steps, drawing.Text{At: orb.Point{at[0], at[1] + 0.36*t.size}, Words: words, Size: t.size, Bold: true, Color: s.Ink, Align: drawing.Middle,
			Halo: s.Halo, HaloWidth: s.Pt(2)})
	}
	ops = append(ops, steps...)
	f.add(drawing.Clip{Path: boxPath(b), Ops: ops}, drawing.Stroke{Path: boxPath(b), Pen: s.Pen(s.Ink, style.Thin)})
	f.y += high + 2.5
	return left
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
