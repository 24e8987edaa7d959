package ground

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/face"
	"hedgereach/app/style"
	"hedgereach/geometry"
	_ "hedgereach/geometry/repeatable"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// ring is a label's box as a polygon, for measures by other code than that under test.
func ring(b [4]orb.Point) orb.Polygon { return orb.Polygon{{b[0], b[1], b[2], b[3], b[0]}} }

// However crowded the plan, no two labels overlap, none leaves the drawing, one that is said to be inside lies within its
// feature, and no bed has two.
func TestLabelsNeverOverlap(t *testing.T) {
	window := orb.Bound{Max: orb.Point{900, 600}}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "beds")
		p := plan.New("")
		statuses, crops := map[string]habitat.Status{}, map[string][]string{}
		kinds := []plan.Kind{plan.Bed, plan.Bed, plan.Hedgerow, plan.Tree, plan.Building, plan.Pond, plan.Stake, plan.Path, plan.WildMargin}
		for i := range n {
			k := rapid.SampledFrom(kinds).Draw(t, "kind")
			at := orb.Point{rapid.Float64Range(-2, 46).Draw(t, "x"), rapid.Float64Range(-2, 30).Draw(t, "y")}
			var g orb.Geometry = rect(at[0], at[1], rapid.Float64Range(0.1, 12).Draw(t, "w"), rapid.Float64Range(0.1, 6).Draw(t, "h"),
				rapid.Float64Range(-180, 180).Draw(t, "turn"))
			if k == plan.Tree {
				g = geometry.Disc(at, rapid.Float64Range(0.2, 4).Draw(t, "r"))
			}
			name := rapid.SampledFrom([]string{"", "Bed 7", "B", "Lettuce and chard", "Old pear tree by the long barn",
				"Österbeet"}).Draw(t, "name")
			f := &plan.Feature{ID: fmt.Sprint(i), Kind: k, Name: name, Geometry: g}
			p.Features = append(p.Features, f)
			statuses[f.ID] = habitat.Status(i % 4)
			crops[f.ID] = [][]string{nil, {"potato"}, {"sweet pepper", "eggplant"}, {"carrot", "bulb onion", "Brussels sprouts", "leek"}}[i/4%4]
		}
		show := Show{Labels: true, Window: window}
		if rapid.Bool().Draw(t, "crops") {
			show.Crops = crops
		}
		if rapid.Bool().Draw(t, "statuses") {
			show.Statuses = statuses
		}
		v := View{Centre: orb.Point{22, 15}, Middle: window.Center(), Scale: rapid.Float64Range(3, 60).Draw(t, "scale"),
			Turn: rapid.Float64Range(-3, 3).Draw(t, "view")}
		labels := Labels(p, v, screen, show)
		seen := map[string]bool{}
		for i, a := range labels {
			if seen[a.Feature.ID] {
				t.Fatalf("%q has two labels", a.Feature.Name)
			}
			seen[a.Feature.ID] = true
			for _, c := range a.Box() {
				if !window.Pad(1e-6).Contains(c) {
					t.Fatalf("%q leaves the drawing at %v", a.Words, c)
				}
				if a.Inside {
					if d := geometry.PointDistance(v.From(c), a.Feature.Geometry); d*v.Scale > 0.02 {
						t.Fatalf("%q is said to be inside, and a corner is %.3f units outside", a.Words, d*v.Scale)
					}
				}
			}
			for _, line := range strings.Split(a.Words, "\n") {
				if w := face.Width(line, a.Size, false, italic(a.Feature.Kind)); w > a.W+1e-9 {
					t.Fatalf("%q is %.2f wide in a box of %.2f", line, w, a.W)
				}
			}
			for _, b := range labels[:i] {
				common, err := geometry.Intersection(ring(a.Box()), ring(b.Box()))
				if err != nil {
					t.Fatal(err)
				}
				if s := geometry.Area(common); s > 1e-6 {
					t.Fatalf("%q and %q share %g units²", a.Words, b.Words, s)
				}
			}
		}
	})
}

// Crops stand under the name where there is room: within the label, over each other nowhere, and in the order given; the name is no
// smaller for them.
func TestCropsUnderTheName(t *testing.T) {
	for _, c := range []struct {
		w, h float64
		want []string
	}{{200, 50, []string{"carrot, leek, potato"}}, {85, 60, []string{"carrot,", "leek, potato"}}, {200, 24, nil}, {70, 24, nil}} {
		f := feature(plan.Bed, "Bed 4", rect(0, 0, c.w, c.h, 0))
		p := &plan.Plan{Features: []*plan.Feature{f}}
		show := Show{Statuses: map[string]habitat.Status{f.ID: habitat.Beyond}, Window: orb.Bound{Max: orb.Point{300, 300}}}
		v := View{Middle: orb.Point{20, 100}, Scale: 1}
		bare := Labels(p, v, screen, show)
		show.Crops = map[string][]string{f.ID: {"carrot", "leek", "potato"}}
		got := Labels(p, v, screen, show)
		if len(got) != 1 || !slices.Equal(got[0].Under, c.want) || got[0].Size != bare[0].Size {
			t.Errorf("a bed of %g × %g: %+v, want %q under the name", c.w, c.h, got, c.want)
			continue
		}
		box := newBox(got[0].Box()).bound
		below := math.Inf(-1) // foot of the line above
		for _, op := range LabelOps(got, screen) {
			x, ok := op.(drawing.Text)
			if !ok || x.Align == drawing.Middle { // the letter in its ring
				continue
			}
			top, foot := x.At[1]-0.72*x.Size, x.At[1]+0.22*x.Size
			if x.At[0] < box.Min[0] || x.At[0]+face.Width(x.Words, x.Size, false, false) > box.Max[0] || top < box.Min[1] || foot > box.Max[1] {
				t.Errorf("%q stands outside its label", x.Words)
			}
			if x.Words != "Bed 4" && top < below-0.1*x.Size {
				t.Errorf("%q stands over what is above it", x.Words)
			}
			if below = foot; x.Words == "Bed 4" {
				below = math.Inf(-1)
				if len(got[0].Under) > 0 {
					below = x.At[1] + 0.2*x.Size
				}
			}
		}
	}
}

// A bed with room carries its name; one with less its number; the letter of its status goes with either.
func TestNameThenNumber(t *testing.T) {
	for _, c := range []struct {
		w, h  float64
		words string
	}{{200, 40, "Squash and beans 4"}, {40, 24, "4"}} {
		f := feature(plan.Bed, "Squash and beans 4", rect(0, 0, c.w, c.h, 0))
		p := &plan.Plan{Features: []*plan.Feature{f}}
		got := Labels(p, View{Middle: orb.Point{20, 100}, Scale: 1}, screen, Show{Statuses: map[string]habitat.Status{f.ID: habitat.Beyond},
			Window: orb.Bound{Max: orb.Point{70 + c.w/2, 120}}})
		if len(got) != 1 || got[0].Words != c.words || got[0].Letter != "B" || !got[0].Inside {
			t.Errorf("a bed of %g × %g: %+v, want %q inside with its letter", c.w, c.h, got, c.words)
		}
	}
}

func TestOverlap(t *testing.T) {
	unit := [4]orb.Point{{0, 0}, {2, 0}, {2, 2}, {0, 2}}
	for _, c := range []struct {
		b    [4]orb.Point
		want bool
	}{
		{[4]orb.Point{{1, 1}, {3, 1}, {3, 3}, {1, 3}}, true},
		{[4]orb.Point{{2, 0}, {4, 0}, {4, 2}, {2, 2}}, false},          // a shared side is no overlap
		{[4]orb.Point{{3, 1}, {4, 2}, {3, 3}, {2, 2}}, false},          // a diamond that touches the corner
		{[4]orb.Point{{2.5, 0.6}, {4, 2}, {2.6, 3.4}, {1.2, 2}}, true}, // and one that cuts it
		{[4]orb.Point{{-5, -5}, {9, -5}, {9, 9}, {-5, 9}}, true},       // one within the other
	} {
		if got := Overlap(unit, c.b); got != c.want {
			t.Errorf("Overlap with %v = %t", c.b, got)
		}
	}
}

// A tree between a hedge and a bed takes two lines rather than write over either.
func TestNamesBreakBeforeTheyCover(t *testing.T) {
	tree := feature(plan.Tree, "Plum, wild seedling", geometry.Disc(orb.Point{20, 50}, 2))
	hedge, bed := feature(plan.Hedgerow, "", rect(0, 0, 4, 100, 0)), feature(plan.Bed, "", rect(32, 0, 10, 100, 0))
	p := &plan.Plan{Features: []*plan.Feature{tree, hedge, bed}}
	v := View{Middle: orb.Point{10, 300}, Scale: 3}
	for _, l := range Labels(p, v, screen, Show{Window: orb.Bound{Max: orb.Point{300, 310}}}) {
		if l.Feature != tree {
			continue
		}
		if l.Words != "Plum, wild\nseedling" {
			t.Errorf("the tree is called %q", l.Words)
		}
		for _, f := range []*plan.Feature{hedge, bed} {
			sh, _ := newShape(f, v, screen, orb.Bound{Min: orb.Point{-inf, -inf}, Max: orb.Point{inf, inf}})
			if Overlap(l.Box(), corners(sh.bound)) {
				t.Errorf("its name lies over the %s", f.Kind)
			}
		}
		return
	}
	t.Error("the tree has no name")
}

// A name beside a thing at the edge of what is seen keeps in view, though the ground beyond is painted too.
func TestNamesKeepInView(t *testing.T) {
	p := plan.New("Edge")
	stake := plan.NewFeature(plan.Stake, "A stake with a long name", orb.Point{95, -50})
	p.Features = []*plan.Feature{stake}
	v := View{Scale: 1}
	window := orb.Bound{Min: orb.Point{-200, -200}, Max: orb.Point{300, 300}}
	seen := orb.Bound{Max: orb.Point{100, 100}}
	place := func(s Show) orb.Bound {
		labels := Labels(p, v, style.Screen(style.Light, 1), s)
		if len(labels) != 1 {
			t.Fatalf("%d labels", len(labels))
		}
		return newBox(labels[0].Box()).bound
	}
	if b := place(Show{Window: window}); seen.Contains(b.Max) {
		t.Fatalf("stands at %v though right of the stake there is room", b)
	}
	if b := place(Show{Window: window, Seen: seen}); !seen.Contains(b.Min) || !seen.Contains(b.Max) {
		t.Errorf("stands at %v, not in view", b)
	}
}
