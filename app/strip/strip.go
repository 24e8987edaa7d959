// Package strip is the season along the lower edge of the ground: 24 half-months with the ground in flower, the number of
// species, the frosts, the bloom gaps, and a cursor that chooses the time asked about. It shows what the session's
// assessment says and measures nothing.
package strip

import (
	"fmt"
	"strings"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/app/session"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry/length"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// A Strip is the season strip: a line that says what is shown, over the chart.
type Strip struct {
	widget.BaseWidget
	session  *session.Session
	chart    *Chart
	says     *widget.Label
	head     *fyne.Container // the line; nil until it is shown
	whole    *fields.Word
	play     *fields.Word
	playing  func() // stops the play; nil while the strip stands still
	dispatch func(func())
	tick     time.Duration // between half-months of a play

	fed   [season.HalfMonths][]*data.Guild // who finds flowers to eat from, in the plan fedIn by the catalogue fedBy
	fedIn *plan.Plan
	fedBy *data.Catalogue
}

// New is the strip of a session. It observes the session for as long as the session lives. Dispatch runs a function on the
// window's goroutine.
func New(s *session.Session, dispatch func(func())) *Strip {
	t := &Strip{session: s, dispatch: dispatch, tick: beat}
	t.ExtendBaseWidget(t)
	t.says = widget.NewLabel("")
	t.says.Truncation = fyne.TextTruncateEllipsis
	t.whole = fields.NewWord("Whole season", "", func() {
		t.Stop()
		choose(s, nil)
	})
	t.play = fields.NewWord(playWord, "", t.Play)
	t.chart = newChart(s, t.say)
	t.chart.fed, t.chart.still, t.chart.plays = t.enemies, t.Stop, t.Play
	t.say()
	s.Observe(func(w session.What) {
		if w&^session.FileChanged != 0 {
			t.say()
			t.chart.update()
		}
	})
	return t
}

// Chart is the drawn part, which takes the pointer and the arrow keys.
func (t *Strip) Chart() *Chart { return t.chart }

// Says is the line above the chart.
func (t *Strip) Says() string { return t.says.Text }

// CreateRenderer lays the line over the chart.
func (t *Strip) CreateRenderer() fyne.WidgetRenderer {
	title := widget.NewLabel("Season")
	title.TextStyle.Bold = true
	t.head = container.New(headLine{}, title, t.says, newKey(), t.play, t.whole)
	return widget.NewSimpleRenderer(container.New(stacked{}, t.head, t.chart))
}

func (t *Strip) say() {
	at := t.session.Ask().On
	t.whole.SetOn(at == nil)
	if t.chart.over != nil {
		at = t.chart.over
	}
	if text := Words(t.session.Assessment(), t.enemies(), at, bedOf(t.session)); text != t.says.Text {
		t.says.SetText(text)
		if t.head != nil { // the key gives way to what is said
			t.head.Layout.Layout(t.head.Objects, t.head.Size())
		}
	}
}

// enemies are the groups of enemies that find flowers to eat from, found once for a plan and a catalogue.
func (t *Strip) enemies() *[season.HalfMonths][]*data.Guild {
	if a := t.session.Assessment(); a.Plan != t.fedIn || a.Catalogue != t.fedBy {
		t.fed, t.fedIn, t.fedBy = a.Fed(), a.Plan, a.Catalogue
	}
	return &t.fed
}

// choose asks about a half-month, or with nil about the whole season.
func choose(s *session.Session, h *season.HalfMonth) {
	a := s.Ask()
	a.On = h
	s.SetAsk(a)
}

// bedOf is the selected bed as measured, where one bed alone is selected.
func bedOf(s *session.Session) *habitat.Bed {
	ids := s.Selection()
	if len(ids) != 1 {
		return nil
	}
	for _, b := range s.Assessment().Beds {
		if b.Feature.ID == ids[0] {
			return b
		}
	}
	return nil
}

// Words says in one line what the strip shows at a half-month, or with nil of the season as a whole.
func Words(a *habitat.Assessment, fed *[season.HalfMonths][]*data.Guild, at *season.HalfMonth, bed *habitat.Bed) string {
	var parts []string
	if at != nil {
		c := a.Site.Cover[*at]
		parts = append(parts, fmt.Sprintf("%s: %s of the ground in flower, %s, %s fed", at.Label(), fields.FormatShare(c.Fraction),
			count(c.Species, "species", "species"), count(len(fed[*at]), "group of enemies", "groups of enemies")))
		if bed != nil && bed.CoverRadiusM > 0 {
			sys := length.Metric
			if a.Plan.Units == plan.US {
				sys = length.US
			}
			parts[0] += fmt.Sprintf("; within %s of %s %s", length.FormatRange(bed.CoverRadiusM, sys), bed.Feature.Title(),
				fields.FormatShare(bed.Cover[*at].Fraction))
		}
		for _, g := range a.Site.BloomGaps {
			if g == *at {
				parts = append(parts, "a bloom gap")
			}
		}
	} else {
		switch n := len(a.Site.BloomGaps); {
		case len(a.Site.Season) == 0:
			parts = append(parts, "the usual frosts are not given, so bloom gaps are not looked for (Plan, Place and season)")
		case n == 0:
			parts = append(parts, "three species or more in flower from last to first frost")
		default:
			parts = append(parts, count(n, "bloom gap", "bloom gaps")+": "+fields.Runs(a.Site.BloomGaps))
		}
	}
	if a.BloomEstimated {
		parts = append(parts, "dates estimated for this place")
	}
	return strings.Join(parts, " · ")
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// headLine lays the title, what is said, the key of the curves and the words to press in a line. The key goes first where the
// room is short for what is said: that names the same things.
type headLine struct{}

func (headLine) MinSize(o []fyne.CanvasObject) fyne.Size {
	var s fyne.Size
	for i, x := range o {
		m := x.MinSize()
		s.Height = max(s.Height, m.Height)
		if i != 2 {
			s.Width += m.Width
		}
	}
	return s
}

func (headLine) Layout(o []fyne.CanvasObject, size fyne.Size) {
	right := size.Width
	place := func(x fyne.CanvasObject) {
		w := x.MinSize().Width
		right -= w
		x.Move(fyne.NewPos(right, 0))
		x.Resize(fyne.NewSize(w, size.Height))
	}
	place(o[4])
	place(o[3])
	left := o[0].MinSize().Width
	o[0].Move(fyne.NewPos(0, 0))
	o[0].Resize(fyne.NewSize(left, size.Height))
	said := widget.NewLabel(o[1].(*widget.Label).Text).MinSize().Width
	if key := o[2]; right-left-key.MinSize().Width >= said {
		key.Show()
		place(key)
	} else {
		key.Hide()
	}
	o[1].Move(fyne.NewPos(left, 0))
	o[1].Resize(fyne.NewSize(max(0, right-left), size.Height))
}

// stacked puts the first object over the second without the gap that a box would leave.
type stacked struct{}

func (stacked) MinSize(o []fyne.CanvasObject) fyne.Size {
	a, b := o[0].MinSize(), o[1].MinSize()
	return fyne.NewSize(max(a.Width, b.Width), a.Height+b.Height-theme.Padding())
}

func (stacked) Layout(o []fyne.CanvasObject, size fyne.Size) {
	h := o[0].MinSize().Height
	o[0].Resize(fyne.NewSize(size.Width, h))
	o[0].Move(fyne.NewPos(0, 0))
	o[1].Resize(fyne.NewSize(size.Width, size.Height-h+theme.Padding()))
	o[1].Move(fyne.NewPos(0, h-theme.Padding()))
}
