package strip

import (
	"image"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/raster"
	"hedgereach/app/skin"
	"hedgereach/app/style"
)

// newKey explains the curves of the chart, each by a piece of itself.
func newKey() fyne.CanvasObject {
	row := container.NewHBox()
	for _, k := range []struct {
		words string
		draw  func(l *drawing.List, look style.Look, w, h float64)
	}{
		{"ground in flower", func(l *drawing.List, look style.Look, w, h float64) {
			flower := look.Kind("perennial-strip").Sign
			l.Add(drawing.Fill{Path: drawing.Rect(0, h*0.35, w, h*0.8), Color: style.Fade(flower, 0.38)},
				drawing.Stroke{Path: drawing.Line(orb.Point{0, h * 0.35}, orb.Point{w, h * 0.35}), Pen: look.Pen(flower, style.Medium)})
		}},
		{"species", func(l *drawing.List, look style.Look, w, h float64) {
			speciesOps(l, look, []orb.Point{{0, h / 2}, {w, h / 2}}, orb.Point{w / 2, h / 2})
		}},
		{"enemies fed", func(l *drawing.List, look style.Look, w, h float64) {
			enemyOps(l, look, []orb.Point{{0, h / 2}, {w, h / 2}}, orb.Point{w / 2, h / 2})
		}},
	} {
		row.Add(newPiece(k.draw))
		t := widget.NewLabel(k.words)
		t.SizeName, t.Importance = theme.SizeNameCaptionText, widget.LowImportance
		row.Add(t)
	}
	return row
}

// A piece is a small picture in the colours of the face that is on.
type piece struct {
	widget.BaseWidget
	picture *canvas.Raster
}

func newPiece(draw func(l *drawing.List, look style.Look, w, h float64)) *piece {
	p := &piece{}
	p.ExtendBaseWidget(p)
	p.picture = canvas.NewRaster(func(w, h int) image.Image {
		img := image.NewRGBA(image.Rect(0, 0, max(w, 1), max(h, 1)))
		size := p.picture.Size()
		if w <= 0 || h <= 0 || size.Width <= 0 {
			return img
		}
		l := drawing.List{Width: float64(w), Height: float64(h)}
		draw(&l, style.Screen(skin.Palette(), float64(w)/float64(size.Width)), l.Width, l.Height)
		raster.Draw(img, l, 1, orb.Point{})
		return img
	})
	return p
}

// MinSize is that of a short run of a curve.
func (p *piece) MinSize() fyne.Size { return fyne.NewSize(26, 16) }

// CreateRenderer shows the picture in the middle of what room there is.
func (p *piece) CreateRenderer() fyne.WidgetRenderer { return &pieceRenderer{p} }

type pieceRenderer struct{ p *piece }

func (r *pieceRenderer) Layout(s fyne.Size) {
	r.p.picture.Resize(fyne.NewSize(s.Width, 16))
	r.p.picture.Move(fyne.NewPos(0, (s.Height-16)/2))
}
func (r *pieceRenderer) MinSize() fyne.Size           { return r.p.MinSize() }
func (r *pieceRenderer) Refresh()                     { canvas.Refresh(r.p.picture) }
func (r *pieceRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.p.picture} }
func (r *pieceRenderer) Destroy()                     {}
