package window

import (
	"fmt"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"hedgereach/habitat"
)

func count(n int) string { return strconv.Itoa(n) }

// addKeys gives the keys that no menu item can carry. A key that nothing else takes goes to the ground.
func (w *Window) addKeys() {
	c := w.window.Canvas()
	key := func(k *fyne.KeyEvent) {
		if k.Name != fyne.KeyEscape || !w.escape() {
			w.board.TypedKey(k)
		}
	}
	w.board.OnHelp = w.act(w.showKeys)
	c.SetOnTypedRune(w.board.TypedRune)
	c.SetOnTypedKey(key)
	w.beds.Else(w.board.TypedRune, key)
	w.findings.Else(w.board.TypedRune, key)
	w.browser.Else(w.board.TypedRune, key)
	w.strip.Chart().Rune = w.board.TypedRune
	// Two habits for redo; and "Control and plus" is "equal" with Shift on most keyboards.
	c.AddShortcut(ctrlShift(fyne.KeyZ), func(fyne.Shortcut) { w.act(w.session.Redo)() })
	for _, s := range []fyne.Shortcut{ctrlShift(fyne.KeyEqual), ctrl(fyne.KeyPlus)} {
		c.AddShortcut(s, func(fyne.Shortcut) { w.act(w.board.ZoomIn)() })
	}
}

// A keyLine is a line of the key sheet.
type keyLine struct{ keys, does string }

// keyLines is the key sheet: the tools, then what they understand, then the menus' keys that are used most.
func (w *Window) keyLines() []keyLine {
	var out []keyLine
	for _, i := range w.board.Tools() {
		out = append(out, keyLine{string(i.Key), i.Name + ": " + i.Hint})
	}
	out = append(out,
		keyLine{"12.5 m, 4 ft 6 in", "while drawing: the length of the side under way, then Enter"},
		keyLine{"Enter", "finish the shape"},
		keyLine{"Backspace", "take back the last corner"},
		keyLine{"Escape", "give up the gesture, then the selection"},
		keyLine{"Arrows", "move what is selected by a step"},
		keyLine{"Delete", "take off what is selected"},
	)
	for _, a := range w.board.Actions() {
		out = append(out, keyLine{a.Keys, strings.TrimSuffix(a.Name, "…") + ": " + a.Does})
	}
	return append(out,
		keyLine{"F1, ?", "this sheet"},
		keyLine{"Shift", "add to the selection; keep to straight directions"},
		keyLine{"Ctrl", "hold off snapping"},
		keyLine{"Wheel", "nearer and farther, at the pointer"},
		keyLine{"Middle button, or Space and drag", "move the paper"},
		keyLine{"Ctrl+0", "the whole plan"},
		keyLine{"Ctrl+1, 2, 3, 4", "the panes: beds, findings, feature, plants"},
		keyLine{"Ctrl+Z; Ctrl+Y or Ctrl+Shift+Z", "undo (while drawing: the last corner); redo"},
		keyLine{"Ctrl+S, Ctrl+O, Ctrl+P", "save, open, plot map"},
		keyLine{"Season strip: Left, Right, Escape", "another half-month; the whole season"},
		keyLine{"Plants: Enter, arrows, Enter", "from the search to the list; through it; add what is chosen to what is selected"},
	)
}

func (w *Window) showKeys() {
	grid := container.New(twoColumns{})
	for _, l := range w.keyLines() {
		k := widget.NewLabel(l.keys)
		k.TextStyle.Bold = true
		grid.Add(k)
		grid.Add(widget.NewLabel(l.does))
	}
	w.tell("Keys", container.NewVScroll(grid), 640, 560)
}

func (w *Window) showCautions() {
	words := "A plan on paper does not know what lies under the ground or who works on it."
	for _, c := range habitat.Cautions {
		words += "\n\n" + c.Words
	}
	t := widget.NewLabel(words)
	t.Wrapping = fyne.TextWrapWord
	w.tell("Cautions", container.NewVScroll(t), 560, 480)
}

func (w *Window) showAbout() {
	t := widget.NewRichTextFromMarkdown(fmt.Sprintf(`**Hedgereach %s**

A drawing board for gardens that let hedges, grasses and flowers raise their pest control.

Distances are of the exact shapes, not of their centres: a bed counts as within reach only if its farthest point is. Ranges,
times of flowering and rules name their published sources; where sources disagree you see a band, and where nothing has been
published nothing is computed.

A bed within reach is a good start, not a promise: landscape, weather, tillage and spraying decide as well.

Free software under the MIT licence. It uses no network; your plans are files of your own.`, w.app.Metadata().Version))
	t.Wrapping = fyne.TextWrapWord
	w.tell("About", container.NewVScroll(t), 520, 380)
}

// tell shows something to read.
func (w *Window) tell(title string, what fyne.CanvasObject, width, height float32) {
	d := dialog.NewCustom(title, "Close", what, w.window)
	size := w.window.Canvas().Size()
	d.Resize(fyne.NewSize(min(width, size.Width-40), min(height, size.Height-40)))
	w.put(d)
}

// twoColumns lays pairs in rows, the first of each at the width of the widest first.
type twoColumns struct{}

func (twoColumns) first(o []fyne.CanvasObject) float32 {
	w := float32(0)
	for i := 0; i < len(o); i += 2 {
		w = max(w, o[i].MinSize().Width)
	}
	return w
}

func (l twoColumns) MinSize(o []fyne.CanvasObject) fyne.Size {
	var s fyne.Size
	for i := 1; i < len(o); i += 2 {
		s.Width = max(s.Width, o[i].MinSize().Width)
		s.Height += l.height(o[i])
	}
	s.Width += l.first(o)
	return s
}

// height of a row is less than its labels ask for, so that the sheet reads as one table.
func (twoColumns) height(o fyne.CanvasObject) float32 { return o.MinSize().Height - 6 }

func (l twoColumns) Layout(o []fyne.CanvasObject, size fyne.Size) {
	w, y := l.first(o), float32(0)
	for i := 0; i+1 < len(o); i += 2 {
		h := l.height(o[i+1])
		o[i].Move(fyne.NewPos(0, y))
		o[i].Resize(fyne.NewSize(w, h))
		o[i+1].Move(fyne.NewPos(w, y))
		o[i+1].Resize(fyne.NewSize(size.Width-w, h))
		y += h
	}
}
