package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// field is a plan that is larger than a sheet at 1:100: a boundary of 60 by 45 m, a bed across it, and a bed in one corner.
func field() *plan.Plan {
	p := plan.New("Wide field")
	p.Features = []*plan.Feature{
		{ID: "g", Kind: plan.Boundary, Geometry: box(0, 0, 60, 45)},
		{ID: "a", Kind: plan.Bed, Name: "Long", Geometry: orb.Polygon{{{2, 2}, {58, 41}, {57, 43}, {1, 4}, {2, 2}}}},
		{ID: "b", Kind: plan.Bed, Name: "Corner", Geometry: box(50, 2, 6, 1.2)},
	}
	return p
}

// bedsOn are the outlines of the beds on a page, in millimetres.
func bedsOn(l drawing.List) (out [][]orb.Point) {
	walk(l.Ops, "", func(layer string, op drawing.Op) {
		if f, ok := op.(drawing.Fill); ok && layer == "Beds" {
			out = append(out, f.Path[0].Points)
		}
	})
	return out
}

// printed is the letters on a tile's seams with their places, as they stand on the sheet.
func printed(l drawing.List) map[string]orb.Point {
	out := map[string]orb.Point{}
	walk(l.Ops, "", func(layer string, op drawing.Op) {
		if t, ok := op.(drawing.Text); ok && layer == "Seams" {
			if _, ok := out[t.Words]; !ok {
				out[t.Words] = t.At
			}
		}
	})
	return out
}

// Tiles laid so that equal letters lie on each other make one map: the outline of a bed that crosses them has the same
// coordinates on each, to a thousandth of a millimetre, and is true to scale.
func TestTilesJoin(t *testing.T) {
	for _, way := range []Orientation{Auto, Portrait, Landscape} {
		s := set(t, field(), Options{ScaleDenominator: 100, Orientation: way, Sheets: []Kind{PlotMap}})
		if s.Denominator != 100 || len(s.Pages) < 7 {
			t.Fatalf("%d pages at 1:%d", len(s.Pages), s.Denominator)
		}
		tiles := s.Pages[1:]
		moved := map[int]orb.Point{0: {}} // from a tile's own millimetres to the first one's
		for range tiles {
			for i, a := range tiles {
				at, ok := moved[i]
				if !ok {
					continue
				}
				for letter, p := range printed(a.List) {
					for k, b := range tiles {
						q, ok := printed(b.List)[letter]
						if _, done := moved[k]; done || !ok {
							continue
						}
						moved[k] = orb.Point{at[0] + p[0] - q[0], at[1] + p[1] - q[1]}
					}
				}
			}
		}
		if len(moved) != len(tiles) {
			t.Fatalf("only %d of %d tiles can be joined by their letters", len(moved), len(tiles))
		}
		var first []orb.Point
		seen := 0
		for i, tile := range tiles {
			for _, bed := range bedsOn(tile.List) {
				var there []orb.Point
				for _, p := range bed {
					there = append(there, orb.Point{p[0] + moved[i][0], p[1] + moved[i][1]})
				}
				if math.Abs(math.Hypot(there[1][0]-there[0][0], there[1][1]-there[0][1])-10*math.Hypot(56, 39)) > 0.01 {
					continue // the corner bed
				}
				if seen++; first == nil {
					first = there
				}
				for k := range there {
					if math.Hypot(there[k][0]-first[k][0], there[k][1]-first[k][1]) > 1e-3 {
						t.Errorf("tile %d: a corner of the long bed lies at %v, on the first tile at %v", i+1, there[k], first[k])
					}
				}
			}
		}
		if seen < 4 {
			t.Errorf("the long bed is on %d tiles", seen)
		}
	}
}

// Each letter is on two tiles, neighbours share the stated overlap, all ground with something on it is on some tile, and the index
// on the map of the whole has every tile's number.
func TestTilesCover(t *testing.T) {
	p := field()
	a := habitat.Assess(p, catalogue(t), habitat.Options{})
	s, err := Make(a, Options{ScaleDenominator: 100, Date: when, Sheets: []Kind{PlotMap}})
	if err != nil {
		t.Fatal(err)
	}
	tiles := s.Pages[1:]
	times := map[string]int{}
	for i, tile := range tiles {
		for letter := range printed(tile.List) {
			times[letter]++
		}
		got := strings.Join(words(tile.List, "Title"), " ")
		if want := fmt.Sprintf("Tile %d of %d", i+1, len(tiles)); !strings.Contains(got, want) || !strings.Contains(got, "1:100") {
			t.Errorf("tile %d is titled %q", i+1, got)
		}
		if !slices.Contains(words(s.Pages[0].List, "Tiles"), fmt.Sprint(i+1)) {
			t.Errorf("tile %d is not in the index", i+1)
		}
	}
	for letter, n := range times {
		if n != 2 {
			t.Errorf("letter %s is on %d tiles", letter, n)
		}
	}
	j := &job{a: a, o: Options{Paper: Papers[0]}, bound: a.Plan.Features[0].Geometry.Bound()}
	tl, err := j.tile(100)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range p.Features {
		for _, q := range f.Geometry.(orb.Polygon)[0] {
			if !slices.ContainsFunc(tl.on, func(k tile) bool { return tl.ground(k).Contains(q) }) {
				t.Errorf("%v of %s is on no tile", q, f.Title())
			}
		}
	}
	for _, k := range tl.on {
		if n, ok := tl.at(k.column+1, k.row); ok {
			if w := (tl.ground(k).Max[0] - tl.ground(n).Min[0]) * 10; math.Abs(w-overlap) > 1e-6 {
				t.Errorf("tiles %d and %d share %.3f mm", k.number, n.number, w)
			}
		}
	}
}

// A tile on which only bare ground lies is left out: the middle of an empty field.
func TestNoEmptyTiles(t *testing.T) {
	p := plan.New("Bare")
	p.Features = []*plan.Feature{{ID: "g", Kind: plan.Boundary, Geometry: box(0, 0, 90, 90)}}
	s := set(t, p, Options{ScaleDenominator: 100, Sheets: []Kind{PlotMap}})
	a := &habitat.Assessment{Plan: p}
	j := &job{a: a, o: Options{Paper: Papers[0]}, bound: orb.Bound{Max: orb.Point{90, 90}}}
	tl, err := j.tile(100)
	if err != nil {
		t.Fatal(err)
	}
	if got := len(s.Pages) - 1; got != len(tl.on) || got >= tl.columns*tl.rows || got < 2*(tl.columns+tl.rows)-4 {
		t.Errorf("%d tiles of %d × %d", got, tl.columns, tl.rows)
	}
}
