package sheet

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"math"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/face"
	"hedgereach/app/style"
	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

var maps = []Kind{PlotMap, ReachMap, FlowerMap}

// inPath tells whether a place lies in a path, by the even-odd rule.
func inPath(path drawing.Path, at orb.Point) bool {
	in := false
	for _, c := range path {
		for i, p := range c.Points {
			q := c.Points[(i+1)%len(c.Points)]
			if (p[1] > at[1]) != (q[1] > at[1]) && at[0] < p[0]+(q[0]-p[0])*(at[1]-p[1])/(q[1]-p[1]) {
				in = !in
			}
		}
	}
	return in
}

// The shaded ground of the reach map is the ground no farther from what serves than the range: random places, each measured by
// another function.
func TestReachMapShadesTheReach(t *testing.T) {
	p := sampleGarden(t)
	a := habitat.Assess(p, catalogue(t), habitat.Options{})
	g := a.Catalogue.Guild("ground-beetles")
	s, err := Make(a, Options{Guild: g.ID, Date: when, Sheets: []Kind{ReachMap}})
	if err != nil {
		t.Fatal(err)
	}
	var rings []drawing.Path
	walk(s.Pages[0].List.Ops, "", func(layer string, op drawing.Op) {
		if k, ok := op.(drawing.Stroke); ok && layer == "Reach" && len(k.Pen.Dash) > 0 {
			rings = append(rings, k.Path)
		}
	})
	if len(rings) != 2 {
		t.Fatalf("%d lines for a guild of a typical and an outer range", len(rings))
	}
	j := &job{a: a, o: Options{Paper: Papers[0]}, big: 1, bound: orb.Bound{}}
	if j.bound, err = extent(p); err != nil {
		t.Fatal(err)
	}
	if j.frame, j.scale, err = j.fit(); err != nil {
		t.Fatal(err)
	}
	v := j.whole()
	random := rand.New(rand.NewSource(1))
	inside := 0
	for range 3000 {
		q := orb.Point{j.bound.Min[0] + random.Float64()*(j.bound.Max[0]-j.bound.Min[0]), j.bound.Min[1] + random.Float64()*(j.bound.Max[1]-j.bound.Min[1])}
		d := math.Inf(1)
		for _, f := range a.Serving(g) {
			d = min(d, geometry.PointDistance(q, f.Geometry))
		}
		for i, r := range []float64{g.TypicalM, g.OuterM} {
			if math.Abs(d-r) < 0.2 {
				continue // on the line
			}
			if got := inPath(rings[i], v.To(q)); got != (d < r) {
				t.Fatalf("a place %.2f m from what serves is shown within %g m: %t", d, r, got)
			} else if got {
				inside++
			}
		}
	}
	if inside < 100 || inside > 5900 {
		t.Errorf("%d places inside: nothing is told", inside)
	}
	all := strings.Join(words(s.Pages[0].List, ""), " ")
	for _, want := range []string{"60\u00a0m", "80\u00a0m", "Bed beyond range", "They walk"} {
		if !strings.Contains(all, want) {
			t.Errorf("the reach map does not say %q", want)
		}
	}
}

// Where nothing is known, nothing is shaded and the sheet says so.
func TestReachMapOfTheUnknown(t *testing.T) {
	p := sampleGarden(t)
	a := habitat.Assess(p, catalogue(t), habitat.Options{})
	for _, g := range a.Catalogue.Guilds {
		if g.HasRange() {
			continue
		}
		s, err := Make(a, Options{Guild: g.ID, Date: when, Sheets: []Kind{ReachMap}})
		if err != nil {
			t.Fatal(err)
		}
		all := strings.Join(words(s.Pages[0].List, ""), " ")
		if !strings.Contains(all, "No distance has been published") || strings.Contains(all, "Beyond") {
			t.Errorf("%s: %q", g.ID, all)
		}
		return
	}
	t.Fatal("every guild has a range")
}

// The flower map by hand: two strips, one with 30 % in flower in the first half of June, one with 80 %, and bare otherwise.
func TestFlowerMapClasses(t *testing.T) {
	p := plan.New("Flowers")
	june := season.HalfMonth(10)
	window := season.Window{From: june.First(), To: june.Last()}
	for i, share := range []float64{0.3, 0.8} {
		p.Features = append(p.Features, &plan.Feature{ID: fmt.Sprint(i), Kind: plan.PerennialStrip, Name: fmt.Sprintf("Strip %d", i),
			Geometry: box(0, float64(i)*10, 40, 4), Plants: []plan.Growing{{Plant: "yarrow", Share: share, Bloom: window}}})
	}
	p.Features = append(p.Features, &plan.Feature{ID: "b", Kind: plan.Bed, Name: "Bed", Geometry: box(0, 20, 40, 4)})
	fills := func(l drawing.List) (out []int) {
		walk(l.Ops, "", func(layer string, op drawing.Op) {
			if f, ok := op.(drawing.Fill); ok && layer == "Flowers" {
				for class := 1; class < style.BloomClasses; class++ {
					if f.Color == style.Paper.Bloom(class).Solid {
						out = append(out, class)
					}
				}
			}
		})
		return out
	}
	s := set(t, p, Options{On: &june, Sheets: []Kind{FlowerMap}})
	if len(s.Pages) != 2 {
		t.Fatalf("%d pages for the season and a half-month", len(s.Pages))
	}
	if got := fills(s.Pages[0].List); !slices.Equal(got, []int{2, 4}) {
		t.Errorf("the season shows classes %v, want one half-month with 2 and 4", got)
	}
	if got := fills(s.Pages[1].List); !slices.Equal(got, []int{2, 4}) {
		t.Errorf("the map shows classes %v, want 2 and 4", got)
	}
	all := strings.Join(words(s.Pages[1].List, ""), " ")
	for _, want := range []string{"Strip 0 30 %", "Strip 1 80 %", "Strip 0: yarrow.", "Up to half", "Over three quarters"} {
		if !strings.Contains(all, want) {
			t.Errorf("the map does not say %q: %s", want, all)
		}
	}
	if strings.Contains(all, "Up to a quarter") {
		t.Error("the legend has a class that is not there")
	}
	winter := season.HalfMonth(0)
	if got := strings.Join(words(set(t, p, Options{On: &winter, Sheets: []Kind{FlowerMap}}).Pages[1].List, ""), " "); !strings.Contains(got, "Nothing on the plan flowers") {
		t.Errorf("in winter: %s", got)
	}
	p.Features = p.Features[2:]
	if _, err := Make(habitat.Assess(p, catalogue(t), habitat.Options{}), Options{Sheets: []Kind{FlowerMap}}); err == nil {
		t.Error("a flower map without a plant")
	}
}

// The sun's ways stand on the plot map of every paper where the place is known, in usual and big print, and nowhere else.
func TestSunStandsOnTheMap(t *testing.T) {
	p := sampleGarden(t)
	for _, paper := range usual {
		for _, way := range []Orientation{Portrait, Landscape} {
			for _, big := range []bool{false, true} {
				o := Options{Paper: paper, Orientation: way, Big: big, Sheets: onlyMap}
				var all []string
				for _, page := range set(t, p, o).Pages { // in big print the key has a sheet of its own
					all = append(all, words(page.List, "Sun")...)
				}
				got := strings.Join(all, " ")
				if !strings.Contains(got, "21 Jun") || !strings.Contains(got, "15.5") {
					t.Errorf("%s %d, big %t: the sun says %q", paper.Name, way, big, got)
				}
			}
		}
	}
	bare := *p
	bare.Place = nil
	if got := words(set(t, &bare, Options{Sheets: onlyMap}).Pages[0].List, "Sun"); len(got) > 0 {
		t.Errorf("without a place the sun says %q", got)
	}
	south := *p
	place := *p.Place
	place.Latitude = -44
	south.Place = &place
	if got := strings.Join(words(set(t, &south, Options{Sheets: onlyMap}).Pages[0].List, "Sun"), " "); strings.Index(got, "21 Dec") > strings.Index(got, "21 Jun") {
		t.Errorf("in the south the longest day is %q", got)
	}
}

// In big print the letters of a sheet's body are 12 points and more (1 pt = 0.3528 mm), nothing leaves the paper, and the words of
// the panel keep clear of each other.
func TestBigPrint(t *testing.T) {
	for name, p := range map[string]*plan.Plan{"sample": sampleGarden(t), "long": long(t)} {
		for _, paper := range []Paper{Papers[0], Papers[1], Papers[5]} {
			on := season.HalfMonth(10)
			s := set(t, p, Options{Paper: paper, Big: true, Guild: "ground-beetles", On: &on, Author: "R. Alder", Sheets: append(slices.Clone(maps), Lists)})
			for n, page := range s.Pages {
				within := orb.Bound{Min: orb.Point{4, 4}, Max: orb.Point{page.List.Width - 4, page.List.Height - 4}}
				type text struct {
					layer string
					t     drawing.Text
					b     orb.Bound
				}
				var all []text
				walk(page.List.Ops, "", func(layer string, op drawing.Op) {
					x, ok := op.(drawing.Text)
					if !ok {
						return
					}
					b := textBox(x)
					if !within.Contains(b.Min) || !within.Contains(b.Max) {
						t.Errorf("%s on %s, page %d: %q leaves the page (%.1f)", name, paper.Name, n+1, x.Words, b)
					}
					if layer == "Cautions" && x.Size < 10.5*0.3528 {
						t.Errorf("%s on %s, page %d: %q is %.1f pt", name, paper.Name, n+1, x.Words, x.Size/0.3528)
					}
					all = append(all, text{layer, x, b})
				})
				for i, a := range all {
					for _, b := range all[:i] {
						if a.layer == "Names" || b.layer == "Names" || a.layer == "Flowers" || b.layer == "Flowers" {
							continue
						}
						if min(a.b.Max[0], b.b.Max[0])-max(a.b.Min[0], b.b.Min[0]) > 0.2 && min(a.b.Max[1], b.b.Max[1])-max(a.b.Min[1], b.b.Min[1]) > 0.2 {
							t.Errorf("%s on %s, page %d (%s): %q (%s) and %q (%s) overlap", name, paper.Name, n+1, page.Name, a.t.Words, a.layer, b.t.Words, b.layer)
						}
					}
				}
			}
		}
	}
}

// Crowded plans: on every map, its tiles and the flower page, no two words share ground, turned ones included.
func TestNoWordsOverlapOnCrowdedMaps(t *testing.T) {
	c := catalogue(t)
	kinds := []plan.Kind{plan.Bed, plan.Bed, plan.Bed, plan.Hedgerow, plan.PerennialStrip, plan.Tree, plan.Path, plan.Building, plan.Stake}
	rapid.Check(t, func(t *rapid.T) {
		p := plan.New("Crowd")
		p.Units = rapid.SampledFrom([]plan.Units{plan.Metric, plan.US}).Draw(t, "units")
		p.Place = &plan.Place{Latitude: 44, Longitude: -72.5}
		for i := range rapid.IntRange(1, 30).Draw(t, "features") {
			f := &plan.Feature{ID: fmt.Sprint(i), Kind: rapid.SampledFrom(kinds).Draw(t, "kind"),
				Name: rapid.SampledFrom([]string{"", "Bed", "Long bed by the wall", "B7"}).Draw(t, "name"),
				Geometry: box(rapid.Float64Range(0, 60).Draw(t, "x"), rapid.Float64Range(0, 40).Draw(t, "y"),
					rapid.Float64Range(0.3, 15).Draw(t, "w"), rapid.Float64Range(0.3, 9).Draw(t, "h"))}
			if f.Kind == plan.PerennialStrip || f.Kind == plan.Hedgerow {
				f.Plants = []plan.Growing{{Plant: c.Plants[i%len(c.Plants)].ID, Share: 0.4}}
			}
			p.Features = append(p.Features, f)
		}
		on := season.HalfMonth(10)
		o := Options{Date: when, RangeM: 20, On: &on, Sheets: maps, Big: rapid.Bool().Draw(t, "big"), Dimensions: rapid.Bool().Draw(t, "sizes"),
			Orientation: rapid.SampledFrom([]Orientation{Portrait, Landscape}).Draw(t, "lies")}
		a := habitat.Assess(p, c, habitat.Options{On: &on, RangesM: []float64{20}})
		s, err := Make(a, o)
		if err != nil {
			t.Fatal(err)
		}
		if rapid.Bool().Draw(t, "tiles") {
			series := Scales(p.Units)
			if i := slices.Index(series, s.Denominator); i > 0 {
				o.ScaleDenominator, o.Sheets = series[i-1], onlyMap
				if s, err = Make(a, o); err != nil {
					t.Fatal(err)
				}
			}
		}
		for n, page := range s.Pages {
			type text struct {
				words, layer string
				ring         orb.Polygon
			}
			var all []text
			walk(page.List.Ops, "", func(layer string, op drawing.Op) {
				x, ok := op.(drawing.Text)
				if !ok || layer == "Tiles" { // the index lies over the map on purpose
					return
				}
				w := face.Width(x.Words, x.Size, x.Bold, x.Italic)
				left := map[drawing.Align]float64{drawing.Start: 0, drawing.Middle: -w / 2, drawing.End: -w}[x.Align]
				sin, cos := math.Sincos(x.Rotate * math.Pi / 180)
				var r orb.Ring
				for _, q := range [][2]float64{{left, 0}, {left + w, 0}, {left + w, -0.72 * x.Size}, {left, -0.72 * x.Size}, {left, 0}} {
					r = append(r, orb.Point{x.At[0] + cos*q[0] + sin*q[1], x.At[1] - sin*q[0] + cos*q[1]})
				}
				all = append(all, text{x.Words, layer, orb.Polygon{r}})
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
					if area := geometry.Area(common); area > 0.05 {
						t.Fatalf("page %d (%s): %q (%s) and %q (%s) share %.2f mm²", n+1, page.Name, a.words, a.layer, b.words, b.layer, area)
					}
				}
			}
		}
	})
}

// streams are the page contents of a PDF, unpacked.
func streams(t *testing.T, pdf []byte) (out []string) {
	t.Helper()
	for rest := pdf; ; {
		i := bytes.Index(rest, []byte("stream\n"))
		if i < 0 {
			return out
		}
		rest = rest[i+len("stream\n"):]
		end := bytes.Index(rest, []byte("endstream"))
		if z, err := zlib.NewReader(bytes.NewReader(rest[:end])); err == nil {
			if data, err := io.ReadAll(z); err == nil && bytes.Contains(data, []byte(" BDC")) {
				out = append(out, string(data))
			}
		}
		rest = rest[end+len("endstream"):]
	}
}

// In the PDF as written a bed of 10 m by 1.2 m at 1:100 is 100.0 by 12.0 mm, to a tenth (1 pt = 25.4/72 mm).
func TestBedInThePDF(t *testing.T) {
	p := plan.New("Ten metres")
	p.Features = []*plan.Feature{{ID: "a", Kind: plan.Bed, Name: "A", Geometry: box(3, 7, 10, 1.2)}}
	var out bytes.Buffer
	if err := set(t, p, Options{ScaleDenominator: 100, Sheets: onlyMap}).Write(&out, "pdf"); err != nil {
		t.Fatal(err)
	}
	found := false
	number := regexp.MustCompile(`^(-?[\d.]+) (-?[\d.]+) [ml]$`)
	for _, content := range streams(t, out.Bytes()) {
		var b orb.Bound
		n := 0
		for _, line := range strings.Split(content, "\n") {
			m := number.FindStringSubmatch(strings.TrimSpace(line))
			if m == nil {
				w, h := (b.Max[0]-b.Min[0])*25.4/72, (b.Max[1]-b.Min[1])*25.4/72
				if n == 4 && math.Abs(w-100) < 0.1 && math.Abs(h-12) < 0.1 {
					found = true
				}
				n = 0
				continue
			}
			x, _ := strconv.ParseFloat(m[1], 64)
			y, _ := strconv.ParseFloat(m[2], 64)
			if at := (orb.Point{x, y}); n == 0 {
				b = orb.Bound{Min: at, Max: at}
			} else {
				b = b.Extend(at)
			}
			n++
		}
	}
	if !found {
		t.Error("no outline of 100.0 × 12.0 mm in the file")
	}
}

// Other programs take the whole set: qpdf finds nothing wrong, every font is embedded, each sheet has its bookmark, each layer its
// switch, and title and author are as given.
func TestOtherProgramsReadTheSet(t *testing.T) {
	for _, name := range []string{"qpdf", "pdffonts", "pdfinfo"} {
		if _, err := exec.LookPath(name); err != nil {
			t.Skipf("%s is not installed", name)
		}
	}
	on := season.HalfMonth(10)
	s := set(t, sampleGarden(t), Options{Guild: "ground-beetles", On: &on, Author: "R. Alder"})
	path := filepath.Join(t.TempDir(), "set.pdf")
	if _, err := s.WriteFile(path); err != nil {
		t.Fatal(err)
	}
	run := func(name string, args ...string) string {
		out, err := exec.Command(name, args...).CombinedOutput()
		if err != nil {
			t.Errorf("%s: %v: %.300s", name, err, out)
		}
		return string(out)
	}
	if out := run("qpdf", "--check", path); !strings.Contains(out, "No syntax or stream encoding errors") {
		t.Errorf("qpdf: %s", out)
	}
	fonts := strings.Split(strings.TrimSpace(run("pdffonts", path)), "\n")[2:]
	for _, f := range fonts {
		if cells := strings.Fields(f); len(cells) < 5 || cells[len(cells)-5] != "yes" {
			t.Errorf("a font is not embedded: %s", f)
		}
	}
	if info := run("pdfinfo", path); len(fonts) == 0 || !regexp.MustCompile(`Title: +Wrenfold Community Garden\n`).MatchString(info) ||
		!regexp.MustCompile(`Author: +R\. Alder\n`).MatchString(info) {
		t.Errorf("%d fonts; pdfinfo: %s", len(fonts), info)
	}
	outline := run("qpdf", "--json", "--json-key=outlines", path)
	for _, page := range s.Pages {
		if !strings.Contains(outline, `"`+page.Name+`"`) {
			t.Errorf("no bookmark for %s", page.Name)
		}
	}
	all := run("qpdf", "--json", "--json-key=qpdf", path)
	for _, layer := range []string{"Beds", "Habitats", "Grid", "Names", "Legend", "Sun", "Reach", "Flowers"} {
		if !strings.Contains(all, `"u:`+layer+`"`) {
			t.Errorf("no layer %s", layer)
		}
	}
	if data, err := os.ReadFile(path); err != nil || bytes.Count(data, []byte("/Type /OCG")) < 8 {
		t.Errorf("few layers, %v", err)
	}
}
