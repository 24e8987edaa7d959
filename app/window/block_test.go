package window

import (
	"math"
	"testing"

	"hedgereach/geometry/length"
)

func TestBlockFormReadsLengthsAndFills(t *testing.T) {
	open(t)
	f := newBlockForm(length.Metric)
	b, err := f.block(1.2, length.Metric)
	if err != nil || b.Rows != startRows || b.Columns != 1 || b.PathM != startPath {
		t.Errorf("%+v, %v", b, err)
	}
	f.path.SetText("2 ft")
	f.fill.SetText("10 m")
	b, err = f.block(1.2, length.Metric)
	if err != nil || math.Abs(b.PathM-0.6096) > 1e-9 || b.Rows != 5 { // 5·1.2 + 4·0.6096 = 8.44 m, a sixth would be 10.25 m
		t.Errorf("%+v, %v", b, err)
	}
	for _, bad := range []func(){func() { f.path.SetText("wide") }, func() { f.fill.SetText("far") }, func() { f.columns.SetText("0") }} {
		f = newBlockForm(length.Metric)
		bad()
		if _, err := f.block(1.2, length.Metric); err == nil {
			t.Error("nonsense is taken")
		}
	}
}

func TestARowIsSeenThenMadeThenUndone(t *testing.T) {
	w := open(t)
	bed := w.session.Assessment().Beds[0].Feature
	n := len(w.session.Committed().Features)
	w.session.Select(bed.ID)
	w.askBlock()
	if got := len(w.session.Plan().Features); got != n+startRows-1 {
		t.Errorf("%d features are seen while the form is open, want %d", got, n+startRows-1)
	}
	w.escape()
	if len(w.session.Plan().Features) != n || w.session.Previewing() {
		t.Error("given up, something is left")
	}
}
