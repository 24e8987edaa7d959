package arrange

import (
	"bytes"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"hedgereach/data/season"
	"hedgereach/geometry"
	_ "hedgereach/geometry/repeatable"
	"hedgereach/habitat/plan"
)

func oneBed(g orb.Geometry) *plan.Plan {
	p := plan.New("")
	f := plan.NewFeature(plan.Bed, "Bed 1", g)
	f.Crops = []plan.Planting{{Crop: "kale", Dates: season.Window{From: 130, To: 280}, Share: 1}}
	p.Features = []*plan.Feature{f}
	return p
}

func TestARowOfSixBeds(t *testing.T) {
	p := oneBed(orb.Polygon{{{0, 0}, {10, 0}, {10, 1.2}, {0, 1.2}, {0, 0}}})
	q, ids, err := MakeBlock(p, p.Features[0].ID, Block{Rows: 6, PathM: 0.5, Columns: 1})
	if err != nil || len(ids) != 6 || len(q.Features) != 6 || len(p.Features) != 1 {
		t.Fatalf("%v, %d ids", err, len(ids))
	}
	for i, f := range q.Features { // 1.2 m and 0.5 m: every 1.7 m
		y := float64(i) * 1.7
		if b := f.Geometry.Bound(); math.Abs(b.Min[1]-y) > 1e-9 || math.Abs(b.Max[1]-y-1.2) > 1e-9 || b.Max[0] != 10 {
			t.Errorf("%s lies in %v, want from %v on", f.Name, b, y)
		}
		if want := []string{"Bed 1", "Bed 2", "Bed 3", "Bed 4", "Bed 5", "Bed 6"}[i]; f.Name != want {
			t.Errorf("named %s, want %s", f.Name, want)
		}
		if i > 0 && f.Crops != nil {
			t.Error("crops were copied unasked")
		}
	}
	q, _, err = MakeBlock(p, p.Features[0].ID, Block{Rows: 2, PathM: 0.5, Columns: 2, CrossM: 1, Back: true, WithCrops: true})
	if err != nil {
		t.Fatal(err)
	}
	if b := q.Features[3].Geometry.Bound(); b.Min != (orb.Point{11, -1.7}) || len(q.Features[3].Crops) != 1 {
		t.Errorf("the last of the block lies in %v", b)
	}
}

func TestFill(t *testing.T) {
	for _, c := range []struct {
		width, path, length float64
		want                int
	}{{1.2, 0.5, 10, 6}, {1.2, 0.5, 9.7, 6}, {1.2, 0.5, 9.69, 5}, {1.2, 0.5, 1.1, 0}, {1.2, 0, 12, 10}, {0, 0.5, 10, 0}} {
		if got := Fill(c.width, c.path, c.length); got != c.want {
			t.Errorf("%v: %d", c, got)
		}
	}
}

func TestRefusals(t *testing.T) {
	p := oneBed(orb.Polygon{{{0, 0}, {10, 0}, {10, 1.2}, {0, 1.2}, {0, 0}}})
	id := p.Features[0].ID
	for _, b := range []Block{{Rows: 1, Columns: 1}, {Rows: 600, Columns: 1}, {Rows: 3, Columns: 1, PathM: -1}, {Rows: 0, Columns: 4}} {
		if _, _, err := MakeBlock(p, id, b); err == nil {
			t.Errorf("%+v is taken", b)
		}
	}
	if _, _, err := MakeBlock(p, "nobody", Block{Rows: 2, Columns: 1}); err == nil {
		t.Error("a row of nothing is taken")
	}
}

// However the first bed lies, neighbours keep the path between them, all have its area, and the old plan is as it was.
func TestNeighboursKeepTheirPath(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		turn := rapid.Float64Range(-180, 180).Draw(t, "turn")
		long, wide := rapid.Float64Range(3, 30).Draw(t, "long"), rapid.Float64Range(0.5, 2).Draw(t, "wide")
		path := rapid.Float64Range(0.2, 2).Draw(t, "path")
		g := geometry.Rotate(orb.Polygon{{{0, 0}, {long, 0}, {long, wide}, {0, wide}, {0, 0}}}, orb.Point{}, turn)
		p := oneBed(g)
		before, err := plan.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		q, _, err := MakeBlock(p, p.Features[0].ID, Block{Rows: 4, PathM: path, Columns: 1, Back: rapid.Bool().Draw(t, "back")})
		if err != nil {
			t.Fatal(err)
		}
		for i := range 3 {
			d, _, _ := geometry.Closest(q.Features[i].Geometry, q.Features[i+1].Geometry)
			if math.Abs(d-path) > 0.003 {
				t.Errorf("a path of %v, want %v", d, path)
			}
			if a := geometry.Area(q.Features[i+1].Geometry); math.Abs(a-long*wide) > 0.003*(long+wide) {
				t.Errorf("area %v, want %v", a, long*wide)
			}
		}
		after, _ := plan.Marshal(p)
		if !bytes.Equal(before, after) {
			t.Error("the old plan was changed")
		}
	})
}
