package browser

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/app/panes"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry/length"
	"hedgereach/habitat"
)

// tell shows the chosen line in full.
func (b *Browser) tell() {
	b.tellTarget()
	b.showKey()
	b.full.Segments = b.facts()
	b.full.Refresh()
}

// facts is all that is known of the chosen line: what it comes to here, then the catalogue's facts with their sources.
func (b *Browser) facts() []widget.RichTextSegment {
	if b.chosen == nil {
		words := "Choose a plant to see what it feeds, when it flowers here, what to mind, and who says so. Drag it onto a habitat to plant it."
		if b.crops {
			words = "Choose a crop to see its pests and who holds them, its need for pollination and its spacing, and who says so. " +
				"Drag it onto a bed to plant it."
		}
		return []widget.RichTextSegment{styled(words, theme.ColorNamePlaceHolder, false)}
	}
	l, c := *b.chosen, b.session.Catalogue()
	out := []widget.RichTextSegment{&widget.TextSegment{Text: l.name(), Style: widget.RichTextStyleSubHeading},
		&widget.TextSegment{Text: l.scientific(), Style: widget.RichTextStyle{TextStyle: fyne.TextStyle{Italic: true},
			ColorName: theme.ColorNamePlaceHolder, SizeName: theme.SizeNameText}}} // in full ink it would be set in as a quotation is
	list, id := "crop", ""
	if l.plant != nil {
		list, id = "plant", l.plant.ID
		if text := b.bloomWords(l.plant); text != "" {
			out = append(out, plain(text))
		}
		for _, x := range c.CautionFor(id, habitat.RegionOf(b.session.Plan().Place)) {
			out = append(out, styled(x, theme.ColorNameWarning, false))
		}
	} else {
		id = l.crop.ID
	}
	if text := l.caution(); text != "" {
		out = append(out, styled("Caution: "+text+".", theme.ColorNameWarning, false))
	}
	if text := b.grows(l); text != "" {
		out = append(out, plain("In this plan: "+text+"."))
	}
	e := c.Entry(list, id)
	for _, g := range e.Groups {
		if g.Heading != "" {
			out = append(out, small(g.Heading, true))
		}
		var lines []string
		for _, f := range g.Facts {
			lines = append(lines, f.Label+": "+value(f, panes.System(b.session)))
		}
		out = append(out, plain(strings.Join(lines, "\n")))
		if from := origin(e, g.From); from != "" {
			out = append(out, small(from, false))
		}
	}
	if len(e.Sources) > 0 {
		out = append(out, small("Sources", true))
		for i, s := range e.Sources {
			text := fmt.Sprintf("%d  %s", i+1, s.Citation)
			if s.DOI != "" {
				text += " doi:" + s.DOI
			}
			out = append(out, plain(text))
		}
	}
	return out
}

// bloomWords says when a plant flowers here, and how that is known.
func (b *Browser) bloomWords(p *data.Plant) string {
	w, known := b.session.Assessment().BloomOf(p)
	switch {
	case !w.Given():
		return ""
	case known == habitat.BloomEstimated:
		return "In flower about " + w.Label() + ", estimated for this place."
	case known == habitat.BloomElsewhere:
		return "In flower " + w.Label() + " where it was noted, on another continent; not known here."
	case b.session.Plan().Place == nil:
		return "In flower " + w.Label() + " where it was noted. Give the plan a place (Plan, Place and season) to have it estimated there."
	}
	return "In flower " + w.Label() + "."
}

// grows says where a line grows in the plan, with its shares.
func (b *Browser) grows(l line) string {
	var out []string
	for _, f := range b.session.Committed().Features {
		for _, g := range f.Plants {
			if l.plant != nil && g.Plant == l.plant.ID {
				out = append(out, f.Title()+" "+fields.FormatShare(g.Share))
			}
		}
		for _, g := range f.Crops {
			if l.crop != nil && g.Crop == l.crop.ID {
				text := f.Title() + " " + fields.FormatShare(g.Share)
				if g.Dates != (season.Window{}) {
					text += ", " + g.Dates.Label()
				}
				out = append(out, text)
			}
		}
	}
	return strings.Join(out, "; ")
}

// need is a crop's need for pollination in a word or two: the class of Klein et al. 2007.
func need(c *data.Crop) string {
	switch c.Pollination {
	case "none", "not for harvest", "":
		return ""
	}
	return c.Pollination + " need of bees"
}

// value is a fact as the grower reads lengths: the catalogue writes them in metric units.
func value(f data.Fact, sys length.System) string {
	m := map[string]float64{"m": 1, "cm": 0.01}[f.Unit]
	if m == 0 || sys != length.US || f.Max == 0 {
		return f.Value
	}
	high := length.FormatRange(f.Max*m, sys)
	if f.Min == f.Max {
		return high
	}
	if f.Min == 0 {
		return "up to " + high
	}
	return length.FormatRange(f.Min*m, sys) + " to " + high
}

// origin says who says so, by the numbers in the list of sources, where in them, how far our copy was held against them, and how
// sure the trade is.
func origin(e *data.Entry, o data.Origin) string {
	var parts, numbers []string
	for i, s := range e.Sources {
		if slices.Contains(o.Sources, s.ID) {
			numbers = append(numbers, fmt.Sprint(i+1))
		}
	}
	switch len(numbers) {
	case 0:
	case 1:
		parts = append(parts, "Source "+numbers[0])
	default:
		parts = append(parts, "Sources "+strings.Join(numbers, ", "))
	}
	if o.Detail != "" {
		parts = append(parts, o.Detail)
	}
	if o.Checked != "" {
		text := "our copy: " + string(o.Checked)
		if o.Recall != "" {
			text += fmt.Sprintf(" (%s)", o.Recall)
		}
		parts = append(parts, text)
	}
	if o.Evidence != "" && o.Evidence != data.None {
		parts = append(parts, "evidence "+string(o.Evidence))
	}
	return strings.Join(parts, "; ")
}

func plain(text string) widget.RichTextSegment { return styled(text, theme.ColorNameForeground, false) }

func small(text string, bold bool) widget.RichTextSegment {
	s := styled(text, theme.ColorNamePlaceHolder, bold).(*widget.TextSegment)
	s.Style.SizeName = theme.SizeNameCaptionText
	return s
}

func styled(text string, colour fyne.ThemeColorName, bold bool) widget.RichTextSegment {
	return &widget.TextSegment{Text: text, Style: widget.RichTextStyle{ColorName: colour, SizeName: theme.SizeNameText,
		TextStyle: fyne.TextStyle{Bold: bold}}}
}
