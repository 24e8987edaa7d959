package session

import (
	"testing"

	"hedgereach/app/document"
	"hedgereach/data"
)

func TestSetCatalogue(t *testing.T) {
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	s := New(c, document.New(garden()))
	s.SetAsk(Ask{Guild: c.Guild("hoverflies")})
	own, err := data.Merge(c, &data.Personal{Entries: []data.OwnEntryRow{{List: "guild", ID: "hoverflies", Source: "counted in my beds",
		Cells: map[string]string{"low_m": "1", "typical_m": "2", "outer_m": "3"}}}})
	if err != nil {
		t.Fatal(err)
	}
	var heard What
	s.Observe(func(w What) { heard |= w })
	bed := s.Assessment().Beds[0]
	before := s.Status(bed)
	s.SetCatalogue(own)
	expect(t, &heard, AskChanged, "another catalogue")
	if g := s.Ask().Guild; g == nil || g.TypicalM != 2 {
		t.Errorf("asked about %+v", g)
	}
	// Bed 1 lies 8 to 9.2 m from the hedge.
	if after := s.Status(s.Assessment().Beds[0]); after == before {
		t.Errorf("the bed is %s at 2 m as it was at %g m", after, c.Guild("hoverflies").TypicalM)
	}
	s.SetCatalogue(own)
	expect(t, &heard, 0, "the same catalogue")
}
