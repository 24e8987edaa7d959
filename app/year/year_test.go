package year

import (
	"bytes"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"hedgereach/app/document"
	"hedgereach/app/session"
	"hedgereach/data"
	"hedgereach/habitat/plan"
)

func sample(t *testing.T) *session.Session {
	t.Helper()
	test.NewTempApp(t)
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.Read(bytes.NewReader(data.Sample()), data.SampleName)
	if err != nil {
		t.Fatal(err)
	}
	return session.New(c, document.New(p))
}

func shown(t *testing.T, s *session.Session) (*View, chan func()) {
	t.Helper()
	done := make(chan func(), 4)
	s.KeepSeason(func(f func()) { done <- f })
	v := New(s)
	w := test.NewTempWindow(t, v)
	w.Resize(fyne.NewSize(900, 500))
	return v, done
}

// The rows can be gone through to the end and no farther, by wheel and by keys.
func TestScrolling(t *testing.T) {
	v, done := shown(t, sample(t))
	v.Open(Beds)
	(<-done)()
	c, sh := v.chart, v.sheet
	last := c.FirstOfLast(sh.look(1), sh.box(1))
	if last < 20 {
		t.Fatalf("all %d rows fit", c.Rows())
	}
	key := func(k fyne.KeyName) { sh.TypedKey(&fyne.KeyEvent{Name: k}) }
	for _, k := range []struct {
		key  fyne.KeyName
		want int
	}{{fyne.KeyUp, 0}, {fyne.KeyDown, 1}, {fyne.KeyDown, 2}, {fyne.KeyEnd, last}, {fyne.KeyDown, last}, {fyne.KeyUp, last - 1}, {fyne.KeyHome, 0}} {
		if key(k.key); sh.first != k.want {
			t.Errorf("%s: row %d, want %d", k.key, sh.first, k.want)
		}
	}
	key(fyne.KeyPageDown)
	if sh.first < 10 || sh.first > 60 {
		t.Errorf("a page down is row %d", sh.first)
	}
	at := sh.first
	sh.Scrolled(&fyne.ScrollEvent{Scrolled: fyne.NewDelta(0, -60)})
	if sh.first != at+5 {
		t.Errorf("the wheel went %d rows", sh.first-at)
	}
	if img := sh.paint(900, 440); img.Bounds().Dx() != 900 {
		t.Error("no picture")
	}
}

func TestPressingARowChoosesItsFeature(t *testing.T) {
	s := sample(t)
	v, done := shown(t, s)
	(<-done)()
	v.Open(Bloom)
	for row := range v.chart.Rows() {
		if id := v.chart.Feature(row); id != "" {
			y0, y1 := v.chart.RowSpan(v.sheet.look(1), v.sheet.box(1), 0, row)
			v.sheet.Tapped(&fyne.PointEvent{Position: fyne.NewPos(60, float32(y0+y1)/2)})
			if got := s.Selection(); len(got) != 1 || got[0] != id {
				t.Errorf("row %d chose %v, want %s", row, got, id)
			}
			return
		}
	}
	t.Error("no row is about a feature")
}

// The charts follow the plan: that of the beds once the season is worked out afresh.
func TestFollowsThePlan(t *testing.T) {
	s := sample(t)
	v, done := shown(t, s)
	(<-done)()
	v.Open(Beds)
	if v.chart.Rows() < 50 {
		t.Fatalf("%d rows", v.chart.Rows())
	}
	p := s.Committed().Clone()
	p.Features = p.Features[:1]
	if err := s.Commit("clear", p); err != nil {
		t.Fatal(err)
	}
	(<-done)()
	if v.chart.Rows() != 0 {
		t.Errorf("%d rows of a plan without beds", v.chart.Rows())
	}
	v.Open(Bloom)
	if v.chart.Rows() != 0 {
		t.Errorf("%d rows of a plan without habitat", v.chart.Rows())
	}
	s.Undo()
	if v.chart.Rows() < 20 {
		t.Errorf("%d rows with all of it back", v.chart.Rows())
	}
}

func TestEscapeGoesBack(t *testing.T) {
	v, done := shown(t, sample(t))
	(<-done)()
	back := 0
	v.OnClose = func() { back++ }
	v.Open(Bloom)
	v.sheet.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if back != 1 {
		t.Errorf("went back %d times", back)
	}
}
