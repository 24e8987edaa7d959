package sheet

import (
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/ground"
	"hedgereach/app/style"
	"hedgereach/data"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// notice is the page for the notice board: why the rough edge is left alone, who lives there and what they eat. It is written
// for whoever walks by.
func (j *job) notice() {
	if j.a.Catalogue == nil {
		return
	}
	var rough []*plan.Feature
	for _, f := range j.a.Plan.Features {
		if f.IsHabitat() && f.Geometry != nil && f.Kind != plan.Pond {
			rough = append(rough, f)
		}
	}
	if len(rough) == 0 {
		return
	}
	defer j.onHand(false)()
	s := j.look
	l := drawing.List{Width: j.paper.W, Height: j.paper.H}
	l.Add(drawing.Fill{Path: drawing.Rect(0, 0, l.Width, l.Height), Color: s.Paper})
	box := orb.Bound{Min: orb.Point{edge, edge}, Max: orb.Point{l.Width - edge, l.Height - edge - footing}}
	l.Add(drawing.Stroke{Path: boxPath(box), Pen: s.Pen(s.Ink, style.Strong)}, drawing.Stroke{Path: boxPath(box.Pad(-1.4)), Pen: s.Pen(s.Ink, style.Hair)})
	in := box.Pad(-7)
	w := in.Max[0] - in.Min[0]
	y := in.Min[1]
	write := func(words string, t letter, soft bool, indent float64) {
		for _, line := range t.wrap(words, w-indent) {
			l.Add(j.words(orb.Point{in.Min[0] + indent, y + t.size*0.85}, line, t, soft))
			y += t.size * 1.28
		}
	}
	const name = "Why we leave this edge rough"
	const why = "It may look forgotten. It is not. These stems, tussocks, leaves and flowers are left on purpose: they are home and larder to the " +
		"small hunters that keep watch over our vegetables. Tidy it away, and they go with it."
	// The largest letter that leaves half of the sheet to the picture and to who lives there.
	var title, body, head, small letter
	var foot []part
	var bottom float64
	for k := 1.0; ; k *= 0.95 {
		title, body, head, small = j.handBold(46*k), j.hand(19*k), j.handBold(23*k), j.hand(16*k)
		foot = j.noticeFoot(rough, k)
		bottom = in.Max[1]
		for _, p := range foot {
			bottom -= float64(len(p.letter.wrap(p.words, w-p.in)))*p.letter.size*1.28 + 1.2
		}
		top := y + float64(len(title.wrap(name, w)))*title.size*1.28 + float64(len(body.wrap(why, w)))*body.size*1.28 + 4.5
		if bottom-top > (in.Max[1]-in.Min[1])*0.55 || k < 0.4 {
			break
		}
	}
	write(name, title, false, 0)
	y += 1.5
	write(why, body, false, 0)
	y += 3

	high := min(66, (bottom-y)*0.36)
	y += j.roughMap(&l, rough, orb.Bound{Min: orb.Point{in.Min[0], y}, Max: orb.Point{in.Max[0], y + high}}, small) + 4
	helpers := j.atHome()
	if len(helpers) > 0 {
		write("Who lives here, and what they eat", head, false, 0)
		y += 0.8
	}
	const indent = 6.0
	step := body.size * 1.28
	for n, h := range helpers {
		name := letter{size: body.size, bold: true}
		after := name.width(h.name + " ")
		if after > (w-indent)*0.9 { // no room beside it
			h.eats, after = h.name+" "+h.eats, 0
		}
		lines := body.wrapAfter(h.eats, w-indent, after)
		left := int((bottom - y) / step)
		if last := n == len(helpers)-1; len(lines) > left || !last && len(lines) == left { // there must be room to name the rest
			var rest []string
			for _, x := range helpers[n:] {
				rest = append(rest, habitat.InText(x.name))
			}
			for _, line := range body.limit(body.wrap("And "+listed(rest)+".", w-indent), left, w-indent) {
				l.Add(j.words(orb.Point{in.Min[0] + indent, y + body.size*0.85}, line, body, false))
				y += step
			}
			break
		}
		l.Add(drawing.Fill{Path: drawing.Rect(in.Min[0]+1, y+body.size*0.35, in.Min[0]+2.6, y+body.size*0.35+1.6), Color: s.Ink})
		if after > 0 {
			l.Add(j.words(orb.Point{in.Min[0] + indent, y + body.size*0.85}, h.name, name, false))
		}
		for k, line := range lines {
			x := in.Min[0] + indent
			if k == 0 {
				x += after
			}
			l.Add(j.words(orb.Point{x, y + body.size*0.85}, line, body, false))
			y += step
		}
	}
	y = bottom + 1
	for _, p := range foot {
		for _, line := range p.letter.wrap(p.words, w-p.in) {
			t := j.words(orb.Point{in.Min[0] + p.in, y + p.letter.size*0.85}, line, p.letter, false)
			if p.soft {
				t.Color = s.Caution
			}
			l.Add(t)
			y += p.letter.size * 1.28
		}
		y += 1.2
	}
	j.set.Pages = append(j.set.Pages, Page{Name: "Notice board", List: l})
}

// noticeFoot is what a passer-by can do, and the cautions, which are the soft ones, in letters of a share of their usual size.
func (j *job) noticeFoot(rough []*plan.Feature, k float64) []part {
	head, body, small := j.handBold(23*k), j.hand(19*k), j.hand(14*k)
	out := []part{{"How you can help", head, false, 0},
		{"Please do not mow, cut back, spray or rake here. Keep to the paths, leave stems and leaves lying, and tell us what you see.", body, false, 0}}
	if slices.ContainsFunc(rough, func(f *plan.Feature) bool { return f.Kind == plan.PerennialStrip || f.Kind == plan.WildMargin }) {
		out = append(out, part{"We cut the flowers once a year, late, and never all of them: some always stay standing for the winter.", body, false, 0})
	}
	out = append(out, part{"Bees and wasps visit the flowers and may sting: watch them from the path.", small, true, 0})
	var bad []string
	for _, f := range rough {
		for _, g := range f.Plants {
			p := j.plant(g.Plant)
			if p == nil || slices.Contains(bad, p.Name) {
				continue
			}
			if slices.ContainsFunc(p.Dangers, func(d data.Danger) bool {
				return strings.Contains(string(d), "people") || strings.Contains(string(d), "skin")
			}) {
				bad = append(bad, p.Name)
			}
		}
	}
	if len(bad) > 0 {
		if len(bad) > 6 {
			bad = append(bad[:6], "others")
		}
		out = append(out, part{"Do not eat or break anything here: " + listed(bad) + " can poison you or burn the skin.", small, true, 0})
	}
	return out
}

// A helper is a guild that lives in the plan's habitats, in words.
type helper struct{ name, eats string }

// atHome are the guilds of natural enemies that the plan's habitats serve, those that hold most of the plan's pests first.
func (j *job) atHome() (out []helper) {
	all := j.watch()
	guilds := j.helpers(all)
	for _, g := range j.a.Catalogue.Guilds {
		if !g.Pollinator && !slices.Contains(guilds, g) {
			guilds = append(guilds, g)
		}
	}
	for _, g := range guilds {
		if len(j.a.Serving(g)) == 0 {
			continue
		}
		eats := "eat " + g.Eats
		var pests []string // those that few others hold, first
		held := slices.Clone(all)
		slices.SortStableFunc(held, func(a, b *watched) int { return len(a.pest.Guilds) - len(b.pest.Guilds) })
		for _, w := range held {
			if slices.Contains(w.pest.Guilds, g.ID) && len(pests) < 3 {
				pests = append(pests, plainName(w.pest.Name))
			}
		}
		if len(pests) > 0 {
			eats += "; here also " + listed(pests)
		}
		out = append(out, helper{g.Name, eats + "."})
	}
	return out
}

// roughMap is the whole plan in a box, with the habitats in a bold line, and their names beside it. It answers its height.
func (j *job) roughMap(l *drawing.List, rough []*plan.Feature, b orb.Bound, t letter) float64 {
	s := j.look
	wide, high := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	gw, gh := max(j.bound.Max[0]-j.bound.Min[0], 0.1), max(j.bound.Max[1]-j.bound.Min[1], 0.1)
	scale := min((wide*0.66-6)/gw, (high-6)/gh)
	b.Max = orb.Point{b.Min[0] + gw*scale + 6, b.Min[1] + gh*scale + 6}
	v := ground.View{Centre: j.bound.Center(), Middle: b.Center(), Scale: scale}
	var on drawing.List
	on.Width, on.Height = l.Width, l.Height
	ground.Draw(&on, j.a, v, s, ground.Show{Units: j.a.Plan.Units, Window: b})
	ops := []drawing.Op{drawing.Fill{Path: boxPath(b), Color: s.Ground}}
	for _, op := range on.Ops {
		if layer, ok := op.(drawing.Layer); ok {
			ops = append(ops, layer.Ops...)
		}
	}
	for _, f := range rough {
		ops = append(ops, j.outlined(f, v, style.Strong)...)
	}
	l.Add(drawing.Clip{Path: boxPath(b), Ops: ops}, drawing.Stroke{Path: boxPath(b), Pen: s.Pen(s.Ink, style.Thin)})
	x, room := b.Max[0]+5, wide-(b.Max[0]-b.Min[0])-5
	tall := max(b.Max[1]-b.Min[1], t.size*1.28*4)
	lines := []string{"In bold outline:"}
	for _, f := range rough {
		lines = append(lines, t.wrap(j.name(f), room)...)
	}
	y := b.Min[1]
	for _, line := range t.limit(lines, int(tall/(t.size*1.28)), room) {
		l.Add(j.words(orb.Point{x, y + t.size*0.9}, line, t, true))
		y += t.size * 1.28
	}
	return tall
}
