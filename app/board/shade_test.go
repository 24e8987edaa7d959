package board

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/session"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// walled is the garden with a shed between its hedge and its first bed.
func walled() *plan.Plan {
	p := garden()
	p.Features[1] = box(plan.Bed, "Bed 1", 6, 8, 14, 9.2)
	p.Features = append(p.Features, box(plan.Building, "Shed", 4, 4, 16, 6))
	return p
}

// The lines stand at the typical and at the outer range, straight for guilds that fly and on foot for those that walk, and say
// which. A hedge's offset curve is known at every point; behind the shed the way leads past the nearer end of its far wall.
func TestLinesAtBothRanges(t *testing.T) {
	h := newBench(t, walled())
	h.view(6)
	hedge, shed := h.named("Hedge").Geometry, h.named("Shed").Geometry
	straight := geometry.NewSites([]orb.Geometry{hedge})
	onFoot := geometry.NewWays(straight, []orb.Geometry{shed})
	for _, c := range []struct {
		guild          string
		typical, outer string
		off            float64
		distance       func(orb.Point) float64
	}{
		{"predatory-bugs", "typical", "at most", 1e-5, func(p orb.Point) float64 { d, _ := straight.DistanceFrom(p); return d }},
		{"hunting-spiders", "typical, on foot", "at most, on foot", 2e-3, func(p orb.Point) float64 { d, _ := onFoot.DistanceFrom(p); return d }},
	} {
		g := h.s.Catalogue().Guild(c.guild)
		h.s.SetAsk(session.Ask{Guild: g})
		h.settle()
		lines := h.board.shade.lines
		if len(lines) != 2 || lines[0].words != c.typical || lines[1].words != c.outer ||
			lines[0].rangeM != g.TypicalM || lines[1].rangeM != g.OuterM || len(lines[0].lines) == 0 {
			t.Fatalf("%s: %+v", c.guild, lines)
		}
		behind := 0
		for _, r := range lines {
			for _, l := range r.lines {
				for _, p := range l {
					if d := c.distance(p); !(math.Abs(d-r.rangeM) <= c.off) {
						t.Fatalf("%s: the line at %v m passes %v, %v m off", c.guild, r.rangeM, p, d)
					}
					if d, _ := straight.DistanceFrom(p); d < r.rangeM-0.1 {
						behind++
					}
				}
			}
		}
		if walks := c.guild == "hunting-spiders"; walks != (behind > 10) {
			t.Errorf("%s: %d points of the lines lie nearer than straight", c.guild, behind)
		}
	}
}

// While a bed is dragged the reach on foot stays; while the refuge or a building is, it is straight and says so.
func TestReachOnFootWhileDragged(t *testing.T) {
	h := newBench(t, walled())
	h.s.SetAsk(session.Ask{Guild: h.s.Catalogue().Guild("hunting-spiders")})
	for _, c := range []struct {
		name         string
		x, y         float64
		words, after string
	}{
		{"Bed 2", 10, 20.5, "typical, on foot", "typical, on foot"},
		{"Hedge", 10, 1, "typical, in a straight line", "typical, on foot"},
		{"Shed", 10, 5, "typical, in a straight line", "typical, on foot"},
	} {
		h.settle()
		h.click(c.x, c.y)
		h.down(c.x, c.y)
		h.to(c.x, c.y+0.3)
		h.to(c.x, c.y+0.6)
		if !h.s.Previewing() {
			t.Fatalf("%s is not dragged", c.name)
		}
		if got := h.board.shade.lines[0]; got.words != c.words || len(got.lines) == 0 {
			t.Errorf("while %s is dragged: %q, %d lines", c.name, got.words, len(got.lines))
		}
		h.up(true)
		h.settle()
		if got := h.board.shade.lines[0].words; got != c.after {
			t.Errorf("after %s was dragged: %q", c.name, got)
		}
	}
}

// Ground in a building, and ground that walkers cannot reach behind it, is shaded as beyond.
func TestShadingBehindABuilding(t *testing.T) {
	h := newBench(t, walled())
	h.s.SetAsk(session.Ask{Guild: h.s.Catalogue().Guild("ground-beetles")})
	h.settle()
	l := h.board.shade.layer
	at := func(x, y float64) [4]byte {
		p := l.view.To(orb.Point{x, y})
		i := l.img.PixOffset(int(p[0]), int(p[1]))
		return [4]byte(l.img.Pix[i : i+4])
	}
	in, behind, beside := at(10, 5), at(10, 6.6), at(25, 6.6)
	if in[3] >= behind[3] {
		t.Errorf("in the shed %v, behind it %v", in, behind)
	}
	// Behind its middle the way is about 2.7 m longer than beside it: 6 m along its wall and 4 m past its end instead of 4.6 m.
	if behind == beside || behind[3] >= beside[3] {
		t.Errorf("behind the shed %v, beside it %v", behind, beside)
	}
}
