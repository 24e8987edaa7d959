package board

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/ground"
	"hedgereach/app/session"
	"hedgereach/app/style"
	"hedgereach/geometry"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
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

// The figure of that line lies off the bed, whose name stands there: a line from the far end of a long bed runs the length of it first.
func TestTheFigureLiesOffTheBed(t *testing.T) {
	bed := box(plan.Bed, "Market", 0, 0, 30, 6)
	p := &pen{list: &drawing.List{Width: 1600, Height: 1000}, look: style.Screen(style.Light, 1), view: ground.View{Scale: 10}}
	for _, c := range []struct {
		name string
		line []orb.Point
		off  bool
	}{
		{"from the far end", []orb.Point{{30, 3}, {-20, 3}}, true},
		{"across", []orb.Point{{15, 6}, {15, -40}}, true},
		{"no way off", []orb.Point{{30, 3}, {2, 3}}, false}, // then anywhere
	} {
		at := p.offName(bed, c.line, "35.80 m")
		if in := geometry.Contains(bed.Geometry.(orb.Polygon), orb.Point{at[0] / 10, -at[1] / 10}); in == c.off {
			t.Errorf("%s: at %v", c.name, at)
		}
	}
}
