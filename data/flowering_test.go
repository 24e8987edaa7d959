package data

import (
	"slices"
	"testing"
)

// Every crop whose harvest may need insects has a time from flower to fruit, for the rule about covers at flowering.
func TestFloweringOfCropsThatNeedInsects(t *testing.T) {
	c := mustLoad(t)
	for _, p := range c.Crops {
		f := c.Flowering(p.ID)
		switch p.Pollination {
		case "essential", "great", "modest", "little":
			if f == nil || f.DaysMin > f.DaysMax || f.DaysMax >= p.DaysMax {
				t.Errorf("%s: %+v of %d days to harvest", p.ID, f, p.DaysMax)
			}
		case "not for harvest":
			if f != nil {
				t.Errorf("%s has flowers that no harvest waits for", p.ID)
			}
		}
	}
}

// The order of gentleness against what the tables of UC IPM give the single materials, the stricter where they differ: Bt low,
// oils low, pyrethrins class I for bees.
func TestTheGentlestComesFirst(t *testing.T) {
	c := mustLoad(t)
	ids := func(pest string) (list []string) {
		for _, x := range c.MaterialsFor(pest) {
			list = append(list, x.ID)
		}
		return list
	}
	if got, want := ids("diamondback-moth"), []string{"bt-kurstaki", "bt-aizawai", "spinosad"}; !slices.Equal(got, want) {
		t.Errorf("diamondback moth: %v", got)
	}
	aphid := ids("cabbage-aphid")
	if aphid[0] != "water-jet" || slices.Index(aphid, "insecticidal-soap") > slices.Index(aphid, "pyrethrins") ||
		slices.Index(aphid, "neem-oil") > slices.Index(aphid, "azadirachtin") {
		t.Errorf("cabbage aphid: %v", aphid)
	}
	if got := ids("swede-midge"); len(got) != 0 {
		t.Errorf("swede midge: %v", got)
	}
}
