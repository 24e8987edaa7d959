package proposals

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"hedgereach/app/board"
	"hedgereach/app/document"
	"hedgereach/app/session"
	"hedgereach/data"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/suggest"
)

// A desk is a pane on the sample garden, whose work from other goroutines the test does itself.
type desk struct {
	*Pane
	t      *testing.T
	s      *session.Session
	work   chan func()
	ghosts []board.Ghost
}

func newDesk(t *testing.T) *desk {
	t.Helper()
	test.NewTempApp(t)
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.Read(bytes.NewReader(data.Sample()), data.SampleName)
	if err != nil {
		t.Fatal(err)
	}
	d := &desk{t: t, work: make(chan func(), 10_000)}
	d.s = session.New(c, document.New(p))
	d.s.SetAsk(session.Ask{Guild: c.Guild("ground-beetles"), RangeM: 30})
	d.Pane = New(d.s, func(f func()) { d.work <- f })
	d.Ghosts = func(g []board.Ghost) { d.ghosts = g }
	w := test.NewTempWindow(t, d.Pane)
	w.Resize(fyne.NewSize(500, 900))
	return d
}

// until does the work that comes in until something holds.
func (d *desk) until(what string, holds func() bool) {
	d.t.Helper()
	late := time.After(8 * time.Minute)
	for !holds() {
		select {
		case f := <-d.work:
			f()
		case <-late:
			d.t.Fatalf("not in time: %s; %q", what, d.status.Text)
		}
	}
}

func (d *desk) within() (n int) {
	for _, b := range d.s.Assessment().Beds {
		if b.Guild("ground-beetles").Status == habitat.Within {
			n++
		}
	}
	return n
}

func text(p *Pane) string {
	var all []string
	for _, s := range p.full.Segments {
		all = append(all, s.Textual())
	}
	return strings.Join(all, "\n")
}

// TestLookCompareAccept goes the whole way: look, see ghosts, compare, put in, undo.
func TestLookCompareAccept(t *testing.T) {
	d := newDesk(t)
	before := d.s.Committed()
	was := d.within()
	test.Tap(&d.look.Button)
	if d.look.Text != "Stop" {
		t.Error("no way to stop")
	}
	d.until("all answers", func() bool { return d.stop == nil })
	if len(d.results) < 2 || len(d.results) > most || d.shown != 0 {
		t.Fatalf("%d results, %d shown: %s", len(d.results), d.shown, d.status.Text)
	}
	if d.s.Committed() != before || d.within() != was {
		t.Fatal("the plan changed unasked")
	}
	for i := range d.results {
		d.choose(i)
		r := d.results[i]
		if len(d.ghosts) != len(r.Changes) || !strings.HasPrefix(d.ghosts[0].Words, mark(i)) {
			t.Errorf("%s: ghosts %+v", r.Title, d.ghosts)
		}
		for _, want := range []string{r.Effect, r.How, r.Changes[0].Why} {
			if want == "" || !strings.Contains(text(d.Pane), want) {
				t.Errorf("%s: no %q in %s", r.Title, want, text(d.Pane))
			}
		}
	}
	d.choose(0)
	r := d.results[0]
	d.Hide()
	if len(d.ghosts) != 0 {
		t.Error("ghosts stay though the pane is hidden")
	}
	d.Show()
	if len(d.ghosts) == 0 {
		t.Error("ghosts do not come back")
	}
	test.Tap(&d.accept.Button)
	if got := d.within(); got != was+len(r.Beds) {
		t.Errorf("%d beds within, want %d and %d", got, was, len(r.Beds))
	}
	if len(d.ghosts) != 0 || len(d.results) != 0 || !strings.Contains(d.status.Text, "Undo") {
		t.Errorf("%d ghosts, %q", len(d.ghosts), d.status.Text)
	}
	if got := d.s.Selection(); len(got) != len(r.Changes) || got[0] != r.Changes[0].After.ID {
		t.Errorf("selected: %v", got)
	}
	if d.what.Selected != forPlants || d.habitats.Selected != thisHab || !strings.Contains(d.status.Text, "Nothing grows there yet") {
		t.Errorf("is not led on to the plants: %q, %q, %q", d.what.Selected, d.habitats.Selected, d.status.Text)
	}
	test.Tap(&d.look.Button)
	d.until("plants", func() bool { return d.stop == nil })
	if len(d.results) != 1 || d.results[0].mix == nil {
		t.Fatalf("no plants for the new strips: %s", d.status.Text)
	}
	d.s.Undo()
	if d.s.Committed() != before || d.shown >= 0 {
		t.Errorf("not undone, or %q", d.status.Text)
	}
	if strings.Contains(text(d.Pane), "Why here") {
		t.Error("the answer is still shown")
	}
}

// TestAskedAnew: what the map asks can change under an answer, and a refusal does not outlive its question.
func TestAskedAnew(t *testing.T) {
	d := newDesk(t)
	c := d.s.Catalogue()
	beetles := d.s.Ask()
	d.s.SetAsk(session.Ask{Guild: c.Guild("money-spiders"), RangeM: 30})
	test.Tap(&d.look.Button)
	d.until("a refusal", func() bool { return d.stop == nil })
	if !strings.Contains(d.status.Text, "distance") || len(d.results) != 0 {
		t.Fatalf("no refusal: %q", d.status.Text)
	}
	d.s.SetAsk(beetles)
	if d.status.Text != "" {
		t.Errorf("the refusal stays: %q", d.status.Text)
	}
	test.Tap(&d.look.Button)
	d.until("all answers", func() bool { return d.stop == nil })
	d.s.SetAsk(session.Ask{RangeM: 30})
	if n := len(d.results); n == 0 || !strings.Contains(d.status.Text, "asked before") {
		t.Errorf("%d answers, %q", n, d.status.Text)
	}
	d.s.SetAsk(beetles)
	if d.status.Text != notYet {
		t.Errorf("asked as before: %q", d.status.Text)
	}
}

// TestStopsAndStale: a search that is stopped leaves a line; one whose plan changes is given up.
func TestStopsAndStale(t *testing.T) {
	d := newDesk(t)
	test.Tap(&d.look.Button)
	test.Tap(&d.look.Button)
	d.until("the end", func() bool { return d.stop == nil })
	if !strings.HasPrefix(d.status.Text, "Stopped") {
		t.Errorf("says %q", d.status.Text)
	}
	test.Tap(&d.look.Button)
	next := d.s.Committed().Clone()
	next.Name = "Another"
	if err := d.s.Commit("name", next); err != nil {
		t.Fatal(err)
	}
	if d.stop != nil || !strings.Contains(d.status.Text, "changed") || d.look.Text != "Look" {
		t.Errorf("goes on: %q", d.status.Text)
	}
	run := d.run
	for len(d.work) > 0 {
		(<-d.work)()
	}
	if d.run != run || len(d.results) != 0 || len(d.ghosts) != 0 {
		t.Error("what is of the old plan came in")
	}
}

// TestPlants looks for a mix for the habitat that is chosen.
func TestPlants(t *testing.T) {
	d := newDesk(t)
	d.what.SetSelected(forPlants)
	d.habitats.SetSelected(thisHab)
	test.Tap(&d.look.Button)
	if !strings.Contains(d.status.Text, "Choose the habitat") || d.stop != nil {
		t.Errorf("says %q", d.status.Text)
	}
	for _, f := range d.s.Plan().Features {
		if f.Kind == plan.PerennialStrip {
			d.s.Select(f.ID)
		}
	}
	d.bounds.SetSelected(both)
	test.Tap(&d.look.Button)
	d.until("a mix", func() bool { return d.stop == nil })
	if len(d.results) != 1 {
		t.Fatal(d.status.Text)
	}
	for _, want := range []string{"New plants", "In flower, before and with them", "What each bound costs", "“native only”"} {
		if !strings.Contains(text(d.Pane), want) {
			t.Errorf("no %q in %s", want, text(d.Pane))
		}
	}
	n := len(d.results[0].mix.Plants)
	test.Tap(&d.accept.Button)
	f, _ := d.s.Plan().Find(d.s.Selection()[0])
	if got := len(f.Plants); got != 7+n {
		t.Errorf("%d plants, want 7 and %d", got, n)
	}
}

// TestPlantsWithinLimits asks for a mix by height, room, prices and one guild: each limit is kept and listed with what it costs, and
// what does not apply is not shown.
func TestPlantsWithinLimits(t *testing.T) {
	d := newDesk(t)
	d.what.SetSelected(forPlants)
	for _, f := range d.s.Plan().Features {
		if f.Kind == plan.PerennialStrip {
			d.s.Select(f.ID)
		}
	}
	d.habitats.SetSelected(thisHab)
	rows := func() (n int) {
		for _, o := range d.onlyPriced {
			if o.Visible() {
				n++
			}
		}
		return n
	}
	if rows() != 0 || !d.places.Hidden {
		t.Error("what goes with prices is shown without any")
	}
	// A list of all plants, of which every third costs 9.
	list := "plant;price\nmoon daisy;1,00\n"
	for i, p := range d.s.Catalogue().Plants {
		list += fmt.Sprintf("%s;%d,50\n", p.ID, 2+i%2+i%3/2*6)
	}
	file := filepath.Join(t.TempDir(), "list.csv")
	if err := os.WriteFile(file, []byte(list), 0o600); err != nil {
		t.Fatal(err)
	}
	var why error
	d.Open = func(_ string, _ []string, take func(string) error) { why = take(file) }
	test.Tap(&d.priceButton.Button)
	if why != nil || rows() != len(d.onlyPriced) || !strings.Contains(d.status.Text, `lacks line 2 "moon daisy"`) {
		t.Fatalf("%v, %d rows, %q", why, rows(), d.status.Text)
	}
	if want := fmt.Sprintf("Of %d plants…", len(d.s.Catalogue().Plants)); d.priceButton.Text != want {
		t.Errorf("says %q, want %q", d.priceButton.Text, want)
	}
	d.tall.SetText("1 m")
	d.room.SetText("60cm")
	d.dear.SetText("5")
	d.cost.SetSelected(cheapest)
	d.feed.Tick("hoverflies", true)
	test.Tap(&d.look.Button)
	d.until("a mix", func() bool { return d.stop == nil })
	if len(d.results) != 1 {
		t.Fatal(d.status.Text)
	}
	r := d.results[0]
	for _, pl := range r.mix.Plants {
		if pl.HeightMaxCM > 100 || pl.SpacingCM > 60 || !(r.prices[pl.ID] > 0 && r.prices[pl.ID] <= 5) {
			t.Errorf("%s grows %v cm tall, %v cm apart and costs %v", pl.ID, pl.HeightMaxCM, pl.SpacingCM, r.prices[pl.ID])
		}
	}
	words := text(d.Pane)
	for _, want := range []string{"Least cost", "“no taller than 1.00 m”", "“needing no more room than 0.60 m”", "“no dearer than 5”", "“with a price”", "“feeding hoverflies”",
		", " + suggest.FormatPrice(r.prices[r.mix.Plants[0].ID])} {
		if !strings.Contains(words, want) {
			t.Errorf("no %q in %s", want, words)
		}
	}
	if d.tall.Text != "1.00 m" || d.room.Text != "0.60 m" {
		t.Errorf("shown as %q and %q", d.tall.Text, d.room.Text)
	}
	if len(r.mix.Unfed) > 1 {
		t.Errorf("%d guilds asked for, not one", len(r.mix.Unfed))
	}
	d.tall.SetText("tall")
	test.Tap(&d.look.Button)
	if d.stop != nil || !strings.Contains(d.status.Text, "tall") {
		t.Errorf("looks with a height that is none: %q", d.status.Text)
	}
	d.tall.SetText("")
	d.noPrices.Tap()
	if rows() != 0 || d.prices != nil || d.dearest != 0 || d.cost.Selected != fewest {
		t.Error("the prices stay")
	}
	if err := os.WriteFile(file, []byte("name\nx"), 0o600); err != nil {
		t.Fatal(err)
	}
	if test.Tap(&d.priceButton.Button); why == nil || d.prices != nil {
		t.Error("a list without prices is taken")
	}
	test.Tap(&d.look.Button)
	d.until("a mix", func() bool { return d.stop == nil })
	if len(d.results) != 1 || strings.Contains(text(d.Pane), "taller") || d.results[0].prices != nil {
		t.Errorf("limits stay: %q %s", d.status.Text, text(d.Pane))
	}
}

// TestWhom looks for places for several guilds at once, by length, and for edits alone.
func TestWhom(t *testing.T) {
	d := newDesk(t)
	d.least.SetText("20 m")
	d.whom.Tick(cropsNeed, true)
	n := len(suggest.CropGuilds(d.s.Committed(), d.s.Catalogue()))
	if want := fmt.Sprintf("all %d guilds that the crops need", n); n < 8 || !strings.Contains(d.asked.Text, want) {
		t.Errorf("no %q in %q", want, d.asked.Text)
	}
	if s, err := d.read(); err != nil || len(s.where.Guilds) != n {
		t.Errorf("%v, %v", s, err)
	}
	d.whom.Tick("ground-beetles", true)
	d.whom.Tick("lady-beetles", true)
	d.seek.SetSelected(seeks[1].words)
	test.Tap(&d.look.Button)
	d.until("all answers", func() bool { return d.stop == nil })
	if len(d.results) < 2 || d.results[0].Title != "Least length" || !slices.Equal(d.results[0].Ask.Guilds, []string{"lady-beetles", "ground-beetles"}) {
		t.Fatalf("%d results: %s", len(d.results), d.status.Text)
	}
	if !strings.Contains(text(d.Pane), "Lady beetles, ground beetles.") {
		t.Errorf("not said for whom: %s", text(d.Pane))
	}
	if d.whom.Tick("lady-beetles", false); !strings.Contains(d.status.Text, "asked before") {
		t.Errorf("answers to what was asked before: %q", d.status.Text)
	}
	d.seek.SetSelected(seeks[2].words)
	if d.onlyStrips[0].Visible() || d.onlyStrips[1].Visible() {
		t.Error("a width is asked for, where nothing new is laid")
	}
	d.least.SetText("nonsense") // not shown, so it bars nothing
	test.Tap(&d.look.Button)
	d.until("all answers", func() bool { return d.stop == nil })
	if len(d.results) == 0 {
		t.Fatal(d.status.Text)
	}
	for i, r := range d.results {
		if r.Changes[0].Before == nil || i > 0 && len(r.Beds) > len(d.results[i-1].Beds) {
			t.Errorf("%s: %s", r.Title, r.Effect)
		}
	}
	bare := d.s.Committed().Clone()
	for i, f := range bare.Features {
		if len(f.Crops) > 0 {
			f = f.Clone()
			f.Crops = nil
			bare.Features[i] = f
		}
	}
	if err := d.s.Commit("no crops", bare); err != nil {
		t.Fatal(err)
	}
	d.whom.Tick(cropsNeed, true)
	test.Tap(&d.look.Button)
	if d.stop != nil || !strings.Contains(d.status.Text, "No crop of the plan needs") {
		t.Errorf("looks for nobody: %q", d.status.Text)
	}
}
