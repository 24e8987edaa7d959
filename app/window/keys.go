package window

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/habitat"
)

func count(n int) string { return strconv.Itoa(n) }

// extra adds keys in builds for tests; nil in others.
var extra func(*Window)

// addKeys gives the keys that no menu item can carry. A key that nothing else takes goes to the ground.
func (w *Window) addKeys() {
	c := w.window.Canvas()
	if extra != nil {
		extra(w)
	}
	key := func(k *fyne.KeyEvent) {
		if k.Name == fyne.KeyEscape && (w.escape() || w.toGround()) {
			return
		}
		if w.free() { // a dialog without focus takes no keys, and the ground behind it must not
			w.board.TypedKey(k)
		}
	}
	letter := func(r rune) {
		if w.free() {
			w.board.TypedRune(r)
		}
	}
	w.board.OnHelp = w.act(w.showKeys)
	w.board.OnEscape = w.escape
	w.board.OnRune = func(r rune) bool {
		if unicode.ToLower(r) != kindKey || !w.free() {
			return false
		}
		w.tools.kind.Open()
		return true
	}
	c.SetOnTypedRune(letter)
	c.SetOnTypedKey(key)
	if d, ok := c.(desktop.Canvas); ok { // where nothing has the focus
		d.SetOnKeyDown(func(k *fyne.KeyEvent) {
			if w.free() {
				w.board.KeyDown(k)
			}
		})
		d.SetOnKeyUp(w.board.KeyUp)
	}
	for _, l := range []interface {
		Else(func(rune), func(*fyne.KeyEvent))
	}{w.beds, w.findings, w.browser, w.all} {
		l.Else(letter, key)
	}
	w.strip.Chart().Rune = letter
	// Two habits for redo; and "Control and plus" is "equal" with Shift on most keyboards.
	c.AddShortcut(ctrlShift(fyne.KeyZ), func(fyne.Shortcut) { w.act(w.session.Redo)() })
	for _, s := range []fyne.Shortcut{ctrlShift(fyne.KeyEqual), ctrl(fyne.KeyPlus)} {
		c.AddShortcut(s, func(fyne.Shortcut) { w.act(w.board.ZoomIn)() })
	}
}

// toGround leads from a field back to the ground; false where the ground has the keys already, or nothing has.
func (w *Window) toGround() bool {
	c := w.window.Canvas()
	if f := c.Focused(); f == nil || f == fyne.Focusable(w.board) || !w.free() {
		return false
	}
	c.Focus(w.board)
	return true
}

// A keyLine is a line of the key sheet, or a heading.
type keyLine struct {
	keys, does string
	heading    bool
}

func heading(words string) keyLine { return keyLine{does: words, heading: true} }

// keyLines is the key sheet: what the ground understands, then every item of the menus, so that no key is told twice or not at all.
func (w *Window) keyLines() []keyLine {
	out := []keyLine{
		heading("On the ground"),
		{keys: "F1, ?", does: "this sheet"},
		{keys: "Escape", does: "give up the gesture; then the selection; from a field, a list or a form: back to the ground"},
		{keys: "Tab, Shift+Tab", does: "to the next thing that takes keys, and back: it is framed"},
		{keys: "Page Down, Page Up", does: "the next feature, the one before; with Shift as well"},
		{keys: "Arrows", does: "move what is selected by a step of the grid; with Shift by ten, with Alt by a centimetre"},
		{keys: "Ctrl+arrows, Home", does: "move the paper; the whole plan"},
		{keys: "+, −, 0", does: "nearer, farther, the whole plan"},
		{keys: "Wheel", does: "nearer and farther, at the pointer; with Shift it moves the paper"},
		{keys: "Middle button, or Space and drag", does: "move the paper"},
		{keys: "Right button", does: "a menu for what is under the pointer"},
		{keys: "Click, Shift+click, drag over ground", does: "choose; add to what is chosen; choose all that lies within"},
		{keys: "Drag a handle", does: "corners, middles of sides, width, radius; the round one above turns"},
		{keys: "Ctrl+click on a corner", does: "take the corner off; or click it, then Delete"},
		heading("While drawing or dragging"),
		{keys: "12.5 m, 4', 4 ft 6 in", does: "the length, width or radius under way, then Enter"},
		{keys: "12 x 1.2", does: "both sides of a rectangle"},
		{keys: "w 2 m", does: "the width of the strip under way"},
		{keys: "Arrows", does: "move the pointer by a step of the grid; with Shift by ten, with Alt by a centimetre"},
		{keys: "Space", does: "click at the pointer that the arrows move"},
		{keys: "Enter", does: "finish the shape"},
		{keys: "Backspace", does: "take back the last corner"},
		{keys: "Shift", does: "keep to straight directions; a square"},
		{keys: "Ctrl", does: "hold off snapping"},
	}
	does := map[string]string{}
	for _, a := range w.board.Actions() {
		does[a.Name] = a.Does
	}
	for _, i := range w.board.Tools() {
		does[i.Name] = i.Hint
	}
	for _, m := range w.menu.main.Items {
		out = append(out, heading(m.Label))
		for _, i := range m.Items {
			if i.IsSeparator {
				continue
			}
			name, keys := keysOf(i)
			line := keyLine{keys: keys, does: strings.TrimSuffix(name, "…")}
			switch i {
			case w.menu.undo:
				line.does = "Undo (while drawing: the last corner)"
			case w.menu.redo:
				line = keyLine{keys: keys + ", Ctrl+Shift+Z", does: "Redo"}
			}
			if d := does[name]; d != "" {
				line.does += ": " + d
			}
			out = append(out, line)
		}
	}
	return append(out,
		heading("In the lists and the season strip"),
		keyLine{keys: "Arrows, Page Up, Page Down", does: "through the list"},
		keyLine{keys: "Enter or Space", does: "choose the line, and show it on the ground"},
		keyLine{keys: "Shift+Enter, Shift+click", does: "in All: add the line to what is chosen, or take it out"},
		keyLine{keys: "Plants: Enter, arrows, Enter", does: "from the search to the list; through it; add what is chosen to what is selected"},
		keyLine{keys: "Season strip: Left, Right, Escape", does: "another half-month; the whole season"},
	)
}

// keysOf parts a menu item's name from its keys, which the toolkit keeps with it where they are a shortcut; a single key stands in
// brackets behind the name.
func keysOf(i *fyne.MenuItem) (name, keys string) {
	if name, rest, ok := strings.Cut(i.Label, "  ("); ok {
		return name, strings.TrimSuffix(rest, ")")
	}
	return i.Label, chord(i.Shortcut)
}

// chord is a shortcut in words: "Ctrl+Shift+S".
func chord(s fyne.Shortcut) string {
	k, ok := s.(fyne.KeyboardShortcut)
	if !ok {
		return ""
	}
	var parts []string
	for _, m := range []struct {
		mod  fyne.KeyModifier
		name string
	}{{fyne.KeyModifierControl, "Ctrl"}, {fyne.KeyModifierAlt, "Alt"}, {fyne.KeyModifierShift, "Shift"}, {fyne.KeyModifierSuper, "Cmd"}} {
		if k.Mod()&m.mod != 0 {
			parts = append(parts, m.name)
		}
	}
	key := string(k.Key())
	if key == "-" {
		key = "−"
	}
	return strings.Join(append(parts, key), "+")
}

// showKeys shows the key sheet, with a line to search it by.
func (w *Window) showKeys() {
	sheet := newKeySheet(w.keyLines())
	w.tell("Keys", sheet.body, 980, 680)
	w.window.Canvas().Focus(sheet.search)
}

func (w *Window) showCautions() {
	words := "A plan on paper does not know what lies under the ground or who works on it."
	for _, c := range habitat.Cautions {
		words += "\n\n" + c.Words
	}
	t := widget.NewLabel(words)
	t.Wrapping = fyne.TextWrapWord
	w.read("Cautions", t, 560, 480)
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
	w.read("About", t, 520, 380)
}

// tell shows something to read.
func (w *Window) tell(title string, what fyne.CanvasObject, width, height float32) {
	d := dialog.NewCustomWithoutButtons(title, what, w.window)
	d.SetButtons([]fyne.CanvasObject{fields.NewButton("Close", w.calmly(d.Dismiss))})
	size := w.window.Canvas().Size()
	d.Resize(fyne.NewSize(min(width, size.Width-40), min(height, size.Height-40)))
	w.put(d)
}

// read shows a text that the keys can scroll.
func (w *Window) read(title string, text fyne.CanvasObject, width, height float32) {
	page := fields.NewPage(text)
	w.tell(title, page, width, height)
	w.window.Canvas().Focus(page)
}
