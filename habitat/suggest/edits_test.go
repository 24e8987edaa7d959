package suggest

import (
	"context"
	"math"
	"slices"
	"testing"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// TestEdits sees that edits of what is there do what they say, and keep off all else.
func TestEdits(t *testing.T) {
	p, c := sample(t)
	seen := map[string]bool{}
	for _, k := range []Ask{{Guilds: []string{"ground-beetles"}}, {RangeM: 22}} {
		list, err := Edits(context.Background(), p, c, k, nil)
		if err != nil {
			t.Fatal(err)
		}
		for i, q := range list {
			if i > 0 && len(q.Beds) > len(list[i-1].Beds) {
				t.Errorf("%q comes after %q, which brings in fewer beds", q.Title, list[i-1].Title)
			}
			if f := q.Changes[0]; (q.TakenM2 > 0) == (q.Title == "Move") || q.Title == "Widen" &&
				math.Abs(q.TakenM2-geometry.Area(f.After.Geometry)+geometry.Area(f.Before.Geometry)) > 1e-6 {
				t.Errorf("%s takes %v m²", q.Title, q.TakenM2)
			}
			t.Log(q.Title, q.Effect, q.How, q.Changes[0].Why)
			seen[q.Title] = true
			keeps(t, p, c, q)
			if len(q.Beds) == 0 || len(q.Lost) > 0 || len(q.Changes) != 1 || q.Changes[0].Before == nil {
				t.Errorf("%+v", q)
			}
		}
	}
	for _, title := range []string{"Turn a bed into habitat", "Move", "Widen"} {
		if !seen[title] {
			t.Errorf("%q was never proposed", title)
		}
	}
}

// TestWiden: a bed 1 m beyond the range of a hedge with free ground before it comes into reach by 1 m of hedge, and not where a path
// lies in the way.
func TestWiden(t *testing.T) {
	_, c := sample(t)
	hedge := plan.NewFeature(plan.Hedgerow, "Hedge", oblong(0, 0, 30, 2))
	hedge.Line, hedge.WidthM = append(hedge.Line, [2]float64{0, 1}, [2]float64{30, 1}), 2
	p := plan.New("Widen")
	p.Features = []*plan.Feature{plan.NewFeature(plan.Boundary, "Field", oblong(-5, -10, 40, 60)), hedge,
		plan.NewFeature(plan.Bed, "Bed", oblong(10, 12, 10, 1))}
	ask := Ask{RangeM: 10} // the far edge lies 11 m away
	list, err := Edits(context.Background(), p, c, ask, nil)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(list, func(q *Proposal) bool { return q.Title == "Widen" })
	if i < 0 {
		t.Fatal("not proposed")
	}
	keeps(t, p, c, list[i])
	if w := list[i].Changes[0].After.WidthM; w != 3 {
		t.Errorf("wider to %v m: %s", w, list[i].Effect)
	}
	p.Features = append(p.Features, plan.NewFeature(plan.Path, "Path", oblong(-5, 2.2, 40, 1)))
	if list, err = Edits(context.Background(), p, c, ask, nil); err != nil {
		t.Fatal(err)
	}
	if slices.ContainsFunc(list, func(q *Proposal) bool { return q.Title == "Widen" }) {
		t.Error("widened over the path")
	}
}
