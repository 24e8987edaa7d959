// Package proposals is the pane that looks for the cheapest ways to close a plan's gaps, shows them on the ground before they are in
// the plan, sets up to four side by side, and makes one an edit when the grower says so. The looking is package suggest's; it runs
// beside the window and can be stopped, with what was found until then.
package proposals

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/board"
	"hedgereach/app/fields"
	"hedgereach/app/recovery"
	"hedgereach/app/session"
	"hedgereach/data"
	"hedgereach/geometry/length"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/suggest"
)

// A Pane asks, shows what is found, and accepts.
type Pane struct {
	widget.BaseWidget
	// Ghosts shows what is proposed on the ground; nil shows nothing.
	Ghosts func([]board.Ghost)
	// Say shows a line at the foot of the window; nil is silent.
	Say func(string)
	// Open asks for a file with one of the endings and hands its path over, and shows why that went wrong.
	Open func(title string, endings []string, take func(path string) error)

	session  *session.Session
	dispatch func(func())

	what, beds, ground, kind, along, seek *fields.Pick
	habitats, species, bounds, cost       *fields.Pick
	whom, feed                            *fields.Several
	width, least, tall, room, dear        *fields.Entry
	widthM, leastM, tallM, roomM, dearest float64         // 0 sets no limit
	prices                                *suggest.Prices // nil for none
	priceButton                           *fields.Button
	noPrices                              *fields.Word
	onlyStrips, onlyPriced                []fyne.CanvasObject // rows that apply only then
	asked                                 *widget.Label
	question                              string // the words of asked, when the last search for places began; "" for plants
	places, plants                        *fyne.Container
	look                                  *fields.Button
	status                                *widget.Label
	table                                 *fyne.Container
	full                                  *widget.RichText
	accept                                *fields.Button
	results                               []result
	shown                                 int                // of results; -1 for none
	best                                  *suggest.Proposal  // of the search under way
	stop                                  context.CancelFunc // of the search under way; nil for none
	run                                   int                // counts searches
	accepting                             bool
}

const (
	forPlaces = "Places for new refuge"
	forPlants = "Plants for habitat"
	allBeds   = "All beds"
	theseBeds = "The beds chosen"
	allHab    = "All habitat"
	thisHab   = "The habitat chosen"
	allGround = "All free ground"
	inChosen  = "Only in what is chosen"
	anyKind   = "A kind that shelters them"
	anyLine   = "Any line of the ground"
	noBounds  = "Hardy here"
	native    = "Hardy here and native"
	harmless  = "Hardy here, without cautions"
	both      = "Hardy, native, without cautions"
	fewest    = "Fewest species"
	cheapest  = "Least cost"
	readList  = "Read a price list…"
	anyLimit  = "any"
)

// Whole answers to whom a search is for.
const (
	mapAsks   = "map"
	cropsNeed = "crops"
)

// What a search is to have little of. A strip's area is its length by its width, so the two are not set side by side.
var seeks = []struct {
	words string
	least []suggest.Objective
}{
	{"Least area, fewest strips, edits", []suggest.Objective{suggest.LeastArea, suggest.LeastPatches}},
	{"Least length, fewest strips, edits", []suggest.Objective{suggest.LeastLength, suggest.LeastPatches}},
	{"Edits of what is there", nil},
}

var kinds = []plan.Kind{plan.PerennialStrip, plan.WildMargin, plan.BeetleBank, plan.Hedgerow}

var lines = []struct {
	words string
	along []suggest.Along
}{
	{anyLine, nil}, {"Inside the boundary", []suggest.Along{suggest.Margin}}, {"Fences and walls", []suggest.Along{suggest.Fences, suggest.Walls}},
	{"Edges of paths", []suggest.Along{suggest.Paths}}, {"Ends of beds", []suggest.Along{suggest.BedEnds}},
	{"Across free ground", []suggest.Along{suggest.Free}},
}

// New is the pane of a session. Dispatch runs a function on the window's goroutine.
func New(s *session.Session, dispatch func(func())) *Pane {
	p := &Pane{session: s, dispatch: dispatch, shown: -1, widthM: suggest.UsualWidthM, leastM: suggest.UsualLeastM}
	p.ExtendBaseWidget(p)
	p.what = fields.NewPick([]string{forPlaces, forPlants}, forPlaces)
	p.what.OnChanged = func(string) { p.shape() }
	p.beds = fields.NewPick([]string{allBeds, theseBeds}, allBeds)
	p.ground = fields.NewPick([]string{allGround, inChosen}, allGround)
	words := []string{anyKind}
	for _, k := range kinds {
		words = append(words, k.Label())
	}
	p.kind = fields.NewPick(words, anyKind)
	words = nil
	for _, l := range lines {
		words = append(words, l.words)
	}
	p.along = fields.NewPick(words, anyLine)
	words = nil
	for _, k := range seeks {
		words = append(words, k.words)
	}
	p.seek = fields.NewPick(words, seeks[0].words)
	p.seek.OnChanged = func(string) { p.shape() }
	p.whom = fields.NewSeveral("guilds", []fields.Item{{ID: mapAsks, Name: "What the map asks"}, {ID: cropsNeed, Name: "All that the crops need"}},
		func() []fields.Item { return p.guilds((*data.Guild).HasRange) })
	p.whom.OnTicked = func() {
		p.load()
		p.askedAnew()
	}
	p.feed = fields.NewSeveral("guilds", []fields.Item{{ID: cropsNeed, Name: "All that the crops need"}},
		func() []fields.Item { return p.guilds(func(g *data.Guild) bool { return g.FedByFlowers }) })
	p.habitats = fields.NewPick([]string{allHab, thisHab}, allHab)
	p.species = fields.NewPick([]string{"1 species", "2 species", "3 species", "4 species", "5 species", "6 species", "8 species"}, "3 species")
	p.bounds = fields.NewPick([]string{noBounds, native, harmless, both}, noBounds)
	sys := func() length.System { return p.units() }
	p.width = fields.NewLength(sys, 0.3, 20, func(m float64) error { p.widthM = m; return nil })
	p.least = fields.NewLength(sys, 0.5, 200, func(m float64) error { p.leastM = m; return nil })
	inUnits := func(m float64) string { return length.Format(m, p.units()) }
	p.tall = limit(&p.tallM, inUnits, func(text string) (float64, error) { return lengthIn(text, sys(), 0.05, 50) })
	p.room = limit(&p.roomM, inUnits, func(text string) (float64, error) { return lengthIn(text, sys(), 0.02, 20) })
	p.dear = limit(&p.dearest, suggest.FormatPrice, suggest.ParsePrice)
	for _, e := range p.entries() {
		e.Complain = func(err error) { p.say(err.Error()) }
	}
	p.cost = fields.NewPick([]string{fewest, cheapest}, fewest)
	p.priceButton = fields.NewButton(readList, p.askPrices)
	p.priceButton.Alignment = widget.ButtonAlignLeading
	p.noPrices = fields.NewLink("go without", func() { p.takePrices(nil) })
	p.asked = wrapped()
	width, least := row("Width", p.width), row("No shorter than", p.least)
	seekCost, dear := row("Seek", p.cost), row("No dearer than", p.dear)
	p.onlyStrips, p.onlyPriced = []fyne.CanvasObject{width, least}, []fyne.CanvasObject{p.noPrices, seekCost, dear}
	p.places = container.NewVBox(row("For", p.whom), p.asked, row("Protect", p.beds), row("Use", p.ground), row("Kind", p.kind),
		row("Lie along", p.along), width, least, row("Seek", p.seek))
	p.plants = container.NewVBox(row("Plant", p.habitats), row("In flower at a time", p.species), row("Feed", p.feed), row("Bounds", p.bounds),
		row("No taller than", p.tall), row("No wider apart than", p.room),
		row("Prices", container.NewBorder(nil, nil, nil, p.noPrices, p.priceButton)), dear, seekCost)
	p.look = fields.NewButton("Look", p.press)
	p.look.Importance = widget.HighImportance
	p.status = wrapped()
	p.table = container.New(tight{})
	p.full = widget.NewRichText()
	p.full.Wrapping = fyne.TextWrapWord
	p.accept = fields.NewButton("Put it into the plan", p.take)
	p.accept.Hide()
	p.load()
	p.shape()
	s.Observe(p.hear)
	return p
}

func wrapped() *widget.Label {
	l := widget.NewLabel("")
	l.Wrapping = fyne.TextWrapWord
	return l
}

// entries are the lines that are typed into.
func (p *Pane) entries() []*fields.Entry {
	return []*fields.Entry{p.width, p.least, p.tall, p.room, p.dear}
}

// applies tells whether a line that is typed into is shown.
func (p *Pane) applies(e *fields.Entry) bool {
	switch e {
	case p.width, p.least:
		return !p.places.Hidden && len(p.objectives()) > 0
	case p.dear:
		return !p.plants.Hidden && p.prices != nil
	}
	return !p.plants.Hidden
}

// limit is an entry for a limit that may be left out, shown again in the plan's units once it is read.
func limit(to *float64, words func(float64) string, parse func(text string) (float64, error)) *fields.Entry {
	var e *fields.Entry
	e = fields.NewEntry(func(text string) (err error) {
		*to = 0
		if text = strings.TrimSpace(text); text == "" || strings.EqualFold(text, anyLimit) {
			e.Load("")
			return nil
		}
		if *to, err = parse(text); err == nil {
			e.Load(words(*to))
		}
		return err
	})
	e.SetPlaceHolder(anyLimit)
	return e
}

func lengthIn(text string, sys length.System, low, high float64) (float64, error) {
	m, err := length.Parse(text, sys)
	if err == nil && !(m >= low && m <= high) {
		err = fmt.Errorf("%q is out of bounds here: give a length from %s to %s, or none", text, length.Format(low, sys), length.Format(high, sys))
	}
	if err != nil {
		return 0, err
	}
	return m, nil
}

// guilds are those to choose among.
func (p *Pane) guilds(fit func(*data.Guild) bool) (list []fields.Item) {
	for _, g := range p.session.Catalogue().Guilds {
		if fit(g) {
			list = append(list, fields.Item{ID: g.ID, Name: g.Name})
		}
	}
	return list
}

// askPrices asks for a price list.
func (p *Pane) askPrices() {
	if p.Open == nil {
		return
	}
	p.Open("Prices: a CSV with columns plant and price", []string{".csv", ".txt"}, func(path string) error {
		in, err := os.Open(path)
		if err != nil {
			return err
		}
		defer in.Close()
		c, _ := habitat.CatalogueOf(p.session.Committed(), p.session.Catalogue())
		list, err := suggest.ReadPrices(in, filepath.Base(path), c)
		if err == nil {
			p.takePrices(list)
		}
		return err
	})
}

// takePrices goes by a price list from now on; nil goes without.
func (p *Pane) takePrices(list *suggest.Prices) {
	p.prices = list
	p.clear()
	words := readList
	if list == nil {
		p.cost.SetSelected(fewest)
		p.dearest = 0
		p.dear.Load("")
	} else {
		words = fmt.Sprintf("Of %d plants…", len(list.Of))
		if len(list.Of) == 1 {
			words = "Of 1 plant…"
		}
		p.status.SetText(list.Says())
	}
	p.priceButton.SetText(words)
	p.shape()
}

// CreateRenderer lays the question over the answers.
func (p *Pane) CreateRenderer() fyne.WidgetRenderer {
	top := container.NewVBox(row("Look for", p.what), p.places, p.plants, row("", container.NewHBox(p.look)), p.status, p.table)
	const barRoom = 12 // keeps the fields off the scroll bar
	all := container.New(layout.NewCustomPaddedLayout(0, 0, 0, barRoom), container.NewVBox(top, container.NewHBox(p.accept), p.full))
	return widget.NewSimpleRenderer(container.NewVScroll(all))
}

func (p *Pane) units() length.System {
	if p.session.Plan().Units == plan.US {
		return length.US
	}
	return length.Metric
}

func (p *Pane) say(text string) {
	if p.Say != nil {
		p.Say(text)
	}
}

// Show brings the pane up to date, and what is proposed back onto the ground.
func (p *Pane) Show() {
	p.BaseWidget.Show()
	p.load()
	p.ghost()
}

// Hide takes what is proposed off the ground; a search goes on.
func (p *Pane) Hide() {
	p.BaseWidget.Hide()
	p.ghost()
}

// load says what the map asks for, which is what places are looked for.
func (p *Pane) load() {
	p.width.Load(length.Format(p.widthM, p.units()))
	p.least.Load(length.Format(p.leastM, p.units()))
	for e, m := range map[*fields.Entry]float64{p.tall: p.tallM, p.room: p.roomM} {
		if m > 0 {
			e.Load(length.Format(m, p.units()))
		}
	}
	p.asked.SetText(p.askedWords())
}

func (p *Pane) askedWords() string {
	ask := p.session.Ask()
	on, guilds := "", p.askedGuilds()
	if ask.On != nil {
		on = ", " + ask.On.Label()
	}
	single := func(g *data.Guild) string {
		words := "Bring beds within reach of " + habitat.InText(g.Name)
		if g.HasRange() {
			words += ", " + length.FormatRange(g.TypicalM, p.units()) + " of their refuge"
		}
		return words + on
	}
	switch {
	case p.whom.Whole() == mapAsks && ask.Guild == nil:
		return "Bring beds within " + length.FormatRange(ask.RangeM, p.units()) + " of any refuge" + on + ", as the map asks."
	case p.whom.Whole() == mapAsks:
		return single(ask.Guild) + ", as the map asks."
	case len(guilds) == 0:
		return "No crop of the plan needs a guild whose distance has been published."
	case p.whom.Whole() == cropsNeed:
		return fmt.Sprintf("Bring beds within reach of all %d guilds that the crops need and whose distance has been published%s.", len(guilds), on)
	case len(guilds) == 1:
		return single(guilds[0]) + "."
	}
	return fmt.Sprintf("Bring beds within reach of all %d guilds at once%s.", len(guilds), on)
}

// askedGuilds are the guilds that places are looked for; none for any refuge.
func (p *Pane) askedGuilds() (list []*data.Guild) {
	switch p.whom.Whole() {
	case mapAsks:
		if g := p.session.Ask().Guild; g != nil {
			list = append(list, g)
		}
	case cropsNeed:
		list = suggest.CropGuilds(p.session.Committed(), p.session.Catalogue())
	default:
		for _, id := range p.whom.Chosen() {
			if g := p.session.Catalogue().Guild(id); g != nil {
				list = append(list, g)
			}
		}
	}
	return list
}

// shape shows the fields that go with what is looked for.
func (p *Pane) shape() {
	show := func(yes bool, list ...fyne.CanvasObject) {
		for _, o := range list {
			if yes {
				o.Show()
			} else {
				o.Hide()
			}
		}
	}
	show(p.what.Selected == forPlants, p.plants)
	show(p.what.Selected != forPlants, p.places)
	show(p.prices != nil, p.onlyPriced...)
	show(len(p.objectives()) > 0, p.onlyStrips...)
}

// objectives are what new strips are to have little of; none asks for edits alone.
func (p *Pane) objectives() []suggest.Objective {
	for _, k := range seeks {
		if k.words == p.seek.Selected {
			return k.least
		}
	}
	return seeks[0].least
}

// hear gives up what was found for another plan.
func (p *Pane) hear(w session.What) {
	if w&session.AskChanged != 0 {
		p.load()
		p.askedAnew()
	}
	if w&session.PlanChanged == 0 {
		return
	}
	p.load()
	if p.accepting {
		return
	}
	old := p.stop != nil || len(p.results) > 0
	p.clear()
	if old {
		p.status.SetText("The plan has changed since: look again.")
	}
}

// askedAnew says that answers are to what the map asked before, and drops the refusal of a question that is no longer asked.
func (p *Pane) askedAnew() {
	switch {
	case p.question == "" || p.stop != nil:
	case len(p.results) == 0:
		p.status.SetText("")
	case p.question != p.asked.Text:
		p.status.SetText("These answer what was asked before: look again for what is asked now.")
	default:
		p.status.SetText(notYet)
	}
}

// notYet is said of every answer until it is put into the plan.
const notYet = "Nothing is in the plan until you put it there."

// clear ends a search and takes away what was found.
func (p *Pane) clear() {
	p.run++
	if p.stop != nil {
		p.stop()
		p.stop = nil
	}
	p.look.SetText("Look")
	p.results, p.shown, p.best = nil, -1, nil
	p.status.SetText("")
	p.compare()
	p.tell()
	p.ghost()
}

// press begins a search, or stops the one under way.
func (p *Pane) press() {
	if p.stop != nil {
		p.stop()
		p.status.SetText("Stopping…")
		return
	}
	s, err := p.read()
	p.clear()
	p.question = ""
	if p.what.Selected == forPlaces {
		p.question = p.asked.Text
	}
	if err != nil {
		p.status.SetText(sentence(err.Error()))
		return
	}
	ctx, stop := context.WithCancel(context.Background())
	p.stop = stop
	run := p.run
	then := func(f func()) {
		p.dispatch(func() {
			if run == p.run {
				f()
			}
		})
	}
	s.found = func(r result) { then(func() { p.add(r) }) }
	s.progress = func(g suggest.Progress) { then(func() { p.follow(g) }) }
	s.done = func(why error) { then(func() { p.end(ctx.Err() != nil, why) }) }
	p.look.SetText("Stop")
	p.status.SetText("Looking…")
	recovery.Go(func() { s.run(ctx) }, s.done)
}

// read makes a search of the fields.
func (p *Pane) read() (*search, error) {
	for _, e := range p.entries() {
		e.FocusLost() // what was typed but not left yet
		if err := e.Wrong(); err != nil && p.applies(e) {
			return nil, err
		}
	}
	now := p.session.Committed()
	s := &search{plan: now, catalogue: p.session.Catalogue()}
	chosen := func(fits func(*plan.Feature) bool) (ids []string) {
		for _, id := range p.session.Selection() {
			if f, _ := now.Find(id); f != nil && fits(f) {
				ids = append(ids, id)
			}
		}
		return ids
	}
	if p.what.Selected == forPlants {
		fmt.Sscanf(p.species.Selected, "%d", &s.plants.Species)
		s.plants.NativeOnly = p.bounds.Selected == native || p.bounds.Selected == both
		s.plants.Guilds = p.feed.Chosen()
		s.plants.HeightCM, s.plants.SpacingCM = p.tallM*100, p.roomM*100
		if p.prices != nil {
			s.plants.Prices, s.plants.MostPrice, s.plants.LeastCost = p.prices.Of, p.dearest, p.cost.Selected == cheapest
		}
		s.plants.Harmless = p.bounds.Selected == harmless || p.bounds.Selected == both
		if p.habitats.Selected == thisHab {
			if s.plants.Habitats = chosen((*plan.Feature).IsHabitat); len(s.plants.Habitats) == 0 {
				return nil, errors.New("choose the habitat on the ground first")
			}
		}
		return s, nil
	}
	ask := p.session.Ask()
	s.where = &suggest.Ask{RangeM: ask.RangeM, On: ask.On, WidthM: p.widthM, LeastM: p.leastM}
	s.least = p.objectives()
	for _, g := range p.askedGuilds() {
		s.where.Guilds = append(s.where.Guilds, g.ID)
	}
	if len(s.where.Guilds) == 0 && p.whom.Whole() != mapAsks {
		return nil, errors.New("no crop of the plan needs a guild whose distance has been published: tick the guilds")
	}
	if p.beds.Selected == theseBeds {
		if s.where.Beds = chosen(func(f *plan.Feature) bool { return f.Kind == plan.Bed }); len(s.where.Beds) == 0 {
			return nil, errors.New("choose the beds on the ground first")
		}
	}
	if p.ground.Selected == inChosen {
		if s.where.Inside = chosen(func(f *plan.Feature) bool { return f.Kind != plan.Bed || p.beds.Selected != theseBeds }); len(s.where.Inside) == 0 {
			return nil, errors.New("choose the ground that may be used first, such as a cover crop or the boundary")
		}
	}
	for _, k := range kinds {
		if p.kind.Selected == k.Label() {
			s.where.Kind = k
		}
	}
	for _, l := range lines {
		if p.along.Selected == l.words {
			s.where.Along = l.along
		}
	}
	return s, nil
}

// follow shows how far a search has come, and the best so far on the ground.
func (p *Pane) follow(g suggest.Progress) {
	words := sentence(g.Words) + "…"
	if g.Best != nil {
		words += " Best so far: " + lower(g.Best.Effect) + "."
	}
	if p.status.Text != words {
		p.status.SetText(words)
	}
	if g.Best != p.best {
		p.best = g.Best
		p.ghost()
	}
}

// add takes a finished answer in; the first one is shown.
func (p *Pane) add(r result) {
	p.results = append(p.results, r)
	p.best = nil
	if p.shown < 0 {
		p.shown = 0
		p.say(r.Effect)
	}
	p.compare()
	p.tell()
	p.ghost()
}

// end is said when a search is over.
func (p *Pane) end(stopped bool, why error) {
	if p.stop != nil {
		p.stop()
		p.stop = nil
	}
	p.look.SetText("Look")
	p.best = nil
	switch {
	case why != nil && errors.Is(why, context.Canceled):
		p.status.SetText("Stopped before anything was found.")
	case why != nil:
		p.status.SetText(sentence(why.Error()) + ".")
	case stopped:
		p.status.SetText("Stopped: what was found until then.")
	case len(p.results) == 1:
		p.status.SetText(notYet)
	default:
		p.status.SetText(fmt.Sprintf("%d proposals. %s", len(p.results), notYet))
	}
	p.ghost()
}

func mark(i int) string { return string(rune('A' + i)) }

// compare sets the answers side by side.
func (p *Pane) compare() {
	p.table.Objects = nil
	if n := len(p.results); n > 1 || n == 1 && p.results[0].mix == nil {
		line := func(cells ...fyne.CanvasObject) { p.table.Add(container.New(columns{}, cells...)) }
		cell := func(text string) fyne.CanvasObject {
			l := widget.NewLabel(text)
			l.SizeName = theme.SizeNameCaptionText
			l.Truncation = fyne.TextTruncateEllipsis
			return l
		}
		heads := []fyne.CanvasObject{cell("")}
		for i, r := range p.results {
			w := fields.NewWord(mark(i)+" · "+short(r.Title), "", func() { p.choose(i) })
			w.Small = true
			w.SetOn(i == p.shown)
			heads = append(heads, w)
		}
		line(heads...)
		row := func(name string, of func(r result) string) {
			cells := []fyne.CanvasObject{cell(name)}
			for _, r := range p.results {
				cells = append(cells, cell(of(r)))
			}
			line(cells...)
		}
		row("Beds come in", func(r result) string { return fmt.Sprintf("%d of %d", len(r.Beds), r.Out) })
		row("Ground taken", func(r result) string {
			if r.AreaM2+r.TakenM2 == 0 {
				return "none"
			}
			return length.FormatArea(r.AreaM2+r.TakenM2, p.units())
		})
		row("Strips", func(r result) string {
			if r.Patches == 0 {
				return "none"
			}
			return fmt.Sprintf("%d, %s", r.Patches, length.FormatRange(r.LengthM, p.units()))
		})
		row("The best?", func(r result) string {
			switch {
			case r.Proven:
				return "proven"
			case r.Gap > 0:
				return "within " + habitat.Percent(r.Gap)
			}
			return "best tried"
		})
	}
	p.table.Refresh()
}

// short is a title for the head of a column.
func short(title string) string {
	switch title {
	case "Turn a bed into habitat":
		return "Turn a bed"
	case "Fewest patches":
		return "Fewest"
	}
	return title
}

func (p *Pane) choose(i int) {
	p.shown = i
	p.say(p.results[i].Effect)
	p.compare()
	p.tell()
	p.ghost()
}

// tell says all of the answer that is shown.
func (p *Pane) tell() {
	var text []widget.RichTextSegment
	head := func(s string) {
		text = append(text, &widget.TextSegment{Text: s, Style: widget.RichTextStyleSubHeading})
	}
	say := func(s string) {
		text = append(text, &widget.TextSegment{Text: s, Style: widget.RichTextStyleParagraph})
	}
	label := func(s string) {
		text = append(text, &widget.TextSegment{Text: s, Style: widget.RichTextStyle{TextStyle: fyne.TextStyle{Bold: true}}})
	}
	if p.shown >= 0 {
		r := p.results[p.shown]
		title := r.Title
		if len(p.results) > 1 {
			title = mark(p.shown) + "  " + title
		}
		head(title)
		say(r.Effect + ".")
		if r.mix == nil {
			if n := len(r.For); n > 1 {
				label(fmt.Sprintf("For all %d guilds", n))
				var names []string
				for _, g := range r.For {
					names = append(names, habitat.InText(g.Name))
				}
				say(sentence(strings.Join(names, ", ")) + ".")
			}
			label("Why here")
			for i, c := range r.Changes {
				say(p.numbered(r, i) + c.Why)
			}
		} else {
			p.tellMix(r, say, label)
		}
		label("How good")
		say(r.How)
	}
	if p.shown >= 0 {
		p.accept.Show()
	} else {
		p.accept.Hide()
	}
	p.full.Segments = text
	p.full.Refresh()
}

func (p *Pane) numbered(r result, i int) string {
	if len(r.Changes) < 2 {
		return ""
	}
	return fmt.Sprintf("%s%d  ", mark(p.shown), i+1)
}

// tellMix lists plants, what flowers when, what each bound costs, and what to mind.
func (p *Pane) tellMix(r result, say, label func(string)) {
	m := r.mix
	label("New plants")
	for _, pl := range m.Plants {
		words := fmt.Sprintf("%s (%s), %s", pl.Name, pl.Scientific, pl.Form)
		if v, known := r.prices[pl.ID]; known {
			words += ", " + suggest.FormatPrice(v)
		}
		say(words)
	}
	label("Where")
	for _, c := range m.Changes {
		say(c.After.Title() + ": " + lower(c.Why))
	}
	label("In flower, before and with them")
	var parts []string
	for _, h := range m.InFlower {
		part := fmt.Sprintf("%s: %d, then %d", h.HalfMonth.Label(), h.Before, h.After)
		if h.Short {
			part += " (no more within the bounds)"
		}
		parts = append(parts, part)
	}
	say(strings.Join(parts, "\n"))
	if len(m.Unfed) > 0 {
		var names []string
		for _, g := range m.Unfed {
			names = append(names, habitat.InText(g.Name))
		}
		say("Fed by no plant within the bounds: " + strings.Join(names, ", ") + ".")
	}
	if len(m.WithoutEach) > 0 {
		label("What each bound costs")
		for _, b := range m.WithoutEach {
			say(m.Costs(b))
		}
	}
	if len(m.Cautions) > 0 {
		label("Cautions")
		say(strings.Join(m.Cautions, "\n"))
	}
}

// ghost shows on the ground what the answer shown would change, or the best so far.
func (p *Pane) ghost() {
	if p.Ghosts == nil {
		return
	}
	var q *suggest.Proposal
	letter := ""
	switch {
	case p.Hidden:
	case p.best != nil:
		q = p.best
	case p.shown >= 0 && p.results[p.shown].mix == nil:
		q, letter = p.results[p.shown].Proposal, mark(p.shown)
	}
	if q == nil {
		p.Ghosts(nil)
		return
	}
	var list []board.Ghost
	for i, c := range q.Changes {
		g := board.Ghost{Words: letter}
		if letter != "" && len(q.Changes) > 1 {
			g.Words = fmt.Sprintf("%s%d", letter, i+1)
		}
		if c.After != nil {
			g.Shape = c.After.Geometry
		} else {
			g.Shape = c.Before.Geometry
		}
		list = append(list, g)
	}
	p.Ghosts(list)
}

// take makes the answer that is shown an edit of the plan.
func (p *Pane) take() {
	if p.shown < 0 {
		return
	}
	r := p.results[p.shown]
	next, err := r.Apply(p.session.Committed())
	if err == nil {
		p.accepting = true
		err = p.session.Commit("put in: "+lower(r.Title), next)
		p.accepting = false
	}
	if err != nil {
		p.status.SetText(sentence(err.Error()))
		return
	}
	var ids []string
	for _, c := range r.Changes {
		if c.After != nil {
			ids = append(ids, c.After.ID)
		}
	}
	p.clear()
	words := "In the plan: " + lower(r.Effect) + ". Undo takes it out again."
	if bare := unplanted(r.Proposal); bare > 0 {
		words += " Nothing grows there yet: Look now finds the plants that keep it in flower, or name your own under Feature."
		p.what.SetSelected(forPlants)
		p.habitats.SetSelected(thisHab)
	}
	p.status.SetText(words)
	p.session.Select(slices.Clone(ids)...)
}

// unplanted counts the habitat of a proposal for which no plants are named.
func unplanted(q *suggest.Proposal) (n int) {
	for _, c := range q.Changes {
		if c.After != nil && c.After.IsHabitat() && len(c.After.Plants) == 0 {
			n++
		}
	}
	return n
}

func sentence(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func lower(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToLower(s[:1]) + s[1:]
}
