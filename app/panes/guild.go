package panes

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"hedgereach/data"
	"hedgereach/geometry/length"
)

// AboutGuild says what is known of a guild's range: the band, how sure the trade is, where the numbers come from and where
// sources disagree; then what the guild eats and what a grower can provide.
func AboutGuild(c *data.Catalogue, g *data.Guild, sys length.System) fyne.CanvasObject {
	t := widget.NewRichText(guildWords(c, g, sys)...)
	t.Wrapping = fyne.TextWrapWord
	return container.NewVScroll(t)
}

func guildWords(c *data.Catalogue, g *data.Guild, sys length.System) []widget.RichTextSegment {
	out := []widget.RichTextSegment{
		&widget.TextSegment{Text: g.Name, Style: widget.RichTextStyleSubHeading},
		plain(RangeWords(g, sys)),
	}
	add := func(head, text string) {
		if strings.TrimSpace(text) != "" {
			out = append(out, label(head), plain(spelled(c, text)))
		}
	}
	add("Such as", g.Examples)
	add("How sure", sure(g.Origin))
	add("To mind", g.Note)
	add("Where sources disagree", g.Disagrees)
	add("Source of the range", Citations(c, g.Origin))
	var studies []string
	for _, s := range c.StudiesOf(g.ID) {
		line := strings.TrimSuffix(s.About, ".") + ": " + strings.TrimSuffix(s.Finding, ".")
		if cite := shortCite(c, s.From); cite != "" {
			line += " (" + cite + ")"
		}
		studies = append(studies, line+".")
	}
	add("What the studies found", strings.Join(studies, "\n"))
	add("Eats", g.Eats)
	add("Other food", g.OtherFood)
	add("What you can provide", g.Provide)
	add("Source of food and shelter", Citations(c, g.BiologyFrom))
	return out
}

// RangeWords says how far a guild works from refuge, as a band where sources give one.
func RangeWords(g *data.Guild, sys length.System) string {
	switch {
	case g.Travel == data.Drifts:
		return "Drifts on the wind: the distance from refuge does not limit it in a garden, so nothing is computed for it."
	case !g.HasRange():
		return "No distance from refuge has been published that could be relied on, so nothing is computed for it."
	}
	w := fmt.Sprintf("Usually works up to %s from refuge", length.FormatRange(g.TypicalM, sys))
	if g.LowM > 0 && g.OuterM > g.LowM {
		w += fmt.Sprintf("; published distances run from %s to %s", length.FormatRange(g.LowM, sys), length.FormatRange(g.OuterM, sys))
	}
	return w + "."
}

// RangeBrief is the band in a few words, for a list: "60 m (20–180 m)".
func RangeBrief(g *data.Guild, sys length.System) string {
	switch {
	case g.Travel == data.Drifts:
		return "drifts on the wind, not limited by distance"
	case !g.HasRange():
		return "no published distance"
	case g.LowM > 0 && g.OuterM > g.LowM:
		return fmt.Sprintf("%s (%s)", length.FormatRange(g.TypicalM, sys), span(g.LowM, g.OuterM, sys))
	}
	return length.FormatRange(g.TypicalM, sys)
}

func sure(o data.Origin) string {
	var parts []string
	switch o.Evidence {
	case data.Contested:
		parts = append(parts, "Contested: sources disagree.")
	case data.None, "":
	default:
		parts = append(parts, fmt.Sprintf("The evidence is %s.", o.Evidence))
	}
	if o.Checked != "" {
		parts = append(parts, fmt.Sprintf("Our copy: %s.", o.Checked))
	}
	return strings.Join(parts, " ")
}

// Citations names the sources of a fact, one a line, with the place in them.
func Citations(c *data.Catalogue, o data.Origin) string {
	var lines []string
	for _, id := range o.Sources {
		if s := c.Source(id); s != nil {
			line := s.Citation
			if s.DOI != "" {
				line += " doi:" + s.DOI
			}
			lines = append(lines, line)
		}
	}
	if o.Detail != "" {
		lines = append(lines, o.Detail)
	}
	if len(lines) == 0 && o.Checked == data.Practice {
		lines = append(lines, "Common practice, no source.")
	}
	return strings.Join(lines, "\n")
}
