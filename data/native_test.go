package data

import (
	"strings"
	"testing"
)

// Where the plants grow wild is the catalogue's; that the lands lie in those parts of the world is geography.
func TestNativeWords(t *testing.T) {
	for _, x := range []struct {
		native, asked string
		found         bool
	}{
		{"California, Oregon", "north america", true}, {"E and C North America", "eastern", true}, {"E and C North America", "central", true},
		{"SW USA, Mexico", "southwestern", true}, {"SW USA, Mexico", "north america", true}, {"Mediterranean", "europe", true},
		{"E Mediterranean, SW Asia", "asia", true}, {"N hemisphere", "europe", true}, {"N hemisphere", "northern", true},
		{"Europe", "north america", false}, {"California", "europe", false}, {"W Asia", "europe", false}, {"California", "eastern", false},
	} {
		p := Plant{Native: x.native}
		if got := strings.Contains(p.NativeWords(), x.asked); got != x.found {
			t.Errorf("%s, asked for %q: %v", x.native, x.asked, got)
		}
	}
	// Every range of the file is found by a part of the world.
	for _, p := range mustLoad(t).Plants {
		w := p.NativeWords()
		if !strings.Contains(w, "america") && !strings.Contains(w, "europe") && !strings.Contains(w, "asia") && !strings.Contains(w, "africa") {
			t.Errorf("%s: %q is found by no part of the world", p.ID, p.Native)
		}
	}
}
