package habitat

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"hedgereach/data"
	"hedgereach/habitat/plan"
)

func ruled(a *Assessment, rule string) (found []Finding) {
	for _, f := range a.Findings {
		if f.Rule == rule {
			found = append(found, f)
		}
	}
	return found
}

// A plan's own range, plant and crop count as if they stood in the catalogue.
func TestAPlansOwnEntriesCount(t *testing.T) {
	p := plan.New("")
	hedge := plan.NewFeature(plan.Hedgerow, "Hedge", box(0, 0, 10, 2))
	hedge.Plants = []plan.Growing{{Plant: "sea-holly", Share: 1}}
	bed := plan.NewFeature(plan.Bed, "Bed", box(0, 10, 10, 11)) // 8 to 9 m from the hedge
	bed.Crops = []plan.Planting{{Crop: "oca", Share: 1}}
	p.Features = []*plan.Feature{hedge, bed}
	a := NewAssessor(catalogue(t), Options{})
	before := a.Assess(p)
	if g := before.Beds[0].Guild("ground-beetles"); g.Status != Within {
		t.Fatalf("at the catalogue's range the bed is %s", g.Status)
	}
	if len(ruled(before, "unknown-name")) != 1 {
		t.Fatal("plant and crop are known to the catalogue")
	}
	own := p
	for _, e := range []data.OwnEntryRow{
		{List: "guild", ID: "ground-beetles", Source: "pitfalls", Cells: map[string]string{"low_m": "1", "typical_m": "8.5", "outer_m": "20"}},
		{List: "plant", ID: "sea-holly", Source: "a book", Cells: map[string]string{"name": "sea holly", "guilds": "hoverflies",
			"bloom_from": "07-01", "bloom_to": "08-31"}},
		{List: "crop", ID: "oca", Source: "a book", Cells: map[string]string{"name": "oca", "pollination": "not for harvest"}},
	} {
		own = PutOwn(own, e)
	}
	after := a.Assess(own)
	if g := after.Beds[0].Guild("ground-beetles"); g.Status != Partly || after.Catalogue.Crop("oca") == nil {
		t.Errorf("at the plan's own range the bed is %s", g.Status)
	}
	if c := after.Site.Cover[12]; c.Species != 1 { // 1 July on
		t.Errorf("%d species flower in July", c.Species)
	}
	if found := append(ruled(after, "unknown-name"), append(ruled(after, "own-entry-left-out"), ruled(after, "own-entries-elsewhere")...)...); len(found) > 0 {
		t.Errorf("found %+v", found)
	}
	// Measured again and again it is as measured afresh, back and forth as undo goes.
	for _, p := range []*plan.Plan{p, own, own.RemoveOwn("guild", "ground-beetles"), p} {
		got, want := a.Assess(p), Assess(p, catalogue(t), Options{})
		if !reflect.DeepEqual(got.Findings, want.Findings) || got.Beds[0].Guild("ground-beetles").WithinFraction != want.Beds[0].Guild("ground-beetles").WithinFraction {
			t.Error("again is not as afresh")
		}
	}
	if v := Verdicts(own, catalogue(t), Options{}, nil); len(v) != 0 { // the oca has no pests, and is no unknown crop
		t.Errorf("%+v", v)
	}
}

// Entries on the computer alone are named, with where they count; those that do not read are left out and named.
func TestOwnEntriesThatDoNotTravel(t *testing.T) {
	base, err := data.Merge(catalogue(t), &data.Personal{Entries: []data.OwnEntryRow{
		{List: "plant", ID: "dill", Source: "seen", Cells: map[string]string{"bloom_from": "06-01", "bloom_to": "06-30"}},
		{List: "plant", ID: "borage", Source: "seen", Cells: map[string]string{"bloom_from": "06-01", "bloom_to": "06-30"}},
		{List: "guild", ID: "hoverflies", Source: "seen", Cells: map[string]string{"typical_m": "41"}}}})
	if err != nil {
		t.Fatal(err)
	}
	p := plan.New("")
	hedge := plan.NewFeature(plan.FlowerStrip, "Strip", box(0, 0, 10, 2))
	hedge.Plants = []plan.Growing{{Plant: "dill", Share: 1}}
	p.Features = []*plan.Feature{hedge}
	f := ruled(Assess(p, base, Options{}), "own-entries-elsewhere")
	if len(f) != 1 || !slices.Equal(f[0].Features, []string{hedge.ID}) || !strings.Contains(f[0].Message, "dill (left to flower) and the range of hoverflies.") {
		t.Errorf("found %+v", f)
	}
	bad := PutOwn(p, data.OwnEntryRow{List: "plant", ID: "dill", Source: "", Cells: map[string]string{"bloom_from": "07-01"}})
	a := Assess(bad, base, Options{})
	if f := ruled(a, "own-entry-left-out"); len(f) != 1 || !strings.Contains(f[0].Message, "the plan's own entries:1: dill, source: empty") {
		t.Errorf("found %+v", f)
	}
	if w, _ := a.BloomOf(a.Catalogue.Plant("dill")); w.From.String() != "06-01" {
		t.Errorf("an entry that does not read moved the bloom to %s", w.Label())
	}
}
