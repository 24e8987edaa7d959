package data

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// What published tests of companions found, beside the paper, the failed and the harmful ones too.
func TestCompanions(t *testing.T) {
	c := mustLoad(t)
	for _, s := range []struct {
		id      string
		verdict Verdict
		source  string
	}{
		{"carrot-onion", Helps, "uvah-coaker-1984"},              // Uvah and Coaker 1984: less carrot fly while onions are young
		{"carrot-french-marigold", NoEffect, "uvah-coaker-1984"}, // same paper
		{"cabbage-clover", HelpsAtCost, "theunissen-1995"},       // Theunissen et al. 1995: pests and heads both lighter
		{"rose-geranium", Harms, "held-2003"},                    // Held et al. 2003: more Japanese beetles
		{"collard-herbs", Harms, "latheef-1983"},                 // Latheef et al.: more eggs near herbs
		{"squash-giant-red-mustard", NoEffect, "legaspi-2010"},   // Legaspi 2010: none at 2.4–12 m
		{"pumpkin-alyssum-pollination", NoEffect, "phillips-gardiner-2015"},
		{"marigold-before-vegetables", Helps, "ploeg-maris-1999"},
		{"marigold-between-vegetables", Mixed, "powers-1993"},
		{"eggplant-dill-coriander", Helps, "patt-1997"},
	} {
		x := c.Companion(s.id)
		if x == nil || x.Verdict != s.verdict || !slices.Contains(x.From.Sources, s.source) {
			t.Errorf("%s: %+v, want %s by %s", s.id, x, s.verdict, s.source)
		}
	}
	if x := c.Companion("squash-giant-red-mustard"); x.NearestM != 2.4 || x.FarthestM != 12 {
		t.Errorf("tested at %g–%g m", x.NearestM, x.FarthestM)
	}
	for _, x := range c.Companions {
		if x.Strength == Failed && (x.Verdict == Helps || x.Verdict == HelpsAtCost) {
			t.Errorf("%s failed and helps", x.ID)
		}
	}
	for _, id := range []string{"squash-nasturtium", "tomato-borage", "tansy-companion", "catnip-companion"} { // no good trial either way
		if x := c.Companion(id); x == nil || x.Verdict != Untested || len(x.From.Sources) > 0 {
			t.Errorf("%s: %+v", id, x)
		}
	}
}

// Shares, leads and gaps of trap crops, beside the source.
func TestTrapCrops(t *testing.T) {
	c := mustLoad(t)
	for id, want := range map[string]string{
		"tomato-pepper-sorghum-sunflower": "0.12–0.15 2–3 1.8–3", // Majumdar, Alabama Extension ANR-1430: 12–15 %, 2–3 weeks, 6–10 ft
		"cucurbits-blue-hubbard-plants":   "0.06–0.08 2–2 0–0",   // Piñero, by Nebraska Extension: 6–8 %, 2 weeks earlier
		"cauliflower-turnip-rape":         "0–0 0–0 3–6",         // George et al. 2019: bare gap of 3–6 m
		"cabbage-yellow-rocket":           "0.1–0.2 0–0 0–0",     // Badenes-Perez et al. 2005: 10 and 20 %
		"trap-share":                      "0.1–0.1 0–0 0–0",     // Hokkanen 1991: about 10 %
	} {
		x := c.TrapCrop(id)
		if x == nil {
			t.Errorf("%s is not there", id)
			continue
		}
		got := fmt.Sprintf("%g–%g %g–%g %g–%g", x.ShareMin, x.ShareMax, x.LeadMinWeeks, x.LeadMaxWeeks, x.GapMinM, x.GapMaxM)
		if got != want {
			t.Errorf("%s: %s, want %s", id, got, want)
		}
	}
	if x := c.TrapCrop("broccoli-mustard-yellow-rocket"); x.Verdict != NoEffect { // Sherbrooke et al. 2020: preferred, yet no protection
		t.Errorf("%+v", x)
	}
}

// UC IPM floriculture guidelines: one card to 10,000 sq ft (929 m²), one to 1,000 sq ft for whitefly; Penn State Extension: four
// traps for the moths of sweet corn, a new lure every two weeks. Whole hundreds and tens of m², as the guidelines are round too.
func TestTraps(t *testing.T) {
	c := mustLoad(t)
	if x := c.Trap("yellow-card-cover"); x.NumberMin != 1 || x.PerM2 != 900 || x.Colour != "yellow" {
		t.Errorf("%+v", x)
	}
	if x := c.Trap("yellow-card-whitefly"); x.NumberMin != 1 || x.PerM2 != 90 || !slices.Contains(x.Pests, "greenhouse-whitefly") {
		t.Errorf("%+v", x)
	}
	if x := c.Trap("sweet-corn-moths"); x.NumberMin != 4 || x.RenewMinDays != 14 || x.RenewMaxDays != 14 {
		t.Errorf("%+v", x)
	}
	for _, x := range c.Traps {
		if x.Colour == "yellow" && !strings.Contains(x.Use, "monitoring") {
			t.Errorf("%s: yellow cards are for monitoring", x.ID)
		}
	}
}

// Harm by the tables of UC IPM (avocado: pyrethrins, sulfur; floriculture and artichoke: Bt, azadirachtin; artichoke: metaldehyde),
// and the stricter where tables differ.
func TestMaterials(t *testing.T) {
	c := mustLoad(t)
	for _, s := range []struct {
		id                            string
		mites, predators, parasitoids Level
		bees                          Bees
	}{
		{"bt-kurstaki", LowHarm, LowHarm, LowHarm, "III"},
		{"bt-aizawai", LowHarm, LowHarm, LowHarm, "II"},
		{"azadirachtin", ModestHarm, ModestHarm, HighHarm, "II"},
		{"pyrethrins", NotRated, ModestHarm, ModestHarm, "I"},
		{"sulfur", HighHarm, LowHarm, HighHarm, "III"},
		{"horticultural-oil", LowHarm, LowHarm, LowHarm, "II"}, // III in the older table for cherry
		{"spinosad", ModestHarm, ModestHarm, HighHarm, "II"},   // parasitoids: Williams et al. 2003
		{"metaldehyde-bait", NotRated, HighHarm, LowHarm, "not rated"},
	} {
		x := c.Material(s.id)
		if x == nil || x.Mites.Most != s.mites || x.Predators.Most != s.predators || x.Parasitoids.Most != s.parasitoids || x.Bees != s.bees {
			t.Errorf("%s: %+v", s.id, x)
		}
	}
	graded := []Level{NoHarm, LowHarm, ModestHarm, HighHarm}
	for _, x := range c.Materials {
		if BeesWords[x.Bees] == "" {
			t.Errorf("%s: class %q for bees has no words", x.ID, x.Bees)
		}
		for _, h := range []Harm{x.Mites, x.Predators, x.Parasitoids} {
			if slices.Index(graded, h.Least) > slices.Index(graded, h.Most) {
				t.Errorf("%s: %s", x.ID, h)
			}
		}
	}
	if x := c.Material("diatomaceous-earth"); !strings.Contains(x.Cautions, "dust mask") {
		t.Errorf("dust without a mask: %s", x.Cautions)
	}
}

func TestFaultsOfPracticeAreNamed(t *testing.T) {
	for _, f := range []struct{ file, old, new, want string }{
		{"companions.csv", "uvah-coaker-1984", "uvah-1984", `companions.csv:8: carrot-onion, test_sources: "uvah-1984" is not known`},
		{"companions.csv", "carrot;onion", "carrots;onion", `companions.csv:8: carrot-onion, crops: "carrots" is not known`},
		{"companions.csv", "carrot-rust-fly;", "carrot-fly;", `pests: "carrot-fly" is not known`},
		{"companions.csv", ",cornflower,,", ",cornflour,,", `companion_plants: "cornflour" is not known`},
		{"companions.csv", ",hoverflies,", ",hover-flies,", `guilds: "hover-flies" is not known`},
		{"companions.csv", "no effect,tested;", "none,tested;", `verdict: "none" is not one of the words`},
		{"companions.csv", "untested,untested", "helps,untested", `verdict: does not fit the strength`},
		{"companions.csv", ",2.4,12,", ",24,12,", `distance_min_m: 24 is more than the upper end, 12`},
		{"trapcrops.csv", "squash-summer;cucumber", "squash-summer;cucumbers", `main_crops: "cucumbers" is not known`},
		{"trapcrops.csv", ",common-sunflower,", ",sunflower,", `trap_plants: "sunflower" is not known`},
		{"trapcrops.csv", ",12,15,", ",12,150,", `share_max_pct: "150" is not a number from 0 to 100`},
		{"traps.csv", ",sticky card,", ",sticky tape,", `traps.csv:2: yellow-card-cover, kind: "sticky tape" is not one of the words`},
		{"traps.csv", "greenhouse-whitefly;western", "whitefly;western", `pests: "whitefly" is not known`},
		{"materials.csv", "low;moderate", "low;moderate;high", `not one level or two`},
		{"materials.csv", ",II,", ",IV,", `bees: "IV" is not one of the words`},
		{"plants.csv", "look-alike", "lookalike", `dangers: "lookalike" is not one of the words`},
		{"plants.csv", "noxious in several US states and provinces; poisonous,toxic-to-people;toxic-to-stock,north-america",
			"noxious in several US states and provinces; poisonous,toxic-to-people;toxic-to-stock,", `invasive_in: north-america stands in not_offered_in alone`},
	} {
		_, err := Read(broken(t, f.file, f.old, f.new))
		if err == nil || !strings.Contains(err.Error(), f.want) {
			t.Errorf("got %v\nwant … %s …", err, f.want)
		}
	}
}
