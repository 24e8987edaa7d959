package command

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hedgereach/data"
	"hedgereach/geometry"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

func TestSuggestText(t *testing.T) {
	out := done(t, "suggest", sample, "--guild", "ground-beetles", "--width", "2")
	for _, want := range []string{"8 of 8 beds come into reach for", "Proven: no smaller area", "without it", "ground beetles"} {
		if !strings.Contains(strings.Join(strings.Fields(out), " "), want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
}

// TestSuggestSaves sees that the plan that is saved has the beds in reach that the JSON names, by check.
func TestSuggestSaves(t *testing.T) {
	to := filepath.Join(t.TempDir(), "with.hedgereach")
	var said struct {
		Proposals []struct {
			Proven  bool
			Beds    []string
			Changes []struct {
				Before  string
				Feature struct{ ID, Kind string }
				Why     string
			}
		}
	}
	out := done(t, "suggest", "--json", "--guild=ground-beetles", "--kind", "beetle-bank", "--along=margin,fence", sample, "-o", to)
	if err := json.Unmarshal([]byte(out), &said); err != nil || len(said.Proposals) != 1 {
		t.Fatal(err, out)
	}
	q := said.Proposals[0]
	p, err := plan.ReadFile(to)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range q.Changes {
		if f, _ := p.Find(c.Feature.ID); f == nil || f.Kind != plan.BeetleBank || c.Feature.Kind != "beetle-bank" || c.Why == "" || c.Before != "" {
			t.Errorf("%+v is %+v in the file", c, f)
		}
	}
	var report struct {
		Beds []struct {
			ID     string
			Guilds []struct{ Guild, Status string }
		}
	}
	if err := json.Unmarshal([]byte(done(t, "check", "--json", to)), &report); err != nil {
		t.Fatal(err)
	}
	within := map[string]bool{}
	for _, b := range report.Beds {
		for _, g := range b.Guilds {
			if g.Guild == "ground-beetles" && g.Status == "within" {
				within[b.ID] = true
			}
		}
	}
	if len(q.Beds) == 0 {
		t.Error("no beds")
	}
	for _, id := range q.Beds {
		if !within[id] {
			t.Errorf("%s is not within", id)
		}
	}
}

func TestSuggestInside(t *testing.T) {
	out := strings.Join(strings.Fields(done(t, "suggest", sample, "--inside", "Vetch and clover", "--bed", "Melon row")), " ")
	if !strings.Contains(out, "The one bed that was out comes into reach for") || !strings.Contains(out, "Proven") {
		t.Error(out)
	}
}

func TestSuggestMix(t *testing.T) {
	out := strings.Join(strings.Fields(done(t, "suggest", sample, "--mix", "Meadow strip", "--harmless", "--height", "120cm")), " ")
	for _, want := range []string{"Fewest species:", "Proven: no fewer species", "In flower, before and with it", "What each bound costs", "Without “no taller than 1.20 m”"} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
}

// TestSuggestEdits sees that the text and the JSON have the same edits, the best first, and that it is the best that is saved.
func TestSuggestEdits(t *testing.T) {
	to := filepath.Join(t.TempDir(), "with.hedgereach")
	args := []string{"suggest", sample, "--edits", "--guild", "ground-beetles"}
	text := strings.Join(strings.Fields(done(t, args...)), " ")
	var said struct {
		Proposals []struct {
			Title, Effect string
			Beds, Lost    []string
			TakenM2       float64 `json:"taken_m2"`
			Changes       []struct {
				Before  string
				Feature json.RawMessage
			}
		}
	}
	if err := json.Unmarshal([]byte(done(t, append(args, "--json", "-o", to)...)), &said); err != nil || len(said.Proposals) != 3 {
		t.Fatal(err, said)
	}
	for i, q := range said.Proposals {
		if !strings.Contains(text, q.Title+": "+q.Effect+".") {
			t.Errorf("no %q in %s", q.Effect, text)
		}
		if len(q.Lost) > 0 || len(q.Changes) != 1 || q.Changes[0].Before == "" || i > 0 && len(q.Beds) > len(said.Proposals[i-1].Beds) {
			t.Errorf("%+v", q)
		}
	}
	if best := said.Proposals[0]; best.Title != "Turn a bed into habitat" || best.TakenM2 < 5 || !strings.Contains(text, "becomes flower strip") {
		t.Errorf("%+v in %s", best, text)
	}
	was, err := plan.ReadFile(sample)
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.ReadFile(to)
	if err != nil {
		t.Fatal(err)
	}
	id := said.Proposals[0].Changes[0].Before
	for i, f := range p.Features {
		if (f.Kind != was.Features[i].Kind) != (f.ID == id) {
			t.Errorf("%s was %s and is %s", f.Title(), was.Features[i].Kind, f.Kind)
		}
	}
}

// TestSuggestForAllGuilds asks for all that the crops need by one word, which is the same as to name them.
func TestSuggestForAllGuilds(t *testing.T) {
	args := []string{"suggest", sample, "--length", "20", "--least", "length"}
	short := done(t, append(args, "--guild", "crops")...)
	_, names, _ := strings.Cut(strings.Join(strings.Fields(short), " "), "guilds: ")
	names, _, _ = strings.Cut(names, ".")
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range c.Guilds {
		if strings.Contains(names, habitat.InText(g.Name)) {
			args = append(args, "--guild", g.ID)
		}
	}
	if n := len(args); n < 5+2*8 {
		t.Fatalf("%q", names)
	}
	if long := done(t, args...); long != short {
		t.Errorf("%s\nnot\n%s", short, long)
	}
}

// TestSuggestPrices asks for the cheapest plants by a price list that names one in vain, and holds the sum against the list.
func TestSuggestPrices(t *testing.T) {
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	text := "plant,price,pot\nmoon daisy,2,9 cm\n"
	for i, p := range c.Plants {
		text += fmt.Sprintf("%s,%.2f,9 cm\n", p.ID, 1+float64((i*37)%141)/20)
	}
	list := filepath.Join(t.TempDir(), "prices.csv")
	if err := os.WriteFile(list, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	args := []string{"suggest", sample, "--mix", "Meadow strip", "--prices", list, "--cheapest", "--most-price", "6"}
	exit, out, said := run(t, args...)
	if exit != Done || !strings.Contains(said, `The catalogue lacks line 2 "moon daisy"`) || strings.Count(said, "\n") != 1 {
		t.Fatalf("exit %d: %s", exit, said)
	}
	flat := strings.Join(strings.Fields(out), " ")
	for _, want := range []string{"Least cost:", "Proven: no cheaper plants", "Prices are of one of each", "Without “no dearer than 6”", "Without “with a price”"} {
		if !strings.Contains(flat, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
	_, out, _ = run(t, append(args, "--json")...)
	var j struct {
		Proposals []struct {
			Effect string
			Mix    struct {
				Plants []struct {
					ID    string
					Price float64
				}
				Cost     float64
				InFlower []struct {
					HalfMonth     string `json:"half_month"`
					Before, After int
				} `json:"in_flower"`
				Bounds []struct{ Bound string }
			}
		}
	}
	if err := json.Unmarshal([]byte(out), &j); err != nil || len(j.Proposals) != 1 {
		t.Fatal(err, out)
	}
	m, sum := j.Proposals[0].Mix, 0.0
	for _, p := range m.Plants {
		if !strings.Contains(text, fmt.Sprintf("%s,%.2f,", p.ID, p.Price)) || p.Price > 6 {
			t.Errorf("%s costs %v", p.ID, p.Price)
		}
		sum += p.Price
	}
	if len(m.Plants) == 0 || math.Abs(sum-m.Cost) > 1e-6 || len(m.InFlower) < 6 || len(m.Bounds) != 4 {
		t.Errorf("%v; the sum is %v", m, sum)
	}
}

func TestSuggestFails(t *testing.T) {
	for _, c := range []struct {
		exit int
		args []string
		says string
	}{
		{Wrong, nil, "needs one file"},
		{Wrong, []string{sample, "--gap", "200"}, "gap"},
		{Wrong, []string{sample, "--time", "-1s"}, "search"},
		{Wrong, []string{sample, "--width", "wide"}, "not a length"},
		{Wrong, []string{sample, "--width", "0"}, "a width is more than 0"},
		{Wrong, []string{sample, "--length", "0"}, "a least length is more than 0"},
		{Wrong, []string{sample, "--range", "0 m"}, "a range is more than 0"},
		{Wrong, []string{sample, "--mix", "all", "--height", "0"}, "a height is more than 0"},
		{Wrong, []string{sample, "--mix", "all", "--spacing", "0"}, "a spacing is more than 0"},
		{Wrong, []string{sample, "--most", "0"}, "most ground to give is more than 0"},
		{Wrong, []string{sample, "--mix", "all", "--species", "0"}, "1 or more"},
		{Wrong, []string{"nowhere.hedgereach", "-o", "x.gpx"}, `suggest writes .hedgereach and .geojson files, not "x.gpx"`}, // before it reads
		{Wrong, []string{sample, "--edits", "--width", "2"}, "--width does not go with --edits"},
		{Wrong, []string{sample, "--mix", "all", "--edits"}, "--edits does not go with --mix"},
		{Fail, []string{sample, "--edits", "--bed", "Squash ground", "--range", "3"}, "go without --edits for new strips"},
		{Fail, []string{sample, "--guild", "crops", "--guild", "hoverflies"}, "give no other guild with it"},
		{Wrong, []string{sample, "--cheapest"}, "--cheapest goes with --mix"},
		{Wrong, []string{sample, "--mix", "all", "--cheapest"}, "need --prices"},
		{Wrong, []string{sample, "--mix", "all", "--prices", "x.csv", "--most-price", "0"}, "may cost is more than 0"},
		{Fail, []string{sample, "--mix", "all", "--prices", "nowhere.csv"}, "nowhere.csv: the price list cannot be opened"},
		{Fail, []string{sample, "--mix", "all", "--prices", "suggest_test.go"}, "suggest_test.go:1: the first line names no columns"},
		{Fail, []string{sample, "--guild", "dragons"}, `no guild "dragons"`},
		{Wrong, []string{sample, "--native"}, "--mix"},
		{Wrong, []string{sample, "--mix", "all", "--width", "2"}, "--width does not go"},
		{Fail, []string{sample, "--mix", "Moon strip"}, `no habitat "Moon strip"`},
		{Fail, []string{sample, "--bed", "Moon bed"}, `no bed "Moon bed"`},
		{Fail, []string{sample, "--guild", "lady-beetles"}, "within reach already"},
		{Fail, []string{"nowhere.hedgereach"}, "nowhere.hedgereach"},
	} {
		exit, out, err := run(t, append([]string{"suggest"}, c.args...)...)
		if exit != c.exit || out != "" || !strings.Contains(err, c.says) || strings.Count(err, "\n") != 1 {
			t.Errorf("%q: exit %d, %q, %q", c.args, exit, out, err)
		}
	}
}

// What a plan file holds is not written over with the proposal, by whatever name it is called.
func TestSuggestNeverWritesOverItsInput(t *testing.T) {
	before, err := os.ReadFile(sample)
	if err != nil {
		t.Fatal(err)
	}
	in := filepath.Join(t.TempDir(), "garden.hedgereach")
	if err := os.WriteFile(in, before, 0o600); err != nil {
		t.Fatal(err)
	}
	link := filepath.Join(filepath.Dir(in), "link.hedgereach")
	outs := []string{in, filepath.Join(filepath.Dir(in), ".", "..", filepath.Base(filepath.Dir(in)), "garden.hedgereach")}
	if os.Symlink(in, link) == nil { // some systems have none
		outs = append(outs, link)
	}
	for _, out := range outs {
		for _, more := range [][]string{{"--guild", "ground-beetles"}, {"--mix", "all"}} {
			exit, said, errs := run(t, append([]string{"suggest", in, "-o", out}, more...)...)
			if exit != Wrong || said != "" || !strings.Contains(errs, "is both the input and the output") || strings.Count(errs, "\n") != 1 {
				t.Errorf("%s %q: exit %d, %q, %q", out, more, exit, said, errs)
			}
		}
	}
	if after, err := os.ReadFile(in); err != nil || !bytes.Equal(before, after) {
		t.Error("the input has changed", err)
	}
}

// A walk of 0 that is typed is none, so strips may touch beds; none typed is the usual one.
func TestSuggestWithoutAWalk(t *testing.T) {
	least := func(more ...string) float64 {
		to := filepath.Join(t.TempDir(), "with.hedgereach")
		done(t, append([]string{"suggest", sample, "--guild", "ground-beetles", "--bed", "Melon row", "--along", "bed-ends", "-o", to}, more...)...)
		was, err := plan.ReadFile(sample)
		if err != nil {
			t.Fatal(err)
		}
		p, err := plan.ReadFile(to)
		if err != nil {
			t.Fatal(err)
		}
		least := math.Inf(1)
		for _, f := range p.Features {
			if old, _ := was.Find(f.ID); old != nil {
				continue
			}
			for _, b := range was.Features {
				if b.Kind == plan.Bed {
					d, _, _ := geometry.Closest(f.Geometry, b.Geometry)
					least = min(least, d)
				}
			}
		}
		return least
	}
	if d := least("--walk", "0"); d > 0.01 {
		t.Errorf("%v m from the nearest bed without a walk", d)
	}
	if d := least(); d < 0.48 || d > 0.6 {
		t.Errorf("%v m from the nearest bed with the usual walk", d)
	}
}
