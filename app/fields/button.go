package fields

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// A Button is the toolkit's button that Enter presses too, and that hands on what means nothing to it.
type Button struct{ widget.Button }

// NewButton is a button with a word.
func NewButton(text string, tap func()) *Button {
	b := &Button{}
	b.Text, b.OnTapped = text, tap
	b.ExtendBaseWidget(b)
	return b
}

// TypedKey hears a key.
func (b *Button) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeyReturn, fyne.KeyEnter:
		b.Button.TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	case fyne.KeySpace:
		b.Button.TypedKey(k)
	default:
		PassKey(b, k)
	}
}

// TypedRune hands letters on.
func (b *Button) TypedRune(r rune) {
	if r != ' ' {
		PassRune(b, r)
	}
}
