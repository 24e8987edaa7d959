package browser

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/app/session"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// takes tells whether a feature can grow a line: plants grow in habitats, crops in beds.
func (l line) takes(f *plan.Feature) bool {
	if f == nil {
		return false
	}
	if l.plant != nil {
		return f.IsHabitat()
	}
	return f.Kind == plan.Bed
}

// where is what a line can be planted in, in words.
func (l line) where() string {
	if l.plant != nil {
		return "habitat"
	}
	return "bed"
}

// target is the one feature that is selected, where the chosen line can grow in it; else nil.
func (b *Browser) target() *plan.Feature {
	ids := b.session.Selection()
	if b.chosen == nil || len(ids) != 1 {
		return nil
	}
	if f, _ := b.session.Committed().Find(ids[0]); b.chosen.takes(f) {
		return f
	}
	return nil
}

// tellTarget says on the button what it would do.
func (b *Browser) tellTarget() {
	target := b.target()
	text := "Choose a plant"
	switch {
	case target != nil:
		text = "Add to " + target.Title()
	case b.chosen != nil:
		text = "Choose a " + b.chosen.where() + " on the ground to add it to"
	case b.crops:
		text = "Choose a crop"
	}
	if text != b.add.Text {
		b.add.SetText(text)
	}
	if target == nil {
		b.add.Disable()
	} else {
		b.add.Enable()
	}
}

// plant adds the chosen line to the selected feature.
func (b *Browser) plant() {
	if b.chosen == nil {
		return
	}
	target := b.target()
	if target == nil {
		b.reject(fmt.Errorf("choose the %s on the ground that %s is to grow in", b.chosen.where(), b.chosen.name()))
		return
	}
	b.plantIn(*b.chosen, target)
}

// plantIn adds a line to a feature with the share and the dates that are typed, as one step of the history.
func (b *Browser) plantIn(l line, f *plan.Feature) {
	sum, err := b.commit(l, f)
	if err != nil {
		b.reject(err)
		return
	}
	text := fmt.Sprintf("%s now grows in %s.", l.name(), f.Title())
	if sum > 1+1e-9 {
		text += fmt.Sprintf(" The shares there add up to %s: change them under Feature.", fields.FormatShare(sum))
	}
	b.say(text)
}

// commit answers what the shares of a habitat's plants add up to; 0 for a bed, whose crops may follow one another.
func (b *Browser) commit(l line, f *plan.Feature) (sum float64, err error) {
	share, err := fields.ParseShare(b.share.Text)
	if err != nil {
		return 0, err
	}
	if l.crop != nil {
		dates, err := b.typedDates()
		if err != nil {
			return 0, err
		}
		return 0, change(b.session, f.ID, "plant "+l.name()+" in", func(f *plan.Feature) error {
			f.Crops = append(f.Crops, plan.Planting{Crop: l.crop.ID, Dates: dates, Share: share})
			return nil
		})
	}
	err = change(b.session, f.ID, "plant "+l.name()+" in", func(f *plan.Feature) error {
		for _, g := range f.Plants {
			if g.Plant == l.plant.ID {
				return fmt.Errorf("%s grows in %s already: change its share under Feature", l.name(), f.Title())
			}
			sum += g.Share
		}
		f.Plants = append(f.Plants, plan.Growing{Plant: l.plant.ID, Share: share})
		return nil
	})
	return sum + share, err
}

// change makes a change of one feature a step of the history.
func change(s *session.Session, id, name string, do func(*plan.Feature) error) error {
	p := s.Committed()
	f, i := p.Find(id)
	if f == nil {
		return fmt.Errorf("it is no longer in the plan: choose another place for it")
	}
	c := f.Clone()
	if err := do(c); err != nil {
		return err
	}
	q := p.Clone()
	q.Features[i] = c
	return s.Commit(name+" "+f.Title(), q)
}

// typedDates are the dates of a crop: none, or both.
func (b *Browser) typedDates() (w season.Window, err error) {
	if w.From, err = fields.ParseDay(b.from.Text); err != nil {
		return w, err
	}
	if w.To, err = fields.ParseDay(b.until.Text); err != nil {
		return w, err
	}
	if (w.From == 0) != (w.To == 0) {
		return w, fmt.Errorf("one date alone says nothing: give the day from which the crop stands and the day until which, or neither")
	}
	return w, nil
}

// drag shows a line under the pointer, and says what letting it go there would do.
func (b *Browser) drag(l line, at fyne.Position) {
	if b.At == nil {
		return
	}
	if b.carried == nil {
		b.carried = &l
		b.raise(l.name())
	}
	b.over = b.At(at)
	switch {
	case b.carried.takes(b.over):
		b.say(fmt.Sprintf("Let go to plant %s in %s.", b.carried.name(), b.over.Title()))
	case b.over != nil:
		b.say(fmt.Sprintf("%s is no %s: let go over a %s to plant %s.", b.over.Title(), b.carried.where(), b.carried.where(), b.carried.name()))
	default:
		b.say(fmt.Sprintf("Let go over a %s to plant %s.", b.carried.where(), b.carried.name()))
	}
	if b.ghost != nil {
		b.ghost.Move(at.AddXY(10, 6))
	}
}

// raise makes the name that goes with the pointer.
func (b *Browser) raise(name string) {
	c := fyne.CurrentApp().Driver().CanvasForObject(b)
	if c == nil {
		return
	}
	ground := canvas.NewRectangle(theme.Color(theme.ColorNameMenuBackground))
	ground.StrokeColor, ground.StrokeWidth, ground.CornerRadius = theme.Color(theme.ColorNamePrimary), 1, 3
	b.ghost = container.NewStack(ground, widget.NewLabel(name))
	b.ghost.Resize(b.ghost.MinSize())
	c.Overlays().Add(b.ghost)
}

// drop plants what was dragged where it was let go; anywhere but on the ground nothing happens.
func (b *Browser) drop() {
	l, f := b.carried, b.over
	b.carried, b.over = nil, nil
	if b.ghost != nil {
		if c := fyne.CurrentApp().Driver().CanvasForObject(b); c != nil {
			c.Overlays().Remove(b.ghost)
		}
		b.ghost = nil
	}
	switch {
	case l == nil:
	case f == nil:
		b.say("")
	case !l.takes(f):
		b.reject(fmt.Errorf("%s is no %s: %s was not planted", f.Title(), l.where(), strings.ToLower(l.name())))
	default:
		b.session.Select(f.ID)
		b.plantIn(*l, f)
	}
}
