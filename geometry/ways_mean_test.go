package geometry

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// All ways from the bed go by the end of a wall, so the mean is the mean distance from a rectangle's corner and the walk on.
// The former is d/3 + b²/(6a)·ln((a+d)/b) + a²/(6b)·ln((b+d)/a) with the diagonal d (for the unit square 0.7652; Weisstein,
// Square Point Picking, MathWorld; from memory).
func TestMeanWayRoundAWall(t *testing.T) {
	const a, b = 8.0, 3.0
	d := math.Hypot(a, b)
	mean := d/3 + b*b/(6*a)*math.Log((a+d)/b) + a*a/(6*b)*math.Log((b+d)/a)
	sites := NewSites([]orb.Geometry{orb.Point{-1, -2}})
	w := NewWays(sites, []orb.Geometry{box(0, -1000, 1e-3, 0)})
	want := mean + math.Hypot(1, 2) + 1e-3
	if got := w.MeanDistance(box(1e-3, 0, 1e-3+a, -b)); math.Abs(got-want) > 2.5e-3*want {
		t.Errorf("got %v, want %v", got, want)
	}
	// On this side of the wall all ways are straight.
	near := box(-20, -5, -10, -4)
	if got, want := w.MeanDistance(near), sites.MeanDistance(near); got != want {
		t.Errorf("got %v, straight %v", got, want)
	}
	closed := NewWays(sites, []orb.Geometry{orb.Polygon{box(5, 5, 20, 20)[0], box(8, 8, 12, 12)[0]}})
	if got := closed.MeanDistance(box(9, 9, 10, 10)); !math.IsInf(got, 1) {
		t.Errorf("out of a closed yard: %v", got)
	}
}

// The mean is what is left of the bed beyond each range, summed over the ranges.
func TestMeanWayByLayers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sites, obstacles, bed := drawWalkSites(t), drawObstacles(t, 4), drawObstacle(t)
		w := NewWays(NewSites(sites), obstacles)
		got, farthest, whole := w.MeanDistance(bed), w.Farthest(bed), Area(bed)
		if farthest == nowhere {
			if !math.IsInf(got, 1) {
				t.Fatalf("mean %v, but some ground has no way", got)
			}
			return
		}
		const layers = 40
		step := farthest.Metres / layers
		low, high := 0.0, step
		for i := 1; i < layers; i++ {
			out := 1 - w.AreaWithin(bed, step*float64(i))/whole
			low, high = low+step*out, high+step*out
		}
		slack := 2e-3*farthest.Metres + 0.01
		if got < low-slack || got > high+slack {
			t.Fatalf("mean %v, by layers %v to %v", got, low, high)
		}
	})
}
