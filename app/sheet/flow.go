package sheet

import (
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/style"
)

// A flow pours words and tables down the columns of as many sheets as they need.
type flow struct {
	j       *job
	name    string // of its sheets
	columns int
	wide    float64 // of a column
	column  int
	x, y    float64
	head    float64 // top of a fresh sheet
	top     float64 // of the columns on this sheet
	bottom  float64
}

const gutter = 9.0 // between columns, millimetres

// newFlow starts on a fresh sheet.
func newFlow(j *job, name string) *flow {
	f := &flow{j: j, name: name}
	h := j.paper.H
	f.head, f.bottom = edge+5+6*j.big, h-edge-footing-1
	f.page()
	f.divide(1)
	return f
}

func (f *flow) divide(columns int) {
	f.columns = columns
	f.wide = (f.j.paper.W - 2*edge - float64(columns-1)*gutter) / float64(columns)
}

// split goes on in columns about as wide as given, which is kind to the eye in long texts. It begins below what stands already.
func (f *flow) split(wide float64) {
	n := max(1, int((f.j.paper.W-2*edge+gutter)/(wide+gutter)))
	if n == f.columns {
		return
	}
	if f.columns > 1 || f.bottom-f.y < 45 { // columns of other widths cannot share a sheet that is half full of them
		if f.y > f.head || f.column > 0 {
			f.page()
		}
	} else if f.y > f.top {
		f.y += 4.5
	}
	f.divide(n)
	f.top = f.y
}

func (f *flow) list() *drawing.List { return &f.j.set.Pages[len(f.j.set.Pages)-1].List }

// page begins a sheet.
func (f *flow) page() {
	j := f.j
	l := drawing.List{Width: j.paper.W, Height: j.paper.H}
	s := j.look
	head := letter{size: s.Pt(style.Heading), bold: true}
	right := j.caption()
	l.Add(drawing.Fill{Path: drawing.Rect(0, 0, l.Width, l.Height), Color: s.Paper})
	room := l.Width - 2*edge - right.width(f.name) - 6
	for head.size > s.Pt(style.Small) && head.width(j.set.Title) > room {
		head.size *= 0.95
	}
	across := func(y, weight float64) drawing.Op {
		return drawing.Stroke{Path: drawing.Line(orb.Point{edge, y}, orb.Point{l.Width - edge, y}), Pen: s.Pen(s.Ink, weight)}
	}
	l.Add(j.words(orb.Point{edge, edge + head.size}, head.cut(j.set.Title, room), head, false),
		drawing.Text{At: orb.Point{l.Width - edge, edge + head.size}, Words: f.name, Size: right.size, Color: s.Soft,
			Align: drawing.End},
		across(edge+6*j.big, style.Medium), across(edge+6*j.big+0.9, style.Hair))
	j.set.Pages = append(j.set.Pages, Page{Name: f.name, List: l})
	f.top = f.head
	f.column, f.x, f.y = 0, edge, f.top
}

// next goes to the next column or sheet.
func (f *flow) next() {
	if f.column++; f.column == f.columns {
		f.page()
		return
	}
	f.x, f.y = edge+float64(f.column)*(f.wide+gutter), f.top
}

// room makes sure of so much height, on the next column where this one has too little. It tells whether it moved on.
func (f *flow) room(h float64) bool {
	if f.y+h <= f.bottom || (f.y == f.top && f.top == f.head) {
		return false
	}
	f.next()
	if f.y+h > f.bottom && f.top > f.head { // the columns here are short: a fresh sheet has longer ones
		f.page()
	}
	return true
}

func (f *flow) add(ops ...drawing.Op) { f.list().Add(ops...) }

// heading begins a part; with keeps it together with so much of what follows.
func (f *flow) heading(words string, with float64) {
	t := letter{size: f.j.look.Pt(14), bold: true}
	if f.y > f.top {
		f.y += 4.5
	}
	f.room(t.size*1.8 + with)
	f.add(f.j.words(orb.Point{f.x, f.y + t.size}, words, t, false))
	f.y += t.size * 1.8
}

// paragraph pours words, indented by in.
func (f *flow) paragraph(words string, t letter, soft bool, in float64) {
	for _, line := range t.wrap(words, f.wide-in) {
		f.room(t.size * lead)
		f.add(f.j.words(orb.Point{f.x + in, f.y + t.size}, line, t, soft))
		f.y += t.size * lead
	}
}

// height is what a paragraph will take.
func (f *flow) height(words string, t letter, in float64) float64 {
	return float64(len(t.wrap(words, f.wide-in))) * t.size * lead
}

// A part is one paragraph of several that belong together.
type part struct {
	words  string
	letter letter
	soft   bool
	in     float64
}

// together pours paragraphs, all in one column of the sheet where they fit one.
func (f *flow) together(parts []part) {
	h := 0.0
	for _, p := range parts {
		h += f.height(p.words, p.letter, p.in)
	}
	if h < f.bottom-f.head {
		f.room(h)
	}
	for _, p := range parts {
		f.paragraph(p.words, p.letter, p.soft, p.in)
	}
}

// A column of a table: its heading, its share of the width, and whether figures stand at its right.
type column struct {
	head  string
	share float64
	right bool
}

// A cell is words, or a picture with words after it.
type cell struct {
	words string
	bold  bool
	icon  func(b orb.Bound) []drawing.Op
	wide  float64 // of the picture, millimetres
}

// leastCell is the least letter of a table, in points: 1.75 mm on paper, as the least on a map.
const leastCell = 7

const cellGap = 2.2 // between columns of a table, millimetres

// A pouring is a table while it is poured: its columns as wide as their words need.
type pouring struct {
	*flow
	columns []column
	widths  []float64
	heads   [][]string // lines of the heads of the columns
	letter  letter     // of the cells
	caption letter     // of the heads
}

// letterOf is what a cell is written in.
func (t *pouring) letterOf(c cell) letter {
	l := t.letter
	l.bold = c.bold
	return l
}

// gap is the room that a column keeps free beside its words.
func (c column) gap() float64 {
	if c.right {
		return 1.6 * cellGap
	}
	return cellGap
}

// pouring sets the widths of the columns: their shares, but none so narrow that a word would break while another has room to give.
// Where all of them are too narrow for their longest words, letters are smaller.
func (f *flow) pouring(columns []column, rows [][]cell) *pouring {
	s := f.j.look
	t := &pouring{flow: f, columns: columns, letter: letter{size: s.Pt(style.Small + 0.5)}}
	for ; ; t.letter.size *= 0.97 {
		t.caption.size = t.letter.size * style.Tiny / (style.Small + 0.5)
		least := make([]float64, len(columns))
		for i, c := range columns {
			least[i] = t.caption.longest(c.head) + c.gap()
			for _, row := range rows {
				least[i] = max(least[i], t.letterOf(row[i]).longest(row[i].words)+row[i].wide+c.gap()+0.01) // rounding
			}
		}
		var fits bool
		if t.widths, fits = shared(columns, least, f.wide); fits || t.letter.size*0.97 < leastCell*style.SheetPoint {
			break
		}
	}
	for i, c := range columns {
		t.heads = append(t.heads, t.caption.wrap(c.head, t.widths[i]-c.gap()))
	}
	return t
}

// shared gives each column its share of the width, or what it needs at least, which the others then have less. It tells whether
// all of them have what they need.
func shared(columns []column, least []float64, width float64) (widths []float64, fits bool) {
	widths = make([]float64, len(columns))
	firm := make([]bool, len(columns))
	for {
		room, total := width, 0.0
		for i, c := range columns {
			if firm[i] {
				room -= least[i]
			} else {
				total += c.share
			}
		}
		again := false
		for i, c := range columns {
			if widths[i] = least[i]; firm[i] {
				continue
			}
			if widths[i] = c.share / total * room; widths[i] < least[i] {
				firm[i], again = true, true
			}
		}
		if !again {
			break
		}
	}
	sum := 0.0
	for _, w := range widths {
		sum += w
	}
	if sum <= width+1e-9 {
		return widths, true
	}
	for i := range widths {
		widths[i] *= width / sum
	}
	return widths, false
}

// begin writes the heads of the columns and rules them off.
func (t *pouring) begin() {
	s, caption := t.j.look, t.caption
	x, most := t.x, 1
	for _, lines := range t.heads {
		most = max(most, len(lines))
	}
	for i, c := range t.columns {
		for n, line := range t.heads[i] { // on the rule, whatever the others take
			w := t.j.words(orb.Point{x, t.y + caption.size*(1+lead*float64(most-len(t.heads[i])+n))}, line, caption, true)
			if c.right {
				w.At[0], w.Align = x+t.widths[i]-c.gap(), drawing.End
			}
			t.add(w)
		}
		x += t.widths[i]
	}
	t.y += caption.size * (1.5 + lead*float64(most-1))
	t.add(drawing.Stroke{Path: drawing.Line(orb.Point{t.x, t.y}, orb.Point{t.x + t.wide, t.y}), Pen: s.Pen(s.Ink, style.Thin)})
	t.y += 0.7
}

// table pours rows; the heads stand again on each column of the sheet.
func (f *flow) table(columns []column, rows [][]cell) {
	t := f.pouring(columns, rows)
	s, caption := f.j.look, t.caption
	step := t.letter.size * lead
	begun := false
	for _, row := range rows {
		lines := make([][]string, len(columns))
		most := 1
		for i, c := range columns {
			lines[i] = t.letterOf(row[i]).wrap(row[i].words, t.widths[i]-c.gap()-row[i].wide)
			most = max(most, len(lines[i]))
		}
		if !begun {
			f.room(caption.size*2.5 + step*2)
			t.begin()
			begun = true
		}
		for from := 0; from < most; {
			n := most - from
			if h := float64(n)*step + 1; f.y+h > f.bottom {
				if fits := int((f.bottom - f.y - 1) / step); h > f.bottom-f.top-8 && fits > 0 {
					n = min(n, fits) // a row longer than a sheet goes on over the next
				} else {
					f.next()
					t.begin()
					n = min(n, max(1, int((f.bottom-f.y-1)/step)))
				}
			}
			x := f.x
			for i, c := range columns {
				if row[i].icon != nil && from == 0 {
					f.add(row[i].icon(orb.Bound{Min: orb.Point{x, f.y + 0.5}, Max: orb.Point{x + row[i].wide - 1.6, f.y + step + 0.3}})...)
				}
				for k := from; k < min(from+n, len(lines[i])); k++ {
					at := orb.Point{x + row[i].wide, f.y + step*(float64(k-from)+0.82) + 0.4}
					w := f.j.words(at, lines[i][k], t.letterOf(row[i]), false)
					if c.right {
						w.At[0], w.Align = x+t.widths[i]-c.gap(), drawing.End
					}
					f.add(w)
				}
				x += t.widths[i]
			}
			f.y += float64(n)*step + 1
			from += n
		}
		f.add(drawing.Stroke{Path: drawing.Line(orb.Point{f.x, f.y}, orb.Point{f.x + f.wide, f.y}), Pen: s.Pen(s.Rule, style.Hair)})
	}
	f.y += 1
}

// foot writes the line under the border of each sheet, in letters for its own paper.
func (j *job) foot() {
	defer j.letters()
	for i := range j.set.Pages {
		l := &j.set.Pages[i].List
		j.lettersFor(Paper{W: l.Width, H: l.Height})
		t := j.caption()
		y := l.Height - edge + 0.2 + (j.big-1)*1.6
		date := j.set.Date.Format("2 Jan 2006")
		right := sheetWords(i+1, len(j.set.Pages)) + " · " + date
		room := l.Width - 2*edge - t.width(right) - 8
		left := strings.TrimSpace(j.set.Title + " · drawn with Hedgereach")
		l.Add(j.words(orb.Point{edge, y}, t.cut(left, room), t, true),
			drawing.Text{At: orb.Point{l.Width - edge, y}, Words: right, Size: t.size, Color: j.look.Soft, Align: drawing.End})
	}
}
