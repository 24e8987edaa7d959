// Package proposals is the pane that looks for the cheapest ways to close a plan's gaps, shows them on the ground before they are in
// the plan, sets up to four side by side, and makes one an edit when the grower says so. The looking is package suggest's; it runs
// beside the window and can be stopped, with what was found until then.
package proposals

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/board"
	"hedgereach/app/fields"
	"hedgereach/app/recovery"
	"hedgereach/app/session"
	"hedgereach/data"
	"hedgereach/geometry/length"
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
