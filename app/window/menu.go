package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/document"
	"hedgereach/app/fields"
	"hedgereach/app/skin"
	"hedgereach/app/year"
)

// A menu is the main menu with the items whose words change.
type menu struct {
	main       *fyne.MainMenu
	undo, redo *fyne.MenuItem
	lights     map[skin.Light]*fyne.MenuItem
}

// ctrl is a shortcut of the desktop's main modifier with a key.
func ctrl(k fyne.KeyName) fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: k, Modifier: fyne.KeyModifierShortcutDefault}
}

func ctrlShift(k fyne.KeyName) fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: k, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}
}

// free tells whether a shortcut may act on the plan: not while a dialog asks something.
func (w *Window) free() bool { return w.window.Canvas().Overlays().Top() == nil }

// act is a menu item's deed that waits for no dialog: the toolkit fires shortcuts of menu items over open dialogs too.
func (w *Window) act(do func()) func() {
	return func() {
		if w.free() {
			do()
		}
	}
}

// text is a deed that belongs to a line of text while one is being typed in: the toolkit fires shortcuts of menu items
// before the focused line gets them.
func (w *Window) text(shortcut fyne.Shortcut, do func()) func() {
	return func() {
		if f := w.window.Canvas().Focused(); fields.Typed(f) {
			f.(fyne.Shortcutable).TypedShortcut(shortcut)
			return
		}
		if w.free() {
			do()
		}
	}
}

func item(label string, shortcut fyne.Shortcut, do func()) *fyne.MenuItem {
	i := fyne.NewMenuItem(label, do)
	i.Shortcut = shortcut
	return i
}

func (w *Window) buildMenu() menu {
	var m menu
	quit := item("Quit", ctrl(fyne.KeyQ), w.act(w.quit))
	quit.IsQuit = true
	file := fyne.NewMenu("File",
		item("New", ctrl(fyne.KeyN), w.act(w.newPlan)),
		item("Open…", ctrl(fyne.KeyO), w.act(w.askOpen)),
		item("Open the sample garden", ctrl(fyne.KeyF2), w.act(w.openSample)),
		fyne.NewMenuItemSeparator(),
		item("Save", ctrl(fyne.KeyS), w.act(w.save)),
		item("Save as…", ctrlShift(fyne.KeyS), w.act(w.saveAs)),
		item("Export as GeoJSON…", ctrlShift(fyne.KeyX), w.act(w.exportGeoJSON)),
		fyne.NewMenuItemSeparator(),
		item("Print or write sheets…", ctrl(fyne.KeyP), w.act(w.askSheets)),
		fyne.NewMenuItemSeparator(), quit)

	m.undo = item("Undo", &fyne.ShortcutUndo{}, w.text(&fyne.ShortcutUndo{}, w.board.Undo))
	m.redo = item("Redo", &fyne.ShortcutRedo{}, w.text(&fyne.ShortcutRedo{}, w.session.Redo))
	edit := fyne.NewMenu("Edit", m.undo, m.redo,
		fyne.NewMenuItemSeparator(),
		item("Cut", &fyne.ShortcutCut{}, w.text(&fyne.ShortcutCut{Clipboard: w.app.Clipboard()}, w.cutFeatures)),
		item("Copy", &fyne.ShortcutCopy{}, w.text(&fyne.ShortcutCopy{Clipboard: w.app.Clipboard()}, w.copyFeatures)),
		item("Paste", &fyne.ShortcutPaste{}, w.text(&fyne.ShortcutPaste{Clipboard: w.app.Clipboard()}, w.pasteFeatures)),
		item("Duplicate", ctrl(fyne.KeyD), w.act(w.duplicate)),
		item("Delete  (Del)", nil, w.act(w.board.DeleteSelection)),
		item("Select all", &fyne.ShortcutSelectAll{}, w.text(&fyne.ShortcutSelectAll{}, w.board.SelectAll)))

	tools := fyne.NewMenu("Draw")
	for _, i := range w.board.Tools() {
		tools.Items = append(tools.Items, item(i.Name+"  ("+string(i.Key)+")", nil, w.act(func() { w.chooseTool(i.Name) })))
	}

	tools.Items = append(tools.Items, fyne.NewMenuItemSeparator(),
		item("What to draw…  ("+string(kindKey)+")", nil, w.act(w.tools.kind.Open)))

	light := func(label string, l skin.Light, k fyne.KeyName) *fyne.MenuItem {
		i := item(label, ctrl(k), func() { w.setLight(l) })
		m.lights[l] = i
		return i
	}
	m.lights = map[skin.Light]*fyne.MenuItem{}
	shading := w.toggle("Reach shaded", ctrlShift(fyne.KeyR), w.board.Shading, w.board.SetShading)
	labels := w.toggle("Names", ctrlShift(fyne.KeyM), w.board.Labels, w.board.SetLabels)
	grid := w.toggle("Grid lines", ctrl(fyne.KeyU), w.board.Grid, w.board.SetGrid)
	snap := w.toggle("Snap to the grid", ctrlShift(fyne.KeyU), w.board.Snap, w.board.SetSnap)
	cling := w.toggle("Snap to what is drawn", ctrlShift(fyne.KeyQ), w.board.Cling, w.board.SetCling)
	view := fyne.NewMenu("View",
		item("Nearer", ctrl(fyne.KeyEqual), w.act(w.board.ZoomIn)),
		item("Farther", ctrl(fyne.KeyMinus), w.act(w.board.ZoomOut)),
		item("Whole plan", ctrl(fyne.Key0), w.act(w.board.Fit)),
		fyne.NewMenuItemSeparator(),
		item("Beds", ctrl(fyne.Key1), w.act(func() { w.showPane(0) })),
		item("Findings", ctrl(fyne.Key2), w.act(func() { w.showPane(1) })),
		item("Feature", ctrl(fyne.Key3), w.act(func() { w.showPane(2) })),
		item("Plants", ctrl(fyne.Key4), w.act(w.searchPlants)),
		item("All features", ctrl(fyne.Key5), w.act(w.listAll)),
		item("Suggestions", ctrl(fyne.Key6), w.act(func() { w.showPane(5) })),
		fyne.NewMenuItemSeparator(),
		item("Bloom chart", ctrl(fyne.KeyF8), w.act(func() { w.showYear(year.Bloom) })),
		item("Bed calendar", ctrl(fyne.KeyF9), w.act(func() { w.showYear(year.Beds) })),
		item("Play the year", ctrl(fyne.KeyF10), w.act(w.strip.Play)),
		fyne.NewMenuItemSeparator(), shading, labels, grid,
		fyne.NewMenuItemSeparator(), snap, cling,
		fyne.NewMenuItemSeparator(),
		light("By day", skin.Day, fyne.KeyF5), light("By lamplight", skin.Lamp, fyne.KeyF6), light("As the desktop", skin.AsSystem, fyne.KeyF7),
		fyne.NewMenuItemSeparator())

	plan := fyne.NewMenu("Plan", item("Place and season…", ctrl(fyne.KeyF), w.act(w.askPlace)),
		item("Weather of a station…", ctrl(fyne.KeyF4), w.act(w.askWeather)),
		item("Take the weather out", ctrlShift(fyne.KeyF4), w.act(w.dropWeather)),
		item("My own plants and ranges…", ctrl(fyne.KeyF3), w.act(w.askOwn)))
	help := fyne.NewMenu("Help",
		item("Keys  (F1)", nil, w.act(w.showKeys)),
		item("Cautions", ctrl(fyne.KeyF1), w.act(w.showCautions)),
		item("About Hedgereach", ctrlShift(fyne.KeyF1), w.act(w.showAbout)))
	m.main = fyne.NewMainMenu(w.addActions([]*fyne.Menu{file, edit, tools, view, plan, help}, 3)...)
	m.mark(w.light())
	return m
}

// toggle is an item with a tick.
func (w *Window) toggle(label string, shortcut fyne.Shortcut, is func() bool, set func(bool)) *fyne.MenuItem {
	i := item(label, shortcut, nil)
	i.Checked = is()
	i.Action = func() {
		set(!is())
		i.Checked = is()
		w.menu.main.Refresh()
		state := "off"
		if is() {
			state = "on"
		}
		w.say(label + ": " + state)
	}
	return i
}

// showMenu is the menu for the selection, at a place of the window.
func (w *Window) showMenu(at fyne.Position) {
	some := len(w.session.Selection()) > 0
	do := func(label string, what func()) *fyne.MenuItem {
		i := fyne.NewMenuItem(label, what)
		i.Disabled = !some
		return i
	}
	paste := fyne.NewMenuItem("Paste", w.pasteFeatures)
	m := fyne.NewMenu("", do("What it is and what grows on it", func() { w.showPane(2) }), fyne.NewMenuItemSeparator(),
		do("Cut", w.cutFeatures), do("Copy", w.copyFeatures), paste, do("Duplicate", w.duplicate),
		do("Delete", w.board.DeleteSelection))
	widget.ShowPopUpMenuAtPosition(m, w.window.Canvas(), at)
}

// update names the steps that undo and redo would take.
func (m *menu) update(d *document.Document) {
	undo, can := d.UndoName()
	set := func(i *fyne.MenuItem, word, name string, can bool) bool {
		label := word
		if can {
			label += ": " + name
		}
		changed := i.Label != label || i.Disabled == can
		i.Label, i.Disabled = label, !can
		return changed
	}
	redo, could := d.RedoName()
	a, b := set(m.undo, "Undo", undo, can), set(m.redo, "Redo", redo, could)
	if a || b {
		m.main.Refresh()
	}
}

func (m *menu) mark(l skin.Light) {
	for k, i := range m.lights {
		i.Checked = k == l
	}
}

func (w *Window) light() skin.Light {
	if t, ok := w.app.Settings().Theme().(*skin.Theme); ok {
		return t.Light
	}
	return skin.AsSystem
}

// setLight changes between day, lamplight and what the desktop has, and keeps it for the next time.
func (w *Window) setLight(l skin.Light) {
	w.app.Preferences().SetString(lightKey, string(l))
	w.app.Settings().SetTheme(&skin.Theme{Light: l})
	w.menu.mark(l)
	w.menu.main.Refresh()
}
