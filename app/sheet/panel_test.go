package sheet

import (
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/data/season"
	"hedgereach/habitat"
)

// Whatever paper and print, and whether the lists are chosen or not: the grower's notes and every caution are printed, and "More on" names a
// sheet that is there.
func TestNotesAndCautionsAreNeverLost(t *testing.T) {
	p := sampleGarden(t)
	flat := func(x string) string {
		return strings.Join(strings.FieldsFunc(x, func(r rune) bool { return r == ' ' || r == noBreak }), " ")
	}
	june := season.HalfMonth(10)
	for _, paper := range Papers {
		for _, big := range []bool{false, true} {
			for _, kinds := range [][]Kind{onlyMap, {PlotMap, Lists}, maps} {
				for _, notes := range []string{"Bring gloves", strings.TrimSpace(strings.Repeat("Mind the dog by the gate. ", 60))} {
					s := set(t, p, Options{Paper: paper, Big: big, RangeM: 30, On: &june, Sheets: kinds, Notes: notes})
					var all, first []string
					key := false
					for i, page := range s.Pages {
						w := words(page.List, "")
						all = append(all, w...)
						if i == 0 {
							first = w
						}
						key = key || page.Name == keyName
					}
					got := flat(strings.Join(all, " "))
					if !strings.Contains(got, flat(notes)) {
						t.Errorf("%s, big %t, %v: notes of %d letters are not printed", paper.Name, big, kinds, len(notes))
					}
					if len(notes) < 20 && len(words(s.Pages[0].List, "Legend")) > 0 && !slices.Contains(first, notes) {
						t.Errorf("%s, big %t, %v: short notes do not stand by the map", paper.Name, big, kinds)
					}
					if first := flat(strings.Join(first, " ")); len(notes) < 20 && len(words(s.Pages[0].List, "Legend")) > 0 && !strings.Contains(first, "Before digging") {
						t.Errorf("%s, big %t, %v: what to do before digging gave way to short notes: %s", paper.Name, big, kinds, first)
					}
					for _, c := range habitat.CautionsFor(p) {
						if !strings.Contains(got, flat(c)) {
							t.Errorf("%s, big %t, %v: not printed: %s", paper.Name, big, kinds, c)
						}
					}
					if more := strings.Contains(got, "More on the sheet "+keyName); more && !key {
						t.Errorf("%s, big %t, %v: the key that is named is not there", paper.Name, big, kinds)
					}
					if strings.Contains(got, "More on the lists") && !slices.Contains(kinds, Lists) {
						t.Errorf("%s, big %t, %v: the lists are named, and not there", paper.Name, big, kinds)
					}
				}
			}
		}
	}
}

// The words of the legend keep clear of every swatch, on all papers in usual and big print.
func TestLegendKeepsClearOfSwatches(t *testing.T) {
	p := sampleGarden(t)
	for _, paper := range Papers {
		for _, big := range []bool{false, true} {
			var signs []orb.Bound
			var said []drawing.Text
			for _, page := range set(t, p, Options{Paper: paper, Big: big, RangeM: 30, Sheets: onlyMap}).Pages {
				walk(page.List.Ops, "", func(layer string, op drawing.Op) {
					if layer != "Legend" {
						return
					}
					switch op := op.(type) {
					case drawing.Text:
						if len(op.Words) > 1 { // not the letter of a standing
							said = append(said, op)
						}
					case drawing.Stroke:
						b := orb.Bound{Min: op.Path[0].Points[0], Max: op.Path[0].Points[0]}
						for _, c := range op.Path {
							for _, q := range c.Points {
								b = b.Extend(q)
							}
						}
						signs = append(signs, b.Pad(op.Pen.Width/2))
					}
				})
			}
			for _, x := range said {
				for _, b := range signs {
					if textBox(x).Pad(0.2).Intersects(b) {
						t.Errorf("%s, big %t: %q stands within 0.2 mm of a swatch", paper.Name, big, x.Words)
						break
					}
				}
			}
			if len(said) < 15 || len(signs) < 15 {
				t.Errorf("%s, big %t: %d words, %d lines", paper.Name, big, len(said), len(signs))
			}
		}
	}
}
