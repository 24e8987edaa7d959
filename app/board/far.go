package board

import (
	"image"
	"maps"
	"math"

	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/app/drawing"
	"hedgereach/app/drawing/raster"
	"hedgereach/app/ground"
)

// A farLayer is a coarse picture of the whole plan. It lies under the base and is shown only where a quick pan or zoom has gone
// beyond what the base shows, until the next base is there: so that no stretch of ground ever comes up bare.
type farLayer struct {
	layer
	board   *Board
	worker  worker[baseJob]
	painter raster.Painter
	asked   baseJob
	front   uint64 // number of the picture shown
}

const (
	farSide   = 1400 // pixels along the longer side
	farMargin = 0.02 // of that side, about the plan
	farCoarse = 5.0  // it is not shown at more pixels to one of its own
)

func (l *farLayer) start(b *Board) {
	l.board = b
	l.worker.do = l.work
	l.init()
	l.raster.Hide()
}

// update asks for another picture where the plan, or how it looks, is another than the one asked for. A gesture is waited out.
func (l *farLayer) update(b *Board) {
	if b.session.Previewing() {
		return
	}
	p, look, was := b.session.Committed(), b.look(), l.asked.assessment
	if was != nil && was.Plan == p && l.asked.look == look && l.asked.view.Turn == b.view.Turn && maps.Equal(l.asked.show.Statuses, b.statuses) {
		return
	}
	bound, ok := b.boundOf(p.Features)
	if !ok {
		l.asked = baseJob{number: l.asked.number} // what is still under way comes too late
		l.img = nil
		l.raster.Hide()
		return
	}
	w, h := bound.Max[0]-bound.Min[0], bound.Max[1]-bound.Min[1]
	room := 1 - 2*farMargin
	scale := farSide * room / max(w, h, 1e-3)
	px := func(m float64) int { return max(16, int(math.Ceil(m*scale/room))) }
	wide, high := px(w), px(h)
	v := ground.View{Centre: arrange.Frame(b.view.Turn).Out(bound.Center()), Middle: orb.Point{float64(wide) / 2, float64(high) / 2},
		Scale: scale, Turn: b.view.Turn}
	l.asked = baseJob{number: l.asked.number + 1, assessment: b.session.Assessment(), view: v, w: wide, h: high, look: look,
		show: ground.Show{Statuses: maps.Clone(b.statuses), Units: b.units()}}
	l.worker.give(l.asked)
}

// work paints it, away from the window's goroutine.
func (l *farLayer) work(j baseJob) {
	img := image.NewRGBA(image.Rect(0, 0, j.w, j.h))
	fill(img, j.look.Ground)
	list := drawing.List{Width: float64(j.w), Height: float64(j.h)}
	ground.Draw(&list, j.assessment, j.view, j.look, j.show)
	l.painter.Draw(img, list, 1, orb.Point{})
	l.board.dispatch(func() {
		if j.number <= l.front || l.asked.assessment == nil {
			return
		}
		l.front, l.img, l.view = j.number, img, j.view
		l.lay(l.board)
		l.raster.Refresh()
	})
}

// lay puts the picture where its ground lies, or away where the base shows all that is seen.
func (l *farLayer) lay(b *Board) {
	on := l.img != nil && l.view.Turn == b.view.Turn && b.view.Scale*b.pixels <= farCoarse*l.view.Scale && !b.base.covers(b.shown())
	if on {
		l.place(b.view)
	}
	if on != l.raster.Visible() {
		if on {
			l.raster.Show()
		} else {
			l.raster.Hide()
		}
	}
}
