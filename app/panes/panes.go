// Package panes holds the quiet columns beside the ground: the list of beds, the findings, the feature that is selected, and
// what is known of a guild's range. Each is a view of one session: it shows what the session says and changes it only by the
// session's methods. It measures nothing.
package panes

import (
	"math"
	"strconv"
	"strings"
	"time"

	"fyne.io/fyne/v2"

	"hedgereach/app/session"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// System is the system of units that the plan's grower reads and types.
func System(s *session.Session) length.System {
	if s.Plan().Units == plan.US {
		return length.US
	}
	return length.Metric
}

// A pacer holds back work that need not be done for each frame of a drag: a list of words is read, not watched. The first
// call runs at once, later ones once every pace, and the last one always runs. It belongs to the window's goroutine.
type pacer struct {
	dispatch func(func()) // runs a function on the window's goroutine
	work     func()
	hidden   func() bool // work of a pane that is not seen waits until it is
	last     time.Time
	waiting  bool
}

const pace = 120 * time.Millisecond

// soon runs the work now or after a while.
func (p *pacer) soon() {
	since := time.Since(p.last)
	switch {
	case p.waiting:
	case since >= pace:
		p.now()
	default:
		p.waiting = true
		time.AfterFunc(pace-since, func() {
			p.dispatch(func() {
				p.waiting = false
				p.now()
			})
		})
	}
}

// now runs the work at once, for a change that is not a frame of a drag.
func (p *pacer) now() {
	if p.hidden != nil && p.hidden() {
		return
	}
	p.last = time.Now()
	p.work()
}

// hear is what each pane does with a change of the session.
func (p *pacer) hear(w session.What) {
	switch {
	case w&(session.PlanChanged|session.AskChanged|session.SelectionChanged|session.SeasonChanged) != 0:
		p.now()
	case w&session.PreviewChanged != 0:
		p.soon()
	}
}

// brief writes a measured length without more figures than a read-out needs: "7.5 m", "60 m"; "197 ft" in feet.
func brief(metres float64, sys length.System) string {
	if sys == length.Metric && math.Abs(metres) >= 9.95 {
		metres = math.Round(metres)
	}
	return length.FormatRange(metres, sys)
}

// decimal writes a length to a tenth: "68.4 m", "224.4 ft". It rounds what is written to the hundredth elsewhere, so that 12.95 m
// is 13.0 m wherever it comes from.
func decimal(metres float64, sys length.System) string {
	if sys == length.US {
		return tenth(metres/feet) + " ft"
	}
	return tenth(metres) + " m"
}

func tenth(v float64) string {
	return strconv.FormatFloat(math.Round(math.Round(v*100)/10)/10, 'f', 1, 64)
}

const feet = 0.3048 // metres in a foot, by definition

// span writes two lengths as a stretch with the unit once: "12–32 m".
func span(a, b float64, sys length.System) string {
	x, _, _ := strings.Cut(brief(a, sys), " ")
	y := brief(b, sys)
	if strings.HasPrefix(y, x+" ") {
		return y
	}
	return x + "–" + y
}

// standing lays a chip, a word and a read-out at the right.
type standing struct{}

func (standing) MinSize(o []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(240, 26)
}

func (standing) Layout(o []fyne.CanvasObject, size fyne.Size) {
	c, w, s := o[0].MinSize(), o[1].MinSize(), o[2].MinSize()
	o[0].Move(fyne.NewPos(6, (size.Height-c.Height)/2))
	o[0].Resize(c)
	o[1].Move(fyne.NewPos(c.Width+10, (size.Height-w.Height)/2))
	o[1].Resize(w)
	x := c.Width + 10 + w.Width
	o[2].Move(fyne.NewPos(x, (size.Height-s.Height)/2))
	o[2].Resize(fyne.NewSize(max(0, size.Width-x), s.Height))
}
