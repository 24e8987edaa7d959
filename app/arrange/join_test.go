package arrange

import (
	"math"
	"testing"

	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

func TestJoinPlant(t *testing.T) {
	for _, c := range []struct {
		before, after []float64
	}{
		{nil, []float64{1}},
		{[]float64{0.4, 0.3}, []float64{0.4, 0.3, 0.3}},
		{[]float64{1}, []float64{0.5, 0.5}},
		{[]float64{0.5, 0.5}, []float64{0.335, 0.335, 0.33}},
		{[]float64{0.6, 0.6}, []float64{0.335, 0.335, 0.33}}, // too much before
		{[]float64{1, 0}, []float64{0.67, 0, 0.33}},
	} {
		f := &plan.Feature{}
		for _, s := range c.before {
			f.Plants = append(f.Plants, plan.Growing{Plant: "yarrow", Share: s})
		}
		old := f.Plants
		share, _ := JoinPlant(f, "dill")
		if len(f.Plants) != len(c.after) || share != f.Plants[len(f.Plants)-1].Share || f.Plants[len(f.Plants)-1].Plant != "dill" {
			t.Fatalf("%v became %v", c.before, f.Plants)
		}
		for i, g := range f.Plants {
			if math.Abs(g.Share-c.after[i]) > 1e-9 {
				t.Errorf("%v: share %d is %g, want %g", c.before, i, g.Share, c.after[i])
			}
		}
		for i, g := range old {
			if g.Share != c.before[i] {
				t.Errorf("%v: the list before was changed to %v", c.before, old)
			}
		}
	}
}

// A crop added to a bed that is full of crops with dates comes before or after them; it shares the bed with crops that have none.
func TestJoinCrop(t *testing.T) {
	for _, dated := range []bool{true, false} {
		lettuce := plan.Planting{Crop: "lettuce-leaf", Share: 1}
		if dated {
			lettuce.Dates = season.Window{From: 110, To: 150}
		}
		f := &plan.Feature{Crops: []plan.Planting{lettuce}}
		share, gaveWay := JoinCrop(f, "kale")
		want := map[bool]float64{true: 1, false: 0.5}[dated]
		if share != want || gaveWay == dated || f.Crops[0].Share != want || f.Crops[0].Dates != lettuce.Dates || f.Crops[1].Crop != "kale" {
			t.Errorf("dated %t: %+v", dated, f.Crops)
		}
	}
}
