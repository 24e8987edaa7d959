package panes

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
	"github.com/paulmach/orb"

	"hedgereach/app/document"
	"hedgereach/app/fields"
	"hedgereach/app/session"
	"hedgereach/data"
	"hedgereach/geometry/length"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

func box(x, y, w, h float64) orb.Polygon {
	return orb.Polygon{{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}}}
}

// small is a session on a hedge of 2 m by 2 m at the origin and three beds east of it.
func small(t *testing.T) *session.Session {
	t.Helper()
	test.NewTempApp(t)
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	p := plan.New("Small")
	p.Features = []*plan.Feature{plan.NewFeature(plan.Hedgerow, "Hedge", box(0, 0, 2, 2)),
		plan.NewFeature(plan.Bed, "Bed 2", box(10, 0, 4, 2)), plan.NewFeature(plan.Bed, "Bed 10", box(25, 0, 10, 2)),
		plan.NewFeature(plan.Bed, "Bed 9", box(100, 0, 4, 2))}
	s := session.New(c, document.New(p))
	s.SetAsk(session.Ask{RangeM: 30})
	return s
}

// never drops work that a timer hands back: the tests do it themselves, on their own goroutine.
func never(func()) {}

func id(s *session.Session, name string) string {
	for _, f := range s.Plan().Features {
		if f.Name == name {
			return f.ID
		}
	}
	return ""
}

func names(b *Beds) string {
	var out []string
	for _, r := range b.rows {
		out = append(out, r.name)
	}
	return strings.Join(out, ", ")
}

// The hedge's east side lies at x = 2, level with the beds: so distances along x are nearest and farthest, by subtraction.
func TestBedsSayDistances(t *testing.T) {
	s := small(t)
	b := NewBeds(s, never)
	for _, want := range []struct {
		name, nearest, farthest, share string
		status                         habitat.Status
	}{
		{"Bed 9", "98.0 m", "102.0 m", "0 %", habitat.Beyond},
		{"Bed 10", "23.0 m", "33.0 m", "70 %", habitat.Partly}, // within x ≤ 32: 7 of 10 m
		{"Bed 2", "8.0 m", "12.0 m", "100 %", habitat.Within},
	} {
		i := slices.IndexFunc(b.rows, func(l bedLine) bool { return l.name == want.name })
		r := b.rows[i]
		if r.nearest != want.nearest || r.farthest != want.farthest || r.share != want.share || r.status != want.status {
			t.Errorf("%s: %s, %s, %s, %s, want %+v", want.name, r.nearest, r.farthest, r.share, r.status, want)
		}
	}
	if want := "3 beds: 1 within, 1 partly, 1 beyond\nReach of any refuge at 30 m"; b.summary.Text != want {
		t.Errorf("summary %q, want %q", b.summary.Text, want)
	}
}

func TestBedsSort(t *testing.T) {
	b := NewBeds(small(t), never)
	if got := names(b); got != "Bed 9, Bed 10, Bed 2" {
		t.Errorf("the worst first: %s", got)
	}
	for _, c := range []struct {
		by   column
		want string
	}{{byName, "Bed 2, Bed 9, Bed 10"}, {byName, "Bed 10, Bed 9, Bed 2"}, {byArea, "Bed 10, Bed 2, Bed 9"},
		{byFarthest, "Bed 9, Bed 10, Bed 2"}} {
		test.Tap(b.heads[c.by])
		if got := names(b); got != c.want {
			t.Errorf("by %s: %s, want %s", columnNames[c.by], got, c.want)
		}
	}
}

func TestChoosingABedShowsIt(t *testing.T) {
	s := small(t)
	b := NewBeds(s, never)
	asked := false
	s.Observe(func(w session.What) { asked = asked || w&session.FocusAsked != 0 })
	b.list.Select(2)
	if got := s.Selection(); len(got) != 1 || got[0] != id(s, "Bed 2") || !asked {
		t.Errorf("selected %v, asked to show %v", got, asked)
	}
	asked = false
	s.Select(id(s, "Bed 9"))
	if b.marked != 0 || asked {
		t.Errorf("line %d marked for a bed selected on the ground, asked to show %v", b.marked, asked)
	}
}

func TestBedsFollowADrag(t *testing.T) {
	s := small(t)
	b := NewBeds(s, never)
	b.pacer.last = time.Time{}
	p := s.Committed().Clone()
	f, i := p.Find(id(s, "Bed 9"))
	f = f.Clone()
	f.Geometry = box(12, 0, 4, 2)
	p.Features[i] = f
	s.Preview(p)
	if !strings.HasPrefix(b.summary.Text, "3 beds: 2 within") {
		t.Errorf("summary %q while a bed is dragged near", b.summary.Text)
	}
	s.CancelPreview()
	b.pacer.now()
	if !strings.HasPrefix(b.summary.Text, "3 beds: 1 within") {
		t.Errorf("summary %q after the drag was given up", b.summary.Text)
	}
}

func TestUnknownRangeIsNotComputed(t *testing.T) {
	s := small(t)
	b := NewBeds(s, never)
	s.SetAsk(session.Ask{Guild: s.Catalogue().Guild("money-spiders"), RangeM: 30})
	if !strings.Contains(b.summary.Text, "is published for money spiders, so nothing is computed") {
		t.Errorf("summary %q", b.summary.Text)
	}
	for _, r := range b.rows {
		if r.status != habitat.Unknown || r.share != "–" {
			t.Errorf("%s: %s, %s", r.name, r.status, r.share)
		}
	}
}

func TestHiddenPaneWaits(t *testing.T) {
	s := small(t)
	b := NewBeds(s, never)
	b.Hide()
	s.SetAsk(session.Ask{RangeM: 200})
	if !strings.Contains(b.summary.Text, "30 m") {
		t.Error("a hidden pane worked")
	}
	b.Show()
	if !strings.Contains(b.summary.Text, "200 m") {
		t.Errorf("summary %q once it is shown", b.summary.Text)
	}
}

func TestNamesInOrder(t *testing.T) {
	in := []string{"Row 10", "row 2", "Bed", "Row 02", "Bed 1", "", "Row"}
	slices.SortFunc(in, compareNames)
	if got := strings.Join(in, "|"); got != "|Bed|Bed 1|Row|Row 02|row 2|Row 10" {
		t.Errorf("order %s", got)
	}
}

func TestChoosingAFindingShowsIt(t *testing.T) {
	s := small(t)
	f := NewFindings(s, never)
	if len(f.all) == 0 {
		t.Fatal("no finding although a bed lies 98 m off the only refuge")
	}
	i := slices.IndexFunc(f.all, func(x habitat.Finding) bool { return slices.Contains(x.Features, id(s, "Bed 9")) })
	if i < 0 {
		t.Fatal("no finding is about Bed 9")
	}
	f.list.Select(i)
	if s.Shown() == nil || s.Shown().Rule != f.all[i].Rule || !s.Selected(id(s, "Bed 9")) {
		t.Errorf("shown %v, selected %v", s.Shown(), s.Selection())
	}
	text := f.full.String()
	for _, part := range []string{f.all[i].Message, f.all[i].Mend, f.all[i].Source, "Bed 9"} {
		if part != "" && !strings.Contains(text, part) {
			t.Errorf("the finding in full lacks %q", part)
		}
	}
}

func TestChosenFindingGoesWhenMended(t *testing.T) {
	s := small(t)
	f := NewFindings(s, never)
	i := slices.IndexFunc(f.all, func(x habitat.Finding) bool { return slices.Contains(x.Features, id(s, "Bed 9")) })
	f.list.Select(i)
	p := s.Committed().Clone()
	_, at := p.Find(id(s, "Bed 9"))
	p.Features = slices.Delete(p.Features, at, at+1)
	if err := s.Commit("delete Bed 9", p); err != nil {
		t.Fatal(err)
	}
	if f.chosen != nil || f.show.Visible() {
		t.Errorf("%q is still shown", f.chosen.Title)
	}
}

// entries are the lines of text of a form, in order.
func entries(o fyne.CanvasObject) (out []*fields.Entry) {
	switch x := o.(type) {
	case *fields.Entry:
		out = append(out, x)
	case *fyne.Container:
		for _, c := range x.Objects {
			out = append(out, entries(c)...)
		}
	}
	return out
}

func selects(o fyne.CanvasObject) (out []*fields.Pick) {
	switch x := o.(type) {
	case *fields.Pick:
		out = append(out, x)
	case *fyne.Container:
		for _, c := range x.Objects {
			out = append(out, selects(c)...)
		}
	}
	return out
}

// typeIn replaces a field's text and leaves the field.
func typeIn(e *fields.Entry, text string) {
	e.SetText(text)
	e.FocusLost()
}

func TestFeatureEditsAreSteps(t *testing.T) {
	s := small(t)
	var complaint error
	f := NewFeature(s, never, func(err error) { complaint = err })
	s.Select(id(s, "Bed 2"))
	es := entries(f.body) // name, length, width, note
	typeIn(es[0], "Lettuce bed")
	if n, _ := s.Document().UndoName(); n != "rename Bed 2" || id(s, "Lettuce bed") == "" {
		t.Errorf("step %q", n)
	}
	typeIn(es[1], "6 m")
	bed, _ := s.Committed().Find(id(s, "Lettuce bed"))
	if a, b, ok := sides(bed.Geometry); !ok || a != 6 || b != 2 {
		t.Errorf("sides %g and %g after typing a length of 6 m", a, b)
	}
	if es[1].Text != "6.00 m" {
		t.Errorf("the field shows %q", es[1].Text)
	}
	typeIn(es[2], "wide")
	if complaint == nil {
		t.Error("a width of \"wide\" was taken")
	}
	if after, _ := s.Committed().Find(bed.ID); after != bed {
		t.Error("a width of \"wide\" changed the bed")
	}
	s.Undo()
	if es[1].Text != "4.00 m" {
		t.Errorf("the field shows %q after undo", es[1].Text)
	}
}

func TestRefuseKeepsTheForm(t *testing.T) {
	s := small(t)
	var complaint error
	f := NewFeature(s, never, func(err error) { complaint = err })
	s.Select(id(s, "Bed 2"))
	_ = f.edit(id(s, "Bed 2"), "spoil", func(*plan.Feature) error { return errors.New("no") })
	if complaint == nil || complaint.Error() != "no" {
		t.Errorf("complaint %v", complaint)
	}
	if s.Document().Dirty() {
		t.Error("a refused edit changed the plan")
	}
}

func TestKindAndRefuge(t *testing.T) {
	s := small(t)
	f := NewFeature(s, never, func(err error) { t.Error(err) })
	hedge := id(s, "Hedge")
	s.Select(hedge)
	ss := selects(f.body)
	if ss[0].Selected != "Hedgerow" || ss[1].Selected != "By kind: yes" {
		t.Fatalf("shows %q and %q", ss[0].Selected, ss[1].Selected)
	}
	ss[1].SetSelected("No")
	x, _ := s.Committed().Find(hedge)
	if x.IsRefuge() {
		t.Error("still a refuge after No")
	}
	if s.Assessment().Beds[0].Refuge != nil {
		t.Error("beds still have a refuge although the only one was said to be none")
	}
	ss = selects(f.body)
	ss[0].SetSelected("Pond")
	if x, _ = s.Committed().Find(hedge); x.Kind != plan.Pond {
		t.Errorf("kind %s", x.Kind)
	}
}

func TestAddAndRemovePlants(t *testing.T) {
	s := small(t)
	f := NewFeature(s, never, func(err error) { t.Error(err) })
	hedge := id(s, "Hedge")
	s.Select(hedge)
	choice := func() *fields.Choice {
		for _, o := range f.body.Objects {
			if c, ok := o.(*fields.Choice); ok && c.Text == "Add a plant…" {
				return c
			}
		}
		t.Fatal("no choice of plants")
		return nil
	}
	items := choice().Items()
	choice().Chosen(items[0])
	x, _ := s.Committed().Find(hedge)
	if len(x.Plants) != 1 || x.Plants[0].Plant != items[0].ID || x.Plants[0].Share != 1 {
		t.Fatalf("plants %+v, want all of the ground for the first", x.Plants)
	}
	es := entries(f.body) // name, length, width, from, until, share, note
	typeIn(es[5], "30 %")
	choice().Chosen(items[1])
	if x, _ = s.Committed().Find(hedge); x.Plants[0].Share != 0.3 || x.Plants[1].Share != 0.7 {
		t.Errorf("shares %g and %g, want the second to take what is left", x.Plants[0].Share, x.Plants[1].Share)
	}
}

func TestSizesOfStripsAndRounds(t *testing.T) {
	x := &plan.Feature{Line: orb.LineString{{0, 0}, {10, 0}}, WidthM: 2}
	if err := setWidth(x, 3); err != nil {
		t.Fatal(err)
	}
	if got := areaOf(x); x.WidthM != 3 || got < 29.999 || got > 30.001 { // 10 m by 3 m
		t.Errorf("a strip of 10 m by 3 m covers %g m²", got)
	}
	c := orb.Point{5, 5}
	y := &plan.Feature{Centre: &c}
	if err := setRadius(y, 2); err != nil {
		t.Fatal(err)
	}
	if got := areaOf(y); got < 12.4 || got > 12.567 { // π·2², less what a polygon with corners on the circle lacks
		t.Errorf("a disc of 2 m covers %g m²", got)
	}
}

func TestBriefLengths(t *testing.T) {
	for _, c := range []struct {
		m    float64
		sys  length.System
		want string
	}{{7.5, length.Metric, "7.5 m"}, {60, length.Metric, "60 m"}, {9, length.Metric, "9 m"}, {0.3048, length.US, "1 ft"},
		{60, length.US, "197 ft"}} {
		if got := brief(c.m, c.sys); got != c.want {
			t.Errorf("%g m is %q, want %q", c.m, got, c.want)
		}
	}
	if got := span(30, 200, length.Metric); got != "30–200 m" {
		t.Errorf("span %q", got)
	}
	if got := span(4.3, 4.3, length.Metric); got != "4.3 m" {
		t.Errorf("span of one length %q", got)
	}
}

// Each guild's words name a source, or say plainly that nothing is computed.
func TestGuildsNameTheirSources(t *testing.T) {
	s := small(t)
	for _, g := range s.Catalogue().Guilds {
		text := ""
		for _, x := range guildWords(s.Catalogue(), g, length.Metric) {
			text += x.Textual() + "\n"
		}
		if g.HasRange() && !strings.Contains(text, "Source of the range") {
			t.Errorf("%s has a range without a source", g.Name)
		}
		if !g.HasRange() && !strings.Contains(text, "nothing is computed") {
			t.Errorf("%s has no range, and its words do not say so: %s", g.Name, text)
		}
	}
}

func TestPacerRunsTheLast(t *testing.T) {
	back := make(chan func(), 10)
	ran := 0
	p := &pacer{dispatch: func(fn func()) { back <- fn }, work: func() { ran++ }}
	p.soon()
	if ran != 1 {
		t.Fatalf("the first call ran %d times at once", ran)
	}
	p.soon()
	p.soon()
	if ran != 1 {
		t.Error("a call within a pace of the last ran at once")
	}
	(<-back)()
	if ran != 2 || len(back) != 0 {
		t.Errorf("two calls within a pace ran %d times, %d to come", ran-1, len(back))
	}
}

// Wild carrot is a listed weed in parts of North America (state noxious weed lists; from memory), so a garden there is not offered
// it; a garden in Europe, where it is native, is.
func TestWeedsAreNotOffered(t *testing.T) {
	s := small(t)
	f := NewFeature(s, never, func(err error) { t.Error(err) })
	for _, want := range []struct {
		longitude float64
		offered   bool
	}{{-72.5, false}, {10, true}} {
		q := s.Committed().Clone()
		q.Place = &plan.Place{Latitude: 47, Longitude: want.longitude}
		if err := s.Commit("place", q); err != nil {
			t.Fatal(err)
		}
		got := slices.ContainsFunc(f.plantItems(), func(it fields.Item) bool { return it.ID == "wild-carrot" })
		if got != want.offered {
			t.Errorf("at longitude %g wild carrot is offered: %v", want.longitude, got)
		}
	}
}

// What the published distances leave open is said: Anagrus is known to work 18 to 100 m from its refuge (data/guilds.csv).
func TestPanesSayWhatTheBandLeavesOpen(t *testing.T) {
	s := small(t)
	g := s.Catalogue().Guild("anagrus")
	s.SetAsk(session.Ask{Guild: g})
	beds := NewBeds(s, never)
	beds.update()
	if want := "\nPublished distances differ: 2 within at best (100 m), 1 at worst (18 m)"; !strings.HasSuffix(beds.summary.Text, want) {
		t.Errorf("summary %q", beds.summary.Text)
	}
	// Bed 2 is within 12.2 m and stays so, Bed 10 from 23 to 33 m, Bed 9 from 98 to 102 m.
	for _, c := range []struct{ bed, want string }{{"Bed 2", ""}, {"Bed 10", "within at best, beyond at worst"},
		{"Bed 9", "partly at best, beyond at worst"}} {
		s.Select(id(s, c.bed))
		f := NewFeature(s, never, func(err error) { t.Error(err) })
		found := false
		for i, o := range f.body.Objects {
			row, _ := o.(*fyne.Container)
			if row == nil || len(row.Objects) != 3 {
				continue
			}
			if w, _ := row.Objects[1].(*fields.Word); w == nil || w.Text != g.Name {
				continue
			}
			found = true
			if says := f.body.Objects[i+1].(*widget.Label); says.Text != c.want || says.Visible() != (c.want != "") {
				t.Errorf("%s: %q, shown %v, want %q", c.bed, says.Text, says.Visible(), c.want)
			}
		}
		if !found {
			t.Errorf("%s: no line for %s", c.bed, g.Name)
		}
	}
}
