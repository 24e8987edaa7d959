package sheet

import (
	"strings"
	"testing"

	"hedgereach/data"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// The list on paper has the season's warnings and advice, and what the grower lets stand apart from what is open.
func TestListsHaveTheSeasonAndWhatMayStand(t *testing.T) {
	p, err := plan.Read(strings.NewReader(string(data.Sample())), data.SampleName)
	if err != nil {
		t.Fatal(err)
	}
	a := habitat.Assess(p, catalogue(t), habitat.Options{})
	j := &job{a: a}
	open, stand := j.lookAt()
	rules := map[string]bool{}
	for _, f := range open {
		rules[f.Rule] = true
		if f.Accepted != nil {
			t.Errorf("%s is open and let stand", f.Key)
		}
	}
	for rule, want := range map[string]bool{"bloom-gap": true, "cover-at-flowering": true, "rotation": true, "treatment-label": true,
		"companion-tested": false, "trap-crop-open": false} {
		if rules[rule] != want {
			t.Errorf("%s is on the list: %v, want %v", rule, rules[rule], want)
		}
	}
	if len(stand) != 1 || stand[0].Rule != "trap-crop-open" {
		t.Errorf("let stand: %+v", stand)
	}
}
