package session

import (
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/document"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry/parallel"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

func box(k plan.Kind, name string, x0, y0, x1, y1 float64) *plan.Feature {
	return plan.NewFeature(k, name, orb.Polygon{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}})
}

func garden() *plan.Plan {
	p := plan.New("garden")
	p.Features = []*plan.Feature{
		box(plan.Hedgerow, "Hedge", 0, 0, 20, 2),
		box(plan.Bed, "Bed 1", 0, 10, 20, 11.2),
		box(plan.Bed, "Bed 2", 0, 60, 20, 61.2),
	}
	return p
}

func start(t *testing.T) (*Session, *What) {
	t.Helper()
	s := New(&data.Catalogue{}, document.New(garden()))
	var heard What
	s.Observe(func(w What) { heard |= w })
	return s, &heard
}

// moved is the plan with one feature shifted.
func moved(p *plan.Plan, i int, dx, dy float64) *plan.Plan {
	c := p.Clone()
	f := c.Features[i].Clone()
	for _, r := range f.Geometry.(orb.Polygon) {
		for k := range r {
			r[k][0] += dx
			r[k][1] += dy
		}
	}
	c.Features[i] = f
	return c
}

// expect fails unless exactly these parts were heard of since the last time.
func expect(t *testing.T, heard *What, want What, after string) {
	t.Helper()
	if *heard != want {
		t.Errorf("after %s: heard %06b, want %06b", after, *heard, want)
	}
	*heard = 0
}

func TestCommitUndoRedo(t *testing.T) {
	s, heard := start(t)
	before := s.Committed()
	p := moved(before, 1, 0, 5)
	if err := s.Commit("move Bed 1", p); err != nil {
		t.Fatal(err)
	}
	expect(t, heard, PlanChanged|FileChanged, "commit")
	if s.Plan() != p || s.Assessment().Plan != p {
		t.Error("the committed plan is not shown or not measured")
	}
	if n, _ := s.Document().UndoName(); n != "move Bed 1" {
		t.Errorf("undo name %q", n)
	}
	s.Undo()
	expect(t, heard, PlanChanged|FileChanged, "undo")
	if s.Plan() != before {
		t.Error("undo did not bring the first plan back")
	}
	s.Redo()
	if s.Plan() != p {
		t.Error("redo did not bring the edit back")
	}
	*heard = 0
	s.Redo()
	expect(t, heard, 0, "redo with nothing to redo")
	if err := s.Commit("nothing", s.Committed()); err != nil {
		t.Error(err)
	}
	expect(t, heard, 0, "committing the same plan")
}

func TestPreviewLeavesHistoryAlone(t *testing.T) {
	s, heard := start(t)
	before := s.Committed()
	p := moved(before, 1, 0, 5)
	s.Preview(p)
	expect(t, heard, PreviewChanged, "preview")
	if s.Plan() != p || s.Assessment().Plan != p || s.Committed() != before || s.Document().Dirty() {
		t.Error("the preview is not shown, or touched the history")
	}
	s.CancelPreview()
	expect(t, heard, PreviewChanged, "cancel")
	if s.Plan() != before || s.Assessment().Plan != before {
		t.Error("cancelled, the old plan is not shown")
	}
	s.CancelPreview()
	expect(t, heard, 0, "cancelling nothing")
	s.Preview(p)
	*heard = 0
	s.Undo()
	expect(t, heard, PreviewChanged, "undo of a gesture with no history")
	s.Preview(p)
	*heard = 0
	if err := s.Commit("move Bed 1", p); err != nil {
		t.Fatal(err)
	}
	expect(t, heard, PlanChanged|PreviewChanged|FileChanged, "commit of a preview")
}

func TestCommitRefusesInvalidOutline(t *testing.T) {
	s, heard := start(t)
	before := s.Committed()
	p := before.Clone()
	f := p.Features[1].Clone()
	f.Geometry = orb.Polygon{{{0, 0}, {10, 10}, {10, 0}, {0, 10}, {0, 0}}}
	p.Features[1] = f
	s.Preview(p)
	*heard = 0
	err := s.Commit("reshape Bed 1", p)
	if err == nil || !strings.Contains(err.Error(), "Bed 1") {
		t.Fatalf("a bow-tie: %v", err)
	}
	expect(t, heard, PreviewChanged, "a refused commit")
	if s.Plan() != before || s.Document().Dirty() {
		t.Error("a refused commit left something behind")
	}
	// A bow-tie that a file brought must not bar other edits.
	s.SetDocument(document.New(p))
	if err := s.Commit("move Bed 2", moved(p, 2, 1, 0)); err != nil {
		t.Errorf("an old bow-tie bars other edits: %v", err)
	}
}

// What Commit takes, Save can write.
func TestCommitRefusesWhatCannotBeSaved(t *testing.T) {
	long := strings.Repeat("a", plan.MaxName+1)
	for want, change := range map[string]func(p *plan.Plan, f *plan.Feature){
		"name: it is longer than 200 characters": func(p *plan.Plan, f *plan.Feature) { p.Name = long },
		"its name is longer than 200 characters": func(p *plan.Plan, f *plan.Feature) { f.Name = long },
		"its note is longer than 10000":          func(p *plan.Plan, f *plan.Feature) { f.Note = strings.Repeat("a", plan.MaxNote+1) },
		"place.elevation_m: 20000 is not between -500 and 9000": func(p *plan.Plan, f *plan.Feature) {
			p.Place = &plan.Place{Latitude: 44, Longitude: -72, ElevationM: 20_000}
		},
		"Bed 1: it lists more than 100 crops": func(p *plan.Plan, f *plan.Feature) { f.Crops = make([]plan.Planting, plan.MaxList+1) },
		"Bed 1, crops[0].share: 2 is not":     func(p *plan.Plan, f *plan.Feature) { f.Crops = []plan.Planting{{Crop: "kale", Share: 2}} },
		"Bed 1: a point cannot be a bed":      func(p *plan.Plan, f *plan.Feature) { f.Geometry = orb.Point{1, 2} },
		"Bed 1: it has no geometry":           func(p *plan.Plan, f *plan.Feature) { f.Geometry = nil },
		"its id is that of Hedge, too":        func(p *plan.Plan, f *plan.Feature) { f.ID = p.Features[0].ID },
	} {
		s, _ := start(t)
		p := s.Committed().Clone()
		f := p.Features[1].Clone()
		p.Features[1] = f
		change(p, f)
		err := s.Commit("change", p)
		if err == nil || !strings.Contains(err.Error(), want) || s.Document().Dirty() {
			t.Errorf("want %q, got %v", want, err)
		}
		if _, bad := plan.Marshal(p); bad == nil {
			t.Errorf("%s: Save would not refuse it", want)
		}
	}
	s, _ := start(t)
	p := s.Committed().Clone()
	p.Features = append(p.Features, plan.NewFeature(plan.Stake, "Post", orb.Point{1, 2}))
	if err := s.Commit("drive a stake", p); err != nil {
		t.Errorf("a stake that is a point: %v", err)
	}
}

func TestSelection(t *testing.T) {
	s, heard := start(t)
	p := s.Plan()
	s.Select(p.Features[1].ID, "no such id", p.Features[2].ID, p.Features[1].ID)
	expect(t, heard, SelectionChanged, "select")
	if got := s.Selection(); !slices.Equal(got, []string{p.Features[1].ID, p.Features[2].ID}) {
		t.Errorf("selection %v", got)
	}
	s.Select(s.Selection()...)
	expect(t, heard, 0, "selecting the same")
	less := p.Clone()
	less.Features = less.Features[:2]
	if err := s.Commit("delete Bed 2", less); err != nil {
		t.Fatal(err)
	}
	expect(t, heard, PlanChanged|FileChanged|SelectionChanged, "deleting a selected bed")
	if s.Selected(p.Features[2].ID) || !s.Selected(p.Features[1].ID) {
		t.Error("the selection does not follow the plan")
	}
	s.SetDocument(document.New(garden()))
	if len(s.Selection()) != 0 {
		t.Error("another document keeps the selection")
	}
}

func TestShowFollowsTheFinding(t *testing.T) {
	s, heard := start(t)
	p := s.Plan()
	id := p.Features[2].ID
	s.measurer = fake{func(p *plan.Plan) *habitat.Assessment {
		a := &habitat.Assessment{Plan: p}
		if y := p.Features[2].Geometry.(orb.Polygon)[0][0][1]; y > 50 {
			a.Findings = []habitat.Finding{{Rule: "bed-beyond-range", Features: []string{id}, Show: []orb.Point{{0, 2}, {0, y}}}}
		}
		return a
	}}
	s.measure()
	s.Show([]string{id}, &s.Assessment().Findings[0])
	expect(t, heard, SelectionChanged|FocusAsked, "show")
	if !s.Selected(id) || s.Shown() == nil {
		t.Fatal("not selected or not shown")
	}
	s.Preview(moved(p, 2, 0, -5))
	if f := s.Shown(); f == nil || f.Show[1][1] != 55 {
		t.Errorf("the finding does not follow the drag: %v", f)
	}
	s.Preview(moved(p, 2, 0, -50))
	if s.Shown() != nil {
		t.Error("a mended finding is still shown")
	}
}

func TestAsk(t *testing.T) {
	s, heard := start(t)
	h := season.HalfMonth(8)
	s.SetAsk(Ask{RangeM: 12, On: &h})
	expect(t, heard, AskChanged, "ask")
	if o := s.Assessment().Options; o.On == nil || *o.On != 8 || !slices.Equal(o.RangesM, []float64{12}) {
		t.Errorf("options %+v", o)
	}
	same := season.HalfMonth(8)
	s.SetAsk(Ask{RangeM: 12, On: &same})
	expect(t, heard, 0, "asking the same")
}

func TestStatus(t *testing.T) {
	s, _ := start(t)
	link := &habitat.Link{NearestM: 8, FarthestM: 9.2}
	for _, c := range []struct {
		rangeM float64
		link   *habitat.Link
		want   habitat.Status
	}{
		{7.9, link, habitat.Beyond}, {8, link, habitat.Partly}, {9.19, link, habitat.Partly}, {9.2, link, habitat.Within},
		{30, nil, habitat.Beyond}, {0, link, habitat.Unknown},
	} {
		s.SetAsk(Ask{RangeM: c.rangeM})
		if got := s.Status(&habitat.Bed{AreaM2: 1, Refuge: c.link}); got != c.want {
			t.Errorf("range %v, link %v: %v, want %v", c.rangeM, c.link, got, c.want)
		}
	}
	g := &data.Guild{ID: "ground-beetles", TypicalM: 60}
	s.SetAsk(Ask{Guild: g})
	b := &habitat.Bed{AreaM2: 1, Guilds: []habitat.GuildReach{{Guild: g, Status: habitat.Partly}}}
	if got := s.Status(b); got != habitat.Partly {
		t.Errorf("guild: %v", got)
	}
}

type fake struct {
	assess func(*plan.Plan) *habitat.Assessment
}

func (f fake) SetOptions(habitat.Options)              {}
func (f fake) Assess(p *plan.Plan) *habitat.Assessment { return f.assess(p) }

func TestAFaultOfTheEngineDoesNotKill(t *testing.T) {
	s, _ := start(t)
	for name, assess := range map[string]func(*plan.Plan) *habitat.Assessment{
		"panic": func(*plan.Plan) *habitat.Assessment { panic("out of range") },
		"nil":   func(*plan.Plan) *habitat.Assessment { return nil },
	} {
		s.measurer = fake{assess}
		p := moved(s.Plan(), 1, 1, 0)
		s.Preview(p)
		a := s.Assessment()
		if a == nil || a.Plan != p || len(a.Beds) != 2 || len(a.Findings) != 1 {
			t.Fatalf("%s: assessment %+v", name, a)
		}
		if s.Status(a.Beds[0]) != habitat.Unknown {
			t.Errorf("%s: a bed that was not measured is %v", name, s.Status(a.Beds[0]))
		}
		if _, still := s.measurer.(fake); still {
			t.Errorf("%s: the broken measurer is used again", name)
		}
	}
}

// Beds are measured side by side; a fault there must reach the session too. What is shown instead still answers what flowers
// when.
func TestAFaultOfAWorkerDoesNotKill(t *testing.T) {
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	p := garden()
	p.Features[0].Plants = []plan.Growing{{Plant: c.Plants[0].ID, Share: 1}}
	for i := range 30 {
		p.Features = append(p.Features, box(plan.Bed, "Bed", 40, float64(3*i), 50, float64(3*i+1)))
	}
	s := New(c, document.New(p))
	h := c.Plants[0].Bloom.From.HalfMonth()
	s.SetAsk(Ask{RangeM: 30, On: &h})
	s.measurer = fake{func(*plan.Plan) *habitat.Assessment {
		parallel.Each(4, 32, func(i int) {
			if i == 17 {
				panic("out of range")
			}
		})
		return nil
	}}
	s.Preview(moved(p, 1, 1, 0))
	a := s.Assessment()
	if len(a.Beds) != 32 || len(a.Findings) != 1 || !strings.Contains(a.Findings[0].Message, "out of range") {
		t.Fatalf("%d beds, findings %+v", len(a.Beds), a.Findings)
	}
	if !a.InFlower(p.Features[0].Plants[0], (h+1)%season.HalfMonths) || len(a.Serving(nil)) != 1 {
		t.Errorf("%s does not flower, or %v serve", c.Plants[0].ID, a.Serving(nil))
	}
}

func TestObserversMayStopEachOther(t *testing.T) {
	s, _ := start(t)
	var calls int
	var stop2 func()
	stop1 := s.Observe(func(What) { stop2() })
	stop2 = s.Observe(func(What) { calls++ })
	s.Select(s.Plan().Features[0].ID)
	if calls != 0 {
		t.Error("a stopped observer was called")
	}
	stop1()
	stop1()
	stop2()
	s.Select()
}
