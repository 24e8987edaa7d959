package board

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/habitat/plan"
)

// A quick zoom or pan beyond what the base shows brings up the coarse picture of all, on its ground, until the next base is there.
func TestNoGroundComesUpBare(t *testing.T) {
	p := garden()
	p.Features = append(p.Features, box(plan.Bed, "Far bed", 60, 60, 80, 62))
	h := newBench(t, p)
	h.settle()
	far := &h.board.far
	check := func(after string, want bool) {
		t.Helper()
		if far.raster.Visible() != want {
			t.Fatalf("after %s the coarse picture is shown: %v", after, !want)
		}
		if !want {
			return
		}
		for _, q := range []orb.Point{{0, 0}, {80, 62}} {
			on, at := far.view.To(q), h.board.view.To(q)
			k := far.raster.Size().Width / float32(far.img.Rect.Dx())
			x, y := float64(far.raster.Position().X)+on[0]*float64(k), float64(far.raster.Position().Y)+on[1]*float64(k)
			if math.Hypot(x-at[0], y-at[1]) > 0.1 {
				t.Errorf("after %s it shows %v at %.2f, %.2f instead of %.2f", after, q, x, y, at)
			}
		}
	}
	check("the start", false)
	h.board.zoom(0.3, h.board.middle())
	check("a zoom out", true)
	h.settle()
	check("the next base", false)
	h.board.zoom(2, h.board.middle())
	h.settle()
	h.board.pan(700, -500)
	check("a far pan", true)
	h.settle()
	check("the next base", false)
	h.board.zoom(60, h.board.middle()) // far in, a pixel of it would be as large as a hand
	h.settle()
	h.board.pan(2000, 0)
	check("a pan far in", false)

	// A colour of the far bed is there: a picture of nothing would pass all of the above.
	at := far.view.To(orb.Point{70, 61})
	if got, bare := far.img.RGBAAt(int(at[0]), int(at[1])), far.img.RGBAAt(1, 1); got == bare {
		t.Errorf("the far bed is %v, as is bare ground", got)
	}
	asked := far.asked.number
	h.board.Fit()
	h.settle()
	h.down(10, 5.5)
	h.to(10, 8)
	h.settle()
	if far.asked.number != asked {
		t.Error("a gesture under way asks for another coarse picture")
	}
	h.up(true)
	h.settle()
	if far.asked.number == asked {
		t.Error("an edit asks for no other coarse picture")
	}
}
