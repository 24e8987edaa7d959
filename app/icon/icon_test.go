package icon

import (
	"flag"
	"image"
	"image/png"
	"os"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing/raster"
)

const file = "../../Icon.png"

var write = flag.Bool("write", false, "write Icon.png anew")

// TestIcon holds Icon.png, which packaging tools read, against the drawing. It is our own drawing, so there is nothing outside
// to check it by; go test ./app/icon -write renews it.
func TestIcon(t *testing.T) {
	want := image.NewRGBA(image.Rect(0, 0, Side, Side))
	raster.Draw(want, Draw(), 1, orb.Point{})
	if *write {
		f, err := os.Create(file)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		if err := png.Encode(f, want); err != nil {
			t.Fatal(err)
		}
		return
	}
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	got, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	if got.Bounds() != want.Bounds() {
		t.Fatalf("Icon.png is %v, the drawing %v", got.Bounds(), want.Bounds())
	}
	off := 0
	for y := range Side {
		for x := range Side {
			r, g, b, a := got.At(x, y).RGBA()
			r2, g2, b2, a2 := want.At(x, y).RGBA()
			if differ(r, r2) || differ(g, g2) || differ(b, b2) || differ(a, a2) {
				off++
			}
		}
	}
	if off > Side*Side/200 {
		t.Errorf("%d pixels of Icon.png differ from the drawing: go test ./app/icon -write", off)
	}
}

func differ(a, b uint32) bool { return max(a, b)-min(a, b) > 0x1800 }
