// Package pdf writes drawings as the pages of a PDF file, in millimetres and to scale, with letters as text, hatches as
// lines, and layers that a reader can switch off.
package pdf

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"strconv"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"github.com/paulmach/orb"
	"golang.org/x/image/draw"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/face"
)

// Meta is what a PDF says of itself. Created is required, and the only date in the file: the same input gives the same bytes.
type Meta struct {
	Title, Author, Subject string
	Created                time.Time
	Bookmarks              []Bookmark
}

// A Bookmark is an entry in the reader's list of contents. Page counts from 0. Level is 0 for a main entry and at most one
// more than that of the entry before. Bookmarks stand in the order of their pages.
type Bookmark struct {
	Title string
	Page  int
	Level int
}

// perMM is points in a millimetre: PDF measures in 1/72 inch.
const perMM = 72 / 25.4

// largest is the longest side of a page in millimetres that readers must take: 14 400 points (ISO 32000-1, Annex C).
const largest = 14400 / perMM

// Write writes lists in millimetres as pages of their size.
func Write(w io.Writer, pages []drawing.List, meta Meta) error {
	if err := check(pages, meta); err != nil {
		return err
	}
	f := &file{Fpdf: fpdf.NewCustom(&fpdf.InitType{
		OrientationStr: "P", // taken as given: width first
		UnitStr:        "mm",
		Size:           fpdf.SizeType{Wd: pages[0].Width, Ht: pages[0].Height},
	}), layers: map[string]int{}}
	f.SetCatalogSort(true)
	f.SetCreationDate(meta.Created)
	f.SetModificationDate(meta.Created)
	f.SetTitle(plain(meta.Title), true)
	f.SetAuthor(plain(meta.Author), true)
	f.SetSubject(plain(meta.Subject), true)
	f.SetCreator("Hedgereach", true)
	f.SetAutoPageBreak(false, 0)
	// Readers shrink pages to the printer's margins unless told not to, and then nothing is to scale. The library has no
	// call for that wish, but it writes the language as it is: the rest of that line, a comment, takes its closing bracket.
	f.SetLang("en-GB) /ViewerPreferences <</PrintScaling /None /DisplayDocTitle true>> %")

	for i, l := range pages {
		f.AddPageFormat("P", fpdf.SizeType{Wd: l.Width, Ht: l.Height})
		f.height = l.Height
		f.page = orb.Bound{Max: orb.Point{l.Width, l.Height}}
		f.bookmark(meta.Bookmarks, i, pages)
		if err := f.play(l.Ops); err != nil {
			return fmt.Errorf("pdf: page %d: %w", i+1, err)
		}
		if err := f.Error(); err != nil {
			return fmt.Errorf("pdf: page %d: %w", i+1, err)
		}
	}
	if err := f.Output(w); err != nil {
		return fmt.Errorf("pdf: %w", err)
	}
	return nil
}

func check(pages []drawing.List, meta Meta) error {
	if len(pages) == 0 {
		return errors.New("pdf: there is no page to write; give at least one drawing")
	}
	if meta.Created.IsZero() {
		return errors.New("pdf: the file needs a date of creation; set Created")
	}
	for i, l := range pages {
		if err := drawing.Check(l); err != nil {
			return fmt.Errorf("pdf: page %d: %w", i+1, err)
		}
		if l.Width > largest || l.Height > largest {
			return fmt.Errorf("pdf: page %d is %.0f mm by %.0f mm; PDF goes up to %.0f mm, so choose a smaller sheet",
				i+1, l.Width, l.Height, largest)
		}
	}
	level, page := -1, 0
	for _, b := range meta.Bookmarks {
		if b.Level < 0 || b.Level > level+1 || b.Page < page || b.Page >= len(pages) {
			return fmt.Errorf("pdf: bookmark %q (page %d, level %d) does not follow from the one before", b.Title, b.Page, b.Level)
		}
		level, page = b.Level, b.Page
	}
	return nil
}

// plain keeps text within the basic plane, beyond which the library writes garbage.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if r > 0xFFFF {
			return '\uFFFD'
		}
		return r
	}, s)
}

// A file is a PDF in the making. Shapes are written as PDF operators directly, because the library has no clip by a path
// with holes and leaves out settings that it believes to be in force, which a restored graphics state undoes.
type file struct {
	*fpdf.Fpdf
	height float64   // of the page, mm
	page   orb.Bound // the whole page, mm
	layers map[string]int
	buf    []byte
}

// bookmark sets the marks of page i. The library measures their height from the foot of the last page, whatever their own.
func (f *file) bookmark(marks []Bookmark, i int, pages []drawing.List) {
	for _, b := range marks {
		if b.Page == i {
			f.font(false, false, 10) // without a font in force it would not write Unicode
			const hair = 0.001       // so that it is never exactly -1, which means something else there
			f.Bookmark(plain(b.Title), b.Level, pages[len(pages)-1].Height-pages[i].Height+hair)
		}
	}
}

func (f *file) play(ops []drawing.Op) error {
	for _, op := range ops {
		switch op := op.(type) {
		case drawing.Fill:
			f.fill(op)
		case drawing.Stroke:
			f.stroke(op)
		case drawing.Hatch:
			f.hatch(op)
		case drawing.Text:
			f.text(op)
		case drawing.Picture:
			if err := f.picture(op); err != nil {
				return err
			}
		case drawing.Clip:
			f.write("q")
			f.path(op.Path, true)
			f.write("W* n")
			if err := f.play(op.Ops); err != nil {
				return err
			}
			f.write("Q")
		case drawing.Layer:
			id, ok := f.layers[op.Name]
			if !ok {
				id = f.AddLayer(plain(op.Name), true)
				f.layers[op.Name] = id
			}
			// The library's own BeginLayer would close an outer layer.
			f.write("/OC /OC" + strconv.Itoa(id) + " BDC")
			if err := f.play(op.Ops); err != nil {
				return err
			}
			f.write("EMC")
		default:
			return fmt.Errorf("a step %T cannot be drawn", op)
		}
	}
	return nil
}

func (f *file) write(s string) { f.RawWriteStr(s) }

// number adds a length in millimetres as points, to 0.0001 mm.
func (f *file) number(mm float64) {
	f.buf = strconv.AppendFloat(f.buf, mm*perMM, 'f', 3, 64)
	f.buf = append(f.buf, ' ')
}

// point adds a place and an operator. PDF counts from the foot of the page.
func (f *file) point(p orb.Point, operator string) {
	f.number(p[0])
	f.number(f.height - p[1])
	f.buf = append(f.buf, operator...)
	f.buf = append(f.buf, '\n')
}

func (f *file) flush() {
	f.write(strings.TrimSuffix(string(f.buf), "\n"))
	f.buf = f.buf[:0]
}

// path writes the contours of a path, all closed for a fill. An empty path is a point outside the page, so that a clip by
// it lets nothing through.
func (f *file) path(path drawing.Path, fill bool) {
	for _, c := range path {
		for i, p := range c.Points {
			if i == 0 {
				f.point(p, "m")
			} else {
				f.point(p, "l")
			}
		}
		if n := len(c.Points); n == 1 {
			f.point(c.Points[0], "l") // a path of one point is drawn only as a line
		} else if n > 1 && (c.Closed || fill) {
			f.buf = append(f.buf, "h\n"...)
		}
	}
	if len(f.buf) == 0 {
		f.point(orb.Point{-1, -1}, "m")
	}
	f.flush()
}

// color sets a colour for an operator, RG for lines and rg for areas, and its alpha.
func (f *file) color(c color.NRGBA, operator string) {
	f.SetAlpha(float64(c.A)/255, "Normal")
	f.write(fmt.Sprintf("%.3f %.3f %.3f %s", float64(c.R)/255, float64(c.G)/255, float64(c.B)/255, operator))
}

// pen sets width, ends (0 flat, 1 round), round joins and dashes.
func (f *file) pen(p drawing.Pen, ends int) {
	f.color(p.Color, "RG")
	f.number(p.Width)
	f.buf = append(f.buf, fmt.Sprintf("w %d J 1 j [", ends)...)
	for _, d := range p.Dash {
		f.number(d)
	}
	f.buf = append(f.buf, "] 0 d"...)
	f.flush()
}

func (f *file) fill(op drawing.Fill) {
	if op.Color.A == 0 || len(op.Path) == 0 {
		return
	}
	f.color(op.Color, "rg")
	f.path(op.Path, true)
	f.write("f*")
}

func (f *file) stroke(op drawing.Stroke) {
	if op.Pen.Color.A == 0 || op.Pen.Width == 0 || len(op.Path) == 0 {
		return // PDF would draw the finest line for a width of 0
	}
	f.pen(op.Pen, 1)
	f.path(op.Path, false)
	f.write("S")
}

func (f *file) hatch(op drawing.Hatch) {
	p := op.Pattern
	lines := drawing.Rule(op.Path, p, f.page.Pad(p.Pen.Width))
	if p.Pen.Color.A == 0 || p.Pen.Width == 0 || len(lines) == 0 {
		return
	}
	ends := 0
	if p.Dots {
		ends = 1
	}
	f.pen(drawing.Pen{Color: p.Pen.Color, Width: p.Pen.Width}, ends)
	for _, s := range lines {
		f.point(s[0], "m")
		f.point(s[1], "l")
	}
	f.flush()
	f.write("S")
}

// font puts a style of the typeface in force at an em height in millimetres, and embeds it at its first use.
func (f *file) font(bold, italic bool, size float64) {
	style := ""
	if bold {
		style += "B"
	}
	if italic {
		style += "I"
	}
	f.AddUTF8FontFromBytes("sheet", style, face.Data(bold, italic))
	f.SetFont("sheet", style, size*perMM)
}

func (f *file) text(op drawing.Text) {
	words := face.Clean(op.Words)
	if words == "" || op.Size == 0 {
		return
	}
	x := op.At[0]
	switch width := face.Width(words, op.Size, op.Bold, op.Italic); op.Align {
	case drawing.Middle:
		x -= width / 2
	case drawing.End:
		x -= width
	}
	f.font(op.Bold, op.Italic, op.Size)
	f.TransformBegin()
	f.TransformRotate(op.Rotate, op.At[0], op.At[1])
	if op.Halo.A > 0 && op.HaloWidth > 0 {
		// The same letters outlined; marked as not part of the text, so that it is read out once.
		f.pen(drawing.Pen{Color: op.Halo, Width: 2 * op.HaloWidth}, 1)
		f.write("/Artifact BMC")
		f.SetTextRenderingMode(1)
		f.Text(x, op.At[1], words)
		f.SetTextRenderingMode(0)
		f.write("EMC")
	}
	f.color(op.Color, "rg")
	f.Text(x, op.At[1], words)
	f.TransformEnd()
}

// fine is the least pixels in a millimetre of a picture, about 100 dots per inch.
const fine = 4

func (f *file) picture(op drawing.Picture) error {
	b := op.Image.Bounds()
	w, h := op.Max[0]-op.Min[0], op.Max[1]-op.Min[1]
	// Readers show a coarse picture as squares, where the other outputs blend from pixel to pixel: so it is refined first.
	// The library reads 8 bits a channel only.
	m := image.NewNRGBA(image.Rect(0, 0, max(b.Dx(), int(w*fine)), max(b.Dy(), int(h*fine))))
	draw.ApproxBiLinear.Scale(m, m.Rect, op.Image, b, draw.Src, nil)
	var data bytes.Buffer
	if err := png.Encode(&data, m); err != nil {
		return fmt.Errorf("a picture cannot be packed: %w", err)
	}
	name := fmt.Sprintf("%x", sha256.Sum256(data.Bytes())) // the same picture is stored once
	opts := fpdf.ImageOptions{ImageType: "PNG", AllowNegativePosition: true}
	f.RegisterImageOptionsReader(name, opts, &data)
	f.SetAlpha(1, "Normal")
	f.ImageOptions(name, op.Min[0], op.Min[1], w, h, false, opts, 0, "")
	return nil
}
