package habitat

import (
	"fmt"
	"slices"
	"strings"

	"hedgereach/data"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// The numbers of the rules, and nowhere else: the words of findings are formatted from them. The rules below name their sources.
const (
	speciesInFlower = 3    // fewer in flower in a half-month make a bloom gap
	coverLow        = 0.02 // flowering cover of the site under which growers are warned
	habitatLow      = 0.02 // habitat's share of the site under which growers are warned
	habitatAim      = 0.05 // the low end of the share aimed at
	habitatAimMost  = 0.10 // its high end
	widePathM       = 3.0  // a path as wide may keep hoverflies from crossing; the width is our reading of "track" and "road"
	shortRangeM     = 15.0 // guilds that work no farther would flag nearly every bed, so they make advice, not warnings
	longerOnFootM   = 0.5  // a way must be as much longer than the straight line to be worth a word; our judgement
	outsideM2       = 0.5  // ground off the site that is worth a word: this much …
	outsidePart     = 0.01 // … and this part of the feature; our judgement
	bedOverlapM2    = 0.05 // ground that two beds share that is worth a word: drawing by hand is no more exact; our judgement

	companionNearM   = 1.0  // as far as "close beside the crop" goes where a trial gives no distance; our judgement
	periodSpecies    = 3    // species to flower in each of three periods
	ringClosed       = 0.95 // of the outline about the beds that must have the trap before it for a closed ring; our judgement
	ringLookM        = 20.0 // how far from the bed a trap still counts as a ring about it; our judgement
	shareSlack       = 0.005
	trapFromHabitatM = 10.0 // sticky cards to flower strips and hedges, at least
	plumesApartM     = 30.0 // between pheromone traps, at least
	driftM           = 6.0  // from what is sprayed to flowers: no numeric buffer is published; our judgement is 3–6 m
	nurseryApartM    = 5.0  // a nursery of aphids to a bed that the same pest harms; our judgement, no source
	fullShare        = 1.001

	trapCropsReviewed = 100 // about; Shelton and Badenes-Perez 2006, the counts at second hand: see the catalogue's row trap-sink
	trapCropsWorked   = 10  // of these in practice; likewise
	sandbagsM         = 1.5 // between sandbags on a cover's edge, the loosest of the ways tried; ASABE 1801263, 2018
	openEndsDays      = 10  // from the first female flowers, with the ends open, to taking a cover off cucurbits; Gleason and others 2011
	lookEvery         = "once a week (common practice, no source)"
)

// The three periods of bloom in which periodSpecies must flower each, as Indiana reads the practice: 1 April to 15 June, to the
// end of July, to the end of October. South of the equator half a year on.
var bloomPeriods = []struct {
	name     string
	words    string // as a sentence has it
	from, to string // first days of half-months
}{{"spring", "spring", "04-01", "06-01"}, {"summer", "summer", "06-16", "07-16"}, {"autumn", "late summer and autumn", "08-01", "10-16"}}

// DefaultCoverRadiusM is the ground about a bed for its flowering cover where the options name none, in metres; our judgement:
// about as far as most guilds work.
const DefaultCoverRadiusM = 50.0

// UsualRangeM is the range at which any refuge is asked about until the grower asks otherwise. It is our judgement, of no source
// of its own: most guilds of natural enemies with a published range usually work as far as this or farther, and those that work
// less far are better served by flowers within the beds than by any refuge.
const UsualRangeM = 30.0

// A rule is one thing that the trade looks for. Its source stands here and nowhere else.
type rule struct {
	id       string
	title    string
	severity Severity
	sources  []string // ids in the bibliography
	practice string   // where there is no published source, or what the sources do not cover
	judgedM  float64  // the distance that stands in practice for its %s, in the plan's units; 0 where it has none
	evidence data.Evidence
	cites    bool                          // each finding names what it rests on itself
	find     func(v *view) []Finding       // key, message, mend, features and what to show; the rest is filled in
	season   func(v *seasonView) []Finding // likewise, of a rule about the season instead of find; see Season

	// What it finds depends on habitat, the ground, the place, the units and whether there are beds, and on nothing else.
	ofSite bool

	byGuild    bool // headings name the guild
	everywhere bool // headings name no feature: it is about the whole site
}

// rules in the order in which findings of the same severity are listed.
var rules = []rule{
	{
		id: "invalid-geometry", title: "Outline is not proper", severity: Warning, evidence: data.None,
		practice: "No source needed: such an outline has no area or distance", find: invalidGeometry,
	},
	{
		id: "no-refuge", title: "No refuge", severity: Warning, evidence: data.Good,
		sources: []string{"landis-2000"}, find: noRefuge,
	},
	{
		id: "bed-beyond-range", title: "Beds beyond range", severity: Warning, evidence: data.Medium, byGuild: true, find: bedBeyondRange,
	},
	{
		id: "bloom-gap", title: "Bloom gap", severity: Warning, evidence: data.Low, sources: []string{"usda-cp42-2012"},
		practice:   "the source asks for three species in each of three periods; the half-month as the step is our reading",
		everywhere: true, ofSite: true, find: bloomGap,
	},
	{
		id: "flowering-cover-low", title: "Little in flower", severity: Warning, evidence: data.Medium,
		sources: []string{"dicks-2015", "swiss-strips"}, everywhere: true, ofSite: true, find: coverIsLow,
		practice: fmt.Sprintf("%s of the ground as the limit is our reading of these", whole(coverLow)),
	},
	{
		id: "habitat-share-low", title: "Little habitat", severity: Warning, evidence: data.Medium,
		sources:  []string{"pywell-2015", "dicks-2015", "buhk-2018", "swiss-strips"},
		practice: fmt.Sprintf("%s as the limit and %s as the aim are our reading of these", whole(habitatLow), aim), everywhere: true, ofSite: true, find: habitatIsLow,
	},
	{
		id: "trap-crop-without-removal", title: "Trap crop without removal", severity: Warning, evidence: data.Good,
		sources: []string{"shelton-2006"}, find: trapWithoutRemoval,
	},
	{
		id: "weed-here", title: "Invasive in this part of the world", severity: Warning, evidence: data.Medium, ofSite: true, find: unwelcomePlants,
		practice: "the catalogue's note on the plant; lists change by state and year",
	},
	{
		id: "own-entry-left-out", title: "Own entry left out", severity: Warning, evidence: data.None,
		practice: "No source needed: the entry does not read", find: unfitEntries,
	},
	{
		id: "tender-here", title: "Not hardy here", severity: Advice, evidence: data.Medium, ofSite: true, find: tenderPlants,
		practice: "the catalogue's zones, of the United States Department of Agriculture",
	},
	{
		id: "bed-partly-in-range", title: "Beds partly in range", severity: Advice, evidence: data.Medium, byGuild: true, find: bedPartly,
	},
	{
		id: "bed-beyond-short-range", title: "Beds beyond a short range", severity: Advice, evidence: data.Medium, byGuild: true, find: bedBeyondShort,
	},
	{
		id: "longer-on-foot", title: "Longer on foot", severity: Note, evidence: data.Medium, find: longerOnFoot,
	},
	{
		id: "barrier-contested", title: "May be a barrier to hoverflies", severity: Note, evidence: data.Contested,
		sources: []string{"wratten-2003", "lovei-1998"}, find: contestedBarriers,
	},
	{
		id: "outside-boundary", title: "Outside the boundary", severity: Advice, evidence: data.None,
		practice: "Common practice, no source", find: outsideBoundary,
	},
	{
		id: "beds-overlap", title: "Beds overlap", severity: Advice, evidence: data.None,
		practice: "Common practice, no source", find: bedsOverlap,
	},
	{
		id: "unknown-name", title: "Not in the catalogue", severity: Note, evidence: data.None,
		practice: "The catalogue of this program", find: unknownNames,
	},
	{
		id: "own-entries-elsewhere", title: "Own entries on this computer alone", severity: Note, evidence: data.None,
		practice: "No source needed: what the plan is measured by", find: entriesElsewhere,
	},
	{
		id: "bloom-from-elsewhere", title: "Bloom not known here", severity: Note, evidence: data.None, sources: []string{"hopkins-1918"},
		practice: "that his law does not hold across continents is our reading: he found it within one", ofSite: true, find: bloomFromElsewhere,
	},
	{
		id: "nothing-planted", title: "Nothing planted yet", severity: Note, evidence: data.Good, sources: []string{"landis-2000"},
		practice: "that shelter and food are told apart is the source's; to say so of a plan on paper is our reading",
		ofSite:   true, find: nothingPlanted,
	},
	{
		id: "no-place", title: "No place", severity: Note, evidence: data.Low, sources: []string{"hopkins-1918"}, ofSite: true, find: noPlace,
	},
	{
		id: "no-frost-dates", title: "No frost dates", severity: Note, evidence: data.None,
		practice: "Common practice, no source", ofSite: true, find: noFrostDates,
	},
	{
		id: "pest-without-enemies", title: "Pest comes, no enemies in reach", severity: Advice, evidence: data.Medium, season: pestWithoutEnemies, cites: true,
	},
	{
		id: "pest-enemies-hungry", title: "Enemies partly in reach, or not fed", severity: Note, evidence: data.Medium, season: pestEnemiesPartly, cites: true,
	},
	{
		id: "cover-at-flowering", title: "Cover on at flowering", severity: Warning, evidence: data.Medium,
		sources:  []string{"klein-2007", "iowa-2014", "gleason-2011", "hortmag-covers"},
		practice: "the days from flower to fruit, and so the date, are usual ones from memory: go by the plants", season: coverAtFlowering,
	},
	{
		id: "cover-too-late", title: "Cover put on after the pest", severity: Warning, evidence: data.Low, sources: []string{"cover-practice"},
		season: coverTooLate,
	},
	{
		id: "cover-edges", title: "Cover with open edges", severity: Warning, evidence: data.Medium, sources: []string{"asabe-2018"},
		season: coverEdges,
	},
	{
		id: "cover-same-family", title: "Cover over last year's pests", severity: Warning, evidence: data.Low, sources: []string{"cover-practice"},
		season: coverSameFamily,
	},
	{
		id: "cover-shuts-out", title: "Covers keep enemies out too", severity: Note, evidence: data.Low, sources: []string{"cover-practice"},
		season: coverShutsOut,
	},
	{
		id: "rotation", title: "Family comes back too soon", severity: Warning, evidence: data.Medium, season: rotationTooSoon, cites: true,
	},
	{
		id: "bed-overfull", title: "More than the bed holds", severity: Warning, evidence: data.None, practice: "Arithmetic of the shares",
		season: bedOverfull,
	},
	{
		id: "planting-too-short", title: "Cleared before it is ripe", severity: Advice, evidence: data.Low, season: plantingTooShort, cites: true,
	},
	{
		id: "few-species-in-a-period", title: "Few species in a period", severity: Advice, evidence: data.Low, sources: []string{"usda-cp42-2012"},
		season: fewInPeriod,
	},
	{
		id: "companion-harms", title: "Neighbour that does harm", severity: Warning, evidence: data.Medium, season: companionHarms, cites: true,
	},
	{
		id: "companion-tested", title: "Neighbours as tested", severity: Note, evidence: data.Medium, season: companionTested, cites: true,
	},
	{
		id: "companion-folklore", title: "Neighbours of folklore", severity: Note, evidence: data.None, sources: []string{"parker-2013"},
		season: companionFolklore,
	},
	{
		id: "trap-crop-study", title: "What trials say of a trap crop", severity: Note, evidence: data.Medium, season: trapCropStudy, cites: true,
	},
	{
		id: "trap-crop-share", title: "Size of a trap crop", severity: Advice, evidence: data.Medium, season: trapCropShare, cites: true,
	},
	{
		id: "trap-crop-gap", title: "Gap to a trap crop", severity: Advice, evidence: data.Medium, season: trapCropGap, cites: true,
	},
	{
		id: "trap-crop-open", title: "Trap crop is no closed ring", severity: Advice, evidence: data.Medium, season: trapCropOpen, cites: true,
	},
	{
		id: "trap-crop-late", title: "Trap crop comes too late", severity: Advice, evidence: data.Medium, season: trapCropLate, cites: true,
	},
	{
		id: "trap-near-habitat", title: "Trap near habitat", severity: Warning, evidence: data.Medium,
		sources:  []string{"purdue-2024", "wallis-shaw-2008", "bowie-1999", "laubertie-2007"},
		practice: "%s is our judgement", judgedM: trapFromHabitatM, season: trapNearHabitat,
	},
	{
		id: "traps-too-few", title: "Too few traps", severity: Advice, evidence: data.Medium, season: trapsTooFew, cites: true,
	},
	{
		id: "trap-colour", title: "Colour of a trap", severity: Advice, evidence: data.Medium, season: trapColour, cites: true,
	},
	{
		id: "trap-renewal", title: "Renewal of a trap", severity: Advice, evidence: data.Medium, season: trapRenewal, cites: true,
	},
	{
		id: "traps-too-close", title: "Traps too close together", severity: Advice, evidence: data.Low, sources: []string{"extension-trap-practice"},
		season: trapsTooClose,
	},
	{
		id: "trap-says-nothing", title: "Trap without a kind", severity: Note, evidence: data.None, practice: "Common practice, no source",
		season: trapSaysNothing,
	},
	{
		id: "treatment-harms-enemies", title: "Treatment harms enemies", severity: Warning, evidence: data.Good, season: treatmentHarms, cites: true,
	},
	{
		id: "treatment-bees", title: "Treatment near flowers", severity: Warning, evidence: data.Good, sources: []string{"uc-floriculture", "pnw-591"},
		practice: "no distance of drift is published for these materials; %s is our judgement", judgedM: driftM, season: treatmentBees,
	},
	{
		id: "treatment-not-gentlest", title: "A gentler treatment first", severity: Advice, evidence: data.Low, season: treatmentNotGentlest,
		practice: orderOfGentleness,
	},
	{
		id: "treatment-before-harvest", title: "Time before harvest", severity: Warning, evidence: data.Good, practice: "The label is the law",
		season: treatmentHarvest,
	},
	{
		id: "treatment-label", title: "Before you treat", severity: Note, evidence: data.Medium, season: treatmentLabel, cites: true,
	},
	{
		id: "nursery-near-beds", title: "Nursery near a bed", severity: Warning, evidence: data.None,
		practice: "No distance is published; %s is our judgement", judgedM: nurseryApartM, season: nurseryNear,
	},
	{
		id: "nursery", title: "Left as a nursery", severity: Note, evidence: data.Low, sources: []string{"landis-2000"}, season: nurseryAdvice,
	},
	{
		// The last one, for what the rules before it could not work out.
		id: "not-measured", title: "Not measured in full", severity: Warning, evidence: data.None,
		practice: "No source needed: a fault of this program", find: notMeasured,
	},
}

// A view is what rules look at.
type view struct {
	*Assessment
	*Assessor
	rule  *rule    // that looks
	beds  []*facts // as Assessment.Beds
	units length.System
}

// findings asks every rule, or where nothing changed that it looks at takes what it found the last time. Graver findings come
// first, then the order of the rules, then that of the plan. sameSite tells whether habitat, ground and place are those of the
// last round.
func (a *Assessor) findings(out *Assessment, sameSite bool) []Finding {
	v := &view{Assessment: out, Assessor: a, beds: a.now.beds}
	if out.Plan.Units == plan.US {
		v.units = length.US
	}
	m := &a.memory
	now := siteSaid{units: v.units, beds: len(v.beds) > 0, region: RegionOf(out.Plan.Place)}
	sameSite = sameSite && m.site.found != nil && m.site.units == now.units && m.site.beds == now.beds && m.site.region == now.region
	if sameSite {
		now.found = m.site.found
	} else {
		now.found = make([][]Finding, len(rules))
	}
	m.site = now
	all := m.room[:0]
	for i := range rules {
		v.rule = &rules[i]
		if v.rule.find == nil {
			continue // of the season
		}
		found := now.found[i]
		if !v.rule.ofSite || !sameSite {
			found = v.rule.find(v)
			for k := range found {
				v.fill(&found[k])
			}
		}
		if v.rule.ofSite {
			now.found[i] = found
		}
		all = append(all, found...)
	}
	m.room = all
	m.forget(a.round)
	slices.SortStableFunc(all, func(x, y Finding) int { return x.Severity.Gravity() - y.Severity.Gravity() })
	all = slices.Clone(all)
	accept(out.Plan, all)
	return all
}

// accept notes the grower's word on findings.
func accept(p *plan.Plan, list []Finding) {
	if len(p.Accepted) == 0 {
		return
	}
	type named struct{ rule, key string }
	words := make(map[named]*plan.Acceptance, len(p.Accepted))
	for i := range p.Accepted {
		words[named{p.Accepted[i].Rule, p.Accepted[i].Key}] = &p.Accepted[i]
	}
	for i := range list {
		list[i].Accepted = words[named{list[i].Rule, list[i].Key}]
	}
}

// Open are the findings that the grower has not accepted.
func Open(list []Finding) (open []Finding) {
	for _, f := range list {
		if f.Accepted == nil {
			open = append(open, f)
		}
	}
	return open
}

// practice is what the rule rests on besides its sources, in the plan's units.
func (v *view) practice() string {
	if v.rule.judgedM == 0 {
		return v.rule.practice
	}
	return fmt.Sprintf(v.rule.practice, v.length(v.rule.judgedM))
}

// fill puts what the rule says of all its findings into one.
func (v *view) fill(f *Finding) {
	r := v.rule
	if f.Rule != "" {
		return // remembered
	}
	f.Rule, f.Key = r.id, strings.TrimSpace(r.id+" "+f.Key)
	if f.Severity == "" {
		f.Severity = r.severity
	}
	if f.Title == "" {
		f.Title = r.title
	}
	if f.Source == "" {
		f.Source = v.cite(r.sources, v.practice())
	}
	if f.Evidence == "" {
		f.Evidence = r.evidence
	}
}

// Heading is the title with whom and what the finding is about, for a list of findings: "Beds beyond range of ground beetles:
// Row 3 and 2 more". The plan is that of the assessment.
func (f *Finding) Heading(p *plan.Plan, c *data.Catalogue) string {
	words := f.Title
	if i := slices.IndexFunc(rules, func(r rule) bool { return r.id == f.Rule }); i >= 0 {
		if g := c.Guild(atTop(f.Guilds)); g != nil && rules[i].byGuild {
			words += " of " + InText(g.Name)
			if len(f.Guilds) > 1 {
				words += " and others"
			}
		}
		if rules[i].everywhere {
			return words
		}
	}
	if x, _ := p.Find(atTop(f.Features)); x != nil {
		words += ": " + x.Title()
		if more := len(f.Features) - 1; more > 0 {
			words += fmt.Sprintf(" and %d more", more)
		}
	}
	return words
}

func atTop(ids []string) string {
	if len(ids) == 0 {
		return ""
	}
	return ids[0]
}

// Severities are all severities, gravest first.
var Severities = []Severity{Warning, Advice, Note}

// Gravity is the place among Severities by which findings are ordered; what is none stands last.
func (s Severity) Gravity() int {
	if i := slices.Index(Severities, s); i >= 0 {
		return i
	}
	return len(Severities)
}
