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
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/board"
	"hedgereach/app/fields"
	"hedgereach/app/recovery"
	"hedgereach/app/session"
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

	session  *session.Session
	dispatch func(func())

	what, beds, ground, kind, along *fields.Pick
	habitats, species, bounds       *fields.Pick
	width, least                    *fields.Entry
	widthM, leastM                  float64
	asked                           *widget.Label
	question                        string // the words of asked, when the last search for places began; "" for plants
	places, plants                  *fyne.Container
	look                            *fields.Button
	status                          *widget.Label
	table                           *fyne.Container
	full                            *widget.RichText
	accept                          *fields.Button
	results                         []result
	shown                           int                // of results; -1 for none
	best                            *suggest.Proposal  // of the search under way
	stop                            context.CancelFunc // of the search under way; nil for none
	run                             int                // counts searches
	accepting                       bool
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
)

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
	p.habitats = fields.NewPick([]string{allHab, thisHab}, allHab)
	p.species = fields.NewPick([]string{"1 species", "2 species", "3 species", "4 species", "5 species", "6 species", "8 species"}, "3 species")
	p.bounds = fields.NewPick([]string{noBounds, native, harmless, both}, noBounds)
	sys := func() length.System { return p.units() }
	p.width = fields.NewLength(sys, 0.3, 20, func(m float64) error { p.widthM = m; return nil })
	p.least = fields.NewLength(sys, 0.5, 200, func(m float64) error { p.leastM = m; return nil })
	for _, e := range []*fields.Entry{p.width, p.least} {
		e.Complain = func(err error) { p.say(err.Error()) }
	}
	p.asked = wrapped()
	p.places = container.NewVBox(p.asked, form("Protect", p.beds, "Use", p.ground, "Kind", p.kind, "Lie along", p.along, "Width", p.width, "No shorter than", p.least))
	p.plants = container.NewVBox(form("Plant", p.habitats, "In flower at a time", p.species, "Bounds", p.bounds))
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

func form(pairs ...any) *widget.Form {
	f := widget.NewForm()
	for i := 0; i < len(pairs); i += 2 {
		f.Append(pairs[i].(string), pairs[i+1].(fyne.CanvasObject))
	}
	return f
}

// CreateRenderer lays the question over the answers.
func (p *Pane) CreateRenderer() fyne.WidgetRenderer {
	top := container.NewVBox(form("Look for", p.what), p.places, p.plants, container.NewHBox(p.look), p.status, p.table)
	return widget.NewSimpleRenderer(container.NewVScroll(container.NewVBox(top, container.NewHBox(p.accept), p.full)))
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
	ask := p.session.Ask()
	words := "Bring beds within " + length.FormatRange(ask.RangeM, p.units()) + " of any refuge"
	if g := ask.Guild; g != nil {
		words = "Bring beds within reach of " + habitat.InText(g.Name)
		if g.HasRange() {
			words += ", " + length.FormatRange(g.TypicalM, p.units()) + " of their refuge"
		}
	}
	if ask.On != nil {
		words += ", " + ask.On.Label()
	}
	p.asked.SetText(words + ", as the map asks.")
}

// shape shows the fields that go with what is looked for.
func (p *Pane) shape() {
	if p.what.Selected == forPlants {
		p.places.Hide()
		p.plants.Show()
		return
	}
	p.plants.Hide()
	p.places.Show()
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
		p.status.SetText("These answer what the map asked before: look again for what it asks now.")
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
	for _, e := range []*fields.Entry{p.width, p.least} {
		e.FocusLost() // what was typed but not left yet
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
	if ask.Guild != nil {
		s.where.Guilds = []string{ask.Guild.ID}
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
		row("New ground", func(r result) string {
			if r.AreaM2 == 0 {
				return "none"
			}
			return length.FormatArea(r.AreaM2, p.units())
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
			label("Why here")
			for i, c := range r.Changes {
				say(p.numbered(r, i) + c.Why)
			}
		} else {
			p.tellMix(r.mix, say, label)
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
func (p *Pane) tellMix(m *suggest.Mix, say, label func(string)) {
	label("New plants")
	for _, pl := range m.Plants {
		say(fmt.Sprintf("%s (%s), %s", pl.Name, pl.Scientific, pl.Form))
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
