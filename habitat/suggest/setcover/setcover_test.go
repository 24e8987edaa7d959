package setcover_test

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"hedgereach/habitat/suggest/setcover"
	"hedgereach/habitat/suggest/setcover/othersolver"
)

// unit is a set-covering problem with costs of 1: covers lists for each column the rows that it covers.
func unit(rows int, covers [][]int) *setcover.Problem {
	p := &setcover.Problem{Rows: make([]setcover.Row, rows)}
	for i := range p.Rows {
		p.Rows[i].Need = 1
	}
	for j, list := range covers {
		p.Costs = append(p.Costs, 1)
		for _, i := range list {
			p.Rows[i].Columns = append(p.Rows[i].Columns, j)
		}
	}
	return p
}

// board is an n × n board on which a column on a square covers those squares that sees tells.
func board(n int, sees func(dx, dy int) bool) *setcover.Problem {
	covers := make([][]int, n*n)
	for a := range n * n {
		for b := range n * n {
			if sees(b%n-a%n, b/n-a/n) {
				covers[a] = append(covers[a], b)
			}
		}
	}
	return unit(n*n, covers)
}

// stein27 is the Steiner triple system of the lines of the affine space of three dimensions over three elements: each line's
// three points add up to 0 in every coordinate.
func stein27() *setcover.Problem {
	p := &setcover.Problem{}
	for range 27 {
		p.Costs = append(p.Costs, 1)
	}
	at := func(v int) [3]int { return [3]int{v % 3, v / 3 % 3, v / 9} }
	for a := range 27 {
		for b := a + 1; b < 27; b++ {
			for c := b + 1; c < 27; c++ {
				x, y, z := at(a), at(b), at(c)
				if (x[0]+y[0]+z[0])%3 == 0 && (x[1]+y[1]+z[1])%3 == 0 && (x[2]+y[2]+z[2])%3 == 0 {
					p.Rows = append(p.Rows, setcover.Row{[]int{a, b, c}, 1})
				}
			}
		}
	}
	return p
}

var farmBeds, farmSites = func() (beds, sites [][2]float64) {
	for y := 0.0; y <= 40; y += 20 {
		for x := 0.0; x <= 60; x += 20 {
			beds = append(beds, [2]float64{x, y})
		}
	}
	return beds, [][2]float64{{-10, 20}, {10, 10}, {30, 10}, {50, 10}, {70, 20}, {10, 30}, {30, 30}, {50, 30}, {30, -10}, {30, 50}}
}()

func within(beds, sites [][2]float64, radius float64) *setcover.Problem {
	covers := make([][]int, len(sites))
	for j, s := range sites {
		for i, b := range beds {
			if math.Hypot(s[0]-b[0], s[1]-b[1]) <= radius+1e-9 {
				covers[j] = append(covers[j], i)
			}
		}
	}
	return unit(len(beds), covers)
}

// median chooses sites so that the beds' distances to the nearest add up to the least: a facility location problem, stated with a
// column for each site and for each bed at each site. A bed's column, at a site that is not chosen, would break a limit: it weighs
// 1 there, and every site that is left out, a column of its own, as much as all beds.
func median(beds, sites [][2]float64, chosen int) *setcover.Problem {
	n := len(sites)
	p := &setcover.Problem{}
	for range 2 * n { // open, shut
		p.Costs = append(p.Costs, 0)
	}
	for j := range n {
		p.Rows = append(p.Rows, setcover.Row{[]int{j, n + j}, 1})
		p.Limits = append(p.Limits, setcover.Limit{[]int{j, n + j}, nil, 1})
	}
	all := setcover.Limit{Most: int64(chosen)}
	for j := range n {
		all.Columns = append(all.Columns, j)
	}
	p.Limits = append(p.Limits, all)
	for _, b := range beds {
		row := setcover.Row{Need: 1}
		for j, s := range sites {
			k := len(p.Costs)
			p.Costs = append(p.Costs, int64(math.Round(math.Hypot(s[0]-b[0], s[1]-b[1])*1e6)))
			row.Columns = append(row.Columns, k)
			p.Limits = append(p.Limits, setcover.Limit{[]int{k, n + j}, nil, 1})
		}
		p.Rows = append(p.Rows, row)
	}
	return p
}

// center is the least radius within which so many sites reach all beds.
func center(t *testing.T, beds, sites [][2]float64, chosen int) float64 {
	var radii []float64
	for _, s := range sites {
		for _, b := range beds {
			radii = append(radii, math.Hypot(s[0]-b[0], s[1]-b[1]))
		}
	}
	slices.Sort(radii)
	for _, r := range slices.Compact(radii) {
		sol, err := setcover.Solve(context.Background(), within(beds, sites, r), setcover.Options{})
		if err == nil && sol.Proven && sol.Cost <= int64(chosen) {
			return r
		}
	}
	t.Fatal("no radius")
	return 0
}

var number = regexp.MustCompile(`\d+(\.\d+)?`)

// TestKnownOptima solves the instances of testdata/optima.csv, each with its source there: Steiner triple systems, dominating sets
// of grids, kings and queens, the greedy trap, and a small farm as covering and as facility location.
func TestKnownOptima(t *testing.T) {
	f, err := os.Open("testdata/optima.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, row := range rows[1:] {
		id, expected := row[1], row[3]
		t.Run(row[0]+" "+id, func(t *testing.T) {
			var p *setcover.Problem
			size := 0
			if m := number.FindAllString(id, -1); len(m) > 0 {
				size, _ = strconv.Atoi(m[len(m)-1])
			}
			switch {
			case id == "stein9":
				p = &setcover.Problem{Costs: slices.Repeat([]int64{1}, 9)}
				for _, w := range strings.Fields("012 345 678 036 147 258 048 156 237 057 138 246") {
					p.Rows = append(p.Rows, setcover.Row{[]int{int(w[0] - '0'), int(w[1] - '0'), int(w[2] - '0')}, 1})
				}
			case id == "stein27":
				if p = stein27(); len(p.Rows) != 117 {
					t.Fatalf("%d lines", len(p.Rows))
				}
			case strings.HasPrefix(id, "grid domination"):
				p = board(size, func(dx, dy int) bool { return dx*dx+dy*dy <= 1 })
			case strings.HasPrefix(id, "king cover"):
				p = board(size, func(dx, dy int) bool { return max(dx*dx, dy*dy) <= 1 })
			case strings.HasPrefix(id, "queens"):
				p = board(size, func(dx, dy int) bool { return dx == 0 || dy == 0 || dx == dy || dx == -dy })
			case id == "greedy trap":
				p = unit(14, [][]int{{0, 1, 2, 3, 4, 5, 6}, {7, 8, 9, 10, 11, 12, 13}, {0, 1, 2, 3, 7, 8, 9, 10}, {4, 5, 11, 12}, {6, 13}})
			case strings.HasPrefix(id, "farm R="):
				p = within(farmBeds, farmSites, float64(size))
			case row[0] == "facility":
				beds, sites := farmBeds, farmSites
				if strings.HasPrefix(id, "line") {
					beds = nil
					for _, x := range []float64{0, 1, 3, 7, 8, 9, 14, 15} {
						beds = append(beds, [2]float64{x, 0})
					}
					sites = beds
				}
				want := number.FindAllString(expected, -1) // "p-median total 35; p-center radius 8", "least total …; least farthest …"
				total, _ := strconv.ParseFloat(want[0], 64)
				farthest, _ := strconv.ParseFloat(want[1], 64)
				q := median(beds, sites, size)
				sol, err := setcover.Solve(context.Background(), q, setcover.Options{})
				if err != nil || !sol.Proven || math.Abs(float64(sol.Cost)/1e6-total) > 1e-5 {
					t.Errorf("total %v, %+v, want %v", err, sol, total)
				}
				if r := center(t, beds, sites, size); math.Abs(r-farthest) > 1e-5 {
					t.Errorf("farthest %v, want %v", r, farthest)
				}
				return
			default:
				t.Fatal("not known how to make it")
			}
			want, _ := strconv.ParseInt(number.FindString(strings.TrimPrefix(expected, "optimum ")), 10, 64)
			sol, err := setcover.Solve(context.Background(), p, setcover.Options{})
			if err != nil || !sol.Proven || sol.Cost != want || sol.Bound != want || !p.Holds(sol.Chosen) || p.CostOf(sol.Chosen) != want {
				t.Errorf("%v: %+v, want %d", err, sol, want)
			}
			t.Logf("%d nodes", sol.Nodes)
		})
		n++
	}
	if n < 22 {
		t.Errorf("only %d instances", n)
	}
}

// random is a small problem of any kind.
func random(r *rand.Rand, columns, rows int) *setcover.Problem {
	p := &setcover.Problem{}
	for range columns {
		p.Costs = append(p.Costs, int64(r.IntN(12)))
	}
	pick := func(share float64) (list []int) {
		for j := range columns {
			if r.Float64() < share {
				list = append(list, j)
			}
		}
		return list
	}
	for range rows {
		p.Rows = append(p.Rows, setcover.Row{pick(0.3 + 0.5*r.Float64()), 1 + r.IntN(5)/2})
	}
	for range r.IntN(6) {
		l := setcover.Limit{Columns: pick(0.4), Most: int64(2 + r.IntN(4))}
		if r.IntN(2) == 0 {
			for range l.Columns {
				l.Weights = append(l.Weights, int64(r.IntN(5)))
			}
			l.Most += int64(r.IntN(8))
		}
		p.Limits = append(p.Limits, l)
	}
	return p
}

// TestAsEnumerated holds small problems of every kind against looking at all choices.
func TestAsEnumerated(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	none := 0
	for n := range 1500 {
		p := random(r, 3+r.IntN(9), 1+r.IntN(9))
		least := int64(-1)
		for bits := range 1 << len(p.Costs) {
			var chosen []int
			for j := range p.Costs {
				if bits>>j&1 == 1 {
					chosen = append(chosen, j)
				}
			}
			if c := p.CostOf(chosen); (least < 0 || c < least) && p.Holds(chosen) {
				least = c
			}
		}
		sol, err := setcover.Solve(context.Background(), p, setcover.Options{})
		if least < 0 {
			none++
			if !errors.Is(err, setcover.ErrNone) {
				t.Fatalf("%d: %+v, %v, but there is no choice: %+v", n, sol, err, p)
			}
			continue
		}
		if err != nil || !sol.Proven || sol.Cost != least || sol.Bound != least || !p.Holds(sol.Chosen) || p.CostOf(sol.Chosen) != least {
			t.Fatalf("%d: %+v, %v, want %d: %+v", n, sol, err, least, p)
		}
	}
	if none < 100 || none > 1000 {
		t.Errorf("%d problems without a choice", none)
	}
}

// garden is a covering problem as gardens make them: points to be reached, places of some length along lines, their costs.
func garden(r *rand.Rand, points, places int, unicost bool) *setcover.Problem {
	p := &setcover.Problem{}
	type at struct{ x, y float64 }
	var beds []at
	for range points {
		beds = append(beds, at{r.Float64() * 300, r.Float64() * 200})
		p.Rows = append(p.Rows, setcover.Row{Need: 1})
	}
	for j := range places {
		x, y, long, across := r.Float64()*300, r.Float64()*200, 5+r.Float64()*40, r.IntN(2) == 0
		reach := 35.0
		cost := int64(math.Round(long * 10))
		if unicost {
			cost = 1
		}
		p.Costs = append(p.Costs, cost)
		for i, b := range beds {
			dx, dy := math.Abs(b.x-x), math.Abs(b.y-y)
			if across {
				dx = max(0, dx-long/2)
			} else {
				dy = max(0, dy-long/2)
			}
			if math.Hypot(dx, dy) <= reach {
				p.Rows[i].Columns = append(p.Rows[i].Columns, j)
			}
		}
	}
	p.Rows = slices.DeleteFunc(p.Rows, func(r setcover.Row) bool { return len(r.Columns) == 0 })
	// Places that overlap.
	for range places / 4 {
		a, b := r.IntN(places), r.IntN(places)
		if a != b {
			p.Limits = append(p.Limits, setcover.Limit{[]int{a, b}, nil, 1})
		}
	}
	return p
}

// TestAsOthers holds generated gardens against the GNU Linear Programming Kit and COIN-OR's branch and cut, where they are
// installed.
func TestAsOthers(t *testing.T) {
	programs := othersolver.Installed()
	for _, program := range programs {
		same := func(what string, p *setcover.Problem) {
			sol, err := setcover.Solve(context.Background(), p, setcover.Options{})
			if errors.Is(err, setcover.ErrNone) {
				return
			}
			want, other := othersolver.Least(program, t.TempDir(), p)
			if other != nil {
				t.Fatal(other)
			}
			if err != nil || !sol.Proven || sol.Cost != want || !p.Holds(sol.Chosen) {
				t.Errorf("%s, %s: %v %+v, want %d", program, what, err, sol, want)
			}
		}
		r := rand.New(rand.NewPCG(3, 4))
		for n := range 20 {
			same(fmt.Sprintf("garden %d", n), garden(r, 20+r.IntN(60), 40+r.IntN(120), n%4 == 3))
		}
		for n := range 10 {
			same(fmt.Sprintf("of any kind %d", n), random(r, 30, 20))
		}
	}
	if len(programs) == 0 {
		t.Skip("neither cbc nor glpsol is installed")
	}
}

// TestStops sees that a search that is stopped answers what it has, with a bound that holds.
func TestStops(t *testing.T) {
	p := garden(rand.New(rand.NewPCG(5, 6)), 300, 900, true)
	ctx, stop := context.WithCancel(context.Background())
	var said []setcover.Progress
	begin := time.Now()
	sol, err := setcover.Solve(ctx, p, setcover.Options{Progress: func(g setcover.Progress) {
		if len(said) == 0 {
			t.Logf("first choice after %v", time.Since(begin))
		}
		said = append(said, g)
		if g.Chosen != nil && len(said) > 1 {
			stop()
		}
	}})
	if err != nil || !p.Holds(sol.Chosen) || sol.Bound > sol.Cost {
		t.Errorf("%v: %+v", err, sol)
	}
	for i, g := range said {
		if g.Chosen != nil && (!p.Holds(g.Chosen) || p.CostOf(g.Chosen) != g.Cost) || g.Bound > g.Cost ||
			i > 0 && (g.Cost > said[i-1].Cost || g.Bound < said[i-1].Bound) {
			t.Errorf("said %+v", g)
		}
	}
	stop()
	if sol, err := setcover.Solve(ctx, p, setcover.Options{}); err == nil && !p.Holds(sol.Chosen) {
		t.Errorf("stopped before the start: %+v", sol)
	}
}

// TestSame sees that the answer does not change from run to run, and that a gap asked for is kept.
func TestSame(t *testing.T) {
	p := garden(rand.New(rand.NewPCG(7, 8)), 120, 300, false)
	a, err := setcover.Solve(context.Background(), p, setcover.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if b, err := setcover.Solve(context.Background(), p, setcover.Options{}); err != nil || !slices.Equal(a.Chosen, b.Chosen) || a.Nodes != b.Nodes {
			t.Errorf("%+v, then %+v, %v", a, b, err)
		}
	}
	b, err := setcover.Solve(context.Background(), p, setcover.Options{Gap: 0.05})
	if err != nil || b.Gap() > 0.05 || b.Cost < a.Cost || b.Bound > a.Cost {
		t.Errorf("%+v %v, least %d", b, err, a.Cost)
	}
	c, err := setcover.Solve(context.Background(), p, setcover.Options{Start: a.Chosen, Nodes: 1})
	if err != nil || c.Cost != a.Cost {
		t.Errorf("from the best: %+v %v", c, err)
	}
}

func TestChecks(t *testing.T) {
	for name, p := range map[string]*setcover.Problem{
		"cost":    {Costs: []int64{-1}},
		"sum":     {Costs: []int64{1 << 46, 1}},
		"column":  {Costs: []int64{1}, Rows: []setcover.Row{{[]int{1}, 1}}},
		"twice":   {Costs: []int64{1}, Rows: []setcover.Row{{[]int{0, 0}, 1}}},
		"weights": {Costs: []int64{1}, Limits: []setcover.Limit{{[]int{0}, []int64{1, 2}, 1}}},
		"weight":  {Costs: []int64{1}, Limits: []setcover.Limit{{[]int{0}, []int64{-2}, 1}}},
		"limit":   {Costs: []int64{1}, Limits: []setcover.Limit{{[]int{0}, nil, -1}}},
	} {
		if _, err := setcover.Solve(context.Background(), p, setcover.Options{}); err == nil || errors.Is(err, setcover.ErrNone) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if sol, err := setcover.Solve(context.Background(), &setcover.Problem{}, setcover.Options{}); err != nil || !sol.Proven || sol.Cost != 0 {
		t.Errorf("nothing asked: %+v %v", sol, err)
	}
}

func BenchmarkGarden(b *testing.B) {
	p := garden(rand.New(rand.NewPCG(9, 10)), 300, 400, false)
	for b.Loop() {
		if sol, err := setcover.Solve(context.Background(), p, setcover.Options{}); err != nil || !sol.Proven {
			b.Fatal(err, sol)
		}
	}
}

func BenchmarkStein27(b *testing.B) {
	p := stein27()
	for b.Loop() {
		if sol, err := setcover.Solve(context.Background(), p, setcover.Options{}); err != nil || sol.Cost != 18 {
			b.Fatal(err, sol)
		}
	}
}
