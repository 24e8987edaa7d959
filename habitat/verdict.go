package habitat

import (
	"fmt"
	"slices"
	"strings"

	"hedgereach/data"
	"hedgereach/data/season"
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
	CoverKeepsOut  Standing = "covered" // a cover keeps the pest out all the time, and its enemies with it
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
	Covered    []season.HalfMonth // of these, in which a cover keeps it out
	// ShutIn tells whether the pest is under a sealed cover, which keeps its enemies out: it creeps in, or comes out of the soil. In
	// any of its half-months; where its time is not known, all the while for which the crop stands.
	ShutIn   bool
	Enemies  []Enemy // every guild that holds it, in the catalogue's order
	Standing Standing
	Sources  []string // ids in the bibliography: of the time, and of who holds the pest
	Evidence data.Evidence
}

// An Enemy is a guild that holds a pest, with its standing over the half-months of a verdict.
type Enemy struct {
	Guild  *data.Guild
	Status Status // the worst of the half-months' without cover, at the typical range
	Best   Status // the best
	Eats   bool   // it eats from flowers, so that Fed means something
	Fed    int    // of these half-months, those in which habitat within its typical range of the bed has flowers in bloom that feed it
}

// Verdicts tells for each planting of each bed whether the enemies of its pests are in reach, and fed, when they come: in
// the order of the plan, then of the crop's pests, then of the year. Times at which the crop does not stand are left out,
// and so are crops that the catalogue does not know. Daily is the weather record; nil takes the plan's own. The same plan,
// catalogue, options and record give the same answer; the options' time means nothing here.
//
// The distances behind "in reach" are those of Assess, for each half-month with what serves the guild then. A cover that lies
// sealed over the crop when the pest comes keeps it out; what follows is judged for the half-months without.
func Verdicts(p *plan.Plan, c *data.Catalogue, o Options, daily *degreeday.Record) []Verdict {
	a := Assess(p, c, o)
	if daily == nil {
		daily = Record(p.Weather)
	}
	return seasonWith(a, daily).Verdicts
}

// placeOf is what the pests' calendar needs to know of a place.
func placeOf(pl *plan.Place) *pestwindow.Place {
	if pl == nil {
		return nil
	}
	return &pestwindow.Place{Southern: pl.Latitude < 0, Moved: func(w season.Window, noted data.Place) (season.Window, bool) { return toHere(w, noted, pl) }}
}

// A coming is one time of one pest on one crop: what is the same for every bed on which it is grown on the same days.
type coming struct {
	Verdict
	guilds []int // by their place in the catalogue, as Row.Guilds
	enters bool  // a cover does not keep it out
}

// comings are the times of the pests of a crop that stands on some days.
func (y *year) comings(cal *pestwindow.Calendar, crop string, dates season.Window) (list []coming) {
	for _, row := range cal.Of(crop, dates) {
		base := coming{enters: entersUnderCover(row.Pest)}
		base.Pest, base.Why = row.Pest, row.Why
		base.Sources, base.Evidence = row.Pest.EnemiesFrom.Sources, row.Pest.EnemiesFrom.Evidence
		for _, g := range row.Guilds {
			base.guilds = append(base.guilds, slices.Index(y.a.Catalogue.Guilds, g))
		}
		if !row.Known() {
			list = append(list, base)
		}
		for n := range row.Times {
			t := &row.Times[n]
			if !t.Meets {
				continue
			}
			one := pestwindow.Row{Times: []pestwindow.Time{*t}}
			x := base
			x.Time, x.HalfMonths = t, one.HalfMonths(dates)
			x.Sources = append(slices.Clone(t.Sources), base.Sources...)
			x.Evidence = weaker(base.Evidence, t.Evidence)
			list = append(list, x)
		}
	}
	return list
}

// verdicts are those of one bed.
func (y *year) verdicts(bed int) (list []Verdict) {
	f := y.beds[bed].feature
	n, enemies := 0, 0
	for _, planted := range f.Crops {
		for _, x := range y.pests[stand{planted.Crop, planted.Dates}] {
			n++
			enemies += len(x.guilds)
		}
	}
	list = make([]Verdict, 0, n)
	room := make([]Enemy, 0, enemies) // at one go, which costs less than one by one
	covers := f.Covers()
	for i, planted := range f.Crops {
		for k := range y.pests[stand{planted.Crop, planted.Dates}] {
			x := &y.pests[stand{planted.Crop, planted.Dates}][k]
			v := x.Verdict
			v.Bed, v.Planting = f, planted
			var sealed []season.HalfMonth
			all := false // the time is not known, and a cover lies as long as the crop stands
			if len(covers) > 0 {
				sealed, all = y.sealed(covers, &v)
			}
			if len(sealed) > 0 || all {
				v.ShutIn = x.enters || y.inTheSoil(f, i)
			}
			if !v.ShutIn {
				v.Covered = sealed
			}
			from := len(room)
			for _, guild := range x.guilds {
				room = append(room, y.enemy(bed, guild, v.open()))
			}
			v.Enemies = room[from:len(room):len(room)]
			v.Standing = standing(v.Enemies, len(v.open()))
			switch {
			case v.ShutIn && v.Standing == EnemiesReady:
				v.Standing = EnemiesPartly
			case !v.ShutIn && (all || len(sealed) > 0 && len(v.open()) == 0):
				v.Standing = CoverKeepsOut
			}
			list = append(list, v)
		}
	}
	return list
}

// enemy is a guild's standing with a bed over half-months; over the season where there are none.
func (y *year) enemy(bed, guild int, when []season.HalfMonth) Enemy {
	g := y.a.Catalogue.Guilds[guild]
	e := Enemy{Guild: g, Eats: g.FedByFlowers}
	if len(when) == 0 {
		e.Status = y.status(bed, guild, anyTime)
		e.Best = e.Status
	}
	for i, h := range when {
		s := y.status(bed, guild, h)
		if i == 0 || s > e.Status { // Unknown is so in every half-month; else the worse is the larger
			e.Status = s
		}
		if i == 0 || s < e.Best {
			e.Best = s
		}
		if e.Eats && g.HasRange() && y.fed(bed, guild, h) {
			e.Fed++
		}
	}
	return e
}

// open are the half-months of a verdict in which no cover keeps the pest out.
func (v *Verdict) open() []season.HalfMonth {
	if len(v.Covered) == 0 {
		return v.HalfMonths
	}
	var list []season.HalfMonth
	for _, h := range v.HalfMonths {
		if !slices.Contains(v.Covered, h) {
			list = append(list, h)
		}
	}
	return list
}

// sealed are the half-months of a verdict through which covers lie sealed: on every day on which the pest comes while the crop stands,
// and on at least half of the days on which it stands, since the day of a pest is about that. Of a pest whose time is not known, all
// tells whether they lie on every day on which the crop stands. Edges that nobody spoke of are taken for sealed; a finding asks.
func (y *year) sealed(covers []plan.Cover, v *Verdict) (list []season.HalfMonth, all bool) {
	stands := y.a.Plan.Days(v.Planting.Dates)
	grows := func(d season.Day) bool { return !stands.Given() || stands.Contains(d) }
	under := func(d season.Day) bool {
		return slices.ContainsFunc(covers, func(c plan.Cover) bool {
			days := y.a.Plan.Days(c.Dates)
			return c.Edges != plan.EdgesOpen && (!days.Given() || days.Contains(d))
		})
	}
	if v.Time == nil {
		for d := season.Day(1); d <= 365; d++ {
			if grows(d) && !under(d) {
				return nil, false
			}
		}
		return nil, true
	}
	for _, h := range v.HalfMonths {
		n, covered, open := 0, 0, false
		for d := h.First(); d <= h.Last(); d++ {
			switch {
			case !grows(d):
				continue
			case under(d):
				covered++
			default:
				open = open || v.Time.Window.Contains(d)
			}
			n++
		}
		if !open && 2*covered >= n {
			list = append(list, h)
		}
	}
	return list, false
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
		EnemiesMissing: "no enemies in reach", EnemiesUnknown: "nobody knows how far its enemies go",
		CoverKeepsOut: "kept out by the cover, and its enemies too"}[v.Standing]
	n := len(v.open())
	if v.Standing != CoverKeepsOut && len(v.Covered) > 0 {
		stands = fmt.Sprintf("kept out by the cover in %s of %s half-months; after or before it %s", number(len(v.Covered)),
			number(len(v.HalfMonths)), stands)
	}
	if len(v.HalfMonths) == 0 { // whether they are fed then nobody knows
		switch v.Standing {
		case EnemiesReady:
			stands = "enemies in reach"
		case EnemiesPartly:
			stands = "enemies partly in reach"
		}
	}
	if v.ShutIn && v.Standing != EnemiesMissing && v.Standing != EnemiesUnknown {
		stands = "a cover keeps its enemies out while it lies"
	}
	line := fmt.Sprintf("%s: %s: %s.", capital(v.Pest.Name), when, stands)
	if v.Standing == CoverKeepsOut {
		return line
	}
	var order []string // of standings, as the guilds come
	who := map[string][]string{}
	for _, e := range v.Enemies {
		how := e.words(n)
		if who[how] == nil {
			order = append(order, how)
		}
		who[how] = append(who[how], InText(e.Guild.Name))
	}
	var parts []string
	for _, how := range order {
		parts = append(parts, join(who[how])+" "+how)
	}
	if len(parts) > 0 {
		line += " " + capital(strings.Join(parts, "; ")) + "."
	}
	return line
}

// words are "in reach", "in reach of part of the bed and fed in two of three half-months".
func (e *Enemy) words(n int) string {
	if e.Status == Unknown {
		if e.Guild.Travel == data.Drifts {
			return "come on the wind"
		}
		return "at an unknown distance"
	}
	s := map[Status]string{Within: "in reach", Partly: "in reach of part of the bed", Beyond: "out of reach"}[e.Status]
	if e.Status != e.Best {
		s = "in reach some of the time"
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
