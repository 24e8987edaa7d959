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
	p := s.Committed().Clone()
	p.Name = "Other"
	if err := s.Commit("name", p); err != nil {
		t.Fatal(err)
	}
	if s.SeasonFollows() || s.Season() == nil {
		t.Error("the older season is gone, or taken for the new one")
	}
	(<-done)()
	if !s.SeasonFollows() {
		t.Error("no new season")
	}
}

// Of a run of edits only the last one's season is taken, in whatever order they are done.
func TestOldSeasonsAreDropped(t *testing.T) {
	s, done, _ := seasonal(t)
	old := <-done
	for _, name := range []string{"a", "b"} {
		p := s.Committed().Clone()
		p.Name = name
		if err := s.Commit("name", p); err != nil {
			t.Fatal(err)
		}
	}
	var work []func()
	for range 2 {
		select {
		case f := <-done:
			work = append(work, f)
		case <-time.After(5 * time.Second):
			t.Fatal("no season")
		}
	}
	for i := len(work) - 1; i >= 0; i-- {
		work[i]()
	}
	old()
	if !s.SeasonFollows() || s.Season().Assessment.Plan.Name != "b" {
		t.Error("an older season was taken")
	}
}
