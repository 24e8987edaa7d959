package data

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	_ "hedgereach/geometry/repeatable"
)

// The signs that begin a formula are those of the OWASP page on CSV injection: = + - @ tab and carriage return.
func TestCSVIsSafeAndLossless(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.StringOf(rapid.RuneFrom([]rune("'=+-@\t\n,\";a1é ")))
		row := rapid.SliceOfN(cell, 2, 4)
		rows := rapid.SliceOfN(row, 1, 4).Draw(t, "rows")
		var b bytes.Buffer
		if err := WriteCSV(&b, rows); err != nil {
			t.Fatal(err)
		}
		in := csv.NewReader(&b)
		in.FieldsPerRecord = -1
		got, err := in.ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		for i, r := range got {
			for j, c := range r {
				if c != "" && strings.Contains("=+-@\t\r", c[:1]) {
					t.Fatalf("%q begins a formula", c)
				}
				got[i][j] = plain(c)
			}
		}
		if !reflect.DeepEqual(got, rows) {
			t.Fatalf("got %q, want %q", got, rows)
		}
	})
}

func sampleOwn() *Personal {
	return &Personal{File: "mine.csv", Entries: []OwnEntryRow{
		{List: "plant", ID: "borage", Source: "=own notes, 2023–24", Cells: map[string]string{"bloom_from": "06-20", "bloom_to": "09-10"}},
		{List: "plant", ID: "sneezeweed", Source: "seed merchant's leaflet", Cells: map[string]string{"name": "sneezeweed",
			"scientific": "Helenium autumnale", "bloom_from": "08-01", "bloom_to": "09-30", "height_min_cm": "60", "height_max_cm": "150",
			"spacing_cm": "45", "zone_min": "3", "caution": "-poisonous to stock", "dangers": "toxic-to-stock", "guilds": "hoverflies;small-bees"}},
		{List: "crop", ID: "tomatillo", Source: "own bed, 2024", Cells: map[string]string{"name": "tomatillo", "pollination": "great",
			"in_row_min_cm": "60", "in_row_max_cm": "90", "pests": "colorado-potato-beetle"}},
		{List: "crop", ID: "okra", Source: "own bed, 2024", Cells: map[string]string{"pests": "corn-earworm;slugs"}},
		{List: "guild", ID: "hoverflies", Source: "counted in the beds, 2024", Cells: map[string]string{"typical_m": "80"}},
	}}
}

func TestMerge(t *testing.T) {
	base := mustLoad(t)
	before := fmt.Sprintf("%+v %+v %+v %+v", *base.Plant("borage"), *base.Crop("okra"), *base.Pest("slugs"), *base.Guild("hoverflies"))
	c, err := Merge(base, sampleOwn())
	if err != nil {
		t.Fatal(err)
	}
	b, old := c.Plant("borage"), base.Plant("borage")
	if b.Bloom.From.String() != "06-20" || b.Bloom.To.String() != "09-10" || b.BloomPlace.ID != "" {
		t.Errorf("borage flowers %s at %q", b.Bloom.Label(), b.BloomPlace.ID)
	}
	if b.TraitsFrom.Checked != OwnEntry || c.Source(b.TraitsFrom.Sources[0]).Citation != "Your own entry: =own notes, 2023–24" {
		t.Errorf("borage: %+v", b.TraitsFrom)
	}
	if b.HeightMaxCM != old.HeightMaxCM || !reflect.DeepEqual(b.GuildsFrom, old.GuildsFrom) || !slices.Equal(b.Dangers, old.Dangers) ||
		b.Listed != old.Listed {
		t.Errorf("borage lost what was not replaced: %+v", b)
	}
	if n := c.Plant("sneezeweed"); n == nil || !n.Is(ToxicToStock) || n.Family != "not given" || c.Plants[len(c.Plants)-1] != n {
		t.Errorf("sneezeweed: %+v", n)
	}
	if x := c.Crop("tomatillo"); x == nil || !slices.Contains(c.Pest("colorado-potato-beetle").Hosts, "tomatillo") {
		t.Errorf("tomatillo: %+v", x)
	}
	if !slices.Contains(c.Pest("slugs").Hosts, "okra") || slices.Contains(c.Pest("melon-aphid").Hosts, "okra") {
		t.Error("the pests do not follow okra")
	}
	if g := c.Guild("hoverflies"); g.LowM != 20 || g.TypicalM != 80 || g.OuterM != 200 || g.Origin.Checked != OwnEntry || g.BiologyFrom.Checked == OwnEntry {
		t.Errorf("hoverflies: %+v", g)
	}
	if after := fmt.Sprintf("%+v %+v %+v %+v", *base.Plant("borage"), *base.Crop("okra"), *base.Pest("slugs"), *base.Guild("hoverflies")); after != before {
		t.Error("the base changed")
	}
	if len(c.Plants) != len(base.Plants)+1 || len(c.Crops) != len(base.Crops)+1 || base.Plant("sneezeweed") != nil {
		t.Error("the lists do not fit")
	}
	if again, err := Merge(c, sampleOwn()); err != nil || len(again.Plants) != len(c.Plants) || len(again.Sources) != len(c.Sources) {
		t.Errorf("merging twice: %v", err)
	}
}

// An entry that repeats what the catalogue says leaves it as it is, but for the mark: nothing is lost on the way through a file.
func TestMergeOfEverything(t *testing.T) {
	base := mustLoad(t)
	own := &Personal{File: "all.csv"}
	take := func(list, id string) {
		e, ok := base.Own(list, id)
		if !ok {
			t.Fatalf("%s %s is not found", list, id)
		}
		e.Source = "copy"
		own.Entries = append(own.Entries, e)
	}
	for _, p := range base.Plants {
		take("plant", p.ID)
	}
	for _, p := range base.Crops {
		take("crop", p.ID)
	}
	for _, g := range base.Guilds {
		if g.TypicalM > 0 {
			take("guild", g.ID)
		}
	}
	path := filepath.Join(t.TempDir(), "all.csv")
	if err := SavePersonal(path, own); err != nil {
		t.Fatal(err)
	}
	read, err := LoadPersonal(path)
	if err != nil {
		t.Fatal(err)
	}
	c, err := Merge(base, read)
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range c.Plants {
		q := *p
		old := *base.Plants[i]
		q.GuildsFrom, q.TraitsFrom, q.CautionsFrom, q.BloomPlace, q.BloomWhere = old.GuildsFrom, old.TraitsFrom, old.CautionsFrom, old.BloomPlace, old.BloomWhere
		if !reflect.DeepEqual(q, old) {
			t.Errorf("got  %+v\nwant %+v", q, old)
		}
	}
	for i, p := range c.Crops {
		q := *p
		old := *base.Crops[i]
		q.SpacingFrom, q.DaysOrigin, q.PollenFrom, q.CautionsFrom = old.SpacingFrom, old.DaysOrigin, old.PollenFrom, old.CautionsFrom
		if !reflect.DeepEqual(q, old) {
			t.Errorf("got  %+v\nwant %+v", q, old)
		}
	}
	for i, p := range c.Pests {
		if p != base.Pests[i] {
			t.Errorf("%s changed", p.ID)
		}
	}
	for i, g := range c.Guilds {
		q := *g
		q.Origin = base.Guilds[i].Origin
		if !reflect.DeepEqual(q, *base.Guilds[i]) {
			t.Errorf("%s changed", g.ID)
		}
	}
}

func TestPersonalRoundTrip(t *testing.T) {
	path := filepath.Join(t.TempDir(), "mine.csv")
	want := sampleOwn()
	if err := SavePersonal(path, want); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(path)
	if err != nil || !strings.Contains(string(text), ",\"'=own notes, 2023–24\",") || !strings.Contains(string(text), ",'-poisonous to stock,") {
		t.Errorf("%v: %s", err, text)
	}
	got, err := LoadPersonal(path)
	if err != nil {
		t.Fatal(err)
	}
	for i := range got.Entries {
		got.Entries[i].line = 0
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if _, err := LoadPersonal(filepath.Join(t.TempDir(), "none.csv")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("got %v", err)
	}
	left, err := os.ReadDir(filepath.Dir(path))
	if err != nil || len(left) != 1 {
		t.Errorf("left behind: %v", left)
	}
	bad := sampleOwn()
	bad.Entries[0].Source = ""
	if err := SavePersonal(path, bad); err == nil || !strings.Contains(err.Error(), "mine.csv:2: borage, source: empty") {
		t.Errorf("got %v", err)
	}
	if now, err := os.ReadFile(path); err != nil || !bytes.Equal(now, text) {
		t.Error("a failed save changed the file")
	}
}

func TestPersonalFaults(t *testing.T) {
	const head = "list,id,source,name,scientific,bloom_from,bloom_to,guilds,low_m,typical_m,outer_m,pollination,pests,zone_min\n"
	long := strings.Repeat("x", MaxOwnCell+1)
	for text, want := range map[string]string{
		"":                 "mine.csv: no first line with the names of the columns",
		"list;id;source\n": "mine.csv:1: the columns are not parted by commas",
		"plant\n":          `mine.csv:1: column "list" is missing`,
		"id,source\na,b\n": `mine.csv:1: column "list" is missing`,
		"list,id,source,hue\nplant,borage,x,red\n":                     `mine.csv:1: column "hue" is not known`,
		"list,id,source\nplant,borage\n":                               "wrong number of fields",
		"list,id,source\nplant,borage,\n":                              "mine.csv:2: borage, source: empty: say where you have it from",
		"list,id,source\nweed,borage,x\n":                              `mine.csv:2: borage, list: "weed" is not a list: write plant, crop or guild`,
		"list,id,source\nplant,Borage,x\n":                             `mine.csv:2: id: "Borage" is not an id`,
		"list,id,source\nplant,borage," + long + "\n":                  "a cell of more than 1000 characters",
		"list,id,source\nplant,borage,\"a\nb\"\n":                      "source: longer than 1000 characters or with a line break",
		"list,id,source\nplant,borage,\xff\n":                          "not UTF-8 text",
		"list,id,source\nplant,borage,x\n\nplant,borage,y\n":           "mine.csv:4: borage, id: the same id stands in line 2",
		head + "plant,borage,x,,,,,,5,,,,,\n":                          "mine.csv:2: borage, low_m: not a column of a plant",
		head + "plant,borage,x,,,06-40,07-01,,,,,,,\n":                 `mine.csv:2: borage, bloom_from: the window does not read: "06-40" is not a day`,
		head + "plant,borage,x,,,,,bats,,,,,,\n":                       `mine.csv:2: borage, guilds: "bats" is not known`,
		head + "plant,new,x,,,,,hoverflies,,,,,,\n":                    "mine.csv:2: new, name: empty: fill it in",
		head + "plant,new,x,New,,,,,,,,,,\n":                           "mine.csv:2: new, guilds: empty: give at least one id",
		head + "plant,new,x,New,Conium maculatum,,,hoverflies,,,,,,\n": "mine.csv:2: new, scientific: poison hemlock (Conium) must not be planted: deadly",
		head + "crop,new,x,New,,,,,,,,,,\n":                            `mine.csv:2: new, pollination: "" is not one of the words: write one of essential`,
		head + "crop,okra,x,,,,,,,,,,aphids,\n":                        `mine.csv:2: okra, pests: "aphids" is not known`,
		head + "guild,bats,x,,,,,,10,20,30,,,\n":                       "mine.csv:2: bats, id: there is no such guild",
		head + "guild,hoverflies,x,,,,,,,500,,,,\n":                    "mine.csv:2: hoverflies, typical_m: the ranges are not in order",
		head + "guild,tachinids,x,,,,,,10,,30,,,\n":                    "mine.csv:2: tachinids, typical_m: empty",
		head + "plant,borage,x,,,,,,,,,,,=2+3\n":                       `mine.csv:2: borage, zone_min: "=2+3" is not a number from 1 to 13`,
	} {
		p, err := ReadPersonal(strings.NewReader(text), "mine.csv")
		if err == nil {
			_, err = Merge(mustLoad(t), p)
		}
		if err == nil || !strings.Contains(err.Error(), want) || strings.ContainsAny(err.Error(), "\r\n") {
			t.Errorf("%q:\ngot  %v\nwant … %s …", text, err, want)
		}
	}
	rows := "list,id,source\n" + strings.Repeat("plant,a,x\n", MaxOwnEntries+1)
	if _, err := ReadPersonal(strings.NewReader(rows), "mine.csv"); err == nil || !strings.Contains(err.Error(), "more than 2000 rows") {
		t.Errorf("got %v", err)
	}
	if _, err := ReadPersonal(strings.NewReader(strings.Repeat(" ", maxPersonalFile+1)), "mine.csv"); err == nil || !strings.Contains(err.Error(), "larger than 1 MB") {
		t.Errorf("got %v", err)
	}
	if p, err := ReadPersonal(strings.NewReader("list,id,source\n"), "mine.csv"); err != nil || len(p.Entries) != 0 {
		t.Errorf("an empty catalogue: %v", err)
	}
}

// A plant that is never offered on one continent may be grown on another, and says so.
func TestMergeMarksWhatIsNotOffered(t *testing.T) {
	own := &Personal{Entries: []OwnEntryRow{{List: "plant", ID: "loosestrife", Source: "x", Cells: map[string]string{"name": "purple loosestrife",
		"scientific": "Lythrum salicaria", "guilds": "hoverflies"}}}}
	c, err := Merge(mustLoad(t), own)
	if err != nil {
		t.Fatal(err)
	}
	if p := c.Plant("loosestrife"); !slices.Equal(p.NotOfferedIn, []string{NorthAmerica}) || !slices.Equal(p.InvasiveIn, []string{NorthAmerica}) {
		t.Errorf("%+v", p)
	}
}

func FuzzReadPersonal(f *testing.F) {
	f.Add([]byte("list,id,source\nplant,borage,x\n"))
	var b bytes.Buffer
	if err := WritePersonal(&b, sampleOwn()); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes())
	c := mustLoad(f)
	f.Fuzz(func(t *testing.T, text []byte) {
		p, err := ReadPersonal(bytes.NewReader(text), "mine.csv")
		if err != nil {
			return
		}
		if _, err := Merge(c, p); err != nil && strings.ContainsAny(err.Error(), "\r\n") {
			t.Errorf("more than one line: %q", err)
		}
		if err := WritePersonal(&bytes.Buffer{}, p); err != nil {
			t.Errorf("what was read cannot be written: %v", err)
		}
	})
}

// Of entries some of which do not fit the others count, and the catalogue is as if the unfit had never been tried.
func TestMergeFitting(t *testing.T) {
	base, err := Merge(mustLoad(t), &Personal{Entries: []OwnEntryRow{{List: "plant", ID: "borage", Source: "first", Cells: map[string]string{"note": "mine"}}}})
	if err != nil {
		t.Fatal(err)
	}
	sources := len(base.Sources)
	own := InPlan([]OwnEntryRow{
		{List: "plant", ID: "borage", Source: "second", Cells: map[string]string{"zone_min": "99"}},
		{List: "crop", ID: "oca", Source: "third", Cells: map[string]string{"name": "oca", "pollination": "perhaps"}},
		{List: "guild", ID: "gnomes", Source: "fourth"},
		{List: "soil", ID: "loam", Source: "fifth"},
		{List: "guild", ID: "hoverflies", Source: "sixth", Cells: map[string]string{"outer_m": "333"}},
		{List: "guild", ID: "hoverflies", Source: "seventh", Cells: map[string]string{"outer_m": "444"}},
	})
	c, errs := MergeFitting(base, own)
	var got []string
	for _, err := range errs {
		got = append(got, err.Error())
	}
	for i, want := range []string{"the plan's own entries:1: borage, zone_min: ", "the plan's own entries:2: oca, pollination: ",
		"the plan's own entries:3: gnomes, id: there is no such guild", `the plan's own entries:4: loam, list: "soil" is not a list`,
		"the plan's own entries:6: hoverflies, id: the same id stands in line 5"} {
		if len(got) != 5 || !strings.HasPrefix(got[i], want) {
			t.Fatalf("errors %q, want %q", got, want)
		}
	}
	if c.Guild("hoverflies").OuterM != 333 || c.Crop("oca") != nil || c.IsOwn("crop", "oca") || c.IsOwn("guild", "gnomes") {
		t.Error("the one that fits does not count, or one that does not fit does")
	}
	if s := c.Source("own-plant-borage"); s == nil || s.Citation != "Your own entry: first" {
		t.Errorf("the source of what was there before is %+v", s)
	}
	if s := c.Source("own-guild-hoverflies"); s == nil || s.Citation != "Own entry in this plan: sixth" || len(c.Sources) != sources+1 {
		t.Errorf("the source is %+v, of %d", s, len(c.Sources))
	}
	if base.Guild("hoverflies").OuterM == 333 || len(base.Sources) != sources || base.Source("own-guild-hoverflies") != nil {
		t.Error("the base was changed")
	}
}

func TestSavingKeepsLinkAndMode(t *testing.T) {
	dir := t.TempDir()
	path, link := filepath.Join(dir, "mine.csv"), filepath.Join(dir, "link.csv")
	if err := os.WriteFile(path, []byte("list,id,source\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("mine.csv", link); err != nil {
		t.Skip(err)
	}
	if err := SavePersonal(link, sampleOwn()); err != nil {
		t.Fatal(err)
	}
	if s, err := os.Lstat(link); err != nil || s.Mode()&os.ModeSymlink == 0 {
		t.Error("the link became a file")
	}
	if s, err := os.Stat(path); err != nil || s.Mode().Perm() != 0o600 || s.Size() < 100 {
		t.Errorf("the file has mode %v and %d bytes", s.Mode(), s.Size())
	}
}
