//go:build faulty

package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
)

// In a build for the test of it, Ctrl+Shift+F9 is a fault on the window's goroutine.
func init() {
	extra = func(w *Window) {
		w.window.Canvas().AddShortcut(&desktop.CustomShortcut{KeyName: fyne.KeyF9, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift},
			func(fyne.Shortcut) { panic("Aunt Polly's garden") })
	}
}
