package sheet

import (
	"math"
	"slices"
	"strings"
	"testing"

	"hedgereach/app/drawing"
	"hedgereach/app/style"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// cellWords are the words of the tables on the lists, cells and heads, as they stand between spaces; paragraphs are left out by their
// letters.
func cellWords(s *Set, j *job) map[string]bool {
	out := map[string]bool{}
	for _, page := range s.Pages {
		if page.Kind != Lists {
			continue
		}
		j.lettersFor(Paper{W: page.List.Width, H: page.List.Height})
		walk(page.List.Ops, "", func(_ string, op drawing.Op) {
			t, ok := op.(drawing.Text)
			if !ok || slices.ContainsFunc([]float64{style.Label, style.Small, style.Heading, style.Tiny, 14}, func(points float64) bool {
				return math.Abs(t.Size-j.look.Pt(points)) < 1e-9
			}) {
				return
			}
			for _, w := range strings.Fields(t.Words) {
				out[w] = true
			}
		})
	}
	return out
}

// On every paper, in usual and in big print, the lists stand on paper for the hand, and no word in their tables is broken nor a head
// cut: whatever stands there stands in the same tables on paper so wide that no line ends.
func TestNoCellBreaksWithinAWord(t *testing.T) {
	for _, u := range []plan.Units{plan.Metric, plan.US} {
		p := sampleGarden(t).Clone()
		p.Units = u
		a := habitat.Assess(p, catalogue(t), habitat.Options{})
		for _, paper := range Papers {
			for _, big := range []bool{false, true} {
				o := Options{Paper: paper, Big: big, Guild: "ground-beetles", Sheets: []Kind{PlotMap, Lists}, Date: when}
				s, err := Make(a, o)
				if err != nil {
					t.Fatal(err)
				}
				j := &job{a: a, o: o, look: style.Sheet(style.Paper), sheets: Sheets, numbers: numbersOf(p), system: lengthsOf(u), set: &Set{Title: s.Title}}
				j.letters()
				if j.bound, err = extent(p); err != nil {
					t.Fatal(err)
				}
				if err = j.standings(); err != nil {
					t.Fatal(err)
				}
				if j.frame, j.scale, err = j.fit(); err != nil {
					t.Fatal(err)
				}
				j.grid = newGrid(j.bound, j.frame.window, j.scale, u)
				j.paper = Paper{W: 9000, H: 3000}
				j.lettersFor(j.paper)
				f := newFlow(j, "Lists")
				j.beds(f)
				j.habitats(f)
				for i := range j.set.Pages {
					j.set.Pages[i].Kind = Lists
				}
				whole := cellWords(j.set, j)
				for _, w := range strings.Fields("Map Bed Square Standing Nearest Farthest In range refuge Length × width Area Crops Habitat Kind Refuge Plants, share and bloom") {
					whole[w] = true // the heads, in smaller letters where there is little room
				}
				if len(whole) < 200 {
					t.Fatalf("%d words in the tables", len(whole))
				}
				got := cellWords(s, j)
				for w := range got {
					if !whole[w] {
						t.Errorf("%s, big %t, %s: %q is a piece of a word", paper.Name, big, u, w)
					}
				}
				if len(got) < len(whole)*9/10 {
					t.Errorf("%s, big %t: %d of %d words", paper.Name, big, len(got), len(whole))
				}
				for _, page := range s.Pages {
					if page.Kind != Lists {
						continue
					}
					if long := max(page.List.Width, page.List.Height); long > 300 {
						t.Errorf("%s: lists on a sheet %g mm long", paper.Name, long)
					}
					if all := strings.Join(words(page.List, ""), " "); strings.Contains(all, "…") {
						t.Errorf("%s, big %t: something is cut: %s", paper.Name, big, all)
					}
				}
			}
		}
	}
}
