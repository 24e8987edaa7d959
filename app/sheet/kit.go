package sheet

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/style"
	"hedgereach/habitat"
	"hedgereach/habitat/pestwindow"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/quantities"
	"hedgereach/habitat/tasks"
)

// What is carried into the field is printed on paper for the hand, however large the map is.

// onHand lays the sheets that follow on A4, or Letter where the plan or the map's paper is American, the short side up or
// across; on the set's own paper where that is smaller. The function that it answers goes back to the map's paper.
func (j *job) onHand(landscape bool) (back func()) {
	was := j.paper
	hand := Papers[0]
	if j.a.Plan.Units == plan.US || was.Name == "Letter" || was.Name == "Legal" || was.Name == "Tabloid" || strings.HasPrefix(was.Name, "ANSI") {
		for _, p := range Papers {
			if p.Name == "Letter" {
				hand = p
			}
		}
	}
	if was.W*was.H < hand.W*hand.H {
		hand = was
	}
	j.paper = Paper{hand.Name, min(hand.W, hand.H), max(hand.W, hand.H)}
	if landscape {
		j.paper.W, j.paper.H = j.paper.H, j.paper.W
	}
	j.lettersFor(hand)
	return func() {
		j.paper = was
		j.letters()
	}
}

// Letter sizes of what is read at arm's length, in points of the drawing.
const (
	handSmall = 11.5
	handBody  = 13.5
	handHead  = 17.0
	handName  = 30.0
)

func (j *job) hand(points float64) letter     { return letter{size: j.look.Pt(points)} }
func (j *job) handBold(points float64) letter { return letter{size: j.look.Pt(points), bold: true} }

// A fieldwork is what the sheets for the field share: numbers of plants and dated work, worked out once a set.
type fieldwork struct {
	list  *quantities.List
	tasks []tasks.Task
	pests *pestwindow.Calendar
}

// field works out numbers and work on first use.
func (j *job) field() *fieldwork {
	if j.work == nil {
		j.work = &fieldwork{}
		j.work.list, _ = quantities.Of(j.a.Plan, j.a.Catalogue, j.o.Numbers) // Make checked them
		j.work.pests = habitat.PestCalendar(j.a.Plan, j.a.Catalogue, habitat.Record(j.a.Plan.Weather))
		j.work.tasks = tasks.Of(j.a, j.work.list, j.work.pests)
	}
	return j.work
}

// name is what a feature is called on the map, with its number where it has one that is not its name.
func (j *job) name(f *plan.Feature) string {
	name := f.Title()
	if n := j.numbers[f.ID]; n != "" && n != name {
		name = n + " " + name
	}
	return name
}

// names lists features; more than most are only counted.
func (j *job) names(features []*plan.Feature, most int) string {
	var out []string
	for i, f := range features {
		if i == most && len(features) > most+1 {
			return strings.Join(out, ", ") + fmt.Sprintf(" and %d more", len(features)-most)
		}
		out = append(out, joined(j.name(f)))
	}
	return strings.Join(out, ", ")
}

// short writes a short length as a hand's rule has it: whole centimetres, halves below five and millimetres below one, or inches and their quarters.
func (j *job) short(m float64) string {
	if j.a.Plan.Units == plan.US {
		eighths := math.Round(m / 0.0254 * 8)
		if eighths > 16 || eighths == 0 { // above two inches quarters do, above a foot whole ones
			step := 2.0
			if eighths > 96 {
				step = 8
			}
			eighths = math.Round(m/0.0254*8/step) * step
		}
		whole, part := math.Floor(eighths/8), int(eighths)%8
		s := ""
		if whole > 0 || part == 0 {
			s = fmt.Sprintf("%.0f", whole)
		}
		return joined(s + []string{"", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"}[part] + " in")
	}
	switch cm := m * 100; {
	case cm >= 5:
		return joined(fmt.Sprintf("%.0f cm", cm))
	case cm >= 1:
		return joined(fmt.Sprintf("%g cm", math.Round(cm*2)/2))
	}
	return joined(fmt.Sprintf("%.0f mm", m*1000))
}

// between writes a range of short lengths.
func (j *job) between(low, high float64) string {
	a, b := j.short(low), j.short(high)
	if a == b {
		return a
	}
	number, unit, _ := strings.Cut(a, string(noBreak))
	if strings.HasSuffix(b, string(noBreak)+unit) {
		return number + "–" + b
	}
	return a + " – " + b
}

// rows is the length of rows, to the metre or foot where it is long: their ends are not so sure.
func (j *job) rows(m float64) string {
	if j.a.Plan.Units == plan.US {
		return joined(fmt.Sprintf("%s ft", thousands(int(math.Ceil(m/0.3048-1e-9)))))
	}
	if m < 10 {
		return joined(fmt.Sprintf("%.1f m", m))
	}
	return joined(fmt.Sprintf("%s m", thousands(int(math.Ceil(m-1e-9)))))
}

// count is how many are to stand: of what is sown, hundreds are said to the nearest ten.
func count(m quantities.Method, n int) string {
	if m == quantities.Sow && n >= 200 {
		n = (n + 5) / 10 * 10
	}
	return thousands(n)
}

// thousands groups figures: 12 345.
func thousands(n int) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0 && n >= 10000; i -= 3 {
		s = s[:i] + "\u202f" + s[i:]
	}
	return s
}

// tick is a box to tick, as high as a line of words.
func (j *job) tick(at orb.Point, size float64) drawing.Op {
	return drawing.Stroke{Path: drawing.Rect(at[0], at[1], at[0]+size, at[1]+size), Pen: j.look.Pen(j.look.Ink, style.Fine)}
}

// cautions pours those against some dangers, in the words of the one list, under a head in the caution's colour.
func (f *flow) cautions(dangers ...habitat.Danger) {
	t, head := f.j.hand(handSmall), f.j.handBold(handBody)
	f.y += 1.5
	f.room(head.size*1.6 + t.size*lead*2)
	title := f.j.words(orb.Point{f.x, f.y + head.size}, "Take care", head, false)
	title.Color = f.j.look.Caution
	f.add(title)
	f.y += head.size * 1.5
	for _, d := range dangers {
		c := habitat.CautionOf(d)
		f.room(f.height(c, t, t.size))
		f.add(f.j.words(orb.Point{f.x, f.y + t.size}, "–", t, false))
		f.paragraph(c, t, false, t.size)
	}
	f.y += 2.5
}

// A ruled table has lines about its cells, for writing on.
type ruled struct {
	columns []ruledColumn
	rows    []ruledRow
	letter  letter  // of the cells
	least   float64 // height of a row
}

type ruledColumn struct {
	head  string
	share float64
	right bool
	tick  bool // a box to tick in every row
}

// A ruledRow is a row of words, a column each; or a band across the table that heads the rows below it.
type ruledRow struct {
	words []string
	bold  []bool // by column; nil: none
	band  string
	note  string // at the right of a band
}

// ruled pours a table. A row longer than a sheet goes on over the next; a band never stands last on a sheet.
func (f *flow) ruled(t ruled) {
	s := f.j.look
	total := 0.0
	for _, c := range t.columns {
		total += c.share
	}
	const padX, padY = 1.3, 1.0
	wide := make([]float64, len(t.columns))
	for i, c := range t.columns {
		wide[i] = c.share / total * f.wide
	}
	step := t.letter.size * lead
	head, band := letter{size: t.letter.size * 0.86}, letter{size: t.letter.size * 1.12, bold: true}
	heads, sizes := make([][]string, len(t.columns)), make([]letter, len(t.columns))
	headLines := 1
	for i, c := range t.columns {
		sizes[i] = head
		for wordsBreak(sizes[i], c.head, wide[i]-2*padX) && sizes[i].size*0.95 > s.Pt(style.Tiny) {
			sizes[i].size *= 0.95
		}
		heads[i] = sizes[i].wrap(c.head, wide[i]-2*padX)
		headLines = max(headLines, len(heads[i]))
	}
	headHigh := float64(headLines)*head.size*lead + 2*padY
	rule := func(x0, y0, x1, y1, weight float64) drawing.Op {
		return drawing.Stroke{Path: drawing.Line(orb.Point{x0, y0}, orb.Point{x1, y1}), Pen: s.Pen(s.Ink, weight)}
	}
	top := 0.0 // of the table on this sheet
	begin := func() {
		x := f.x
		top = f.y
		for i := range t.columns {
			for k, line := range heads[i] {
				w := f.j.words(orb.Point{x + padX, f.y + padY + head.size*(0.82+lead*float64(k))}, line, sizes[i], true)
				if t.columns[i].right {
					w.At[0], w.Align = x+wide[i]-padX, drawing.End
				}
				f.add(w)
			}
			x += wide[i]
		}
		f.y += headHigh
		f.add(rule(f.x, top, f.x+f.wide, top, style.Medium), rule(f.x, f.y, f.x+f.wide, f.y, style.Medium))
	}
	end := func(bands [][2]float64) { // the upright lines, but not through bands
		x := f.x
		y := top
		var runs [][2]float64
		for _, b := range bands {
			runs = append(runs, [2]float64{y, b[0]})
			y = b[1]
		}
		runs = append(runs, [2]float64{y, f.y})
		for i := 0; i <= len(wide); i++ {
			if i == 0 || i == len(wide) {
				f.add(rule(x, top, x, f.y, style.Thin))
			} else {
				for _, r := range runs {
					if r[1] > r[0] {
						f.add(rule(x, r[0], x, r[1], style.Hair))
					}
				}
			}
			if i < len(wide) {
				x += wide[i]
			}
		}
	}
	lines := func(r ruledRow) (cells [][]string, most int) {
		cells, most = make([][]string, len(t.columns)), 1
		for i := range t.columns {
			if i < len(r.words) {
				l := t.letter
				l.bold = r.bold != nil && r.bold[i]
				cells[i] = l.wrap(r.words[i], wide[i]-2*padX)
				most = max(most, len(cells[i]))
			}
		}
		return cells, most
	}
	height := func(most int) float64 { return max(t.least, float64(most)*step+2*padY) }
	bandHigh := band.size*lead + 2*padY
	var bands [][2]float64
	open := false
	fresh := func() {
		if open {
			end(bands)
			f.next()
		}
		bands, open = nil, true
		begin()
	}
	for n := 0; n < len(t.rows); n++ {
		r := t.rows[n]
		if r.band != "" {
			need := bandHigh
			if n+1 < len(t.rows) {
				_, most := lines(t.rows[n+1])
				need += min(height(most), (f.bottom-f.head)/2)
			}
			if !open {
				f.room(headHigh + need)
				fresh()
			} else if f.y+need > f.bottom {
				fresh()
			}
			note := letter{size: t.letter.size * 0.9}
			room := f.wide - 2*padX
			if r.note != "" {
				w := f.j.words(orb.Point{f.x + f.wide - padX, f.y + padY + band.size*0.88}, note.cut(r.note, room*0.55), note, true)
				w.Align = drawing.End
				room -= note.width(w.Words) + 3
				f.add(w)
			}
			f.add(f.j.words(orb.Point{f.x + padX, f.y + padY + band.size*0.88}, band.cut(r.band, room), band, false))
			bands = append(bands, [2]float64{f.y, f.y + bandHigh})
			f.y += bandHigh
			f.add(rule(f.x, f.y-bandHigh, f.x+f.wide, f.y-bandHigh, style.Fine), rule(f.x, f.y, f.x+f.wide, f.y, style.Hair))
			continue
		}
		cells, most := lines(r)
		if !open {
			f.room(headHigh + height(min(most, 3)))
			fresh()
		}
		for from := 0; from < most; {
			here := most - from
			if f.y+height(here) > f.bottom {
				if fits := int((f.bottom - f.y - 2*padY) / step); height(here) > f.bottom-f.head-headHigh && fits > 0 {
					here = min(here, fits)
				} else {
					fresh()
					here = min(here, max(1, int((f.bottom-f.y-2*padY)/step)))
				}
			}
			h := height(here)
			x := f.x
			for i, c := range t.columns {
				if c.tick && from == 0 {
					size := min(t.letter.size*1.1, wide[i]-2*padX)
					f.add(f.j.tick(orb.Point{x + (wide[i]-size)/2, f.y + padY + 0.2}, size))
				}
				for k := from; k < min(from+here, len(cells[i])); k++ {
					l := t.letter
					l.bold = r.bold != nil && r.bold[i]
					w := f.j.words(orb.Point{x + padX, f.y + padY + t.letter.size*(0.86+lead*float64(k-from))}, cells[i][k], l, false)
					if c.right {
						w.At[0], w.Align = x+wide[i]-padX, drawing.End
					}
					f.add(w)
				}
				x += wide[i]
			}
			f.y += h
			f.add(rule(f.x, f.y, f.x+f.wide, f.y, style.Hair))
			from += here
		}
	}
	if open {
		end(bands)
	}
	f.y += 2
}
