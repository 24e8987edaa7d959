package habitat

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/habitat/plan"
)

func TestWalkersGoRoundABuilding(t *testing.T) {
	p := plan.New("Behind the barn")
	p.Features = []*plan.Feature{
		plan.NewFeature(plan.Hedgerow, "Hedge", box(-1, -1, 0, 1)),
		plan.NewFeature(plan.Building, "Barn", box(5, -10, 6, 10)),
		plan.NewFeature(plan.Bed, "Bed", box(11, -0.5, 12, 0.5)),
	}
	c := catalogue(t)
	a := Assess(p, c, Options{})
	b := a.Beds[0]
	// From the hedge's corner (0, 1) to the barn's (5, 10), along its end, and on from (6, 10) to the bed's nearest corner
	// (11, 0.5). The farthest point is where the ways round both ends are alike: (12, 0).
	toCorner := math.Hypot(5, 9) + 1
	nearest, farthest := toCorner+math.Hypot(5, 9.5), toCorner+math.Hypot(6, 10)
	walk := b.Guild("ground-beetles")
	if walk.Straight == nil || walk.Link == nil {
		t.Fatalf("ground beetles: %+v", walk)
	}
	near0(t, "nearest on foot", walk.Link.NearestM, nearest, 1e-6)
	near0(t, "farthest on foot", walk.Link.FarthestM, farthest, 0.01)
	near0(t, "nearest straight", walk.Straight.NearestM, 11, 1e-9)
	if len(walk.Way) != 4 {
		t.Errorf("way = %v, want the bed, two corners of the barn and the hedge", walk.Way)
	}
	if fly := b.Guild("lady-beetles"); fly.Straight != nil || math.Abs(fly.Link.NearestM-11) > 1e-9 {
		t.Errorf("lady beetles fly: %+v", fly)
	}
	near0(t, "any refuge", b.Refuge.NearestM, 11, 1e-9)
	// Hunting spiders walk 10 m: the bed is beyond for them either way; so their fraction is nothing.
	if s := b.Guild("hunting-spiders"); s.Status != Beyond || s.WithinFraction != 0 {
		t.Errorf("hunting spiders: %+v", s)
	}
	found := ""
	for _, f := range a.Findings {
		if f.Rule == "longer-on-foot" {
			found = f.Message
		}
	}
	if !strings.Contains(found, "Bed lies behind a building or pond") ||
		!strings.Contains(found, "22.96 m to go to the far end of Bed instead of 12 m.") {
		t.Errorf("finding = %q", found)
	}
	// Where it says how far off the refuge is, it says that this is no straight line: for walkers, and where there is something to go round.
	said := func() (beyond, partly string) {
		for _, f := range Assess(p, c, Options{}).Findings {
			if !slices.Contains(f.Guilds, "ground-beetles") {
				continue
			}
			switch f.Rule {
			case "bed-beyond-range":
				beyond = f.Message
			case "bed-partly-in-range":
				partly = f.Message
			}
		}
		return beyond, partly
	}
	bed, barn := p.Features[2].Geometry, p.Features[1].Geometry
	p.Features[1].Geometry = box(5, -60, 6, 60)
	if beyond, _ := said(); !strings.Contains(beyond, "m away on foot.") {
		t.Errorf("beyond on foot: %q", beyond)
	}
	p.Features = append(p.Features, plan.NewFeature(plan.Bed, "Other", box(13, -0.5, 14, 0.5)))
	if beyond, _ := said(); !strings.Contains(beyond, "Other lies farthest off, ") || !strings.Contains(beyond, "m on foot from Hedge") {
		t.Errorf("two beds beyond on foot: %q", beyond)
	}
	p.Features, p.Features[1].Geometry = p.Features[:3], barn
	p.Features[2].Geometry = box(11, -0.5, 70, 0.5)
	if _, partly := said(); !strings.Contains(partly, "m on foot from Hedge") {
		t.Errorf("partly on foot: %q", partly)
	}
	p.Features[2].Geometry, p.Features[1].Kind = box(61, -0.5, 62, 0.5), plan.Path
	if beyond, _ := said(); !strings.HasSuffix(beyond, "is 61 m away.") {
		t.Errorf("straight: %q", beyond)
	}
	p.Features[2].Geometry = bed
	// A pond bars the way as well; a path does not.
	p.Features[1].Kind = plan.Path
	if g := Assess(p, c, Options{}).Beds[0].Guild("ground-beetles"); g.Straight != nil {
		t.Errorf("beetles go round a path: %+v", g)
	}
}

func TestABuildingOutOfTheWayChangesNothing(t *testing.T) {
	p := handPlan(t)
	c := catalogue(t)
	without := Assess(p, c, Options{})
	p.Features = append(p.Features, plan.NewFeature(plan.Building, "Shed", box(40, 30, 45, 35)))
	with := Assess(p, c, Options{})
	for i := range without.Beds {
		for j := range without.Beds[i].Guilds {
			x, y := without.Beds[i].Guilds[j], with.Beds[i].Guilds[j]
			if y.Straight != nil || x.Status != y.Status || !sameLink(x.Link, y.Link) {
				t.Errorf("%s: %+v and %+v", x.Guild.ID, x, y)
			}
		}
	}
}

func TestABedThatNoWayLeadsTo(t *testing.T) {
	p := plan.New("Courtyard")
	p.Features = []*plan.Feature{
		plan.NewFeature(plan.Hedgerow, "Hedge", box(-10, 0, -8, 10)),
		plan.NewFeature(plan.Building, "House", orb.Polygon{box(0, 0, 20, 20)[0], box(5, 5, 15, 15)[0]}),
		plan.NewFeature(plan.Bed, "Inner", box(8, 8, 12, 12)),
		plan.NewFeature(plan.Bed, "Half", orb.MultiPolygon{box(8, 6, 9, 7), box(-5, 3, -4, 4)}),
	}
	a := Assess(p, catalogue(t), Options{})
	inner, half := a.Beds[0].Guild("ground-beetles"), a.Beds[1].Guild("ground-beetles")
	if inner.Link != nil || inner.Status != Beyond || inner.Straight == nil || inner.WithinFraction != 0 {
		t.Errorf("inner: %+v", inner)
	}
	if half.Link == nil || half.Status != Partly || !math.IsInf(half.Link.FarthestM, 1) || half.Link.Farthest == nil {
		t.Fatalf("half: %+v", half)
	}
	near0(t, "half", half.WithinFraction, 0.5, 0.001)
	for _, f := range a.Findings {
		if strings.Contains(f.Message, "–") || strings.Contains(f.Message, "Inf") {
			t.Errorf("%s: %s", f.Rule, f.Message)
		}
	}
}

func TestAHedgeInTheWayOfHoverfliesIsSaidAndNotReckonedWith(t *testing.T) {
	p := plan.New("Behind a hedge")
	strip := plan.NewFeature(plan.PerennialStrip, "Strip", box(0, 0, 2, 20))
	p.Features = []*plan.Feature{strip, plan.NewFeature(plan.Bed, "Bed", box(20, 5, 30, 6))}
	c := catalogue(t)
	said := func() bool {
		for _, f := range Assess(p, c, Options{}).Findings {
			if f.Rule == "barrier-contested" {
				return f.Features[0] == p.Features[1].ID && len(f.Features) == 1
			}
		}
		return false
	}
	if said() {
		t.Error("said of open ground")
	}
	p.Features = append(p.Features, plan.NewFeature(plan.Path, "Track", box(10, 0, 14, 20)))
	if !said() {
		t.Error("not said of a track 4 m wide")
	}
	p.Features[2] = plan.NewFeature(plan.Path, "Foot path", box(10, 0, 11, 20))
	if said() {
		t.Error("said of a foot path")
	}
	p.Features[2] = plan.NewFeature(plan.Hedgerow, "Hedge", box(10, 10, 11, 20))
	if said() {
		t.Error("said of a hedge beside the way")
	}
	near0(t, "nearest", Assess(p, c, Options{}).Beds[0].Guild("hoverflies").Link.NearestM, math.Hypot(9, 4), 1e-9)
	p.Features[2].Kind = plan.Fence
	near0(t, "nearest", Assess(p, c, Options{}).Beds[0].Guild("hoverflies").Link.NearestM, 18, 1e-9)
}
