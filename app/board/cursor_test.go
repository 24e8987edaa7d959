package board

import (
	"testing"

	"fyne.io/fyne/v2/driver/desktop"
)

// The pointer's look says what a press would do.
func TestCursors(t *testing.T) {
	h := newBench(t, garden())
	h.choose("Bed 1") // 0, 5 to 20, 6.2
	for _, c := range []struct {
		name string
		x, y float64
		want desktop.Cursor
	}{
		{"bare ground", 10, 12, desktop.DefaultCursor},
		{"another bed", 10, 20.6, desktop.PointerCursor},
		{"the bed that is chosen", 5, 5.6, moveCursor},
		{"its corner", 20, 6.2, desktop.CrosshairCursor},
		{"its turning handle", 10, 6.2 + 4*7.0/20, turnCursor}, // four reaches of 7 units above it, at 20 units a metre
	} {
		h.move(c.x, c.y)
		if got := h.board.Cursor(); got != c.want {
			t.Errorf("over %s it is %v, want %v", c.name, got, c.want)
		}
	}
	h.typing("r")
	if got := h.board.Cursor(); got != desktop.CrosshairCursor {
		t.Errorf("with a drawing tool it is %v", got)
	}
	img, x, y := moveCursor.Image()
	if b := img.Bounds(); x != b.Dx()/2 || y != b.Dy()/2 || b.Dx() > 32 { // what every desktop takes
		t.Errorf("a drawn cursor of %v points with %d, %d", b, x, y)
	}
}
