package fields

import (
	"errors"
	"slices"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"

	"hedgereach/data/season"
	"hedgereach/geometry/length"
)

func TestEntryTakesOnEnterAndOnLeaving(t *testing.T) {
	test.NewTempApp(t)
	var took []string
	e := NewEntry(func(s string) error { took = append(took, s); return nil })
	w := test.NewTempWindow(t, e)
	e.Load("old")
	w.Canvas().Focus(e)
	e.TypedShortcut(&fyne.ShortcutSelectAll{})
	test.Type(e, "new")
	if len(took) != 0 {
		t.Fatalf("took %v while typing", took)
	}
	e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	e.FocusLost()
	if len(took) != 1 || took[0] != "new" {
		t.Errorf("took %v, want new once", took)
	}
}

func TestEntryEscapePutsBack(t *testing.T) {
	test.NewTempApp(t)
	e := NewEntry(func(s string) error { t.Errorf("took %q", s); return nil })
	left := false
	e.Leave = func() { left = true }
	test.NewTempWindow(t, e)
	e.Load("old")
	e.SetText("new")
	e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if e.Text != "old" || left {
		t.Errorf("text %q, left %v, after the first Escape", e.Text, left)
	}
	e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if !left {
		t.Error("the second Escape does not leave")
	}
}

func TestEntryKeepsWhatIsRefused(t *testing.T) {
	test.NewTempApp(t)
	e := NewEntry(func(string) error { return errors.New("no") })
	said := error(nil)
	e.Complain = func(err error) { said = err }
	test.NewTempWindow(t, e)
	e.Load("1 m")
	e.SetText("1 mile")
	e.FocusLost()
	if e.Text != "1 mile" || said == nil {
		t.Errorf("text %q, complaint %v", e.Text, said)
	}
}

// Going to a field selects what stands there, so that a figure typed replaces it; what is half typed is not selected.
func TestEntryIsSelectedWhenReached(t *testing.T) {
	test.NewTempApp(t)
	e := NewEntry(nil)
	w := test.NewTempWindow(t, e)
	e.Load("1")
	w.Canvas().Focus(e)
	test.Type(e, "6")
	if e.Text != "6" {
		t.Errorf("typing 6 over 1 gave %q", e.Text)
	}
	e.FocusGained() // the window is shown again
	test.Type(e, "0")
	if e.Text != "60" {
		t.Errorf("going on typing gave %q", e.Text)
	}
}

func TestEntryIsNotOverwrittenWhileTyping(t *testing.T) {
	test.NewTempApp(t)
	e := NewEntry(nil)
	w := test.NewTempWindow(t, e)
	e.Load("a")
	w.Canvas().Focus(e)
	test.Type(e, "b")
	typed := e.Text
	e.Load("c")
	if e.Text != typed {
		t.Errorf("%q became %q under the typing hand", typed, e.Text)
	}
}

func TestLengthsInBounds(t *testing.T) {
	test.NewTempApp(t)
	got := 0.0
	e := NewLength(func() length.System { return length.US }, 0.1, 100, func(m float64) error { got = m; return nil })
	test.NewTempWindow(t, e)
	for text, want := range map[string]float64{"10 ft": 3.048, "2 m": 2, "4 ft 6 in": 1.3716} { // a foot is 0.3048 m
		e.SetText(text)
		e.FocusLost()
		if got-want > 1e-9 || want-got > 1e-9 {
			t.Errorf("%q is %g m, want %g", text, got, want)
		}
	}
	for _, text := range []string{"0", "-3 m", "500 m", "NaN", "some"} {
		got = -1
		e.SetText(text)
		e.FocusLost()
		if got != -1 {
			t.Errorf("%q was taken as %g m", text, got)
		}
	}
}

func TestDays(t *testing.T) {
	for text, want := range map[string]string{"16 Apr": "04-16", "Apr 16": "04-16", "16 april": "04-16", "04-16": "04-16",
		"16. Apr.": "04-16", "April 1": "04-01", "": "", " 31 Dec ": "12-31",
		"2026-04-16": "04-16", "16 Apr 2026": "04-16", "16/4": "04-16", "4/16/2026": "04-16", "16.4.": "04-16", "5/5": "05-05"} {
		d, err := ParseDay(text)
		if err != nil || d.String() != want {
			t.Errorf("%q is %q, %v, want %q", text, d, err, want)
		}
	}
	for _, text := range []string{"31 Feb", "16", "16 Ap", "soon", "0 May", "4/5", "0/5", "13/14", "2026-02-30", "16 Apr soon"} {
		if d, err := ParseDay(text); err == nil {
			t.Errorf("%q was read as %s", text, d)
		}
	}
}

func TestShares(t *testing.T) {
	for text, want := range map[string]float64{"30 %": 0.3, "30%": 0.3, "2.5": 0.025, "2,5 %": 0.025, "0": 0, "100": 1} {
		if got, err := ParseShare(text); err != nil || got != want {
			t.Errorf("%q is %g, %v, want %g", text, got, err, want)
		}
	}
	for _, text := range []string{"", "-1", "101", "NaN", "third"} {
		if got, err := ParseShare(text); err == nil {
			t.Errorf("%q was read as %g", text, got)
		}
	}
	if got := FormatShare(0.025); got != "2.5 %" {
		t.Errorf("0.025 is %q", got)
	}
}

func TestRuns(t *testing.T) {
	half := func(s string) season.HalfMonth {
		h, err := season.ParseHalfMonth(s)
		if err != nil {
			t.Fatal(err)
		}
		return h
	}
	got := Runs([]season.HalfMonth{half("05-16"), half("06-01"), half("09-01")})
	if want := "16 May – 15 Jun, 1–15 Sep"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestChooserSearches(t *testing.T) {
	test.NewTempApp(t)
	var got Item
	c := NewChooser([]Item{{"a", "golden alexanders", "16 May – 15 Jun · hoverflies"},
		{"b", "wild bergamot", "16 Jul · bumble bees"},
		{"c", "buckwheat", "hoverflies"}}, func(it Item) { got = it })
	test.NewTempWindow(t, c)
	for search, want := range map[string]int{"": 3, "hoverflies": 2, "HOVER gold": 1, "rose": 0} {
		c.Search.SetText(search)
		if n := len(c.Shown()); n != want {
			t.Errorf("%q shows %d, want %d", search, n, want)
		}
	}
	c.Search.SetText("bee")
	c.Search.OnSubmitted("")
	if got.ID != "b" {
		t.Errorf("Enter took %q", got.ID)
	}
}

func TestChoiceOpensAndCloses(t *testing.T) {
	test.NewTempApp(t)
	taken := ""
	c := NewChoice("Any", func() []Item { return []Item{{ID: "x", Name: "X"}} }, func(it Item) { taken = it.ID })
	w := test.NewTempWindow(t, container.NewVBox(c))
	w.Resize(fyne.NewSize(500, 500))
	test.Tap(&c.Button)
	if w.Canvas().Overlays().Top() == nil {
		t.Fatal("nothing opened")
	}
	s, ok := w.Canvas().Focused().(*Entry)
	if !ok {
		t.Fatal("the search line has not the focus")
	}
	s.OnSubmitted("")
	if taken != "x" || w.Canvas().Overlays().Top() != nil {
		t.Errorf("took %q, still open %v", taken, w.Canvas().Overlays().Top() != nil)
	}
}

func TestListHandsKeysOn(t *testing.T) {
	test.NewTempApp(t)
	l := NewList(func() int { return 0 }, func() fyne.CanvasObject { return container.NewVBox() },
		func(int, fyne.CanvasObject) {})
	var r rune
	var k fyne.KeyName
	l.Rune, l.Key = func(x rune) { r = x }, func(e *fyne.KeyEvent) { k = e.Name }
	l.TypedRune('r')
	l.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDelete})
	if r != 'r' || k != fyne.KeyDelete {
		t.Errorf("heard %q and %q", r, k)
	}
	l.Top() // before it was ever shown
}

// TestSeveral ticks lines: a whole answer and single things exclude each other, and nothing ticked is the first whole answer.
func TestSeveral(t *testing.T) {
	test.NewTempApp(t)
	s := NewSeveral("guilds", []Item{{ID: "map", Name: "What the map asks"}, {ID: "all", Name: "All"}},
		func() []Item { return []Item{{ID: "a", Name: "Ants"}, {ID: "b", Name: "Bees"}} })
	ticked := 0
	s.OnTicked = func() { ticked++ }
	w := test.NewTempWindow(t, container.NewVBox(s))
	w.Resize(fyne.NewSize(500, 500))
	says := func(words, whole string, chosen ...string) {
		t.Helper()
		if s.Selected != words || s.Whole() != whole || !slices.Equal(s.Chosen(), chosen) {
			t.Errorf("%q, %q, %v; want %q, %q, %v", s.Selected, s.Whole(), s.Chosen(), words, whole, chosen)
		}
		for _, k := range s.ticks {
			if k.Checked != (k.id == whole || slices.Contains(chosen, k.id)) {
				t.Errorf("%s: shown as %v", k.id, k.Checked)
			}
		}
	}
	says("What the map asks", "map")
	test.Tap(s)
	if w.Canvas().Overlays().Top() == nil || len(s.ticks) != 4 {
		t.Fatal("nothing opened")
	}
	test.Tap(s.ticks[3])
	says("Bees", "", "b")
	test.Tap(s.ticks[2])
	says("2 guilds", "", "a", "b")
	test.Tap(s.ticks[1])
	says("All", "all")
	test.Tap(s.ticks[1]) // a whole answer is left only for another
	says("All", "all")
	s.Tick("a", true)
	s.Tick("a", false)
	says("What the map asks", "map")
	if ticked != 6 {
		t.Errorf("told %d times", ticked)
	}
	w.Canvas().Focus(s.ticks[0])
	s.ticks[0].TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
	if f := w.Canvas().Focused(); f != fyne.Focusable(s.ticks[1]) {
		t.Errorf("the arrow led to %v", f)
	}
	s.ticks[1].TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if w.Canvas().Overlays().Top() != nil {
		t.Error("Escape does not close it")
	}
	s.TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	if w.Canvas().Overlays().Top() == nil {
		t.Error("Space does not open it")
	}
}
