package sheet

import (
	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/ground"
	"hedgereach/app/style"
)

// A small sheet, or one in big print, has no room for map and key: the map keeps title, scale and north, and the key gets a sheet of its own.

// slimLess is the shorter side of paper, in millimetres in usual print, under which that is so.
const slimLess = 193

// slimHigh is the height of the foot that is left when so wide: no more than its words need.
func (j *job) slimHigh(wide float64) float64 {
	block := j.slimTitle(theme{about: "Plot map"}, wide-slimScale*j.big, 1, 1, 1)
	return max(block.high, j.scaleBars(0, ground.View{}).high+j.pad())
}

// slimScale is the width of the bars beside the title, in usual print.
const slimScale = 50

// slim is the foot of a map whose key stands on the next sheet: scale and title.
func (j *job) slim(l *drawing.List, m theme, f frame, v ground.View, denominator, number, sheets int) {
	p, pad := f.panel, j.pad()
	high := p.Max[1] - p.Min[1]
	column := slimScale * j.big
	title := p.Min[0] + column
	block := j.slimTitle(m, p.Max[0]-title, denominator, number, sheets)
	rule := drawing.Stroke{Path: drawing.Line(orb.Point{title, p.Min[1]}, orb.Point{title, p.Max[1]}), Pen: j.look.Pen(j.look.Ink, style.Thin)}
	scale := j.scaleBars(column-2*pad, v)
	l.Add(drawing.Layer{Name: "Title", Ops: append(block.draw(orb.Point{title, p.Min[1]}), rule)},
		drawing.Layer{Name: "Scale and north", Ops: scale.draw(orb.Point{p.Min[0] + pad, p.Min[1] + (high-scale.high)/2})})
}

// slimTitle is a title block that takes as little height as it can: the place stands on the key.
func (j *job) slimTitle(m theme, w float64, denominator, number, sheets int) block {
	c := j.titleCells(denominator, number, sheets)
	rows := [][]titleCell{{c.scale.of(0.64), c.paper.of(0.36)}, {c.squares.of(0.64), c.sheet.of(0.36)}, {c.author.of(0.38), c.version.of(0.26), c.date.of(0.36)}}
	if w >= slimWide*j.big {
		rows = [][]titleCell{{c.scale.of(0.36), c.squares.of(0.24), c.paper.of(0.18), c.sheet.of(0.22)}, {c.author.of(0.36), c.version.of(0.24), c.date.of(0.4)}}
	}
	return j.titleBlock(m, w, 0, 1, rows)
}

// slimWide is from which width on four cells of the title have room in a row, in usual print.
const slimWide = 110

// key is the sheet after such a map.
func (j *job) key(m theme, v ground.View) {
	fl := newFlow(j, keyName)
	fl.split(120 * j.big)
	pad := j.pad()
	legend := j.legend(m, fl.wide, fl.bottom-fl.y-pad, max(1, int(fl.wide/(62*j.big))))
	fl.add(drawing.Layer{Name: "Legend", Ops: legend.draw(orb.Point{fl.x, fl.y + pad})})
	fl.y += legend.high + 2*pad
	fl.paragraph("Place: "+placeWords(j.a.Plan.Place, j.system), j.body(), false, 0)
	fl.y += pad
	if sun := j.sunBlock(60*j.big, v); sun != nil {
		fl.room(sun.high)
		fl.add(drawing.Layer{Name: "Sun", Ops: sun.draw(orb.Point{fl.x, fl.y})})
		if fl.wide >= 170*j.big { // notes and cautions stand beside it
			fl.x, fl.wide, fl.top = fl.x+66*j.big, fl.wide-66*j.big, fl.y
		} else {
			fl.y += sun.high + pad
		}
	}
	for _, say := range m.sayings() {
		fl.heading(say.head, 10)
		fl.dashes(say.paragraphs)
	}
}
