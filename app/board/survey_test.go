package board

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"github.com/paulmach/orb"

	"hedgereach/app/survey"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// staked is bare ground with three stakes, 6 m apart along x and 10 m below the middle.
func staked() *plan.Plan {
	p := plan.New("staked")
	p.Place = &plan.Place{Latitude: 44, Longitude: -72.5}
	for name, at := range map[string]orb.Point{"S1": {10, 20}, "S2": {16, 20}, "S3": {13, 10}} {
		p.Features = append(p.Features, plan.NewFeature(plan.Stake, name, at))
	}
	return p
}

func TestTapesByTheForm(t *testing.T) {
	h := newBench(t, plan.New(""))
	if err := h.fill("Point by two tapes", nil); err == nil || !strings.Contains(err.Error(), "stakes") {
		t.Errorf("with no stakes: %v", err)
	}
	h = newBench(t, staked())
	err := h.fill("Point by two tapes", map[string]string{"First stake": "S1", "Tape from it": "5 m", "Second stake": "S2",
		"Tape from that": "500 cm", "Between the two": "6.02", "Third stake": "S3", "Tape from the third": "6.05", "Name": "Oak"})
	if err != nil {
		t.Fatal(err)
	}
	// 3, 4, 5: on the side of the third stake.
	if at := h.named("Oak").Geometry; at != (orb.Point{13, 16}) {
		t.Errorf("the oak stands at %v", at)
	}
	for _, want := range []string{"13.000 m; 16.000 m", "13.000 m; 24.000 m", "+0.020 m between", "+0.050 m from the third"} {
		if !strings.Contains(h.board.Hint(), want) {
			t.Errorf("it says %q, not %q", h.board.Hint(), want)
		}
	}
	for _, bad := range []map[string]string{
		{"First stake": "S1", "Second stake": "S2", "Tape from it": "2", "Tape from that": "3"},
		{"First stake": "S1", "Second stake": "S1", "Tape from it": "5", "Tape from that": "5"},
		{"First stake": "S1", "Second stake": "S2", "Tape from it": "long", "Tape from that": "5"},
	} {
		if err := h.fill("Point by two tapes", bad); err == nil {
			t.Errorf("%v gives a point", bad)
		}
	}
}

func TestOffsetsByTheForm(t *testing.T) {
	h := newBench(t, staked())
	err := h.fill("Points by offsets", map[string]string{"Base line from": "S1", "to": "S2", "Make": "an outline: Boundary",
		"Along; left": "0; 2\n6; 2\n6; -3 m\n0; -3"})
	if err != nil {
		t.Fatal(err)
	}
	b := h.named("Boundary").Geometry.Bound()
	if b.Min != (orb.Point{10, 17}) || b.Max != (orb.Point{16, 22}) {
		t.Errorf("the boundary lies in %v", b)
	}
	if err := h.fill("Points by offsets", map[string]string{"Base line from": "S1", "to": "S2", "Make": "stakes", "Along; left": "3; 0"}); err != nil {
		t.Fatal(err)
	}
	if n := len(survey.Marks(h.s.Committed())); n != 4 {
		t.Errorf("%d stakes", n)
	}
	for _, bad := range []string{"", "3", "0; 0\n1; 1"} {
		if err := h.fill("Points by offsets", map[string]string{"Base line from": "S1", "to": "S2", "Along; left": bad,
			"Make": "an outline: Boundary"}); err == nil {
			t.Errorf("%q makes an outline", bad)
		}
	}
}

func TestAnOutlineThroughStakes(t *testing.T) {
	h := newBench(t, staked())
	h.choose("S1", "S2", "S3")
	if err := h.fill("Outline through stakes", map[string]string{"It is": "Bed"}); err != nil {
		t.Fatal(err)
	}
	if a := geometry.Area(h.named("Bed 1").Geometry); a != 30 { // half of 6 × 10
		t.Errorf("%v m²", a)
	}
	h.choose("S1", "S2", "Bed 1")
	if err := h.fill("Outline through stakes", nil); err == nil {
		t.Error("an outline through a bed")
	}
}

// Features go out as GeoJSON and come back to their place, in this plan and in one with another origin.
func TestGeoJSONTextGoesOutAndIn(t *testing.T) {
	h := newBench(t, staked())
	h.choose("S1", "S3")
	if err := h.act("Copy as GeoJSON").Do(); err != nil {
		t.Fatal(err)
	}
	text := fyne.CurrentApp().Clipboard().Content()
	if !strings.Contains(text, "FeatureCollection") || strings.Contains(text, "S2") {
		t.Errorf("copied %.80s", text)
	}
	there := plan.New("")
	there.Place = &plan.Place{Latitude: 44.0005, Longitude: -72.4995}
	h = newBench(t, there)
	if err := h.board.PasteText(text); err != nil {
		t.Fatal(err)
	}
	a, _ := survey.At(h.named("S1"))
	b, _ := survey.At(h.named("S3"))
	if d := math.Hypot(a[0]-b[0], a[1]-b[1]); math.Abs(d-math.Hypot(3, 10)) > 0.005 {
		t.Errorf("they lie %v m apart", d)
	}
	if a[1] > 0 || a[0] > 0 {
		t.Errorf("it lies at %v, and should lie to the south-west of the other origin", a)
	}
	h.s.Undo()
	if len(h.features()) != 0 {
		t.Error("not undone")
	}
	if err := h.board.PasteText("no text of that sort"); err == nil {
		t.Error("any text is taken")
	}
}

func TestAddGPSPoints(t *testing.T) {
	file := filepath.Join(t.TempDir(), "walk.csv")
	if err := os.WriteFile(file, []byte("name,x,y\nBed north,0,0\nBed north,10,0\nBed north,10,2\nBed north,0,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	h := newBench(t, garden())
	if err := h.act("Add from a file").File(file); err != nil {
		t.Fatal(err)
	}
	if n := len(h.features()); n != 4 || len(h.s.Selection()) != 1 {
		t.Errorf("%d features, %d chosen", n, len(h.s.Selection()))
	}
	if err := h.act("Add from a file").File(file + "x"); err == nil {
		t.Error("a file that is not there was added")
	}
}
