package session

import (
	"testing"

	"hedgereach/app/document"
	"hedgereach/data"
	"hedgereach/habitat"
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

// The plan's own range counts from the edit that brings it on, and goes with undo.
func TestThePlansOwnRange(t *testing.T) {
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	s := New(c, document.New(garden()))
	s.SetAsk(Ask{Guild: c.Guild("hoverflies")})
	before := s.Status(s.Assessment().Beds[0])
	err = s.Commit("change the range of hoverflies", habitat.PutOwn(s.Committed(), data.OwnEntryRow{List: "guild", ID: "hoverflies", Source: "counted",
		Cells: map[string]string{"low_m": "1", "typical_m": "2", "outer_m": "3"}}))
	if err != nil {
		t.Fatal(err)
	}
	if g := s.Ask().Guild; g.TypicalM != 2 || s.Catalogue().Guild("hoverflies") != g || s.Status(s.Assessment().Beds[0]) == before {
		t.Errorf("asked about %+v, the bed is %s as before", g, before)
	}
	s.Undo()
	if g := s.Ask().Guild; g != c.Guild("hoverflies") || s.Status(s.Assessment().Beds[0]) != before {
		t.Errorf("after undo asked about %+v", g)
	}
}
