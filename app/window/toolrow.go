package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/board/tool"
	"hedgereach/app/fields"
	"hedgereach/habitat/plan"
)

// A toolRow shows the tools as words with their keys, and what the drawing tools draw.
type toolRow struct {
	words map[string]*fields.Word
	kind  *widget.Select
	row   *fyne.Container
}

// newToolRow is a row of the tools. Choose is called with the name of a tool, draw with a kind.
func newToolRow(infos []tool.Info, choose func(name string), draw func(plan.Kind)) *toolRow {
	t := &toolRow{words: map[string]*fields.Word{}, row: container.New(sideBySide{})}
	for _, i := range infos {
		w := fields.NewWord(i.Name, string(i.Key), func() { choose(i.Name) })
		t.words[i.Name] = w
		t.row.Add(w)
	}
	var labels []string
	for _, k := range plan.Kinds {
		labels = append(labels, k.Label())
	}
	t.kind = widget.NewSelect(labels, nil)
	t.kind.SetSelectedIndex(0)
	t.kind.OnChanged = func(string) { draw(plan.Kinds[t.kind.SelectedIndex()]) }
	t.row.Add(quietLabel("  Draw"))
	t.row.Add(t.kind)
	return t
}

// show marks the tool in use.
func (t *toolRow) show(name string) {
	for n, w := range t.words {
		w.SetOn(n == name)
	}
}
