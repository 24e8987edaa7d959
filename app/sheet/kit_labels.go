package sheet

import (
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/ground"
	"hedgereach/app/style"
	"hedgereach/habitat/plan"
)

// A tag is a label to cut out: a name in the largest letters that fit, with lines below it.
type tag struct {
	name, sub string
	lines     []string
	kind      plan.Kind // of the swatch beside it; "": none
}

// labels are the tags for beds, habitats and trap crops, and smaller ones for every crop and plant, with lines to cut along.
func (j *job) labels() {
	if j.a.Catalogue == nil {
		return
	}
	var beds, plants []tag
	seen := map[string]int{}
	for _, k := range []plan.Kind{plan.Bed, plan.TrapCrop, plan.Hedgerow, plan.PerennialStrip, plan.FlowerStrip, plan.BeetleBank, plan.WildMargin,
		plan.CoverCrop} {
		for _, f := range j.a.Plan.Features {
			if f.Kind != k {
				continue
			}
			t := tag{name: f.Title(), kind: k, sub: k.Label() + ", square " + j.at(f)}
			if n := j.numbers[f.ID]; n != "" && n != f.Title() {
				t.sub = "Number " + n + " on the map, square " + j.at(f)
			}
			for _, line := range strings.Split(j.cropWords(f), "; ") {
				if line != "" {
					t.lines = append(t.lines, capital(line))
				}
			}
			if k != plan.Bed && k != plan.TrapCrop {
				t.lines = []string{"Please leave it standing: it is home to the garden's helpers."}
				if k == plan.FlowerStrip || k == plan.CoverCrop {
					t.lines = []string{"Please leave the flowers: they feed the garden's helpers."}
				}
			}
			beds = append(beds, t)
		}
	}
	for i := range j.field().list.Rows {
		r := &j.field().list.Rows[i]
		where := joined(j.name(r.Feature))
		at, ok := seen[r.Called()]
		if !ok {
			seen[r.Called()] = len(plants)
			plants = append(plants, tag{name: capital(r.Called()), sub: r.Scientific, lines: []string{where}})
		} else if !slices.Contains(strings.Split(plants[at].lines[0], ", "), where) {
			plants[at].lines[0] += ", " + where
		}
	}
	slices.SortStableFunc(plants, func(a, b tag) int { return strings.Compare(strings.ToLower(a.name), strings.ToLower(b.name)) })
	defer j.onHand(false)()
	j.tags("Bed labels", beds, 92, 64, 64)
	j.tags("Plant labels", plants, 60, 34, 22)
}

// tags lays labels out in a grid of cells at least wide × high millimetres in the usual letter, with names of at most so many
// points.
func (j *job) tags(name string, all []tag, wide, high, points float64) {
	s := j.look
	grown := s.Unit / style.SheetPoint // for big print
	w, h := j.paper.W-2*edge, j.paper.H-2*edge-footing
	columns, rows := max(1, int(w/(wide*grown))), max(1, int(h/(high*grown)))
	cw, ch := w/float64(columns), h/float64(rows)
	per := columns * rows
	dash := s.Dashed(s.Soft, style.Thin, 10, 7)
	for from := 0; from < len(all); from += per {
		l := drawing.List{Width: j.paper.W, Height: j.paper.H}
		l.Add(drawing.Fill{Path: drawing.Rect(0, 0, l.Width, l.Height), Color: s.Paper})
		var cuts drawing.Path
		for c := range columns + 1 {
			x := edge + float64(c)*cw
			cuts = append(cuts, drawing.Line(orb.Point{x, edge}, orb.Point{x, edge + h})...)
		}
		for r := range rows + 1 {
			y := edge + float64(r)*ch
			cuts = append(cuts, drawing.Line(orb.Point{edge, y}, orb.Point{edge + w, y})...)
		}
		l.Add(drawing.Stroke{Path: cuts, Pen: dash})
		for i, t := range all[from:min(len(all), from+per)] {
			at := orb.Point{edge + float64(i%columns)*cw, edge + float64(i/columns)*ch}
			l.Add(j.tag(t, orb.Bound{Min: at, Max: orb.Point{at[0] + cw, at[1] + ch}}.Pad(-4), s.Pt(points)/grown*min(grown, 1.3))...)
		}
		j.set.Pages = append(j.set.Pages, Page{Name: name, List: l})
	}
}

// oneLine is how much of the size that a name has in two lines it must keep to stand in one, which reads better from afar. Our judgement.
const oneLine = 0.7

// tag draws one label in a box.
func (j *job) tag(t tag, b orb.Bound, largest float64) (ops []drawing.Op) {
	s := j.look
	w, h := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	sub := letter{size: s.Pt(style.Body), italic: t.kind == ""}
	swatch := 0.0
	if t.kind != "" {
		swatch = 16
		ops = append(ops, ground.Swatch(t.kind, orb.Bound{Min: orb.Point{b.Max[0] - swatch, b.Min[1]}, Max: orb.Point{b.Max[0], b.Min[1] + 9}}, s)...)
		swatch += 3
	}
	head := letter{size: min(largest, h*0.42), bold: true}
	for head.size > s.Pt(handBody) && (len(head.wrap(t.name, w-swatch)) > 2 || wordsBreak(head, t.name, w-swatch)) {
		head.size *= 0.95
	}
	if one := min(head.size, head.size*0.99*(w-swatch)/head.width(t.name)); one >= oneLine*head.size {
		head.size = one
	}
	lines := head.limit(head.wrap(t.name, w-swatch), 2, w-swatch)
	y := b.Min[1]
	for _, line := range lines {
		ops = append(ops, j.words(orb.Point{b.Min[0], y + head.size*0.8}, line, head, false))
		y += head.size * 1.08
	}
	y = max(y, b.Min[1]+min(10, swatch))
	for _, line := range sub.limit(sub.wrap(t.sub, w), 1, w) {
		ops = append(ops, j.words(orb.Point{b.Min[0], y + sub.size*0.95}, line, sub, true))
		y += sub.size * 1.35
	}
	y += 1
	body := j.hand(19) // as large as there is room for
	var rest []string
	for ; ; body.size *= 0.94 {
		rest = rest[:0]
		for _, line := range t.lines {
			rest = append(rest, body.wrap(line, w)...)
		}
		if body.size < s.Pt(handSmall) || y+float64(len(rest))*body.size*1.25 <= b.Max[1] {
			break
		}
	}
	for _, line := range body.limit(rest, int((b.Max[1]-y)/(body.size*1.25)), w) {
		ops = append(ops, j.words(orb.Point{b.Min[0], y + body.size*0.9}, line, body, false))
		y += body.size * 1.25
	}
	return ops
}

// wordsBreak tells whether a word would have to be broken to fit the width.
func wordsBreak(t letter, s string, width float64) bool {
	return slices.ContainsFunc(strings.Fields(s), func(w string) bool { return t.width(w) > width })
}
