// Package browser is the pane that searches the catalogue: plants for habitats by what they feed, when they flower and what to
// mind, and crops for beds by their pests and who holds them. The chosen one is told in full with its sources, and can be planted
// by a button, by Enter, or by dragging it onto the ground. It is a view of one session; it measures nothing.
package browser

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/app/panes"
	"hedgereach/app/session"
	"hedgereach/data"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// A line is what a line of the list is about: a plant or a crop.
type line struct {
	plant *data.Plant
	crop  *data.Crop
}

func (l line) name() string {
	if l.plant != nil {
		return l.plant.Name
	}
	return l.crop.Name
}

// id is the catalogue's, with the list, since a plant and a crop may share one.
func (l line) id() string {
	if l.plant != nil {
		return "plant/" + l.plant.ID
	}
	return "crop/" + l.crop.ID
}

func (l line) scientific() string {
	if l.plant != nil {
		return l.plant.Scientific
	}
	return l.crop.Scientific
}

func (l line) caution() string {
	if l.plant != nil {
		return l.plant.Caution
	}
	return l.crop.Caution
}

// A Browser is the pane. Its methods belong to the window's goroutine.
type Browser struct {
	widget.BaseWidget
	// At is the feature under a place of the window; nil for none. Where At is nil itself, nothing can be dragged to the ground.
	At func(fyne.Position) *plan.Feature
	// Say shows what would come of a drag, and what came of planting; nil is allowed.
	Say func(string)

	session *session.Session
	reject  func(error)
	crops   bool // crops are listed, not plants
	shown   []line
	chosen  *line
	stale   bool // something changed while the pane was hidden
	quiet   bool // the list is being filled by us, so nothing is chosen by hand

	kinds              [2]*fields.Word // plants, crops
	forms              [2]*form
	summary            *widget.Label
	clear              *fields.Word
	months             *fyne.Container
	legend             *legend
	key                *fields.Word
	keyAsked           *bool // whether the legend is to be shown; nil until somebody says
	list               *list
	full               *widget.RichText
	scroll             *container.Scroll
	dates              *fyne.Container
	from, until, share *fields.Entry
	add                *fields.Button

	carried *line // being dragged
	over    *plan.Feature
	ghost   *fyne.Container
}

// New is the catalogue as a session sees it. Reject hears why something could not be taken.
func New(s *session.Session, reject func(error)) *Browser {
	b := &Browser{session: s, reject: reject}
	b.ExtendBaseWidget(b)
	b.kinds = [2]*fields.Word{fields.NewWord("Plants for habitats", "", func() { b.show(false) }),
		fields.NewWord("Crops for beds", "", func() { b.show(true) })}
	b.summary = widget.NewLabel("")
	b.summary.SizeName, b.summary.Importance = theme.SizeNameCaptionText, widget.LowImportance
	b.summary.Truncation = fyne.TextTruncateEllipsis
	b.months = newMonths()
	b.legend = newLegend()
	b.full = widget.NewRichText()
	b.full.Wrapping = fyne.TextWrapWord
	b.scroll = container.NewVScroll(container.NewVBox(b.legend.box, b.full))
	b.list = newList(b)
	b.from, b.until, b.share = b.field("from"), b.field("until"), b.field("share")
	b.from.OnChanged = func(string) { b.tellTarget() }
	b.add = fields.NewButton("", b.plant)
	b.dates = container.NewGridWithColumns(2, b.from, b.until)
	b.forms = [2]*form{b.newPlantForm(), b.newCropForm()}
	b.clear = fields.NewLink("clear", func() { b.form().clear() })
	b.clear.Small = true
	b.key = fields.NewWord("Key", "", func() {
		on := b.legend.box.Hidden
		b.keyAsked = &on
		b.showKey()
		b.scroll.ScrollToTop()
	})
	b.key.Small = true
	for _, f := range b.forms {
		f.search.OnSubmitted = func(string) { b.enter() }
	}
	b.show(false)
	s.Observe(b.hear)
	return b
}

// field is a line of text that is read when something is planted; Enter plants.
func (b *Browser) field(prompt string) *fields.Entry {
	e := fields.NewEntry(nil)
	e.SetPlaceHolder(prompt)
	e.OnSubmitted = func(string) { b.plant() }
	return e
}

// CreateRenderer lays what is asked over the list, the chosen one under it, and the planting at the foot.
func (b *Browser) CreateRenderer() fyne.WidgetRenderer {
	says := container.NewBorder(nil, nil, nil, container.NewHBox(b.clear, b.key, b.months), b.summary)
	heads := container.NewHBox(b.kinds[0], b.kinds[1], layout.NewSpacer(), b.forms[0].fold, b.forms[1].fold)
	ask := container.NewVBox(heads, b.forms[0].box, b.forms[1].box, says)
	share := container.NewGridWrap(fyne.NewSize(76, b.share.MinSize().Height), b.share)
	foot := container.NewVBox(b.dates, container.NewBorder(nil, nil, nil, share, b.add))
	split := container.NewVSplit(b.list, container.NewBorder(nil, foot, nil, nil, b.scroll))
	split.Offset = 0.55
	return widget.NewSimpleRenderer(container.NewBorder(ask, nil, nil, nil, split))
}

// Else says what becomes of keys that mean nothing to the list.
func (b *Browser) Else(r func(rune), k func(*fyne.KeyEvent)) { b.list.Rune, b.list.Key = r, k }

// Search is the line to type in, for whoever opens the pane by a key.
func (b *Browser) Search() fyne.Focusable { return b.form().search }

// Show brings the pane up to date, which it was not while hidden.
func (b *Browser) Show() {
	b.BaseWidget.Show()
	if b.stale {
		b.update()
	}
}

// hear follows the session. A gesture that is under way changes neither the place nor the time asked about.
func (b *Browser) hear(w session.What) {
	switch {
	case w&(session.PlanChanged|session.AskChanged|session.SelectionChanged) == 0:
	case b.Hidden:
		b.stale = true
	case w&(session.PlanChanged|session.AskChanged) != 0:
		b.update()
	default:
		b.tellTarget()
	}
}

func (b *Browser) form() *form {
	if b.crops {
		return b.forms[1]
	}
	return b.forms[0]
}

// show lists crops or plants.
func (b *Browser) show(crops bool) {
	b.crops, b.chosen = crops, nil
	b.kinds[0].SetOn(!crops)
	b.kinds[1].SetOn(crops)
	hide := map[bool]func(fyne.CanvasObject){true: fyne.CanvasObject.Hide, false: fyne.CanvasObject.Show}
	hide[crops](b.forms[0].box)
	hide[crops](b.months)
	hide[!crops](b.forms[1].box)
	hide[!crops](b.dates)
	hide[crops](b.forms[0].fold)
	hide[!crops](b.forms[1].fold)
	b.legend.set(crops)
	b.update()
	b.list.Top()
	b.Refresh()
}

// showKey shows what bars and letters mean: as was asked, else while there is nothing else to tell.
func (b *Browser) showKey() {
	on := b.chosen == nil
	if b.keyAsked != nil {
		on = *b.keyAsked
	}
	b.legend.box.Hidden = !on
	b.key.SetOn(on)
	b.scroll.Refresh()
}

// told is what a line's row tells.
func (b *Browser) told(l line) told {
	x := told{name: l.name(), scientific: l.scientific(), plant: l.plant != nil, on: b.asking().on, marks: marksOf(b.session.Catalogue(), l)}
	if l.plant == nil {
		x.further, x.says = b.measures(l.crop), need(l.crop)
		if l.caution() != "" {
			x.warning = "caution"
		}
		return x
	}
	place := b.session.Plan().Place
	x.bloom, x.known = b.session.Assessment().BloomOf(l.plant)
	x.placed = place != nil || l.plant.BloomPlace.ID == ""
	switch {
	case l.plant.Weed(habitat.RegionOf(place)) != "":
		x.warning = "invasive"
	case l.caution() != "":
		x.warning = "caution"
	}
	return x
}

// measures are a crop's spacing in the row and days to harvest in a few words.
func (b *Browser) measures(c *data.Crop) string {
	var out []string
	if c.InRowMinCM > 0 {
		metric := between(data.Centimetres(c.InRowMinCM), data.Centimetres(c.InRowMaxCM)) + " cm"
		out = append(out, value(data.Fact{Value: metric, Min: c.InRowMinCM, Max: c.InRowMaxCM, Unit: "cm"}, panes.System(b.session)))
	}
	if c.DaysMin > 0 {
		out = append(out, between(fmt.Sprint(c.DaysMin), fmt.Sprint(c.DaysMax))+" days")
	}
	return strings.Join(out, ", ")
}

func between(low, high string) string {
	if high == low || high == "0" {
		return low
	}
	return low + "–" + high
}

// asking is what the form asks, with the time that is marked on the bars: the strip's, or the one that is chosen.
func (b *Browser) asking() asked {
	strip := b.session.Ask().On
	q := b.form().asked(strip)
	if !q.flowers {
		q.on = strip
	}
	return q
}

// update lists what matches now. What was chosen stays chosen while it is listed.
func (b *Browser) update() {
	if b.forms[1] == nil {
		return // still being put together
	}
	b.stale = false
	b.forms[0].tellHere(b.session.Ask().On, habitat.RegionOf(b.session.Plan().Place).Zone)
	f := b.form()
	q := b.asking()
	narrowed, _ := f.narrowed()
	b.clear.Hidden = !narrowed
	f.sayFolded()
	q.prepare(b.session.Catalogue())
	b.summary.SetText(b.fill(&q))
	b.sort(f.order.SelectedIndex())
	b.quiet = true
	b.list.UnselectAll()
	if i := b.index(); i >= 0 {
		b.chosen = &b.shown[i] // the grower's own word on it may have changed
		b.list.Select(i)
	} else {
		b.chosen = nil
	}
	b.quiet = false
	b.list.Refresh()
	b.tell()
}

// sort puts the lines in the order chosen, and by name where that makes no difference; what is not known comes last.
func (b *Browser) sort(order int) {
	by := func(l line) float64 {
		v := 0.0
		switch {
		case l.plant != nil && order == 1:
			if w, _ := b.session.Assessment().BloomOf(l.plant); w.Given() {
				v = float64(w.From)
			}
		case l.plant != nil && order == 2:
			v = l.plant.HeightMaxCM
		case l.crop != nil && order == 1:
			v = float64(l.crop.DaysMin)
		case l.crop != nil && order == 2:
			v = l.crop.InRowMinCM
		}
		if v == 0 && order > 0 {
			return math.Inf(1)
		}
		return v
	}
	slices.SortStableFunc(b.shown, func(x, y line) int {
		if x.crop != nil && order == 3 {
			if c := strings.Compare(x.crop.Family, y.crop.Family); c != 0 {
				return c
			}
		} else if c := cmp.Compare(by(x), by(y)); c != 0 {
			return c
		}
		return strings.Compare(strings.ToLower(x.name()), strings.ToLower(y.name()))
	})
}

// fill lists what is asked for, and says how many there are and what was left out.
func (b *Browser) fill(q *asked) string {
	c := b.session.Catalogue()
	b.shown = nil
	if b.crops {
		for _, x := range c.Crops {
			if q.crop(x) {
				b.shown = append(b.shown, line{crop: x})
			}
		}
		return fmt.Sprintf("%d of %d crops", len(b.shown), len(c.Crops))
	}
	weeds := 0
	for _, x := range c.Plants {
		switch {
		case !q.plant(b.session, x):
		case b.session.Assessment().Offered(x):
			b.shown = append(b.shown, line{plant: x})
		default:
			weeds++
		}
	}
	text := fmt.Sprintf("%d of %d plants", len(b.shown), len(c.Plants))
	if weeds > 0 {
		text += fmt.Sprintf("; %d left out as weeds", weeds)
		if b.session.Plan().Place != nil {
			text += " here"
		}
	}
	if q.people || q.stock || q.skin || q.safe {
		text += "; no harm listed is no proof"
	}
	return text
}

// index is where the chosen one stands in the list; -1 where it does not.
func (b *Browser) index() int {
	if b.chosen == nil {
		return -1
	}
	return slices.IndexFunc(b.shown, func(l line) bool { return l.id() == b.chosen.id() })
}

// choose tells of a line that was chosen by hand.
func (b *Browser) choose(l line) {
	if b.quiet {
		return
	}
	b.chosen = &l
	b.tell()
	b.scroll.ScrollToTop()
}

// enter goes from the search to the list.
func (b *Browser) enter() {
	if len(b.shown) == 0 {
		return
	}
	b.list.step(max(0, b.index()))
	if c := fyne.CurrentApp().Driver().CanvasForObject(b); c != nil {
		c.Focus(b.list)
	}
}

func (b *Browser) say(text string) {
	if b.Say != nil {
		b.Say(text)
	}
}
