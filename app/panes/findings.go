package panes

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/app/session"
	"hedgereach/data"
	"hedgereach/habitat"
)

// Findings lists what a grower should look at, the gravest first. Choosing one shows it on the ground, and says in full what,
// where, why and what would mend it.
type Findings struct {
	widget.BaseWidget
	session *session.Session
	all     []habitat.Finding
	chosen  *habitat.Finding

	summary *widget.Label
	list    *fields.List
	full    *widget.RichText
	show    *fields.Button
	stand   *letStand
	quiet   bool
	pacer   pacer
}

// NewFindings is the list of a session's findings.
func NewFindings(s *session.Session, dispatch func(func())) *Findings {
	f := &Findings{session: s, pacer: pacer{dispatch: dispatch}}
	f.ExtendBaseWidget(f)
	f.pacer.work, f.pacer.hidden = f.update, func() bool { return f.Hidden }
	f.summary = widget.NewLabel("")
	f.summary.Wrapping = fyne.TextWrapWord
	f.list = fields.NewList(func() int { return len(f.all) }, func() fyne.CanvasObject { return newFindingRow() },
		func(i int, o fyne.CanvasObject) { o.(*findingRow).set(s, &f.all[i]) })
	f.list.OnSelected = func(i widget.ListItemID) {
		if !f.quiet {
			f.choose(f.all[i])
		}
	}
	f.full = widget.NewRichText()
	f.full.Wrapping = fyne.TextWrapWord
	f.show = fields.NewButton("Show on the ground", func() {
		if f.chosen != nil {
			s.Show(f.chosen.Features, f.chosen)
		}
	})
	f.stand = newLetStand(s)
	f.update()
	s.Observe(f.pacer.hear)
	return f
}

// Else says what becomes of keys that mean nothing to the list.
func (f *Findings) Else(r func(rune), k func(*fyne.KeyEvent)) { f.list.Rune, f.list.Key = r, k }

// Show brings the pane up to date, which it was not while hidden.
func (f *Findings) Show() {
	f.BaseWidget.Show()
	f.pacer.now()
}

// CreateRenderer lays the list over the chosen finding in full.
func (f *Findings) CreateRenderer() fyne.WidgetRenderer {
	full := container.NewVScroll(container.NewVBox(f.full, container.NewHBox(f.show), f.stand))
	split := container.NewVSplit(container.NewBorder(f.summary, nil, nil, nil, f.list), full)
	split.Offset = 0.5
	return widget.NewSimpleRenderer(split)
}

// Count is the number of findings, for the pane's heading.
func (f *Findings) Count() int { return len(habitat.Open(f.session.Findings())) }

func (f *Findings) choose(x habitat.Finding) {
	f.chosen = &x
	f.session.Show(x.Features, &x)
	f.tell()
}

// update shows the findings as they are now. The one that was chosen stays chosen while it stands.
func (f *Findings) update() {
	f.all = f.session.Findings()
	// What the grower lets stand comes last.
	slices.SortStableFunc(f.all, func(x, y habitat.Finding) int { return order(x) - order(y) })
	f.summary.SetText(findingSummary(f.all))
	f.list.Refresh()
	i := -1
	if f.chosen != nil {
		i = slices.IndexFunc(f.all, func(x habitat.Finding) bool { return x.Same(f.chosen) })
	}
	f.quiet = true
	f.list.UnselectAll()
	if i >= 0 {
		f.chosen = &f.all[i]
		f.list.Select(i)
	} else {
		f.chosen = nil
	}
	f.quiet = false
	f.tell()
}

func order(f habitat.Finding) int {
	if f.Accepted != nil {
		return 1
	}
	return 0
}

func (f *Findings) tell() {
	if f.chosen == nil {
		f.show.Hide()
		f.stand.Hide()
		text := "Choose a finding to see where it is, why it matters and what would mend it."
		if len(f.all) == 0 {
			text = ""
		}
		f.setFull(quiet(text))
		return
	}
	f.show.Show()
	f.stand.Show()
	x := f.chosen
	f.stand.load(x)
	segments := []widget.RichTextSegment{
		&widget.TextSegment{Text: x.Title, Style: widget.RichTextStyleSubHeading},
		plain(x.Message),
	}
	if w := where(f.session, x); w != "" {
		segments = append(segments, label("Where"), plain(w))
	}
	if x.Mend != "" {
		segments = append(segments, label("What would mend it"), plain(x.Mend))
	}
	if a := x.Accepted; a != nil {
		words := a.Reason
		if words == "" {
			words = "no reason given"
		}
		if !a.Date.IsZero() {
			words += " (" + a.Date.Format("2 Jan 2006") + ")"
		}
		segments = append(segments, label("You let it stand"), plain(words))
	}
	if x.Source != "" {
		segments = append(segments, label("Why"), plain(x.Source+evidenceWords(x.Evidence)))
	}
	f.setFull(segments...)
}

// setFull changes the text only where it differs, since wrapping it anew for each frame of a drag would be wasted work.
func (f *Findings) setFull(s ...widget.RichTextSegment) {
	words := func(ss []widget.RichTextSegment) (out []string) {
		for _, x := range ss {
			out = append(out, x.Textual())
		}
		return out
	}
	if slices.Equal(words(s), words(f.full.Segments)) {
		return
	}
	f.full.Segments = s
	f.full.Refresh()
}

func findingSummary(all []habitat.Finding) string {
	if len(all) == 0 {
		return "Nothing to look at: no finding."
	}
	var n [4]int
	open := habitat.Open(all)
	for _, f := range open {
		n[f.Severity.Gravity()]++
	}
	var parts []string
	for i, w := range []string{"warning", "advice", "note"} {
		switch {
		case n[i] == 0:
		case i == 1:
			parts = append(parts, fmt.Sprintf("%d of advice", n[i]))
		default:
			parts = append(parts, plural(n[i], w))
		}
	}
	if stand := len(all) - len(open); stand > 0 {
		parts = append(parts, fmt.Sprintf("%d let stand", stand))
	}
	return plural(len(open), "finding") + ": " + strings.Join(parts, ", ") + "."
}

// where names the features that a finding is about.
func where(s *session.Session, f *habitat.Finding) string {
	var names []string
	for _, id := range f.Features {
		if x, _ := s.Plan().Find(id); x != nil {
			names = append(names, x.Title())
		}
	}
	const most = 12
	if len(names) > most {
		return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
	}
	return strings.Join(names, ", ")
}

func evidenceWords(e data.Evidence) string {
	switch e {
	case data.Good, data.Medium, data.Low:
		return fmt.Sprintf(" (evidence: %s)", e)
	case data.Contested:
		return " (evidence: contested, sources disagree)"
	}
	return ""
}

func plain(text string) widget.RichTextSegment {
	return &widget.TextSegment{Text: text, Style: widget.RichTextStyleParagraph}
}

func quiet(text string) widget.RichTextSegment {
	return &widget.TextSegment{Text: text, Style: widget.RichTextStyle{ColorName: theme.ColorNamePlaceHolder,
		SizeName: theme.SizeNameText}}
}

func label(text string) widget.RichTextSegment {
	return &widget.TextSegment{Text: text, Style: widget.RichTextStyle{ColorName: theme.ColorNamePlaceHolder,
		SizeName: theme.SizeNameCaptionText, TextStyle: fyne.TextStyle{Bold: true}}}
}

// A findingRow shows a finding in two lines: what and where, then how so.
type findingRow struct {
	widget.BaseWidget
	chip           *Chip
	title, message *widget.Label
}

func newFindingRow() *findingRow {
	r := &findingRow{chip: NewChip(), title: widget.NewLabel(""), message: widget.NewLabel("")}
	r.title.Truncation, r.message.Truncation = fyne.TextTruncateEllipsis, fyne.TextTruncateEllipsis
	r.message.SizeName, r.message.Importance = theme.SizeNameCaptionText, widget.LowImportance
	r.ExtendBaseWidget(r)
	return r
}

func (r *findingRow) set(s *session.Session, f *habitat.Finding) {
	r.chip.SetSeverity(f.Severity)
	for l, t := range map[*widget.Label]string{r.title: f.Heading(s.Plan(), s.Catalogue()), r.message: said(f) + " · " + f.Message} {
		if l.Text != t {
			l.SetText(t)
		}
	}
}

// said is how grave a finding is, or that it may stand.
func said(f *habitat.Finding) string {
	if f.Accepted != nil {
		return "let stand"
	}
	return string(f.Severity)
}

// CreateRenderer lays the two lines beside the chip.
func (r *findingRow) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(container.New(chipAndLines{}, r.chip, r.title, r.message))
}

// chipAndLines puts two lines close to each other behind a chip.
type chipAndLines struct{}

const lineTuck = 13

func (chipAndLines) MinSize(o []fyne.CanvasObject) fyne.Size {
	a, b := o[1].MinSize(), o[2].MinSize()
	return fyne.NewSize(160, a.Height+b.Height-lineTuck)
}

func (chipAndLines) Layout(o []fyne.CanvasObject, size fyne.Size) {
	c := o[0].MinSize()
	o[0].Move(fyne.NewPos(6, 7))
	o[0].Resize(c)
	x, y := c.Width+8, float32(0)
	for _, l := range o[1:] {
		h := l.MinSize().Height
		l.Move(fyne.NewPos(x, y))
		l.Resize(fyne.NewSize(size.Width-x, h))
		y += h - lineTuck
	}
}
