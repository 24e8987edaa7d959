package arrange

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

func TestFillALevelField(t *testing.T) {
	p, ids := beds(rect(0, 0, 20, 10))
	p.Features[0].Kind = plan.Boundary
	q, made, err := FillArea(p, ids[0], Filling{WidthM: 1.2, PathM: 0.5, MarginM: 1})
	must(t, err)
	// 8 m hold 5 beds and 4 paths: 5 · 1.2 + 4 · 0.5 = 8.
	want := []orb.Polygon{rect(0, 0, 20, 10)}
	for i := range 5 {
		y := 1 + float64(i)*1.7
		want = append(want, rect(1, y, 19, y+1.2))
	}
	lies(t, q, want...)
	if len(made) != 5 || q.Features[5].Name != "Bed 5" {
		t.Errorf("%d made, the last is %s", len(made), q.Features[5].Name)
	}
	// Beds of 8 m at most: 18 m make three of (18 − 2 · 0.5)/3 each.
	q, made, err = FillArea(p, ids[0], Filling{WidthM: 1.2, PathM: 0.5, MarginM: 1, LongM: 8, Across: false})
	must(t, err)
	if l, w := SizeOf(q.Features[1]); len(made) != 15 || math.Abs(l-17.0/3) > 0.002 || math.Abs(w-1.2) > 0.002 {
		t.Errorf("%d beds of %v × %v", len(made), l, w)
	}
	q, made, err = FillArea(p, ids[0], Filling{WidthM: 1.2, PathM: 0.5, Across: true})
	must(t, err)
	if l, _ := SizeOf(q.Features[1]); len(made) != 12 || math.Abs(l-10) > 0.002 { // 12 · 1.2 + 11 · 0.5 = 19.9
		t.Errorf("across: %d beds of %v", len(made), l)
	}
	p.Features[0].Kind = plan.Bed
	if q, _, err = FillArea(p, ids[0], Filling{WidthM: 1.2, PathM: 0.5}); err != nil || len(q.Features) != 6 {
		t.Errorf("a bed does not make way for its parts: %d features, %v", len(q.Features), err)
	}
	for _, bad := range []Filling{{}, {WidthM: 11}, {WidthM: 1, PathM: -1}, {WidthM: 1, MarginM: 6}, {WidthM: 0.001}} {
		if _, _, err := FillArea(p, ids[0], bad); err == nil {
			t.Errorf("%+v is taken", bad)
		}
	}
}

func TestWholeBedsOnly(t *testing.T) {
	// A right triangle of 20 by 10: a row from y to y + 1 has a clear run of 20 · (10 − y − 1)/10.
	p, ids := beds(orb.Polygon{{{0, 0}, {20, 0}, {0, 10}, {0, 0}}})
	p.Features[0].Kind = plan.Boundary
	q, made, err := FillArea(p, ids[0], Filling{WidthM: 1, PathM: 1, Whole: true})
	must(t, err)
	if len(made) == 0 {
		t.Fatal("nothing was made")
	}
	for _, f := range q.Features[1:] {
		l, w := SizeOf(f)
		if math.Abs(geometry.Area(f.Geometry)-l*w) > 0.01 || math.Abs(w-1) > 0.003 && math.Abs(l-1) > 0.003 {
			t.Errorf("%s is no rectangle 1 m wide: %v × %v, %v m²", f.Name, l, w, geometry.Area(f.Geometry))
		}
	}
}

// Every bed lies on the ground with its margin, none overlaps another, all have the width.
func TestFillingKeepsToTheGround(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var pts []orb.Point
		n := rapid.IntRange(3, 7).Draw(t, "corners")
		for i := range n { // a star-shaped outline about 0, 0
			a := (float64(i) + rapid.Float64Range(0, 0.8).Draw(t, "angle")) * 2 * math.Pi / float64(n)
			r := rapid.Float64Range(6, 20).Draw(t, "radius")
			pts = append(pts, orb.Point{r * math.Cos(a), r * math.Sin(a)})
		}
		g := Tidy(orb.Polygon{append(orb.Ring(pts), pts[0])})
		if geometry.Validate(g) != nil {
			return
		}
		p, ids := beds(g)
		p.Features[0].Kind = plan.WildMargin
		o := Filling{WidthM: rapid.Float64Range(0.6, 3).Draw(t, "width"), PathM: rapid.Float64Range(0.2, 1.5).Draw(t, "path"),
			MarginM: rapid.Float64Range(0, 1).Draw(t, "margin"), Whole: rapid.Bool().Draw(t, "whole"),
			Across: rapid.Bool().Draw(t, "across"), LongM: rapid.SampledFrom([]float64{0, 5}).Draw(t, "long")}
		q, made, err := FillArea(p, ids[0], o)
		if err != nil {
			return // no bed fits
		}
		var ground orb.Geometry = g
		if o.MarginM > 0 {
			ground, _ = geometry.Buffer(g, -o.MarginM+0.02)
		}
		sum := 0.0
		var shapes []orb.Geometry
		for _, id := range made {
			f, _ := q.Find(id)
			out, err := geometry.Difference(f.Geometry, ground)
			if err != nil {
				t.Fatal(err)
			}
			if a := geometry.Area(out); a > 0.05 {
				t.Errorf("%s lies off the ground by %v m²", f.Name, a)
			}
			sum += geometry.Area(f.Geometry)
			shapes = append(shapes, f.Geometry)
		}
		u, err := geometry.Union(shapes...)
		if err != nil || math.Abs(geometry.Area(u)-sum) > 0.05 {
			t.Errorf("beds overlap: %v of %v m², %v", geometry.Area(u), sum, err)
		}
	})
}
