package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"hedgereach/app/board/tool"
	"hedgereach/app/fields"
	"hedgereach/habitat/plan"
)

// A toolRow shows the tools as words with their keys, and what the drawing tools draw.
type toolRow struct {
	words map[string]*fields.Word
	kind  *fields.Pick
	width *fields.Entry       // of strips
	wide  []fyne.CanvasObject // the width with its word, shown with the tool that draws by it
	row   *fyne.Container
}

// withWidth is the tool that draws by a width.
const withWidth = "Strip"

// newToolRow is a row of the tools. Choose is called with the name of a tool, draw with a kind; width is the
// field for the width of strips.
func newToolRow(infos []tool.Info, choose func(name string), draw func(plan.Kind), width *fields.Entry) *toolRow {
	t := &toolRow{words: map[string]*fields.Word{}, row: container.New(sideBySide{})}
	for _, i := range infos {
		if !i.Row {
			continue
		}
		w := fields.NewWord(i.Name, string(i.Key), func() { choose(i.Name) })
		t.words[i.Name] = w
		t.row.Add(w)
	}
	var labels []string
	for _, k := range plan.Kinds {
		labels = append(labels, k.Label())
	}
	t.kind = fields.NewPick(labels, labels[0])
	t.kind.OnChanged = func(string) { draw(plan.Kinds[t.kind.SelectedIndex()]) }
	t.row.Add(quietLabel("  Draw"))
	t.row.Add(t.kind)
	t.width = width
	t.wide = []fyne.CanvasObject{quietLabel("wide"), container.New(atLeast{76}, width)}
	for _, o := range t.wide {
		t.row.Add(o)
	}
	return t
}

// show marks the tool in use.
func (t *toolRow) show(name string) {
	for n, w := range t.words {
		w.SetOn(n == name)
	}
	for _, o := range t.wide {
		if name == withWidth {
			o.Show()
		} else {
			o.Hide()
		}
	}
	t.row.Refresh()
}
