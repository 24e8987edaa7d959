package sheet

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/ground"
	"hedgereach/app/style"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

func sheetWords(n, of int) string { return fmt.Sprintf("sheet %d of %d", n, of) }

func (j *job) plant(id string) *data.Plant {
	if j.a.Catalogue == nil {
		return nil
	}
	return j.a.Catalogue.Plant(id)
}

// lists pours beds, habitats, season, findings and cautions onto sheets after the map: on paper for the hand, since they are read
// from near by, lying across where big print needs the width.
func (j *job) lists() {
	defer j.onHand(j.paper.W > j.paper.H || j.o.Big)()
	f := newFlow(j, "Lists")
	j.summary(f)
	j.beds(f)
	j.habitats(f)
	j.flowering(f)
	j.findings(f)
	f.split(120 * j.big)
	j.moreCautions(f)
	j.plantCautions(f)
	j.sources(f)
}

// percent is a share as the findings write it, its sign kept beside it.
func percent(share float64) string {
	switch p := share * 100; {
	case p > 99.95 || p == 0:
		return fmt.Sprintf("%.0f\u00a0%%", p)
	case p < 10:
		return fmt.Sprintf("%.1f\u00a0%%", p)
	default:
		return fmt.Sprintf("%.0f\u00a0%%", math.Min(math.Round(p), 99)) // 100 % is said only of the whole
	}
}

func (j *job) summary(f *flow) {
	site := j.a.Site
	parts := []string{"Ground " + j.system.area(site.AreaM2),
		fmt.Sprintf("%d %s, %s", site.Beds, plural("bed", site.Beds), j.system.area(site.BedsM2)),
		"habitat " + j.system.area(site.HabitatM2)}
	if site.AreaM2 > 0 {
		parts[2] += " (" + percent(site.HabitatM2/site.AreaM2) + ")"
	}
	f.paragraph(strings.Join(parts, " · "), j.body(), false, 0)
	if j.reach != "" {
		f.paragraph("Standing of the beds: "+lowerFirst(j.reach)+". W within: the whole bed is in range. P partly. "+
			"B beyond: no part is.", j.body(), false, 0)
	}
	if n := strings.TrimSpace(j.o.Notes); n != "" {
		f.paragraph("Notes: "+n, j.body(), false, 0)
	}
}

// at is the square in which the middle of a feature's ground lies.
func (j *job) at(f *plan.Feature) string {
	if f == nil || f.Geometry == nil {
		return ""
	}
	at, ok := j.squareOf[f]
	if !ok {
		at = j.grid.square(middle(f.Geometry))
		if j.squareOf == nil {
			j.squareOf = map[*plan.Feature]string{}
		}
		j.squareOf[f] = at
	}
	return at
}

// middle is a place well inside the largest part of a feature's ground.
func middle(g orb.Geometry) orb.Point {
	var best orb.Polygon
	big := 0.0
	for _, p := range geometry.Polygons(g) {
		if a := geometry.Area(p); a > big {
			best, big = p, a
		}
	}
	if best == nil {
		return g.Bound().Center()
	}
	at, _ := geometry.LabelPoint(best)
	return at
}

func (j *job) beds(f *flow) {
	if len(j.a.Beds) == 0 {
		return
	}
	f.heading("Beds", 14)
	shown := j.statuses != nil
	ring := min(j.big, j.paper.W/190) // small paper has no room for a large one
	figures := 20.0
	if j.a.Plan.Units == plan.US { // feet and inches
		figures = 25
	}
	columns := []column{{"Map", 9, false}, {"Bed", 27, false}, {"Square", 12, false}}
	if shown {
		columns = append(columns, column{"Standing", 26, false})
	}
	columns = append(columns, column{"Nearest", figures, true}, column{"Farthest", figures, true})
	if shown {
		columns = append(columns, column{"In range", 19, true})
	}
	columns = append(columns, column{"Nearest refuge", 28, false}, column{"Length × width", 36, true}, column{"Area", 21, true},
		column{"Crops", 55, false})
	var rows [][]cell
	for _, b := range j.a.Beds {
		st := j.statuses[b.Feature.ID]
		link, within, known := j.bedReach(b)
		row := []cell{{words: j.numbers[b.Feature.ID], bold: true}, {words: b.Feature.Title()}, {words: j.at(b.Feature)}}
		if shown {
			row = append(row, cell{words: st.String(), wide: 5.4 * ring, icon: func(box orb.Bound) []drawing.Op {
				return ground.StatusRing(orb.Point{box.Min[0] + 1.9*ring, box.Center()[1] + 0.1}, 1.55*ring, st.Letter(), j.look.Status(st), j.look)
			}})
		}
		near, far, to := "none", "none", ""
		if link != nil {
			near, far = j.system.text(link.NearestM), j.system.text(link.FarthestM)
			if link.Nearest != nil {
				to = link.Nearest.Title()
				if sq := j.at(link.Nearest); sq != "" {
					to += ", " + sq
				}
			}
		}
		row = append(row, cell{words: near}, cell{words: far})
		if shown {
			share := "–"
			if known {
				share = percent(within)
			}
			row = append(row, cell{words: share})
		}
		sides, _ := j.sides(b.Feature)
		rows = append(rows, append(row, cell{words: to}, cell{words: sides}, cell{words: j.system.area(b.AreaM2)},
			cell{words: j.cropWords(b.Feature)}))
	}
	f.table(columns, rows)
}

// sides are a bed's length and width where it is a rectangle to within a hundredth of its area; not where it is none, since two
// figures would then mislead whoever sets it out.
func (j *job) sides(f *plan.Feature) (words string, ok bool) {
	area := geometry.Area(f.Geometry)
	ring := geometry.OrientedBox(f.Geometry)
	if len(ring) == 0 || len(ring[0]) < 4 || area < 0.99*geometry.Area(ring) {
		return "–", false
	}
	a, b := planar(ring[0][0], ring[0][1]), planar(ring[0][1], ring[0][2])
	return j.system.text(max(a, b)) + " × " + j.system.text(min(a, b)), true
}

func planar(a, b orb.Point) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// cropWords lists what a bed grows and when, and its covers.
func (j *job) cropWords(f *plan.Feature) string {
	var out []string
	for _, p := range f.Crops {
		name := p.Crop
		if j.a.Catalogue != nil {
			if c := j.a.Catalogue.Crop(p.Crop); c != nil {
				name = c.Name
			}
		}
		if p.Share > 0 && p.Share < 1 {
			name += " " + percent(p.Share)
		}
		if p.Dates != (season.Window{}) {
			name += ", " + span(p.Dates)
		}
		out = append(out, name)
	}
	for _, c := range f.Covers() {
		cover := "row cover"
		if c.Material != "" {
			cover = c.Material
		}
		if c.Dates != (season.Window{}) {
			cover += ", " + span(c.Dates)
		}
		out = append(out, cover)
	}
	return strings.Join(out, "; ")
}

func (j *job) habitats(f *flow) {
	var rows [][]cell
	for _, k := range plan.Kinds {
		for _, h := range j.a.Plan.Features {
			if h.Kind != k || !h.IsHabitat() || h.Geometry == nil {
				continue
			}
			refuge := "no"
			if h.IsRefuge() {
				refuge = "yes"
			}
			rows = append(rows, []cell{
				{words: h.Title(), wide: 11, icon: func(b orb.Bound) []drawing.Op { return ground.Swatch(k, b, j.look) }},
				{words: k.Label()}, {words: j.at(h)}, {words: refuge}, {words: j.system.area(geometry.Area(h.Geometry))},
				{words: j.plantWords(h)},
			})
		}
	}
	if len(rows) == 0 {
		return
	}
	f.heading("Habitats", 14)
	f.table([]column{{"Habitat", 42, false}, {"Kind", 34, false}, {"Square", 12, false}, {"Refuge", 12, false}, {"Area", 17, true},
		{"Plants, share and bloom", 80, false}}, rows)
	if j.a.BloomEstimated {
		f.paragraph(habitat.BloomIsMoved,
			j.caption(), true, 0)
	}
}

func (j *job) plantWords(h *plan.Feature) string {
	var out []string
	for _, g := range h.Plants {
		name := g.Plant
		if p := j.plant(g.Plant); p != nil {
			name = p.Name
		}
		if g.Share > 0 {
			name += " " + percent(g.Share)
		}
		if bloom := j.a.Bloom(g); bloom.Given() {
			name += " (" + bloom.Label() + ")"
		}
		out = append(out, name)
	}
	return strings.Join(out, "; ")
}

// flowering is the year of the site as bars: ground in flower in each half-month, with the number of species.
func (j *job) flowering(f *flow) {
	top := 0.0
	for _, c := range j.a.Site.Cover {
		top = max(top, c.Fraction)
	}
	if top == 0 {
		return
	}
	s := j.look
	const high = 24.0
	f.heading("Ground in flower through the year", high+14)
	f.room(high + 14)
	w := f.wide
	each := w / season.HalfMonths
	base := f.y + high + 3
	bars, gaps := drawing.Path{}, drawing.Path{}
	var ops []drawing.Op
	t := j.caption()
	label := func(x, y float64, words string, c color.NRGBA) drawing.Op {
		return drawing.Text{At: orb.Point{x, y}, Words: words, Size: t.size, Color: c, Align: drawing.Middle}
	}
	for i, c := range j.a.Site.Cover {
		h := season.HalfMonth(i)
		x := f.x + float64(i)*each
		if tall := c.Fraction / top * (high - 4); tall > 0 {
			bars = append(bars, drawing.Rect(x+each*0.12, base-tall, x+each*0.88, base)...)
			ops = append(ops, label(x+each/2, base-tall-0.8, fmt.Sprint(c.Species), s.Ink))
		}
		if slices.Contains(j.a.Site.BloomGaps, h) {
			gaps = append(gaps, drawing.Rect(x+0.2, base+0.6, x+each-0.2, base+2)...)
		}
		if i%2 == 0 {
			ops = append(ops, label(x+each, base+5.2, h.First().Label()[2:], s.Soft))
		}
	}
	tone := s.Kind(plan.PerennialStrip)
	f.add(drawing.Fill{Path: bars, Color: tone.Fill}, drawing.Stroke{Path: bars, Pen: s.Pen(tone.Line, style.Hair)},
		drawing.Hatch{Path: bars, Pattern: drawing.Pattern{Gap: 1.6, Dots: true, Pen: s.Pen(tone.Sign, 1.6),
			Origin: orb.Point{f.x, base}}},
		drawing.Fill{Path: gaps, Color: s.Caution},
		drawing.Stroke{Path: drawing.Line(orb.Point{f.x, base}, orb.Point{f.x + w, base}), Pen: s.Pen(s.Ink, style.Thin)})
	f.add(ops...)
	f.y = base + 6.5
	words := fmt.Sprintf("Tallest bar: %s of the ground. Figures: species in flower.", percent(top))
	if len(j.a.Site.BloomGaps) > 0 {
		words += " Marked below the line: fewer than three species between last and first frost."
	}
	f.paragraph(words, t, true, 0)
}

var severities = []habitat.Severity{habitat.Warning, habitat.Advice, habitat.Note}

func (j *job) findings(f *flow) {
	open, stand := j.lookAt()
	if len(open) > 0 {
		f.split(120 * j.big)
		f.heading("What to look at", 14)
	}
	features := map[string]*plan.Feature{}
	for _, x := range j.a.Plan.Features {
		features[x.ID] = x
	}
	head, body, small := j.bold(), j.body(), letter{size: j.look.Pt(style.Small)}
	list := func(x *habitat.Finding, last string) {
		var where []string
		for _, id := range x.Features {
			if ft := features[id]; ft != nil {
				where = append(where, strings.TrimSpace(ft.Title()+string(noBreak)+j.at(ft)))
			}
		}
		if n := len(where); n > 6 {
			where = append(where[:6], fmt.Sprintf("%d more", n-6))
		}
		parts := []part{{capital(string(x.Severity)) + ": " + x.Title, head, false, 0},
			{x.Message + string(noBreak) + j.notes.mark(x.Source), body, false, 4}}
		if last != "" {
			parts = append(parts, part{last, body, false, 4})
		}
		if len(where) > 0 {
			parts = append(parts, part{"On the map: " + strings.Join(where, ", "), small, true, 4})
		}
		f.together(parts)
		f.y += 1.6
	}
	for _, sev := range severities {
		for i := range open {
			if x := &open[i]; x.Severity == sev {
				mend := ""
				if x.Mend != "" {
					mend = "Mend: " + x.Mend
				}
				list(x, mend)
			}
		}
	}
	if len(stand) == 0 {
		return
	}
	f.split(120 * j.big)
	f.heading("Let stand", 14)
	for i := range stand {
		why := "Let stand"
		if d := stand[i].Accepted.Date; !d.IsZero() {
			why += " on " + d.Format("2 January 2006")
		}
		if r := stand[i].Accepted.Reason; r != "" {
			why += ": " + r
		}
		list(&stand[i], why)
	}
}

// sources are the notes to the findings.
func (j *job) sources(f *flow) {
	if len(j.notes.sources) > 0 {
		f.heading("Where this comes from", 8)
		for i, source := range j.notes.sources {
			f.paragraph(fmt.Sprintf("[%d] %s", i+1, source), letter{size: j.look.Pt(style.Small)}, true, 0)
		}
	}
}

// footnotes gathers sources in the order in which they are first named.
type footnotes struct{ sources []string }

// mark is the number of a source's note, in brackets; "" for no source.
func (n *footnotes) mark(source string) string {
	if source = strings.TrimSuffix(source, ", no source"); source == "" {
		return ""
	}
	i := slices.Index(n.sources, source)
	if i < 0 {
		i = len(n.sources)
		n.sources = append(n.sources, source)
	}
	return fmt.Sprintf("[%d]", i+1)
}
