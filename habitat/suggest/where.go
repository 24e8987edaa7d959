package suggest

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/bits"
	"slices"
	"sync"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/geometry"
	geolength "hedgereach/geometry/length"
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

// A cell is a piece of a line.
type cell struct {
	line     *line
	run      int // the stretch of cells in a row that it belongs to
	from, to float64
}

// A row is a point of a bed that is to be reached by a guild, with the cells from which it is.
type row struct {
	at    orb.Point
	bed   string
	guild int
	cells []uint64
}

// A column is a run of cells.
type column struct {
	first, last int // cells
	bed         string
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

// obstructed is what a guild that walks has to go round.
type obstructed struct {
	shapes []orb.Geometry
	boxes  *geometry.Boxes
}

const showAfter = 400 * time.Millisecond // between two choices that are assessed in full for show

const (
	slack     = 1e-4 // metres by which a strip has to reach farther than asked, so that rounding decides nothing
	mostCells = 400
	mostRuns  = 15_000 // columns
)

var sizes = []float64{0.5, 1, 2, 4, 5, 10, 20, 50, 100, 200, 500}

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

func (m *model) none() error {
	return fmt.Errorf("no strip of %s by at least %s fits where it would bring one of these beds into reach of %s",
		geolength.Format(m.ask.WidthM, m.units), geolength.Format(m.ask.LeastM, m.units), m.who())
}

func (m *model) tell(words string) {
	if m.progress != nil {
		m.progress(Progress{Best: m.best, Bound: m.bound, Words: words})
	}
}

// obstacles are what bars the way of those guilds that walk.
func (m *model) obstacles() {
	m.ways = make([]obstructed, len(m.guilds))
	for i, g := range m.guilds {
		if g == nil || g.Travel != data.Walks {
			continue
		}
		o := &m.ways[i]
		for _, f := range m.plan.Features {
			if (f.Kind == plan.Building || f.Kind == plan.Pond) && geometry.Validate(f.Geometry) == nil {
				o.shapes = append(o.shapes, f.Geometry)
			}
		}
		o.boxes = geometry.NewBoxes(len(o.shapes), func(i int) orb.Bound { return o.shapes[i].Bound() })
	}
}

// points adds the points of a bed that new shapes leave out of reach of a guild, a step apart along its outline.
func (m *model) points(b *habitat.Bed, guild int, distance func(orb.Point) float64, step float64) {
	r := m.rangeOf(m.guilds[guild])
	for _, p := range geometry.Polygons(b.Feature.Geometry) {
		for _, ring := range p {
			every := max(step, geometry.Perimeter(orb.LineString(ring))/80)
			for j := 1; j < len(ring); j++ {
				n := max(1, int(math.Ceil(length(ring[j-1], ring[j])/every)))
				for k := range n {
					f := float64(k) / float64(n)
					at := orb.Point{ring[j-1][0] + f*(ring[j][0]-ring[j-1][0]), ring[j-1][1] + f*(ring[j][1]-ring[j-1][1])}
					if distance(at) > r-slack {
						m.rows = append(m.rows, row{at: at, bed: b.Feature.ID, guild: guild})
					}
				}
			}
		}
	}
}

// A reach measures what serves a guild, as the engine does.
type reach struct {
	from     func(orb.Point) float64
	farthest func(orb.Geometry) geometry.Span
}

// reach is that of a guild with new shapes in place.
func (m *model) reach(guild int, shapes []orb.Geometry) reach {
	sites := geometry.NewSites(slices.Concat(m.serving[guild], shapes))
	if o := m.ways[guild]; len(o.shapes) > 0 {
		r := m.rangeOf(m.guilds[guild])
		ways := sync.OnceValue(func() *geometry.Ways { return geometry.NewWays(sites, o.shapes) })
		// What is out of reach in a straight line is so on foot, too, and costs less to find.
		return reach{
			func(p orb.Point) float64 {
				d, _ := sites.DistanceFrom(p)
				if d <= r {
					d, _ = ways().DistanceFrom(p)
				}
				return d
			},
			func(g orb.Geometry) geometry.Span {
				span := sites.Farthest(g)
				if span.Metres <= r {
					span = ways().Farthest(g)
				}
				return span
			},
		}
	}
	return reach{func(p orb.Point) float64 { d, _ := sites.DistanceFrom(p); return d }, sites.Farthest}
}

// cut cuts the stretches that are near enough to some point into cells.
func (m *model) cut(size float64) {
	m.cells, m.runs, m.cellM = nil, nil, size
	for _, l := range m.lines {
		var near []stretch
		for i := range m.rows {
			r := m.rangeOf(m.guilds[m.rows[i].guild])
			s, t := l.where(m.rows[i].at)
			if off := max(math.Abs(t)-l.half, 0); off < r {
				d := math.Sqrt(r*r-off*off) + m.ask.LeastM
				near = append(near, stretch{s - d, s + d})
			}
		}
		near = merged(near, size)
		for _, f := range l.free {
			for _, s := range near {
				// Cuts lie at whole cells from the stretch's own end.
				from := f.from + math.Floor(max(0, s.from-f.from)/size)*size
				n := int(math.Floor((min(f.to, s.to) - from) / size * (1 + 1e-12)))
				if to := min(f.to, s.to); float64(n)*size < to-from-touch && to == f.to {
					n++ // a short one at the end
				}
				if n < 1 || min(f.to, from+float64(n)*size)-from < m.ask.LeastM-1e-9 {
					continue
				}
				first := len(m.cells)
				for i := range n {
					m.cells = append(m.cells, cell{l, len(m.runs), from + float64(i)*size, min(f.to, from+float64(i+1)*size)})
				}
				m.runs = append(m.runs, [2]int{first, len(m.cells) - 1})
			}
		}
	}
}

// see finds the cells from which a point is reached.
func (m *model) see(w *row) {
	w.cells = make([]uint64, (len(m.cells)+63)/64)
	r := m.rangeOf(m.guilds[w.guild]) - slack
	o := &m.ways[w.guild]
	var round *geometry.Ways
	for i := range m.cells {
		c := &m.cells[i]
		if c.line.distance(w.at, c.from, c.to) > r {
			continue
		}
		if len(o.shapes) > 0 {
			s, t := c.line.where(w.at)
			to := c.line.point(min(max(s, c.from), c.to), min(max(t, -c.line.half), c.line.half))
			if o.bars(w.at, to) {
				if round == nil {
					round = geometry.NewWays(geometry.NewSites([]orb.Geometry{w.at}), o.shapes)
				}
				if round.Nearest(c.line.rectangle(c.from, c.to)).Metres > r {
					continue
				}
			}
		}
		w.cells[i/64] |= 1 << (i % 64)
	}
}

// bars tells whether an obstacle may lie between two points.
func (o *obstructed) bars(a, b orb.Point) bool {
	way := orb.LineString{a, b}
	for _, i := range o.boxes.Near(nil, way.Bound(), 0) {
		if d, _, _ := geometry.Closest(way, o.shapes[i]); d == 0 {
			return true
		}
	}
	return false
}

// drop leaves out the beds of which a point cannot be reached at all.
func (m *model) drop() {
	for _, w := range m.rows {
		any := false
		for _, v := range w.cells {
			any = any || v != 0
		}
		if !any {
			m.gone[w.bed] = true
		}
	}
	m.rows = slices.DeleteFunc(m.rows, func(w row) bool { return m.gone[w.bed] })
}

// columns finds the rows that imply all others, and the runs of cells that no shorter run matches. It is false where they are too
// many.
func (m *model) columns() (cols []column, rows []*row, ok bool) {
	order := make([]*row, len(m.rows))
	count := make(map[*row]int, len(m.rows))
	for i := range m.rows {
		order[i] = &m.rows[i]
		for _, w := range m.rows[i].cells {
			count[order[i]] += bits.OnesCount64(w)
		}
	}
	slices.SortStableFunc(order, func(a, b *row) int { return count[a] - count[b] })
	seen := map[string]bool{}
	for _, w := range order {
		key := fmt.Sprint(w.cells)
		if m.leave {
			key += w.bed
		}
		if seen[key] {
			continue
		}
		seen[key] = true
		implied := false
		for _, v := range rows {
			if m.leave && v.bed != w.bed {
				continue
			}
			inside := true
			for i, x := range v.cells {
				if x&^w.cells[i] != 0 {
					inside = false
					break
				}
			}
			if inside {
				implied = true
				break
			}
		}
		if !implied {
			rows = append(rows, w)
		}
	}
	words := (len(rows) + 63) / 64
	covers := make([]uint64, len(m.cells)*words) // of each cell, the rows
	for i, w := range rows {
		for k, v := range w.cells {
			for ; v != 0; v &= v - 1 {
				covers[(k*64+bits.TrailingZeros64(v))*words+i/64] |= 1 << (i % 64)
			}
		}
	}
	of := func(c int) []uint64 { return covers[c*words : (c+1)*words] }
	within := func(a, b []uint64) bool {
		for i, v := range a {
			if v&^b[i] != 0 {
				return false
			}
		}
		return true
	}
	for _, run := range m.runs {
		for i := run[0]; i <= run[1]; i++ {
			sum := make([]uint64, words) // of cells after i
			minimal := true
			for j := i; j <= run[1]; j++ {
				grew := !within(of(j), sum) && !within(of(j), of(i))
				if j > i {
					for k, v := range of(j) {
						sum[k] |= v
					}
				}
				long := m.cells[j].to-m.cells[i].from >= m.ask.LeastM-1e-9
				if !long {
					continue
				}
				// Longer ones only where the last cell adds something, and the first one is needed.
				shorter := j > i && m.cells[j].to-m.cells[i+1].from >= m.ask.LeastM-1e-9
				if (minimal || grew) && !(shorter && within(of(i), sum)) {
					if minimal {
						all := slices.Clone(sum)
						for k, v := range of(i) {
							all[k] |= v
						}
						if within(all, make([]uint64, words)) { // reaches nothing
							minimal = false
							continue
						}
					}
					cols = append(cols, column{first: i, last: j})
					if len(cols) > mostRuns {
						return nil, nil, false
					}
				}
				minimal = false
				if shorter && within(of(i), sum) {
					break // the first cell will not be needed any more
				}
			}
		}
	}
	if m.leave {
		done := map[string]bool{}
		for _, w := range rows {
			if !done[w.bed] {
				done[w.bed] = true
				cols = append(cols, column{first: -1, bed: w.bed})
			}
		}
	}
	return cols, rows, true
}

// Costs are whole numbers: of the objective first, then what parts equals.
const (
	perM2    = 1000      // units of area; a patch counts one, so that of equal areas the one in fewer patches is chosen
	perM     = 1000      // units of length
	perPatch = 1_000_000 // units of a patch; a square metre counts one
)

func (m *model) cost(c column) int64 {
	long := m.cells[c.last].to - m.cells[c.first].from
	odd := int64(1)
	if m.cells[c.first].line.along == Free {
		odd += 3 // of equal ones those that follow something
	}
	switch m.ask.Least {
	case LeastLength:
		return int64(math.Round(long*10))*(perM/10) + odd
	case LeastPatches:
		return perPatch + int64(math.Ceil(long*m.ask.WidthM)) + odd
	}
	return int64(math.Round(long*m.ask.WidthM*10))*(perM2/10) + odd
}

// problem states the covering problem.
func (m *model) problem(cols []column, rows []*row) *setcover.Problem {
	q := &setcover.Problem{Rows: make([]setcover.Row, len(rows))}
	byFirst := map[string]int{}
	var all int64
	for j, c := range cols {
		if c.first < 0 {
			byFirst[c.bed] = j
			q.Costs = append(q.Costs, 0)
			continue
		}
		v := m.cost(c)
		all = max(all, v)
		q.Costs = append(q.Costs, v)
	}
	// To leave a bed out costs more than all that a choice could need: a dearest column for every row.
	for _, j := range byFirst {
		q.Costs[j] = min(all*int64(len(rows)+1), 1<<36)
	}
	for i, w := range rows {
		q.Rows[i].Need = 1
		for j, c := range cols {
			if c.first < 0 {
				if c.bed == w.bed {
					q.Rows[i].Columns = append(q.Rows[i].Columns, j)
				}
				continue
			}
			for k := c.first; k <= c.last; k++ {
				if w.cells[k/64]&(1<<(k%64)) != 0 {
					q.Rows[i].Columns = append(q.Rows[i].Columns, j)
					break
				}
			}
		}
	}
	holds := func(c column, k int) bool { return c.first >= 0 && c.first <= k && k <= c.last }
	for _, pair := range m.pairs {
		l := setcover.Limit{Most: 1}
		for j, c := range cols {
			if holds(c, pair[0]) || holds(c, pair[1]) {
				l.Columns = append(l.Columns, j)
			}
		}
		q.Limits = append(q.Limits, l)
	}
	if m.ask.MostM2 > 0 {
		l := setcover.Limit{Most: int64(math.Floor(m.ask.MostM2 * 100))}
		for j, c := range cols {
			if c.first >= 0 {
				l.Columns = append(l.Columns, j)
				l.Weights = append(l.Weights, int64(math.Ceil((m.cells[c.last].to-m.cells[c.first].from)*m.ask.WidthM*100-1e-6)))
			}
		}
		q.Limits = append(q.Limits, l)
	}
	return q
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
	// Runs that meet on one line are one strip.
	slices.SortFunc(runs, func(a, b column) int { return a.first - b.first })
	strips := runs[:1]
	for _, c := range runs[1:] {
		if last := &strips[len(strips)-1]; m.cells[c.first].run == m.cells[last.last].run && c.first <= last.last+1 {
			last.last = max(last.last, c.last)
			continue
		}
		strips = append(strips, c)
	}
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
	if added {
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
	if added {
		return true
	}
	for _, b := range a.Beds { // what the engine alone sees
		if id := b.Feature.ID; !m.out[id] || m.gone[id] || m.within(b) || m.left(cols, chosen, id) {
			continue
		}
		for i, g := range m.guilds {
			if s := standing(b, g); s.Status != habitat.Within && s.Link != nil {
				m.add(b.Feature.ID, i, s.Link.FarthestFrom, strips)
				added = true
			}
		}
	}
	return added
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

// add adds a point that strips do not reach, whatever the model thinks.
func (m *model) add(bed string, guild int, at orb.Point, strips []column) {
	w := row{at: at, bed: bed, guild: guild}
	m.see(&w)
	m.deny(&w, strips)
	m.rows = append(m.rows, w)
}

func (m *model) deny(w *row, strips []column) {
	for _, c := range strips {
		for k := c.first; k <= c.last; k++ {
			w.cells[k/64] &^= 1 << (k % 64)
		}
	}
}

func (m *model) left(cols []column, chosen []int, bed string) bool {
	for _, j := range chosen {
		if cols[j].first < 0 && cols[j].bed == bed {
			return true
		}
	}
	return false
}

// overlap tells whether two runs of cells of different lines share ground.
func (m *model) overlap(a, b, c, d int) bool {
	p, q := m.cells[a].line, m.cells[c].line
	thin := *p
	thin.half -= touch
	s, ok := (&thin).under(q.rectangle(m.cells[c].from, m.cells[d].to)[0])
	return ok && s[0].from < m.cells[b].to-touch && s[0].to > m.cells[a].from+touch
}

// strip is the feature that a run of cells stands for.
func (m *model) strip(c column) *plan.Feature {
	l := m.cells[c.first].line
	from, to := m.cells[c.first].from, m.cells[c.last].to
	round := func(p orb.Point) orb.Point { // to the millimetre, as drawn by hand at best
		return orb.Point{math.Round(p[0]*1000) / 1000, math.Round(p[1]*1000) / 1000}
	}
	mid := orb.LineString{round(l.point(from, 0)), round(l.point(to, 0))}
	shape, err := geometry.Strip(mid, m.ask.WidthM)
	if err != nil {
		shape = l.rectangle(from, to)
	}
	name := newName(m.ask.Kind)
	if l.of != nil && l.along != BedEnds {
		name += " by " + l.of.Title()
	}
	f := newFeature(m.ask.Kind, name, shape)
	if err == nil {
		f.Line, f.WidthM = mid, m.ask.WidthM
	}
	return f
}

// newName is what new habitat is called until the grower calls it something.
func newName(k plan.Kind) string {
	switch k {
	case plan.PerennialStrip, plan.FlowerStrip:
		return "New flower strip"
	case plan.Hedgerow:
		return "New hedge"
	}
	return "New " + habitat.InText(k.Label())
}

func (m *model) title() string {
	return map[Objective]string{LeastArea: "Least area", LeastLength: "Least length", LeastPatches: "Fewest patches"}[m.ask.Least]
}

// finish says how good the best is, and why each of its strips lies where it does.
func (m *model) finish() (*Proposal, error) {
	q := *m.best
	q.BoundCost = m.bound
	have := m.ask.Least.of(&q)
	const fine = 0.051 // costs are rounded to a tenth
	whole := len(q.Lacking) == len(m.gone) && !m.leave
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
	q.Changes = slices.Clone(q.Changes)
	for i := range q.Changes {
		q.Changes[i].Why = m.why(&q, i)
	}
	grid := fmt.Sprintf("strips of %s, %s and longer in steps of %s, along %s", geolength.Format(m.ask.WidthM, m.units),
		geolength.Format(m.ask.LeastM, m.units), geolength.Format(m.cellM, m.units), counted(len(m.lines), "line of this ground", "lines of this ground"))
	what := map[Objective]string{LeastArea: "area", LeastLength: "length", LeastPatches: "number"}[m.ask.Least]
	switch {
	case q.Proven:
		q.How = fmt.Sprintf("Proven: no smaller %s will do with %s.", what, grid)
	case m.leave && m.stands:
		q.Proven = true
		q.How = "Proven: no more beds come into reach, nor these for less,"
		if m.ask.MostM2 > 0 {
			q.How += fmt.Sprintf(" within %s and", geolength.FormatArea(m.ask.MostM2, m.units))
		}
		q.How += fmt.Sprintf(" with %s.", grid)
	case whole:
		q.How = fmt.Sprintf("Not proven: the least %s lies at most %s below, with %s.", what, habitat.Percent(q.Gap), grid)
	default:
		q.How = fmt.Sprintf("The best found with %s; not proven.", grid)
	}
	if n := len(m.gone); n > 0 {
		q.How += fmt.Sprintf(" %s cannot be brought into reach with these.", counted(n, "bed", "beds"))
	}
	return &q, nil
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// why says what a strip of a proposal is for: the beds that would be out of reach without it.
func (m *model) why(q *Proposal, i int) string {
	var l *line
	for j := range m.cells { // by its middle
		c := &m.cells[j]
		f := q.Changes[i].After
		at := f.Geometry.Bound().Center()
		if s, t := c.line.where(at); math.Abs(t) < 0.01 && s > 0 && s < c.line.long && len(f.Line) == 2 {
			if s2, t2 := c.line.where(f.Line[0]); math.Abs(t2) < 0.01 && s2 > -0.01 {
				l = c.line
				break
			}
		}
	}
	place := "here"
	if l != nil {
		place = l.along.words()
		if l.of != nil && l.along != Margin && l.along != BedEnds {
			place = fmt.Sprintf("along %s", l.of.Title())
		}
	}
	var shapes []orb.Geometry
	for k, c := range q.Changes {
		if k != i {
			shapes = append(shapes, c.After.Geometry)
		}
	}
	var lose []string
	for k, g := range m.guilds {
		without := m.reach(k, shapes)
		for _, b := range m.beds {
			id := b.Feature.ID
			if slices.Contains(q.Beds, id) && !slices.Contains(lose, id) && standing(b, g).Status != habitat.Within &&
				without.farthest(b.Feature.Geometry).Metres > m.rangeOf(g) {
				lose = append(lose, id)
			}
		}
	}
	if len(lose) == 0 {
		return fmt.Sprintf("Lies %s; others reach the same beds.", place)
	}
	verb := "stays"
	if len(lose) > 1 {
		verb = "stay"
	}
	return fmt.Sprintf("Lies %s: without it %s %s out of reach of %s.", place, m.names(lose), verb, m.who())
}
