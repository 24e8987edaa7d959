// Package quantities says how many plants, seeds and metres of row a plan takes, bed by bed and habitat by habitat, and what
// is to be bought or raised for the whole of it. It knows ground, spacings and the catalogue, and nothing of paper or windows.
package quantities

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/spacing"
)

// The shares taken on top of what is to stand, where the options name none: a tray always holds some weaklings, and not every
// seed comes up. Common practice, no source; a packet that states its germination goes before it.
const (
	UsualSpare     = 0.10
	UsualSeedSpare = 0.50
)

// MostSpare bounds the shares: ten times as many is no spare.
const MostSpare = 9.0

// Options say how to count. The zero value takes the usual shares and triangles.
type Options struct {
	Spare     *float64       // share of plants, cloves, tubers on top of what is to stand, 0 and up; nil: UsualSpare
	SeedSpare *float64       // the same of seed sown where it is to grow; nil: UsualSeedSpare
	Layout    spacing.Layout // of habitat plants, which have one spacing; "": triangular, as for drifts of perennials
}

// Check says in one line what share or layout does not do.
func (o Options) Check() error {
	for _, s := range []*float64{o.Spare, o.SeedSpare} {
		if s != nil && !(*s >= 0 && *s <= MostSpare) {
			return fmt.Errorf("a spare share of %g%% is not from 0 to %g%%: write 10%% for one more in ten", *s*100, MostSpare*100)
		}
	}
	if o.Layout == "" {
		return nil
	}
	_, err := spacing.Density(o.Layout, 1)
	return err
}

// A Method is how a crop or plant comes into the ground.
type Method string

// The methods. Set is for cloves, tubers, slips, crowns and canes.
const (
	Sow   Method = "sow"
	Plant Method = "plant"
	Set   Method = "set"
)

// A Row is what one planting of a bed, or one plant of a habitat, takes. Lengths are metres, areas square metres.
type Row struct {
	Feature    *plan.Feature
	Crop       *data.Crop  // nil for a habitat plant
	Plant      *data.Plant // nil for a crop
	Name       string      // the catalogue's, else the id in the plan
	Scientific string
	Method     Method
	As         string     // what goes into the ground: "seed", "transplant", "plug", "pot plant", "clove" …
	Variety    string     // in the grower's words; ""
	From       season.Day // on which it is sown or planted; 0 where it is not given, or Stands
	Until      season.Day // of the last harvest
	Stands     bool       // a crop that stays for years and has the whole year: it may stand already
	AreaM2     float64    // of its share of the feature's own ground
	Layout     spacing.Layout
	InRowM     float64 // between plants in a row; 0 where it is not known
	BetweenM   float64 // between rows
	HedgeRows  int     // rows along a hedge in which it stands, each set off from the next; 0 where it stands over its ground
	HedgeM     float64 // metres of hedge that are its share
	Stand      int     // plants that are to stand
	Take       int     // with the spare share
	RowM       float64 // length of all rows of a crop together
	Depth      *data.Depth
	Why        string      // why there is no number; "" where there is one
	Source     data.Origin // of the spacing
}

// Called is its name with the variety, if one is given: "carrot Nantes".
func (r *Row) Called() string { return strings.TrimSpace(r.Name + " " + r.Variety) }

// An Item is a line of the shopping list: one crop or plant in one form, over the whole plan.
type Item struct {
	Name, Scientific string // the name with the variety, if one is given
	Method           Method
	As               string
	Rows             int        // of the list that it sums
	Stand, Take      int        // Take is worked out of the sum, so that spares are not rounded up bed by bed
	First            season.Day // the first day on which it is wanted; 0 where no date is given
	RowM             float64
}

// A List is the planting list of a plan.
type List struct {
	Rows     []Row // beds and trap crops first, then habitats, in the order of the plan
	Shopping []Item
	Spare    float64
	Seed     float64 // spare share of seed
}

// Of counts a plan. The error is that of the options. Ground is each feature's own: see Ground. A crop in rows
// stands in the middle of its usual range in the row, and in rows as close as the range allows, since beds are worked by hand
// from their paths (common practice, no source); spacings that the plan gives go before both. Shrubs
// of a hedge are counted along its length (see alongHedge), other habitat plants over their ground.
func Of(p *plan.Plan, c *data.Catalogue, o Options) (*List, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	l := &List{Spare: UsualSpare, Seed: UsualSeedSpare}
	if o.Spare != nil {
		l.Spare = *o.Spare
	}
	if o.SeedSpare != nil {
		l.Seed = *o.SeedSpare
	}
	if o.Layout == "" {
		o.Layout = spacing.Triangular
	}
	own := Ground(p)
	for _, f := range p.Features {
		for i := range f.Crops {
			l.Rows = append(l.Rows, l.crop(f, &f.Crops[i], own[f], c))
		}
	}
	for _, f := range p.Features {
		for _, g := range f.Plants {
			l.Rows = append(l.Rows, l.plant(f, g, own[f], c, o.Layout))
		}
	}
	l.shop()
	return l, nil
}

// Said is a number of plants that are to stand as a list says it: of what is sown, hundreds to the ten above, since nobody counts
// them.
func Said(m Method, n int) int {
	if m == Sow && n >= 200 {
		return (n + 9) / 10 * 10
	}
	return n
}

// take is what to raise or buy for so many that are to stand: never less than the share on top of the number as it is said.
func (l *List) take(m Method, stand int) int {
	stand = Said(m, stand)
	spare := l.Spare
	if m == Sow {
		spare = l.Seed
	}
	n := math.Ceil(float64(stand)*(1+spare) - 1e-9)
	if m == Sow {
		n = roundUp(n)
	}
	return int(min(n, math.MaxInt32))
}

// roundUp rounds seeds up to two figures: nobody counts out 1 387 of them.
func roundUp(n float64) float64 {
	step := 1.0
	for n > 99*step {
		step *= 10
	}
	return math.Ceil(n/step-1e-9) * step
}

func (l *List) crop(f *plan.Feature, p *plan.Planting, ground float64, c *data.Catalogue) Row {
	r := Row{Feature: f, Name: p.Crop, Variety: strings.TrimSpace(p.Variety), From: p.Dates.From, Until: p.Dates.To, AreaM2: ground * share(p.Share), Layout: spacing.Square}
	r.Crop = c.Crop(p.Crop)
	if r.Crop == nil {
		r.Method, r.As, r.Why = Plant, "plant", "not in the catalogue"
		return r
	}
	r.Name, r.Scientific, r.Source = r.Crop.Name, r.Crop.Scientific, r.Crop.SpacingFrom
	r.Method, r.As = methodOf(r.Crop)
	switch { // the grower's word goes before the usual way
	case p.Method == plan.Sow && r.Method != Set:
		r.Method, r.As = Sow, "seed"
	case p.Method == plan.Transplant && r.Method == Sow:
		r.Method, r.As = Plant, "transplant"
	}
	if all := r.From != 0 && r.Until == r.From.Add(-1); all && strings.HasPrefix(r.Crop.LifeCycle, "perennial") {
		r.Stands, r.From, r.Until = true, 0, 0
	}
	if d := c.Depth(p.Crop); d != nil && (d.What == "seed") == (r.Method == Sow) && r.Method != Plant {
		r.Depth = d
	}
	r.InRowM, r.BetweenM = (r.Crop.InRowMinCM+r.Crop.InRowMaxCM)/200, r.Crop.BetweenRowMinCM/100
	if p.InRowM > 0 {
		r.InRowM = p.InRowM
	}
	if p.BetweenRowsM > 0 {
		r.BetweenM = p.BetweenRowsM
	}
	per, err := spacing.Rows(r.InRowM, r.BetweenM)
	if err != nil {
		r.InRowM, r.BetweenM, r.Why = 0, 0, "no spacing is given"
		return r
	}
	l.count(&r, per)
	return r
}

// Pattern is the layout in words; "" where there is no spacing.
func (r *Row) Pattern() string {
	switch {
	case r.InRowM == 0:
		return ""
	case r.HedgeRows == 1:
		return "single row"
	case r.HedgeRows > 1 && r.Layout == spacing.Square:
		return fmt.Sprintf("%d rows", r.HedgeRows)
	case r.HedgeRows == 2:
		return "double staggered row"
	case r.HedgeRows > 2:
		return fmt.Sprintf("%d staggered rows", r.HedgeRows)
	}
	return string(r.Layout)
}

func (l *List) count(r *Row, perM2 float64) { l.stand(r, spacing.Count(r.AreaM2, perM2)) }

// stand notes how many are to stand, and what that takes.
func (l *List) stand(r *Row, n int) {
	r.Stand = n
	if r.Stand == 0 {
		r.Why = "no ground of its own"
		return
	}
	r.Take = l.take(r.Method, r.Stand)
	r.RowM = float64(r.Stand) * r.InRowM
}

// share of a bed: a planting that names none has all of it.
func share(s float64) float64 {
	if !(s > 0) {
		return 1
	}
	return min(s, 1)
}

// methodOf reads how a crop comes into the ground from what its days to harvest are counted from: the first word where there
// is a choice.
func methodOf(c *data.Crop) (Method, string) {
	word := strings.FieldsFunc(c.DaysFrom, func(r rune) bool { return r == ' ' || r == '/' || r == ',' })
	if len(word) == 0 {
		return Plant, "plant"
	}
	switch word[0] {
	case "seed":
		return Sow, "seed"
	case "transplant", "plant":
		return Plant, word[0]
	case "clove", "tuber", "slip", "crown", "cane":
		return Set, word[0]
	}
	return Plant, "plant"
}

func (l *List) plant(f *plan.Feature, g plan.Growing, ground float64, c *data.Catalogue, layout spacing.Layout) Row {
	r := Row{Feature: f, Name: g.Plant, AreaM2: ground * min(max(g.Share, 0), 1), Layout: layout}
	r.Plant = c.Plant(g.Plant)
	if r.Plant == nil {
		r.Method, r.As, r.Why = Plant, "plant", "not in the catalogue"
		return r
	}
	r.Name, r.Scientific, r.Source = r.Plant.Name, r.Plant.Scientific, r.Plant.TraitsFrom
	r.Method, r.As = formOf(r.Plant, f.Kind)
	r.InRowM = r.Plant.SpacingCM / 100
	if f.Kind == plan.Tree && f.Centre != nil { // drawn by its crown: one stands there, however wide it will be
		r.Stand, r.Take, r.InRowM, r.BetweenM = 1, 1, 0, 0
		return r
	}
	r.BetweenM = r.InRowM
	if layout == spacing.Triangular {
		r.BetweenM *= spacing.RowFactor
	}
	per, err := spacing.Density(layout, r.InRowM)
	switch {
	case err != nil:
		r.InRowM, r.BetweenM, r.Why = 0, 0, "the catalogue gives no spacing"
	case !(g.Share > 0):
		r.Why = "its share of the ground is not given"
	case l.alongHedge(&r, g.Share, ground):
	default:
		l.count(&r, per)
	}
	r.RowM = 0 // they stand in drifts, or in the rows of a hedge, which its plants share
	return r
}

// formOf is how a habitat plant is usually bought: annuals and the plants of a cover crop as seed, herbs and grasses as plugs,
// woody plants in pots or bare of root (common practice, no source).
func formOf(p *data.Plant, k plan.Kind) (Method, string) {
	woody := func(s string) bool {
		return strings.Contains(s, "shrub") || strings.Contains(s, "tree") || s == "climber"
	}
	switch {
	case woody(p.Form):
		return Plant, "pot or bare root"
	case k == plan.CoverCrop, k == plan.FlowerStrip, strings.Contains(p.LifeCycle, "annual"):
		return Sow, "seed"
	}
	return Plant, "plug"
}

// shop sums the rows by crop or plant and form: crops by the day when they are first wanted, then by name.
func (l *List) shop() {
	type key struct{ name, as string }
	at := map[key]int{}
	for _, r := range l.Rows {
		if r.Stand == 0 {
			continue
		}
		k := key{r.Called(), r.As}
		i, ok := at[k]
		if !ok {
			i = len(l.Shopping)
			at[k] = i
			l.Shopping = append(l.Shopping, Item{Name: r.Called(), Scientific: r.Scientific, Method: r.Method, As: r.As})
		}
		x := &l.Shopping[i]
		x.Rows++
		x.Stand += r.Stand
		x.RowM += r.RowM
		if r.From != 0 && (x.First == 0 || r.From < x.First) {
			x.First = r.From
		}
	}
	for i := range l.Shopping {
		l.Shopping[i].Take = l.take(l.Shopping[i].Method, l.Shopping[i].Stand)
	}
	slices.SortStableFunc(l.Shopping, func(a, b Item) int {
		if n := strings.Compare(order(a.Method), order(b.Method)); n != 0 {
			return n
		}
		return strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name))
	})
}

func order(m Method) string { return map[Method]string{Sow: "1", Set: "2", Plant: "3"}[m] }
