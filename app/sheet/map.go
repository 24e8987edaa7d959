package sheet

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/ground"
	"hedgereach/app/style"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

func numbersOf(p *plan.Plan) map[string]string { return ground.Numbers(p) }

func round(least float64, u plan.Units) float64 {
	m, _ := ground.Step(least, u)
	return m
}

// plotMap adds the ground to true scale in its frame with the panel, and its tiles.
func (j *job) plotMap() {
	f := j.frame
	v := j.whole()
	for _, f := range j.a.Plan.Features {
		if f.Kind == plan.Bed {
			j.small++
		}
	}
	labels := j.plotLabels(v, j.show(f, v))
	for _, label := range labels {
		if label.Feature.Kind == plan.Bed {
			j.small -= len(label.Beds())
			j.counted = j.counted || len(label.Run) > 0
		}
	}
	l := j.mapOf(f, v, labels)
	if j.tiling != nil {
		l.Add(j.index(j.tiling, f, v))
	}
	at := len(j.set.Pages)
	j.set.Pages = append(j.set.Pages, Page{Name: "Plot map", List: l})
	m := j.plotTheme()
	if f.slim {
		j.key(m, v)
	}
	if j.tiling != nil {
		j.tiles(j.tiling)
	}
	j.warned = j.fitted("Plot map", m, f, v, at+1)
	j.later = append(j.later, func() { // it says how many sheets there are
		j.panel(&j.set.Pages[at].List, m, f, v, j.scale, at+1, len(j.set.Pages))
	})
}

// plotTheme is the plot map's: all that is on it, and the cautions.
func (j *job) plotTheme() theme {
	m := theme{about: "Plot map", entries: j.entries(), note: j.unnamed(), notes: strings.TrimSpace(j.o.Notes), head: "Cautions",
		words: habitat.CautionsFor(j.a.Plan), more: "the sheet " + keyName}
	if j.chosen(Lists) {
		m.more = "the lists"
	}
	if j.reach != "" {
		m.about += " · reach of " + lowerFirst(j.reach)
	} else if j.o.On != nil {
		m.about += " · in flower " + j.o.On.Label()
	}
	return m
}

// whole puts all of the plan into the plot map's frame.
func (j *job) whole() ground.View {
	return ground.View{Centre: j.bound.Center(), Middle: j.frame.window.Center(), Scale: 1000 / float64(j.scale)}
}

// show is what a map shows besides the features.
func (j *job) show(f frame, v ground.View) ground.Show {
	show := ground.Show{Statuses: j.statuses, Flowering: j.o.On, Labels: true, Leads: true, Numbers: j.numbers, Units: j.a.Plan.Units, Window: f.window,
		Beneath: j.squares(f, v)}
	if j.o.Dimensions {
		show.Sizes = map[string]string{}
		for _, f := range j.a.Plan.Features {
			if f.Kind == plan.Bed {
				if size, ok := j.sides(f); ok {
					show.Sizes[f.ID] = size
				}
			}
		}
	}
	return show
}

// cropsFit is the least part of the named beds that must have room for their crops: where only some had, one would wonder about
// the others. Our judgement.
const cropsFit = 0.75

// plotLabels are the names on a plot map, with the crops under those of the beds where nearly all have room for them.
func (j *job) plotLabels(v ground.View, show ground.Show) []ground.Label {
	show.Crops = j.cropsOnMap()
	labels := ground.Labels(j.a.Plan, v, j.look, show)
	named, with := 0, 0
	for _, l := range labels {
		if len(show.Crops[l.Feature.ID]) > 0 && l.Inside && !l.Short {
			named++
			if len(l.Under) > 0 {
				with++
			}
		}
	}
	if with == named || float64(with) >= cropsFit*float64(named) {
		return labels
	}
	show.Crops = nil
	return ground.Labels(j.a.Plan, v, j.look, show)
}

// cropsOnMap names the crops of each bed in short: "lettuce", "snap bean".
func (j *job) cropsOnMap() map[string][]string {
	out := map[string][]string{}
	for _, f := range j.a.Plan.Features {
		for _, p := range f.Crops {
			if j.a.Catalogue == nil || f.Kind != plan.Bed {
				break
			}
			if c := j.a.Catalogue.Crop(p.Crop); c != nil {
				name, _, _ := strings.Cut(bracketed.ReplaceAllString(c.Name, ""), ",")
				if !slices.Contains(out[f.ID], name) {
					out[f.ID] = append(out[f.ID], name)
				}
			}
		}
	}
	return out
}

// bracketed is what stands in brackets in a crop's name.
var bracketed = regexp.MustCompile(` \([^)]*\)`)

// mapOf is a sheet with a map in its frame.
func (j *job) mapOf(f frame, v ground.View, labels []ground.Label) drawing.List {
	show := j.show(f, v)
	show.Labels = false
	l := j.mapWith(f, v, show)
	l.Add(drawing.Layer{Name: "Names", Ops: []drawing.Op{drawing.Clip{Path: boxPath(f.window), Ops: ground.LabelOps(labels, j.look)}}},
		drawing.Layer{Name: "Frame", Ops: j.edging(f, v)})
	return l
}

// mapWith is the ground on its sheet, without names and frame.
func (j *job) mapWith(f frame, v ground.View, show ground.Show) drawing.List {
	l := drawing.List{Width: f.paper.W, Height: f.paper.H}
	l.Add(drawing.Layer{Name: "Paper", Ops: []drawing.Op{drawing.Fill{Path: drawing.Rect(0, 0, l.Width, l.Height), Color: j.look.Paper}}})
	var on drawing.List
	on.Width, on.Height = l.Width, l.Height
	ground.Draw(&on, j.a, v, j.look, show)
	// Layers must stay outermost, so that a reader can switch them: each is clipped by itself.
	box := boxPath(f.window)
	for _, op := range on.Ops {
		if layer, ok := op.(drawing.Layer); ok {
			l.Add(drawing.Layer{Name: layer.Name, Ops: []drawing.Op{drawing.Clip{Path: box, Ops: layer.Ops}}})
		}
	}
	return l
}

func boxPath(b orb.Bound) drawing.Path { return drawing.Rect(b.Min[0], b.Min[1], b.Max[0], b.Max[1]) }

// cuts are the places in millimetres at which the squares' edges meet one axis of the map, its ends included.
func (j *job) cuts(axis int, f frame, v ground.View) []float64 {
	lo, hi := f.window.Min[axis], f.window.Max[axis]
	out := []float64{lo}
	for k := 1; ; k++ {
		p := j.grid.from
		sign := 1.0
		if axis == 1 {
			sign = -1
		}
		p[axis] += sign * float64(k) * j.grid.gap
		at := v.To(p)[axis]
		if at >= hi-1e-6 {
			break
		}
		if at > lo+1e-6 {
			out = append(out, at)
		}
	}
	return append(out, hi)
}

// squares are the lines of the squares on the ground.
func (j *job) squares(f frame, v ground.View) []drawing.Op {
	var path drawing.Path
	for axis := range 2 {
		cuts := j.cuts(axis, f, v)
		for _, at := range cuts[1 : len(cuts)-1] {
			a, b := f.window.Min, f.window.Max
			a[axis], b[axis] = at, at
			path = append(path, drawing.Contour{Points: []orb.Point{a, b}})
		}
	}
	if path == nil {
		return nil
	}
	return []drawing.Op{drawing.Stroke{Path: path, Pen: j.look.Pen(j.look.Grid, style.Hair)}}
}

// edging is the neat line, and about the map a band of light and dark that counts the squares, with their letters and figures.
func (j *job) edging(f frame, v ground.View) []drawing.Op {
	s := j.look
	const band = 1.0
	strip := strip * j.big
	var dark, ticks drawing.Path
	var ops []drawing.Op
	size := s.Pt(style.Small)
	for axis := range 2 {
		cuts := j.cuts(axis, f, v)
		for i := 1; i < len(cuts); i++ {
			lo, hi := cuts[i-1], cuts[i]
			for side := range 2 {
				at, out := f.window.Min[1-axis], -1.0
				if side == 1 {
					at, out = f.window.Max[1-axis], 1
				}
				box := func(a, b orb.Point) drawing.Path {
					if axis == 1 {
						a, b = orb.Point{a[1], a[0]}, orb.Point{b[1], b[0]}
					}
					return drawing.Rect(a[0], a[1], b[0], b[1])
				}
				if i%2 == 1 {
					dark = append(dark, box(orb.Point{lo, at}, orb.Point{hi, at + out*band})...)
				}
				if i < len(cuts)-1 {
					a, b := orb.Point{hi, at}, orb.Point{hi, at + out*strip}
					if axis == 1 {
						a, b = orb.Point{a[1], a[0]}, orb.Point{b[1], b[0]}
					}
					ticks = append(ticks, drawing.Contour{Points: []orb.Point{a, b}})
				}
				if hi-lo < 6*j.big {
					continue // a sliver of a square at the edge has no room for its letter
				}
				mid := (lo + hi) / 2
				c := orb.Point{mid, at + out*(strip+band)/2}
				if axis == 1 {
					c = orb.Point{c[1], c[0]}
				}
				ops = append(ops, drawing.Text{At: orb.Point{c[0], c[1] + size*0.36}, Words: j.mark(axis, mid, v), Size: size,
					Color: s.Soft, Align: drawing.Middle})
			}
		}
	}
	in, out := f.window, f.ring
	outer := f.border.Pad(1.1)
	return append([]drawing.Op{
		drawing.Fill{Path: dark, Color: s.Ink},
		drawing.Stroke{Path: ticks, Pen: s.Pen(s.Ink, style.Hair)},
		drawing.Stroke{Path: boxPath(in.Pad(band)), Pen: s.Pen(s.Ink, style.Hair)},
		drawing.Stroke{Path: boxPath(in), Pen: s.Pen(s.Ink, style.Thin)},
		drawing.Stroke{Path: boxPath(out), Pen: s.Pen(s.Ink, style.Thin)},
		drawing.Stroke{Path: boxPath(f.border), Pen: s.Pen(s.Ink, style.Thin)},
		drawing.Stroke{Path: boxPath(outer), Pen: s.Pen(s.Ink, style.Strong)},
	}, ops...)
}

// mark is the letter (axis 0) or figure (axis 1) of the square at a place in millimetres.
func (j *job) mark(axis int, at float64, v ground.View) string {
	u := v.Middle
	u[axis] = at
	p := v.From(u)
	if axis == 0 {
		return letters(int(math.Floor((p[0] - j.grid.from[0]) / j.grid.gap)))
	}
	return strconv.Itoa(int(math.Floor((j.grid.from[1]-p[1])/j.grid.gap)) + 1)
}
