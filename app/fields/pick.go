package fields

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// A Pick is one of a few words, in a form. Space opens them, arrows go through them, Enter and Escape do in it what they do in
// the form's lines of text: the toolkit's own would swallow both.
type Pick struct {
	widget.Select
	OnSubmitted func()
	Leave       func()
}

// NewPick is a choice among words of which one is chosen.
func NewPick(words []string, chosen string) *Pick {
	p := &Pick{}
	p.Options, p.Selected = words, chosen
	p.ExtendBaseWidget(p)
	return p
}

// TypedKey hears a key.
func (p *Pick) TypedKey(k *fyne.KeyEvent) {
	switch {
	case (k.Name == fyne.KeyReturn || k.Name == fyne.KeyEnter) && p.OnSubmitted != nil:
		p.OnSubmitted()
	case k.Name == fyne.KeyEscape && p.Leave != nil:
		p.Leave()
	case k.Name == fyne.KeyEscape, k.Name == fyne.KeyF1:
		PassKey(p, k)
	default:
		p.Select.TypedKey(k)
	}
}

// TypedRune hands letters on: in a form none means anything, so the keys of the tools would only lead away from it.
func (p *Pick) TypedRune(r rune) {
	if r != ' ' && p.Leave == nil {
		PassRune(p, r)
	}
}
