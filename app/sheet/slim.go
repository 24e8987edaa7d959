package sheet

import (
	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/ground"
	"hedgereach/app/style"
)

// In big print a small sheet has no room for map and key: the map keeps title, scale and north, and the key gets a sheet of its own.

// slimLess is the shorter side of paper, in millimetres, under which that is so.
const slimLess = 290

// slimHigh is the height of the foot that is left, in usual print.
const slimHigh = 49

// slim is the foot of a map whose key stands on the next sheet: scale, the sun where it fits, title.
func (j *job) slim(l *drawing.List, m theme, f frame, v ground.View, denominator, number, sheets int) {
	p, pad := f.panel, j.pad()
	high := p.Max[1] - p.Min[1]
	column := 50 * j.big
	title := p.Min[0] + column
	sun := j.sunBlock(column-2*pad, v)
	beside := sun != nil && j.sunOnSlim(f)
	if beside {
		title += column
	}
	block := j.title(m, p.Max[0]-title, high, denominator, number, sheets)
	rule := func(x float64) drawing.Op {
		return drawing.Stroke{Path: drawing.Line(orb.Point{x, p.Min[1]}, orb.Point{x, p.Max[1]}), Pen: j.look.Pen(j.look.Ink, style.Thin)}
	}
	scale := j.scaleBars(column-2*pad, v)
	l.Add(drawing.Layer{Name: "Title", Ops: append(block.draw(orb.Point{title, p.Min[1]}), rule(title))},
		drawing.Layer{Name: "Scale and north", Ops: scale.draw(orb.Point{p.Min[0] + pad, p.Min[1] + (high-scale.high)/2})})
	if beside {
		l.Add(drawing.Layer{Name: "Sun", Ops: append(sun.draw(orb.Point{p.Min[0] + column + pad, p.Min[1] + (high-sun.high)/2}),
			rule(p.Min[0]+column))})
	}
}

// sunOnSlim tells whether the sun has room on the map; else it stands with the key.
func (j *job) sunOnSlim(f frame) bool { return f.panel.Max[0]-f.panel.Min[0] >= 170*j.big }

// key is the sheet after such a map.
func (j *job) key(m theme, f frame, v ground.View) {
	fl := newFlow(j, keyName)
	fl.split(120 * j.big)
	pad := j.pad()
	legend := j.legend(m, fl.wide, fl.bottom-fl.y-pad, max(1, int(fl.wide/(62*j.big))))
	fl.add(drawing.Layer{Name: "Legend", Ops: legend.draw(orb.Point{fl.x, fl.y + pad})})
	fl.y += legend.high + 2*pad
	if sun := j.sunBlock(60*j.big, v); sun != nil && !j.sunOnSlim(f) {
		fl.room(sun.high)
		fl.add(drawing.Layer{Name: "Sun", Ops: sun.draw(orb.Point{fl.x, fl.y})})
		fl.y += sun.high + pad
	}
	for _, say := range m.sayings() {
		fl.heading(say.head, 10)
		fl.dashes(say.paragraphs)
	}
}
