package fields

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// A Word is a word to press: a tool, a heading, a link. It has no frame; the one that is on is underlined in the accent. A
// key that does the same stands behind it, quieter.
type Word struct {
	widget.BaseWidget
	Text  string
	Key   string // shown after the text; may be empty
	On    bool
	Link  bool // drawn in the accent
	Right bool // text at the right edge
	Small bool
	Tap   func()

	hover, focused bool
}

// NewWord is a word that is not on.
func NewWord(text, key string, tap func()) *Word {
	w := &Word{Text: text, Key: key, Tap: tap}
	w.ExtendBaseWidget(w)
	return w
}

// NewLink is a word drawn as a link.
func NewLink(text string, tap func()) *Word {
	w := NewWord(text, "", tap)
	w.Link = true
	return w
}

// SetText changes the word.
func (w *Word) SetText(text string) {
	if w.Text != text {
		w.Text = text
		w.Refresh()
	}
}

// SetOn marks the word as the one in use.
func (w *Word) SetOn(on bool) {
	if w.On != on {
		w.On = on
		w.Refresh()
	}
}

// Tapped does the word's deed.
func (w *Word) Tapped(*fyne.PointEvent) {
	if w.Tap != nil {
		w.Tap()
	}
}

// TypedKey does it from the keyboard.
func (w *Word) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeySpace, fyne.KeyReturn, fyne.KeyEnter:
		w.Tapped(nil)
	default:
		PassKey(w, k)
	}
}

// TypedRune hands letters on; the space has done the word's deed by then.
func (w *Word) TypedRune(r rune) {
	if r != ' ' {
		PassRune(w, r)
	}
}

// FocusGained shows the focus ring.
func (w *Word) FocusGained() { w.focused = true; w.Refresh() }

// FocusLost takes the focus ring away.
func (w *Word) FocusLost() { w.focused = false; w.Refresh() }

// MouseIn is the pointer coming over the word.
func (w *Word) MouseIn(*desktop.MouseEvent) { w.hover = true; w.Refresh() }

// MouseMoved is part of following the pointer.
func (w *Word) MouseMoved(*desktop.MouseEvent) {}

// MouseOut is the pointer leaving.
func (w *Word) MouseOut() { w.hover = false; w.Refresh() }

// Cursor is a hand.
func (w *Word) Cursor() desktop.Cursor { return desktop.PointerCursor }

// CreateRenderer draws the word.
func (w *Word) CreateRenderer() fyne.WidgetRenderer {
	r := &wordRenderer{w: w, text: canvas.NewText("", color.Black), key: canvas.NewText("", color.Black),
		ground: canvas.NewRectangle(color.Transparent), line: canvas.NewRectangle(color.Transparent)}
	r.ground.CornerRadius = 3
	r.look()
	return r
}

type wordRenderer struct {
	w            *Word
	text, key    *canvas.Text
	ground, line *canvas.Rectangle
}

const (
	wordSide = 7
	wordTop  = 4
	keyGap   = 5
)

// look sets words and colours from the state.
func (r *wordRenderer) look() {
	w := r.w
	r.text.Text, r.key.Text = w.Text, w.Key
	r.text.TextSize = theme.TextSize()
	if w.Small {
		r.text.TextSize = theme.CaptionTextSize()
	}
	r.key.TextSize = theme.CaptionTextSize()
	r.text.TextStyle.Bold = w.On
	r.text.Color = theme.Color(theme.ColorNameForeground)
	if w.Link {
		r.text.Color = theme.Color(theme.ColorNameHyperlink)
	}
	r.key.Color = theme.Color(theme.ColorNamePlaceHolder)
	r.ground.FillColor = color.Transparent
	if w.hover {
		r.ground.FillColor = theme.Color(theme.ColorNameHover)
	}
	r.ground.StrokeWidth, r.ground.StrokeColor = 0, color.Transparent
	if w.focused {
		r.ground.StrokeWidth, r.ground.StrokeColor = 1.5, theme.Color(theme.ColorNamePrimary)
	}
	r.line.FillColor = color.Transparent
	if w.On {
		r.line.FillColor = theme.Color(theme.ColorNamePrimary)
	}
}

func (r *wordRenderer) MinSize() fyne.Size {
	t := r.text.MinSize()
	// A word that is on is bold, which is wider: leave room, so that the row does not jump.
	t.Width = fyne.MeasureText(r.w.Text, r.text.TextSize, fyne.TextStyle{Bold: true}).Width
	if r.w.Key != "" {
		t.Width += keyGap + r.key.MinSize().Width
	}
	return fyne.NewSize(t.Width+2*wordSide, t.Height+2*wordTop)
}

func (r *wordRenderer) Layout(size fyne.Size) {
	r.ground.Resize(size)
	t := r.text.MinSize()
	x, y := float32(wordSide), (size.Height-t.Height)/2
	if r.w.Right {
		x = size.Width - wordSide - t.Width
	}
	r.text.Move(fyne.NewPos(x, y))
	r.text.Resize(t)
	k := r.key.MinSize()
	r.key.Move(fyne.NewPos(x+t.Width+keyGap, y+t.Height-k.Height-1))
	r.key.Resize(k)
	r.line.Move(fyne.NewPos(x, size.Height-2))
	r.line.Resize(fyne.NewSize(t.Width, 2))
}

func (r *wordRenderer) Refresh() {
	r.look()
	r.Layout(r.w.Size())
	for _, o := range r.Objects() {
		canvas.Refresh(o)
	}
}

func (r *wordRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.ground, r.line, r.text, r.key}
}

func (r *wordRenderer) Destroy() {}

var (
	_ fyne.Tappable      = (*Word)(nil)
	_ fyne.Focusable     = (*Word)(nil)
	_ desktop.Hoverable  = (*Word)(nil)
	_ desktop.Cursorable = (*Word)(nil)
)
