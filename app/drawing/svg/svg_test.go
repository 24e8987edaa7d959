package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image"
	"image/color"
	"io"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
)

var black = color.NRGBA{A: 255}

func sheet() drawing.List {
	l := drawing.List{Width: 210, Height: 148.5}
	l.Add(
		drawing.Layer{Name: `Beds <"&'> ` + "\x01", Ops: []drawing.Op{
			drawing.Fill{Path: drawing.Rect(0, 0, 10, 10.12345), Color: color.NRGBA{1, 2, 3, 128}},
			drawing.Hatch{Path: drawing.Rect(0, 0, 10, 10),
				Pattern: drawing.Pattern{Gap: 2, Pen: drawing.Pen{Color: black, Width: 0.2}}},
		}},
		drawing.Clip{Path: drawing.Rect(0, 0, 5, 5), Ops: []drawing.Op{
			drawing.Picture{Image: image.NewGray(image.Rect(0, 0, 2, 2)), Max: orb.Point{5, 5}},
			drawing.Stroke{Path: drawing.Line(orb.Point{-0.0001, 1}, orb.Point{5, 1}),
				Pen: drawing.Pen{Color: black, Width: 0.2, Dash: []float64{1, 0.5}}},
		}},
		drawing.Text{At: orb.Point{50, 50}, Words: `Bed <1> & "2" ` + "\x02", Size: 4, Color: black,
			Halo: color.NRGBA{255, 255, 255, 255}, HaloWidth: 0.5},
		drawing.Text{At: orb.Point{50, 60}, Words: "Bed", Size: 4, Color: black, Rotate: 30},
		drawing.Text{At: orb.Point{50, 70}, Words: "Bed", Size: 4, Color: black, Bold: true},
	)
	return l
}

func write(t *testing.T, l drawing.List) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, l, "Plot <map>"); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// The file is well-formed, its names resolve, and text goes through unharmed.
func TestWellFormed(t *testing.T) {
	d := xml.NewDecoder(strings.NewReader(write(t, sheet())))
	ids, used := map[string]bool{}, map[string]bool{}
	var labels []string
	var title string
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range e.Attr {
			switch a.Name.Local {
			case "id":
				if ids[a.Value] {
					t.Errorf("id %s stands twice", a.Value)
				}
				ids[a.Value] = true
			case "href":
				if name, ok := strings.CutPrefix(a.Value, "#"); ok {
					used[name] = true
				}
			case "clip-path":
				used[strings.TrimSuffix(strings.TrimPrefix(a.Value, "url(#"), ")")] = true
			case "label", "aria-label":
				labels = append(labels, a.Value)
			case "width":
				if e.Name.Local == "svg" && a.Value != "210mm" {
					t.Errorf("width is %s", a.Value)
				}
			case "viewBox":
				if a.Value != "0 0 210 148.5" {
					t.Errorf("viewBox is %s", a.Value)
				}
			}
		}
		if e.Name.Local == "title" {
			if err := d.DecodeElement(&title, &e); err != nil {
				t.Fatal(err)
			}
		}
	}
	for name := range used {
		if !ids[name] {
			t.Errorf("#%s is used and not defined", name)
		}
	}
	if want := []string{"Beds <\"&'> \uFFFD", `Bed <1> & "2" `, "Bed", "Bed"}; strings.Join(labels,
		"|") != strings.Join(want, "|") {
		t.Errorf("labels %q, want %q", labels, want)
	}
	if title != "Plot <map>" {
		t.Errorf("title %q", title)
	}
}

// Each letter of each style is defined once; numbers are short.
func TestSmall(t *testing.T) {
	s := write(t, sheet())
	if n, want := strings.Count(s, `<path id="g`), len(`Bed<1>&"2`)+len("Bed"); n != want { // the second in bold
		t.Errorf("%d letters defined, want %d", n, want)
	}
	if strings.Contains(s, "-0 ") || strings.Contains(s, "-0\"") || strings.Contains(s,
		"10.1234") || !strings.Contains(s, "10.123") {
		t.Error("a number is not rounded well")
	}
}

func TestSameBytes(t *testing.T) {
	first := write(t, sheet())
	for range 10 {
		if write(t, sheet()) != first {
			t.Fatal("the same drawing gives other bytes")
		}
	}
}

func TestRefuses(t *testing.T) {
	if err := Write(io.Discard, drawing.List{}, ""); err == nil {
		t.Error("a list without a size passes")
	}
	if err := Write(full{}, sheet(), ""); err == nil || !strings.Contains(err.Error(), "disc is full") {
		t.Errorf("a failed write gives %v", err)
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("the disc is full") }
