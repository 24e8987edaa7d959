package board

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

func TestNewBedsOfTypedSizes(t *testing.T) {
	h := newBench(t, plan.New(""))
	sizes := map[string]string{"Long": "10", "Wide": "120 cm", "Side by side": "6", "Path between": "0.5 m"}
	if err := h.fill("New beds", sizes); err != nil {
		t.Fatal(err)
	}
	all := h.features()
	if len(all) != 6 || all[5].Name != "Bed 6" {
		t.Fatalf("%d beds", len(all))
	}
	at := all[0].Geometry.Bound().Min
	for i, f := range all {
		b := f.Geometry.Bound()
		y := at[1] + 1.7*float64(i)
		for _, d := range []float64{b.Min[0] - at[0], b.Min[1] - y, b.Max[0] - at[0] - 10, b.Max[1] - y - 1.2} {
			if math.Abs(d) > 0.001 {
				t.Errorf("%s lies in %v", f.Name, b)
			}
		}
	}
	h.board.Undo()
	if n := len(h.features()); n != 0 {
		t.Errorf("%d beds after undo", n)
	}
	for _, bad := range []map[string]string{{"Long": "0"}, {"Wide": "-1"}, {"Long": "ten"}, {"Side by side": "501"}} {
		if err := h.fill("New beds", bad); err == nil {
			t.Error("a bad row is made")
		}
	}
}

func TestMirrorWays(t *testing.T) {
	p := plan.New("")
	bed := plan.NewFeature(plan.Bed, "A", orb.Polygon{{{0, 0}, {4, 0}, {0, 2}, {0, 0}}})
	fence := plan.NewFeature(plan.Fence, "F", nil)
	fence.Line, fence.WidthM = orb.LineString{{5, -3}, {5, 9}}, 0.1
	fence.Geometry, _ = geometry.Strip(fence.Line, 0.1)
	p.Features = []*plan.Feature{bed, fence}
	h := newBench(t, p)
	h.choose("A")
	if err := h.fill("Mirror", map[string]string{"Over": "in place, left for right"}); err != nil || len(h.features()) != 2 {
		t.Fatal(err, len(h.features()))
	}
	if want := (orb.Polygon{{{4, 0}, {0, 0}, {4, 2}, {4, 0}}}); !orb.Equal(h.named("A").Geometry, want) {
		t.Errorf("in place: %v", h.named("A").Geometry)
	}
	h.board.Undo()
	h.choose("A", "F")
	if err := h.fill("Mirror", map[string]string{"Over": "over the line of F"}); err != nil {
		t.Fatal(err)
	}
	if want := (orb.Polygon{{{10, 0}, {6, 0}, {10, 2}, {10, 0}}}); len(h.features()) != 3 || !orb.Equal(h.features()[2].Geometry, want) {
		t.Errorf("over the fence: %v", h.features()[2].Geometry)
	}
}

func TestSameLengthAndSplitAlong(t *testing.T) {
	p := plan.New("")
	a := plan.NewFeature(plan.Bed, "A", orb.Polygon{{{0, 0}, {10, 0}, {10, 2}, {0, 2}, {0, 0}}})
	b := plan.NewFeature(plan.Bed, "B", orb.Polygon{{{0, 5}, {6, 5}, {6, 7}, {0, 7}, {0, 5}}})
	path := plan.NewFeature(plan.Path, "P", nil)
	path.Line, path.WidthM = orb.LineString{{4, 0.5}, {4, 1.5}}, 0.5
	path.Geometry, _ = geometry.Strip(path.Line, 0.5)
	p.Features = []*plan.Feature{a, b, path}
	h := newBench(t, p)
	h.choose("A", "B")
	if err := h.act("Same length").Do(); err != nil {
		t.Fatal(err)
	}
	if got := h.named("B").Geometry.Bound(); got.Min[0] != -2 || got.Max[0] != 8 {
		t.Errorf("B lies in %v", got)
	}
	if err := h.act("Split along").Do(); err == nil {
		t.Error("a bed without a line splits another")
	}
	h.choose("A", "P")
	if err := h.act("Split along").Do(); err != nil || len(h.features()) != 4 || len(h.s.Selection()) != 2 {
		t.Fatal(err, len(h.features()))
	}
	for _, id := range h.s.Selection() {
		f, _ := h.s.Committed().Find(id)
		if x := f.Geometry.Bound(); x.Min[0] != 4 && x.Max[0] != 4 {
			t.Errorf("a piece lies in %v", x)
		}
	}
}
