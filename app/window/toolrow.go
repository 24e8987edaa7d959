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
	other *fields.Word // the tool in use, where it is one of the menu's; at the end, so that the row does not jump
	kind  *fields.Choice
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
	t.kind = fields.NewChoice(plan.Kinds[0].Label(), kindItems, func(it fields.Item) {
		t.kind.SetText(clipped(plan.Kind(it.ID).Label(), mostKind))
		t.row.Refresh()
		draw(plan.Kind(it.ID))
	})
	t.row.Add(quietLabel("Draw " + string(kindKey)))
	t.row.Add(container.New(atLeast{118}, t.kind)) // the row must not jump with most of the words
	t.width = width
	t.wide = []fyne.CanvasObject{quietLabel("wide"), container.New(atLeast{76}, width)}
	for _, o := range t.wide {
		t.row.Add(o)
	}
	t.other = fields.NewWord("", "", nil)
	t.other.SetOn(true)
	t.other.Hide()
	t.row.Add(t.other)
	return t
}

// mostKind is the widest that a kind's name may be in the row.
const mostKind = 130

// kindKey is the key that opens the list of what can be drawn.
const kindKey = 'b'

// kindItems is what can be drawn, each with what it means for natural enemies.
func kindItems() []fields.Item {
	var out []fields.Item
	for _, k := range plan.Kinds {
		detail := ""
		switch {
		case k.Refuge():
			detail = "habitat, and refuge all year"
		case k.Habitat():
			detail = "habitat, while it flowers or stands"
		case k == plan.Bed:
			detail = "ground for crops"
		case k == plan.Boundary:
			detail = "the edge of the garden, field or plot: the site lies within it"
		case k == plan.TrapCrop:
			detail = "sown to draw a pest off a bed"
		case tool.IsMark(k):
			detail = "set with one click"
		}
		out = append(out, fields.Item{ID: string(k), Name: k.Label(), Detail: detail})
	}
	return out
}

// show marks the tool in use.
func (t *toolRow) show(name string) {
	for n, w := range t.words {
		w.SetOn(n == name)
	}
	t.other.Hide()
	for _, i := range tool.Infos {
		if i.Name == name && !i.Row {
			t.other.Text, t.other.Key = i.Name, string(i.Key)
			t.other.Refresh()
			t.other.Show()
		}
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
