package habitat

import (
	"cmp"
	"slices"
	"strconv"

	"github.com/paulmach/orb"

	"hedgereach/data/season"
	"hedgereach/geometry"
)

// A patch is habitat ground on the site, with the share of it in flower in each half-month by which it counts.
type patch struct {
	*piece
	share [season.HalfMonths]float64
	dated *calendar
	of    *facts // the habitat that it is all of, if one alone
}

// A group is habitats that overlap, with their patches and the ground that they cover, counted once. It holds while its members,
// what of them lies on the site and the calendar do.
type group struct {
	members []*facts
	pieces  []*piece
	dated   *calendar
	patches []*patch
	area    float64
}

// patches divides the habitat on the ground so that every patch counts once at its share: Σ share·area over patches is the
// ground in flower, overlaps at the larger share. It answers the habitat's area, overlaps counted once, too.
//
// Habitats that overlap form a group. In a half-month, let f₁ ≥ f₂ ≥ … be the group's shares and U_k the union of the first k.
// The ground in flower is Σ f_k·(area(U_k) − area(U_{k−1})) = Σ (f_k − f_{k+1})·area(U_k), so each U_k is a patch with the
// share f_k − f_{k+1}, and the unions are made once for all half-months in which they are the same.
func (a *Assessor) patches(habitats []*facts) (all []*patch, area float64) {
	all = a.spare[:0]
	a.overlapping(habitats, func(members []*facts) {
		x := members[0]
		x.isAlone = len(members) == 1
		if !x.isAlone {
			for _, y := range members {
				y.isAlone = false
			}
			g := a.grouped(members)
			all = append(all, g.patches...)
			area += g.area
			return
		}
		if x.onSite == nil {
			return
		}
		if x.alone == nil || x.alone.piece != x.onSite || x.alone.dated != a.calendar {
			x.alone = &patch{x.onSite, x.flowering, a.calendar, x}
		}
		all = append(all, x.alone)
		area += x.onSite.area
	})
	return all, area
}

func (a *Assessor) grouped(members []*facts) *group {
	if g := members[0].group; g.is(members, a.calendar) {
		return g
	}
	g := &group{members: slices.Clone(members), dated: a.calendar}
	for _, x := range members {
		g.pieces = append(g.pieces, x.onSite)
	}
	failed := len(a.faults)
	if whole := a.union(members, members); whole != nil {
		g.area = whole.area
	}
	order := slices.Clone(members)
	for h := range season.HalfMonths {
		copy(order, members)
		slices.SortStableFunc(order, func(x, y *facts) int { return cmp.Compare(y.flowering[h], x.flowering[h]) })
		for k, x := range order {
			next := 0.0
			if k+1 < len(order) {
				next = order[k+1].flowering[h]
			}
			if x.flowering[h] <= next {
				continue
			}
			u := a.union(members, order[:k+1])
			if u == nil {
				continue
			}
			i := slices.IndexFunc(g.patches, func(p *patch) bool { return p.piece == u })
			if i < 0 {
				i = len(g.patches)
				g.patches = append(g.patches, &patch{piece: u, dated: a.calendar})
			}
			g.patches[i].share[h] += x.flowering[h] - next
		}
	}
	if len(a.faults) == failed { // else try again the next time
		members[0].group = g
	}
	return g
}

// is tells whether a group, or none, is still that of the members.
func (g *group) is(members []*facts, dated *calendar) bool {
	if g == nil || g.dated != dated || !slices.Equal(g.members, members) {
		return false
	}
	for i, x := range members {
		if x.onSite != g.pieces[i] {
			return false
		}
	}
	return true
}

// union is the joined ground of some of a group's members, kept for as long as they are. They are joined in plan order, which
// decides the last bits of the outline.
func (a *Assessor) union(group, some []*facts) *piece {
	var key string
	var shapes []orb.Geometry
	for _, x := range group {
		if x.onSite != nil && slices.Contains(some, x) {
			key += strconv.Itoa(x.onSite.id) + " "
			shapes = append(shapes, x.onSite.shape)
		}
	}
	if u, ok := a.unions[key]; ok {
		return u
	}
	var u *piece
	joined, err := a.overlay.union(shapes...)
	if err != nil {
		a.fail("the ground of habitats that overlap, counted once", some...)
		return nil
	}
	if len(joined) > 0 {
		u = a.newPiece(joined)
	}
	a.unions[key] = u
	return u
}

// overlapping visits groups of habitats that overlap one another, singles included, in plan order.
func (a *Assessor) overlapping(habitats []*facts, visit func(members []*facts)) {
	for i, x := range habitats {
		x.nth = i
	}
	// root leads to the first habitat of a group, next to the one after, last from the first to the last.
	root, next, last := a.links[0][:0], a.links[1][:0], a.links[2][:0]
	for i := range int32(len(habitats)) {
		root, next, last = append(root, i), append(next, -1), append(last, i)
	}
	a.links = [3][]int32{root, next, last}
	find := func(i int32) int32 {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	a.habitatPairs.update(habitats, a.round)
	for _, pair := range a.habitatPairs.found {
		i, j := find(int32(pair[0].nth)), find(int32(pair[1].nth))
		if i != j && a.overlap(pair[0], pair[1]) > overlapM2 {
			root[max(i, j)] = min(i, j)
		}
	}
	for i := range last {
		if r := find(int32(i)); r != int32(i) {
			next[last[r]], last[r] = int32(i), int32(i)
		}
	}
	var members []*facts
	for i, x := range habitats {
		if root[i] != int32(i) {
			continue
		}
		members = append(members[:0], x)
		for k := next[i]; k >= 0; k = next[k] {
			members = append(members, habitats[k])
		}
		visit(members)
	}
}

// overlapM2 is ground that two shapes share without being said to overlap: the rounding of shared edges.
const overlapM2 = 1e-4

// overlap is the ground in m² that two features share, kept for as long as both are.
func (a *Assessor) overlap(x, y *facts) float64 {
	key := [2]*facts{x, y}
	if v, ok := a.overlaps[key]; ok {
		return v
	}
	v := geometry.Covered(x.shape, y.shape)
	a.overlaps[key] = v
	return v
}
