package habitat

import (
	"cmp"
	"slices"
	"sync"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
)

// A finder finds things by their boxes: by looking at each while there are few, or few ask, and by an index otherwise. Both find
// the same. Any number of goroutines may ask at once.
type finder struct {
	n      int
	box    func(i int) orb.Bound
	plain  bool // look at each
	making sync.Once
	boxes  *geometry.Boxes
}

// fewThings are as quickly looked at one by one as by an index.
const fewThings = 32

func newFinder(n int, box func(i int) orb.Bound) *finder {
	return &finder{n: n, box: box, plain: n <= fewThings}
}

// near appends the indexes, in rising order, of the things whose boxes come within so many metres of another.
func (f *finder) near(dst []int32, to orb.Bound, within float64) []int32 {
	if f.plain {
		for i := range f.n {
			if apart(f.box(i), to) <= within {
				dst = append(dst, int32(i))
			}
		}
		return dst
	}
	f.making.Do(func() { f.boxes = geometry.NewBoxes(f.n, f.box) })
	from := len(dst)
	dst = f.boxes.Near(dst, to, within*(1+1e-9)) // a little wide, so that rounding decides nothing
	kept := dst[:from]
	for _, i := range dst[from:] {
		if apart(f.box(int(i)), to) <= within {
			kept = append(kept, i)
		}
	}
	return kept
}

// any tells whether the box of any of the things comes within so many metres of another.
func (f *finder) any(to orb.Bound, within float64) bool {
	if f == nil {
		return false
	}
	if f.plain {
		for i := range f.n {
			if apart(f.box(i), to) <= within {
				return true
			}
		}
		return false
	}
	f.making.Do(func() { f.boxes = geometry.NewBoxes(f.n, f.box) })
	return f.boxes.Any(to, within)
}

// newCrowd finds features.
func newCrowd(list []*facts) *crowd {
	return &crowd{list: list, finder: newFinder(len(list), func(i int) orb.Bound { return list[i].bound })}
}

// A crowd is features found by their boxes. A nil crowd has none.
type crowd struct {
	*finder
	list []*facts
}

// all lists the features.
func (c *crowd) all() []*facts {
	if c == nil {
		return nil
	}
	return c.list
}

// pairs are the features of a list whose boxes overlap, two by two, brought up to date as the list changes.
type pairs struct {
	list  []*facts
	found [][2]*facts // the earlier in the list first, in its order
}

// update takes the features of a round, in plan order.
func (p *pairs) update(list []*facts, round int) {
	const few = 16 // changes that are cheaper to take in one by one
	changed, ordered := difference(p.list, list, itself)
	if len(changed) == 0 && ordered {
		return
	}
	p.list = append(p.list[:0], list...)
	if !ordered || len(changed) > few {
		p.found = p.found[:0]
		f := newCrowd(list)
		var near []int32
		for i, x := range list {
			near = f.near(near[:0], x.bound, 0)
			for _, j := range near {
				if int(j) > i && overlap(x.bound, list[j].bound) {
					p.found = append(p.found, [2]*facts{x, list[j]})
				}
			}
		}
		return
	}
	kept := p.found[:0]
	for _, pair := range p.found {
		if pair[0].round == round && pair[1].round == round {
			kept = append(kept, pair)
		}
	}
	p.found = kept
	for i, x := range changed {
		if x.round != round {
			continue
		}
		for _, y := range list {
			if y == x || !overlap(x.bound, y.bound) || slices.Contains(changed[:i], y) { // which found x
				continue
			}
			if x.place < y.place {
				p.found = append(p.found, [2]*facts{x, y})
			} else {
				p.found = append(p.found, [2]*facts{y, x})
			}
		}
	}
	slices.SortFunc(p.found, func(a, b [2]*facts) int {
		return cmp.Or(cmp.Compare(a[0].place, b[0].place), cmp.Compare(a[1].place, b[1].place))
	})
}

// overlap tells whether two boxes share ground.
func overlap(a, b orb.Bound) bool {
	return a.Min[0] < b.Max[0] && b.Min[0] < a.Max[0] && a.Min[1] < b.Max[1] && b.Min[1] < a.Max[1]
}
