// Package plan is a garden on paper: its place, its features, its plantings. It reads and writes the plan file and GeoJSON,
// within limits, and keeps what it does not understand. It judges nothing: what can be said of a plan is the work of
// package habitat.
//
// Lengths are metres; x is east and y north of the plan's origin. Days of the year are written "MM-DD", dates "YYYY-MM-DD".
//
// # What a plan file says of the season
//
// Beside its features a plan may give
//
//	"year": 2026                      the season that is planned
//	"accepted": [{rule, key, reason, date}]   findings that may stand, with the grower's reason
//	"weather": {station, unit, start, min, max}   a station's daily temperatures, "C" or "F"; null for a missing day
//
// and a feature
//
//	"crops": [{crop, from, to, share, method, first_harvest, variety, in_row_m, between_rows_m, parthenocarpic, for_seed}]
//	                        from sowing or transplanting to the last harvest; method is "sow" or "transplant"
//	"other_years": [{year, crops}]            what grew before and is to grow after the plan's year
//	"cover": {from, to, mesh_mm, material, edges, bees_inside}, "later_covers": [the same]
//	                        edges are "sealed" or "open"; bees_inside: a hive of bumble bees works under it
//	"treatments": [{material, on, pest, harvest_hours, evening, note}]
//	                        on: a list of days; harvest_hours: copied from the label
//	"trapping": {protects, pest, removal, sown, cleared, every_days}   of a trap crop
//	"trap": {trap, pest, number, colour, height_m, set, until, renew_days}   of a mark
//	"nursery": pest          the pest to which the feature is left, as a nursery for its enemies
//
// Every member may be absent, and null means the same.
//
// A Plan and its Features are values that do not change once they are shared: an edit makes a copy of the feature and a new
// Plan that holds it. So a snapshot can be read from any goroutine, undo keeps pointers, and "what changed" is a comparison
// of pointers.
package plan

import (
	"slices"
	"strings"

	"github.com/google/uuid"
	"github.com/paulmach/orb"

	"hedgereach/data/season"
)

// A Kind says what a feature is, in the words of the plan file.
type Kind string

// The kinds of feature.
const (
	Boundary       Kind = "boundary"
	Bed            Kind = "bed"
	Hedgerow       Kind = "hedgerow"
	FlowerStrip    Kind = "flower-strip" // annual
	PerennialStrip Kind = "perennial-strip"
	BeetleBank     Kind = "beetle-bank"
	WildMargin     Kind = "wild-margin"
	Tree           Kind = "tree" // or shrub
	CoverCrop      Kind = "cover-crop"
	TrapCrop       Kind = "trap-crop"
	Pond           Kind = "pond"
	Path           Kind = "path"
	Building       Kind = "building"
	Fence          Kind = "fence"
	Trap           Kind = "trap"
	Stake          Kind = "stake"
)

// Kinds lists every kind in the order in which menus and legends show them.
var Kinds = []Kind{Bed, Hedgerow, PerennialStrip, FlowerStrip, BeetleBank, WildMargin, Tree, CoverCrop, Pond, TrapCrop,
	Path, Building, Fence, Trap, Stake, Boundary}

var kindLabels = map[Kind]string{
	Boundary: "Boundary", Bed: "Bed", Hedgerow: "Hedgerow", FlowerStrip: "Flower strip, annual",
	PerennialStrip: "Flower strip, perennial", BeetleBank: "Beetle bank", WildMargin: "Wild margin", Tree: "Tree or shrub",
	CoverCrop: "Flowering cover crop", TrapCrop: "Trap crop", Pond: "Pond", Path: "Path", Building: "Building",
	Fence: "Fence", Trap: "Trap", Stake: "Stake",
}

// Known tells whether the kind is one of Kinds.
func (k Kind) Known() bool { _, ok := kindLabels[k]; return ok }

// Label is the kind's name for people.
func (k Kind) Label() string {
	if l, ok := kindLabels[k]; ok {
		return l
	}
	return string(k)
}

// Habitat tells whether the kind can feed or shelter natural enemies.
func (k Kind) Habitat() bool {
	switch k {
	case Hedgerow, FlowerStrip, PerennialStrip, BeetleBank, WildMargin, Tree, CoverCrop, Pond:
		return true
	}
	return false
}

// Refuge tells whether the kind is a refuge unless the grower says otherwise: ground where natural enemies live all year
// undisturbed.
func (k Kind) Refuge() bool {
	switch k {
	case Hedgerow, PerennialStrip, BeetleBank, WildMargin, Tree:
		return true
	}
	return false
}

// Units is the system that the grower reads and types.
type Units string

// The two systems. The file is always in metres.
const (
	Metric Units = "metric"
	US     Units = "us" // feet and inches
)

// Extra holds members of the file that this version does not know, as raw JSON, so that saving loses nothing.
type Extra map[string][]byte

// A Plan is one garden or field on paper.
type Plan struct {
	Name     string
	Units    Units
	Place    *Place   // nil where the grower gave none: whatever needs it says so and does not guess
	Picture  *Picture // to be traced; nil for none
	Year     int      // the season that is planned; 0 = not given
	Accepted []Acceptance
	Weather  *Weather // nil for none
	Own      []Own    // goes before the catalogue, in the file "catalogue"; the list is never changed in place
	Features []*Feature
	Extra    Extra
	Unknown  []Unknown // features that only a newer version of the program can read, in the file's order
}

// A Place says where the garden lies and what its year is like. Latitude and Longitude are WGS 84 degrees of the plan's origin.
type Place struct {
	Latitude, Longitude float64
	ElevationM          float64
	LastFrost           season.Day // usual last frost in spring; 0 = not given
	FirstFrost          season.Day // usual first frost in autumn; 0 = not given
	HardinessZone       string     // USDA zone, "5a"; "" = not given
	NorthDeg            float64    // true north, degrees clockwise from the plan's y axis
	Extra               Extra
}

// NewYear is the first day of the plan's growing year; 1 January where it has no place.
func (p *Plan) NewYear() season.Day { return season.NewYear(p.Place != nil && p.Place.Latitude < 0) }

// Days are the days that a window of the plan means: where the grower gave one end only, the other is that of the growing year.
func (p *Plan) Days(w season.Window) season.Window { return w.Open(p.NewYear()) }

// A Feature is one thing drawn on the ground. In the file its members are id, kind, name, geometry, line, width_m, center,
// radius_m, refuge, crops, other_years, cover, later_covers, treatments, plants, trapping, trap, nursery, note, locked and
// hidden. The geometry is what counts: a line or centre
// that no longer agrees with it, because another program moved the outline, is dropped when the file is read.
type Feature struct {
	ID          string // UUID
	Kind        Kind
	Name        string
	Geometry    orb.Geometry   // orb.Polygon, orb.MultiPolygon, or orb.Point for a mark
	Line        orb.LineString // the centre line of a strip that was drawn by one; else nil
	WidthM      float64        // the strip's width
	Centre      *orb.Point     // the centre of a round thing, "center": [x, y]; else nil
	RadiusM     float64
	Refuge      *bool      // the grower's word on whether it is a refuge; nil = by kind
	Crops       []Planting // of the plan's year
	OtherYears  []CropYear
	Cover       *Cover
	LaterCovers []Cover // where a bed is covered more than once a year
	Treatments  []Treatment
	Plants      []Growing
	Trapping    *Trapping
	Trap        *TrapMark
	Nursery     string // the pest to which it is left, a catalogue id; "" for none
	Note        string
	Locked      bool // the grower wants it left where it is
	Hidden      bool // it is not drawn; every measure counts it all the same
	Extra       Extra
}

// A Planting is a crop on a bed for part of a year. Share is the part of the bed, 0–1.
type Planting struct {
	Crop           string        // catalogue id
	Dates          season.Window // from sowing or transplanting to the last harvest
	Share          float64
	Method         Method
	FirstHarvest   season.Day // 0 = not given
	Variety        string
	InRowM         float64 // the grower's own spacings; 0 = the catalogue's
	BetweenRowsM   float64
	Parthenocarpic bool // it sets fruit without pollen
	ForSeed        bool // it is grown for its seed
	Extra          Extra
}

// A Cover is a row cover or net over a bed.
type Cover struct {
	Dates      season.Window
	MeshMM     float64 // 0 = not given
	Material   string  // "fleece", "insect net" …, in the grower's words
	Edges      Edges
	BeesInside bool // a hive works under it
	Extra      Extra
}

// Growing is a plant in a habitat. Share is the part of the habitat's ground that it covers, 0–1. Bloom is the grower's own
// observation and goes before the catalogue's window; zero where there is none.
type Growing struct {
	Plant string // catalogue id
	Share float64
	Bloom season.Window
	Extra Extra
}

// Trapping says what a trap crop is for: the bed (feature id) or crop (catalogue id) that it protects, the pest, and how the
// pest is removed from it. What is sown as a trap stands among the feature's crops or plants.
type Trapping struct {
	Protects  string
	Pest      string
	Removal   string     // the kill step, in the grower's words
	Sown      season.Day // the day on which it was sown or set out; 0 = that of its crops
	Cleared   season.Day // the day on which the trap itself is taken away; 0 = not given
	EveryDays int        // days from one removal to the next; 0 = not given
	Extra     Extra
}

// New is an empty plan.
func New(name string) *Plan { return &Plan{Name: name, Units: Metric} }

// NewFeature is a feature with a fresh id.
func NewFeature(k Kind, name string, g orb.Geometry) *Feature {
	return &Feature{ID: uuid.NewString(), Kind: k, Name: name, Geometry: g}
}

// Title is what a feature is called wherever it is spoken of: its name, else "Unnamed" and its kind.
func (f *Feature) Title() string {
	if n := strings.TrimSpace(f.Name); n != "" {
		return n
	}
	return "Unnamed " + strings.ToLower(f.Kind.Label())
}

// IsRefuge is the grower's word where there is one, else what the kind is by default.
func (f *Feature) IsRefuge() bool {
	if f.Refuge != nil {
		return *f.Refuge
	}
	return f.Kind.Refuge()
}

// IsHabitat tells whether the feature can feed or shelter natural enemies: by kind, or because the grower calls it a refuge.
func (f *Feature) IsHabitat() bool { return f.Kind.Habitat() || f.IsRefuge() }

// MarkRadius is the radius in metres of the small disc that stands for a mark (trap, stake) given as a point.
const MarkRadius = 0.15

// Clone is a copy that can be changed without touching f. Geometry is copied deep; Extra maps are shared, since nothing
// changes them in place.
func (f *Feature) Clone() *Feature {
	c := *f
	if f.Geometry != nil {
		c.Geometry = orb.Clone(f.Geometry)
	}
	c.Line = slices.Clone(f.Line)
	c.Crops = slices.Clone(f.Crops)
	c.OtherYears = slices.Clone(f.OtherYears)
	for i, y := range c.OtherYears {
		c.OtherYears[i].Crops = slices.Clone(y.Crops)
	}
	c.LaterCovers = slices.Clone(f.LaterCovers)
	c.Treatments = slices.Clone(f.Treatments)
	for i, t := range c.Treatments {
		c.Treatments[i].On = slices.Clone(t.On)
		c.Treatments[i].HarvestHours = copyOf(t.HarvestHours)
	}
	c.Plants = slices.Clone(f.Plants)
	c.Centre, c.Refuge, c.Cover = copyOf(f.Centre), copyOf(f.Refuge), copyOf(f.Cover)
	c.Trapping, c.Trap = copyOf(f.Trapping), copyOf(f.Trap)
	return &c
}

// copyOf points to a copy of what p points to; nil where p does.
func copyOf[T any](p *T) *T {
	if p == nil {
		return nil
	}
	v := *p
	return &v
}

// Clone is a plan with its own lists; the features themselves, the picture and the weather are shared.
func (p *Plan) Clone() *Plan {
	c := *p
	c.Features = slices.Clone(p.Features)
	c.Accepted = slices.Clone(p.Accepted)
	c.Place = copyOf(p.Place)
	return &c
}

// Find is the feature with the id, and its index; nil and -1 where there is none.
func (p *Plan) Find(id string) (*Feature, int) {
	for i, f := range p.Features {
		if f.ID == id {
			return f, i
		}
	}
	return nil, -1
}
