package panes

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"hedgereach/habitat/plan"
)

func TestAllListsEveryFeature(t *testing.T) {
	s := small(t)
	p := s.Committed().Clone()
	tree := plan.NewFeature(plan.Tree, "Pear", box(40, 40, 2, 2))
	tree.Hidden = true
	stake := plan.NewFeature(plan.Stake, "Stake 1", box(0, 0, 1, 1)[0][0])
	stake.Locked = true
	p.Features = append(p.Features, tree, stake)
	if err := s.Commit("add", p); err != nil {
		t.Fatal(err)
	}
	a := NewAll(s, never)
	test.NewTempWindow(t, a)
	a.Mods = func() fyne.KeyModifier { return 0 }
	list := func() string {
		var out []string
		for _, r := range a.rows {
			out = append(out, strings.Join(strings.Fields(r.name+" "+r.state), " "))
		}
		return strings.Join(out, ", ")
	}
	// In the order of kinds, then as people order names.
	if want := "Bed 2, Bed 9, Bed 10, Hedge, Pear hidden, Stake 1 locked"; list() != want {
		t.Errorf("it lists %s, want %s", list(), want)
	}
	a.sortBy(allBySize)
	if want := "Bed 10, Bed 2, Bed 9, Hedge, Pear hidden, Stake 1 locked"; list() != want { // 20, 8, 8, 4, 4 and no square metres
		t.Errorf("by area it lists %s, want %s", list(), want)
	}
	a.search.SetText("hid")
	if list() != "Pear hidden" || !strings.HasPrefix(a.summary.Text, "1 of 6 features, 1 hidden, 1 locked") {
		t.Errorf("searched, it lists %s and says %q", list(), a.summary.Text)
	}
	a.search.SetText("")

	// By keys: down to the third line, and with Shift the one below too.
	key := func(names ...fyne.KeyName) {
		for _, n := range names {
			a.list.TypedKey(&fyne.KeyEvent{Name: n})
		}
	}
	key(fyne.KeyDown, fyne.KeyDown, fyne.KeyReturn)
	if sel := s.Selection(); len(sel) != 1 || sel[0] != id(s, "Bed 9") {
		t.Errorf("selected %v", sel)
	}
	a.Mods = func() fyne.KeyModifier { return fyne.KeyModifierShift }
	key(fyne.KeyDown, fyne.KeyReturn)
	if len(s.Selection()) != 2 || !s.Selected(id(s, "Hedge")) || !a.rows[3].chosen {
		t.Errorf("selected %v", s.Selection())
	}
	key(fyne.KeySpace) // the same line again: out of the selection
	if len(s.Selection()) != 1 || a.rows[3].chosen {
		t.Errorf("selected %v", s.Selection())
	}
}
