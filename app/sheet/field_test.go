package sheet

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/face"
	"hedgereach/app/style"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/quantities"
	"hedgereach/habitat/settingout"
	"hedgereach/habitat/tasks"
)

// inField are the sheets that are carried into the field or hung up in it.
var inField = []Kind{SettingOut, Planting, Weekly, Cards, Scouting, Labels, Notice}

// crowded draws a plan with much to say: long names, many crops, plants, covers, traps and last resorts, on small ground.
func crowded(t *rapid.T, c *data.Catalogue) *plan.Plan {
	word := rapid.SampledFrom([]string{"Kohlrabivariationenbeet", "A", "By the gate", "Ω", "Mr Ofori's", "Überwinterungsgemüsefläche", "7", "south of the old pear wall"})
	name := func(what string) string {
		return strings.Join(rapid.SliceOfN(word, 0, 4).Draw(t, what), " ")
	}
	day := rapid.IntRange(0, 365)
	days := func() season.Window {
		return season.Window{From: season.Day(day.Draw(t, "from")), To: season.Day(day.Draw(t, "to"))}
	}
	p := plan.New(name("plan"))
	p.Units = rapid.SampledFrom([]plan.Units{plan.Metric, plan.US}).Draw(t, "units")
	if rapid.Bool().Draw(t, "placed") {
		p.Place = &plan.Place{Latitude: rapid.Float64Range(-60, 60).Draw(t, "lat"), LastFrost: 120, FirstFrost: 280, NorthDeg: 33}
		p.Year = rapid.SampledFrom([]int{0, 2026, 2028}).Draw(t, "year")
	}
	for i := range rapid.IntRange(1, 9).Draw(t, "features") {
		k := rapid.SampledFrom(plan.Kinds).Draw(t, "kind")
		at := func(what string) float64 { return rapid.Float64Range(0, 30).Draw(t, what) }
		f := &plan.Feature{ID: strconv.Itoa(i), Kind: k, Name: name("name"), Geometry: box(at("x"), at("y"), 0.2+at("w"), 0.2+at("h"))}
		if k == plan.Trap || k == plan.Stake {
			f.Geometry = orb.Point{at("x"), at("y")}
		}
		for range rapid.IntRange(0, 8).Draw(t, "crops") {
			crop := "no-such-crop-of-the-very-long-name"
			if n := rapid.IntRange(0, len(c.Crops)).Draw(t, "crop"); n < len(c.Crops) {
				crop = c.Crops[n].ID
			}
			f.Crops = append(f.Crops, plan.Planting{Crop: crop, Share: rapid.Float64Range(0, 1).Draw(t, "share"), Dates: days(), Variety: name("variety")})
		}
		if k.Habitat() {
			for range rapid.IntRange(0, 9).Draw(t, "plants") {
				f.Plants = append(f.Plants, plan.Growing{Plant: c.Plants[rapid.IntRange(0, len(c.Plants)-1).Draw(t, "plant")].ID, Share: rapid.Float64Range(0, 1).Draw(t, "share")})
			}
		}
		if k == plan.Bed {
			f.Cover = &plan.Cover{Dates: days(), Material: name("cover"), MeshMM: 0.8}
			f.Treatments = []plan.Treatment{{Material: c.Materials[i%len(c.Materials)].ID, On: []season.Day{100, 110}, Pest: c.Pests[i].ID}}
		}
		if k == plan.TrapCrop {
			f.Trapping = &plan.Trapping{Pest: c.Pests[i].ID, Removal: strings.Repeat(name("removal")+" ", 12)}
		}
		if k == plan.Trap {
			f.Trap = &plan.TrapMark{Trap: c.Traps[i%len(c.Traps)].ID, Pest: c.Pests[i].ID, Set: 100, Until: 200, RenewDays: 14}
		}
		f.Note = strings.Repeat(name("note")+" ", rapid.SampledFrom([]int{0, 1, 40}).Draw(t, "notes"))
		p.Features = append(p.Features, f)
	}
	return p
}

// On the sheets for the field no words overlap and nothing leaves the page, whatever the plan says. Sketches are looked at as a
// whole: their names keep clear of each other by a test of package ground.
func TestFieldSheetsKeepClear(t *testing.T) {
	c := catalogue(t)
	rapid.Check(t, func(t *rapid.T) {
		p := crowded(t, c)
		paper := rapid.SampledFrom([]Paper{Papers[0], Papers[4], Papers[5], {"Small", 148, 210}}).Draw(t, "paper")
		s, err := Make(habitat.Assess(p, c, habitat.Options{}), Options{Sheets: append([]Kind{PlotMap}, inField...), Paper: paper, Date: when, Grey: rapid.Bool().Draw(t, "grey"),
			Big: rapid.Bool().Draw(t, "big")})
		if err != nil {
			t.Skip(err)
		}
		for n, page := range s.Pages {
			if page.Kind == PlotMap {
				continue
			}
			l := page.List
			within := orb.Bound{Min: orb.Point{4, 4}, Max: orb.Point{l.Width - 4, l.Height - 4}}
			var boxes []orb.Bound
			var said []string
			put := func(b orb.Bound, words string) {
				if !within.Contains(b.Min) || !within.Contains(b.Max) {
					t.Errorf("%s, page %d: %q leaves the page (%.1f)", page.Name, n+1, words, b)
				}
				for i, a := range boxes {
					if min(a.Max[0], b.Max[0])-max(a.Min[0], b.Min[0]) > 0.2 && min(a.Max[1], b.Max[1])-max(a.Min[1], b.Min[1]) > 0.2 {
						t.Errorf("%s, page %d: %q and %q overlap", page.Name, n+1, said[i], words)
					}
				}
				boxes, said = append(boxes, b), append(said, words)
			}
			for _, op := range l.Ops {
				switch op := op.(type) {
				case drawing.Text:
					put(textBox(op), op.Words)
					if face.Lacks(strings.ReplaceAll(op.Words, "Ω", "")) {
						t.Errorf("%s, page %d: the letters lack a sign of %q", page.Name, n+1, op.Words)
					}
					if op.Size < 8.4*style.SheetPoint {
						t.Errorf("%s, page %d: %q is set in %.1f mm", page.Name, n+1, op.Words, op.Size)
					}
				case drawing.Clip:
					b := orb.Bound{Min: op.Path[0].Points[0], Max: op.Path[0].Points[0]}
					for _, q := range op.Path[0].Points {
						b = b.Extend(q)
					}
					put(b, "the sketch")
				case drawing.Stroke:
					for _, contour := range op.Path {
						for _, q := range contour.Points {
							if !within.Contains(q) {
								t.Fatalf("%s, page %d: a line leaves the page at %.1f", page.Name, n+1, q)
							}
						}
					}
				}
			}
		}
	})
}

// all are the words of the pages of a kind, in one.
func all(s *Set, k Kind) string {
	var out []string
	for _, page := range s.Pages {
		if page.Kind == k {
			out = append(out, words(page.List, "")...)
		}
	}
	return strings.ReplaceAll(strings.Join(out, " "), string(noBreak), " ")
}

// Every row of the list of quantities is printed with its numbers, and every line of the shopping list.
func TestPlantingListSaysAll(t *testing.T) {
	p := sampleGarden(t)
	list, err := quantities.Of(p, catalogue(t), quantities.Options{})
	if err != nil {
		t.Fatal(err)
	}
	flat := func(x string) string { return strings.Join(strings.Fields(x), "") } // figures stand in groups, and lines break words apart
	got := flat(all(set(t, p, Options{Sheets: []Kind{Planting}}), Planting))
	for _, r := range list.Rows {
		if !strings.Contains(got, strconv.Itoa(r.Take)) {
			t.Errorf("%s on %s: %d is not printed", r.Name, r.Feature.Name, r.Take)
		}
	}
	for _, x := range list.Shopping {
		if !strings.Contains(got, flat(capital(x.Name))) || !strings.Contains(got, strconv.Itoa(x.Take)) {
			t.Errorf("shopping: %s, %d is not printed", x.Name, x.Take)
		}
	}
	for _, want := range []string{"10% more", "50% more", "Take care", "poisonous", "811", "Shopping list", "triangles of", "apart in rows"} {
		if !strings.Contains(got, flat(want)) {
			t.Errorf("no %q", want)
		}
	}
}

// Every dated task stands on the weekly list, and every task on the card of its feature.
func TestWorkIsPrinted(t *testing.T) {
	p := sampleGarden(t)
	c := catalogue(t)
	a := habitat.Assess(p, c, habitat.Options{})
	l, err := quantities.Of(p, c, quantities.Options{})
	if err != nil {
		t.Fatal(err)
	}
	s := set(t, p, Options{Sheets: []Kind{Weekly, Cards}})
	flat := func(x string) string { return strings.Join(strings.Fields(x), "") } // lines break words apart
	weekly, cards := flat(all(s, Weekly)), flat(all(s, Cards))
	for _, x := range tasks.Of(a, l, habitat.PestCalendar(p, c, nil)) {
		want := flat(capital(x.What))
		if x.Kind == tasks.Scout {
			want = flat(plainName(x.Pest.Name))
		}
		if !strings.Contains(weekly, want) {
			t.Errorf("weekly list: no %q", x.What)
		}
		if !strings.Contains(cards, want) {
			t.Errorf("cards: no %q", x.What)
		}
	}
	for _, f := range p.Features {
		if f.Kind == plan.Bed && !strings.Contains(cards, flat(f.Name)) {
			t.Errorf("no card for %s", f.Name)
		}
	}
}

// A threshold is printed where it was read at a source, and only there: the sheet must not make a guess look like a finding.
func TestThresholds(t *testing.T) {
	c := catalogue(t)
	known := 0
	for _, p := range c.Pests {
		got, ok := threshold(p)
		read := p.ThresholdFrom.Checked == data.ReadAtSource || p.ThresholdFrom.Checked == data.SecondHand
		if ok != (read && p.Threshold != "") || ok != (got == p.Threshold) || !ok != (got == noThreshold) {
			t.Errorf("%s: %q, %v (%s)", p.ID, got, ok, p.ThresholdFrom.Checked)
		}
		if ok {
			known++
		}
	}
	if known == 0 || known == len(c.Pests) {
		t.Errorf("%d of %d thresholds", known, len(c.Pests))
	}
	got := all(set(t, sampleGarden(t), Options{Sheets: []Kind{Scouting}}), Scouting)
	for _, want := range []string{"25 adults per 50 plants", "write yours", "Natural enemies seen", "Ground beetles", "Walked by", "1st", "Where the thresholds come from", "The label is the law"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q", want)
		}
	}
}

// The notice names the rough ground, who lives there and what they eat, and the plants that are dangerous; a plan without rough
// ground has none.
func TestNotice(t *testing.T) {
	got := all(set(t, sampleGarden(t), Options{Sheets: []Kind{Notice}}), Notice)
	for _, want := range []string{"West hedge", "Beetle bank", "Ground beetles", "slugs", "do not mow", "sting", "American elderberry", "How you can help"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in %q", want, got)
		}
	}
	for _, page := range set(t, garden(plan.Bed, plan.Path), Options{}).Pages {
		if page.Kind == Notice {
			t.Error("a notice without rough ground")
		}
	}
}

// Cards stand two to a page with a line to cut along, and bear the cautions of their own work.
func TestCards(t *testing.T) {
	p := sampleGarden(t)
	s := set(t, p, Options{Sheets: []Kind{Cards}})
	who := 0
	for i, page := range s.Pages {
		n := 0
		for _, w := range words(page.List, "") {
			if w == "Who" {
				n++
			}
		}
		if n != 2 && i != len(s.Pages)-1 || n == 0 {
			t.Errorf("page %d: %d cards", i+1, n)
		}
		who += n
	}
	if who < 45 {
		t.Errorf("%d cards", who)
	}
	hours := 12.0
	bed := &plan.Feature{ID: "b", Kind: plan.Bed, Name: "B", Geometry: box(0, 0, 5, 1), Treatments: []plan.Treatment{{Material: "bt-kurstaki",
		On: []season.Day{150}, HarvestHours: &hours}}}
	hedge := &plan.Feature{ID: "h", Kind: plan.Hedgerow, Name: "H", Geometry: box(0, 5, 9, 2), Plants: []plan.Growing{{Plant: "american-elderberry", Share: 1}}}
	one := func(f *plan.Feature) string {
		q := plan.New("One")
		q.Features = []*plan.Feature{f}
		return all(set(t, q, Options{Sheets: []Kind{Cards}}), Cards)
	}
	for _, x := range []struct {
		of   *plan.Feature
		want string
	}{{bed, "The label is the law"}, {bed, "no harvest for 12 h"}, {hedge, "811"}, {hedge, "American elderberry: raw leaves, stems, unripe fruit toxic"}} {
		if got := one(x.of); !strings.Contains(got, x.want) {
			t.Errorf("%s: no %q in %q", x.of.Name, x.want, got)
		}
	}
}

// A short length as a rule has it: published conversions, 2.54 cm to the inch.
func TestShortLengths(t *testing.T) {
	metric, us := &job{a: &habitat.Assessment{Plan: &plan.Plan{}}}, &job{a: &habitat.Assessment{Plan: &plan.Plan{Units: plan.US}}}
	for _, x := range []struct {
		m      float64
		cm, in string
	}{{0.003, "3 mm", "⅛ in"}, {0.013, "1.5 cm", "½ in"}, {0.025, "2.5 cm", "1 in"}, {0.0254 * 6, "15 cm", "6 in"}, {0.457, "46 cm", "18 in"}, {0.0445, "4.5 cm", "1¾ in"}, {1.68, "168 cm", "66 in"}} {
		got := strings.ReplaceAll(metric.short(x.m)+", "+us.short(x.m), string(noBreak), " ")
		if got != x.cm+", "+x.in {
			t.Errorf("%g m: %s, want %s, %s", x.m, got, x.cm, x.in)
		}
	}
}

// The same plan makes the same sheets, and in grey no colour is left.
func TestFieldSheetsTwice(t *testing.T) {
	p := sampleGarden(t)
	a, b := set(t, p, Options{Sheets: inField, Grey: true}), set(t, p, Options{Sheets: inField, Grey: true})
	if len(a.Pages) != len(b.Pages) {
		t.Fatal(len(a.Pages), len(b.Pages))
	}
	for i := range a.Pages {
		one := drawing.Dump(a.Pages[i].List)
		if one != drawing.Dump(b.Pages[i].List) {
			t.Errorf("page %d differs", i+1)
		}
		if one != drawing.Dump(drawing.Grey(a.Pages[i].List)) {
			t.Errorf("page %d, %s, has colour", i+1, a.Pages[i].Name)
		}
	}
	kinds := map[Kind]bool{}
	for _, page := range a.Pages {
		kinds[page.Kind] = true
		if long := max(page.List.Width, page.List.Height); long != 297 {
			t.Errorf("%s on a sheet %g mm long", page.Name, long)
		}
	}
	if len(kinds) != len(inField) {
		t.Errorf("sheets: %v", kinds)
	}
	for _, page := range set(t, p, Options{Sheets: inField, Paper: Papers[10]}).Pages { // ANSI E: on Letter
		if long := max(page.List.Width, page.List.Height); long != 279.4 {
			t.Errorf("%s on a sheet %g mm long", page.Name, long)
		}
	}
}

// big is a plan of 200 features.
func big(t testing.TB) *plan.Plan {
	c := catalogue(t)
	p := plan.New("Two hundred")
	p.Place = &plan.Place{Latitude: 44, Longitude: -72.5, LastFrost: 130, FirstFrost: 270}
	for i := range 200 {
		f := &plan.Feature{ID: strconv.Itoa(i), Kind: plan.Bed, Name: fmt.Sprintf("Bed %d", i+1), Geometry: box(float64(i%10)*12, float64(i/10)*2.2, 10, 1.2)}
		for k := range 2 {
			f.Crops = append(f.Crops, plan.Planting{Crop: c.Crops[(i*2+k)%len(c.Crops)].ID, Share: 0.5, Dates: season.Window{From: season.Day(100 + 5*k), To: season.Day(200 + i%60)}})
		}
		switch i % 10 {
		case 8:
			f.Kind, f.Crops = plan.PerennialStrip, nil
			for k := range 7 {
				f.Plants = append(f.Plants, plan.Growing{Plant: c.Plants[(i+k*5)%60].ID, Share: 0.12})
			}
		case 9:
			f.Kind, f.Crops, f.Geometry = plan.Tree, nil, geometry.Disc(orb.Point{float64(i%10)*12 + 5, float64(i / 10 * 2)}, 1)
		}
		p.Features = append(p.Features, f)
	}
	return p
}

func BenchmarkWholeSet200(b *testing.B) {
	p := big(b)
	a := habitat.Assess(p, catalogue(b), habitat.Options{RangesM: []float64{30}})
	var kinds []Kind
	for _, s := range Sheets {
		kinds = append(kinds, s.Kind)
	}
	for _, x := range append([][]Kind{kinds}, slices.Collect(slices.Chunk(kinds, 1))...) {
		name := "all"
		if len(x) == 1 {
			name = string(x[0])
		}
		b.Run(name, func(b *testing.B) {
			pages := 0
			for b.Loop() {
				s, err := Make(a, Options{Date: when, RangeM: 30, Sheets: x})
				if err != nil {
					b.Fatal(err)
				}
				pages = len(s.Pages)
			}
			b.ReportMetric(float64(pages), "pages")
		})
	}
}

// A set written as CSV is the planting list and the shopping list, counted as the options say.
func TestCSV(t *testing.T) {
	p := sampleGarden(t)
	none := 0.0
	o := Options{Numbers: quantities.Options{Spare: &none, Layout: "square"}}
	path := filepath.Join(t.TempDir(), "planting.csv")
	if files, err := set(t, p, o).WriteFile(path); err != nil || len(files) != 1 {
		t.Fatal(files, err)
	}
	list, err := quantities.Of(p, catalogue(t), o.Numbers)
	if err != nil {
		t.Fatal(err)
	}
	var want bytes.Buffer
	if err := list.WriteCSV(&want); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(path)
	if err != nil || string(got) != want.String() || !strings.Contains(want.String(), "square") || strings.Contains(want.String(), "triangular") {
		t.Errorf("%v, %d bytes", err, len(got))
	}
	if _, err := Make(habitat.Assess(p, catalogue(t), habitat.Options{}), Options{Numbers: quantities.Options{Layout: "hexes"}}); err == nil {
		t.Error("a layout that is not known passes")
	}
}

// Without two stakes, or anything besides them, setting out is not among the usual sheets; one that is named says what is missing.
func TestNothingToSetOut(t *testing.T) {
	stakes := func(p *plan.Plan, n int) *plan.Plan {
		for i := range n {
			p.Features = append(p.Features, &plan.Feature{ID: fmt.Sprint("s", i), Kind: plan.Stake, Name: fmt.Sprint("Peg ", i), Geometry: orb.Point{float64(20 * i), -5}})
		}
		return p
	}
	for _, x := range []struct {
		plan  *plan.Plan
		usual bool
		says  string
	}{
		{garden(plan.Bed), false, "has not got two"},
		{stakes(garden(plan.Bed), 1), false, "has not got two"},
		{stakes(garden(), 2), false, "nothing yet to set out"},
		{stakes(garden(plan.Bed), 2), true, "20.00 m apart"},
	} {
		usual := slices.ContainsFunc(set(t, x.plan, Options{}).Pages, func(p Page) bool { return p.Kind == SettingOut })
		i := slices.IndexFunc(Sheets, func(s Sheet) bool { return s.Kind == SettingOut })
		if usual != x.usual || Sheets[i].UsualOf(x.plan) != x.usual {
			t.Errorf("%d features: usual %v", len(x.plan.Features), usual)
		}
		if got := all(set(t, x.plan, Options{Sheets: []Kind{SettingOut}}), SettingOut); !strings.Contains(got, x.says) {
			t.Errorf("%d features: %s", len(x.plan.Features), got)
		}
	}
}

// The stakes that were chosen are set out from, the first first.
func TestChosenStakes(t *testing.T) {
	p := garden(plan.Bed)
	for i, at := range []orb.Point{{0, -5}, {40, -5}, {20, -5}} {
		p.Features = append(p.Features, &plan.Feature{ID: fmt.Sprint("s", i), Kind: plan.Stake, Name: fmt.Sprint("Peg ", i), Geometry: at})
	}
	for _, x := range []struct {
		stakes [2]string
		want   string
	}{{[2]string{}, "40.00 m apart"}, {[2]string{"Peg 2", "peg 0"}, "20.00 m apart"}, {[2]string{"s1", "Peg 2"}, "20.00 m apart"}} {
		if got := all(set(t, p, Options{Sheets: []Kind{SettingOut}, Stakes: x.stakes}), SettingOut); !strings.Contains(got, x.want) {
			t.Errorf("%v: %s", x.stakes, got)
		}
	}
	for _, stakes := range [][2]string{{"Peg 0", "Peg 9"}, {"Peg 0", ""}, {"Peg 0", "Peg 0"}} {
		if _, err := Make(habitat.Assess(p, catalogue(t), habitat.Options{}), Options{Stakes: stakes}); err == nil || strings.Contains(err.Error(), "\n") ||
			strings.Contains(err.Error(), "named twice") != (stakes[0] == stakes[1]) {
			t.Errorf("%v: %v", stakes, err)
		}
	}
}

// Setting out can be followed on its own sketch: the number of each step stands on it once, near what it is about or its corner A, no
// two on each other; the heads of the steps name them and give their square, diagonals or not.
func TestStepsStandOnTheSketch(t *testing.T) {
	p := sampleGarden(t)
	a := habitat.Assess(p, catalogue(t), habitat.Options{})
	s, err := Make(a, Options{Sheets: []Kind{SettingOut}, Date: when})
	if err != nil {
		t.Fatal(err)
	}
	book, err := settingout.Measure(p, settingout.Centimetre)
	if err != nil {
		t.Fatal(err)
	}
	var sketch orb.Bound
	at := map[string][]orb.Bound{}
	for _, op := range s.Pages[0].List.Ops {
		if c, ok := op.(drawing.Clip); ok {
			sketch = orb.Bound{Min: c.Path[0].Points[0], Max: c.Path[0].Points[2]}
			walk(c.Ops, "", func(_ string, op drawing.Op) {
				if x, ok := op.(drawing.Text); ok && x.Size < 3 {
					at[x.Words] = append(at[x.Words], textBox(x))
				}
			})
		}
	}
	ground, err := extent(p)
	if err != nil {
		t.Fatal(err)
	}
	k := (sketch.Max[0] - sketch.Min[0] - 6) / (ground.Max[0] - ground.Min[0])
	var put []orb.Bound
	said := all(s, SettingOut)
	for n, piece := range book.Pieces {
		boxes := at[strconv.Itoa(n+1)]
		if len(boxes) != 1 {
			t.Errorf("step %d, %s, stands on the sketch %d times", n+1, piece.Feature.Title(), len(boxes))
			continue
		}
		c := boxes[0].Center()
		from := orb.Point{ground.Center()[0] + (c[0]-sketch.Center()[0])/k, ground.Center()[1] - (c[1]-sketch.Center()[1])/k}
		if d := min(geometry.PointDistance(from, piece.Feature.Geometry), planar(from, piece.Corners[0].At)); d*k > 5 {
			t.Errorf("step %d stands %.1f mm from %s", n+1, d*k, piece.Feature.Title())
		}
		for _, b := range put {
			if b.Intersects(boxes[0]) {
				t.Errorf("step %d stands on another", n+1)
			}
		}
		put = append(put, boxes[0])
		head := fmt.Sprintf("Step %d · ", n+1)
		_, rest, ok := strings.Cut(said, head)
		if rest = rest[:min(len(rest), 90)]; !ok || !strings.Contains(rest, piece.Feature.Title()) || !strings.Contains(said, "square ") {
			t.Errorf("%q is followed by %q", head, rest)
		}
	}
	for _, want := range []string{"Step 26 · bed 12, Terrace 2", "square G4, A–C 7.21 m, B–D 7.21 m", "by a dot its corner A"} {
		if !strings.Contains(said, want) {
			t.Errorf("no %q", want)
		}
	}
	if strings.Contains(said, "…") {
		t.Error("a head is cut")
	}
}

// A short name stands in one line on its label, a long one in two large ones.
func TestShortNamesStandInOneLine(t *testing.T) {
	p := garden(plan.Bed, plan.Bed)
	p.Features[0].Name, p.Features[1].Name = "Market 1", "Pumpkins by the old wall"
	var got []string
	for _, page := range set(t, p, Options{Sheets: []Kind{Labels}}).Pages {
		got = append(got, words(page.List, "")...)
	}
	if !slices.Contains(got, "Market 1") || slices.Contains(got, "Pumpkins by the old wall") || !slices.Contains(got, "Pumpkins by") {
		t.Errorf("%q", got)
	}
}
