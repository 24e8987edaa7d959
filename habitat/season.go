package habitat

import (
	"math"
	"math/bits"
	"slices"
	"sync"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/habitat/degreeday"
	"hedgereach/habitat/pestwindow"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/spacing"
)

// A Season is what can be said of a plan's year: which pests come to which bed and whether their enemies are there then, and
// what covers, neighbours, trap crops, traps, treatments and the crops of other years do to that. It is made from an
// Assessment, in one go and apart from it, so that nothing of it is in the way of a drag: the window makes it when the
// plan has rested for a moment, the report always. It does not change once made and can be read from any goroutine.
type Season struct {
	Assessment *Assessment
	Beds       []*BedSeason // as Assessment.Beds
	Verdicts   []Verdict    // of all beds, in the order of the plan, its plantings, their pests, the year
	TrapCrops  []TrapCropSeason
	Findings   []Finding // of the season's rules, gravest first; see Assessment.Findings for those of the ground

	daily    *degreeday.Record
	habitats []*facts

	moments struct { // see At
		sync.Mutex
		assessor *Assessor
		at       [season.HalfMonths]*Assessment
	}
}

// A BedSeason is one bed through the year.
type BedSeason struct {
	Bed       *Bed
	Plantings []PlantingSeason            // as Feature.Crops
	Used      [season.HalfMonths]float64  // the shares of the plantings that stand at once, at most, in the half-month
	Covered   [season.HalfMonths]bool     // see UnderCover
	Verdicts  []*Verdict                  // of this bed, as in Season.Verdicts
	Pests     [season.HalfMonths][]string // names of the pests that come in the half-month, in the order of the verdicts
}

// A PlantingSeason is one planting with what the catalogue makes of its dates.
type PlantingSeason struct {
	Planting plan.Planting
	Crop     *data.Crop // nil where the catalogue does not know it
	// FirstHarvest is the grower's, else from the usual days to harvest; zero where neither is known.
	FirstHarvest season.Day
	// Flowers is about when it flowers, zero where that is not known or does not matter: see flowersOf.
	Flowers season.Window
	// Quantity of plants; Known is false where no spacing is known.
	Quantity      spacing.Quantity
	QuantityKnown bool
}

// SeasonOf works out the season of an assessed plan. The half-month in the assessment's options means nothing here. It is pure.
func SeasonOf(a *Assessment) *Season { return seasonWith(a, Record(a.Plan.Weather)) }

// AllFindings are those of the ground and those of the season, gravest first, with those that the grower accepted.
func (s *Season) AllFindings() []Finding {
	all := slices.Concat(s.Assessment.Findings, s.Findings)
	slices.SortStableFunc(all, func(x, y Finding) int { return x.Severity.Gravity() - y.Severity.Gravity() })
	return all
}

// At is the plan's assessment in a half-month: what is in reach and in flower then. Each is made when first asked for, with
// what was kept of the others; Prepare makes them all, so that a step along the year is a look-up.
func (s *Season) At(h season.HalfMonth) *Assessment {
	m := &s.moments
	m.Lock()
	defer m.Unlock()
	if m.at[h] == nil {
		o := s.Assessment.Options
		if m.assessor == nil {
			m.assessor = NewAssessor(s.Assessment.Catalogue, o)
		}
		o.On = &h
		m.assessor.SetOptions(o)
		m.at[h] = m.assessor.Assess(s.Assessment.Plan)
	}
	return m.at[h]
}

// Prepare makes the assessments of all half-months, until told to stop; stop may be nil.
func (s *Season) Prepare(stop func() bool) {
	for h := range season.HalfMonth(season.HalfMonths) {
		if stop != nil && stop() {
			return
		}
		s.At(h)
	}
}

// Record is a plan's weather as degree-days are counted from it; nil where the plan has none.
func Record(w *plan.Weather) *degreeday.Record {
	if w == nil {
		return nil
	}
	r := &degreeday.Record{Unit: degreeday.Celsius}
	if w.Unit == "F" {
		r.Unit = degreeday.Fahrenheit
	}
	for i, d := range w.Days {
		if !d.Missing {
			r.Readings = append(r.Readings, degreeday.Reading{Date: w.Start.AddDate(0, 0, i), Low: d.Low, High: d.High})
		}
	}
	return r
}

// WeatherOf is a station's record as a plan keeps it. Of a longer record the last plan.MaxWeatherDays days are kept.
func WeatherOf(station string, r *degreeday.Record) *plan.Weather {
	w := &plan.Weather{Station: station, Unit: "C"}
	if r.Unit == degreeday.Fahrenheit {
		w.Unit = "F"
	}
	if len(r.Readings) == 0 {
		return w
	}
	const day = 24 * time.Hour
	last := r.Readings[len(r.Readings)-1].Date
	for _, d := range r.Readings {
		if int(last.Sub(d.Date)/day) >= plan.MaxWeatherDays {
			continue
		}
		if len(w.Days) == 0 {
			w.Start = d.Date
		}
		for n := int(d.Date.Sub(w.Start) / day); len(w.Days) < n; {
			w.Days = append(w.Days, plan.WeatherDay{Missing: true})
		}
		w.Days = append(w.Days, plan.WeatherDay{Low: d.Low, High: d.High})
	}
	return w
}

func seasonWith(a *Assessment, daily *degreeday.Record) *Season {
	s := &Season{Assessment: a, daily: daily}
	y := newYear(a)
	s.habitats = y.assessor.now.habitats
	y.expect(pestwindow.New(a.Catalogue, placeOf(a.Plan.Place), daily))
	s.Beds = make([]*BedSeason, len(a.Beds))
	found := make([][]Verdict, len(a.Beds))
	each(len(a.Beds), func(i int) {
		b := &BedSeason{Bed: a.Beds[i]}
		s.Beds[i] = b
		b.settle(a)
		found[i] = y.verdicts(i)
	})
	n := 0
	for _, list := range found {
		n += len(list)
	}
	s.Verdicts = make([]Verdict, 0, n)
	for i, list := range found {
		b := s.Beds[i]
		from := len(s.Verdicts)
		s.Verdicts = append(s.Verdicts, list...)
		b.Verdicts = make([]*Verdict, len(list))
		for k := range list {
			v := &s.Verdicts[from+k]
			b.Verdicts[k] = v
			for _, h := range v.HalfMonths {
				if !slices.Contains(b.Pests[h], v.Pest.Name) {
					b.Pests[h] = append(b.Pests[h], v.Pest.Name)
				}
			}
		}
	}
	s.judge(y)
	return s
}

// settle works out what a bed's own plantings and covers say.
func (b *BedSeason) settle(a *Assessment) {
	f := b.Bed.Feature
	newYear := a.Plan.NewYear()
	var daily [365]float64
	for _, c := range f.Crops {
		days := c.Dates.Open(newYear)
		b.Plantings = append(b.Plantings, plantingOf(a, c, b.Bed.AreaM2))
		for d := range daily {
			if !days.Given() || days.Contains(season.Day(d+1)) {
				daily[d] += c.Share
			}
		}
	}
	for d, used := range daily {
		h := season.Day(d + 1).HalfMonth()
		b.Used[h] = max(b.Used[h], used)
	}
	for h := range season.HalfMonth(season.HalfMonths) {
		b.Covered[h] = UnderCover(f, h, newYear)
	}
}

func plantingOf(a *Assessment, p plan.Planting, areaM2 float64) PlantingSeason {
	c := a.Catalogue
	s := PlantingSeason{Planting: p, Crop: c.Crop(p.Crop), FirstHarvest: p.FirstHarvest}
	if s.Crop == nil {
		return s
	}
	if s.FirstHarvest == 0 {
		s.FirstHarvest = HarvestFrom(s.Crop, p)
	}
	s.Flowers = flowersOf(c, s.Crop, p, a.Plan.NewYear())
	wide, close := *s.Crop, p
	if close.InRowM > 0 {
		wide.InRowMinCM, wide.InRowMaxCM = 100*close.InRowM, 100*close.InRowM
	}
	if close.BetweenRowsM > 0 {
		wide.BetweenRowMinCM, wide.BetweenRowMaxCM = 100*close.BetweenRowsM, 100*close.BetweenRowsM
	}
	s.Quantity, s.QuantityKnown = spacing.Of(&wide, areaM2, p.Share)
	return s
}

// A year is a plan through the half-months: who serves which guild when, and what is within its reach. What needs measuring
// is measured when asked for, once.
type year struct {
	a        *Assessment
	cal      *calendar
	assessor *Assessor // for what it knows of features
	beds     []*facts  // as Assessment.Beds

	servers   []*servant
	sets      map[string]*reachSet
	setting   sync.Mutex
	all       *finder // of servers
	longestM  float64 // of the typical ranges of natural enemies
	obstacles *crowd
	bars      []*facts
	of        [][season.HalfMonths + 1]*reachSet // by guild and half-month, the last for any of the season
	relevant  guildSet                           // guilds that hold any pest of any crop planted
	seen      []bedReach                         // by bed
	pests     map[stand][]coming
}

// A stand is a crop on its days.
type stand struct {
	crop  string
	dates season.Window
}

// expect finds when pests come to what is planted.
func (y *year) expect(cal *pestwindow.Calendar) {
	y.pests = map[stand][]coming{}
	for _, x := range y.beds {
		for _, c := range x.feature.Crops {
			s := stand{c.Crop, c.Dates}
			if _, known := y.pests[s]; !known {
				y.pests[s] = y.comings(cal, c.Crop, y.a.Plan.Days(c.Dates))
			}
		}
	}
}

// A servant is a feature that serves guilds: all year by its shelter, or while its flowers feed them.
type servant struct {
	*facts
	shelters guildSet
	feeds    [season.HalfMonths]guildSet
	anyTime  guildSet // feeds, in any half-month of the season
	box      bool     // it fills its box
}

// A reachSet is the features that serve a guild in some half-months.
type reachSet struct {
	*serving
	servants []int // places in year.servers
}

// bedReach is what was found of a bed: the servers near enough to matter, and its standing with guilds and sets.
type bedReach struct {
	near     []nearServer
	looked   bool
	standing []int8 // by guild and half-month: a Status and one, 0 for not asked yet
	status   map[reachAsked]Status
	metres   map[int]float64 // to servers
}

// A nearServer is a server near a bed, with what their boxes alone say of the distances between them.
type nearServer struct {
	*servant
	place    int
	least    float64 // no two points lie nearer
	touching bool    // least is the distance
	most     float64 // no point of the bed lies farther from it; +Inf where the boxes do not tell
}

type reachAsked struct {
	set    *reachSet
	rangeM float64
}

func newYear(a *Assessment) *year {
	y := &year{a: a, cal: a.dates(), assessor: NewAssessor(a.Catalogue, Options{}), sets: map[string]*reachSet{}}
	y.assessor.calendar = y.cal
	y.assessor.round++ // else every feature counts as met already
	y.assessor.look(a.Plan)
	now := &y.assessor.now
	y.beds = now.beds
	y.seen = make([]bedReach, len(y.beds))
	y.of = make([][season.HalfMonths + 1]*reachSet, len(a.Catalogue.Guilds))
	for _, x := range y.beds {
		y.relevant |= y.assessor.relevant(x.feature)
	}
	y.serve(now)
	return y
}

// serve finds who serves whom when.
func (y *year) serve(now *roster) {
	var flower, all guildSet
	place := map[string]int{}
	for i, g := range y.a.Catalogue.Guilds {
		place[g.ID] = i
		if g.HasRange() {
			all |= 1 << i
			if g.FedByFlowers {
				flower |= 1 << i
			}
		}
	}
	fedBy := map[string]guildSet{}
	var inSeason uint32
	for _, h := range y.cal.asked {
		inSeason |= 1 << h
	}
	for _, x := range now.good {
		f := x.feature
		if barsWalkers(f) {
			y.bars = append(y.bars, x)
		}
		if !f.IsHabitat() {
			continue
		}
		s := &servant{facts: x, box: isBox(x.shape)}
		for i, g := range y.a.Catalogue.Guilds {
			if all.has(i) && y.cal.shelters(f, g) {
				s.shelters |= 1 << i
			}
		}
		for _, grown := range f.Plants {
			if grown.Share <= 0 {
				continue
			}
			feeds, known := fedBy[grown.Plant]
			if !known {
				if p := y.a.Catalogue.Plant(grown.Plant); p != nil {
					for _, id := range p.Guilds {
						feeds |= 1 << place[id]
					}
				}
				feeds &= flower
				fedBy[grown.Plant] = feeds
			}
			if feeds == 0 {
				continue
			}
			for steps := stepsOf(y.cal.bloom(grown)); steps != 0; steps &= steps - 1 {
				h := bits.TrailingZeros32(steps)
				s.feeds[h] |= feeds
				if inSeason&(1<<h) != 0 {
					s.anyTime |= feeds
				}
			}
		}
		if s.shelters != 0 || s.anyTime != 0 || s.feeds != [season.HalfMonths]guildSet{} {
			y.servers = append(y.servers, s)
		}
	}
	y.obstacles = newCrowd(y.bars)
	y.all = newFinder(len(y.servers), func(i int) orb.Bound { return y.servers[i].bound })
	for _, g := range y.a.Catalogue.Guilds {
		if g.HasRange() && !g.Pollinator {
			y.longestM = max(y.longestM, g.TypicalM)
		}
	}
}

// look finds the servers near a bed.
func (y *year) look(bed int) *bedReach {
	seen := &y.seen[bed]
	if seen.looked {
		return seen
	}
	seen.looked = true
	x := y.beds[bed]
	box := isBox(x.shape)
	var room [64]int32
	found := y.all.near(room[:0], x.bound, y.longestM)
	seen.near = make([]nearServer, len(found))
	for n, i := range found {
		s := y.servers[i]
		near := nearServer{servant: s, place: int(i), least: apart(x.bound, s.bound), most: math.Inf(1)}
		if s.box { // its box is its ground
			near.most, near.touching = reachOfBox(x.bound, s.bound), box
		} else {
			near.most = spread(x.bound, s.bound)
		}
		seen.near[n] = near
	}
	seen.standing = make([]int8, len(y.a.Catalogue.Guilds)*(season.HalfMonths+1))
	return seen
}

// serves tells whether it serves a guild in a half-month.
func (s *servant) serves(guild int, h season.HalfMonth) bool {
	if h == anyTime {
		return (s.shelters | s.anyTime).has(guild)
	}
	return (s.shelters | s.feeds[h]).has(guild)
}

// stepsOf are the half-months that a window covers, a bit each.
func stepsOf(w season.Window) (steps uint32) {
	if !w.Given() {
		return 0
	}
	for h := range season.HalfMonth(season.HalfMonths) {
		if w.Covers(h) {
			steps |= 1 << h
		}
	}
	return steps
}

// anyTime stands for any half-month of the season.
const anyTime = season.HalfMonth(season.HalfMonths)

// set is the features that serve a guild in a half-month.
func (y *year) set(guild int, h season.HalfMonth) *reachSet {
	y.setting.Lock()
	defer y.setting.Unlock()
	if s := y.of[guild][h]; s != nil {
		return s
	}
	var members []int
	key := make([]byte, 1, 1+2*len(y.servers))
	walks := y.a.Catalogue.Guilds[guild].Travel == data.Walks
	if walks {
		key[0] = 1
	}
	for i, x := range y.servers {
		fed := x.anyTime
		if h != anyTime {
			fed = x.feeds[h]
		}
		if (x.shelters | fed).has(guild) {
			members = append(members, i)
			key = append(key, byte(i), byte(i>>8), byte(i>>16))
		}
	}
	s := y.sets[string(key)]
	if s == nil {
		s = &reachSet{servants: members, serving: &serving{course: &course{}}}
		shapes := make([]orb.Geometry, len(members))
		for n, i := range members {
			s.members = append(s.members, y.servers[i].facts)
			shapes[n] = y.servers[i].shape
		}
		s.sites = geometry.NewSites(shapes)
		if walks {
			s.obstacles = y.obstacles
		}
		y.sets[string(key)] = s
	}
	y.of[guild][h] = s
	return s
}

// status is a bed's standing with a guild of natural enemies in a half-month, at its typical range; as Assess would find it for
// that time. One goroutine asks for one bed.
//
// Most is settled by boxes alone: where none of them comes within the range the bed lies beyond it, and where the bed lies
// wholly within the range of one, it lies within. Ways round obstacles are no shorter than straight lines.
func (y *year) status(bed, guild int, h season.HalfMonth) Status {
	g := y.a.Catalogue.Guilds[guild]
	if !g.HasRange() {
		return Unknown
	}
	seen := y.look(bed)
	known := &seen.standing[guild*(season.HalfMonths+1)+int(h)]
	if *known != 0 {
		return Status(*known - 1)
	}
	nearest, farthest := math.Inf(1), math.Inf(1)
	for i := range seen.near {
		x := &seen.near[i]
		if x.least <= g.TypicalM && x.serves(guild, h) {
			nearest, farthest = min(nearest, x.least), min(farthest, x.most)
		}
	}
	var s Status
	switch {
	case nearest > g.TypicalM:
		s = Beyond
	case farthest <= g.TypicalM && (g.Travel != data.Walks || !y.obstacles.any(y.beds[bed].bound, farthest)):
		s = Within
	default:
		s = y.measure(bed, y.set(guild, h), g.TypicalM)
	}
	*known = int8(s) + 1
	return s
}

// measure is a bed's standing with a set at a range.
func (y *year) measure(bed int, set *reachSet, r float64) Status {
	seen := &y.seen[bed]
	asked := reachAsked{set, r}
	s, known := seen.status[asked]
	if !known {
		var m measured
		set.measureBed(&m, y.beds[bed], nil)
		s = m.link.At(r)
		if seen.status == nil {
			seen.status = map[reachAsked]Status{}
		}
		seen.status[asked] = s
	}
	return s
}

// isBox tells whether a shape fills its box.
func isBox(g orb.Geometry) bool {
	p, ok := g.(orb.Polygon)
	if !ok || len(p) != 1 || len(p[0]) != 5 {
		return false
	}
	b := p.Bound()
	for _, q := range p[0] {
		if q[0] != b.Min[0] && q[0] != b.Max[0] || q[1] != b.Min[1] && q[1] != b.Max[1] {
			return false
		}
	}
	for i := range 4 { // each side along one axis
		if (p[0][i][0] != p[0][i+1][0]) == (p[0][i][1] != p[0][i+1][1]) {
			return false
		}
	}
	return true
}

// reachOfBox is the largest distance from any point of box a to box b.
func reachOfBox(a, b orb.Bound) float64 {
	dx := max(0, b.Min[0]-a.Min[0], a.Max[0]-b.Max[0])
	dy := max(0, b.Min[1]-a.Min[1], a.Max[1]-b.Max[1])
	return math.Sqrt(dx*dx + dy*dy)
}

// fed tells whether a habitat within the guild's typical range of the bed feeds it in a half-month.
func (y *year) fed(bed, guild int, h season.HalfMonth) bool {
	r := y.a.Catalogue.Guilds[guild].TypicalM
	seen := y.look(bed)
	doubtful := false
	for i := range seen.near {
		x := &seen.near[i]
		if x.least > r || !x.feeds[h].has(guild) {
			continue
		}
		if x.touching || x.most <= r {
			return true
		}
		doubtful = true
	}
	if !doubtful {
		return false
	}
	for i := range seen.near {
		x := &seen.near[i]
		if x.least > r || !x.feeds[h].has(guild) {
			continue
		}
		m, known := seen.metres[x.place]
		if !known {
			if seen.metres == nil {
				seen.metres = map[int]float64{}
			}
			m = y.beds[bed].distance(x.facts)
			seen.metres[x.place] = m
		}
		if m <= r {
			return true
		}
	}
	return false
}
