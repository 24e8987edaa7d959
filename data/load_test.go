package data

import (
	"io/fs"
	"maps"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"hedgereach/data/season"
)

func mustLoad(t testing.TB) *Catalogue {
	t.Helper()
	c, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// The least numbers that make the catalogue worth opening.
func TestLoadSizes(t *testing.T) {
	c := mustLoad(t)
	if len(c.Guilds) != 21 || len(c.Plants) < 100 || len(c.Crops) < 50 || len(c.Pests) < 45 {
		t.Errorf("%d guilds, %d plants, %d crops, %d pests", len(c.Guilds), len(c.Plants), len(c.Crops), len(c.Pests))
	}
	for _, g := range c.Guilds {
		if c.Guild(g.ID) != g {
			t.Errorf("guild %s is not found by its id", g.ID)
		}
	}
	if c.Plant("no-such") != nil || c.Crop("") != nil || c.Pest("no-such") != nil || c.Source("no-such") != nil {
		t.Error("an unknown id is found")
	}
}

// Ids that plan files may hold do not change once published.
func TestGuildIDs(t *testing.T) {
	want := strings.Fields(`lady-beetles green-lacewings brown-lacewings hoverflies ground-beetles rove-beetles soldier-beetles
		predatory-bugs hunting-spiders money-spiders predatory-mites trichogramma anagrus aphid-parasitoids larger-parasitoids
		tachinids predatory-wasps small-bees large-solitary-bees bumble-bees honey-bees`)
	var got []string
	for _, g := range mustLoad(t).Guilds {
		got = append(got, g.ID)
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %v", got)
	}
}

func TestEveryFactHasASource(t *testing.T) {
	c := mustLoad(t)
	c.Origins(func(list, id, what string, o Origin) {
		if len(o.Sources) == 0 && o.Evidence != None {
			t.Errorf("%s, %s: %s has no source", list, id, what)
		}
		if o.Checked == "" && o.Evidence != None {
			t.Errorf("%s, %s: %s does not say how far it was checked", list, id, what)
		}
	})
	for _, p := range c.Pests { // a number without a source would slip through as "none"
		if p.LowerC == p.LowerC && p.DegreeDaysFrom.Evidence == None { // not NaN
			t.Errorf("%s: a degree-day threshold without a source", p.ID)
		}
	}
	for _, g := range c.Guilds {
		if g.HasRange() && len(g.Origin.Sources) == 0 {
			t.Errorf("%s: a range without a source", g.ID)
		}
	}
}

// broken is the embedded catalogue with one replacement in one file, which must occur.
func broken(t *testing.T, file, old, new string) fs.FS {
	t.Helper()
	m := fstest.MapFS{}
	names, err := fs.Glob(files, "*.csv")
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range names {
		text, err := files.ReadFile(n)
		if err != nil {
			t.Fatal(err)
		}
		if n == file {
			if !strings.Contains(string(text), old) {
				t.Fatalf("%s does not hold %q", file, old)
			}
			text = []byte(strings.Replace(string(text), old, new, 1))
		}
		m[n] = &fstest.MapFile{Data: text}
	}
	return m
}

func TestFaultsAreNamed(t *testing.T) {
	for _, f := range []struct{ what, file, old, new, want string }{
		{"pest of a crop", "crops.csv", "black-bean-aphid;slugs", "black-bean-aphids;slugs", `crops.csv:2: artichoke, pests: "black-bean-aphids" is not known: correct the id or add its row`},
		{"host of a pest", "pests.csv", "broccoli;brussels;cabbage;", "brocoli;brussels;cabbage;", `pests.csv:2: imported-cabbageworm, hosts: "brocoli" is not known`},
		{"one-sided host", "pests.csv", "broccoli;brussels;cabbage;", "brussels;cabbage;", `pest imported-cabbageworm does not list this crop as a host`},
		{"host that does not agree", "pests.csv", ",broccoli;brussels;cabbage;", ",artichoke;broccoli;brussels;cabbage;", `crop artichoke does not list this pest`},
		{"guild of a pest", "pests.csv", "ground-beetles;hunting-spiders;", "ground-beetle;hunting-spiders;", `pests.csv:2: imported-cabbageworm, guilds: "ground-beetle" is not known`},
		{"guild of a plant", "plants.csv", "lady-beetles;predatory-bugs;", "ladybirds;predatory-bugs;", `plants.csv:2: golden-alexanders, guilds: "ladybirds" is not known`},
		{"source", "plants.csv", "msu-plant-facts;fiedler", "msu-facts;fiedler", `golden-alexanders, guilds_sources: "msu-facts" is not known`},
		{"no source", "plants.csv", "msu-plant-facts;fiedler-landis-2007", "", `guilds_sources: empty: give at least one id`},
		{"bloom place", "plants.csv", "southern-michigan", "south-michigan", `golden-alexanders, bloom_place: a bloom window and its place go together`},
		{"same id twice", "plants.csv", "canada-anemone", "golden-alexanders", `plants.csv:3: golden-alexanders, id: the same id stands in line 2`},
		{"form of an id", "plants.csv", "canada-anemone", "Canada_anemone", `"Canada_anemone" is not an id`},
		{"number", "plants.csv", ",60,90,40,", ",60,tall,40,", `height_max_cm: "tall" is not a number from 1 to 5000`},
		{"NaN", "plants.csv", ",60,90,40,", ",60,NaN,40,", `"NaN" is not a number`},
		{"order", "plants.csv", ",60,90,40,", ",90,60,40,", `height_min_cm: 90 is more than the upper end, 60`},
		{"whole", "crops.csv", ",180,365,", ",180.5,365,", `days_min: 180.5 is not a whole number`},
		{"day", "plants.csv", "05-16,06-15", "05-32,06-15", `bloom_from: the window does not read: "05-32" is not a day of the year`},
		{"range order", "guilds.csv", ",30,75,200,", ",80,75,200,", `lady-beetles, typical_m: the ranges are not in order`},
		{"range without evidence", "guilds.csv", "our judgement,medium", "our judgement,none", `range_evidence: the grade does not fit the range`},
		{"shelter", "guilds.csv", "hedgerow;perennial-strip;beetle-bank", "hedge;perennial-strip;beetle-bank", `"hedge" is not one of the words`},
		{"mark", "plants.csv", "read at the source", "verified", `"verified" is not a mark`},
		{"memory without a grade", "crops.csv", "from memory (medium)", "from memory", `"from memory" is not a mark`},
		{"grade", "crops.csv", "from memory (medium),medium", "from memory (medium),sure", `"sure" is not one of the words`},
		{"travel", "guilds.csv", ",flies,", ",swims,", `"swims" is not one of the words: write one of flies, walks, drifts`},
		{"column missing", "crops.csv", "days_from", "days_since", `crops.csv:1: column "days_from" is missing: add it to the first line`},
		{"column twice", "crops.csv", "in_row_max_cm", "in_row_min_cm", `crops.csv:1: column "in_row_min_cm" stands there twice`},
		{"column unknown", "sources.csv", ",note\n", ",note,colour\n", `wrong number of fields`},
		{"quote", "crops.csv", "globe artichoke", `globe "artichoke`, `mend the commas and quotes of that line`},
		{"depth of an unknown crop", "sowing.csv", "asparagus,crown", "sparrow-grass,crown", `sowing.csv:3: sparrow-grass, id: there is no crop of that id`},
		{"depths the wrong way round", "sowing.csv", "15.2,20.3", "20.3,15.2", `depth_min_cm: 20.3 is more than the upper end, 15.2`},
		{"no depth", "sowing.csv", "15.2,20.3", ",20.3", `depth_min_cm: empty: give both ends`},
		{"classes", "crops.csv", "not for harvest", "vital", `pollination: "vital" is not one of the words`},
	} {
		t.Run(f.what, func(t *testing.T) {
			_, err := Read(broken(t, f.file, f.old, f.new))
			if err == nil || !strings.Contains(err.Error(), f.want) {
				t.Errorf("got %v\nwant … %s …", err, f.want)
			}
			if err != nil && strings.ContainsAny(err.Error(), "\n\r") {
				t.Errorf("more than one line: %q", err)
			}
		})
	}
}

func TestFilesThatAreNoTable(t *testing.T) {
	for text, want := range map[string]string{
		"":     "no first line with the names of the columns",
		"id\n": "holds no rows",
		"id,citation,doi,address,note,colour\na,b,,,,red\n": `column "colour" is not known`,
		"\ufeffid,citation,doi,address,note\na,b,,,\n":      "guilds.csv: cannot be read", // the byte order mark is no fault; the next file is
	} {
		_, err := Read(fstest.MapFS{"sources.csv": {Data: []byte(text)}})
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want … %s …", text, err, want)
		}
	}
	big := strings.Repeat(" ", maxFile+1)
	if _, err := Read(fstest.MapFS{"sources.csv": {Data: []byte(big)}}); err == nil || !strings.Contains(err.Error(), "larger than 4 MB") {
		t.Errorf("got %v", err)
	}
}

// The totals of the classes, read at the paper: 13 crops essential, 30 great, 27 modest, 21 little, 7 none. A catalogue of
// vegetables and small fruit can hold no more than that of each. Some of our crops are one in the paper (squashes and pumpkin
// are Cucurbita), so this is a loose bound.
func TestKleinTotals(t *testing.T) {
	want := map[string]int{"essential": 13, "great": 30, "modest": 27, "little": 21, "none": 7}
	count := mustLoad(t).CropsByClass()
	if len(Klein2007) != len(want) {
		t.Errorf("%d classes", len(Klein2007))
	}
	for _, k := range Klein2007 {
		if k.Crops != want[k.Class] {
			t.Errorf("%s: %d, the paper has %d", k.Class, k.Crops, want[k.Class])
		}
		if n := count[k.Class]; n == 0 || n > k.Crops {
			t.Errorf("%s: %d crops, the paper has %d", k.Class, n, k.Crops)
		}
		if !slices.Contains(Classes, k.Class) {
			t.Errorf("%s is no class of crops.csv", k.Class)
		}
	}
	if slices.Max(slices.Collect(maps.Values(count))) != count["not for harvest"] {
		t.Error("most vegetables are eaten as leaf, root or stem")
	}
}

// The placing of crops in the classes of Klein et al. 2007 comes from memory (high for these; the paper's second appendix was
// not at hand).
func TestKleinClasses(t *testing.T) {
	c := mustLoad(t)
	for class, ids := range map[string]string{
		"essential":       "squash-summer squash-winter pumpkin melon watermelon",
		"great":           "cucumber raspberry blackberry blueberry",
		"modest":          "strawberry eggplant okra bean-broad currant",
		"little":          "tomato-staked tomato-ground pepper bean-snap bean-pole",
		"not for harvest": "cabbage lettuce-leaf carrot onion beet radish celery",
	} {
		for id := range strings.FieldsSeq(ids) {
			if crop := c.Crop(id); crop == nil || crop.Pollination != class {
				t.Errorf("%s is not %s", id, class)
			}
		}
	}
}

// Plants in flower by half-month, 1 January first, as counted for the published list that the rows come from (grasses left
// out; rows for Southern Michigan, among them those of the eight Michigan State University fact sheets).
func TestBloomCountsMichigan(t *testing.T) {
	want := [season.HalfMonths]int{0, 0, 0, 0, 0, 0, 0, 0, 2, 10, 12, 16, 16, 20, 21, 17, 11, 4, 2, 0, 0, 0, 0, 0}
	var got [season.HalfMonths]int
	for _, p := range mustLoad(t).Plants {
		if !strings.HasPrefix(p.BloomWhere, "S Michigan") {
			continue
		}
		for h := range season.HalfMonth(season.HalfMonths) {
			if p.Bloom.Covers(h) {
				got[h]++
			}
		}
	}
	if got != want {
		t.Errorf("got  %v\nwant %v", got, want)
	}
}

// Distances of single studies that the ranges rest on, beside the paper.
func TestRangesAgainstStudies(t *testing.T) {
	c := mustLoad(t)
	for _, r := range []struct {
		guild             string
		low, typical, out float64
	}{
		{"aphid-parasitoids", 14, 15, 20}, // Tylianakis et al. 2004: none beyond 14 m; Weisser and Völkl 1997: up to 20 m
		{"hoverflies", 20, 50, 200},       // Lövei et al. 1998: up to 20 m; Wratten et al. 2003: up to 200 m
		{"bumble-bees", 70, 275, 630},     // Osborne et al. 1999: mean 275 m, 70–631 m
		{"anagrus", 18, 30, 100},          // Irvin et al. 2018: 18–30 m; Corbett and Rosenheim 1996: 100 m
		{"trichogramma", 4.3, 7.5, 15},    // Suverkropp et al. 2009: 7.5 m; McDougall and Mills 1997: under 10 % at 14 m
	} {
		g := c.Guild(r.guild)
		if g.LowM != r.low || g.TypicalM != r.typical || g.OuterM != r.out {
			t.Errorf("%s: %g, %g, %g m", g.ID, g.LowM, g.TypicalM, g.OuterM)
		}
	}
	for _, id := range []string{"money-spiders", "predatory-mites", "tachinids"} {
		if c.Guild(id).HasRange() {
			t.Errorf("%s has no published distance that limits a bed", id)
		}
	}
}

func BenchmarkRead(b *testing.B) {
	for b.Loop() {
		if _, err := Read(files); err != nil {
			b.Fatal(err)
		}
	}
}
