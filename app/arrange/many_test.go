package arrange

import (
	"bytes"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

func rect(x0, y0, x1, y1 float64) orb.Polygon {
	return orb.Polygon{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}}
}

// beds is a plan of beds named A, B, C …; ids are their ids.
func beds(shapes ...orb.Geometry) (p *plan.Plan, ids []string) {
	p = plan.New("")
	for i, g := range shapes {
		f := plan.NewFeature(plan.Bed, string(rune('A'+i)), g)
		p.Features = append(p.Features, f)
		ids = append(ids, f.ID)
	}
	return p, ids
}

// lies checks the boxes of a plan's features, in their order.
func lies(t *testing.T, p *plan.Plan, want ...orb.Polygon) {
	t.Helper()
	if len(p.Features) != len(want) {
		t.Fatalf("%d features, want %d", len(p.Features), len(want))
	}
	for i, f := range p.Features {
		b, w := f.Geometry.Bound(), want[i].Bound()
		for k := range 2 {
			if math.Abs(b.Min[k]-w.Min[k]) > 0.0011 || math.Abs(b.Max[k]-w.Max[k]) > 0.0011 {
				t.Errorf("%s lies in %v, want %v", f.Title(), b, w)
				break
			}
		}
		if math.Abs(geometry.Area(f.Geometry)-geometry.Area(want[i])) > 0.01 {
			t.Errorf("%s has %v m², want %v", f.Title(), geometry.Area(f.Geometry), geometry.Area(want[i]))
		}
	}
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func TestAlign(t *testing.T) {
	p, ids := beds(rect(0, 0, 10, 2), rect(1, 5, 7, 6), rect(3, 9, 5, 12))
	for _, c := range []struct {
		side  Side
		frame Frame
		want  []orb.Polygon
	}{
		{Left, 0, []orb.Polygon{rect(0, 0, 10, 2), rect(0, 5, 6, 6), rect(0, 9, 2, 12)}},
		{Right, 0, []orb.Polygon{rect(0, 0, 10, 2), rect(4, 5, 10, 6), rect(8, 9, 10, 12)}},
		{Up, 0, []orb.Polygon{rect(0, 0, 10, 2), rect(1, 1, 7, 2), rect(3, -1, 5, 2)}},
		{Down, 0, []orb.Polygon{rect(0, 0, 10, 2), rect(1, 0, 7, 1), rect(3, 0, 5, 3)}},
		{MiddleUpright, 0, []orb.Polygon{rect(0, 0, 10, 2), rect(2, 5, 8, 6), rect(4, 9, 6, 12)}},
		{MiddleLevel, 0, []orb.Polygon{rect(0, 0, 10, 2), rect(1, 0.5, 7, 1.5), rect(3, -0.5, 5, 2.5)}},
		// The plan turned a quarter anticlockwise on the screen: its lower edge is seen at the right.
		{Right, math.Pi / 2, []orb.Polygon{rect(0, 0, 10, 2), rect(1, 0, 7, 1), rect(3, 0, 5, 3)}},
	} {
		q, err := Align(p, ids, c.side, c.frame)
		must(t, err)
		lies(t, q, c.want...)
	}
	if _, err := Align(p, ids[:1], Left, 0); err == nil || !strings.Contains(err.Error(), "two") {
		t.Errorf("one alone: %v", err)
	}
}

func TestDistribute(t *testing.T) {
	p, ids := beds(rect(0, 0, 2, 1), rect(9, 3, 12, 4), rect(2.5, 0, 3.5, 1))
	q, gap, err := Distribute(p, ids, true, 0)
	must(t, err)
	if gap != 3 { // 12 m hold 2 + 3 + 1 m of beds and two gaps
		t.Errorf("gap %v", gap)
	}
	lies(t, q, rect(0, 0, 2, 1), rect(9, 3, 12, 4), rect(5, 0, 6, 1))
}

func TestRepeatAndMirror(t *testing.T) {
	p, ids := beds(rect(0, 0, 2, 1))
	p.Features[0].Crops = []plan.Planting{{Crop: "kale", Share: 1}}
	q, all, err := Repeat(p, ids, 2, Right, 0.5, false, 0)
	must(t, err)
	lies(t, q, rect(0, 0, 2, 1), rect(2.5, 0, 4.5, 1), rect(5, 0, 7, 1))
	if len(all) != 3 || len(q.Features[2].Crops) != 1 || q.Features[2].Name == q.Features[1].Name {
		t.Errorf("%v, %+v", all, q.Features[2])
	}
	q, _, err = Repeat(p, ids, 1, Down, 3, true, 0)
	must(t, err)
	lies(t, q, rect(0, 0, 2, 1), rect(0, -3, 2, -2))
	if _, _, err = Repeat(p, ids, 1, Down, 0, true, 0); err == nil {
		t.Error("copies on top of each other are made")
	}
	if _, _, err = Repeat(p, ids, MostCopies+1, Down, 1, true, 0); err == nil {
		t.Error("too many copies are made")
	}

	tri, ids := beds(orb.Polygon{{{0, 0}, {4, 0}, {0, 2}, {0, 0}}})
	q, _, err = Mirror(tri, ids, Right, 1, true, 0)
	must(t, err)
	// Mirrored in the line x = 4.5.
	if want := (orb.Polygon{{{9, 0}, {5, 0}, {9, 2}, {9, 0}}}); !orb.Equal(q.Features[1].Geometry, want) {
		t.Errorf("mirrored to %v", q.Features[1].Geometry)
	}
	q, _, err = Mirror(tri, ids, Up, 0, false, 0)
	must(t, err)
	if want := (orb.Polygon{{{0, 4}, {4, 4}, {0, 2}, {0, 4}}}); len(q.Features) != 1 || !orb.Equal(q.Features[0].Geometry, want) {
		t.Errorf("turned over to %v", q.Features[0].Geometry)
	}
}

func TestTurnClockwise(t *testing.T) {
	p, ids := beds(rect(0, 0, 4, 2))
	q, err := Turn(p, ids, 90, 0)
	must(t, err)
	lies(t, q, rect(1, -1, 3, 3))
	if got := q.Features[0].Geometry.(orb.Polygon)[0][0]; got != (orb.Point{1, 3}) { // the lower left corner goes to the upper left
		t.Errorf("the first corner is at %v", got)
	}
}

func TestSizes(t *testing.T) {
	strip := plan.NewFeature(plan.Hedgerow, "H", nil)
	strip.Line, strip.WidthM = orb.LineString{{0, 0}, {10, 0}}, 2
	strip.Geometry, _ = geometry.Strip(strip.Line, 2)
	round := plan.NewFeature(plan.Tree, "T", geometry.Disc(orb.Point{20, 20}, 3))
	round.Centre, round.RadiusM = &orb.Point{20, 20}, 3
	p, ids := beds(rect(0, 5, 8, 6.5), geometry.Rotate(rect(0, 10, 6, 12), orb.Point{}, 30))
	p.Features = append(p.Features, strip, round)
	q, err := MatchWidth(p, append(ids, strip.ID, round.ID))
	must(t, err)
	for _, f := range q.Features {
		if _, w := SizeOf(f); math.Abs(w-1.5) > 0.002 {
			t.Errorf("%s is %v wide", f.Title(), w)
		}
		if geometry.Validate(f.Geometry) != nil {
			t.Errorf("%s is not proper", f.Title())
		}
	}
	if q.Features[2].WidthM != 1.5 || q.Features[3].RadiusM != 0.75 {
		t.Error("the strip or the round thing does not know its width")
	}
	if a, b := geometry.Centroid(p.Features[1].Geometry), geometry.Centroid(q.Features[1].Geometry); math.Hypot(a[0]-b[0], a[1]-b[1]) > 0.002 {
		t.Errorf("the middle went from %v to %v", a, b)
	}
	q, err = Size(p, ids[:1], 10, 0)
	must(t, err)
	lies(t, &plan.Plan{Features: q.Features[:1]}, rect(0, 5, 10, 6.5))
	q, err = Size(p, []string{strip.ID}, 12.5, 1)
	must(t, err)
	if f := q.Features[2]; !slices.Equal(f.Line, orb.LineString{{0, 0}, {12.5, 0}}) || f.WidthM != 1 {
		t.Errorf("strip along %v, %v wide", f.Line, f.WidthM)
	}
	if _, err = Size(p, ids, -1, -1); err != nil {
		t.Error("a size that is not given stays as it is:", err)
	}
}

func TestMargin(t *testing.T) {
	p, ids := beds(rect(0, 0, 40, 30))
	q, made, err := Margin(p, ids[0], 3, MarginWithin, plan.WildMargin)
	must(t, err)
	m := q.Features[1]
	// 40 × 30 m without 34 × 24 m.
	if a := geometry.Area(m.Geometry); math.Abs(a-384) > 0.01 || m.Kind != plan.WildMargin || made[0] != m.ID || len(m.Geometry.(orb.Polygon)) != 2 {
		t.Errorf("%s of %v m²", m.Title(), a)
	}
	q, _, err = Margin(p, ids[0], 3, MarginRest, plan.Bed)
	must(t, err)
	lies(t, q, rect(0, 0, 40, 30), rect(3, 3, 37, 27))
	q, _, err = Margin(p, ids[0], 1, MarginWithout, plan.Path)
	must(t, err)
	// Four sides of 1 m and four quarters of a circle.
	if a := geometry.Area(q.Features[1].Geometry); math.Abs(a-(140+math.Pi)) > 0.05 {
		t.Errorf("a margin without of %v m²", a)
	}
	if _, _, err = Margin(p, ids[0], 15, MarginRest, plan.Bed); err == nil {
		t.Error("a margin that leaves nothing is made")
	}
}

func TestSplitJoinSubtract(t *testing.T) {
	p, ids := beds(rect(0, 0, 10, 2), rect(0, 5, 10, 7))
	p.Features[0].Crops = []plan.Planting{{Crop: "kale", Share: 0.5}}
	q, all, err := Split(p, nil, orb.Point{4, -1}, orb.Point{4, 3})
	must(t, err)
	lies(t, q, rect(4, 0, 10, 2), rect(0, 5, 10, 7), rect(0, 0, 4, 2))
	if len(all) != 2 || all[0] != ids[0] || len(q.Features[2].Crops) != 1 {
		t.Errorf("pieces %v, %+v", all, q.Features[2])
	}
	// A line that ends within goes straight through what it meets, of which what is chosen goes first.
	both, _, err := Split(p, nil, orb.Point{4, 1}, orb.Point{4, 6})
	must(t, err)
	one, _, err := Split(p, ids[:1], orb.Point{4, 1}, orb.Point{4, 6})
	must(t, err)
	other, _, err := Split(p, ids[:1], orb.Point{4, 4}, orb.Point{4, 6})
	must(t, err)
	if len(both.Features) != 4 || len(one.Features) != 3 || other.Features[0] != p.Features[0] {
		t.Errorf("%d, %d features; the first became %v", len(both.Features), len(one.Features), other.Features[0])
	}
	q = both
	if len(q.Features) != 4 {
		t.Errorf("%d features", len(q.Features))
	}
	if _, _, err = Split(p, nil, orb.Point{40, -1}, orb.Point{40, 3}); err == nil {
		t.Error("nothing was cut without a word")
	}

	back, kept, err := Join(q, []string{q.Features[0].ID, q.Features[2].ID})
	must(t, err)
	lies(t, back, rect(0, 0, 10, 2), rect(4, 5, 10, 7), rect(0, 5, 4, 7))
	if c := back.Features[0].Crops; len(kept) != 1 || len(c) != 1 || math.Abs(c[0].Share-0.5) > 1e-6 {
		t.Errorf("joined, it grows %v", c)
	}
	if _, _, err = Join(p, ids); err == nil || !strings.Contains(err.Error(), "do not touch") {
		t.Errorf("beds apart: %v", err)
	}

	path := plan.NewFeature(plan.Path, "P", rect(3, -5, 4, 20))
	p.Features = append(p.Features, path)
	q, all, err = Subtract(p, append(ids, path.ID))
	must(t, err)
	lies(t, q, rect(4, 0, 10, 2), rect(4, 5, 10, 7), rect(3, -5, 4, 20), rect(0, 0, 3, 2), rect(0, 5, 3, 7))
	if len(all) != 4 {
		t.Errorf("%d pieces", len(all))
	}
	whole, err := Align(p, ids, Left, 0)
	must(t, err)
	whole.Features[2] = plan.NewFeature(plan.Path, "P", rect(-1, -1, 11, 3))
	if _, _, err = Subtract(whole, []string{ids[0], whole.Features[2].ID}); err == nil {
		t.Error("a bed was taken away altogether")
	}
}

// A strip cut squarely is two strips with lines of their own; cut aslant it is two outlines.
func TestPiecesOfAStrip(t *testing.T) {
	f := plan.NewFeature(plan.Hedgerow, "H", nil)
	f.Line, f.WidthM = orb.LineString{{0, 0}, {10, 0}, {10, 8}}, 2
	f.Geometry, _ = geometry.Strip(f.Line, 2)
	p := plan.New("")
	p.Features = []*plan.Feature{f}
	q, _, err := Split(p, []string{f.ID}, orb.Point{4, -5}, orb.Point{4, 5})
	must(t, err)
	if a, b := q.Features[0], q.Features[1]; !slices.Equal(a.Line, orb.LineString{{4, 0}, {10, 0}, {10, 8}}) ||
		!slices.Equal(b.Line, orb.LineString{{0, 0}, {4, 0}}) || b.WidthM != 2 {
		t.Errorf("lines %v and %v", a.Line, b.Line)
	}
	q, _, err = Split(p, []string{f.ID}, orb.Point{4, -5}, orb.Point{7, 5})
	must(t, err)
	if q.Features[0].Line != nil || q.Features[1].Line != nil || q.Features[1].WidthM != 0 {
		t.Error("a slanting piece keeps a line that is not its own")
	}
}

func TestLocksAndOrder(t *testing.T) {
	p, ids := beds(rect(0, 0, 1, 1), rect(2, 0, 3, 1), rect(4, 0, 5, 1))
	q := SetLocked(p, ids[1:2], true)
	if p.Features[1].Locked || !q.Features[1].Locked || SetLocked(q, ids[1:2], true) != q {
		t.Error("locking touches the old plan, or does nothing, or makes a step of nothing")
	}
	var locked *LockedError
	if _, err := Align(q, ids, Left, 0); !errors.As(err, &locked) || locked.Feature.Name != "B" {
		t.Errorf("a locked bed was moved: %v", err)
	}
	if q = SetLocked(q, nil, false); q.Features[1].Locked {
		t.Error("not unlocked")
	}
	if q = SetHidden(p, ids[:2], true); !q.Features[0].Hidden || q.Features[2].Hidden {
		t.Error("the wrong ones are hidden")
	}
	q, err := Order(p, ids[:1], true)
	must(t, err)
	if q.Features[2].ID != ids[0] {
		t.Error("not brought forward")
	}
	if q, err = Order(p, ids[:1], false); err != nil || q != p {
		t.Error("sending the last back is a step")
	}
}

// Whatever is arranged, the old plan stays as it was, outlines stay proper and no ground is lost or won where none should be.
func TestArrangingKeepsGround(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		num := rapid.Float64Range(-20, 20)
		size := rapid.Float64Range(1, 12)
		turn := rapid.Float64Range(-180, 180)
		var shapes []orb.Geometry
		for range 3 {
			g := geometry.Rotate(rect(0, 0, size.Draw(t, "long"), size.Draw(t, "wide")), orb.Point{}, turn.Draw(t, "turn"))
			shapes = append(shapes, Tidy(geometry.Translate(g, num.Draw(t, "x"), num.Draw(t, "y"))))
		}
		p, ids := beds(shapes...)
		before, err := plan.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		frame := Frame(turn.Draw(t, "frame") * math.Pi / 180)
		side := rapid.SampledFrom([]Side{Right, Left, Up, Down}).Draw(t, "side")
		area := func(p *plan.Plan) (sum float64) {
			for _, f := range p.Features {
				if err := geometry.Validate(f.Geometry); err != nil {
					t.Fatalf("%s: %v", f.Title(), err)
				}
				sum += geometry.Area(f.Geometry)
			}
			return sum
		}
		var q *plan.Plan
		what := rapid.IntRange(0, 4).Draw(t, "what")
		switch what {
		case 0:
			q, err = Align(p, ids, side, frame)
		case 1:
			q, _, err = Distribute(p, ids, rapid.Bool().Draw(t, "across"), frame)
		case 2:
			q, _, err = Mirror(p, ids, side, 1, false, frame)
		case 3:
			q, err = Turn(p, ids, turn.Draw(t, "by"), frame)
		case 4:
			q, _, err = Split(p, ids, orb.Point{num.Draw(t, "ax"), num.Draw(t, "ay")}, orb.Point{num.Draw(t, "bx"), num.Draw(t, "by")})
			if err != nil {
				return // the line met nothing
			}
		}
		if err != nil {
			t.Fatal(err)
		}
		if a, b := area(p), area(q); math.Abs(a-b) > 0.05 {
			t.Fatalf("case %d: %v m² became %v", what, a, b)
		}
		if after, _ := plan.Marshal(p); !bytes.Equal(before, after) {
			t.Fatal("the old plan was changed")
		}
	})
}
