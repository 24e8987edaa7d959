package arrange

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

func TestARowOfTypedBeds(t *testing.T) {
	p := plan.New("")
	q, ids, err := NewBlock(p, 10, 1.2, Block{Rows: 3, PathM: 0.5, Columns: 2, CrossM: 1}, orb.Point{50, 40}, 0)
	must(t, err)
	// 21 m by 4.6 m about (50, 40).
	var want []orb.Polygon
	for c := range 2 {
		for r := range 3 {
			x, y := 39.5+11*float64(c), 37.7+1.7*float64(r)
			want = append(want, rect(x, y, x+10, y+1.2))
		}
	}
	lies(t, q, want...)
	if len(ids) != 6 || q.Features[0].Name != "Bed 1" || q.Features[5].Name != "Bed 6" || q.Features[0].Kind != plan.Bed {
		t.Errorf("%d beds, the last is %s", len(ids), q.Features[5].Name)
	}
	if q, ids, err = NewBlock(p, 8, 0.75, Block{Rows: 1, Columns: 1}, orb.Point{}, 0); err != nil || len(ids) != 1 {
		t.Fatalf("one bed: %v", err)
	}
	lies(t, q, rect(-4, -0.375, 4, 0.375))
	// On ground that is turned by 30° a bed lies level as seen, and the row about the same middle.
	q, _, err = NewBlock(p, 10, 1.2, Block{Rows: 3, PathM: 0.5, Columns: 1}, orb.Point{50, 40}, math.Pi/6)
	must(t, err)
	if m := geometry.Centroid(q.Features[1].Geometry); math.Hypot(m[0]-50, m[1]-40) > 0.003 {
		t.Errorf("the middle one lies about %v", m)
	}
	if _, _, along, _, _ := Sides(q.Features[0]); math.Abs(along[0]-math.Cos(math.Pi/6)) > 1e-3 || along[1] > 0 {
		t.Errorf("it lies along %v", along)
	}
	for _, bad := range [][2]float64{{0, 1}, {1, -1}, {math.NaN(), 1}, {math.Inf(1), 1}, {1e-9, 1}} {
		if _, _, err := NewBlock(p, bad[0], bad[1], Block{Rows: 2, Columns: 1}, orb.Point{}, 0); err == nil {
			t.Errorf("%v is taken", bad)
		}
	}
	if _, _, err := NewBlock(p, 10, 1, Block{Rows: 600, Columns: 1}, orb.Point{}, 0); err == nil || len(p.Features) != 0 {
		t.Errorf("600 beds: %v, and the old plan has %d", err, len(p.Features))
	}
}

func TestMatchLength(t *testing.T) {
	p, ids := beds(rect(0, 0, 8, 1.5), rect(0, 10, 6, 12))
	p.Features = append(p.Features, strip("S", orb.LineString{{0, 20}, {5, 20}}, 1))
	round := plan.NewFeature(plan.Tree, "T", geometry.Disc(orb.Point{20, 20}, 3))
	round.Centre, round.RadiusM = &orb.Point{20, 20}, 3
	p.Features = append(p.Features, round)
	q, err := MatchLength(p, append(ids, p.Features[2].ID, round.ID))
	must(t, err)
	lies(t, &plan.Plan{Features: q.Features[:3]}, rect(0, 0, 8, 1.5), rect(-1, 10, 7, 12), rect(0, 19.5, 8, 20.5))
	if q.Features[2].Line[1] != (orb.Point{8, 20}) || q.Features[3].RadiusM != 4 {
		t.Errorf("the strip runs to %v, the round thing has a radius of %v", q.Features[2].Line[1], q.Features[3].RadiusM)
	}
	if _, err := MatchLength(p, ids[:1]); err == nil {
		t.Error("one alone is taken")
	}
}
