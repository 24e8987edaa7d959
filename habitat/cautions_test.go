package habitat

import (
	"os"
	"strings"
	"testing"

	"hedgereach/habitat/plan"
)

// What must be said wherever the work can hurt, by common practice.
func TestCautionsSpeakOfEveryDanger(t *testing.T) {
	all := ""
	for _, c := range Cautions {
		all += strings.ToLower(c.Words) + "\n"
	}
	for _, danger := range []string{"buried", "811", "the label is the law", "mask", "dust", "poisonous", "burn the skin", "invasive", "sting",
		"allergic", "open water", "children", "local rules", "licensed"} {
		if !strings.Contains(all, danger) {
			t.Errorf("no caution speaks of %q", danger)
		}
	}
}

func TestCautionsThatConcernAPlan(t *testing.T) {
	p := plan.New("")
	bare := len(CautionsFor(p))
	p.Features = []*plan.Feature{plan.NewFeature(plan.Bed, "", box(0, 0, 1, 1))}
	if n := len(CautionsFor(p)); n != bare || n >= len(Cautions) {
		t.Errorf("%d cautions for a bed alone", n)
	}
	p.Features = append(p.Features, plan.NewFeature(plan.Pond, "", box(2, 0, 3, 1)), plan.NewFeature(plan.FlowerStrip, "", box(4, 0, 5, 1)))
	if n := len(CautionsFor(p)); n != bare+2 {
		t.Errorf("%d cautions with a pond and a flower strip, want two more than %d", n, bare)
	}
	p.Features[2].Plants = []plan.Growing{{Plant: "yarrow", Share: 1}}
	if n := len(CautionsFor(p)); n != len(Cautions) {
		t.Errorf("%d cautions with plants, want all %d", n, len(Cautions))
	}
}

// The README says the same.
func TestTheREADMEHasTheCautions(t *testing.T) {
	text, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	words := strings.Join(strings.Fields(string(text)), " ")
	for _, c := range Cautions {
		if !strings.Contains(words, c.Words) {
			t.Errorf("the README does not say: %s", c.Words)
		}
	}
}
