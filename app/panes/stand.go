package panes

import (
	"strings"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/app/session"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

const whyPrompt = "why it may stand"

// A letStand lets a finding stand with a reason, which is kept in the plan and listed in the report, or takes that back.
type letStand struct {
	widget.BaseWidget
	session *session.Session
	finding *habitat.Finding
	reason  *fields.Entry
	press   *fields.Button
	today   func() time.Time
}

func newLetStand(s *session.Session) *letStand {
	l := &letStand{session: s, today: time.Now}
	l.ExtendBaseWidget(l)
	l.reason = fields.NewEntry(nil)
	l.reason.SetPlaceHolder(whyPrompt)
	l.reason.OnSubmitted = func(string) { l.do() }
	l.press = fields.NewButton("", l.do)
	return l
}

// load puts a finding before the grower.
func (l *letStand) load(f *habitat.Finding) {
	if l.finding == nil || !l.finding.Same(f) {
		l.reason.SetPlaceHolder(whyPrompt)
		l.reason.Load("")
		l.reason.SetText("")
	}
	l.finding = f
	word := "Let it stand"
	if f.Accepted != nil {
		word = "Look at it again"
		l.reason.Hide()
	} else {
		l.reason.Show()
	}
	if l.press.Text != word {
		l.press.SetText(word)
	}
}

func (l *letStand) do() {
	f, p := l.finding, l.session.Committed()
	if f == nil {
		return
	}
	q := p.Clone()
	q.Accepted = nil
	for _, a := range p.Accepted {
		if a.Rule != f.Rule || a.Key != f.Key {
			q.Accepted = append(q.Accepted, a)
		}
	}
	if f.Accepted == nil && strings.TrimSpace(l.reason.Text) == "" {
		l.ask()
		return
	}
	name := "look again at: " + f.Title
	if f.Accepted == nil {
		name = "let stand: " + f.Title
		y, m, d := l.today().Date()
		q.Accepted = append(q.Accepted, plan.Acceptance{Rule: f.Rule, Key: f.Key, Reason: strings.TrimSpace(l.reason.Text),
			Date: time.Date(y, m, d, 0, 0, 0, 0, time.UTC)})
	}
	if err := l.session.Commit(name, q); err != nil {
		l.reason.SetValidationError(err)
		l.reason.SetPlaceHolder(err.Error())
	}
}

// ask asks for the reason: a finding that stands without one tells nobody anything next year.
func (l *letStand) ask() {
	l.reason.SetPlaceHolder("write why it may stand, then press again")
	if c := fyne.CurrentApp().Driver().CanvasForObject(l.reason); c != nil {
		c.Focus(l.reason)
	}
}

// CreateRenderer lays the reason before the word.
func (l *letStand) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(container.NewBorder(nil, nil, nil, l.press, l.reason))
}
