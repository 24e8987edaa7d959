package ground

import (
	"math"
	"slices"
	"strconv"

	"github.com/paulmach/orb"

	"hedgereach/app/style"
	"hedgereach/habitat/plan"
)

// A thin is a bed that cannot hold even its number.
type thin struct {
	label  Label // with its letter, and no words yet
	sh     *shape
	number string
	v      float64      // across the group's direction, of the bed's middle
	tips   [2]orb.Point // middles of its ends: against the group's direction, and along it
}

// mostLeads is how many beds of a group are led to their numbers one by one.
const mostLeads = 12

// A manner is one way to write a number outside a bed.
type manner struct {
	letter, ring bool
	points       float64
}

// manners run from the clearest to the smallest.
var manners = []manner{{true, true, style.Tiny}, {true, false, style.Tiny}, {true, false, tightest}, {false, false, style.Tiny},
	{false, false, tightest}}

func (m manner) on(l Label) bool { return l.Letter != "" || !m.letter }

func (m manner) write(pl *placing, l Label, number string) Label {
	l.Words, l.Plain = number, !m.ring
	if !m.letter {
		l.Letter = ""
	}
	pl.measure(&l, m.points)
	if l.Letter == "" || l.Plain {
		l.H = 0.86 * l.Size // figures have no tails: beds may lie this close
	}
	return l
}

// thins numbers the beds that hold no label themselves. Neighbours that lie side by side are taken together, so that a block of
// narrow beds has its numbers in one line at the beds' ends; what finds no place so is led to its number.
func (pl *placing) thins(beds []*thin) {
	for _, g := range sideBySide(beds, pl.s.Pt(14)) {
		left := pl.row(g)
		if len(left) > mostLeads {
			continue // a thicket of lines tells nothing
		}
		for _, t := range left {
			if pl.speck(t.sh) {
				continue // too small to point at
			}
			if !pl.lead(t.label, t.number, t.sh) && t.label.Letter != "" {
				bare := t.label
				bare.Letter = ""
				pl.lead(bare, t.number, t.sh)
			}
		}
	}
}

func (pl *placing) speck(sh *shape) bool {
	return sh.bound.Max[0]-sh.bound.Min[0] < pl.s.Pt(5) && sh.bound.Max[1]-sh.bound.Min[1] < pl.s.Pt(5)
}

// sideBySide parts beds into groups of parallel neighbours no farther than gap apart, each in order across.
func sideBySide(beds []*thin, gap float64) [][]*thin {
	group := make([]int, len(beds))
	for i := range group {
		group[i] = i
	}
	var root func(i int) int
	root = func(i int) int {
		if group[i] != i {
			group[i] = root(group[i])
		}
		return group[i]
	}
	for i, a := range beds {
		near := a.sh.bound.Pad(gap)
		for j, b := range beds[:i] {
			if !near.Intersects(b.sh.bound) || root(i) == root(j) || !neighbours(a.sh, b.sh, gap) {
				continue
			}
			group[root(i)] = root(j)
		}
	}
	at := map[int]int{}
	var out [][]*thin
	for i, t := range beds {
		k, known := at[root(i)]
		if !known {
			k = len(out)
			at[root(i)], out = k, append(out, nil)
		}
		out[k] = append(out[k], t)
	}
	for _, g := range out {
		d := g[0].sh.along
		for _, t := range g {
			t.lie(d)
		}
		slices.SortStableFunc(g, func(a, b *thin) int {
			switch {
			case a.v < b.v:
				return -1
			case a.v > b.v:
				return 1
			}
			return 0
		})
	}
	return out
}

// neighbours tells whether two shapes lie side by side: parallel within some 7 degrees, at least half of the shorter beside the
// other, and close.
func neighbours(a, b *shape, gap float64) bool {
	d := a.along
	if math.Abs(d[0]*b.along[1]-d[1]*b.along[0]) > 0.12 {
		return false
	}
	a0, a1, av0, av1 := a.extent(d)
	b0, b1, bv0, bv1 := b.extent(d)
	if min(a1, b1)-max(a0, b0) < 0.5*min(a1-a0, b1-b0) {
		return false
	}
	return max(av0, bv0)-min(av1, bv1) < gap
}

// extent is how far the shape reaches along d and across it.
func (sh *shape) extent(d orb.Point) (u0, u1, v0, v1 float64) {
	u0, u1, v0, v1 = inf, -inf, inf, -inf
	for _, r := range sh.rings {
		for _, p := range r {
			u, v := turn(p, d)
			u0, u1, v0, v1 = min(u0, u), max(u1, u), min(v0, v), max(v1, v)
		}
	}
	return u0, u1, v0, v1
}

// lie finds where a bed's ends are, as seen along the group's direction.
func (t *thin) lie(d orb.Point) {
	own := t.sh.along
	if own[0]*d[0]+own[1]*d[1] < 0 {
		own = orb.Point{-own[0], -own[1]}
	}
	u0, u1, _, _ := t.sh.extent(own)
	mid := t.sh.middle()
	_, t.v = turn(mid, d)
	um, _ := turn(mid, own)
	n := orb.Point{-own[1], own[0]}
	in := min(t.sh.width/2, (u1-u0)/4)
	for i, u := range []float64{u0 + in, u1 - in} {
		sign := float64(2*i - 1)
		t.tips[i] = from(t.sh.across(from(mid, own, u-um, n, 0), n), own, sign*in, n, 0)
	}
}

// row numbers a group at its ends and answers the beds that it could not number.
func (pl *placing) row(g []*thin) []*thin {
	d := g[0].sh.along
	pitch := inf
	for i := 1; i < len(g); i++ {
		pitch = min(pitch, g[i].v-g[i-1].v)
	}
	all := func(int) bool { return true }
	for _, m := range manners { // all at one end
		if m.on(g[0].label) {
			for side := range 2 {
				if pl.atEnds(g, d, m, pitch, all, func(int) int { return side }) {
					return nil
				}
			}
		}
	}
	for _, m := range manners[1:] { // by turns at either end
		if m.on(g[0].label) && len(g) > 2 {
			for side := range 2 {
				if pl.atEnds(g, d, m, 2*pitch, all, func(i int) int { return (i + side) % 2 }) {
					return nil
				}
			}
		}
	}
	if len(g) > 1 {
		for _, m := range manners[1:] { // led to a line of numbers
			if !m.on(g[0].label) {
				continue
			}
			for _, away := range []float64{7, 12, 18, 26} {
				for side := range 2 {
					if pl.fan(g, d, m, side, pl.s.Pt(away)) {
						return nil
					}
				}
			}
		}
	}
	if counted(g) { // as on a rule: every so many bear a number
		for _, every := range []int{2, 5, 10, 20, 50} {
			if every >= len(g) {
				break
			}
			first, _ := strconv.Atoi(g[0].number)
			step := 1
			if second, _ := strconv.Atoi(g[1].number); second < first {
				step = -1
			}
			on := func(i int) bool {
				return i == 0 || i == len(g)-1 || (first+step*i)%every == 0 && i >= every/2 && i < len(g)-every/2
			}
			for side := range 2 {
				for _, m := range manners[3:] {
					if pl.atEnds(g, d, m, pitch*float64(max(1, every/2)), on, func(int) int { return side }) {
						return nil
					}
				}
			}
		}
	}
	// As many as there is room for.
	var left []*thin
	for _, t := range g {
		if !slices.ContainsFunc(manners, func(m manner) bool {
			return m.on(t.label) && (pl.atEnd(t, d, m, 0, inf) || pl.atEnd(t, d, m, 1, inf))
		}) {
			left = append(left, t)
		}
	}
	return left
}

// counted tells whether a group's numbers run on by one, so that those between can be counted.
func counted(g []*thin) bool {
	for i := 1; i < len(g); i++ {
		a, errA := strconv.Atoi(g[i-1].number)
		b, errB := strconv.Atoi(g[i].number)
		if errA != nil || errB != nil || math.Abs(float64(b-a)) != 1 {
			return false
		}
		if i > 1 {
			if z, _ := strconv.Atoi(g[i-2].number); a-z != b-a {
				return false
			}
		}
	}
	return len(g) > 2
}

// atEnds writes the numbers of the beds asked for at the ends asked for: all, or none and false. Pitch is how close they come.
func (pl *placing) atEnds(g []*thin, d orb.Point, m manner, pitch float64, on func(int) bool, side func(int) int) bool {
	taken, out := len(pl.taken), len(pl.out)
	for i, t := range g {
		if !on(i) {
			last := &pl.out[len(pl.out)-1]
			last.Run = append(last.Run, t.label.Feature)
			continue
		}
		if !pl.atEnd(t, d, m, side(i), pitch) {
			pl.taken, pl.out = pl.taken[:taken], pl.out[:out]
			return false
		}
	}
	return true
}

// atEnd writes a bed's number at one of its ends, level or along the bed.
func (pl *placing) atEnd(t *thin, d orb.Point, m manner, side int, pitch float64) bool {
	l := m.write(pl, t.label, t.number)
	l.Short = true
	angle := math.Atan2(-d[1], d[0]) * 180 / math.Pi
	turns := []float64{0}
	if math.Abs(angle) > 20 {
		if turns = []float64{angle}; pitch >= 1.15*l.W {
			turns = []float64{0, angle}
		}
	}
	way := orb.Point{d[0] * float64(2*side-1), d[1] * float64(2*side-1)}
	for _, a := range turns {
		l.Angle = a
		half := l.W / 2
		if a == 0 {
			if pitch < math.Abs(d[0])*l.H*0.98 && math.Abs(angle) <= 20 {
				continue
			}
			half = math.Abs(way[0])*l.W/2 + math.Abs(way[1])*l.H/2
		} else if pitch < l.H*0.98 {
			continue
		}
		l.At = from(t.tips[side], way, half+pl.s.Pt(2), way, 0)
		// Nearer to its own bed than to the next block's: more room is kept beyond the number than before it.
		before, beyond, above := pl.s.Pt(1), pl.s.Pt(3.5), pl.s.Pt(0.8)
		room, sides := l, [2]float64{(before + beyond) / 2, above}
		room.At = from(l.At, way, (beyond-before)/2, way, 0)
		if a == 0 && math.Abs(way[1]) > math.Abs(way[0]) {
			sides[0], sides[1] = sides[1], sides[0]
		}
		if !pl.hits(room, t.sh, sides[0], sides[1]) && pl.put(l) {
			return true
		}
	}
	return false
}

// fan writes a group's numbers in a line so far off one end, as close as they may stand, and leads each bed to its own.
func (pl *placing) fan(g []*thin, d orb.Point, m manner, side int, away float64) bool {
	sign := float64(2*side - 1)
	way, n := orb.Point{sign * d[0], sign * d[1]}, orb.Point{-d[1], d[0]}
	angle := math.Atan2(-d[1], d[0]) * 180 / math.Pi
	if math.Abs(angle) <= 20 {
		angle = 0
	}
	far, wide := -inf, 0.0
	var size float64
	at, shift := make([]float64, len(g)), 0.0
	for i, t := range g {
		l := m.write(pl, t.label, t.number)
		size, wide = l.H*1.06, max(wide, l.W)
		u, _ := turn(t.tips[side], way)
		far = max(far, u)
		at[i] = t.v
		if i > 0 {
			at[i] = max(at[i], at[i-1]+size)
		}
		shift += (at[i] - t.v) / float64(len(g))
	}
	taken, out := len(pl.taken), len(pl.out)
	for i, t := range g {
		l := m.write(pl, t.label, t.number)
		l.Short, l.Angle = true, angle
		u, _ := turn(t.tips[side], way)
		_, v := turn(t.tips[side], d)
		l.At = from(t.tips[side], way, far-u+away+wide/2, n, at[i]-shift-v)
		foot := from(t.tips[side], way, -min(pl.s.Pt(1.5), t.sh.width/2), n, 0)
		l.Lead = Lead{foot, from(l.At, way, -l.W/2-pl.s.Pt(1.2), n, 0)}
		if pl.hits(l, t.sh, pl.s.Pt(1.2), pl.s.Pt(0.8)) || !pl.clearWay(l.Lead, t.sh) || !pl.put(l) {
			pl.taken, pl.out = pl.taken[:taken], pl.out[:out]
			return false
		}
	}
	return true
}

// hits tells whether the label comes within so much of a shape that is not its own, at its sides, and above or below.
func (pl *placing) hits(l Label, own *shape, side, above float64) bool {
	l.W, l.H = l.W+2*side, l.H+2*above
	b := newBox(l.Box())
	return pl.shapes.any(b.bound, func(sh *shape) bool {
		if sh == own || !sh.bound.Intersects(b.bound) {
			return false
		}
		for _, r := range sh.rings {
			if inRing(r, l.At) {
				return true
			}
			for i, p := range r {
				if b.meets(p, r[(i+1)%len(r)]) {
					return true
				}
			}
		}
		return false
	})
}

// meets tells whether a line enters the box.
func (b box) meets(p, q orb.Point) bool {
	if _, _, near := clipTo(b.bound, p, q); !near {
		return false
	}
	in := true
	for i, c := range b.corners {
		next := b.corners[(i+1)%4]
		if cross(p, q, c, next) {
			return true
		}
		e, w := sub(next, c), sub(p, c)
		in = in && e[0]*w[1]-e[1]*w[0] >= 0
	}
	return in
}

// Beds are the beds that the label names: its own, and those that count on from it.
func (l Label) Beds() []*plan.Feature { return append([]*plan.Feature{l.Feature}, l.Run...) }
