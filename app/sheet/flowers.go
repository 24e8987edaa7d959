package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/ground"
	"hedgereach/app/style"
	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// flowerMap shows where flowers are: small maps through the season, and a large one of the half-month asked about.
func (j *job) flowerMap() {
	season := j.flowering24()
	if len(season) == 0 {
		return
	}
	j.flowerSeason(season)
	if j.o.On != nil {
		j.flowersOn(*j.o.On)
	}
}

// inFlower is the share of a habitat's ground in flower, 0–1; where plants flower there whose shares nobody gave, a trace.
func (j *job) inFlower(f *plan.Feature, h season.HalfMonth) float64 {
	share, any := 0.0, false
	for _, g := range f.Plants {
		if j.a.InFlower(g, h) {
			share += g.Share
			any = true
		}
	}
	if any && share <= 0 {
		return 0.01
	}
	return min(share, 1)
}

// flowering24 are the half-months from the first to the last in which something flowers or that lie between the frosts.
func (j *job) flowering24() []season.HalfMonth {
	first, last := season.HalfMonths, -1
	for h := range season.HalfMonths {
		here := slices.Contains(j.a.Site.Season, season.HalfMonth(h))
		for _, f := range j.a.Plan.Features {
			here = here || f.Geometry != nil && len(f.Plants) > 0 && j.inFlower(f, season.HalfMonth(h)) > 0
		}
		if here {
			first, last = min(first, h), h
		}
	}
	var out []season.HalfMonth
	flowers := slices.ContainsFunc(j.a.Plan.Features, func(f *plan.Feature) bool { return len(f.Plants) > 0 && f.Geometry != nil })
	for h := first; h <= last && flowers; h++ {
		out = append(out, season.HalfMonth(h))
	}
	return out
}

// flowerMark fills a path as ground of a class in flower.
func (j *job) flowerMark(path drawing.Path, class int, origin orb.Point) (ops []drawing.Op) {
	m := j.look.Bloom(class)
	if m.Solid.A > 0 {
		ops = append(ops, drawing.Fill{Path: path, Color: m.Solid})
	} else {
		ops = append(ops, drawing.Fill{Path: path, Color: j.look.Ground})
	}
	if m.Gap > 0 {
		ops = append(ops, drawing.Hatch{Path: path, Pattern: j.look.Ruling(m, origin)})
	}
	return ops
}

var bloomWords = [style.BloomClasses]string{"Not in flower", "Up to a quarter in flower", "Up to half", "Up to three quarters", "Over three quarters"}

func (j *job) flowerEntries(classes [style.BloomClasses]bool) (out []entry) {
	for class, there := range classes {
		if there {
			out = append(out, entry{bloomWords[class], func(b orb.Bound) []drawing.Op {
				return append(j.flowerMark(boxPath(b), class, b.Min), drawing.Stroke{Path: boxPath(b), Pen: j.look.Pen(j.look.Ink, style.Thin)})
			}})
		}
	}
	return out
}

// flowersOn is a large map of one half-month.
func (j *job) flowersOn(h season.HalfMonth) {
	f, v := j.frame, j.whole()
	show := j.show(f, v)
	show.Flowering, show.Statuses, show.Labels, show.Sizes = nil, nil, false, nil
	show.Hidden = map[string]bool{}
	named := *j.a.Plan
	named.Features = slices.Clone(named.Features)
	var ops []drawing.Op
	var classes [style.BloomClasses]bool
	var what []string
	kinds := map[plan.Kind]bool{}
	for i, ft := range named.Features {
		if !ft.IsHabitat() && len(ft.Plants) == 0 || ft.Kind == plan.Pond || ft.Geometry == nil {
			kinds[ft.Kind] = true
			continue
		}
		show.Hidden[ft.ID] = true
		share := j.inFlower(ft, h)
		class := style.BloomClass(share)
		classes[class] = true
		for _, path := range j.servingPaths([]*plan.Feature{ft}, v) {
			ops = append(ops, j.flowerMark(path, class, v.To(orb.Point{}))...)
			ops = append(ops, drawing.Stroke{Path: path, Pen: j.look.Pen(j.look.Ink, style.Fine)})
		}
		copy := *ft
		copy.Name = ft.Title()
		if class > 0 {
			copy.Name += " " + percent(share)
			var names []string
			for _, g := range ft.Plants {
				if j.a.InFlower(g, h) {
					name := g.Plant
					if p := j.plant(g.Plant); p != nil {
						name = p.Name
					}
					names = append(names, name)
				}
			}
			what = append(what, ft.Title()+": "+strings.Join(names, ", ")+".")
		}
		named.Features[i] = &copy
	}
	l := j.mapWith(f, v, show)
	box := boxPath(f.window)
	show.Hidden = nil
	l.Add(drawing.Layer{Name: "Flowers", Ops: []drawing.Op{drawing.Clip{Path: box, Ops: ops}}},
		drawing.Layer{Name: "Names", Ops: ground.LabelOps(ground.Labels(&named, v, j.look, show), j.look)},
		drawing.Layer{Name: "Frame", Ops: j.edging(f, v)})
	m := theme{about: "Flower map · " + h.Label(), entries: j.flowerEntries(classes), head: "In flower", words: what}
	for _, k := range plan.Kinds {
		if kinds[k] {
			m.entries = append(m.entries, entry{k.Label(), func(b orb.Bound) []drawing.Op { return ground.Swatch(k, b, j.look) }})
		}
	}
	if len(what) == 0 {
		m.words = []string{"Nothing on the plan flowers in this half-month."}
	}
	m.note = j.coverWords(h)
	j.addMap("Flower map", l, m, f, v)
}

func (j *job) coverWords(h season.HalfMonth) string {
	c := j.a.Site.Cover[h]
	return fmt.Sprintf("%s of the ground in flower, %d species.", capital(percent(c.Fraction)), c.Species)
}

// Measures of the season's page, in millimetres in usual print.
const (
	cellHead  = 5.6 // over a small map, for its half-month
	cellSpace = 2.6 // between small maps
)

// flowerSeason is a page of small maps, one for each half-month, with a key.
func (j *job) flowerSeason(halves []season.HalfMonth) {
	fl := newFlow(j, "Flower map")
	s := j.look
	var habitats []*plan.Feature
	letter24 := map[*plan.Feature]string{}
	for _, f := range j.a.Plan.Features {
		if f.Geometry != nil && len(f.Plants) > 0 {
			letter24[f] = letters(len(habitats))
			habitats = append(habitats, f)
		}
	}
	small, caption, bold := letter{size: s.Pt(style.Small)}, j.caption(), letter{size: s.Pt(style.Small), bold: true}

	// The key below: habitats by letter, in columns, as many as a third of the sheet holds.
	w := j.paper.W - 2*edge
	columns := max(1, int((w+gutter)/(72*j.big+gutter)))
	wide := (w - float64(columns-1)*gutter) / float64(columns)
	line := small.size * lead
	rows := (len(habitats) + columns - 1) / columns
	if most := max(1, int((fl.bottom-fl.head)/3/line)); rows > most {
		rows = most
	}
	item := func(e entry) float64 { return (9+1.5+5)*j.big + small.width(e.words) }
	line1, rows1 := 0.0, 1 // of the legend, should every class be there
	for _, e := range j.flowerEntries([style.BloomClasses]bool{true, true, true, true, true}) {
		if line1 += item(e); line1 > w {
			line1, rows1 = item(e), rows1+1
		}
	}
	legendHigh := 7 * j.big * float64(rows1)
	keyTop := fl.bottom - float64(rows)*line - caption.size*1.8
	gridBottom := keyTop - legendHigh - 2*j.big

	// The grid that gives the largest maps.
	across, high := j.bound.Max[0]-j.bound.Min[0], j.bound.Max[1]-j.bound.Min[1]
	head, space := cellHead*j.big, cellSpace*j.big
	best, scale := 1, 0.0
	var cw, ch float64
	for n := 1; n <= len(halves); n++ {
		down := (len(halves) + n - 1) / n
		x, y := (w-float64(n-1)*space)/float64(n), (gridBottom-fl.y-float64(down-1)*space)/float64(down)
		if k := min((x-3)/max(across, 1e-9), (y-head-3)/max(high, 1e-9)); k > scale {
			best, scale, cw, ch = n, k, x, y
		}
	}
	steps := Scales(j.a.Plan.Units)
	if i := slices.IndexFunc(steps, func(d int) bool { return 1000/float64(d) <= scale*(1+1e-9) }); i >= 0 {
		scale = 1000 / float64(steps[i])
	}
	var classes [style.BloomClasses]bool
	for i, h := range halves {
		b := orb.Bound{Min: orb.Point{edge + float64(i%best)*(cw+space), fl.y + float64(i/best)*(ch+space)}}
		b.Max = orb.Point{b.Min[0] + cw, b.Min[1] + ch}
		fl.add(drawing.Layer{Name: "Flowers", Ops: j.flowerCell(h, b, head, scale, letter24, &classes)})
	}
	// Legend in a row, then the key.
	x, y := edge, gridBottom+2*j.big
	for _, e := range j.flowerEntries(classes) {
		if x+item(e)-5*j.big > edge+w {
			x, y = edge, y+7*j.big
		}
		box := orb.Bound{Min: orb.Point{x, y}, Max: orb.Point{x + 9*j.big, y + 4.4*j.big}}
		fl.add(e.draw(box)...)
		fl.add(j.words(orb.Point{box.Max[0] + 1.5*j.big, box.Center()[1] + small.size*0.36}, e.words, small, false))
		x = box.Max[0] + 1.5*j.big + small.width(e.words) + 5*j.big
	}
	gap := "Gap: fewer than three species in flower between last and first frost"
	if len(j.a.Site.BloomGaps) > 0 && x+j.gapSign(orb.Point{}, nil)+small.width(gap) < edge+w {
		wide := j.gapSign(orb.Point{x, y + 3.4*j.big}, fl.add)
		fl.add(j.words(orb.Point{x + wide + 1.5*j.big, y + 2.2*j.big + small.size*0.36}, gap, small, false))
	}
	for i, f := range habitats {
		if i >= rows*columns {
			break
		}
		at := orb.Point{edge + float64(i/rows)*(wide+gutter), keyTop + float64(i%rows)*line + small.size}
		fl.add(j.words(at, letter24[f], bold, false))
		in := 6 * j.big
		words := f.Title() + ", " + j.at(f)
		if n := rows * columns; i == n-1 && n < len(habitats) {
			words += fmt.Sprintf(", and %d more: see the lists", len(habitats)-n)
		}
		fl.add(j.words(orb.Point{at[0] + in, at[1]}, small.cut(words, wide-in), small, false))
	}
	right := fmt.Sprintf("Small maps at %s. Shares are of each habitat’s own ground.", ScaleName(int(math.Round(1000/scale)), j.a.Plan.Units))
	fl.add(drawing.Text{At: orb.Point{edge + w, fl.bottom}, Words: caption.cut(right, w), Size: caption.size, Color: s.Soft, Align: drawing.End})
	fl.y = fl.bottom
}

// gapSign writes the sign of a gap with its left end at at and answers how wide it is; add may be nil.
func (j *job) gapSign(at orb.Point, add func(...drawing.Op)) float64 {
	t := letter{size: j.look.Pt(style.Small), bold: true}
	wide := t.width("gap") + 2.4*j.big
	if add != nil {
		box := drawing.Rect(at[0], at[1]-t.size, at[0]+wide, at[1]+t.size*0.3)
		word := j.words(orb.Point{at[0] + 1.2*j.big, at[1]}, "gap", t, false)
		word.Color = j.look.Caution
		add(drawing.Stroke{Path: box, Pen: j.look.Pen(j.look.Caution, style.Fine)}, word)
	}
	return wide
}

// flowerCell is one small map.
func (j *job) flowerCell(h season.HalfMonth, b orb.Bound, head, scale float64, letters map[*plan.Feature]string,
	classes *[style.BloomClasses]bool) (ops []drawing.Op) {
	s := j.look
	bold, small := letter{size: s.Pt(style.Small), bold: true}, j.caption()
	base := b.Min[1] + head*0.72
	add := func(o ...drawing.Op) { ops = append(ops, o...) }
	add(j.words(orb.Point{b.Min[0] + 1.4*j.big, base}, h.Label(), bold, false))
	x := b.Max[0] - 1.4*j.big
	if slices.Contains(j.a.Site.BloomGaps, h) {
		x -= j.gapSign(orb.Point{}, nil)
		j.gapSign(orb.Point{x, base}, add)
		x -= 1.4 * j.big
	}
	c := j.a.Site.Cover[h]
	words := fmt.Sprintf("%d species, %s", c.Species, percent(c.Fraction))
	room := x - b.Min[0] - 4*j.big - bold.width(h.Label())
	if small.width(words) > room {
		words = percent(c.Fraction)
	}
	if small.width(words) <= room {
		add(drawing.Text{At: orb.Point{x, base}, Words: words, Size: small.size, Color: s.Soft, Align: drawing.End})
	}
	window := orb.Bound{Min: orb.Point{b.Min[0], b.Min[1] + head}, Max: b.Max}
	v := ground.View{Centre: j.bound.Center(), Middle: window.Center(), Scale: scale}
	paths := func(f *plan.Feature) (out drawing.Path) {
		for _, p := range j.servingPaths([]*plan.Feature{f}, v) {
			out = append(out, p...)
		}
		return out
	}
	var inside []drawing.Op
	for _, f := range j.a.Plan.Features {
		if f.Geometry == nil || f.Hidden {
			continue
		}
		switch f.Kind {
		case plan.Boundary:
			inside = append(inside, drawing.Fill{Path: paths(f), Color: s.Ground}, drawing.Stroke{Path: paths(f), Pen: s.Pen(s.Soft, style.Hair)})
		case plan.Bed, plan.Pond, plan.Building:
			inside = append(inside, drawing.Stroke{Path: paths(f), Pen: s.Pen(s.Grid, style.Thin)})
		}
	}
	var taken [][4]orb.Point
	var names []drawing.Op
	size := s.Pt(style.Tiny)
	for _, f := range j.a.Plan.Features {
		if letters[f] == "" {
			continue
		}
		class := style.BloomClass(j.inFlower(f, h))
		classes[class] = true
		path := paths(f)
		inside = append(inside, j.flowerMark(path, class, v.Middle)...)
		inside = append(inside, drawing.Stroke{Path: path, Pen: s.Pen(s.Ink, style.Thin)})
		if class == 0 {
			continue
		}
		w, high := bold.width(letters[f])*size/bold.size+0.6, size*0.9
		m := v.To(middle(f.Geometry))
		r := geometry.Polygons(f.Geometry)[0].Bound()
		dx, dy := (r.Max[0]-r.Min[0])*scale/2+w/2+0.4, (r.Max[1]-r.Min[1])*scale/2+high/2+0.4
		c := v.To(f.Geometry.Bound().Center())
		for _, at := range []orb.Point{m, {c[0] + dx, c[1]}, {c[0] - dx, c[1]}, {c[0], c[1] - dy}, {c[0], c[1] + dy}} {
			box := orb.Bound{Min: orb.Point{at[0] - w/2, at[1] - high/2}, Max: orb.Point{at[0] + w/2, at[1] + high/2}}
			corners := [4]orb.Point{box.Min, {box.Max[0], box.Min[1]}, box.Max, {box.Min[0], box.Max[1]}}
			if window.Contains(box.Min) && window.Contains(box.Max) && !overlaps(corners, taken) {
				taken = append(taken, corners)
				names = append(names, drawing.Text{At: orb.Point{at[0], at[1] + 0.36*size}, Words: letters[f], Size: size, Bold: true, Color: s.Ink,
					Align: drawing.Middle, Halo: s.Halo, HaloWidth: s.Pt(2)})
				break
			}
		}
	}
	add(drawing.Clip{Path: boxPath(window), Ops: append(inside, names...)})
	add(drawing.Stroke{Path: append(boxPath(b), drawing.Line(window.Min, orb.Point{window.Max[0], window.Min[1]})...), Pen: s.Pen(s.Ink, style.Hair)})
	return ops
}
