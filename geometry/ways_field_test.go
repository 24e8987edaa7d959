package geometry

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// centreOf is the centre of a field's cell.
func centreOf(b orb.Bound, nx, ny, i int) orb.Point {
	dx, dy := (b.Max[0]-b.Min[0])/float64(nx), (b.Max[1]-b.Min[1])/float64(ny)
	return orb.Point{b.Min[0] + (float64(i%nx)+0.5)*dx, b.Max[1] - (float64(i/nx)+0.5)*dy}
}

// A hedge all along y = 0, a shed before it: in the shed's shadow the way leads past the nearer end of its far wall, 10 m from
// the hedge; in the shed there is none; everywhere else it is straight. By Pythagoras.
func TestFieldBehindShed(t *testing.T) {
	w := NewWays(NewSites([]orb.Geometry{box(0, -2, 100, 0)}), []orb.Geometry{box(40, 5, 60, 10)})
	b := orb.Bound{Min: orb.Point{0, -5}, Max: orb.Point{100, 45}}
	const nx, ny = 130, 65
	for _, limit := range []float64{math.Inf(1), 22} {
		out := make([]float32, nx*ny)
		if err := w.Field(context.Background(), b, nx, ny, limit, out); err != nil {
			t.Fatal(err)
		}
		for i, got := range out {
			p := centreOf(b, nx, ny, i)
			want := max(0, p[1], -2-p[1])
			if 40 < p[0] && p[0] < 60 && p[1] > 5 {
				want = 10 + min(math.Hypot(p[0]-40, p[1]-10), math.Hypot(60-p[0], p[1]-10))
				if p[1] < 10 {
					want = math.Inf(1)
				}
			}
			switch {
			case want > limit && want < math.Inf(1):
				if !(float64(got) > limit) {
					t.Fatalf("at %v: %v, want more than %v", p, got, limit)
				}
			case math.IsInf(want, 1) != math.IsInf(float64(got), 1) || math.Abs(float64(got)-want) > 1e-5*want:
				t.Fatalf("at %v: %v, want %v", p, got, want)
			}
		}
	}
}

// Each cell has the distance that its centre alone has.
func TestFieldOnFootIsDistanceFrom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := NewWays(NewSites(drawWalkSites(t)), drawObstacles(t, 6))
		// Off the whole metres on which obstacles lie: whether a point on an edge is in is a matter of rounding.
		b := orb.Bound{Min: orb.Point{-10.013, -9.981}, Max: orb.Point{75.07, 74.93}}
		nx, ny := rapid.IntRange(1, 24).Draw(t, "across"), rapid.IntRange(1, 24).Draw(t, "down")
		limit := rapid.SampledFrom([]float64{math.Inf(1), 60, 15}).Draw(t, "limit")
		out := make([]float32, nx*ny)
		if err := w.Field(context.Background(), b, nx, ny, limit, out); err != nil {
			t.Fatal(err)
		}
		for i, got := range out {
			p := centreOf(b, nx, ny, i)
			want, _ := w.DistanceFrom(p)
			if want > limit*(1-1e-6) {
				if !(float64(got) > limit*(1-2e-6)) {
					t.Fatalf("at %v: %v, want %v, more than %v", p, got, want, limit)
				}
				continue
			}
			if float64(got) != want && !(math.Abs(float64(got)-want) <= 1e-4+1e-6*want) {
				t.Fatalf("at %v: %v, want %v", p, got, want)
			}
		}
	})
}

func TestFieldOnFootIsCancelled(t *testing.T) {
	w := NewWays(NewSites([]orb.Geometry{orb.Point{}}), []orb.Geometry{box(1, 1, 2, 2)})
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := w.Field(ctx, orb.Bound{Max: orb.Point{9, 9}}, 9, 9, math.Inf(1), make([]float32, 81)); err != context.Canceled {
		t.Errorf("got %v", err)
	}
	if err := w.Field(context.Background(), orb.Bound{Max: orb.Point{9, 9}}, 9, 9, math.Inf(1), make([]float32, 80)); err == nil {
		t.Error("a grid in too little room is filled")
	}
	out := []float32{1}
	if err := NewWays(nil, []orb.Geometry{box(1, 1, 2, 2)}).Field(context.Background(), orb.Bound{Max: orb.Point{9, 9}}, 1, 1, 5, out); err != nil ||
		!math.IsInf(float64(out[0]), 1) {
		t.Errorf("without sites: %v, %v", out, err)
	}
}

// The reach of walkers as a window of 1 600 × 1 000 points shades it at rest and in a drag, with 600 habitats on 500 by 500 m, and
// with so many sheds and ponds in the way.
func BenchmarkFieldOnFoot(b *testing.B) {
	_, habitats := benchSite(2000, 600)
	s := NewSites(habitats)
	for _, n := range []int{5, 40, 200} {
		var obstacles []orb.Geometry
		for i := range n {
			at := orb.Point{math.Mod(float64(i)*61.8034, 480), math.Mod(float64(i)*149.07, 480)}
			if i%2 == 0 {
				obstacles = append(obstacles, Rotate(box(at[0], at[1], at[0]+12, at[1]+6), at, float64(i)))
			} else {
				obstacles = append(obstacles, Disc(at, 5))
			}
		}
		for name, cell := range map[string]float64{"rest": 2, "drag": 4} {
			nx := int(500 / cell)
			out := make([]float32, nx*nx)
			b.Run(fmt.Sprintf("%d_obstacles/%s", n, name), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					w := NewWays(s, obstacles)
					if err := w.Field(context.Background(), orb.Bound{Max: orb.Point{500, 500}}, nx, nx, 60, out); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
