package board

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"hedgereach/app/skin"
)

// A renderer lays the board's pictures over each other. It holds no state: the toolkit throws renderers away.
type renderer struct {
	board *Board
	paper *canvas.Rectangle
}

// CreateRenderer is for the toolkit.
func (b *Board) CreateRenderer() fyne.WidgetRenderer {
	r := &renderer{board: b, paper: canvas.NewRectangle(skin.Palette().Ground)}
	r.Refresh()
	return r
}

var _ fyne.WidgetRenderer = (*renderer)(nil)

// Layout is done by the board, which knows the view.
func (r *renderer) Layout(s fyne.Size) { r.paper.Resize(s) }

// MinSize leaves room for the furniture.
func (r *renderer) MinSize() fyne.Size { return fyne.NewSize(furnitureWidth+40, furnitureHeight+60) }

// Refresh follows another theme.
func (r *renderer) Refresh() {
	b := r.board
	p := skin.Palette()
	r.paper.FillColor = p.Ground
	b.edit.focus.StrokeColor = p.Accent
	r.paper.Refresh()
	b.mark(viewDirt | baseDirt | shadeDirt)
}

// Objects are the pictures, the lowest first.
func (r *renderer) Objects() []fyne.CanvasObject {
	b := r.board
	return []fyne.CanvasObject{r.paper, b.far.raster, b.base.raster, b.shade.raster, b.edit.raster, b.furniture.raster, b.edit.focus}
}

// Destroy has nothing to end.
func (r *renderer) Destroy() {}
