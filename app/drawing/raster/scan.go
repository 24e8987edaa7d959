package raster

import (
	"image"
	"math"
	"math/bits"
)

// A scan turns edges into the share of each pixel that a shape covers. Edges may come in any order so long as they close.
// Every edge adds its signed area to the cells that it passes; the running sum along a row is then the winding number of each
// pixel, whole or part, from which the fill rule makes the cover. (The idea is that of the font-rs rasteriser, Levien 2016.)
//
// Two things set it apart from golang.org/x/image/vector. It marks the cells that edges touched, so that the thin outline of
// a large shape costs only its length and not its area. And it knows the even-odd rule, so that rings need no orientation.
//
// Coordinates stay absolute, and each row is worked out from the whole edge, so that a picture painted in bands is the same
// to the bit as one painted at once.
type scan struct {
	window image.Rectangle // the pixels of interest
	stride int             // cells in a row: two more than pixels, for what falls on the right border
	words  int             // words of marks in a row
	cells  []float32       // all zero between shapes
	marks  []uint64        // likewise
	top    int             // rows touched so far, from top to before bottom
	bottom int
}

// begin makes ready for a shape within a window.
func (s *scan) begin(window image.Rectangle) {
	s.window = window
	s.stride = window.Dx() + 2
	s.words = (s.stride + 63) / 64
	if n := s.stride * window.Dy(); n > len(s.cells) {
		s.cells = make([]float32, n)
	}
	if n := s.words * window.Dy(); n > len(s.marks) {
		s.marks = make([]uint64, n)
	}
	s.top, s.bottom = window.Max.Y, window.Min.Y
}

// line adds the edge from a to b.
func (s *scan) line(ax, ay, bx, by float64) {
	if ay < by {
		s.edge(ax, ay, bx, by, 1)
	} else if by < ay {
		s.edge(bx, by, ax, ay, -1)
	}
}

// edge adds an edge that goes down, cutting it at the sides of the window: what lies left of it still turns the winding
// number of all its pixels, what lies right of it turns none.
func (s *scan) edge(ax, ay, bx, by, sign float64) {
	if by <= float64(s.window.Min.Y) || ay >= float64(s.window.Max.Y) {
		return
	}
	left, right := float64(s.window.Min.X), float64(s.window.Max.X)
	if ax >= right && bx >= right {
		return
	}
	if ax <= left && bx <= left {
		s.rows(left, ay, left, by, sign)
		return
	}
	for _, side := range [2]float64{left, right} {
		if (ax < side && bx > side) || (ax > side && bx < side) {
			y := ay + (side-ax)*(by-ay)/(bx-ax)
			y = min(max(y, ay), by)
			s.edge(ax, ay, side, y, sign)
			s.edge(side, y, bx, by, sign)
			return
		}
	}
	s.rows(ax, ay, bx, by, sign)
}

// rows adds a downward edge that lies between the sides of the window.
func (s *scan) rows(ax, ay, bx, by, sign float64) {
	if !(ay < by) {
		return
	}
	slope := (bx - ax) / (by - ay)
	lo, hi := min(ax, bx), max(ax, bx)
	first, end := s.window.Min.Y, s.window.Max.Y
	if y := math.Floor(ay); y > float64(first) {
		first = int(y)
	}
	if y := math.Ceil(by); y < float64(end) {
		end = int(y)
	}
	s.top, s.bottom = min(s.top, first), max(s.bottom, end)
	for y := first; y < end; y++ {
		y0, y1 := max(float64(y), ay), min(float64(y+1), by)
		x0, x1 := ax+(y0-ay)*slope, ax+(y1-ay)*slope
		if x0 > x1 {
			x0, x1 = x1, x0
		}
		x0, x1 = min(max(x0, lo), hi), min(max(x1, lo), hi)
		s.row(y, x0, x1, float32((y1-y0)*sign))
	}
}

// row adds a piece of an edge that lies in one row between x0 and x1 and goes down by d. The cells get the growth of the
// area to the right of the piece from pixel to pixel.
func (s *scan) row(y int, x0, x1 float64, d float32) {
	first, end := int(x0), int(math.Ceil(x1)) // x0 ≥ 0: the window lies within a picture
	base := (y - s.window.Min.Y) * s.stride
	at := base + first - s.window.Min.X
	marks := s.marks[(y-s.window.Min.Y)*s.words:]
	cell := first - s.window.Min.X

	if end <= first+1 {
		m := d * float32(0.5*(x0+x1)-float64(first))
		s.cells[at] += d - m
		s.cells[at+1] += m
		marks[cell>>6] |= 1 << (cell & 63)
		cell++
		marks[cell>>6] |= 1 << (cell & 63)
		return
	}
	per := 1 / float32(x1-x0)
	head := 1 - float32(x0-float64(first))
	tail := 1 - float32(float64(end)-x1)
	inFirst := 0.5 * per * head * head
	inLast := 0.5 * per * tail * tail
	cells := s.cells[at : at+end-first+1]
	cells[0] += d * inFirst
	if len(cells) == 3 {
		cells[1] += d * (1 - inFirst - inLast)
	} else {
		inSecond := per * (0.5 + head)
		cells[1] += d * (inSecond - inFirst)
		for i := 2; i < len(cells)-2; i++ {
			cells[i] += d * per
		}
		before := inSecond + float32(len(cells)-4)*per
		cells[len(cells)-2] += d * (1 - before - inLast)
	}
	cells[len(cells)-1] += d * inLast
	for i := range cells {
		marks[(cell+i)>>6] |= 1 << ((cell + i) & 63)
	}
}

// A rule makes the cover of a pixel, 0 to 255, from its winding number.
type rule func(winding float32) uint8

func nonZero(w float32) uint8 {
	if w < 0 {
		w = -w
	}
	if w > 1 {
		w = 1
	}
	return uint8(w*255 + 0.5)
}

func evenOdd(w float32) uint8 {
	if w < 0 {
		w = -w
	}
	if w > 1 {
		w -= 2 * float32(int(w*0.5))
		if w > 1 {
			w = 2 - w
		}
	}
	return uint8(w*255 + 0.5)
}

// finish gives each run of equal cover to paint, row by row, and clears the cells for the next shape.
func (s *scan) finish(cover rule, paint func(y, x0, x1 int, cover uint8)) {
	width := s.stride - 2
	for y := s.top; y < s.bottom; y++ {
		cells := s.cells[(y-s.window.Min.Y)*s.stride:][:s.stride]
		marks := s.marks[(y-s.window.Min.Y)*s.words:][:s.words]
		from, sum := 0, float32(0)
		for i, word := range marks {
			marks[i] = 0
			for word != 0 {
				x := i<<6 + bits.TrailingZeros64(word)
				word &= word - 1
				if x > from {
					if c := cover(sum); c > 0 {
						paint(y, s.window.Min.X+from, s.window.Min.X+min(x, width), c)
					}
					from = x
				}
				sum += cells[x]
				cells[x] = 0
			}
		}
		if from < width {
			if c := cover(sum); c > 0 {
				paint(y, s.window.Min.X+from, s.window.Min.X+width, c)
			}
		}
	}
}
