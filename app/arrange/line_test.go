package arrange

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

func TestMirrorOverALine(t *testing.T) {
	tri, ids := beds(orb.Polygon{{{0, 0}, {4, 0}, {0, 2}, {0, 0}}})
	// Over the diagonal, east and north change places.
	q, all, err := MirrorOver(tri, ids, orb.Point{-3, -3}, orb.Point{5, 5}, true)
	must(t, err)
	if want := (orb.Polygon{{{0, 0}, {0, 4}, {2, 0}, {0, 0}}}); len(q.Features) != 2 || all[0] != q.Features[1].ID ||
		!orb.Equal(q.Features[1].Geometry, want) {
		t.Errorf("mirrored to %v", q.Features[1].Geometry)
	}
	if _, _, err = MirrorOver(tri, ids, orb.Point{1, 1}, orb.Point{1, 1}, true); err == nil {
		t.Error("a point is taken for a line")
	}
}

func TestMirrorInPlace(t *testing.T) {
	// About x = 2, y = 1: the middle of the box.
	for _, c := range []struct {
		leftForRight bool
		frame        Frame
		want         orb.Polygon
	}{
		{true, 0, orb.Polygon{{{4, 0}, {0, 0}, {4, 2}, {4, 0}}}},
		{false, 0, orb.Polygon{{{0, 2}, {4, 2}, {0, 0}, {0, 2}}}},
		{true, math.Pi / 2, orb.Polygon{{{0, 2}, {4, 2}, {0, 0}, {0, 2}}}}, // turned a quarter, its top is seen at the left
	} {
		p, ids := beds(orb.Polygon{{{0, 0}, {4, 0}, {0, 2}, {0, 0}}})
		q, err := MirrorInPlace(p, ids, c.leftForRight, c.frame)
		must(t, err)
		if !orb.Equal(q.Features[0].Geometry, c.want) || len(q.Features) != 1 || q.Features[0].ID != ids[0] {
			t.Errorf("%v: turned over to %v", c, q.Features[0].Geometry)
		}
	}
}

func strip(name string, line orb.LineString, width float64) *plan.Feature {
	f := plan.NewFeature(plan.Path, name, nil)
	f.Line, f.WidthM = line, width
	f.Geometry, _ = geometry.Strip(line, width)
	return f
}

func TestSplitAlongAPath(t *testing.T) {
	p, ids := beds(rect(0, 0, 10, 4), rect(20, 0, 30, 4))
	// It bends at (6, 2) and ends there in the first bed's middle; its ends run on east and south.
	p.Features = append(p.Features, strip("P", orb.LineString{{6, -1}, {6, 2}, {8, 2}}, 0.5))
	knife := p.Features[2]
	q, all, err := SplitAlong(p, []string{ids[0], knife.ID})
	must(t, err)
	// The corner cut off is 4 m by 2 m of the 40 m².
	if len(q.Features) != 4 || len(all) != 2 || all[0] != ids[0] || q.Features[2] != knife {
		t.Fatalf("%d features, pieces %v", len(q.Features), all)
	}
	lies(t, &plan.Plan{Features: q.Features[3:]}, rect(6, 0, 10, 2))
	if a := geometry.Area(q.Features[0].Geometry); math.Abs(a-32) > 0.001 {
		t.Errorf("%v m² are left of the bed, want 32", a)
	}
	// The line runs straight on through the second bed, too.
	if q, all, err = SplitAlong(p, []string{ids[0], ids[1], knife.ID}); err != nil || len(all) != 4 || len(q.Features) != 5 {
		t.Errorf("pieces %v, %v", all, err)
	}
	p.Features = append(p.Features, strip("Q", orb.LineString{{50, 0}, {50, 9}}, 0.5),
		strip("R", orb.LineString{{1, 1}, {3, 1}, {3, 3}, {2, 3}, {2, -3}}, 0.5))
	for last, say := range map[string]string{"P": "", "Q": "does not cross", "R": "turns back", "A": "no line"} {
		id := ids[1]
		for _, f := range p.Features {
			if f.Name == last {
				id = f.ID
			}
		}
		if _, _, err := SplitAlong(p, []string{ids[0], id}); say == "" && err != nil ||
			say != "" && (err == nil || !strings.Contains(err.Error(), say)) {
			t.Errorf("along %s: %v", last, err)
		}
	}
	if _, _, err := SplitAlong(p, ids[:1]); err == nil {
		t.Error("one alone is split")
	}
}
