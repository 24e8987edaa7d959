package board

import (
	"slices"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/style"
	"hedgereach/geometry"
)

// A Ghost is something proposed that is not in the plan: its shape, dashed, with a word.
type Ghost struct {
	Shape orb.Geometry
	Words string
}

// SetGhosts shows what is proposed over the ground, until other ghosts or none are set.
func (b *Board) SetGhosts(list []Ghost) {
	b.ghosts = slices.Clone(list)
	b.mark(editDirt)
}

// ghosts draws them: a dashed outline over a halo, so that they tell apart from what is there without colour, too.
func (p *pen) ghosts() {
	for _, g := range p.b.ghosts {
		var path drawing.Path
		var at orb.Point
		size := 0.0
		for _, poly := range geometry.Polygons(g.Shape) {
			path = append(path, drawing.Polygon(p.polygon(poly))...)
			if c, r := geometry.LabelPoint(poly); r > size {
				at, size = c, r
			}
		}
		if len(path) == 0 {
			continue
		}
		p.list.Add(drawing.Fill{Path: path, Color: style.Fade(p.look.Accent, 0.22)},
			drawing.Stroke{Path: path, Pen: p.look.Pen(style.Fade(p.look.Halo, 0.9), 5)},
			drawing.Stroke{Path: path, Pen: p.look.Dashed(p.look.Accent, 2.2, 5, 3)})
		if g.Words != "" {
			v := p.view.To(at)
			p.words(orb.Point{v[0], v[1] - p.look.Pt(9)}, g.Words, style.Small, drawing.Middle)
		}
	}
}
