package board

import (
	"math"

	"fyne.io/fyne/v2"
	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/habitat/plan"
)

// The zoom's ends, in units a metre: a county on the screen, and a few centimetres.
const (
	leastScale = 0.01
	mostScale  = 4000
)

// zoomStep is what a notch of the wheel or a press of a key does.
const zoomStep = 1.25

// ZoomIn shows less ground, larger, about the middle.
func (b *Board) ZoomIn() { b.zoom(zoomStep, b.middle()) }

// ZoomOut shows more ground about the middle.
func (b *Board) ZoomOut() { b.zoom(1/zoomStep, b.middle()) }

func (b *Board) middle() orb.Point {
	return orb.Point{float64(b.size.Width) / 2, float64(b.size.Height) / 2}
}

// zoom changes the scale and keeps the ground under a place of the widget where it is.
func (b *Board) zoom(by float64, about orb.Point) {
	still := b.view.From(about)
	b.view.Scale = min(mostScale, max(leastScale, b.view.Scale*by))
	now := b.view.From(about)
	b.view.Centre[0] += still[0] - now[0]
	b.view.Centre[1] += still[1] - now[1]
	b.whole = false
	b.mark(viewDirt)
}

// pan moves the ground by units of the widget.
func (b *Board) pan(dx, dy float64) {
	m := b.view.Middle
	b.view.Centre = b.view.From(orb.Point{m[0] - dx, m[1] - dy})
	b.whole = false
	b.mark(viewDirt)
}

// emptyGround is what an empty plan shows: a large garden's worth of ground about the origin.
var emptyGround = orb.Bound{Min: orb.Point{-5, -5}, Max: orb.Point{45, 25}}

// Fit shows the whole plan.
func (b *Board) Fit() {
	if b.size.IsZero() {
		b.fitted = false // when there is a size
		return
	}
	b.fitted = true
	bound, ok := b.boundOf(b.session.Plan().Features)
	if !ok {
		bound = emptyGround
	}
	b.fitTo(bound, 48)
	b.whole = true
}

// seen is how the ground lies on the screen.
func (b *Board) seen() arrange.Frame { return arrange.Frame(b.view.Turn) }

// SetTurn turns the ground on the screen: radians anticlockwise. What is in the middle stays there.
func (b *Board) SetTurn(radians float64) {
	b.view.Turn = math.Remainder(radians, 2*math.Pi)
	b.whole = false
	b.mark(viewDirt)
}

// fitTo shows a part of the ground, as seen, with a margin in units about it.
func (b *Board) fitTo(bound orb.Bound, margin float64) {
	w, h := bound.Max[0]-bound.Min[0], bound.Max[1]-bound.Min[1]
	roomX := max(float64(b.size.Width)-2*margin, float64(b.size.Width)/4)
	roomY := max(float64(b.size.Height)-2*margin, float64(b.size.Height)/4)
	scale := min(roomX/max(w, 0.1), roomY/max(h, 0.1))
	b.view.Scale = min(mostScale, max(leastScale, scale))
	b.view.Centre = b.seen().Out(bound.Center())
	b.whole = false
	b.mark(viewDirt)
}

// boundOf is the box about features, as seen; false where none has a place.
func (b *Board) boundOf(fs []*plan.Feature) (orb.Bound, bool) {
	t := b.seen()
	out := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, f := range fs {
		if f.Geometry == nil || f.Hidden {
			continue
		}
		g := t.Bound(f)
		if finite(g.Min) && finite(g.Max) {
			out = out.Union(g)
		}
	}
	return out, out.Min[0] <= out.Max[0]
}

func finite(p orb.Point) bool { return p[0]-p[0]+p[1]-p[1] == 0 }

// shown is the ground that the widget shows, as seen.
func (b *Board) shown() orb.Bound {
	return seen(b.view, orb.Point{float64(b.size.Width), float64(b.size.Height)})
}

// locate brings what the session shows into view: not at all where it is well in view, by a pan where it has room, else by
// a zoom that leaves the surroundings to see.
func (b *Board) locate() {
	p := b.session.Plan()
	var fs []*plan.Feature
	for _, id := range b.session.Selection() {
		if f, _ := p.Find(id); f != nil {
			fs = append(fs, f)
		}
	}
	bound, ok := b.boundOf(fs)
	if f := b.session.Shown(); f != nil {
		for _, pt := range f.Show {
			if pt = b.seen().In(pt); finite(pt) {
				if !ok {
					bound, ok = pt.Bound(), true
				}
				bound = bound.Extend(pt)
			}
		}
	}
	if !ok || b.size.IsZero() {
		return
	}
	b.mark(editDirt)
	const margin, speck = 24, 30
	w, h := (bound.Max[0]-bound.Min[0])*b.view.Scale, (bound.Max[1]-bound.Min[1])*b.view.Scale
	roomX, roomY := float64(b.size.Width)-2*margin, float64(b.size.Height)-2*margin
	if w > roomX || h > roomY || max(w, h) < speck {
		b.fitTo(bound, min(roomX, roomY)/4)
		return
	}
	in := b.shown()
	in = in.Pad(-margin / b.view.Scale)
	if !in.Contains(bound.Min) || !in.Contains(bound.Max) {
		b.view.Centre = b.seen().Out(bound.Center())
		b.whole = false
		b.mark(viewDirt)
	}
}

// Resize gives the board its size. Where the whole plan was shown it still is; else the ground in the middle stays there.
func (b *Board) Resize(s fyne.Size) {
	b.BaseWidget.Resize(s)
	if s == b.size {
		return
	}
	b.size = s
	b.view.Middle = b.middle()
	if (!b.fitted || b.whole) && !s.IsZero() {
		b.Fit()
	}
	b.edit.resize(s)
	b.mark(viewDirt)
}
