package board

import (
	"bytes"
	"fmt"
	"math"
	"testing"

	"fyne.io/fyne/v2"
	"github.com/paulmach/orb"

	"hedgereach/app/session"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// farm is a plan of n features, a tenth of them habitat: blocks of beds with crops, hedges between, trees, flower strips.
func farm(n int) *plan.Plan {
	p := plan.New("farm")
	side := int(math.Ceil(math.Sqrt(float64(n))))
	for i := range n {
		x, y := float64(i%side)*14, float64(i/side)*8
		switch i % 20 {
		case 3:
			line := orb.LineString{{x, y}, {x + 6, y + 1}, {x + 12, y}}
			g, err := geometry.Strip(line, 2)
			if err != nil {
				panic(err)
			}
			f := plan.NewFeature(plan.Hedgerow, fmt.Sprintf("Hedgerow %d", i), g)
			f.Line, f.WidthM = line, 2
			p.Features = append(p.Features, f)
		case 11:
			c := orb.Point{x + 3, y + 2}
			f := plan.NewFeature(plan.Tree, fmt.Sprintf("Tree %d", i), geometry.Disc(c, 2))
			f.Centre, f.RadiusM = &c, 2
			p.Features = append(p.Features, f)
		default:
			f := box(plan.Bed, fmt.Sprintf("Bed %d", i), x, y, x+12, y+1.2)
			f.Crops = []plan.Planting{{Crop: "lettuce-leaf", Share: 1}}
			p.Features = append(p.Features, f)
		}
	}
	return p
}

// BenchmarkDragFrame is all the work of one frame of a drag in a plan of 300 features on a window of 1600 × 1000: the move
// to the tool, the plan it makes, its assessment, the shading, the edit layer. One frame has 16 ms; this should take half.
func BenchmarkDragFrame(b *testing.B) {
	for _, c := range []struct {
		name   string
		at     int
		n      int
		labels bool
	}{{"bed", 150, 300, true}, {"hedgerow", 143, 300, true}, {"bed-1000", 510, 1000, true}, {"hedgerow-1000", 503, 1000, true},
		{"bed-2000-no-names", 1010, 2000, false}, {"hedgerow-2000-no-names", 1003, 2000, false}} {
		b.Run(c.name, func(b *testing.B) {
			h := newBench(b, farm(c.n))
			h.board.SetLabels(c.labels)
			h.board.Resize(fyne.NewSize(1600, 1000))
			h.board.Fit()
			h.settle()
			h.s.SetAsk(session.Ask{Guild: h.s.Catalogue().Guild("hunting-spiders")})
			h.settle()
			f := h.features()[c.at]
			at := f.Geometry.Bound().Center()
			if f.Kind == plan.Hedgerow {
				at[1] += 0.3
			}
			h.down(at[0], at[1])
			h.to(at[0]+2, at[1]+2)
			h.settle()
			if !h.s.Previewing() {
				b.Fatal("nothing is dragged")
			}
			b.ReportAllocs()
			i := 0
			for b.Loop() {
				i++
				a := float64(i) * 0.3
				h.to(at[0]+12*math.Cos(a), at[1]+12*math.Sin(a))
				for len(h.queue) > 0 { // a new base where many beds have changed, as in the window
					(<-h.queue)()
				}
			}
		})
	}
}

// BenchmarkFirstPicture is what stands between the toolkit's own start and the first picture of a plan of 1 000 features on a window
// of 1600 × 1000: reading the file, assessing it, painting the ground. The aim is a second.
func BenchmarkFirstPicture(b *testing.B) {
	var file bytes.Buffer
	if err := plan.Write(&file, farm(1000)); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		p, err := plan.Read(bytes.NewReader(file.Bytes()), "farm.hedgereach")
		if err != nil {
			b.Fatal(err)
		}
		h := newBench(b, p)
		h.board.Resize(fyne.NewSize(1600, 1000))
		h.board.Fit()
		h.settle()
	}
}
