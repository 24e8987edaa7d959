package preview

import (
	"errors"
	"image/color"
	"math"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"hedgereach/app/sheet"
	"hedgereach/data"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"

	"github.com/paulmach/orb"
)

func assessment(t *testing.T) *habitat.Assessment {
	t.Helper()
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	p := plan.New("Two beds")
	square := func(x, y, side float64) orb.Polygon {
		return orb.Polygon{{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}, {x, y}}}
	}
	p.Features = []*plan.Feature{plan.NewFeature(plan.Hedgerow, "Hedge", square(0, 0, 2)), plan.NewFeature(plan.Bed, "Near", square(10, 0, 4)),
		plan.NewFeature(plan.Bed, "Far", square(30, 20, 4))}
	return habitat.Assess(p, c, habitat.Options{RangesM: []float64{30}})
}

// open is a preview whose workers work at once, in a window of 1000 by 700 units.
func open(t *testing.T) *Preview {
	t.Helper()
	app := test.NewTempApp(t)
	a := assessment(t)
	p := New(Config{Plan: a.Plan, Make: func(o sheet.Options) (*sheet.Set, error) { return sheet.Make(a, o) }, Ask: sheet.Options{RangeM: 30}, Shows: "any refuge",
		Settings: app.Preferences(), Dispatch: func(f func()) { f() }, Go: func(f func()) { f() }})
	w := test.NewTempWindow(t, p.Object)
	w.Resize(fyne.NewSize(1000, 700))
	return p
}

func TestChoicesReachTheSet(t *testing.T) {
	p := open(t)
	if p.Set() == nil || len(p.Set().Pages) < 2 {
		t.Fatal("no pages")
	}
	for i, k := range p.kinds {
		k.SetChecked(sheet.Sheets[i].Kind == sheet.PlotMap)
	}
	p.paper.SetSelected("A3")
	p.lies.SetSelectedIndex(int(sheet.Portrait))
	p.scale.SetSelected("1:200")
	p.grey.SetChecked(true)
	p.big.SetChecked(true)
	p.author.SetText("R. Alder")
	p.author.FocusLost()
	s := p.Set()
	if s == nil || len(s.Pages) != 1 || s.Denominator != 200 || s.Author != "R. Alder" {
		t.Fatalf("%+v", s)
	}
	if l := s.Pages[0].List; l.Width != 297 || l.Height != 420 {
		t.Errorf("the page is %g × %g mm", l.Width, l.Height)
	}
	if o := p.Options(); !o.Grey || !o.Big || o.RangeM != 30 {
		t.Errorf("options %+v", o)
	}
	if o := p.Options().Numbers; *o.Spare != 0.1 || *o.SeedSpare != 0.5 || o.Layout != "triangular" {
		t.Errorf("usual numbers: %g, %g, %s", *o.Spare, *o.SeedSpare, o.Layout)
	}
	p.spare.SetSelected("30%")
	p.seed.SetSelected("100%")
	p.stand.SetSelected("Squares")
	if o := p.Options().Numbers; *o.Spare != 0.3 || *o.SeedSpare != 1 || o.Layout != "square" {
		t.Errorf("numbers: %g, %g, %s", *o.Spare, *o.SeedSpare, o.Layout)
	}
	// They are there again next time.
	again := New(p.config)
	if o := again.Options(); o.Paper.Name != "A3" || !o.Grey || !o.Big || o.Author != "R. Alder" {
		t.Errorf("next time the options are %+v", o)
	}
}

func TestPagesTurn(t *testing.T) {
	p := open(t)
	n := len(p.Set().Pages)
	at := func(want int) {
		t.Helper()
		if p.page != want || !strings.HasPrefix(p.where.Text, strings.TrimSpace(p.where.Text[:1])) {
			t.Errorf("page %d, want %d (%s)", p.page, want, p.where.Text)
		}
	}
	at(0)
	if !p.turns[0].Disabled() || !p.turns[1].Disabled() || p.turns[2].Disabled() {
		t.Error("the first page has the wrong buttons")
	}
	key := func(k fyne.KeyName) { p.view.TypedKey(&fyne.KeyEvent{Name: k}) }
	key(fyne.KeyPageUp)
	at(0)
	key(fyne.KeyPageDown)
	at(1)
	test.Tap(p.turns[3])
	at(n - 1)
	key(fyne.KeyRight)
	at(n - 1)
	key(fyne.KeyHome)
	at(0)
	if want := "1 of "; !strings.HasPrefix(p.where.Text, want) || !strings.HasSuffix(p.where.Text, "Plot map") {
		t.Errorf("says %q", p.where.Text)
	}
}

// Changing how the sheets are keeps the sheet that is looked at.
func TestStaysOnTheSheet(t *testing.T) {
	p := open(t)
	i := slices.IndexFunc(p.Set().Pages, func(g sheet.Page) bool { return g.Kind == sheet.Lists })
	p.Turn(i)
	p.kinds[0].SetChecked(false) // the plot map, which stands before it
	if got := p.Set().Pages[p.page].Kind; got != sheet.Lists {
		t.Errorf("now on %s", got)
	}
}

// At true size a millimetre of paper is a millimetre of screen: 120 units to the inch as the toolkit takes it, or as measured.
func TestTrueSize(t *testing.T) {
	p := open(t)
	p.zoom.SetSelectedIndex(trueSize)
	want := func(perMM float64) {
		t.Helper()
		l := p.sheet()
		got := p.view.image.Size()
		if math.Abs(float64(got.Width)-l.Width*perMM) > 0.5 || math.Abs(float64(got.Height)-l.Height*perMM) > 0.5 {
			t.Errorf("a page of %g × %g mm is %v units, at %g units a millimetre", l.Width, l.Height, got, perMM)
		}
		if math.Abs(float64(p.bar.MinSize().Width)-barMM*perMM) > 0.1 {
			t.Errorf("the bar of %g mm is %g units", barMM, p.bar.MinSize().Width)
		}
	}
	want(120 / 25.4)
	p.ruler.SetText("40 mm") // things are seen too small, by a fifth
	p.ruler.FocusLost()
	want(120 / 25.4 * 50 / 40)
	for _, bad := range []string{"0", "many", "NaN", "9000"} {
		p.ruler.SetText(bad)
		p.ruler.FocusLost()
		want(120 / 25.4 * 50 / 40)
	}
	if got := New(p.config).perMM; math.Abs(got-120/25.4*50/40) > 1e-9 {
		t.Errorf("next time %g units a millimetre", got)
	}
}

// The page is painted at the pixels that it takes, and is the page: paper at its edge, ink somewhere within.
func TestPageIsPainted(t *testing.T) {
	p := open(t)
	img, size := p.view.image.Image, p.view.image.Size()
	if img == nil || math.Abs(float64(img.Bounds().Dx())-float64(size.Width)) > 1 || size.Width < 300 {
		t.Fatalf("picture %v in %v", img.Bounds(), size)
	}
	dark := 0
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			if r, g, b, _ := img.At(x, y).RGBA(); r+g+b < 3*0x6000 {
				dark++
			}
		}
	}
	if c := color.NRGBAModel.Convert(img.At(1, 1)).(color.NRGBA); c.R < 250 || dark < 500 {
		t.Errorf("corner %v, %d dark points", c, dark)
	}
}

func TestTroubleIsSaid(t *testing.T) {
	p := open(t)
	ready := true
	p.Ready = func(yes bool) { ready = yes }
	for _, k := range p.kinds {
		k.SetChecked(false)
	}
	if p.Set() != nil || ready || p.says.Text != "Choose a sheet." || p.where.Text != "" || !p.turns[2].Disabled() {
		t.Errorf("without a sheet: %v, says %q", ready, p.says.Text)
	}
	p.kinds[0].SetChecked(true)
	if p.Set() == nil || !ready {
		t.Error("with a sheet there is still nothing")
	}
	p.config.Make = func(sheet.Options) (*sheet.Set, error) { return nil, errors.New("the shed burnt down") }
	p.grey.SetChecked(true)
	if p.Set() != nil || p.says.Text != "The shed burnt down." {
		t.Errorf("says %q", p.says.Text)
	}
}

// Of several changes while a set is being laid out, only the last is laid out.
func TestChangesMeanwhileAreGathered(t *testing.T) {
	p := open(t)
	var waiting []func()
	made := 0
	old := p.config.Make
	p.config.Make = func(o sheet.Options) (*sheet.Set, error) {
		made++
		return old(o)
	}
	p.config.Go = func(f func()) { waiting = append(waiting, f) }
	p.grey.SetChecked(true)
	p.big.SetChecked(true)
	p.paper.SetSelected("A3")
	if p.Set() != nil {
		t.Error("a set that is out of date could be printed")
	}
	for len(waiting) > 0 {
		f := waiting[0]
		waiting = waiting[1:]
		f()
	}
	if l := p.Set().Pages[0].List; made != 2 || max(l.Width, l.Height) != 420 {
		t.Errorf("laid out %d times; the last is %g × %g mm", made, l.Width, l.Height)
	}
}

// The links over the sheets tick many at once.
func TestManySheetsAreTickedAtOnce(t *testing.T) {
	p := open(t)
	p.choose(func(i int) bool { return sheet.Sheets[i].Kind == sheet.PlotMap })
	if got := p.Options().Sheets; len(got) != 1 || got[0] != sheet.PlotMap {
		t.Errorf("only the map: %v", got)
	}
	p.choose(func(i int) bool { return sheet.Sheets[i].UsualOf(p.config.Plan) })
	if got := p.Options().Sheets; len(got) < 2 || slices.Contains(got, sheet.SettingOut) {
		t.Errorf("the usual of a plan without stakes: %v", got)
	}
	p.choose(func(int) bool { return true })
	if got := p.Options().Sheets; len(got) != len(sheet.Sheets) {
		t.Errorf("all: %v", got)
	}
}
