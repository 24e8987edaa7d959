package geometry

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	_ "hedgereach/geometry/repeatable"
)

// The sum without rounding says the same as rational numbers (math/big), for points on or next to a line, of any size.
func TestOrientExactAgreesWithRationals(t *testing.T) {
	seen := map[int]int{}
	rapid.Check(t, func(t *rapid.T) {
		scale := math.Pow(10, rapid.Float64Range(-160, 160).Draw(t, "scale"))
		if rapid.Bool().Draw(t, "garden") {
			scale = 1
		}
		at := func(what string) float64 { return scale * rapid.Float64Range(-1e3, 1e3).Draw(t, what) }
		a, d := orb.Point{at("x"), at("y")}, orb.Point{at("dx"), at("dy")}
		along := func(what string) orb.Point {
			k := float64(rapid.IntRange(-64, 64).Draw(t, what)) / 8
			p := orb.Point{a[0] + k*d[0], a[1] + k*d[1]}
			for range rapid.IntRange(0, 2).Draw(t, what+" off") { // by the least that a number can be
				p[1] = math.Nextafter(p[1], math.Inf(1))
			}
			return p
		}
		b, c := along("b"), along("c")
		got, want := orientExact(a, b, c), orientRational(a, b, c)
		if got != want {
			t.Fatalf("%v %v %v: %d, in rational numbers %d", a, b, c, got, want)
		}
		seen[got]++
	})
	for _, side := range []int{-1, 0, 1} {
		if seen[side] == 0 {
			t.Errorf("no case gave %d", side)
		}
	}
}

func BenchmarkOrientOnALine(b *testing.B) {
	p, q, r := orb.Point{0.1, 0.1}, orb.Point{0.3, 0.3}, orb.Point{0.7, 0.7}
	b.Run("sum", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			orientExact(p, q, r)
		}
	})
	b.Run("rationals", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			orientRational(p, q, r)
		}
	})
}
