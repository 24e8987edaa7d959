package strip

import (
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"github.com/paulmach/orb"

	"hedgereach/app/document"
	"hedgereach/app/drawing"
	"hedgereach/app/session"
	"hedgereach/app/style"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

func half(s string) season.HalfMonth {
	h, err := season.ParseHalfMonth(s)
	if err != nil {
		panic(err)
	}
	return h
}

func day(s string) season.Day {
	d, err := season.ParseDay(s)
	if err != nil {
		panic(err)
	}
	return d
}

// garden is a session on a garden of 1000 m² with a strip of 100 m² that flowers by the grower's own word from 1 to 30 June.
func garden(t *testing.T) *session.Session {
	t.Helper()
	test.NewTempApp(t)
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	box := func(x, y, w, h float64) orb.Polygon {
		return orb.Polygon{{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}}}
	}
	p := plan.New("Garden")
	p.Place = &plan.Place{Latitude: 44, Longitude: -72, LastFrost: day("05-10"), FirstFrost: day("10-01")}
	flowers := plan.NewFeature(plan.PerennialStrip, "Strip", box(0, 0, 100, 1))
	flowers.Plants = []plan.Growing{{Plant: c.Plants[0].ID, Share: 0.5,
		Bloom: season.Window{From: day("06-01"), To: day("06-30")}}}
	p.Features = []*plan.Feature{plan.NewFeature(plan.Boundary, "", box(0, 0, 100, 10)), flowers,
		plan.NewFeature(plan.Bed, "Bed 1", box(0, 5, 10, 1))}
	return session.New(c, document.New(p))
}

func chart(t *testing.T, s *session.Session) (*Strip, *Chart) {
	t.Helper()
	st := New(s, func(f func()) { f() })
	w := test.NewTempWindow(t, st)
	w.Resize(fyne.NewSize(leftMargin+rightMargin+24*30, 130)) // 30 units to the half-month
	st.Resize(fyne.NewSize(leftMargin+rightMargin+24*30, 130))
	return st, st.Chart()
}

func at(h season.HalfMonth) fyne.PointEvent {
	return fyne.PointEvent{Position: fyne.NewPos(leftMargin+30*float32(h)+15, 50)}
}

func press(c *Chart, h season.HalfMonth) {
	e := &desktop.MouseEvent{PointEvent: at(h), Button: desktop.MouseButtonPrimary}
	c.MouseDown(e)
	c.MouseUp(e)
}

func TestPressChoosesAndPressAgainLetsGo(t *testing.T) {
	s := garden(t)
	_, c := chart(t, s)
	press(c, half("06-16"))
	if on := s.Ask().On; on == nil || *on != half("06-16") {
		t.Fatalf("asked about %v", on)
	}
	press(c, half("06-16"))
	if on := s.Ask().On; on != nil {
		t.Errorf("asked about %v after pressing it again", on)
	}
}

func TestDragMovesTheChoice(t *testing.T) {
	s := garden(t)
	_, c := chart(t, s)
	c.MouseDown(&desktop.MouseEvent{PointEvent: at(half("03-01")), Button: desktop.MouseButtonPrimary})
	c.Dragged(&fyne.DragEvent{PointEvent: at(half("07-01"))})
	if on := s.Ask().On; on == nil || *on != half("07-01") {
		t.Errorf("asked about %v", on)
	}
	c.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(9000, -40)}})
	c.DragEnd()
	if on := s.Ask().On; on == nil || *on != half("12-16") {
		t.Errorf("asked about %v after a drag past the end", on)
	}
}

func TestArrowKeysStep(t *testing.T) {
	s := garden(t)
	_, c := chart(t, s)
	in := s.Assessment().Site.Season
	first, last := in[0], in[len(in)-1]
	for _, k := range []struct {
		key  fyne.KeyName
		want season.HalfMonth
	}{{fyne.KeyRight, first}, {fyne.KeyRight, first + 1}, {fyne.KeyLeft, first}, {fyne.KeyEnd, last}, {fyne.KeyHome, first}} {
		c.TypedKey(&fyne.KeyEvent{Name: k.key})
		if on := s.Ask().On; on == nil || *on != k.want {
			t.Errorf("%s: asked about %v, want %s", k.key, on, k.want)
		}
	}
	press(c, 0)
	c.TypedKey(&fyne.KeyEvent{Name: fyne.KeyLeft})
	if on := s.Ask().On; on == nil || *on != season.HalfMonths-1 {
		t.Errorf("before January comes %v, want December", on)
	}
	c.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if s.Ask().On != nil {
		t.Error("Escape does not go back to the whole season")
	}
}

func TestLettersGoOn(t *testing.T) {
	_, c := chart(t, garden(t))
	heard := 'x'
	c.Rune = func(r rune) { heard = r }
	c.TypedRune('b')
	if heard != 'b' {
		t.Error("a letter was swallowed")
	}
}

// 100 m² of strip, half of it in flower, on 1000 m² of ground is 5 %.
func TestWords(t *testing.T) {
	s := garden(t)
	st, c := chart(t, s)
	if !strings.Contains(st.Says(), "bloom gap") {
		t.Errorf("with one species all season: %q", st.Says())
	}
	press(c, half("06-01"))
	c.MouseOut()
	if want := "1–15 Jun: 5 % of the ground in flower, 1 species"; !strings.HasPrefix(st.Says(), want) {
		t.Errorf("says %q, want %q", st.Says(), want)
	}
	if !strings.Contains(st.Says(), "a bloom gap") {
		t.Errorf("says %q of a half-month with one species", st.Says())
	}
	c.MouseMoved(&desktop.MouseEvent{PointEvent: at(half("08-01"))})
	if !strings.HasPrefix(st.Says(), "1–15 Aug: 0 %") {
		t.Errorf("says %q of what is under the pointer", st.Says())
	}
}

// The ground about a selected bed is told in the plan's units: 50 m, by default.
func TestWordsOfABedInThePlansUnits(t *testing.T) {
	s := garden(t)
	june := half("06-01")
	for units, want := range map[plan.Units]string{plan.Metric: "; within 50 m of Bed 1 ", plan.US: "; within 164 ft of Bed 1 "} {
		p := *s.Plan()
		p.Units = units
		a := habitat.Assess(&p, s.Catalogue(), habitat.Options{})
		if w := Words(a, &nobody, &june, a.Beds[0]); !strings.Contains(w, want) {
			t.Errorf("%s: says %q, want %q in it", units, w, want)
		}
	}
}

var nobody [season.HalfMonths][]*data.Guild

// In the garden's strip one plant flowers in June, and whoever eats from it is fed then and at no other time.
func TestWordsCountWhoIsFed(t *testing.T) {
	s := garden(t)
	fed := s.Assessment().Fed()
	june, july := half("06-01"), half("07-01")
	if len(fed[june]) == 0 {
		t.Fatal("the plant of the test feeds nobody")
	}
	want := count(len(fed[june]), "group of enemies", "groups of enemies") + " fed"
	if w := Words(s.Assessment(), &fed, &june, nil); !strings.Contains(w, want) {
		t.Errorf("says %q, want %q", w, want)
	}
	if w := Words(s.Assessment(), &fed, &july, nil); !strings.Contains(w, "0 groups of enemies fed") {
		t.Errorf("says %q of a time without flowers", w)
	}
}

// The curves of species and enemies differ by their marks, not only by colour.
func TestCurvesHaveMarksOfTheirOwn(t *testing.T) {
	v := view{}
	v.cover[10].Species, v.fed[10] = 4, 2
	l := drawing.List{Width: 800, Height: 100}
	v.drawCounts(&l, style.Screen(style.Light, 1), frameOf(800, 100, 1))
	corners := map[int]bool{}
	for _, op := range l.Ops {
		if f, ok := op.(drawing.Fill); ok {
			corners[len(f.Path[0].Points)] = true
		}
	}
	if len(corners) != 2 {
		t.Errorf("marks of %v corners", corners)
	}
	if v.most() != 6 {
		t.Errorf("the scale ends at %d", v.most())
	}
	v.fed[3] = 9
	if v.most() != 10 {
		t.Errorf("the scale ends at %d for 9", v.most())
	}
}

// A year is played by steps of a half-month, comes back to where it began, and stops when anybody chooses otherwise.
func TestPlay(t *testing.T) {
	s := garden(t)
	steps := make(chan func())
	st := New(s, func(f func()) { steps <- f })
	begin := half("06-16")
	choose(s, &begin)
	next := func() { (<-steps)() }

	st.Play()
	for i := 1; i < season.HalfMonths; i++ {
		next()
		if on, want := s.Ask().On, (begin+season.HalfMonth(i))%season.HalfMonths; on == nil || *on != want {
			t.Fatalf("step %d shows %v, want %s", i, on, want)
		}
		if i == 2 {
			break
		}
	}
	st.Chart().TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if st.Playing() || s.Ask().On != nil {
		t.Error("Escape does not end it")
	}
	select { // a step that was already under way does nothing any more
	case f := <-steps:
		f()
	case <-time.After(2 * beat):
	}
	if s.Ask().On != nil {
		t.Error("a late step still moves the season")
	}
}

func TestPlayEndsWhereItBegan(t *testing.T) {
	s := garden(t)
	steps := make(chan func())
	st := New(s, func(f func()) { steps <- f })
	st.tick = time.Millisecond
	st.Play()
	seen := map[season.HalfMonth]bool{*s.Ask().On: true}
	for st.Playing() {
		(<-steps)()
		if on := s.Ask().On; on != nil {
			seen[*on] = true
		}
	}
	if len(seen) != season.HalfMonths || s.Ask().On != nil {
		t.Errorf("%d half-months shown, and %v at the end", len(seen), s.Ask().On)
	}
}

func TestNoFrostsNoGaps(t *testing.T) {
	a := &habitat.Assessment{Plan: plan.New("")}
	if w := Words(a, &nobody, nil, nil); !strings.Contains(w, "frosts are not given") {
		t.Errorf("says %q", w)
	}
}

func TestFrameMapsBothWays(t *testing.T) {
	f := frameOf(leftMargin+rightMargin+240, 100, 1)
	for h := range season.HalfMonth(season.HalfMonths) {
		if got := f.at(f.x(float64(h) + 0.5)); got != h {
			t.Errorf("the middle of %s is read as %s", h, got)
		}
	}
	if f.at(-50) != 0 || f.at(1e6) != season.HalfMonths-1 {
		t.Error("outside the field is not its ends")
	}
	// 1 July is the first day of the 13th of 24 half-months: the middle of the year's strip.
	if got, want := f.day(day("07-01")), f.x(12); got != want {
		t.Errorf("1 July lies at %g, want %g", got, want)
	}
}

func TestDrawingMarksGapsByHatchAndWord(t *testing.T) {
	a := &habitat.Assessment{Plan: plan.New("")}
	a.Site.Season = []season.HalfMonth{8, 9, 10}
	a.Site.BloomGaps = []season.HalfMonth{9}
	v := viewOf(a, &nobody, nil, nil, nil)
	l := drawing.List{Width: 800, Height: 90}
	v.draw(&l, style.Screen(style.Light, 1))
	hatches, words := 0, 0
	for _, op := range l.Ops {
		switch o := op.(type) {
		case drawing.Hatch:
			hatches++
		case drawing.Text:
			if o.Words == "gap" {
				words++
			}
		}
	}
	if hatches != 1 || words != 1 {
		t.Errorf("%d hatches and %d words for one gap", hatches, words)
	}
}

func TestScaleHoldsWhatIsShown(t *testing.T) {
	for _, share := range []float64{0, 0.001, 0.02, 0.05, 0.33, 0.9, 1} {
		v := view{}
		v.cover[3].Fraction = share
		if top := v.top(); top < share || top > 1 {
			t.Errorf("the scale ends at %g for %g", top, share)
		}
	}
}

func TestPaints(t *testing.T) {
	_, c := chart(t, garden(t))
	img := c.paint(600, 80)
	if b := img.Bounds(); b.Dx() != 600 || b.Dy() != 80 {
		t.Errorf("painted %v", b)
	}
	if c.paint(0, 0) == nil {
		t.Error("no picture for no size")
	}
}

func BenchmarkPaint(b *testing.B) {
	c := New(session.New(mustLoad(b), document.New(plan.New(""))), func(f func()) { f() }).Chart()
	c.picture.Resize(fyne.NewSize(950, 90))
	for b.Loop() {
		c.paint(950, 90)
	}
}

func mustLoad(b *testing.B) *data.Catalogue {
	c, err := data.Load()
	if err != nil {
		b.Fatal(err)
	}
	return c
}
