package browser

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/arrange"
	"hedgereach/app/fields"
	"hedgereach/app/session"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// takes tells whether a feature can grow a line: plants grow in habitats, crops in beds and trap crops, and where others of
// them grow already.
func (l line) takes(f *plan.Feature) bool {
	if f == nil {
		return false
	}
	if l.plant != nil {
		return f.IsHabitat() || len(f.Plants) > 0
	}
	return f.Kind == plan.Bed || f.Kind == plan.TrapCrop || len(f.Crops) > 0
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
	b.tellLeft(target)
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
	share, sum, gaveWay, err := b.commit(l, f)
	if err != nil {
		b.reject(err)
		return
	}
	text := fmt.Sprintf("%s now grows on %s of %s.", l.name(), fields.FormatShare(share), f.Title())
	if gaveWay {
		text += " The others gave way in proportion: change the shares under Feature."
	} else if sum > 1+1e-9 {
		text += fmt.Sprintf(" The shares there come to %s: change them under Feature.", fields.FormatShare(sum))
	}
	b.share.SetText("") // the next takes what is left, too
	b.say(text)
	b.tellTarget()
}

// commit answers the share that a line was given, what the shares come to that stand at the same time, and whether the others
// gave way to a plant because nothing was left.
func (b *Browser) commit(l line, f *plan.Feature) (share, sum float64, gaveWay bool, err error) {
	var dates season.Window
	if l.crop != nil {
		if dates, err = b.typedDates(l.crop); err != nil {
			return 0, 0, false, err
		}
	}
	taken := l.taken(b.session.Committed(), f, dates)
	share = arrange.RoomLeft(taken)
	if strings.TrimSpace(b.share.Text) != "" {
		if share, err = fields.ParseShare(b.share.Text); err != nil {
			return 0, 0, false, err
		}
	} else if share == 0 && l.crop != nil {
		return 0, 0, false, fmt.Errorf("%s is full: type a share for %s, then lessen the others under Feature", f.Title(), l.name())
	}
	err = change(b.session, f.ID, "plant "+l.name()+" in", func(f *plan.Feature) error {
		if l.crop != nil {
			f.Crops = append(f.Crops, plan.Planting{Crop: l.crop.ID, Dates: dates, Share: share})
			return nil
		}
		if slices.ContainsFunc(f.Plants, func(g plan.Growing) bool { return g.Plant == l.plant.ID }) {
			return fmt.Errorf("%s grows in %s already: change its share under Feature", l.name(), f.Title())
		}
		if share == 0 {
			share, gaveWay = arrange.JoinPlant(f, l.plant.ID)
			return nil
		}
		f.Plants = append(f.Plants, plan.Growing{Plant: l.plant.ID, Share: share})
		return nil
	})
	return share, taken + share, gaveWay, err
}

// taken is the sum of the shares of what grows in a feature; of crops, of those that stand on a day of the dates. Crops without
// dates stand all year.
func (l line) taken(p *plan.Plan, f *plan.Feature, dates season.Window) (sum float64) {
	if l.plant != nil {
		for _, g := range f.Plants {
			sum += g.Share
		}
		return sum
	}
	for _, c := range f.Crops {
		stands := p.Days(c.Dates)
		if !dates.Given() || !stands.Given() || dates.Contains(stands.From) || stands.Contains(dates.From) {
			sum += c.Share
		}
	}
	return sum
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

// typedDates are the dates of a crop: none, both, or with the first alone until the latest harvest that the catalogue gives.
func (b *Browser) typedDates(x *data.Crop) (w season.Window, err error) {
	if w.From, err = fields.ParseDay(b.from.Text); err != nil {
		return w, err
	}
	if w.To, err = fields.ParseDay(b.until.Text); err != nil {
		return w, err
	}
	if w.From != 0 && w.To == 0 {
		w.To = harvest(w.From, x)
	}
	if (w.From == 0) != (w.To == 0) {
		return w, fmt.Errorf("one date alone says nothing: give the day from which the crop stands and the day until which, or neither")
	}
	return w, nil
}

// harvest is the last day of a crop that is sown or set out on a day, by the longest of the catalogue's times to harvest; 0 where
// that is not known, or takes most of a year.
func harvest(from season.Day, x *data.Crop) season.Day {
	if from == 0 || x.DaysMax == 0 || x.DaysMax >= 300 {
		return 0
	}
	return from.Add(x.DaysMax)
}

// tellLeft shows in the empty fields what would be taken for them.
func (b *Browser) tellLeft(target *plan.Feature) {
	share, until := "share", "until"
	var dates season.Window
	if b.chosen != nil && b.chosen.crop != nil {
		if w, err := b.typedDates(b.chosen.crop); err == nil && w.Given() {
			dates, until = w, "until "+w.To.Label()
		}
	}
	if target != nil {
		room := arrange.RoomLeft(b.chosen.taken(b.session.Committed(), target, dates))
		if b.chosen.plant != nil && room == 0 { // the others would give way
			f := *target
			room, _ = arrange.JoinPlant(&f, b.chosen.plant.ID)
		}
		share = fields.FormatShare(room)
	}
	if b.share.PlaceHolder != share {
		b.share.SetPlaceHolder(share)
	}
	if b.until.PlaceHolder != until {
		b.until.SetPlaceHolder(until)
	}
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
		if i := slices.Index(b.shown, *l); i >= 0 {
			b.list.Select(i) // so that what is told of it says where it grows
		}
		b.plantIn(*l, f)
	}
}
