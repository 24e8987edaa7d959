package habitat

import (
	"strings"
	"testing"

	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// gappyPlan has two bloom gaps about a single flowering and beds beyond several guilds of short range: findings of one rule about
// the same features.
func gappyPlan(t testing.TB) *plan.Plan {
	p := handPlan(t)
	hedge := p.Features[1].Clone()
	hedge.Plants = nil
	for _, id := range []string{"a", "b", "c"} {
		hedge.Plants = append(hedge.Plants, plan.Growing{Plant: id, Share: 0.3, Bloom: window(t, "07-01", "07-31")})
	}
	p.Features[1] = hedge
	return p
}

// A gap in which now nothing and now something flowers is said in words, not from none on.
func TestGapsAreSaidInWords(t *testing.T) {
	for n, want := range []string{"nothing flowers here", "at most one species flowers here", "at most two species flower here"} {
		p := gappyPlan(t)
		p.Features[1].Plants = p.Features[1].Plants[:n]
		said := ""
		for _, f := range Assess(p, catalogue(t), Options{}).Findings {
			if f.Rule == "bloom-gap" {
				said += f.Message
			}
		}
		if !strings.Contains(said, want) {
			t.Errorf("%d plants: %q", n, said)
		}
	}
}

func TestNoTwoFindingsHaveTheSameKey(t *testing.T) {
	sample, err := plan.ReadFile("../data/sample/community-garden.hedgereach")
	if err != nil {
		t.Fatal(err)
	}
	for name, p := range map[string]*plan.Plan{"gaps": gappyPlan(t), "by hand": handPlan(t), "sample": sample} {
		seen, gaps := map[string]string{}, 0
		for _, f := range Assess(p, catalogue(t), Options{}).Findings {
			if f.Rule == "bloom-gap" {
				gaps++
			}
			if was, twice := seen[f.Key]; twice || f.Key == "" {
				t.Errorf("%s: %q is the key of two: %s – %s", name, f.Key, was, f.Message)
			}
			seen[f.Key] = f.Message
		}
		if name == "gaps" && gaps != 2 {
			t.Errorf("%d bloom gaps, want one before and one after July", gaps)
		}
	}
}

func TestAFindingStaysTheSameWhileItIsMended(t *testing.T) {
	p, c := gappyPlan(t), catalogue(t)
	before := Assess(p, c, Options{}).Findings
	q := p.Clone()
	far := q.Features[4].Clone()
	far.Geometry = box(88, 10, 96, 20) // nearer by two metres, and still beyond
	q.Features[4] = far
	after := Assess(q, c, Options{}).Findings
	for i := range before {
		n := 0
		for j := range after {
			if before[i].Same(&after[j]) {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%s is the same as %d findings after a small move", before[i].Key, n)
		}
	}
}

// An assessment put together by hand, as after a fault, answers all that its plan asks.
func TestAnAssessmentByHandKnowsWhatFlowers(t *testing.T) {
	p, c := handPlan(t), catalogue(t)
	on := half(t, "05-16")
	a := &Assessment{Plan: p, Catalogue: c, Options: Options{On: &on}}
	whole := Assess(p, c, a.Options)
	g := plan.Growing{Plant: c.Plants[0].ID, Share: 1}
	for h := range season.HalfMonth(season.HalfMonths) {
		if got, want := a.InFlower(g, h), whole.InFlower(g, h); got != want {
			t.Errorf("%s in flower in %s: %v, want %v", g.Plant, h, got, want)
		}
	}
	if len(a.Serving(nil)) != 1 {
		t.Errorf("serving: %v", a.Serving(nil))
	}
}

// What is said of the usual range must hold for the catalogue.
func TestMostGuildsWorkAsFarAsTheUsualRange(t *testing.T) {
	farther, all := 0, 0
	for _, g := range catalogue(t).Guilds {
		if g.HasRange() && !g.Pollinator {
			all++
			if g.TypicalM >= UsualRangeM {
				farther++
			}
		}
	}
	if 2*farther <= all {
		t.Errorf("%d of %d guilds work as far as %v m", farther, all, UsualRangeM)
	}
}
