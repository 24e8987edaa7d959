package suggest

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/geometry"
	geolength "hedgereach/geometry/length"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// Edits of what is there are looked at in steps; our judgement.
const (
	widenStepM = 0.5
	widenMostM = 4.0
	moveTries  = 60 // places for a feature that is moved
)

// Edits proposes the best edit of each sort of what is there already: a strip or hedge widened, a feature moved, one bed turned into
// habitat. Each is the best of all that were tried in steps, and none takes a bed out of reach of what it is asked for. An edit that
// helps no bed is no proposal. The edit that brings the most beds in comes first, of equals the one that takes the least ground.
func Edits(ctx context.Context, p *plan.Plan, c *data.Catalogue, k Ask, progress func(Progress)) ([]*Proposal, error) {
	t, err := newTask(ctx, p, c, k)
	if err != nil {
		return nil, err
	}
	if len(t.out) == 0 {
		return nil, ErrAllWithin
	}
	e := &editor{task: t, grounds: newGrounds(p, t.before.Site.Ground, t.ask), progress: progress}
	var list []*Proposal
	for _, look := range []func() *Proposal{e.widen, e.turn, e.move} {
		if ctx.Err() != nil {
			break
		}
		if q := look(); q != nil {
			list = append(list, q)
		}
	}
	slices.SortStableFunc(list, func(a, b *Proposal) int {
		return cmp.Or(cmp.Compare(len(b.Beds), len(a.Beds)), cmp.Compare(a.TakenM2, b.TakenM2))
	})
	return list, nil
}

// An editor is Edits at work.
type editor struct {
	*task
	grounds  *grounds
	progress func(Progress)
	model    *model // that measures
}

func (e *editor) tell(words string) {
	if e.progress != nil {
		e.progress(Progress{Words: words})
	}
}

// A trial is an edit that was only looked at quickly.
type trial struct {
	changes []Change
	gain    int // beds that come into reach
	loss    int
	price   float64 // what is to be little: ground taken in m², or metres moved
	taken   float64 // ground, in m²
	words   string
}

// quick counts the beds that an edit brings into reach, by the measures that the engine takes. loss is above 0 where one leaves it;
// it is not looked for where nothing is gained.
func (e *editor) quick(without *plan.Feature, with orb.Geometry, skip string) (gain, loss int) {
	if e.model == nil {
		e.model = &model{task: e.task}
		e.model.obstacles()
	}
	m := e.model
	m.serving = make([][]orb.Geometry, len(e.guilds))
	reaches := make([]reach, len(e.guilds))
	for i, g := range e.guilds {
		for _, f := range e.before.Serving(g) {
			if f != without {
				m.serving[i] = append(m.serving[i], f.Geometry)
			}
		}
		reaches[i] = m.reach(i, []orb.Geometry{with})
	}
	in := func(b *habitat.Bed) bool {
		for i, g := range e.guilds {
			if reaches[i].farthest(b.Feature.Geometry).Metres > e.rangeOf(g) {
				return false
			}
		}
		return true
	}
	for _, b := range e.beds {
		if id := b.Feature.ID; id != skip && e.out[id] && in(b) {
			gain++
		}
	}
	if gain == 0 || without == nil { // what only comes to the rest takes nothing away
		return gain, 0
	}
	for _, b := range e.beds {
		if id := b.Feature.ID; id != skip && !e.out[id] && !in(b) {
			return gain, 1
		}
	}
	return gain, 0
}

// best assesses the most promising trials until one keeps what it promised.
func (e *editor) best(title string, trials []trial, how string) *Proposal {
	slices.SortStableFunc(trials, func(a, b trial) int {
		return cmp.Or(cmp.Compare(b.gain, a.gain), cmp.Compare(a.price, b.price))
	})
	for n, tr := range trials {
		if n == 5 || tr.gain == 0 || tr.loss > 0 || e.ctx.Err() != nil {
			break
		}
		q, _, err := e.assess(title, tr.changes)
		if err != nil || len(q.Beds) == 0 || len(q.Lost) > 0 {
			continue
		}
		q.Effect = e.effect(q, tr.words)
		q.How, q.TakenM2 = how, tr.taken
		for i := range q.Changes {
			if q.Changes[i].Why == "" {
				q.Changes[i].Why = fmt.Sprintf("Brings %s into reach of %s.", e.names(q.Beds), e.who())
			}
		}
		return q
	}
	return nil
}

// serves tells whether a feature is a refuge that serves all guilds asked for.
func (e *editor) serves(f *plan.Feature) bool {
	for _, g := range e.guilds {
		if !slices.Contains(e.before.Serving(g), f) {
			return false
		}
	}
	return f.IsRefuge()
}

// widen looks at strips and hedges that are drawn by a line, wider to one side or both.
func (e *editor) widen() *Proposal {
	e.tell("looking at wider strips and hedges")
	var trials []trial
	tried := 0
	for _, f := range e.plan.Features {
		if f.Locked || len(f.Line) < 2 || f.WidthM <= 0 || !e.serves(f) {
			continue
		}
		for _, side := range []float64{1, -1, 0} { // left, right, both
			for by := widenStepM; by <= widenMostM; by += widenStepM {
				if e.ctx.Err() != nil {
					return nil
				}
				line := f.Line.Clone()
				if side != 0 {
					line = beside(line, side*by/2)
				}
				shape, err := geometry.Strip(line, f.WidthM+by)
				if err != nil || !e.free(shape, f) {
					break
				}
				tried++
				gain, loss := e.quick(f, shape, "")
				if gain == 0 || loss > 0 {
					continue
				}
				next := f.Clone()
				next.Line, next.WidthM, next.Geometry = line, f.WidthM+by, shape
				more := geometry.Area(shape) - geometry.Area(f.Geometry)
				trials = append(trials, trial{[]Change{{Before: f, After: next}}, gain, loss, more, more,
					fmt.Sprintf("with %s wider by %s, for %s", f.Title(), geolength.Format(by, e.units), geolength.FormatArea(more, e.units))})
			}
		}
	}
	return e.best("Widen", trials, fmt.Sprintf("The best of %s, in steps of %s to %s at most; each keeps off all else.",
		counted(tried, "way to widen a strip", "ways to widen a strip"), geolength.Format(widenStepM, e.units), geolength.Format(widenMostM, e.units)))
}

// beside moves a line to its left by a distance (right below 0), corners along their bisectors.
func beside(l orb.LineString, d float64) orb.LineString {
	out := make(orb.LineString, len(l))
	for i := range l {
		var n [2]float64
		var first [2]float64
		for k, j := range []int{i - 1, i} {
			if j < 0 || j+1 >= len(l) {
				continue
			}
			long := length(l[j], l[j+1])
			if long == 0 {
				continue
			}
			x, y := -(l[j+1][1]-l[j][1])/long, (l[j+1][0]-l[j][0])/long
			n[0], n[1] = n[0]+x, n[1]+y
			if k == 0 || first == ([2]float64{}) {
				first = [2]float64{x, y}
			}
		}
		size := math.Hypot(n[0], n[1])
		if size == 0 {
			out[i] = l[i]
			continue
		}
		n[0], n[1] = n[0]/size, n[1]/size
		along := max(0.5, n[0]*first[0]+n[1]*first[1])
		out[i] = orb.Point{l[i][0] + n[0]*d/along, l[i][1] + n[1]*d/along}
	}
	return out
}

// free tells whether a shape lies on the ground that may be used, off everything but a feature and what the feature already overlaps.
func (e *editor) free(shape orb.Geometry, but *plan.Feature) bool {
	const tolerance = 0.02 // m²
	for _, ground := range []orb.MultiPolygon{e.grounds.site, e.ask.Ground} {
		if ground == nil {
			continue
		}
		out, err := geometry.Difference(shape, ground)
		if err != nil {
			return false
		}
		was := 0.0
		if but != nil {
			was = max(0, geometry.Area(but.Geometry)-geometry.Covered(but.Geometry, ground))
		}
		if geometry.Area(out) > was+tolerance {
			return false
		}
	}
	box := shape.Bound()
	for _, i := range e.grounds.boxes.Near(nil, box, 0) {
		p := e.grounds.barred[i]
		was := 0.0
		if but != nil {
			if geometry.Area(but.Geometry) > 0 && geometry.Covered(p, but.Geometry) > geometry.Area(p)-tolerance {
				continue // the feature itself
			}
			was = geometry.Covered(but.Geometry, p)
		}
		if geometry.Covered(shape, p) > was+tolerance {
			return false
		}
	}
	return true
}

// turn looks at each bed as habitat.
func (e *editor) turn() *Proposal {
	e.tell("looking at beds that could be habitat")
	var trials []trial
	beds := 0
	for _, b := range e.before.Beds {
		f := b.Feature
		if f.Locked || e.ctx.Err() != nil {
			continue
		}
		if e.ask.Ground != nil && geometry.Covered(f.Geometry, e.ask.Ground) < 0.99*b.AreaM2 {
			continue
		}
		beds++
		gain, loss := e.quick(nil, f.Geometry, f.ID)
		if gain == 0 || loss > 0 {
			continue
		}
		next := f.Clone()
		next.Kind, next.Crops, next.Cover, next.Refuge = e.ask.Kind, nil, nil, nil
		trials = append(trials, trial{changes: []Change{{Before: f, After: next}}, gain: gain, price: b.AreaM2, taken: b.AreaM2,
			words: fmt.Sprintf("with %s as %s, %s of bed given up", f.Title(), inSentence(e.ask.Kind), geolength.FormatArea(b.AreaM2, e.units))})
	}
	return e.best("Turn a bed into habitat", trials, fmt.Sprintf("The best of %s, each taken as habitat in turn.", counted(beds, "bed", "beds")))
}

func inSentence(k plan.Kind) string {
	switch k {
	case plan.PerennialStrip, plan.FlowerStrip:
		return "a flower strip"
	case plan.Hedgerow:
		return "a hedge"
	case plan.Tree:
		return "trees or shrubs"
	}
	return "a " + habitat.InText(k.Label())
}

// move looks at refuges that lie elsewhere: strips drawn by a straight line along the ground's own lines.
func (e *editor) move() *Proposal {
	e.tell("looking at other places for what is there")
	var trials []trial
	tried := 0
	for _, f := range e.plan.Features {
		if f.Locked || len(f.Line) != 2 || f.WidthM <= 0 || !e.serves(f) || f.Kind == plan.Hedgerow || f.Kind == plan.Tree {
			continue // what is woody does not move
		}
		long := length(f.Line[0], f.Line[1])
		k := *e.ask
		k.WidthM, k.LeastM = f.WidthM, long
		rest := e.plan.Clone()
		rest.Features = slices.DeleteFunc(slices.Clone(rest.Features), func(x *plan.Feature) bool { return x == f })
		g := newGrounds(rest, e.grounds.site, &k)
		type spot struct {
			l    *line
			from float64
		}
		var spots []spot
		for _, l := range g.lines() {
			for _, s := range l.free {
				for at := s.from; at+long <= s.to+1e-9; at += max(long/2, 2) {
					spots = append(spots, spot{l, at})
				}
			}
		}
		every := max(1, len(spots)/moveTries)
		for i := 0; i < len(spots); i += every {
			if e.ctx.Err() != nil {
				return nil
			}
			s := spots[i]
			mid := orb.LineString{s.l.point(s.from, 0), s.l.point(s.from+long, 0)}
			shape, err := geometry.Strip(mid, f.WidthM)
			if err != nil {
				continue
			}
			tried++
			gain, loss := e.quick(f, shape, "")
			if gain == 0 || loss > 0 {
				continue
			}
			next := f.Clone()
			next.Line, next.Geometry = mid, shape
			far := length(geometry.Centroid(f.Geometry), geometry.Centroid(shape))
			trials = append(trials, trial{[]Change{{Before: f, After: next}}, gain, loss, far, 0,
				fmt.Sprintf("with %s moved %s, for no more ground", f.Title(), geolength.Format(far, e.units))})
		}
	}
	return e.best("Move", trials, fmt.Sprintf("The best of %s along lines of this ground; hedges and trees stay where they are.", counted(tried, "place", "places")))
}
