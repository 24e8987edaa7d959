package browser

import (
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"github.com/paulmach/orb"

	"hedgereach/app/document"
	"hedgereach/app/fields"
	"hedgereach/app/session"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

func box(x, y, w, h float64) orb.Polygon {
	return orb.Polygon{{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}}}
}

// open is a browser on a plan in Vermont of a hedge and a bed; said is what it said last, of success or of failure.
func open(t *testing.T) (b *Browser, s *session.Session, said *string) {
	t.Helper()
	test.NewTempApp(t)
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	p := plan.New("Small")
	p.Place = &plan.Place{Latitude: 44, Longitude: -72.5, ElevationM: 200, HardinessZone: "5a", LastFrost: 130, FirstFrost: 274}
	p.Features = []*plan.Feature{plan.NewFeature(plan.Hedgerow, "Hedge", box(0, 0, 2, 2)), plan.NewFeature(plan.Bed, "Bed", box(10, 0, 4, 2))}
	s = session.New(c, document.New(p))
	said = new(string)
	b = New(s, func(err error) { *said = "refused: " + err.Error() })
	b.Say = func(text string) { *said = text }
	return b, s, said
}

func (b *Browser) ids() (out []string) {
	for _, l := range b.shown {
		if l.plant != nil {
			out = append(out, l.plant.ID)
		} else {
			out = append(out, l.crop.ID)
		}
	}
	return out
}

// pick chooses a line by hand.
func pick(t *testing.T, b *Browser, id string) {
	t.Helper()
	for i, x := range b.ids() {
		if x == id {
			b.list.Select(i)
			return
		}
	}
	t.Fatalf("%s is not listed", id)
}

func tick(t *testing.T, b *Browser, words string) {
	t.Helper()
	for _, c := range b.form().checks {
		if strings.HasPrefix(c.Text, words) {
			c.SetChecked(true)
			return
		}
	}
	t.Fatalf("there is nothing to tick that begins with %q", words)
}

// Each thing asked lets through what the catalogue says of the plants, and no others.
func TestFiltersOfPlants(t *testing.T) {
	b, s, _ := open(t)
	june, err := season.ParseHalfMonth("06-01")
	if err != nil {
		t.Fatal(err)
	}
	ask := s.Ask()
	ask.On = &june
	s.SetAsk(ask)
	a := s.Assessment()
	at := habitat.RegionOf(s.Plan().Place)
	if at.Continent != data.NorthAmerica || at.Zone.String() != "5a" {
		t.Fatalf("the plan lies in %+v", at)
	}
	hover := s.Catalogue().Guilds[0].ID
	for _, g := range s.Catalogue().Guilds {
		if len(s.Catalogue().FeedersOf(g.ID)) > 0 {
			hover = g.ID
			break
		}
	}
	for _, x := range []struct {
		name string
		ask  func()
		want func(*data.Plant) bool
	}{
		{"nothing", func() {}, func(*data.Plant) bool { return true }},
		{"in flower as the strip says", func() { b.form().flowers.SetSelectedIndex(asOnStrip) }, func(p *data.Plant) bool {
			w, _ := a.BloomOf(p)
			return w.Covers(june)
		}},
		{"in flower in a half-month", func() { b.form().flowers.SetSelected("In flower 16–31 Aug") }, func(p *data.Plant) bool {
			w, _ := a.BloomOf(p)
			return w.Covers(15) // the sixteenth of the year
		}},
		{"shelters", func() { b.form().guild.SetSelected("Shelters ground beetles") }, func(p *data.Plant) bool {
			return slices.Contains(p.Guilds, "ground-beetles") // whose kinds eat no nectar
		}},
		{"zone", func() {
			b.form().zone.SetText("3b")
			b.form().zone.OnSubmitted("")
		}, func(p *data.Plant) bool { return p.ZoneMin <= 3 || strings.HasPrefix(p.LifeCycle, "annual") }},
		{"no caution", func() { tick(t, b, "Carries no caution") }, func(p *data.Plant) bool { return p.Caution == "" }},
		{"feeds", func() { b.form().guild.SetSelectedIndex(1) }, func(p *data.Plant) bool {
			for _, f := range s.Catalogue().FeedersOf(hover) {
				if f == p {
					return true
				}
			}
			return false
		}},
		{"height", func() {
			b.form().under.SetText("3 ft")
			b.form().under.OnSubmitted("")
		}, func(p *data.Plant) bool { return p.HeightMaxCM <= 91.44 }}, // a foot is 30.48 cm by definition
		{"native", func() { b.form().native.SetText("north america") }, func(p *data.Plant) bool {
			for _, land := range []string{"North America", "California", "USA", "Mexico", "Midwest", "N hemisphere"} {
				if strings.Contains(p.Native, land) {
					return true
				}
			}
			return false
		}},
		{"hardy", func() { tick(t, b, "Hardy") }, func(p *data.Plant) bool {
			return p.ZoneMin <= 5 || strings.HasPrefix(p.LifeCycle, "annual")
		}},
		{"people", func() { tick(t, b, "Not poisonous to people") }, func(p *data.Plant) bool { return !p.Is(data.ToxicToPeople) }},
		{"stock", func() { tick(t, b, "Not poisonous to stock") }, func(p *data.Plant) bool { return !p.Is(data.ToxicToStock) }},
		{"skin", func() { tick(t, b, "Not irritant") }, func(p *data.Plant) bool { return !p.Is(data.SkinIrritant) }},
		{"invasive", func() { tick(t, b, "Not invasive") }, func(p *data.Plant) bool {
			return !strings.Contains(strings.Join(p.InvasiveIn, " "), data.NorthAmerica)
		}},
	} {
		x.ask()
		listed := map[string]bool{}
		for _, id := range b.ids() {
			listed[id] = true
		}
		some, all := false, true
		for _, p := range s.Catalogue().Plants {
			want := a.Offered(p) && x.want(p)
			some, all = some || want, all && want
			if listed[p.ID] != want {
				t.Errorf("%s: %s is listed: %v", x.name, p.ID, listed[p.ID])
			}
		}
		if !some || all {
			t.Errorf("%s: the check checks nothing (some %v, all %v)", x.name, some, all)
		}
		b.form().clear()
	}
	if b.clear.Visible() {
		t.Error("clear is offered with nothing asked")
	}
}

func TestHeightThatIsNoLengthIsRefused(t *testing.T) {
	b, _, said := open(t)
	n := len(b.shown)
	b.form().under.SetText("tall")
	b.form().under.OnSubmitted("")
	if !strings.Contains(*said, "refused") || len(b.shown) != n {
		t.Errorf("said %q and lists %d of %d", *said, len(b.shown), n)
	}
}

func TestPlantIsPlantedAsOneStep(t *testing.T) {
	b, s, said := open(t)
	b.form().search.SetText("zizia")
	b.form().search.OnSubmitted("") // Enter goes to the first that was found
	if b.chosen == nil || b.chosen.plant.ID != "golden-alexanders" {
		t.Fatal("Enter in the search does not choose what was found by its Latin name")
	}
	if !b.add.Disabled() {
		t.Error("a plant can be added with nothing selected")
	}
	b.plant()
	if !strings.HasPrefix(*said, "refused: choose the habitat") {
		t.Errorf("said %q", *said)
	}
	s.Select(s.Plan().Features[1].ID)
	if !b.add.Disabled() {
		t.Error("a plant of hedges can be added to a bed")
	}
	s.Select(s.Plan().Features[0].ID)
	if b.add.Disabled() || b.add.Text != "Add to Hedge" {
		t.Errorf("the button says %q, disabled %v", b.add.Text, b.add.Disabled())
	}
	b.share.SetText("35")
	b.list.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if g := s.Committed().Features[0].Plants; len(g) != 1 || g[0].Plant != "golden-alexanders" || g[0].Share != 0.35 {
		t.Fatalf("planted %+v", g)
	}
	b.plant()
	if !strings.Contains(*said, "grows in Hedge already") || len(s.Committed().Features[0].Plants) != 1 {
		t.Errorf("planting it twice said %q", *said)
	}
	if name, _ := s.Document().UndoName(); name != "plant golden alexanders in Hedge" {
		t.Errorf("the step is called %q", name)
	}
	s.Undo()
	if len(s.Committed().Features[0].Plants) != 0 {
		t.Error("planting cannot be undone by one step")
	}
	b.share.SetText("many")
	b.plant()
	if !strings.HasPrefix(*said, "refused:") || len(s.Committed().Features[0].Plants) != 0 {
		t.Errorf("a share of %q said %q", b.share.Text, *said)
	}
}

func TestCropIsPlantedWithDates(t *testing.T) {
	b, s, said := open(t)
	b.show(true)
	if len(b.shown) != len(s.Catalogue().Crops) {
		t.Errorf("%d of %d crops are listed unasked", len(b.shown), len(s.Catalogue().Crops))
	}
	b.form().search.SetText("lettuce")
	pick(t, b, b.ids()[0])
	crop := b.chosen.crop.ID
	s.Select(s.Plan().Features[1].ID)
	b.until.SetText("1 June")
	b.plant()
	if !strings.Contains(*said, "one date alone") {
		t.Errorf("half a time said %q", *said)
	}
	b.from.SetText("16 Apr")
	b.share.SetText("50 %")
	b.plant()
	april, err := season.ParseDay("04-16")
	june, err2 := season.ParseDay("06-01")
	if err != nil || err2 != nil {
		t.Fatal(err, err2)
	}
	if c := s.Committed().Features[1].Crops; len(c) != 1 || c[0].Crop != crop || c[0].Share != 0.5 ||
		c[0].Dates != (season.Window{From: april, To: june}) {
		t.Fatalf("planted %+v", c)
	}
	s.Undo()
	if len(s.Committed().Features[1].Crops) != 0 {
		t.Error("planting cannot be undone by one step")
	}
}

// What is not typed: all that is left of the ground, an equal part of a habitat that is full, and the longest time to harvest. A crop
// that follows another has the whole bed.
func TestWhatIsNotTypedIsWhatIsLeft(t *testing.T) {
	b, s, said := open(t)
	s.Select(s.Plan().Features[0].ID)
	for i, share := range []string{"30", "", ""} {
		b.list.Select(i)
		b.share.SetText(share)
		b.plant()
	}
	if !strings.Contains(*said, "grows on 33 % of Hedge. The others gave way") {
		t.Errorf("a plant where nothing was left said %q", *said)
	}
	if g := s.Committed().Features[0].Plants; len(g) != 3 || g[0].Share != 0.201 || g[1].Share != 0.469 || g[2].Share != 0.33 {
		t.Errorf("planted %+v", g)
	}
	s.Undo()
	if g := s.Committed().Features[0].Plants; len(g) != 2 || g[0].Share != 0.3 || g[1].Share != 0.7 {
		t.Errorf("before there stood %+v", g)
	}
	b.show(true)
	s.Select(s.Plan().Features[1].ID)
	i := slices.IndexFunc(b.shown, func(l line) bool { return l.crop.DaysMax > 0 && l.crop.DaysMax < 60 })
	b.list.Select(i)
	b.from.SetText("1 Apr")
	b.plant()
	b.from.SetText("1 Sep")
	b.plant()
	c := s.Committed().Features[1].Crops
	if len(c) != 2 || c[0].Share != 1 || c[1].Share != 1 {
		t.Fatalf("planted %+v, said %q", c, *said)
	}
	if want := c[0].Dates.From.Add(b.shown[i].crop.DaysMax); c[0].Dates.To != want {
		t.Errorf("it stands until %v, want %v", c[0].Dates.To, want)
	}
}

// The classes are those of Klein et al. 2007, Proceedings of the Royal Society B 274:303–313: modest is a loss of 10 % to 40 %.
func TestFiltersOfCrops(t *testing.T) {
	b, s, _ := open(t)
	b.show(true)
	tick(t, b, "Needs pollination")
	if len(b.shown) == 0 {
		t.Error("no crop needs pollination")
	}
	for _, l := range b.shown {
		switch l.crop.Pollination {
		case "modest", "great", "essential":
		default:
			t.Errorf("%s needs pollination: %s", l.crop.ID, l.crop.Pollination)
		}
	}
	b.form().clear()
	for _, x := range []struct {
		field *fields.Entry
		text  string
		want  func(*data.Crop) bool
	}{
		{b.form().under, "6 in", func(c *data.Crop) bool { return c.InRowMinCM > 0 && c.InRowMinCM <= 15.24 }}, // an inch is 2.54 cm
		{b.form().within, "60", func(c *data.Crop) bool { return c.DaysMin > 0 && c.DaysMin <= 60 }},
	} {
		x.field.SetText(x.text)
		x.field.OnSubmitted("")
		n := 0
		for _, c := range s.Catalogue().Crops {
			if x.want(c) {
				n++
			}
		}
		if len(b.shown) != n || n == 0 || n == len(s.Catalogue().Crops) {
			t.Errorf("%q: %d listed, want %d", x.text, len(b.shown), n)
		}
		b.form().clear()
	}
	b.form().within.SetText("soon")
	b.form().within.OnSubmitted("")
	if len(b.shown) != len(s.Catalogue().Crops) {
		t.Error("what is no number of days asks something")
	}
	b.form().clear()
	b.form().pest.SetSelectedIndex(1)
	pest := s.Catalogue().Pests[0]
	if got, want := strings.Join(sorted(b.ids()), " "), strings.Join(sorted(pest.Hosts), " "); got != want {
		t.Errorf("%s harms %s, listed are %s", pest.ID, want, got)
	}
}

func TestDraggedPlantGrowsWhereItIsLetGo(t *testing.T) {
	b, s, said := open(t)
	over := s.Plan().Features[0]
	b.At = func(at fyne.Position) *plan.Feature {
		if at.X < 100 {
			return over
		}
		return nil
	}
	w := test.NewWindow(b)
	defer w.Close()
	w.Resize(fyne.NewSize(440, 800))
	drag := func(id string, x float32) {
		for _, l := range b.shown {
			if l.plant != nil && l.plant.ID == id || l.crop != nil && l.crop.ID == id {
				b.drag(l, fyne.NewPos(300, 10))
				b.drag(l, fyne.NewPos(x, 10))
				b.drop()
				return
			}
		}
		t.Fatalf("%s is not listed", id)
	}
	drag("golden-alexanders", 200)
	if len(s.Committed().Features[0].Plants) != 0 {
		t.Error("letting go over nothing plants")
	}
	drag("golden-alexanders", 50)
	if g := s.Committed().Features[0].Plants; len(g) != 1 || g[0].Plant != "golden-alexanders" || g[0].Share != 1 {
		t.Fatalf("planted %+v; said %q", g, *said)
	}
	if !s.Selected(over.ID) {
		t.Error("where it grows is not selected")
	}
	if w.Canvas().Overlays().Top() != nil {
		t.Error("the name still goes with the pointer")
	}
	over = s.Committed().Features[1]
	drag("golden-alexanders", 50)
	if !strings.Contains(*said, "Bed is no habitat") || len(s.Committed().Features[1].Plants) != 0 {
		t.Errorf("a plant of hedges over a bed said %q", *said)
	}
	over = s.Committed().Features[1]
	b.show(true)
	drag(s.Catalogue().Crops[0].ID, 50)
	if len(s.Committed().Features[1].Crops) != 1 {
		t.Errorf("a crop over a bed said %q", *said)
	}
}

// What is told of a plant names each source of its entry, and how far our copy was held against it.
func TestFactsNameTheirSources(t *testing.T) {
	b, s, _ := open(t)
	text := func() string {
		var out []string
		for _, x := range b.facts() {
			out = append(out, x.Textual())
		}
		return strings.Join(out, "\n")
	}
	b.list.Select(0)
	if len(b.full.Segments) != len(b.facts()) || len(b.facts()) < 5 {
		t.Error("what is told is not shown")
	}
	for _, crops := range []bool{false, true} {
		b.show(crops)
		for i, id := range b.ids() {
			b.chosen = &b.shown[i]
			list := map[bool]string{false: "plant", true: "crop"}[crops]
			told := text()
			e := s.Catalogue().Entry(list, id)
			for _, x := range e.Sources {
				if !strings.Contains(told, x.Citation) {
					t.Errorf("%s does not cite %s", id, x.ID)
				}
			}
			for _, g := range e.Groups {
				for _, f := range g.Facts {
					if !strings.Contains(told, f.Value) {
						t.Errorf("%s does not tell %s", id, f.Label)
					}
				}
				if g.From.Checked != "" && !strings.Contains(told, string(g.From.Checked)) {
					t.Errorf("%s does not say how far %q was checked", id, g.Heading)
				}
			}
			for _, c := range s.Catalogue().CautionFor(id, habitat.RegionOf(s.Plan().Place)) {
				if !crops && !strings.Contains(told, c) {
					t.Errorf("%s does not warn: %s", id, c)
				}
			}
		}
	}
}

func TestKeysGoThroughTheList(t *testing.T) {
	b, _, _ := open(t)
	for _, x := range []struct {
		key  fyne.KeyName
		want int
	}{{fyne.KeyDown, 0}, {fyne.KeyDown, 1}, {fyne.KeyUp, 0}, {fyne.KeyUp, 0}, {fyne.KeyEnd, len(b.shown) - 1}, {fyne.KeyDown, len(b.shown) - 1},
		{fyne.KeyHome, 0}, {fyne.KeyPageDown, 10}} {
		b.list.TypedKey(&fyne.KeyEvent{Name: x.key})
		if b.index() != x.want {
			t.Errorf("%s chooses line %d, want %d", x.key, b.index(), x.want)
		}
	}
}

// What changed while the pane was hidden is there when it is shown.
func TestHiddenPaneCatchesUp(t *testing.T) {
	b, s, _ := open(t)
	b.Hide()
	ask := s.Ask()
	on := season.HalfMonth(10)
	ask.On = &on
	s.SetAsk(ask)
	b.Show()
	if got, want := b.forms[0].flowers.Options[asOnStrip], "In flower "+on.Label()+", as the strip"; got != want {
		t.Errorf("the choice says %q, want %q", got, want)
	}
}

func sorted(ids []string) []string {
	out := slices.Clone(ids)
	slices.Sort(out)
	return out
}

// A grower's own word on a plant shows at once on the plant that is chosen.
func TestOwnCatalogueIsFollowed(t *testing.T) {
	b, s, _ := open(t)
	pick(t, b, "golden-alexanders")
	own, err := data.Merge(s.Catalogue(), &data.Personal{Entries: []data.OwnEntryRow{{List: "plant", ID: "golden-alexanders",
		Source: "own observation", Cells: map[string]string{"native": "my meadow"}}}})
	if err != nil {
		t.Fatal(err)
	}
	s.SetCatalogue(own)
	if b.chosen == nil || b.chosen.plant.Native != "my meadow" {
		t.Errorf("chosen is %+v", b.chosen)
	}
}

// Every guild has a letter, once, and the legend says what each letter means.
func TestMarksAreExplained(t *testing.T) {
	b, s, _ := open(t)
	if !b.legend.box.Visible() {
		t.Error("nothing is chosen and the letters are not explained")
	}
	c := s.Catalogue()
	seen := map[string]bool{}
	for _, m := range marks {
		for _, g := range m.guilds {
			if c.Guild(g) == nil || seen[g] {
				t.Errorf("%s stands there twice or is no guild", g)
			}
			seen[g] = true
		}
		if !strings.Contains(letterWords(false), m.letter+" "+m.words) {
			t.Errorf("the legend does not explain %s", m.letter)
		}
	}
	for _, g := range c.Guilds {
		if !seen[g.ID] {
			t.Errorf("%s has no letter", g.ID)
		}
	}
	b.key.Tap()
	if b.legend.box.Visible() || b.key.On {
		t.Error("the key does not go")
	}
	b.key.Tap()
	b.list.Select(0)
	if !b.legend.box.Visible() || !b.key.On {
		t.Error("the key that was asked for goes when a plant is chosen")
	}
	// Grass shelters what it does not feed; alyssum feeds hoverflies (Hogg, Bugg and Daane 2011, Biological Control 58:76–84).
	if got := strings.Join(marksOf(c, line{plant: c.Plant("sweet-alyssum")}), ""); !strings.Contains(got, "H") || strings.ToUpper(got) != got {
		t.Errorf("sweet alyssum: %s", got)
	}
	grass := slices.IndexFunc(c.Plants, func(p *data.Plant) bool {
		return p.Form == "grass (tussock)" && slices.Contains(p.Guilds, "ground-beetles")
	})
	if got := strings.Join(marksOf(c, line{plant: c.Plants[grass]}), ""); !strings.Contains(got, "g") || strings.ToLower(got) != got {
		t.Errorf("%s: %s", c.Plants[grass].ID, got)
	}
}

// Each order goes up, and what is not known stands last.
func TestOrders(t *testing.T) {
	b, s, _ := open(t)
	rise := func(name string, order int, crops bool, of func(line) float64) {
		b.show(crops)
		b.form().order.SetSelectedIndex(order)
		last, some := 0.0, 0
		for _, l := range b.shown {
			v := of(l)
			if v == 0 {
				v = 1e9
			}
			if v < last {
				t.Errorf("%s: %s stands after something larger", name, l.id())
			}
			if v > last {
				some++
			}
			last = v
		}
		if some < 5 {
			t.Errorf("%s: only %d steps", name, some)
		}
	}
	rise("bloom", 1, false, func(l line) float64 {
		w, _ := s.Assessment().BloomOf(l.plant)
		return float64(w.From)
	})
	rise("height", 2, false, func(l line) float64 { return l.plant.HeightMaxCM })
	rise("days", 1, true, func(l line) float64 { return float64(l.crop.DaysMin) })
	rise("spacing", 2, true, func(l line) float64 { return l.crop.InRowMinCM })
	b.form().order.SetSelectedIndex(0)
	if !slices.IsSortedFunc(b.shown, func(x, y line) int { return strings.Compare(strings.ToLower(x.name()), strings.ToLower(y.name())) }) {
		t.Error("by name is not by name")
	}
}

// A bar is hollow where the bloom is estimated for the place, and thin where it was noted elsewhere and says nothing of here.
func TestBarsTellHowTheBloomIsKnown(t *testing.T) {
	b, s, _ := open(t)
	r := newRow()
	look := func(id string) (hollow bool, high float32) {
		r.set(b.told(line{plant: s.Catalogue().Plant(id)}))
		test.WidgetRenderer(r).Layout(fyne.NewSize(400, rowHigh))
		return r.bars[0].StrokeWidth > 0, r.bars[0].Size().Height
	}
	if hollow, high := look("golden-alexanders"); !hollow || high != barHigh { // noted in Michigan, the plan lies in Vermont
		t.Errorf("estimated: hollow %v, high %g", hollow, high)
	}
	own, err := data.Merge(s.Catalogue(), &data.Personal{Entries: []data.OwnEntryRow{{List: "plant", ID: "golden-alexanders",
		Source: "seen", Cells: map[string]string{"bloom_from": "05-20", "bloom_to": "06-10"}}}})
	if err != nil {
		t.Fatal(err)
	}
	s.SetCatalogue(own)
	if hollow, high := look("golden-alexanders"); hollow || high != barHigh {
		t.Errorf("one's own: hollow %v, high %g", hollow, high)
	}
	p := s.Committed().Clone()
	p.Place = nil
	if err := s.Commit("take the place out", p); err != nil {
		t.Fatal(err)
	}
	if hollow, high := look("wild-bergamot"); hollow || high >= barHigh {
		t.Errorf("without a place: hollow %v, high %g", hollow, high)
	}
}
