package window

import (
	"errors"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/app/panes"
	"hedgereach/app/session"
	"hedgereach/data"
	"hedgereach/geometry/length"
)

// An askRow is the question that the map answers: the reach of what, at which distance.
type askRow struct {
	session *session.Session
	window  fyne.Window
	put     func(dialog.Dialog)
	guild   *fields.Choice
	metres  *fields.Entry // for any refuge the grower types the range
	band    *widget.Label // for a guild the catalogue gives it
	about   *fields.Word
	row     *fyne.Container
}

// anyRefuge is the item that stands for refuge in general.
const anyRefuge = ""

// A range that can be asked about lies between these, in metres.
const (
	leastRange = 0.5
	mostRange  = 5000
)

func newAskRow(w fyne.Window, s *session.Session, put func(dialog.Dialog), complain func(error)) *askRow {
	a := &askRow{session: s, window: w, put: put}
	a.guild = fields.NewChoice("", a.items, func(it fields.Item) {
		q := s.Ask()
		q.Guild = s.Catalogue().Guild(it.ID)
		s.SetAsk(q)
	})
	a.guild.Wide = 420
	a.metres = fields.NewLength(func() length.System { return panes.System(s) }, leastRange, mostRange, func(m float64) error {
		if m <= 0 {
			return errors.New("a range is more than nothing")
		}
		q := s.Ask()
		q.RangeM = m
		s.SetAsk(q)
		return nil
	})
	a.metres.Complain = complain
	a.band = widget.NewLabel("")
	a.about = fields.NewLink("source", a.tell)
	a.row = container.New(narrowing{}, quietLabel("Reach of"), a.guild, quietLabel("at"),
		container.New(atLeast{76}, a.metres), a.band, a.about)
	a.load()
	s.Observe(func(what session.What) {
		if what&(session.AskChanged|session.PlanChanged) != 0 {
			a.load()
		}
	})
	return a
}

func quietLabel(t string) *widget.Label {
	l := widget.NewLabel(t)
	l.Importance = widget.LowImportance
	return l
}

func (a *askRow) load() {
	q, sys := a.session.Ask(), panes.System(a.session)
	name := "Any refuge"
	if q.Guild != nil {
		name = clipped(q.Guild.Name, mostGuild)
	}
	if a.guild.Text != name {
		a.guild.SetText(name)
	}
	box := a.row.Objects[3]
	if q.Guild == nil {
		a.metres.Load(length.Format(q.RangeM, sys))
		box.Show()
		a.band.Hide()
		a.about.Hide()
	} else {
		box.Hide()
		a.band.SetText(brief(q.Guild, sys))
		a.band.Show()
		a.about.Show()
	}
	a.row.Refresh()
}

func brief(g *data.Guild, sys length.System) string {
	if !g.HasRange() {
		return "no distance known"
	}
	return panes.RangeBrief(g, sys)
}

// items lists refuge in general, the natural enemies, then the pollinators.
func (a *askRow) items() []fields.Item {
	sys := panes.System(a.session)
	out := []fields.Item{{ID: anyRefuge, Name: "Any refuge", Detail: "at a distance that you type"}}
	for _, pollinators := range []bool{false, true} {
		for _, g := range a.session.Catalogue().Guilds {
			if g.Pollinator == pollinators {
				out = append(out, fields.Item{ID: g.ID, Name: g.Name, Detail: panes.RangeBrief(g, sys) + evidence(g)})
			}
		}
	}
	return out
}

func evidence(g *data.Guild) string {
	switch g.Origin.Evidence {
	case data.None, "":
		return ""
	}
	return " · evidence " + string(g.Origin.Evidence)
}

// tell shows what is known of the guild's range.
func (a *askRow) tell() {
	g := a.session.Ask().Guild
	if g == nil {
		return
	}
	d := dialog.NewCustom("How far "+strings.ToLower(g.Name)+" work", "Close",
		panes.AboutGuild(a.session.Catalogue(), g, panes.System(a.session)), a.window)
	size := a.window.Canvas().Size()
	d.Resize(fyne.NewSize(min(620, size.Width-40), min(560, size.Height-40)))
	a.put(d)
}

// mostGuild is the widest that a guild's name may be in the row; the list and the panes give it whole.
const mostGuild = 170

// clipped cuts a text of a button, which the toolkit cannot, so that it keeps within a width.
func clipped(text string, width float32) string {
	fits := func(t string) bool {
		return fyne.MeasureText(t, theme.TextSize(), fyne.TextStyle{Bold: true}).Width <= width
	}
	if fits(text) {
		return text
	}
	r := []rune(text)
	for len(r) > 1 && !fits(string(r)+"…") {
		r = r[:len(r)-1]
	}
	return strings.TrimRight(string(r), " ") + "…"
}

// narrowing lays the ask row at the right. What it needs is the guild and the field or link behind it; the words between
// and the band give way, the band first, where the window is narrow.
type narrowing struct{}

// givesWay are the places in the row of what can be left out, the first to go first.
var givesWay = []int{4, 0, 2}

func (narrowing) MinSize(o []fyne.CanvasObject) fyne.Size {
	var s fyne.Size
	for i, x := range o {
		if x.Visible() {
			m := x.MinSize()
			s.Height = max(s.Height, m.Height)
			if !slices.Contains(givesWay, i) {
				s.Width += m.Width
			}
		}
	}
	return s
}

func (narrowing) Layout(o []fyne.CanvasObject, size fyne.Size) {
	out := map[int]bool{}
	width := func() (sum float32) {
		for i, x := range o {
			if x.Visible() && !out[i] {
				sum += x.MinSize().Width
			}
		}
		return sum
	}
	for _, i := range givesWay {
		if width() > size.Width {
			out[i] = true
		}
	}
	if out[4] && !o[3].Visible() {
		out[2] = true // "at" what is no longer said
	}
	x := max(0, size.Width-width())
	for i, c := range o {
		m := c.MinSize()
		if out[i] {
			m.Width = 0
		}
		c.Resize(m)
		c.Move(fyne.NewPos(x, (size.Height-m.Height)/2))
		if out[i] {
			c.Move(fyne.NewPos(-1000, 0)) // out of sight: hiding it here would lay the row out again
		} else if c.Visible() {
			x += m.Width
		}
	}
}

// sideBySide lays what is shown in a row at its least width, centred in height.
type sideBySide struct{}

func (sideBySide) MinSize(objects []fyne.CanvasObject) fyne.Size {
	var s fyne.Size
	for _, o := range objects {
		if o.Visible() {
			m := o.MinSize()
			s.Width += m.Width
			s.Height = max(s.Height, m.Height)
		}
	}
	return s
}

func (sideBySide) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	x := float32(0)
	for _, o := range objects {
		if o.Visible() {
			m := o.MinSize()
			o.Move(fyne.NewPos(x, (size.Height-m.Height)/2))
			o.Resize(m)
			x += m.Width
		}
	}
}

// atLeast gives one object a least width.
type atLeast struct{ width float32 }

func (l atLeast) MinSize(o []fyne.CanvasObject) fyne.Size {
	m := o[0].MinSize()
	return fyne.NewSize(max(m.Width, l.width), m.Height)
}

func (l atLeast) Layout(o []fyne.CanvasObject, size fyne.Size) {
	o[0].Move(fyne.NewPos(0, 0))
	o[0].Resize(size)
}

// apart puts one row at the left and gives the other what is left.
type apart struct{}

func (apart) MinSize(o []fyne.CanvasObject) fyne.Size {
	a, b := o[0].MinSize(), o[1].MinSize()
	return fyne.NewSize(a.Width+b.Width+theme.Padding(), max(a.Height, b.Height))
}

func (apart) Layout(o []fyne.CanvasObject, size fyne.Size) {
	a := o[0].MinSize()
	o[0].Move(fyne.NewPos(0, 0))
	o[0].Resize(fyne.NewSize(a.Width, size.Height))
	o[1].Move(fyne.NewPos(a.Width+theme.Padding(), 0))
	o[1].Resize(fyne.NewSize(max(0, size.Width-a.Width-theme.Padding()), size.Height))
}
