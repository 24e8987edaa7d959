package tool

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/habitat/plan"
)

func TestPictureIsFitted(t *testing.T) {
	d := newDesk(t, plan.NewFeature(plan.Stake, "S1", orb.Point{5, 5}), plan.NewFeature(plan.Stake, "S2", orb.Point{5, 25}))
	p := New("Picture", d)
	click(p, 1, 1)
	if d.said == "" {
		t.Error("without a picture nothing is said")
	}
	d.untouched("a click without a picture")
	d.history[0].Picture = &plan.Picture{At: orb.Point{10, 10}, MetresPerPixel: 0.1}

	drag(p, 8, 8, 10, 9)
	if got := d.Plan().Picture; got.At != (orb.Point{12, 11}) || d.last() != "move the picture" {
		t.Errorf("moved to %v, %q", got.At, d.last())
	}
	drag(p, 8, 8, 6, 7)
	// Seen 5 m apart, in truth 20 m: four times as large about the first.
	click(p, 0, 0)
	click(p, 3, 4)
	typing(p, "20 m")
	p.Key(Enter, 0)
	if got := d.Plan().Picture; got.MetresPerPixel != 0.4 || got.At != (orb.Point{40, 40}) || d.last() != "scale the picture" {
		t.Errorf("%+v, %q", got, d.last())
	}
	// Two points of it to the two stakes, to which the pointer is drawn.
	click(p, 0, 0)
	click(p, 10, 0)
	click(p, 5.1, 5.1)
	click(p, 4.9, 25.1)
	if got := d.Plan().Picture; math.Abs(got.MetresPerPixel-0.8) > 1e-12 || math.Abs(got.TurnDeg+90) > 1e-9 || p.Busy() {
		t.Errorf("%+v, busy %v", got, p.Busy())
	}
	n := len(d.history)
	click(p, 0, 0)
	p.Key(Backspace, 0)
	p.Press(Event{At: orb.Point{0, 0}})
	p.Drag(Event{At: orb.Point{5, 5}})
	p.Key(Escape, 0)
	p.Release(Event{At: orb.Point{5, 5}})
	if len(d.history) != n || p.Busy() || d.preview != nil {
		t.Error("given up, something is left")
	}
}
