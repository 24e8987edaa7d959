// Package sheet makes the printed set of a plan: the plot map to true scale with its title, legend, north and scale bars, and
// the lists that go with it. It lays pages out in millimetres from an assessment, measures nothing itself, and writes PDF,
// SVG and PNG.
package sheet

import (
	"errors"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/face"
	"hedgereach/app/style"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/quantities"
	"hedgereach/habitat/settingout"
)

// A Paper is a size of sheet, upright, in millimetres.
type Paper struct {
	Name string
	W, H float64
}

// Papers are the sizes on offer: ISO 216 A and B, ANSI/ASME Y14.1 with its architectural sizes (from memory), the first being the usual
// one.
var Papers = []Paper{
	{"A4", 210, 297}, {"A3", 297, 420}, {"A2", 420, 594}, {"A1", 594, 841}, {"A0", 841, 1189},
	{"Letter", 215.9, 279.4}, {"Legal", 215.9, 355.6}, {"Tabloid", 279.4, 431.8}, {"ANSI C", 431.8, 558.8},
	{"ANSI D", 558.8, 863.6}, {"ANSI E", 863.6, 1117.6},
	{"A5", 148, 210}, {"B5", 176, 250}, {"B4", 250, 353}, {"B3", 353, 500}, {"B2", 500, 707}, {"B1", 707, 1000}, {"B0", 1000, 1414},
	{"ARCH A", 228.6, 304.8}, {"ARCH B", 304.8, 457.2}, {"ARCH C", 457.2, 609.6}, {"ARCH D", 609.6, 914.4}, {"ARCH E", 914.4, 1219.2},
}

// PaperNamed finds a paper by name, in any case, with or without spaces or dashes.
func PaperNamed(name string) (Paper, error) {
	plain := func(s string) string { return strings.NewReplacer(" ", "", "-", "").Replace(strings.ToLower(s)) }
	var names []string
	for _, p := range Papers {
		if plain(p.Name) == plain(name) {
			return p, nil
		}
		names = append(names, p.Name)
	}
	return Paper{}, fmt.Errorf("%q is not a paper size: use one of %s", name, strings.Join(names, ", "))
}

// Orientation is how the paper lies.
type Orientation int

// Auto takes the way that gives the larger map.
const (
	Auto Orientation = iota
	Portrait
	Landscape
)

// Options say how the set is to be. The zero value is an A4 sheet at the largest scale that fits, in colour.
type Options struct {
	Sheets           []Kind // which; none chosen: the usual ones. They come in the order of the table Sheets
	Paper            Paper  // zero: A4
	Orientation      Orientation
	ScaleDenominator int    // 100 for 1:100; 0 takes the largest of the trade's scales that fits; a larger one cuts the map into tiles
	Big              bool   // letters, signs and lines half as large again, for weak eyes and for a wall
	Grey             bool   // for a printer that has only black
	Guild            string // id of the guild whose reach the beds show; "" for any refuge at RangeM
	On               *season.HalfMonth
	RangeM           float64            // metres; for the words on the sheet, the standing comes from the assessment; 0 with no guild: none
	Date             time.Time          // on the title; zero: today, or the day of SOURCE_DATE_EPOCH
	Dimensions       bool               // length and width on the map in the beds that have room for them
	Stakes           [2]string          // names or ids of the two to set out from; none: the two farthest apart
	Numbers          quantities.Options // how plants and seeds are counted
	Author, Notes    string
	Version          string // of the plan, on the title; "": a mark made from what the plan holds, the same for the same plan
}

// A Page is one sheet of paper.
type Page struct {
	Kind Kind
	Name string
	List drawing.List // millimetres
}

// A Set is the pages of a plan.
type Set struct {
	Title, Author string
	Date          time.Time
	Pages         []Page
	Denominator   int // of the plot map's scale; of its tiles', where it is cut into tiles

	// Unprinted says what holds letters that the typeface cannot print, which come out as "?"; "" where all can be printed.
	Unprinted string

	planting func() *quantities.List // nil without a catalogue
}

// job is the making of one set.
type job struct {
	a        *habitat.Assessment
	o        Options
	look     style.Look
	big      float64 // how much larger than usual letters are
	paper    Paper   // as it lies: W is the width
	statuses map[string]habitat.Status
	reach    string // what the statuses say, in words; "" where the sheet shows none
	numbers  map[string]string
	bound    orb.Bound // of the plan, metres
	grid     refGrid
	frame    frame   // of the plot map
	scale    int     // its denominator
	tiling   *tiling // where the map is larger than the sheet; else nil
	system   lengths
	squareOf map[*plan.Feature]string
	small    int        // beds without a mark on the map
	counted  bool       // some beds bear no number, and are counted on from one that does
	warned   int        // cautions that stand on the map
	left     []leftover // see leftovers
	notes    footnotes
	set      *Set
	sheets   []Sheet          // the table: it names methods of the job, which may not name it
	book     *settingout.Book // nil where the plan has not got two stakes
	work     *fieldwork       // numbers and dated work, once they are asked for
	yearly   *habitat.Season  // see season
	later    []func()         // what can be drawn only when all pages are there
}

// Make lays out the set of a plan. It fails where nothing is drawn, where a place on the plan is no number, or where the scale
// asked for would take too many sheets.
func Make(a *habitat.Assessment, o Options) (*Set, error) {
	if a == nil || a.Plan == nil || len(a.Plan.Features) == 0 {
		return nil, errors.New("the plan has nothing drawn on it yet: draw the boundary or a bed first")
	}
	if o.Paper == (Paper{}) {
		o.Paper = Papers[0]
	}
	if o.Paper.W < smallest || o.Paper.H < smallest || o.Paper.W > largest || o.Paper.H > largest {
		return nil, fmt.Errorf("a sheet of %.0f × %.0f mm cannot be laid out: both sides must be from %d to %d mm",
			o.Paper.W, o.Paper.H, smallest, largest)
	}
	if o.Date.IsZero() {
		o.Date = today()
	}
	j := &job{a: a, o: o, look: style.Sheet(style.Paper), big: 1, sheets: Sheets, numbers: numbersOf(a.Plan), system: lengthsOf(a.Plan.Units)}
	if o.Grey {
		j.look = style.Sheet(style.Grey)
	}
	j.letters()
	var err error
	if j.bound, err = extent(a.Plan); err != nil {
		return nil, err
	}
	if err := j.standings(); err != nil {
		return nil, err
	}
	if err := o.Numbers.Check(); err != nil {
		return nil, err
	}
	if j.book, err = j.measures(); err != nil {
		return nil, err
	}
	for _, k := range o.Sheets {
		if _, err := KindNamed(string(k)); err != nil {
			return nil, err
		}
	}
	name := strings.TrimSpace(a.Plan.Name)
	if name == "" {
		name = "Garden plan"
	}
	j.set = &Set{Title: name, Author: strings.TrimSpace(o.Author), Date: o.Date}
	if j.frame, j.scale, err = j.fit(); err != nil {
		return nil, err
	}
	if asked := o.ScaleDenominator; asked > 0 && asked < j.scale {
		if j.tiling, err = j.tile(asked); err != nil {
			return nil, err
		}
	}
	j.paper = j.frame.paper
	j.set.Denominator = j.scale
	if a.Catalogue != nil {
		j.set.planting = func() *quantities.List { return j.field().list }
	}
	j.grid = newGrid(j.bound, j.frame.window, j.scale, a.Plan.Units)
	if t := j.tiling; t != nil {
		j.set.Denominator = t.denominator
		j.grid.reach(t)
	}
	add := func(k Kind, pages func(*job)) {
		first := len(j.set.Pages)
		pages(j)
		for i := first; i < len(j.set.Pages); i++ {
			j.set.Pages[i].Kind = k
		}
	}
	for _, s := range Sheets {
		if j.chosen(s.Kind) {
			add(s.Kind, s.make)
		}
		if s.Kind == FlowerMap { // the last of the maps
			add(PlotMap, (*job).leftovers)
		}
	}
	if len(j.set.Pages) == 0 {
		return nil, errors.New("the plan has nothing for the sheets that were chosen: choose the plot map too")
	}
	for _, draw := range j.later {
		draw()
	}
	j.foot()
	j.set.Unprinted = j.unprinted()
	return j.set, nil
}

// unprinted names what of the plan and the title has letters that the typeface lacks.
func (j *job) unprinted() string {
	var of []string
	for _, x := range [][2]string{{j.set.Title, "the plan's name"}, {j.set.Author, "the author"}, {j.o.Notes, "the notes"}, {j.o.Version, "the version"}} {
		if face.Lacks(x[0]) {
			of = append(of, x[1])
		}
	}
	for _, f := range j.a.Plan.Features {
		if face.Lacks(f.Name) || face.Lacks(f.Note) {
			of = append(of, called(f))
		}
	}
	if n := len(of); n > mostNamed {
		of = append(of[:mostNamed], fmt.Sprintf("%d more", n-mostNamed))
	}
	if len(of) == 0 {
		return ""
	}
	return "letters that cannot be printed come out as a box with a question mark: in " + listed(of)
}

// mostNamed is how many things a note names.
const mostNamed = 6

// today is the day without its time, so that the same plan makes the same bytes all day; that of SOURCE_DATE_EPOCH where it is set, as
// for builds that can be repeated.
func today() time.Time {
	now := time.Now()
	if n, err := strconv.ParseInt(os.Getenv("SOURCE_DATE_EPOCH"), 10, 64); err == nil {
		now = time.Unix(n, 0).UTC()
	}
	y, m, d := now.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// chosen tells whether a sheet is wanted.
func (j *job) chosen(k Kind) bool {
	if len(j.o.Sheets) > 0 {
		return slices.Contains(j.o.Sheets, k)
	}
	i := slices.IndexFunc(j.sheets, func(s Sheet) bool { return s.Kind == k })
	return i >= 0 && j.sheets[i].Usual && (k != SettingOut || canSetOut(j.book))
}

// Sides of paper that can be laid out, in millimetres.
const (
	smallest = 140
	largest  = 5000
)

// letters sets how large letters and signs are: for the paper of the map, which is read from the farther off the larger it is, and for
// big print.
func (j *job) letters() { j.lettersFor(j.o.Paper) }

func (j *job) lettersFor(p Paper) {
	j.big = 1
	for _, step := range []struct{ side, big float64 }{{400, 1.2}, {550, 1.5}, {800, 2}} { // A2, A1, A0; ANSI C, D, E
		if min(p.W, p.H) >= step.side {
			j.big = step.big
		}
	}
	if j.o.Big {
		j.big *= bigPrint
	}
	j.look.Unit = style.SheetPoint * j.big
}

// bigPrint is how much larger letters are in big print: words of a sheet's body come to 12 point, the least that guides to clear
// print ask for (common practice).
const bigPrint = 1.5

// farthest is how far from the origin a place may lie, in metres; beyond it a sheet would show nothing.
const farthest = 1e7

// extent is the ground that the plan's features take up.
func extent(p *plan.Plan) (orb.Bound, error) {
	b := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, f := range p.Features {
		if f.Geometry == nil {
			continue
		}
		fb := f.Geometry.Bound()
		for _, v := range []float64{fb.Min[0], fb.Min[1], fb.Max[0], fb.Max[1]} {
			if !(math.Abs(v) <= farthest) {
				return b, fmt.Errorf("%s lies at a place that is no place (%g m): mend its corners, then print", called(f), v)
			}
		}
		b = b.Union(fb)
	}
	if b.IsEmpty() || math.IsInf(b.Min[0], 0) {
		return b, errors.New("no feature of the plan has ground: draw the boundary or a bed first")
	}
	return b, nil
}

// called is a feature's name for messages.
func called(f *plan.Feature) string {
	if n := strings.TrimSpace(f.Name); n != "" {
		return fmt.Sprintf("%q", n)
	}
	return "a " + strings.ToLower(f.Kind.Label()) + " with no name"
}

// standings takes from the assessment how each bed stands with what is asked about.
func (j *job) standings() error {
	o := j.o
	switch {
	case o.Guild != "":
		var name string
		j.statuses = map[string]habitat.Status{}
		for _, b := range j.a.Beds {
			r := b.Guild(o.Guild)
			if r == nil {
				return fmt.Errorf("%q is not a guild of the catalogue: `hedgereach check` names them", o.Guild)
			}
			j.statuses[b.Feature.ID] = r.Status
			name = r.Guild.Name
			if r.Guild.HasRange() {
				name += ", typical range " + j.system.brief(r.Guild.TypicalM)
			} else {
				name += ", no published range"
			}
		}
		j.reach = name
	case o.RangeM > 0:
		j.statuses = map[string]habitat.Status{}
		for _, b := range j.a.Beds {
			j.statuses[b.Feature.ID] = b.Refuge.At(o.RangeM)
		}
		j.reach = "any refuge within " + j.system.brief(o.RangeM)
	}
	if j.reach != "" && o.On != nil {
		j.reach += ", " + o.On.Label()
	}
	return nil
}

// bedReach is what the sheet shows of a bed: its link to what was asked about, its standing and the share within.
func (j *job) bedReach(b *habitat.Bed) (link *habitat.Link, within float64, known bool) {
	if j.o.Guild != "" {
		if r := b.Guild(j.o.Guild); r != nil {
			return r.Link, r.WithinFraction, r.Status != habitat.Unknown
		}
		return nil, 0, false
	}
	for _, r := range b.Reach {
		if r.RangeM == j.o.RangeM {
			return b.Refuge, r.WithinFraction, true
		}
	}
	return b.Refuge, 0, false
}
