package tool

import (
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/habitat/plan"
)

func TestMeasure(t *testing.T) {
	d := newDesk(t)
	m := New("Measure", d)
	drag(m, 0, 0, 3, 4)
	if k := m.Sketch(); k.Words != "5.00 m" || m.Busy() { // 3, 4, 5
		t.Errorf("words %q", k.Words)
	}
	click(m, 10, 0) // another
	click(m, 14, 0)
	click(m, 14, 3)
	k := m.Sketch()
	if !strings.Contains(k.Words, "7.00 m") || !strings.Contains(k.Words, "6.0 m²") || len(k.Lines) != 2 {
		t.Errorf("words %q", k.Words)
	}
	if !slices.ContainsFunc(k.Notes, func(n Note) bool { return n.Words == "90.0°" && n.At == orb.Point{14, 0} }) {
		t.Errorf("no right angle in %v", k.Notes)
	}
	m.Key(Backspace, 0)
	m.Key(Enter, 0)
	if k := m.Sketch(); k.Words != "4.00 m" {
		t.Errorf("a point taken back: %q", k.Words)
	}
	m.Key(Escape, 0)
	if k := m.Sketch(); len(k.Lines) > 0 || m.Key(Escape, 0) {
		t.Error("something is left")
	}
	d.untouched("measuring")
}

func TestSplitByALine(t *testing.T) {
	d := newDesk(t, box(plan.Bed, "Bed 1", 0, 0, 10, 1), box(plan.Bed, "Bed 2", 0, 3, 10, 4))
	s := New("Split", d)
	click(s, 4, -1)
	click(s, 4, 2)
	if len(d.Plan().Features) != 3 || d.last() != "split by a line" || len(d.chosen) != 2 {
		t.Fatalf("%d features, %q", len(d.Plan().Features), d.last())
	}
	if b := d.find("Bed 3").Geometry.Bound(); b.Min != (orb.Point{0, 0}) || b.Max != (orb.Point{4, 1}) {
		t.Errorf("the smaller piece lies in %v", b)
	}
	drag(s, 6, 2, 6, 5) // with the pieces chosen, a line through another
	if b := d.find("Bed 2").Geometry.Bound(); len(d.Plan().Features) != 4 || b.Max[0] != 6 {
		t.Errorf("%d features, the second bed in %v", len(d.Plan().Features), b)
	}
	n := len(d.history)
	click(s, 40, 40)
	click(s, 44, 44)
	if len(d.history) != n || d.said == "" || s.Busy() {
		t.Error("a line through nothing makes a step, or nothing is said")
	}
	click(s, 40, 40)
	s.Key(Escape, 0)
	if s.Busy() {
		t.Error("not given up")
	}
}
