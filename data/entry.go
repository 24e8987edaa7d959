package data

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// An Entry is everything that the catalogue says of one thing, for people: the lists that windows and reports show.
type Entry struct {
	List, ID, Name string
	Groups         []Group
	Sources        []*Source // all that the groups cite, in the order in which they do
}

// A Group is facts that come from the same place.
type Group struct {
	Heading string
	Facts   []Fact
	From    Origin // zero where the group is a description or follows links
}

// A Fact is one thing said of an entry.
type Fact struct {
	Label    string
	Value    string  // for people, with units
	Refs     []Match // the entries that it names
	Min, Max float64 // the number in Unit, or its two ends; both 0 for words; Max 0 beside a Min for "or more"
	Unit     string  // "m", "cm", "days", "weeks", "°C", "m²", "share" (0 to 1); "" for words
}

// Entry is the entry of a list, named as in Match, with an id; nil where there is none.
func (c *Catalogue) Entry(list, id string) *Entry {
	e := &builder{c: c, Entry: Entry{List: list, ID: id}}
	switch list {
	case "guild":
		if g := c.guild[id]; g != nil {
			return e.done(g.Name, func() { e.guild(g) })
		}
	case "plant":
		if p := c.plant[id]; p != nil {
			return e.done(p.Name, func() { e.plant(p) })
		}
	case "crop":
		if p := c.crop[id]; p != nil {
			return e.done(p.Name, func() { e.crop(p) })
		}
	case "pest":
		if p := c.pest[id]; p != nil {
			return e.done(p.Name, func() { e.pest(p) })
		}
	case "companion":
		if x := c.companion[id]; x != nil {
			return e.done(x.Name, func() { e.companion(x) })
		}
	case "trap-crop":
		if x := c.trapCrop[id]; x != nil {
			return e.done(x.Name, func() { e.trapCrop(x) })
		}
	case "trap":
		if x := c.trap[id]; x != nil {
			return e.done(x.Name, func() { e.trap(x) })
		}
	case "material":
		if x := c.material[id]; x != nil {
			return e.done(x.Name, func() { e.material(x) })
		}
	case "never":
		for _, n := range c.Never {
			if n.ID == id {
				return e.done(n.Name, func() { e.never(n) })
			}
		}
	case "source":
		if s := c.source[id]; s != nil {
			return e.done(s.Citation, func() { e.source(s) })
		}
	}
	return nil
}

// A builder fills an entry.
type builder struct {
	Entry
	c *Catalogue
}

func (e *builder) done(name string, fill func()) *Entry {
	e.Name = name
	fill()
	e.Groups = slices.DeleteFunc(e.Groups, func(g Group) bool { return len(g.Facts) == 0 })
	for _, g := range e.Groups {
		for _, id := range g.From.Sources {
			if s := e.c.source[id]; s != nil && !slices.Contains(e.Sources, s) {
				e.Sources = append(e.Sources, s)
			}
		}
	}
	return &e.Entry
}

// group begins a group; the facts that follow belong to it.
func (e *builder) group(heading string, from Origin) {
	e.Groups = append(e.Groups, Group{Heading: heading, From: from})
}

func (e *builder) add(f Fact) {
	if f.Value != "" {
		g := &e.Groups[len(e.Groups)-1]
		g.Facts = append(g.Facts, f)
	}
}

func (e *builder) text(label, value string) { e.add(Fact{Label: label, Value: value}) }

// span adds a number or its two ends, of which 0 is not given.
func (e *builder) span(label string, low, high float64, unit string) {
	if low == 0 && high == 0 || math.IsNaN(low) {
		return
	}
	if high == 0 {
		high = low
	}
	say := number
	if unit == "cm" {
		say = Centimetres
	}
	value := say(low)
	if say(high) != value {
		value += "–" + say(high)
	}
	if low == 0 {
		value = "up to " + say(high)
	}
	if unit != "" {
		value += " " + unit
	}
	e.add(Fact{Label: label, Value: value, Min: low, Max: high, Unit: unit})
}

func (e *builder) share(label string, low, high float64) {
	if low == 0 && high == 0 {
		return
	}
	value := number(100*low) + "–" + number(100*high) + " %"
	switch low {
	case high:
		value = number(100*low) + " %"
	case 0:
		value = "up to " + number(100*high) + " %"
	}
	e.add(Fact{Label: label, Value: value, Min: low, Max: high, Unit: "share"})
}

// Centimetres is a length in cm as people read it. The file keeps the inches of a source to the millimetre, so that they come back as
// they were; shown to metric growers that would claim more than was said.
func Centimetres(v float64) string {
	if v < 10 {
		return number(math.Round(2*v) / 2)
	}
	return number(math.Round(v))
}

func number(v float64) string { return strconv.FormatFloat(math.Round(v*1e4)/1e4, 'f', -1, 64) }

// refs adds the names of entries.
func (e *builder) refs(label string, list []Match) {
	names := make([]string, len(list))
	for i, m := range list {
		names[i] = m.Name
	}
	between := ", "
	if slices.ContainsFunc(names, func(n string) bool { return strings.Contains(n, ",") }) {
		between = "; "
	}
	e.add(Fact{Label: label, Value: strings.Join(names, between), Refs: list})
}

func matches[T any](list []*T, match func(*T) Match) []Match {
	out := make([]Match, len(list))
	for i, x := range list {
		out[i] = match(x)
	}
	return out
}

func guildMatch(g *Guild) Match { return Match{"guild", g.ID, g.Name} }
func plantMatch(p *Plant) Match { return Match{"plant", p.ID, p.Name} }
func cropMatch(p *Crop) Match   { return Match{"crop", p.ID, p.Name} }
func pestMatch(p *Pest) Match   { return Match{"pest", p.ID, p.Name} }
func companionMatch(x *Companion) Match {
	return Match{"companion", x.ID, x.Name + " (" + string(x.Verdict) + ")"}
}
func trapCropMatch(x *TrapCrop) Match {
	return Match{"trap-crop", x.ID, x.Name + " (" + string(x.Verdict) + ")"}
}
func trapMatch(x *Trap) Match { return Match{"trap", x.ID, x.Name} }

func (e *builder) guildRefs(label string, ids []string) {
	e.refs(label, matches(all(ids, e.c.guild), guildMatch))
}

func (e *builder) pestRefs(label string, ids []string) {
	e.refs(label, matches(all(ids, e.c.pest), pestMatch))
}

func (e *builder) cropRefs(label string, ids []string) {
	e.refs(label, matches(all(ids, e.c.crop), cropMatch))
}

func (e *builder) plantRefs(label string, ids []string) {
	e.refs(label, matches(all(ids, e.c.plant), plantMatch))
}

func (e *builder) guild(g *Guild) {
	e.group("", Origin{})
	e.text("Examples", g.Examples)
	e.group("Range from refuge", g.Origin)
	switch {
	case g.Travel == Drifts:
		e.text("Range", "not limited by the distance from refuge: it drifts on the wind")
	case g.TypicalM == 0:
		e.text("Range", "unknown: no published distance was found, and none is computed")
	}
	e.span("Typical", g.TypicalM, 0, "m")
	e.span("Low", g.LowM, 0, "m")
	e.span("Outer", g.OuterM, 0, "m")
	e.text("Travels", map[Travel]string{Flies: "flies", Walks: "walks", Drifts: "drifts on the wind"}[g.Travel])
	e.text("Where sources disagree", g.Disagrees)
	e.text("Note", g.Note)
	e.group("Food and shelter", g.BiologyFrom)
	e.text("Eats", g.Eats)
	e.text("Eats besides", g.OtherFood)
	e.text("Winters in", g.Winter)
	e.text("Provide", g.Provide)
	e.text("Sheltered by", kinds(g))
	if w := BeeWidthMM[g.ID]; w > 0 {
		e.group("Outer limit of flight by body size", GreenleafFrom)
		e.text("Width between the wing bases", number(w)+" mm, a usual value from memory")
		far := math.Round(BeeFlightM(MaximumHoming, w)/10) * 10
		e.add(Fact{Label: "Farthest homing", Value: number(far) + " m; ability, 2 to 7 times farther than bees usually go",
			Min: far, Max: far, Unit: "m"})
	}
	e.group("Links", Origin{})
	e.refs("Holds", matches(e.c.PestsHeldBy(g.ID), pestMatch))
	e.refs("Fed by the flowers of", matches(e.c.FeedersOf(g.ID), plantMatch))
	e.refs("Sheltered by the plants", matches(e.c.SheltersOf(g.ID), plantMatch))
	for _, s := range e.c.StudiesOf(g.ID) {
		e.group("Study "+s.ID, s.From)
		e.text(s.About, s.Finding)
	}
}

func (e *builder) plant(p *Plant) {
	e.group("", Origin{})
	e.text("Scientific name", p.Scientific)
	e.text("Family", p.Family)
	e.text("Form", p.Form+", "+p.LifeCycle)
	e.text("Native to", p.Native)
	e.group("Natural enemies and pollinators", p.GuildsFrom)
	var feeds, shelters []string
	for _, g := range p.Guilds {
		if e.c.feeds(p, g) {
			feeds = append(feeds, g)
		} else {
			shelters = append(shelters, g)
		}
	}
	e.guildRefs("Feeds", feeds)
	e.guildRefs("Shelters", shelters)
	if p.Listed != "" {
		e.text("That sources name the plant", mark(p.Listed, p.ListedRecall))
	}
	e.text("Note", p.Note)
	e.group("Bloom and size", p.TraitsFrom)
	if p.Bloom.Given() {
		where := p.BloomWhere
		if p.BloomPlace.ID != "" {
			where = p.BloomPlace.Name
		}
		e.text("Flowers", p.Bloom.Label()+" ("+where+")")
	}
	e.span("Height", p.HeightMinCM, p.HeightMaxCM, "cm")
	e.span("Spacing", p.SpacingCM, 0, "cm")
	if p.ZoneMin > 0 {
		e.text("Hardy from zone", strconv.Itoa(p.ZoneMin))
	}
	e.cautions(p.Caution, p.Dangers, p.CautionsFrom)
	for _, line := range e.c.CautionFor(p.ID, Region{}) {
		e.text("Beware", line)
	}
	var names []string
	for _, x := range p.NotOfferedIn {
		names = append(names, continentNames[x])
	}
	e.text("Not offered in", strings.Join(names, ", "))
	e.group("Links", Origin{})
	companions := filter(e.c.Companions, func(x *Companion) bool { return slices.Contains(x.WithPlants, p.ID) })
	e.refs("Tested as a companion", matches(companions, companionMatch))
	traps := filter(e.c.TrapCrops, func(x *TrapCrop) bool { return slices.Contains(x.TrapPlants, p.ID) })
	e.refs("Tested as a trap crop", matches(traps, trapCropMatch))
}

// cautions are what a plant or crop is to be minded for.
func (e *builder) cautions(caution string, dangers []Danger, from Origin) {
	e.group("Cautions", from)
	e.text("Caution", caution)
	for _, d := range Dangers {
		if slices.Contains(dangers, d.Danger) {
			e.text("Beware", d.Words)
		}
	}
}

func (e *builder) crop(p *Crop) {
	e.group("", Origin{})
	e.text("Scientific name", p.Scientific)
	e.text("Family", p.Family)
	e.text("Season", p.Season+", "+p.LifeCycle)
	e.group("Spacing", p.SpacingFrom)
	e.span("In the row", p.InRowMinCM, p.InRowMaxCM, "cm")
	e.span("Between rows", p.BetweenRowMinCM, p.BetweenRowMaxCM, "cm")
	if d := e.c.depth[p.ID]; d != nil {
		e.group("Depth", d.From)
		e.span(firstUpper(d.What), d.MinCM, d.MaxCM, "cm")
	}
	e.group("Time to harvest", p.DaysOrigin)
	e.span("From "+p.DaysFrom, float64(p.DaysMin), float64(p.DaysMax), "days")
	e.group("Pollination by animals", p.PollenFrom)
	e.text("Need", p.Pollination)
	e.text("Note", p.PollinationNote)
	if p.Caution != "" {
		e.cautions(p.Caution, p.Dangers, p.CautionsFrom)
	}
	if f := e.c.Flowering(p.ID); f != nil {
		e.group("Flower to fruit", f.From)
		e.span("Time", float64(f.DaysMin), float64(f.DaysMax), "days")
	}
	for _, pest := range e.c.PestsOf(p.ID) {
		e.group("Pest: "+pest.Name, Origin{})
		e.add(Fact{Label: "Entry", Value: "pest/" + pest.ID, Refs: []Match{pestMatch(pest)}})
		for _, g := range e.c.GuildsOf(pest.ID) {
			value := rangeWords(g) + "; sheltered by " + kinds(g)
			if n := len(e.c.FeedersOf(g.ID)); n > 0 {
				value += "; fed by " + counted(n, "plant", "plants")
			}
			e.add(Fact{Label: "Held by " + g.Name, Value: value, Refs: []Match{guildMatch(g)}})
		}
	}
	e.group("Links", Origin{})
	e.refs("Companions tested", matches(e.c.CompanionsOf(p.ID), companionMatch))
	e.refs("Trap crops tested", matches(e.c.TrapCropsOf(p.ID), trapCropMatch))
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// kinds are the kinds of habitat that shelter a guild, in words.
func kinds(g *Guild) string {
	if len(g.Shelter) == 0 {
		return "no kind of habitat that is known"
	}
	return strings.ReplaceAll(strings.Join(g.Shelter, ", "), "-", " ")
}

func rangeWords(g *Guild) string {
	switch {
	case g.Travel == Drifts:
		return "not limited by distance"
	case g.TypicalM == 0:
		return "range unknown"
	}
	return "typically " + number(g.TypicalM) + " m from refuge"
}

func (e *builder) pest(p *Pest) {
	e.group("", Origin{})
	e.text("Scientific name", p.Scientific)
	e.text("Order and family", strings.TrimSuffix(p.Order+", "+p.Family, ", "))
	e.text("Region", p.Region)
	e.cropRefs("Harms", p.Hosts)
	e.text("In a plan", p.LayoutNote)
	e.group("Enemies", p.EnemiesFrom)
	e.text("Enemies", p.Enemies)
	e.guildRefs("Guilds that hold it", p.Guilds)
	e.group("Scouting and threshold", p.ThresholdFrom)
	e.text("Scouting", p.Scouting)
	e.text("Act at", p.Threshold)
	e.group("Degree-days", p.DegreeDaysFrom)
	if !math.IsNaN(p.LowerC) {
		e.add(Fact{Label: "Lower threshold", Value: number(p.LowerC) + " °C", Min: p.LowerC, Max: p.LowerC, Unit: "°C"})
	}
	if !math.IsNaN(p.UpperC) {
		e.add(Fact{Label: "Upper threshold", Value: number(p.UpperC) + " °C", Min: p.UpperC, Max: p.UpperC, Unit: "°C"})
	}
	e.times(p)
	e.group("Links", Origin{})
	e.refs("Companions tested", matches(e.c.CompanionsAgainst(p.ID), companionMatch))
	e.refs("Trap crops tested", matches(e.c.TrapCropsAgainst(p.ID), trapCropMatch))
	e.refs("Traps", matches(e.c.TrapsFor(p.ID), trapMatch))
}

func (e *builder) companion(x *Companion) {
	e.group("What was tested", x.From)
	e.text("Crop", x.Main)
	e.cropRefs("Crops", x.Crops)
	e.text("Companion", x.With)
	e.plantRefs("Plants", x.WithPlants)
	e.cropRefs("Crops as companion", x.WithCrops)
	e.pestRefs("Against", x.Pests)
	e.text("Against", x.PestsWords)
	e.text("Effect", x.Effect)
	e.text("Verdict", string(x.Verdict))
	e.text("How well tested", string(x.Strength))
	e.span("Tested at a distance of", x.NearestM, x.FarthestM, "m")
	e.text("Placing", x.Placing)
	e.guildRefs("Works by", x.Guilds)
	e.text("Note", x.Note)
}

func (e *builder) trapCrop(x *TrapCrop) {
	e.group("What was tested", x.From)
	e.text("Crop", x.Main)
	e.cropRefs("Crops", x.MainCrops)
	e.pestRefs("Against", x.Pests)
	e.text("Against", x.PestsWords)
	e.text("Trap crop", x.Trap)
	e.cropRefs("Crops as trap", x.TrapCrops)
	e.plantRefs("Plants as trap", x.TrapPlants)
	e.share("Share of the ground", x.ShareMin, x.ShareMax)
	e.span("Before the crop", x.LeadMinWeeks, x.LeadMaxWeeks, "weeks")
	e.span("Gap", x.GapMinM, x.GapMaxM, "m")
	e.text("Layout", x.Layout)
	kill := x.Kill
	if kill == "" {
		kill = "not told: plan how the pest is killed or removed, or the trap may breed it"
	}
	e.text("Killing the pest", kill)
	e.text("Result", x.Result)
	e.text("Verdict", string(x.Verdict))
	e.text("Note", x.Note)
}

func (e *builder) trap(x *Trap) {
	e.group("", Origin{})
	e.text("Kind", x.Kind)
	e.text("For", x.Target)
	e.pestRefs("Pests", x.Pests)
	e.text("Colour", x.Colour)
	e.group("Use and number", x.NumberFrom)
	e.text("Use", x.Use)
	if x.NumberMin > 0 {
		if x.NumberMax == 0 {
			e.add(Fact{Label: "Number", Value: number(x.NumberMin) + " or more", Min: x.NumberMin})
		} else {
			e.span("Number", x.NumberMin, x.NumberMax, "")
		}
		e.span("On each", x.PerM2, 0, "m²")
		e.text("Where", x.NumberWords)
	}
	e.group("Placing and renewal", x.PlacingFrom)
	e.text("Height", x.Height)
	e.text("Placing", x.Placing)
	e.span("Renew after", float64(x.RenewMinDays), float64(x.RenewMaxDays), "days")
	e.group("By-catch", x.ByCatchFrom)
	e.text("Also caught", x.ByCatch)
	e.text("Note", x.Note)
}

// lastingWords says what the words for how long harm lasts mean (UC IPM; wording from memory).
var lastingWords = map[string]string{"none": "none", "short": "short (hours to days)", "moderate": "moderate (days to 2 weeks)",
	"long": "long (weeks to months)", "while dry": "while dry", "not given": "not given"}

func (e *builder) material(x *Material) {
	e.group("", Origin{})
	e.text("Label", LabelIsLaw)
	e.group("Harm to others", x.HarmFrom)
	e.text("Predatory mites", x.Mites.String())
	e.text("Other predators", x.Predators.String())
	e.text("Parasitoids", x.Parasitoids.String())
	bees := "class " + string(x.Bees) + ": " + BeesWords[x.Bees]
	if x.Bees == "not rated" {
		bees = BeesWords[x.Bees]
	}
	e.text("Bees", bees)
	e.text("Note", x.Note)
	e.group("How long it lasts", x.LastingFrom)
	words := make([]string, len(x.Lasting))
	for i, l := range x.Lasting {
		words[i] = lastingWords[l]
	}
	e.text("Harm lasts", strings.Join(words, ", up to "))
	e.text("In practice", x.LastingNote)
	e.text("Rain", x.Rain)
	e.group("Cautions", x.CautionsFrom)
	e.text("Caution", x.Cautions)
	e.group("Usual against", x.PestsFrom)
	e.refs("Pests", matches(all(x.Pests, e.c.pest), pestMatch))
}

// String is one level, or the least and the most.
func (h Harm) String() string {
	if h.Least == h.Most {
		return string(h.Most)
	}
	return string(h.Least) + " to " + string(h.Most)
}

func (e *builder) never(n *Never) {
	e.group("Never offered", n.From)
	e.text("Scientific name", n.Scientific)
	where := make([]string, len(n.Where))
	for i, x := range n.Where {
		where[i] = continentNames[x]
	}
	if len(where) == 0 {
		where = []string{"anywhere"}
	}
	e.text("Not to be planted in", strings.Join(where, ", "))
	e.text("Why", n.Why)
}

func (e *builder) source(s *Source) {
	e.group("", Origin{})
	e.text("DOI", s.DOI)
	e.text("Read at", s.Address)
	e.text("Note", s.Note)
	e.group("Cited for", Origin{})
	e.c.Origins(func(list, id, what string, o Origin) {
		if slices.Contains(o.Sources, s.ID) {
			f := Fact{Label: list + "/" + id, Value: what}
			if slices.Contains(Lists, list) {
				f.Refs = []Match{{list, id, e.c.name(list, id)}}
			}
			e.add(f)
		}
	})
}

func (c *Catalogue) name(list, id string) string {
	for _, m := range c.everything() {
		if m.List == list && m.ID == id {
			return m.Name
		}
	}
	return ""
}
