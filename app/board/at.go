package board

import (
	"fyne.io/fyne/v2"

	"hedgereach/app/board/tool"
	"hedgereach/habitat/plan"
)

// At is the feature under a place of the window, by the rule by which a click picks one; nil where there is none or the place
// is not on the board.
func (b *Board) At(absolute fyne.Position) *plan.Feature {
	p := absolute.Subtract(fyne.CurrentApp().Driver().AbsolutePositionForObject(b))
	if p.X < 0 || p.Y < 0 || p.X >= b.size.Width || p.Y >= b.size.Height {
		return nil
	}
	return tool.Hit(b.session.Plan(), b.at(p), reachUnits/b.view.Scale)
}
