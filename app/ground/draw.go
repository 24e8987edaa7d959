package ground

import (
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/style"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// Show says what to draw besides the features themselves.
type Show struct {
	Statuses  map[string]habitat.Status // by bed id: wash, hatch and letter; nil: none
	Labels    bool                      // names, and the letters of statuses
	Flowering *season.HalfMonth         // the time: what is in flower, sown and under cover then; nil: all as by kind
	Grid      bool
	Units     plan.Units          // of the grid and of labels
	Hidden    map[string]bool     // ids of features left out (hidden, or drawn on another layer while dragged)
	Only      []*plan.Feature     // draw these alone, in this order within a kind; nil: all of the plan
	Crops     map[string][]string // of beds by id, in small letters under the name of a bed that has room for both; nil: none
	Sizes     map[string]string   // of beds by id, in words, under the name of a bed that has room for both; nil: none
	Leads     bool                // a name that finds no place beside what it names is led to by a line, as on paper; else it is left out
	Numbers   map[string]string   // short marks of beds by id, as from Numbers; nil: Labels makes them where it needs them
	Finding   []orb.Point         // a line on the ground that shows a finding, in metres; nil: none
	Beneath   []drawing.Op        // drawn on the bare ground, under everything that grows

	// InFlower tells whether a plant is in flower at the time shown; Draw takes it from the assessment. Only read where
	// Flowering is set.
	InFlower func(plan.Growing) bool
	NewYear  season.Day // the first of the plan's growing year; Draw takes it from the plan
	// Window is what can be seen, in units: signs outside it are not made. Empty: Draw takes the list's size, FeatureOps
	// draws everything.
	Window orb.Bound

	// Seen is the part of the window that is before the eyes now, where the rest waits for a pan: names that stand beside what
	// they name keep to it where they can. Empty: all of it.
	Seen orb.Bound

	// Busy are places that something else will stand over: names keep off them.
	Busy []orb.Bound
}

// order is the painter's order: what lies lower comes first. Kinds of a newer file come after paths.
var order = func() map[plan.Kind]int {
	m := map[plan.Kind]int{}
	for i, k := range []plan.Kind{plan.Boundary, plan.Path, "", plan.Pond, plan.CoverCrop, plan.Bed, plan.TrapCrop,
		plan.FlowerStrip, plan.PerennialStrip, plan.BeetleBank, plan.WildMargin, plan.Hedgerow, plan.Building, plan.Fence,
		plan.Tree, plan.Trap, plan.Stake} {
		m[k] = i
	}
	return m
}()

// layers name the runs of kinds above the boundary, for outputs that know layers.
var layers = []struct {
	name  string
	until int // of order, included
}{
	{"Paths and water", order[plan.Pond]}, {"Beds", order[plan.TrapCrop]},
	{"Habitats", order[plan.Hedgerow]}, {"Buildings and fences", order[plan.Fence]}, {"Trees", order[plan.Tree]},
	{"Marks", order[plan.Stake]},
}

func rank(k plan.Kind) int {
	if r, ok := order[k]; ok {
		return r
	}
	return order[""]
}

// Draw adds the plan's ground to the list, as far as the list's size shows it. Only the plan of the assessment is needed, and
// its bloom where Flowering is asked for.
func Draw(l *drawing.List, a *habitat.Assessment, v View, s style.Look, show Show) {
	if show.Window.IsEmpty() || show.Window == (orb.Bound{}) {
		show.Window = orb.Bound{Max: orb.Point{l.Width, l.Height}}
	}
	if show.Flowering != nil && show.InFlower == nil {
		on := *show.Flowering
		show.InFlower = func(g plan.Growing) bool { return a.InFlower(g, on) }
	}
	show.NewYear = a.Plan.NewYear()
	byRank := make([][]*plan.Feature, len(order))
	for _, f := range show.features(a.Plan) {
		if !f.Hidden && !show.Hidden[f.ID] && show.sees(f, v, s) {
			byRank[rank(f.Kind)] = append(byRank[rank(f.Kind)], f)
		}
	}
	// Bare ground and what lies on it (grid, shading). The boundary's line comes above what grows along it, which would else
	// cover half of its width.
	var bare, line []drawing.Op
	for _, f := range byRank[order[plan.Boundary]] {
		if ops := FeatureOps(f, habitat.Unknown, v, s, show); len(ops) > 0 {
			bare, line = append(bare, ops[0]), append(line, ops[1:]...)
		}
	}
	beneath := show.Beneath
	if show.Grid {
		beneath = append(GridOps(v, l.Width, l.Height, show.Units, s), beneath...)
	}
	for _, layer := range []drawing.Layer{{Name: "Ground", Ops: bare}, {Name: "Grid", Ops: beneath}} {
		if len(layer.Ops) > 0 {
			l.Add(layer)
		}
	}
	r := order[plan.Boundary] + 1
	for _, layer := range layers {
		var ops []drawing.Op
		for ; r <= layer.until; r++ {
			for _, f := range byRank[r] {
				ops = append(ops, FeatureOps(f, show.Statuses[f.ID], v, s, show)...)
			}
		}
		if len(ops) > 0 {
			l.Add(drawing.Layer{Name: layer.name, Ops: ops})
		}
		if layer.name == "Habitats" && len(line) > 0 {
			l.Add(drawing.Layer{Name: "Boundary", Ops: line})
		}
	}
	if len(show.Finding) > 1 {
		l.Add(drawing.Layer{Name: "Finding", Ops: FindingOps(show.Finding, v, s)})
	}
	if show.Labels {
		if ops := LabelOps(Labels(a.Plan, v, s, show), s); len(ops) > 0 {
			l.Add(drawing.Layer{Name: "Names", Ops: ops})
		}
	}
}

// margin is how far signs reach beyond a feature's outline, in points.
const margin = 14

// features are those to be drawn, before Hidden is taken off.
func (show Show) features(p *plan.Plan) []*plan.Feature {
	if show.Only != nil {
		return show.Only
	}
	return p.Features
}

func (show Show) window(s style.Look) orb.Bound {
	if show.Window == (orb.Bound{}) {
		return orb.Bound{Min: orb.Point{-inf, -inf}, Max: orb.Point{inf, inf}}
	}
	return show.Window.Pad(s.Pt(margin))
}

func (show Show) sees(f *plan.Feature, v View, s style.Look) bool {
	if f.Geometry == nil {
		return false
	}
	b := f.Geometry.Bound()
	seen := orb.Bound{Min: v.To(b.Min), Max: v.To(b.Min)}
	for _, c := range corners(b) {
		seen = seen.Extend(v.To(c))
	}
	return seen.Intersects(show.window(s))
}

// FeatureOps draws one feature: its ground, its signs, and for a bed the status where Show has any.
func FeatureOps(f *plan.Feature, st habitat.Status, v View, s style.Look, show Show) []drawing.Op {
	if f.Kind == plan.Trap || f.Kind == plan.Stake {
		if at, ok := markAt(f); ok {
			return markOps(f.Kind, v.To(at), s)
		}
		return nil
	}
	sh, ok := newShape(f, v, s, show.window(s))
	if !ok {
		if p, isPoint := f.Geometry.(orb.Point); isPoint {
			return markOps(plan.Stake, v.To(p), s)
		}
		return nil
	}
	t := s.Kind(f.Kind)
	if size := max(sh.bound.Max[0]-sh.bound.Min[0], sh.bound.Max[1]-sh.bound.Min[1]); size < s.Pt(2.5) {
		return []drawing.Op{drawing.Fill{Path: sh.path, Color: t.Line}} // a speck
	}
	g := sign{shape: sh, tone: t, origin: v.To(orb.Point{}), east: axis(v)}
	for _, p := range f.Line {
		g.line = append(g.line, v.To(p))
	}
	switch f.Kind {
	case plan.Boundary:
		return g.boundary()
	case plan.Bed:
		g.bed(sown(f, show))
		if show.Statuses != nil {
			g.status(st)
		}
		if show.Flowering != nil && habitat.UnderCover(f, *show.Flowering, show.NewYear) {
			g.cover()
		}
		g.edge(style.Fine)
	case plan.Hedgerow:
		g.hedge()
	case plan.PerennialStrip:
		g.strip(f, show, true)
	case plan.FlowerStrip:
		g.strip(f, show, false)
	case plan.BeetleBank:
		g.bank()
	case plan.WildMargin:
		g.wild()
	case plan.Tree:
		g.tree(f, v)
	case plan.CoverCrop:
		g.coverCrop()
	case plan.TrapCrop:
		g.trapCrop()
	case plan.Pond:
		g.pond()
	case plan.Building:
		g.building()
	case plan.Fence:
		g.fence(f, v)
	default:
		g.walkway()
	}
	if show.Flowering != nil && f.Kind != plan.PerennialStrip && f.Kind != plan.FlowerStrip {
		if share := inFlower(f, show); share > 0 {
			g.rosettes(share, 0)
		}
	}
	return g.ops
}

// axis is the direction of the ground's x axis, as seen.
func axis(v View) orb.Point {
	return unit(sub(v.To(orb.Point{v.Centre[0] + 1, v.Centre[1]}), v.Middle))
}

// inFlower is the share of a habitat's ground in flower at the time shown, at most 1.
func inFlower(f *plan.Feature, show Show) float64 {
	share := 0.0
	for _, g := range f.Plants {
		if show.InFlower != nil && show.InFlower(g) {
			share += g.Share
		}
	}
	return min(share, 1)
}

// sown is the share of a bed on which something stands at the time shown, at most 1; 1 where no time is.
func sown(f *plan.Feature, show Show) float64 {
	if show.Flowering == nil {
		return 1
	}
	share := 0.0
	for _, p := range habitat.Stands(f, *show.Flowering, show.NewYear) {
		share += p.Share
	}
	return min(share, 1)
}

// CropWords are the crops that stand in each bed in a half-month, by the bed's id, with a word where it lies under cover then: to
// stand under the beds' names. Beds in which nothing stands have none.
func CropWords(a *habitat.Assessment, on season.HalfMonth) map[string]string {
	words := map[string]string{}
	for _, f := range a.Plan.Features {
		if f.Kind != plan.Bed {
			continue
		}
		w := ""
		for _, p := range habitat.Stands(f, on, a.Plan.NewYear()) {
			name := p.Crop
			if c := a.Catalogue.Crop(p.Crop); c != nil {
				name = c.Name
			}
			if w != "" {
				w += ", "
			}
			w += strings.ToLower(name)
		}
		if habitat.UnderCover(f, on, a.Plan.NewYear()) {
			w = strings.TrimSpace(w + " (cover)")
		}
		if w != "" {
			words[f.ID] = w
		}
	}
	return words
}

// markAt is where a mark stands, in metres.
func markAt(f *plan.Feature) (orb.Point, bool) {
	var p orb.Point
	switch g := f.Geometry.(type) {
	case orb.Point:
		p = g
	default:
		if f.Centre != nil {
			p = *f.Centre
		} else if g == nil || g.Bound().IsEmpty() {
			return p, false
		} else {
			p = g.Bound().Center()
		}
	}
	return p, p[0]-p[0]+p[1]-p[1] == 0
}
