package proposals

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/board"
	"hedgereach/app/fields"
	"hedgereach/geometry/length"
	"hedgereach/habitat"
	"hedgereach/habitat/suggest"
)

func mark(i int) string { return string(rune('A' + i)) }

// compare sets the answers side by side.
func (p *Pane) compare() {
	p.table.Objects = nil
	if n := len(p.results); n > 1 || n == 1 && p.results[0].mix == nil {
		line := func(cells ...fyne.CanvasObject) { p.table.Add(container.New(columns{}, cells...)) }
		cell := func(text string) fyne.CanvasObject {
			l := widget.NewLabel(text)
			l.SizeName = theme.SizeNameCaptionText
			l.Truncation = fyne.TextTruncateEllipsis
			return l
		}
		heads := []fyne.CanvasObject{cell("")}
		for i, r := range p.results {
			w := fields.NewWord(mark(i)+" · "+short(r.Title), "", func() { p.choose(i) })
			w.Small = true
			w.SetOn(i == p.shown)
			heads = append(heads, w)
		}
		line(heads...)
		row := func(name string, of func(r result) string) {
			cells := []fyne.CanvasObject{cell(name)}
			for _, r := range p.results {
				cells = append(cells, cell(of(r)))
			}
			line(cells...)
		}
		row("Beds come in", func(r result) string { return fmt.Sprintf("%d of %d", len(r.Beds), r.Out) })
		row("Ground taken", func(r result) string {
			if r.AreaM2+r.TakenM2 == 0 {
				return "none"
			}
			return length.FormatArea(r.AreaM2+r.TakenM2, p.units())
		})
		row("Strips", func(r result) string {
			if r.Patches == 0 {
				return "none"
			}
			return fmt.Sprintf("%d, %s", r.Patches, length.FormatRange(r.LengthM, p.units()))
		})
		row("The best?", func(r result) string {
			switch {
			case r.Proven:
				return "proven"
			case r.Gap > 0:
				return "within " + habitat.Percent(r.Gap)
			}
			return "best tried"
		})
	}
	p.table.Refresh()
}

// short is a title for the head of a column.
func short(title string) string {
	switch title {
	case "Turn a bed into habitat":
		return "Turn a bed"
	case "Fewest patches":
		return "Fewest"
	}
	return title
}

func (p *Pane) choose(i int) {
	p.shown = i
	p.say(p.results[i].Effect)
	p.compare()
	p.tell()
	p.ghost()
}

// tell says all of the answer that is shown.
func (p *Pane) tell() {
	var text []widget.RichTextSegment
	head := func(s string) {
		text = append(text, &widget.TextSegment{Text: s, Style: widget.RichTextStyleSubHeading})
	}
	say := func(s string) {
		text = append(text, &widget.TextSegment{Text: s, Style: widget.RichTextStyleParagraph})
	}
	label := func(s string) {
		text = append(text, &widget.TextSegment{Text: s, Style: widget.RichTextStyle{TextStyle: fyne.TextStyle{Bold: true}}})
	}
	if p.shown >= 0 {
		r := p.results[p.shown]
		title := r.Title
		if len(p.results) > 1 {
			title = mark(p.shown) + "  " + title
		}
		head(title)
		say(r.Effect + ".")
		if r.mix == nil {
			if n := len(r.For); n > 1 {
				label(fmt.Sprintf("For all %d guilds", n))
				var names []string
				for _, g := range r.For {
					names = append(names, habitat.InText(g.Name))
				}
				say(sentence(strings.Join(names, ", ")) + ".")
			}
			label("Why here")
			for i, c := range r.Changes {
				say(p.numbered(r, i) + c.Why)
			}
		} else {
			p.tellMix(r, say, label)
		}
		label("How good")
		say(r.How)
	}
	if p.shown >= 0 {
		p.accept.Show()
	} else {
		p.accept.Hide()
	}
	p.full.Segments = text
	p.full.Refresh()
}

func (p *Pane) numbered(r result, i int) string {
	if len(r.Changes) < 2 {
		return ""
	}
	return fmt.Sprintf("%s%d  ", mark(p.shown), i+1)
}

// tellMix lists plants, what flowers when, what each bound costs, and what to mind.
func (p *Pane) tellMix(r result, say, label func(string)) {
	m := r.mix
	label("New plants")
	for _, pl := range m.Plants {
		words := fmt.Sprintf("%s (%s), %s", pl.Name, pl.Scientific, pl.Form)
		if v, known := r.prices[pl.ID]; known {
			words += ", " + suggest.FormatPrice(v)
		}
		say(words)
	}
	label("Where")
	for _, c := range m.Changes {
		say(c.After.Title() + ": " + lower(c.Why))
	}
	label("In flower, before and with them")
	var parts []string
	for _, h := range m.InFlower {
		part := fmt.Sprintf("%s: %d, then %d", h.HalfMonth.Label(), h.Before, h.After)
		if h.Short {
			part += " (no more within the bounds)"
		}
		parts = append(parts, part)
	}
	say(strings.Join(parts, "\n"))
	if len(m.Unfed) > 0 {
		var names []string
		for _, g := range m.Unfed {
			names = append(names, habitat.InText(g.Name))
		}
		say("Fed by no plant within the bounds: " + strings.Join(names, ", ") + ".")
	}
	if len(m.WithoutEach) > 0 {
		label("What each bound costs")
		for _, b := range m.WithoutEach {
			say(m.Costs(b))
		}
	}
	if len(m.Cautions) > 0 {
		label("Cautions")
		say(strings.Join(m.Cautions, "\n"))
	}
}

// ghost shows on the ground what the answer shown would change, or the best so far.
func (p *Pane) ghost() {
	if p.Ghosts == nil {
		return
	}
	var q *suggest.Proposal
	letter := ""
	switch {
	case p.Hidden:
	case p.best != nil:
		q = p.best
	case p.shown >= 0 && p.results[p.shown].mix == nil:
		q, letter = p.results[p.shown].Proposal, mark(p.shown)
	}
	if q == nil {
		p.Ghosts(nil)
		return
	}
	var list []board.Ghost
	for i, c := range q.Changes {
		g := board.Ghost{Words: letter}
		if letter != "" && len(q.Changes) > 1 {
			g.Words = fmt.Sprintf("%s%d", letter, i+1)
		}
		if c.After != nil {
			g.Shape = c.After.Geometry
		} else {
			g.Shape = c.Before.Geometry
		}
		list = append(list, g)
	}
	p.Ghosts(list)
}
