package habitat

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/habitat/degreeday"
	"hedgereach/habitat/pestwindow"
	"hedgereach/habitat/plan"
)

// A Standing says whether the enemies of a pest are there when it comes to a bed.
type Standing string

// The standings, best first. They say who can come, not that the pest will be held: predators leave much to chance.
const (
	EnemiesReady   Standing = "ready"   // at least one guild is in reach of all of the bed, and fed, all the time
	EnemiesPartly  Standing = "partly"  // some of the time or of the bed, or not fed
	EnemiesMissing Standing = "missing" // none in reach
	EnemiesUnknown Standing = "unknown" // no guild that holds the pest has a published distance
)

// A Verdict is a bed's standing with one pest at one time. Time is nil, and HalfMonths are empty, where its time is not
// known here: the standing is then that of the whole time for which the crop stands, and of guilds in reach only.
type Verdict struct {
	Bed        *plan.Feature
	Planting   plan.Planting
	Pest       *data.Pest
	Time       *pestwindow.Time
	Why        string             // why the time is not known, or not from degree-days
	HalfMonths []season.HalfMonth // in which the pest comes while the crop stands
	Enemies    []Enemy            // every guild that holds it, in the catalogue's order
	Standing   Standing
	Sources    []string // ids in the bibliography: of the time, and of who holds the pest
	Evidence   data.Evidence
}

// An Enemy is a guild that holds a pest, with its standing over the half-months of a verdict.
type Enemy struct {
	Guild  *data.Guild
	Status Status // the worst of the half-months', at the typical range
	Best   Status // the best
	Eats   bool   // it eats from flowers, so that Fed means something
	Fed    int    // half-months in which habitat within its typical range of the bed has flowers in bloom that feed it
}

// Verdicts tells for each planting of each bed whether the enemies of its pests are in reach, and fed, when they come: in
// the order of the plan, then of the crop's pests, then of the year. Times at which the crop does not stand are left out,
// and so are crops that the catalogue does not know. Daily is the weather record, nil where there is none. The same plan,
// catalogue, options and record give the same answer; the options' time means nothing here.
//
// The distances behind "in reach" are those of Assess, for each half-month with what serves the guild then.
func Verdicts(p *plan.Plan, c *data.Catalogue, o Options, daily *degreeday.Record) []Verdict {
	c, _ = CatalogueOf(p, c)
	y := &year{plan: p, assessor: NewAssessor(c, o), options: o, nearby: map[[2]*plan.Feature]float64{},
		meals: map[meal][]*plan.Feature{}}
	cal := pestwindow.New(c, placeOf(p.Place), daily)
	var list []Verdict
	for i, bed := range y.during(nil).Beds {
		for _, planted := range bed.Feature.Crops {
			for _, row := range cal.Of(planted.Crop, planted.Dates) {
				if !row.Known() {
					list = append(list, y.verdict(i, planted, row, nil))
				}
				for n := range row.Times {
					if row.Times[n].Meets {
						list = append(list, y.verdict(i, planted, row, &row.Times[n]))
					}
				}
			}
		}
	}
	return list
}

// placeOf is what the pests' calendar needs to know of a place.
func placeOf(pl *plan.Place) *pestwindow.Place {
	if pl == nil {
		return nil
	}
	return &pestwindow.Place{Southern: pl.Latitude < 0, Later: func(noted data.Place) (int, bool) { return hopkinsDays(pl, noted) }}
}

// A year is a plan through the seasons.
type year struct {
	plan     *plan.Plan
	assessor *Assessor
	options  Options
	whole    *Assessment
	at       [season.HalfMonths]*Assessment
	nearby   map[[2]*plan.Feature]float64 // distances from beds to habitats, metres
	meals    map[meal][]*plan.Feature
}

// A meal is what a guild looks for in a half-month.
type meal struct {
	guild *data.Guild
	on    season.HalfMonth
}

// during is the plan's assessment in a half-month, nil for any time of the season; each is made once.
func (y *year) during(on *season.HalfMonth) *Assessment {
	known := &y.whole
	if on != nil {
		known = &y.at[*on]
	}
	if *known == nil {
		o := y.options
		o.On = on
		y.assessor.SetOptions(o)
		*known = y.assessor.Assess(y.plan)
	}
	return *known
}

func (y *year) verdict(bed int, planted plan.Planting, row pestwindow.Row, t *pestwindow.Time) Verdict {
	whole := y.during(nil)
	v := Verdict{Bed: whole.Beds[bed].Feature, Planting: planted, Pest: row.Pest, Time: t, Why: row.Why,
		Sources: slices.Clone(row.Pest.EnemiesFrom.Sources), Evidence: row.Pest.EnemiesFrom.Evidence}
	if t != nil {
		one := pestwindow.Row{Times: []pestwindow.Time{*t}}
		v.HalfMonths = one.HalfMonths(planted.Dates)
		v.Sources = append(slices.Clone(t.Sources), v.Sources...)
		v.Evidence = weaker(v.Evidence, t.Evidence)
	}
	for _, g := range row.Guilds {
		e := Enemy{Guild: g, Eats: g.FedByFlowers}
		switch {
		case len(v.HalfMonths) == 0:
			e.Status = whole.Beds[bed].Guild(g.ID).Status
			e.Best = e.Status
		default:
			for i, h := range v.HalfMonths {
				s := y.during(&h).Beds[bed].Guild(g.ID).Status
				if i == 0 || s > e.Status { // Unknown is so in every half-month; else the worse is the larger
					e.Status = s
				}
				if i == 0 || s < e.Best {
					e.Best = s
				}
				if e.Eats && g.HasRange() && y.fed(v.Bed, g, h) {
					e.Fed++
				}
			}
		}
		v.Enemies = append(v.Enemies, e)
	}
	v.Standing = standing(v.Enemies, len(v.HalfMonths))
	return v
}

// standing is the best that any of the guilds comes to over n half-months; n is 0 where the time is not known.
func standing(enemies []Enemy, n int) Standing {
	best := EnemiesUnknown
	for _, e := range enemies {
		switch {
		case e.Status == Unknown:
			continue
		case e.Status == Within && (n == 0 || !e.Eats || e.Fed == n):
			return EnemiesReady
		case e.Best != Beyond:
			best = EnemiesPartly
		case best == EnemiesUnknown:
			best = EnemiesMissing
		}
	}
	return best
}

// fed tells whether a habitat within the guild's typical range of the bed feeds it in a half-month.
func (y *year) fed(bed *plan.Feature, g *data.Guild, h season.HalfMonth) bool {
	for _, f := range y.feeding(g, h) {
		if apart(bed.Geometry.Bound(), f.Geometry.Bound()) <= g.TypicalM+plan.MarkRadius && y.distance(bed, f) <= g.TypicalM {
			return true
		}
	}
	return false
}

// feeding are the habitats that feed a guild in a half-month.
func (y *year) feeding(g *data.Guild, h season.HalfMonth) []*plan.Feature {
	key := meal{g, h}
	list, known := y.meals[key]
	if !known {
		for _, f := range y.plan.Features {
			if f.IsHabitat() && y.whole.invalid[f] == nil && y.whole.calendar.feeds(f, g, &h) {
				list = append(list, f)
			}
		}
		y.meals[key] = list
	}
	return list
}

// distance is the least between two features, in metres.
func (y *year) distance(a, b *plan.Feature) float64 {
	key := [2]*plan.Feature{a, b}
	d, known := y.nearby[key]
	if !known {
		d, _, _ = geometry.Closest(groundOf(a), groundOf(b))
		y.nearby[key] = d
	}
	return d
}

// groundOf is a feature's ground; a mark's disc.
func groundOf(f *plan.Feature) orb.Geometry {
	if p, ok := f.Geometry.(orb.Point); ok {
		return geometry.Disc(p, plan.MarkRadius)
	}
	return f.Geometry
}

// weaker is the less sure of two grades.
func weaker(a, b data.Evidence) data.Evidence {
	order := []data.Evidence{data.Good, data.Medium, data.Contested, data.Low, data.None}
	return order[max(slices.Index(order, a), slices.Index(order, b))]
}

// Line is the verdict in one readable line: pest, when, and how each guild that holds it stands.
func (v *Verdict) Line() string {
	when := "time not known here"
	if v.Time != nil {
		when = v.Time.Words()
	}
	stands := map[Standing]string{EnemiesReady: "enemies in reach and fed", EnemiesPartly: "enemies partly in reach, or not fed",
		EnemiesMissing: "no enemies in reach", EnemiesUnknown: "nobody knows how far its enemies go"}[v.Standing]
	if len(v.HalfMonths) == 0 && v.Standing == EnemiesReady {
		stands = "enemies in reach"
	}
	var parts []string
	for _, e := range v.Enemies {
		parts = append(parts, e.words(len(v.HalfMonths)))
	}
	line := fmt.Sprintf("%s: %s: %s.", capital(v.Pest.Name), when, stands)
	if len(parts) > 0 {
		line += " " + capital(join(parts)) + "."
	}
	return line
}

// words are "ground beetles within reach", "hoverflies partly in reach and fed in two of three half-months".
func (e *Enemy) words(n int) string {
	name := InText(e.Guild.Name)
	if e.Status == Unknown {
		if e.Guild.Travel == data.Drifts {
			return name + " come on the wind"
		}
		return name + " at an unknown distance"
	}
	s := name + map[Status]string{Within: " in reach", Partly: " in reach of part of the bed", Beyond: " out of reach"}[e.Status]
	if e.Status != e.Best {
		s = name + " in reach some of the time"
	}
	if n == 0 || !e.Eats || e.Best == Beyond {
		return s
	}
	switch e.Fed {
	case n:
		return s + " and fed"
	case 0:
		return s + " but not fed"
	}
	return s + fmt.Sprintf(" and fed in %s of %s half-months", number(e.Fed), number(n))
}
