// Package panes holds the quiet columns beside the ground: the list of beds, the findings, the feature that is selected, and
// what is known of a guild's range. Each is a view of one session: it shows what the session says and changes it only by the
// session's methods. It measures nothing.
package panes

import (
	"sync"
	"time"

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

// A Pacer holds back work that need not be done for each frame of a drag: a list of words is read, not watched. The first
// call runs at once, later ones at most once every Every, and the last one always runs.
type Pacer struct {
	Every    time.Duration
	Dispatch func(func()) // runs a function on the window's goroutine
	Work     func()

	mu      sync.Mutex
	last    time.Time
	waiting bool
}

// Ask runs the work now or soon.
func (p *Pacer) Ask() {
	p.mu.Lock()
	since := time.Since(p.last)
	if since >= p.Every {
		p.last = time.Now()
		p.mu.Unlock()
		p.Work()
		return
	}
	if !p.waiting {
		p.waiting = true
		time.AfterFunc(p.Every-since, func() {
			p.Dispatch(func() {
				p.mu.Lock()
				p.waiting, p.last = false, time.Now()
				p.mu.Unlock()
				p.Work()
			})
		})
	}
	p.mu.Unlock()
}

// Now runs the work at once, for a change that is not a frame of a drag.
func (p *Pacer) Now() {
	p.mu.Lock()
	p.last = time.Now()
	p.mu.Unlock()
	p.Work()
}
