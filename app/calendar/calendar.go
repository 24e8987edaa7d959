// Package calendar draws a plan's year as two charts: the bloom chart (what flowers when, in which habitat, and whom it feeds)
// and the bed calendar (what stands in each bed, when it is covered, and when its pests come). The window and the sheets show
// the same charts. It knows what an assessment says and measures nothing.
package calendar

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/face"
	"hedgereach/app/style"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// A Chart is rows over the 24 half-months of a year, to be drawn at any width and on as many pages as they take.
type Chart struct {
	Title    string
	name     string // over the column of names
	note     string // over the column of notes; "" for a chart without one
	rows     []row
	frosts   [2]season.Day // last, first; 0 = not given
	inSeason [season.HalfMonths]bool
	gaps     [season.HalfMonths]bool
	key      []keyed
	empty    string // said in place of rows

	// Whole keeps the rows under a heading on one page where a page holds them, and breaks words into lines rather than cut them off; for
	// paper, where nobody scrolls back to the heading or points at a row to read all of it.
	Whole bool
}

// A row is one line of the chart.
type row struct {
	name, note string
	heading    bool // begins a group; it stays with the row below it
	italic     bool
	wide       bool   // the name runs on over the field: a row without bars
	feature    string // id of what the row is about; "" for the site
	bars       []bar
	counts     *[season.HalfMonths]int     // figures in place of bars
	curve      *[season.HalfMonths]float64 // steps in place of bars, shares of 1
	top        float64                     // of the curve's scale
	least      int                         // counts below it are marked within the season
}

// A bar stands for days of the year, both ends included, with words in it where they fit.
type bar struct {
	from, to season.Day
	sort     sort
	words    string
}

// A sort of bar: told apart by outline and ruling, never by colour alone.
type sort int

const (
	observed  sort = iota // bloom as the grower saw it
	noted                 // bloom as the catalogue has it
	estimated             // bloom moved here by Hopkins' law
	elsewhere             // bloom on another continent
	standing              // a crop
	covered               // a row cover or net
	ready                 // a pest whose enemies are in reach and fed
	partly                // some of the time, or of the bed, or unfed
	missing               // none in reach
	unknown               // nobody knows how far its enemies go
	shut                  // a cover keeps the pest out
	dated                 // a day's work
)

// A keyed sort has words in the key.
type keyed struct {
	sort  sort
	words string
}

// Measures in points.
const (
	rowHigh     = 15.0
	headingHigh = 20.0
	curveHigh   = 34.0
	headHigh    = 20.0
	keyHigh     = 18.0
	barHigh     = 10.0
)

func (r *row) high() float64 {
	switch {
	case r.curve != nil:
		return curveHigh
	case r.heading:
		return headingHigh
	}
	return rowHigh
}

// of starts a chart with what all charts show of a plan.
func of(a *habitat.Assessment, title string) *Chart {
	c := &Chart{Title: title}
	for _, h := range a.Site.Season {
		c.inSeason[h] = true
	}
	if p := a.Plan.Place; p != nil {
		c.frosts = [2]season.Day{p.LastFrost, p.FirstFrost}
	}
	return c
}

// split gives the days of a window as one bar, or as two where it runs over the turn of the year.
func split(w season.Window, s sort, words string) []bar {
	if !w.Given() {
		return []bar{{1, 365, s, words}}
	}
	if w.From <= w.To {
		return []bar{{w.From, w.To, s, words}}
	}
	return []bar{{1, w.To, s, ""}, {w.From, 365, s, words}}
}

// Rows is how many rows the chart has.
func (c *Chart) Rows() int { return len(c.rows) }

// Height is what the whole chart takes in one piece, in drawing units.
func (c *Chart) Height(look style.Look) float64 {
	h := headHigh + keyHigh + 4
	for i := range c.rows {
		h += c.rows[i].high()
	}
	if len(c.rows) == 0 {
		h += rowHigh
	}
	return look.Pt(h)
}

// layout is where the columns lie, in drawing units.
type layout struct{ x0, f0, f1, x1 float64 }

func (c *Chart) layout(look style.Look, b orb.Bound) layout {
	w := b.Max[0] - b.Min[0]
	l := layout{x0: b.Min[0], x1: b.Max[0]}
	l.f0 = l.x0 + min(look.Pt(190), w*0.27)
	l.f1 = l.x1
	if c.note != "" && (c.Whole || w >= look.Pt(620)) {
		l.f1 = l.x1 - w*0.24
	}
	return l
}

func (l layout) half(h float64) float64 { return l.f0 + (l.f1-l.f0)*h/season.HalfMonths }

// day is where a day begins in the field; 366 its right edge.
func (l layout) day(d season.Day) float64 {
	if d > 365 {
		return l.f1
	}
	h := d.HalfMonth()
	return l.half(float64(h) + float64(d-h.First())/float64(h.Days()))
}

// Draw draws the rows from the one given on in a box, as many as it holds, under the months and over the key, and answers the row
// to go on with: Rows() when nothing is left. A box too low for one row gets one all the same, so that it comes to an end.
func (c *Chart) Draw(list *drawing.List, look style.Look, b orb.Bound, from int) (next int) {
	l := c.layout(look, b)
	y := b.Min[1] + look.Pt(headHigh)
	foot := b.Max[1] - look.Pt(keyHigh)*float64(max(1, len(c.keyLines(look, l))))
	bottom := y
	for next = from; next < len(c.rows); next++ {
		h := c.high(look, l, next)
		need := h
		if c.rows[next].heading && next+1 < len(c.rows) {
			need += c.high(look, l, next+1)
		}
		if bottom+need > foot+1e-9 && next > from {
			break
		}
		bottom += h
	}
	if first := c.group(next); c.Whole && next < len(c.rows) && first > from {
		for ; next > first; next-- {
			bottom -= c.high(look, l, next-1)
		}
	}
	if len(c.rows) == 0 {
		bottom += look.Pt(rowHigh)
	}
	c.field(list, look, l, b.Min[1], y, bottom)
	for i := from; i < next; i++ {
		h := c.high(look, l, i)
		c.row(list, look, l, y, h, &c.rows[i])
		y += h
	}
	if len(c.rows) == 0 {
		list.Add(drawing.Text{At: orb.Point{l.x0, y + look.Pt(11)}, Words: cut(c.empty, look.Pt(style.Small), l.x1-l.x0, false),
			Size: look.Pt(style.Small), Color: look.Soft})
	}
	c.keys(list, look, l, bottom)
	return next
}

// high is the height of a row in drawing units: where words are broken, as many lines as the longest of them takes.
func (c *Chart) high(look style.Look, l layout, i int) float64 {
	r := &c.rows[i]
	h := look.Pt(r.high())
	if !c.Whole {
		return h
	}
	names, notes := c.words(look, l, r)
	return max(h, look.Pt(3)+float64(len(names))*c.nameSize(look, r)*lineHigh, look.Pt(3)+float64(len(notes))*look.Pt(style.Tiny)*lineHigh)
}

// lineHigh is from line to line of broken words, in em.
const lineHigh = 1.2

func (c *Chart) nameSize(look style.Look, r *row) float64 {
	if r.heading {
		return look.Pt(style.Label)
	}
	return look.Pt(style.Small)
}

// indent is how far a row's name stands in.
func (r *row) indent(look style.Look) float64 {
	if r.heading || r.curve != nil || r.counts != nil {
		return 0
	}
	return look.Pt(8)
}

// words are a row's name and note in lines: one each, cut where need be, unless words are broken.
func (c *Chart) words(look style.Look, l layout, r *row) (names, notes []string) {
	room := l.f0 - l.x0 - r.indent(look) - look.Pt(6)
	if r.wide {
		room = l.x1 - l.x0 - r.indent(look)
	}
	small, beside := look.Pt(style.Tiny), l.x1-l.f1-look.Pt(8)
	if c.Whole {
		names = wrap(r.name, c.nameSize(look, r), room, r.heading, r.italic)
	} else {
		names = []string{cutStyled(r.name, c.nameSize(look, r), room, r.heading, r.italic)}
	}
	switch {
	case r.note == "" || l.f1 >= l.x1:
	case c.Whole:
		notes = wrap(r.note, small, beside, false, false)
	default:
		notes = []string{cut(r.note, small, beside, false)}
	}
	return names, notes
}

// wrap breaks words into lines; a word that is wider than a line is broken within.
func wrap(words string, size, width float64, bold, italic bool) (lines []string) {
	fits := func(s string) bool { return face.Width(s, size, bold, italic) <= width }
	line := ""
	for _, w := range strings.Fields(face.Clean(words)) {
		if line != "" && fits(line+" "+w) {
			line += " " + w
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for line = w; !fits(line); {
			r := []rune(line)
			n := len(r) - 1
			for n > 1 && !fits(string(r[:n])) {
				n--
			}
			if n < 1 {
				break
			}
			lines, line = append(lines, string(r[:n])), string(r[n:])
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// group is the row of the heading over a row.
func (c *Chart) group(row int) int {
	for row > 0 && row < len(c.rows) && !c.rows[row].heading {
		row--
	}
	return row
}

// short is a guild's name for a narrow column, without what it says further of itself: "Minute pirate bugs".
func short(name string) string {
	name, _, _ = strings.Cut(name, " and ")
	name, _, _ = strings.Cut(name, " of ")
	return name
}

// field rules the months, the season between the frosts and the gaps, behind the rows.
func (c *Chart) field(list *drawing.List, look style.Look, l layout, top, y0, y1 float64) {
	anySeason := c.inSeason != [season.HalfMonths]bool{}
	for h := range season.HalfMonths {
		cell := drawing.Rect(l.half(float64(h)), y0, l.half(float64(h+1)), y1)
		switch {
		case anySeason && !c.inSeason[h]:
			list.Add(drawing.Fill{Path: cell, Color: style.Fade(look.Ink, 0.06)})
		case c.gaps[h]:
			list.Add(drawing.Hatch{Path: cell, Pattern: drawing.Pattern{Angle: 45, Gap: look.Pt(7),
				Pen: look.Pen(style.Fade(look.Caution, 0.45), style.Hair), Origin: orb.Point{l.f0, y0}}})
		}
	}
	soft := drawing.Text{Size: look.Pt(style.Small), Color: look.Soft}
	write := func(x float64, words string, a drawing.Align) {
		t := soft
		t.At, t.Words, t.Align = orb.Point{x, top + look.Pt(13)}, words, a
		list.Add(t)
	}
	head := func(x float64, words string, room float64) {
		if w := face.Width(words, soft.Size, false, false); c.Whole && w > room { // smaller rather than cut
			defer func(size float64) { soft.Size = size }(soft.Size)
			soft.Size *= 0.99 * room / w
		}
		write(x, cut(words, soft.Size, room, false), drawing.Start)
	}
	head(l.x0, c.name, l.f0-l.x0-look.Pt(6))
	if l.f1 < l.x1 {
		head(l.f1+look.Pt(8), c.note, l.x1-l.f1-look.Pt(8))
	}
	for m := range 13 {
		x := l.half(float64(2 * m))
		list.Add(drawing.Stroke{Path: drawing.Line(orb.Point{x, y0 - look.Pt(4)}, orb.Point{x, y1}), Pen: look.Pen(look.Grid, style.Thin)})
		if m == 12 {
			break
		}
		mid := l.half(float64(2*m + 1))
		list.Add(drawing.Stroke{Path: drawing.Line(orb.Point{mid, y0}, orb.Point{mid, y1}), Pen: look.Dashed(look.Grid, style.Hair, 1, 3)})
		name := time.Month(m + 1).String()[:3]
		if face.Width(name, soft.Size, false, false) > l.half(2)-l.half(0)-look.Pt(2) {
			name = name[:1]
		}
		write(mid, name, drawing.Middle)
	}
	for _, d := range c.frosts {
		if d != 0 {
			x := l.day(d)
			list.Add(drawing.Stroke{Path: drawing.Line(orb.Point{x, y0 - look.Pt(4)}, orb.Point{x, y1}), Pen: look.Dashed(look.Ink, style.Fine, 2, 3)})
		}
	}
	list.Add(drawing.Stroke{Path: drawing.Line(orb.Point{l.x0, y0}, orb.Point{l.x1, y0}), Pen: look.Pen(look.Ink, style.Thin)})
}

// row draws one row, so high, with its upper edge at y.
func (c *Chart) row(list *drawing.List, look style.Look, l layout, y, h float64, r *row) {
	size := c.nameSize(look, r)
	if r.heading {
		list.Add(drawing.Stroke{Path: drawing.Line(orb.Point{l.x0, y}, orb.Point{l.x1, y}), Pen: look.Pen(look.Rule, style.Thin)})
	}
	names, notes := c.words(look, l, r)
	base := func(i, of int, size float64) float64 {
		return y + h/2 + size*0.34 + (float64(i)-float64(of-1)/2)*size*lineHigh
	}
	for i, words := range names {
		name := drawing.Text{At: orb.Point{l.x0 + r.indent(look), base(i, len(names), size)}, Words: words, Size: size, Bold: r.heading, Italic: r.italic,
			Color: look.Ink}
		if r.wide {
			name.Color, name.Halo, name.HaloWidth = look.Soft, look.Halo, look.Pt(2)
		}
		list.Add(name)
	}
	for i, words := range notes {
		small := look.Pt(style.Tiny)
		list.Add(drawing.Text{At: orb.Point{l.f1 + look.Pt(8), base(i, len(notes), small)}, Words: words, Size: small, Color: look.Soft})
	}
	for i := range r.bars {
		drawBar(list, look, l, y+h/2, &r.bars[i])
	}
	switch {
	case r.counts != nil:
		size := look.Pt(style.Small) // of figures that keep apart
		size *= min(1, 0.9*(l.half(1)-l.half(0))/face.Width("88", size, true, false))
		for i, n := range r.counts {
			if n == 0 && !c.inSeason[i] {
				continue
			}
			few := n < r.least && c.inSeason[i]
			t := drawing.Text{At: orb.Point{l.half(float64(i) + 0.5), y + h/2 + size*0.34}, Words: fmt.Sprint(n),
				Size: size, Color: look.Ink, Align: drawing.Middle, Bold: few}
			if few {
				t.Color = look.Caution
			}
			list.Add(t)
		}
	case r.curve != nil:
		pts := []orb.Point{{l.f0, y + h - look.Pt(2)}}
		for i, s := range r.curve {
			v := y + h - look.Pt(2) - (h-look.Pt(8))*min(1, s/r.top)
			pts = append(pts, orb.Point{l.half(float64(i)), v}, orb.Point{l.half(float64(i + 1)), v})
		}
		pts = append(pts, orb.Point{l.f1, y + h - look.Pt(2)})
		flower := look.Kind(plan.PerennialStrip).Sign
		list.Add(drawing.Fill{Path: drawing.Path{{Closed: true, Points: pts}}, Color: style.Fade(flower, 0.35)},
			drawing.Stroke{Path: drawing.Line(pts[1 : len(pts)-1]...), Pen: look.Pen(flower, style.Medium)},
			drawing.Text{At: orb.Point{l.half(0) + look.Pt(3), y + look.Pt(11)}, Words: fmt.Sprintf("to %.0f %%", 100*r.top), Size: look.Pt(style.Tiny),
				Color: look.Soft})
	}
}

func drawBar(list *drawing.List, look style.Look, l layout, mid float64, b *bar) {
	half := look.Pt(barHigh) / 2
	if b.sort == dated {
		x, r := (l.day(b.from)+l.day(b.from+1))/2, look.Pt(4)
		list.Add(drawing.Fill{Path: drawing.Path{{Closed: true, Points: []orb.Point{{x, mid - r}, {x + r, mid}, {x, mid + r}, {x - r, mid}}}},
			Color: look.Ink})
		if b.words != "" {
			list.Add(drawing.Text{At: orb.Point{x + look.Pt(6), mid + look.Pt(style.Tiny)*0.34}, Words: cut(b.words, look.Pt(style.Tiny), l.f1-x-look.Pt(6), false),
				Size: look.Pt(style.Tiny), Color: look.Ink, Halo: look.Halo, HaloWidth: look.Pt(2)})
		}
		return
	}
	if b.sort >= ready {
		half *= 0.8
	}
	x0, x1 := l.day(b.from), l.day(b.to+1)
	path := drawing.Rect(x0, mid-half, x1, mid+half)
	list.Add(barOps(look, b.sort, path, orb.Point{l.f0, mid})...)
	if size := look.Pt(style.Tiny); b.words != "" {
		if words := cut(b.words, size, x1-x0-look.Pt(5), false); words == b.words || len([]rune(words)) > 4 {
			list.Add(drawing.Text{At: orb.Point{x0 + look.Pt(3), mid + size*0.34}, Words: words, Size: size, Color: look.Ink,
				Halo: look.Halo, HaloWidth: look.Pt(2)})
		}
	}
}

// barOps is a bar of a sort.
func barOps(look style.Look, s sort, path drawing.Path, origin orb.Point) []drawing.Op {
	flower, bed := look.Kind(plan.PerennialStrip), look.Kind(plan.Bed)
	outline := func(pen drawing.Pen) drawing.Op { return drawing.Stroke{Path: path, Pen: pen} }
	ruled := func(p drawing.Pattern) drawing.Op { return drawing.Hatch{Path: path, Pattern: p} }
	status := func(st habitat.Status) []drawing.Op {
		m := look.Status(st)
		ops := []drawing.Op{drawing.Fill{Path: path, Color: look.Raised}, drawing.Fill{Path: path, Color: m.Tint}}
		return append(ops, ruled(look.Hatch(st, origin)), outline(look.Pen(look.Ink, style.Hair)))
	}
	switch s {
	case observed:
		return []drawing.Op{drawing.Fill{Path: path, Color: flower.Sign}, outline(look.Pen(look.Ink, style.Fine))}
	case noted:
		return []drawing.Op{drawing.Fill{Path: path, Color: style.Fade(flower.Sign, 0.5)}, outline(look.Pen(flower.Sign, style.Thin))}
	case estimated:
		return []drawing.Op{drawing.Fill{Path: path, Color: style.Fade(flower.Sign, 0.16)}, ruled(drawing.Pattern{Angle: 45, Gap: look.Pt(4),
			Pen: look.Pen(flower.Sign, style.Fine), Origin: origin}), outline(look.Pen(flower.Sign, style.Thin))}
	case elsewhere:
		return []drawing.Op{outline(look.Dashed(flower.Sign, style.Fine, 3, 2))}
	case standing:
		return []drawing.Op{drawing.Fill{Path: path, Color: bed.Fill}, outline(look.Pen(bed.Line, style.Fine))}
	case covered:
		return []drawing.Op{drawing.Fill{Path: path, Color: look.Raised}, ruled(drawing.Pattern{Angle: 90, Gap: look.Pt(5), Pen: look.Pen(look.Ink, style.Hair),
			Origin: origin}), outline(look.Pen(look.Ink, style.Medium))}
	case ready:
		return status(habitat.Within)
	case partly:
		return status(habitat.Partly)
	case missing:
		return status(habitat.Beyond)
	case shut:
		return []drawing.Op{drawing.Fill{Path: path, Color: look.Raised}, outline(look.Pen(look.Ink, style.Fine))}
	}
	return status(habitat.Unknown)
}

// keyLines parts the key into lines, each with the words about the frosts where it is the last: one line, with what it has room for, unless
// words are broken.
func (c *Chart) keyLines(look style.Look, l layout) (lines [][]keyed) {
	x := l.x0
	var line []keyed
	for _, k := range append(slices.Clone(c.key), keyed{none, c.frostWords()}) {
		w := keyWide(look, k)
		if k.words == "" {
			continue
		}
		if x+w > l.x1 && len(line) > 0 {
			if !c.Whole {
				break
			}
			lines, line, x = append(lines, line), nil, l.x0
		}
		line = append(line, k)
		x += w + look.Pt(14)
	}
	if len(line) > 0 {
		lines = append(lines, line)
	}
	return lines
}

// frostWords explain the dotted lines.
func (c *Chart) frostWords() string {
	if c.frosts[0] == 0 || c.frosts[1] == 0 {
		return ""
	}
	return "dotted lines: last frost " + c.frosts[0].Label() + ", first frost " + c.frosts[1].Label()
}

// none is no sort of bar: words without a sign.
const none sort = -1

func keyWide(look style.Look, k keyed) float64 {
	w := face.Width(k.words, look.Pt(style.Tiny), false, false)
	if k.sort != none {
		w += look.Pt(25)
	}
	return w
}

// keys explains the sorts of bars that the chart has, under it.
func (c *Chart) keys(list *drawing.List, look style.Look, l layout, y float64) {
	size := look.Pt(style.Tiny)
	for n, line := range c.keyLines(look, l) {
		x, mid := l.x0, y+look.Pt(keyHigh)*(0.6+float64(n))
		for _, k := range line {
			at := orb.Point{x, mid + size*0.34}
			switch r := look.Pt(4); k.sort {
			case none:
			case dated:
				list.Add(drawing.Fill{Path: drawing.Path{{Closed: true, Points: []orb.Point{{x + 2*r, mid - r}, {x + 3*r, mid}, {x + 2*r, mid + r}, {x + r, mid}}}},
					Color: look.Ink})
				at[0] += look.Pt(25)
			default:
				list.Add(barOps(look, k.sort, drawing.Rect(x, mid-r, x+look.Pt(20), mid+r), orb.Point{x, mid})...)
				at[0] += look.Pt(25)
			}
			list.Add(drawing.Text{At: at, Words: k.words, Size: size, Color: look.Soft})
			x += keyWide(look, k) + look.Pt(14)
		}
	}
}

// Feature is the id of the feature that a row is about, "" where it is about the site.
func (c *Chart) Feature(row int) string {
	if row < 0 || row >= len(c.rows) {
		return ""
	}
	return c.rows[row].feature
}

// RowAt is the row that Draw with the same box and first row puts at a height, -1 where there is none.
func (c *Chart) RowAt(look style.Look, b orb.Bound, from int, y float64) int {
	at := b.Min[1] + look.Pt(headHigh)
	if y < at {
		return -1
	}
	for i := from; i < len(c.rows) && at < b.Max[1]-look.Pt(keyHigh); i++ {
		if at += look.Pt(c.rows[i].high()); y < at {
			return i
		}
	}
	return -1
}

// RowSpan is the upper and lower edge of a row that Draw with the same box and first row draws.
func (c *Chart) RowSpan(look style.Look, b orb.Bound, from, row int) (y0, y1 float64) {
	y1 = b.Min[1] + look.Pt(headHigh)
	for i := from; i <= row && i < len(c.rows); i++ {
		y0, y1 = y1, y1+look.Pt(c.rows[i].high())
	}
	return y0, y1
}

// FirstOfLast is the first row from which on Draw reaches the end in the box: the farthest that scrolling makes sense.
func (c *Chart) FirstOfLast(look style.Look, b orb.Bound) int {
	room := b.Max[1] - b.Min[1] - look.Pt(headHigh+keyHigh)
	for i := len(c.rows) - 1; i >= 0; i-- {
		if room -= look.Pt(c.rows[i].high()); room < -1e-9 {
			return min(i+1, len(c.rows)-1)
		}
	}
	return 0
}

// share is a part in whole per cent.
func share(s float64) string { return fmt.Sprintf("%.0f\u00a0%%", 100*s) }

// cut shortens words to a width, with a mark where some are left off.
func cut(words string, size, width float64, bold bool) string {
	return cutStyled(words, size, width, bold, false)
}

func cutStyled(words string, size, width float64, bold, italic bool) string {
	words = face.Clean(words)
	if face.Width(words, size, bold, italic) <= width {
		return words
	}
	r := []rune(words)
	for n := len(r) - 1; n > 0; n-- {
		if short := string(r[:n]) + "…"; face.Width(short, size, bold, italic) <= width {
			return short
		}
	}
	return ""
}

// used adds the keys of the sorts that stand in the rows, in the order given.
func (c *Chart) used(all []keyed) {
	var in [dated + 1]bool
	for i := range c.rows {
		for _, b := range c.rows[i].bars {
			in[b.sort] = true
		}
	}
	for _, k := range all {
		if in[k.sort] {
			c.key = append(c.key, k)
		}
	}
}

// round is the least round share that holds all of a curve.
func round(curve *[season.HalfMonths]float64) float64 {
	most := 0.0
	for _, s := range curve {
		most = max(most, s)
	}
	for _, t := range []float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.5} {
		if most <= t {
			return t
		}
	}
	return math.Max(1, most)
}
