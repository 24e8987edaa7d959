package board

import (
	"bytes"
	"testing"

	"fyne.io/fyne/v2"
	"pgregory.net/rapid"

	"hedgereach/app/board/tool"
	"hedgereach/app/document"
	_ "hedgereach/geometry/repeatable"
	"hedgereach/habitat/plan"
)

// Whatever is done on the board, undoing it all gives the plan back byte for byte, and redoing it all the last one.
func TestAnySequenceCanBeUndone(t *testing.T) {
	h := newBench(t, garden())
	written := func(rt *rapid.T) []byte {
		b, err := plan.Marshal(h.s.Committed())
		if err != nil {
			rt.Fatal(err)
		}
		return b
	}
	keys := []fyne.KeyName{fyne.KeyReturn, fyne.KeyEscape, fyne.KeyBackspace, fyne.KeyDelete, fyne.KeyLeft, fyne.KeyUp}
	rapid.Check(t, func(rt *rapid.T) {
		h.board.Cancel()
		h.mods = 0
		h.s.SetDocument(document.New(garden()))
		h.view(20)
		first := written(rt)
		metres := rapid.IntRange(-4, 34)
		for range rapid.IntRange(1, 15).Draw(rt, "steps") {
			x, y := float64(metres.Draw(rt, "x")), float64(metres.Draw(rt, "y"))*0.75
			h.mods = rapid.SampledFrom([]fyne.KeyModifier{0, 0, fyne.KeyModifierShift, fyne.KeyModifierControl}).Draw(rt, "mods")
			switch rapid.IntRange(0, 9).Draw(rt, "what") {
			case 0:
				h.board.SetTool(rapid.SampledFrom(tool.Infos).Draw(rt, "tool").Name)
			case 1:
				h.key(rapid.SampledFrom(keys).Draw(rt, "key"))
			case 2:
				h.s.Undo()
			case 3:
				h.board.SetKind(rapid.SampledFrom(plan.Kinds).Draw(rt, "kind"))
			case 4:
				h.click(x, y)
			case 5:
				h.board.SelectAll()
			case 6: // an action, with what its form begins with; one that cannot be done now says so and does nothing
				a := rapid.SampledFrom(h.board.Actions()).Draw(rt, "action")
				switch {
				case a.Do != nil:
					_ = a.Do()
				case a.Ask != nil:
					_ = h.fill(a.Name, nil)
				}
			default:
				h.drag(x, y, float64(metres.Draw(rt, "to x")), float64(metres.Draw(rt, "to y"))*0.75)
			}
		}
		last := written(rt)
		undo := func() int {
			n := 0
			for {
				if _, ok := h.s.Document().UndoName(); !ok {
					return n
				}
				h.s.Undo()
				n++
			}
		}
		// Steps that were undone in between lie beyond the last plan: redo as many as were undone.
		n := undo()
		if !bytes.Equal(written(rt), first) || h.s.Document().Dirty() {
			rt.Fatal("undone, the plan is not what it was")
		}
		for range n {
			h.s.Redo()
		}
		if !bytes.Equal(written(rt), last) {
			rt.Fatal("redone, the plan is not what it was")
		}
	})
}
