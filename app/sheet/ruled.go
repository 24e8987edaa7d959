package sheet

import (
	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/style"
)

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

// Room between a ruled table's lines and its words, in mm.
const (
	ruledX = 1.3
	ruledY = 1.0
)

// ruled pours a table. A row longer than a sheet goes on over the next; a band never stands last on a sheet.
func (f *flow) ruled(t ruled) {
	r := newRuling(f, t)
	for n, row := range t.rows {
		if row.band != "" {
			r.band(n)
			continue
		}
		r.row(row)
	}
	if r.open {
		r.end()
	}
	f.y += 2
}

// A ruling is a ruled table while it is poured.
type ruling struct {
	*flow
	table    ruled
	widths   []float64  // of the columns
	heads    [][]string // lines of the heads of the columns
	sizes    []letter   // of the heads
	small    letter     // of the heads, unless smaller
	bold     letter     // of bands
	headHigh float64
	bandHigh float64
	step     float64 // from line to line

	open  bool         // some of it stands on this sheet
	start float64      // top of what does
	bands [][2]float64 // top and bottom of the bands on this sheet
}

func newRuling(f *flow, t ruled) *ruling {
	r := &ruling{flow: f, table: t, widths: make([]float64, len(t.columns)), step: t.letter.size * lead,
		small: letter{size: t.letter.size * 0.86}, bold: letter{size: t.letter.size * 1.12, bold: true}}
	r.bandHigh = r.bold.size*lead + 2*ruledY
	total := 0.0
	for _, c := range t.columns {
		total += c.share
	}
	for i, c := range t.columns {
		r.widths[i] = c.share / total * f.wide
	}
	r.setHeads()
	return r
}

// setHeads breaks the heads of the columns into lines, in smaller letters where a word would break.
func (r *ruling) setHeads() {
	columns := r.table.columns
	r.heads, r.sizes = make([][]string, len(columns)), make([]letter, len(columns))
	lines := 1
	for i, c := range columns {
		room := r.widths[i] - 2*ruledX
		l := r.small
		for wordsBreak(l, c.head, room) && l.size*0.95 > r.j.look.Pt(style.Tiny) {
			l.size *= 0.95
		}
		r.sizes[i], r.heads[i] = l, l.wrap(c.head, room)
		lines = max(lines, len(r.heads[i]))
	}
	r.headHigh = float64(lines)*r.small.size*lead + 2*ruledY
}

func (r *ruling) line(x0, y0, x1, y1, weight float64) drawing.Op {
	s := r.j.look
	return drawing.Stroke{Path: drawing.Line(orb.Point{x0, y0}, orb.Point{x1, y1}), Pen: s.Pen(s.Ink, weight)}
}

// across is a line from the table's left to its right.
func (r *ruling) across(y, weight float64) drawing.Op { return r.line(r.x, y, r.x+r.wide, y, weight) }

// begin draws the heads of the columns, on the next sheet where the table goes on from this one.
func (r *ruling) begin() {
	if r.open {
		r.end()
		r.next()
	}
	r.bands, r.open, r.start = nil, true, r.y
	x := r.x
	for i := range r.table.columns {
		for k, words := range r.heads[i] {
			r.cell(i, x, r.y+ruledY+r.small.size*(0.82+lead*float64(k)), words, r.sizes[i], true)
		}
		x += r.widths[i]
	}
	r.y += r.headHigh
	r.add(r.across(r.start, style.Medium), r.across(r.y, style.Medium))
}

// cell writes a line of words into a column that begins at x.
func (r *ruling) cell(column int, x, y float64, words string, l letter, grey bool) {
	w := r.j.words(orb.Point{x + ruledX, y}, words, l, grey)
	if r.table.columns[column].right {
		w.At[0], w.Align = x+r.widths[column]-ruledX, drawing.End
	}
	r.add(w)
}

// end draws the upright lines of what stands on this sheet, but not through bands.
func (r *ruling) end() {
	y := r.start
	var runs [][2]float64
	for _, b := range r.bands {
		runs = append(runs, [2]float64{y, b[0]})
		y = b[1]
	}
	runs = append(runs, [2]float64{y, r.y})
	x := r.x
	for i := 0; i <= len(r.widths); i++ {
		if i == 0 || i == len(r.widths) {
			r.add(r.line(x, r.start, x, r.y, style.Thin))
		} else {
			for _, run := range runs {
				if run[1] > run[0] {
					r.add(r.line(x, run[0], x, run[1], style.Hair))
				}
			}
		}
		if i < len(r.widths) {
			x += r.widths[i]
		}
	}
}

// letterOf is what a row's words in a column are written in.
func (r *ruling) letterOf(row ruledRow, column int) letter {
	l := r.table.letter
	l.bold = row.bold != nil && row.bold[column]
	return l
}

// lines breaks a row's words into lines; most is how many the longest cell has.
func (r *ruling) lines(row ruledRow) (cells [][]string, most int) {
	cells, most = make([][]string, len(r.table.columns)), 1
	for i := range r.table.columns {
		if i < len(row.words) {
			cells[i] = r.letterOf(row, i).wrap(row.words[i], r.widths[i]-2*ruledX)
			most = max(most, len(cells[i]))
		}
	}
	return cells, most
}

// high is the height of a row of so many lines.
func (r *ruling) high(lines int) float64 {
	return max(r.table.least, float64(lines)*r.step+2*ruledY)
}

// fit is how many lines of a row have room on the rest of this sheet.
func (r *ruling) fit() int { return int((r.bottom - r.y - 2*ruledY) / r.step) }

// band pours the band that is row n, where the row below it has room, too.
func (r *ruling) band(n int) {
	row, need := r.table.rows[n], r.bandHigh
	if n+1 < len(r.table.rows) {
		_, most := r.lines(r.table.rows[n+1])
		need += min(r.high(most), (r.bottom-r.head)/2)
	}
	if !r.open {
		r.room(r.headHigh + need)
		r.begin()
	} else if r.y+need > r.bottom {
		r.begin()
	}
	note := letter{size: r.table.letter.size * 0.9}
	base := r.y + ruledY + r.bold.size*0.88
	room := r.wide - 2*ruledX
	if row.note != "" {
		w := r.j.words(orb.Point{r.x + r.wide - ruledX, base}, note.cut(row.note, max(room*0.55, room-3-r.bold.width(row.band))), note, true)
		w.Align = drawing.End
		room -= note.width(w.Words) + 3
		r.add(w)
	}
	r.add(r.j.words(orb.Point{r.x + ruledX, base}, r.bold.cut(row.band, room), r.bold, false))
	r.bands = append(r.bands, [2]float64{r.y, r.y + r.bandHigh})
	r.y += r.bandHigh
	r.add(r.across(r.y-r.bandHigh, style.Fine), r.across(r.y, style.Hair))
}

// row pours a row of words, in parts where no sheet has room for all of it.
func (r *ruling) row(row ruledRow) {
	cells, most := r.lines(row)
	if !r.open {
		r.room(r.headHigh + r.high(min(most, 3)))
		r.begin()
	}
	for from := 0; from < most; {
		here := most - from
		if r.y+r.high(here) > r.bottom {
			if r.high(here) > r.bottom-r.head-r.headHigh && r.fit() > 0 {
				here = min(here, r.fit())
			} else {
				r.begin()
				here = min(here, max(1, r.fit()))
			}
		}
		r.part(row, cells, from, here)
		from += here
	}
}

// part draws so many lines of a row's cells; the box to tick stands by the first.
func (r *ruling) part(row ruledRow, cells [][]string, from, lines int) {
	size := r.table.letter.size
	x := r.x
	for i, c := range r.table.columns {
		if c.tick && from == 0 {
			side := min(size*1.1, r.widths[i]-2*ruledX)
			r.add(r.j.tick(orb.Point{x + (r.widths[i]-side)/2, r.y + ruledY + 0.2}, side))
		}
		for k := from; k < min(from+lines, len(cells[i])); k++ {
			r.cell(i, x, r.y+ruledY+size*(0.86+lead*float64(k-from)), cells[i][k], r.letterOf(row, i), false)
		}
		x += r.widths[i]
	}
	r.y += r.high(lines)
	r.add(r.across(r.y, style.Hair))
}
