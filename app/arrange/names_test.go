package arrange

import (
	"testing"

	"hedgereach/habitat/plan"
)

func TestCopyNameIsNew(t *testing.T) {
	p := plan.New("")
	for _, n := range []string{"Bed 1", "Bed 11", "A3", "A9", "Herb wheel", "7"} {
		p.Features = append(p.Features, &plan.Feature{Name: n})
	}
	for _, c := range []struct{ name, want string }{
		{"Bed 1", "Bed 12"}, {"A3", "A10"}, {"Herb wheel", "Herb wheel 2"}, {"Long bed", "Long bed"}, {"", ""}, {"7", "7 2"},
	} {
		if got := CopyName(p, c.name); got != c.want {
			t.Errorf("a copy of %q is called %q, want %q", c.name, got, c.want)
		}
	}
}
