package browser

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/app/panes"
	"hedgereach/geometry/length"
)

// A form is what is asked of the plants or of the crops.
type form struct {
	box     *fyne.Container
	more    *fyne.Container // folded away until it is asked for
	fold    *fields.Word
	search  *fields.Entry
	guild   *widget.Select
	guilds  []string // ids, in the order of the choices after the first
	pest    *widget.Select
	pests   []string
	native  *fields.Entry
	under   *fields.Entry
	underM  float64
	flowers *widget.Check
	checks  []*widget.Check
	sets    []func(*asked) // what each check that is ticked asks
	changed func()
}

// newForm has what both forms have.
func newForm(hint string, changed func()) *form {
	f := &form{changed: changed, search: fields.NewEntry(nil)}
	f.search.SetPlaceHolder(hint)
	f.search.OnChanged = func(string) { changed() }
	f.fold = fields.NewWord("More to ask", "", func() { f.unfold(f.more.Hidden) })
	f.fold.Small = true
	return f
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

// newPlantForm asks of plants.
func (b *Browser) newPlantForm() *form {
	f := newForm("Search a name, family, form or region", b.update)
	c := b.session.Catalogue()
	words := []string{"Feeds anyone"}
	for _, g := range c.Guilds {
		if len(c.FeedersOf(g.ID)) > 0 {
			words, f.guilds = append(words, "Feeds "+strings.ToLower(g.Name)), append(f.guilds, g.ID)
		}
	}
	f.guild = f.choice(words)
	f.native = fields.NewEntry(nil)
	f.native.SetPlaceHolder("Native to")
	f.native.OnChanged = func(string) { f.changed() }
	f.under = fields.NewEntry(func(text string) error {
		m := 0.0
		if strings.TrimSpace(text) != "" {
			var err error
			if m, err = length.Parse(text, panes.System(b.session)); err != nil {
				return err
			}
		}
		f.underM = m
		f.changed()
		return nil
	})
	f.under.SetPlaceHolder("Height up to")
	f.under.Complain = b.reject
	f.flowers = f.check("Has flowers", func(q *asked) { q.flowers = true })
	f.more = container.NewVBox(container.NewGridWithColumns(2, f.native, f.under), container.New(tight{},
		f.flowers, f.check("Not poisonous to people", func(q *asked) { q.people = true }),
		f.check("Hardy here", func(q *asked) { q.hardy = true }),
		f.check("Not poisonous to stock", func(q *asked) { q.stock = true }),
		f.check("Not invasive here", func(q *asked) { q.welcome = true }),
		f.check("Not irritant to skin", func(q *asked) { q.skin = true })))
	f.box = container.NewVBox(f.search, container.NewBorder(nil, nil, nil, f.fold, f.guild), f.more)
	f.unfold(false)
	return f
}

// newCropForm asks of crops.
func (b *Browser) newCropForm() *form {
	f := newForm("Search a name, family or season", b.update)
	c := b.session.Catalogue()
	words := []string{"Any pest"}
	for _, p := range c.Pests {
		words, f.pests = append(words, "Harmed by "+p.Name), append(f.pests, p.ID)
	}
	f.pest = f.choice(words)
	words = []string{"Pests held by anyone"}
	for _, g := range c.Guilds {
		if len(c.PestsHeldBy(g.ID)) > 0 {
			words, f.guilds = append(words, "Pests held by "+strings.ToLower(g.Name)), append(f.guilds, g.ID)
		}
	}
	f.guild = f.choice(words)
	f.more = container.NewVBox(f.guild,
		container.New(tight{}, f.check("Needs pollination by animals", func(q *asked) { q.needsBees = true })))
	f.box = container.NewVBox(f.search, container.NewBorder(nil, nil, nil, f.fold, f.pest), f.more)
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

// asked is what the form asks now.
func (f *form) asked() asked {
	q := asked{words: f.search.Text, underM: f.underM}
	if f.native != nil {
		q.native = f.native.Text
	}
	if i := f.guild.SelectedIndex(); i > 0 {
		q.guild = f.guilds[i-1]
	}
	if f.pest != nil && f.pest.SelectedIndex() > 0 {
		q.pest = f.pests[f.pest.SelectedIndex()-1]
	}
	for i, c := range f.checks {
		if c.Checked {
			f.sets[i](&q)
		}
	}
	return q
}

// clear asks nothing.
func (f *form) clear() {
	changed := f.changed
	f.changed = func() {} // once, at the end
	f.search.SetText("")
	f.guild.SetSelectedIndex(0)
	if f.pest != nil {
		f.pest.SetSelectedIndex(0)
	}
	if f.native != nil {
		f.native.SetText("")
		f.under.Load("")
		f.underM = 0
	}
	for _, c := range f.checks {
		c.SetChecked(false)
	}
	f.changed = changed
	changed()
}

// narrowed tells whether anything is asked, and how many things of it are among those that can be folded away.
func (f *form) narrowed() (some bool, folded int) {
	q := f.asked()
	for _, c := range f.checks {
		if c.Checked {
			folded++
		}
	}
	if q.native != "" {
		folded++
	}
	if q.underM > 0 {
		folded++
	}
	if f.pest != nil && q.guild != "" {
		folded++
	}
	return folded > 0 || q.words != "" || q.guild != "" || q.pest != "", folded
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
