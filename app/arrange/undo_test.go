package arrange_test

import (
	"bytes"
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"hedgereach/app/arrange"
	"hedgereach/app/document"
	"hedgereach/data/season"
	"hedgereach/geometry"
	_ "hedgereach/geometry/repeatable"
	"hedgereach/habitat/plan"
)

// ground is a boundary, two beds, one of them on two pieces of ground, a bent path, a round tree and a stake.
func ground(t *rapid.T) *plan.Plan {
	turn := rapid.Float64Range(-180, 180).Draw(t, "turn of the first bed")
	add := func(p *plan.Plan, k plan.Kind, name string, g orb.Geometry) *plan.Feature {
		f := plan.NewFeature(k, name, arrange.Tidy(g))
		p.Features = append(p.Features, f)
		return f
	}
	box := func(x0, y0, x1, y1 float64) orb.Polygon {
		return orb.Bound{Min: orb.Point{x0, y0}, Max: orb.Point{x1, y1}}.ToPolygon()
	}
	p := plan.New("Trial ground")
	add(p, plan.Boundary, "Ground", box(-20, -20, 30, 25))
	bed := add(p, plan.Bed, "Bed 1", geometry.Rotate(box(0, 0, 10, 1.2), orb.Point{5, 0}, turn))
	bed.Crops = []plan.Planting{{Crop: "kale", Dates: season.Window{From: 130, To: 280}, Share: 0.75}}
	add(p, plan.Bed, "A3", orb.MultiPolygon{box(0, 5, 6, 8), box(8, 5, 12, 8)})
	path := add(p, plan.Path, "Path 1", nil)
	path.Line, path.WidthM = orb.LineString{{3, -8}, {3, 6}, {5, 12}}, 0.6
	strip, err := geometry.Strip(path.Line, path.WidthM)
	if err != nil {
		t.Fatal(err)
	}
	path.Geometry = arrange.Tidy(strip)
	tree := add(p, plan.Tree, "Tree 1", geometry.Disc(orb.Point{11, 7}, 2))
	tree.Centre, tree.RadiusM = &orb.Point{11, 7}, 2
	add(p, plan.Stake, "Stake 1", orb.Point{-3, 4})
	return p
}

// edit makes one arrangement of features of the plan, or answers why it cannot be made.
func edit(t *rapid.T, p *plan.Plan) (q *plan.Plan, err error) {
	var ids []string
	for _, i := range rapid.Permutation(indices(len(p.Features))).Draw(t, "chosen")[:rapid.IntRange(1, min(4, len(p.Features))).Draw(t, "so many")] {
		ids = append(ids, p.Features[i].ID)
	}
	num := func(what string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, what) }
	yes := func(what string) bool { return rapid.Bool().Draw(t, what) }
	at := func(what string) orb.Point { return orb.Point{num(what+" x", -15, 25), num(what+" y", -15, 20)} }
	side := rapid.SampledFrom([]arrange.Side{arrange.Right, arrange.Left, arrange.Up, arrange.Down}).Draw(t, "side")
	frame := arrange.Frame(num("frame", -math.Pi, math.Pi))
	block := arrange.Block{Rows: rapid.IntRange(0, 4).Draw(t, "rows"), PathM: num("path", 0, 1), Columns: rapid.IntRange(1, 3).Draw(t, "columns"),
		CrossM: num("cross", 0, 2), Back: yes("back"), WithCrops: yes("with crops")}
	what := rapid.SampledFrom(edits).Draw(t, "what")
	switch what {
	case "block":
		q, _, err = arrange.MakeBlock(p, ids[0], block)
	case "new block":
		q, _, err = arrange.NewBlock(p, num("long", 0.5, 12), num("wide", 0.3, 2), block, at("middle"), frame)
	case "fill":
		q, _, err = arrange.FillArea(p, ids[0], arrange.Filling{WidthM: num("wide", 0.8, 3), PathM: num("between", 0.2, 1),
			MarginM: num("margin", 0, 1), Across: yes("across"), Whole: yes("whole")})
	case "repeat":
		q, _, err = arrange.Repeat(p, ids, rapid.IntRange(0, 4).Draw(t, "n"), side, num("apart", -1, 3), yes("middles"), frame)
	case "mirror":
		q, _, err = arrange.Mirror(p, ids, side, num("gap", -2, 2), yes("keep"), frame)
	case "mirror over":
		q, _, err = arrange.MirrorOver(p, ids, at("a"), at("b"), yes("keep"))
	case "mirror in place":
		q, err = arrange.MirrorInPlace(p, ids, yes("left for right"), frame)
	case "align":
		q, err = arrange.Align(p, ids, side, frame)
	case "distribute":
		q, _, err = arrange.Distribute(p, ids, yes("across"), frame)
	case "turn":
		q, err = arrange.Turn(p, ids, num("degrees", -360, 360), frame)
	case "width":
		q, err = arrange.MatchWidth(p, ids)
	case "length":
		q, err = arrange.MatchLength(p, ids)
	case "size":
		q, err = arrange.Size(p, ids, num("long", 0.1, 12), num("wide", 0.1, 3))
	case "margin":
		q, _, err = arrange.Margin(p, ids[0], num("wide", 0, 2), arrange.MarginWhere(rapid.IntRange(0, 2).Draw(t, "where")), plan.WildMargin)
	case "split":
		q, _, err = arrange.Split(p, ids, at("a"), at("b"))
	case "split along":
		q, _, err = arrange.SplitAlong(p, ids)
	case "join":
		q, _, err = arrange.Join(p, ids)
	case "subtract":
		q, _, err = arrange.Subtract(p, ids)
	case "order":
		q, err = arrange.Order(p, ids, yes("front"))
	case "lock":
		q = arrange.SetLocked(p, ids, yes("lock"))
	case "hide":
		q = arrange.SetHidden(p, ids, yes("hide"))
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", what, err)
	}
	return q, nil
}

var edits = []string{"block", "new block", "fill", "repeat", "mirror", "mirror over", "mirror in place", "align", "distribute", "turn",
	"width", "length", "size", "margin", "split", "split along", "join", "subtract", "order", "lock", "hide"}

func indices(n int) (all []int) {
	for i := range n {
		all = append(all, i)
	}
	return all
}

// Whatever is arranged one after the other, the plan can be saved and read after every step, undoing gives every plan back byte
// for byte, and so does redoing.
func TestArrangingIsUndone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := document.New(ground(t))
		written := func() []byte {
			b, err := plan.Marshal(d.Plan())
			if err != nil {
				t.Fatal(err)
			}
			return b
		}
		states := [][]byte{written()}
		for range rapid.IntRange(1, 4).Draw(t, "steps") {
			q, err := edit(t, d.Plan())
			if err != nil {
				continue // a refusal is no step
			}
			if len(q.Features) > 60 {
				break // enough for one sequence
			}
			d.Do(document.Edit{Name: "arrange", Before: d.Plan(), After: q})
			states = append(states, written())
			if _, err := plan.Read(bytes.NewReader(states[len(states)-1]), "trial"); err != nil {
				t.Fatalf("what was arranged cannot be read again: %v", err)
			}
		}
		for i := len(states) - 2; i >= 0; i-- {
			if _, ok := d.Undo(); !ok || !bytes.Equal(written(), states[i]) {
				t.Fatalf("step %d undone, the plan is not what it was", i+1)
			}
		}
		for i := 1; i < len(states); i++ {
			if _, ok := d.Redo(); !ok || !bytes.Equal(written(), states[i]) {
				t.Fatalf("step %d done again, the plan is not what it was", i)
			}
		}
	})
}
