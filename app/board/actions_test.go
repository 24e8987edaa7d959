package board

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// act is the action of the name.
func (h *bench) act(name string) Action {
	h.t.Helper()
	for _, a := range h.board.Actions() {
		if strings.HasPrefix(a.Name, name) {
			return a
		}
	}
	h.t.Fatalf("there is no %q", name)
	return Action{}
}

// fill asks an action's form, answers some of its fields and does it.
func (h *bench) fill(name string, answers map[string]string) error {
	h.t.Helper()
	f, err := h.act(name).Ask()
	if err != nil {
		return err
	}
	var given []string
	for _, field := range f.Fields {
		v := field.Value
		if a, ok := answers[field.Label]; ok {
			v = a
			delete(answers, field.Label)
		}
		given = append(given, v)
	}
	if len(answers) > 0 {
		h.t.Fatalf("%s does not ask for %v", name, answers)
	}
	c, err := f.Make(given)
	if err != nil {
		return err
	}
	return h.board.Apply(c)
}

func (h *bench) choose(names ...string) {
	var ids []string
	for _, n := range names {
		for _, f := range h.s.Plan().Features {
			if f.Name == n {
				ids = append(ids, f.ID)
			}
		}
	}
	h.s.Select(ids...)
}

func (h *bench) named(name string) *plan.Feature {
	h.t.Helper()
	i := slices.IndexFunc(h.features(), func(f *plan.Feature) bool { return f.Name == name })
	if i < 0 {
		h.t.Fatalf("there is no %s", name)
	}
	return h.features()[i]
}

func TestCornersTyped(t *testing.T) {
	h := newBench(t, garden())
	h.choose("Bed 1")
	f, err := h.act("Corners").Ask()
	if err != nil {
		t.Fatal(err)
	}
	if want := "0.000 m; 5.000 m\n20.000 m; 5.000 m\n20.000 m; 6.200 m\n0.000 m; 6.200 m"; f.Fields[0].Value != want {
		t.Errorf("corners %q", f.Fields[0].Value)
	}
	for text, want := range map[string]orb.Ring{
		"0; 5\n20.125, 5\n20 m; 620 cm": {{0, 5}, {20.125, 5}, {20, 6.2}, {0, 5}},
		"-1; 5\n20; 5 ft\n20\t6":        {{-1, 5}, {20, 1.524}, {20, 6}, {-1, 5}},
	} {
		h := newBench(t, garden())
		h.choose("Bed 1")
		if err := h.fill("Corners", map[string]string{"East; north": text}); err != nil {
			t.Error(err)
		}
		if r := h.named("Bed 1").Geometry.(orb.Polygon)[0]; !slices.Equal(r, want) {
			t.Errorf("%q made %v", text, r)
		}
		if n, _ := h.s.Document().UndoName(); n != "place the corners of Bed 1" {
			t.Errorf("step %q", n)
		}
	}
	for _, bad := range []string{"", "0; 5\n20; 5", "0 5\n1; 1\n2; 2", "0; 5\n20; x\n20; 6", "0; 0\n5; 5\n5; 0\n0; 5", "0; 0\n99999999; 1\n1; 2"} {
		if err := h.fill("Corners", map[string]string{"East; north": bad}); err == nil {
			t.Errorf("%q is taken", bad)
		}
	}
	h.s.Select()
	if _, err := h.act("Corners").Ask(); err == nil {
		t.Error("corners of nothing")
	}
}

func TestSizesTypedInFeetStay(t *testing.T) {
	p := garden()
	p.Units = plan.US
	h := newBench(t, p)
	h.choose("Bed 1")
	before := h.named("Bed 1")
	if err := h.fill("Size", map[string]string{"Width": "4 ft"}); err != nil {
		t.Fatal(err)
	}
	b := h.named("Bed 1").Geometry.Bound()
	if b.Max[0] != 20 || b.Min != before.Geometry.Bound().Min || b.Max[1] != 6.219 { // 4 ft are 1.2192 m
		t.Errorf("sized to %v", b)
	}
}

// Each action is one step, named, and undone it leaves nothing behind.
func TestEveryActionCanBeUndone(t *testing.T) {
	for name, answers := range map[string]map[string]string{
		"Repeat": {"Copies": "2"}, "Mirror": {}, "Turn": {"By degrees": "30"}, "Align": {"Align": "right edges"},
		"Same width": nil, "Size": {"Length": "5 m"}, "Margin": {"Wide": "0.5"}, "Bring forward": nil, "Lock": nil, "Hide": nil,
		"Spread evenly": {}, "New beds": {"Side by side": "3"}, "Same length": nil,
	} {
		p := garden()
		p.Features[1].Geometry = orb.Polygon{{{1, 5}, {20, 5}, {20, 6.2}, {1, 6.2}, {1, 5}}}
		p.Features = append(p.Features, box(plan.Bed, "Bed 3", 0, 30, 5, 31))
		h := newBench(t, p)
		before, err := plan.Marshal(h.s.Committed())
		if err != nil {
			t.Fatal(err)
		}
		h.choose("Bed 1", "Bed 2", "Hedge")
		if name == "Margin" || name == "Size" {
			h.choose("Bed 2")
		}
		if a := h.act(name); a.Do != nil {
			err = a.Do()
		} else {
			err = h.fill(name, answers)
		}
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		step, ok := h.s.Document().UndoName()
		if !ok || step == "" {
			t.Errorf("%s is no step", name)
		}
		h.s.Undo()
		after, err := plan.Marshal(h.s.Committed())
		if err != nil || !bytes.Equal(before, after) || h.s.Document().Dirty() {
			t.Errorf("%s: undone, the plan is another", name)
		}
	}
}

func TestActionsSayWhatToChoose(t *testing.T) {
	h := newBench(t, garden())
	for _, a := range h.board.Actions() {
		if a.Menu != ArrangeMenu || a.Name == "New beds…" {
			continue
		}
		var err error
		if a.Do != nil {
			err = a.Do()
		} else {
			_, err = a.Ask()
		}
		if err == nil {
			t.Errorf("%s with nothing chosen says nothing", a.Name)
		}
	}
	if h.s.Document().Dirty() {
		t.Error("something was done")
	}
	h.choose("Bed 1")
	if err := h.act("Lock").Do(); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"Repeat", "Turn", "Corners", "Size"} {
		if err := h.fill(name, map[string]string{}); err == nil || !strings.Contains(err.Error(), "locked") {
			t.Errorf("%s of what is locked: %v", name, err)
		}
	}
	if err := h.act("Lock").Do(); err != nil || h.named("Bed 1").Locked {
		t.Errorf("not unlocked: %v", err)
	}
}

func TestRowsByCountAndByLength(t *testing.T) {
	for label, answer := range map[string]string{"Side by side": "5", "Or fill": "10 m"} {
		h := newBench(t, garden())
		h.choose("Bed 1")
		// 10 m hold 5 beds of 1.2 m with 2 ft between: 5·1.2 + 4·0.6096 = 8.44 m, a sixth would come to 10.25 m.
		if err := h.fill("Row of beds", map[string]string{label: answer, "Path between": "2 ft"}); err != nil {
			t.Fatal(err)
		}
		if n := len(h.features()); n != 7 {
			t.Errorf("%s %s: %d features, want 3 and 4 new ones", label, answer, n)
		}
		if b := h.features()[6].Geometry.Bound(); b.Min[1] != 12.238 { // 5 + 4·(1.2 + 0.6096) to the millimetre
			t.Errorf("the last begins at %v", b.Min[1])
		}
		h.choose("Bed 1")
		for _, bad := range []map[string]string{{"Path between": "wide"}, {"Or fill": "far"}, {"End to end": "0"}, {"Side by side": "1"}} {
			if err := h.fill("Row of beds", bad); err == nil {
				t.Errorf("%v is taken", bad)
			}
		}
	}
}

func TestFillByTheForm(t *testing.T) {
	p := plan.New("")
	p.Features = []*plan.Feature{box(plan.Boundary, "Site", 0, 0, 20, 10)}
	h := newBench(t, p)
	h.choose("Site")
	if err := h.fill("Fill with beds", map[string]string{"Longest bed": "8 m"}); err != nil {
		t.Fatal(err)
	}
	if n := len(h.features()); n != 16 || len(h.s.Selection()) != 15 {
		t.Errorf("%d features, %d chosen", n, len(h.s.Selection()))
	}
	if n, _ := h.s.Document().UndoName(); n != "fill Site with 15 beds" {
		t.Errorf("step %q", n)
	}
}

// A step that makes one thing says so of one.
func TestOneIsNoMany(t *testing.T) {
	p := plan.New("")
	p.Features = []*plan.Feature{box(plan.Boundary, "Site", 0, 0, 20, 2)}
	h := newBench(t, p)
	h.choose("Site")
	if err := h.fill("Fill with beds", map[string]string{"Margin all round": "0 m"}); err != nil {
		t.Fatal(err)
	}
	if n, _ := h.s.Document().UndoName(); n != "fill Site with 1 bed" {
		t.Errorf("step %q", n)
	}
	if got := counted(15, "bed"); got != "15 beds" {
		t.Error(got)
	}
}

// A size that is less than the millimetre to which all is kept is refused in words, for each sort of shape.
func TestSizesBelowAMillimetre(t *testing.T) {
	p := garden()
	tree := plan.NewFeature(plan.Tree, "Pear", geometry.Disc(orb.Point{5, 10}, 1))
	tree.Centre, tree.RadiusM = &orb.Point{5, 10}, 1
	p.Features = append(p.Features, tree)
	h := newBench(t, p)
	for _, name := range []string{"Bed 1", "Pear"} {
		h.choose(name)
		for _, typed := range []string{"0", "0.4 mm", "-1 m", "1/100 in"} {
			err := h.fill("Size", map[string]string{"Width": typed})
			if err == nil || !strings.Contains(err.Error(), "width") || !strings.Contains(err.Error(), "millimetre") {
				t.Errorf("%s: a width of %q: %v", name, typed, err)
			}
		}
	}
	h.choose("Bed 1")
	if err := h.fill("Size", map[string]string{"Width": "1 mm"}); err != nil {
		t.Error(err)
	}
}
