package board

import (
	"image"
	"math"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"github.com/paulmach/orb"

	"hedgereach/app/board/tool"
	"hedgereach/app/drawing"
	"hedgereach/app/drawing/face"
	"hedgereach/app/drawing/raster"
	"hedgereach/app/ground"
	"hedgereach/app/session"
	"hedgereach/app/style"
	"hedgereach/geometry"
	"hedgereach/geometry/length"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// An editLayer is the picture of what is being changed, selected or pointed at. It is painted within a frame, so it holds
// little: where nothing is to be seen it is not shown at all.
type editLayer struct {
	raster  *canvas.Raster
	focus   *canvas.Rectangle
	img     *image.RGBA
	painter raster.Painter
	list    drawing.List
	used    bool            // the image holds something
	stale   int             // beds drawn because the base shows another status
	points  []orb.Point     // scratch: of the line at the range
	drawn   []*plan.Feature // scratch: features that the base does not show as they are now
}

func (l *editLayer) start(b *Board) {
	l.raster = canvas.NewRaster(func(w, h int) image.Image {
		b.learnPixels(w, l.raster.Size())
		if l.img == nil || !l.used {
			return nothing
		}
		return l.img
	})
	l.focus = canvas.NewRectangle(style.Fade(style.Black, 0))
	l.focus.StrokeWidth = 2
	l.focus.Hide()
}

// learnPixels takes the true number of pixels in a unit from what the screen asks for; the canvas's scale is not always it.
func (b *Board) learnPixels(w int, size fyne.Size) {
	if size.Width < 8 {
		return
	}
	p := float64(w) / float64(size.Width)
	if math.Abs(p-b.pixels) < 0.01*b.pixels {
		return
	}
	go b.dispatch(func() { // not here: this is in the midst of painting
		b.pixels = p
		b.mark(viewDirt | baseDirt)
	})
}

func (l *editLayer) resize(s fyne.Size) {
	l.raster.Resize(s)
	l.focus.Resize(s)
}

// ring shows whether the board has the keys.
func (l *editLayer) ring(on bool) {
	if on {
		l.focus.Show()
	} else {
		l.focus.Hide()
	}
}

// paint makes the picture anew.
func (l *editLayer) paint(b *Board) {
	w, h := int(math.Round(float64(b.size.Width)*b.pixels)), int(math.Round(float64(b.size.Height)*b.pixels))
	if w <= 0 || h <= 0 {
		return
	}
	if l.img == nil || l.img.Rect.Dx() != w || l.img.Rect.Dy() != h {
		l.img, l.used = image.NewRGBA(image.Rect(0, 0, w, h)), false
	}
	l.list.Width, l.list.Height, l.list.Ops = float64(w), float64(h), l.list.Ops[:0]
	p := pen{b: b, list: &l.list, look: b.look(), view: inPixels(b.view, b.pixels, w, h)}
	p.contours(l)
	p.changed(l)
	p.selection()
	if b.session.Shown() != nil {
		p.finding()
	} else {
		p.reach()
	}
	p.ghosts()
	p.sketch(b.tool.Sketch())
	was := l.used
	if was {
		clear(l.img.Pix)
	}
	if l.used = len(l.list.Ops) > 0; l.used {
		l.painter.Draw(l.img, l.list, 1, orb.Point{})
	}
	if was || l.used {
		l.raster.Refresh()
	}
}

// A pen fills the edit layer's list.
type pen struct {
	b    *Board
	list *drawing.List
	look style.Look
	view ground.View // metres to pixels
}

func (p *pen) window() orb.Bound { return orb.Bound{Max: orb.Point{p.list.Width, p.list.Height}} }

// contours draws the lines at the typical and at the outer range, each with its distance at its highest place in view.
func (p *pen) contours(l *editLayer) {
	n := 0
	for _, r := range p.b.shade.lines {
		for _, line := range r.lines {
			n += len(line)
		}
	}
	if cap(l.points) < n {
		l.points = make([]orb.Point, 2*n)
	}
	room := l.points[:n]
	for i := len(p.b.shade.lines) - 1; i >= 0; i-- { // the typical range on top
		room = p.contour(&p.b.shade.lines[i], room)
	}
}

// contour draws one line, its points in room, of which it answers what is left.
func (p *pen) contour(r *rangeLine, room []orb.Point) []orb.Point {
	if len(r.lines) == 0 {
		return room
	}
	path := make(drawing.Path, 0, len(r.lines))
	top, word := orb.Point{0, math.Inf(1)}, false
	in := p.window().Pad(-p.look.Pt(24))
	for _, line := range r.lines {
		c := drawing.Contour{Points: room[:len(line):len(line)]}
		room = room[len(line):]
		for i, q := range line {
			c.Points[i] = p.view.To(q)
			if c.Points[i][1] < top[1] && in.Contains(c.Points[i]) {
				top, word = c.Points[i], true
			}
		}
		path = append(path, c)
	}
	stroke := p.look.Pen(style.Fade(p.look.Status(habitat.Within).Color, 0.9), style.Medium)
	if r.outer {
		stroke = p.look.Dashed(style.Fade(p.look.Status(habitat.Partly).Color, 0.9), style.Medium, 7, 4)
	}
	p.list.Add(drawing.Stroke{Path: path, Pen: stroke})
	if word {
		sys := tool.System(p.b.units())
		far := length.FormatRange(r.rangeM, sys) + " " + r.words
		if r.words == "" { // as it was asked
			far = strings.Replace(length.Format(r.rangeM, sys), ".00 ", " ", 1)
		}
		p.words(orb.Point{top[0], top[1] + p.look.Pt(14)}, far, style.Small, drawing.Middle)
	}
	return room
}

// changed draws the features that the base does not show as they are now.
func (p *pen) changed(l *editLayer) {
	b := p.b
	clear(l.drawn)
	l.drawn, l.stale = l.drawn[:0], 0
	for i, f := range b.session.Plan().Features {
		shown, statusOnly := b.base.has(f, i, b.statuses[f.ID])
		if statusOnly {
			l.stale++
		}
		if !shown && (statusOnly && l.stale <= maxStale || !statusOnly && len(l.drawn) <= maxDrawn) {
			l.drawn = append(l.drawn, f)
		}
	}
	if len(l.drawn) == 0 {
		return
	}
	show := b.showing()
	show.Only = l.drawn
	ground.Draw(p.list, b.session.Assessment(), p.view, p.look, show)
}

// So many features are drawn over the base within a frame at the most; the base, which is on its way, brings the rest.
const (
	maxStale = 40
	maxDrawn = 200
)

// selection outlines what is selected.
func (p *pen) selection() {
	if len(p.b.selected) == 0 {
		return
	}
	var fs []*plan.Feature
	for _, f := range p.b.session.Plan().Features {
		if p.b.selected[f.ID] && !f.Hidden {
			fs = append(fs, f)
		}
	}
	p.list.Add(ground.SelectionOps(fs, p.view, p.look, p.window())...)
}

// finding draws the line of the finding shown, with its length.
func (p *pen) finding() {
	f := p.b.session.Shown()
	if f == nil || len(f.Show) < 2 {
		return
	}
	p.list.Add(ground.FindingOps(f.Show, p.view, p.look)...)
	sum := 0.0
	for i := 1; i < len(f.Show); i++ {
		sum += math.Hypot(f.Show[i][0]-f.Show[i-1][0], f.Show[i][1]-f.Show[i-1][1])
	}
	if sum == 0 {
		return
	}
	a, c := p.view.To(f.Show[0]), p.view.To(f.Show[1])
	at := orb.Point{(a[0]+c[0])/2 + p.look.Pt(10), (a[1]+c[1])/2 + p.look.Pt(4)}
	p.words(at, length.Format(sum, tool.System(p.b.units())), style.Body, drawing.Start)
}

// reach draws what decides the standing of the one bed that is chosen: from its nearest point where it lies beyond, else from
// its farthest, to the refuge there, with the distance.
func (p *pen) reach() {
	b := p.b
	if len(b.selected) != 1 {
		return
	}
	for _, bed := range b.session.Assessment().Beds {
		if !b.selected[bed.Feature.ID] || bed.Feature.Hidden {
			continue
		}
		line, far := decides(bed, b.session.Ask(), b.statuses[bed.Feature.ID])
		if len(line) < 2 {
			return
		}
		p.list.Add(ground.FindingOps(line, p.view, p.look)...)
		text := length.Format(far, tool.System(b.units()))
		p.words(p.offName(bed.Feature, line, text), text, style.Body, drawing.Start)
		return
	}
}

// offName is a place for the figure of a line from a bed: at the middle of its first stretch, or farther on where it would lie over the
// bed, whose name stands there.
func (p *pen) offName(bed *plan.Feature, line []orb.Point, text string) (at orb.Point) {
	size := p.look.Pt(style.Body)
	w, right, down := face.Width(text, size, true, false), p.look.Pt(10), p.look.Pt(4)
	ground := orb.Bound{Min: p.view.To(line[0]), Max: p.view.To(line[0])}
	for _, poly := range geometry.Polygons(bed.Geometry) {
		for _, v := range poly[0] {
			ground = ground.Extend(p.view.To(v))
		}
	}
	a, c := p.view.To(line[0]), p.view.To(line[1])
	for _, t := range []float64{0.5, 0.6, 0.7, 0.8, 0.9, 1} {
		at = orb.Point{a[0] + t*(c[0]-a[0]) + right, a[1] + t*(c[1]-a[1]) + down}
		if !ground.Intersects(orb.Bound{Min: orb.Point{at[0], at[1] - size}, Max: orb.Point{at[0] + w, at[1] + size/3}}) {
			return at
		}
	}
	return at
}

// decides is the line that decides a bed's standing with what is asked about, and its length in metres; nil where nothing
// serves it or nothing is known.
func decides(bed *habitat.Bed, ask session.Ask, st habitat.Status) ([]orb.Point, float64) {
	link, way := bed.Refuge, []orb.Point(nil)
	if ask.Guild != nil {
		g := bed.Guild(ask.Guild.ID)
		if g == nil {
			return nil, 0
		}
		link, way = g.Link, g.Way
	}
	if link == nil || st == habitat.Unknown {
		return nil, 0
	}
	if st == habitat.Beyond {
		if link.NearestM <= 0 || math.IsInf(link.NearestM, 0) {
			return nil, 0
		}
		return []orb.Point{link.NearestFrom, link.NearestTo}, link.NearestM
	}
	if link.FarthestM <= 0 || math.IsInf(link.FarthestM, 0) {
		return nil, 0
	}
	if len(way) > 1 {
		return way, link.FarthestM
	}
	return []orb.Point{link.FarthestFrom, link.FarthestTo}, link.FarthestM
}

// words writes figures in a quiet box, so that they read on any ground.
func (p *pen) words(at orb.Point, text string, points float64, align drawing.Align) {
	size := p.look.Pt(points)
	w := face.Width(text, size, true, false)
	x := at[0]
	if align == drawing.Middle {
		x -= w / 2
	}
	x = max(p.look.Pt(6), min(x, p.list.Width-w-p.look.Pt(6)))
	y := max(size*1.4, min(at[1], p.list.Height-size*0.6))
	pad := p.look.Pt(3)
	p.list.Add(
		drawing.Fill{Path: drawing.Rect(x-pad, y-size-pad*0.2, x+w+pad, y+size*0.32+pad*0.4), Color: style.Fade(p.look.Raised, 0.88)},
		drawing.Text{At: orb.Point{x, y}, Words: text, Size: size, Bold: true, Color: p.look.Accent})
}

// sketch draws what the tool shows.
func (p *pen) sketch(s tool.Sketch) {
	line := p.look.Pen(p.look.Accent, style.Medium)
	if s.Shape != nil {
		var path drawing.Path
		for _, poly := range geometry.Polygons(s.Shape) {
			path = append(path, drawing.Polygon(p.polygon(poly))...)
		}
		if s.Bad != "" {
			p.list.Add(drawing.Stroke{Path: path, Pen: p.look.Dashed(p.look.Caution, style.Strong, 6, 4)})
		} else {
			p.list.Add(drawing.Fill{Path: path, Color: style.Fade(p.look.Accent, 0.08)}, drawing.Stroke{Path: path, Pen: line})
		}
	}
	for _, l := range s.Guides {
		p.list.Add(drawing.Stroke{Path: drawing.Line(p.points(l)...), Pen: p.look.Dashed(p.look.Accent, style.Fine, 2, 3)})
	}
	for _, l := range s.Lines {
		p.list.Add(drawing.Stroke{Path: drawing.Line(p.points(l)...), Pen: p.look.Dashed(p.look.Accent, style.Medium, 7, 3)})
	}
	if s.Box != nil {
		path := drawing.Polygon(p.polygon(orb.Polygon{s.Box}))
		p.list.Add(drawing.Fill{Path: path, Color: style.Fade(p.look.Accent, 0.08)},
			drawing.Stroke{Path: path, Pen: p.look.Dashed(p.look.Accent, style.Fine, 4, 3)})
	}
	p.handles(s.Handles)
	for _, n := range s.Notes {
		p.words(p.view.To(n.At), n.Words, style.Small, drawing.Middle)
	}
	p.atPointer(s)
}

func (p *pen) points(l []orb.Point) []orb.Point {
	out := make([]orb.Point, len(l))
	for i, q := range l {
		out[i] = p.view.To(q)
	}
	return out
}

func (p *pen) polygon(poly orb.Polygon) orb.Polygon {
	out := make(orb.Polygon, len(poly))
	for i, r := range poly {
		out[i] = p.points(r)
	}
	return out
}

// handles draws what can be taken hold of: squares on corners, small rounds between them, diamonds for widths and radii.
// Handles that would lie upon each other are left out, the lesser first.
func (p *pen) handles(hs []tool.Handle) {
	var solid, hollow, chosen drawing.Path
	var placed []orb.Point
	free := func(at orb.Point, room float64) bool {
		for _, q := range placed {
			if math.Hypot(q[0]-at[0], q[1]-at[1]) < room {
				return false
			}
		}
		return true
	}
	for _, sort := range []tool.Sort{tool.Corner, tool.Turner, tool.Width, tool.Radius, tool.Middle} {
		for _, h := range hs {
			at := p.view.To(h.At)
			if h.Sort != sort || !p.window().Pad(10).Contains(at) || sort == tool.Middle && !free(at, p.look.Pt(16)) {
				continue
			}
			placed = append(placed, at)
			var c drawing.Contour
			r := p.look.Pt(4)
			switch sort {
			case tool.Corner:
				c = drawing.Rect(at[0]-r, at[1]-r, at[0]+r, at[1]+r)[0]
			case tool.Middle:
				c = disc(at, p.look.Pt(3))
			case tool.Turner:
				c = disc(at, p.look.Pt(5))
			default:
				r = p.look.Pt(5)
				c = drawing.Contour{Points: []orb.Point{{at[0] - r, at[1]}, {at[0], at[1] - r}, {at[0] + r, at[1]}, {at[0], at[1] + r}},
					Closed: true}
			}
			switch {
			case h.Chosen:
				chosen = append(chosen, c)
			case sort == tool.Middle:
				hollow = append(hollow, c)
			default:
				solid = append(solid, c)
			}
		}
	}
	edge := p.look.Pen(p.look.Accent, style.Medium)
	for _, s := range []struct {
		path drawing.Path
		fill float64
	}{{hollow, 0}, {solid, 0}, {chosen, 1}} {
		if len(s.path) == 0 {
			continue
		}
		c := p.look.Raised
		if s.fill > 0 {
			c = p.look.Accent
		}
		p.list.Add(drawing.Fill{Path: s.path, Color: c}, drawing.Stroke{Path: s.path, Pen: edge})
	}
}

func disc(at orb.Point, r float64) drawing.Contour {
	c := drawing.Contour{Closed: true}
	for i := range 12 {
		s, k := math.Sincos(float64(i) * math.Pi / 6)
		c.Points = append(c.Points, orb.Point{at[0] + r*k, at[1] + r*s})
	}
	return c
}

// atPointer marks what the pointer is drawn to and writes the figures beside it.
func (p *pen) atPointer(s tool.Sketch) {
	b := p.b
	if !b.pointer.over && !b.pointer.pressed && !b.keys.on && s.Words == "" {
		return
	}
	at := p.view.To(s.At)
	if b.keys.on { // there is no pointer of the desktop's at this place
		near, far := p.look.Pt(7), p.look.Pt(18)
		var cross drawing.Path
		for _, d := range []orb.Point{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
			cross = append(cross, drawing.Line(orb.Point{at[0] + near*d[0], at[1] + near*d[1]},
				orb.Point{at[0] + far*d[0], at[1] + far*d[1]})...)
		}
		p.list.Add(drawing.Stroke{Path: cross, Pen: p.look.Pen(p.look.Ink, style.Strong)})
	}
	active := b.toolName != "Pick" || b.tool.Busy()
	if active && s.Snap != "" {
		r := p.look.Pt(5)
		pen := p.look.Pen(p.look.Accent, style.Medium)
		if s.Snap == "grid" {
			p.list.Add(drawing.Stroke{Path: drawing.Path{{Points: []orb.Point{{at[0] - r, at[1]}, {at[0] + r, at[1]}}},
				{Points: []orb.Point{{at[0], at[1] - r}, {at[0], at[1] + r}}}}, Pen: pen})
		} else {
			p.list.Add(drawing.Stroke{Path: drawing.Path{disc(at, p.look.Pt(7))}, Pen: pen})
		}
	}
	y := at[1] - p.look.Pt(12)
	if s.Words != "" {
		p.words(orb.Point{at[0] + p.look.Pt(14), y}, s.Words, style.Body, drawing.Start)
		y += p.look.Pt(40)
	}
	if s.Bad != "" {
		p.words(orb.Point{at[0] + p.look.Pt(14), y}, s.Bad, style.Body, drawing.Start)
	} else if active && s.Snap != "" && s.Snap != "grid" {
		p.words(orb.Point{at[0] + p.look.Pt(14), y}, s.Snap, style.Small, drawing.Start)
	}
}
