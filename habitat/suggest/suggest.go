// Package suggest finds the cheapest ways to close a plan's gaps: where new refuge brings beds into reach (Where), what an edit of
// what is there already does (Edits), and which few plants keep habitat in flower (Plant). It knows plans, the catalogue and the
// assessment; the mathematics is that of package setcover. Whatever it proposes it has assessed: what a proposal says of beds is
// what habitat.Assess says of the plan with the proposal in it. It changes nothing itself.
package suggest

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/google/uuid"
	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry"
	geolength "hedgereach/geometry/length"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// An Objective is what a proposal has as little of as can be.
type Objective string

// The objectives.
const (
	LeastArea    Objective = "area"
	LeastLength  Objective = "length"
	LeastPatches Objective = "patches"
)

// Objectives lists them.
var Objectives = []Objective{LeastArea, LeastLength, LeastPatches}

// What an Ask means where it does not say. They are our judgement: widths and lengths that growers use for strips, and room for
// a barrow beside a bed.
const (
	UsualWidthM = 1.5
	UsualLeastM = 4.0
	UsualWalkM  = 0.5
)

// An Ask says what beds are to come into reach of whom, and on what ground.
type Ask struct {
	Guilds []string         // ids; none asks for any refuge within RangeM
	RangeM float64          // without guilds; 0 means habitat.UsualRangeM
	Beds   []string         // ids of the beds to protect; none means all
	Ground orb.MultiPolygon // that may be used; nil means the whole site
	Inside []string         // ids of features whose ground alone may be used, and which do not bar strips; none sets no limit
	Along  []Along          // the lines that strips may follow; none means all
	WidthM float64          // of strips; 0 means UsualWidthM
	LeastM float64          // least length of a strip; 0 means UsualLeastM
	WalkM  float64          // kept free about beds; 0 means UsualWalkM, below 0 nothing
	MostM2 float64          // of new habitat; 0 sets no limit
	Kind   plan.Kind        // of the new habitat; "" chooses one that shelters all guilds
	Least  Objective        // "" means LeastArea
	On     *season.HalfMonth
	Gap    float64 // stop when proven within this share of the best possible; 0 goes on to the best
}

// newKinds are the kinds that new habitat can be, the first that shelters all where none is asked for.
var newKinds = []plan.Kind{plan.PerennialStrip, plan.WildMargin, plan.BeetleBank, plan.Hedgerow, plan.Tree}

// settled is the ask with everything said, checked against the plan and the catalogue.
func (k Ask) settled(p *plan.Plan, c *data.Catalogue) (*Ask, []*data.Guild, error) {
	or := func(v *float64, usual float64) {
		if *v == 0 {
			*v = usual
		}
	}
	or(&k.WidthM, UsualWidthM)
	or(&k.LeastM, UsualLeastM)
	or(&k.WalkM, UsualWalkM)
	k.WalkM = max(k.WalkM, 0) // what goes by it lays lines that far from beds, and never inside them
	or(&k.RangeM, habitat.UsualRangeM)
	if k.Least == "" {
		k.Least = LeastArea
	}
	switch {
	case !slices.Contains(Objectives, k.Least):
		return nil, nil, fmt.Errorf("%q is not what a proposal can have little of: write area, length or patches", k.Least)
	case !(k.WidthM >= 0.1 && k.WidthM <= 50):
		return nil, nil, errors.New("a strip is 0.1 m to 50 m wide")
	case !(k.LeastM >= 0.5 && k.LeastM <= 500):
		return nil, nil, errors.New("the least length of a strip is 0.5 m to 500 m")
	case math.IsNaN(k.WalkM):
		return nil, nil, errors.New("what is kept free about beds is a length")
	case !(k.RangeM > 0):
		return nil, nil, errors.New("a range is more than 0")
	case k.MostM2 < 0 || math.IsNaN(k.MostM2):
		return nil, nil, errors.New("the most ground to give is not below 0")
	}
	for _, a := range k.Along {
		if !slices.Contains(Alongs, a) {
			return nil, nil, fmt.Errorf("%q is no line that a strip can follow: write margin, fence, path, bed-ends, wall or free", a)
		}
	}
	var guilds []*data.Guild
	for _, id := range k.Guilds {
		g := c.Guild(id)
		if g == nil {
			return nil, nil, fmt.Errorf("the catalogue has no guild %q", id)
		}
		if !g.HasRange() {
			return nil, nil, fmt.Errorf("no distance has been published for %s, so nothing can be computed for them", habitat.InText(g.Name))
		}
		guilds = append(guilds, g)
	}
	if len(guilds) == 0 {
		guilds = []*data.Guild{nil}
	}
	var inside []orb.Geometry
	for _, id := range k.Inside {
		f, _ := p.Find(id)
		if f == nil || geometry.Validate(f.Geometry) != nil || len(geometry.Polygons(f.Geometry)) == 0 {
			return nil, nil, fmt.Errorf("the plan has no ground %q to lay strips on", id)
		}
		inside = append(inside, f.Geometry)
	}
	if len(inside) > 0 {
		ground, err := geometry.Union(inside...)
		if err == nil && k.Ground != nil {
			ground, err = geometry.Intersection(ground, k.Ground)
		}
		if err != nil {
			return nil, nil, fmt.Errorf("the ground that may be used could not be worked out: %w", err)
		}
		k.Ground = ground
	}
	for _, id := range k.Beds {
		if f, _ := p.Find(id); f == nil || f.Kind != plan.Bed {
			return nil, nil, fmt.Errorf("the plan has no bed %q", id)
		}
	}
	if k.Kind == "" {
		for _, kind := range newKinds {
			if shelters(kind, guilds) {
				k.Kind = kind
				break
			}
		}
		if k.Kind == "" {
			return nil, nil, fmt.Errorf("no one kind of habitat shelters all of these guilds%s: ask for fewer at a time", nearly(guilds))
		}
	} else if !shelters(k.Kind, guilds) {
		return nil, nil, fmt.Errorf("a new %s is no refuge for all of these guilds: choose another kind", habitat.InText(k.Kind.Label()))
	}
	return &k, guilds, nil
}

// nearly names the kind of habitat that shelters the most of the guilds, and those that it does not; "" where none shelters any.
func nearly(guilds []*data.Guild) string {
	var best plan.Kind
	var lacks []string
	for _, kind := range newKinds {
		var not []string
		for _, g := range guilds {
			if !shelters(kind, []*data.Guild{g}) {
				not = append(not, habitat.InText(g.Name))
			}
		}
		if len(not) < len(guilds) && (best == "" || len(not) < len(lacks)) {
			best, lacks = kind, not
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf(" (a %s all but %s)", habitat.InText(best.Label()), strings.Join(lacks, ", "))
}

// shelters tells whether a new feature of the kind serves every guild by itself; nil stands for any refuge.
func shelters(k plan.Kind, guilds []*data.Guild) bool {
	for _, g := range guilds {
		if !k.Refuge() || g != nil && !slices.Contains(g.Shelter, string(k)) {
			return false
		}
	}
	return true
}

// A Change is a feature as it was and as it would be; Before nil adds one, After nil takes one away.
type Change struct {
	Before, After *plan.Feature
	Why           string // why here, in a sentence
}

// A Proposal is an edit that was assessed. It does not change once made.
type Proposal struct {
	Title   string
	Ask     *Ask          // that it answers, with everything said
	For     []*data.Guild // whom the ask names; none for any refuge
	Changes []Change
	Plan    *plan.Plan // the plan with it
	Effect  string     // in one line: "12 of 14 beds come into reach for 38 m²"
	How     string     // how good it is, and how that is known

	Beds      []string // ids of the beds that come into reach, in plan order
	Lost      []string // ids of the beds that leave it
	Lacking   []string // ids of the beds asked about that stay out of reach
	Out       int      // beds asked about that were out of reach before
	AreaM2    float64  // of new habitat
	LengthM   float64  // of new strips
	Patches   int
	TakenM2   float64 // ground that an edit takes: by which a feature grows, or the bed that is given up
	Proven    bool    // no better one is possible with strips as asked
	BoundCost float64 // what of the objective every other answer has at least (m², m or patches); 0 where not known
	Gap       float64 // share by which a better one could still be better
}

// Apply makes the edit on a plan: the one that it was found for, or another that still holds the features that it changes, as
// they were.
func (q *Proposal) Apply(p *plan.Plan) (*plan.Plan, error) {
	next := p.Clone()
	for _, c := range q.Changes {
		if c.Before == nil {
			if _, i := next.Find(c.After.ID); i >= 0 {
				return nil, errors.New("the proposal is in the plan already")
			}
			next.Features = append(next.Features, c.After)
			continue
		}
		f, i := next.Find(c.Before.ID)
		if f != c.Before {
			return nil, fmt.Errorf("%s has changed since; ask again", c.Before.Title())
		}
		if c.After == nil {
			next.Features = slices.Delete(slices.Clone(next.Features), i, i+1)
		} else {
			next.Features[i] = c.After
		}
	}
	return next, nil
}

// Progress is how far a search has come.
type Progress struct {
	Best  *Proposal // best so far; nil while none is
	Bound float64   // what of the objective no answer can do without, as far as it is known
	Words string    // what is being done
}

// A task is what all searches share: the plan, who is asked for, and how the plan stands before.
type task struct {
	ctx      context.Context
	ask      *Ask
	guilds   []*data.Guild // nil stands for any refuge
	plan     *plan.Plan
	assessor *habitat.Assessor
	before   *habitat.Assessment
	beds     []*habitat.Bed // asked about
	asked    map[string]bool
	out      map[string]bool // ids of those that are not within for all guilds
	units    geolength.System
}

func newTask(ctx context.Context, p *plan.Plan, c *data.Catalogue, k Ask) (*task, error) {
	own, _ := habitat.CatalogueOf(p, c)
	ask, guilds, err := k.settled(p, own)
	if err != nil {
		return nil, err
	}
	t := &task{ctx: ctx, ask: ask, guilds: guilds, plan: p, asked: map[string]bool{}, out: map[string]bool{}}
	if p.Units == plan.US {
		t.units = geolength.US
	}
	t.assessor = habitat.NewAssessor(c, habitat.Options{On: ask.On, RangesM: []float64{ask.RangeM}})
	t.before = t.assessor.Assess(p)
	for _, b := range t.before.Beds {
		if len(ask.Beds) == 0 || slices.Contains(ask.Beds, b.Feature.ID) {
			t.beds = append(t.beds, b)
			t.asked[b.Feature.ID] = true
			if !t.within(b) {
				t.out[b.Feature.ID] = true
			}
		}
	}
	if len(t.beds) == 0 {
		return nil, errors.New("the plan has no bed to protect")
	}
	return t, nil
}

// ErrAllWithin says that there is nothing to do.
var ErrAllWithin = errors.New("all of these beds are within reach already")

func (t *task) rangeOf(g *data.Guild) float64 {
	if g == nil {
		return t.ask.RangeM
	}
	return g.TypicalM
}

func standing(b *habitat.Bed, g *data.Guild) *habitat.GuildReach {
	if g == nil {
		return b.Guild("")
	}
	return b.Guild(g.ID)
}

// within tells whether all of a bed is in reach of all guilds asked for.
func (t *task) within(b *habitat.Bed) bool {
	for _, g := range t.guilds {
		if standing(b, g).Status != habitat.Within {
			return false
		}
	}
	return true
}

// assess makes a proposal of changes: what the engine says of the plan with them.
func (t *task) assess(title string, changes []Change) (*Proposal, *habitat.Assessment, error) {
	q := &Proposal{Title: title, Ask: t.ask, Changes: changes, Out: len(t.out)}
	if len(t.ask.Guilds) > 0 {
		q.For = t.guilds
	}
	var err error
	if q.Plan, err = q.Apply(t.plan); err != nil {
		return nil, nil, err
	}
	a := t.assessor.Assess(q.Plan)
	left := map[string]bool{}
	for _, b := range a.Beds {
		id := b.Feature.ID
		left[id] = true
		if !t.asked[id] {
			continue
		}
		switch in := t.within(b); {
		case in && t.out[id]:
			q.Beds = append(q.Beds, id)
		case !in && !t.out[id]:
			q.Lost = append(q.Lost, id)
			q.Lacking = append(q.Lacking, id)
		case !in:
			q.Lacking = append(q.Lacking, id)
		}
	}
	for _, c := range changes {
		if c.Before == nil && c.After.IsHabitat() {
			q.AreaM2 += geometry.Area(c.After.Geometry)
			q.LengthM += geometry.Perimeter(c.After.Line)
			q.Patches++
		}
	}
	q.Effect = t.effect(q, fmt.Sprintf("for %s", geolength.FormatArea(q.AreaM2, t.units)))
	return q, a, nil
}

// effect says in one line what a proposal does.
func (t *task) effect(q *Proposal, price string) string {
	var parts []string
	switch n := len(q.Beds); {
	case n == 0:
		parts = append(parts, "no further bed comes into reach")
	case len(t.out) == 1:
		parts = append(parts, "the one bed that was out comes into reach")
	case n == 1:
		parts = append(parts, fmt.Sprintf("1 of %d beds comes into reach", len(t.out)))
	default:
		parts = append(parts, fmt.Sprintf("%d of %d beds come into reach", n, len(t.out)))
	}
	if price != "" {
		parts[0] += " " + price
	}
	if n := len(q.Lost); n > 0 {
		parts = append(parts, fmt.Sprintf("%d %s", n, map[bool]string{true: "bed leaves it", false: "beds leave it"}[n == 1]))
	}
	line := strings.Join(parts, "; ")
	return strings.ToUpper(line[:1]) + line[1:]
}

// better tells whether one proposal is better than another: it leaves fewer beds out, or has less of the objective.
func (t *task) better(a, b *Proposal) bool {
	if b == nil {
		return true
	}
	if len(a.Lacking) != len(b.Lacking) {
		return len(a.Lacking) < len(b.Lacking)
	}
	const same = 1e-6
	if x, y := t.ask.Least.of(a), t.ask.Least.of(b); math.Abs(x-y) > same {
		return x < y
	}
	if a.Patches != b.Patches {
		return a.Patches < b.Patches
	}
	return a.AreaM2 < b.AreaM2-same
}

func (o Objective) of(q *Proposal) float64 {
	switch o {
	case LeastLength:
		return q.LengthM
	case LeastPatches:
		return float64(q.Patches)
	}
	return q.AreaM2
}

// names lists beds for people, the first few by name.
func (t *task) names(ids []string) string {
	const most = 4
	var list []string
	for i, id := range ids {
		if i == most && len(ids) > most+1 {
			list = append(list, fmt.Sprintf("%d more", len(ids)-most))
			break
		}
		if f, _ := t.plan.Find(id); f != nil {
			list = append(list, f.Title())
		}
	}
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:len(list)-1], ", ") + " and " + list[len(list)-1]
}

// who says in few words of whom beds come into reach.
func (t *task) who() string { return t.listed("and", "all %d guilds") }

// someOf says in few words of whom beds stay out of reach: of one at least.
func (t *task) someOf() string { return t.listed("or", "one or more of the %d guilds") }

func (t *task) listed(word, many string) string {
	const most = 3
	var list []string
	for _, g := range t.guilds {
		if g == nil {
			return "any refuge"
		}
		list = append(list, habitat.InText(g.Name))
	}
	switch n := len(list); {
	case n > most:
		return fmt.Sprintf(many, n)
	case n > 1:
		return strings.Join(list[:n-1], ", ") + " " + word + " " + list[n-1]
	}
	return list[0]
}

// CropGuilds are the guilds that hold any pest of a plan's crops, in the order of the catalogue, as far as a distance has been
// published for them.
func CropGuilds(p *plan.Plan, base *data.Catalogue) []*data.Guild {
	c, _ := habitat.CatalogueOf(p, base)
	return slices.DeleteFunc(needed(p, c), func(g *data.Guild) bool { return !g.HasRange() })
}

// needed are the guilds that hold any pest of a plan's crops, in the order of the catalogue.
func needed(p *plan.Plan, c *data.Catalogue) (list []*data.Guild) {
	want := map[*data.Guild]bool{}
	for _, f := range p.Features {
		if f.Kind != plan.Bed {
			continue
		}
		for _, crop := range f.Crops {
			for _, g := range c.GuildsFor(crop.Crop) {
				want[g] = true
			}
		}
	}
	for _, g := range c.Guilds {
		if want[g] {
			list = append(list, g)
		}
	}
	return list
}

// newFeature is a feature with an id that the same proposal gets again.
func newFeature(k plan.Kind, name string, shape orb.Polygon) *plan.Feature {
	f := plan.NewFeature(k, name, shape)
	f.ID = uuid.NewSHA1(uuid.NameSpaceOID, fmt.Appendf(nil, "%s %v", k, shape)).String()
	return f
}
