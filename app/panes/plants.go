package panes

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/app/session"
	"hedgereach/app/skin"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// Plants searches the catalogue's plants: what flowers when, whom it feeds, what to mind. The chosen one is told in full with its
// sources, and can be added to the habitat that is selected.
type Plants struct {
	widget.BaseWidget
	session *session.Session
	reject  func(error)
	shown   []*data.Plant
	chosen  *data.Plant

	search         *fields.Entry
	feeds          *widget.Select
	flowers, safe  *widget.Check
	hardy, welcome *widget.Check
	summary        *widget.Label
	list           *fields.List
	full           *widget.RichText
	share          *fields.Entry
	add            *widget.Button
	guildIDs       []string // as listed in feeds after the first
	quiet          bool
	pacer          pacer
}

// NewPlants is the catalogue's plants as a session sees them. Reject hears why something could not be added.
func NewPlants(s *session.Session, dispatch func(func()), reject func(error)) *Plants {
	p := &Plants{session: s, reject: reject, pacer: pacer{dispatch: dispatch}}
	p.ExtendBaseWidget(p)
	p.pacer.work, p.pacer.hidden = p.update, func() bool { return p.Hidden }
	p.search = fields.NewEntry(nil)
	p.search.SetPlaceHolder("Search a name, family, or native region")
	p.search.OnChanged = func(string) { p.update() }
	words := []string{"Feeds anyone"}
	for _, g := range s.Catalogue().Guilds {
		if len(s.Catalogue().FeedersOf(g.ID)) > 0 {
			words = append(words, "Feeds "+strings.ToLower(g.Name))
			p.guildIDs = append(p.guildIDs, g.ID)
		}
	}
	p.feeds = widget.NewSelect(words, nil)
	p.feeds.SetSelectedIndex(0)
	p.feeds.OnChanged = func(string) { p.update() }
	check := func(words string) *widget.Check { return widget.NewCheck(words, func(bool) { p.update() }) }
	p.summary = widget.NewLabel("")
	p.full = widget.NewRichText()
	p.full.Wrapping = fyne.TextWrapWord
	p.list = fields.NewList(func() int { return len(p.shown) }, func() fyne.CanvasObject { return newPlantRow() },
		func(i int, o fyne.CanvasObject) { o.(*plantRow).set(p.shown[i], p.bloom(p.shown[i])) })
	p.list.OnSelected = func(i widget.ListItemID) {
		if !p.quiet {
			p.chosen = p.shown[i]
			p.tell()
		}
	}
	p.share = fields.NewShare(func(float64) error { return nil })
	p.share.SetText("20 %")
	p.share.OnSubmitted = func(string) { p.plant() }
	p.add = widget.NewButton("", p.plant)
	p.flowers, p.safe = check(""), check("Not poisonous, not irritant")
	p.hardy, p.welcome = check("Hardy here"), check("Not invasive here")
	p.update()
	s.Observe(p.pacer.hear)
	return p
}

// Else says what becomes of keys that mean nothing to the list.
func (p *Plants) Else(r func(rune), k func(*fyne.KeyEvent)) { p.list.Rune, p.list.Key = r, k }

// Show brings the pane up to date, which it was not while hidden.
func (p *Plants) Show() {
	p.BaseWidget.Show()
	p.pacer.now()
}

// CreateRenderer lays what is asked over the list, and the chosen plant under it.
func (p *Plants) CreateRenderer() fyne.WidgetRenderer {
	ask := container.NewVBox(p.search, p.feeds, container.NewGridWithColumns(2, p.flowers, p.hardy, p.safe, p.welcome), p.summary)
	foot := container.NewBorder(nil, nil, nil, container.NewGridWrap(fyne.NewSize(70, p.share.MinSize().Height), p.share), p.add)
	split := container.NewVSplit(container.NewBorder(ask, nil, nil, nil, p.list),
		container.NewBorder(nil, foot, nil, nil, container.NewVScroll(p.full)))
	split.Offset = 0.6
	return widget.NewSimpleRenderer(split)
}

// bloom is the plant's window at the plan's place.
func (p *Plants) bloom(x *data.Plant) season.Window {
	return p.session.Assessment().Bloom(plan.Growing{Plant: x.ID})
}

// region is the plan's place as far as a plant minds.
func (p *Plants) region() data.Region { return habitat.RegionOf(p.session.Plan().Place) }

// matches tells whether a plant is what is asked for.
func (p *Plants) matches(x *data.Plant, at data.Region) bool {
	text := strings.ToLower(strings.Join([]string{x.Name, x.Scientific, x.Family, x.Form, x.Native}, " "))
	for _, w := range strings.Fields(strings.ToLower(p.search.Text)) {
		if !strings.Contains(text, w) {
			return false
		}
	}
	if i := p.feeds.SelectedIndex(); i > 0 && !slices.Contains(p.session.Catalogue().FeedersOf(p.guildIDs[i-1]), x) {
		return false
	}
	if on := p.session.Ask().On; p.flowers.Checked {
		w := p.bloom(x)
		if !w.Given() || on != nil && !w.Covers(*on) {
			return false
		}
	}
	return (!p.safe.Checked || !x.Is(data.ToxicToPeople) && !x.Is(data.ToxicToStock) && !x.Is(data.SkinIrritant)) &&
		(!p.hardy.Checked || x.Hardy(at.Zone)) &&
		(!p.welcome.Checked || p.session.Assessment().Offered(x) &&
			!slices.ContainsFunc(x.InvasiveIn, func(c string) bool { return at.Continent == "" || c == at.Continent }))
}

// update lists what matches now. The one that was chosen stays chosen while it is listed.
func (p *Plants) update() {
	if p.list == nil || p.welcome == nil {
		return // still being put together
	}
	flowers := "Has flowers"
	if on := p.session.Ask().On; on != nil {
		flowers = "In flower " + on.Label()
	}
	p.flowers.SetText(flowers)
	at := p.region()
	p.shown = p.shown[:0]
	for _, x := range p.session.Catalogue().Plants {
		if p.matches(x, at) {
			p.shown = append(p.shown, x)
		}
	}
	slices.SortStableFunc(p.shown, func(a, b *data.Plant) int {
		return strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name))
	})
	p.summary.SetText(fmt.Sprintf("%d of %s", len(p.shown), plural(len(p.session.Catalogue().Plants), "plant")))
	i := slices.Index(p.shown, p.chosen)
	p.quiet = true
	p.list.UnselectAll()
	if i >= 0 {
		p.list.Select(i)
	} else {
		p.chosen = nil
	}
	p.quiet = false
	p.list.Refresh()
	p.tell()
}

// target is the one habitat that is selected; nil where there is none.
func (p *Plants) target() *plan.Feature {
	ids := p.session.Selection()
	if len(ids) != 1 {
		return nil
	}
	f, _ := p.session.Committed().Find(ids[0])
	if f == nil || !f.IsHabitat() {
		return nil
	}
	return f
}

// tell shows the chosen plant in full.
func (p *Plants) tell() {
	target := p.target()
	switch {
	case p.chosen == nil:
		p.add.SetText("Choose a plant")
	case target == nil:
		p.add.SetText("Choose a habitat on the ground to add it to")
	default:
		p.add.SetText("Add to " + target.Title())
	}
	if p.chosen == nil || target == nil {
		p.add.Disable()
	} else {
		p.add.Enable()
	}
	p.full.Segments = p.facts()
	p.full.Refresh()
}

func (p *Plants) facts() []widget.RichTextSegment {
	if p.chosen == nil {
		return []widget.RichTextSegment{quiet("Choose a plant to see what it feeds, when it flowers here, what to mind, and who says so.")}
	}
	x := p.chosen
	out := []widget.RichTextSegment{&widget.TextSegment{Text: x.Name, Style: widget.RichTextStyleSubHeading},
		&widget.TextSegment{Text: x.Scientific + ", " + x.Family, Style: widget.RichTextStyle{TextStyle: fyne.TextStyle{Italic: true},
			ColorName: theme.ColorNameForeground, SizeName: theme.SizeNameText}}}
	if w := p.bloom(x); w.Given() {
		text := "In flower " + w.Label()
		if p.session.Assessment().BloomEstimated {
			text += ", estimated for this place"
		}
		out = append(out, plain(text))
	}
	for _, c := range p.session.Catalogue().CautionFor(x.ID, p.region()) {
		out = append(out, label("Mind"), plain(c))
	}
	e := p.session.Catalogue().Entry("plant", x.ID)
	if e == nil {
		return out
	}
	for _, g := range e.Groups {
		if g.Heading != "" {
			out = append(out, label(g.Heading))
		}
		var lines []string
		for _, f := range g.Facts {
			v := f.Value
			if v == "" {
				names := make([]string, len(f.Refs))
				for i, r := range f.Refs {
					names[i] = r.Name
				}
				v = strings.Join(names, ", ")
			}
			lines = append(lines, f.Label+": "+v)
		}
		text := strings.Join(lines, "\n")
		if c := shortCite(p.session.Catalogue(), g.From); c != "" {
			text += "\n(" + c + "; our copy: " + string(g.From.Checked) + evidenceOf(g.From) + ")"
		}
		out = append(out, plain(spelled(p.session.Catalogue(), text)))
	}
	return out
}

func evidenceOf(o data.Origin) string {
	if o.Evidence == "" || o.Evidence == data.None {
		return ""
	}
	return "; evidence " + string(o.Evidence)
}

// plant adds the chosen plant to the selected habitat, as one step of the history.
func (p *Plants) plant() {
	target := p.target()
	if p.chosen == nil || target == nil {
		return
	}
	share, err := fields.ParseShare(p.share.Text)
	if err == nil {
		x := p.chosen
		err = edit(p.session, target.ID, "plant "+x.Name+" in", func(f *plan.Feature) error {
			f.Plants = append(f.Plants, plan.Growing{Plant: x.ID, Share: share})
			return nil
		})
	}
	if err != nil {
		p.reject(err)
	}
}

// A plantRow is a plant in a line: its names, and its bloom as a bar over the year.
type plantRow struct {
	widget.BaseWidget
	name  *widget.RichText
	year  *canvas.Rectangle
	bars  [2]*canvas.Rectangle // two where the window runs over the turn of the year
	bloom season.Window
}

func newPlantRow() *plantRow {
	r := &plantRow{name: widget.NewRichText(), year: canvas.NewRectangle(skin.Palette().Rule)}
	r.name.Truncation = fyne.TextTruncateEllipsis
	for i := range r.bars {
		r.bars[i] = canvas.NewRectangle(skin.Palette().Kind(plan.PerennialStrip).Sign)
	}
	r.ExtendBaseWidget(r)
	return r
}

func (r *plantRow) set(p *data.Plant, bloom season.Window) {
	inline := widget.RichTextStyleInline
	thin := widget.RichTextStyle{Inline: true, TextStyle: fyne.TextStyle{Italic: true}, ColorName: theme.ColorNamePlaceHolder,
		SizeName: theme.SizeNameCaptionText}
	words := "  " + p.Scientific
	if p.Caution != "" {
		words += " · caution"
	}
	r.name.Segments = []widget.RichTextSegment{&widget.TextSegment{Text: p.Name, Style: inline}, &widget.TextSegment{Text: words, Style: thin}}
	r.bloom = bloom
	r.name.Refresh()
	r.Refresh()
}

// CreateRenderer lays the names left, the year right.
func (r *plantRow) CreateRenderer() fyne.WidgetRenderer { return &plantRowRenderer{r} }

type plantRowRenderer struct{ r *plantRow }

const yearWide = 96 // units: four to a half-month

func (l *plantRowRenderer) MinSize() fyne.Size { return fyne.NewSize(200, 28) }

func (l *plantRowRenderer) Layout(s fyne.Size) {
	r := l.r
	r.name.Resize(fyne.NewSize(s.Width-yearWide-12, s.Height))
	r.name.Move(fyne.NewPos(0, (s.Height-r.name.MinSize().Height)/2))
	x0, y := s.Width-yearWide-8, s.Height/2
	r.year.Move(fyne.NewPos(x0, y))
	r.year.Resize(fyne.NewSize(yearWide, 1))
	at := func(d season.Day) float32 { return x0 + yearWide*float32(d-1)/365 }
	w := r.bloom
	put := func(i int, from, to float32) {
		r.bars[i].Move(fyne.NewPos(from, y-4))
		r.bars[i].Resize(fyne.NewSize(max(0, to-from), 9))
	}
	switch {
	case !w.Given():
		put(0, 0, 0)
		put(1, 0, 0)
	case w.From <= w.To:
		put(0, at(w.From), at(w.To+1))
		put(1, 0, 0)
	default:
		put(0, at(w.From), x0+yearWide)
		put(1, x0, at(w.To+1))
	}
}

func (l *plantRowRenderer) Refresh() {
	l.r.year.FillColor = skin.Palette().Rule
	for _, b := range l.r.bars {
		b.FillColor = skin.Palette().Kind(plan.PerennialStrip).Sign
		b.Refresh()
	}
	l.r.year.Refresh()
	l.Layout(l.r.Size())
}

func (l *plantRowRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{l.r.name, l.r.year, l.r.bars[0], l.r.bars[1]}
}

func (l *plantRowRenderer) Destroy() {}
