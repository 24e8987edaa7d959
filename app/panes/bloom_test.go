package panes

import (
	"bytes"
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"

	"hedgereach/app/document"
	"hedgereach/app/drawing"
	"hedgereach/app/session"
	"hedgereach/app/sheet"
	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// The pane and the Lists sheet say the same days of the same plant, and those that the grower noted as they were noted.
func TestBloomIsThatOfTheSheet(t *testing.T) {
	test.NewTempApp(t)
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.Read(bytes.NewReader(data.Sample()), data.SampleName)
	if err != nil {
		t.Fatal(err)
	}
	s := session.New(c, document.New(p))
	set, err := sheet.Make(s.Assessment(), sheet.Options{Sheets: []sheet.Kind{sheet.Lists}})
	if err != nil {
		t.Fatal(err)
	}
	var printed []string
	var read func([]drawing.Op)
	read = func(ops []drawing.Op) {
		for _, op := range ops {
			switch op := op.(type) {
			case drawing.Text:
				printed = append(printed, op.Words)
			case drawing.Layer:
				read(op.Ops)
			case drawing.Clip:
				read(op.Ops)
			}
		}
	}
	for _, page := range set.Pages {
		read(page.List.Ops)
	}
	lists := strings.Join(printed, " ")
	f := NewFeature(s, never, func(err error) { t.Error(err) })
	days := 0
	for _, x := range p.Features {
		for _, g := range x.Plants {
			plant := c.Plant(g.Plant)
			words, ok := strings.CutPrefix(strings.TrimPrefix(f.bloomWords(plant, g), "In flower "), "about ")
			if !ok {
				continue // not estimated
			}
			words, _, _ = strings.Cut(words, ",")
			days++
			if !strings.Contains(lists, "("+words+")") {
				t.Errorf("%s in %s: the pane says %s, which the sheet does not", plant.Name, x.Title(), words)
			}
		}
	}
	if days < 20 {
		t.Errorf("only %d plants with days", days)
	}
	yarrow := plan.Growing{Plant: "yarrow", Bloom: season.Window{From: 157, To: 160}}
	if got, want := f.bloomWords(c.Plant("yarrow"), yarrow), "In flower 6 Jun – 9 Jun, as you saw it. That is less than half of any half-month"; !strings.HasPrefix(got, want) {
		t.Errorf("%q", got)
	}
}
