package panes

import (
	"strings"
	"testing"
	"time"
)

// A finding that may stand goes to the end with its reason, is not counted, and comes back; each a step of the history.
func TestLetAFindingStand(t *testing.T) {
	s := small(t)
	f := NewFindings(s, never)
	n := f.Count()
	if n < 2 {
		t.Fatalf("%d findings", n)
	}
	f.stand.today = func() time.Time { return time.Date(2027, 3, 4, 23, 0, 0, 0, time.Local) }
	f.choose(f.all[0])
	f.stand.reason.SetText(" the neighbour's hedge is nearer ")
	f.stand.do()
	f.update()
	if f.Count() != n-1 || !strings.Contains(f.summary.Text, "1 let stand") {
		t.Errorf("%d open findings: %q", f.Count(), f.summary.Text)
	}
	last := f.all[len(f.all)-1]
	if last.Accepted == nil || last.Accepted.Reason != "the neighbour's hedge is nearer" || last.Accepted.Date.Format("2006-01-02") != "2027-03-04" {
		t.Errorf("the last is %+v", last.Accepted)
	}
	f.choose(last)
	f.stand.do()
	f.update()
	if f.Count() != n || len(s.Committed().Accepted) != 0 {
		t.Errorf("%d open findings after looking again", f.Count())
	}
	s.Undo()
	s.Undo()
	f.update()
	if f.Count() != n {
		t.Error("undo does not bring it back")
	}
}
