package sheet

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/ground"
	"hedgereach/app/style"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// footing is the room under the neat line for the foot, in millimetres.
const footing = 3.5

// pad is the room about things in the panel.
func (j *job) pad() float64 { return 3.6 * j.big }

// A theme is what a map is about, for its panel.
type theme struct {
	about   string // under the title
	entries []entry
	note    string // under the legend
	notes   string // the grower's own, before all that follows
	head    string // over what follows
	words   []string
	more    string             // the sheet on which those stand that had no room
	done    func(notes, n int) // is told how many paragraphs of the notes and of the words had room; nil: nobody asks
}

// A saying is a head with paragraphs under it.
type saying struct {
	head       string
	paragraphs []string
}

// sayings are the notes and the words of a theme.
func (m theme) sayings() (out []saying) {
	if m.notes != "" {
		out = append(out, saying{"Notes", []string{m.notes}})
	}
	return append(out, saying{m.head, m.words})
}

// A block is a part of the panel: how high it must be, and how it is drawn from a corner.
type block struct {
	high float64
	draw func(at orb.Point) []drawing.Op
}

// panel lays out title, legend, scale and cautions.
func (j *job) panel(l *drawing.List, m theme, f frame, v ground.View, denominator, number, sheets int) {
	s, pad := j.look, j.pad()
	p := f.panel
	rule := func(a, b orb.Point) drawing.Op {
		return drawing.Stroke{Path: drawing.Line(a, b), Pen: s.Pen(s.Ink, style.Thin)}
	}
	if f.side {
		x, w := p.Min[0]+pad, p.Max[0]-p.Min[0]-2*pad
		title := j.title(m, p.Max[0]-p.Min[0], 0, denominator, number, sheets)
		bottom := p.Max[1] - title.high
		l.Add(drawing.Layer{Name: "Title", Ops: append(title.draw(orb.Point{p.Min[0], bottom}),
			rule(orb.Point{p.Min[0], bottom}, orb.Point{p.Max[0], bottom}))})
		scale := j.scaleBars(w, v)
		bottom -= scale.high + pad
		l.Add(drawing.Layer{Name: "Scale and north", Ops: append(scale.draw(orb.Point{x, bottom + pad/2}),
			rule(orb.Point{p.Min[0], bottom}, orb.Point{p.Max[0], bottom}))})
		cautions := 26 * j.big // what must be left for them
		rows := len(m.entries)
		if w >= 66*j.big {
			rows = (rows + 1) / 2
		}
		least := j.bold().size*1.9 + float64(rows)*4.4*j.big + 3*pad
		if sun := j.sunBlock(w, v); sun != nil && bottom-p.Min[1]-least-cautions-sun.high-pad > 0 {
			bottom -= sun.high + pad/2
			l.Add(drawing.Layer{Name: "Sun", Ops: append(sun.draw(orb.Point{x, bottom + pad/4}),
				rule(orb.Point{p.Min[0], bottom}, orb.Point{p.Max[0], bottom}))})
		}
		legend := j.legend(m, w, bottom-p.Min[1]-3*pad-cautions, 1)
		y := p.Min[1] + pad
		l.Add(drawing.Layer{Name: "Legend", Ops: legend.draw(orb.Point{x, y})})
		y += legend.high + pad
		l.Add(drawing.Layer{Name: "Cautions", Ops: j.beware(m, orb.Bound{Min: orb.Point{x, y}, Max: orb.Point{x + w, bottom - pad}})})
		return
	}
	wide, high := p.Max[0]-p.Min[0], p.Max[1]-p.Min[1]
	if f.slim {
		j.slim(l, m, f, v, denominator, number, sheets)
		return
	}
	if wide < lowWide*j.big-2*edge { // three columns: the cautions stand under the scale
		x1, x2 := p.Min[0]+wide*0.40, p.Min[0]+wide*0.675
		title := j.title(m, p.Max[0]-x2, high, denominator, number, sheets)
		scale := j.scaleBars(x2-x1-2*pad, v)
		l.Add(drawing.Layer{Name: "Title", Ops: append(title.draw(orb.Point{x2, p.Min[1]}),
			rule(orb.Point{x2, p.Min[1]}, orb.Point{x2, p.Max[1]}),
			rule(orb.Point{x1, p.Min[1]}, orb.Point{x1, p.Max[1]}))})
		l.Add(drawing.Layer{Name: "Scale and north", Ops: scale.draw(orb.Point{x1 + pad, p.Min[1] + pad/2})})
		legend := j.legend(m, x1-p.Min[0]-2*pad, high-2*pad, 2)
		l.Add(drawing.Layer{Name: "Legend", Ops: legend.draw(orb.Point{p.Min[0] + pad, p.Min[1] + pad})})
		top := p.Min[1] + pad + scale.high
		if sun := j.sunBlock(x2-x1-2*pad, v); sun != nil {
			if under := p.Min[1] + pad + legend.high + pad/2; p.Max[1]-pad/2-under >= sun.high {
				l.Add(drawing.Layer{Name: "Sun", Ops: sun.draw(orb.Point{p.Min[0] + pad, p.Max[1] - pad/2 - sun.high})})
			} else if p.Max[1]-pad-top-sun.high >= 26*j.big { // cautions come first
				l.Add(drawing.Layer{Name: "Sun", Ops: sun.draw(orb.Point{x1 + pad, top - pad/2})})
				top += sun.high
			}
		}
		l.Add(drawing.Layer{Name: "Cautions", Ops: j.beware(m, orb.Bound{Min: orb.Point{x1 + pad, top},
			Max: orb.Point{x2 - pad, p.Max[1] - pad}})})
		return
	}
	// Four columns: legend, cautions, scale, title. The legend takes what it needs, the cautions what is left.
	x3 := p.Max[0] - min(max(wide*0.27, 74*j.big), 105*j.big)
	x2 := x3 - min(max(wide*0.17, 48*j.big), 64*j.big)
	rows := max(1, int((high-2*pad-j.bold().size*1.9)/(4.55*j.big)))
	columns := (len(m.entries) + rows - 1) / rows
	across := min(float64(columns)*45*j.big, (x2-p.Min[0])*0.72)
	legend := j.legend(m, across, high-2*pad, columns)
	x1 := p.Min[0] + across + 2*pad
	title, scale := j.title(m, p.Max[0]-x3, high, denominator, number, sheets), j.scaleBars(x3-x2-2*pad, v)
	sun := j.sunBlock(x3-x2-2*pad, v)
	free := high - scale.high
	if sun != nil {
		free = max(free-sun.high, 0) / 2
	}
	y := p.Min[1] + free/2
	ops := title.draw(orb.Point{x3, p.Min[1]})
	for _, x := range []float64{x1, x2, x3} {
		ops = append(ops, rule(orb.Point{x, p.Min[1]}, orb.Point{x, p.Max[1]}))
	}
	l.Add(drawing.Layer{Name: "Title", Ops: ops},
		drawing.Layer{Name: "Legend", Ops: legend.draw(orb.Point{p.Min[0] + pad, p.Min[1] + pad})},
		drawing.Layer{Name: "Cautions", Ops: j.beware(m, orb.Bound{Min: orb.Point{x1 + pad, p.Min[1] + pad},
			Max: orb.Point{x2 - pad, p.Max[1] - pad}})},
		drawing.Layer{Name: "Scale and north", Ops: scale.draw(orb.Point{x2 + pad, y})})
	if sun != nil {
		l.Add(drawing.Layer{Name: "Sun", Ops: sun.draw(orb.Point{x2 + pad, y + scale.high + free/2})})
	}
}

// letters of the panel.
func (j *job) caption() letter { return letter{size: j.look.Pt(style.Tiny)} }
func (j *job) body() letter    { return letter{size: j.look.Pt(style.Label)} }
func (j *job) bold() letter    { return letter{size: j.look.Pt(style.Label), bold: true} }

// lead is the height of a line of words over their em.
const lead = 1.32

func (j *job) words(at orb.Point, s string, t letter, soft bool) drawing.Text {
	c := j.look.Ink
	if soft {
		c = j.look.Soft
	}
	return drawing.Text{At: at, Words: s, Size: t.size, Bold: t.bold, Italic: t.italic, Color: c}
}

// A titleCell is one of the title block, with its share of the width.
type titleCell struct {
	caption, value string
	share          float64
}

func (c titleCell) of(share float64) titleCell {
	c.share = share
	return c
}

// titleCells are those that every title has.
type titleCells struct{ scale, paper, squares, sheet, author, version, date titleCell }

func (j *job) titleCells(denominator, number, sheets int) titleCells {
	author := j.set.Author
	if author == "" {
		author = "—"
	}
	version := strings.TrimSpace(j.o.Version)
	if version == "" {
		version = fingerprint(j.a.Plan)
	}
	scale := ScaleName(denominator, j.a.Plan.Units)
	if t := j.tiling; t != nil {
		scale += fmt.Sprintf(", tiles 1:%d", t.denominator)
	}
	cell := func(caption, value string) titleCell { return titleCell{caption: caption, value: value} }
	return titleCells{cell("Scale", scale), cell("Paper", j.paper.Name), cell("Squares", "of "+squareWords(j.grid.gap, j.a.Plan.Units)),
		cell("Sheet", fmt.Sprintf("%d of %d", number, sheets)), cell("Drawn by", author), cell("Plan", version),
		cell("Date", j.set.Date.Format("2 Jan 2006"))}
}

// title is the title block, as wide as given, in cells; where most is given, it fills that height.
func (j *job) title(m theme, w, most float64, denominator, number, sheets int) block {
	c := j.titleCells(denominator, number, sheets)
	place := titleCell{"Place", placeWords(j.a.Plan.Place, j.system), 1}
	block := j.titleBlock(m, w, most, 2, [][]titleCell{{c.scale.of(0.64), c.paper.of(0.36)}, {c.squares.of(0.64), c.sheet.of(0.36)},
		{c.author.of(0.38), c.version.of(0.26), c.date.of(0.36)}, {place}})
	if most > 0 && most < block.high { // low: three cells a row
		block = j.titleBlock(m, w, most, 2, [][]titleCell{{c.scale.of(0.46), c.paper.of(0.24), c.sheet.of(0.3)},
			{c.squares.of(0.21), c.author.of(0.29), c.version.of(0.2), c.date.of(0.3)}, {place}})
	}
	return block
}

// titleBlock draws such cells in rows, under the plan's name and what the sheet is about in so many lines each; where most is given and
// leaves more room than they need, the rows are higher.
func (j *job) titleBlock(m theme, w, most float64, nameLines int, rows [][]titleCell) block {
	s, pad := j.look, j.pad()
	name := letter{size: s.Pt(18), bold: true}
	inner := w - 2*pad
	lines := name.limit(name.wrap(j.set.Title, inner), nameLines, inner)
	small := letter{size: s.Pt(style.Small), italic: true}
	about := small.limit(small.wrap(m.about, inner), nameLines, inner)
	above, below := pad*0.9, pad*0.7
	if nameLines == 1 { // no more height than it needs
		above, below = pad*0.5, pad*0.4
	}
	head := above + float64(len(lines))*name.size*1.2 + float64(len(about))*small.size*lead + below
	high, place := 7.6*j.big, 0.0
	if len(rows[len(rows)-1]) == 1 {
		place = 3.4 * j.big // the last row holds two lines
	}
	if most > 0 {
		high = max(high, (most-head-place)/float64(len(rows)))
	}
	total := head + high*float64(len(rows)) + place
	return block{total, func(at orb.Point) []drawing.Op {
		y := at[1] + above
		var ops []drawing.Op
		for _, line := range lines {
			ops = append(ops, j.words(orb.Point{at[0] + pad, y + name.size}, line, name, false))
			y += name.size * 1.2
		}
		for _, line := range about {
			ops = append(ops, j.words(orb.Point{at[0] + pad, y + small.size*1.1}, line, small, true))
			y += small.size * lead
		}
		y = at[1] + head
		var rules drawing.Path
		caption := j.caption()
		for _, row := range rows {
			rules = append(rules, drawing.Line(orb.Point{at[0], y}, orb.Point{at[0] + w, y})...)
			x := at[0]
			for i, c := range row {
				if i > 0 {
					rules = append(rules, drawing.Line(orb.Point{x, y}, orb.Point{x, y + high})...)
				}
				left := x + 1.6*j.big
				if i == 0 {
					left = x + pad
				}
				room := x + c.share*w - left - 1
				value := j.body()
				if len(row) == 1 {
					value.size = s.Pt(style.Small)
					for n, line := range value.limit(value.wrap(c.value, room), 2, room) {
						ops = append(ops, j.words(orb.Point{left, y + caption.size*1.15 + float64(n+1)*value.size*1.25}, line, value, false))
					}
					ops = append(ops, j.words(orb.Point{left, y + caption.size*1.15}, c.caption, caption, true))
					continue
				}
				for value.width(c.value) > room && value.size > s.Pt(style.Tiny) {
					value.size -= s.Pt(0.5)
				}
				ops = append(ops, j.words(orb.Point{left, y + caption.size*1.15}, c.caption, caption, true),
					j.words(orb.Point{left, y + caption.size*1.25 + j.body().size*1.25}, value.cut(c.value, room), value, false))
				x += c.share * w
			}
			y += high
		}
		return append(ops, drawing.Stroke{Path: rules, Pen: s.Pen(s.Ink, style.Hair)})
	}}
}

// fingerprint is a short mark of what the plan holds: two sheets with the same mark show the same plan.
func fingerprint(p *plan.Plan) string {
	var data bytes.Buffer
	if plan.Write(&data, p) != nil {
		return "—"
	}
	sum := sha256.Sum256(data.Bytes())
	return hex.EncodeToString(sum[:3])
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// squareWords is the size of the squares, "5 m" or "20 ft".
func squareWords(m float64, u plan.Units) string {
	if u == plan.US {
		if m < ground.Foot*0.999 {
			return fmt.Sprintf("%g in", math.Round(m/ground.Foot*12))
		}
		return fmt.Sprintf("%g ft", math.Round(m/ground.Foot))
	}
	return fmt.Sprintf("%g m", m)
}

// placeWords says where the garden lies, or that it is not given.
func placeWords(p *plan.Place, l lengths) string {
	if p == nil {
		return "not given"
	}
	side := func(v float64, plus, minus string) string {
		if v < 0 {
			return fmt.Sprintf("%.4f° %s", -v, minus)
		}
		return fmt.Sprintf("%.4f° %s", v, plus)
	}
	parts := []string{side(p.Latitude, "N", "S") + " " + side(p.Longitude, "E", "W")}
	if p.HardinessZone != "" {
		parts = append(parts, "zone "+p.HardinessZone)
	}
	if p.LastFrost != 0 && p.FirstFrost != 0 {
		parts = append(parts, "frost to "+p.LastFrost.Label()+", from "+p.FirstFrost.Label())
	}
	return strings.Join(parts, " · ")
}

// scaleBars holds the bars in both systems, and north.
func (j *job) scaleBars(w float64, v ground.View) block {
	s := j.look
	high := 22.5 * j.big
	return block{high, func(at orb.Point) []drawing.Op {
		north, known := 0.0, j.a.Plan.Place != nil
		if known {
			north = j.a.Plan.Place.NorthDeg
		}
		bar := w - 22*j.big
		ops := ground.ScaleBarWithin(orb.Point{at[0] + 1, at[1] + 8.4*j.big}, v, plan.Metric, s, bar)
		ops = append(ops, ground.ScaleBarWithin(orb.Point{at[0] + 1, at[1] + 18.4*j.big}, v, plan.US, s, bar)...)
		ops = append(ops, ground.NorthArrow(orb.Point{at[0] + w - 6*j.big, at[1] + 12.4*j.big}, v.North(north), s)...)
		if !known {
			t := j.caption()
			ops = append(ops, drawing.Text{At: orb.Point{at[0] + w, at[1] + 21.6*j.big}, Words: "north taken as up the sheet", Size: t.size,
				Color: s.Soft, Align: drawing.End})
		}
		return ops
	}}
}

// entries of the legend: what is on the map, nothing else.
type entry struct {
	words string
	draw  func(b orb.Bound) []drawing.Op
}

func (j *job) entries() []entry {
	here := map[plan.Kind]bool{}
	for _, f := range j.a.Plan.Features {
		here[f.Kind] = true
	}
	var out []entry
	for _, k := range plan.Kinds {
		if here[k] {
			out = append(out, entry{k.Label(), func(b orb.Bound) []drawing.Op { return ground.Swatch(k, b, j.look) }})
			delete(here, k)
		}
	}
	if len(here) > 0 {
		out = append(out, entry{"Something else", func(b orb.Bound) []drawing.Op { return ground.Swatch(plan.Path, b, j.look) }})
	}
	return append(out, j.standingEntries()...)
}

// standingEntries are the standings that beds have.
func (j *job) standingEntries() (out []entry) {
	if j.statuses == nil {
		return nil
	}
	standing := map[habitat.Status]bool{}
	for _, f := range j.a.Plan.Features {
		if f.Kind == plan.Bed {
			standing[j.statuses[f.ID]] = true
		}
	}
	words := map[habitat.Status]string{habitat.Within: "Bed within range", habitat.Partly: "Bed partly in range",
		habitat.Beyond: "Bed beyond range", habitat.Unknown: "Bed, range unknown"}
	for _, st := range []habitat.Status{habitat.Within, habitat.Partly, habitat.Beyond, habitat.Unknown} {
		if standing[st] {
			out = append(out, entry{words[st], func(b orb.Bound) []drawing.Op {
				h := b.Max[1] - b.Min[1]
				return append(ground.StatusSwatch(st, b, j.look),
					ground.StatusRing(b.Center(), h*0.43, st.Letter(), j.look.Status(st), j.look)...)
			}})
		}
	}
	return out
}

// unnamed says which beds bear no mark at this scale.
func (j *job) unnamed() string {
	var out []string
	if j.counted {
		out = append(out, "Beds between two numbers count on in order.")
	}
	switch j.small {
	case 0:
	case 1:
		out = append(out, "One bed has no room here for its number: the list gives its square.")
	default:
		out = append(out, fmt.Sprintf("%d beds have no room here for their numbers: the list gives their squares.", j.small))
	}
	return strings.Join(out, " ")
}

// legend lays the entries out within w × most, in columns; rows close up before a column is added.
func (j *job) legend(m theme, w, most float64, columns int) block {
	entries := m.entries
	columns = max(1, columns)
	if len(entries) == 0 {
		return block{0, func(orb.Point) []drawing.Op { return nil }}
	}
	t := j.bold()
	head := t.size * 1.9
	if m.note != "" {
		most -= 2 * j.look.Pt(style.Small) * lead
	}
	pitch := 0.0
	rows := 0
	for ; ; columns++ {
		rows = (len(entries) + columns - 1) / columns
		if pitch = min(6.8*j.big, (most-head)/float64(rows)); pitch >= 4.4*j.big || columns >= 4 {
			break
		}
	}
	each := w / float64(columns)
	small := letter{size: j.look.Pt(style.Small), italic: true}
	note := small.wrap(m.note, w)
	return block{head + pitch*float64(rows) + float64(len(note))*small.size*lead, func(at orb.Point) []drawing.Op {
		ops := []drawing.Op{j.words(orb.Point{at[0], at[1] + t.size}, "Legend", t, false)}
		body := j.body()
		h := min(pitch-1.4*j.big, 5.4*j.big)
		wide := min(11*j.big, each*0.3)
		gap := 1 + j.big
		room := each - wide - gap - 2*j.big                                      // clear of the next swatch, which may bulge
		for _, points := range []float64{style.Label, style.Small, style.Tiny} { // one size for all, where one fits
			if body.size = j.look.Pt(points); !slices.ContainsFunc(entries, func(e entry) bool { return body.width(e.words) > room }) {
				break
			}
		}
		for i, e := range entries {
			x, y := at[0]+float64(i/rows)*each, at[1]+head+float64(i%rows)*pitch
			ops = append(ops, e.draw(orb.Bound{Min: orb.Point{x, y}, Max: orb.Point{x + wide, y + h}})...)
			size := body
			lines := []string{e.words}
			if size.width(e.words) > room {
				lines = size.limit(size.wrap(e.words, room), 2, room)
			}
			for n, line := range lines {
				down := (float64(n)-float64(len(lines)-1)/2)*size.size*1.1 + size.size*0.36
				ops = append(ops, j.words(orb.Point{x + wide + gap, y + h/2 + down}, line, size, false))
			}
		}
		y := at[1] + head + pitch*float64(rows)
		for _, line := range note {
			ops = append(ops, j.words(orb.Point{at[0], y + small.size}, line, small, true))
			y += small.size * lead
		}
		return ops
	}}
}

// beware writes notes and cautions as far as they fit the box, in smaller letters where the first of both would not.
func (j *job) beware(m theme, b orb.Bound) []drawing.Op {
	ops, notes, n := j.bewareIn(m, b, style.Small)
	if m.notes != "" && (notes == 0 || n == 0) {
		if small, k, l := j.bewareIn(m, b, style.Tiny); k+l > notes+n {
			ops, notes, n = small, k, l
		}
	}
	if m.done != nil {
		m.done(notes, n)
	}
	return ops
}

// bewareIn does so in letters of so many points, in as many columns as the box has room for. It answers how many paragraphs of the notes
// and of the words had room.
func (j *job) bewareIn(m theme, b orb.Bound, points float64) (ops []drawing.Op, notes, n int) {
	t, head := letter{size: j.look.Pt(points)}, j.bold()
	columns := max(1, int((b.Max[0]-b.Min[0]+gutter)/(58*j.big+gutter)))
	w := (b.Max[0] - b.Min[0] - float64(columns-1)*gutter/2) / float64(columns)
	at, column := b.Min, 0
	// put writes paragraphs with their letters, all or none, in the next column where this one has not so much room.
	put := func(spare float64, parts ...part) bool {
		high := -parts[len(parts)-1].letter.size * 0.35
		for _, p := range parts {
			high += float64(len(p.letter.wrap(p.words, w)))*p.letter.size*lead + p.letter.size*0.35
		}
		if at[1]+high+spare > b.Max[1] {
			if column+1 == columns || b.Min[1]+high > b.Max[1] {
				return false
			}
			column++
			at = orb.Point{at[0] + w + gutter/2, b.Min[1]}
		}
		for _, p := range parts {
			for _, line := range p.letter.wrap(p.words, w) {
				at[1] += p.letter.size * lead
				x := j.words(orb.Point{at[0], at[1] - 0.2*p.letter.size}, line, p.letter, p.soft)
				if p.words == "Cautions" {
					x.Color = j.look.Caution
				}
				ops = append(ops, x)
			}
			at[1] += p.letter.size * 0.35
		}
		return true
	}
	says := m.sayings()
	for k, say := range says {
		fitted := &n
		if k+1 < len(says) {
			fitted = &notes
		}
		for i, c := range say.paragraphs {
			parts := []part{{words: c, letter: t}}
			if i == 0 {
				parts = append([]part{{words: say.head, letter: head}}, parts...)
			}
			spare := t.size * lead * 1.35 // for the last line, should the next not fit
			if column+1 < columns || k == len(says)-1 && i == len(say.paragraphs)-1 {
				spare = 0
			}
			if !put(spare, parts...) {
				put(0, part{words: "More on " + m.more + ".", letter: letter{size: t.size, italic: true}})
				return ops, notes, n
			}
			*fitted++
		}
	}
	return ops, notes, n
}

// A leftover is what the panel of a map had no room for, under the map's name.
type leftover struct {
	of   string
	says []saying
}

// keyName is the sheet on which what had no room beside a map stands.
const keyName = "Key to the map"

// fitted fills a panel for trial and keeps what has no room in it, for the sheet with the key. It answers how many of the theme's words
// stand beside the map.
func (j *job) fitted(name string, m theme, f frame, v ground.View, number int) (n int) {
	if f.slim {
		return len(m.words) // its key has all of it
	}
	notes := 0
	m.done = func(a, b int) { notes, n = a, b }
	j.panel(&drawing.List{}, m, f, v, j.scale, number, 99)
	left := leftover{of: name}
	for _, say := range m.sayings() {
		from := n
		if say.head == "Notes" {
			from = notes
		}
		if from < len(say.paragraphs) {
			left.says = append(left.says, saying{say.head, say.paragraphs[from:]})
		}
	}
	if len(left.says) > 0 && m.more == "the sheet "+keyName {
		j.left = append(j.left, left)
	}
	return n
}

// leftovers is the sheet with what had no room beside the maps.
func (j *job) leftovers() {
	if len(j.left) == 0 {
		return
	}
	f := newFlow(j, keyName)
	f.split(120 * j.big)
	for _, x := range j.left {
		for _, say := range x.says {
			head := say.head
			if len(j.left) > 1 {
				head = x.of + ": " + lowerFirst(head)
			}
			f.heading(head, 10)
			f.dashes(say.paragraphs)
		}
	}
	j.left = nil
}
