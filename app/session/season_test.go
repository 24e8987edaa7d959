package session

import (
	"testing"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/app/document"
	"hedgereach/data"
	"hedgereach/habitat/plan"
)

func seasonal(t *testing.T) (*Session, chan func(), *[]What) {
	t.Helper()
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	p := plan.New("")
	bed := plan.NewFeature(plan.Bed, "Bed", orb.Polygon{{{0, 0}, {4, 0}, {4, 1}, {0, 1}, {0, 0}}})
	bed.Crops = []plan.Planting{{Crop: "cabbage", Share: 1}}
	p.Features = []*plan.Feature{bed}
	s := New(c, document.New(p))
	done, heard := make(chan func(), 8), &[]What{}
	s.Observe(func(w What) { *heard = append(*heard, w) })
	s.KeepSeason(func(f func()) { done <- f })
	return s, done, heard
}

// The season comes after the plan has rested, is told of, and its findings stand beside those of the ground.
func TestSeasonFollowsThePlan(t *testing.T) {
	s, done, heard := seasonal(t)
	if s.Season() != nil || s.SeasonFollows() {
		t.Error("a season before it was worked out")
	}
	(<-done)()
	if s.Season() == nil || !s.SeasonFollows() || len(*heard) != 1 || (*heard)[0] != SeasonChanged {
		t.Fatalf("heard %v", *heard)
	}
	if len(s.Season().Verdicts) == 0 {
		t.Error("cabbage without pests")
	}
	if n := len(s.Findings()); n != len(s.Assessment().Findings)+len(s.Season().Findings) {
		t.Errorf("%d findings", n)
	}
	for i, f := range s.Findings() {
		if i > 0 && f.Severity.Gravity() < s.Findings()[i-1].Severity.Gravity() {
			t.Error("a graver finding comes later")
		}
	}
	rename(t, s, "Other")
	if s.SeasonFollows() || s.Season() == nil {
		t.Error("the older season is gone, or taken for the new one")
	}
	(<-done)()
	if !s.SeasonFollows() {
		t.Error("no new season")
	}
}

// A season that comes late is not taken for that of the plan as it stands.
func TestOldSeasonsAreDropped(t *testing.T) {
	s, done, _ := seasonal(t)
	old := <-done
	rename(t, s, "a")
	late := <-done
	rename(t, s, "b")
	late()
	old()
	if s.Season() != nil {
		t.Error("a season of before was taken")
	}
	(<-done)()
	if !s.SeasonFollows() || s.Season().Assessment.Plan.Name != "b" {
		t.Error("the newest season was not taken")
	}
}

// Of a run of edits only the last one's season is worked out.
func TestSeasonWaitsUntilThePlanRests(t *testing.T) {
	s, done, _ := seasonal(t)
	<-done
	s.seasons.rest = time.Hour
	rename(t, s, "a")
	first := s.seasons.waits
	rename(t, s, "b")
	if first.Stop() {
		t.Error("the season of the plan in between is still to be worked out")
	}
	if !s.seasons.waits.Stop() {
		t.Error("no season is to be worked out")
	}
}

// Another document leaves nothing of the season of the one before.
func TestAnotherDocumentHasItsOwnSeason(t *testing.T) {
	s, done, _ := seasonal(t)
	(<-done)()
	s.SetDocument(document.New(plan.New("Bare")))
	if s.Season() != nil || len(s.Findings()) != len(s.Assessment().Findings) {
		t.Error("the season of the other document is shown")
	}
	(<-done)()
	if !s.SeasonFollows() || len(s.Season().Verdicts) != 0 {
		t.Error("the bare ground has no season, or another's")
	}
}

func rename(t *testing.T, s *Session, name string) {
	t.Helper()
	p := s.Committed().Clone()
	p.Name = name
	if err := s.Commit("name", p); err != nil {
		t.Fatal(err)
	}
}
