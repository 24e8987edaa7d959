package board

import (
	"math"
	"testing"

	"hedgereach/app/session"
	"hedgereach/habitat"
)

// The line from the bed that is chosen: beyond reach to the nearest point, else to the farthest, which is what decides.
func TestTheLineThatDecides(t *testing.T) {
	h := newBench(t, garden())
	for _, c := range []struct {
		rangeM float64
		want   float64 // the hedge ends at y = 2, bed 2 lies from 20 to 21.2
	}{{10, 18}, {18.5, 19.2}, {30, 19.2}} {
		h.s.SetAsk(session.Ask{RangeM: c.rangeM})
		bed := h.s.Assessment().Beds[1]
		line, far := decides(bed, h.s.Ask(), h.s.Status(bed))
		if math.Abs(far-c.want) > 0.01 || len(line) != 2 || math.Abs(math.Hypot(line[1][0]-line[0][0], line[1][1]-line[0][1])-far) > 0.01 {
			t.Errorf("at %v m: %v along %v, want %v", c.rangeM, far, line, c.want)
		}
	}
	g := h.s.Catalogue().Guild("trichogramma")
	if line, _ := decides(&habitat.Bed{}, session.Ask{Guild: g}, habitat.Beyond); line != nil {
		t.Error("a line where nothing serves")
	}
	if line, _ := decides(&habitat.Bed{Refuge: &habitat.Link{FarthestM: math.Inf(1)}}, session.Ask{}, habitat.Partly); line != nil {
		t.Error("a line without end")
	}
	h.settle()
	h.choose("Bed 2")
	if n := len(h.board.edit.list.Ops); n < 4 {
		t.Errorf("%d steps are painted", n)
	}
}
