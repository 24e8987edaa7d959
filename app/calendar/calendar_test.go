package calendar

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/face"
	"hedgereach/app/style"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

func garden(t *testing.T) (*habitat.Assessment, *habitat.Season) {
	t.Helper()
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.Read(bytes.NewReader(data.Sample()), data.SampleName)
	if err != nil {
		t.Fatal(err)
	}
	a := habitat.Assess(p, c, habitat.Options{})
	return a, habitat.SeasonOf(a)
}

func box(w, h float64) orb.Bound { return orb.Bound{Max: orb.Point{w, h}} }

// On pages of any height each row is drawn once, in order, and nothing stands outside the page's sides.
func TestPagesHoldEachRowOnce(t *testing.T) {
	a, v := garden(t)
	look := style.Sheet(style.Paper)
	for _, c := range []*Chart{Bloom(a), Beds(v)} {
		if c.Rows() < 30 {
			t.Fatalf("%s has %d rows", c.Title, c.Rows())
		}
		for _, h := range []float64{30, 90, 180, 277} {
			var names []string
			pages := 0
			for from := 0; from < c.Rows(); pages++ {
				l := drawing.List{Width: 190, Height: h}
				next := c.Draw(&l, look, box(190, h), from)
				if next <= from {
					t.Fatalf("%s: no end at row %d", c.Title, from)
				}
				if err := drawing.Check(l); err != nil {
					t.Fatal(err)
				}
				for i := from; i < next; i++ {
					names = append(names, c.rows[i].name)
				}
				if last := c.rows[next-1]; last.heading && next < c.Rows() && next-from > 1 {
					t.Errorf("%s: the heading %q stands alone at a page's foot", c.Title, last.name)
				}
				for _, op := range l.Ops {
					if x, ok := op.(drawing.Text); ok {
						w := face.Width(x.Words, x.Size, x.Bold, x.Italic)
						left := x.At[0] - w*float64(x.Align)/2
						if left < -0.01 || left+w > 190.01 || x.At[1] > h+0.01 && h > 60 {
							t.Errorf("%s: %q stands at %.1f–%.1f, %.1f of a page 190 × %g", c.Title, x.Words, left, left+w, x.At[1], h)
						}
					}
				}
				from = next
			}
			if len(names) != c.Rows() {
				t.Errorf("%s: %d of %d rows on pages of %g", c.Title, len(names), c.Rows(), h)
			}
		}
	}
}

// On paper no page begins within a group.
func TestGroupsStayWholeOnPaper(t *testing.T) {
	a, v := garden(t)
	look := style.Sheet(style.Paper)
	for _, c := range []*Chart{Bloom(a), Beds(v)} {
		c.Whole = true
		drawn := 0
		for from := 0; from < c.Rows(); {
			l := drawing.List{Width: 277, Height: 180}
			if !c.rows[from].heading && from > 0 {
				t.Errorf("%s: a page begins with %q, without its heading", c.Title, c.rows[from].name)
			}
			next := c.Draw(&l, look, box(277, 180), from)
			drawn += next - from
			from = next
		}
		if drawn != c.Rows() {
			t.Errorf("%s: %d of %d rows", c.Title, drawn, c.Rows())
		}
	}
}

func TestWholeChartFitsItsHeight(t *testing.T) {
	a, v := garden(t)
	look := style.Screen(style.Light, 2)
	for _, c := range []*Chart{Bloom(a), Beds(v)} {
		var l drawing.List
		if next := c.Draw(&l, look, box(1800, c.Height(look)), 0); next != c.Rows() {
			t.Errorf("%s: %d of %d rows in its own height", c.Title, next, c.Rows())
		}
		b := box(1800, 600)
		first := c.FirstOfLast(look, b)
		if next := c.Draw(&l, look, b, first); next != c.Rows() {
			t.Errorf("%s: from row %d on only to %d of %d", c.Title, first, next, c.Rows())
		}
		if first > 0 {
			if next := c.Draw(&l, look, b, first-1); next == c.Rows() {
				t.Errorf("%s: row %d reaches the end as well", c.Title, first-1)
			}
		}
	}
}

// 1 July is the first day of the thirteenth of 24 half-months: the middle of the field. A window over the turn of the year is
// two bars.
func TestDaysLieInTheirHalfMonths(t *testing.T) {
	l := layout{f0: 100, f1: 340}
	july, _ := season.ParseDay("07-01")
	if got := l.day(july); got != 220 {
		t.Errorf("1 July lies at %g", got)
	}
	if l.day(1) != 100 || l.day(366) != 340 {
		t.Errorf("the year runs from %g to %g", l.day(1), l.day(366))
	}
	october, _ := season.ParseDay("10-15")
	bars := split(season.Window{From: october, To: july}, standing, "")
	if len(bars) != 2 || bars[0].from != 1 || bars[0].to != july || bars[1].from != october || bars[1].to != 365 {
		t.Errorf("garlic stands %v", bars)
	}
	if bars := split(season.Window{}, standing, ""); len(bars) != 1 || bars[0].from != 1 || bars[0].to != 365 {
		t.Errorf("a crop without dates stands %v", bars)
	}
}

// How a bloom is known shows in its bar: the grower's own word before the catalogue's, an estimate as one.
func TestBloomSaysHowItIsKnown(t *testing.T) {
	a, _ := garden(t)
	c := Bloom(a)
	sorts := map[string]sort{}
	for _, r := range c.rows {
		for _, b := range r.bars {
			name, _, _ := strings.Cut(r.name, ",")
			sorts[name] = b.sort
		}
	}
	for _, f := range a.Plan.Features {
		for _, g := range f.Plants {
			p := a.Catalogue.Plant(g.Plant)
			w, how := a.BloomOf(p)
			want := map[habitat.BloomKnown]sort{habitat.BloomAsNoted: noted, habitat.BloomEstimated: estimated, habitat.BloomElsewhere: elsewhere}[how]
			if g.Bloom.Given() {
				want = observed
			}
			if got, drawn := sorts[p.Name]; drawn != (w.Given() || g.Bloom.Given()) || drawn && got != want {
				t.Errorf("%s is drawn %v as %v, want %v", p.Name, drawn, got, want)
			}
		}
	}
	if len(c.key) < 2 {
		t.Errorf("the key has %v", c.key)
	}
}

// Every verdict with a time has its bar in its bed's rows, with the letter of its standing; the others are named.
func TestBedsShowEveryVerdict(t *testing.T) {
	_, year := garden(t)
	c, verdicts := Beds(year), year.Verdicts
	want := map[sort]string{ready: "W", partly: "P", missing: "B", unknown: "?", shut: "C"}
	for i := range verdicts {
		v := &verdicts[i]
		found := false
		for _, r := range c.rows {
			if r.feature != v.Bed.ID {
				continue
			}
			if len(v.HalfMonths) == 0 {
				found = found || r.wide && strings.Contains(r.name, v.Pest.Name)
				continue
			}
			if r.name != v.Pest.Name {
				continue
			}
			if strings.Contains(r.note, v.Pest.Name) || strings.Contains(r.note, "other predatory bugs") || r.note == "" {
				t.Errorf("%s in %s: who holds it is %q", r.name, v.Bed.Title(), r.note)
			}
			for _, b := range r.bars {
				if b.words != want[b.sort] {
					t.Errorf("a bar of sort %d has the letter %q", b.sort, b.words)
				}
				found = found || b.from == v.HalfMonths[0].First()
			}
		}
		if !found {
			t.Errorf("%s in %s is not shown", v.Pest.Name, v.Bed.Title())
		}
	}
}

func TestEmptyPlan(t *testing.T) {
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	a := habitat.Assess(plan.New(""), c, habitat.Options{})
	for _, chart := range []*Chart{Bloom(a), Beds(habitat.SeasonOf(a))} {
		var l drawing.List
		if chart.Draw(&l, style.Screen(style.Light, 1), box(600, 200), 0) != 0 || chart.FirstOfLast(style.Screen(style.Light, 1), box(600, 200)) != 0 {
			t.Error("rows of an empty plan")
		}
		said := false
		for _, op := range l.Ops {
			if x, ok := op.(drawing.Text); ok && x.Words == chart.empty {
				said = true
			}
		}
		if !said {
			t.Errorf("%s says nothing of an empty plan", chart.Title)
		}
	}
}

// A planting of which only the first day is given stands from then to the end of the growing year, not all year.
func TestHalfGivenDatesAreDrawnOpen(t *testing.T) {
	a, _ := garden(t)
	p := a.Plan.Clone()
	for i, f := range p.Features {
		if f.Kind == plan.Bed && len(f.Crops) > 0 {
			f = f.Clone()
			f.Crops = []plan.Planting{{Crop: "leek", Dates: season.Window{From: 100}, Share: 1}}
			f.Cover = &plan.Cover{Dates: season.Window{To: 120}}
			p.Features = append([]*plan.Feature{f}, slices.Delete(p.Features, i, i+1)...)
			break
		}
	}
	c := Beds(habitat.SeasonOf(habitat.Assess(p, a.Catalogue, habitat.Options{})))
	for i, want := range []bar{{from: 100, to: 365, sort: standing}, {from: 1, to: 120, sort: covered}} {
		if r := c.rows[1+i]; len(r.bars) != 1 || r.bars[0] != want {
			t.Errorf("%s: %+v, want %+v", r.name, r.bars, want)
		}
	}
}

func TestRowAt(t *testing.T) {
	a, _ := garden(t)
	c := Bloom(a)
	look := style.Screen(style.Light, 1)
	b := box(900, 500)
	if c.RowAt(look, b, 0, 5) != -1 || c.RowAt(look, b, 0, 499) != -1 {
		t.Error("rows in the head or the foot")
	}
	if got := c.RowAt(look, b, 0, headHigh+curveHigh+1); got != 1 {
		t.Errorf("below the curve lies row %d", got)
	}
	if got := c.RowAt(look, b, 7, headHigh+1); got != 7 {
		t.Errorf("at the top lies row %d", got)
	}
	if c.Feature(-1) != "" || c.Feature(0) != "" || c.Feature(3) == "" {
		t.Error("rows about the wrong feature")
	}
}

func BenchmarkDrawPage(b *testing.B) {
	c, _ := data.Load()
	p, _ := plan.Read(bytes.NewReader(data.Sample()), data.SampleName)
	chart := Beds(habitat.SeasonOf(habitat.Assess(p, c, habitat.Options{})))
	for b.Loop() {
		var l drawing.List
		chart.Draw(&l, style.Screen(style.Light, 1), box(1000, 700), 0)
	}
}
