package panes

import (
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/app/session"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// form is the pane on one feature, in a window.
func form(t *testing.T, s *session.Session, id string, unfold ...string) *Feature {
	t.Helper()
	s.Select(id)
	f := NewFeature(s, never, func(err error) { t.Errorf("complained: %v", err) })
	for _, k := range unfold {
		f.open[id+k] = true
	}
	f.shape = ""
	f.update()
	w := test.NewTempWindow(t, f)
	w.Resize(fyne.NewSize(420, 900))
	return f
}

// labelled finds the field behind a word of the form, the n-th of that word.
func labelled(t *testing.T, f *Feature, word string, n int) fyne.CanvasObject {
	t.Helper()
	for _, o := range f.body.Objects {
		c, ok := o.(*fyne.Container)
		if !ok || len(c.Objects) != 2 {
			continue
		}
		if l, ok := c.Objects[0].(*widget.Label); ok && l.Text == word {
			if n == 0 {
				return c.Objects[1]
			}
			n--
		}
	}
	t.Fatalf("no %q in the form", word)
	return nil
}

func enter(t *testing.T, o fyne.CanvasObject, text string) {
	t.Helper()
	e := o.(*fields.Entry)
	e.SetText(text)
	e.OnSubmitted(text)
}

func bedOf(t *testing.T, s *session.Session, name string) *plan.Feature {
	t.Helper()
	x, _ := s.Committed().Find(id(s, name))
	if x == nil {
		t.Fatal("no ", name)
	}
	return x
}

func button(t *testing.T, f *Feature, text string) *fields.Button {
	t.Helper()
	for _, o := range f.body.Objects {
		if b, ok := o.(*fields.Button); ok && b.Text == text {
			return b
		}
	}
	t.Fatalf("no button %q", text)
	return nil
}

func plant(t *testing.T, s *session.Session, name string, change func(*plan.Feature)) {
	t.Helper()
	if err := edit(s, id(s, name), "plant", func(x *plan.Feature) error { change(x); return nil }); err != nil {
		t.Fatal(err)
	}
}

// Every line about a planting ends in the plan, each as one step that can be taken back.
func TestPlantingLines(t *testing.T) {
	s := small(t)
	plant(t, s, "Bed 2", func(x *plan.Feature) { x.Crops = []plan.Planting{{Crop: "cucumber", Share: 1}} })
	f := form(t, s, id(s, "Bed 2"), " crop 0")
	enter(t, labelled(t, f, "Harvest", 0), "20 Jul")
	enter(t, labelled(t, f, "Variety", 0), " Green long ")
	enter(t, labelled(t, f, "In row", 0), "0.4 m")
	enter(t, labelled(t, f, "Rows", 0), "1.2 m")
	labelled(t, f, "Begins", 0).(*widget.Select).SetSelectedIndex(2)
	labelled(t, f, "", 0).(*widget.Check).SetChecked(true)
	got := bedOf(t, s, "Bed 2").Crops[0]
	if got.FirstHarvest.String() != "07-20" || got.Variety != "Green long" || got.InRowM != 0.4 || got.BetweenRowsM != 1.2 ||
		got.Method != plan.Transplant || !got.Parthenocarpic {
		t.Errorf("planted %+v", got)
	}
	enter(t, labelled(t, f, "In row", 0), "")
	if bedOf(t, s, "Bed 2").Crops[0].InRowM != 0 {
		t.Error("an emptied spacing does not go back to the catalogue's")
	}
	for range 8 {
		s.Undo()
	}
	if x := bedOf(t, s, "Bed 2"); len(x.Crops) != 0 {
		t.Errorf("after taking all back: %+v", x.Crops)
	}
}

func TestHarvestIsTakenOver(t *testing.T) {
	s := small(t)
	may, _ := season.ParseDay("05-01")
	plant(t, s, "Bed 2", func(x *plan.Feature) {
		x.Crops = []plan.Planting{{Crop: "lettuce-leaf", Share: 1, Dates: season.Window{From: may}}}
	})
	f := form(t, s, id(s, "Bed 2"))
	for _, o := range f.body.Objects {
		if w, ok := o.(*fields.Word); ok && w.Text == "take these dates" {
			if w.Hidden {
				t.Fatal("no dates are offered")
			}
			w.Tap()
		}
	}
	c := s.Catalogue().Crop("lettuce-leaf")
	got := bedOf(t, s, "Bed 2").Crops[0]
	if got.FirstHarvest != may.Add(c.DaysMin) || got.Dates.To != may.Add(c.DaysMax) {
		t.Errorf("ready %s to %s of %d–%d days", got.FirstHarvest, got.Dates.To, c.DaysMin, c.DaysMax)
	}
}

func TestCoverLines(t *testing.T) {
	s := small(t)
	bed := id(s, "Bed 2")
	f := form(t, s, bed)
	button(t, f, "Add a row cover or net").OnTapped()
	f.update()
	button(t, f, "Add another cover").OnTapped()
	f.open[bed+" cover 1"], f.shape = true, ""
	f.update()
	enter(t, labelled(t, f, "Of", 0), "insect net")
	enter(t, labelled(t, f, "Mesh", 0), "0.8 mm")
	labelled(t, f, "Edges", 0).(*widget.Select).SetSelectedIndex(2)
	all := bedOf(t, s, "Bed 2").Covers()
	if len(all) != 2 || all[1].Material != "insect net" || all[1].MeshMM != 0.8 || all[1].Edges != plan.EdgesOpen || all[0].Material != "" {
		t.Fatalf("covers %+v", all)
	}
	x := bedOf(t, s, "Bed 2").Clone()
	uncover(x, 0)
	if all := x.Covers(); len(all) != 1 || all[0].Material != "insect net" || x.Cover == nil {
		t.Errorf("with the first one off: %+v", all)
	}
	uncover(x, 0)
	uncover(x, 0)
	if len(x.Covers()) != 0 || x.Cover != nil {
		t.Errorf("with all off: %+v", x.Covers())
	}
}

func TestTreatmentLines(t *testing.T) {
	s := small(t)
	plant(t, s, "Bed 2", func(x *plan.Feature) { x.Treatments = []plan.Treatment{{Material: "spinosad"}} })
	f := form(t, s, id(s, "Bed 2"))
	enter(t, labelled(t, f, "On", 0), "10 Jun; 24 Jun")
	enter(t, labelled(t, f, "To harvest", 0), "0 h")
	got := bedOf(t, s, "Bed 2").Treatments[0]
	if len(got.On) != 2 || got.On[1].String() != "06-24" || got.HarvestHours == nil || *got.HarvestHours != 0 {
		t.Errorf("treated %+v", got)
	}
	enter(t, labelled(t, f, "To harvest", 0), "")
	if h := bedOf(t, s, "Bed 2").Treatments[0].HarvestHours; h != nil {
		t.Errorf("an emptied line means %g hours, not that nobody looked", *h)
	}
	said := ""
	for _, o := range f.body.Objects {
		if l, ok := o.(*widget.Label); ok {
			said += l.Text
		}
	}
	if !strings.Contains(said, "label is the law") || !strings.Contains(said, "Caution") {
		t.Error("nothing is said of the label or of bees")
	}
}

func TestOtherYears(t *testing.T) {
	s := small(t)
	p := s.Committed().Clone()
	p.Year = 2027
	if err := s.Commit("year", p); err != nil {
		t.Fatal(err)
	}
	f := form(t, s, id(s, "Bed 2"))
	for _, b := range []string{"Add the year before", "Add the year before", "Add the year after"} {
		button(t, f, b).OnTapped()
		f.update()
	}
	var years []int
	for _, y := range bedOf(t, s, "Bed 2").OtherYears {
		years = append(years, y.Year)
	}
	if !slices.Equal(years, []int{2025, 2026, 2028}) {
		t.Errorf("years %v", years)
	}
}

func TestTrapLines(t *testing.T) {
	s := small(t)
	p := s.Committed().Clone()
	p.Features = append(slices.Clone(p.Features), plan.NewFeature(plan.Trap, "Card", box(5, 5, 0.5, 0.5)))
	if err := s.Commit("trap", p); err != nil {
		t.Fatal(err)
	}
	f := form(t, s, id(s, "Card"))
	enter(t, labelled(t, f, "Number", 0), "3")
	enter(t, labelled(t, f, "Height", 0), "50 cm")
	enter(t, labelled(t, f, "Hung", 0), "20 May")
	enter(t, labelled(t, f, "Until", 0), "30 Jun")
	enter(t, labelled(t, f, "Renewed", 0), "14 days")
	got := bedOf(t, s, "Card").Trap
	if got == nil || got.Number != 3 || got.HeightM != 0.5 || got.RenewDays != 14 || len(got.Renewals()) != 2 {
		t.Errorf("hung %+v", got)
	}
}

// What cannot be taken is complained of, and the plan stays as it is.
func TestBadNumbersAreRefused(t *testing.T) {
	s := small(t)
	s.Select(id(s, "Bed 2"))
	plant(t, s, "Bed 2", func(x *plan.Feature) { x.Treatments = []plan.Treatment{{Material: "spinosad"}} })
	var said []string
	f := NewFeature(s, never, func(err error) { said = append(said, err.Error()) })
	before := s.Committed()
	for _, w := range []struct{ word, text, want string }{{"To harvest", "-3", "from 0 to"}, {"To harvest", "1e9", "from 0 to"}, {"On", "32 Jun", "not a day"}} {
		enter(t, labelled(t, f, w.word, 0), w.text)
		if len(said) == 0 || !strings.Contains(said[len(said)-1], w.want) {
			t.Errorf("%q: said %q", w.text, said)
		}
	}
	if s.Committed() != before {
		t.Error("the plan was changed")
	}
}
