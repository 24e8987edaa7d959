package ground

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/face"
	"hedgereach/app/style"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// A Label is a feature's name in its place: within the feature where it fits, else beside it.
type Label struct {
	Feature *plan.Feature
	Words   string   // two lines where it has a line break
	Under   []string // small lines under the words: a bed's crops
	Short   bool     // Words is the feature's number, since the name did not fit
	Letter  string   // of the bed's status, in a ring before the words; "" for none
	Ring    style.Mark
	Plain   bool // the letter stands without its ring, for want of room
	Inside  bool
	Lead    Lead            // from a bed too small for any of this to its number; zero: none
	Run     []*plan.Feature // further beds whose numbers count on from this one's; they bear none
	At      orb.Point       // middle of the label, units
	Angle   float64         // degrees, counter-clockwise as seen
	Size    float64         // em height, units
	W, H    float64         // of the label, units

	headW, headH float64 // of the label without the lines under it
}

// Box is the label's corners, in order round.
func (l Label) Box() [4]orb.Point {
	d, n := l.axes()
	var out [4]orb.Point
	for i, c := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		out[i] = from(l.At, d, c[0]*l.W/2, n, c[1]*l.H/2)
	}
	return out
}

// axes are the unit vectors along the words and down across them.
func (l Label) axes() (along, down orb.Point) {
	s, c := math.Sincos(l.Angle * math.Pi / 180)
	return orb.Point{c, -s}, orb.Point{s, c}
}

// Numbers gives each bed a short mark for the map: the last word of its name where that is a number of a kind ("7", "B7") and
// no two beds share one, else its place in the plan.
func Numbers(p *plan.Plan) map[string]string {
	beds := make([]*plan.Feature, 0, len(p.Features))
	out, seen, own := map[string]string{}, map[string]bool{}, true
	for _, f := range p.Features {
		if f.Kind != plan.Bed {
			continue
		}
		beds = append(beds, f)
		words := strings.Fields(f.Name)
		mark := ""
		if len(words) > 0 {
			mark = words[len(words)-1]
		}
		if n := utf8.RuneCountInString(mark); n == 0 || n > 4 || !strings.ContainsFunc(mark, unicode.IsDigit) || seen[mark] {
			own = false
		}
		seen[mark] = true
		out[f.ID] = mark
	}
	if !own {
		for i, f := range beds {
			out[f.ID] = strconv.Itoa(i + 1)
		}
	}
	return out
}

// precedence is the order in which kinds get their labels; -1 for kinds that carry none.
func precedence(k plan.Kind) int {
	switch k {
	case plan.Bed:
		return 0
	case plan.TrapCrop, plan.Building, plan.Pond:
		return 1
	case plan.Hedgerow, plan.PerennialStrip, plan.FlowerStrip, plan.BeetleBank, plan.WildMargin, plan.CoverCrop:
		return 2
	case plan.Tree, plan.Path, plan.Stake, plan.Trap:
		return 3
	}
	return -1
}

// placing is the work of putting labels on a drawing.
type placing struct {
	s       style.Look
	window  orb.Bound
	seen    orb.Bound    // part of it
	shapes  near[*shape] // that a label from elsewhere had better not cover
	firm    near[*shape] // that none may cover: beds and buildings
	lines   near[*shape] // paths and the boundary: a label had rather not stand across them
	named   near[*shape] // those with a name: the middle of a label from elsewhere would be read as theirs
	leads   bool         // a name that has no room beside what it names is led to
	later   []func()     // names that found no open ground: they choose when all others have their places
	taken   []box
	where   near[int] // places in taken; those past its end are of boxes taken back
	out     []Label
	led     near[int] // places in out of labels with a lead
	scratch [3][]float64
}

// A box is a label's corners with the upright box about them, for a quick first test.
type box struct {
	corners [4]orb.Point
	bound   orb.Bound
}

func newBox(c [4]orb.Point) box {
	b := orb.Bound{Min: c[0], Max: c[0]}
	for _, p := range c[1:] {
		b = b.Extend(p)
	}
	return box{c, b}
}

// Labels places the names of the plan's features, beds first; no two overlap, none leaves the window, and one that finds no
// place is left out. A bed whose name does not fit gets its number; where that does not fit either, it stands at the bed's end
// or is led to.
func Labels(p *plan.Plan, v View, s style.Look, show Show) []Label {
	cell := s.Pt(60)
	pl := placing{s: s, window: show.Window, shapes: newNear[*shape](cell), firm: newNear[*shape](cell), lines: newNear[*shape](cell),
		named: newNear[*shape](cell), where: newNear[int](cell), led: newNear[int](cell), leads: show.Leads}
	if show.Window == (orb.Bound{}) {
		pl.window = orb.Bound{Min: orb.Point{-inf, -inf}, Max: orb.Point{inf, inf}}
	}
	if pl.seen = show.Seen; pl.seen == (orb.Bound{}) {
		pl.seen = pl.window
	}
	for _, b := range show.Busy {
		pl.take(newBox(corners(b)))
	}
	numbers := show.Numbers
	type item struct {
		f  *plan.Feature
		sh *shape
		at orb.Point // of a mark
	}
	var byTurn [4][]item
	var thins []*thin
	for _, f := range show.features(p) {
		turn := precedence(f.Kind)
		if f.Kind == plan.Boundary {
			if sh, ok := newShape(f, v, s, show.window(s)); ok {
				pl.lines.add(sh.bound, sh)
			}
		}
		if turn < 0 || f.Hidden || show.Hidden[f.ID] || !show.sees(f, v, s) {
			continue
		}
		if f.Kind == plan.Trap || f.Kind == plan.Stake {
			if at, ok := markAt(f); ok {
				at = v.To(at)
				r := s.Pt(5)
				pl.take(newBox(corners(orb.Bound{Min: at, Max: at}.Pad(r))))
				byTurn[turn] = append(byTurn[turn], item{f: f, at: at})
			}
			continue
		}
		sh, ok := newShape(f, v, s, show.window(s))
		if !ok {
			continue
		}
		if f.Kind == plan.Bed || f.Kind == plan.Building {
			pl.firm.add(sh.bound, sh)
		}
		if f.Kind == plan.Bed || strings.TrimSpace(f.Name) != "" {
			pl.named.add(sh.bound, sh)
		}
		if f.Kind == plan.Path {
			pl.lines.add(sh.bound, sh)
		} else {
			pl.shapes.add(sh.bound, sh)
		}
		byTurn[turn] = append(byTurn[turn], item{f: f, sh: sh})
	}
	for _, items := range byTurn {
		for _, it := range items {
			l := Label{Feature: it.f}
			full := strings.TrimSpace(face.Clean(it.f.Name))
			if it.f.Kind == plan.Bed {
				if show.Statuses != nil {
					st := show.Statuses[it.f.ID]
					l.Letter, l.Ring = st.Letter(), s.Status(st)
				}
				if numbers == nil {
					numbers = Numbers(p)
				}
				if !pl.bed(l, it.sh, full, numbers[it.f.ID], show.Sizes[it.f.ID], show.Crops[it.f.ID]) {
					thins = append(thins, &thin{label: l, sh: it.sh, number: numbers[it.f.ID]})
				}
			} else if full != "" {
				if it.sh == nil {
					pl.beside(l, full, orb.Bound{Min: it.at, Max: it.at}.Pad(s.Pt(5)), style.Small, nil)
				} else {
					pl.other(l, it.sh, full)
				}
			}
		}
		pl.thins(thins)
		thins = nil
	}
	for _, place := range pl.later {
		place()
	}
	return pl.out
}

var bedSizes = []float64{style.Label, style.Small, style.Tiny}

// tightest is the letter size in points of a number in a bed that holds nothing else: 1.75 mm on paper.
const tightest = 7.0

// bed tries the name with the bed's size inside, then the name, then the number.
func (pl *placing) bed(l Label, sh *shape, full, number, size string, crops []string) bool {
	if full == "" {
		full = number
	}
	var tries []string
	if size != "" {
		tries = []string{full + "\n" + size, full + " · " + size, number + "\n" + size, number + " · " + size}
	}
	for _, words := range append(tries, full, number) {
		l.Words, l.Short = words, !strings.HasPrefix(words, full)
		for _, points := range bedSizes {
			for lines := 1; lines <= min(mostUnder, len(crops)) && !l.Short; lines++ { // crops where there is room, however small the name
				l.Under = inLines(crops, lines)
				if pl.inside(l, sh, points) {
					return true
				}
			}
			l.Under = nil
			if pl.inside(l, sh, points) {
				return true
			}
		}
	}
	l.Letter = ""
	return pl.inside(l, sh, tightest) // the number alone
}

// The lines under a bed's name: how many at most, and their letters in points, 2 mm on paper.
const (
	mostUnder   = 2
	underPoints = 8.0
	airUnder    = 0.5 // over and under the label together, in em of these letters
)

// inLines parts words into so many lines, in order, the longest of which is as short as can be.
func inLines(words []string, lines int) []string {
	if lines <= 1 || len(words) < 2 {
		return []string{strings.Join(words, ", ")}
	}
	var best []string
	longest := 0
	for i := 1; i <= len(words)-lines+1; i++ {
		try := append([]string{strings.Join(words[:i], ", ") + ","}, inLines(words[i:], lines-1)...)
		most := 0
		for _, line := range try {
			most = max(most, utf8.RuneCountInString(line))
		}
		if best == nil || most < longest {
			best, longest = try, most
		}
	}
	return best
}

func (pl *placing) other(l Label, sh *shape, full string) {
	l.Words = full
	for _, size := range bedSizes {
		if pl.inside(l, sh, size) {
			return
		}
	}
	if utf8.RuneCountInString(full) <= 32 && max(sh.bound.Max[0]-sh.bound.Min[0], sh.bound.Max[1]-sh.bound.Min[1]) > pl.s.Pt(8) {
		pl.beside(l, full, sh.bound, style.Small, sh)
	}
}

// italic tells whether a kind's names slope: what grows wild and water, as on maps.
func italic(k plan.Kind) bool { return k.Habitat() }

// ringed is the width of a status's ring, in em of the words beside it.
const ringed = 1.4

// leading is from line to line of a name in two lines, in em.
const leading = 1.1

// measure sets the label's size and box.
func (pl *placing) measure(l *Label, points float64) {
	l.Size = pl.s.Pt(points)
	l.W = 0
	lines := strings.Split(l.Words, "\n")
	for _, line := range lines {
		l.W = max(l.W, face.Width(line, l.Size, false, italic(l.Feature.Kind)))
	}
	l.H = 1.25*l.Size + float64(len(lines)-1)*leading*l.Size
	if points == tightest {
		l.H = l.Size
	}
	if l.Letter != "" && l.Plain {
		l.W += l.letter() + 0.3*l.Size
	} else if l.Letter != "" {
		l.H = max(l.H, ringed*l.Size)
		if l.W > 0 {
			l.W += 0.35 * l.Size
		}
		l.W += ringed * l.Size
	}
	l.headW, l.headH = l.W, l.H
	small := pl.s.Pt(underPoints)
	for _, line := range l.Under {
		l.W = max(l.W, face.Width(line, small, false, false)+2*small) // with air about it, or the bed looks crammed
		l.H += leading * small
	}
	if len(l.Under) > 0 {
		l.H += airUnder * small
	}
}

// letter is how wide the letter of the status is where it has no ring.
func (l Label) letter() float64 { return face.Width(l.Letter, l.Size, true, false) }

// inside puts the label within the shape, along its long side or level.
func (pl *placing) inside(l Label, sh *shape, points float64) bool {
	pl.measure(&l, points)
	l.Inside = true
	along := sh.along
	angle := math.Atan2(-along[1], along[0]) * 180 / math.Pi
	turns := []float64{angle, 0}
	if math.Abs(angle) > 45 {
		turns = []float64{0, angle} // level reads better, where it fits
	}
	pad := pl.s.Pt(1.6)
	if points == tightest {
		pad = 0
	}
	for i, a := range turns {
		if i == 1 && turns[0] == turns[1] {
			break
		}
		l.Angle = a
		d, _ := l.axes()
		for _, at := range pl.rooms(sh, d, l.W+2*pad, l.H+0.6*pad) {
			l.At = at
			if pl.put(l) {
				return true
			}
		}
	}
	return false
}

// rooms lists places for a w × h box along d that lie wholly inside the shape and the window: the middle first.
func (pl *placing) rooms(sh *shape, d orb.Point, w, h float64) []orb.Point {
	lo, hi := inf, -inf
	for _, r := range sh.rings {
		for _, p := range r {
			_, v := turn(p, d)
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	if hi-lo < h {
		return nil
	}
	mid, free := (lo+hi)/2, (hi-lo-h)/2
	var out []orb.Point
	buf, line, tmp := pl.scratch[0], pl.scratch[1], pl.scratch[2]
	defer func() { pl.scratch = [3][]float64{buf, line, tmp} }()
	for _, share := range []float64{0, -0.35, 0.35, -0.7, 0.7, -1, 1} {
		v := mid + share*free
		buf = sh.clear(d, v, buf)
		for _, k := range []float64{-0.5, 0.5, -0.25, 0.25} {
			line = sh.clear(d, v+k*h*0.999, line)
			tmp = both(buf, line, tmp)
			buf, tmp = tmp, buf
		}
		best := -1
		for i := 0; i+1 < len(buf); i += 2 {
			a, b := back(buf[i], v, d), back(buf[i+1], v, d)
			t0, t1, seen := clipTo(pl.window, a, b) // the middle of what can be seen
			if !seen {
				t1 = 0
			}
			buf[i], buf[i+1] = buf[i]+t0*(buf[i+1]-buf[i]), buf[i]+t1*(buf[i+1]-buf[i])

			if buf[i+1]-buf[i] >= w && (best < 0 || buf[i+1]-buf[i] > buf[best+1]-buf[best]) {
				best = i
			}
		}
		if best < 0 {
			continue
		}
		out = append(out, back((buf[best]+buf[best+1])/2, v, d))
		// Where a part is out of view, or the middle is taken, either end may do.
		if buf[best+1]-buf[best] > 1.5*w {
			out = append(out, back(buf[best]+w/2, v, d), back(buf[best+1]-w/2, v, d))
		}
		if free <= 0 {
			break
		}
	}
	return out
}

// beside puts the words next to a bound: in view first where what they name is. Right, below, above, left, then at its corners, along a
// long one's sides, and at last farther off; in one line, else in two; over open ground first, then across paths and the boundary. What
// finds no place so waits until all others have theirs; then it is led to, or stands over the edge of what grows wild. Where only the
// middle of another thing with a name is left, it has none.
func (pl *placing) beside(l Label, words string, b orb.Bound, points float64, own *shape) {
	views := []orb.Bound{pl.window}
	if pl.seen != pl.window && pl.seen.Intersects(b) {
		views = []orb.Bound{pl.seen, pl.window}
	}
	forms := []string{words}
	if two := inTwo(words); two != words {
		forms = append(forms, two)
	}
	for _, view := range views {
		if pl.besideWithin(view, l, forms, b, points, own, &pl.shapes, &pl.lines) || pl.besideWithin(view, l, forms, b, points, own, &pl.shapes) {
			return
		}
	}
	pl.later = append(pl.later, func() {
		if pl.leads && pl.ledTo(l, forms, points, b, own) {
			return
		}
		for _, view := range views {
			if pl.besideWithin(view, l, forms, b, points, own, &pl.firm) {
				return
			}
		}
	})
}

// besideWithin does so within a view, clear of some shapes.
func (pl *placing) besideWithin(view orb.Bound, l Label, forms []string, b orb.Bound, points float64, own *shape, clear ...*near[*shape]) bool {
	c := b.Center()
	for _, l.Words = range forms {
		pl.measure(&l, points)
		for _, gap := range []float64{pl.s.Pt(2), pl.s.Pt(7)} {
			left, right := b.Min[0]-gap-l.W/2, b.Max[0]+gap+l.W/2
			above, below := b.Min[1]-gap-l.H/2, b.Max[1]+gap+l.H/2
			places := [16]orb.Point{{right, c[1]}, {c[0], below}, {c[0], above}, {left, c[1]},
				{right, below}, {right, above}, {left, below}, {left, above}}
			n := 8
			if q := (b.Max[1] - b.Min[1]) / 3; q > 2*l.H {
				n += copy(places[n:], []orb.Point{{right, c[1] - q}, {right, c[1] + q}, {left, c[1] - q}, {left, c[1] + q}})
			}
			if q := (b.Max[0] - b.Min[0]) / 3; q > l.W {
				n += copy(places[n:], []orb.Point{{c[0] - q, below}, {c[0] + q, below}, {c[0] - q, above}, {c[0] + q, above}})
			}
			for _, at := range places[:n] {
				l.At = at
				if box := newBox(l.Box()).bound; !view.Contains(box.Min) || !view.Contains(box.Max) {
					continue
				}
				if !pl.covers(l, own, clear...) && !pl.usurps(l, c, own) && pl.put(l) {
					return true
				}
			}
		}
	}
	return false
}

// inTwo breaks a name at the space nearest to its middle; a short one, or one of a single word, stays as it is.
func inTwo(words string) string {
	if utf8.RuneCountInString(words) < 12 {
		return words
	}
	best := -1
	for i, r := range words {
		if r == ' ' && (best < 0 || abs(2*i-len(words)) < abs(2*best-len(words))) {
			best = i
		}
	}
	if best < 0 {
		return words
	}
	return words[:best] + "\n" + words[best+1:]
}

func abs(n int) int { return max(n, -n) }

// covers tells whether the label would lie over one of the shapes that is not its own, or so near that it would seem to be
// that one's name.
func (pl *placing) covers(l Label, own *shape, shapes ...*near[*shape]) bool {
	b := newBox(l.Box()).bound.Pad(pl.s.Pt(4))
	for _, n := range shapes {
		if n.any(b, func(sh *shape) bool { return sh != own && sh.bound.Intersects(b) && sh.lies(b, l.At) }) {
			return true
		}
	}
	return false
}

// usurps tells whether the middle of the label stands on something else that has a name, so that it would be read as that one's. What
// holds the thing named, as a margin its pond, is not meant.
func (pl *placing) usurps(l Label, c orb.Point, own *shape) bool {
	l.W /= 2
	b := newBox(l.Box()).bound
	return pl.named.any(b, func(sh *shape) bool {
		return sh != own && sh.bound.Intersects(b) && sh.lies(b, l.At) && !sh.holds(c)
	})
}

// holds tells whether a point lies within the shape.
func (sh *shape) holds(p orb.Point) bool {
	in := false
	for _, r := range sh.rings {
		in = in != inRing(r, p)
	}
	return in
}

// lies tells whether the outline enters the bound, or the shape holds the point.
func (sh *shape) lies(b orb.Bound, at orb.Point) bool {
	for _, r := range sh.rings {
		for i, p := range r {
			if _, _, hit := clipTo(b, p, r[(i+1)%len(r)]); hit {
				return true
			}
		}
		if inRing(r, at) {
			return true
		}
	}
	return false
}

// put takes the place if it is in the window and free.
func (pl *placing) put(l Label) bool {
	b := newBox(l.Box())
	if !pl.window.Contains(b.bound.Min) || !pl.window.Contains(b.bound.Max) {
		return false
	}
	if pl.where.any(b.bound, func(i int) bool {
		return i < len(pl.taken) && pl.taken[i].bound.Intersects(b.bound) && Overlap(pl.taken[i].corners, b.corners)
	}) {
		return false
	}
	pl.take(b)
	if l.Lead.given() {
		pl.led.add(l.Lead.bound(), len(pl.out))
	}
	pl.out = append(pl.out, l)
	return true
}

func (pl *placing) take(b box) {
	pl.where.add(b.bound, len(pl.taken))
	pl.taken = append(pl.taken, b)
}

// Overlap tells whether two rectangles, each by its corners in order, share ground: none of the four side directions
// separates them.
func Overlap(a, b [4]orb.Point) bool {
	for _, r := range [2][4]orb.Point{a, b} {
		for i := range 2 {
			n := sub(r[i+1], r[i])
			alo, ahi := reach(a, n)
			blo, bhi := reach(b, n)
			if ahi <= blo || bhi <= alo {
				return false
			}
		}
	}
	return true
}

func reach(r [4]orb.Point, n orb.Point) (lo, hi float64) {
	lo, hi = inf, -inf
	for _, p := range r {
		d := p[0]*n[0] + p[1]*n[1]
		lo, hi = min(lo, d), max(hi, d)
	}
	return lo, hi
}

// LabelOps writes labels.
func LabelOps(labels []Label, s style.Look) []drawing.Op {
	ops := make([]drawing.Op, 0, len(labels)*2)
	for _, l := range labels {
		if l.Lead.given() {
			ops = append(ops, leadOps(l.Lead, s)...)
		}
		d, n := l.axes()
		head := l.W // of the words with their letter
		if len(l.Under) > 0 {
			middle := l.At
			head = l.headW
			small := s.Pt(underPoints)
			top := (airUnder*small - l.H) / 2
			l.At = from(l.At, d, 0, n, top+l.headH/2)
			for i, line := range l.Under {
				at := from(middle, d, -face.Width(line, small, false, false)/2, n, top+l.headH+(float64(i)*leading+0.78)*small)
				ops = append(ops, drawing.Text{At: at, Words: line, Size: small, Color: s.Ink, Rotate: l.Angle, Halo: s.Halo, HaloWidth: s.Pt(2.6)})
			}
		}
		x := -head / 2
		switch {
		case l.Letter != "" && l.Plain:
			ops = append(ops, drawing.Text{At: from(l.At, d, x, n, 0.35*l.Size), Words: l.Letter, Size: l.Size, Bold: true, Color: s.Ink,
				Rotate: l.Angle, Halo: style.Fade(s.Halo, 0.88), HaloWidth: s.Pt(1.8)})
			x += l.letter() + 0.3*l.Size
		case l.Letter != "":
			w := ringed * l.Size
			ops = append(ops, StatusRing(from(l.At, d, x+w/2, n, 0), w*0.46, l.Letter, l.Ring, s)...)
			x += w + 0.35*l.Size
		}
		if l.Words == "" {
			continue
		}
		lines := strings.Split(l.Words, "\n")
		for i, line := range lines {
			at := from(l.At, d, x, n, (0.35+leading*(float64(i)-float64(len(lines)-1)/2))*l.Size)
			if len(lines) > 1 && l.Letter == "" {
				at = from(at, d, (head-face.Width(line, l.Size, false, italic(l.Feature.Kind)))/2, n, 0)
			}
			ops = append(ops, drawing.Text{At: at, Words: line, Size: l.Size, Color: s.Ink,
				Italic: italic(l.Feature.Kind), Rotate: l.Angle, Halo: style.Fade(s.Halo, 0.88), HaloWidth: s.Pt(1.8)})
		}
	}
	return ops
}

// StatusRing draws a status's letter in a ring of its colour, radius r about at. The letter stands upright also where the name
// beside it is turned.
func StatusRing(at orb.Point, r float64, letter string, m style.Mark, s style.Look) []drawing.Op {
	var ring sketch
	ring.circle(at, r, 24)
	q := r * 1.42 // em height of the letter
	return []drawing.Op{
		drawing.Fill{Path: ring.path, Color: s.Halo},
		drawing.Stroke{Path: ring.path, Pen: s.Pen(m.Color, style.Medium)},
		drawing.Text{At: orb.Point{at[0], at[1] + q*0.357}, Words: letter, Size: q, Bold: true, Color: s.Ink, Align: drawing.Middle},
	}
}

// StatusSwatch draws a piece of bed with a status, as on the map.
func StatusSwatch(st habitat.Status, b orb.Bound, s style.Look) []drawing.Op {
	f, v := sample(plan.Bed, b)
	return FeatureOps(f, st, v, s, Show{Statuses: map[string]habitat.Status{}})
}
