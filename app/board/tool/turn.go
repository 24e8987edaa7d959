package tool

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// A turning is the gesture of turning the selection by its handle.
type turning struct {
	about   orb.Point
	heading float64   // of the first feature's long side, degrees anticlockwise, 0 to below 180; NaN where it has none
	others  []float64 // of the features that stay, likewise
	degrees float64   // turned so far, clockwise
	word    string
}

// turnerOff is how far off the selection its turning handle stands, in reaches of the pointer.
const turnerOff = 4

// turner is the handle that turns the selection: above it, as seen. There is none where something is locked, or where
// turning would change nothing.
func (p *Pick) turner() (grip, bool) {
	if n := len(p.ed.Selection()); n == 0 || n > maxGrips {
		return grip{}, false
	}
	fs := p.selected()
	if len(fs) == 0 {
		return grip{}, false
	}
	plain := true
	for _, f := range fs {
		if f.Locked {
			return grip{}, false
		}
		_, mark := f.Geometry.(orb.Point)
		plain = plain && (mark || f.Centre != nil)
	}
	if plain && len(fs) == 1 {
		return grip{}, false
	}
	set := p.ed.Settings()
	return grip{Handle: Handle{At: arrange.Above(fs, arrange.Frame(set.Turn), turnerOff*set.ReachM), Sort: Turner}}, true
}

func (p *Pick) selected() []*plan.Feature {
	var fs []*plan.Feature
	for _, id := range p.ed.Selection() {
		if f, _ := p.ed.Plan().Find(id); f != nil && !f.Hidden {
			fs = append(fs, f)
		}
	}
	return fs
}

func (p *Pick) beginTurn() {
	p.begin()
	t := &turning{about: arrange.Middle(p.moving, arrange.Frame(p.ed.Settings().Turn)), heading: math.NaN()}
	for _, f := range p.moving {
		if h, ok := headingOf(f); ok {
			t.heading = h
			break
		}
	}
	moving := make(map[*plan.Feature]bool, len(p.moving))
	for _, f := range p.moving {
		moving[f] = true
	}
	seen := map[float64]bool{}
	for _, f := range p.base.Features {
		if h, ok := headingOf(f); ok && !moving[f] && !f.Hidden && !seen[h] {
			seen[h] = true
			t.others = append(t.others, h)
		}
	}
	p.turn = t
}

// headingOf is the direction of a feature's long side in degrees, to a thousandth; false where it has none to speak of.
func headingOf(f *plan.Feature) (float64, bool) {
	if f.Centre != nil || len(geometry.Polygons(f.Geometry)) == 0 {
		return 0, false
	}
	l, w, along, _, ok := arrange.Sides(f)
	if !ok || l < 1.05*w {
		return 0, false
	}
	h := math.Mod(math.Atan2(along[1], along[0])*180/math.Pi+180, 180)
	return math.Mod(math.Round(h*1000)/1000, 180), true
}

// The turn comes to whole steps, or to where the long side lies along another feature's when it is this near to it; degrees.
const (
	turnStep     = 5.0
	turnSteps    = 15.0 // with Shift
	turnParallel = 1.5
)

func (p *Pick) turnTo(e Event) {
	t := p.turn
	p.state = spinning
	angle := func(q orb.Point) float64 { return math.Atan2(q[1]-t.about[1], q[0]-t.about[0]) * 180 / math.Pi }
	by := math.Remainder(angle(p.down)-angle(e.At), 360)
	t.word = ""
	switch {
	case e.Mods&Ctrl != 0:
		by = math.Round(by*10) / 10
	case e.Mods&Shift != 0:
		by = math.Round(by/turnSteps) * turnSteps
	default:
		free := by
		by = math.Round(by/turnStep) * turnStep
		best := turnParallel
		for _, h := range t.others {
			d := math.Remainder(t.heading-free-h, 180) // NaN where there is no heading
			if math.Abs(d) < best {
				best, by, t.word = math.Abs(d), free+d, "parallel"
			}
		}
	}
	t.degrees, p.at = by, e.At
	p.ed.Preview(p.turned())
}

func (p *Pick) turned() *plan.Plan {
	if p.turn.degrees == 0 {
		return p.base
	}
	next := p.base.Clone()
	for k, f := range p.moving {
		next.Features[p.places[k]] = arrange.Turned(f, p.turn.about, p.turn.degrees)
	}
	return next
}

func (p *Pick) endTurn() {
	p.handIn("turn "+arrange.What(p.moving), p.turned())
}

func (t *turning) sketch(s *Sketch) {
	s.Lines = []orb.LineString{{t.about, s.At}}
	s.Snap = t.word
	hand := "clockwise"
	if t.degrees < 0 {
		hand = "anticlockwise"
	}
	s.Words = fmt.Sprintf("turned %.4g° %s", math.Abs(t.degrees), hand)
}
