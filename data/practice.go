package data

import "io/fs"

// Verdict is what tests of a companion or trap crop came to.
type Verdict string

// The verdicts.
const (
	Helps       Verdict = "helps"
	HelpsAtCost Verdict = "helps at a cost" // pests fall, and so does the yield
	Mixed       Verdict = "mixed"           // trials differ
	NoEffect    Verdict = "no effect"
	Harms       Verdict = "harms" // pests rise
	Untested    Verdict = "untested"
	GeneralRule Verdict = "general rule" // no case, but a measure that holds for many
)

// Strength is how well a pairing was tested.
type Strength string

// The strengths.
const (
	SeveralTrials Strength = "several field trials or a synthesis"
	OneTrial      Strength = "one good field or glasshouse trial"
	SmallTrial    Strength = "laboratory or small trial"
	Failed        Strength = "tested; failed or did harm"
	Differs       Strength = "tested; results differ"
	NoTrial       Strength = "untested"
)

// A Companion is a pairing of a crop with another plant, as it was tested.
type Companion struct {
	ID, Name            string
	Main                string   // the crop in words
	Crops               []string // its ids; none for crops in general or of another trade
	With                string   // the companion in words
	WithPlants          []string // ids of plants
	WithCrops           []string // ids of crops
	Pests               []string // ids
	PestsWords          string   // pests that the catalogue has no row for
	Effect              string
	Verdict             Verdict
	Strength            Strength
	NearestM, FarthestM float64 // metres at which it was tested; 0 = not given
	Placing             string
	Guilds              []string // ids of the guilds that it works by, where that was seen
	Note                string
	From                Origin
}

// A TrapCrop is a planting that draws a pest away from a crop, as it was tested.
type TrapCrop struct {
	ID, Name                   string
	Main                       string
	MainCrops                  []string // ids
	Pests                      []string // ids
	PestsWords                 string
	Trap                       string
	TrapCrops, TrapPlants      []string // ids
	ShareMin, ShareMax         float64  // of the cropped ground, 0 to 1; 0 = not given
	LeadMinWeeks, LeadMaxWeeks float64  // how long before the crop the trap must draw; 0 = not given
	GapMinM, GapMaxM           float64  // metres of ground between trap and crop; 0 = not given
	Layout                     string
	Kill                       string // how the pest is killed or removed in the trap; "" = the source as read does not say
	Result                     string
	Verdict                    Verdict
	Note                       string
	From                       Origin
}

// Failed tells whether trials found that it does not protect, or that it does harm.
func (x *TrapCrop) Failed() bool { return x.Verdict == NoEffect || x.Verdict == Harms }

// A Trap catches insects to count them.
type Trap struct {
	ID, Name                             string
	Kind                                 string // "sticky card" or "pheromone trap"
	Target                               string
	Pests                                []string // ids
	Colour                               string
	Use                                  string
	NumberMin, NumberMax                 float64 // 0 = not given; NumberMax 0 = or more
	PerM2                                float64 // the number is for that much ground, m²; 0 = see NumberWords
	NumberWords                          string
	Height                               string
	RenewMinDays, RenewMaxDays           int // card or lure; 0 = not given
	Placing                              string
	ByCatch                              string
	Note                                 string
	NumberFrom, PlacingFrom, ByCatchFrom Origin
}

// Level is how much a material harms a kind of animal, on the scale of UC IPM.
type Level string

// The levels. Those without a grade come last.
const (
	NoHarm      Level = "none"
	LowHarm     Level = "low"
	ModestHarm  Level = "moderate"
	HighHarm    Level = "high"
	ContactOnly Level = "contact only" // kills what it wets, harmless once dry
	HarmsSome   Level = "harms"        // harms, not graded by an agency
	NotRated    Level = "not rated"
)

// Harm is what sources say of a material and a kind of animal, from the least to the most. Where they differ, the stricter
// goes: Most.
type Harm struct{ Least, Most Level }

// Bees is the class of precaution for bees of UC IPM.
type Bees string

// BeesWords says what each class of precaution for bees means (UC IPM; wording from memory).
var BeesWords = map[Bees]string{
	"I":         "do not apply or let it drift to plants in flower",
	"II":        "do not apply or let it drift to plants in flower, except between sunset and midnight if the label allows",
	"III":       "no precaution for bees beyond the label",
	"not rated": "not rated by the tables read",
}

// LabelIsLaw stands beside every material.
const LabelIsLaw = "The label is the law: use only what is registered where you are, for that crop, as its label says."

// A Material is something that growers spray, dust or lay against pests, with what it does to others.
type Material struct {
	ID, Name                      string
	Mites, Predators, Parasitoids Harm // predatory mites, other predators, parasitoids
	Bees                          Bees
	Lasting                       []string // from the least to the most: none, short (hours to days), moderate (to 2 weeks), long …
	LastingNote                   string
	Rain                          string
	Cautions                      string
	Note                          string
	Pests                         []string // ids of pests against which it is usual; the label goes before
	HarmFrom                      Origin
	LastingFrom                   Origin
	CautionsFrom                  Origin
	PestsFrom                     Origin
}

func readCompanions(dir fs.FS, c *Catalogue) error {
	c.companion = map[string]*Companion{}
	return readTable(dir, "companions.csv", func(r *row) {
		x := &Companion{
			ID: r.id(), Name: r.need("name"), Main: r.need("main"), Crops: r.anyLinks("crops", c.knowsCrop),
			With: r.need("companion"), WithPlants: r.anyLinks("companion_plants", c.knowsPlant),
			WithCrops: r.anyLinks("companion_crops", c.knowsCrop), Pests: r.anyLinks("pests", c.knowsPest),
			PestsWords: r.text("pests_words"), Effect: r.need("effect"),
			Verdict: Verdict(r.word("verdict", string(Helps), string(HelpsAtCost), string(Mixed), string(NoEffect), string(Harms),
				string(Untested))),
			Strength: Strength(r.word("strength", string(SeveralTrials), string(OneTrial), string(SmallTrial), string(Failed),
				string(Differs), string(NoTrial))),
			NearestM: r.number("distance_min_m", 0, maxRangeM), FarthestM: r.number("distance_max_m", 0, maxRangeM),
			Placing: r.text("placing"), Guilds: r.anyLinks("guilds", c.knowsGuild), Note: r.text("note"), From: r.origin("test", c),
		}
		r.ordered("distance_min_m", x.NearestM, x.FarthestM)
		untested := x.Verdict == Untested
		if untested != (x.Strength == NoTrial) || untested != (x.From.Evidence == None) {
			r.fail("verdict", "does not fit the strength and the evidence",
				`write "untested", "untested" and "none" together or not at all`)
		}
		c.Companions = append(c.Companions, x)
		c.companion[x.ID] = x
	})
}

func readTrapCrops(dir fs.FS, c *Catalogue) error {
	c.trapCrop = map[string]*TrapCrop{}
	return readTable(dir, "trapcrops.csv", func(r *row) {
		x := &TrapCrop{
			ID: r.id(), Name: r.need("name"), Main: r.need("main"), MainCrops: r.anyLinks("main_crops", c.knowsCrop),
			Pests: r.anyLinks("pests", c.knowsPest), PestsWords: r.text("pests_words"), Trap: r.need("trap"),
			TrapCrops: r.anyLinks("trap_crops", c.knowsCrop), TrapPlants: r.anyLinks("trap_plants", c.knowsPlant),
			ShareMin: r.number("share_min_pct", 0, 100) / 100, ShareMax: r.number("share_max_pct", 0, 100) / 100,
			LeadMinWeeks: r.number("lead_min_weeks", 0, 52), LeadMaxWeeks: r.number("lead_max_weeks", 0, 52),
			GapMinM: r.number("gap_min_m", 0, maxRangeM), GapMaxM: r.number("gap_max_m", 0, maxRangeM),
			Layout: r.text("layout"), Kill: r.text("kill"), Result: r.need("result"),
			Verdict: Verdict(r.word("verdict", string(Helps), string(Mixed), string(NoEffect), string(Harms), string(GeneralRule))),
			Note:    r.text("note"), From: r.origin("test", c),
		}
		r.ordered("share_min_pct", x.ShareMin*100, x.ShareMax*100)
		r.ordered("lead_min_weeks", x.LeadMinWeeks, x.LeadMaxWeeks)
		r.ordered("gap_min_m", x.GapMinM, x.GapMaxM)
		c.TrapCrops = append(c.TrapCrops, x)
		c.trapCrop[x.ID] = x
	})
}

func readTraps(dir fs.FS, c *Catalogue) error {
	c.trap = map[string]*Trap{}
	return readTable(dir, "traps.csv", func(r *row) {
		x := &Trap{
			ID: r.id(), Name: r.need("name"), Kind: r.word("kind", "sticky card", "pheromone trap"), Target: r.need("target"),
			Pests: r.anyLinks("pests", c.knowsPest), Colour: r.text("colour"), Use: r.need("use"),
			NumberMin: r.number("number_min", 1, 100), NumberMax: r.number("number_max", 1, 100),
			PerM2: r.number("per_m2", 1, 1e6), NumberWords: r.text("number_words"), Height: r.text("height"),
			RenewMinDays: r.whole("renew_min_days", 1, 365), RenewMaxDays: r.whole("renew_max_days", 1, 365),
			Placing: r.text("placing"), ByCatch: r.text("by_catch"), Note: r.text("note"),
			NumberFrom: r.origin("number", c), PlacingFrom: r.origin("placing", c), ByCatchFrom: r.origin("by_catch", c),
		}
		if x.NumberMax > 0 {
			r.ordered("number_min", x.NumberMin, x.NumberMax)
		}
		r.ordered("renew_min_days", float64(x.RenewMinDays), float64(x.RenewMaxDays))
		c.Traps = append(c.Traps, x)
		c.trap[x.ID] = x
	})
}

func readMaterials(dir fs.FS, c *Catalogue) error {
	c.material = map[string]*Material{}
	return readTable(dir, "materials.csv", func(r *row) {
		x := &Material{
			ID: r.id(), Name: r.need("name"),
			Mites: r.harm("mites"), Predators: r.harm("predators"), Parasitoids: r.harm("parasitoids"),
			Bees: Bees(r.word("bees", "I", "II", "III", "not rated")), LastingNote: r.text("lasting_note"), Rain: r.text("rain"),
			Lasting:  r.words("lasting", []string{"none", "short", "moderate", "long", "while dry", "not given"}),
			Cautions: r.text("cautions"), Note: r.text("note"), Pests: r.anyLinks("pests", c.knowsPest),
			HarmFrom: r.origin("harm", c), LastingFrom: r.origin("lasting", c), CautionsFrom: r.origin("cautions", c),
			PestsFrom: r.origin("pests", c),
		}
		c.Materials = append(c.Materials, x)
		c.material[x.ID] = x
	})
}

// harm reads one level, or the least and the most, parted by a semicolon.
func (r *row) harm(column string) Harm {
	levels := r.words(column, []string{string(NoHarm), string(LowHarm), string(ModestHarm), string(HighHarm), string(ContactOnly),
		string(HarmsSome), string(NotRated)})
	switch len(levels) {
	case 1:
		return Harm{Level(levels[0]), Level(levels[0])}
	case 2:
		return Harm{Level(levels[0]), Level(levels[1])}
	}
	r.fail(column, "not one level or two", `write one level, or the least and the most like "low;high"`)
	return Harm{}
}
