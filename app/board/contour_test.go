package board

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
)

// The line of equal distance from a point is a circle; from two points far apart it is two circles; each closed.
func TestContourOfPointsIsCircles(t *testing.T) {
	g := grid{bound: orb.Bound{Min: orb.Point{-20, -10}, Max: orb.Point{20, 10}}, nx: 160, ny: 80}
	field := make([]float32, g.cells())
	sources := []orb.Point{{-10, 1}, {9, -2}}
	for i := range field {
		x := g.bound.Min[0] + (float64(i%g.nx)+0.5)*0.25
		y := g.bound.Max[1] - (float64(i/g.nx)+0.5)*0.25
		d := math.Inf(1)
		for _, s := range sources {
			d = min(d, math.Hypot(x-s[0], y-s[1]))
		}
		field[i] = float32(d)
	}
	var tr tracer
	for range 2 { // the second time with used memory
		lines := tr.trace(field, g, 5)
		if len(lines) != 2 {
			t.Fatalf("%d lines", len(lines))
		}
		for _, l := range lines {
			if l[0] != l[len(l)-1] {
				t.Errorf("a line from %v to %v is not closed", l[0], l[len(l)-1])
			}
			length := 0.0
			for i, p := range l {
				d := math.Inf(1)
				for _, s := range sources {
					d = min(d, math.Hypot(p[0]-s[0], p[1]-s[1]))
				}
				if math.Abs(d-5) > 0.01 {
					t.Fatalf("%v lies %v from its source", p, d)
				}
				if i > 0 {
					length += math.Hypot(p[0]-l[i-1][0], p[1]-l[i-1][1])
				}
			}
			if math.Abs(length-2*math.Pi*5) > 0.05 { // the circumference
				t.Errorf("a line is %v m long", length)
			}
		}
	}
}

func TestContourThatLeavesTheGrid(t *testing.T) {
	g := grid{bound: orb.Bound{Max: orb.Point{10, 10}}, nx: 10, ny: 10}
	field := make([]float32, g.cells())
	for i := range field {
		field[i] = float32(i%10) + 0.5 // distance from a wall at x = 0
	}
	lines := new(tracer).trace(field, g, 4)
	if len(lines) != 1 || len(lines[0]) != 10 {
		t.Fatalf("lines %v", lines)
	}
	for _, p := range lines[0] {
		if math.Abs(p[0]-4) > 1e-6 {
			t.Errorf("%v is not 4 m from the wall", p)
		}
	}
	for i := range field {
		field[i] = float32(math.Inf(1))
	}
	if lines := new(tracer).trace(field, g, 4); len(lines) != 0 {
		t.Errorf("lines in a field without refuge: %v", lines)
	}
	field[55] = 1 // one cell in reach among cells that have no distance at all
	for _, l := range new(tracer).trace(field, g, 4) {
		for _, p := range l {
			if !finite(p) {
				t.Errorf("%v", p)
			}
		}
	}
}
