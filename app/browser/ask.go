package browser

import (
	"fmt"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/app/panes"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry/length"
	"hedgereach/habitat"
)

// A form is what is asked of the plants or of the crops.
type form struct {
	box     *fyne.Container
	more    *fyne.Container // folded away until it is asked for
	fold    *fields.Word
	search  *fields.Entry
	guild   *widget.Select
	guilds  []asking // in the order of the choices after the first
	pest    *widget.Select
	pests   []string
	native  *fields.Entry
	under   *fields.Entry // height of a plant, spacing in the row of a crop
	underM  float64
	zone    *fields.Entry
	inZone  data.Zone
	within  *fields.Entry // days to harvest
	days    int
	flowers *widget.Select
	order   *widget.Select
	hardy   *widget.Check
	checks  []*widget.Check
	sets    []func(*asked) // what each check that is ticked asks
	changed func()
}

// An asking is a guild that is asked about, and whether its shelter is.
type asking struct {
	guild    string // id
	shelters bool
}

// The choices of the time of flowering: these, then each half-month.
const (
	anyTime = iota
	asOnStrip
	halfMonths
)

// newForm has what both forms have.
func newForm(hint string, changed func()) *form {
	f := &form{changed: changed, search: fields.NewEntry(nil)}
	f.search.SetPlaceHolder(hint)
	f.search.OnChanged = func(string) { changed() }
	f.fold = fields.NewWord("More to ask", "", func() { f.unfold(f.more.Hidden) })
	f.fold.Small = true
	return f
}

// first is the search, and the order beside it.
func (f *form) first() fyne.CanvasObject {
	order := container.NewGridWrap(fyne.NewSize(150, f.order.MinSize().Height), f.order)
	return container.NewBorder(nil, nil, nil, order, f.search)
}

func (f *form) check(words string, set func(*asked)) *widget.Check {
	c := widget.NewCheck(words, func(bool) { f.changed() })
	f.checks, f.sets = append(f.checks, c), append(f.sets, set)
	return c
}

func (f *form) choice(words []string) *widget.Select {
	s := widget.NewSelect(words, nil)
	s.SetSelectedIndex(0)
	s.OnChanged = func(string) { f.changed() }
	return s
}

// line is a field whose text is read when it is left; an empty one asks nothing.
func (b *Browser) line(prompt string, read func(text string) error) *fields.Entry {
	e := fields.NewEntry(func(text string) error {
		err := read(strings.TrimSpace(text))
		if err == nil {
			b.update()
		}
		return err
	})
	e.SetPlaceHolder(prompt)
	e.Complain = b.reject
	return e
}

// lengthLine reads a length into m; 0 for an empty one.
func (b *Browser) lengthLine(prompt string, m *float64, bare length.System) *fields.Entry {
	return b.line(prompt, func(text string) (err error) {
		v := 0.0
		if text != "" {
			if v, err = length.Parse(text, bare); err != nil {
				return err
			}
		}
		*m = v
		return nil
	})
}

// newPlantForm asks of plants.
func (b *Browser) newPlantForm() *form {
	f := newForm("Search", b.update)
	c := b.session.Catalogue()
	words := []string{"Feeds or shelters anyone"}
	for _, g := range c.Guilds {
		if len(c.FeedersOf(g.ID)) > 0 {
			words, f.guilds = append(words, "Feeds "+habitat.InText(g.Name)), append(f.guilds, asking{g.ID, false})
		}
	}
	for _, g := range c.Guilds {
		if len(c.SheltersOf(g.ID)) > 0 {
			words, f.guilds = append(words, "Shelters "+habitat.InText(g.Name)), append(f.guilds, asking{g.ID, true})
		}
	}
	f.guild = f.choice(words)
	words = []string{"Flowers at any time", ""}
	for h := range season.HalfMonth(season.HalfMonths) {
		words = append(words, "In flower "+h.Label())
	}
	f.flowers = f.choice(words)
	f.order = f.choice([]string{"By name", "By first bloom", "By height"})
	f.native = fields.NewEntry(nil)
	f.native.SetPlaceHolder("Native to")
	f.native.OnChanged = func(string) { f.changed() }
	f.under = b.lengthLine("Height up to", &f.underM, panes.System(b.session))
	f.zone = b.line("Zone, such as 5a", func(text string) (err error) {
		z := data.Zone(0)
		if text != "" {
			if z, err = data.ParseZone(text); err != nil {
				return err
			}
		}
		f.inZone = z
		return nil
	})
	f.hardy = f.check("Hardy here", func(q *asked) { q.hardy = true })
	f.more = container.NewVBox(container.NewGridWithColumns(3, f.native, f.under, f.zone), container.New(tight{},
		f.hardy, f.check("Not poisonous to people", func(q *asked) { q.people = true }),
		f.check("Not invasive here", func(q *asked) { q.welcome = true }),
		f.check("Not poisonous to stock", func(q *asked) { q.stock = true }),
		f.check("Carries no caution", func(q *asked) { q.safe = true }),
		f.check("Not irritant to skin", func(q *asked) { q.skin = true })))
	f.box = container.NewVBox(f.first(), container.NewGridWithColumns(2, f.guild, f.flowers), f.more)
	f.unfold(false)
	return f
}

// newCropForm asks of crops.
func (b *Browser) newCropForm() *form {
	f := newForm("Search", b.update)
	c := b.session.Catalogue()
	words := []string{"Any pest"}
	for _, p := range c.Pests {
		words, f.pests = append(words, "Harmed by "+p.Name), append(f.pests, p.ID)
	}
	f.pest = f.choice(words)
	words = []string{"Pests held by anyone"}
	for _, g := range c.Guilds {
		if len(c.PestsHeldBy(g.ID)) > 0 {
			words, f.guilds = append(words, "Pests held by "+habitat.InText(g.Name)), append(f.guilds, asking{g.ID, false})
		}
	}
	f.guild = f.choice(words)
	f.order = f.choice([]string{"By name", "By first harvest", "By spacing", "By family"})
	f.under = b.lengthLine("Spacing in the row up to", &f.underM, panes.System(b.session))
	f.within = b.line("Days to harvest up to", func(text string) (err error) {
		n := 0
		if text != "" {
			if n, err = strconv.Atoi(text); err != nil || n < 1 {
				return fmt.Errorf("%q is not a number of days: write a whole number like 60", text)
			}
		}
		f.days = n
		return nil
	})
	f.more = container.NewVBox(container.NewGridWithColumns(2, f.under, f.within),
		container.New(tight{}, f.check("Needs pollination by animals", func(q *asked) { q.needsBees = true })))
	f.box = container.NewVBox(f.first(), container.NewGridWithColumns(2, f.pest, f.guild), f.more)
	f.unfold(false)
	return f
}

// unfold shows all that can be asked, or what is asked most.
func (f *form) unfold(all bool) {
	f.more.Hidden = !all
	f.fold.SetOn(all)
	if f.box != nil {
		f.box.Refresh()
	}
}

// asked is what the form asks now. Strip is the time that the season strip shows, nil for the whole season.
func (f *form) asked(strip *season.HalfMonth) asked {
	q := asked{words: f.search.Text, underM: f.underM, zone: f.inZone, days: f.days}
	if f.native != nil {
		q.native = f.native.Text
	}
	if i := f.guild.SelectedIndex(); i > 0 {
		q.guild, q.shelters = f.guilds[i-1].guild, f.guilds[i-1].shelters
	}
	if f.pest != nil && f.pest.SelectedIndex() > 0 {
		q.pest = f.pests[f.pest.SelectedIndex()-1]
	}
	if f.flowers != nil {
		switch i := f.flowers.SelectedIndex(); {
		case i == asOnStrip:
			q.flowers, q.on = true, strip
		case i >= halfMonths:
			h := season.HalfMonth(i - halfMonths)
			q.flowers, q.on = true, &h
		}
	}
	for i, c := range f.checks {
		if c.Checked {
			f.sets[i](&q)
		}
	}
	return q
}

// clear asks nothing; the order stays.
func (f *form) clear() {
	changed := f.changed
	f.changed = func() {} // once, at the end
	f.search.SetText("")
	for _, s := range []*widget.Select{f.guild, f.pest, f.flowers} {
		if s != nil {
			s.SetSelectedIndex(0)
		}
	}
	for _, e := range []*fields.Entry{f.native, f.under, f.zone, f.within} {
		if e != nil {
			e.Load("")
		}
	}
	f.underM, f.inZone, f.days = 0, 0, 0
	for _, c := range f.checks {
		c.SetChecked(false)
	}
	f.changed = changed
	changed()
}

// narrowed tells whether anything is asked, and how many things of it are among those that can be folded away.
func (f *form) narrowed() (some bool, folded int) {
	q := f.asked(nil)
	for _, c := range f.checks {
		if c.Checked {
			folded++
		}
	}
	for _, set := range []bool{strings.TrimSpace(q.native) != "", q.underM > 0, q.zone > 0, q.days > 0} {
		if set {
			folded++
		}
	}
	return folded > 0 || q.words != "" || q.guild != "" || q.pest != "" || q.flowers, folded
}

// tellHere says on the choices what they come to for the plan: the time that the strip shows, and the plan's zone.
func (f *form) tellHere(on *season.HalfMonth, zone data.Zone) {
	if f.flowers == nil {
		return
	}
	words := "In flower in the season"
	if on != nil {
		words = "In flower " + on.Label() + ", as the strip"
	}
	chosen := f.flowers.SelectedIndex()
	if f.flowers.Options[asOnStrip] != words {
		f.flowers.Options[asOnStrip] = words
		if chosen == asOnStrip {
			f.flowers.Selected = words
		}
		f.flowers.Refresh()
	}
	words = "Hardy here, " + zone.String()
	if zone == 0 {
		words = "Hardy here (no zone given)"
	}
	if f.hardy.Text != words {
		f.hardy.SetText(words)
	}
}

// sayFolded counts on the word that unfolds what is asked and cannot be seen.
func (f *form) sayFolded() {
	text := "More to ask"
	if _, n := f.narrowed(); n > 0 {
		text = fmt.Sprintf("More to ask (%d)", n)
	}
	f.fold.SetText(text)
}

// tight lays ticks in two columns, closer than a grid does.
type tight struct{}

const tickHigh = 28

func (tight) MinSize(o []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(240, float32((len(o)+1)/2)*tickHigh)
}

func (tight) Layout(o []fyne.CanvasObject, s fyne.Size) {
	wide := s.Width / 2
	if len(o) == 1 {
		wide = s.Width
	}
	for i, x := range o {
		x.Resize(fyne.NewSize(wide, tickHigh))
		x.Move(fyne.NewPos(float32(i%2)*wide, float32(i/2)*tickHigh))
	}
}
