package board

import (
	"image"
	"image/color"
	"maps"
	"math"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/raster"
	"hedgereach/app/ground"
	"hedgereach/app/style"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// marginShare is how much ground the base shows beyond each side of the widget, so that a pan has something to show.
const marginShare = 0.25

// A baseJob is everything that the worker needs to paint the base: values that nobody changes.
type baseJob struct {
	number     uint64 // later jobs have higher ones
	assessment *habitat.Assessment
	view       ground.View // in pixels
	w, h       int
	look       style.Look
	show       ground.Show
}

// A baseLayer is the picture of all that is not being changed.
type baseLayer struct {
	layer
	board   *Board
	worker  worker[baseJob]
	painter raster.Painter
	number  uint64
	asked   baseJob // the newest job handed in
	front   baseJob // the one that is shown
	index   map[string]*plan.Feature
	spare   []*image.RGBA
	trace   tracing // only for the worker
}

func (l *baseLayer) start(b *Board) {
	l.board = b
	l.worker.do = l.work
	l.init()
}

// update asks for another picture where the one shown, or on its way, will not do.
func (l *baseLayer) update(b *Board, d dirt) {
	ask := d&baseDirt != 0 || l.asked.assessment == nil || l.asked.look != b.look()
	if d&viewDirt != 0 {
		v := l.asked.view
		ask = ask || v.Scale != b.view.Scale*b.pixels || v.Turn != b.view.Turn || !l.willCover(b)
	}
	if !ask && b.session.Plan().Picture != l.asked.assessment.Plan.Picture {
		ask = true
	}
	if !ask && !maps.Equal(b.moving, l.asked.show.Hidden) {
		ask = true
	}
	// When a gesture has changed the status of many beds, drawing them over the base costs more than another base.
	if !ask && b.edit.stale > manyStale && !l.worker.busy() {
		ask = true
	}
	if ask {
		l.ask(b)
	}
}

// manyStale is how many beds with another status than the base shows the edit layer draws before a new base is asked for.
const manyStale = 12

// willCover tells whether the newest picture asked for shows all of the widget's ground, with a little to spare.
func (l *baseLayer) willCover(b *Board) bool {
	asked := layer{img: &image.RGBA{Rect: image.Rect(0, 0, l.asked.w, l.asked.h)}, view: l.asked.view}
	return asked.covers(b.shown().Pad(marginShare / 4 * float64(b.size.Width) / b.view.Scale))
}

func (l *baseLayer) ask(b *Board) {
	l.number++
	// A margin in whole pixels keeps the picture on the screen's pixels.
	mx := int(math.Round(float64(b.size.Width) * b.pixels * marginShare))
	my := int(math.Round(float64(b.size.Height) * b.pixels * marginShare))
	w := int(math.Round(float64(b.size.Width)*b.pixels)) + 2*mx
	h := int(math.Round(float64(b.size.Height)*b.pixels)) + 2*my
	j := baseJob{number: l.number, assessment: b.session.Assessment(), view: inPixels(b.view, b.pixels, w, h), w: w, h: h,
		look: b.look()}
	j.show = b.showing()
	j.show.Seen = orb.Bound{Min: orb.Point{float64(mx), float64(my)}, Max: orb.Point{float64(w - mx), float64(h - my)}}
	j.show.Busy = furnished(orb.Point{float64(mx), float64(h - my)}, j.look)
	j.show.Grid = b.grid
	j.show.Hidden = maps.Clone(b.moving)
	j.show.Statuses = maps.Clone(b.statuses) // the board's own goes on changing while the worker reads
	l.asked = j
	l.worker.give(j)
}

// showing is what the ground shows, on the base and on the edit layer alike.
func (b *Board) showing() ground.Show {
	show := ground.Show{Statuses: b.statuses, Labels: b.labels, Numbers: b.numbers, Flowering: b.session.Ask().On, Units: b.units()}
	if show.Flowering != nil && show.Labels {
		show.Sizes = b.crops.words(b.session.Assessment(), *show.Flowering)
	}
	return show
}

// standing is what stands in the beds at the time shown, put into words once for a plan and a time.
type standing struct {
	plan *plan.Plan
	on   season.HalfMonth
	said map[string]string
}

func (s *standing) words(a *habitat.Assessment, on season.HalfMonth) map[string]string {
	if a.Plan != s.plan || on != s.on || s.said == nil {
		*s = standing{a.Plan, on, ground.CropWords(a, on)}
	}
	return s.said
}

// work paints a base, away from the window's goroutine.
func (l *baseLayer) work(j baseJob) {
	img := l.canvas(j.w, j.h)
	fill(img, j.look.Ground)
	list := drawing.List{Width: float64(j.w), Height: float64(j.h)}
	if p, grid := l.trace.paint(j), j.show.Grid; p != nil {
		j.show.Grid = false // it lies over the picture
		j.show.Beneath = []drawing.Op{drawing.Picture{Image: p, Max: orb.Point{list.Width, list.Height}}}
		if grid {
			j.show.Beneath = append(j.show.Beneath, ground.GridOps(j.view, list.Width, list.Height, j.show.Units, j.look)...)
		}
	}
	ground.Draw(&list, j.assessment, j.view, j.look, j.show)
	l.painter.Draw(img, list, 1, [2]float64{})
	l.board.dispatch(func() { l.swap(j, img) })
}

// mostSpare is how many pictures that are no longer shown are kept to be painted on: one would do, were the window never late to show
// what the worker has painted. On a slow machine it may be late by many, and each is some ten megabytes.
const mostSpare = 2

// canvas is an image to paint on: one that was shown before, where it has the size.
func (l *baseLayer) canvas(w, h int) *image.RGBA {
	l.worker.mu.Lock()
	defer l.worker.mu.Unlock()
	for i, img := range l.spare {
		if img.Rect.Dx() == w && img.Rect.Dy() == h {
			l.spare = append(l.spare[:i], l.spare[i+1:]...)
			return img
		}
	}
	l.spare = nil // of another size
	return image.NewRGBA(image.Rect(0, 0, w, h))
}

// swap shows a picture that the worker finished, unless a later one is shown already.
func (l *baseLayer) swap(j baseJob, img *image.RGBA) {
	old := img
	if j.number > l.front.number {
		old = l.img
		l.front = j
		clear(l.index)
		l.show(img, j.view)
		l.place(l.board.view)
		l.raster.Refresh()
		l.board.far.lay(l.board)
		l.board.far.update(l.board) // after the base, so that it never keeps that waiting
		l.board.mark(editDirt)      // less is drawn over it now
	}
	if old != nil {
		l.worker.mu.Lock()
		if len(l.spare) < mostSpare {
			l.spare = append(l.spare, old)
		}
		l.worker.mu.Unlock()
	}
}

// has tells whether the base shows feature i of the plan as it is now; where not, whether only its status is another.
func (l *baseLayer) has(f *plan.Feature, i int, st habitat.Status) (shown, statusOnly bool) {
	if l.front.assessment == nil {
		return true, false // nothing is shown at all yet; the worker is at it
	}
	fs := l.front.assessment.Plan.Features
	if (i >= len(fs) || fs[i] != f) && l.find(f.ID) != f || l.front.show.Hidden[f.ID] {
		return false, false
	}
	if f.Kind == plan.Bed && l.front.show.Statuses[f.ID] != st {
		return false, true
	}
	return true, false
}

// find is the feature of the id in the plan that the base shows.
func (l *baseLayer) find(id string) *plan.Feature {
	fs := l.front.assessment.Plan.Features
	if len(l.index) == 0 && len(fs) > 0 {
		if l.index == nil {
			l.index = make(map[string]*plan.Feature, len(fs))
		}
		for _, f := range fs {
			l.index[f.ID] = f
		}
	}
	return l.index[id]
}

// fill makes an image one opaque colour.
func fill(img *image.RGBA, c color.NRGBA) {
	if len(img.Pix) < 4 {
		return
	}
	copy(img.Pix, []byte{c.R, c.G, c.B, 255})
	for n := 4; n < len(img.Pix); n *= 2 {
		copy(img.Pix[n:], img.Pix[:n])
	}
}
