package board

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/habitat/plan"
)

// scan writes a picture of 40 by 20 points, white, with a red square in its upper left corner.
func scan(t *testing.T) string {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 40, 20))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	for x := range 6 {
		for y := range 6 {
			img.SetRGBA(x, y, color.RGBA{255, 0, 0, 255})
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "scan.png")
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestAPictureToTrace(t *testing.T) {
	h := newBench(t, plan.New("bare"))
	h.settle()
	if _, err := h.act("Picture…").Ask(); err == nil {
		t.Error("how no picture lies is asked")
	}
	if err := h.act("Add a picture").File(scan(t)); err != nil {
		t.Fatal(err)
	}
	pic := h.s.Committed().Picture
	if pic == nil || pic.Fade != startFade || h.board.Tool() != "Picture" {
		t.Fatalf("%+v, tool %q", pic, h.board.Tool())
	}
	if err := h.fill("Picture…", map[string]string{"Fade, %": "0", "Wide": "20 m", "Middle, east; north": "10; 10",
		"Turned clockwise": "90"}); err != nil {
		t.Fatal(err)
	}
	// 40 points are 20 m. Turned clockwise the red corner, at the upper left, comes to the upper right: the picture is 10 m wide
	// and 20 m high now, and its corner lies at 15, 20.
	red := func(x, y float64) bool {
		h.settle()
		b := &h.board.base
		u := b.view.To(orb.Point{x, y})
		c := b.img.RGBAAt(int(u[0]), int(u[1]))
		return c.R > 180 && c.G < 90
	}
	if !red(14.2, 19.2) || red(5.8, 19.2) || red(10, 10) {
		t.Error("the red corner is not where it should be")
	}
	h.board.SetTurn(math.Pi / 7)
	if !red(14.2, 19.2) || red(5.8, 19.2) {
		t.Error("on a turned plan the picture does not lie with the ground")
	}
	h.board.SetTurn(0)
	h.settle()
	if err := h.fill("Picture…", map[string]string{"Fade, %": "100"}); err != nil {
		t.Fatal(err)
	}
	if red(14.2, 19.2) {
		t.Error("a picture faded altogether is seen")
	}
	if err := h.fill("Picture…", map[string]string{"The picture": "take it off"}); err != nil || h.s.Committed().Picture != nil {
		t.Errorf("%v, %v", h.s.Committed().Picture, err)
	}
	for range 4 {
		h.s.Undo()
	}
	if h.s.Committed().Picture != nil || h.s.Document().Dirty() {
		t.Error("undone, something is left")
	}
	for _, bad := range []map[string]string{{"Fade, %": "101"}, {"Wide": "0"}, {"Middle, east; north": "here"}} {
		h.s.Redo()
		if err := h.fill("Picture…", bad); err == nil {
			t.Errorf("%v is taken", bad)
		}
	}
	if err := h.act("Add a picture").File(filepath.Join(t.TempDir(), "none.png")); err == nil {
		t.Error("a picture that is not there")
	}
}
