package panes

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// buildPests lists the pests of a bed's crops, each with its time and whether its enemies can be there then, in a line of the
// season's own words. It is worked out a moment after an edit.
func (f *Feature) buildPests(id string) {
	lines := container.NewVBox()
	f.add(section("Pests, and who comes to meet them"), lines)
	shown := ""
	f.loads = append(f.loads, func(*plan.Feature) {
		season := f.session.Season()
		if season == nil {
			return
		}
		var all []string
		var rows []fyne.CanvasObject
		for _, b := range season.Beds {
			if b.Bed.Feature.ID != id {
				continue
			}
			for _, v := range b.Verdicts {
				line := v.Line()
				all = append(all, line)
				chip := NewChip()
				if v.Standing == habitat.CoverKeepsOut {
					chip.SetCovered()
				} else {
					chip.SetStatus(statusOf(v.Standing))
				}
				text := widget.NewLabel(line)
				text.Wrapping = fyne.TextWrapWord
				top := (widget.NewLabel("A").MinSize().Height - chip.MinSize().Height) / 2 // on a level with the first line
				rows = append(rows, container.NewBorder(nil, nil,
					container.New(layout.NewCustomPaddedLayout(max(0, top), 0, 0, 0), container.NewVBox(chip)), nil, text))
			}
		}
		if len(rows) == 0 {
			rows = append(rows, hint("None are listed for what grows here."))
		}
		if key := fmt.Sprint(strings.Join(all, "\n")); key != shown || len(lines.Objects) == 0 {
			shown = key
			lines.Objects = rows
			lines.Refresh()
		}
	})
}

// statusOf shows a standing by the mark of the reach that it is like.
func statusOf(s habitat.Standing) habitat.Status {
	switch s {
	case habitat.EnemiesReady:
		return habitat.Within
	case habitat.EnemiesPartly:
		return habitat.Partly
	case habitat.EnemiesMissing:
		return habitat.Beyond
	}
	return habitat.Unknown
}
