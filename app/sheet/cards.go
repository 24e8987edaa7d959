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
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/tasks"
)

// workCards are cards to hand out, one for each bed, habitat and trap that the plan has work for, two to a page: a sketch of
// where it lies, what is done, when, how many, what to beware of, and room for who does it.
func (j *job) workCards() {
	if j.a.Catalogue == nil {
		return
	}
	byFeature := map[*plan.Feature][]*tasks.Task{}
	list := j.field().tasks
	for i := range list {
		byFeature[list[i].Feature] = append(byFeature[list[i].Feature], &list[i])
	}
	defer j.onHand(false)()
	c := &cards{j: j}
	for _, k := range plan.Kinds {
		for _, f := range j.a.Plan.Features {
			if f.Kind == k && len(byFeature[f]) > 0 {
				c.feature(f, byFeature[f])
			}
		}
	}
	c.cut()
}

// cards lays cards onto pages, from the top.
type cards struct {
	j    *job
	used int // of the page's two places
	near *geometry.Boxes
}

const (
	cardGap = 8.0 // between the two cards, with the line to cut along
	cardPad = 4.5
)

// place is where the next card goes, on a fresh page if need be.
func (c *cards) place() orb.Bound {
	j := c.j
	if c.used == 0 || c.used == 2 {
		l := drawing.List{Width: j.paper.W, Height: j.paper.H}
		l.Add(drawing.Fill{Path: drawing.Rect(0, 0, l.Width, l.Height), Color: j.look.Paper})
		j.set.Pages = append(j.set.Pages, Page{Name: "Work cards", List: l})
		c.used = 0
	}
	high := (j.paper.H - 2*edge - footing - cardGap) / 2
	y := edge + float64(c.used)*(high+cardGap)
	if c.used++; c.used == 2 {
		c.cut()
	}
	return orb.Bound{Min: orb.Point{edge, y}, Max: orb.Point{j.paper.W - edge, y + high}}
}

func (c *cards) list() *drawing.List { return &c.j.set.Pages[len(c.j.set.Pages)-1].List }

// cut draws the line to cut along between the cards of a page.
func (c *cards) cut() {
	j := c.j
	if c.used != 2 {
		return
	}
	high := (j.paper.H - 2*edge - footing - cardGap) / 2
	y := edge + high + cardGap/2
	c.list().Add(drawing.Stroke{Path: drawing.Line(orb.Point{edge, y}, orb.Point{j.paper.W - edge, y}),
		Pen: j.look.Dashed(j.look.Soft, style.Thin, 12, 8)})
	c.used = 2
}

// A cardLine is one piece of work on a card.
type cardLine struct {
	when, what string
	how        []string
	plain      bool // words alone, without a box to tick
	caution    bool
}

// lines are the work of a feature in words. Walks for pests are gathered into one.
func (c *cards) lines(list []*tasks.Task) (out []cardLine) {
	j := c.j
	var pests []string
	times := map[string][]string{} // of each, in the order of the year
	first := season.Day(0)
	at := -1
	undated, said := false, ""
	robbed, robs, every := season.Day(0), 0, ""
	for _, t := range list {
		if t.Kind == tasks.Scout {
			name := t.Pest.Name
			if times[name] == nil {
				pests = append(pests, name)
			}
			if when := joined(span(t.When)); !slices.Contains(times[name], when) {
				times[name] = append(times[name], when)
			}
			if first == 0 {
				first, at = t.When.From, len(out)
				out = append(out, cardLine{})
			}
			continue
		}
		if t.When.From == 0 && !undated {
			undated = true
			words := "No date in the plan:"
			if strings.HasPrefix(t.How, "Only what") {
				words = "No date in the plan. Only what does not stand there yet:"
			}
			out = append(out, cardLine{what: words, plain: true})
		}
		x := cardLine{when: j.when(t), what: capital(t.What)}
		if t.Kind == tasks.PickOff && !t.Weekly { // every few days, all in one line
			if n := slices.IndexFunc(out, func(y cardLine) bool { return y.what == x.what }); n >= 0 {
				if robs++; robs == 2 {
					every = fmt.Sprintf("Every %d days, %s", robbed.DaysTo(t.When.From), robbed.Label())
				}
				out[n].when = every + " – " + t.When.From.Label()
				continue
			}
			robbed, robs = t.When.From, 1
		}
		if t.Row != nil && (t.Kind == tasks.Sow || t.Kind == tasks.Plant) {
			x.how = append(x.how, capital(j.howMany(t.Row))+".")
		}
		if t.How != "" && t.How != said && t.When.From != 0 {
			x.how = append(x.how, t.How)
			said = t.How
		}
		out = append(out, x)
	}
	if at >= 0 {
		walks := make([]string, len(pests))
		for i, name := range pests {
			walks[i] = joined(name) + " " + strings.Join(times[name], ", ")
		}
		out[at] = cardLine{when: "Weekly", what: "walk and look for pests", how: []string{"These may come: " + strings.Join(walks, "; ") + ". Write them on the scouting sheet."}}
	}
	return out
}

// when is a task's time in words.
func (j *job) when(t *tasks.Task) string {
	switch {
	case t.When.From == 0:
		return ""
	case t.Weekly && t.When.From != t.When.To:
		return "Weekly, " + span(t.When)
	}
	return span(t.When)
}

// dangers are those of a feature's work in words: the general ones, each once, and what the catalogue says against its plants.
func (c *cards) dangers(f *plan.Feature, list []*tasks.Task) (words []string) {
	seen := map[habitat.Danger]bool{}
	for _, t := range list {
		for _, d := range t.Dangers {
			seen[d] = true
		}
	}
	if f.Kind == plan.Pond {
		seen[habitat.Water] = true
	}
	var own []string
	for _, g := range f.Plants {
		if p := c.j.plant(g.Plant); p != nil && len(p.Dangers) > 0 {
			own = append(own, capital(p.Name)+": "+strings.TrimSuffix(p.Caution, ".")+".")
		}
	}
	if len(own) > 0 {
		words = append(words, own...)
		delete(seen, habitat.BadPlants) // said better
	}
	for _, w := range habitat.Cautions {
		if seen[w.Danger] {
			words = append(words, w.Words)
		}
	}
	return words
}

// feature makes the cards of one feature: a second one where its work does not fit the first.
func (c *cards) feature(f *plan.Feature, list []*tasks.Task) {
	lines := c.lines(list)
	var care []cardLine
	for _, w := range c.dangers(f, list) {
		care = append(care, cardLine{what: w, plain: true, caution: true})
	}
	if n := strings.TrimSpace(f.Note); n != "" {
		lines = append([]cardLine{{what: n, plain: true}}, lines...)
	}
	lines = c.card(f, lines, care, 1)
	for part := 2; len(lines) > 0; part++ {
		lines = c.card(f, lines, nil, part)
	}
}

// card draws one card and answers what did not fit on it. What to beware of stands below the sketch where there is room, else
// after the work.
func (c *cards) card(f *plan.Feature, lines, care []cardLine, part int) (rest []cardLine) {
	j, s := c.j, c.j.look
	b := c.place()
	l := c.list()
	l.Add(drawing.Stroke{Path: boxPath(b), Pen: s.Pen(s.Ink, style.Medium)})
	in := b.Pad(-cardPad)
	name, small := j.handBold(handName), j.hand(handSmall)
	title := j.name(f)
	if part > 1 {
		title += fmt.Sprintf(", card %d", part)
	}
	where := f.Kind.Label()
	if sq := j.at(f); sq != "" {
		where += " · square " + sq
	}
	y := in.Min[1]
	room := in.Max[0] - in.Min[0]
	garden := small.cut(j.set.Title, room*0.4)
	place := small.cut(where, room*0.4)
	right := max(small.width(garden), small.width(place)) + 4
	for name.size > s.Pt(handHead) && name.width(title) > room-right {
		name.size *= 0.94
	}
	l.Add(j.words(orb.Point{in.Min[0], y + s.Pt(handName)*0.8}, name.cut(title, room-right), name, false))
	for i, w := range []string{garden, place} {
		l.Add(drawing.Text{At: orb.Point{in.Max[0], y + small.size*(0.9+1.25*float64(i))}, Words: w, Size: small.size, Color: s.Soft, Align: drawing.End})
	}
	y += max(s.Pt(handName)*1.05, small.size*2.6)
	l.Add(drawing.Stroke{Path: drawing.Line(orb.Point{in.Min[0], y}, orb.Point{in.Max[0], y}), Pen: s.Pen(s.Ink, style.Fine)})
	y += 2.5

	// who, at the foot, with room to write
	foot := in.Max[1] - small.size*0.3
	j.blanks(l, in.Min[0], in.Max[0], foot, small, "Who", "Done on", "Notes")
	bottom := foot - small.size - 6

	x, w := in.Min[0], room
	if part == 1 {
		under := small.size*1.7 + s.Pt(62) // sizes, scale bar and north
		side := min(room*0.36, bottom-y-under)
		v := c.sketch(l, f, orb.Bound{Min: orb.Point{in.Min[0], y}, Max: orb.Point{in.Min[0] + room*0.36, y + side}})
		base := y + side + small.size*1.7
		l.Add(ground.ScaleBarWithin(orb.Point{in.Min[0] + 2, base + s.Pt(40)}, v, j.a.Plan.Units, s, room*0.36-s.Pt(46))...)
		north := 0.0
		if p := j.a.Plan.Place; p != nil {
			north = p.NorthDeg
		}
		l.Add(ground.NorthArrow(orb.Point{in.Min[0] + room*0.36 - s.Pt(14), base + s.Pt(40)}, v.North(north), s)...)
		size := []string{}
		if sides, ok := j.sides(f); ok && len(f.Line) == 0 {
			size = append(size, sides)
		} else if f.WidthM > 0 && len(f.Line) > 0 {
			size = append(size, j.system.text(geometry.Perimeter(f.Line))+" × "+j.system.text(f.WidthM))
		}
		if a := geometry.Area(f.Geometry); a > 0.5 {
			size = append(size, j.system.area(a))
		}
		l.Add(j.words(orb.Point{in.Min[0], y + side + small.size*1.25}, small.cut(strings.Join(size, " · "), room*0.36), small, false))
		x, w = in.Min[0]+room*0.36+5, room*0.64-5
		if below := (orb.Bound{Min: orb.Point{in.Min[0], base + s.Pt(60)}, Max: orb.Point{in.Min[0] + room*0.36, bottom}}); below.Max[1]-below.Min[1] > small.size*5 {
			care = c.pour(l, care, below)
		}
		lines = append(lines, care...)
	}
	return c.pour(l, lines, orb.Bound{Min: orb.Point{x, y}, Max: orb.Point{x + w, bottom}})
}

// blanks draws captioned lines to write on, side by side; the last is the longest.
func (j *job) blanks(l *drawing.List, x0, x1, y float64, t letter, captions ...string) {
	each := (x1 - x0) / (float64(len(captions)) + 0.6)
	x := x0
	for i, c := range captions {
		end := x + each - 3
		if i == len(captions)-1 {
			end = x1
		}
		l.Add(j.words(orb.Point{x, y}, c, t, true),
			drawing.Stroke{Path: drawing.Line(orb.Point{x + t.width(c) + 1.5, y + 0.4}, orb.Point{end, y + 0.4}), Pen: j.look.Pen(j.look.Ink, style.Thin)})
		x += each
	}
}

// pour writes lines down a box, in the largest letter in which all of them fit, and answers those that did not fit in the least.
func (c *cards) pour(l *drawing.List, lines []cardLine, b orb.Bound) (rest []cardLine) {
	j := c.j
	least := max(1.12/j.big, 0.7)
	if j.big == 1 {
		least = 1
	}
	for grown := 1.5; grown > least; grown -= 0.08 {
		var try drawing.List
		if c.pourAt(&try, lines, b, grown) == nil {
			l.Add(try.Ops...)
			return nil
		}
	}
	var try drawing.List
	rest = c.pourAt(&try, lines, b, least)
	if len(rest) > 0 && !slices.ContainsFunc(rest, func(x cardLine) bool { return !x.caution }) {
		for grown := least - 0.04; grown > least*0.8; grown -= 0.04 { // no second card for a caution alone
			var small drawing.List
			if c.pourAt(&small, lines, b, grown) == nil {
				try, rest = small, nil
				break
			}
		}
	}
	l.Add(try.Ops...)
	return rest
}

// pourAt does so in a letter that is so much larger. A line that no box could hold is broken.
func (c *cards) pourAt(l *drawing.List, lines []cardLine, b orb.Bound, grown float64) (rest []cardLine) {
	j, s := c.j, c.j.look
	head, body, small := j.handBold(handBody*grown), j.hand(handSmall*grown), j.hand((handSmall-1)*min(grown, 1.2))
	y := b.Min[1]
	for n, x := range lines {
		indent, t := head.size*1.5, head
		if x.plain {
			indent, t = 0, small
		}
		width := b.Max[0] - b.Min[0] - indent
		what := x.what
		if x.when != "" {
			what = x.when + ": " + what
		}
		first := t.wrap(what, width)
		var more []string
		for _, h := range x.how {
			more = append(more, body.wrap(h, width)...)
		}
		gap := t.size * 0.45
		high := float64(len(first))*t.size*lead + float64(len(more))*body.size*lead + gap
		if y+high-gap > b.Max[1] && n > 0 {
			return lines[n:]
		}
		if y+high-gap > b.Max[1] { // the first: as much of it as there is room for
			fits := max(1, int((b.Max[1]-y)/(max(t.size, body.size)*lead)))
			if fits < len(first) {
				left := x
				left.when, left.what = "", strings.Join(first[fits:], " ")
				rest, first, more = append([]cardLine{left}, lines[1:]...), first[:fits], nil
			} else if fits -= len(first); fits < len(more) {
				rest = append([]cardLine{{what: strings.Join(more[fits:], " "), plain: true}}, lines[1:]...)
				more = more[:fits]
			}
		}
		if !x.plain {
			l.Add(j.tick(orb.Point{b.Min[0], y + head.size*0.12}, head.size*0.9))
		}
		for _, line := range first {
			w := j.words(orb.Point{b.Min[0] + indent, y + t.size*0.9}, line, t, false)
			if x.caution {
				w.Color = s.Caution
			}
			l.Add(w)
			y += t.size * lead
		}
		for _, line := range more {
			l.Add(j.words(orb.Point{b.Min[0] + indent, y + body.size*0.9}, line, body, false))
			y += body.size * lead
		}
		y += gap
		if rest != nil {
			return rest
		}
	}
	return nil
}

// markAboutM is the ground shown about a mark, in metres each way: enough for the beds that tell where it hangs.
const markAboutM = 15.0

// sketch draws the ground about a feature in a box, the feature in a bold line. It answers how it maps the ground.
func (c *cards) sketch(l *drawing.List, f *plan.Feature, b orb.Bound) ground.View {
	j, s := c.j, c.j.look
	if c.near == nil {
		all := j.a.Plan.Features
		c.near = geometry.NewBoxes(len(all), func(i int) orb.Bound {
			if all[i].Geometry == nil {
				return orb.Bound{Min: orb.Point{farthest, farthest}, Max: orb.Point{farthest, farthest}}
			}
			return all[i].Geometry.Bound()
		})
	}
	on := f.Geometry.Bound()
	wide, high := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	about := max(1.5, 0.2*max(on.Max[0]-on.Min[0], on.Max[1]-on.Min[1])) // ground to see it by, metres
	if on.Max[0]-on.Min[0] < 1 && on.Max[1]-on.Min[1] < 1 {
		about = markAboutM
	}
	scale := min(wide/(on.Max[0]-on.Min[0]+2*about), high/(on.Max[1]-on.Min[1]+2*about))
	scale = 1000 / niceScale(1000/scale)
	v := ground.View{Centre: on.Center(), Middle: b.Center(), Scale: scale}
	half := orb.Point{wide / 2 / scale, high / 2 / scale}
	seen := orb.Bound{Min: orb.Point{v.Centre[0] - half[0], v.Centre[1] - half[1]}, Max: orb.Point{v.Centre[0] + half[0], v.Centre[1] + half[1]}}
	var only []*plan.Feature
	for _, i := range c.near.Near(nil, seen, 14*s.Unit/scale) {
		x := j.a.Plan.Features[i]
		if x == f && (f.Kind == plan.Trap || f.Kind == plan.Stake) { // the ring about a mark would stand in its name, which heads the card
			bare := *f
			bare.Name = ""
			x = &bare
		}
		only = append(only, x)
	}
	var on2 drawing.List
	on2.Width, on2.Height = l.Width, l.Height
	ground.Draw(&on2, j.a, v, s, ground.Show{Labels: true, Numbers: j.numbers, Units: j.a.Plan.Units, Window: b, Only: only})
	ops := []drawing.Op{drawing.Fill{Path: boxPath(b), Color: s.Ground}}
	for _, op := range on2.Ops {
		if layer, ok := op.(drawing.Layer); ok {
			ops = append(ops, layer.Ops...)
		}
	}
	ops = append(ops, j.outlined(f, v, style.Heavy)...)
	l.Add(drawing.Clip{Path: boxPath(b), Ops: ops}, drawing.Stroke{Path: boxPath(b), Pen: s.Pen(s.Ink, style.Thin)})
	return v
}

// outlined is a line of a weight about a feature on a pale edge; a ring about a mark.
func (j *job) outlined(f *plan.Feature, v ground.View, weight float64) []drawing.Op {
	s := j.look
	var path drawing.Path
	for _, p := range geometry.Polygons(f.Geometry) {
		for _, ring := range p {
			pts := make([]orb.Point, 0, len(ring))
			for _, q := range ring[:max(0, len(ring)-1)] {
				pts = append(pts, v.To(q))
			}
			path = append(path, drawing.Contour{Points: pts, Closed: true})
		}
	}
	if len(path) == 0 {
		path = drawing.Polygon(geometry.Disc(v.To(f.Geometry.Bound().Center()), s.Pt(12)))
	}
	return []drawing.Op{drawing.Stroke{Path: path, Pen: s.Pen(s.Halo, weight+3)}, drawing.Stroke{Path: path, Pen: s.Pen(s.Ink, weight)}}
}

// niceScale is the next of 1, 2, 2.5 and 5 times a power of ten.
func niceScale(denominator float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(denominator)))
	for _, m := range []float64{1, 2, 2.5, 5, 10} {
		if m*p >= denominator*(1-1e-9) {
			return m * p
		}
	}
	return 10 * p
}
