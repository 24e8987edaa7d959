package ground

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/style"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

func timed(t *testing.T) (*plan.Feature, season.HalfMonth, season.HalfMonth) {
	t.Helper()
	bed := plan.NewFeature(plan.Bed, "Bed 1", orb.Polygon{{{0, 0}, {12, 0}, {12, 2}, {0, 2}, {0, 0}}})
	april, _ := season.ParseDay("04-16")
	june, _ := season.ParseDay("06-30")
	bed.Crops = []plan.Planting{{Crop: "lettuce-leaf", Share: 0.5, Dates: season.Window{From: april, To: june}}}
	bed.Cover = &plan.Cover{Dates: season.Window{From: april, To: april + 20}}
	return bed, april.HalfMonth(), (june + 30).HalfMonth()
}

// rows counts the runs of the strokes of a pen.
func strokes(ops []drawing.Op, pen drawing.Pen) (n int) {
	for _, op := range ops {
		if s, ok := op.(drawing.Stroke); ok && s.Pen.Color == pen.Color && s.Pen.Width == pen.Width {
			n += len(s.Path)
		}
	}
	return n
}

// A bed shows rows where something stands at the time, over the share that is sown, and hoops while it lies under cover.
func TestBedAtATime(t *testing.T) {
	bed, early, late := timed(t)
	look := style.Screen(style.Light, 1)
	v := View{Middle: orb.Point{300, 200}, Centre: orb.Point{6, 1}, Scale: 40}
	rows := func(show Show) int {
		return strokes(FeatureOps(bed, habitat.Unknown, v, look, show), look.Pen(look.Kind(plan.Bed).Sign, style.Hair))
	}
	hoops := func(show Show) int {
		return strokes(FeatureOps(bed, habitat.Unknown, v, look, show), look.Pen(look.Ink, style.Thin))
	}
	all, sown, bare := rows(Show{}), rows(Show{Flowering: &early}), rows(Show{Flowering: &late})
	if all < 4 || sown != (all+1)/2 && sown != all/2 || bare != 0 {
		t.Errorf("%d rows without a time, %d with half of the bed sown, %d with nothing", all, sown, bare)
	}
	if h := hoops(Show{Flowering: &early}); h < 10 {
		t.Errorf("%d hoops under cover", h)
	}
	if hoops(Show{}) != 0 || hoops(Show{Flowering: &late}) != 0 {
		t.Error("hoops without a cover, or without a time")
	}
}

func TestCropWords(t *testing.T) {
	bed, early, late := timed(t)
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	p := plan.New("")
	p.Features = []*plan.Feature{bed}
	a := habitat.Assess(p, c, habitat.Options{})
	if got := CropWords(a, early)[bed.ID]; !strings.Contains(got, "lettuce") || !strings.HasSuffix(got, "(cover)") {
		t.Errorf("in April: %q", got)
	}
	if got := CropWords(a, late); len(got) != 0 {
		t.Errorf("after the harvest: %v", got)
	}
}
