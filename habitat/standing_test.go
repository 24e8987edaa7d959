package habitat

import (
	"testing"

	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// A half-month of April has 15 days: eight are at least half, seven are not.
func TestWhatStandsInAHalfMonth(t *testing.T) {
	on := func(s string) season.HalfMonth {
		h, err := season.ParseHalfMonth(s)
		if err != nil {
			t.Fatal(err)
		}
		return h
	}
	window := func(from, to string) season.Window {
		w, err := season.ParseWindow(from, to)
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	bed := plan.NewFeature(plan.Bed, "Bed", box(0, 0, 10, 1))
	bed.Crops = []plan.Planting{{Crop: "pea", Dates: window("04-08", "06-30")}, {Crop: "spinach", Dates: window("04-09", "06-15")},
		{Crop: "garlic", Dates: window("10-15", "07-20")}, {Crop: "rhubarb"}}
	bed.Cover = &plan.Cover{Dates: window("04-08", "04-22")} // eight days of the first half, seven of the second
	for _, c := range []struct {
		on    string
		crops string
		cover bool
	}{
		{"04-01", "pea garlic rhubarb ", true},
		{"04-16", "pea spinach garlic rhubarb ", false},
		{"07-01", "garlic rhubarb ", false},
		{"07-16", "rhubarb ", false}, // garlic has five days of sixteen
		{"01-01", "garlic rhubarb ", false},
	} {
		got := ""
		for _, p := range Stands(bed, on(c.on), 1) {
			got += p.Crop + " "
		}
		if got != c.crops || UnderCover(bed, on(c.on), 1) != c.cover {
			t.Errorf("%s: %s under cover %v; want %s %v", c.on, got, UnderCover(bed, on(c.on), 1), c.crops, c.cover)
		}
	}
	bed.Cover = &plan.Cover{}
	if !UnderCover(bed, 0, 1) {
		t.Error("a cover without dates does not lie all year")
	}
}

// Days to harvest are the catalogue's, which takes them from extension tables (see the crop's own source).
func TestHarvest(t *testing.T) {
	c := catalogue(t)
	may, _ := season.ParseDay("05-01")
	for _, crop := range c.Crops {
		first, last, ok := Harvest(crop, may)
		if ok != (crop.DaysMin > 0 && crop.DaysMax < 365) {
			t.Errorf("%s of %d–%d days: %v", crop.Name, crop.DaysMin, crop.DaysMax, ok)
		}
		if ok && (int(first-may+365)%365 != crop.DaysMin || int(last-may+365)%365 != crop.DaysMax) {
			t.Errorf("%s begun 1 May is ready %s to %s, of %d–%d days", crop.Name, first, last, crop.DaysMin, crop.DaysMax)
		}
	}
	if _, _, ok := Harvest(nil, may); ok {
		t.Error("a harvest of an unknown crop")
	}
	if _, _, ok := Harvest(c.Crop("lettuce-leaf"), 0); ok {
		t.Error("a harvest without a beginning")
	}
}
