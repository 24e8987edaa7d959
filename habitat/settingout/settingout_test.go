package settingout

import (
	"errors"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	_ "hedgereach/geometry/repeatable"
	"hedgereach/habitat/plan"
)

func staked(a, b orb.Point, fs ...*plan.Feature) *plan.Plan {
	p := plan.New("")
	p.Features = append([]*plan.Feature{plan.NewFeature(plan.Stake, "S1", a), plan.NewFeature(plan.Stake, "S2", b)}, fs...)
	return p
}

func bed(pts ...orb.Point) *plan.Feature {
	return plan.NewFeature(plan.Bed, "Bed 1", orb.Polygon{append(orb.Ring(pts), pts[0])})
}

// Pythagorean triples, by hand: a corner 3 along and 4 off is 5 from the first stake; 6, 8, 10 likewise from the second.
func TestTapesAndOffsetsOfAKnownBed(t *testing.T) {
	b, err := Measure(staked(orb.Point{0, 0}, orb.Point{9, 0}, bed(orb.Point{3, 4}, orb.Point{9, 4}, orb.Point{9, 12}, orb.Point{3, 12}),
		bed(orb.Point{3, -4}, orb.Point{3, -5}, orb.Point{4, -5})), Centimetre)
	if err != nil {
		t.Fatal(err)
	}
	c := b.Pieces[0].Corners
	for i, want := range []Corner{
		{First: 5, Second: 7.21, Along: 3, Off: 4}, {First: 12.37, Second: 13.42, Along: 3, Off: 12},
		{First: 15, Second: 12, Along: 9, Off: 12}, {First: 9.85, Second: 4, Along: 9, Off: 4},
	} { // clockwise from the corner nearest to the first stake
		g := c[i]
		if math.Abs(g.First-want.First) > 1e-9 || math.Abs(g.Second-want.Second) > 1e-9 || math.Abs(g.Along-want.Along) > 1e-9 ||
			math.Abs(g.Off-want.Off) > 1e-9 || !g.Left {
			t.Errorf("corner %d: %+v, want %+v to the left", i, g, want)
		}
	}
	if d := b.Pieces[0].Diagonals; math.Abs(d[0]-10) > 1e-9 || math.Abs(d[1]-10) > 1e-9 { // 6, 8, 10
		t.Errorf("diagonals %v, want 10 and 10", d)
	}
	if b.Pieces[1].Corners[0].Left {
		t.Error("a corner south of stakes that run east is to the right")
	}
}

func TestNearTheLineOfTheStakesOffsetsServe(t *testing.T) {
	b, err := Measure(staked(orb.Point{0, 0}, orb.Point{40, 0}, bed(orb.Point{20.004, 0.3}, orb.Point{30, 1}, orb.Point{30, 20})), Centimetre)
	if err != nil {
		t.Fatal(err)
	}
	c := b.Pieces[0].Corners
	if !c[0].ByOffset || c[2].ByOffset {
		t.Errorf("by offset: %v near the line, %v far from it", c[0].ByOffset, c[2].ByOffset)
	}
}

func TestARoundThingIsACentreAndARadius(t *testing.T) {
	f := plan.NewFeature(plan.Pond, "Pond", orb.Polygon{{{9, 9}, {11, 9}, {10, 11}, {9, 9}}})
	f.Centre, f.RadiusM = &orb.Point{10, 10}, 1.204
	b, err := Measure(staked(orb.Point{0, 0}, orb.Point{20, 0}, f), Centimetre)
	if err != nil || len(b.Pieces) != 1 || len(b.Pieces[0].Corners) != 1 || math.Abs(b.Pieces[0].RadiusM-1.2) > 1e-9 {
		t.Errorf("%+v, %v", b, err)
	}
}

func TestBendsAndCirclesTakeFewMarks(t *testing.T) {
	var ring, bend orb.Ring
	for i := range 64 {
		s, c := math.Sincos(float64(i) * math.Pi / 32)
		ring = append(ring, orb.Point{30 + 5*c, 20 + 5*s})
	}
	ring = append(ring, ring[0])
	for i := range 41 { // an arc of 20 m radius, 1.2 m wide
		s, c := math.Sincos(float64(i) * math.Pi / 80)
		bend = append(bend, orb.Point{20 * c, 20 * s})
	}
	for i := 40; i >= 0; i-- {
		s, c := math.Sincos(float64(i) * math.Pi / 80)
		bend = append(bend, orb.Point{18.8 * c, 18.8 * s})
	}
	bend = append(bend, bend[0])
	b, err := Measure(staked(orb.Point{-50, -10}, orb.Point{50, -10}, plan.NewFeature(plan.Path, "Ring", orb.Polygon{ring}),
		plan.NewFeature(plan.Bed, "Bend", orb.Polygon{bend})), Centimetre)
	if err != nil {
		t.Fatal(err)
	}
	if p := b.Pieces[0]; len(p.Corners) != 1 || math.Abs(p.RadiusM-5) > 1e-9 {
		t.Errorf("the ring takes %d marks, radius %v", len(p.Corners), p.RadiusM)
	}
	// An arc of radius r keeps within e of chords of length 2√(2re): 31.4 m at 20 m radius and 5 cm takes 12 of them.
	if n := len(b.Pieces[1].Corners); n < 20 || n > 40 {
		t.Errorf("the bend takes %d marks", n)
	}
}

func TestWithoutTwoStakesItSaysWhatToDo(t *testing.T) {
	p := plan.New("")
	p.Features = []*plan.Feature{plan.NewFeature(plan.Stake, "S1", orb.Point{0, 0})}
	if _, err := Measure(p, Centimetre); !errors.Is(err, ErrStakes) {
		t.Errorf("%v", err)
	}
}

// The rounded measures rebuild every corner within the error that the book states, by a solver of the test's own: Newton's
// method on the two circles, begun on the stated side.
func TestTheBookRebuildsThePlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		xy := func(what string) orb.Point {
			return orb.Point{rapid.Float64Range(-60, 60).Draw(t, what+" x"), rapid.Float64Range(-60, 60).Draw(t, what+" y")}
		}
		s1, s2 := xy("first stake"), xy("second stake")
		if far(s1, s2) < 5 {
			t.Skip()
		}
		step := rapid.SampledFrom([]float64{Centimetre, QuarterInch}).Draw(t, "step")
		f := bed(xy("a"), xy("b"), xy("c"))
		b, err := Measure(staked(s1, s2, f), step)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range b.Pieces[0].Corners {
			if c.ErrorM > b.WorstM {
				t.Errorf("an error of %v is above the worst, %v", c.ErrorM, b.WorstM)
			}
			var got orb.Point
			if c.ByOffset {
				got = b.ByOffsets(c)
				if far(got, c.At) > step { // half a step each way, at right angles
					t.Errorf("by offset %v m off", far(got, c.At))
				}
			} else {
				got = newton(s1, s2, c)
			}
			if d := far(got, c.At); d > c.ErrorM+1e-6 {
				t.Errorf("rebuilt %v m off, stated %v", d, c.ErrorM)
			}
		}
	})
}

func newton(p, q orb.Point, c Corner) orb.Point {
	at := c.At // near enough to choose the side
	for range 60 {
		d1, d2 := far(p, at), far(q, at)
		a, b := (at[0]-p[0])/d1, (at[1]-p[1])/d1
		e, f := (at[0]-q[0])/d2, (at[1]-q[1])/d2
		r1, r2, det := c.First-d1, c.Second-d2, a*f-b*e
		if det == 0 {
			break
		}
		at[0], at[1] = at[0]+(r1*f-b*r2)/det, at[1]+(a*r2-r1*e)/det
	}
	return at
}
