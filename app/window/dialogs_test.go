package window

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

func chooser(t *testing.T, verb string, folder string, taken func(string)) *fileChooser {
	t.Helper()
	w := open(t)
	c := newFileChooser(w, "A file", verb, folder, "garden", []string{".hedgereach", ".geojson"}, taken)
	c.show()
	return c
}

func TestSaveChooserAddsTheEnding(t *testing.T) {
	dir := t.TempDir()
	got := ""
	c := chooser(t, "Save", dir, func(p string) { got = p })
	c.accept()
	if want := filepath.Join(dir, "garden.hedgereach"); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if found, _ := os.ReadDir(dir); len(found) != 0 {
		t.Errorf("choosing a name left %v behind", found)
	}
}

func TestSaveChooserAsksBeforeReplacing(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "garden.hedgereach")
	if err := os.WriteFile(path, []byte("kept"), 0o644); err != nil {
		t.Fatal(err)
	}
	taken := false
	c := chooser(t, "Save", dir, func(string) { taken = true })
	c.accept()
	if taken {
		t.Error("a file that is there was taken without a question")
	}
	if b, _ := os.ReadFile(path); string(b) != "kept" {
		t.Errorf("the file that is there now holds %q", b)
	}
}

func TestOpenChooserWantsAFile(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "plans"), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, n := range []string{"b.hedgereach", "a.GeoJSON", "notes.txt", ".hidden.hedgereach"} {
		if err := os.WriteFile(filepath.Join(dir, n), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got := ""
	c := chooser(t, "Open", dir, func(p string) { got = p })
	var names []string
	for _, r := range c.rows {
		names = append(names, r.name)
	}
	if want := "plans a.GeoJSON b.hedgereach"; strings.Join(names, " ") != want {
		t.Errorf("lists %q, want %q", names, want)
	}
	for name, want := range map[string]string{"missing": "is not there", "": "no name yet", "plans": "that is a folder"} {
		_ = c.enter(dir)
		c.name.SetText(name)
		c.accept()
		if got != "" || !strings.Contains(c.says.Text, want) {
			t.Errorf("%q: took %q, said %q, want %q", name, got, c.says.Text, want)
		}
	}
	_ = c.enter(dir)
	c.pick(c.rows[2])
	c.accept()
	if want := filepath.Join(dir, "b.hedgereach"); got != want {
		t.Errorf("took %q, want %q", got, want)
	}
}

func TestPlaceForm(t *testing.T) {
	p := plan.New("Garden")
	f := newPlaceForm(p)
	q, err := f.apply(p)
	if err != nil || q.Place != nil {
		t.Fatalf("nothing typed gives %v, %v, want no place", q.Place, err)
	}
	f.latitude.SetText("44.03")
	f.longitude.SetText("-72.51°")
	f.elevation.SetText("650 ft")
	f.lastFrost.SetText("10 May")
	f.units.SetSelected(inFeet)
	q, err = f.apply(p)
	if err != nil {
		t.Fatal(err)
	}
	l := q.Place
	// 650 ft of 0.3048 m each.
	if l.Latitude != 44.03 || l.Longitude != -72.51 || l.ElevationM < 198.11 || l.ElevationM > 198.13 || q.Units != plan.US {
		t.Errorf("place %+v, units %s", l, q.Units)
	}
	if want, _ := season.ParseDay("05-10"); l.LastFrost != want {
		t.Errorf("last frost %s", l.LastFrost)
	}
	if p.Place != nil {
		t.Error("the form changed the plan that it was given")
	}
	for _, bad := range []string{"91", "north", ""} {
		f.latitude.SetText(bad)
		if _, err := f.apply(p); err == nil || !strings.Contains(err.Error(), "latitude") {
			t.Errorf("latitude %q: %v", bad, err)
		}
	}
}

// The first year is only noted; another one turns the crops over, and the way back brings them again.
func TestPlaceFormTurnsTheYear(t *testing.T) {
	p := plan.New("Garden")
	bed := plan.NewFeature(plan.Bed, "Bed", orb.Polygon{{{0, 0}, {4, 0}, {4, 1}, {0, 1}, {0, 0}}})
	bed.Crops = []plan.Planting{{Crop: "kale", Share: 1}}
	p.Features = []*plan.Feature{bed}
	to := func(p *plan.Plan, year string) *plan.Plan {
		f := newPlaceForm(p)
		f.year.SetText(year)
		q, err := f.apply(p)
		if err != nil {
			t.Fatal(err)
		}
		return q
	}
	a := to(p, "2026")
	if a.Year != 2026 || len(a.Features[0].Crops) != 1 || len(a.Features[0].OtherYears) != 0 {
		t.Errorf("given a year: %+v", a.Features[0])
	}
	b := to(a, "2027")
	if f := b.Features[0]; b.Year != 2027 || len(f.Crops) != 0 || len(f.OtherYears) != 1 || f.OtherYears[0].Year != 2026 {
		t.Errorf("in the year after: %+v", f)
	}
	if c := to(b, "2026"); len(c.Features[0].Crops) != 1 || c.Features[0].Crops[0].Crop != "kale" {
		t.Errorf("turned back: %+v", c.Features[0])
	}
	f := newPlaceForm(p)
	f.year.SetText("next")
	if _, err := f.apply(p); err == nil || !strings.Contains(err.Error(), "year") {
		t.Errorf("a word for a year: %v", err)
	}
}

func TestPlaceFormLeavesAloneWhatWasNotTyped(t *testing.T) {
	for _, units := range []plan.Units{plan.Metric, plan.US} {
		p := plan.New("Garden ")
		p.Units = units
		p.Place = &plan.Place{Latitude: 44.123456789, Longitude: -72.5, ElevationM: 199.4567, NorthDeg: 3.25, HardinessZone: "5a"}
		f := newPlaceForm(p)
		if q, err := f.apply(p); err != nil || q != p {
			t.Errorf("%s: nothing typed makes another plan: %v, %+v", units, err, q.Place)
		}
		f.zone.SetText("5b")
		q, err := f.apply(p)
		if err != nil || q.Place.ElevationM != 199.4567 || q.Place.Latitude != 44.123456789 || q.Place.HardinessZone != "5b" || q.Name != p.Name {
			t.Errorf("%s: %v, %+v", units, err, q.Place)
		}
		// Other units, the same place: what is shown was not typed.
		f.units.SetSelected(inFeet)
		if q, err = f.apply(p); err != nil || q.Place.ElevationM != 199.4567 {
			t.Errorf("%s: %v, %+v", units, err, q.Place)
		}
	}
}

func TestPlaceFormTakesLandBelowTheSea(t *testing.T) {
	p := plan.New("Polder")
	p.Place = &plan.Place{Latitude: 52.5, Longitude: 4.6, ElevationM: -3}
	f := newPlaceForm(p)
	if f.elevation.Text != "−3.00 m" {
		t.Errorf("shown as %q", f.elevation.Text)
	}
	f.zone.SetText("8b")
	if q, err := f.apply(p); err != nil || q.Place.ElevationM != -3 {
		t.Errorf("%v, %+v", err, q.Place)
	}
	f.elevation.SetText("-12 ft")
	if q, err := f.apply(p); err != nil || q.Place.ElevationM < -3.66 || q.Place.ElevationM > -3.65 {
		t.Errorf("%v, %+v", err, q.Place)
	}
}

func TestFileNames(t *testing.T) {
	for title, want := range map[string]string{"Garden": "Garden", "A/B: plan?": "A-B- plan-", "": ""} {
		if got := fileName(title); got != want {
			t.Errorf("%q gives %q, want %q", title, got, want)
		}
	}
}
