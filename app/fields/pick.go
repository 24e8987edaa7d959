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
	default:
		p.Select.TypedKey(k)
	}
}
