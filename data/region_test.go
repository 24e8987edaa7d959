package data

import (
	"slices"
	"strings"
	"testing"
)

func TestParseZone(t *testing.T) {
	for s, want := range map[string]string{"5a": "5a", "5b": "5b", "5": "5a", " 10B ": "10b", "1a": "1a", "13b": "13b"} {
		if z, err := ParseZone(s); err != nil || z.String() != want {
			t.Errorf("%q: %s, %v", s, z, err)
		}
	}
	for _, s := range []string{"", "a", "0", "0b", "14", "5c", "-5a", "+5", "5ab", "5.5", "zone 5", "005", "999999999999999999999a"} {
		if z, err := ParseZone(s); err == nil || z != 0 {
			t.Errorf("%q reads as %s", s, z)
		}
	}
	if Zone(0).String() != "" {
		t.Error("an unknown zone has a name")
	}
	a, _ := ParseZone("5a")
	b, _ := ParseZone("5b")
	c, _ := ParseZone("6a")
	if !(a < b && b < c) {
		t.Error("the zones are not in order")
	}
}

func TestHardy(t *testing.T) {
	c := mustLoad(t)
	zone := func(s string) Zone {
		z, err := ParseZone(s)
		if err != nil {
			t.Fatal(err)
		}
		return z
	}
	for _, s := range []struct {
		plant, zone string
		hardy       bool
	}{
		{"toyon", "7b", false}, {"toyon", "8a", true}, // from zone 8
		{"shrubby-cinquefoil", "2a", true}, {"shrubby-cinquefoil", "1b", false}, // from zone 2
		{"buckwheat", "1a", true}, // annual
	} {
		if got := c.Plant(s.plant).Hardy(zone(s.zone)); got != s.hardy {
			t.Errorf("%s in zone %s: %v", s.plant, s.zone, got)
		}
	}
	if !c.Plant("toyon").Hardy(0) {
		t.Error("not hardy in an unknown zone")
	}
}

// Where plants are weeds: from memory; lists change by state and year, which is why the line says to check.
func TestCautionFor(t *testing.T) {
	c := mustLoad(t)
	zone, err := ParseZone("5a")
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range []struct {
		plant string
		at    Region
		want  []string
	}{
		{"fennel", Region{Continent: NorthAmerica}, []string{"Invasive or noxious in parts of North America: check your state or national list."}},
		{"fennel", Region{Continent: Europe}, nil},
		{"fennel", Region{}, []string{"Invasive or noxious in parts of North America and Oceania: check your state or national list."}},
		{"black-cherry", Region{Continent: Europe}, []string{"Invasive or noxious in parts of Europe: check your state or national list."}},
		{"toyon", Region{Continent: NorthAmerica, Zone: zone}, []string{"Hardy from zone 8, and this is zone 5a: the winter may kill it."}},
		{"golden-alexanders", Region{Continent: NorthAmerica, Zone: zone}, nil},
		{"no-such", Region{}, nil},
	} {
		if got := c.CautionFor(s.plant, s.at); !slices.Equal(got, s.want) {
			t.Errorf("%s at %+v: %q", s.plant, s.at, got)
		}
	}
}

// A plant that can hurt has words for it, and the flags of plants that every work on poisonous plants names (from memory, high).
func TestDangers(t *testing.T) {
	c := mustLoad(t)
	for id, dangers := range map[string][]Danger{
		"white-snakeroot": {ToxicToStock, ToxicToPeople}, "spindle": {ToxicToPeople}, "swamp-milkweed": {ToxicToStock},
		"cow-parsnip": {SkinIrritant}, "hogweed": {SkinIrritant}, "common-ivy": {SkinIrritant}, "common-tansy": {ToxicToPeople},
		"cow-parsley": {LookAlike}, "elder": {ToxicToPeople}, "golden-alexanders": {LookAlike}, "yarrow": {ToxicToPets},
	} {
		for _, d := range dangers {
			if !c.Plant(id).Is(d) {
				t.Errorf("%s lacks %s", id, d)
			}
		}
	}
	// words of the caution that call for a flag
	words := map[string][]Danger{"rash": {SkinIrritant}, "burns skin": {SkinIrritant}, "irritat": {SkinIrritant}, "irritant": {SkinIrritant},
		"toxic": {ToxicToPeople, ToxicToStock, ToxicToPets}, "poison": {ToxicToPeople, ToxicToStock, LookAlike},
		"cyanogenic": {ToxicToPeople, ToxicToStock}, "alkaloid": {ToxicToPeople}, "looks like": {LookAlike}}
	for _, p := range c.Plants {
		for w, any := range words {
			if strings.Contains(p.Caution, w) && !slices.ContainsFunc(any, p.Is) {
				t.Errorf("%s: %q and no flag", p.ID, p.Caution)
			}
		}
		if (len(p.Dangers) > 0 || len(p.InvasiveIn) > 0 || p.Caution != "") && len(p.CautionsFrom.Sources) == 0 {
			t.Errorf("%s: a caution without a source", p.ID)
		}
	}
}

// Crops that hurt those who handle or eat the wrong part. Celery: Berkley et al. 1986, Annals of Internal Medicine 105:351–355;
// parsnip: Lutchman et al. 1999, Journal of Accident and Emergency Medicine 16:453–454; the others every work on poisonous plants
// names (from memory, high).
func TestDangersOfCrops(t *testing.T) {
	c := mustLoad(t)
	for id, dangers := range map[string][]Danger{
		"celery": {SkinIrritant}, "parsnip": {SkinIrritant}, "rhubarb": {ToxicToPeople, ToxicToStock}, "potato": {ToxicToPeople, ToxicToStock},
		"bean-runner": {ToxicToPeople}, "onion": {ToxicToPets, ToxicToStock},
	} {
		for _, d := range dangers {
			if !c.Crop(id).Is(d) {
				t.Errorf("%s lacks %s", id, d)
			}
		}
	}
	for _, x := range c.Crops {
		if (x.Caution != "") != (len(x.CautionsFrom.Sources) > 0) {
			t.Errorf("%s: caution %q, sources %q", x.ID, x.Caution, x.CautionsFrom.Sources)
		}
	}
	_, err := Read(broken(t, "crops.csv", "hairs irritate skin: sleeves and gloves at harvest", ""))
	if want := "okra, caution: empty beside a danger"; err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("got %v, want %s", err, want)
	}
}

// Plants that are never to be offered for law or safety: EU list of invasive species (Regulation 1143/2014), US federal and
// state noxious weed lists, and deadly look-alikes of insectary umbels (from memory).
func TestNeverOffered(t *testing.T) {
	c := mustLoad(t)
	listed := map[string]bool{}
	for _, n := range c.Never {
		listed[n.Scientific] = true
	}
	for _, n := range []string{"Heracleum mantegazzianum", "Conium", "Cicuta", "Oenanthe crocata", "Reynoutria", "Impatiens glandulifera",
		"Lythrum salicaria", "Elaeagnus umbellata", "Rosa multiflora", "Rhamnus cathartica", "Solidago canadensis", "Solidago gigantea",
		"Buddleja", "Asclepias syriaca", "Ailanthus altissima", "Celastrus orbiculatus", "Cytisus scoparius", "Jacobaea vulgaris", "Aconitum",
		"Euphorbia esula"} {
		if !listed[n] {
			t.Errorf("%s is not on the list", n)
		}
		for _, p := range c.Plants {
			if strings.HasPrefix(p.Scientific, n) {
				t.Errorf("%s (%s) must stay out", p.ID, p.Scientific)
			}
		}
	}
	for _, id := range []string{"common-tansy", "oxeye-daisy", "common-knapweed", "wild-carrot", "cow-parsley", "field-scabious",
		"bramble", "common-ivy"} {
		if p := c.Plant(id); p == nil || !slices.Contains(p.NotOfferedIn, NorthAmerica) {
			t.Errorf("%s must not be offered in North America", id)
		}
	}
	for _, id := range []string{"riddells-goldenrod", "gray-goldenrod", "early-goldenrod", "wrinkleleaf-goldenrod"} {
		if p := c.Plant(id); p == nil || !slices.Contains(p.NotOfferedIn, Europe) {
			t.Errorf("%s must not be offered in Europe", id)
		}
	}
	_, err := Read(broken(t, "plants.csv", "Heracleum maximum", "Heracleum mantegazzianum"))
	if want := "never-offered.csv:2: giant-hogweed, scientific: cow-parsnip of plants.csv is offered"; err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("got %v, want %s", err, want)
	}
}
