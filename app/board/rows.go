package board

import (
	"errors"
	"fmt"
	"strconv"

	"hedgereach/app/arrange"
	"hedgereach/habitat/plan"
)

// What the forms for rows begin with: paths of 0.5 m between beds that one walks in, 1 m for a barrow (common practice, no
// source).
const (
	startRows  = 4
	startPath  = 0.5
	startCross = 1
)

// askBlock asks for a row or block of equal features of which the chosen one is the first.
func (b *Board) askBlock() (*Form, error) {
	fs, _, err := b.chosen(1, "choose one bed first: the row is made of it")
	if err != nil {
		return nil, err
	}
	first := fs[0]
	_, width, _, _, ok := arrange.Sides(first)
	if len(fs) > 1 || !ok {
		return nil, errors.New("choose one bed: the row is made of it")
	}
	return b.form("A row of "+first.Title(), []Field{
		{Label: "Side by side", Value: strconv.Itoa(startRows)},
		{Label: "Or fill", Hint: "a length across the beds"},
		{Label: "Path between", Value: b.metres(startPath)},
		{Label: "End to end", Value: "1"},
		{Label: "Path between ends", Value: b.metres(startCross)},
		{Label: "To the other side", Value: yesNo[1], Choices: yesNo},
		{Label: "With its crops", Value: yesNo[1], Choices: yesNo},
	}, func(a *answers) (Change, error) {
		var o arrange.Block
		fill := len(a.given) > 1 && a.given[1] != ""
		if fill {
			a.next()
			across := a.metres()
			o.PathM = a.metres()
			o.Rows = arrange.Fill(width, o.PathM, across)
		} else {
			o.Rows = a.whole(1, arrange.MostCopies)
			a.next()
			o.PathM = a.metres()
		}
		o.Columns, o.CrossM = a.whole(1, arrange.MostCopies), a.metres()
		o.Back, o.WithCrops = a.choice() == 0, a.choice() == 0
		if a.err != nil {
			return Change{}, a.err
		}
		p, ids, err := arrange.MakeBlock(b.session.Committed(), first.ID, o)
		return Change{Step: fmt.Sprintf("make a row of %d", len(ids)), Plan: p, Select: ids,
			Words: fmt.Sprintf("%d in all, %d new", len(ids), len(ids)-1)}, err
	}), nil
}

// askNew asks for new beds by their sizes. They come to the middle of what is seen, level, to be moved from there.
func (b *Board) askNew() (*Form, error) {
	return b.form("New beds", []Field{
		{Label: "Long", Value: b.metres(10)}, {Label: "Wide", Value: b.metres(arrange.DefaultWidth(plan.Bed))},
		{Label: "Side by side", Value: "1"}, {Label: "Path between", Value: b.metres(startPath)},
		{Label: "End to end", Value: "1"}, {Label: "Path between ends", Value: b.metres(startCross)},
	}, func(a *answers) (Change, error) {
		long, wide := a.metres(), a.metres()
		o := arrange.Block{Rows: a.whole(1, arrange.MostCopies), PathM: a.metres(), Columns: a.whole(1, arrange.MostCopies),
			CrossM: a.metres()}
		if a.err != nil {
			return Change{}, a.err
		}
		p, ids, err := arrange.NewBlock(b.session.Committed(), long, wide, o, b.view.Centre, b.seen())
		if err != nil {
			return Change{}, err
		}
		step := "make " + arrange.NextName(b.session.Committed(), plan.Bed)
		if len(ids) > 1 {
			step = "make " + counted(len(ids), "bed")
		}
		return Change{Step: step, Plan: p, Select: ids, Words: b.squareMetres(arrange.Ground(p, ids))}, nil
	}), nil
}

// askFill asks how the chosen ground is filled with beds.
func (b *Board) askFill() (*Form, error) {
	fs, ids, err := b.chosen(1, "choose the ground to fill, such as the boundary or one large bed")
	if err != nil {
		return nil, err
	}
	ways := []string{"along its long side", "across it"}
	ends := []string{"whole rectangles only", "cut to the outline"}
	return b.form("Fill "+fs[0].Title()+" with beds", []Field{
		{Label: "Beds wide", Value: b.metres(arrange.DefaultWidth(plan.Bed))}, {Label: "Path between", Value: b.metres(startPath)},
		{Label: "Margin all round", Value: b.metres(startCross)}, {Label: "Longest bed", Hint: "as long as the ground"},
		{Label: "Beds run", Value: ways[0], Choices: ways}, {Label: "Ends", Value: ends[0], Choices: ends},
	}, func(a *answers) (Change, error) {
		o := arrange.Filling{WidthM: a.metres(), PathM: a.metres(), MarginM: a.metres()}
		if a.empty() {
			a.next()
		} else if o.LongM = a.metres(); a.err == nil && o.LongM < o.WidthM {
			a.fail(errors.New("it is less than the width"))
		}
		o.Across, o.Whole = a.choice() == 1, a.choice() == 0
		if a.err != nil {
			return Change{}, a.err
		}
		p, made, err := arrange.FillArea(b.session.Committed(), ids[0], o)
		sum := 0.0
		if err == nil {
			sum = arrange.Ground(p, made)
		}
		beds := counted(len(made), "bed")
		return Change{Step: fmt.Sprintf("fill %s with %s", fs[0].Title(), beds), Plan: p, Select: made,
			Words: beds + ", " + b.squareMetres(sum)}, err
	}), nil
}

// counted is "1 bed" or "15 beds".
func counted(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}
