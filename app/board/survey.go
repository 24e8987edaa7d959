package board

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/app/survey"
	"hedgereach/habitat/plan"
)

// marks are the plan's stakes with names that tell them apart, those that are chosen first.
func (b *Board) marks(least int) (fs []*plan.Feature, names []string, err error) {
	fs = survey.Marks(b.session.Committed())
	if len(fs) < least {
		return nil, nil, fmt.Errorf("set %d stakes first (the tool Mark, m): it is measured from them", least)
	}
	order := b.session.Selection() // where two or more are chosen, those come first; traps come last
	if len(order) < 2 {
		order = nil
	}
	rank := func(f *plan.Feature) int {
		if i := slices.Index(order, f.ID); i >= 0 {
			return i
		}
		if f.Kind != plan.Stake {
			return len(order) + 1
		}
		return len(order)
	}
	slices.SortStableFunc(fs, func(a, c *plan.Feature) int { return rank(a) - rank(c) })
	for _, f := range fs {
		name := f.Title()
		for n := 2; slices.Contains(names, name); n++ {
			name = fmt.Sprintf("%s (%d)", f.Title(), n)
		}
		names = append(names, name)
	}
	return fs, names, nil
}

const noCheck = "no check"

// askTapes asks for a point by its distances from two stakes, with checks where they were measured.
func (b *Board) askTapes() (*Form, error) {
	fs, names, err := b.marks(2)
	if err != nil {
		return nil, err
	}
	hands := []string{"left of the way from first to second", "right of it"}
	thirds := append([]string{noCheck}, names...)
	return b.form("A point by two tapes", []Field{
		{Label: "First stake", Value: names[0], Choices: names}, {Label: "Tape from it", Hint: "12.34 m"},
		{Label: "Second stake", Value: names[1], Choices: names}, {Label: "Tape from that", Hint: "10.05 m"},
		{Label: "It lies", Value: hands[0], Choices: hands},
		{Label: "Between the two", Hint: "as measured, for a check"},
		{Label: "Third stake", Value: noCheck, Choices: thirds}, {Label: "Tape from the third", Hint: "for a check: it also tells the side"},
		{Label: "Name", Hint: "Stake"},
	}, func(a *answers) (Change, error) {
		at := func(i int) orb.Point { p, _ := survey.At(fs[i]); return p }
		var t survey.Tape
		t.A, t.FromA = at(a.choice()), a.metres()
		t.B, t.FromB = at(a.choice()), a.metres()
		t.OnLeft = a.choice() == 0
		if a.empty() {
			a.next()
		} else {
			t.Apart = a.metres()
		}
		if third := a.choice(); third > 0 && !a.empty() {
			c := at(third - 1)
			t.C, t.FromC = &c, a.metres()
		} else {
			a.next()
		}
		name := a.next()
		if a.err != nil {
			return Change{}, a.err
		}
		fix, err := t.Locate()
		if err != nil {
			return Change{}, err
		}
		p, ids := survey.Stakes(b.session.Committed(), []orb.Point{fix.At}, name)
		return Change{Step: "set a stake by two tapes", Plan: p, Select: ids, Words: b.closing(fix)}, nil
	}), nil
}

// closing says what the checks of a taped point came to.
func (b *Board) closing(f survey.Fix) string {
	words := []string{fmt.Sprintf("at %s; the other side would be %s", b.place(roundMM(f.At)), b.place(roundMM(f.Other)))}
	say := func(err float64, what string) {
		if !math.IsNaN(err) {
			words = append(words, fmt.Sprintf("closing error %s %s", b.exactSigned(err), what))
		}
	}
	say(f.Apart, "between the stakes")
	say(f.Check, "from the third stake")
	return strings.Join(words, "\n")
}

// exactSigned writes a small difference with its sign.
func (b *Board) exactSigned(m float64) string {
	if m < 0 {
		return "−" + b.exact(-m)
	}
	return "+" + b.exact(m)
}

func roundMM(p orb.Point) orb.Point {
	return orb.Point{math.Round(p[0]*1000) / 1000, math.Round(p[1]*1000) / 1000}
}

// askOffsets asks for points by how far along a base line and how far off it, as stakes or as the corners of an outline.
func (b *Board) askOffsets() (*Form, error) {
	fs, names, err := b.marks(2)
	if err != nil {
		return nil, err
	}
	made := []string{"stakes"}
	kinds := []plan.Kind{plan.Stake}
	for _, k := range plan.Kinds {
		if k != plan.Stake && k != plan.Trap {
			made, kinds = append(made, "an outline: "+k.Label()), append(kinds, k)
		}
	}
	value := made[1]
	if i := slices.Index(kinds, b.kind); i > 0 {
		value = made[i]
	}
	return b.form("Points by offsets from a base line", []Field{
		{Label: "Base line from", Value: names[0], Choices: names}, {Label: "to", Value: names[1], Choices: names},
		{Label: "Make", Value: value, Choices: made},
		{Label: "Along; left", Hint: "a line for each point: 4.5; 2\nright of the line is negative: 9; -1.2", Lines: 8},
	}, func(a *answers) (Change, error) {
		from, _ := survey.At(fs[a.choice()])
		to, _ := survey.At(fs[a.choice()])
		kind := kinds[a.choice()]
		pairs, err := b.places(a.next(), nil, nil)
		if err != nil {
			return Change{}, err
		}
		if len(pairs) == 0 {
			return Change{}, errors.New("write a line for each point: how far along; how far to the left")
		}
		var offsets []survey.Offset
		for _, q := range pairs {
			offsets = append(offsets, survey.Offset{Along: q[0], Left: q[1]})
		}
		pts, err := survey.Place(from, to, offsets)
		if err != nil {
			return Change{}, err
		}
		return b.surveyed(pts, kind)
	}), nil
}

// surveyed makes stakes or an outline of points.
func (b *Board) surveyed(pts []orb.Point, kind plan.Kind) (Change, error) {
	if kind == plan.Stake {
		p, ids := survey.Stakes(b.session.Committed(), pts, "")
		stakes := counted(len(ids), "stake")
		return Change{Step: "set " + stakes, Plan: p, Select: ids, Words: stakes}, nil
	}
	p, ids, err := survey.Outline(b.session.Committed(), pts, kind)
	if err != nil {
		return Change{}, err
	}
	return Change{Step: "draw " + arrange.NextName(b.session.Committed(), kind), Plan: p, Select: ids,
		Words: b.squareMetres(arrange.Ground(p, ids))}, nil
}

// askThrough asks what the outline through the chosen stakes is.
func (b *Board) askThrough() (*Form, error) {
	var pts []orb.Point
	fs, _, err := b.chosen(3, "choose three stakes or more, in the order in which one walks round")
	if err != nil {
		return nil, err
	}
	for _, f := range fs {
		at, ok := survey.At(f)
		if !ok || f.Kind != plan.Stake && f.Kind != plan.Trap {
			return nil, fmt.Errorf("%s is no stake: choose stakes alone", f.Title())
		}
		pts = append(pts, at)
	}
	var labels []string
	var kinds []plan.Kind
	for _, k := range plan.Kinds {
		if k != plan.Stake && k != plan.Trap {
			labels, kinds = append(labels, k.Label()), append(kinds, k)
		}
	}
	return b.form(fmt.Sprintf("An outline through %d stakes", len(pts)), []Field{
		{Label: "It is", Value: plan.Boundary.Label(), Choices: labels},
	}, func(a *answers) (Change, error) {
		kind := kinds[a.choice()]
		if a.err != nil {
			return Change{}, a.err
		}
		return b.surveyed(pts, kind)
	}), nil
}

// addFile adds what a file holds: points of a GPS, GeoJSON, or another plan.
func (b *Board) addFile(path string) error {
	r, err := plan.Open(path)
	if err != nil {
		return err
	}
	p, ids, words, err := survey.Bring(b.session.Committed(), r.Plan)
	if err != nil {
		return err
	}
	said := fmt.Sprintf("%d added", len(ids))
	for _, w := range append([]string{words}, r.Notes...) {
		if w != "" {
			said += "; " + w
		}
	}
	if err := b.Apply(Change{Step: fmt.Sprintf("add %d from a file", len(ids)), Plan: p, Select: ids, Words: said}); err != nil {
		return err
	}
	b.session.Show(ids, nil)
	return nil
}

// PasteText adds features of GeoJSON text, as other programs copy it.
func (b *Board) PasteText(text string) error {
	other, _, err := plan.ReadGeoJSON(strings.NewReader(text), "pasted")
	if err != nil {
		return err
	}
	p, ids, words, err := survey.Bring(b.session.Committed(), other)
	if err != nil {
		return err
	}
	if err := b.Apply(Change{Step: "paste " + counted(len(ids), "feature"), Plan: p, Select: ids, Words: words}); err != nil {
		return err
	}
	b.session.Show(ids, nil)
	return nil
}

// geoJSON is the text of what is chosen for other programs.
func (b *Board) geoJSON() (string, error) {
	_, ids, err := b.chosen(1, chooseOne)
	if err != nil {
		return "", err
	}
	p := b.session.Committed().Clone()
	if p.Place == nil {
		return "", errors.New("other programs ask where it lies: give the place first (Plan menu)")
	}
	p.Features = slices.DeleteFunc(p.Features, func(f *plan.Feature) bool { return !slices.Contains(ids, f.ID) })
	text, err := plan.MarshalGeoJSON(p)
	return string(text), err
}
