package tool

import (
	"github.com/paulmach/orb"

	"hedgereach/app/survey"
	"hedgereach/habitat/plan"
)

// A Picture fits the picture that lies under the plan to the ground: a drag moves it; two clicks on it and a typed distance
// scale it; two clicks on it and two more where these points truly lie move, turn and scale it at once.
type Picture struct {
	drawer
	on     []orb.Point // points of the picture
	places []orb.Point // where they belong
	moving bool
	held   bool // the button is down
}

func (p *Picture) picture() *plan.Picture { return p.ed.Plan().Picture }

// Busy tells whether points are set or the picture is dragged.
func (p *Picture) Busy() bool { return p.moving || len(p.on) > 0 }

// Cancel gives it up.
func (p *Picture) Cancel() {
	p.on, p.places, p.moving, p.held = nil, nil, false, false
	p.reset()
}

// Move looks at the pointer. With a drag under way it means that the button was let go unseen.
func (p *Picture) Move(e Event) {
	if p.moving {
		p.Release(Event{At: p.at, Mods: e.Mods})
	}
	p.aim(e)
}

// aim draws places to what lies there; points of the picture are free.
func (p *Picture) aim(e Event) {
	if len(p.on) < 2 {
		e.Mods |= Ctrl
	}
	p.look(e)
}

// Press notes where the button went down.
func (p *Picture) Press(e Event) {
	p.aim(e)
	p.down, p.held = e.At, true
}

// Drag moves the picture along, before any point is set.
func (p *Picture) Drag(e Event) {
	p.at = e.At
	if p.picture() == nil || len(p.on) > 0 || !p.held {
		return
	}
	p.moving = true
	p.ed.Preview(p.moved(e.At))
}

func (p *Picture) moved(to orb.Point) *plan.Plan {
	return p.with(func(c *plan.Picture) {
		c.At = roundPoint(orb.Point{c.At[0] + to[0] - p.down[0], c.At[1] + to[1] - p.down[1]})
	})
}

// with is the plan with the picture changed.
func (p *Picture) with(change func(*plan.Picture)) *plan.Plan {
	next := p.ed.Plan().Clone()
	c := *next.Picture
	change(&c)
	next.Picture = &c
	return next
}

// Release ends a drag, or sets a point.
func (p *Picture) Release(e Event) {
	if !p.held {
		return
	}
	p.held = false
	switch {
	case p.picture() == nil:
		p.ed.Say("There is no picture yet: add one first (Survey menu)")
	case p.moving:
		p.moving = false
		p.commit("move the picture", p.moved(e.At), nil)
	case len(p.on) < 2:
		if n := len(p.on); n == 0 || p.on[n-1] != e.At {
			p.on = append(p.on, e.At)
		}
	default:
		p.aim(e)
		p.places = append(p.places, p.at)
		if len(p.places) == 2 {
			next, err := survey.MatchedPicture(p.picture(), p.on[0], p.on[1], p.places[0], p.places[1])
			p.commit("fit the picture to two points", p.with(func(c *plan.Picture) {
				if err == nil {
					*c = *next
				}
			}), err)
		}
	}
}

// commit hands the picture in and forgets the points; after an error nothing changes.
func (p *Picture) commit(step string, next *plan.Plan, err error) {
	p.on, p.places, p.typed = nil, nil, ""
	if err == nil {
		err = p.ed.Commit(step, next)
	} else {
		p.ed.CancelPreview()
	}
	if err != nil {
		p.ed.Say(upper(err.Error()))
	}
}

// Key scales to what is typed with Enter, takes back with Backspace, gives up with Escape.
func (p *Picture) Key(k Key, _ Mods) bool {
	if !p.Busy() {
		return false
	}
	switch k {
	case Enter:
		if len(p.on) == 2 && len(p.places) == 0 {
			if m, ok := p.read(); ok {
				next, err := survey.ScaledPicture(p.picture(), p.on[0], p.on[1], m)
				p.commit("scale the picture", p.with(func(c *plan.Picture) {
					if err == nil {
						*c = *next
					}
				}), err)
			}
		}
	case Backspace, Delete:
		switch n := len(p.places); {
		case p.typed.back():
		case n > 0:
			p.places = p.places[:n-1]
		case len(p.on) > 0:
			p.on = p.on[:len(p.on)-1]
		}
	case Escape:
		p.Cancel()
	default:
		return false
	}
	return true
}

// Rune takes the typed distance between two points.
func (p *Picture) Rune(r rune) bool { return len(p.on) == 2 && len(p.places) == 0 && p.typed.rune(r) }

// Sketch shows the points and where they go.
func (p *Picture) Sketch() Sketch {
	s := p.sketch()
	for _, q := range p.on {
		s.Handles = append(s.Handles, Handle{At: q, Sort: Middle})
	}
	for _, q := range p.places {
		s.Handles = append(s.Handles, Handle{At: q})
	}
	switch {
	case len(p.on) == 1:
		s.Lines = []orb.LineString{{p.on[0], p.at}}
		s.Words = p.length(dist(p.on[0], p.at))
	case len(p.on) == 2:
		s.Lines = []orb.LineString{{p.on[0], p.on[1]}}
		to := append(p.places[:len(p.places):len(p.places)], p.at)
		for i, q := range to {
			if p.seen && i < 2 {
				s.Guides = append(s.Guides, orb.LineString{p.on[i], q})
			}
		}
		s.Words = words(p.typing(), p.length(dist(p.on[0], p.on[1])))
	}
	return s
}

// Hint says what comes next.
func (p *Picture) Hint() string {
	switch {
	case p.picture() == nil:
		return "Add a picture to trace first (Survey menu)"
	case len(p.on) == 0:
		return "Drag moves the picture; to scale it click two points of it whose distance is known"
	case len(p.on) == 1:
		return "Click the second point of the picture"
	case len(p.places) == 0:
		return "Type the true distance (12.5 m, 40') and press Enter; or click where the first point truly lies"
	}
	return "Click where the second point truly lies"
}
