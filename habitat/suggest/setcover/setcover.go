// Package setcover chooses from a list of columns the cheapest that cover every row often enough and break no limit: weighted set
// covering, multi-covering, and covering with packing rows, as 0-1 programs
//
//	least  Σ cost[j]·x[j]   with   Σ x[j] ≥ need over the columns of each row,
//	                               Σ weight[j]·x[j] ≤ most over the columns of each limit,   x[j] 0 or 1.
//
// It proves its answers. Rows and columns that another makes superfluous are struck out, what falls apart is solved apart, a
// greedy choice is bettered by local search, Lagrangian multipliers strike out columns that are too dear for any better choice, and
// branch and bound over the linear relaxation does the rest. Every bound is evaluated from the multipliers by the sum of its terms,
// so that rounding errors in the simplex tableau can make it weaker but not wrong. It knows nothing of what rows and columns mean.
//
// The same problem and options give the same answer, as long as the context does not end first.
package setcover

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
)

// A Row asks that at least Need of its columns are chosen.
type Row struct {
	Columns []int
	Need    int
}

// A Limit asks that the weights of the chosen among its columns add up to no more than Most. Weights nil stands for 1 each.
type Limit struct {
	Columns []int
	Weights []int64
	Most    int64
}

// A Problem is what is asked. No cost, weight, need or limit is below 0.
type Problem struct {
	Costs  []int64
	Rows   []Row
	Limits []Limit
}

// Options say how far to go.
type Options struct {
	Gap      float64          // stop as soon as the choice is proven within this share of the least cost; 0 goes on to the optimum
	Nodes    int              // of branch and bound at most; 0 sets no limit
	Start    []int            // a choice to begin with; one that covers too little or breaks a limit is passed over
	Progress func(p Progress) // called on the goroutine of Solve for each better choice and bound; may be nil
}

// Progress is how far Solve has come. Chosen is sorted and the callee's to keep; nil while no choice is known.
type Progress struct {
	Chosen []int
	Cost   int64
	Bound  int64
	Nodes  int
}

// A Solution is the best choice found. Bound is a cost that no choice goes below; Proven tells that the choice is a cheapest one.
type Solution struct {
	Chosen []int // sorted
	Cost   int64
	Bound  int64
	Proven bool
	Nodes  int
}

// Gap is the share of the cost by which a better choice might still be cheaper.
func (s *Solution) Gap() float64 {
	if s.Cost <= s.Bound || s.Cost == 0 {
		return 0
	}
	return float64(s.Cost-s.Bound) / float64(s.Cost)
}

// ErrNone says that no choice covers every row within the limits.
var ErrNone = errors.New("no choice covers every row within the limits")

// ErrStopped says that Solve was stopped before it knew any choice.
var ErrStopped = errors.New("stopped before any choice was found")

// most is the largest sum of costs that is taken: up to it whole numbers are exact in floating point, with room for products.
const most = 1 << 46

// Check finds what is wrong with a problem as such.
func (p *Problem) Check() error {
	sum := int64(0)
	for j, c := range p.Costs {
		if c < 0 || c > most-sum {
			return fmt.Errorf("column %d: the cost %d is below 0 or too large", j, c)
		}
		sum += c
	}
	columns := func(what string, i int, list []int) error {
		seen := map[int]bool{}
		for _, j := range list {
			if j < 0 || j >= len(p.Costs) || seen[j] {
				return fmt.Errorf("%s %d: column %d is not one of the %d, or stands there twice", what, i, j, len(p.Costs))
			}
			seen[j] = true
		}
		return nil
	}
	for i, r := range p.Rows {
		if err := columns("row", i, r.Columns); err != nil {
			return err
		}
	}
	for i, l := range p.Limits {
		if err := columns("limit", i, l.Columns); err != nil {
			return err
		}
		if l.Weights != nil && len(l.Weights) != len(l.Columns) {
			return fmt.Errorf("limit %d has %d weights for %d columns", i, len(l.Weights), len(l.Columns))
		}
		for _, w := range l.Weights {
			if w < 0 || w > most {
				return fmt.Errorf("limit %d: the weight %d is below 0 or too large", i, w)
			}
		}
		if l.Most < 0 {
			return fmt.Errorf("limit %d is below 0", i)
		}
	}
	return nil
}

// Holds tells whether a choice covers every row within the limits.
func (p *Problem) Holds(chosen []int) bool {
	in := make([]bool, len(p.Costs))
	for _, j := range chosen {
		if j < 0 || j >= len(in) {
			return false
		}
		in[j] = true
	}
	for _, r := range p.Rows {
		n := 0
		for _, j := range r.Columns {
			if in[j] {
				n++
			}
		}
		if n < r.Need {
			return false
		}
	}
	for _, l := range p.Limits {
		sum := int64(0)
		for k, j := range l.Columns {
			if in[j] {
				sum += l.weight(k)
			}
		}
		if sum > l.Most {
			return false
		}
	}
	return true
}

// CostOf is the cost of a choice.
func (p *Problem) CostOf(chosen []int) (sum int64) {
	for _, j := range chosen {
		sum += p.Costs[j]
	}
	return sum
}

func (l *Limit) weight(k int) int64 {
	if l.Weights == nil {
		return 1
	}
	return l.Weights[k]
}

// Solve finds a cheapest choice, or as good a one as the options and the context leave time for. When the context ends it answers
// the best so far with its bound. The error is that of Check, ErrNone, or ErrStopped.
func Solve(ctx context.Context, p *Problem, o Options) (Solution, error) {
	if err := p.Check(); err != nil {
		return Solution{}, err
	}
	all := newCore(p)
	forced, ok := all.reduce()
	if !ok {
		return Solution{}, ErrNone
	}
	parts := all.components()
	s := &search{ctx: ctx, o: o, base: p.CostOf(forced), forced: forced, parts: make([]*part, len(parts))}
	for i, c := range parts {
		s.parts[i] = newPart(c, o.Start)
	}
	// A choice for every part first, then the bounds, so that something can be shown early.
	for i, q := range s.parts {
		q.start(uint64(i))
	}
	s.report(true)
	for _, q := range s.parts {
		q.bound(s)
	}
	s.report(true)
	for _, q := range s.parts {
		if err := q.branch(s); err != nil {
			return Solution{}, err
		}
	}
	sol, found := s.sum()
	if !found {
		return Solution{}, ErrStopped
	}
	return sol, nil
}

// A search is Solve at work.
type search struct {
	ctx    context.Context
	o      Options
	base   int64
	forced []int
	parts  []*part
	nodes  int
	said   Progress
	told   bool
}

func (s *search) sum() (sol Solution, found bool) {
	sol = Solution{Cost: s.base, Bound: s.base, Chosen: slices.Clone(s.forced), Nodes: s.nodes}
	found = true
	for _, q := range s.parts {
		sol.Bound += q.least
		if q.best == nil {
			found = false
			continue
		}
		sol.Cost += q.bestCost
		for _, j := range q.best {
			sol.Chosen = append(sol.Chosen, q.names[j])
		}
	}
	slices.Sort(sol.Chosen)
	if !found {
		sol.Chosen, sol.Cost = nil, math.MaxInt64
	}
	sol.Proven = found && sol.Bound >= sol.Cost
	return sol, found
}

// report tells of progress, if there is some.
func (s *search) report(now bool) {
	if s.o.Progress == nil {
		return
	}
	sol, _ := s.sum()
	if s.told && sol.Cost == s.said.Cost && sol.Bound == s.said.Bound && !now {
		return
	}
	s.told = true
	s.said = Progress{Chosen: sol.Chosen, Cost: sol.Cost, Bound: sol.Bound, Nodes: sol.Nodes}
	s.o.Progress(s.said)
}

// goodEnough tells whether the gap asked for is reached, all parts taken together.
func (s *search) goodEnough() bool {
	sol, found := s.sum()
	return found && sol.Gap() <= s.o.Gap
}

// stopped tells whether to stop where it stands.
func (s *search) stopped() bool {
	return s.ctx.Err() != nil || s.o.Nodes > 0 && s.nodes >= s.o.Nodes
}
