package survey

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"strings"
	"testing"

	"hedgereach/habitat/plan"
)

// Whatever is given as a picture comes out small, or is refused in one line, without a panic.
func FuzzLoadPicture(f *testing.F) {
	src := image.NewNRGBA(image.Rect(0, 0, 24, 16))
	for i := range src.Pix {
		src.Pix[i] = byte(i * 7)
	}
	grey := image.NewGray16(image.Rect(0, 0, 9, 9))
	few := image.NewPaletted(image.Rect(0, 0, 8, 8), color.Palette{color.Black, color.White, color.Transparent})
	for _, img := range []image.Image{src, grey, few} {
		var b bytes.Buffer
		if err := png.Encode(&b, img); err != nil {
			f.Fatal(err)
		}
		f.Add(b.Bytes())
		var j bytes.Buffer
		if err := jpeg.Encode(&j, img, nil); err != nil {
			f.Fatal(err)
		}
		f.Add(j.Bytes())
	}
	f.Add(header(50_000, 50_000))
	f.Fuzz(func(t *testing.T, data []byte) {
		if c, _, err := image.DecodeConfig(bytes.NewReader(data)); err == nil && c.Width*c.Height > 1<<20 && c.Width*c.Height <= mostPixels {
			t.Skip("only slow")
		}
		small, w, h, err := LoadPicture(data)
		if err != nil {
			if strings.ContainsAny(err.Error(), "\r\n") {
				t.Fatalf("more than one line: %q", err)
			}
			return
		}
		if w < 1 || h < 1 || w > PictureSide || h > PictureSide || len(small) > plan.MaxPictureBytes {
			t.Fatalf("%d by %d, %d bytes", w, h, len(small))
		}
	})
}

// header is the head of a PNG of so many pixels; nothing follows.
func header(w, h uint32) []byte {
	head := append([]byte("IHDR"), make([]byte, 13)...)
	binary.BigEndian.PutUint32(head[4:], w)
	binary.BigEndian.PutUint32(head[8:], h)
	head[12], head[13] = 8, 6
	b := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0d"), head...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(head))
}

// Pictures that would fill the memory are refused by their head alone.
func TestPicturesThatAreTooLargeToRead(t *testing.T) {
	for _, side := range [][2]uint32{{50_000, 50_000}, {30_001, 1}, {1 << 31, 1 << 31}, {29_999, 29_999}} {
		_, _, _, err := LoadPicture(header(side[0], side[1]))
		if err == nil || !strings.Contains(err.Error(), "too large to read: make it smaller first") && !strings.Contains(err.Error(), "this is no PNG") {
			t.Errorf("%v: %v", side, err)
		}
	}
	if _, _, _, err := LoadPicture(header(50_000, 50_000)); err == nil || !strings.Contains(err.Error(), "50000 by 50000 points, too large to read") {
		t.Error(err)
	}
}
