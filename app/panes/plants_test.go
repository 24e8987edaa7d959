package panes

import (
	"slices"
	"testing"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

func TestPlantsAreFoundAndPlanted(t *testing.T) {
	s := small(t)
	q := s.Committed().Clone()
	q.Place = &plan.Place{Latitude: 44, Longitude: -72.5, ElevationM: 200, HardinessZone: "5a", LastFrost: 130, FirstFrost: 274}
	if err := s.Commit("place", q); err != nil {
		t.Fatal(err)
	}
	p := NewPlants(s, func(f func()) { f() }, func(err error) { t.Error(err) })
	all := len(p.shown)
	if all != len(s.Catalogue().Plants) {
		t.Errorf("%d of %d plants are listed unasked", all, len(s.Catalogue().Plants))
	}
	p.search.SetText("zizia")
	if len(p.shown) != 1 || p.shown[0].ID != "golden-alexanders" {
		t.Fatalf("a search by the Latin name finds %d", len(p.shown))
	}
	p.search.SetText("")
	p.safe.SetChecked(true)
	for _, x := range p.shown {
		if x.Is(data.ToxicToPeople) || x.Is(data.SkinIrritant) || x.Is(data.ToxicToStock) {
			t.Errorf("%s is listed as harmless", x.Name)
		}
	}
	if len(p.shown) >= all || len(p.shown) == 0 {
		t.Errorf("%d of %d plants are harmless", len(p.shown), all)
	}
	p.safe.SetChecked(false)
	june, _ := season.ParseHalfMonth("06-01")
	ask := s.Ask()
	ask.On = &june
	s.SetAsk(ask)
	p.flowers.SetChecked(true)
	for _, x := range p.shown {
		if !p.bloom(x).Covers(june) {
			t.Errorf("%s is listed as in flower in early June", x.Name)
		}
	}
	if len(p.shown) == 0 || len(p.shown) == all {
		t.Errorf("%d of %d plants flower in early June", len(p.shown), all)
	}
	p.flowers.SetChecked(false)

	i := slices.IndexFunc(p.shown, func(x *data.Plant) bool { return x.ID == "golden-alexanders" })
	p.list.Select(i)
	if !p.add.Disabled() {
		t.Error("a plant can be added with no habitat selected")
	}
	s.Select(s.Plan().Features[0].ID) // the hedge
	if p.add.Disabled() {
		t.Fatal("a plant cannot be added to the hedge that is selected")
	}
	p.share.SetText("35")
	p.plant()
	if g := s.Committed().Features[0].Plants; len(g) != 1 || g[0].Plant != "golden-alexanders" || g[0].Share != 0.35 {
		t.Errorf("planted %+v", g)
	}
	s.Undo()
	if len(s.Committed().Features[0].Plants) != 0 {
		t.Error("planting cannot be undone")
	}
	s.Select(s.Plan().Features[1].ID) // a bed takes no plants of hedges
	if !p.add.Disabled() {
		t.Error("a plant can be added to a bed")
	}
}
