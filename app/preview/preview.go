// Package preview shows the sheets before they go to paper: which, on what paper and how, turned page by page, at true size if
// wanted. It lays out and paints away from the toolkit's goroutine; it writes and prints nothing itself.
package preview

import (
	"errors"
	"fmt"
	"image/color"
	"slices"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/drawing"
	"hedgereach/app/fields"
	"hedgereach/app/recovery"
	"hedgereach/app/sheet"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/quantities"
	"hedgereach/habitat/spacing"
)

// A Config says what is previewed.
type Config struct {
	Make     func(sheet.Options) (*sheet.Set, error) // lays the sheets out; called away from the toolkit's goroutine
	Ask      sheet.Options                           // what the maps are asked about: guild, range, half-month
	Shows    string                                  // the same in words
	Plan     *plan.Plan                              // that the set is of
	Settings fyne.Preferences                        // remembers paper and the like
	Dispatch func(func())                            // runs a function on the toolkit's goroutine
	Go       func(func())                            // runs one away from it; nil: a goroutine
}

// A Preview is the choices and the pages.
type Preview struct {
	Object fyne.CanvasObject
	// Ready is told when a set is there to be written or printed, and when there is none any more; nil is allowed.
	Ready func(bool)

	config Config
	kinds  []*widget.Check // as in sheet.Sheets
	paper  *fields.Pick
	lies   *fields.Pick
	scale  *fields.Pick
	scales []int // as listed after the first, which is the largest that fits
	grey   *widget.Check
	big    *widget.Check
	sizes  *widget.Check
	spare  *fields.Pick // shares of spares
	seed   *fields.Pick
	stand  *fields.Pick // spacing.Layouts
	author *fields.Entry
	mark   *fields.Entry
	notes  *fields.Entry

	view   *pageView
	scroll *container.Scroll
	zoom   *fields.Pick
	where  *widget.Label // page 2 of 9
	says   *widget.Label
	turns  [4]*widget.Button // first, back, on, last
	perMM  float64           // units of the toolkit in a millimetre, for true size
	bar    *canvas.Rectangle
	ruler  *fields.Entry

	set   *sheet.Set
	page  int
	busy  bool
	again bool
	built bool
}

// spares are the shares on offer of plants or seed to get on top of those that are to stand.
var spares = []float64{0, quantities.UsualSpare, 0.2, 0.3, quantities.UsualSeedSpare, 1}

// layouts are how habitat plants can stand, the usual one first.
var layouts = []spacing.Layout{spacing.Triangular, spacing.Square}

// Keys of the settings.
const (
	paperKey  = "sheets.paper"
	greyKey   = "sheets.grey"
	bigKey    = "sheets.big"
	authorKey = "sheets.author"
	perMMKey  = "sheets.units-per-mm"
)

// usualPerMM is how the toolkit takes a screen whose size it knows: 120 units to an inch.
const usualPerMM = 120 / 25.4

// New is a preview; what is laid out appears when it is ready.
func New(c Config) *Preview {
	if c.Go == nil {
		c.Go = func(f func()) { go f() }
	}
	p := &Preview{config: c, perMM: c.Settings.FloatWithFallback(perMMKey, usualPerMM)}
	p.Object = container.NewBorder(nil, nil, p.choices(), nil, p.pages())
	p.built = true
	p.refresh()
	return p
}

// Set is what is shown; nil where there is nothing, or where it is being laid out anew.
func (p *Preview) Set() *sheet.Set {
	if p.busy {
		return nil
	}
	return p.set
}

// Options are the choices as options of a set.
func (p *Preview) Options() sheet.Options {
	o := p.config.Ask
	o.Paper, o.Orientation = sheet.Papers[max(0, p.paper.SelectedIndex())], sheet.Orientation(max(0, p.lies.SelectedIndex()))
	o.Grey, o.Big, o.Dimensions = p.grey.Checked, p.big.Checked, p.sizes.Checked
	o.Author, o.Version, o.Notes = strings.TrimSpace(p.author.Text), strings.TrimSpace(p.mark.Text), strings.TrimSpace(p.notes.Text)
	plants, seed := spares[max(0, p.spare.SelectedIndex())], spares[max(0, p.seed.SelectedIndex())]
	o.Numbers.Spare, o.Numbers.SeedSpare = &plants, &seed
	o.Numbers.Layout = layouts[max(0, p.stand.SelectedIndex())]
	if i := p.scale.SelectedIndex(); i > 0 {
		o.ScaleDenominator = p.scales[i-1]
	}
	o.Sheets = nil
	for i, k := range p.kinds {
		if k.Checked {
			o.Sheets = append(o.Sheets, sheet.Sheets[i].Kind)
		}
	}
	return o
}

// Focus is what should hear the keys: the pages.
func (p *Preview) Focus() fyne.Focusable { return p.view }

// choose ticks sheets by their places in sheet.Sheets, and lays out once.
func (p *Preview) choose(chosen func(i int) bool) {
	for i, k := range p.kinds {
		k.Checked = chosen(i)
		k.Refresh()
	}
	p.refresh()
}

func (p *Preview) choices() fyne.CanvasObject {
	changed := func(string) { p.refresh() }
	list := func(words []string, chosen int) *fields.Pick {
		l := fields.NewPick(words, words[chosen])
		l.Leave = func() { fields.PassKey(l, &fyne.KeyEvent{Name: fyne.KeyEscape}) }
		l.OnChanged = changed
		return l
	}
	tick := func(words string, on bool) *widget.Check {
		k := widget.NewCheck(words, nil)
		k.Checked = on
		k.OnChanged = func(bool) { p.refresh() }
		return k
	}
	line := func(text, hint string) *fields.Entry {
		e := fields.NewEntry(func(string) error {
			p.refresh()
			return nil
		})
		e.Load(text)
		e.SetPlaceHolder(hint)
		return e
	}
	s, u := p.config.Settings, p.config.Plan.Units
	for _, k := range sheet.Sheets {
		p.kinds = append(p.kinds, tick(k.Title, k.UsualOf(p.config.Plan)))
	}
	var papers []string
	chosen := 0
	for i, k := range sheet.Papers {
		papers = append(papers, k.Name)
		if k.Name == s.String(paperKey) {
			chosen = i
		}
	}
	p.paper = list(papers, chosen)
	p.lies = list([]string{"As gives the larger map", "Upright", "Lengthwise"}, 0)
	words := []string{"The largest that fits"}
	p.scales = sheet.Scales(u)
	for _, n := range p.scales {
		words = append(words, sheet.ScaleName(n, u))
	}
	p.scale = list(words, 0)
	p.grey, p.big = tick("Black ink only", s.Bool(greyKey)), tick("Big print", s.Bool(bigKey))
	p.sizes = tick("Length and width in the beds", false)
	var shares []string
	for _, v := range spares {
		shares = append(shares, fmt.Sprintf("%.0f%%", v*100))
	}
	p.spare, p.seed = list(shares, slices.Index(spares, quantities.UsualSpare)), list(shares, slices.Index(spares, quantities.UsualSeedSpare))
	p.stand = list([]string{"Triangles", "Squares"}, 0)
	p.author, p.mark, p.notes = line(s.String(authorKey), "a name for the title"), line("", "a mark made from the plan"), line("", "printed with the cautions")

	shows := widget.NewLabel("Maps show " + p.config.Shows + ".")
	shows.Wrapping = fyne.TextWrapWord
	links := container.NewHBox(layout.NewSpacer())
	for _, c := range []struct {
		words  string
		chosen func(i int) bool
	}{
		{"the usual", func(i int) bool { return sheet.Sheets[i].UsualOf(p.config.Plan) }},
		{"all", func(int) bool { return true }},
		{"only the map", func(i int) bool { return sheet.Sheets[i].Kind == sheet.PlotMap }},
	} {
		links.Add(fields.NewLink(c.words, func() { p.choose(c.chosen) }))
	}
	box := container.NewVBox(container.NewBorder(nil, nil, head("Which"), nil, links))
	for _, k := range p.kinds {
		box.Add(k)
	}
	box.Add(shows)
	box.Add(head("Paper"))
	box.Add(widget.NewForm(widget.NewFormItem("Size", p.paper), widget.NewFormItem("Lies", p.lies), widget.NewFormItem("Scale", p.scale)))
	for _, o := range []fyne.CanvasObject{p.grey, p.big, p.sizes, head("Numbers of plants"),
		widget.NewForm(widget.NewFormItem("Spare plants", p.spare), widget.NewFormItem("Spare seed", p.seed),
			widget.NewFormItem("Habitats in", p.stand)), head("On the title"),
		widget.NewForm(widget.NewFormItem("Drawn by", p.author), widget.NewFormItem("Version", p.mark), widget.NewFormItem("Notes", p.notes)),
		head("True size on this screen"), p.measure()} {
		box.Add(o)
	}
	edge := canvas.NewRectangle(color.Transparent) // keeps the fields clear of the scroll bar
	edge.SetMinSize(fyne.NewSize(14, 1))
	scroll := container.NewVScroll(container.NewBorder(nil, nil, nil, edge, box))
	scroll.SetMinSize(fyne.NewSize(310, 200))
	return scroll
}

func head(words string) fyne.CanvasObject {
	return widget.NewLabelWithStyle(words, fyne.TextAlignLeading, fyne.TextStyle{Bold: true})
}

// barMM is how long the bar is that is held against a ruler.
const barMM = 50.0

// measure makes true size true: a bar to hold a ruler against.
func (p *Preview) measure() fyne.CanvasObject {
	p.bar = canvas.NewRectangle(theme.Color(theme.ColorNameForeground))
	p.sizeBar()
	p.ruler = fields.NewEntry(func(text string) error {
		mm, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(strings.ReplaceAll(text, ",", "."), "mm")), 64)
		if err != nil || !(mm >= 10 && mm <= 250) {
			err := errors.New("write what the ruler reads in millimetres, from 10 to 250")
			p.says.SetText(err.Error())
			return err
		}
		p.perMM *= barMM / mm
		p.config.Settings.SetFloat(perMMKey, p.perMM)
		p.sizeBar()
		p.view.resize()
		p.ruler.Load("")
		p.tell()
		return nil
	})
	p.ruler.SetPlaceHolder("mm by a ruler")
	return container.NewVBox(widget.NewLabel(fmt.Sprintf("This bar should be %.0f mm long. It is:", barMM)),
		container.NewHBox(p.bar), p.ruler)
}

func (p *Preview) sizeBar() {
	p.bar.SetMinSize(fyne.NewSize(float32(barMM*p.perMM), 8))
	p.bar.Refresh()
}

// The zooms, as listed.
const (
	wholePage = iota
	pageWidth
	trueSize
	twiceTrue
)

func (p *Preview) pages() fyne.CanvasObject {
	p.view = newPageView(p)
	p.scroll = container.NewScroll(p.view)
	p.where, p.says = widget.NewLabel(""), widget.NewLabel("")
	p.says.Wrapping = fyne.TextWrapWord
	p.zoom = fields.NewPick([]string{"Whole page", "Page’s width", "True size", "Twice true size"}, "Whole page")
	p.zoom.Leave = func() { fields.PassKey(p.zoom, &fyne.KeyEvent{Name: fyne.KeyEscape}) }
	p.zoom.OnChanged = func(string) {
		p.scroll.ScrollToTop()
		p.view.resize()
	}
	for i, k := range []struct {
		icon fyne.Resource
		to   func() int
	}{{theme.MediaSkipPreviousIcon(), func() int { return 0 }}, {theme.NavigateBackIcon(), func() int { return p.page - 1 }},
		{theme.NavigateNextIcon(), func() int { return p.page + 1 }}, {theme.MediaSkipNextIcon(), func() int { return 1 << 20 }}} {
		p.turns[i] = widget.NewButtonWithIcon("", k.icon, func() { p.Turn(k.to()) })
		p.turns[i].Importance = widget.LowImportance
	}
	bar := container.NewBorder(nil, nil, container.NewHBox(p.turns[0], p.turns[1], p.turns[2], p.turns[3], p.where), p.zoom)
	return container.NewBorder(bar, p.says, nil, nil, p.scroll)
}

// Turn shows a page, counted from 0; one that is not there becomes the nearest.
func (p *Preview) Turn(to int) {
	if p.set == nil {
		return
	}
	p.page = min(max(to, 0), len(p.set.Pages)-1)
	p.scroll.ScrollToTop()
	p.show()
}

// refresh lays out anew. While that is under way, only the last of several changes counts.
func (p *Preview) refresh() {
	if !p.built {
		return
	}
	if p.busy {
		p.again = true
		return
	}
	o := p.Options()
	s := p.config.Settings
	s.SetString(paperKey, o.Paper.Name)
	s.SetBool(greyKey, o.Grey)
	s.SetBool(bigKey, o.Big)
	s.SetString(authorKey, o.Author)
	if len(o.Sheets) == 0 {
		p.take(nil, errors.New("choose a sheet"))
		return
	}
	p.busy = true
	p.ready(false)
	p.says.SetText("Laying the sheets out …")
	p.config.Go(func() {
		var set *sheet.Set
		var err error
		if fault := recovery.Guard(func() { set, err = p.config.Make(o) }); fault != nil {
			set, err = nil, fault
		}
		p.config.Dispatch(func() {
			p.busy = false
			if p.again {
				p.again = false
				p.refresh()
				return
			}
			p.take(set, err)
		})
	})
}

// take shows a set, or why there is none.
func (p *Preview) take(set *sheet.Set, err error) {
	var kind sheet.Kind
	if p.set != nil && p.page < len(p.set.Pages) {
		kind = p.set.Pages[p.page].Kind
	}
	old := p.page
	p.set, p.page = set, 0
	p.ready(set != nil)
	if err != nil {
		p.set = nil
		p.says.SetText(capital(err.Error()) + ".")
		p.show()
		return
	}
	// Stay on the page, else on the sheet, that was looked at.
	if old < len(set.Pages) && set.Pages[old].Kind == kind {
		p.page = old
	} else {
		for i, page := range set.Pages {
			if page.Kind == kind {
				p.page = i
				break
			}
		}
	}
	p.tell()
	p.show()
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func (p *Preview) ready(yes bool) {
	if p.Ready != nil {
		p.Ready(yes)
	}
}

// tell says what the set is at the foot.
func (p *Preview) tell() {
	if p.set == nil {
		return
	}
	words := fmt.Sprintf("%d pages, plot map at %s.", len(p.set.Pages), sheet.ScaleName(p.set.Denominator, p.config.Plan.Units))
	if len(p.set.Pages) == 1 {
		words = "One" + strings.TrimPrefix(strings.Replace(words, "pages", "page", 1), "1")
	}
	if p.set.Unprinted != "" {
		words += " Note: " + p.set.Unprinted + "."
	}
	p.says.SetText(words)
}

// show brings the page and what is said of it up to date.
func (p *Preview) show() {
	n := 0
	where := ""
	if p.set != nil {
		n = len(p.set.Pages)
		where = fmt.Sprintf("%d of %d · %s", p.page+1, n, p.set.Pages[p.page].Name)
	}
	p.where.SetText(where)
	for i, b := range p.turns {
		if back := i < 2; n == 0 || back && p.page == 0 || !back && p.page == n-1 {
			b.Disable()
		} else {
			b.Enable()
		}
	}
	p.view.resize()
}

// sheet is the page that is shown; nil for none.
func (p *Preview) sheet() *drawing.List {
	if p.set == nil {
		return nil
	}
	return &p.set.Pages[p.page].List
}
