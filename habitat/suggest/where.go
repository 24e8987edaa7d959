package suggest

import (
	"context"
	"errors"
	"math"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/suggest/setcover"
)

// Where proposes strips of new refuge: the least area, length or number that brings every bed into reach that can be brought, on
// the ground's own lines. progress may be nil; it is called on the goroutine of Where. When the context ends, the best so far
// comes back. The error is ErrAllWithin, or says why there is no proposal.
//
// A bed is within when its farthest point is, and several strips may each reach a part of it. So what is covered are points: those
// of the beds' outlines first, then, after each round, the points that the engine finds out of reach with the choice in place,
// until it finds none. Lines are cut into cells of equal length, and a column of the covering problem is a run of cells; the answer
// is a best one for strips that begin and end at those cuts. Strips that would overlap are parted by limits, added as they turn up.
// Each round's bound holds for the whole, since it asks for less.
func Where(ctx context.Context, p *plan.Plan, c *data.Catalogue, k Ask, progress func(Progress)) (*Proposal, error) {
	t, err := newTask(ctx, p, c, k)
	if err != nil {
		return nil, err
	}
	if len(t.out) == 0 {
		return nil, ErrAllWithin
	}
	m := &model{task: t, progress: progress, limits: map[[2]int]bool{}, gone: map[string]bool{}}
	return m.run()
}

// A model is Where at work.
type model struct {
	*task
	progress func(Progress)
	grounds  *grounds
	lines    []*line
	cells    []cell
	runs     [][2]int // first and last cell of each
	cellM    float64
	rows     []row
	ways     []obstructed // by guild
	limits   map[[2]int]bool
	pairs    [][2]int // of cells that overlap, in the order in which they turned up
	gone     map[string]bool
	leave    bool // beds may be left out

	serving [][]orb.Geometry // by guild, before
	best    *Proposal
	bound   float64

	problemLast *setcover.Problem // of the last round
	solved      setcover.Solution
	stands      bool     // the last round's choice is proven the best of the model, and stood the engine's test
	last        []column // of the last choice
	said        time.Time
}

const showAfter = 400 * time.Millisecond // between two choices that are assessed in full for show

func (m *model) run() (*Proposal, error) {
	m.tell("looking for places")
	m.serving = make([][]orb.Geometry, len(m.guilds))
	for i, g := range m.guilds {
		for _, f := range m.before.Serving(g) {
			m.serving[i] = append(m.serving[i], f.Geometry)
		}
	}
	m.grounds = newGrounds(m.plan, m.before.Site.Ground, m.ask)
	m.obstacles()
	for i, g := range m.guilds {
		distance := m.reach(i, nil).from
		for _, b := range m.beds {
			if standing(b, g).Status != habitat.Within {
				m.points(b, i, distance, 1)
			}
		}
	}
	m.lines = m.grounds.lines()
	m.leave = m.ask.MostM2 > 0
	size := 0
	for ; ; size++ {
		m.cut(sizes[size])
		if size+1 == len(sizes) || sizes[size+1] > m.ask.LeastM*1.0001 || len(m.cells) <= mostCells {
			break
		}
	}
	for i := range m.rows {
		m.see(&m.rows[i])
	}
	m.drop()
	if len(m.rows) == 0 {
		return nil, m.none()
	}
	for {
		cols, rows, ok := m.columns()
		if !ok && size+1 < len(sizes) { // too many: coarser
			size++
			m.cut(sizes[size])
			m.limits, m.pairs = map[[2]int]bool{}, nil
			for i := range m.rows {
				m.see(&m.rows[i])
			}
			continue
		}
		q := m.problem(cols, rows)
		m.tell("weighing places")
		sol, err := setcover.Solve(m.ctx, q, setcover.Options{Gap: m.ask.Gap, Start: m.again(cols), Progress: func(g setcover.Progress) {
			m.raise(g.Bound)
			if g.Chosen != nil && (m.best == nil || time.Since(m.said) > showAfter) {
				m.try(cols, g.Chosen)
			}
			m.tell("weighing places")
		}})
		if errors.Is(err, setcover.ErrNone) && !m.leave {
			m.leave = true
			continue
		}
		if err != nil {
			break
		}
		m.raise(sol.Bound)
		m.problemLast, m.solved = q, sol
		added := m.try(cols, sol.Chosen)
		m.stands = !added && sol.Proven
		if !added || m.ctx.Err() != nil {
			break
		}
		m.drop()
		if len(m.rows) == 0 {
			break
		}
	}
	if m.best == nil {
		if err := m.ctx.Err(); err != nil {
			return nil, err
		}
		return nil, m.none()
	}
	return m.finish()
}

func (m *model) tell(words string) {
	if m.progress != nil {
		m.progress(Progress{Best: m.best, Bound: m.bound, Words: words})
	}
}

// again are the columns of the last round's choice, as far as they are still there.
func (m *model) again(cols []column) (chosen []int) {
	for j, c := range cols {
		if slices.Contains(m.last, c) {
			chosen = append(chosen, j)
		}
	}
	return chosen
}

// raise notes a bound in the units of costs.
func (m *model) raise(bound int64) {
	if m.leave {
		return // some of it may be beds left out
	}
	per := map[Objective]float64{LeastArea: perM2, LeastLength: perM, LeastPatches: perPatch}[m.ask.Least]
	m.bound = max(m.bound, float64(bound)/per)
}

// try looks at a choice: whether its strips overlap, and what the engine says of it. It adds what the model did not know, and tells
// whether there was something.
func (m *model) try(cols []column, chosen []int) (added bool) {
	var runs []column
	for _, j := range chosen {
		if c := cols[j]; c.first >= 0 {
			runs = append(runs, c)
		}
	}
	m.last = slices.Clone(runs)
	if len(runs) == 0 {
		return false
	}
	strips := m.joined(runs)
	if m.part(strips) {
		return true
	}
	var changes []Change
	var shapes []orb.Geometry
	for _, c := range strips {
		f := m.strip(c)
		changes = append(changes, Change{After: f})
		shapes = append(shapes, f.Geometry)
	}
	// What a whole assessment costs is spent on what can be shown.
	if added = m.lacks(cols, chosen, strips, shapes); added && m.best != nil && time.Since(m.said) < showAfter {
		return true
	}
	q, a, err := m.assess(m.title(), changes)
	if err != nil {
		return added
	}
	m.said = time.Now()
	if len(q.Lost) == 0 && len(q.Beds) > 0 && m.better(q, m.best) {
		m.best = q
		m.tell("weighing places")
	}
	return added || m.unforeseen(cols, chosen, strips, a)
}

// joined makes one strip of runs that meet on one line. It sorts the runs.
func (m *model) joined(runs []column) []column {
	slices.SortFunc(runs, func(a, b column) int { return a.first - b.first })
	strips := runs[:1]
	for _, c := range runs[1:] {
		if last := &strips[len(strips)-1]; m.cells[c.first].run == m.cells[last.last].run && c.first <= last.last+1 {
			last.last = max(last.last, c.last)
			continue
		}
		strips = append(strips, c)
	}
	return strips
}

// part adds a limit for each pair of cells by which strips overlap, and tells whether there is a new one.
func (m *model) part(strips []column) (added bool) {
	for i, a := range strips {
		for _, b := range strips[:i] {
			if m.cells[a.first].line == m.cells[b.first].line || !m.overlap(a.first, a.last, b.first, b.last) {
				continue
			}
			for x := a.first; x <= a.last; x++ {
				for y := b.first; y <= b.last; y++ {
					if pair := [2]int{y, x}; !m.limits[pair] && m.overlap(x, x, y, y) {
						m.limits[pair] = true
						m.pairs = append(m.pairs, pair)
						added = true
					}
				}
			}
		}
	}
	return added
}

// unforeseen adds the points out of reach that the engine alone sees in its assessment of a choice, and tells whether there are any.
func (m *model) unforeseen(cols []column, chosen []int, strips []column, a *habitat.Assessment) (any bool) {
	for _, b := range a.Beds {
		id := b.Feature.ID
		if !m.out[id] || m.gone[id] || m.within(b) || m.left(cols, chosen, id) {
			continue
		}
		for i, g := range m.guilds {
			if s := standing(b, g); s.Status != habitat.Within && s.Link != nil {
				m.add(id, i, s.Link.FarthestFrom, strips)
				any = true
			}
		}
	}
	return any
}

// lacks finds the points that a choice leaves out of reach, adds them to the model and tells whether there are any.
func (m *model) lacks(cols []column, chosen []int, strips []column, shapes []orb.Geometry) (any bool) {
	for i, g := range m.guilds {
		r := m.rangeOf(g)
		var with reach
		for _, b := range m.beds {
			id := b.Feature.ID
			if m.gone[id] || standing(b, g).Status == habitat.Within || m.left(cols, chosen, id) {
				continue
			}
			if with.from == nil {
				with = m.reach(i, shapes)
			}
			span := with.farthest(b.Feature.Geometry)
			if span.Metres <= r {
				continue
			}
			any = true
			m.add(id, i, span.From, strips)
			was := len(m.rows)
			m.points(b, i, with.from, 0.5)
			for k := was; k < len(m.rows); k++ {
				m.see(&m.rows[k])
				m.deny(&m.rows[k], strips)
			}
		}
	}
	return any
}

func (m *model) left(cols []column, chosen []int, bed string) bool {
	for _, j := range chosen {
		if cols[j].first < 0 && cols[j].bed == bed {
			return true
		}
	}
	return false
}

// finish says how good the best is, and why each of its strips lies where it does.
func (m *model) finish() (*Proposal, error) {
	q := *m.best
	whole := len(q.Lacking) == len(m.gone) && !m.leave
	m.grade(&q, whole)
	q.How = m.how(&q, whole)
	q.Changes = slices.Clone(q.Changes)
	for i := range q.Changes {
		q.Changes[i].Why = m.why(&q, i)
	}
	return &q, nil
}

// grade says in numbers how good a proposal is; whole where it leaves out no bed that strips could reach.
func (m *model) grade(q *Proposal, whole bool) {
	q.BoundCost = m.bound
	have := m.ask.Least.of(q)
	const fine = 0.051 // costs are rounded to a tenth
	if m.ask.Least == LeastPatches {
		// A choice of fewer patches costs less than one more, as long as its ground is smaller than what a patch counts for.
		q.Proven = whole && m.stands && m.before.Site.AreaM2 < perPatch
		q.BoundCost = max(0, math.Ceil(m.bound-max(1, m.before.Site.AreaM2/perPatch)))
		if q.Proven {
			q.BoundCost = have
		}
	} else {
		q.Proven = whole && m.bound >= have-fine*float64(q.Patches)-1e-6
	}
	q.BoundCost = min(q.BoundCost, have)
	if !q.Proven && have > 0 && whole {
		q.Gap = max(0, 1-q.BoundCost/have)
	}
	if m.leave && m.stands { // of what leaves beds out: as few as can be, and these for the least
		q.Proven = true
	}
}
