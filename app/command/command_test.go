package command

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/habitat/plan"
)

const sample = "../../data/sample/community-garden.hedgereach"

// run does a command and answers its exit code and what it wrote.
func run(t testing.TB, args ...string) (exit int, stdout, stderr string) {
	t.Helper()
	var out, err bytes.Buffer
	exit, handled := Run(args, &out, &err)
	if !handled {
		t.Fatalf("%q asks for the window", args)
	}
	return exit, out.String(), err.String()
}

func done(t testing.TB, args ...string) string {
	t.Helper()
	exit, out, err := run(t, args...)
	if exit != Done || err != "" {
		t.Fatalf("%q: exit %d, %s", args, exit, err)
	}
	return out
}

func gardenName(t *testing.T) string {
	t.Helper()
	p, err := plan.ReadFile(sample)
	if err != nil {
		t.Fatal(err)
	}
	return p.Name
}

func TestWhoGetsTheWindow(t *testing.T) {
	for _, args := range [][]string{nil, {"garden.hedgereach"}, {"./check"}} {
		if _, handled := Run(args, nil, nil); handled {
			t.Errorf("%q does not ask for the window", args)
		}
	}
}

func TestWrongUsageIsOneLineAndExit2(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"a", "b"}, `there is no command "a"`},
		{[]string{"chekc"}, `there is no command and no file "chekc"`},
		{[]string{"--json", "a"}, "there is no option --json before a command"},
		{[]string{"check"}, "check needs a file"},
		{[]string{"check", "--nonsense", sample}, "nonsense"},
		{[]string{"check", sample, "--range", "far"}, `"far" is not a length`},
		{[]string{"check", sample, "--range", "-3"}, "-3"},
		{[]string{"check", sample, "--range", "1000km"}, "1000km"},
		{[]string{"check", sample, "--on", "13-01"}, `"13-01" is not a day of the year`},
		{[]string{"check", sample, "--radius", "0"}, "a radius is more than 0"},
		{[]string{"sheet", sample}, "sheet needs -o"},
		{[]string{"sheet", "-o", "x.pdf"}, "sheet needs one file"},
		{[]string{"sheet", sample, "-o", "x.pdf", "--stakes", "one"}, "does not name two stakes"},
		{[]string{"sheet", sample, "-o", "x.pdf", "--spare", "some"}, "is not a share"},
		{[]string{"sheet", sample, "-o", "x.pdf", "--spare", "-5%"}, "is not from 0"},
		{[]string{"sheet", sample, "-o", "x.pdf", "--pattern", "hexes"}, "write square or triangular"},
		{[]string{"sheet", sample, "-o", "x.doc"}, `a sheet is a .pdf, .svg or .png, the planting list a .csv, not "x.doc"`},
		{[]string{"sheet", sample, "-o", "x.pdf", "--paper", "napkin"}, `"napkin" is not a paper size`},
		{[]string{"sheet", sample, "-o", "x.csv", "--sheets", "plot-map"}, "leave --sheets out"},
		{[]string{"sheet", sample, "-o", "x.pdf", "--scale", "big"}, `"big" is not a scale: write it like 1:200`},
		{[]string{"sheet", sample, "-o", "x.pdf", "--portrait", "--landscape"}, "not both"},
		{[]string{"sheet", sample, "-o", "x.pdf", "--sheets", "plot-map,poem"}, `"poem" is not a sheet: use plot-map, reach-map, `},
		{[]string{"sheet", sample, "-o", "x.pdf", "--date", "tomorrow"}, `"tomorrow" is not a date: write it like 2026-03-01`},
		{[]string{"sheet", sample, "-o", "x.pdf", "--guild", "dragons"}, `there is no guild "dragons"`},
		{[]string{"convert", sample}, "convert needs two files"},
		{[]string{"convert", sample, "x.doc"}, `convert writes .hedgereach and .geojson files, not "x.doc"`},
		{[]string{"convert", sample, sample}, "is both the input and the output"},
	} {
		exit, out, err := run(t, c.args...)
		if exit != Wrong || out != "" || !strings.Contains(err, c.want) || strings.Count(err, "\n") != 1 {
			t.Errorf("%q: exit %d, %q, %q; want 2 and %s", c.args, exit, out, err, c.want)
		}
	}
}

func TestHelp(t *testing.T) {
	for _, args := range [][]string{{"help"}, {"--help"}, {"-h"}, {"check", "--help"}, {"sheet", "-h"}} {
		if out := done(t, args...); out != usage() {
			t.Errorf("%q writes %q", args, out)
		}
	}
}

// Whatever comes is refused in one line that names the file, with exit code 1, and nothing is written.
func TestBadInputIsOneLineAndExit1(t *testing.T) {
	bad, err := filepath.Glob("../../habitat/plan/testdata/bad/*")
	if err != nil || len(bad) < 40 {
		t.Fatal(len(bad), err)
	}
	bad = append(bad, "missing.hedgereach", t.TempDir())
	dir := t.TempDir()
	for _, file := range bad {
		for _, args := range [][]string{{"check", file}, {"check", "--json", file},
			{"convert", file, filepath.Join(dir, "x.geojson")},
			{"sheet", file, "-o", filepath.Join(dir, "x.pdf")}} {
			exit, out, err := run(t, args...)
			if exit != Fail || out != "" || !strings.Contains(err, file+": ") || strings.Count(err, "\n") != 1 {
				t.Errorf("%q: exit %d, %q, %q", args, exit, out, err)
			}
		}
	}
	if left, _ := os.ReadDir(dir); len(left) != 0 {
		t.Errorf("something was written: %v", left)
	}
}

func TestAnOldOutputSurvivesFailure(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"old.geojson", "old.pdf"} {
		old := filepath.Join(dir, name)
		if err := os.WriteFile(old, []byte("old"), 0o600); err != nil {
			t.Fatal(err)
		}
		bad := "../../habitat/plan/testdata/bad/bow-tie.hedgereach"
		args := []string{"convert", bad, old}
		if name == "old.pdf" {
			args = []string{"sheet", bad, "-o", old}
		}
		if exit, _, _ := run(t, args...); exit != Fail {
			t.Errorf("%q: exit %d", args, exit)
		}
		if got, _ := os.ReadFile(old); string(got) != "old" {
			t.Errorf("%s holds %q", name, got)
		}
	}
	for _, args := range [][]string{{"convert", sample, filepath.Join(dir, "none", "x.geojson")},
		{"sheet", sample, "-o", filepath.Join(dir, "none", "x.pdf")}} {
		if exit, _, err := run(t, args...); exit != Fail || strings.Count(err, "\n") != 1 || !strings.Contains(err, "none") {
			t.Errorf("%q: exit %d, %q", args, exit, err)
		}
	}
}

func TestOneBadFileDoesNotStopTheRest(t *testing.T) {
	exit, out, err := run(t, "check", "missing.hedgereach", sample)
	if exit != Fail || !strings.Contains(out, gardenName(t)) || strings.Count(err, "\n") != 1 {
		t.Errorf("exit %d, %q", exit, err)
	}
	exit, out, _ = run(t, "check", "--json", sample, "missing.hedgereach", sample)
	d, n := json.NewDecoder(strings.NewReader(out)), 0
	for d.More() {
		var r map[string]any
		if err := d.Decode(&r); err != nil {
			t.Fatal(err)
		}
		n++
	}
	if exit != Fail || n != 2 {
		t.Errorf("exit %d, %d reports", exit, n)
	}
}

// The members that scripts may count on. More may be added; these may not go or change their type.
func TestTheJSONReportHasItsMembers(t *testing.T) {
	var got map[string]any
	if err := json.Unmarshal([]byte(done(t, "check", sample, "--json", "--range", "20", "--range", "200 ft", "--on",
		"06-16")), &got); err != nil {
		t.Fatal(err)
	}
	kind := func(v any) string {
		switch v.(type) {
		case string:
			return "text"
		case float64:
			return "number"
		case []any:
			return "list"
		case map[string]any:
			return "object"
		}
		return fmt.Sprintf("%T", v)
	}
	has := func(where string, v any, members map[string]string) {
		t.Helper()
		m, _ := v.(map[string]any)
		for name, want := range members {
			if got := kind(m[name]); got != want {
				t.Errorf("%s.%s is %s, want %s", where, name, got, want)
			}
		}
	}
	first := func(v any, name string) any { return v.(map[string]any)[name].([]any)[0] }
	has("report", got, map[string]string{"plan": "text", "site": "object", "beds": "list", "findings": "list"})
	has("site", got["site"], map[string]string{"area_m2": "number", "beds": "number", "habitat_m2": "number",
		"flowering_cover": "list", "bloom_gaps": "list"})
	has("site.flowering_cover", first(got["site"], "flowering_cover"),
		map[string]string{"half_month": "text", "area_m2": "number", "fraction": "number", "species": "number"})
	bed := first(got, "beds")
	has("bed", bed, map[string]string{"id": "text", "name": "text", "area_m2": "number", "refuge": "object", "reach": "list",
		"guilds": "list", "flowering_cover": "list"})
	has("bed.refuge", bed.(map[string]any)["refuge"], map[string]string{"id": "text", "name": "text", "nearest_m": "number",
		"farthest_m": "number", "mean_m": "number", "farthest_id": "text"})
	has("bed.reach", first(bed, "reach"), map[string]string{"range_m": "number", "within_fraction": "number", "decided_by": "text"})
	has("bed.guilds", first(bed, "guilds"), map[string]string{"guild": "text", "typical_m": "number", "nearest_m": "number",
		"farthest_m": "number", "mean_m": "number", "within_fraction": "number", "status": "text", "nearest_id": "text",
		"farthest_id": "text", "band": "list", "band_says": "text"})
	has("bed.guilds.band", first(first(bed, "guilds"), "band"), map[string]string{"end": "text", "range_m": "number",
		"within_fraction": "number", "status": "text", "decided_by": "text"})
	has("bed.flowering_cover", first(bed, "flowering_cover"), map[string]string{"half_month": "text", "radius_m": "number",
		"area_m2": "number", "fraction": "number"})
	has("finding", first(got, "findings"), map[string]string{"rule": "text", "key": "text", "severity": "text", "features": "list",
		"message": "text", "source": "text"})
	has("report", got, map[string]string{"year": "number", "trap_crops": "list", "bloom_periods": "list", "diversity": "object"})
	has("trap_crops", first(got, "trap_crops"), map[string]string{"id": "text", "protects": "list", "pest": "text", "study": "text",
		"verdict": "text", "short": "list", "share": "number", "gap_m": "number", "closed": "number", "lead_weeks": "number"})
	has("bloom_periods", first(got, "bloom_periods"), map[string]string{"name": "text", "from": "text", "to": "text", "species": "number"})
	var timed any
	for _, p := range bed.(map[string]any)["pests"].([]any) {
		if p.(map[string]any)["time"] != nil {
			timed = p
			break
		}
	}
	has("bed.pests", timed, map[string]string{"crop": "text", "pest": "text", "time": "object", "half_months": "list", "covered": "list",
		"standing": "text", "guilds": "list", "line": "text", "sources": "list", "evidence": "text"})
	has("bed.pests.time", timed.(map[string]any)["time"], map[string]string{"what": "text", "from": "text", "to": "text", "basis": "text"})
	has("bed.pests.guilds", first(timed, "guilds"), map[string]string{"guild": "text", "status": "text", "best": "text"})
	accepted := 0
	for _, f := range got["findings"].([]any) {
		if a := f.(map[string]any)["accepted"]; a != nil {
			accepted++
			has("finding.accepted", a, map[string]string{"reason": "text", "date": "text"})
		}
	}
	if accepted != 1 {
		t.Errorf("%d findings are accepted, the sample accepts one", accepted)
	}
	if n := len(got["beds"].([]any)); n != 40 {
		t.Errorf("%d beds, the sample has 40", n)
	}
	reach := bed.(map[string]any)["reach"].([]any)
	if len(reach) != 2 || reach[1].(map[string]any)["range_m"] != 60.96 {
		t.Errorf("reach = %v, want rows for 20 m and 60.96 m", reach)
	}
}

func TestThereIsNoRefugeWithoutOne(t *testing.T) {
	p := plan.New("Bare")
	p.Features = []*plan.Feature{plan.NewFeature(plan.Bed, "Bed", orb.Polygon{{{0, 0}, {10, 0}, {10, 1}, {0, 1}, {0, 0}}})}
	path := filepath.Join(t.TempDir(), "bare.hedgereach")
	if err := plan.WriteFile(path, p); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Beds []struct {
			Refuge any
			Guilds []struct {
				Guild     string
				Status    string
				Nearest_m any
			}
		}
		Site struct {
			Bloom_gaps any
		}
	}
	if err := json.Unmarshal([]byte(done(t, "check", "--json", path)), &got); err != nil {
		t.Fatal(err)
	}
	if got.Beds[0].Refuge != nil || !reflect.DeepEqual(got.Site.Bloom_gaps, []any{}) {
		t.Errorf("refuge = %v, gaps = %v", got.Beds[0].Refuge, got.Site.Bloom_gaps)
	}
	if _, report, _ := run(t, "check", path); !strings.Contains(report, "; 1 bed, ") {
		t.Errorf("one bed: %.200s", report)
	}
	for _, g := range got.Beds[0].Guilds {
		if g.Nearest_m != nil || g.Status != "beyond" && g.Status != "unknown" {
			t.Errorf("guild %+v", g)
		}
	}
	if out := done(t, "check", path); !strings.Contains(out, "–") || !strings.Contains(out, "No refuge") {
		t.Error(out)
	}
}

func TestTheTextReportSaysWhatTheJSONSays(t *testing.T) {
	out := done(t, "check", sample, "--range", "20")
	for _, want := range []string{gardenName(t), "40 beds", "nearest", "farthest", "mean", "in 20 m", "75 m (30 m to 200 m)", "within at best, beyond at worst (", "Ground beetles, 60 m",
		"bloom gap",
		"Findings", "Warning: Beds beyond range.", "Mend: ", "Source: ", "kept out by the cover", "Enemies in reach and fed when they come:",
		"Cover on at flowering.", "\nLet stand\n", "Let stand on 14 February 2026: The beetles come from the lane"} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
	for _, line := range strings.Split(out, "\n") {
		if n := len([]rune(line)); n > 110 {
			t.Errorf("a line of %d characters: %s", n, line)
		}
	}
}

func TestConvertGoesThereAndBack(t *testing.T) {
	dir := t.TempDir()
	geo, back := filepath.Join(dir, "a.geojson"), filepath.Join(dir, "b.hedgereach")
	done(t, "convert", sample, geo)
	done(t, "convert", geo, back)
	was, _ := os.ReadFile(sample)
	if got, _ := os.ReadFile(back); !slices.Equal(got, was) {
		t.Error("the sample garden came back changed")
	}
	walk := filepath.Join(dir, "walk.hedgereach")
	exit, _, notes := run(t, "convert", "../../habitat/plan/testdata/walked/walk.gpx", walk)
	if exit != Done || !strings.Contains(notes,
		"walk.gpx: note: \"Round the garden\" has no kind and was taken for a boundary") {
		t.Errorf("exit %d, %q", exit, notes)
	}
	done(t, "check", walk)
}

func TestSheetWritesEachFormat(t *testing.T) {
	dir := t.TempDir()
	for name, begins := range map[string]string{"a.pdf": "%PDF-", "a.svg": "<", "a.png": "\x89PNG"} {
		out := done(t, "sheet", sample, "-o", filepath.Join(dir, name), "--guild", "ground-beetles", "--paper", "a4", "--sheets", "plot-map")
		path := filepath.Join(dir, name)
		if files := strings.Fields(out); len(files) > 0 {
			path = files[0]
		}
		if got, err := os.ReadFile(path); err != nil || !strings.HasPrefix(string(got), begins) {
			t.Errorf("%s: %v, begins %.10q", name, err, got)
		}
	}
}

// BenchmarkCheck is the whole command but for the start of the process, on 500 features.
func BenchmarkCheck(b *testing.B) {
	p := plan.New("500 features")
	p.Place = &plan.Place{Latitude: 44, Longitude: -72.5, LastFrost: 130, FirstFrost: 274}
	box := func(x, y, w, h float64) orb.Polygon {
		return orb.Polygon{{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}}}
	}
	p.Features = append(p.Features, plan.NewFeature(plan.Boundary, "Field", box(-10, -10, 300, 300)))
	for i := range 499 {
		x, y := float64(i%20)*14, float64(i/20)*11
		f := plan.NewFeature(plan.Bed, fmt.Sprint("Bed ", i), box(x, y, 10, 2))
		f.Crops = []plan.Planting{{Crop: "kale", Share: 1}}
		if i%5 == 0 {
			f.Kind, f.Crops = plan.PerennialStrip, nil
			f.Plants = []plan.Growing{{Plant: "yarrow", Share: 0.4}, {Plant: "golden-alexanders", Share: 0.3}}
		}
		p.Features = append(p.Features, f)
	}
	path := filepath.Join(b.TempDir(), "big.hedgereach")
	if err := plan.WriteFile(path, p); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		done(b, "check", path, "--json", "--range", "20")
	}
}

// A guild that walks has to go round a building of 20 m that stands between the hedge and the bed; one that flies has not.
func TestTheJSONReportGivesTheWayOnFootAndTheStraightLine(t *testing.T) {
	box := func(x0, y0, x1, y1 float64) orb.Polygon {
		return orb.Polygon{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}}
	}
	p := plan.New("Behind a barn")
	p.Features = []*plan.Feature{plan.NewFeature(plan.Hedgerow, "Hedge", box(0, 9, 1, 11)),
		plan.NewFeature(plan.Building, "Barn", box(5, 0, 9, 20)), plan.NewFeature(plan.Bed, "Bed", box(11, 9, 12, 11))}
	path := filepath.Join(t.TempDir(), "barn.hedgereach")
	if err := plan.WriteFile(path, p); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Beds []struct {
			Guilds []struct {
				Guild                           string
				Nearest_m, Straight_nearest_m   *float64
				Farthest_m, Straight_farthest_m *float64
			}
		}
	}
	if err := json.Unmarshal([]byte(done(t, "check", "--json", path)), &got); err != nil {
		t.Fatal(err)
	}
	for _, g := range got.Beds[0].Guilds {
		switch g.Guild {
		case "ground-beetles":
			// From (1, 11) by the barn's corners (5, 20) and (9, 20) to (11, 11): √(4²+9²) + 4 + √(2²+9²).
			if want := math.Hypot(4, 9) + 4 + math.Hypot(2, 9); g.Straight_nearest_m == nil || *g.Straight_nearest_m != 10 ||
				math.Abs(*g.Nearest_m-want) > 0.002 || g.Straight_farthest_m == nil {
				t.Errorf("%s: %v on foot, want %v; straight %v", g.Guild, *g.Nearest_m, want, g.Straight_nearest_m)
			}
		case "lady-beetles":
			if g.Straight_nearest_m != nil || g.Nearest_m == nil || *g.Nearest_m != 10 {
				t.Errorf("%s: %v, straight %v", g.Guild, g.Nearest_m, g.Straight_nearest_m)
			}
		}
	}
}

// A station's file dates pests by degree-days: the second flies of cabbage maggot come on 2 July in a year of 10 to 20 °C (see the table
// of the University of Wisconsin, 1476 °F days above 43 °F from 1 April, 16 a day).
func TestCheckTakesWeather(t *testing.T) {
	dir := t.TempDir()
	var b strings.Builder
	b.WriteString("date,tmin_c,tmax_c\n")
	for i := range 365 {
		fmt.Fprintf(&b, "%s,10,20\n", time.Date(2025, 1, 1+i, 0, 0, 0, 0, time.UTC).Format(time.DateOnly))
	}
	csv := filepath.Join(dir, "hill.csv")
	if err := os.WriteFile(csv, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	out := done(t, "check", sample, "--json", "--weather", csv)
	if !strings.Contains(out, "flies, 2nd generation about 2 Jul (degree-days, Wisconsin)") {
		t.Error("no pest is dated by the file")
	}
	if was := done(t, "check", sample, "--json"); strings.Contains(was, "flies, 2nd generation about 2 Jul (degree-days, Wisconsin)") {
		t.Error("the plan's own weather dates it so, too")
	}
	bad := filepath.Join(dir, "bad.csv")
	if err := os.WriteFile(bad, []byte("date,tmin_c,tmax_c\n2025-01-01,10,cold\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, file := range []string{bad, filepath.Join(dir, "none.csv")} {
		if exit, _, errs := run(t, "check", sample, "--weather", file); exit != Fail || !strings.Contains(errs, file) || strings.Count(errs, "\n") != 1 {
			t.Errorf("%s: exit %d, %q", file, exit, errs)
		}
	}
}

// The sheets that are named, in the table's order, with author, date and version of one's own, cut into tiles where the scale is large.
func TestSheetOptions(t *testing.T) {
	dir := t.TempDir()
	out := done(t, "sheet", sample, "-o", filepath.Join(dir, "x.svg"), "--own", "none", "--sheets", "flower-map,plot-map", "--scale", "1:400", "--big", "--grey",
		"--author", "R. Alder", "--date", "2026-03-01", "--plan-version", "Draft 3", "--notes", "Mind the dog.", "--on", "06-01")
	files := strings.Fields(out)
	if len(files) < 6 {
		t.Fatalf("%q", out)
	}
	read := func(path string) string {
		b, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	first := read(files[0])
	for _, want := range []string{"R. Alder", "1 Mar 2026", "Draft 3", "tiles 1:400"} {
		if !strings.Contains(first, want) {
			t.Errorf("the plot map does not say %q", want)
		}
	}
	all := ""
	for _, f := range files {
		all += read(f)
	}
	for _, want := range []string{"Mind the dog.", "Tile 1 of ", "Small maps at "} {
		if !strings.Contains(all, want) {
			t.Errorf("no sheet says %q", want)
		}
	}
	for _, not := range []string{"Where this comes from", "Reach of"} {
		if strings.Contains(all, not) {
			t.Errorf("a sheet that was not named says %q", not)
		}
	}
}
