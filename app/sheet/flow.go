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
	inner, h := j.paper.W-2*edge, j.paper.H
	f.head, f.bottom = edge+5+6*j.big, h-edge-footing-1
	f.page()
	f.divide(max(1, int(inner/185)))
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
	room := l.Width - 2*edge - 50
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

const cellGap = 2.2 // between columns of a table, millimetres

// table pours rows; the heads stand again on each column of the sheet.
func (f *flow) table(columns []column, rows [][]cell) {
	total := 0.0
	for _, c := range columns {
		total += c.share
	}
	s := f.j.look
	caption := f.j.caption()
	wide := func(c column) float64 { return c.share / total * f.wide }
	heads := func() {
		x := f.x
		for _, c := range columns {
			room := wide(c) - cellGap/2
			if c.right {
				room = wide(c) - 1.6*cellGap
			}
			t := drawing.Text{At: orb.Point{x, f.y + caption.size}, Words: caption.cut(c.head, room),
				Size: caption.size, Color: s.Soft}
			if c.right {
				t.At[0], t.Align = x+wide(c)-1.6*cellGap, drawing.End
			}
			f.add(t)
			x += wide(c)
		}
		f.y += caption.size * 1.5
		f.add(drawing.Stroke{Path: drawing.Line(orb.Point{f.x, f.y}, orb.Point{f.x + f.wide, f.y}), Pen: s.Pen(s.Ink, style.Thin)})
		f.y += 0.7
	}
	begun := false
	for _, row := range rows {
		lines := make([][]string, len(columns))
		most := 1
		letters := make([]letter, len(columns))
		for i, c := range columns {
			letters[i] = letter{size: s.Pt(style.Small + 0.5), bold: row[i].bold}
			room := wide(c) - cellGap - row[i].wide
			if c.right {
				room -= 0.6 * cellGap
			}
			lines[i] = letters[i].wrap(row[i].words, room)
			most = max(most, len(lines[i]))
		}
		step := s.Pt(style.Small+0.5) * lead
		if !begun {
			f.room(caption.size*2.5 + step*2)
			heads()
			begun = true
		}
		for from := 0; from < most; {
			n := most - from
			if h := float64(n)*step + 1; f.y+h > f.bottom {
				if fits := int((f.bottom - f.y - 1) / step); h > f.bottom-f.top-8 && fits > 0 {
					n = min(n, fits) // a row longer than a sheet goes on over the next
				} else {
					f.next()
					heads()
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
					t := f.j.words(at, lines[i][k], letters[i], false)
					if c.right {
						t.At[0], t.Align = x+wide(c)-1.6*cellGap, drawing.End
					}
					f.add(t)
				}
				x += wide(c)
			}
			f.y += float64(n)*step + 1
			from += n
		}
		f.add(drawing.Stroke{Path: drawing.Line(orb.Point{f.x, f.y}, orb.Point{f.x + f.wide, f.y}), Pen: s.Pen(s.Rule, style.Hair)})
	}
	f.y += 1
}

// foot writes the line under the border of each sheet.
func (j *job) foot() {
	t := j.caption()
	for i := range j.set.Pages {
		l := &j.set.Pages[i].List
		y := l.Height - edge + 0.2 + (j.big-1)*1.6
		date := j.set.Date.Format("2 Jan 2006")
		right := sheetWords(i+1, len(j.set.Pages)) + " · " + date
		room := l.Width - 2*edge - t.width(right) - 8
		left := strings.TrimSpace(j.set.Title + " · drawn with Hedgereach")
		l.Add(j.words(orb.Point{edge, y}, t.cut(left, room), t, true),
			drawing.Text{At: orb.Point{l.Width - edge, y}, Words: right, Size: t.size, Color: j.look.Soft, Align: drawing.End})
	}
}
