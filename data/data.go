// Package data is what the trade knows, each fact with its source: guilds of natural enemies and how far they work from
// refuge, plants and when they flower, crops, pests, companions and trap crops that were tested, traps, materials and their
// side-effects, and the bibliography. The catalogue is a set of CSV files beside this one, embedded in the program and checked
// on load; a grower's own entries can be merged over it. It knows nothing of a particular garden.
package data

import "hedgereach/data/season"

// Evidence grades how sure the trade is of a fact, not how far we checked our copy of it (that is Checked).
type Evidence string

// The grades. A fact that is Contested has sources that disagree; it is shown as a band. None means that no published value
// was found: nothing is computed from it.
const (
	Good      Evidence = "good"
	Medium    Evidence = "medium"
	Low       Evidence = "low"
	Contested Evidence = "contested"
	None      Evidence = "none"
)

// Checked says how far our copy of a fact was held against its source.
type Checked string

// The marks.
const (
	ReadAtSource Checked = "read at the source"
	SecondHand   Checked = "read at second hand"
	FromMemory   Checked = "from memory"
	Judgement    Checked = "our judgement"
	Practice     Checked = "common practice, no source"
	Computed     Checked = "computed"

	// OwnEntry marks what a grower wrote; the embedded catalogue holds none.
	OwnEntry Checked = "your own entry"
)

// Marks lists every mark, the most held against its source first.
var Marks = []Checked{ReadAtSource, SecondHand, FromMemory, Judgement, Practice, Computed, OwnEntry}

// An Origin is where a fact comes from.
type Origin struct {
	Sources  []string // ids in sources.csv
	Detail   string   // page, table, row, address
	Checked  Checked
	Recall   string // how sure a row from memory is: "high", "medium", "low"; "" for the other marks
	Evidence Evidence
}

// A Source is a row of the bibliography.
type Source struct {
	ID       string
	Citation string // authors, year, title or journal, as one line
	DOI      string
	Address  string // where it was read
	Note     string
}

// Travel is how a guild gets from refuge to bed.
type Travel string

// The ways of travel.
const (
	Flies  Travel = "flies"
	Walks  Travel = "walks"
	Drifts Travel = "drifts" // carried by wind; distance from refuge does not limit it at garden scale
)

// A Guild is a group of natural enemies (or pollinators) that live and travel alike.
type Guild struct {
	ID         string
	Name       string // plural, for people: "Ground beetles"
	Examples   string
	Pollinator bool
	Travel     Travel
	LowM       float64  // metres: the low end of the published band; 0 = unknown
	TypicalM   float64  // metres: how far from refuge the guild usually works; 0 = unknown, never computed
	OuterM     float64  // metres: beyond this a bed is out of its range; 0 = unknown
	Shelter    []string // kinds of feature that shelter it, as in the plan file
	Eats       string
	OtherFood  string // besides prey
	Winter     string // where it winters, in words
	Provide    string // what a grower can provide
	Disagrees  string // where sources disagree; ""
	Note       string

	// FedByFlowers tells whether it eats nectar or pollen. Where it does not, a plant that lists the guild shelters it by
	// its leaves and tussocks, and its being in flower feeds nobody of the guild.
	FedByFlowers bool

	Origin      Origin // of the range
	BiologyFrom Origin // of food and shelter
}

// HasRange tells whether a published distance exists that can limit a bed.
func (g *Guild) HasRange() bool { return g.TypicalM > 0 && g.Travel != Drifts }

// A Study is a published finding on how far a guild works or travels: what the ranges are read from.
type Study struct {
	ID      string
	Guilds  []string // ids
	About   string   // the animals and the ground
	Finding string
	From    Origin // Evidence is not graded for a single study
}

// A Place is where a bloom window or the time of a pest holds. Degrees WGS 84, metres. Sources name regions; the point that stands for a region is
// our reading of its wording.
type Place struct {
	ID, Name            string
	Continent           string // NorthAmerica, Europe; "" where the wording spans both: then Longitude means nothing
	Latitude, Longitude float64
	ElevationM          float64
	Wording             string // the region as the source or list words it
	Reading             string // the point chosen for it
	Checked             Checked
}

// The continents. Bloom places and plants that are not to be offered know the first two only.
const (
	NorthAmerica = "north-america"
	Europe       = "europe"
	SouthAmerica = "south-america"
	Asia         = "asia"
	Africa       = "africa"
	Oceania      = "oceania"
)

var continents = []string{NorthAmerica, Europe, SouthAmerica, Asia, Africa, Oceania}

// A Plant feeds or shelters natural enemies.
type Plant struct {
	ID, Name, Scientific, Family string
	Form                         string // herb, shrub, tree, grass …
	LifeCycle                    string
	Bloom                        season.Window // zero for plants without flowers that matter (grasses)
	BloomPlace                   Place
	BloomWhere                   string // the place in the words of the list, with sowing time where it matters
	HeightMinCM, HeightMaxCM     float64
	SpacingCM                    float64
	ZoneMin                      int // coldest USDA hardiness zone; 0 = not given
	Native                       string
	NotOfferedIn                 []string // continents where it is a noxious or invasive weed: never offer it there
	Caution                      string
	Dangers                      []Danger // none listed is not proof of safety
	InvasiveIn                   []string // continents where parts list it as invasive or noxious; NotOfferedIn is among them
	Guilds                       []string // ids of guilds that it feeds or shelters
	Note                         string
	Listed                       Checked // how far it was checked that the sources name the plant at all
	ListedRecall                 string  // as Origin.Recall
	GuildsFrom                   Origin  // which guilds: the weaker mark of listing and detail
	TraitsFrom                   Origin  // bloom, height, spacing, zone
	CautionsFrom                 Origin  // caution, dangers, where it is invasive
}

// A Crop is what beds grow.
type Crop struct {
	ID, Name, Scientific, Family        string
	LifeCycle, Season                   string
	InRowMinCM, InRowMaxCM              float64
	BetweenRowMinCM, BetweenRowMaxCM    float64
	DaysMin, DaysMax                    int
	DaysFrom                            string
	Pollination                         string // class, Klein et al. 2007
	PollinationNote                     string
	Pests                               []string // ids
	Caution                             string
	Dangers                             []Danger // none listed is not proof of safety
	SpacingFrom, DaysOrigin, PollenFrom Origin
	CautionsFrom                        Origin
}

// A Pest is what the enemies hold.
type Pest struct {
	ID, Name, Scientific, Order, Family        string
	Region                                     string
	Hosts                                      []string // crop ids
	Enemies                                    string   // in words
	Guilds                                     []string // ids of guilds that hold it
	Scouting, Threshold                        string
	LowerC, UpperC                             float64 // degree-day thresholds, °C; NaN = not given
	LayoutNote                                 string
	EnemiesFrom, ThresholdFrom, DegreeDaysFrom Origin
}

// A Catalogue is everything in data, by list (in file order) and by id.
type Catalogue struct {
	Guilds     []*Guild
	Plants     []*Plant
	Crops      []*Crop
	Pests      []*Pest
	Studies    []*Study
	Events     []*Event    // of pests, by degree-days
	Times      []*PestTime // of pests, by the calendar
	Places     []*Place    // where bloom windows and times of pests hold
	Companions []*Companion
	TrapCrops  []*TrapCrop
	Traps      []*Trap
	Materials  []*Material
	Flowerings []*Flowering
	Never      []*Never // plants that are never offered
	Depths     []*Depth // at which crops are sown or set
	Sources    []*Source

	guild     map[string]*Guild
	plant     map[string]*Plant
	crop      map[string]*Crop
	pest      map[string]*Pest
	companion map[string]*Companion
	trapCrop  map[string]*TrapCrop
	trap      map[string]*Trap
	material  map[string]*Material
	source    map[string]*Source
	depth     map[string]*Depth
	flowering map[string]*Flowering

	ownEntries bool // a grower's were laid over it
}

// Guild is the guild with the id, or nil. The same holds for the other look-ups.
func (c *Catalogue) Guild(id string) *Guild { return c.guild[id] }

// Plant is the plant with the id, or nil.
func (c *Catalogue) Plant(id string) *Plant { return c.plant[id] }

// Crop is the crop with the id, or nil.
func (c *Catalogue) Crop(id string) *Crop { return c.crop[id] }

// Pest is the pest with the id, or nil.
func (c *Catalogue) Pest(id string) *Pest { return c.pest[id] }

// Companion is the pairing with the id, or nil.
func (c *Catalogue) Companion(id string) *Companion { return c.companion[id] }

// TrapCrop is the trap cropping with the id, or nil.
func (c *Catalogue) TrapCrop(id string) *TrapCrop { return c.trapCrop[id] }

// Trap is the trap with the id, or nil.
func (c *Catalogue) Trap(id string) *Trap { return c.trap[id] }

// Material is the material with the id, or nil.
func (c *Catalogue) Material(id string) *Material { return c.material[id] }

// Source is the source with the id, or nil.
func (c *Catalogue) Source(id string) *Source { return c.source[id] }
