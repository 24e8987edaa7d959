package suggest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/geometry"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/suggest/setcover/othersolver"
)

func sample(t testing.TB) (*plan.Plan, *data.Catalogue) {
	t.Helper()
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.Read(bytes.NewReader(data.Sample()), data.SampleName)
	if err != nil {
		t.Fatal(err)
	}
	return p, c
}

// keeps sees that a proposal does what it says: by a fresh assessment of the plan with it, and by the geometry of its features.
func keeps(t *testing.T, p *plan.Plan, c *data.Catalogue, q *Proposal) {
	t.Helper()
	next, err := q.Apply(p)
	if err != nil {
		t.Fatal(err)
	}
	if err := next.Check(); err != nil {
		t.Fatal(err)
	}
	o := habitat.Options{On: q.Ask.On, RangesM: []float64{q.Ask.RangeM}}
	before, after := habitat.Assess(p, c, o), habitat.Assess(next, c, o)
	within := func(a *habitat.Assessment, id string) (in, there bool) {
		for _, b := range a.Beds {
			if b.Feature.ID != id {
				continue
			}
			if len(q.Ask.Guilds) == 0 {
				return b.Guild("").Status == habitat.Within, true
			}
			for _, g := range q.Ask.Guilds {
				if b.Guild(g).Status != habitat.Within {
					return false, true
				}
			}
			return true, true
		}
		return false, false
	}
	var beds, lost, lacking []string
	out := 0
	for _, b := range before.Beds {
		id := b.Feature.ID
		if len(q.Ask.Beds) > 0 && !slices.Contains(q.Ask.Beds, id) {
			continue
		}
		was, _ := within(before, id)
		is, there := within(after, id)
		if !was {
			out++
		}
		switch {
		case !there:
		case !was && is:
			beds = append(beds, id)
		case was && !is:
			lost, lacking = append(lost, id), append(lacking, id)
		case !is:
			lacking = append(lacking, id)
		}
	}
	if !slices.Equal(beds, q.Beds) || !slices.Equal(lost, q.Lost) || !slices.Equal(lacking, q.Lacking) || out != q.Out {
		t.Errorf("%s: it says that %v come in, %v leave and %v lack of %d; the engine says %v, %v, %v of %d", q.Title, q.Beds, q.Lost,
			q.Lacking, q.Out, beds, lost, lacking, out)
	}
	area := 0.0
	for _, ch := range q.Changes {
		if ch.Before != nil || ch.After == nil {
			continue
		}
		f := ch.After
		area += geometry.Area(f.Geometry)
		if ch.Why == "" {
			t.Errorf("%s says not why", f.Name)
		}
		if out, err := geometry.Difference(f.Geometry, before.Site.Ground); err != nil || geometry.Area(out) > 0.02 {
			t.Errorf("%s lies %v m² off the site, %v", f.Name, geometry.Area(out), err)
		}
		for _, other := range next.Features {
			if other.ID == f.ID || other.Kind == plan.Boundary || other.Kind == plan.Stake {
				continue
			}
			shape := other.Geometry
			if pt, ok := shape.(orb.Point); ok {
				shape = geometry.Disc(pt, plan.MarkRadius)
			}
			if a := geometry.Covered(f.Geometry, shape); a > 0.02 {
				t.Errorf("%s covers %v m² of %s", f.Name, a, other.Title())
			}
			if other.Kind == plan.Bed {
				if d, _, _ := geometry.Closest(f.Geometry, shape); d < q.Ask.WalkM-0.02 {
					t.Errorf("%s leaves %v m beside %s", f.Name, d, other.Title())
				}
			}
		}
		if len(f.Line) == 2 && length(f.Line[0], f.Line[1]) < q.Ask.LeastM-0.01 {
			t.Errorf("%s is too short", f.Name)
		}
	}
	if math.Abs(area-q.AreaM2) > 1e-6 {
		t.Errorf("%v m², said %v", area, q.AreaM2)
	}
	if q.BoundCost > q.Ask.Least.of(q)+1e-9 {
		t.Errorf("bound %v above %v", q.BoundCost, q.Ask.Least.of(q))
	}
}

// TestSample asks about the sample garden in many ways: each answer is proven the best, does what it says, and no objective is
// served better by the answer to another.
func TestSample(t *testing.T) {
	p, c := sample(t)
	asks := [][]string{nil, {"ground-beetles"}}
	if os.Getenv("HEDGEREACH_LONG") != "" {
		asks = append(asks, []string{"aphid-parasitoids"}, []string{"ground-beetles", "hunting-spiders"})
	}
	for _, guilds := range asks {
		var all []*Proposal
		for _, least := range Objectives {
			q, err := Where(context.Background(), p, c, Ask{Guilds: guilds, Least: least, WidthM: 2}, nil)
			if err != nil {
				t.Fatal(guilds, least, err)
			}
			if !q.Proven || q.Gap != 0 {
				t.Errorf("%v %s: %+v", guilds, least, q)
			}
			keeps(t, p, c, q)
			all = append(all, q)
		}
		for i, least := range Objectives {
			for _, q := range all {
				if len(q.Lacking) <= len(all[i].Lacking) && least.of(q) < least.of(all[i])-0.1*float64(q.Patches) {
					t.Errorf("%v: %s has less %s than %s", guilds, q.Title, least, all[i].Title)
				}
			}
		}
	}
}

// TestAllInReach and the like: what is no question.
func TestNoQuestion(t *testing.T) {
	p, c := sample(t)
	if _, err := Where(context.Background(), p, c, Ask{Guilds: []string{"lady-beetles"}}, nil); !errors.Is(err, ErrAllWithin) {
		t.Error(err)
	}
	for name, k := range map[string]Ask{
		"no such guild":    {Guilds: []string{"dragons"}},
		"no known range":   {Guilds: []string{"tachinids"}},
		"no such bed":      {Beds: []string{"x"}},
		"kind":             {Kind: plan.Path},
		"kind for guild":   {Kind: plan.Tree, Guilds: []string{"ground-beetles"}},
		"objective":        {Least: "most"},
		"line":             {Along: []Along{"moon"}},
		"width":            {WidthM: -1},
		"no walk":          {WalkM: math.NaN()},
		"not a length":     {LeastM: math.NaN()},
		"most":             {MostM2: -1},
		"too wide to fit":  {WidthM: 40, LeastM: 80},
		"too little to do": {MostM2: 1},
	} {
		if q, err := Where(context.Background(), p, c, k, nil); err == nil || errors.Is(err, ErrAllWithin) {
			t.Errorf("%s: %+v, %v", name, q, err)
		}
	}
}

// oblong is a rectangle.
func oblong(x, y, w, h float64) orb.Polygon {
	return orb.Polygon{{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}}}
}

// TestOneLongBed holds the answer for one long bed against the closed form: a strip of length l, whose edge lies d from the bed's
// far edge, reaches l + 2·sqrt(r² − d²) of it.
func TestOneLongBed(t *testing.T) {
	_, c := sample(t)
	for _, r := range []float64{12, 30} {
		p := plan.New("One bed")
		bed := plan.NewFeature(plan.Bed, "Long bed", oblong(0, 0, 120, 1))
		p.Features = []*plan.Feature{plan.NewFeature(plan.Boundary, "Field", oblong(-40, -3, 200, 4)), bed}
		k := Ask{RangeM: r, WidthM: 1, LeastM: 4, Along: []Along{Margin}}
		q, err := Where(context.Background(), p, c, k, nil)
		if err != nil {
			t.Fatal(err)
		}
		keeps(t, p, c, q)
		d := 3.0 // from the strip, which lies from 3 m to 2 m below the bed, to its far edge
		each := 4 + 2*math.Sqrt(r*r-d*d)
		patches := math.Ceil(120 / each)
		// Of equal length to the end only where that many short ones are enough.
		if q.AreaM2 < 4*patches-0.01 || q.AreaM2 > 4*patches+0.01 || !q.Proven {
			t.Errorf("range %v: %v, want %v strips of 4 m: %s", r, q.Effect, patches, q.How)
		}
		k.Least = LeastPatches
		if q, err = Where(context.Background(), p, c, k, nil); err != nil || q.Patches != 1 || !q.Proven {
			// One long strip does for all.
			t.Errorf("range %v: fewest patches %+v, %v", r, q, err)
		} else if want := 120 - 2*math.Sqrt(r*r-d*d); q.LengthM < want-0.01 || q.LengthM > want+2*4 { // to the cuts at both ends
			t.Errorf("range %v: one strip of %v m, want %v", r, q.LengthM, want)
		}
	}
}

// Nothing kept free about beds lets strips touch them, and never lie in them, however far below 0 that was said.
func TestNoWalk(t *testing.T) {
	_, c := sample(t)
	p := plan.New("One bed")
	bed := plan.NewFeature(plan.Bed, "Bed", oblong(0, 0, 10, 4))
	p.Features = []*plan.Feature{plan.NewFeature(plan.Boundary, "Field", oblong(-20, -20, 50, 44)), bed}
	for _, walk := range []float64{-0.1, -1, -1000} {
		k := Ask{RangeM: 12, WidthM: 1, LeastM: 2, WalkM: walk, Along: []Along{BedEnds}}
		q, err := Where(context.Background(), p, c, k, nil)
		if err != nil {
			t.Fatal(walk, err)
		}
		keeps(t, p, c, q)
		for _, ch := range q.Changes {
			shared, err := geometry.Intersection(ch.After.Geometry, bed.Geometry)
			if err != nil || geometry.Area(shared) > 1e-6 {
				t.Errorf("walk %v: %v m² of the bed are taken, %v", walk, geometry.Area(shared), err)
			}
			if d, _, _ := geometry.Closest(ch.After.Geometry, bed.Geometry); d > 0.002 {
				t.Errorf("walk %v: the strip lies %v m from the bed's end", walk, d)
			}
		}
	}
}

// garden is a made-up garden: rows of beds, a path, a fence, a building in the way, a little refuge in a corner.
func garden(r *rand.Rand, beds int) *plan.Plan {
	p := plan.New("Made up")
	add := func(k plan.Kind, name string, g orb.Geometry) *plan.Feature {
		f := plan.NewFeature(k, name, g)
		p.Features = append(p.Features, f)
		return f
	}
	columns := int(math.Ceil(math.Sqrt(float64(beds) / 3)))
	rows := (beds + columns - 1) / columns
	long := 10 + 15*r.Float64()
	w, h := float64(columns)*(long+3)+12, float64(rows)*2.4+14
	turn := r.Float64() * 30
	place := func(g orb.Geometry) orb.Geometry { return geometry.Rotate(g, orb.Point{0, 0}, turn) }
	add(plan.Boundary, "Field", place(oblong(0, 0, w, h)))
	n := 0
	for x := range columns {
		for y := range rows {
			if n == beds {
				break
			}
			n++
			add(plan.Bed, fmt.Sprintf("B%d", n), place(oblong(6+float64(x)*(long+3), 7+float64(y)*2.4, long, 1.2)))
		}
	}
	add(plan.Path, "Way", place(oblong(2.5, 0, 1.5, h)))
	add(plan.Building, "Shed", place(oblong(w-5, h-5, 3, 3)))
	add(plan.Hedgerow, "Hedge", place(oblong(4.2, h-2, 8, 1.5)))
	return p
}

// TestGardens holds made-up gardens against other programs, where they are installed: the model of the last round has the same
// optimum. And everywhere it sees that proposals keep what they promise, also where the search was stopped.
func TestGardens(t *testing.T) {
	_, c := sample(t)
	r := rand.New(rand.NewPCG(11, 12))
	programs := othersolver.Installed()
	asked := 0
	for n := range 6 {
		p := garden(r, 5+r.IntN(12))
		k := Ask{Least: Objectives[n%3], LeastM: 3 + float64(r.IntN(3)), WidthM: 1, Along: []Along{Margin, Paths, BedEnds}}
		switch n % 4 {
		case 0:
			k.RangeM = 6 + 10*r.Float64()
		case 1:
			k.Guilds = []string{"hunting-spiders"}
		case 2:
			k.Guilds = []string{"aphid-parasitoids"}
		default:
			k.RangeM, k.MostM2 = 8, 12
		}
		tk, err := newTask(context.Background(), p, c, k)
		if err != nil {
			t.Fatal(err)
		}
		if len(tk.out) == 0 {
			continue
		}
		m := &model{task: tk, limits: map[[2]int]bool{}, gone: map[string]bool{}}
		q, err := m.run()
		if err != nil {
			t.Log(n, err)
			continue
		}
		keeps(t, p, c, q)
		if !m.stands {
			t.Errorf("%d: not settled: %s", n, q.How)
		}
		for _, program := range programs {
			want, err := othersolver.Least(program, t.TempDir(), m.problemLast)
			if err != nil {
				t.Log(n, err)
				continue
			}
			asked++
			if m.solved.Cost != want {
				t.Errorf("%d: %s finds %d, we %d", n, program, want, m.solved.Cost)
			}
		}
	}
	if asked < 3 && len(programs) > 0 {
		t.Errorf("others were asked %d times only", asked)
	}
}

// TestStopped sees that a search that is stopped early answers something that holds, or says that it was stopped.
func TestStopped(t *testing.T) {
	p, c := sample(t)
	for _, after := range []time.Duration{0, 100 * time.Millisecond} {
		ctx, stop := context.WithTimeout(context.Background(), after)
		q, err := Where(ctx, p, c, Ask{Guilds: []string{"aphid-parasitoids"}}, nil)
		stop()
		if err != nil && !errors.Is(err, context.DeadlineExceeded) {
			t.Errorf("after %v: %v", after, err)
		}
		if q != nil {
			keeps(t, p, c, q)
		}
	}
	ctx, stop := context.WithCancel(context.Background())
	q, err := Where(ctx, p, c, Ask{Guilds: []string{"aphid-parasitoids"}}, func(g Progress) {
		if g.Best != nil {
			stop()
		}
	})
	if err != nil || len(q.Beds) == 0 {
		t.Errorf("stopped at the first: %+v, %v", q, err)
	} else {
		keeps(t, p, c, q)
	}
	stop()
}

// TestCropGuilds sees that all guilds that the sample's crops need can be asked for at once, each in the order of the catalogue, and
// what is said where no one kind of habitat would do.
func TestCropGuilds(t *testing.T) {
	p, c := sample(t)
	var ids []string
	for _, g := range CropGuilds(p, c) {
		if !g.HasRange() || g.Pollinator {
			t.Errorf("%s are asked for", g.Name)
		}
		ids = append(ids, g.ID)
	}
	if len(ids) < 8 || !slices.Contains(ids, "ground-beetles") || slices.Contains(ids, "money-spiders") {
		t.Fatalf("%v", ids)
	}
	if !slices.IsSortedFunc(ids, func(a, b string) int { return slices.Index(c.Guilds, c.Guild(a)) - slices.Index(c.Guilds, c.Guild(b)) }) {
		t.Errorf("out of order: %v", ids)
	}
	bare := p.Clone()
	bare.Features = slices.DeleteFunc(bare.Features, func(f *plan.Feature) bool { return f.Kind == plan.Bed })
	if list := CropGuilds(bare, c); len(list) > 0 {
		t.Errorf("%d guilds without a crop", len(list))
	}
	q, err := Where(context.Background(), p, c, Ask{Guilds: ids, LeastM: 20, Least: LeastLength}, nil)
	if err != nil {
		t.Fatal(err)
	}
	keeps(t, p, c, q)
	if want := fmt.Sprintf("one or more of the %d guilds", len(ids)); !strings.Contains(q.Changes[0].Why, want) {
		t.Errorf("no %q in %q", want, q.Changes[0].Why)
	}
	_, err = Where(context.Background(), p, c, Ask{Guilds: []string{"brown-lacewings", "small-bees", "ground-beetles", "honey-bees"}}, nil)
	if want := "(a hedgerow all but honey bees)"; err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("no %q in %v", want, err)
	}
}
