package preview

import (
	"image"
	"image/color"
	"image/draw"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/raster"
	"hedgereach/app/recovery"
)

// margin is left about a page, in units.
const margin = 12

// mostPixels is how large a page is painted; beyond it the picture is stretched.
const mostPixels = 24e6

// A pageView is the page that is looked at, painted at the size at which it is seen. It hears the keys that turn pages.
type pageView struct {
	widget.BaseWidget
	preview *Preview
	back    *canvas.Rectangle
	image   *canvas.Image
	rim     *canvas.Rectangle

	painted paint // what the image holds
	asked   paint
	busy    bool
}

// A paint is a page at a size in pixels.
type paint struct {
	list *drawing.List
	w, h int
}

var _ fyne.Focusable = (*pageView)(nil)

func newPageView(p *Preview) *pageView {
	v := &pageView{preview: p, back: canvas.NewRectangle(color.Transparent), image: &canvas.Image{FillMode: canvas.ImageFillStretch},
		rim: canvas.NewRectangle(color.Transparent)}
	v.ExtendBaseWidget(v)
	return v
}

// page is how large the page is shown, in units.
func (v *pageView) page(room fyne.Size) fyne.Size {
	l := v.preview.sheet()
	if l == nil {
		return fyne.Size{}
	}
	w, h := float32(l.Width), float32(l.Height)
	var k float32
	switch v.preview.zoom.SelectedIndex() {
	case pageWidth:
		k = (room.Width - 2*margin) / w
	case trueSize:
		k = float32(v.preview.perMM)
	case twiceTrue:
		k = float32(2 * v.preview.perMM)
	default:
		k = min((room.Width-2*margin)/w, (room.Height-2*margin)/h)
	}
	return fyne.NewSize(max(1, w*k), max(1, h*k))
}

// MinSize is what the page takes, where it does not go by the room that there is.
func (v *pageView) MinSize() fyne.Size {
	if v.preview.scroll == nil || v.preview.zoom.SelectedIndex() <= wholePage || v.preview.sheet() == nil {
		return fyne.NewSize(80, 80)
	}
	size := v.page(v.preview.scroll.Size()).AddWidthHeight(2*margin, 2*margin)
	if v.preview.zoom.SelectedIndex() == pageWidth {
		size.Width = 80
	}
	return size
}

// resize lays the page out for another zoom or page.
func (v *pageView) resize() {
	if v.preview.scroll != nil {
		v.preview.scroll.Refresh()
	}
	v.Refresh()
}

// place puts the page in the middle of the room, and has it painted.
func (v *pageView) place(room fyne.Size) {
	v.back.Resize(room)
	size := v.page(v.preview.scroll.Size())
	if v.preview.sheet() == nil {
		v.image.Hide()
		v.rim.Hide()
		return
	}
	at := fyne.NewPos(max(margin, (room.Width-size.Width)/2), max(margin, (room.Height-size.Height)/2))
	for _, o := range []fyne.CanvasObject{v.image, v.rim} {
		o.Show()
		o.Move(at)
		o.Resize(size)
	}
	scale := float32(1)
	if c := fyne.CurrentApp().Driver().CanvasForObject(v); c != nil {
		scale = c.Scale()
	}
	w, h := float64(size.Width*scale), float64(size.Height*scale)
	if n := w * h; n > mostPixels {
		w, h = w*mostPixels/n, h*mostPixels/n
	}
	v.ask(paint{v.preview.sheet(), max(1, int(w+0.5)), max(1, int(h+0.5))})
}

// ask has a page painted; of several that are asked for meanwhile, the last.
func (v *pageView) ask(p paint) {
	if p == v.asked {
		return
	}
	v.asked = p
	if !v.busy {
		v.work()
	}
}

func (v *pageView) work() {
	p := v.asked
	v.busy = true
	v.preview.config.Go(func() {
		img := image.NewRGBA(image.Rect(0, 0, p.w, p.h))
		draw.Draw(img, img.Rect, image.White, image.Point{}, draw.Src)
		_ = recovery.Guard(func() { raster.Draw(img, *p.list, float64(p.w)/p.list.Width, orb.Point{}) }) // a page that stays white
		v.preview.config.Dispatch(func() {
			v.busy = false
			v.painted = p
			v.image.Image = img
			v.image.Refresh()
			if p != v.asked {
				v.work()
			}
		})
	})
}

// Tapped takes the keys.
func (v *pageView) Tapped(*fyne.PointEvent) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(v); c != nil {
		c.Focus(v)
	}
}

// FocusGained marks the page.
func (v *pageView) FocusGained() {
	v.rim.StrokeWidth, v.rim.StrokeColor = 2, theme.Color(theme.ColorNamePrimary)
	v.rim.Refresh()
}

// FocusLost takes the mark off.
func (v *pageView) FocusLost() {
	v.rim.StrokeWidth, v.rim.StrokeColor = 1, theme.Color(theme.ColorNameShadow)
	v.rim.Refresh()
}

// TypedRune means nothing here.
func (v *pageView) TypedRune(rune) {}

// TypedKey turns pages.
func (v *pageView) TypedKey(k *fyne.KeyEvent) {
	p := v.preview
	switch k.Name {
	case fyne.KeyPageDown, fyne.KeyRight, fyne.KeySpace:
		p.Turn(p.page + 1)
	case fyne.KeyPageUp, fyne.KeyLeft, fyne.KeyBackspace:
		p.Turn(p.page - 1)
	case fyne.KeyHome:
		p.Turn(0)
	case fyne.KeyEnd:
		p.Turn(1 << 20)
	case fyne.KeyDown:
		p.scroll.ScrollToOffset(p.scroll.Offset.AddXY(0, 60))
	case fyne.KeyUp:
		p.scroll.ScrollToOffset(p.scroll.Offset.SubtractXY(0, min(60, p.scroll.Offset.Y)))
	default:
		if f := fyne.CurrentApp().Driver().CanvasForObject(v); f != nil && f.OnTypedKey() != nil {
			f.OnTypedKey()(k) // Escape and the keys of the window
		}
	}
}

// CreateRenderer makes the view's parts.
func (v *pageView) CreateRenderer() fyne.WidgetRenderer {
	v.FocusLost()
	return &pageRenderer{v}
}

type pageRenderer struct{ view *pageView }

func (r *pageRenderer) Layout(size fyne.Size) { r.view.place(size) }
func (r *pageRenderer) MinSize() fyne.Size    { return r.view.MinSize() }
func (r *pageRenderer) Destroy()              {}
func (r *pageRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.view.back, r.view.image, r.view.rim}
}
func (r *pageRenderer) Refresh() {
	r.view.back.FillColor = theme.Color(theme.ColorNameInputBackground)
	r.view.back.Refresh()
	r.view.place(r.view.Size())
	r.view.image.Refresh()
	r.view.rim.Refresh()
}
