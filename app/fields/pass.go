package fields

import "fyne.io/fyne/v2"

// PassKey hands a key that means nothing to a field to the window that it stands in, which the toolkit does only where
// nothing has the focus: F1 opens the key sheet and Escape leads back to the ground from anywhere.
func PassKey(o fyne.CanvasObject, k *fyne.KeyEvent) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(o); c != nil {
		if do := c.OnTypedKey(); do != nil {
			do(k)
		}
	}
}

// PassRune does so with a letter, so that the keys of the tools work wherever nothing is typed.
func PassRune(o fyne.CanvasObject, r rune) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(o); c != nil {
		if do := c.OnTypedRune(); do != nil {
			do(r)
		}
	}
}
