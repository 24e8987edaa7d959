package sheet

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/face"
	"hedgereach/app/style"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry"
	_ "hedgereach/geometry/repeatable"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// onlyMap makes the plot map alone, for tests of it.
var onlyMap = []Kind{PlotMap}

var when = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

func catalogue(t testing.TB) *data.Catalogue {
	t.Helper()
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func box(x, y, w, h float64) orb.Polygon {
	return orb.Polygon{{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}}}
}

// garden is a small plan with one feature of each kind named.
func garden(kinds ...plan.Kind) *plan.Plan {
	p := plan.New("Withy Lane")
	for i, k := range kinds {
		p.Features = append(p.Features, &plan.Feature{ID: fmt.Sprint(i), Kind: k, Name: fmt.Sprintf("%s %d", k.Label(), i),
			Geometry: box(float64(i)*3, 0, 2, 10)})
	}
	return p
}

func sampleGarden(t testing.TB) *plan.Plan {
	t.Helper()
	p, err := plan.Read(bytes.NewReader(data.Sample()), data.SampleName)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func set(t testing.TB, p *plan.Plan, o Options) *Set {
	t.Helper()
	if o.Date.IsZero() {
		o.Date = when
	}
	a := habitat.Assess(p, catalogue(t), habitat.Options{On: o.On, RangesM: []float64{o.RangeM}})
	s, err := Make(a, o)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func walk(ops []drawing.Op, layer string, f func(layer string, op drawing.Op)) {
	for _, op := range ops {
		f(layer, op)
		switch op := op.(type) {
		case drawing.Clip:
			walk(op.Ops, layer, f)
		case drawing.Layer:
			walk(op.Ops, op.Name, f)
		}
	}
}

func words(l drawing.List, layer string) (out []string) {
	walk(l.Ops, "", func(in string, op drawing.Op) {
		if t, ok := op.(drawing.Text); ok && (layer == "" || in == layer) {
			out = append(out, t.Words)
		}
	})
	return out
}

// A bed of 10 m by 1.2 m at 1:100 is 100.0 by 12.0 mm on the sheet, whatever the paper, and 5 m between beds is 50 mm.
func TestTrueScale(t *testing.T) {
	p := plan.New("Scale")
	p.Features = []*plan.Feature{
		{ID: "a", Kind: plan.Bed, Name: "A", Geometry: box(3, 7, 10, 1.2)},
		{ID: "b", Kind: plan.Bed, Name: "B", Geometry: box(3, 13.2, 10, 1.2)},
	}
	for _, paper := range Papers {
		for _, c := range []struct {
			denominator int
			long, wide  float64
		}{{100, 100, 12}, {250, 40, 4.8}} {
			s := set(t, p, Options{Paper: paper, ScaleDenominator: c.denominator, Sheets: onlyMap})
			if s.Denominator != c.denominator {
				t.Fatalf("%s: scale 1:%d", paper.Name, s.Denominator)
			}
			var beds []orb.Bound
			walk(s.Pages[0].List.Ops, "", func(layer string, op drawing.Op) {
				if f, ok := op.(drawing.Fill); ok && layer == "Beds" {
					b := orb.Bound{Min: f.Path[0].Points[0], Max: f.Path[0].Points[0]}
					for _, q := range f.Path[0].Points {
						b = b.Extend(q)
					}
					beds = append(beds, b)
				}
			})
			if len(beds) != 2 {
				t.Fatalf("%s: %d beds on the map", paper.Name, len(beds))
			}
			w, h, gap := beds[0].Max[0]-beds[0].Min[0], beds[0].Max[1]-beds[0].Min[1], beds[0].Min[1]-beds[1].Max[1]
			if math.Abs(w-c.long) > 1e-6 || math.Abs(h-c.wide) > 1e-6 || math.Abs(gap-5000/float64(c.denominator)) > 1e-6 {
				t.Errorf("%s at 1:%d: a bed of 10 × 1.2 m is %.4f × %.4f mm, the next 5 m off is %.4f mm off", paper.Name, c.denominator, w, h, gap)
			}
		}
	}
}

// The scale that fits is one of the trade's, the largest one; the next larger would not fit.
func TestBestScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := plan.New("")
		p.Units = rapid.SampledFrom([]plan.Units{plan.Metric, plan.US}).Draw(t, "units")
		w, h := math.Exp(rapid.Float64Range(0, 8).Draw(t, "w")), math.Exp(rapid.Float64Range(0, 8).Draw(t, "h"))
		p.Features = []*plan.Feature{{ID: "a", Kind: plan.Bed, Geometry: box(-5, 11, w, h)}}
		a := &habitat.Assessment{Plan: p}
		paper := rapid.SampledFrom(Papers).Draw(t, "paper")
		s, err := Make(a, Options{Paper: paper, Date: when, Sheets: onlyMap})
		if err != nil {
			t.Fatal(err)
		}
		series := Scales(p.Units)
		at := slices.Index(series, s.Denominator)
		if at < 0 {
			t.Fatalf("1:%d is not of the series", s.Denominator)
		}
		if at > 0 {
			larger, err := Make(a, Options{Paper: paper, Date: when, ScaleDenominator: series[at-1], Sheets: []Kind{PlotMap}})
			if err != nil {
				t.Fatal(err)
			}
			if !slices.ContainsFunc(larger.Pages, func(p Page) bool { return p.Name == "Tile 1" }) || larger.Denominator != series[at-1] {
				t.Fatalf("%g × %g m at 1:%d makes no tiles", w, h, series[at-1])
			}
		}
		if _, err := Make(a, Options{Paper: paper, Date: when, ScaleDenominator: s.Denominator * 3, Sheets: onlyMap}); err != nil {
			t.Fatalf("a smaller scale is refused: %v", err)
		}
	})
}

func TestScaleNames(t *testing.T) {
	// Architect's and engineer's scales: 12 inches to the foot.
	for _, c := range []struct {
		d    int
		u    plan.Units
		want string
	}{{100, plan.Metric, "1:100"}, {96, plan.US, "1/8 in = 1 ft (1:96)"}, {48, plan.US, "1/4 in = 1 ft (1:48)"},
		{240, plan.US, "1 in = 20 ft (1:240)"}, {100, plan.US, "1:100"}} {
		if got := ScaleName(c.d, c.u); got != c.want {
			t.Errorf("1:%d in %s is %q, want %q", c.d, c.u, got, c.want)
		}
	}
}

// A scale is read as it is named, for every one of the trade's in both systems, and as people write it by hand.
func TestScalesAreReadAsNamed(t *testing.T) {
	for _, u := range []plan.Units{plan.Metric, plan.US} {
		for _, d := range append(Scales(u), 12, 16, 32, 128) {
			if got, err := ScaleFrom(ScaleName(d, u)); err != nil || got != d {
				t.Errorf("%q is read as %d, %v", ScaleName(d, u), got, err)
			}
		}
	}
	for s, want := range map[string]int{"1/4 in = 1 ft": 48, "1in=20ft": 240, "3/16\" = 1'": 64, "200": 200, " 1 : 75": 75, "0.5 in = 1 ft": 24,
		"": 0, "1/0 in = 1 ft": 0, "1 in = 0 ft": 0, "1 ft = 1 in": 0, "-2": 0, "1 in = x ft": 0, "NaN in = 1 ft": 0, "Inf in = 1 ft": 0} {
		if got, err := ScaleFrom(s); got != want || (err == nil) != (want > 0) {
			t.Errorf("%q is read as %d, %v, want %d", s, got, err, want)
		}
	}
}

// The date that is not given is the day, so that two sets of one day are the same to the last byte; where SOURCE_DATE_EPOCH is set it is that
// day, whenever the set is made.
func TestTheUsualDateIsADay(t *testing.T) {
	a := habitat.Assess(garden(plan.Bed), catalogue(t), habitat.Options{})
	made := func() string {
		s, err := Make(a, Options{Sheets: onlyMap})
		if err != nil {
			t.Fatal(err)
		}
		if h, m, sec := s.Date.Clock(); h+m+sec+s.Date.Nanosecond() != 0 {
			t.Errorf("dated %v", s.Date)
		}
		return s.Date.Format(time.DateOnly)
	}
	t.Setenv("SOURCE_DATE_EPOCH", "")
	if before, got, after := time.Now().Format(time.DateOnly), made(), time.Now().Format(time.DateOnly); got < before || got > after {
		t.Errorf("dated %s on %s", got, before)
	}
	t.Setenv("SOURCE_DATE_EPOCH", "1700000000")
	if got := made(); got != "2023-11-14" {
		t.Errorf("dated %s", got)
	}
}

func TestRefusals(t *testing.T) {
	good := &habitat.Assessment{Plan: garden(plan.Bed)}
	nan := plan.New("")
	nan.Features = []*plan.Feature{{ID: "a", Kind: plan.Bed, Name: "Beans", Geometry: box(math.NaN(), 0, 1, 1)}}
	bare := plan.New("")
	bare.Features = []*plan.Feature{{ID: "a", Kind: plan.Bed}}
	for _, c := range []struct {
		a    *habitat.Assessment
		o    Options
		want string
	}{
		{nil, Options{}, "draw the boundary or a bed first"},
		{&habitat.Assessment{Plan: plan.New("")}, Options{}, "draw the boundary or a bed first"},
		{&habitat.Assessment{Plan: bare}, Options{}, "draw the boundary or a bed first"},
		{&habitat.Assessment{Plan: nan}, Options{}, `"Beans" lies at a place that is no place`},
		{good, Options{Paper: Paper{"stamp", 20, 30}}, "both sides must be from"},
		{good, Options{ScaleDenominator: -4}, "is not a scale"},
		{good, Options{ScaleDenominator: 1}, "at most 120 are made"},
		{good, Options{Sheets: []Kind{"poem"}}, `"poem" is not a sheet: use plot-map, `},
	} {
		_, err := Make(c.a, c.o)
		if err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("error %v, want one line with %q", err, c.want)
		}
	}
	a := habitat.Assess(garden(plan.Bed, plan.Hedgerow), catalogue(t), habitat.Options{})
	if _, err := Make(a, Options{Guild: "dragons"}); err == nil || !strings.Contains(err.Error(), "dragons") {
		t.Errorf("a guild that is none: %v", err)
	}
	if _, err := PaperNamed("foolscap"); err == nil {
		t.Error("foolscap is taken")
	}
	if p, err := PaperNamed("ansi-c"); err != nil || p.Name != "ANSI C" {
		t.Errorf("ansi-c is %v, %v", p, err)
	}
}

// The legend lists the kinds that are there, and the standings that are, and nothing else.
func TestLegendListsWhatIsThere(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		kinds := rapid.SliceOfN(rapid.SampledFrom(plan.Kinds), 1, 16).Draw(rt, "kinds")
		a := &habitat.Assessment{Plan: garden(kinds...)}
		s, err := Make(a, Options{Date: when, Paper: rapid.SampledFrom(Papers).Draw(rt, "paper"), Sheets: onlyMap})
		if err != nil {
			rt.Fatal(err)
		}
		lines := words(s.Pages[0].List, "Legend")
		if len(s.Pages) > 1 { // on small paper the key has a sheet of its own
			lines = append(lines, words(s.Pages[1].List, "Legend")...)
		}
		got := strings.Join(lines, " ")
		for _, k := range plan.Kinds {
			listed := strings.Contains(got, k.Label())
			if k == plan.Trap { // the word is part of "Trap crop"
				listed = slices.Contains(lines, k.Label())
			}
			if listed != slices.Contains(kinds, k) {
				rt.Fatalf("kinds %v, legend %q", kinds, got)
			}
		}
	})
	p := sampleGarden(t)
	s := set(t, p, Options{Guild: "ground-beetles"})
	a := habitat.Assess(p, catalogue(t), habitat.Options{})
	for st, label := range map[habitat.Status]string{habitat.Within: "Bed within", habitat.Partly: "Bed partly", habitat.Beyond: "Bed beyond",
		habitat.Unknown: "range unknown"} {
		there := slices.ContainsFunc(a.Beds, func(b *habitat.Bed) bool { return b.Guild("ground-beetles").Status == st })
		if strings.Contains(strings.Join(words(s.Pages[0].List, "Legend"), " "), label) != there {
			t.Errorf("%s: in the plan %t, and the legend says otherwise", st, there)
		}
	}
}

// textBox is the upright box about a text, by the face's measures.
func textBox(t drawing.Text) orb.Bound {
	w := face.Width(t.Words, t.Size, t.Bold, t.Italic)
	x0 := map[drawing.Align]float64{drawing.Start: 0, drawing.Middle: -w / 2, drawing.End: -w}[t.Align]
	s, c := math.Sincos(t.Rotate * math.Pi / 180)
	b := orb.Bound{Min: t.At, Max: t.At}
	for _, q := range [][2]float64{{x0, 0}, {x0 + w, 0}, {x0 + w, -0.75 * t.Size}, {x0, -0.75 * t.Size}} {
		b = b.Extend(orb.Point{t.At[0] + c*q[0] + s*q[1], t.At[1] - s*q[0] + c*q[1]})
	}
	return b
}

// long is a plan with much to say: long names, many crops, many beds.
func long(t testing.TB) *plan.Plan {
	p := plan.New(strings.Repeat("The long garden of the very long name by the river ", 3))
	c := catalogue(t)
	for i := range 90 {
		f := &plan.Feature{ID: fmt.Sprint(i), Kind: plan.Bed, Name: strings.Repeat("Beans and ", i%5) + "Kohlrabivariationenbeet",
			Geometry: box(float64(i%10)*4, float64(i/10)*4, 3, 2)}
		for k := range i % 7 {
			f.Crops = append(f.Crops, plan.Planting{Crop: c.Crops[(i+k)%len(c.Crops)].ID, Share: 0.2, Dates: season.Window{From: 100, To: 200}})
		}
		if i%9 == 0 {
			f.Kind, f.Crops = plan.PerennialStrip, nil
			for _, pl := range c.Plants[i%20 : i%20+i/4] {
				f.Plants = append(f.Plants, plan.Growing{Plant: pl.ID, Share: 0.05})
			}
		}
		p.Features = append(p.Features, f)
	}
	p.Place = &plan.Place{Latitude: -44.123456, Longitude: 172.123456, HardinessZone: "10b", LastFrost: 130, FirstFrost: 270, NorthDeg: 12}
	return p
}

// usual are papers of every shape that a test of all pages can afford.
var usual = []Paper{Papers[0], Papers[2], Papers[4], Papers[5], Papers[6], Papers[7], small, Papers[12]}

var small = Papers[11] // A5

// No words leave the paper, on paper of any shape; on the lists no two lines of words overlap.
func TestWordsStayOnThePage(t *testing.T) {
	for name, p := range map[string]*plan.Plan{"sample": sampleGarden(t), "long": long(t)} {
		for _, paper := range usual {
			for _, way := range []Orientation{Portrait, Landscape} {
				on := season.HalfMonth(12)
				s := set(t, p, Options{Paper: paper, Orientation: way, Guild: "ground-beetles", On: &on, Author: strings.Repeat("A. Long-Name ", 9),
					Notes: strings.Repeat("Mind the dog. ", 30)})
				for n, page := range s.Pages {
					within := orb.Bound{Min: orb.Point{4, 4}, Max: orb.Point{page.List.Width - 4, page.List.Height - 4}}
					var boxes []orb.Bound
					var texts []string
					walk(page.List.Ops, "", func(_ string, op drawing.Op) {
						if text, ok := op.(drawing.Text); ok {
							b := textBox(text)
							if !within.Contains(b.Min) || !within.Contains(b.Max) {
								t.Errorf("%s on %s, page %d: %q leaves the page (%.1f)", name, paper.Name, n+1, text.Words, b)
							}
							boxes, texts = append(boxes, b), append(texts, text.Words)
						}
					})
					if n == 0 {
						continue // the map's labels have a test of their own
					}
					for i, a := range boxes {
						for j := range i {
							if b := boxes[j]; min(a.Max[0], b.Max[0])-max(a.Min[0], b.Min[0]) > 0.2 && min(a.Max[1], b.Max[1])-max(a.Min[1], b.Min[1]) > 0.2 {
								t.Errorf("%s on %s, page %d: %q and %q overlap", name, paper.Name, n+1, texts[i], texts[j])
							}
						}
					}
				}
			}
		}
	}
}

// Panel and frame words keep clear of each other and of the map.
func TestPanelWordsKeepClear(t *testing.T) {
	for _, p := range []*plan.Plan{sampleGarden(t), long(t), garden(plan.Kinds...)} {
		for _, paper := range usual {
			for _, way := range []Orientation{Portrait, Landscape} {
				s := set(t, p, Options{Paper: paper, Orientation: way, Guild: "hoverflies", Author: "R. Alder", Sheets: onlyMap})
				type text struct {
					layer, words string
					b            orb.Bound
				}
				var all []text
				walk(s.Pages[0].List.Ops, "", func(layer string, op drawing.Op) {
					if x, ok := op.(drawing.Text); ok {
						all = append(all, text{layer, x.Words, textBox(x)})
					}
				})
				for i, a := range all {
					for _, b := range all[:i] {
						if a.layer == "Names" && b.layer == "Names" {
							continue // turned labels need another test than upright boxes
						}
						if min(a.b.Max[0], b.b.Max[0])-max(a.b.Min[0], b.b.Min[0]) > 0.1 && min(a.b.Max[1], b.b.Max[1])-max(a.b.Min[1], b.b.Min[1]) > 0.1 {
							t.Errorf("%s %d: %q (%s) and %q (%s) overlap", paper.Name, way, a.words, a.layer, b.words, b.layer)
						}
					}
				}
				if len(words(s.Pages[0].List, "Legend")) == 0 {
					continue // on small paper the key has a sheet of its own
				}
				if got := words(s.Pages[0].List, "Cautions"); len(got) < 2 || !strings.Contains(strings.Join(got, " "), "Before digging") {
					t.Errorf("%s %d: the map's cautions are %q", paper.Name, way, got)
				}
			}
		}
	}
}

// Every bed is on the lists once, in its square, with its measures; rows go on over columns and sheets with their heads.
func TestListsFlow(t *testing.T) {
	p := long(t)
	s := set(t, p, Options{Guild: "ground-beetles"})
	if len(s.Pages) < 4 {
		t.Fatalf("%d pages for 90 features", len(s.Pages))
	}
	var all []string
	heads := 0
	for _, page := range s.Pages[1:] {
		w := words(page.List, "")
		all = append(all, w...)
		if slices.Contains(w, "Farthest") {
			heads++
		}
	}
	if heads < 2 {
		t.Error("the heads do not stand again on the next sheet")
	}
	a := habitat.Assess(p, catalogue(t), habitat.Options{})
	for i := range a.Beds {
		n := 0
		for _, w := range all {
			if w == fmt.Sprint(i+1) {
				n++
			}
		}
		if n == 0 {
			t.Errorf("bed %d is not on the lists", i+1)
		}
	}
	if joined := strings.Join(all, " "); !strings.Contains(joined, "Hopkins") || strings.Contains(joined, "no source") {
		t.Error("the lists lack the word on estimated bloom, or say that there is no source")
	}
}

// The square of a place: letters run from the left without I and O, figures from the top, squares are of a round length.
func TestSquares(t *testing.T) {
	if got := letters(7) + letters(8) + letters(13) + letters(14) + " " + letters(23) + letters(24); got != "HJPQ ZAA" {
		t.Errorf("letters run %q", got)
	}
	p := plan.New("")
	p.Features = []*plan.Feature{{ID: "g", Kind: plan.Boundary, Geometry: box(0, 0, 60, 40)},
		{ID: "nw", Kind: plan.Bed, Name: "Northwest", Geometry: box(1, 37, 2, 2)},
		{ID: "se", Kind: plan.Bed, Name: "Southeast", Geometry: box(57, 1, 2, 2)}}
	f := divide(Papers[0], 297, 210, 1, func(float64) float64 { return 40 })[0]
	g := newGrid(orb.Bound{Max: orb.Point{60, 40}}, f.window, 400, plan.Metric)
	if g.gap != 10 { // 25 mm at 1:400
		t.Fatalf("squares of %g m", g.gap)
	}
	nw, se := g.square(orb.Point{2, 38}), g.square(orb.Point{58, 2})
	if nw[0]+5 != se[0] || nw[1]+3 != se[1] { // 5 squares east, 3 south
		t.Errorf("corners lie in %s and %s", nw, se)
	}
	// The letter at the map's edge above a bed is that of its square.
	s := set(t, p, Options{ScaleDenominator: 400, Orientation: Landscape})
	letter, best := "", math.Inf(1)
	walk(s.Pages[0].List.Ops, "", func(layer string, op drawing.Op) {
		if x, ok := op.(drawing.Text); ok && layer == "Frame" && x.At[1] < 20 && x.At[0] > 20 {
			if d := math.Abs(x.At[0] - (f.window.Center()[0] + (58-30)*2.5)); d < best {
				letter, best = x.Words, d
			}
		}
	})
	if letter != se[:1] || best > 12.5 {
		t.Errorf("above the bed in %s stands %q", se, letter)
	}
}

func TestWrap(t *testing.T) {
	l := letter{size: 3}
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringOf(rapid.SampledFrom([]rune("ab m é ß—%1 \u00a0\t\n漢"))).Draw(t, "words")
		w := rapid.Float64Range(4, 40).Draw(t, "width")
		lines := l.wrap(s, w)
		for _, line := range lines {
			if l.width(line) > w && len([]rune(line)) > 1 {
				t.Fatalf("%q is %.2f wide, room %.2f", line, l.width(line), w)
			}
		}
		bare := func(s string) string { return strings.Join(strings.Fields(face.Clean(s)), "") }
		if got := bare(strings.Join(lines, "")); got != bare(s) {
			t.Fatalf("%q came out as %q", s, got)
		}
		if c := l.cut(s, w); l.width(c) > w {
			t.Fatalf("%q is cut to %q, too wide", s, c)
		}
	})
	if got := l.wrap("range of 60\u00a0m", l.width("range of 60")+0.1); len(got) != 2 || got[1] != "60 m" {
		t.Errorf("a figure is parted from its unit: %q", got)
	}
	if got := l.limit([]string{"one", "two", "three"}, 2, 20); len(got) != 2 || got[1] != "two…" {
		t.Errorf("two lines of three are %q", got)
	}
}

// A figure stays with its unit or month, and no line begins with the dash of a range.
func TestRangesAreNotParted(t *testing.T) {
	l := letter{size: 3}
	const s = "cabbage 50 %, 10 May – 1 Sep; its far end lies 97.55 m from the hedge, 5 Jun – 20 Jul"
	for w := l.width("10 May –"); w < l.width(s); w += 0.5 {
		for _, line := range l.wrap(s, w) {
			if strings.HasPrefix(line, "–") || strings.HasPrefix(line, "%") || strings.HasPrefix(line, "m ") || strings.HasPrefix(line, "May") || strings.HasPrefix(line, "Jul") {
				t.Fatalf("%.1f mm: a line begins with %q", w, line)
			}
		}
	}
}

func TestPercent(t *testing.T) {
	for _, c := range []struct {
		share float64
		want  string
	}{{1, "100 %"}, {0.9997, "100 %"}, {0.996, "99 %"}, {0.634, "63 %"}, {0.036, "3.6 %"}, {0, "0 %"}} {
		if got := strings.ReplaceAll(percent(c.share), string(noBreak), " "); got != c.want {
			t.Errorf("%g is %s, want %s", c.share, got, c.want)
		}
	}
}

// In grey no step of any page has a colour.
func TestGrey(t *testing.T) {
	s := set(t, sampleGarden(t), Options{Grey: true, Guild: "ground-beetles"})
	for n, page := range s.Pages {
		grey := drawing.Dump(drawing.Grey(page.List))
		if grey != drawing.Dump(page.List) {
			t.Errorf("page %d has colours", n+1)
		}
	}
	if p := style.Grey; p.Status(habitat.Within).Gap <= p.Status(habitat.Partly).Gap {
		t.Error("in grey, within is not lighter than partly")
	}
}

func TestWriteFiles(t *testing.T) {
	dir := t.TempDir()
	s := set(t, garden(plan.Bed, plan.Hedgerow, plan.Pond), Options{Author: "R. Alder", Sheets: []Kind{PlotMap, Lists, Planting}})
	for _, c := range []struct {
		name, magic string
		files       int
	}{{"map.pdf", "%PDF-", 1}, {"map.svg", "<?xml", len(s.Pages)}, {"map.PNG", "\x89PNG", len(s.Pages)}} {
		files, err := s.WriteFile(filepath.Join(dir, c.name))
		if err != nil || len(files) != c.files {
			t.Fatalf("%s: %d files, %v", c.name, len(files), err)
		}
		for _, f := range files {
			got, err := os.ReadFile(f)
			if err != nil || !bytes.HasPrefix(got, []byte(c.magic)) {
				t.Errorf("%s begins with %q, %v", f, got[:min(len(got), 8)], err)
			}
		}
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 1+2*len(s.Pages) {
		t.Errorf("%d files in the folder, %v", len(left), err)
	}
	for name, want := range map[string]string{"map.doc": ".pdf, .svg, .png or .csv", filepath.Join("no", "map.pdf"): "folder"} {
		_, err := s.WriteFile(filepath.Join(dir, name))
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v, want one line with %q", name, err, want)
		}
	}
	if err := s.Write(&bytes.Buffer{}, "tiff"); err == nil {
		t.Error("TIFF is written")
	}
}

// The same plan on the same day gives the same bytes.
func TestSameBytes(t *testing.T) {
	for _, format := range Formats {
		var out [2]bytes.Buffer
		for i := range out {
			if err := set(t, sampleGarden(t), Options{Guild: "ground-beetles"}).Write(&out[i], format); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(out[0].Bytes(), out[1].Bytes()) {
			t.Errorf("two %s files differ", format)
		}
	}
}

// Crowded plans on paper: no two labels share ground. Boxes are measured anew from the words as written.
func TestMapLabelsNeverOverlap(t *testing.T) {
	c := catalogue(t)
	rapid.Check(t, func(t *rapid.T) {
		p := plan.New("Crowd")
		for i := range rapid.IntRange(1, 50).Draw(t, "beds") {
			p.Features = append(p.Features, &plan.Feature{ID: fmt.Sprint(i), Kind: plan.Bed,
				Name: rapid.SampledFrom([]string{"", "Bed", "Long bed by the wall", "B7"}).Draw(t, "name"),
				Geometry: box(rapid.Float64Range(0, 60).Draw(t, "x"), rapid.Float64Range(0, 40).Draw(t, "y"),
					rapid.Float64Range(0.3, 15).Draw(t, "w"), rapid.Float64Range(0.3, 9).Draw(t, "h"))})
		}
		s, err := Make(habitat.Assess(p, c, habitat.Options{RangesM: []float64{20}}), Options{Date: when, RangeM: 20, Sheets: onlyMap})
		if err != nil {
			t.Fatal(err)
		}
		type text struct {
			words string
			ring  orb.Polygon
		}
		var all []text
		walk(s.Pages[0].List.Ops, "", func(layer string, op drawing.Op) {
			x, ok := op.(drawing.Text)
			if !ok || layer != "Names" {
				return
			}
			w := face.Width(x.Words, x.Size, x.Bold, x.Italic)
			left := map[drawing.Align]float64{drawing.Start: 0, drawing.Middle: -w / 2}[x.Align]
			sin, cos := math.Sincos(x.Rotate * math.Pi / 180)
			var r orb.Ring
			for _, q := range [][2]float64{{left, 0}, {left + w, 0}, {left + w, -0.72 * x.Size}, {left, -0.72 * x.Size}, {left, 0}} {
				r = append(r, orb.Point{x.At[0] + cos*q[0] + sin*q[1], x.At[1] - sin*q[0] + cos*q[1]})
			}
			all = append(all, text{x.Words, orb.Polygon{r}})
		})
		for i, a := range all {
			for _, b := range all[:i] {
				if !a.ring.Bound().Intersects(b.ring.Bound()) {
					continue
				}
				common, err := geometry.Intersection(a.ring, b.ring)
				if err != nil {
					t.Fatal(err)
				}
				if area := geometry.Area(common); area > 1e-4 {
					t.Fatalf("%q and %q share %g mm²", a.words, b.words, area)
				}
			}
		}
	})
}

func BenchmarkSample(b *testing.B) {
	a := habitat.Assess(sampleGarden(b), catalogue(b), habitat.Options{})
	for b.Loop() {
		s, err := Make(a, Options{Guild: "ground-beetles", Date: when})
		if err != nil {
			b.Fatal(err)
		}
		if err := s.Write(&bytes.Buffer{}, "pdf"); err != nil {
			b.Fatal(err)
		}
	}
}

// What is too long is cut at the end of a word, where that leaves enough.
func TestCutAtWordEnds(t *testing.T) {
	l := letter{size: 3}
	for _, c := range [][2]string{{"Flower strip, perennial", "Flower…"}, {"Flowerstripsperennial", "Flowerstr…"}, {"A flowerstripsperennial", "A flowers…"}} {
		if got := l.cut(c[0], l.width("Flowerstr…")); got != c[1] {
			t.Errorf("%q is cut to %q, want %q", c[0], got, c[1])
		}
	}
}

// Length and width stand in the beds that have room: metres, or feet and inches.
func TestDimensionsOnTheMap(t *testing.T) {
	p := plan.New("")
	p.Features = []*plan.Feature{{ID: "a", Kind: plan.Bed, Name: "Long one", Geometry: box(0, 0, 9.144, 3.048)},
		{ID: "b", Kind: plan.Bed, Name: "Thin one", Geometry: box(0, 5, 9, 0.2)}}
	for u, want := range map[plan.Units]string{plan.Metric: "9.14 m × 3.05 m", plan.US: "30 ft × 10 ft"} { // 1 ft is 0.3048 m
		p.Units = u
		got := words(set(t, p, Options{Dimensions: true}).Pages[0].List, "Names")
		for i, w := range got {
			got[i] = strings.ReplaceAll(w, string(noBreak), " ")
		}
		if !slices.Contains(got, want) {
			t.Errorf("%s: names on the map are %q, want %q among them", u, got, want)
		}
		if got := words(set(t, p, Options{}).Pages[0].List, "Names"); len(got) != 2 {
			t.Errorf("%s: unasked for, the map says %q", u, got)
		}
	}
}

// Letters that the typeface lacks are told of, with what they stand in; where all can be printed nothing is said.
func TestUnprintedLettersAreTold(t *testing.T) {
	p := garden(plan.Bed, plan.Bed, plan.Pond)
	p.Features[0].Name, p.Features[1].Name = "Überwinterung", "畑"
	p.Features[2].Note = "池"
	s := set(t, p, Options{Sheets: onlyMap, Author: "山田"})
	if got := s.Unprinted; !strings.Contains(got, `the author, "畑" and "`+p.Features[2].Name+`"`) || strings.Contains(got, "Über") {
		t.Errorf("%q", got)
	}
	if got := set(t, sampleGarden(t), Options{Sheets: onlyMap}).Unprinted; got != "" {
		t.Errorf("of the sample: %q", got)
	}
}
