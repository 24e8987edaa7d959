package fields

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// A Page is something long to read that the keys scroll: arrows, Page Up and Page Down, Home and End. A frame shows that it has
// the keys.
type Page struct {
	widget.BaseWidget
	scroll *container.Scroll
	frame  *canvas.Rectangle
}

// NewPage is a page of a text.
func NewPage(text fyne.CanvasObject) *Page {
	p := &Page{scroll: container.NewVScroll(text), frame: canvas.NewRectangle(nil)}
	p.frame.StrokeWidth = 1.5
	p.frame.Hide()
	p.ExtendBaseWidget(p)
	return p
}

// CreateRenderer lays the frame over the text.
func (p *Page) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(container.NewStack(p.scroll, p.frame))
}

// lineStep is how far an arrow scrolls, in the toolkit's units.
const lineStep = 36

// TypedKey scrolls, and hands on the rest.
func (p *Page) TypedKey(k *fyne.KeyEvent) {
	page := p.scroll.Size().Height - lineStep
	switch k.Name {
	case fyne.KeyUp:
		p.by(-lineStep)
	case fyne.KeyDown:
		p.by(lineStep)
	case fyne.KeyPageUp:
		p.by(-page)
	case fyne.KeyPageDown, fyne.KeySpace:
		p.by(page)
	case fyne.KeyHome:
		p.scroll.ScrollToTop()
	case fyne.KeyEnd:
		p.scroll.ScrollToBottom()
	default:
		PassKey(p, k)
	}
}

func (p *Page) by(dy float32) {
	most := max(0, p.scroll.Content.MinSize().Height-p.scroll.Size().Height)
	p.scroll.ScrollToOffset(fyne.NewPos(0, min(most, max(0, p.scroll.Offset.Y+dy))))
}

// Top scrolls to the beginning.
func (p *Page) Top() { p.scroll.ScrollToTop() }

// TypedRune means nothing to a page.
func (p *Page) TypedRune(rune) {}

// FocusGained shows the frame.
func (p *Page) FocusGained() {
	p.frame.StrokeColor = theme.Color(theme.ColorNamePrimary)
	p.frame.Show()
}

// FocusLost takes it away.
func (p *Page) FocusLost() { p.frame.Hide() }

var _ fyne.Focusable = (*Page)(nil)
