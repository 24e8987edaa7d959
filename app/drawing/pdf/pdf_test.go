package pdf

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
)

var (
	meta = Meta{Title: "Plot map – Łąka", Author: "A. Grower", Subject: "Season 2026",
		Created: time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)}
	black = color.NRGBA{A: 255}
)

// sheet is a page with words in all styles, a picture and two layers.
func sheet(w, h float64, words string) drawing.List {
	l := drawing.List{Width: w, Height: h}
	for i := range 4 {
		l.Add(drawing.Text{At: orb.Point{10, 20 + 10*float64(i)}, Words: words, Size: 5, Bold: i%2 == 1, Italic: i/2 == 1,
			Color: black,
			Halo:  color.NRGBA{255, 255, 255, 255}, HaloWidth: 0.5})
	}
	m := image.NewNRGBA(image.Rect(0, 0, 8, 8))
	for i := range 64 {
		m.SetNRGBA(i%8, i/8, color.NRGBA{uint8(i), 0, 0, uint8(i * 4)})
	}
	for i := range 3 {
		l.Add(drawing.Picture{Image: m, Min: orb.Point{10, 60 + 10*float64(i)}, Max: orb.Point{18, 68 + 10*float64(i)}})
	}
	for _, name := range []string{"Beds", "Hedges é"} {
		l.Add(drawing.Layer{Name: name, Ops: []drawing.Op{
			drawing.Fill{Path: drawing.Rect(30, 60, 40, 70), Color: color.NRGBA{0, 128, 0, uint8(len(name) * 20)}},
		}})
	}
	return l
}

func write(t *testing.T, pages []drawing.List, m Meta) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, pages, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestSameBytes(t *testing.T) {
	pages := []drawing.List{sheet(210, 297, "Bed 1"), sheet(420, 297, "Bed 2")}
	first := write(t, pages, meta)
	for range 10 {
		if !bytes.Equal(first, write(t, pages, meta)) {
			t.Fatal("the same drawing gives other bytes")
		}
	}
	if n := bytes.Count(first, []byte("/Subtype /Image")); n != 2 { // its colours and its alpha
		t.Errorf("the same picture is stored %d times, want 2 parts", n)
	}
}

// tool runs an outside program on a PDF file.
func tool(t *testing.T, data []byte, name string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		t.Skip(name + " is not installed")
	}
	file := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	for i, a := range args {
		if a == "FILE" {
			args[i] = file
		}
	}
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", name, err, out)
	}
	return string(out)
}

func pages() []drawing.List {
	return []drawing.List{sheet(210, 297, "Écorce (100 m²) \\ <œuf>"), sheet(420, 297, "Second"), sheet(297, 100, "Third")}
}

func TestSoundFile(t *testing.T) {
	if out := tool(t, write(t, pages(), meta), "qpdf", "--check", "FILE"); !strings.Contains(out,
		"No syntax or stream encoding errors") {
		t.Error(out)
	}
}

func TestPagesAndMeta(t *testing.T) {
	out := tool(t, write(t, pages(), meta), "pdfinfo", "-l", "3", "FILE")
	for _, want := range []string{
		`Title: +Plot map – Łąka\n`, `Author: +A. Grower\n`, `Subject: +Season 2026\n`,
		`Creator: +Hedgereach\n`, `CreationDate: .*Mar +1 .*2026`,
		`Pages: +3\n`,
		// Sizes in points: A4, A3 across, and 297 mm by 100 mm.
		`Page +1 size: +595.2[78] x 841.89`, `Page +2 size: +1190.5[45] x 841.89`, `Page +3 size: +841.89 x 283.4[56]`,
	} {
		if !regexp.MustCompile(want).MatchString(out) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
}

func TestFontsAreEmbedded(t *testing.T) {
	out := tool(t, write(t, pages(), meta), "pdffonts", "FILE")
	lines := strings.Split(strings.TrimSpace(out), "\n")[2:]
	if len(lines) != 4 {
		t.Errorf("%d fonts, want the 4 styles used:\n%s", len(lines), out)
	}
	for _, l := range lines {
		if !regexp.MustCompile(`TrueType .* yes +\w+ +yes`).MatchString(l) {
			t.Errorf("not embedded, or not Unicode: %s", l)
		}
	}
	if n := len(write(t, []drawing.List{{Width: 10, Height: 10}}, Meta{Created: meta.Created})); n > 3000 {
		t.Errorf("an empty page takes %d bytes", n)
	}
}

// Words can be searched and read out, once in spite of their halo.
func TestWords(t *testing.T) {
	out := tool(t, write(t, pages(), meta), "pdftotext", "-f", "1", "-l", "1", "FILE", "-")
	if n := strings.Count(out, "Écorce (100 m²) \\ <œuf>"); n != 4 {
		t.Errorf("the line is found %d times, want 4:\n%s", n, out)
	}
}

func TestBookmarks(t *testing.T) {
	m := meta
	m.Bookmarks = []Bookmark{{"Map é", 0, 0}, {"Lists", 1, 0}, {"Plants", 1, 1}, {"Works", 2, 1}}
	out := tool(t, write(t, pages(), m), "qpdf", "--json", "--json-key=outlines", "FILE")
	for _, want := range []string{`"title": "Map é"`, `"title": "Plants"`, `"destpageposfrom1": 3`, `841.89`, `283.4`} {
		if !strings.Contains(out, want) {
			t.Errorf("no %s in\n%s", want, out)
		}
	}
}

// A layer of one name is one layer on all pages, and printing keeps the scale.
func TestLayersAndPrinting(t *testing.T) {
	out := tool(t, write(t, pages(), meta), "qpdf", "--json", "--json-key=qpdf", "FILE")
	if n := strings.Count(out, `"/Type": "/OCG"`); n != 2 {
		t.Errorf("%d layers, want 2", n)
	}
	for _, want := range []string{`"u:Hedges é"`, `"/PrintScaling": "/None"`, `"/Lang": "u:en-GB"`} {
		if !strings.Contains(out, want) {
			t.Errorf("no %s", want)
		}
	}
}

func TestRefuses(t *testing.T) {
	good := drawing.List{Width: 10, Height: 10}
	bad := drawing.List{Width: 10, Height: 10, Ops: []drawing.Op{drawing.Stroke{Pen: drawing.Pen{Width: -1}}}}
	marks := func(b ...Bookmark) Meta { return Meta{Created: meta.Created, Bookmarks: b} }
	for _, c := range []struct {
		name, want string
		pages      []drawing.List
		meta       Meta
	}{
		{"no page", "no page", nil, meta},
		{"no date", "date of creation", []drawing.List{good}, Meta{}},
		{"bad step", "page 2: drawing: step 1", []drawing.List{good, bad}, meta},
		{"too large", "PDF goes up to 5080 mm", []drawing.List{{Width: 6000, Height: 10}}, meta},
		{"bookmark of no page", "does not follow", []drawing.List{good}, marks(Bookmark{"x", 1, 0})},
		{"bookmark too deep", "does not follow", []drawing.List{good}, marks(Bookmark{"x", 0, 1})},
		{"bookmarks out of order", "does not follow", []drawing.List{good, good}, marks(Bookmark{"x", 1, 0}, Bookmark{"y", 0, 0})},
	} {
		if err := Write(&bytes.Buffer{}, c.pages, c.meta); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	if err := Write(full{}, []drawing.List{good}, meta); err == nil || !strings.Contains(err.Error(), "disc is full") {
		t.Errorf("a failed write gives %v", err)
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, fmt.Errorf("the disc is full") }

func BenchmarkWrite(b *testing.B) {
	l := drawing.List{Width: 420, Height: 297}
	for i := range 500 {
		x, y := float64(i%25)*16, float64(i/25)*14
		p := drawing.Rect(x, y, x+15, y+13)
		l.Add(drawing.Fill{Path: p, Color: color.NRGBA{0, 128, 0, 90}},
			drawing.Stroke{Path: p, Pen: drawing.Pen{Color: black, Width: 0.3}},
			drawing.Hatch{Path: p, Pattern: drawing.Pattern{Angle: 45, Gap: 1.5, Pen: drawing.Pen{Color: black, Width: 0.13}}},
			drawing.Text{At: orb.Point{x, y + 5}, Words: fmt.Sprint("Bed ", i), Size: 3, Color: black})
	}
	for b.Loop() {
		if err := Write(&bytes.Buffer{}, []drawing.List{l}, meta); err != nil {
			b.Fatal(err)
		}
	}
}
