package data

import (
	"embed"
	"io/fs"
	"slices"
	"sync"
)

//go:generate go test -run TestPage -update .

//go:embed *.csv
var files embed.FS

var load = sync.OnceValues(func() (*Catalogue, error) { return Read(files) })

// Load reads and checks the embedded catalogue, once. The result is shared: nobody changes it.
func Load() (*Catalogue, error) { return load() }

// Read reads and checks a catalogue from the CSV files of a folder: sources, guilds, studies, bloom-places, plants, pests,
// pest-events, pest-times, crops, sowing, companions, trapcrops, traps, materials and never-offered. The error is one line that names the file, the line, the
// row's id and the mend.
func Read(dir fs.FS) (*Catalogue, error) {
	c := new(Catalogue)
	for _, step := range []func(fs.FS, *Catalogue) error{
		readSources, readGuilds, readStudies, readPlaces, readPlants, readPests, readEvents, readTimes,
		readCrops, checkHosts, readSowing, readFlowering, readCompanions, readTrapCrops, readTraps, readMaterials, readNever,
	} {
		if err := step(dir, c); err != nil {
			return nil, err
		}
	}
	return c, nil
}

func readSources(dir fs.FS, c *Catalogue) error {
	c.source = map[string]*Source{}
	return readTable(dir, "sources.csv", func(r *row) {
		s := &Source{ID: r.id(), Citation: r.need("citation"), DOI: r.text("doi"), Address: r.text("address"), Note: r.text("note")}
		c.Sources = append(c.Sources, s)
		c.source[s.ID] = s
	})
}

// shelterKinds are the kinds of feature that can shelter a guild, in the words of the plan file.
var shelterKinds = []string{"hedgerow", "perennial-strip", "beetle-bank", "wild-margin", "tree", "flower-strip", "cover-crop", "pond"}

// Limits that catch a slip of the keyboard: no guild row, plant or spacing of the trade comes near them.
const (
	maxRangeM   = 10_000
	maxHeightCM = 5_000
	maxSpacing  = 1_000 // cm
	maxDays     = 2_000
)

func readGuilds(dir fs.FS, c *Catalogue) error {
	c.guild = map[string]*Guild{}
	return readTable(dir, "guilds.csv", func(r *row) {
		g := guildOf(r, c)
		c.Guilds = append(c.Guilds, g)
		c.guild[g.ID] = g
	})
}

func guildOf(r *row, c *Catalogue) *Guild {
	g := &Guild{
		ID: r.id(), Name: r.need("name"), Examples: r.need("examples"), Pollinator: r.yes("pollinator"),
		Travel: Travel(r.word("travel", string(Flies), string(Walks), string(Drifts))),
		LowM:   r.number("low_m", 0, maxRangeM), TypicalM: r.number("typical_m", 0, maxRangeM), OuterM: r.number("outer_m", 0, maxRangeM),
		Shelter: r.words("shelter", shelterKinds), FedByFlowers: r.yes("fed_by_flowers"),
		Eats: r.need("eats"), OtherFood: r.need("other_food"), Winter: r.need("winter"), Provide: r.need("provide"),
		Disagrees: r.text("disagrees"), Note: r.text("note"),
		Origin: r.origin("range", c), BiologyFrom: r.origin("biology", c),
	}
	known := g.TypicalM > 0
	switch {
	case !known && (g.LowM > 0 || g.OuterM > 0):
		r.fail("typical_m", "a low or outer range without a typical one", "give all three ranges or none")
	case known && (g.LowM == 0 || g.LowM > g.TypicalM || g.TypicalM > g.OuterM):
		r.fail("typical_m", "the ranges are not in order", "give low ≤ typical ≤ outer, in metres")
	case known && g.Origin.Evidence == None, !known && g.Travel != Drifts && g.Origin.Evidence != None:
		r.fail("range_evidence", "the grade does not fit the range", `write "none" where there is no range, and only there`)
	}
	return g
}

func readStudies(dir fs.FS, c *Catalogue) error {
	return readTable(dir, "studies.csv", func(r *row) {
		s := &Study{ID: r.id(), Guilds: r.links("guilds", c.knowsGuild), About: r.need("about"), Finding: r.need("finding")}
		s.From = Origin{Sources: r.links("sources", c.knowsSource), Detail: r.text("detail")}
		s.From.Checked, s.From.Recall = r.checked("checked")
		c.Studies = append(c.Studies, s)
	})
}

func readPlaces(dir fs.FS, c *Catalogue) error {
	return readTable(dir, "bloom-places.csv", func(r *row) {
		p := &Place{
			ID: r.id(), Name: r.need("name"), Continent: r.word("continent", NorthAmerica, Europe, ""),
			Latitude: r.number("latitude", -90, 90), Longitude: r.number("longitude", -180, 180), ElevationM: r.number("elevation_m", -430, 9000),
			Wording: r.need("wording"), Reading: r.need("reading"),
		}
		p.Checked, _ = r.checked("checked")
		c.Places = append(c.Places, p)
	})
}

func readPlants(dir fs.FS, c *Catalogue) error {
	c.plant = map[string]*Plant{}
	return readTable(dir, "plants.csv", func(r *row) {
		p := plantOf(r, c)
		c.Plants = append(c.Plants, p)
		c.plant[p.ID] = p
	})
}

func plantOf(r *row, c *Catalogue) *Plant {
	p := &Plant{
		ID: r.id(), Name: r.need("name"), Scientific: r.need("scientific"), Family: r.need("family"), Form: r.need("form"),
		LifeCycle: r.need("life_cycle"), Bloom: r.window("bloom_from", "bloom_to"), BloomWhere: r.text("bloom_where"),
		HeightMinCM: r.number("height_min_cm", 1, maxHeightCM), HeightMaxCM: r.number("height_max_cm", 1, maxHeightCM),
		SpacingCM: r.number("spacing_cm", 1, maxSpacing), ZoneMin: r.whole("zone_min", 1, 13), Native: r.need("native"),
		NotOfferedIn: r.words("not_offered_in", []string{NorthAmerica, Europe}), Caution: r.text("caution"),
		InvasiveIn: r.words("invasive_in", continents), Guilds: r.links("guilds", c.knowsGuild), Note: r.text("note"),
		GuildsFrom: r.origin("guilds", c), TraitsFrom: r.origin("traits", c), CautionsFrom: r.origin("cautions", c),
	}
	p.Dangers = r.dangers(p.Caution)
	p.Listed, p.ListedRecall = r.checked("listed_checked")
	id := r.text("bloom_place")
	for _, b := range c.Places {
		if b.ID == id {
			p.BloomPlace = *b
		}
	}
	if p.Bloom.Given() != (p.BloomPlace.ID != "") && !(r.own && p.BloomPlace.ID == "") { // a grower's own holds at the plan's place
		r.fail("bloom_place", "a bloom window and its place go together", "give an id of bloom-places.csv with a window, and none without")
	}
	for _, x := range p.NotOfferedIn {
		if !slices.Contains(p.InvasiveIn, x) {
			r.fail("invasive_in", x+" stands in not_offered_in alone", "add it here too")
		}
	}
	r.ordered("height_min_cm", p.HeightMinCM, p.HeightMaxCM)
	return p
}

// dangers reads the column of dangers, which the caution must put into words.
func (r *row) dangers(caution string) (list []Danger) {
	for _, d := range r.words("dangers", dangerWords()) {
		list = append(list, Danger(d))
	}
	if len(list) > 0 && caution == "" {
		r.fail("caution", "empty beside a danger", "say in words what to beware of")
	}
	return list
}

func readPests(dir fs.FS, c *Catalogue) error {
	c.pest = map[string]*Pest{}
	return readTable(dir, "pests.csv", func(r *row) {
		p := &Pest{
			ID: r.id(), Name: r.need("name"), Scientific: r.need("scientific"), Order: r.need("order"), Family: r.text("family"),
			Region: r.need("region"), Hosts: r.list("hosts"), Enemies: r.need("enemies"), Guilds: r.links("guilds", c.knowsGuild),
			Scouting: r.need("scouting"), Threshold: r.need("threshold"),
			LowerC: r.optional("lower_c", -10, 60), UpperC: r.optional("upper_c", -10, 60), LayoutNote: r.text("layout_note"),
			EnemiesFrom: r.origin("enemies", c), ThresholdFrom: r.origin("threshold", c), DegreeDaysFrom: r.origin("dd", c),
		}
		if p.UpperC <= p.LowerC {
			r.fail("upper_c", "not above lower_c", "correct the two temperatures, in °C")
		}
		c.Pests = append(c.Pests, p)
		c.pest[p.ID] = p
	})
}

// Classes are the classes of need for pollination by animals of Klein et al. 2007, most needful first: production lost without
// them 90 % or more, 40–90 %, 10–40 %, up to 10 %, none; and crops whose harvest is not a fruit or seed.
var Classes = []string{"essential", "great", "modest", "little", "none", "not for harvest"}

func readCrops(dir fs.FS, c *Catalogue) error {
	c.crop = map[string]*Crop{}
	return readTable(dir, "crops.csv", func(r *row) {
		p := cropOf(r, c)
		c.Crops = append(c.Crops, p)
		c.crop[p.ID] = p
	})
}

func cropOf(r *row, c *Catalogue) *Crop {
	p := &Crop{
		ID: r.id(), Name: r.need("name"), Scientific: r.need("scientific"), Family: r.need("family"),
		LifeCycle: r.need("life_cycle"), Season: r.need("season"),
		InRowMinCM: r.number("in_row_min_cm", 0.5, maxSpacing), InRowMaxCM: r.number("in_row_max_cm", 0.5, maxSpacing),
		BetweenRowMinCM: r.number("between_row_min_cm", 1, maxSpacing), BetweenRowMaxCM: r.number("between_row_max_cm", 1, maxSpacing),
		DaysMin: r.whole("days_min", 1, maxDays), DaysMax: r.whole("days_max", 1, maxDays), DaysFrom: r.need("days_from"),
		Pollination: r.word("pollination", Classes...), PollinationNote: r.text("pollination_note"),
		Pests:   r.anyLinks("pests", c.knowsPest),
		Caution: r.text("caution"), CautionsFrom: r.origin("cautions", c),
		SpacingFrom: r.origin("spacing", c), DaysOrigin: r.origin("days", c), PollenFrom: r.origin("pollination", c),
	}
	p.Dangers = r.dangers(p.Caution)
	if len(p.Pests) == 0 && !r.own {
		r.fail("pests", "empty", "give at least one id")
	}
	r.ordered("in_row_min_cm", p.InRowMinCM, p.InRowMaxCM)
	r.ordered("between_row_min_cm", p.BetweenRowMinCM, p.BetweenRowMaxCM)
	r.ordered("days_min", float64(p.DaysMin), float64(p.DaysMax))
	return p
}

// checkHosts follows the links from pests to crops, which could not be followed before the crops were read, and demands that
// a crop and its pest name each other. It reads pests.csv again only to name the line of a fault.
func checkHosts(dir fs.FS, c *Catalogue) error {
	hosts := map[[2]string]bool{}
	err := readTable(dir, "pests.csv", func(r *row) {
		p := c.pest[r.id()]
		for _, h := range r.links("hosts", c.knowsCrop) {
			hosts[[2]string{h, p.ID}] = true
			if crop := c.crop[h]; crop != nil && !slices.Contains(crop.Pests, p.ID) {
				r.fail("hosts", "crop "+h+" does not list this pest", "add "+p.ID+" to the pests of "+h+" in crops.csv, or take the host out here")
			}
		}
		r.ignoreOtherColumns()
	})
	if err != nil {
		return err
	}
	return readTable(dir, "crops.csv", func(r *row) {
		for _, p := range c.crop[r.id()].Pests {
			if !hosts[[2]string{r.cells[0], p}] {
				r.fail("pests", "pest "+p+" does not list this crop as a host", "add the crop to the hosts of "+p+" in pests.csv, or take the pest out here")
			}
		}
		r.ignoreOtherColumns()
	})
}

func (c *Catalogue) knowsGuild(id string) bool  { return c.guild[id] != nil }
func (c *Catalogue) knowsPlant(id string) bool  { return c.plant[id] != nil }
func (c *Catalogue) knowsCrop(id string) bool   { return c.crop[id] != nil }
func (c *Catalogue) knowsPest(id string) bool   { return c.pest[id] != nil }
func (c *Catalogue) knowsSource(id string) bool { return c.source[id] != nil }
