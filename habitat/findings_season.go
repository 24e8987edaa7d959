package habitat

import (
	"fmt"
	"runtime"
	"slices"
	"strings"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry/length"
	"hedgereach/geometry/parallel"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/rotation"
)

// A seasonView is what rules about the season look at.
type seasonView struct {
	*view
	s *Season
	y *year

	traps []trapAt
}

// judge asks every rule about the season, on all cores: rules change nothing that another reads.
func (s *Season) judge(y *year) {
	v := &seasonView{view: &view{Assessment: s.Assessment, Assessor: y.assessor, beds: y.beds}, s: s, y: y}
	if s.Assessment.Plan.Units == plan.US {
		v.units = length.US
	}
	v.traps = v.trapsThere()
	s.TrapCrops = v.trapCrops()
	found := make([][]Finding, len(rules))
	parallel.Each(runtime.GOMAXPROCS(0), len(rules), func(i int) {
		if rules[i].season == nil {
			return
		}
		own, under := *v, *v.view
		own.view, under.rule = &under, &rules[i]
		found[i] = rules[i].season(&own)
		for k := range found[i] {
			own.fill(&found[i][k])
		}
	})
	s.Findings = slices.Concat(found...)
	slices.SortStableFunc(s.Findings, func(x, y Finding) int { return x.Severity.Gravity() - y.Severity.Gravity() })
	accept(s.Assessment.Plan, s.Findings)
}

// cropName is a crop's name in a sentence.
func (v *seasonView) cropName(id string) string {
	if c := v.Catalogue.Crop(id); c != nil {
		return c.Name
	}
	return id
}

func (v *seasonView) pestName(id string) string {
	if p := v.Catalogue.Pest(id); p != nil {
		return p.Name
	}
	return id
}

// idsOf are the features' ids.
func idsOf(features []*plan.Feature) []string {
	ids := make([]string, len(features))
	for i, f := range features {
		ids[i] = f.ID
	}
	return ids
}

// addLast is addOnce where the same ones follow each other.
func addLast[T comparable](list []T, x T) []T {
	if n := len(list); n > 0 && list[n-1] == x {
		return list
	}
	return append(list, x)
}

func addOnce[T comparable](list []T, x T) []T {
	if slices.Contains(list, x) {
		return list
	}
	return append(list, x)
}

// A pestGroup is the beds that stand alike with a pest at any time.
type pestGroup struct {
	pest    *data.Pest
	times   []string // at which it comes; none where that is not known
	beds    []*plan.Feature
	guilds  []string
	sources []string
	grade   data.Evidence

	// Why its enemies are there in part only, at any of the beds: a guild reaches part of the ground or of the time, one finds no
	// flowers, a cover shuts them out.
	partly, hungry, shut bool
}

// groups gathers the verdicts of a standing by pest, in their order; those of times that are not known where asked for only.
func (v *seasonView) groups(s Standing, unknown bool) (list []*pestGroup) {
	known := map[*data.Pest]*pestGroup{}
	for i := range v.s.Verdicts {
		x := &v.s.Verdicts[i]
		if x.Standing != s || x.Time == nil && !unknown {
			continue
		}
		g := known[x.Pest]
		if g == nil {
			g = &pestGroup{pest: x.Pest, grade: x.Evidence}
			known[x.Pest] = g
			list = append(list, g)
		}
		if x.Time != nil {
			g.times = addOnce(g.times, x.Time.Words())
		}
		for _, id := range x.Sources {
			g.sources = addOnce(g.sources, id)
		}
		g.beds, g.grade = addLast(g.beds, x.Bed), weaker(g.grade, x.Evidence)
		g.shut = g.shut || x.ShutIn
		n := len(x.open())
		for _, e := range x.Enemies {
			if e.Status != Unknown {
				g.guilds = addOnce(g.guilds, e.Guild.ID)
				g.partly = g.partly || e.Status != Within
				g.hungry = g.hungry || e.Best != Beyond && e.Eats && e.Fed < n
			}
		}
	}
	return list
}

// comes is "Cabbage maggot can come to Bed 1 and Bed 2: flies, 1st generation about 19 Apr", or that its time is not known.
func (g *pestGroup) comes() string {
	s := capital(g.pest.Name) + " can come to " + namesOf(g.beds)
	if len(g.times) == 0 {
		return s + ", at a time not known here"
	}
	return s + ": " + join(shorten(g.times))
}

// cites names few of the sources: of times and of who holds the pest.
func (g *pestGroup) cites() []string {
	const most = 4
	return g.sources[:min(most, len(g.sources))]
}

func (v *seasonView) guildNames(ids []string) string {
	var names []string
	for _, id := range ids {
		if g := v.Catalogue.Guild(id); g != nil {
			names = append(names, InText(g.Name))
		}
	}
	return join(shorten(names))
}

func pestWithoutEnemies(v *seasonView) (found []Finding) {
	for _, g := range v.groups(EnemiesMissing, true) {
		mend := "Shelter or flowers within their range, or a cover before the pest comes, or walks to look for it."
		when := "then"
		if len(g.times) == 0 {
			when = "at any time of the season"
		}
		if entersUnderCover(g.pest) || g.shut {
			mend = "Shelter or flowers within their range, or walks to look for it."
		}
		found = append(found, Finding{Key: g.pest.ID, Features: idsOf(g.beds), Guilds: g.guilds, Source: v.cite(g.cites(), ""), Evidence: g.grade,
			Message: fmt.Sprintf("%s. Of the guilds that hold it none is in reach %s (%s).", g.comes(), when, v.guildNames(g.guilds)),
			Mend:    mend})
	}
	return found
}

// pestEnemiesPartly leaves out pests whose time is not known: the findings of the ground say which beds lie how.
func pestEnemiesPartly(v *seasonView) (found []Finding) {
	for _, g := range v.groups(EnemiesPartly, false) {
		var short, mend []string
		if g.partly {
			short, mend = append(short, "are in reach of part of the ground or of the time only"), append(mend, "Shelter nearer to the beds.")
		}
		if g.hungry {
			short, mend = append(short, "do not find flowers that feed them all the time"), append(mend, "Plants that feed them, in flower then and within their range.")
		}
		if g.shut {
			short, mend = append(short, "are kept out by a cover"), append(mend, "Lift the cover "+lookEvery+" and look.")
		}
		found = append(found, Finding{Key: g.pest.ID, Features: idsOf(g.beds), Guilds: g.guilds, Source: v.cite(g.cites(), ""), Evidence: g.grade,
			Message: fmt.Sprintf("%s. The guilds that hold it (%s) %s.", g.comes(), v.guildNames(g.guilds), strings.Join(short, ", or ")),
			Mend:    strings.Join(mend, " ")})
	}
	return found
}

func rotationTooSoon(v *seasonView) (found []Finding) {
	now := v.Plan.Year
	if now == 0 {
		return nil
	}
	for _, b := range v.s.Beds {
		f := b.Bed.Feature
		if len(f.OtherYears) == 0 {
			continue
		}
		years := []rotation.Year{{Year: now, Crops: cropIDs(f.Crops)}}
		for _, y := range f.OtherYears {
			years = append(years, rotation.Year{Year: y.Year, Crops: cropIDs(y.Crops)})
		}
		for _, c := range rotation.Clashes(v.Catalogue, years) {
			if c.Later < now {
				continue // what is done is done
			}
			fd := Finding{Key: fmt.Sprintf("%s %s %d %d", f.ID, c.Family, c.Earlier, c.Later), Features: []string{f.ID}, Evidence: c.Evidence,
				Source: v.cite(c.Sources, c.Practice)}
			free := "the year after"
			if c.Without > 0 {
				free = fmt.Sprintf("with %s %s between", number(c.Without), plural(c.Without, "year", "years"))
			}
			fd.Message = fmt.Sprintf("%s has the %s in %d (%s) and again in %d (%s), %s; %d to %d years without it are asked for, so that its pests and "+
				"diseases die out in the soil.", f.Title(), rotation.FamilyName(c.Family), c.Earlier, v.cropNames(c.Before), c.Later,
				v.cropNames(c.After), free, rotation.LeastYears, rotation.AimYears)
			fd.Mend = "Grow it on ground that has been without this family, or something of another family here."
			if !c.TooSoon {
				fd.Severity = Advice
			}
			found = append(found, fd)
		}
	}
	return found
}

func cropIDs(list []plan.Planting) (ids []string) {
	for _, p := range list {
		ids = append(ids, p.Crop)
	}
	return ids
}

func (v *seasonView) cropNames(ids []string) string {
	var names []string
	for _, id := range ids {
		names = addOnce(names, v.cropName(id))
	}
	return join(shorten(names))
}

func bedOverfull(v *seasonView) (found []Finding) {
	for _, b := range v.s.Beds {
		worst, at := 0.0, season.HalfMonth(0)
		for h, used := range b.Used {
			if used > worst {
				worst, at = used, season.HalfMonth(h)
			}
		}
		if worst <= fullShare {
			continue
		}
		f := b.Bed.Feature
		var names []string
		for _, p := range v.fullest(f, at) {
			names = addOnce(names, v.cropName(p.Crop))
		}
		found = append(found, Finding{Key: f.ID, Features: []string{f.ID},
			Message: fmt.Sprintf("%s is planned to hold %s of its ground in %s (%s).", f.Title(), whole(worst), at.Label(), join(shorten(names))),
			Mend:    "Let one go before the next comes, or give each a smaller share."})
	}
	return found
}

// fullest are the plantings that stand on the day of a half-month on which they take the most ground, the first of such days.
func (v *seasonView) fullest(bed *plan.Feature, h season.HalfMonth) (most []plan.Planting) {
	least := -1.0
	for d := h.First(); d <= h.Last(); d++ {
		var list []plan.Planting
		sum := 0.0
		for _, p := range bed.Crops {
			if days := v.Plan.Days(p.Dates); !days.Given() || days.Contains(d) {
				list, sum = append(list, p), sum+p.Share
			}
		}
		if sum > least {
			most, least = list, sum
		}
	}
	return most
}

func plantingTooShort(v *seasonView) (found []Finding) {
	for _, b := range v.s.Beds {
		f := b.Bed.Feature
		for i, p := range b.Plantings {
			if p.Crop == nil || !p.Planting.Dates.Given() || p.Planting.FirstHarvest != 0 {
				continue
			}
			first, _, known := HarvestOf(p.Crop, p.Planting.Dates.From, p.Planting.Method)
			stands := p.Planting.Dates.From.DaysTo(p.Planting.Dates.To)
			if !known || stands >= p.Crop.DaysMin {
				continue
			}
			mend := "Let it stand longer, or begin earlier."
			if countedFrom(p.Crop, plan.Sow) && !countedFrom(p.Crop, plan.Transplant) && p.Planting.Method == "" {
				mend = "Let it stand longer, begin earlier, or say that it is set out as a plant."
			}
			found = append(found, Finding{Key: fmt.Sprintf("%s %d %s", f.ID, i, p.Crop.ID), Features: []string{f.ID},
				Source: v.cite(p.Crop.DaysOrigin.Sources, ""), Evidence: p.Crop.DaysOrigin.Evidence,
				Message: fmt.Sprintf("%s in %s stands for %s; it usually takes %s from %s to the harvest, that is to %s or later.",
					capital(p.Crop.Name), f.Title(), daysWords(stands, stands), daysWords(p.Crop.DaysMin, p.Crop.DaysMax), p.Crop.DaysFrom, first.Label()),
				Mend: mend})
		}
	}
	return found
}

// fewInPeriod looks at the periods of bloom of the practice as a whole, whenever the frosts are. Without frost dates it says nothing:
// the season is not looked at then, and another finding asks for them.
func fewInPeriod(v *seasonView) (found []Finding) {
	if len(v.Site.Season) == 0 {
		return nil
	}
	for i, p := range v.s.BloomPeriods() {
		if p.Species >= periodSpecies {
			continue
		}
		n := fmt.Sprintf("%s %s", number(p.Species), plural(p.Species, "species flowers", "species flower"))
		if p.Species == 0 {
			n = "nothing flowers"
		}
		found = append(found, Finding{Key: bloomPeriods[i].name, Message: fmt.Sprintf("In %s, %s, %s on the site; %s in each of three periods is a good least.",
			bloomPeriods[i].words, p.Window.Label(), n, number(periodSpecies)),
			Mend: "Plant species of that period: the strip along the ground shows who flowers when."})
	}
	return found
}

// A BloomPeriod is one of the three periods in which species should flower.
type BloomPeriod struct {
	Name    string // "spring"
	Window  season.Window
	Species int // of plants that flower in any of its half-months on the site
}

// BloomPeriods counts the species in flower in each of the three periods of bloom of the United States' pollinator practice (CP42,
// as the job sheet for Indiana parts the year), turned by half a year south of the equator.
func (s *Season) BloomPeriods() []BloomPeriod {
	a := s.Assessment
	var turn season.HalfMonth
	if pl := a.Plan.Place; pl != nil && pl.Latitude < 0 {
		turn = season.HalfMonths / 2
	}
	list := make([]BloomPeriod, len(bloomPeriods))
	for i, p := range bloomPeriods {
		from, _ := season.ParseHalfMonth(p.from)
		to, _ := season.ParseHalfMonth(p.to)
		from, to = (from+turn)%season.HalfMonths, (to+turn)%season.HalfMonths
		species := map[string]bool{}
		for h := from; ; h = (h + 1) % season.HalfMonths {
			for _, f := range a.Plan.Features {
				if !f.IsHabitat() || a.invalid[f] != nil {
					continue
				}
				for _, g := range f.Plants {
					if g.Share > 0 && a.InFlower(g, h) {
						species[g.Plant] = true
					}
				}
			}
			if h == to {
				break
			}
		}
		list[i] = BloomPeriod{Name: p.name, Window: season.Window{From: from.First(), To: to.Last()}, Species: len(species)}
	}
	return list
}
