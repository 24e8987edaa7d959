// Package habitat says what can be said of a plan: how far every bed lies from the refuges of its natural enemies, how much
// of the ground is in flower when, and what a grower should look at. One pure function, Assess, goes from a plan and the
// catalogue to an Assessment, which the window, the report and the sheets all read. It knows no screen, no file, no printer.
//
// # The season
//
// An Assessment is about the ground. What the year makes of it is a Season, made from an Assessment by SeasonOf, apart from
// it so that a drag need not wait: make it when the plan has rested for a moment. It holds
//
//	Verdicts     for each planting's pest and time: when, which guilds hold it, in reach and fed then? (Verdict.Line)
//	Beds         each bed's plantings with harvest, flowering and quantity, what it holds when, its covers and pests
//	TrapCrops    each trap crop beside the trial that it is like: share, gap, ring, weeks ahead, what was found
//	Findings     of the season's rules; Finding.Accepted is the grower's word that one may stand (plan.Accepted), Open leaves
//	             those out, and a plan.Acceptance{Rule: f.Rule, Key: f.Key, …} accepts one
//	At(h)        the plan's assessment in a half-month; after Prepare a step along the year is a look-up
//
// Suggest gives a planting's harvest from its usual days, data.Catalogue.MaterialsFor the gentlest first, Record and WeatherOf
// turn a station's record into what a plan keeps and back, plan.InYear turns the plan to another year.
//
// Each rule of the trade stands in one place (rules.go), with its source beside it.
package habitat

import (
	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// Options say what to measure besides the standard measures.
type Options struct {
	CoverRadiusM float64           // ground about each bed for its flowering cover; 0 means DefaultCoverRadiusM
	RangesM      []float64         // ranges for Bed.Reach, in metres
	On           *season.HalfMonth // the time asked about; nil asks for any time between last and first frost (or all year)
}

// A Status is a bed's standing with a guild, or with refuge in general at a range.
type Status uint8

// The standings. Unknown: no published distance, nothing computed. Beyond also where no refuge serves at all.
const (
	Unknown Status = iota
	Within         // farthest point of the bed within range
	Partly
	Beyond // nearest point of the bed out of range
)

// String is the word used in files and for people: "within", "partly", "beyond", "unknown".
func (s Status) String() string { return [...]string{"unknown", "within", "partly", "beyond"}[s] }

// Letter is the mark that goes with colour and hatch: W, P, B, and "?" for unknown.
func (s Status) Letter() string { return [...]string{"?", "W", "P", "B"}[s] }

// An Assessment is all measures and findings of a plan. It does not change once made.
type Assessment struct {
	Plan           *plan.Plan
	Catalogue      *data.Catalogue
	Options        Options
	Site           Site
	Beds           []*Bed // in plan order
	Findings       []Finding
	BloomEstimated bool // bloom windows were shifted to the plan's place by Hopkins' law

	calendar *calendar
	invalid  map[*plan.Feature]error
}

// A Site is the ground as a whole.
type Site struct {
	Ground    orb.MultiPolygon // the boundary, else the convex hull of the features
	AreaM2    float64
	Beds      int
	BedsM2    float64
	HabitatM2 float64 // overlaps counted once
	Cover     [season.HalfMonths]Cover
	Season    []season.HalfMonth // the half-months between last and first frost, in order; empty when not known
	BloomGaps []season.HalfMonth // of Season, those with fewer than three species in flower
}

// A Cover is flowering cover in one half-month: ground in flower, its share of the ground asked about, species in flower.
type Cover struct {
	HalfMonth season.HalfMonth
	AreaM2    float64
	Fraction  float64
	Species   int
}

// A Bed is what is measured of one bed.
type Bed struct {
	Feature      *plan.Feature
	AreaM2       float64
	Refuge       *Link // to any refuge; nil where the plan has none
	Reach        []Reach
	Guilds       []GuildReach // one for each guild, in catalogue order
	CoverRadiusM float64
	Cover        [season.HalfMonths]Cover
}

// A Link is the bed's distance to the refuges that serve: the least, and the largest from any of its points.
type Link struct {
	NearestM     float64
	Nearest      *plan.Feature
	NearestFrom  orb.Point     // on the bed
	NearestTo    orb.Point     // on the refuge
	FarthestM    float64       // +Inf where part of the bed cannot be reached on foot
	Farthest     *plan.Feature // the refuge nearest to the deepest point: it decides the status
	FarthestFrom orb.Point     // the deepest point of the bed
	FarthestTo   orb.Point

	mean *mean
}

// At is the bed's standing at a range in metres: beyond on a nil link, which stands for no refuge at all.
func (l *Link) At(rangeM float64) Status {
	switch {
	case l == nil || l.NearestM > rangeM:
		return Beyond
	case l.FarthestM <= rangeM:
		return Within
	}
	return Partly
}

// Decides is the refuge that decides the standing at a range, and with it whether the fraction within is none, some or all: the
// nearest where the bed lies beyond it, else the nearest to the deepest point. It is nil on a nil link.
func (l *Link) Decides(rangeM float64) *plan.Feature {
	switch {
	case l == nil:
		return nil
	case l.At(rangeM) == Beyond:
		return l.Nearest
	}
	return l.Farthest
}

// Reach is the fraction of a bed within a range of any refuge.
type Reach struct {
	RangeM         float64
	WithinFraction float64
}

// GuildReach is a bed's standing with one guild. Link is nil where nothing serves the guild, or nothing that it can reach the bed
// from, or its range is unknown.
type GuildReach struct {
	Guild          *data.Guild
	Link           *Link
	WithinFraction float64 // at the typical range

	// At the ends of the published band: what would hold if the shortest and the longest distance were right. Where no such end
	// is published the status is unknown and the fraction 0.
	WithinAtLow, WithinAtOuter float64
	Status                     Status // at the typical range
	AtLow, AtOuter             Status

	// Guilds that walk go round buildings and ponds: their fractions and means are those of ways on foot. Where going round makes
	// the nearest or the farthest distance longer, Link measures the way on foot, Straight the straight line, and Way is the way
	// from the deepest point, bend by bend (empty where there is none). Else Straight is nil.
	Straight *Link
	Way      []orb.Point
}

// Band says what the published band leaves open, "within at best, beyond at worst": the standing at its outer and at its low end,
// or at the typical range where an end is not published. It is "" where both are the same.
func (r *GuildReach) Band() string {
	best, worst := r.AtOuter, r.AtLow
	if best == Unknown {
		best = r.Status
	}
	if worst == Unknown {
		worst = r.Status
	}
	if best == worst {
		return ""
	}
	return best.String() + " at best, " + worst.String() + " at worst"
}

// Severity orders findings.
type Severity string

// The severities, gravest first.
const (
	Warning Severity = "warning"
	Advice  Severity = "advice"
	Note    Severity = "note"
)

// A Finding is one thing that a grower should look at: what, where, why, and what would mend it.
type Finding struct {
	Key      string // tells it from every other finding of the plan: the rule, and where one rule finds several what parts them
	Rule     string // id of the rule, kebab-case
	Severity Severity
	Features []string // ids of the features that it is about
	Guilds   []string // ids of the guilds that it is about; may be empty
	Title    string   // a few words
	Message  string   // one or two sentences
	Mend     string   // what would mend it
	Source   string   // where the rule comes from, as a citation
	Evidence data.Evidence
	Show     []orb.Point // a line on the ground that shows it, such as bed to refuge; may be empty

	// Accepted is the grower's word that it may stand, nil where it is open; see Open.
	Accepted *plan.Acceptance
}

// Same tells whether two findings, of a plan before and after an edit, say the same thing of it: its numbers and the line that
// shows it may differ.
func (f *Finding) Same(g *Finding) bool { return f.Rule == g.Rule && f.Key == g.Key }

// Assess measures a plan. It is pure: the same plan, catalogue and options give the same answer, and nothing is changed.
// Features with invalid geometry take no part, and a finding names each.
func Assess(p *plan.Plan, c *data.Catalogue, o Options) *Assessment {
	return NewAssessor(c, o).Assess(p)
}

// Guild is the bed's standing with the guild of the id, or nil where the catalogue has no such guild; with "" its standing
// with any refuge at the first of the options' ranges, unknown where they name none.
func (b *Bed) Guild(id string) *GuildReach {
	if id == "" {
		any := &GuildReach{Link: b.Refuge}
		if len(b.Reach) > 0 {
			any.WithinFraction = b.Reach[0].WithinFraction
			any.Status = b.Refuge.At(b.Reach[0].RangeM)
			any.AtLow, any.AtOuter = any.Status, any.Status
			any.WithinAtLow, any.WithinAtOuter = any.WithinFraction, any.WithinFraction
		}
		return any
	}
	for i := range b.Guilds {
		if b.Guilds[i].Guild.ID == id {
			return &b.Guilds[i]
		}
	}
	return nil
}

// InFlower tells whether a plant in a habitat is in flower in the half-month at the plan's place, by the grower's own
// observation where there is one.
func (a *Assessment) InFlower(g plan.Growing, h season.HalfMonth) bool {
	return a.dates().inFlower(g, h)
}

// Bloom is the plant's bloom window at the plan's place, by the grower's own observation where there is one; zero where the
// catalogue knows no such plant.
func (a *Assessment) Bloom(g plan.Growing) season.Window { return a.dates().bloom(g) }

// Serving lists the features that serve a guild at the options' time: its shelter by kind, and habitat with a plant in flower
// that feeds it. With guild nil, every refuge.
func (a *Assessment) Serving(g *data.Guild) []*plan.Feature {
	c := a.dates()
	var serving []*plan.Feature
	for _, f := range a.Plan.Features {
		if a.invalid[f] == nil && c.serves(f, g, a.Options.On) {
			serving = append(serving, f)
		}
	}
	return serving
}

// Obstacles lists the features that a guild goes round on its way to the beds: buildings and ponds for one that walks, none for
// others and for guild nil, which are measured in straight lines.
func (a *Assessment) Obstacles(g *data.Guild) []*plan.Feature {
	if g == nil || g.Travel != data.Walks {
		return nil
	}
	var barring []*plan.Feature
	for _, f := range a.Plan.Features {
		if barsWalkers(f) && a.invalid[f] == nil {
			barring = append(barring, f)
		}
	}
	return barring
}

// barsWalkers tells whether guilds that walk go round a feature.
func barsWalkers(f *plan.Feature) bool { return f.Kind == plan.Building || f.Kind == plan.Pond }

// dates is the calendar; made here for an Assessment that was put together by hand.
func (a *Assessment) dates() *calendar {
	if a.calendar == nil {
		return newCalendar(a.Catalogue, a.Plan.Place)
	}
	return a.calendar
}
