package plan

import (
	"bytes"
	"image"
	"image/png"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

func pixels(t *testing.T, w, h int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, w, h))); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestThePictureTravelsInThePlan(t *testing.T) {
	p := read(t, whole)
	p.Picture = &Picture{Image: pixels(t, 40, 30), At: orb.Point{12.5, -3}, MetresPerPixel: 0.125, TurnDeg: 7.5, Fade: 0.4,
		Extra: Extra{"by": []byte(`"Ann"`)}}
	text := marshal(t, p)
	q := read(t, text)
	if q.Picture == nil || !bytes.Equal(q.Picture.Image, p.Picture.Image) || q.Picture.At != p.Picture.At || q.Picture.TurnDeg != 7.5 ||
		q.Picture.MetresPerPixel != 0.125 || q.Picture.Fade != 0.4 || string(q.Picture.Extra["by"]) != `"Ann"` {
		t.Fatalf("read again: %+v", q.Picture)
	}
	if marshal(t, q) != text {
		t.Error("written again, it is another file")
	}
	if w, h, err := q.Picture.Size(); w != 40 || h != 30 || err != nil {
		t.Errorf("%d by %d, %v", w, h, err)
	}
	b, err := MarshalGeoJSON(p)
	if err != nil {
		t.Fatal(err)
	}
	if g, _, err := ReadGeoJSON(bytes.NewReader(b), "x"); err != nil || g.Picture == nil || g.Picture.At != p.Picture.At {
		t.Errorf("as GeoJSON: %v", err)
	}
}

func TestPicturesThatAreRefused(t *testing.T) {
	good := pixels(t, 8, 8)
	for want, change := range map[string]func(*Picture){
		"no PNG or JPEG": func(p *Picture) { p.Image = []byte("GIF89a") },
		"more than 4096": func(p *Picture) { p.Image = pixels(t, 5000, 1) },
		"4 MB":           func(p *Picture) { p.Image = make([]byte, MaxPictureBytes+1) },
		"no size":        func(p *Picture) { p.MetresPerPixel = 0 },
		"-360":           func(p *Picture) { p.TurnDeg = 400 },
		"0 and 1":        func(p *Picture) { p.Fade = 2 },
		"far off":        func(p *Picture) { p.At[0] = 1e9 },
	} {
		p := New("x")
		p.Picture = &Picture{Image: good, MetresPerPixel: 1}
		if err := p.Check(); err != nil {
			t.Fatal(err)
		}
		change(p.Picture)
		if err := p.Check(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want a word of %q: %v", want, err)
		}
	}
	const head = `{"format": "hedgereach plan", "version": 1, "name": "", "units": "metric", "picture": `
	if _, err := Read(strings.NewReader(head+`{"image": "%%%"}, "features": []}`), "x"); err == nil || !strings.Contains(err.Error(), "base64") {
		t.Errorf("no base64: %v", err)
	}
	if p, err := Read(strings.NewReader(head+`"north.png", "features": []}`), "x"); err != nil || string(p.Extra["source_picture"]) != `"north.png"` {
		t.Errorf("another program's picture: %v", err)
	}
}
