package data

import (
	"encoding/json"
	"math"
	"testing"
)

type sampleFeature struct {
	ID, Kind, Name string
	Geometry       struct {
		Type        string
		Coordinates json.RawMessage
	}
	Crops      []struct{ Crop string }
	OtherYears []struct {
		Crops []struct{ Crop string }
	} `json:"other_years"`
	Plants     []struct{ Plant string }
	Trapping   *struct{ Protects, Pest, Removal string }
	Trap       *struct{ Trap, Pest string }
	Treatments []struct{ Material, Pest string }
	Nursery    string
}

// What the sample plan names must be in the catalogue, and its drawing must be to the millimetre. How it reads and measures is
// tested where plans are read and measured.
func TestSample(t *testing.T) {
	c := mustLoad(t)
	var plan struct {
		Format   string
		Features []sampleFeature
	}
	if err := json.Unmarshal(Sample(), &plan); err != nil || plan.Format != "hedgereach plan" {
		t.Fatalf("%q, %v", plan.Format, err)
	}
	count, ids := map[string]int{}, map[string]bool{}
	for _, f := range plan.Features {
		count[f.Kind]++
		ids[f.ID] = true
		for _, y := range f.OtherYears {
			f.Crops = append(f.Crops, y.Crops...)
		}
		if x := f.Trap; x != nil && (c.Trap(x.Trap) == nil || c.Pest(x.Pest) == nil) {
			t.Errorf("%s: %+v is not in the catalogue", f.Name, x)
		}
		for _, x := range f.Treatments {
			if c.Material(x.Material) == nil || c.Pest(x.Pest) == nil {
				t.Errorf("%s: %+v is not in the catalogue", f.Name, x)
			}
		}
		if f.Nursery != "" && c.Pest(f.Nursery) == nil {
			t.Errorf("%s: %s is not in the catalogue", f.Name, f.Nursery)
		}
		for _, p := range f.Crops {
			if c.Crop(p.Crop) == nil {
				t.Errorf("%s: crop %s is not in the catalogue", f.Name, p.Crop)
			}
		}
		for _, p := range f.Plants {
			switch plant := c.Plant(p.Plant); {
			case plant == nil:
				t.Errorf("%s: plant %s is not in the catalogue", f.Name, p.Plant)
			case len(plant.NotOfferedIn) > 0 && plant.NotOfferedIn[0] == NorthAmerica:
				t.Errorf("%s: %s is a weed there", f.Name, p.Plant)
			case plant.ZoneMin > 5: // the garden lies in zone 5a
				t.Errorf("%s: %s does not stand the winter", f.Name, p.Plant)
			}
		}
		if !millimetres(t, f.Geometry.Coordinates) {
			t.Errorf("%s is drawn finer than a millimetre", f.Name)
		}
	}
	for _, f := range plan.Features {
		if tr := f.Trapping; tr != nil && (!ids[tr.Protects] || c.Pest(tr.Pest) == nil || tr.Removal == "") {
			t.Errorf("%s: what it is for does not resolve: %+v", f.Name, tr)
		}
	}
	if n := count["bed"]; n < 25 || n > 40 || len(ids) != len(plan.Features) {
		t.Errorf("%d beds, %d ids for %d features", n, len(ids), len(plan.Features))
	}
	for _, kind := range []string{"boundary", "hedgerow", "flower-strip", "perennial-strip", "beetle-bank", "wild-margin", "tree",
		"cover-crop", "trap-crop", "pond", "path", "building", "fence", "trap", "stake"} {
		if count[kind] == 0 {
			t.Errorf("no %s", kind)
		}
	}
}

func millimetres(t *testing.T, raw json.RawMessage) bool {
	var v any
	if err := json.Unmarshal(raw, &v); err != nil {
		t.Fatal(err)
	}
	var whole func(any) bool
	whole = func(v any) bool {
		switch v := v.(type) {
		case float64:
			return math.Abs(v*1000-math.Round(v*1000)) < 1e-6
		case []any:
			for _, w := range v {
				if !whole(w) {
					return false
				}
			}
			return true
		}
		return false
	}
	return whole(v)
}
