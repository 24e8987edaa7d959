package geometry

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

func TestBoxesAgainstAPlainSearch(t *testing.T) {
	drawBox := func(t *rapid.T) orb.Bound {
		x, y := rapid.IntRange(-500, 500).Draw(t, "x"), rapid.IntRange(-500, 500).Draw(t, "y") // decimetres
		w, h := rapid.SampledFrom([]float64{0, 1, 7, 30}).Draw(t, "w"), rapid.SampledFrom([]float64{0, 1, 7}).Draw(t, "h")
		at := orb.Point{float64(x) / 10, float64(y) / 10}
		return orb.Bound{Min: at, Max: orb.Point{at[0] + w, at[1] + h}}
	}
	rapid.Check(t, func(t *rapid.T) {
		boxes := make([]orb.Bound, rapid.IntRange(0, 90).Draw(t, "boxes"))
		for i := range boxes {
			boxes[i] = drawBox(t)
		}
		to, within := drawBox(t), rapid.SampledFrom([]float64{0, 3, 25}).Draw(t, "within")
		want := []int32{-1}
		for i, b := range boxes {
			dx := max(0, b.Min[0]-to.Max[0], to.Min[0]-b.Max[0])
			dy := max(0, b.Min[1]-to.Max[1], to.Min[1]-b.Max[1])
			if math.Hypot(dx, dy) <= within {
				want = append(want, int32(i))
			}
		}
		b := NewBoxes(len(boxes), func(i int) orb.Bound { return boxes[i] })
		got := b.Near([]int32{-1}, to, within)
		if any := b.Any(to, within); any != (len(want) > 1) {
			t.Fatalf("any near %v within %v: %v", to, within, any)
		}
		if !slices.Equal(got, want) {
			t.Fatalf("near %v within %v: %v, want %v", to, within, got, want)
		}
	})
}
